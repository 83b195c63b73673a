# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks twenty random plans with all keys and their limits: each valid plan runs correctly (tests/support/random_plans.py).

scripts/verify random_plans checks three hundred others.
"""

import os
import sys
import tempfile
import unittest

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "support"))
from random_plans import examine_many  # noqa: E402

SEED, PLANS = 5, 20


class RandomPlans(unittest.TestCase):
    def test_plans_with_every_key_and_its_limits(self):
        with tempfile.TemporaryDirectory() as folder:
            went, failing = examine_many(SEED, range(PLANS), os.path.join(folder, "plan"), variants=1, tries=15)
        self.assertEqual(failing, [], "see above")
        # most must be valid, or the test means little
        self.assertGreater(went.get("lived", 0), PLANS // 2, went)


if __name__ == "__main__":
    unittest.main()
