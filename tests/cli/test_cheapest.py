# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks `cheapest` against `run`: its fresh years are those of the plan's own seed, so that `run` must repeat its numbers.

The plan is short, so that a test takes a second or two.
"""

import json
import os
import signal
import time
import unittest

from commands import CommandTest, read, write

PLAN = """\
title: A cold shed in autumn
period: {from: 2026-10-01, to: 2026-12-31}
climate:
  latitude: 41 N
  normals: {unit: degF, daily_high: [32, 36, 47, 60, 71, 80, 84, 82, 75, 63, 49, 37],
            daily_low: [17, 19, 28, 38, 49, 59, 63, 61, 53, 42, 33, 23]}
places:
  - name: shed
    housing: {kind: shed, floor: 4 m2, r_value: {now: R-5, try: [R-20]}}
    heater: {set_point: {now: 70 degF, try: [40 degF, 50 degF], or: off}, power: 1 kW, price: $0.15 per kWh}
    bins: [{name: trough}]
starter: [{on: 2026-10-01, in: trough, stage: larva, age: 8 days, count: 300}]
feeding: [{in: trough, what: kitchen scraps, amount: 1 lb, to: 2026-10-31}]
goal: [{survive: yes, chance: 95 %}]
"""
NEAR = """\
title: A winter at 6 degC lives about as often as asked for
period: {from: 2026-10-01, to: 2027-09-30}
climate: {latitude: 44 N, sketch: four seasons}
places:
  - name: shed
    housing: {kind: shed, floor: 6 m2, lamps: {power: 60 W, hours: 12 hours, from: 05-01, to: 09-15, price: 0.32 per kWh}}
    heater: {power: 2 kW, set_point: {now: 9 degC, try: [6 degC, 9 degC]}, price: 0.32 per kWh}
    bins: [{name: a, volume: 100 L}]
