# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks wintergrub compare: its output, rejected setups, its file. test_compare_numbers.py checks its numbers."""

import json
import os
import re
import unittest

from commands import NO_NUMBER, SCENARIOS, CommandTest, example, read, write

MAT, SHED, OUTDOORS, HOOP_HOUSE = (
    os.path.join(SCENARIOS, f"crow-lane-{name}.yaml") for name in ("mat", "shed", "outdoors", "hoop-house")
)
SIDE_BY_SIDE = ["the same 12 possible years", "Choose ", "alive", "harvest", "weeks", "energy", "cost of", "each kg", "no extra cost"]
DETAILS = ["First batch, half", "All crawl-off, kg", "B against A: over the same 12", "C against A:", "D against A:", "better in "]
SCREEN = 24  # lines of a terminal, of which the prompt takes one
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
        self.assert_all_in(SIDE_BY_SIDE, " ".join(text.split()))
        self.assertNotIn("times as many", text, "the variance factor is only in --json")
        self.assertNotIn("against A", text)
        last = text.split("\n\n")[-1]
        self.assertLess(last.count("\n"), SCREEN, "verdict and table stay on the screen")
        self.assertRegex(last.splitlines()[0], "^C .insulated shed with a heater and lamps. lives most often", "the verdict begins")
        for letter in "ABCD":
            self.assertRegex(last, f"(?m)^{letter}  Crow Lane, ")
        self.assertRegex(last, r"(?m)^D  .* \(3 warnings\)$")
        self.assertNotRegex(text, NO_NUMBER)
        self.assertEqual(text.count("licensed electrician"), 1)
        self.assertEqual(text.count("insects are regulated"), 1)
        self.assertRegex(text, "(?m)^Warning, C: ", "the shed's feeding")
        self.nothing_left()

    def test_details(self):
        text = self.compare(OUTDOORS, HOOP_HOUSE, SHED, MAT, "--details", replicates=12)
        self.assert_fits(text)
        self.assert_all_in(DETAILS, text)
        self.assertLess(text.split("\n\n")[-1].count("\n"), SCREEN)

    def test_without_heat(self):
        """Expects no caution about heat and no price."""
        text = self.compare(OUTDOORS, HOOP_HOUSE, replicates=4)
        self.assert_fits(text)
        self.assertNotIn("electrician", text)
        for word in ("cost", "energy", "each kg", "price"):
            self.assertNotIn(word, text.split("\n\n")[-1])

    def test_more_than_four(self):
        """A line for each setup, names cut in the middle; details in blocks of four."""
        text = self.compare(SHED, MAT, SHED, OUTDOORS, MAT, HOOP_HOUSE, "--details", replicates=2)
        self.assert_fits(text)
        self.assertRegex(text, "(?m)^ +A +B +C +D$")
        self.assertRegex(text, "(?m)^ +A +E +F$")
        self.assertIn("F against A:", text)
        self.assertRegex(text, r"(?m)^F. plain bin.*heat +[0-9]")

    def test_a_scenario_against_itself(self):
        """No seed can tell a setup from itself."""
        text = self.compare(MAT, MAT, "--details", replicates=8)
        flat = " ".join(text.split())
        self.assertRegex(flat, "No setup lives to the end|cannot tell which setup lives more often|Both setups live")
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
        text = re.sub(r"\s+", " ", self.compare(MAT, "other.yaml", "--details", replicates=4))
        self.assertIn("Also different: power cuts a year: 0, 2 in A.", text)
        self.assertIn("steps a day: 2, 1 in A.", text)


