# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that `run` reports the guessed unit of a weather table without one.

A dry site in whole degC: highs of 34 and lows of 17 in summer, a daily range as wide as that of a humid site in degF.
"""

import json
import math
import unittest

from commands import CommandTest

PLAN = """title: dry
period: {from: 2026-09-15, to: 2026-10-14}
climate: {record: dry.csv, latitude: 32 NUNIT}
places: [{name: yard, housing: outdoors, bins: [{name: tub, volume: 150 L}]}]
starter: [{on: 2026-09-20, in: tub, stage: egg, count: 300}]
feeding: [{in: tub, what: kitchen scraps, amount: 1 lb, every: 1 day}]
"""


class GuessedUnit(CommandTest):
    def setUp(self):
        super().setUp()
        with open("dry.csv", "w", encoding="utf-8") as file:
            file.write("date,low,high\n")
            for day in range(365):
                mean = 16 + 10 * math.sin((day - 105) / 365 * 2 * math.pi) + 2 * math.sin(day * 1.7)
                month, rest = next((m, day - sum(L[:m])) for m in range(12) if day < sum(L[:m + 1]))
                file.write(f"2025-{month + 1:02}-{rest + 1:02},{round(mean - 11)},{round(mean + 11)}\n")

    def plan(self, unit):
        with open("dry.yaml", "w", encoding="utf-8") as file:
            file.write(PLAN.replace("UNIT", unit))

    def test_is_degc_and_run_warns(self):
        self.plan("")
        self.assertIn("in degC guessed from the numbers", " ".join(self.wintergrub("check", "dry.yaml").split()))
        self.assertIn("is a guess", self.wintergrub("run", "dry.yaml", "--replicates", "3", "-q", "-o", "a.h5"))
        said = json.loads(self.wintergrub("run", "dry.yaml", "--replicates", "3", "-q", "-o", "b.h5", "--json"))
        self.assertIn("unit of the weather guessed", [w["kind"] for w in said["warnings"]])

    def test_is_not_guessed_if_the_scenario_gives_it(self):
        self.plan(", unit: degC")
        self.assertNotIn("guessed", self.wintergrub("run", "dry.yaml", "--replicates", "3", "-q", "-o", "a.h5"))


L = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]

if __name__ == "__main__":
    unittest.main()
