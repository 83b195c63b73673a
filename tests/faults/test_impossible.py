# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Triggers a bug in each command: exit status 5, one sentence, no temporary files, never a signal.

wintergrub_faulty (faulty.c) fails an assertion (wg_assert) or accesses an invalid address at its K-th allocation: early,
in the middle, late, in any thread. The file is intact afterwards: the old one, or the new one if the fault came after the
rename.
"""

import os
import re
import sys
import unittest

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "cli"))
from commands import CommandTest, read, run_program, write  # noqa: E402

FAULTY = os.path.join(os.path.abspath(os.environ["BUILD"]), "tests", "faults", "wintergrub_faulty")
OLD = b"an older file"
SCENARIO = """title: faults
period: {from: 2026-01-01, to: 2026-01-10}
climate: {constant: 27 degC}
places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: larva, age: 5 days, count: 500}]
feeding: [{in: tray, what: kitchen scraps, amount: 1 lb, every: 1 day}]
forecast: {replicates: 12, seed: 1}
goal: {survive: yes, chance: 50 %}
"""
# a second of search in every trial would only repeat the same calls
SMALL = SCENARIO.replace("2026-01-10", "2026-01-06").replace("replicates: 12", "replicates: 4") + "species: {animals: middle}\n"
# command line; the file it writes, if any
COMMANDS = [
    (["check", "a.yaml"], None),
    (["run", "a.yaml", "-o", "out", "-f"], "out"),
    (["run", "a.yaml", "-o", "out", "-f", "--threads", "1"], "out"),
    (["run", "a.yaml", "--json", "--quiet"], None),
    (["run", "a.yaml", "b.yaml", "-o", "many", "-f"], None),
    (["run", "a.yaml", "--what-matters", "--at-most", "2000"], None),
    (["compare", "a.yaml", "b.yaml", "-o", "out", "-f"], "out"),
    (["size", "small.yaml", "--at-most", "1000", "-o", "out", "-f"], "out"),
    (["fit", "small.yaml", "log.csv", "--draws", "100", "-o", "out", "-f"], "out"),
    (["rerun", "given.h5"], None),
    (["report", "given.h5", "-o", "out", "-f"], "out"),
    (["figures", "given.h5", "-o", "pictures", "-f"], None),
    (["timetable", "27degC"], None),
    (["workshop", "-o", "out", "--force"], "out"),
]
SENTENCE = re.compile(r'wintergrub: internal fault: [^\n]*; please report it with the scenario\.\n')


class Impossible(CommandTest):
    made = []  # the result, simulated once for all tests

    def faulty(self, *words, fault=None):
        more = {"FAULTY": fault, "FAULTY_NOTE": self.note} if fault else {}
        return run_program(words, environment=self.environment(**more), program=FAULTY)

    def setUp(self):
        super().setUp()
        self.note = os.path.join(self.shelf, "note")
        for name, text in {"a.yaml": SCENARIO, "b.yaml": SCENARIO.replace("500", "700"), "small.yaml": SMALL,
                           "log.csv": "date,what,value\n2026-01-05,adults,no\n"}.items():
            with open(name, "w", encoding="ascii") as file:
                file.write(text)
        os.mkdir("many")
        os.mkdir("pictures")
        if not self.made:
            done = self.faulty("run", "a.yaml", "-o", "given.h5", "--quiet")
            self.assertEqual(done.returncode, 0, done.stderr.decode())
            self.made.append(read("given.h5"))
        write("given.h5", self.made[0])

    def temporary_files(self):
        return [name for _, _, names in os.walk(".") for name in names if name.endswith(".part")]

    def bug_is_reported(self, kind, at, words, output):
        """Returns False if the command ended before its `at`-th allocation."""
        if output:
            with open(output, "wb") as file:
                file.write(OLD)
        if os.path.exists(self.note):
            os.unlink(self.note)
        done = self.faulty(*words, fault=f"{kind}:{at}")
        if not os.path.exists(self.note):
            return False
        errors = done.stderr.decode()
        context = f"{kind}:{at} {words}: {done.returncode} {errors}"
        self.assertEqual(done.returncode, 5, context)
        self.assertNotIn("Sanitizer", errors, context)
        # one sentence, after at most the regular messages of the command
        self.assertEqual(len(SENTENCE.findall(errors)), 1, context)
        self.assertTrue(SENTENCE.search(errors.splitlines(keepends=True)[-1]), context)
        self.assertNotIn("/faulty.c", errors, context)
        self.assertNotIn(os.environ["SRC"], errors, context)
        self.assertEqual(self.temporary_files(), [], context)
        self.assertEqual(os.listdir(self.tmp), [], context)
        if output:
            with open(output, "rb") as file:
                data = file.read()
            self.assertTrue(data == OLD or len(data) > len(OLD), context)
        return True

    def everywhere(self, words, output):
        at, bugs = 1, 0
        while self.bug_is_reported("impossible", at, words, output):
            bugs += 1
            at = at * 3 if at < 5000 else at * 10
        self.assertGreater(bugs, 0, words)

    def test_a_signal(self):
        with open(FAULTY, "rb") as file:
            if b"__asan_init" in file.read():
                return  # the sanitizer handles the signal
        for at in (1, 100):
            self.assertTrue(self.bug_is_reported("signal", at, ["run", "a.yaml", "-o", "out", "-f"], "out"))


for number, (words, output) in enumerate(COMMANDS):
    setattr(Impossible, f"test_{number:02}_{words[0]}", lambda self, w=words, o=output: self.everywhere(w, o))


if __name__ == "__main__":
    unittest.main()
