# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks what the table of keys generates: the JSON Schema, scenarios/README.md, the fuzzing dictionary, help, completion.

The reference for the JSON Schema is the `jsonschema` library with its metaschema (draft 2020-12).
"""

import glob
import importlib.util
import json
import os
import pty
import re
import select
import signal
import subprocess
import unittest

import jsonschema
import yaml
from commands import SCENARIOS, SRC, CommandTest


class Loader(yaml.SafeLoader):
    """Reads YAML as editors do: dates and `yes` are strings."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in found if tag.rsplit(":")[-1] in ("int", "float", "null")]
    for first, found in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def read(*path):
    with open(os.path.join(SRC, *path), encoding="utf-8") as file:
        return file.read()


def load(text):
    return yaml.load(text, Loader)


class Schema(CommandTest):
    def setUp(self):
        super().setUp()
        self.schema = json.loads(self.wintergrub("schema"))
        self.validator = jsonschema.Draft202012Validator(self.schema)
        self.groups = {"scenario": self.schema, **self.schema["$defs"]}

    def test_committed_copies_are_current(self):
        self.assertEqual(read("scenarios", "wintergrub.schema.json"), self.wintergrub("schema"))
        self.assertEqual(read("scenarios", "README.md"), self.wintergrub("help", "scenario", "--markdown"))
        spec = importlib.util.spec_from_file_location("dictionary", os.path.join(SRC, "tests/fuzz/dictionary.py"))
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        for name in ("scenario.dict", "run.dict"):
            self.assertEqual(read("tests", "fuzz", name), module.dictionary(self.schema))

    def test_schema_is_valid(self):
        jsonschema.Draft202012Validator.check_schema(self.schema)

    def test_all_scenarios_are_valid(self):
        names = glob.glob(os.path.join(SCENARIOS, "*.yaml"))
        self.assertGreaterEqual(len(names), 10)
        for name in names:
            errors = [f"{list(e.absolute_path)}: {e.message}" for e in self.validator.iter_errors(load(read(name)))]
            self.assertEqual(errors, [], name)

    def test_broken_scenarios_are_not(self):
        """Checks the scenarios whose mistake concerns a single key."""
        for name in ("026-unknown-keys", "034-units-missing", "053-eleven-months", "092-feed-words", "095-actions-unknown",
                     "098-move-names", "108-forecast", "118-lamps"):
            self.assertFalse(self.validator.is_valid(load(read("tests", "data", "broken", name + ".yaml"))), name)

    def test_every_example_is_valid(self):
        for group, keys in self.groups.items():
            for name, key in keys["properties"].items():
                for example in key.get("examples", []):
                    if "..." not in example:
                        part = {"$defs": self.schema["$defs"], **key}
                        jsonschema.Draft202012Validator(part).validate(load(example))
                self.assertTrue(key["description"].endswith("."), (group, name))

    def test_every_key_has_help(self):
        for group, keys in self.groups.items():
            name = group if group in ("power_cut", "wild_visitors") else group.replace("_", " ")
            page = self.wintergrub("help", "scenario", name)
            self.assertLess(max(map(len, page.splitlines())), 80)
            for key in keys["properties"]:
                if group != "species" or key in ("numbers", "clutch"):
                    self.assertIn(f"{name}: {key}\n", page)
        self.assertIn("heater: power\n", self.wintergrub("help", "scenario", "heater.power"))
        self.assertIn("\nmat: power\n", self.wintergrub("help", "scenario", "power"))

    def test_help_suggests_names(self):
        self.wintergrub("help", "scenario", "set_pont", status=2)
        self.assertIn('there is no key "set_pont"; did you mean set_point?', self.stderr)
        self.wintergrub("help", "numbers", "larva_spred", status=2)
        self.assertIn('there is no number "larva_spred"; did you mean larva_spread?', self.stderr)
        self.wintergrub("help", "scenario", "power", "heater", status=2)
        self.assertIn("one argument too many", self.stderr)
        self.wintergrub("help", "scenaro", status=2)
        everything = self.wintergrub("help", "numbers")
        for name in re.findall(r'ROW\("(\w+)"', read("src", "species", "species_table.c")):
            self.assertIn(f"\n{name} ", everything)

    def test_limits_of_options_are_those_of_the_keys(self):
        most = self.groups["forecast"]["properties"]["replicates"]["maximum"]
        self.copy("smallest.yaml", "a.yaml")
        for words in (["run", "a.yaml"], ["compare", "a.yaml", "a.yaml"]):
            self.wintergrub(*words, "--replicates", str(most + 1), status=2)
            self.assertIn(f"from 1 to {most},", self.stderr)


