#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks that `run` and its page say why a colony dies or earns nothing, on plans whose cause is known.

Reference: each plan was made to fail by what its sentence must name; a plan with that one thing mended needs no sentence.
"""

import html
import json
import re
import unittest

import h5py
import numpy as np
from commands import CommandTest, read, write

MILD = "[58, 62, 69, 77, 84, 91, 93, 92, 87, 78, 68, 60]", "[36, 39, 46, 54, 62, 70, 72, 71, 65, 54, 45, 38]"
COLD = "[32, 36, 47, 60, 71, 80, 84, 82, 75, 63, 49, 37]", "[17, 19, 28, 38, 49, 59, 63, 61, 53, 42, 33, 23]"
HOT = str([118] * 12), str([98] * 12)
WARM = str([86] * 12), str([70] * 12)
FEED = "feeding: [{in: trough, what: kitchen scraps, amount: 3 lb}]\n"
FEED_NOTHING = "feeding: [{in: trough, what: kitchen scraps, amount: 0 kg}]\n"
KEEP = "keeping: [{do: collect crawl-off, in: trough, share: 80 %, give_back: 10 %}]\n"
LAMPS = "{kind: shed, lamps: {hours: 12 hours, power: 100 W, price: 0.15 per kWh}}"


def heated(degf):
    return f"heater: {{power: 5 kW, set_point: {degf} degF, price: 0.15 per kWh}}, "


def of_100(lives):
    """A share as the sentences have it: of 100, halves rounded up; all or none only if it is so."""
    share = lives["alive"] / lives["of"]
    some = int(100 * share + 0.5)
    if some == 100 and share < 1:
        return "more than 99"
    return "fewer than 1" if some == 0 < share else str(some)


def plan(climate=MILD, house="outdoors", heater="", count=10000, feed=FEED, keep=KEEP, more="", to="2027-09-14"):
    house = house if house.startswith("{") else f"{{kind: {house}}}"
    ground = "{kind: soil, depth: 10 cm}" if "outdoors" in house else "{kind: box}"
    return f"""title: A plan with one fault
period: {{from: 2026-09-15, to: {to}}}
climate: {{latitude: 38 degrees, elevation: 60 m,
  normals: {{unit: degF, daily_high: {climate[0]}, daily_low: {climate[1]}, spread: humid subtropical}}}}
