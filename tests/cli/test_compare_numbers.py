# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks compare: the same numbers as text, JSON and in the file, and as from single runs.

The reference is numpy on the file as h5py reads it. Intervals are computed here by other means: odds by Wilson 1927, skewed
means from Hall's cubic equation (1992), differences of shares from the likelihood itself (Tango 1998), all by bisection.
"""

import hashlib
import json
import math
import os
import re
import shutil
import subprocess
import unittest

import h5py
import numpy as np
import xarray
from commands import SCENARIOS, CommandTest

Z = 1.959963984540054  # 97.5 % quantile of the normal distribution: Wilson's interval
KG_PER_LB = 0.45359237  # international pound, 1959
LANE = [f"crow-lane-{name}.yaml" for name in ("outdoors", "hoop-house", "shed", "mat")]
LESS_IS_BETTER = {
    "weeks_without_harvest",
    "first_batch_50",
    "spring_emergence_50",
    "total_heater_energy",
    "total_heater_cost",
}
N, SEED = 20, "5"


def read(text):
    def refuse(name):
        raise ValueError(f"{name} is no JSON")

    return json.loads(text, parse_constant=refuse)


def student(freedom):
    """97.5 % quantile of Student's t: Abramowitz & Stegun 1964, 26.7.3 and 26.7.4, by bisection."""

    def inside(angle):  # probability of |t| < sqrt(freedom) tan(angle)
        first = freedom % 2
        term, total = (math.cos(angle), 0.0) if first else (1.0, 0.0)
        for k in range(first, freedom - 1, 2):
            total += term
            term *= (k + 1) / (k + 2) * math.cos(angle) ** 2
        return 2 / math.pi * (angle + math.sin(angle) * total) if first else math.sin(angle) * total

    low, high = 0.0, math.pi / 2
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if inside(middle) < 0.95 else (low, middle)
    return math.sqrt(freedom) * math.tan(low)


def wilson(share, n):
    wide = Z * Z / n
    half = Z * math.sqrt(share * (1 - share) / n + wide / (4 * n))
    return (share + wide / 2 - half) / (1 + wide), (share + wide / 2 + half) / (1 + wide)


def root(function, low, high):
    """Returns the root of an increasing function."""
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if function(middle) < 0 else (low, middle)
    return (low + high) / 2


def mean_interval(d):
    """Student's interval, corrected for skewness."""
    n = len(d)
    if n < 2 or d.std() == 0:
        return math.nan, math.nan
    skewness = ((d - d.mean()) ** 3).mean() / d.std() ** 3
    q = student(n - 1) / math.sqrt(n)

    def end(wanted):
        t = root(lambda t: t + skewness * t**2 / 3 + skewness**2 * t**3 / 27 + skewness / (6 * n) - wanted, -99, 99)
        return d.mean() - d.std(ddof=1) * t

    return end(q), end(-q)


def share_interval(first, second, n):
    """Returns the interval of a difference of shares in n pairs; `first`, `second`: pairs with a hit in that setup only."""

    def score(d):
        def slope(p):  # of the log likelihood at p = share of `first`; decreasing
            return (first / p if first else 0) + (second / (p + d) if second else 0) - 2 * (n - first - second) / (1 - 2 * p - d)
        p = root(lambda p: -slope(p), max(0, -d) + 1e-15, (1 - d) / 2 - 1e-15)
        return (second - first - n * d) / math.sqrt(n * (2 * p + d * (1 - d)))

    return root(lambda d: Z - score(d), -1 + 1e-12, 1 - 1e-12), root(lambda d: -Z - score(d), -1 + 1e-12, 1 - 1e-12)


