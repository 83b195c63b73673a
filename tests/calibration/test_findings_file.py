#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""findings.tsv is well formed: windows can be read, papers can be looked up, rows refer to rows that the calibration uses."""
import sys
import unittest
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "verify/support"))
from truth_row import FINDINGS, references, tests_of

USED = ("closed", "seasonal")


class FindingsFile(unittest.TestCase):
    def test_every_source_can_be_looked_up(self):
        for key, row in FINDINGS.items():
            self.assertTrue(references(row["source"]) or "common practice" in row["source"], f"{key}: {row['source']}")

    def test_windows_can_be_read(self):
        for key, row in FINDINGS.items():
            if row["window"]:
                self.assertGreaterEqual(len(tests_of(row)), 1, key)

    def test_every_row_is_used(self):
        for key, row in FINDINGS.items():
            use = row["use"]
            if use.startswith("in "):
                for other in use.removeprefix("in ").split(", "):
                    self.assertIn(FINDINGS[other]["use"], USED, key)
            elif use.startswith("table only: "):
                self.assertTrue(row["window"], f"{key} is used by neither")
            else:
                self.assertIn(use, USED, key)

    def test_what_the_calibration_uses_says_where_it_comes_from(self):
        for key, row in FINDINGS.items():
            if row["use"] in USED:
                for column in ("value", "scale", "error", "side", "judgement"):
                    self.assertTrue(row[column], f"{key} has no {column}")
                self.assertGreater(float(row["error"]), 0, key)


if __name__ == "__main__":
    unittest.main()
