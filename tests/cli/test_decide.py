# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks output and exit status of goals, size, precision, what-matters and fit."""

import json
import unittest

import h5py
from commands import CommandTest, write

EGGS = """title: A few eggs on a bench
period: {from: 2026-01-01, to: 2026-03-10}
climate: {constant: 28 degC}
places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 20}]
feeding: [{in: tray, what: kitchen scraps, amount: 100 g}]
species: {males_needed: 0}
goal: GOAL
forecast: {replicates: 100, seed: 7}
"""
SURVIVE = EGGS.replace("GOAL", "{survive: yes, chance: 90 %}")
SHORT = SURVIVE.replace("to: 2026-03-10", "to: 2026-02-15")
LOG = """date,what,value,where
2026-01-28,adults,no
2026-02-10,adults,yes
2026-02-01,bin temperature,82 degF,tray
"""


class Decide(CommandTest):
    def eggs(self, goal):
        write("eggs.yaml", EGGS.replace("GOAL", goal))

    def json(self, *words, status=0):
        return json.loads(self.wintergrub(*words, "--json", status=status))


class Run(Decide):
    def test_goals(self):
        self.eggs("[{survive: yes, chance: 50 %}, {total_harvest: 900 kg, of: crawl-off}]")
        text = self.wintergrub("run", "eggs.yaml", "-o", "eggs.h5", "-q")
        self.assertEqual(self.stderr, "")
        self.assert_fits(text)
        self.assert_all_in(["Goal: alive on 10 March 2026: met in ", "you want 50 %: yes.", "you want 90 %: no."], text)
        self.assertIn("All goals at once: met in 0 of 100 futures (0 %, between 0 and ", text)
        with h5py.File("eggs.h5") as file:
            self.assertEqual(file["goal_met"].shape, (100, 2))  # replicates x goals
        found = self.json("run", "eggs.yaml", "-o", "eggs.h5", "-q", "--force")
        first, second = (goal["odds"] for goal in found["goals"])
        self.assertEqual((first["enough"], second["met"]), ("yes", 0))
        self.assertEqual(first["met"], found["survival"]["alive"])
        self.assertAlmostEqual(first["low"], found["survival"]["low"], delta=1e-9)
        self.wintergrub("rerun", "eggs.h5")
        self.assertIn("alive on 10 March 2026, with a chance of 50 %", self.wintergrub("check", "eggs.yaml"))

    def test_precision(self):
        self.eggs("[{survive: yes, chance: 50 %}, {total_harvest: 900 kg, of: crawl-off}]")
        words = ["run", "eggs.yaml", "-o", "eggs.h5", "-q", "--force", "--until-sure"]
        found = self.json(*words, "3%")
        self.assertGreater(found["replicates"], 100)
        self.assertLessEqual(found["survival"]["high"] - found["survival"]["low"], 0.06 + 1e-9)
        write("eggs.yaml", SHORT.replace("count: 20", "count: 2"))
        self.wintergrub(*words, "0.1 %", "--at-most", "2000")
        self.assertIn("more of the same plausible animals make them no surer than", self.stderr)
        write("eggs.yaml", SHORT.replace("count: 20", "count: 2").replace("{males", "{animals: middle, males"))
        self.wintergrub(*words, "0.1 %", "--at-most", "2000")
        self.assertIn("--at-most stopped at 2000 replicates", self.stderr)
        self.wintergrub("run", "eggs.yaml", "-o", "eggs.h5", "--until-sure", "2", status=2)
        self.assertIn("for example --until-sure 2%", self.stderr)

    def test_what_matters(self):
        write("eggs.yaml", SURVIVE)
        words = ["run", "eggs.yaml", "--what-matters", "--at-most", "2000", "-q"]
        text = self.wintergrub(*words)
        self.assert_fits(text)
        self.assertIn("What matters for", text)
        self.assert_all_in([" 1. ", "luck is ", "What could you measure?"], text)
        self.nothing_left("eggs.yaml")