class Varied(CommandTest):
    """Setups of --vary equal the files that have the same values; two --vary make every pair."""

    SET_POINT = "places.shed.heater.set_point"

    def test_the_same_as_files(self):
        for degf in (70, 80):
            write(f"{degf}.yaml", example("crow-lane-shed.yaml", ("set_point: 80 degF", f"set_point: {degf} degF")))
        few = ("--replicates", "3", "-q", "--json")
        files = json.loads(self.wintergrub("compare", "70.yaml", "80.yaml", *few))
        varied = json.loads(self.wintergrub("compare", SHED, "--vary", f"{self.SET_POINT}=70,80 degF", *few))
        self.assertEqual([setup["title"] for setup in varied["setups"]], ["heater set point: 70 degF", "heater set point: 80 degF"])
        for one, other in zip(files["setups"], varied["setups"]):
            self.assertEqual(one["outcomes"], other["outcomes"])
        self.assertEqual(files["choice"], varied["choice"])
        self.assertEqual(varied["varied"], [{"what": "set point of the heater in shed", "values": ["70 degF", "80 degF"]}])

    def test_heat_that_loses_colonies_is_named(self):
        """At 70 degF the air keeps prepupae awake, but is too cool for flies to mate (24 degC in the model's table)."""
        words = ("--vary", f"{self.SET_POINT}=50,70 degF", "--replicates", "32", "-q")
        verdict = json.loads(self.wintergrub("compare", SHED, *words, "--json"))
        self.assertEqual(verdict["choice"]["more_energy_and_less_often_alive"], [{"setup": "B", "than": "A"}])
        self.assertRegex(verdict["verdict"], "B costs [$][0-9]+ and still lives less often than A, which costs [$][0-9]+[.]")

    def test_a_larger_start_saves_no_energy(self):
        """Larvae give off a little heat: a kWh a year less is no cheaper winter, and the larvae are not free."""
        write("cold.yaml", example("crow-lane-shed.yaml", ("set_point: 80 degF", "set_point: 48 degF")))
        words = ("compare", "cold.yaml", "--vary", "starter.1.count=100,100000", "--replicates", "64", "-q", "--json")
        told = json.loads(self.wintergrub(*words))
        few, many = (setup["outcomes"]["total_heater_energy"]["mean"] for setup in told["setups"])
        self.assertTrue(0.99 * few < many < few, (few, many))
        self.assertLess(*(setup["outcomes"]["survived"]["mean"] for setup in told["setups"]))
        self.assertEqual(told["choice"]["more_energy_and_less_often_alive"], [])
        self.assertIn("for the lowest cost of energy", told["verdict"])
        self.assertNotIn("money", told["verdict"])

    def test_a_grid(self):
        """20 degC is 68 degF (NIST SP 811); the second number varies fastest."""
        grid = ("--vary", f"{self.SET_POINT}=20,25 degC", "--vary=feeding.1.amount=2, 4,6")
        text = self.wintergrub("compare", SHED, *grid, "--replicates", "2", "-q", "-o", "grid.h5")
        self.assert_fits(text)
        names = re.findall("(?m)^[A-F][! ] (.*? lb) ", text)
        self.assertEqual(names, [f"{degf} degF, {lb} lb" for degf in (68, 77) for lb in (2, 4, 6)])
        self.wintergrub("figures", "grid.h5", "-o", "pictures")
        self.assertIn("grid.png", os.listdir("pictures"))
        with open("pictures/grid.svg", encoding="utf-8") as file:
            numbers = file.read().partition('<metadata id="numbers">')[2].partition("</metadata>")[0]
        self.assertEqual(re.findall(r"[A-F] \d+ degF, \d lb", numbers), [f"{letter} {name}" for letter, name in zip("ABCDEF", names)])

    def test_mistakes(self):
        for vary, status, told in (
            ("starter.1.count", 2, "KEY=VALUE"),
            ("starter.1.count=", 2, "KEY=VALUE"),
            ("starter.1.count=5", 2, "at least two"),
            ("starter.1.count=5,6,5", 2, "names 5 twice"),
            ("starter.1.count=5,x", 2, '"x" is not a value for starter.1.count'),
            ("starter.1.count=" + ",".join(map(str, range(1, 28))), 2, "more than 26"),
            ("starter.1.cout=5,6", 3, 'Did you mean "count"'),
            ("forecast.seed=5,6", 3, "changes nothing about the colony"),
            ("starter.1.count=5,-6", 3, "starter.1.count at -6"),
            ("period.to=2027-09-14,2027-09-13", 3, "the period"),
        ):
            with self.subTest(vary):
                self.wintergrub("compare", SHED, "--vary", vary, "--replicates", "2", status=status)
                self.assertIn(told, self.stderr)
        self.wintergrub("compare", SHED, MAT, "--vary", "starter.1.count=5,6", status=2)
        self.wintergrub("compare", SHED, *["--vary", "starter.1.count=5,6"] * 3, status=2)
        self.wintergrub("compare", SHED, status=2)
        self.nothing_left()


class Rejected(CommandTest):
    def test_differences(self):
        for change, expected in REJECTED:
            write("other.yaml", example("crow-lane-shed.yaml", change))
            words = ["compare", MAT, "other.yaml", "--replicates", "1000000", "-o", "x.h5"]
            self.refused(*words, status=3, expected=["other.yaml", MAT, *expected])
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
        for words in ([], [MAT], [MAT] * 27, [MAT, SHED, "--replicates", "0"], [MAT, SHED, "--calendar"]):
            self.refused("compare", *words, status=2, expected=["help compare"])
        self.refused("compare", MAT, "nowhere.yaml", status=4, expected=["nowhere.yaml"])

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
        self.assertIn("alive", self.wintergrub(*words, status=4, largest_file=40 * 512))
        self.assertEqual(self.stderr.count("\n"), 1, self.stderr)
        self.assertEqual(read("both.h5"), b"old")
        self.nothing_left("both.h5")
        self.no_space_left("compare", MAT, SHED, "--replicates", "2")


if __name__ == "__main__":
    unittest.main()
