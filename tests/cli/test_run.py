# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks wintergrub run: its output, the result file, and that errors leave existing files unchanged."""

import glob
import os
import re
import unittest

from commands import NO_NUMBER, SCENARIOS, CommandTest, example, read, write

# A garden bin in the first days of a hard winter.
WINTER = """period: {from: 2027-01-01, to: 2027-01-20}
climate: {latitude: 45 degrees, normals: {unit: degC, daily_high: [-5, -4, 2, 10, 16, 21, 24, 23, 18, 11, 4, -2],
                                          daily_low: [-15, -14, -8, 0, 5, 10, 13, 12, 7, 1, -5, -11]}}
places: [{name: yard, housing: outdoors, bins: [{name: bin}]}]
starter: [{on: 2027-01-01, in: bin, stage: egg, count: 10}]
feeding: [{in: bin, what: kitchen scraps, amount: 1 lb, every: 1 day}]
forecast: {replicates: 20, seed: 1}
"""
CAUTION_OF_HEAT = "(?i)electrical (and fire )?code|electrician"
CAUTION_OF_HARVEST = "(?i)regulat|authorit"
HEATED = ["crow-lane-mat", "seattle-record"]
UNHEATED = ["harrow-hill-outdoors", "smallest"]
UNHARVESTED = ["smallest"]


class Forecast(CommandTest):
    def test_each_example(self):
        """Expects one screen for each."""
        for scenario in glob.glob(os.path.join(SCENARIOS, "*.yaml")):
            name = os.path.basename(scenario).removesuffix(".yaml")
            text = self.wintergrub("run", scenario, "--replicates", "6")
            self.assert_clean(text, self.stderr)
            self.assert_fits(text, 52)  # the plan with most warnings has more than a screen
            self.assertIn(f"{name}.h5", self.stderr)
            self.assertEqual(self.stderr.count("\n"), 1, self.stderr)
            self.assertRegex(text, r"(?m)^Alive at the end in [0-9]+ of 6 .*%.*between [0-9.]+ and [0-9.]+ %")
            self.assert_all_in(["First adults", "First batch, half", "Most larvae", "All crawl-off"], text)
            self.assertNotRegex(text, NO_NUMBER)
            if name in HEATED:
                self.assertRegex(text, CAUTION_OF_HEAT)
            if name in UNHEATED:
                self.assertNotRegex(text, CAUTION_OF_HEAT)
            if name in UNHARVESTED:
                self.assertNotRegex(text, CAUTION_OF_HARVEST)
            elif name in HEATED + UNHEATED:
                self.assertRegex(text, CAUTION_OF_HARVEST)
            self.nothing_left(f"{name}.h5")
            os.unlink(f"{name}.h5")

    def test_one_replicate_is_one_year(self):
        text = self.wintergrub("run", os.path.join(SCENARIOS, "smallest.yaml"), "--replicates", "1", "-q")
        self.assert_all_in([", 1 possible year"], text)
        self.assertRegex(text, r"(Alive at the end of|Died out in) the one year simulated \(odds between \d+ and \d+ of 100\)\n")
        self.assertNotRegex(text, "1 years|of 1 year|the 1 year")
        self.assertEqual(text.splitlines()[0], "smallest.yaml", "a plan without a title has the name of its file")

    def test_what_never_happens(self):
        write("winter.yaml", WINTER)
        text = self.wintergrub("run", "winter.yaml", "--quiet")
        self.assert_fits(text, 30)
        self.assertRegex(text, r"(?m)^Alive at the end in 0 of 20 .*: 0 %|0 of 20 .*\(0 %")
        self.assertRegex(text, r"(?m)^First adults +.*(never|not|none)")
        self.assertNotRegex(text, "(?i)nan|inf")

    def test_seeds(self):
        self.copy("smallest.yaml")

        def forecast(*words):
            return self.wintergrub("run", "smallest.yaml", "--quiet", "--force", "-o", "x.h5", *words)

        five = forecast("--replicates", "20", "--seed", "5")
        self.assertEqual(forecast("--seed=5", "--threads", "2", "--replicates=20"), five)
        self.assertNotEqual(forecast("--replicates", "20", "--seed", "6"), five)
        forecast("--replicates", "1", "--seed", "18446744073709551615")


