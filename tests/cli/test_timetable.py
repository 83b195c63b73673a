# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks wintergrub timetable: table and JSON agree, and their figures are consistent.

References: eggs hatch in about 100 hours at 25 degC, hatch to prepupa takes three to four weeks in a warm bin
(common practice); the hatched share of a trap's eggs, computed here from the gamma distribution. More: tests/science.
"""

import json
import math
import re
import unittest

from commands import CommandTest

STAGES = ("egg", "larva", "prepupa", "pupa", "adult_life")
EGG_SPREAD = 0.06  # of the keepers' set: coefficient of variation of the time to hatching


def gamma_share(x, spread):
    """P(D < x) for a gamma D of mean 1: the series of the lower incomplete gamma function (Abramowitz & Stegun 6.5.29)."""
    k = spread**-2
    term = total = 1 / k
    n = 0
    while term > 1e-16 * total:
        n += 1
        term *= k * x / (k + n)
        total += term
    return total * math.exp(k * math.log(k * x) - k * x - math.lgamma(k)) if x > 0 else 0.0


class Timetable(CommandTest):
    def rows(self, *words):
        return json.loads(self.wintergrub("timetable", *words, "--json"))["temperatures"]

    def test_every_way_to_write_a_temperature(self):
        rows = self.rows("65degF", "65 degF", "65", "degF", "18.3degC", "18.3", "degC", "300 K", "-4degF")
        degc = [row["temperature_degc"] for row in rows]
        for found, wanted in zip(degc, (18.3333333, 18.3333333, 18.3333333, 18.3, 18.3, 26.85, -20), strict=True):
            self.assertAlmostEqual(found, wanted, places=6)
        for row in rows:
            self.assertAlmostEqual(row["temperature_degf"], 1.8 * row["temperature_degc"] + 32, places=6)

    def test_days_add_up(self):
        for numbers in ("keepers", "laboratory"):
            for row in self.rows("26degC", "27degC", "30degC", "--numbers", numbers):
                days = row["days"]
                young = sum(days[stage] for stage in STAGES[:4])
                self.assertAlmostEqual(days["egg_to_egg"], young + days["emergence_to_eggs"], places=6)
                self.assertAlmostEqual(row["generations_per_year"], 365 / days["egg_to_egg"], places=6)
                self.assertLess(days["emergence_to_eggs"], days["adult_life"], "flies lay before they die of age")

    def test_days_agree_with_common_practice(self):
        at_25, at_27 = self.rows("25degC", "27degC")
        self.assertAlmostEqual(24 * at_25["days"]["egg"], 100, delta=10)
        self.assertTrue(21 <= at_27["days"]["larva"] <= 28, at_27)

    def test_a_trap_is_pulled_when_one_egg_in_twenty_has_hatched(self):
        for row in self.rows("20degC", "25degC", "30degC"):
            every, egg = row["days"]["pull_traps_every"], row["days"]["egg"]
            ages = [(i + 0.5) / 2000 * every / egg for i in range(2000)]
            hatched = sum(gamma_share(age, EGG_SPREAD) for age in ages) / 2000
            self.assertAlmostEqual(hatched, 0.05, delta=0.0005)

    def test_never_when_too_cold_or_too_hot(self):
        cold, hot = self.rows("5degC", "44degC")
        for row in (cold, hot):
            self.assertIsNone(row["days"]["egg_to_egg"])
            self.assertEqual(row["generations_per_year"], 0)
        self.assertIsNone(cold["days"]["pull_traps_every"])
        text = self.wintergrub("timetable", "5degC", "44degC")
        self.assertEqual(len(re.findall(r"^ *\S+ +\S+ .*never.*never", text, re.M)), 2, text)
        self.assertNotRegex(text, r"inf|nan|-1")
        self.assertIn("leave out deaths", " ".join(text.split()))  # at 10 degC flies would "live" for 200 days

    def test_table_agrees_with_json(self):
        words = ("65degF", "80degF", "86degF", "10degC", "38degC")
        text = self.wintergrub("timetable", *words)
        self.assertLessEqual(max(map(len, text.splitlines())), 80)
        lines = [line for line in text.splitlines() if re.match(r" *-?\d+\.\d +-?\d+\.\d ", line)]
        self.assertEqual(len(lines), len(words))
        for line, row in zip(lines, self.rows(*words), strict=True):
            days = row["days"]
            shown = line.split()
            wanted = [row["temperature_degf"], row["temperature_degc"]]
            wanted += [days[stage] for stage in STAGES]
            wanted += [days["emergence_to_eggs"], days["egg_to_egg"]]
            for cell, value in zip(shown, wanted, strict=False):
                if value is None:
                    self.assertEqual(cell, "never", line)
                else:
                    self.assertAlmostEqual(float(cell), value, delta=0.0501 if value < 99.95 else 0.501, msg=line)
            pull = re.search(r"(?:(\d+) d +)?(\d+) h$", line)
            if days["pull_traps_every"] is None:
                self.assertIsNone(pull, line)
            else:
                hours = 24 * int(pull.group(1) or 0) + int(pull.group(2))
                self.assertEqual(hours, math.floor(24 * days["pull_traps_every"]), "rounded down, to be early rather than late")

    def test_the_two_sets_of_numbers_differ_and_are_named(self):
        keepers, laboratory = (
            self.wintergrub("timetable", "27degC", f"--numbers={numbers}") for numbers in ("keepers", "laboratory")
        )
        self.assertNotEqual(keepers, laboratory)
        self.assertIn("laboratory", laboratory)
        self.assertEqual(keepers, self.wintergrub("timetable", "27degC"))


if __name__ == "__main__":
    unittest.main()
