# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks each command that writes: in an unwritable folder, on a full disk, and interrupted.

Expects the right exit status, one line with the reason, the old file intact and no temporary file. tests/faults makes
each system call fail.
"""

import os
import resource
import shutil
import signal
import subprocess
import time
import unittest

from commands import PATIENCE_S, PROGRAM, CommandTest

SCENARIO = """title: Bench
period: {from: 2026-01-01, to: 2026-01-31}
climate: {constant: 27 degC}
places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: larva, age: 5 days, count: 500}]
feeding: [{in: tray, what: kitchen scraps, amount: 1 lb, every: 1 day}]
forecast: {replicates: 3, seed: 1}
goal: {total_harvest: 0.01 lb, chance: 50 %}
"""
LOG = "date,what,value\n2026-01-20,adults,no\n"
OLD = b"an older file"
NOBODY = 65534

# name of the file, command without --force and -o
WRITERS = (
    ("x.h5", "run", "a.yaml"),
    ("x.h5", "run", "a.yaml", "--what-matters"),
    ("x.h5", "compare", "a.yaml", "b.yaml"),
    ("x.h5", "size", "middle.yaml", "--at-most", "1000"),
    ("x.h5", "fit", "a.yaml", "log.csv", "--draws", "100"),
    ("x.csv", "fit", "a.yaml", "log.csv", "--draws", "100"),
    ("x.html", "report", "a.h5"),
    ("x.html", "workshop"),
    ("x.html", "page"),
)
# the same for output folders, with an existing file in the folder
FOLDERS = (("a.h5", "run", "a.yaml", "b.yaml"), ("survival.svg", "figures", "a.h5"))


class Desk(CommandTest):
    def setUp(self):
        super().setUp()
        middle = SCENARIO + "species: {animals: middle}\n"
        for name, text in (("a.yaml", SCENARIO), ("b.yaml", SCENARIO.replace("500", "700")), ("middle.yaml", middle), ("log.csv", LOG)):
            with open(name, "w", encoding="ascii") as file:
                file.write(text)
        self.wintergrub("run", "a.yaml", "-o", "a.h5", "--quiet")
        self.given = sorted(os.listdir("."))
        self.to = os.path.join(self.shelf, "to")
        os.mkdir(self.to)

    def put_old(self, name):
        with open(os.path.join(self.to, name), "wb") as file:
            file.write(OLD)

    def old_is_whole(self, name, words):
        with open(os.path.join(self.to, name), "rb") as file:
            self.assertEqual(file.read(), OLD, words)
        self.assertEqual(os.listdir(self.to), [name], words)
        self.nothing_left(*self.given)


class WriteErrors(Desk):
    def refused(self, *words, reason, program=PROGRAM, **how):
        how = {"env": self.environment(), **how}
        done = subprocess.run([program, *words], stdin=subprocess.DEVNULL, capture_output=True, **how)
        err = done.stderr.decode()
        self.assertEqual(done.returncode, 4, f"{words}: {err}")
        self.assertIn(reason, err, words)
        lines = [line for line in err.splitlines() if line.startswith("wintergrub: ")]
        if "b.yaml" in words and words[0] == "run":  # a sweep: the last line reports its progress
            self.assertIn("ended after 0 of 2 scenarios", lines.pop())
        self.assertEqual(len(lines), 1, err)
        self.assertNotIn("Sanitizer", err)
        return done.stdout

    def each(self):
        """Yields each command after creating its old file."""
        for name, *words in WRITERS:
            self.put_old(name)
            yield name, [*words, "--force", "-o", os.path.join(self.to, name)]
            os.unlink(os.path.join(self.to, name))
        for name, *words in FOLDERS:
            self.put_old(name)
            yield name, [*words, "--force", "-o", self.to]
            os.unlink(os.path.join(self.to, name))

    def test_a_read_only_folder(self):
        how = {}
        program = PROGRAM
        if os.geteuid() == 0:  # root may write anywhere: run as user nobody, with access to all inputs
            program = shutil.copy(PROGRAM, self.shelf)
            os.chmod(self.shelf, 0o755)
            os.chown(self.tmp, NOBODY, NOBODY)
            how = {"user": NOBODY, "group": NOBODY, "extra_groups": []}
            how["env"] = self.environment(LSAN_OPTIONS="detect_leaks=0")  # its suppression file may be inaccessible
        for name, words in self.each():
            os.chmod(self.to, 0o555)
            try:
                self.refused(*words, reason="is not writable", program=program, **how)
                self.old_is_whole(name, words)
            finally:
                os.chmod(self.to, 0o755)

    def each_fails(self, reason, **how):
        for name, words in self.each():
            if "--what-matters" in words:
                continue  # it writes after 10 s of simulation; tests/faults/test_decide_faults.c tests its file
            out = self.refused(*words, reason=reason, **how)
            self.old_is_whole(name, words)
            if words[0] in ("compare", "size", "fit"):
                self.assertIn(b"\n", out, f"{words}: the answer is printed although its file cannot be written")

    def test_files_of_at_most_4_kb(self):
        self.each_fails("File too large", preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096)))

    def test_a_full_disk(self):
        """Needs root to mount a disk of 16 kB; the limit above is the same test without a disk."""
        if os.geteuid() != 0 or os.system(f"mount -t tmpfs -o size=16k none '{self.to}' 2>/dev/null") != 0:
            return
        self.addCleanup(os.system, f"umount '{self.to}'")
        self.each_fails("No space left")


class Interrupted(Desk):
    """Ctrl-C and SIGKILL while the command writes the new file."""

    LONG = (
        ("x.h5", "run", "a.yaml", "--replicates", "1000000"),
        ("x.h5", "compare", "a.yaml", "b.yaml", "--replicates", "1000000"),
        ("x.h5", "size", "a.yaml", "--at-most", "1000000"),
        ("x.h5", "fit", "a.yaml", "log.csv", "--draws", "20000", "--quiet"),
        ("x.csv", "fit", "a.yaml", "log.csv", "--draws", "20000", "--quiet"),
    )

    def start(self, name, *words):
        """Starts the command and waits for its temporary file."""
        self.put_old(name)
        words = [*words, "--force", "-o", os.path.join(self.to, name)]
        running = self.at_work(words, lambda: os.listdir(self.to) != [name])
        time.sleep(0.05)
        return running

    def test_ctrl_c(self):
        for name, *words in self.LONG:
            with self.subTest(words):
                running = self.start(name, *words)
                running.send_signal(signal.SIGINT)
                out, err = running.communicate(timeout=PATIENCE_S)
                self.assertEqual((running.returncode, out, err.count(b"\n")), (130, b"", 1), err)
                self.old_is_whole(name, words)
            os.unlink(os.path.join(self.to, name))

    def test_killed_outright(self):
        """Expects the old file intact; the next run removes the temporary file of the killed one."""
        for name, *words in self.LONG:
            with self.subTest(words):
                running = self.start(name, *words)
                running.kill()
                running.communicate(timeout=PATIENCE_S)
                with open(os.path.join(self.to, name), "rb") as file:
                    self.assertEqual(file.read(), OLD)
                left = sorted(os.listdir(self.to))
                self.assertTrue(left[0].startswith(f".{name}.") and left[0].endswith(".part") and len(left) == 2, left)
                short = [*words[: 2 + (words[0] in ("compare", "fit"))]]
                short += {"run": ["--replicates", "2"], "compare": ["--replicates", "2"], "size": ["--at-most", "1000"], "fit": ["--draws", "100"]}.get(
                    words[0], []
                )
                self.wintergrub(*short, "--force", "--quiet", "-o", os.path.join(self.to, name))
                self.assertEqual(os.listdir(self.to), [name])
            shutil.rmtree(self.to)
            os.mkdir(self.to)


if __name__ == "__main__":
    unittest.main()