class Numbers(CommandTest):
    made = []  # the comparison as JSON and its file, run once for all tests

    def compared(self, *words):
        for name in LANE:
            self.copy(name)
        return self.wintergrub("compare", *LANE, "--replicates", str(N), "--seed", SEED, *words)

    def comparison(self):
        """Returns what --json says, with the file in lane.h5."""
        if not self.made:
            text = self.compared("--json", "-o", "lane.h5")
            with open("lane.h5", "rb") as file:
                self.made.extend((text, file.read()))
        for name in LANE:
            self.copy(name)
        with open("lane.h5", "wb") as file:
            file.write(self.made[1])
        return read(self.made[0])

    def near(self, found, wanted, name):
        if wanted is None or not math.isfinite(wanted):
            self.assertTrue(found is None or math.isnan(found), f"{name}: {found}")
        else:
            self.assertAlmostEqual(found, wanted, delta=1e-9 * max(1, abs(wanted)), msg=name)

    def test_differences_of_json_and_file_are_those_of_the_outcomes(self):
        said = self.comparison()
        self.assertEqual(said["result"], "lane.h5")
        with h5py.File("lane.h5") as file:
            self.assertEqual(list(file["scenario"].asstr()), ["A", "B", "C", "D"])
            for p, pair in enumerate(said["pairs"], start=1):
                self.assertEqual((pair["setup"], pair["against"]), ("ABCD"[p], "A"))
                for name, told in pair["differences"].items():
                    self.check_difference(file, name, p, told)
                self.check_price(file, p, pair["price_of_extra_harvest"])

    def check_difference(self, file, name, p, told):
        a, b = file[name][0], file[name][p]
        d = (b - a)[~np.isnan(b - a)]
        n = len(d)
        self.assertEqual(told["of"], n, name)
        unit = file[name].attrs["units"]
        self.assertEqual(told["unit"], "day" if unit.startswith("days since 2") else unit, name)
        mean, sd = (d.mean() if n else math.nan), (d.std(ddof=1) if n > 1 else math.nan)
        dates = name == "first_batch_50"
        x, y = (np.where(np.isnan(v), np.inf, v) if dates else v for v in (a, b))
        if name in LESS_IS_BETTER:
            x, y = y, x
        better, worse, ties = int((y > x).sum()), int((y < x).sum()), int((y == x).sum())
        self.assertEqual((told["times_better"], told["times_worse"], told["ties"]), (better, worse, ties), name)
        all_of_them = better + worse + ties
        ends = share_interval(worse, better, all_of_them) if name == "survived" else mean_interval(d)
        share = better / all_of_them if all_of_them else math.nan
        low, high = wilson(share, all_of_them) if all_of_them else (0, 1)
        both = ~np.isnan(b - a)
        apart = a[both].var(ddof=1) + b[both].var(ddof=1) if n > 1 else math.nan
        factor = apart / sd**2 if n > 1 and sd > 0 else math.nan
        for key, variable, wanted in (
            ("mean", "difference", mean),
            ("low", "difference_low", ends[0]),
            ("high", "difference_high", ends[1]),
            ("chance_better", "chance_better", share),
            ("chance_low", "chance_better_low", low),
            ("chance_high", "chance_better_high", high),
            ("variance_factor", "variance_factor", factor),
        ):
            stored = file[f"{name}_{variable}"]
            self.near(told[key], wanted, f"{name} {key}")
            self.assertTrue(math.isnan(stored[0]), "NaN for A itself")
            if math.isfinite(wanted):
                self.near(stored[p], wanted, f"{name} {variable}")
            self.assertTrue(stored.attrs["long_name"] and stored.attrs["units"])

    def check_price(self, file, p, told):
        kg = (file["total_harvest_mass"][p] - file["total_harvest_mass"][0]).mean()
        cost = (file["total_heater_cost"][p] - file["total_heater_cost"][0]).mean()
        self.near(file["cost_of_extra_kg"][p], told["per_kg"] if told["per_kg"] is not None else math.nan, "price")
        if told["per_kg"] is None:
            self.assertTrue(told["why_none"])
            return
        self.near(told["per_kg"], cost / kg, "per kg")
        self.near(told["per_lb"], cost / kg * KG_PER_LB, "per lb")
        self.assertTrue(told["low"] < told["per_kg"] < told["high"])

    def test_each_setup_equals_a_single_run(self):
        said = self.comparison()
        for i, name in enumerate(LANE):
            alone = read(self.wintergrub("run", name, "--replicates", str(N), "--seed", SEED, "--json", "--force", "-o", "one.h5"))
            for key in ("survival", "outcomes", "warnings", "cautions", "title"):
                self.assertEqual(said["setups"][i][key], alone[key], f"{name} {key}")
            with h5py.File("one.h5") as one, h5py.File("lane.h5") as lane:
                for outcome in alone["outcomes"]:
                    np.testing.assert_array_equal(one[outcome][()], lane[outcome][i], f"{name} {outcome}")
                if i == 0:
                    first = one["outdoor_temperature"][()], one["power_out_hours"][()]
                np.testing.assert_array_equal(first[0], one["outdoor_temperature"][()])
                np.testing.assert_array_equal(first[1], one["power_out_hours"][()])
                self.assertGreater(one["power_out_hours"][()].sum(), 0)

    def test_the_text_shows_the_same_numbers(self):
        said = self.comparison()
        text = self.compared("--details")
        flat = " ".join(text.split())
        shown = re.search(r"^All crawl-off, kg +(\S+) +(\S+) +(\S+) +(\S+)$", text, re.M).groups()
        for value, setup in zip(shown, said["setups"]):
            kg = setup["outcomes"]["total_crawl_off_mass"]["q50"]
            self.assertAlmostEqual(float(value), kg, delta=max(0.006 * kg, 0.0051))
        self.check_table(text)
        for pair in said["pairs"]:
            told = pair["differences"]["total_harvest_mass"]
            sentence = re.search(rf"{pair['setup']} against A: over the same {N} years, all taken out: (.*?) \(", flat)
            number, unit = sentence.group(1).split()[:2]
            scale = 1000 if unit == "g" else 1
            mean = abs(told["mean"])
            self.assertAlmostEqual(float(number) / scale, mean, delta=max(0.006 * mean, 0.0051), msg="two decimals")
            better, ties = re.search(rf"{pair['setup']} against A:.*?better in ([\d.]+)( of 100|, worse in)", flat).groups()
            scale = N if "worse" in ties else 100  # years, where some are alike
            self.assertAlmostEqual(float(better), scale * told["chance_better"], delta=0.51)
        self.assertEqual(said["verdict"], " ".join(text.split("\n\n")[-1].split("\n   alive")[0].split()))

    def check_table(self, text):
        """The rows are the means of the outcomes, and each kg beyond A costs their ratio."""
        rows = re.findall(r"^[A-D]  Crow Lane.*\n   (.*)$", text, re.M)
        with h5py.File("lane.h5") as file:
            kg, cost = file["total_harvest_mass"][()].mean(axis=1), file["total_heater_cost"][()].mean(axis=1)
            wanted = [100 * file["survived"][()].mean(axis=1), kg, kg / KG_PER_LB]
            wanted += [file[name][()].mean(axis=1) for name in ("weeks_without_harvest", "total_heater_energy")] + [cost]
        for i, row in enumerate(rows):
            cells = row.replace(",", "").replace("$", "").split()
            for cell, of_setups in zip(cells, wanted):
                self.assertAlmostEqual(float(cell), of_setups[i], delta=max(0.006 * of_setups[i], 0.51 if of_setups is wanted[0] else 0.0051))
            if i > 0 and cost[i] > 0 and kg[i] > kg[0]:
                price = (cost[i] - cost[0]) / (kg[i] - kg[0])
                self.assertAlmostEqual(float(cells[-1]) / price, 1, delta=0.051, msg="two figures")
        self.assertEqual(len(rows), 4)

    def test_the_file_has_its_provenance_and_opens_everywhere(self):
        self.comparison()
        with h5py.File("lane.h5") as file:
            made = file["provenance"]
            self.assertEqual((int(made.attrs["seed"]), int(made.attrs["replicates"])), (int(SEED), N))
            self.assertIn("compare", made.attrs["command_line"])
            self.assertTrue(made.attrs["wintergrub_version"])
            for i, name in enumerate(LANE):
                with open(name, "rb") as scenario:
                    text = scenario.read()
                self.assertEqual(made["scenario_text"].asstr()[i].encode(), text)
                self.assertEqual(made["scenario_sha256"].asstr()[i], hashlib.sha256(text).hexdigest())
                self.assertEqual(made["scenario_path"].asstr()[i], name)
        with xarray.open_dataset("lane.h5", decode_timedelta=False) as data:
            self.assertEqual({name: data.sizes[name] for name in ("scenario", "replicate")}, {"scenario": 4, "replicate": N})
            self.assertEqual(data.sizes["caution"], 2)
            self.assertIn("D", data["warning_scenario"].values[data["warning_kind"].values == "mat too weak"])
            self.assertEqual(data["survived"].dims, ("scenario", "replicate"))
            self.assertIn("Crow Lane", str(data["scenario_title"].values[0]))
            self.near(float(data["survival"][2]), float(data["survived"][2].mean()), "survival")
        with xarray.open_dataset("lane.h5", group="provenance") as data:
            self.assertEqual(data["parameter_value"].dims, ("scenario", "parameter"))
        header = subprocess.run(["ncdump", "-h", "lane.h5"], capture_output=True, text=True, check=True).stdout
        self.assertIn("double total_harvest_mass_difference(scenario)", header)

    def test_a_weather_record_is_stored_once(self):
        self.copy("seattle-record.yaml")
        shutil.copytree(os.path.join(SCENARIOS, "weather"), "weather")
        with open("seattle-record.yaml", encoding="utf-8") as file:
            text = file.read()
        with open("cool.yaml", "w", encoding="utf-8") as file:
            file.write(text.replace("set_point: 70 degF", "set_point: 60 degF"))
        self.wintergrub("compare", "seattle-record.yaml", "cool.yaml", "--replicates", "4", "-o", "sea.h5")
        with open("weather/seattle_daily.csv", "rb") as file:
            record = file.read()
        with h5py.File("sea.h5") as file:
            made = file["provenance"]
            self.assertEqual(bytes(made["weather_record_A"][()]), record)
            self.assertNotIn("weather_record_B", made)
            digests = set(made["weather_record_sha256"].asstr())
            self.assertEqual(digests, {hashlib.sha256(record).hexdigest()})


if __name__ == "__main__":
    unittest.main()