class Completion(CommandTest):
    def complete(self, *words):
        """Returns what bash offers for the last word."""
        script = self.wintergrub("completion", "bash")
        line = " ".join(f"'{word}'" for word in words)
        asked = f"{script}\nCOMP_WORDS=({line}); COMP_CWORD={len(words) - 1}; _wintergrub; printf '%s\\n' \"${{COMPREPLY[@]}}\""
        return subprocess.run(["bash", "-u", "-c", asked], check=True, capture_output=True, text=True).stdout.split()

    def test_bash(self):
        self.assertEqual(self.complete("wintergrub", "com"), ["compare", "completion"])
        self.assertEqual(self.complete("wintergrub", "run", "--repl"), ["--replicates"])
        self.assertEqual(self.complete("wintergrub", "help", "scenario", "set_p"), ["set_point"])
        self.assertEqual(self.complete("wintergrub", "help", "numbers", "larva_spr"), ["larva_spread"])
        self.assertEqual(self.complete("wintergrub", "completion", "f"), ["fish"])
        self.assertEqual(self.complete("wintergrub", "run", "x"), [])
        for command in re.findall(r"^  wintergrub ([a-z]+) ", self.wintergrub("help"), re.M):
            self.assertIn(command, self.complete("wintergrub", ""))

    def test_other_shells_accept_their_scripts(self):
        self.wintergrub("completion", "tcsh", status=2)
        for shell in ("zsh", "fish"):
            script = self.wintergrub("completion", shell)
            self.assertIn("wintergrub", script)
            done = subprocess.run([shell, "-n"], input=script, capture_output=True, text=True)
            self.assertEqual((done.returncode, done.stderr), (0, ""))

    def test_fish(self):
        with open("wintergrub.fish", "w", encoding="utf-8") as file:
            file.write(self.wintergrub("completion", "fish"))
        self.copy("smallest.yaml", "rough.yaml")  # no file is a command
        for line, expected in (("wintergrub ru", "run"), ("wintergrub r", "report"), ("wintergrub run --repl", "--replicates")):
            done = subprocess.run(["fish", "-c", f"source wintergrub.fish; complete -C '{line}'"], check=True, capture_output=True, text=True)
            offered = [row.split("\t")[0] for row in done.stdout.splitlines()]
            self.assertIn(expected, offered, line)
            self.assertNotIn("rough.yaml", offered, line)

    def test_zsh_completes_at_the_first_tab(self):
        with open("_wintergrub", "w", encoding="utf-8") as file:
            file.write(self.wintergrub("completion", "zsh"))
        try:
            child, terminal = pty.fork()
        except OSError as error:  # a system without /dev/pts
            raise unittest.SkipTest(f"no terminal available: {error}") from error
        if child == 0:
            os.environ.update(TERM="dumb", ZDOTDIR=os.getcwd())
            os.execvp("zsh", ["zsh", "-f", "-i"])
        seen = ""

        def wait_for(text):
            nonlocal seen
            while text not in seen:
                ready, _, _ = select.select([terminal], [], [], 30)
                self.assertTrue(ready, seen)
                seen += os.read(terminal, 65536).decode(errors="replace")
            seen = seen.partition(text)[2]

        try:
            os.write(terminal, b"PS1=; fpath=($PWD $fpath); autoload -U compinit; compinit -u -D; echo rea''dy\n")
            wait_for("ready")
            os.write(terminal, b"wintergrub compl\t")
            wait_for("wintergrub completion ")
            os.write(terminal, b"f\t")
            wait_for("fish ")
        finally:
            os.close(terminal)
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)


if __name__ == "__main__":
    unittest.main()
