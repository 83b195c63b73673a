# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Runs tests/verify/killed.py for twenty runs, each ended by SIGKILL."""

import os
import sys
import unittest

from commands import SRC, CommandTest

sys.path.insert(0, os.path.join(SRC, "tests", "verify"))
import killed  # noqa: E402


class Killed(CommandTest):
    def test_runs(self):
        self.assertTrue(killed.main(20, ["run"]))


if __name__ == "__main__":
    unittest.main()
