#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks warnings: a run with the power that a warning recommends needs no warning, and all outputs show the warnings.

References: 12 hours of 100 W are 1.2 kWh; equivalent plans give the same bytes.
"""

import html
import json
import math
import re
import unittest

import h5py
import numpy as np

from commands import CommandTest, read, write

SITE = """period: {from: 2026-11-01, to: 2027-01-31}
climate: {latitude: 41 degrees, elevation: 240 m, normals: {unit: degF,
  daily_high: [32, 36, 47, 60, 71, 80, 84, 82, 75, 63, 49, 37],
  daily_low: [17, 19, 28, 38, 49, 59, 63, 61, 53, 42, 33, 23], spread: continental}}
"""
REST = """starter: [{on: 2026-11-01, in: trough, stage: larva, age: 5 days, count: 1000}]
feeding: [{in: trough, what: kitchen scraps, amount: 0.3 lb}]
forecast: {replicates: 6, seed: 3}
"""
MAT = "mat: {power: POWER W, set_point: 80 degF}"


def place(bin_keys, house="{kind: hoop house}", more=""):
    return f"places: [{{name: house, housing: {house}{more}, bins: [{{name: trough, {bin_keys}}}]}}]\n"


def mats():
    """Bins with a mat in a cold house."""
    yield "lid open", SITE + place(f"lid: open, {MAT}") + REST
    yield "set point", (
        SITE + place("mat: {power: POWER W, set_point: 60 degF}") + REST
        + "keeping: [{do: change, on: 2026-12-01, in: trough, set_point: 90 degF}]\n"
    )  # fmt: skip
    yield "summer", SITE + place(f"insulation: 2 in, summer: {{from: 12-15, to: 01-15, insulation: none}}, {MAT}") + REST
    yield "foam off", (
        SITE + place(f"insulation: 2 in, {MAT}") + REST
        + "keeping: [{do: change, on: 2026-12-01, in: trough, insulation: none}]\n"
    )  # fmt: skip


class Warnings(CommandTest):
    def write(self, text, name="plan.yaml"):
        with open(name, "w", encoding="ascii") as file:
            file.write(text)
        return name

    def run_json(self, text, *words):
        name = self.write(text)
        return json.loads(self.wintergrub("run", name, "-o", "plan.h5", "-f", "-q", "--json", *words))

    def series(self, text, name):
        self.run_json(text)
        with h5py.File("plan.h5") as file:
            return file[name][:]

    def power_of(self, said, kind):
        """Returns the recommended power; None without a warning."""
        found = [warning["power_that_holds_w"] for warning in said["warnings"] if warning["kind"] == kind]
        return found[0] if found else None

    # ---- power ----

    def assert_recommendation(self, text, *words):
        recommended = self.power_of(self.run_json(text.replace("POWER", "20"), *words), "mat too weak")
        self.assertIsNotNone(recommended)
        with_it = self.run_json(text.replace("POWER", str(math.ceil(recommended))), *words)
        self.assertIsNone(self.power_of(with_it, "mat too weak"), f"{recommended} W is not enough")
        fifth_less = self.run_json(text.replace("POWER", str(math.floor(0.8 * recommended))), *words)
        self.assertIsNotNone(self.power_of(fifth_less, "mat too weak"), f"80 % of {recommended} W is enough")
        return recommended

    def test_the_recommended_mat_suffices(self):
        for name, text in mats():
            with self.subTest(name):
                self.assert_recommendation(text)

    def test_the_recommended_mat_of_the_example(self):
        with open(self.copy("crow-lane-mat.yaml"), encoding="ascii") as file:
            text = re.sub(r"power: \d+ W", "power: POWER W", file.read())
        # the loss through the foam alone would need 107 W
        self.assertGreater(self.assert_recommendation(text, "--replicates", "6"), 200)

    def test_the_recommended_heater_does_not_depend_on_the_present_one(self):
        text = SITE + place("lid: open, volume: 500 L", "{kind: greenhouse}", ", heater: {power: POWER W, set_point: 65 degF}") + REST
        recommended = [self.power_of(self.run_json(text.replace("POWER", power)), "heater too weak") for power in ("500", "3000", "6000")]
        for other in recommended[1:]:
            self.assertAlmostEqual(other / recommended[0], 1, delta=0.01)
        self.assertIsNone(self.power_of(self.run_json(text.replace("POWER", str(math.ceil(recommended[0])))), "heater too weak"))
        less = self.run_json(text.replace("POWER", str(math.floor(0.8 * recommended[0]))))
        self.assertIsNotNone(self.power_of(less, "heater too weak"))

    # ---- equivalent plans ----

    def same(self, one, other, name="bin_temperature"):
        np.testing.assert_array_equal(self.series(one, name), self.series(other, name))

    def test_equivalent_lids_give_equal_bytes(self):
        closed = SITE + place("lid: closed") + REST
        self.same(SITE + place("lid: open, summer: {from: 01-01, to: 12-31, lid: closed}") + REST, closed)
        yard = SITE + place("insulation: 1 in", "outdoors") + REST
        self.same(yard + "keeping: [{do: change, on: 2026-12-01, in: trough, lid: closed}]\n", yard)
        opened = SITE + place("lid: open") + REST
        self.assertGreater(np.abs(self.series(opened, "bin_temperature") - self.series(closed, "bin_temperature")).max(), 1)

    def test_a_change_in_winter_keeps_the_summer_settings(self):
        bin_keys = "insulation: 1 in, summer: {from: 12-15, to: 01-31, insulation: none, lid: screen}"
        text = SITE + place(bin_keys) + REST.replace("count: 1000", "count: 1")
        changed = text + "keeping: [{do: change, on: 2026-11-10, in: trough, insulation: 4 in, lid: open}]\n"
        apart = np.abs(self.series(text, "bin_temperature") - self.series(changed, "bin_temperature"))[:, :, 0]
        self.assertGreater(apart[:, 20:40].max(), 0.5)
        self.assertLess(apart[:, 60:].max(), 0.01)
        self.assertEqual(" ".join(self.wintergrub("check", "plan.yaml").split()).count(", except in its summer"), 2)

    def test_heater_on_before_its_season(self):
        heater = ", heater: {power: 2 kW, set_point: 60 degF, from: 12-01, to: 12-31}"
        text = SITE + place("lid: closed", "{kind: shed}", heater) + REST
        early = text + "keeping: [{do: change, on: 2026-11-11, in: house, heater: on}]\n"
        kwh = self.series(early, "heater_energy")[:, :, 0].min(axis=0)
        self.assertEqual(kwh[:10].max(), 0)
        self.assertGreater(kwh[10:30].mean(), 1)  # 11 November on, before its season
        self.assertGreater(kwh[30:61].mean(), 1)
        self.assertEqual(kwh[61:].max(), 0)
        told = " ".join(self.wintergrub("check", "plan.yaml").split())
        self.assertIn('heater on in "house", outside its season, until the season next ends on 31 December', told)

    def test_a_set_point_out_of_season_acts_later(self):
        heater = ", heater: {power: 2 kW, set_point: 60 degF, from: 12-01, to: 12-31}"
        text = SITE + place("lid: closed", "{kind: shed}", heater) + REST
        change = "{do: change, on: %s, in: house, set_point: 50 degF}"
        for day, words in (
            ("2026-11-11", 'set point 10 degC (50 degF) in "house", outside the season of its heater: acts from 1 December 2026 on'),
            ("2026-12-11", 'set point 10 degC (50 degF) in "house" species'),
            ("2027-01-11", 'set point 10 degC (50 degF) in "house", outside the season of its heater: does nothing until the plan ends on'),
        ):
            write("plan.yaml", text + "keeping: [" + change % day + "]\n")
            self.assertIn(words, " ".join(self.wintergrub("check", "plan.yaml").split()))
        write("plan.yaml", text + "keeping: [{do: change, on: 2026-11-11, in: house, heater: on}, " + change % "2026-11-12" + "]\n")
        self.assertNotIn("acts from", self.wintergrub("check", "plan.yaml"))  # the keeper has switched it on

    # ---- lamps ----

    def test_no_lamps_by_default(self):
        text = SITE + place("lid: closed", "{kind: shedLAMPS}") + REST
        self.same(text.replace("LAMPS", ""), text.replace("LAMPS", ", lamps: none"), "air_temperature")
        self.assertIn("no lamps", self.wintergrub("check", "plan.yaml"))
        self.assertIn("A shed without lamps is dark", " ".join(self.wintergrub("run", "plan.yaml", "-q", "-f").split()))
        lit = self.write(text.replace("LAMPS", ", lamps: 12 hours"))
        told = self.wintergrub("run", lit, "-q", "-f")
        self.assertIn("12 hours a day", told)
        self.assertIn("licensed electrician", told)  # lamps need the caution too
        self.assertIn("The power of the lamps in house is not in the scenario", " ".join(told.split()))

    def test_lamps_add_to_the_cost(self):
        text = SITE + place("lid: closed", "{kind: shed, lamps: {hours: 12 hours, power: 100 W, price: 0.2 per kWh}}") + REST
        said = self.run_json(text)
        for quantile in ("q05", "q95"):
            self.assertAlmostEqual(said["outcomes"]["total_heater_energy"][quantile], 1.2 * 92, places=6)
            self.assertAlmostEqual(said["outcomes"]["total_heater_cost"][quantile], 0.2 * 1.2 * 92, places=6)

    # ---- prices ----

    def test_no_cost_if_one_price_is_missing(self):
        heater = ", heater: {power: 2 kW, set_point: 60 degF}"
        text = SITE + place("mat: {power: 20 W, set_point: 70 degF, price: 0.2 per kWh}", "{kind: shed}", heater) + REST
        said = self.run_json(text)
        self.assertEqual(said["outcomes"]["total_heater_cost"]["happened"], 0)
        self.assertGreater(said["outcomes"]["total_heater_energy"]["q05"], 0)
        self.assertIn("The heater of house has no price", said["why_no_cost"])
        priced = self.write(text.replace("60 degF}", "60 degF, price: 0.2 per kWh}"), "priced.yaml")
        told = " ".join(self.wintergrub("compare", priced, "plan.yaml", "--replicates", "4", "-q").split())
        self.assertIn("not known", told)
        self.assertIn("B: The heater of house has no price", told)
        self.assertNotIn("not dearer", told)
        self.wintergrub("check", self.write(text + "goal: {cost: at most 10}\n", "goal.yaml"), status=3)
        self.assertIn('the heater of "house" has no price', self.stderr)

    # ---- outputs with warnings ----

    def test_the_comparison_and_its_page_warn(self):
        weak = self.write(SITE + place(MAT.replace("POWER", "20"), "outdoors") + REST, "weak.yaml")
        none = self.write(SITE + place("lid: closed", "outdoors") + REST, "none.yaml")
        words = ("--replicates", "4", "-q", "-o", "both.h5")
        told = " ".join(self.wintergrub("compare", none, weak, *words).split())
        self.wintergrub("report", "both.h5")
        with open("both.html", encoding="utf-8") as file:
            page = " ".join(html.unescape(file.read()).split())
        for text in (told, page):
            self.assertIn('Warning, B: The mat under "trough" is too weak in every future', text)
            self.assertNotIn("Warning, A: The mat", text)
            self.assertIn("licensed electrician", text)

    def test_size_and_its_page_warn(self):
        goal = "goal: {total_harvest: 1 g, of: crawl-off, chance: 50 %}\n"
        plan = self.write(SITE + place(MAT.replace("POWER", "200"), "outdoors") + REST + goal)
        words = ("--at-most", "1000", "-q")
        said = json.loads(self.wintergrub("size", plan, "--between", "500", "2000", "--json", *words))
        told = " ".join(self.wintergrub("size", plan, "--between", "500", "2000", "-o", "size.h5", *words).split())
        self.assertIn("mat too weak", [warning["kind"] for warning in said["warnings"]])
        self.assertTrue(any("licensed electrician" in caution for caution in said["cautions"]))
        self.wintergrub("report", "size.h5")
        with open("size.html", encoding="utf-8") as file:
            page = " ".join(html.unescape(file.read()).split())
        for text in (told, page):
            self.assertRegex(text, r'Warning, at [0-9,]+: The mat under "trough" is too weak')
            self.assertIn("licensed electrician", text)

    def test_fit_cautions(self):
        plan = self.write(SITE + place(MAT.replace("POWER", "200"), "outdoors") + REST)
        self.write("date,what,value\n2026-12-20,adults,no\n", "log.csv")
        words = ("fit", plan, "log.csv", "--draws", "100", "-q")
        self.assertIn("licensed electrician", self.wintergrub(*words))
        self.assertTrue(json.loads(self.wintergrub(*words, "--json"))["cautions"])

    def test_fit_warns_as_run_does(self):
        """The same plan: a mat too weak for its set point, in the text, JSON, page and file of `fit`."""
        plan = self.write(SITE + place(MAT.replace("POWER", "20"), "outdoors") + REST)
        kinds = {warning["kind"] for warning in self.run_json(read(plan).decode())["warnings"]}
        self.assertIn("mat too weak", kinds)
        self.write("date,what,value\n2026-12-20,adults,no\n", "log.csv")
        words = ("fit", plan, "log.csv", "--draws", "100", "-q", "-f")
        self.wintergrub(*words, "-o", "page.html")
        told, page = self.wintergrub(*words), html.unescape(read("page.html").decode())
        for text in (" ".join(told.split()), page):
            self.assertIn('Warning, the plan without the log: The mat under "trough" is too weak', text)
        answer = json.loads(self.wintergrub(*words, "--json", "-o", "fit.h5"))
        self.assertEqual({warning["kind"] for warning in answer["warnings"]}, kinds)
        with h5py.File("fit.h5") as file:
            self.assertTrue(len(file["warning"]))

    def test_compare_gives_no_price_to_kwh(self):
        """Lamps of unknown power: their energy is not none, and each kg more takes kWh, not dollars of them."""
        shed, rest = "{kind: shed, lamps: 12 hours}", REST + "keeping: [{do: collect crawl-off, in: trough, share: 80 %}]\n"
        cold = SITE + place("lid: closed", shed) + rest
        warm = SITE + place("lid: closed", shed, ", heater: {set_point: 70 degF, power: 3 kW, price: $0.15 per kWh}") + rest
        self.write(cold, "cold.yaml")
        self.write(warm, "warm.yaml")
        told = " ".join(self.wintergrub("compare", "cold.yaml", "warm.yaml", "-q", "--replicates", "16").split())
        self.assertIn("without known energy", told)
        self.assertRegex(told, r"cold\.yaml.* unknown +not known", "the cell of kWh")
        self.assertRegex(self.wintergrub("run", "cold.yaml", "warm.yaml", "-q", "--replicates", "2", "-o", "out"), r"cold .* unknown\n")
        self.assertRegex(told, r"each kg more takes [0-9][0-9,.]* (\([0-9,.]+ to [0-9,.]+\) )?kWh")

    def test_overfeeding_does_not_depend_on_the_interval(self):
        feed = "feeding: [{in: trough, what: kitchen scraps, amount: AMOUNT lb, every: DAYS days}]\n"
        text = SITE + place(MAT.replace("POWER", "300")) + REST.split("feeding")[0] + feed + "forecast: {replicates: 4, seed: 3}\n"
        weeks = []
        for days in (1, 7, 14):
            said = self.run_json(text.replace("AMOUNT", str(10 * days)).replace("DAYS", str(days)))
            found = [warning for warning in said["warnings"] if warning["kind"] == "overfed"]
            weeks.append(found[0]["weeks"] if found else 0)
            self.assertIn("ammonia", found[0]["text"] if found else "")
        self.assertGreater(min(weeks), 8, f"{weeks} of 13 weeks")


if __name__ == "__main__":
    unittest.main()
