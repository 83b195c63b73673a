# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks terminal output: progress during the run, colours unless NO_COLOR or a dumb terminal, clean lines at the end."""

import fcntl
import os
import pty
import re
import signal
import struct
import subprocess
import termios
import unittest

from commands import PROGRAM, CommandTest

ESCAPE = "\x1b"


def at_terminal(words, env, streams, columns=80, stop_after=None):
    """
    Runs with the named streams on a pseudo-terminal; returns its output, and that of the other streams. Presses Ctrl-C once
    the output holds `stop_after`.
    """
    try:
        ours, theirs = pty.openpty()
    except OSError as error:  # a system without /dev/pts
        raise unittest.SkipTest(f"no terminal available: {error}") from error
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    with subprocess.Popen(
        [PROGRAM, *words],
        stdin=subprocess.DEVNULL,
        stdout=theirs if "out" in streams else subprocess.PIPE,
        stderr=theirs if "err" in streams else subprocess.PIPE,
        env=env,
    ) as running:
        os.close(theirs)
        seen = b""
        while True:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # on Linux when the other side is closed
                break
            if not piece:
                break
            seen += piece
            if stop_after and stop_after in seen:
                running.send_signal(signal.SIGINT)
                stop_after = None
        others = b"".join(stream.read() for stream in (running.stdout, running.stderr) if stream)
    os.close(ours)
    return running.returncode, seen.decode(), others.decode()


