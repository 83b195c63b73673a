"""Base class for the Python tests of the command line: runs the program in an empty temporary folder."""

import os
import shutil
import subprocess
import tempfile
import time
import unittest

PROGRAM = os.path.abspath(os.environ["WINTERGRUB"])
SRC = os.path.abspath(os.environ["SRC"])
SCENARIOS = os.path.join(SRC, "scenarios")
PATIENCE_S = 60  # long enough for a sanitizer on a busy machine


class AtTheDesk(unittest.TestCase):
    """Runs each test in an empty folder, with another one for the program's temporary files."""

    def setUp(self):
        self.shelf = tempfile.mkdtemp()
        self.desk = os.path.join(self.shelf, "desk")
        self.tmp = os.path.join(self.shelf, "tmp")
        os.mkdir(self.desk)
        os.mkdir(self.tmp)
        self.addCleanup(shutil.rmtree, self.shelf)
        os.chdir(self.desk)
        self.addCleanup(os.chdir, "/")

    def environment(self, **more):
        kept = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TMPDIR")}
        return {**kept, "TMPDIR": self.tmp, **more}

    def wintergrub(self, *words, status=0):
        """Runs the program, checks its status and returns its standard output."""
        done = subprocess.run([PROGRAM, *words], capture_output=True, stdin=subprocess.DEVNULL, env=self.environment())
        self.assertEqual(done.returncode, status, f"{words}: {done.stdout.decode()}{done.stderr.decode()}")
        self.stderr = done.stderr.decode()
        return done.stdout.decode()

    def at_work(self, words, is_at_work):
        """Starts the program, waits until is_at_work() and returns the running process."""
        running = subprocess.Popen(
            [PROGRAM, *words],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.environment(),
        )
        self.addCleanup(running.wait)
        self.addCleanup(running.kill)
        end = time.monotonic() + PATIENCE_S
        while not is_at_work() and time.monotonic() < end:
            self.assertIsNone(running.poll(), f"{words}: it should still be at work")
            time.sleep(0.01)
        return running

    def copy(self, name, to=None):
        """Copies an example scenario to the folder."""
        return shutil.copy(os.path.join(SCENARIOS, name), to or os.path.basename(name))

    def nothing_left(self, *expected):
        self.assertEqual(sorted(os.listdir(self.desk)), sorted(expected))
        self.assertEqual(os.listdir(self.tmp), [])