starter: [{on: 2026-10-01, in: a, stage: larva, age: 5 days, count: 10000}]
feeding: [{in: a, what: kitchen scraps, amount: as eaten, at most: 2 kg, every: 1 day}]
keeping: [{do: collect crawl-off, in: a, share: 70 %, give_back: 20 %}]
goal: [{survive: yes, chance: 90 %}]
forecast: {replicates: 128, seed: 1}
"""
FEW = ("--any-survivor", "--replicates", "16", "--quiet")
KEY = "places.shed.heater.set_point"


def plan(*changes):
    text = PLAN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


class Cheapest(CommandTest):
    def search(self, *options, text=PLAN, status=0):
        write("plan.yaml", text)
        return json.loads(self.wintergrub("cheapest", "plan.yaml", "--json", *FEW, *options, status=status))

    def numbers(self, path, replicates):
        """Returns survival and the mean cost of a plan from `run`."""
        told = json.loads(self.wintergrub("run", path, "--json", "--replicates", str(replicates), "--quiet", "--force"))
        return told["survival"]["share"], told["outcomes"]["total_heater_cost"]["mean"]

    def test_answer_is_what_run_says(self):
        answer = self.search("--write", "best.yaml")
        winner = answer["judged"][answer["winner"][0]]
        own = answer["judged"][answer["own"][0]]
        self.assertEqual(own["values"][KEY], "70 degF")
        self.assertEqual("".join(line + "\n" for line in answer["yaml"]).encode(), read("best.yaml"))
        self.assertNotIn("try", " ".join(answer["yaml"]))
        for judged, path in ((winner, "best.yaml"), (own, "plan.yaml")):
            alive, cost = self.numbers(path, judged["replicates"])
            self.assertAlmostEqual(judged["money"]["mean"], cost, places=9)
            self.assertEqual(judged["alive"]["share"], alive)
        self.assertLess(winner["money"]["mean"], own["money"]["mean"])
        self.assertGreaterEqual(winner["all_goals"]["share"], 0.95)
        self.cheaper_plans_fail(answer, winner)

    def cheaper_plans_fail(self, answer, winner):
        """Tries every plan by hand: those that cost less than the answer, beyond what counts as equal, miss the goal."""
        tried = {tuple(each["values"]): each["money"] for each in answer["tried_in_the_search"]}
        self.assertEqual(len(tried), 8)
        for r_value, set_point in [values for values, money in tried.items() if money < winner["money"]["mean"]]:
            text = plan(("{now: R-5, try: [R-20]}", r_value), ("{now: 70 degF, try: [40 degF, 50 degF], or: off}", set_point))
            write("one.yaml", text)
            alive, cost = self.numbers("one.yaml", winner["replicates"])
            if cost < 0.97 * winner["money"]["mean"]:
                self.assertLess(alive, 0.95, (r_value, set_point, cost))

    def test_threads_change_nothing(self):
        one, four = self.search("--threads", "1"), self.search("--threads", "4")
        self.assertEqual(one, four)
        self.assertEqual(one["plans_tried"], 8)

    def test_text_fits(self):
        write("plan.yaml", PLAN)
        text = self.wintergrub("cheapest", "plan.yaml", *FEW)
        self.assertLess(max(map(len, text.splitlines())), 80)
        for words in ("The cheapest of 8 plans", "Your plan:", "What money buys", "fresh futures", "70 °F"):
            self.assertIn(words, text)

    def test_a_cheaper_plan_that_may_do_is_named(self):
        """The line of money has a plan whose interval holds the chance asked for; its share rounds to it or not."""
        write("plan.yaml", NEAR)
        answer = json.loads(self.wintergrub("cheapest", "plan.yaml", "--json", "--replicates", "64", "--quiet"))
        judged, line = answer["judged"], answer["line"]
        below = [judged[i] for i in line[: line.index(answer["winner"][0])] if judged[i]["enough"] == "cannot tell"]
        near = [remark for remark in answer["remarks"] if remark.startswith("Too near to tell")]
        self.assertEqual(len(near), 1 if below else 0, answer["remarks"])
        self.assertTrue(below)
        odds = below[-1]["all_goals"]
        self.assertTrue(odds["low"] < 0.9 < odds["high"])
        self.assertIn(f"does what was asked in {odds['met']} of {below[-1]['replicates']} fresh", near[0])

    def test_infeasible(self):
        answer = self.search("--write", "best.yaml", status=1, text=plan(("survive: yes, chance: 95 %", "adults: 5000")))
        self.assertEqual((answer["outcome"], answer["winner"], answer["yaml"]), ("none", [], []))
        self.assertEqual(len(answer["nearest"]), 3)
        self.assertFalse(os.path.exists("best.yaml"))

    def test_survive_means_as_many_as_began(self):
        write("plan.yaml", PLAN)
        text = self.wintergrub("cheapest", "plan.yaml", "--replicates", "16", "--quiet", status=1)
        self.assertIn("as many as began", text)
        self.assertIn("--any-survivor", text)

    def test_refusals(self):
        write("plan.yaml", plan((", price: $0.15 per kWh", "")))
        self.wintergrub("cheapest", "plan.yaml", status=3)
        self.assertIn("price: 0.15 per kWh", self.stderr)
        write("plan.yaml", plan(("kind: shed, floor: 4 m2, r_value: {now: R-5, try: [R-20]}", "kind: outdoors"),
                                ("    heater: {set_point: {now: 70 degF, try: [40 degF, 50 degF], or: off}, power: 1 kW, price: $0.15 per kWh}\n", "")))
        self.wintergrub("cheapest", "plan.yaml", status=3)
        self.assertIn("There is nothing to search", self.stderr)
        write("plan.yaml", PLAN)
        write("old.yaml", "old")
        self.wintergrub("cheapest", "plan.yaml", *FEW, "--write", "old.yaml", status=4)
        self.assertEqual(read("old.yaml"), b"old")

    def test_opens_what_usually_decides(self):
        text = plan(("{now: R-5, try: [R-20]}", "R-5, lamps: {hours: 8 hours, power: 50 W}"), ("{now: 70 degF, try: [40 degF, 50 degF], or: off}", "70 degF"),
                    ("to: 2026-12-31", "to: 2027-06-15"), ("count: 300", "count: 30"))
        write("plan.yaml", text)
        running = self.at_work(["cheapest", "plan.yaml", *FEW], lambda: True)
        time.sleep(1)
        running.send_signal(signal.SIGINT)
        out, _ = running.communicate(timeout=60)
        self.assertEqual(running.returncode, 130)
        self.assertIn("the set point in winter", out.decode())
        for words in ("a warm-up in spring", "the season of the lamps"):
            self.assertIn(words, " ".join(out.decode().split()))


if __name__ == "__main__":
    unittest.main()