places: [{{name: yard, housing: {house}, {heater}ground: {ground}, bins: [{{name: trough, volume: 150 L}}]}}]
starter: [{{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: {count}}}]
{feed}{keep}{more}forecast: {{replicates: 16, seed: 2026, steps_per_day: 1}}
"""


# name: plan, what is named as the reason, words of the story
KNOWN = {
    "frost outdoors": (plan(COLD), ["cold"], "Cold kills most"),
    "cooked": (plan(HOT, to="2027-01-14"), ["heat"], "The hottest hour in a bin is"),
    "never fed": (plan(feed=FEED_NOTHING, to="2027-01-14"), ["hunger"], "The larvae eat 0 % of what they could"),
    "too cool to lay": (plan(COLD, LAMPS, heated(70)), ["cool air"], "they mate and lay from about 24 °C"),
    "no lamps": (
        plan(COLD, "shed", heated(80), to="2027-02-14").replace("replicates: 16", "replicates: 32"), ["too little light"],
        "There are no lamps in yard"),
    "no lamps and too cool": (
        plan(COLD, "shed", heated(70), to="2027-03-14").replace("replicates: 16", "replicates: 32"), ["cool air", "too little light"],
        "air too cool for mating and laying together"),
    "too few to meet": (
        plan(count=1500, keep="", more="species: {males_needed: 1000}\n"), ["too few males"], "too few flies to meet"),
    "five larvae": (plan(WARM, count=5, keep="", to="2027-03-14"), ["small start"], "with ten times the starter"),
    "all harvested": (plan(keep=KEEP.replace("80 %, give_back: 10 %", "100 %"), to="2027-03-14"), ["harvest"], "and no flies emerge"),
    "raided": (
        plan(more="mishaps: {raid: {per_year: 100, larvae_lost: 95 %}}\n", to="2027-03-14"), ["raids"], "Raids take most in"),
    "power cuts": (
        plan(COLD, LAMPS, heated(80), more="mishaps: {power_cut: {per_year: 40, lasts: 240 hours}}\n", to="2027-03-14"),
        ["power cuts"], "The power is out for about"),
    "nothing taken out": (plan(feed=FEED_NOTHING, to="2026-11-14"), ["hunger"], "Why nothing is taken out: hunger"),
}  # fmt: skip
HEALTHY = {
    "lamps and warmth": plan(COLD, LAMPS, heated(80)),
    "cool enough to sleep": plan(COLD, LAMPS, heated(50)),
}


class Reasons(CommandTest):
    told = {}

    def known(self, name):
        """The forecast of a plan with a known fault, run once for all tests; its files are gone."""
        if name not in self.told:
            self.told[name] = self.run_json(KNOWN[name][0])
        return self.told[name]

    def run_json(self, text, *words):
        """The forecast of a plan; that of a healthy one is run once for all tests."""
        if text in HEALTHY.values() and not words:
            if text not in self.told:
                self.told[text] = self.run_anew(text)
            return self.told[text]
        return self.run_anew(text, *words)

    def run_anew(self, text, *words):
        write("plan.yaml", text)
        return json.loads(self.wintergrub("run", "plan.yaml", "-f", "-q", "--json", *words))

    def test_plans_with_a_known_fault(self):
        for name, (_, reason, words) in KNOWN.items():
            with self.subTest(name):
                said = self.known(name)
                self.assertEqual([r["lifted"] for r in said["reasons"] if r["is_reason"]], [reason], said["why"])
                self.assertIn(words, said["why"])

    def test_healthy_plans_need_no_reason(self):
        for name, text in HEALTHY.items():
            with self.subTest(name):
                said = self.run_json(text)
                self.assertGreater(said["survival"]["share"], 0.9)
                self.assertEqual((said["question"], said["why"], said["reasons"]), (None, None, []))

    def test_a_plan_that_ends_too_soon(self):
        """Nothing crawls off in 15 days: the end of the plan is the reason, not the hunger of a few."""
        said = self.run_json(plan(feed=FEED_NOTHING, to="2026-09-30"))
        self.assertEqual((said["question"], said["why"]), (None, None))
        self.assertTrue(any("ends before the first larvae are three weeks old" in caution for caution in said["cautions"]), said["cautions"])
        self.assertFalse(any("three weeks" in caution for caution in self.known("nothing taken out")["cautions"]))

    def test_no_reason_is_invented(self):
        said = self.run_json(plan(more="species: {clutch_low: 0, clutch_high: 0}\n"))
        self.assertIn("no single limit explains it, nor do two", said["why"])
        self.assertFalse(any(r["is_reason"] for r in said["reasons"]))

    def test_the_sentence_has_the_numbers_of_the_list(self):
        said = self.known("frost outdoors")
        planned, reason = said["reasons"][0], next(r for r in said["reasons"] if r["is_reason"])
        self.assertEqual(planned["lifted"], [])
        self.assertEqual(planned["alive"], said["survival"]["alive"])  # all of so few replicates are tried again
        self.assertIn(f"it lives in {of_100(planned)} of 100 as planned and in {of_100(reason)} without", said["why"])
        self.assertGreater(reason["saved_low"], 0)
        self.assertLessEqual(reason["saved_low"], (reason["alive"] - planned["alive"]) / planned["of"])

    def test_text_and_page_say_the_same(self):
        words = "--seed", "77"
        why = self.run_json(KNOWN["cooked"][0], *words)["why"]
        text = self.wintergrub("run", "plan.yaml", "-f", "-q", *words)
        self.assertIn(why, re.sub(r"\n  ", " ", text))
        self.wintergrub("report", "plan.h5")
        self.assertIn(why, html.unescape(read("plan.html").decode()))
        with h5py.File("plan.h5", "r+") as result:  # as an older wintergrub left it
            self.assertEqual(result["provenance"].attrs["why"], why)
            del result["provenance"].attrs["why"]
        self.wintergrub("seal", "plan.h5")
        self.wintergrub("report", "plan.h5", "-f", "-o", "again.html")
        self.assertIn(why, html.unescape(read("again.html").decode()))

    def test_a_plan_that_was_mended(self):
        """Set points on both sides of the valley, as the sentence names them."""
        why = self.known("too cool to lay")["why"]
        found = re.search(r"It lives in (\d+) if heated to 27 °C .* and in (\d+) if heated to 10 °C", why)
        for lives, degf in zip(found.groups(), ("80.6", "50"), strict=True):
            said = self.run_json(plan(COLD, LAMPS, heated(degf)))
            self.assertAlmostEqual(said["survival"]["alive"], 16 * int(lives) / 100, delta=2.1)  # 27 degC is 80.6 degF but for rounding

    def test_each_setup_of_a_comparison(self):
        write("warm.yaml", HEALTHY["lamps and warmth"])
        write("cool.yaml", KNOWN["too cool to lay"][0])
        setups = "compare", "warm.yaml", "cool.yaml", "--replicates", "16", "-q"
        text = re.sub(r"\n  ", " ", self.wintergrub(*setups, "-f", "-o", "both.h5"))
        self.wintergrub("report", "both.h5")
        page = html.unescape(read("both.html").decode())
        self.assertIn(re.search(r"Why B dies: [^\n]*", text).group(), page)
        self.assertNotIn("Why A dies", text + page)
        said = json.loads(self.wintergrub(*setups, "--json"))["setups"]
        self.assertIsNone(said[0]["why"])
        self.assertEqual(said[1]["why"], self.known("too cool to lay")["why"])  # the same seed and years

    def test_own_line_and_newcomers(self):
        """Outside: the same plan without visitors, by hand, has the same years, weather and seeds."""
        visited = plan(COLD, more="wild_visitors: {peak: 3 per day}\n")
        alone = self.run_json(plan(COLD))["survival"]["alive"]
        said = self.run_json(visited)
        self.assertGreater(said["survival"]["alive"], alone)
        words = f"Alive: own line in {of_100({'alive': alone, 'of': 16})} of 100 years, with newcomers in {of_100(said['survival'])}."
        self.assertIn(words, said["check_first"])
        text = self.wintergrub("run", "plan.yaml", "-f", "-q")
        self.assertIn(words, re.sub(r"\n  ", " ", text))
        self.wintergrub("report", "plan.h5")
        self.assertIn(said["check_first"], html.unescape(read("plan.html").decode()))

    def test_defaults_that_decide(self):
        """Outside: the same plan with the other value written out, by hand."""
        dark = plan(COLD, "shed", heated(80), to="2027-03-14")
        said = self.run_json(dark)
        lamps = next(check for check in said["checks"] if check["changed"] == "lamps")
        lit = self.run_json(plan(COLD, "{kind: shed, lamps: 12 hours}", heated(80), to="2027-03-14"))
        self.assertEqual((lamps["value"], lamps["alive"], lamps["decides"]), (12, lit["survival"]["alive"], True))
        self.assertAlmostEqual(lamps["mean_harvest_kg"], lit["outcomes"]["total_harvest_mass"]["mean"])
        self.assertIn(f"with 12 hours of lamps a day, in {of_100(lamps)} and", said["check_first"])
        self.assertNotIn("lamps", [check["changed"] for check in lit["checks"]])

    def test_the_last_of_a_short_life(self):
        """Eggs hatch in a week; those who scoop every larva on the 14th day lose larvae, not the eggs of the first day."""
        text = plan(keep="keeping: [{do: scoop larvae, in: trough, share: 100 %, every: 13 days}]\n", to="2027-03-14")
        said = self.run_json(text.replace("stage: larva, age: 5 days", "stage: egg"))
        self.assertIn("lose their last animals, mostly larvae", said["why"])

    def test_a_few_grams_decide_nothing(self):
        """In a desert's summer foam around the bin gives 14 g instead of 0.4 g: many times as much, and nothing."""
        desert = ([40, 40, 45, 50, 55, 113, 113, 113, 113, 113, 60, 50], [30, 30, 35, 40, 45, 86, 86, 86, 86, 86, 50, 40])
        said = self.run_json(plan(desert, "{kind: greenhouse, floor: 20 m2}", to="2026-10-31").replace("replicates: 16", "replicates: 64"))
        planned, foam = said["checks"][0], next(c for c in said["checks"] if c["changed"] == "foam")
        self.assertGreater(foam["harvest_change_low_kg"], 0)
        self.assertLess(foam["mean_harvest_kg"], 0.1)
        self.assertLess(planned["mean_harvest_kg"], foam["mean_harvest_kg"] / 3)
        self.assertFalse(foam["decides"])
        self.assertFalse(said["check_first"])

    def test_heat_for_an_empty_place(self):
        """Outside: the result file, summed here day by day."""
        late = plan(COLD, LAMPS, heated(80)).replace("[{on: 2026-09-15", "[{on: 2027-01-10").replace("replicates: 16", "replicates: 4")
        said = self.run_json(late)
        warning = next(w for w in said["warnings"] if w["kind"] == "energy for an empty place")
        with h5py.File("plan.h5") as file:
            kwh, animals = file["heater_energy"][:, :, 0], file["animals"][:, :, 0]
            total = file["count"][:].sum(axis=2)
        self.assertTrue((animals == total).all())
        before = np.concatenate([np.zeros_like(animals[:, :1]), animals[:, :-1]], axis=1)
        idle = kwh[(animals == 0) & (before == 0)].sum() / len(kwh)
        self.assertAlmostEqual(warning["mean_kwh"], idle, delta=1e-6 * idle)
        self.assertAlmostEqual(warning["mean_kwh_in_all"], kwh.sum() / len(kwh), places=3)
        self.assertAlmostEqual(warning["mean_cost"], 0.15 * idle, delta=1e-6 * idle)
        self.assertIn("with no animal in it in every year", warning["text"])

    def test_why_no_value_is_enough(self):
        write("plan.yaml", plan(COLD, to="2027-02-14") + "goal: {survive: yes, chance: 95 %}\n")
        size = "size", "plan.yaml", "--between", "5000", "10000", "--at-most", "1000", "-q", "-f", "-o", "size.h5"
        text = re.sub(r"\n  ", " ", self.wintergrub(*size, status=1))
        why = re.search(r"Why it dies at [^\n]*", text).group()
        self.assertRegex(why, r"^Why it dies at [0-9,]+: cold[.] Tried again in 64 of these futures, it lives in")
        self.wintergrub("report", "size.h5")
        self.assertIn(why, html.unescape(read("size.html").decode()))

    def test_the_reason_is_that_of_the_plan_if_no_value_does_better(self):
        """At 62 degF flies are too cool to lay; that nothing lives at 42 degF either is no help to the keeper."""
        room = plan(COLD, "{kind: room, temperature: 62 degF, lamps: {hours: 12 hours}}", to="2027-06-14")
        write("plan.yaml", room + "goal: {harvest: 100 lb/week, lasting: 4 weeks}\n")
        text = self.wintergrub("size", "plan.yaml", "--vary", "places.yard.housing.temperature", "--at-most", "1000", "-q", status=1)
        best = re.search(r"The best chance was 0 %, at ([\d.]+) ", " ".join(text.split()))[1]
        tried = [float(value) for value in re.findall(r"(?m)^([\d.]+) degF ", text)]
        self.assertEqual(float(best), min(tried, key=lambda value: abs(value - 62)))

    def test_the_search_leaves_the_result_alone(self):
        self.run_json(KNOWN["frost outdoors"][0])
        self.assertIn("bit for bit", self.wintergrub("rerun", "plan.h5"))

    def test_too_few_years_are_not_asked(self):
        said = self.run_json(KNOWN["frost outdoors"][0], "--replicates", "15")
        self.assertEqual((said["survival"]["alive"], said["why"], said["reasons"]), (0, None, []))


if __name__ == "__main__":
    unittest.main()
