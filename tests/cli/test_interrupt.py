"""Ctrl-C and its like: one line, the status a shell expects of a signal, and nothing left behind."""

import os
import signal
import subprocess
import time
import unittest

from words import PROGRAM, AtTheDesk

# As long as a busy machine under a sanitizer may need to live through the years it is in.
PATIENCE_S = 60


class Interrupt(AtTheDesk):
    def stopped_by(self, number, *words):
        """Starts the program, waits until it is at work, sends the signal; checks the status and the one line."""
        before = set(self.given)
        running = self.at_work(words, lambda: not set(os.listdir(self.desk)) <= before or os.listdir(self.tmp))
        time.sleep(0.2)
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

    def test_an_old_result_stays_as_it_was(self):
        with open("old.h5", "w", encoding="ascii") as file:
            file.write("old")
        self.given.append("old.h5")
        self.stopped_by(signal.SIGINT, "run", "smallest.yaml", "--replicates", "1000000", "--force", "-o", "old.h5")
        with open("old.h5", encoding="ascii") as file:
            self.assertEqual(file.read(), "old")

    def test_ctrl_c_stops_a_rerun(self):
        self.wintergrub("run", "smallest.yaml", "--replicates", "400", "-o", "a.h5")
        self.given.append("a.h5")
        self.stopped_by(signal.SIGINT, "rerun", "a.h5", "--threads", "1")

    def test_nohup_is_kept(self):
        """Whoever ignores SIGHUP (nohup) goes on ignoring it."""
        running = subprocess.Popen(
            [PROGRAM, "run", "smallest.yaml", "--replicates", "60", "--threads", "1"],
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
