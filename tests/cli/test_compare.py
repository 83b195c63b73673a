"""Checks wintergrub compare: its output, rejected setups, its file. test_compare_numbers.py checks its numbers."""

import os
import re
import unittest

from commands import NO_NUMBER, SCENARIOS, CommandTest, example, read, write

MAT, SHED, OUTDOORS, HOOP_HOUSE = (
    os.path.join(SCENARIOS, f"crow-lane-{name}.yaml") for name in ("mat", "shed", "outdoors", "hoop-house")
)
SIDE_BY_SIDE = [
    "the same 12 possible years",
    "Alive at the end",
    "Weeks no crawl-off",
    "First batch, half",
    "All crawl-off, kg",
    "All taken out, kg",
    "Energy, kWh",
    "Energy cost",
    "Cost per extra kg",
    "Cost per extra lb",
    "- (the first)",
    "B against A: over the same 12",
    "C against A:",
    "D against A:",
    "better in ",
]
# a change to crow-lane-shed, and what the error contains: the difference, its value, the value of crow-lane-mat
REJECTED = [
    (("to: 2027-09-14", "to: 2027-09-13"), ["period", "13 September 2027", "14 September 2027"]),
    (("latitude: 41", "latitude: 42"), ["latitude", "42 degrees", "41 degrees"]),
    (("elevation: 240 m", "elevation: 250 m"), ["elevation", "250 m", "240 m"]),
    (("spread: continental", "spread: marine"), ["spread", "January"]),
    (("daily_high: [32,", "daily_high: [50,"), ["daily high of January", "10 degC", "0 degC"]),
]


class Screen(CommandTest):
    def compare(self, *words, replicates):
        return self.wintergrub("compare", *words, "--replicates", str(replicates))

    def test_side_by_side(self):
        text = self.compare(OUTDOORS, HOOP_HOUSE, SHED, MAT, replicates=12)
        self.assertEqual(self.stderr, "")
        self.assert_clean(text)
        self.assert_fits(text)
        self.assert_all_in(SIDE_BY_SIDE, text)
        self.assertNotIn("times as many", text, "the variance factor is only in --json")
        for letter in "ABCD":
            self.assertRegex(text, f"(?m)^{letter}  Crow Lane, ")
        self.assertNotRegex(text, NO_NUMBER)
        self.assertEqual(text.count("licensed electrician"), 1)
        self.assertEqual(text.count("insects are regulated"), 1)
        self.assertRegex(text, "(?m)^Warning, C: ", "the shed's feeding")
        self.nothing_left()

    def test_without_heat(self):
        """Expects no caution about heat and no price."""
        text = self.compare(OUTDOORS, HOOP_HOUSE, replicates=12)
        self.assert_fits(text)
        self.assertNotIn("electrician", text)
        self.assertNotIn("Cost per extra", text)

    def test_more_than_four_are_in_blocks(self):
        text = self.compare(SHED, MAT, SHED, OUTDOORS, MAT, HOOP_HOUSE, replicates=2)
        self.assert_fits(text)
        self.assertRegex(text, "(?m)^ +A +B +C +D$")
        self.assertRegex(text, "(?m)^ +A +E +F$")
        self.assertIn("F against A:", text)

    def test_a_scenario_against_itself(self):
        text = self.compare(MAT, MAT, replicates=8)
        self.assert_all_in(
            ["taken out: the same in all 8 years;", "no difference in 8", "Weeks without crawl-off: the same"], text
        )
        self.assertNotIn("Energy, kWh: ", text)

    def test_threads_and_seeds(self):
        def pair(*words):
            return self.compare(OUTDOORS, MAT, *words, replicates=6)

        one = pair("--threads", "1")
        self.assertEqual(pair("--threads=3", "--seed", "2026"), one, "the seed of the first file")
        self.assertNotEqual(pair("--seed", "7"), one)

    def test_seed_and_number_of_years_of_the_first_file(self):
        write("mine.yaml", example("crow-lane-mat.yaml", ("replicates: 512, seed: 2026", "replicates: 5, seed: 77")))
        self.assert_all_in(['"replicates": 5,', '"seed": "77"'], self.wintergrub("compare", "mine.yaml", OUTDOORS, "--json"))

    def test_allowed_differences(self):
        changes = ("per_year: 2", "per_year: 0"), ("steps_per_day: 1", "steps_per_day: 2")
        write("other.yaml", example("crow-lane-mat.yaml", *changes))
        text = re.sub(r"\s+", " ", self.compare(MAT, "other.yaml", replicates=4))
        self.assertIn("Also different: power cuts a year: 0, 2 in A.", text)
        self.assertIn("steps a day: 2, 1 in A.", text)


