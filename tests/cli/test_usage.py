# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks help and usage errors: one line with the mistake and how to get help."""

import os
import re
import subprocess
import unittest

from commands import PROGRAM, CommandTest, read, write

COMMANDS = ["new", "run", "check", "compare", "size", "cheapest", "fit", "report", "figures", "rerun", "seal", "timetable", "workshop", "page"]
ESC = "\x1b[31m"

# invalid arguments and the message for each
MISTAKES = [
    (["rum", "smallest.yaml"], 'no command "rum".*did you mean run'),
    (["frobnicate"], 'no command "frobnicate"'),
    (["help", "timtable"], 'no command "timtable".*did you mean timetable'),
    (["run"], r"NAME\.yaml"),
    (["check", "smallest.yaml", "smallest.yaml"], "too many"),
    (["run", "smallest.yaml", "smallest.yaml"], "need a folder"),
    (["run", "."], "need a folder"),
    (["check"], r"NAME\.yaml"),
    (["rerun"], r"\.h5"),
    (["timetable"], "TEMPERATURE"),
    (["run", "--replicats", "3", "smallest.yaml"], "no option --replicats.*--replicates"),
    (["run", "smallest.yaml", "--thread=2"], "no option --thread;.*--threads"),
    (["run", "smallest.yaml", "--xyzzyx"], r"no option --xyzzyx\."),
    (["run", "smallest.yaml", "-x"], r"no option -x\."),
    (["check", "smallest.yaml", "--json"], r"no option --json\."),
    (["run", "smallest.yaml", "--force=yes"], "--force takes no value"),
    (["run", "smallest.yaml", "--seed", "1", "--seed", "2"], "--seed.*twice"),
    (["run", "smallest.yaml", "--seed"], "--seed.*value"),
    (["run", "smallest.yaml", "-o"], "--output.*value"),
    (["run", "smallest.yaml", "--output="], "--output"),
    (["version"], 'no command "version".*did you mean --version'),
    (["run", "smallest.yaml", "-qx"], r"no option -x\."),
    (["run", "smallest.yaml", "-qfq"], "--quiet.*twice"),
    (["check", ""], "argument.*empty"),
    (["rerun", "-"], r"standard input.*\./-"),
    (["run", "smallest.yaml", "-o", "-"], r"\./-"),
    (["run", "smallest.yaml", "--at-most", "5000"], "--at-most belongs"),
    (["run", "smallest.yaml", "--what-matters", "--until-sure", "2%"], "--until-sure belongs"),
    (["run", "smallest.yaml", "--what-matters", "--calendar"], "--calendar belongs"),
    (["run", "smallest.yaml", "--what-matters", "--replicates", "5"], "--replicates belongs"),
    (["new", "--like", "outdoor"], "did you mean outdoors"),
    (["new", "--like", "barn"], "it can be outdoors, heated-shed, two-places or classroom"),
    (["new", "--unit", "degF"], "--unit belongs to --normals"),
    (["new", "--normals", "a.csv", "--unit", "F"], "degF or degC"),
    (["new", "--list", "--like", "outdoors"], "give one"),
    (["workshop"], r"-o workshop\.html\. See"),
    (["page"], r"-o wintergrub\.html\. See"),
    (["size", "--between", "1", "10"], r"NAME\.yaml is missing"),
    (["cheapest", "smallest.yaml", "--replicates", "3"], "--replicates"),
    (["size", "smallest.yaml", "--confidence", "2"], "95%"),
    (["timetable", "30C"], "degC"),
    (["timetable", "80F"], "degF"),
    (["timetable", "30"], "degC"),
    (["timetable", "warm"], "warm"),
    (["timetable", "400degC"], "400"),
    (["timetable", "30degC", "--numbers", "guess"], "keepers.*laboratory"),
    # a misspelt option is reported before the scenario is opened
    (["run", "nowhere.yaml", "--replicates", "none"], "--replicates"),
    # control characters of arguments, which the message masks
    ([ESC], "no command"),
    (["run", f"--{ESC}", "smallest.yaml"], "no option"),
    (["run", "smallest.yaml", "--seed", ESC], "--seed"),
    (["timetable", ESC], "wintergrub timetable:"),
    (["r\x85n"], "no command"),
]
NO_COUNTS = ["0", "-1", "+3", "1e3", "3.5", "many", " 3", "3x", "", "99999999999999999999"]
NO_SEEDS = ["-1", "1.0", "18446744073709551616", "0x10"]


