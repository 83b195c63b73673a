# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the warnings about actions that find no animals, and the caution about dormancy near the equator.

The expected values follow from the plan: a move on the starter's day comes before the starter, a second move on a day takes
the animals present in the morning, and traps pulled on their first day are empty.
"""

import json
import unittest
from pathlib import Path

from commands import CommandTest

BENCH = """period: {from: 2026-05-01, to: 2026-06-10}
climate: {constant: 28 degC}
places: [{name: bench, housing: laboratory, bins: [{name: a}, {name: b}, {name: c}]}]
starter: [{on: 2026-05-01, in: a, stage: larva, age: 3 days, count: 1000}]
feeding: unlimited
keeping:
  - {do: move, on: 2026-05-01, from: a, to: b, what: larvae}
  - {do: move, on: 2026-05-05, from: a, to: b, what: larvae, share: 50 %}
  - {do: move, on: 2026-05-05, from: b, to: c, what: larvae}
  - {do: scoop larvae, in: c, on: 2026-05-06, share: 10 %}
  - {do: scoop larvae, in: b, on: 2026-05-06, share: 10 %}
  - {do: move, on: 2026-05-08, from: b, to: c, what: larvae}
  - {do: scoop larvae, in: c, on: 2026-05-08, share: 100 %}
  - {do: set traps, in: bench, share_laid_in_traps: 50 %}
  - {do: pull traps, in: bench, on: 2026-05-02, carry_off: yes}
  - {do: pull traps, in: bench, on: 2026-06-09, carry_off: yes}
"""

YARD = """period: {{from: 2026-05-01, to: 2026-06-10}}
climate: {{latitude: {0} N, normals: {{unit: degC, daily_high: [{1}], daily_low: [{2}], spread: marine}}}}
places: [{{name: yard, housing: outdoors, bins: [{{name: a}}]}}]
starter: [{{on: 2026-05-01, in: a, stage: larva, age: 3 days, count: 1000}}]
feeding: unlimited
{3}
"""


class NoAnimals(CommandTest):
    def run_of(self, plan):
        Path("plan.yaml").write_text(plan, encoding="utf-8")
        return json.loads(self.wintergrub("run", "plan.yaml", "--replicates", "20", "--json", "--force"))

    def test_actions_without_animals_are_reported(self):
        warnings = [w for w in self.run_of(BENCH)["warnings"] if w["kind"] == "no animals"]
        self.assertEqual([w["line"] for w in warnings], [7, 9, 10, 15])
        self.assertEqual([w["action"] for w in warnings], ["move", "move", "scoop larvae", "pull traps"])

    def test_a_plan_without_animals_says_so_and_gives_no_advice(self):
        """With no wild fly, with a starter of no animals, with one, with wild flies only."""
        scoop = "keeping: [{do: scoop larvae, in: a, every: 3 days, share: 50 %}]"
        bare = YARD.format(30, ", ".join(["26"] * 12), ", ".join(["12"] * 12), scoop)
        bare = bare.replace("feeding: unlimited", "feeding: [{in: a, what: kitchen scraps, amount: 1 lb, every: 1 day}]")
        without = bare[: bare.index("starter:")] + bare[bare.index("feeding:") :]
        for plan, nothing in (
            (without + "wild_visitors: {peak: 0 per day}\n", True),
            (bare.replace("count: 1000", "count: 0"), True),
            (bare, False),
            (without + "wild_visitors: {peak: 3 per day}\n", False),
        ):
            said = self.run_of(plan)
            self.assertEqual(any(c.startswith("No animal is ever put in and no wild fly comes") for c in said["cautions"]), nothing)
            if nothing:
                self.assertEqual(said["warnings"], [])
            text = " ".join(self.wintergrub("check", "plan.yaml").split())
            self.assertEqual("No animal is ever put in" in text, nothing)

    def test_caution_near_the_equator(self):
        high, low = ", ".join(["26"] * 12), ", ".join(["12"] * 12)
        cautions = {}
        for latitude, species in ((1, ""), (20, ""), (1, "species: {dormancy_day: 9 h}")):
            plan = YARD.format(latitude, high, low, species)
            cautions[latitude, species] = " ".join(self.run_of(plan)["cautions"])
            text = self.wintergrub("check", "plan.yaml")
            self.assertEqual("this close to the equator" in " ".join(text.split()), latitude == 1 and not species)
        self.assertEqual(["So near the equator" in text for text in cautions.values()], [True, False, False])

    def test_check_describes_how_flies_choose(self):
        Path("plan.yaml").write_text(BENCH, encoding="utf-8")
        self.assertIn("flies choose among these bins", " ".join(self.wintergrub("check", "plan.yaml").split()))
        self.copy("smallest.yaml")
        self.assertNotIn("flies choose", self.wintergrub("check", "smallest.yaml"))


if __name__ == "__main__":
    unittest.main()
