#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The verdicts of the truth table: judged by the window that is printed; every source can be looked up."""
import os
import pathlib
import re
import sys
import unittest

SOURCE = pathlib.Path(os.environ["SRC"])
sys.path.insert(0, str(SOURCE / "tests" / "verify" / "support"))
from truth_row import FINDINGS, SOURCES, Row, window  # noqa: E402


def finding(windows, source, near="0"):
    """A line of findings.tsv."""
    return {"what": "a finding", "short": "a finding", "published": "1 to 2", "window": windows, "near": near, "unit": "",
            "digits": "0", "source": source, "why": ""}  # fmt: skip


class Windows(unittest.TestCase):
    def tearDown(self):
        FINDINGS.pop("made up", None)

    def test_exact_near_and_neither(self):
        weeks = window(42, 56, 2, " d", 0)
        self.assertEqual([weeks.verdict(v) for v in (42, 56, 57, 40, 39, 59)],
                         ["holds", "holds", "near", "near", "does not hold", "does not hold"])  # fmt: skip
        self.assertEqual(str(weeks), "42 to 56 d (near: 40 to 58 d)")

    def test_judged_as_printed(self):
        self.assertEqual(window(21, 28, 1, " d").verdict(20.96), "holds")
        self.assertEqual(window(21, 28, 1, " d").verdict(20.94), "near")

    def test_each_set_has_its_own_verdict_the_worst_of_all_tests(self):
        FINDINGS["made up"] = finding("1..2 / 1..2", "common practice", near="0 / 1")
        self.assertEqual(Row("made up", ("3", "1"), (1, 1), (3, 1)).verdicts, ("near", "holds"))

    def test_nobody_can_look_up_a_trial_without_a_name(self):
        with self.assertRaises(ValueError):
            FINDINGS["made up"] = finding("1..1", "a trial, abstract")
            Row("made up", ("1", "1"), (1, 1))


class Readme(unittest.TestCase):
    def test_the_summary_counts_the_verdicts_that_are_recorded(self):
        lines = (SOURCE / "tests/verify/support/truth_verdicts.txt").read_text(encoding="utf-8").splitlines()[1:]
        verdicts = [line.split("\t")[1:] for line in lines]
        for name in ("README.md", "tests/verify/README.md"):
            flat = " ".join((SOURCE / name).read_text(encoding="utf-8").split())
            self.assertIn(f" {len(verdicts)} ", flat)
            for i, numbers in enumerate(("keepers", "laboratory")):
                n = [sum(row[i] == verdict for row in verdicts) for verdict in ("holds", "near", "does not hold")]
                self.assertIn(f"{numbers}: {n[0]} hold, {n[1]} near, {n[2]} do not hold", flat)

    def test_every_line_has_its_window_two_verdicts_and_a_source(self):
        text = (SOURCE / "tests/verify/README.md").read_text(encoding="utf-8")
        part = text.split("## Published against simulated", 1)[1].split("\n## ", 1)[0]
        rows = [line.strip("| ").split(" | ") for line in part.splitlines() if line.startswith("| ")][1:]
        self.assertGreater(len(rows), 20)
        flat = " ".join(part.split())
        for what, _, shown, keepers, laboratory, *_ in rows:
            self.assertRegex(shown, r"\d", what)
            for said in (keepers, laboratory):
                self.assertRegex(said, r": (holds|near|\*\*does not hold\*\*)$", what)
            source = re.search(r"\((?!.*\()(.*)\)", what).group(1)
            self.assertTrue("common practice" in source or any(f"{name}: {SOURCES[name]}" in flat for name in SOURCES
                                                               if name in source), what)  # fmt: skip


if __name__ == "__main__":
    unittest.main()