class Usage(CommandTest):
    def setUp(self):
        super().setUp()
        self.copy("smallest.yaml")

    def usage(self, words, pattern):
        """Expects status 2 and one line with the pattern and a pointer to help."""
        self.refused(*words, status=2, expected=["See 'wintergrub help"])
        self.assert_clean(self.stderr)
        self.assertRegex(self.stderr, pattern, words)

    def test_mistakes(self):
        for words, pattern in MISTAKES:
            self.usage(words, pattern)
        self.nothing_left("smallest.yaml")

    def test_invalid_numbers(self):
        for option, numbers in (("--replicates", NO_COUNTS), ("--threads", NO_COUNTS), ("--seed", NO_SEEDS)):
            for number in numbers:
                self.usage(["run", "smallest.yaml", f"{option}={number}"], option)

    def test_no_input_file_is_overwritten(self):
        """By any name, with or without --force."""
        for name in ("other.yaml", "plan.h5"):
            self.copy("smallest.yaml", name)
        os.symlink("smallest.yaml", "link.yaml")
        write("log.csv", "date,what,value\n")
        write("based.yaml", "based_on: link.yaml\n")
        for words, pattern in (
            (["run", "smallest.yaml", "--force", "-o", "smallest.yaml"], r"smallest\.yaml is read here"),
            (["run", "link.yaml", "--force", "-o", "./smallest.yaml"], "is read here"),
            (["run", "plan.h5", "--force"], r"plan\.h5 is read here"),
            (["run", "based.yaml", "--force", "-o", "smallest.yaml"], r"smallest\.yaml is read here"),
            (["size", "based.yaml", "--force", "-o", "smallest.yaml"], r"smallest\.yaml is read here"),
            (["compare", "based.yaml", "--vary", "starter.1.count=9,99", "--force", "-o", "smallest.yaml"], "is read here"),
            (["compare", "smallest.yaml", "other.yaml", "--force", "-o", "other.yaml"], "is read here"),
            (["size", "smallest.yaml", "--force", "-o", "smallest.yaml"], "is read here"),
            (["fit", "smallest.yaml", "log.csv", "--force", "-o", "log.csv"], r"log\.csv is read here"),
            (["report", "plan.h5", "--force", "-o", "plan.h5"], "is read here"),
        ):
            self.usage(words, pattern)
        self.wintergrub("run", "plan.h5", "other.yaml", "--force", "-o", ".", status=2)
        self.assertIn("plan.h5 is read here", self.stderr)
        for name in ("other.yaml", "plan.h5", "link.yaml"):
            self.assertEqual(read(name), read("smallest.yaml"), name)
        self.nothing_left("based.yaml", "link.yaml", "log.csv", "other.yaml", "plan.h5", "smallest.yaml")

    def test_arguments_after_two_dashes_are_not_options(self):
        self.wintergrub("check", "--", "--force", status=4)
        self.assertIn("--force", self.stderr)

    def test_missing_files(self):
        for command in ("run", "check", "rerun"):
            for path in ("nowhere.yaml", "nowhere/at/all", "."):
                if (command, path) != ("run", "."):  # many scenarios
                    self.refused(command, path, status=4)
        self.nothing_left("smallest.yaml")


class Help(CommandTest):
    def test_help(self):
        text = self.wintergrub("help")
        self.assertEqual(self.stderr, "")
        self.assert_fits(text, 24)
        self.assert_all_in([f"wintergrub {command} " for command in COMMANDS], text)
        for line in text.splitlines():
            if line.startswith("  wintergrub "):
                self.assertRegex(line, "^.{40} [a-z]", "not in its column")
        self.assertIn("130", text)
        for option in ("--help", "-h"):
            self.assertEqual((self.wintergrub(option), self.stderr), (text, ""))
        self.assertEqual(self.wintergrub(status=2), "")
        self.assertEqual(self.stderr, text)

    def test_help_of_commands(self):
        for command in COMMANDS:
            text = self.wintergrub("help", command)
            self.assertEqual(self.stderr, "")
            self.assert_fits(text, 30)
            self.assertIn(f"wintergrub {command} ", text)
            for option in ("--help", "-h"):
                self.assertEqual(self.wintergrub(command, option), text)
            if command == "run":
                options = ("--output", "--replicates", "--seed", "--threads", "--force", "--quiet", "--json")
                self.assert_all_in(options, text)

    def test_version(self):
        for option in ("--version", "-V"):
            text = self.wintergrub(option)
            self.assertEqual(self.stderr, "")
            self.assertRegex(text.splitlines()[0], r"^wintergrub [0-9]+\.[0-9]+\.[0-9]+( \(.+\))?$")
            self.assertIn("GNU General Public License", text)

    def test_cite(self):
        version = re.match(r"wintergrub (\S+)", self.wintergrub("--version")).group(1)
        text = self.wintergrub("--cite")
        self.assert_fits(text, 30)
        self.assertIn(f"wintergrub {version}: odds", text)
        entry = re.search(r"@software\{wintergrub,\n(( +\w+ += \{[^}]*\}+,?\n)+) +\}\n", text).group(1)
        self.assertEqual(entry.count("{"), entry.count("}"))
        self.assertIn(f"version = {{{version}}},", entry)

    def test_a_full_disk(self):
        self.copy("smallest.yaml")
        for words in ("help", "--version", "--cite", "help run", "check smallest.yaml", "timetable 27degC", "timetable 27degC --json"):
            self.no_space_left(*words.split())

    def test_a_closed_pipe_is_not_an_error(self):
        closed, pipe = os.pipe()
        os.close(closed)
        with os.fdopen(pipe, "wb") as out:
            done = subprocess.run(
                [PROGRAM, "help"], stdin=subprocess.DEVNULL, stdout=out, stderr=subprocess.PIPE, env=self.environment()
            )
        self.assertEqual((done.returncode, done.stderr), (0, b""))


if __name__ == "__main__":
    unittest.main()
