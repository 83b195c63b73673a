"""Runs each command with each system call failing once: memory, threads, files.

wintergrub_faulty (faulty.c) injects the faults. After each failure: the right exit status, one line with the reason,
the old file intact, no temporary file. Or the fault is harmless, and then the output is the same as without it.

Tests the first calls of each kind and a sample of the thousands of others, or all with FAULTS_EVERY=1 in the environment
(tests/verify/every_fault.sh, a quarter of an hour), then with three days and one replicate: more days only repeat the same
allocations. test_result_faults.c always tests each call on result files.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import unittest

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "cli"))
from commands import CommandTest  # noqa: E402

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
    "read": {3, 4},  # an unreadable part of a file may look like damage
    "stat": {3, 4},
    "write": {4},
    "fsync": {4},
    "close": {4, 5},  # of a text in memory
    "rename": {4},
    "link": {4},
    "mkdir": {4},
    "lock": {4},
    "flush": {4},
}
EVERY = os.environ.get("FAULTS_EVERY") == "1"
MOST = 1000000  # maximum of calls of a kind: more would not end
NEAR = 60  # allocations at the beginning and the end of a command; child processes test the middle


def sealed(data):
    """True for an intact HDF5 file of ours."""
    return data[-83:] == b"wintergrub sha256 %s\n" % hashlib.sha256(data[:-83]).hexdigest().encode()


class Commands(CommandTest):
    def setUp(self):
        super().setUp()
        scenario = SMALL if EVERY else SCENARIO
        given = {"a.yaml": scenario, "b.yaml": scenario.replace("500", "700"), "log.csv": LOG, "small.yaml": SMALL}
        for name, text in given.items():
            with open(name, "w", encoding="ascii") as file:
                file.write(text)
        self.faulty("run", "a.yaml", "-o", "given.h5")
        self.faulty("compare", "a.yaml", "b.yaml", "-o", "both.h5")
        self.given = sorted(os.listdir("."))
        self.note = os.path.join(self.shelf, "note")

    def faulty(self, *words, fault=None):
        more = {"FAULTY": fault, "FAULTY_NOTE": self.note} if fault else {}
        return subprocess.run([FAULTY, *words], capture_output=True, stdin=subprocess.DEVNULL, env=self.environment(**more))

    def tidy(self, output, is_folder):
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
            self.assertEqual(sorted(os.listdir(output)), sorted(self.pictures), "only whole files, under their names")
            paths = [os.path.join(output, name) for name in os.listdir(output)]
        found = {}
        for path in paths:
            with open(path, "rb") as file:
                found[path] = file.read()
        return found

    def is_whole(self, path, data, wanted):
        """Results contain the time of the run, so this verifies their checksum."""
        return data == wanted[path] or (path.endswith(".h5") and sealed(data))

    def check(self, kind, done, output, is_folder, wanted, words):
        """Checks status, messages and files after one fault."""
        self.assertNotIn(b"Sanitizer", done.stderr, words)
        said = f"{words}\n{done.stdout.decode()}\n{done.stderr.decode()}"
        found = self.contents(output, is_folder)
        if done.returncode == wanted["status"]:
            self.assertEqual(done.stdout, wanted["out"], said)
            for path, data in found.items():
                self.assertTrue(self.is_whole(path, data, wanted), f"{path}: {said}")
        else:
            self.assertIn(done.returncode, KINDS[kind], said)
            lines = done.stderr.decode().splitlines()
            self.assertTrue(lines and lines[-1].startswith("wintergrub: "), said)
            for path, data in found.items():
                # or the new one, if the fault came after the rename
                whole = data == OLD or self.is_whole(path, data, wanted)
                self.assertTrue(whole, f"{path}: {said}")
        expected = self.given + ([output] if output else [])
        self.assertEqual(sorted(os.listdir(".")), sorted(expected), said)
        self.assertEqual(os.listdir(self.tmp), [], said)

    def copies(self, *words):
        """With FAULTS_EVERY, fails each allocation of a command in a child process (faulty.c); returns their number."""
        if not EVERY:
            return 0
        done = self.faulty(*words, "--threads", "1", fault="memory:every")
        self.assertIn(done.returncode, (0, 1), done.stderr.decode())
        with open(self.note, encoding="ascii") as file:
            *wrong, last = file.read().splitlines()
        os.unlink(self.note)
        self.assertEqual(wrong, [], f"allocation and status of copies that did not end as they must: {words}")
        total = int(last.removesuffix(" copies"))
        self.assertGreater(total, 1000)
        return total

    def everywhere(self, *words, output=None, is_folder=False, kinds=tuple(KINDS), dense=1, copied=0):
        """
        Fails the first, second, ... call of each kind until there are no more; after the first `dense` with growing gaps.
        Of `copied` allocations only those near the beginning and the end.
        """
        words = [*words, "--force", "-o", output] if output else list(words)
        self.pictures = []
        done = self.faulty(*words)
        self.assertIn(done.returncode, (0, 1), done.stderr.decode())
        if is_folder:
            self.pictures = os.listdir(output)
        wanted = {"status": done.returncode, "out": done.stdout, **self.contents(output, is_folder)}
        total = 0
        for kind in kinds:
            at = 1
            while at < MOST:
                self.tidy(output, is_folder)
                if os.path.exists(self.note):
                    os.unlink(self.note)
                again = self.faulty(*words, fault=f"{kind}:{at}")
                if not os.path.exists(self.note):
                    break
                total += 1
                self.check(kind, again, output, is_folder, wanted, f"{kind}:{at} {words}")
                at += 1 if EVERY else 1 + at // (dense if kind == "memory" else 2)
                if kind == "memory" and NEAR < at < copied - NEAR:
                    at = copied - NEAR
            self.assertLess(at, MOST, f"{kind} never ends: {words}")
        self.assertGreater(total, 2)
        if output:
            shutil.rmtree(output) if is_folder else os.unlink(output)

    def test_run(self):
        self.everywhere("run", "a.yaml", output="out.h5")

    def test_run_json(self):
        self.everywhere("run", "a.yaml", "--json", "--quiet", output="out.h5", kinds=("memory", "flush"))

    def test_a_sweep(self):
        self.everywhere("run", "a.yaml", "b.yaml", output="many", is_folder=True, dense=1)

    def test_a_sweep_whose_results_are_there(self):
        self.faulty("run", "a.yaml", "b.yaml", "-o", "there")
        self.given.append("there")
        self.everywhere("run", "a.yaml", "b.yaml", "-o", "there", "--json", kinds=("memory", "flush"), dense=1)

    def test_check(self):
        self.everywhere("check", "a.yaml")

    def test_compare(self):
        self.everywhere("compare", "a.yaml", "b.yaml", output="out.h5")

    def test_size(self):
        self.everywhere("size", "small.yaml", output="out.h5")

    def test_fit(self):
        words = ["fit", "small.yaml", "log.csv", "--draws", "100"]
        self.everywhere(*words, output="out.csv", copied=self.copies(*words))

    def test_report(self):
        self.everywhere("report", "given.h5", output="out.html")

    def test_report_of_a_comparison(self):
        self.everywhere("report", "both.h5", output="out.html")

    def test_figures(self):
        self.everywhere("figures", "given.h5", output="pictures", is_folder=True, dense=1)

    def test_workshop(self):
        self.everywhere("workshop", output="out.html")

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

    def test_json_of_others(self):
        if not EVERY:
            return
        self.everywhere("compare", "a.yaml", "b.yaml", "--json", output="out.h5", kinds=("memory",))
        self.everywhere("size", "small.yaml", "--json", kinds=("memory",))
        self.copies("fit", "a.yaml", "log.csv", "--draws", "100", "--json")

    def times_opened(self, name, *words):
        """How many openings of that file fail a command, one at a time: so often it is opened."""
        found = []
        for at in range(1, 20):
            if os.path.exists(self.note):
                os.unlink(self.note)
            said = self.faulty(*words, fault=f"open:{at}").stderr.decode()
            if not os.path.exists(self.note):
                break
            found += [at] if f"{name}: This file cannot be read" in said else []
        return len(found)

    def test_a_stored_file_is_opened_once(self):
        """Its checksum is worked out at every opening: a large file would be read again and again."""
        self.faulty("size", "small.yaml", "-o", "size.h5")
        for name in ("given.h5", "both.h5", "size.h5"):
            self.assertEqual(self.times_opened(name, "report", name, "-f", "-o", "out.html"), 1, name)
            self.assertEqual(self.times_opened(name, "figures", name, "-f", "-o", "pictures"), 1, name)
        self.assertEqual(self.times_opened("given.h5", "rerun", "given.h5"), 1)
        self.faulty("run", "a.yaml", "b.yaml", "-o", "many")
        words = ["run", "a.yaml", "b.yaml", "-o", "many", "--quiet"]
        self.assertEqual(self.times_opened("many/a.h5", *words), 2, "before all, whether it may be replaced, then for its odds")

    def test_help_of_keys(self):
        self.everywhere("help", "scenario", "power")
        self.everywhere("help", "numbers", "clutch")

    def test_timetable(self):
        self.everywhere("timetable", "27degC", "--json")


if __name__ == "__main__":
    unittest.main()