class Rejected(CommandTest):
    def test_differences(self):
        for change, expected in REJECTED:
            write("other.yaml", example("crow-lane-shed.yaml", change))
            words = ["compare", MAT, "other.yaml", "--replicates", "1000000", "-o", "x.h5"]
            self.refused(*words, status=3, told=["other.yaml", MAT, *expected])
            self.assert_clean(self.stderr)
            self.nothing_left("other.yaml")

    def test_recorded_and_generated_weather(self):
        """Weather differs if one plan uses recorded years and the other generates from the same record."""
        os.symlink(os.path.join(SCENARIOS, "weather"), "weather")
        write("years.yaml", example("seattle-record.yaml"))
        write("fitted.yaml", example("seattle-record.yaml", ("use: years", "use: fitted")))
        self.wintergrub("compare", "years.yaml", "fitted.yaml", status=3)
        self.assert_all_in(["generated from a record", "recorded years"], self.stderr)

    def test_arguments(self):
        for words in ([], [MAT], [MAT] * 9, [MAT, SHED, "--replicates", "0"], [MAT, SHED, "--calendar"]):
            self.refused("compare", *words, status=2, told=["help compare"])
        self.refused("compare", MAT, "nowhere.yaml", status=4, told=["nowhere.yaml"])

    def test_mistakes_with_their_positions(self):
        write("other.yaml", example("crow-lane-mat.yaml", ("count: 10000", "count: -1")))
        for words in (["other.yaml", MAT], [MAT, "other.yaml"]):
            self.wintergrub("compare", *words, status=3)
            self.assertRegex(self.stderr, r"(?m)^other\.yaml:[0-9]+:[0-9]+: error: ")

    def test_unlimited_growth(self):
        """Expects an error at the line of feeding."""
        write("other.yaml", example("smallest.yaml", ("2026-12-31", "2029-12-31")))
        self.assertEqual(self.wintergrub("compare", "other.yaml", "other.yaml", "--replicates", "2", status=3), "")
        self.assertRegex(self.stderr, r"(?m)^other\.yaml:[0-9]+:1: error: .*grows past")


class Files(CommandTest):
    def test_a_file(self):
        self.wintergrub("compare", MAT, SHED, "--replicates", "3", "-o", "both.h5")
        self.nothing_left("both.h5")
        self.assertEqual(self.stderr.count("\n"), 1, self.stderr)
        self.assertIn("the comparison is in both.h5", self.stderr)
        before = read("both.h5")
        for place in ("both.h5", "nowhere/x.h5", "/dev/null/x.h5"):
            self.refused("compare", MAT, SHED, "--replicates", "1000000", "-o", place, status=4)
            self.nothing_left("both.h5")
        self.assertEqual(read("both.h5"), before)
        self.wintergrub("compare", MAT, SHED, "--replicates", "4", "-o", "both.h5", "--force", "--quiet")
        self.assertEqual(self.stderr, "")
        self.assertNotEqual(read("both.h5"), before)
        # not a result of one scenario
        self.wintergrub("rerun", "both.h5", status=3)
        self.assertEqual(self.stderr.count("\n"), 1, self.stderr)
        self.assertIn("comparison", self.stderr)

    def test_a_full_disk(self):
        """A reason, the old file intact, no temporary file; it still prints the comparison."""
        write("both.h5", "old")
        words = ["compare", MAT, SHED, "--replicates", "50", "--force", "-o", "both.h5"]
        self.assertIn("Alive at the end", self.wintergrub(*words, status=4, largest_file=40 * 512))
        self.assertEqual(self.stderr.count("\n"), 1, self.stderr)
        self.assertEqual(read("both.h5"), b"old")
        self.nothing_left("both.h5")
        self.no_space_left("compare", MAT, SHED, "--replicates", "2")


if __name__ == "__main__":
    unittest.main()