class Files(CommandTest):
    """Output files."""

    def setUp(self):
        super().setUp()
        os.mkdir("farm")
        self.copy("smallest.yaml", "farm/bench.v2.yaml")

    def only(self, *names, farm=()):
        self.nothing_left("farm", *names)
        self.assertEqual(sorted(os.listdir("farm")), ["bench.v2.yaml", *farm])

    def test_an_existing_file_needs_force(self):
        self.wintergrub("run", "farm/bench.v2.yaml", "--replicates", "5")
        self.only("bench.v2.h5")
        before = read("bench.v2.h5")
        # fails before the simulation: a million replicates would take an hour
        words = ["run", "farm/bench.v2.yaml", "--replicates", "1000000"]
        self.refused(*words, status=4, expected=["bench.v2.h5", "--force"])
        self.assertEqual(read("bench.v2.h5"), before)
        self.only("bench.v2.h5")
        self.wintergrub("run", "farm/bench.v2.yaml", "--replicates", "6", "--force")
        self.assertNotEqual(read("bench.v2.h5"), before)

    def test_missing_folders(self):
        for place in ("nowhere/x.h5", "farm", "/dev/null/x.h5"):
            self.refused("run", "farm/bench.v2.yaml", "--replicates", "1000000", "-o", place, status=4)
            self.only()

    def test_output_in_another_folder(self):
        self.wintergrub("run", "farm/bench.v2.yaml", "--replicates", "3", "--quiet", "--output=farm/elsewhere.h5")
        self.assertEqual(self.stderr, "")
        self.only(farm=["elsewhere.h5"])

    def test_a_full_disk(self):
        """With files of at most 20 kB: a reason, no result, no temporary file. The old result stays."""
        write("old.h5", "old")
        words = ["run", "farm/bench.v2.yaml", "--replicates", "50", "--force", "-o", "old.h5"]
        self.refused(*words, status=4, largest_file=40 * 512)
        self.assertEqual(read("old.h5"), b"old")
        self.only("old.h5")

    def test_a_result_is_complete_even_if_the_forecast_cannot_be_printed(self):
        self.no_space_left("run", "farm/bench.v2.yaml", "--replicates", "3", "--quiet")
        self.only("bench.v2.h5")
        self.wintergrub("rerun", "bench.v2.h5", "--quiet")


class Rejected(CommandTest):
    def test_mistakes_with_their_positions(self):
        write("bad.yaml", example("smallest.yaml", ("count: 1000", "count: -3"), ("replicates: 256", "replicates: none")))
        self.assertEqual(self.wintergrub("run", "bad.yaml", status=3), "")
        self.assert_clean(self.stderr)
        self.assertEqual(len(re.findall(r"(?m)^bad\.yaml:[0-9]+:[0-9]+: error: ", self.stderr)), 2, self.stderr)

    def test_unlimited_growth(self):
        """Expects an error at the line of feeding, with the day and the remedy, the same for any number of threads."""
        text = example("smallest.yaml", ("2026-12-31", "2029-12-31"))
        write("long.yaml", text)
        line = 1 + text.splitlines().index("feeding: unlimited")
        first_message = None
        for threads in ("2", "1"):
            self.assertEqual(self.wintergrub("run", "long.yaml", "--replicates", "8", "--threads", threads, status=3), "")
            self.assertRegex(self.stderr, rf"(?m)^long\.yaml:{line}:1: error: .*[0-9]+ [A-Z][a-z]+ 202[6-9]")
            self.assert_all_in(["feeding plan", "feeding: unlimited"], self.stderr)
            self.assertEqual(self.stderr, first_message or self.stderr)
            first_message = self.stderr
        self.nothing_left("long.yaml")


if __name__ == "__main__":
    unittest.main()
