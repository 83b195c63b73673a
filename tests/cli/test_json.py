# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks --json: one document with the same numbers as the text and the result file.

The reference is numpy: quantiles (linear between order statistics, R's default) of the file as h5py reads it. Odds by
Wilson 1927, computed here.
"""

import json
import math
import re
import unittest

import h5py
import numpy as np
from commands import CommandTest, write
from commands import read as bytes_of

QUANTILES = {"q05": 0.05, "q25": 0.25, "q50": 0.5, "q75": 0.75, "q95": 0.95}
Z = 1.959963984540054  # 97.5 % quantile of the normal distribution
KG_PER_LB = 0.45359237  # international pound, 1959
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
TWO = "hoop-house-two-bins.yaml"
N = 12  # replicates


def no_constants(name):
    raise ValueError(f"{name} is no JSON")


def unique_keys(pairs):
    keys = [key for key, _ in pairs]
    if len(keys) != len(set(keys)):
        raise ValueError(f"a key occurs twice in {keys}")
    return dict(pairs)


def read(text):
    return json.loads(text, parse_constant=no_constants, object_pairs_hook=unique_keys)


def quantile(values, q):
    """Like numpy, but an infinite neighbour gives infinity, not NaN."""
    values = np.sort(values)
    at = q * (len(values) - 1)
    low, high = values[math.floor(at)], values[math.ceil(at)]
    return low if low == high else float(np.quantile(values, q)) if math.isfinite(high) else math.inf


def wilson(hits, n):
    share, wide = hits / n, Z * Z / n
    middle = share + wide / 2
    half = Z * math.sqrt(share * (1 - share) / n + wide / (4 * n))
    return (middle - half) / (1 + wide), (middle + half) / (1 + wide)


class Json(CommandTest):
    made = {}  # forecast and result of each scenario, run once for all tests

    def forecast(self, scenario=TWO):
        self.copy(scenario)
        result = scenario.replace("yaml", "h5")
        if scenario not in self.made:
            text = self.wintergrub("run", scenario, "--replicates", str(N), "--json")
            self.made[scenario] = text, bytes_of(result)
        write(result, self.made[scenario][1])
        return read(self.made[scenario][0])

    def near(self, found, wanted, name):
        if wanted is None or not math.isfinite(wanted):
            self.assertIsNone(found, name)
        else:
            self.assertAlmostEqual(found, wanted, delta=1e-9 * max(1, abs(wanted)), msg=name)

    def test_every_outcome_agrees_with_the_result_file(self):
        said = self.forecast()
        with h5py.File(said["result"]) as file:
            outcomes = {name: file[name][()] for name in said["outcomes"]}
        self.assertGreater(len(outcomes), 15)
        for name, values in outcomes.items():
            outcome = said["outcomes"][name]
            happened = values[~np.isnan(values)]
            self.assertEqual((outcome["happened"], outcome["of"]), (len(happened), N), name)
            self.near(outcome["mean"], float(happened.mean()) if len(happened) else None, name)
            later = outcome["others_count_as"] == "later than all"
            counted = np.where(np.isnan(values), np.inf, values) if later else happened
            for key, q in QUANTILES.items():
                self.near(outcome[key], quantile(counted, q) if len(counted) else None, f"{name} {key}")

    def test_odds_agree_with_the_result_file(self):
        for scenario in (TWO, "warm-coast.yaml"):
            odds = self.forecast(scenario)["survival"]
            with h5py.File(scenario.replace("yaml", "h5")) as file:
                alive = int((file["count"][:, -1, :].sum(axis=1) > 0).sum())
            low, high = wilson(alive, N)
            self.assertEqual((odds["alive"], odds["of"]), (alive, N))
            self.near(odds["share"], alive / N, "share")
            self.near(odds["low"], low, "low")
            self.near(odds["high"], high, "high")

    def test_dates_are_days_from_the_first(self):
        said = self.forecast()
        first = np.datetime64(said["period"]["from"])
        self.assertEqual(said["period"]["days"], (np.datetime64(said["period"]["to"]) - first).astype(int) + 1)
        dated = 0
        for name, outcome in said["outcomes"].items():
            self.assertEqual("dates" in outcome, outcome["unit"] == "day", name)
            for key, date in outcome.get("dates", {}).items():
                if date is not None:
                    self.assertLessEqual(abs((np.datetime64(date) - first).astype(int) - outcome[key]), 0.5, name)
                    dated += 1
        self.assertGreater(dated, 20)

    def test_the_feed_is_that_of_the_plan(self):
        """3 lb on each of 365 days, and 2 lb of coffee grounds on every second of the 91 days to the end of November."""
        said = self.forecast()
        self.near(said["feed"]["given_wet_kg"], (3 * 365 + 2 * 46) * KG_PER_LB, "feed")
        self.assertEqual(self.forecast("smallest.yaml")["feed"], {"unlimited": True, "as_eaten": False})

    def test_the_text_shows_the_same_numbers(self):
        said = self.forecast()
        text = self.wintergrub("run", TWO, "--replicates", str(N), "--force")
        odds = said["survival"]
        shown = re.search(rf"^Alive at the end in (\d+) of {N} ", text, re.M)
        self.assertEqual(int(shown.group(1)), odds["alive"])
        for name, label in (("total_crawl_off_mass", "All crawl-off"), ("total_harvest_mass", "All taken out")):
            kg, lb, low, high = re.search(
                rf"^{label} +([\d.]+) kg \(([\d.]+) lb\) +([\d.]+) to ([\d.]+) kg", text, re.M
            ).groups()
            for shown, wanted in (
                (kg, said["outcomes"][name]["q50"]),
                (lb, said["outcomes"][name]["q50"] / KG_PER_LB),
                (low, said["outcomes"][name]["q05"]),
                (high, said["outcomes"][name]["q95"]),
            ):
                self.assertAlmostEqual(float(shown) / wanted, 1, delta=0.051, msg=f"{label}: two figures")
        for name, label in (("first_adult_day", "First adults"), ("first_batch_50", "First batch, half")):
            day, month, year = re.search(rf"^{label} +(\d+) (\w+) (\d+)", text, re.M).groups()
            date = f"{year}-{MONTHS.index(month) + 1:02}-{int(day):02}"
            self.assertEqual(date, said["outcomes"][name]["dates"]["q50"], label)
        for warning in said["warnings"]:
            self.assertIn(warning["text"].split()[0], text)
        for caution in said["cautions"]:
            self.assertIn(" ".join(caution.split()), " ".join(text.split()))

    def test_the_document_is_the_same_every_time(self):
        self.copy("smallest.yaml")
        words = ("run", "smallest.yaml", "--replicates", "10", "--json", "--force", "--threads")
        first = self.wintergrub(*words, "1")
        self.assertEqual(first, self.wintergrub(*words, "2"))
        self.assertTrue(first.startswith("{\n") and first.endswith("}\n"), "one document")

    def test_names_of_any_script_and_seeds_of_any_size(self):
        with open(self.copy("smallest.yaml"), encoding="utf-8") as file:
            text = file.read()
        name = 'K\u00fcche "\u866b\u866b" \\.yaml'
        with open(name, "w", encoding="utf-8") as file:
            file.write('title: "K\u00fcche \u866b"\n' + text)
        said = read(self.wintergrub("run", name, "--replicates", "2", "--seed", "18446744073709551615", "--json"))
        self.assertEqual(said["title"], "K\u00fcche \u866b")
        self.assertEqual(said["scenario"], name)
        self.assertEqual(said["result"], name.replace(".yaml", ".h5"))
        self.assertEqual(int(said["seed"]), 2**64 - 1)

    def test_what_never_happened_is_null(self):
        self.copy("smallest.yaml")
        with open("smallest.yaml", encoding="utf-8") as file:
            text = re.sub(r"to: \d{4}-\d\d-\d\d", "to: 2026-01-08", file.read(), count=1)
        with open("week.yaml", "w", encoding="utf-8") as file:
            file.write(text)
        adult = read(self.wintergrub("run", "week.yaml", "--replicates", "5", "--json"))["outcomes"]["first_adult_day"]
        self.assertEqual((adult["happened"], adult["q50"], adult["mean"]), (0, None, None))
        self.assertEqual(set(adult["dates"].values()), {None})


if __name__ == "__main__":
    unittest.main()
