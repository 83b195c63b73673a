# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks answer files of size, what-matters and fit: their HDF5, figure and page, and that other commands reject them.

Also checks each kind of goal with `size`, and its exit status: 0 for an answer, 1 if the answer is no.
"""

import csv
import html
import json
import os
import re
import shutil
import subprocess
import unittest
import xml.etree.ElementTree as xml

import h5py
import numpy as np
import xarray as xr
from commands import CommandTest

PLAN = """title: A few eggs on a bench
period: {from: 2026-01-01, to: 2026-02-25}
climate: {constant: 28 degC}
places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 20}]
feeding: [{in: tray, what: kitchen scraps, amount: 3.5 oz}]
keeping: [{do: collect crawl-off, in: tray, share: 50 %}, {do: pull traps, in: bench, every: 3 days, put_in: tray,
  share_laid_in_traps: 50 %}]
species: {males_needed: 0}
goal: GOAL
forecast: {replicates: 100, seed: 7}
"""
SHED = """title: A heated shed
period: {from: 2026-12-01, to: 2026-12-14}
climate: {latitude: 32.4 degrees, normals: {unit: degF, daily_high: [58, 62, 69, 77, 84, 91, 93, 92, 87, 78, 68, 60],
  daily_low: [36, 39, 46, 54, 62, 70, 72, 71, 65, 54, 45, 38]}}
places: [{name: shed, housing: {kind: shed, floor: 9 m2}, heater: {set_point: 60 degF, power: 3 kW, price: 0.15 per kWh},
  bins: [{name: tray}]}]