class Size(Decide):
    def setUp(self):
        super().setUp()
        write("eggs.yaml", SURVIVE)

    def size(self, *words, status=0):
        return self.wintergrub("size", "eggs.yaml", *words, "--at-most", "1000", status=status)

    def test_few_replicates(self):
        text = self.size("-t", "2")
        self.assertEqual(self.stderr, "")
        self.assert_fits(text)
        self.assertIn("the smallest number that meets the goal (starter.1.count, 20 in the file)", " ".join(text.split()))
        self.assertRegex(text, r"\nEggs to start with: about [0-9]+ \([0-9]+ to [0-9]+\)\.")
        self.assertRegex(text, r"More\s+replicates")
        self.assertEqual(self.size("-t", "1"), text, "the same with 1 thread")

    def test_enough(self):
        """A Galton-Watson process, as in sizing/test_size.c: about 18 eggs give 90 %."""
        found = self.json("size", "eggs.yaml", "--at-most", "3000")
        self.assertLess(found["too_little"], 18)
        self.assertLessEqual(18, found["enough"])
        self.assertLess(found["number_low"], 18)
        self.assertLess(18, found["number_high"])
        self.assertLess(found["number_for_luckier_half_of_animals"], found["number_for_harder_half_of_animals"])
        self.assertLessEqual(found["replicates"], 3000)
        values = [point["value"] for point in found["curve"]]
        self.assertEqual(values, sorted(values))

    def test_ranges(self):
        write("eggs.yaml", SURVIVE.replace("{males", "{animals: middle, males"))
        self.assertIn("no value from 1 to 4 is enough", self.size("--between", "1", "4", status=1))
        text = self.wintergrub("size", "--between", "100", "400", "eggs.yaml", "--at-most", "1000")
        self.assertIn("100 is enough, and nothing smaller was tried", text)
        # not monotone: neither yes nor no
        write("eggs.yaml", SURVIVE.replace("2026-03-10", "2026-04-20"))
        warmth = ["--vary", "climate.constant", "--between", "20 degC", "28 degC"]
        found = json.loads(self.size(*warmth, "--json", status=6))
        self.assertEqual(found["vary"]["unit"], "degC")

    def test_two_numbers(self):
        """About 18 eggs give 90 % (the process of test_enough), at whatever amount of plentiful feed."""
        words = ["size", "eggs.yaml", "--vary", "starter.1.count=5,20,80", "--vary", "feeding.1.amount=100,200 g", "--at-most", "1000", "-q"]
        found = self.json(*words, "-o", "grid.h5")
        self.assertEqual([found[side]["subject"] for side in ("down", "across")], ["eggs to start with", "kitchen scraps a day for tray"])
        cells = {(cell["down"], cell["across"]): cell for cell in found["cells"]}
        for feed in ("100 g", "200 g"):
            low, plan, high = (cells[count, feed] for count in ("5", "20", "80"))
            self.assertEqual((low["enough"], high["enough"]), ("no", "yes"))
            self.assertLess(plan["all_goals"]["low"], 0.93)
            self.assertGreater(plan["all_goals"]["high"], 0.9)
        self.assertEqual([key for key, cell in cells.items() if cell["is_plan"]], [("20", "100 g")])
        with h5py.File("grid.h5") as file:
            self.assertEqual([round(share, 9) for share in file["goals_met"]], [round(cell["all_goals"]["share"], 9) for cell in found["cells"]])
        self.wintergrub("report", "grid.h5")
        with open("grid.html", encoding="utf-8") as page:
            self.assertIn("How much is enough: two numbers", page.read())
        text = self.wintergrub(*words[:-3], "--at-most", "1000", "-q")
        self.assert_fits(text)
        self.assertRegex(text, r"\n20 +\[\d+\]")
        self.wintergrub("size", "eggs.yaml", "--vary", "starter.1.count", "--vary", "forecast.seed", status=3)
        self.wintergrub("size", "eggs.yaml", "--vary", "starter.1.count", "--vary", "starter.1.on", "--largest", status=2)
        self.assertIn("--largest is for one number", self.stderr)

    def test_mistakes(self):
        for words, status, told in (
            (["--vary", "starter.1.cuont"], 3, ['Did you mean "count"?']),
            (["--vary", "climate.constant", "--between", "20", "500"], 3,
             ["eggs.yaml:3:21: error:", "this was with climate.constant at 500 degC"]),
            (["--between", "5"], 2, ["--between needs two values"]),
            (["--between", "5", "4"], 2, []),
            *((["--within", width], 2, ["--within is a width"]) for width in ("5x", "inf", "-1", "5 %")),
            *((["--vary", key], 3, [f"{key}: This changes nothing about the colony"])
              for key in ("forecast.replicates", "forecast.seed", "goal.chance")),
        ):
            self.wintergrub("size", "eggs.yaml", *words, status=status)
            self.assert_all_in(told, self.stderr)
        write("plain.yaml", SURVIVE.replace("goal: {survive: yes, chance: 90 %}\n", ""))
        self.wintergrub("size", "plain.yaml", status=3)
        self.assertIn("There is no goal in it", self.stderr)
        self.nothing_left("eggs.yaml", "plain.yaml")

    def test_the_curve_shows_any_number_of_goals(self):
        middle = "{animals: middle, males"
        write("eggs.yaml", EGGS.replace("{males", middle).replace("GOAL", "[{survive: yes, chance: 50 %}, {total_harvest: 1 g, chance: 50 %}]"))
        text = self.size("--between", "10", "40")
        self.assert_fits(text)
        self.assertEqual(self.stderr, "")
        self.assertIn("goal 2   ", text)
        write("eggs.yaml", EGGS.replace("{males", middle).replace("GOAL", "[{survive: yes, chance: 50 %}, "
              "{total_harvest: 1 g, chance: 50 %}, {adults: 9000, by: 2026-03-10, chance: 90 %}]"))
        text = self.size("--between", "10", "40", status=1)
        self.assert_fits(text)
        self.assert_all_in(["the hardest goal there", "goal 3, 0 %"], text)