class Terminal(CommandTest):
    def setUp(self):
        super().setUp()
        self.copy("smallest.yaml")
        self.run_words = ["run", "smallest.yaml", "--replicates", "4", "--force"]
        self.long_run = ["run", "smallest.yaml", "--replicates", "40", "--threads", "1", "--force"]

    def seen(self, words, streams, **env):
        status, seen, others = at_terminal(words, self.environment(TERM="xterm", **env), streams)
        self.assertEqual(status, 0, seen + others)
        return seen, others

    def test_progress_appears_and_disappears(self):
        seen, forecast = self.seen(self.long_run, {"err"})
        counts = [int(n) for n in re.findall(r"(\d+) of 40", seen)]
        self.assertGreaterEqual(len(counts), 1, seen)
        self.assertEqual(counts, sorted(counts))
        self.assertNotIn("\r", forecast)
        # the text that carriage returns leave visible
        lines = [line.rstrip().split("\r")[-1] for line in seen.replace("\r\n", "\n").split("\n")]
        self.assertEqual([line for line in lines if line], ["wintergrub: the result is in smallest.h5"])

    def test_progress_fits_into_the_terminal(self):
        for columns, words in ((80, self.long_run), (40, self.run_words), (12, self.run_words)):
            status, seen, _ = at_terminal(words, self.environment(TERM="xterm"), {"err"}, columns)
            self.assertEqual(status, 0)
            drawn = seen[: seen.index("wintergrub:")].split("\r")
            self.assertLessEqual(max(len(line.replace("\b", "")) for line in drawn), columns - 1)
            if columns == 80:
                self.assertRegex(seen, r"simulating: \d+ of 40 [#.\u2588\u2591]{20} \d+ %(, \d+ s left)?, [\d.]+ a second")

    def test_a_long_run_is_announced_and_stops_cleanly(self):
        words = ["run", "smallest.yaml", "--replicates", "100000", "--force"]
        status, seen, _ = at_terminal(words, self.environment(TERM="xterm"), {"err"}, stop_after=b"left")
        self.assertEqual(status, 130)
        lines = [line.rstrip().split("\r")[-1] for line in seen.replace("\r\n", "\n").split("\n")]
        self.assertRegex(lines[0], r"^wintergrub: this will take about [\d.]+ (seconds|minutes|hours)\.$")
        self.assertEqual(lines[1:], ["wintergrub: stopped; nothing was written.", ""])
        self.assertEqual(os.listdir(), ["smallest.yaml"])

    def test_progress_of_many_scenarios_counts_over_all(self):
        self.copy("smallest.yaml", "other.yaml")
        seen, _ = self.seen(["run", "smallest.yaml", "other.yaml", "-o", "all", "--replicates", "30", "--threads", "1"], {"err"})
        counts = [int(n) for n in re.findall(r"(\d+) of 60", seen)]
        self.assertEqual(counts, sorted(counts))
        self.assertGreater(max(counts), 30)
        self.assertNotIn("of 30 ", seen)

    def test_progress_appears_before_the_first_replicate(self):
        seen, _ = self.seen(["run", "smallest.yaml", "--replicates", "1", "--force"], {"err"})
        self.assertTrue(seen.startswith("\rsimulating ..."), seen)

    def test_no_progress_when_quiet_or_not_at_a_terminal(self):
        seen, _ = self.seen([*self.long_run, "--quiet"], {"err"})
        self.assertEqual(seen, "")
        _, messages = self.seen(self.long_run, {"out"})
        self.assertNotRegex(messages, r"\r|of 40")

    def test_colours_only_on_a_colour_terminal(self):
        plain = self.wintergrub(*self.run_words)
        self.assertNotIn(ESCAPE, plain)
        inked, _ = self.seen(self.run_words, {"out"})
        self.assertIn(ESCAPE, inked)
        self.assertEqual(self.above_chart(re.sub(r"\x1b\[[0-9;]*m", "", inked)), plain)
        bare = {key: value for key, value in self.environment().items() if key != "TERM"}
        _, seen, _ = at_terminal(self.run_words, {**bare, "TERM": "xterm", "NO_COLOR": "1"}, {"out"})
        self.assertEqual(self.above_chart(seen), plain)
        # neither colours nor the chart on a dumb terminal
        for env in ({**bare, "TERM": "dumb"}, {**bare, "TERM": ""}, bare):
            status, seen, messages = at_terminal(self.run_words, env, {"out"})
            self.assertEqual(status, 0, messages)
            self.assertEqual(seen.replace("\r\n", "\n"), plain)
        # an empty NO_COLOR has no effect (no-color.org)
        self.assertIn(ESCAPE, self.seen(self.run_words, {"out"}, NO_COLOR="")[0])

    def above_chart(self, seen):
        """Returns the text above the chart, behind which the odds are repeated."""
        text, chart, short = seen.replace("\r\n", "\n").rsplit("\n\n", 2)
        self.assertIn("\nlarvae ", chart)
        self.assertIn(short.split("\n")[0].rstrip("."), text)
        return text + "\n"

    def test_chart_only_on_a_terminal(self):
        self.assertNotIn("\nlarvae ", self.wintergrub(*self.run_words))
        for more in ("--quiet", "--json"):
            self.assertNotIn("\nlarvae ", self.seen([*self.run_words, more], {"out"})[0])
        for env, letter in (({"LC_ALL": "C.UTF-8"}, "\u2588"), ({"LC_ALL": "C"}, "#"), ({"LC_ALL": "", "LANG": "en_GB.utf8"}, "\u2588")):
            chart = self.seen(self.run_words, {"out"}, NO_COLOR="1", **env)[0].replace("\r\n", "\n").rsplit("\n\n", 2)[1]
            lines = chart.rstrip("\n").split("\n")
            self.assertLessEqual(len(lines), 7)
            self.assertLessEqual(max(map(len, lines)), 80)
            self.assertEqual([line for line in lines if line != line.rstrip()], [])
            self.assertIn(letter, lines[1])
            self.assertEqual(chart.isascii(), letter == "#")
            self.assertRegex(lines[4], r"^ +Jan +Feb")

    def test_json_is_never_coloured(self):
        self.assertNotIn(ESCAPE, self.seen([*self.run_words, "--json"], {"out"})[0])
        self.assertNotIn(ESCAPE, self.seen(["timetable", "27degC", "--json"], {"out"})[0])


if __name__ == "__main__":
    unittest.main()
