# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Runs each command while one system call fails: memory, threads, files.

wintergrub_faulty (faulty.c) injects the faults. After each failure: the right exit status, one line with the reason,
the old file intact, no temporary file. If the fault is harmless, the output is the same as without it.

Tests the first calls of each kind and a sample of the thousands of others, or all with FAULTS_EVERY=1 in the environment
(tests/verify/every_fault.sh, a quarter of an hour), then with three days and one replicate: more days only repeat the same
allocations. test_result_faults.c always tests each call on result files.
"""

import hashlib
import os
import shutil
import sys
import unittest

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "cli"))
from commands import CommandTest, read, run_program, write  # noqa: E402

FAULTY = os.path.join(os.path.abspath(os.environ["BUILD"]), "tests", "faults", "wintergrub_faulty")
OLD = b"an older file"
SCENARIO = """title: faults
period: {from: 2026-01-01, to: 2026-01-20}
climate: {constant: 27 degC}
places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: larva, age: 5 days, count: 500}]
feeding: [{in: tray, what: kitchen scraps, amount: 1 lb, every: 1 day}]
keeping: [{do: collect crawl-off, in: tray, share: 80 %}]
forecast: {replicates: 3, seed: 1}
goal: {total_harvest: 0.01 lb, chance: 50 %}
"""
SMALL = SCENARIO.replace("2026-01-20", "2026-01-03").replace("replicates: 3", "replicates: 1")
LOG = "date,what,value\n2026-01-02,adults,no\n"
# kinds of fault and their exit statuses: 4 file or disk, 5 memory or threads
KINDS = {
    "memory": {5},
    "thread": {5},
    "open": {4},
    "read": {3, 4},  # a part that cannot be read may look like damage
    "stat": {3, 4},
    "write": {4},
    "fsync": {4},
    "close": {4, 5},  # 5: closing a memory stream
    "rename": {4},
    "link": {4},
    "mkdir": {4},
    "lock": {4},
    "flush": {4},
}
EVERY = os.environ.get("FAULTS_EVERY") == "1"
# for commands that take long; the others, which write through the same functions, have all kinds
FEW = tuple(KINDS) if EVERY else ("memory", "open", "write", "rename")
MOST = 1000000  # calls of a kind; more would mean a loop without end
NEAR = 60  # allocations at the beginning and the end of a command; child processes test the middle


def has_valid_checksum(data):
    """Returns whether the file is intact, by its checksum line."""
    return data[-83:] == b"wintergrub sha256 %s\n" % hashlib.sha256(data[:-83]).hexdigest().encode()


class Commands(CommandTest):
    made = {}  # a result and a comparison, simulated once for all tests

    def setUp(self):
        super().setUp()
        scenario = SMALL if EVERY else SCENARIO
        given = {"a.yaml": scenario, "b.yaml": scenario.replace("500", "700"), "log.csv": LOG, "small.yaml": SMALL + "species: {animals: middle}\n"}
        for name, text in given.items():
            with open(name, "w", encoding="ascii") as file:
                file.write(text)
        if not self.made:
            self.faulty("run", "a.yaml", "-o", "given.h5")
            self.faulty("compare", "a.yaml", "b.yaml", "-o", "both.h5")
            self.made.update({name: read(name) for name in ("given.h5", "both.h5")})
        for name, data in self.made.items():
            write(name, data)
        self.given = sorted(os.listdir("."))
        self.note = os.path.join(self.shelf, "note")

    def numbers_of_calls(self, *words):
        """Runs a command without a fault; returns what it returns, and how often it calls each kind. Keeps what it opens, in order."""
        if os.path.exists(self.note):
            os.unlink(self.note)
        done = self.faulty(*words, fault="count")
        with open(self.note, encoding="ascii") as file:
            lines = [line.rstrip("\n").split(" ", 1) for line in file]
        self.opened = [path for what, path in lines if what == "opened"]
        return done, {kind: int(n) for kind, n in lines if kind != "opened"}

    def faulty(self, *words, fault=None):
        more = {"FAULTY": fault, "FAULTY_NOTE": self.note} if fault else {}
        return run_program(words, environment=self.environment(**more), program=FAULTY)

    def reset_output(self, output, is_folder):
        if is_folder:
            shutil.rmtree(output, ignore_errors=True)
            os.mkdir(output)
            for name in self.pictures:
                with open(os.path.join(output, name), "wb") as file:
                    file.write(OLD)
        elif output:
            with open(output, "wb") as file:
                file.write(OLD)

    def contents(self, output, is_folder):
        paths = [output] if output and not is_folder else []
        if is_folder:
            self.assertEqual(sorted(os.listdir(output)), sorted(self.pictures), "complete figures and nothing else")
            paths = [os.path.join(output, name) for name in os.listdir(output)]
        found = {}
        for path in paths:
            with open(path, "rb") as file:
                found[path] = file.read()
        return found

    def is_whole(self, path, data, expected):
        """A result contains the time of the run, so its checksum is checked instead of its bytes."""
        return data == expected[path] or (path.endswith(".h5") and has_valid_checksum(data))

    def check(self, kind, done, output, is_folder, expected, words):
        """Checks status, messages and files after one fault."""
        self.assertNotIn(b"Sanitizer", done.stderr, words)
        context = f"{words}\n{done.stdout.decode()}\n{done.stderr.decode()}"
        found = self.contents(output, is_folder)
        if done.returncode == expected["status"]:
            self.assertEqual(done.stdout, expected["out"], context)
            for path, data in found.items():
                self.assertTrue(self.is_whole(path, data, expected), f"{path}: {context}")
        else:
            self.assertIn(done.returncode, KINDS[kind], context)
            lines = done.stderr.decode().splitlines()
            self.assertTrue(lines and lines[-1].startswith("wintergrub: "), context)
            for path, data in found.items():
                # the new file is in place if the fault came after the rename
                whole = data == OLD or self.is_whole(path, data, expected)
                self.assertTrue(whole, f"{path}: {context}")
        files = self.given + ([output] if output else [])
        self.assertEqual(sorted(os.listdir(".")), sorted(files), context)
        self.assertEqual(os.listdir(self.tmp), [], context)

    def fail_in_children(self, *words):
        """With FAULTS_EVERY, fails each allocation of a command in a child process (faulty.c); returns their number."""
        if not EVERY:
            return 0
        done = self.faulty(*words, "--threads", "1", fault="memory:every")
        self.assertIn(done.returncode, (0, 1), done.stderr.decode())
        with open(self.note, encoding="ascii") as file:
            *unexpected, last = file.read().splitlines()
        os.unlink(self.note)
        self.assertEqual(unexpected, [], f"allocation and status of children without the status and message for memory: {words}")
        total = int(last.removesuffix(" children"))
        self.assertGreater(total, 1000)
        return total

    def everywhere(self, *words, output=None, is_folder=False, kinds=tuple(KINDS), n_children=0):
        """
        Fails the first, third, ... call of each kind until there are no more, with growing gaps.
        Of `n_children` allocations, which fail_in_children() tried, only those near the beginning and the end.
        """
        words = [*words, "--force", "-o", output] if output else list(words)
        self.pictures = []
        done, n_calls = self.numbers_of_calls(*words)
        self.assertIn(done.returncode, (0, 1), done.stderr.decode())
        self.assertEqual(set(n_calls), set(KINDS))
        if is_folder:
            self.pictures = os.listdir(output)
        expected = {"status": done.returncode, "out": done.stdout, **self.contents(output, is_folder)}
        total = 0
        for kind in kinds:
            at = 1
            self.assertLess(n_calls[kind], MOST, f"{kind} never ends: {words}")
            while at <= n_calls[kind]:
                self.reset_output(output, is_folder)
                if os.path.exists(self.note):
                    os.unlink(self.note)
                again = self.faulty(*words, fault=f"{kind}:{at}")
                if not os.path.exists(self.note):
                    break  # threads may share the work in another way
                total += 1
                self.check(kind, again, output, is_folder, expected, f"{kind}:{at} {words}")
                at += 1 if EVERY else 1 + at * (2 if kind == "memory" or at >= 7 else 1)
                if kind == "memory" and NEAR < at < n_children - NEAR:
                    at = n_children - NEAR
        self.assertGreater(total, 2)
        if output:
            shutil.rmtree(output) if is_folder else os.unlink(output)

    def test_run(self):
        self.everywhere("run", "a.yaml", output="out.h5")

    def test_run_json(self):
        self.everywhere("run", "a.yaml", "--json", "--quiet", output="out.h5", kinds=("memory", "flush"))

    def test_a_sweep(self):
        self.everywhere("run", "a.yaml", "b.yaml", output="many", is_folder=True, kinds=FEW)

    def test_a_sweep_with_existing_results(self):
        self.faulty("run", "a.yaml", "b.yaml", "-o", "there")
        self.given.append("there")
        self.everywhere("run", "a.yaml", "b.yaml", "-o", "there", "--json", kinds=("memory", "flush"))

    def test_check(self):
        self.everywhere("check", "a.yaml")

    def test_compare(self):
        self.everywhere("compare", "a.yaml", "b.yaml", output="out.h5")

    def test_size(self):
        self.everywhere("size", "small.yaml", output="out.h5", kinds=FEW)

    def test_fit(self):
        words = ["fit", "small.yaml", "log.csv", "--draws", "100"]
        self.everywhere(*words, output="out.csv", kinds=FEW, n_children=self.fail_in_children(*words))

    def test_report(self):
        self.everywhere("report", "given.h5", output="out.html")

    def test_report_of_a_comparison(self):
        """Only what is read differs from test_report()."""
        self.everywhere("report", "both.h5", output="out.html", kinds=tuple(KINDS) if EVERY else ("memory", "open", "read", "stat"))

    def test_figures(self):
        self.everywhere("figures", "given.h5", output="pictures", is_folder=True, kinds=FEW)

    def test_workshop(self):
        self.everywhere("workshop", output="out.html")

    def test_new(self):
        self.everywhere("new", "--like", "outdoors", output="out.yaml")
        self.everywhere("new", "--no-forecast", output="out.yaml", kinds=("memory", "flush"))

    def test_rerun(self):
        self.everywhere("rerun", "given.h5")

    def test_figures_and_reports_of_other_files(self):
        if not EVERY:
            return
        self.faulty("size", "small.yaml", "-o", "size.h5")
        self.given = sorted([*self.given, "size.h5"])
        self.everywhere("report", "size.h5", output="out.html", kinds=("memory",))
        for name in ("both.h5", "size.h5"):
            self.everywhere("figures", name, output="pictures", is_folder=True, kinds=("memory",))

    def test_json_of_compare_size_and_fit(self):
        if not EVERY:
            return
        self.everywhere("compare", "a.yaml", "b.yaml", "--json", output="out.h5", kinds=("memory",))
        self.everywhere("size", "small.yaml", "--json", kinds=("memory",))
        self.fail_in_children("fit", "a.yaml", "log.csv", "--draws", "100", "--json")

    def times_opened(self, name, *words):
        """Returns how often a command opens a file to read it: those opens whose failure is reported so."""
        self.numbers_of_calls(*words)
        places = [at for at, path in enumerate(self.opened, 1) if path == name]
        errors = [self.faulty(*words, fault=f"open:{at}").stderr.decode() for at in places]
        return sum(f"{name}: This file cannot be read" in text for text in errors)

    def test_a_stored_file_is_opened_once(self):
        """Each opening computes the checksum, which reads the whole file."""
        self.faulty("size", "small.yaml", "-o", "size.h5")
        for name in ("given.h5", "both.h5", "size.h5"):
            self.assertEqual(self.times_opened(name, "report", name, "-f", "-o", "out.html"), 1, name)
            self.assertEqual(self.times_opened(name, "figures", name, "-f", "-o", "pictures"), 1, name)
        self.assertEqual(self.times_opened("given.h5", "rerun", "given.h5"), 1)
        self.faulty("run", "a.yaml", "b.yaml", "-o", "many")
        words = ["run", "a.yaml", "b.yaml", "-o", "many", "--quiet"]
        self.assertEqual(self.times_opened("many/a.h5", *words), 2, "once to see whether it may be replaced, once for its odds")

    def test_help_of_keys(self):
        self.everywhere("help", "scenario", "power")
        self.everywhere("help", "numbers", "clutch")

    def test_timetable(self):
        self.everywhere("timetable", "27degC", "--json")


if __name__ == "__main__":
    unittest.main()