class Fit(Decide):
    def setUp(self):
        super().setUp()
        write("eggs.yaml", SHORT)

    def fit(self, log, *words, status=0):
        write("log.csv", log)
        return self.wintergrub("fit", "eggs.yaml", "log.csv", "--draws", "100", *words, status=status)

    def test_a_log(self):
        text = self.fit(LOG, "-o", "draws.csv")
        self.assert_fits(text)
        self.assert_all_in(["90 % range: 3 of 3.", " kg ", " lb ", "larval days", "eggs per fly", "On 10 February"], text)
        self.assertIn("the draws are in draws.csv", self.stderr)
        with open("draws.csv", encoding="utf-8") as file:
            self.assertEqual(len(file.readlines()), 1 + 200)
        self.fit(LOG, "-o", "draws.csv", status=4)
        self.nothing_left("draws.csv", "eggs.yaml", "log.csv")

    def test_one_entry(self):
        self.assert_all_in(["1 note, compared", " of 1."], self.fit("".join(LOG.splitlines(True)[:2])))

    def test_an_entry_that_only_starts_the_count(self):
        text = self.fit("Date,What,Value,Days\n2026-01-28,adults,no,\n2026-02-10,crawl-off,0.1 kg,\n")
        self.assert_all_in(["1 note, compared", "only starts the count of crawl-off"], text)

    def test_mistakes(self):
        self.fit(LOG + "2026-02-11,adults,perhaps\n", status=3)
        self.assertIn("log.csv:5:19: error:", self.stderr)
        self.fit("date,what,value,days\n2026-02-10,taken,0.1 kg,7\n", status=3)
        self.assertIn("log.csv:2:1: error: The scenario takes nothing out on these days", self.stderr)
        self.nothing_left("eggs.yaml", "log.csv")


if __name__ == "__main__":
    unittest.main()
