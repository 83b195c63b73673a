# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks wintergrub check: it prints valid scenarios as understood, and each mistake of broken ones with its position."""

import glob
import os
import re
import unittest

from commands import SCENARIOS, SRC, CommandTest

BROKEN = os.path.join(SRC, "tests", "data", "broken")  # each file is named after its mistake
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
            self.assertNotRegex(text, "[0-9]e-[0-9]", "no rounding errors")
            self.assertNotRegex(text, "[0-9]{5,} (larvae|eggs)", "no more than four digits in a row")
        self.nothing_left()

    def test_what_is_not_given_of_the_species_is_that_of_the_animals(self):
        """Half of the plausible animals are of each kind; the middle animal is of the kind by day length."""
        plan = self.copy("harrow-hill-outdoors.yaml")
        with open(plan, encoding="utf-8") as file:
            text = file.read()
        half = "half by day length, half by cold only"
        for species, numbers, dormancy in (("{}", "as in each animal", half), ("{animals: middle}", "keepers", "by day length")):
            with open(plan, "w", encoding="utf-8") as file:
                file.write(text + f"\nspecies: {species}\n")
            shown = self.wintergrub("check", plan)
            self.assertRegex(shown, rf"(?m)^  numbers +{numbers} \(default\)$")
            self.assertRegex(shown, rf"(?m)^  dormancy +{dormancy} \(default\)$")
        self.assertIn(f"Default: {half}.", self.wintergrub("help", "scenario", "dormancy"))
        with open(os.path.join(SRC, "src", "species", "plausible_animals.tsv"), encoding="utf-8") as file:
            rows = [line.split("\t") for line in file if not line.startswith("#")]
        column = rows[0].index("dormancy_by_day_length")
        self.assertEqual({row[column] for row in rows[1:]}, {"0", "1"})
        self.assertEqual(sum(row[column] == "1" for row in rows[1:]), len(rows[1:]) / 2)

    def test_broken_scenarios(self):
        """Expects as many located mistakes as the last line counts."""
        broken = sorted(glob.glob(os.path.join(BROKEN, "*.yaml")))
        self.assertGreaterEqual(len(broken), 50)
        for i, scenario in enumerate(broken):
            self.assertEqual(self.wintergrub("check", scenario, status=3), "")
            messages = self.stderr
            self.assert_clean(messages)
            self.assertNotRegex(messages, "(?i)libfyaml|fy_|udunits|errno|assert", "names internals")
            located = len(LOCATED.findall(messages))
            self.assertGreater(located, 0, messages)
            self.assertEqual(COUNTED.findall(messages), [str(located)], messages)
            if i % 8 == 7:  # run uses the same reader
                self.assertEqual(self.wintergrub("run", scenario, "--replicates", "1000000", "-o", "x.h5", status=3), "")
                self.assertEqual(self.stderr, messages)
        self.nothing_left()


if __name__ == "__main__":
    unittest.main()
