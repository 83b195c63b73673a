"""Words for the tests of the command line that are written in Python: the program in an empty folder of its own."""

import os
import shutil
import subprocess
import tempfile
import time
import unittest

PROGRAM = os.path.abspath(os.environ["WINTERGRUB"])
SRC = os.path.abspath(os.environ["SRC"])
SCENARIOS = os.path.join(SRC, "scenarios")
PATIENCE_S = 60  # as long as a busy machine under a sanitizer may need


class AtTheDesk(unittest.TestCase):
    """Each test stands in an empty folder, with another one for the program's passing files."""

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
        """Runs the program; its standard output. Any other status than expected is a failure."""
        done = subprocess.run([PROGRAM, *words], capture_output=True, stdin=subprocess.DEVNULL, env=self.environment())
        self.assertEqual(done.returncode, status, f"{words}: {done.stdout.decode()}{done.stderr.decode()}")
        self.stderr = done.stderr.decode()
        return done.stdout.decode()

    def at_work(self, words, is_at_work):
        """The program, left running; from the moment on that is_at_work() says so."""
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
        """An example scenario on the desk."""
        return shutil.copy(os.path.join(SCENARIOS, name), to or os.path.basename(name))

    def nothing_left(self, *expected):
        self.assertEqual(sorted(os.listdir(self.desk)), sorted(expected))
        self.assertEqual(os.listdir(self.tmp), [])
