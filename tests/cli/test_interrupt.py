# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks Ctrl-C and other signals: one line, the status that a shell expects, and no files left."""

import os
import shutil
import signal
import subprocess
import tempfile
import time
import unittest

from commands import PATIENCE_S, PROGRAM, CommandTest


class Interrupt(CommandTest):
    @classmethod
    def setUpClass(cls):
        cls.kept = tempfile.mkdtemp()
        cls.addClassCleanup(shutil.rmtree, cls.kept)

    def stopped_by(self, number, *words):
        """Starts the program, waits until it is running, sends the signal; checks the status and the line."""
        before = set(self.given)
        running = self.at_work(words, lambda: not set(os.listdir(self.desk)) <= before or os.listdir(self.tmp))
        time.sleep(0.05)
        running.send_signal(number)
        out, err = running.communicate(timeout=PATIENCE_S)
        self.assertEqual(running.returncode, 128 + number, err.decode())
        self.assertEqual(out, b"")
        self.assertEqual(err.count(b"\n"), 1, err.decode())
        self.assertIn(b"stopped", err)
        self.nothing_left(*self.given)

    def setUp(self):
        super().setUp()
        self.given = [self.copy("smallest.yaml")]

    def test_ctrl_c_stops_a_run(self):
        self.stopped_by(signal.SIGINT, "run", "smallest.yaml", "--replicates", "1000000")

    def test_one_thread_stops_too(self):
        self.stopped_by(signal.SIGINT, "run", "smallest.yaml", "--replicates", "1000000", "--threads", "1")

    def test_sigterm_and_sighup_stop_a_run(self):
        for number in (signal.SIGTERM, signal.SIGHUP):
            self.stopped_by(number, "run", "smallest.yaml", "--replicates", "1000000", "--json")

    def test_an_old_result_stays_intact(self):
        with open("old.h5", "w", encoding="ascii") as file:
            file.write("old")
        self.given.append("old.h5")
        self.stopped_by(signal.SIGINT, "run", "smallest.yaml", "--replicates", "1000000", "--force", "-o", "old.h5")
        with open("old.h5", encoding="ascii") as file:
            self.assertEqual(file.read(), "old")

    def test_ctrl_c_stops_a_rerun(self):
        self.wintergrub("run", "smallest.yaml", "--replicates", "50", "-o", "a.h5")
        self.given.append("a.h5")
        self.stopped_by(signal.SIGINT, "rerun", "a.h5", "--threads", "1")

    def wait_for_handler(self, running, number):
        """Waits until the process has a handler for this signal, and 0.1 s longer."""
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            with open(f"/proc/{running.pid}/status", encoding="ascii") as file:
                caught = next(line for line in file if line.startswith("SigCgt"))
            if int(caught.split()[1], 16) >> (number - 1) & 1:
                break
            time.sleep(0.005)
        time.sleep(0.1)

    def ended_soon_by(self, number, *words):
        """The same for commands without temporary files: they end within a second."""
        running = self.at_work(words, lambda: True)
        self.wait_for_handler(running, number)
        self.assertIsNone(running.poll(), f"{words}: ended before the signal")
        running.send_signal(number)
        begun = time.monotonic()
        out, err = running.communicate(timeout=PATIENCE_S)
        self.assertLess(time.monotonic() - begun, 1)
        self.assertEqual(running.returncode, 128 + number, err.decode())
        self.assertEqual(out, b"")
        self.assertEqual(err.count(b"\n"), 1, err.decode())
        self.assertIn(b"stopped", err)
        self.nothing_left(*self.given)

    def long_result(self):
        """Copies a result that takes seconds to read, simulated once for all tests."""
        self.given = [self.copy("harrow-hill-outdoors.yaml"), "smallest.yaml", "long.h5"]
        kept = os.path.join(self.kept, "long.h5")
        if not os.path.exists(kept):
            self.wintergrub("run", "harrow-hill-outdoors.yaml", "--replicates", "500", "-o", kept)
        shutil.copy(kept, "long.h5")

    def test_reports_and_figures_stop_at_once(self):
        self.long_result()
        for number in (signal.SIGINT, signal.SIGTERM):
            self.ended_soon_by(number, "report", "long.h5")
            self.ended_soon_by(number, "figures", "long.h5")

    def test_a_sweep_stops_at_once_while_it_checks_results(self):
        self.long_result()
        os.mkdir("farm")
        os.mkdir("out")
        for i in range(30):
            os.link("harrow-hill-outdoors.yaml", f"farm/{i}.yaml")
            os.link("long.h5", f"out/{i}.h5")
        self.given += ["farm", "out"]
        self.ended_soon_by(signal.SIGINT, "run", "farm", "-o", "out", "--replicates", "500")
        self.assertEqual(len(os.listdir("out")), 30)

    def test_rerun_stops_at_once_while_it_compares(self):
        """Expects the folder of the second result to be removed too."""
        self.long_result()
        running = self.at_work(
            ["rerun", "long.h5"], lambda: any("again.h5" in files for _, _, files in os.walk(self.tmp))
        )
        running.send_signal(signal.SIGTERM)
        begun = time.monotonic()
        out, err = running.communicate(timeout=PATIENCE_S)
        self.assertLess(time.monotonic() - begun, 1)
        self.assertEqual((running.returncode, out), (143, b""))
        self.assertEqual(err, b"wintergrub: stopped; nothing was compared.\n")
        self.nothing_left(*self.given)

    def test_nohup_is_kept(self):
        """A process that ignores SIGHUP (nohup) continues to ignore it."""
        running = subprocess.Popen(
            [PROGRAM, "run", "smallest.yaml", "--replicates", "20", "--threads", "1"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.environment(),
            preexec_fn=lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN),
        )
        time.sleep(0.1)
        running.send_signal(signal.SIGHUP)
        _, err = running.communicate(timeout=PATIENCE_S)
        self.assertEqual(running.returncode, 0, err.decode())
        self.nothing_left("smallest.h5", *self.given)


if __name__ == "__main__":
    unittest.main()
