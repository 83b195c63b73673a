"""Checks wintergrub check: it prints valid scenarios as understood, and each mistake of broken ones with its position."""

import glob
import os
import re
import unittest

from commands import SCENARIOS, SRC, CommandTest

BROKEN = os.path.join(SRC, "tests", "data", "broken")  # the name of each file says what is wrong with it
LOCATED = re.compile(rf"(?m)^{re.escape(BROKEN)}/.*yaml(:[0-9]+:[0-9]+)?: error: [^ ].*[^ ]$")
COUNTED = re.compile(r"(?m)^wintergrub: .*: ([0-9]+) mistakes?; ")


class Check(CommandTest):
    def test_valid_scenarios(self):
        for scenario in glob.glob(os.path.join(SCENARIOS, "*.yaml")):
            text = self.wintergrub("check", scenario)
            self.assertEqual(self.stderr, "")
            self.assert_clean(text)
            self.assert_fits(text)
            self.assert_all_in([" degC", " degF"], text)
            self.assertNotRegex(text, "[0-9]e-[0-9]", "no tiny numbers")
            self.assertNotRegex(text, "[0-9]{5,} (larvae|eggs)", "no more than four digits in a row")
        self.nothing_left()

    def test_broken_scenarios(self):
        """As many mistakes at their places as are counted at the end."""
        broken = sorted(glob.glob(os.path.join(BROKEN, "*.yaml")))
        self.assertGreaterEqual(len(broken), 50)
        for i, scenario in enumerate(broken):
            self.assertEqual(self.wintergrub("check", scenario, status=3), "")
            told = self.stderr
            self.assert_clean(told)
            self.assertNotRegex(told, "(?i)libfyaml|fy_|udunits|errno|assert", "speaks of its insides")
            located = len(LOCATED.findall(told))
            self.assertGreater(located, 0, told)
            self.assertEqual(COUNTED.findall(told), [str(located)], told)
            if i % 8 == 7:  # run reads with the same reader
                self.assertEqual(self.wintergrub("run", scenario, "--replicates", "1000000", "-o", "x.h5", status=3), "")
                self.assertEqual(self.stderr, told)
        self.nothing_left()


if __name__ == "__main__":
    unittest.main()