starter: [{on: 2026-12-01, in: tray, stage: larva, age: 5 days, count: 200}]
feeding: [{in: tray, what: kitchen scraps, amount: 3 oz}]
goal: {cost: at most 18, chance: 70 %}
species: {animals: middle}
forecast: {replicates: 100, seed: 7}
"""
SURVIVE = "{survive: yes, chance: 90 %}"
LOG = "date,what,value,where\n2026-01-28,adults,no\n2026-02-10,adults,yes\n2026-02-01,bin temperature,82 degF,tray\n"


def bytes_of(path):
    with open(path, "rb") as file:
        return file.read()


class Answers(CommandTest):
    def plan(self, goal=SURVIVE, to="2026-02-25", animals="plausible"):
        with open("plan.yaml", "w", encoding="ascii") as file:
            file.write(PLAN.replace("GOAL", goal).replace("males_needed: 0", f"males_needed: 0, animals: {animals}").replace("2026-02-25", to))

    def write(self, name, text):
        with open(name, "w", encoding="ascii") as file:
            file.write(text)

    def opens_everywhere(self, path):
        for command in (["h5dump", "-H", path], ["ncdump", "-h", path]):
            done = subprocess.run(command, capture_output=True, check=False)
            self.assertEqual(done.returncode, 0, f"{command}: {done.stderr}")
        for engine in ("netcdf4", "h5netcdf"):
            with xr.open_dataset(path, engine=engine) as data:
                data.load()
        with h5py.File(path) as file:
            self.assertIn(file.attrs["kind"], ("size", "what-matters", "fit"))
            self.assertEqual(file["provenance"].attrs["wintergrub_answer_format"], 3)
            self.assertIn("wintergrub", file["provenance"].attrs["command_line"])
            self.assertEqual(len(file["provenance"].attrs["scenario_sha256"]), 64)
            self.assertIn("A few eggs", file["provenance/scenario"][()].decode())
            for name, thing in file.items():
                if isinstance(thing, h5py.Group) or "long_name" not in thing.attrs:
                    continue
                self.assertEqual(thing.dtype.kind == "O", "units" not in thing.attrs, name)  # a text has none
                self.assertEqual(thing.dtype.kind == "f" and not h5py.h5ds.is_scale(thing.id), "_FillValue" in thing.attrs, name)

    def is_no_result(self, path):
        before = bytes_of(path)
        self.wintergrub("rerun", path, status=3)
        self.assertIn("This is an answer, not a result", self.stderr)
        self.wintergrub("compare", path, path, status=3)
        self.assertEqual(before, bytes_of(path))

    def test_size(self):
        self.plan()
        said = json.loads(self.wintergrub("size", "plan.yaml", "--at-most", "1500", "-o", "a.h5", "--json"))
        self.assertIn("the answer is in a.h5", self.stderr)
        self.opens_everywhere("a.h5")
        with xr.open_dataset("a.h5") as data:
            self.assertEqual(list(data["value"].values), [p["value"] for p in said["curve"]])
            self.assertEqual(list(data["replicates"].values), [p["replicates"] for p in said["curve"]])
            for name, key in (("chance", "share"), ("chance_low", "low"), ("chance_high", "high")):
                np.testing.assert_allclose(data[name].values[:, 0], [p["goals"][0][key] for p in said["curve"]], atol=1e-9)
            self.assertTrue((data["wilson_low"] <= data["chance"]).all() and (data["chance"] <= data["wilson_high"]).all())
            self.assertEqual(data.attrs["key"], "starter.1.count")
            self.assertEqual(data.attrs["answer"], said["text"])
            self.assertEqual(float(data["smallest_enough"]), said["enough"])
            self.assertEqual(float(data["confidence"]), 0.95)
            self.assertEqual(float(data["chance_asked"]), 0.9)
        self.wintergrub("size", "plan.yaml", "--at-most", "1000", "-o", "a.h5", status=4)
        self.wintergrub("size", "plan.yaml", "--at-most", "1000", "-o", "nowhere/a.h5", status=4)
        self.is_no_result("a.h5")
        self.picture_and_page(said)

    def picture_and_page(self, said):
        self.assertIn(said["text"].split(". ")[0].rstrip("."), self.wintergrub("figures", "a.h5", "-o", "pictures"))
        self.assertEqual(sorted(os.listdir("pictures")), ["size.pdf", "size.png", "size.svg"])
        png = bytes_of("pictures/size.png")
        self.assertEqual((int.from_bytes(png[16:20], "big"), int.from_bytes(png[20:24], "big")), (1280, 720))
        svg = xml.parse("pictures/size.svg").getroot()
        rows = list(csv.reader(svg.find("{*}metadata").itertext().__next__().strip().splitlines()))
        self.assertEqual(len(rows), 1 + len(said["curve"]))
        chance = [float(row[rows[0].index("chance")]) for row in rows[1:]]
        np.testing.assert_allclose(chance, [p["goals"][0]["share"] for p in said["curve"]], atol=1e-9)
        self.wintergrub("figures", "a.h5", "-o", "again")
        for name in os.listdir("pictures"):
            self.assertEqual(bytes_of(f"pictures/{name}"), bytes_of(f"again/{name}"), name)
        self.wintergrub("report", "a.h5")
        page = bytes_of("a.html").decode()
        for words in (said["text"], "Every value tried", "What we assume about the flies", "SHA-256 of the scenario",
                      "alive on 25 February 2026", "With 95 % confidence"):
            self.assertIn(words.replace("'", "&#39;"), page)
        self.assertEqual(page.count('class="answer"'), 3)
        self.wintergrub("report", "a.h5", status=4)

    def test_values_in_both_units(self):
        self.plan("{total_harvest: 0.002 lb, of: crawl-off, chance: 50 %}")
        text = self.wintergrub("size", "plan.yaml", "--vary", "feeding.1.amount", "--between", "0.2 oz", "20 oz",
                               "--at-most", "1000", "-o", "a.h5", "-q")
        self.assertRegex(text, r"oz \([0-9.]+ g\)")
        with h5py.File("a.h5") as file:
            self.assertEqual(file["value"].attrs["units"], "oz")
        self.assertRegex(self.wintergrub("figures", "a.h5"), r"oz \([0-9.]+ g\)")

    def test_columns_stay_in_line_beside_long_units(self):
        self.write("plan.yaml", PLAN.replace("GOAL", "[{survive: yes, chance: 90 %}, {adults: 1, chance: 50 %}]").replace("3.5 oz", "2.5 kilograms per week"))
        text = self.wintergrub("size", "plan.yaml", "--vary", "feeding.1.amount", "--at-most", "1000", "-q")
        table = re.search(r"^value.*enough\n((?:[0-9.]+ kilograms per week +[0-9].*\n)+)", text, re.M)
        enough = table[0].splitlines()[0].index("enough")
        self.assertEqual({line[enough - 1] + line[enough:].strip() for line in table[1].splitlines()} - {" yes", " no", " open", " beyond"}, set())
        self.assertLess(max(map(len, text.splitlines())), 80)

    def test_what_matters(self):
        self.plan()
        text = self.wintergrub("run", "plan.yaml", "--what-matters", "--at-most", "2000", "-o", "m.h5", "-q", "--json")
        said = json.loads(text)
        self.assertIn(said["answer"], ("survived", "total_crawl_off_mass"))
        self.assertEqual(said["replicates"], 1536, "whole blocks of the lattice")
        self.assertEqual(said["animals"], 192)
        self.assertFalse(said["unknowns"][0]["share_of_group"]["within_luck"])
        before = said["variance_between_animals"]["share"] ** 0.5
        for step in said["measure"]:
            self.assertLess(step["sd"], before)
            before = step["sd"]
        self.opens_everywhere("m.h5")
        with xr.open_dataset("m.h5") as data:
            self.assertEqual(list(data["unknown"].values), [u["name"] for u in said["unknowns"]])
            for name in ("low", "high", "trend", "group"):
                np.testing.assert_allclose(data[name].values, [u[name] for u in said["unknowns"]], rtol=1e-9)
            shares = [u["share_of_group"] for u in said["unknowns"]]
            np.testing.assert_allclose(data["share"].values, [s["share"] for s in shares], rtol=1e-9)
            np.testing.assert_allclose(data["share_low"].values, [s["low"] for s in shares], rtol=1e-9)
            self.assertEqual([not above for above in data["above_luck"].values], [s["within_luck"] for s in shares])
            self.assertEqual(list(data["source_of_value"].values), [u["source"] for u in said["unknowns"]])
            measured = said["measurements"]
            self.assertEqual(list(data["measurement"].values), [m["name"] for m in measured])
            np.testing.assert_allclose(data["sd_left"].values, [m["sd"] for m in measured], rtol=1e-9)
            worth = [m["name"] for m, k in sorted(zip(measured, data["worth"].values), key=lambda p: p[1]) if k > 0]
            self.assertEqual(worth, [step["name"] for step in said["measure"]])
            self.assertEqual(int(data["total_replicates"]), said["replicates"])
        self.is_no_result("m.h5")
        drawn = self.wintergrub("figures", "m.h5", "-o", "drawn")
        self.assertIn("shares.{svg,pdf,png}: What matters for", drawn)
        with open("drawn/shares.svg", encoding="utf-8") as file:
            svg = file.read()
        self.assertIn(said["unknowns"][0]["name"], svg)
        self.assertIn("no single number", svg)
        self.wintergrub("report", "m.h5", "-o", "m.html")
        with open("m.html", encoding="utf-8") as file:
            page = file.read()
        for unknown in said["unknowns"]:
            self.assertIn(unknown["name"], page)
        for measured in said["measurements"]:
            self.assertIn(html.escape(measured["what_to_do"], quote=False), page)
        shutil.rmtree("drawn")
        os.unlink("m.html")
        self.wintergrub("run", "plan.yaml", "--what-matters", "--at-most", "2000", "-o", "m.h5", "-q", status=4)
        self.nothing_left("plan.yaml", "m.h5")

    def test_fit(self):
        self.plan(to="2026-02-15")
        self.write("log.csv", LOG)
        said = json.loads(self.wintergrub("fit", "plan.yaml", "log.csv", "--draws", "100", "-o", "f.h5", "--json", "-q"))
        self.assertEqual((len(said["learnt"]), len(said["notes"])), (6, 3))
        self.assertGreaterEqual(said["animals_that_agree"], 50)
        self.assertGreaterEqual(said["survival"]["after"], 0)
        self.assertLessEqual(said["survival"]["after"], 1)
        self.opens_everywhere("f.h5")
        with xr.open_dataset("f.h5") as data:
            self.assertEqual(list(data["learnt"].values), [x["name"] for x in said["learnt"]])
            for when in ("before", "after"):
                told = [x[when]["q50"] for x in said["learnt"]]
                np.testing.assert_allclose(data[f"learnt_{when}"].values[:, 2], told, rtol=1e-8)
            # quantiles of the animals in the file, each as often as it has futures that agree, by numpy (type 7)
            lived = np.repeat(data["animal_learnt"].values, data["animal_futures"].values, axis=0)
            np.testing.assert_allclose(np.quantile(lived, 0.05, axis=0), data["learnt_after"].values[:, 0], rtol=1e-9)
            self.assertEqual(data.sizes["animal"], said["animals_that_agree"])
            self.assertEqual(list(data["now_what"].values), [x["name"] for x in said["now"]])
            np.testing.assert_allclose(data["now_after"].values[:, 4], [x["after"]["q95"] for x in said["now"]], rtol=1e-8)
            self.assertEqual([bool(x) for x in data["note_explained"].values], [n["explained"] for n in said["notes"]])
            self.assertEqual(str(data["note_day"].values[0])[:10], "2026-01-28")
            np.testing.assert_allclose(float(data["survival_after"]), said["survival"]["after"], rtol=1e-9)
        self.is_no_result("f.h5")
        self.wintergrub("figures", "f.h5", status=3)
        self.wintergrub("fit", "plan.yaml", "log.csv", "--draws", "100", "-o", "f.h5", "-q", status=4)

    def test_a_log_that_cannot_be(self):
        """No range, the worst notes in text, page, file and JSON; and an answer again without the wrong lines."""
        self.plan(to="2026-02-15")
        days = "".join(f"2026-02-{d:02},crawl-off,{900 if d % 2 else 1} kg,\n" for d in range(1, 15))
        self.write("log.csv", "date,what,value,where\n" + days)
        words = ("fit", "plan.yaml", "log.csv", "--draws", "100", "-q")
        text = self.wintergrub(*words, "-o", "f.h5")
        self.assertIn("The log and the plan do not agree", text)
        self.assertRegex(text, r"line \d+, \d+ February 2026, crawl-off: 900 kg .*, expected")
        self.assertNotIn("90 %", text)
        with h5py.File("f.h5") as file:
            self.assertEqual(file["too_few"][()], 1)
            self.assertIn("do not agree", file.attrs["answer"])
            self.assertNotIn("learnt_after", file)
        said = json.loads(self.wintergrub(*words, "--json", "-o", "f.html"))
        self.assertEqual((said["enough"], said["now"]), (False, []))
        self.assertNotIn("after", said["learnt"][0])
        with open("f.html", encoding="utf-8") as file:
            page = file.read()
        self.assertIn("do not agree", page)
        self.assertNotIn("90 %", page)

    def test_the_page_of_a_fit(self):
        self.plan(to="2026-02-15")
        self.write("log.csv", LOG)
        words = ("fit", "plan.yaml", "log.csv", "--draws", "100", "-q")
        text = self.wintergrub(*words, "-o", "f.html")
        with open("f.html", encoding="utf-8") as file:
            page = file.read()
        for row in ("larval days at 27 °C", "dormant prepupae", "alive at the end"):
            cells = [" ".join(line.split()) for line in text.splitlines() if line.strip().startswith(row)]
            self.assertEqual(len(cells), 1, row)
            for word in cells[0][len(row) :].split():
                self.assertIn(word, page, row)
        self.wintergrub(*words, "-o", "f.html", status=4)

    def test_every_kind_of_goal(self):
        for goal, status in (
            ("{survive: yes, by: 2026-02-20, chance: 60 %}", 0),
            ("{harvest: 0.02 lb/week, by: 2026-03-20, lasting: 2 weeks, of: crawl-off, chance: 50 %}", 0),
            ("{adults: 3, by: 2026-02-20, chance: 50 %}", 0),
            ("{eggs_trapped: 400, by: 2026-02-24, chance: 50 %}", 0),
            ("{eggs_trapped: 2000000000, chance: 50 %}", 1),  # impossible at any value
            ("[{survive: yes, chance: 60 %}, {total_harvest: 0.02 lb, chance: 50 %}, {adults: 3, chance: 50 %}]", 0),
        ):
            with self.subTest(goal):
                self.plan(goal, to="2026-04-05" if "lasting" in goal else "2026-02-25", animals="middle")
                text = self.wintergrub("size", "plan.yaml", "--at-most", "1000", "-q", "--json", status=status)
                said = json.loads(text)
                self.assertEqual(len(said["goals"]), goal.count("chance"))
                if status == 1:
                    self.assertEqual(said["outcome"], "impossible")
                    self.assertIsNone(said["enough"])
                else:
                    self.assertIn(said["outcome"], ("found", "cannot tell", "enough at the end of the range"))
                    self.assertLess(said["number"] or said["enough"], said["vary"]["high"])

    def test_a_limit_on_cost(self):
        """The warmest set point within a budget: cost rises with the set point, so `size` searches the largest."""
        self.write("shed.yaml", SHED)
        words = ("size", "shed.yaml", "--vary", "places.shed.heater.set_point", "--at-most", "1000", "-q")
        said = json.loads(self.wintergrub(*words, "--between", "40 degF", "85 degF", "--largest", "--json"))
        self.assertIn(said["outcome"], ("found", "cannot tell"))
        self.assertLess(said["number"], said["too_little"])
        # the lowest set point costs nothing and meets the goal
        said = json.loads(self.wintergrub(*words, "--between", "20 degF", "25 degF", "--json"))
        self.assertEqual(said["outcome"], "enough at the end of the range")
        self.assertEqual(said["enough"], 20)
        text = self.wintergrub(*words, "--largest", "--between", "75 degF", "85 degF", status=1)
        self.assertIn("no value from 75 degF (23.9 degC) to 85 degF (29.4 degC) is enough", " ".join(text.split()))

    def test_goals_of_a_run_are_in_its_result(self):
        self.plan("[{survive: yes, chance: 50 %}, {total_harvest: 900 kg, of: crawl-off}]")
        said = json.loads(self.wintergrub("run", "plan.yaml", "-o", "r.h5", "-q", "--json"))
        with xr.open_dataset("r.h5") as data:
            for name, key in (("goal_chance", "share"), ("goal_chance_low", "low"), ("goal_chance_high", "high")):
                np.testing.assert_allclose(data[name].values, [g["odds"][key] for g in said["goals"]], atol=1e-9)
            np.testing.assert_allclose(data["goal_chance_asked"].values, [0.5, 0.9])
            np.testing.assert_allclose(data["goal_chance"].values, data["goal_met"].values.mean(axis=0))

    def test_until_sure_gives_the_bytes_of_a_plain_run(self):
        self.plan()
        said = json.loads(self.wintergrub("run", "plan.yaml", "-o", "r.h5", "-q", "--json", "--until-sure", "5%"))
        self.assertGreater(said["replicates"], 100)
        self.wintergrub("run", "plan.yaml", "-o", "p.h5", "-q", "--replicates", str(said["replicates"]))
        with h5py.File("r.h5") as one, h5py.File("p.h5") as other:
            self.assertEqual(list(one), list(other))
            for name, thing in one.items():
                if isinstance(thing, h5py.Dataset) and thing.shape:
                    same = np.array_equal(thing[()], other[name][()], equal_nan=thing.dtype.kind == "f")
                    self.assertTrue(same, name)
        self.assertIn("the same", self.wintergrub("rerun", "r.h5", "-q"))


if __name__ == "__main__":
    unittest.main()
