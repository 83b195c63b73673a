# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the plans of the Python module: declarations equal the header's, mistakes equal the program's."""

import copy
import datetime
import math
import os
import pickle
import subprocess
import sys
import unittest

import numpy
from module import BENCH, MODULE, PROGRAM, SRC, wintergrub

Plan = wintergrub.Plan
HIGH = [14.4, 16.7, 20.6, 25, 28.9, 32.8, 33.9, 33.3, 30.6, 25.6, 20, 15.6]
LOW = [2.2, 3.9, 7.8, 12.2, 16.7, 21.1, 22.2, 21.7, 18.3, 12.2, 7.2, 3.3]


class Declarations(unittest.TestCase):
    def test_declarations_are_those_of_the_header(self):
        header = os.path.join(SRC, "include", "wintergrub", "wintergrub.h")
        script = os.path.join(MODULE, "make_declarations.py")
        made = subprocess.run([sys.executable, "-B", script, header], check=True, capture_output=True, text=True).stdout
        with open(os.path.join(MODULE, "wintergrub", "_declarations.py"), encoding="utf-8") as file:
            self.assertEqual(made, file.read(), "after a change of the header: make_declarations.py HEADER --write")

    def test_every_declared_function_is_in_the_library(self):
        from wintergrub._library import ffi, lib

        names = [name for name in dir(lib) if name.startswith("wintergrub_")]
        self.assertGreater(len(names), 50)
        for name in names:
            self.assertEqual(ffi.typeof(getattr(lib, name)).kind, "function", name)

    def test_version(self):
        printed = subprocess.run([PROGRAM, "--version"], check=True, capture_output=True, text=True).stdout
        self.assertIn(wintergrub.__version__, printed)


class Reading(unittest.TestCase):
    def test_mistakes_are_those_of_the_program(self):
        folder = os.path.join(SRC, "tests", "data", "broken")
        for name in ("026-unknown-keys", "001-empty", "095-actions-unknown"):
            path = os.path.join(folder, f"{name}.yaml")
            with self.assertRaises(wintergrub.PlanError) as caught:
                Plan.from_file(path)
            with open(os.path.join(folder, f"{name}.txt"), encoding="utf-8") as file:
                expected = file.read()
            for mistake in caught.exception.mistakes:
                first = mistake.shown.replace(folder + os.sep, "").splitlines()[0]
                self.assertIn(first, expected)
                self.assertIn(mistake.text, str(caught.exception))
            self.assertEqual(len(caught.exception.mistakes), expected.count(": error: "), name)

    def test_a_mistake_has_its_place(self):
        with self.assertRaises(wintergrub.PlanError) as caught:
            Plan.from_text(BENCH.replace("27 degC", "27 F"))
        mistake = caught.exception.mistakes[0]
        self.assertEqual((mistake.line, mistake.column, mistake.file), (4, 21, None))
        self.assertIn("scenario:4:21: error: ", str(caught.exception))
        self.assertIn("  climate: {constant: 27 F}\n", str(caught.exception) + "\n")
        self.assertIsInstance(caught.exception, ValueError)
        self.assertEqual(caught.exception.where, "scenario:4:21")

    def test_a_missing_file_is_an_os_error(self):
        for path in ("/nowhere/plan.yaml", b"/nowhere/\xff.yaml"):
            with self.assertRaises(OSError) as caught:
                Plan.from_file(path)
            self.assertIsInstance(caught.exception, wintergrub.FileError)
            self.assertIn("/nowhere/", str(caught.exception))
        with self.assertRaises(ValueError):
            Plan.from_file("a\0b")
        with self.assertRaises(ValueError):
            Plan.from_text(BENCH + "\0")

    def test_a_record_from_memory(self):
        days = numpy.datetime64("2022-01-01") + numpy.arange(800)
        record = "date,low,high\n" + "".join(f"{day},15,25\n" for day in days)
        text = BENCH.replace("{constant: 27 degC}", "{latitude: 30 degrees, record: nowhere.csv, unit: degC}")
        text = text.replace("{kind: laboratory}", "outdoors")
        self.assertRaises(wintergrub.PlanError, Plan.from_text, text)
        plan = Plan.from_text(text, record, replicates=2)
        forecast = plan.copy().run(series=["outdoor_temperature"])
        self.assertTrue(numpy.all((forecast.series["outdoor_temperature"] > 15) & (forecast.series["outdoor_temperature"] < 25)))

    def test_the_smallest_plans(self):
        plan = Plan.laboratory("2026-01-01", datetime.date(2026, 1, 30), 27.3, 1000, replicates=3, seed=5)
        self.assertEqual((plan.days, plan.first_day, plan.replicates, plan.seed), (30, datetime.date(2026, 1, 1), 3, 5))
        self.assertEqual(list(plan.time[[0, -1]]), [numpy.datetime64("2026-01-01"), numpy.datetime64("2026-01-30")])
        self.assertIn("constant: 27.3 degC", plan.text)
        self.assertIn("tray", plan.describe())
        self.assertIn("30 days from 2026-01-01", repr(plan))
        plan = Plan.outdoors("2026-06-01", "2026-06-30", -32.4, HIGH, numpy.array(LOW), 1000, 1.5)
        self.assertIn("14.4, 16.7, 20.6", plan.text)
        self.assertRaises(ValueError, Plan.outdoors, "2026-06-01", "2026-06-30", 32, HIGH[:11], LOW, 1000)
        self.assertRaises(wintergrub.PlanError, Plan.laboratory, "2026-01-01", "2026-01-30", math.nan, 1000)
        self.assertRaises(TypeError, Plan.laboratory, "2026-01-01", "2026-01-30", 27, 1000.5)


class Changing(unittest.TestCase):
    def setUp(self):
        self.plan = Plan.from_text(BENCH)

    def test_names_and_goals(self):
        self.assertEqual(self.plan.name, "a bench")
        self.assertEqual(self.plan.text, BENCH)
        self.assertEqual([goal.wanted for goal in self.plan.goals], [0.9, 0.9])
        self.assertIn("5,000 adults", self.plan.goals[1].text)
        self.assertEqual(self.plan.columns("bin"), ["tray"])
        self.assertEqual(self.plan.columns("stage")[:2], ["egg", "larva"])
        self.assertEqual(self.plan.columns(""), [""])

    def test_replicates_and_seed(self):
        self.plan.replicates, self.plan.seed = 5, 2**64 - 1
        self.assertEqual((self.plan.replicates, self.plan.seed), (5, 2**64 - 1))
        with self.assertRaises(wintergrub.UsageError):
            self.plan.replicates = 0
        self.assertEqual(self.plan.replicates, 5)

    def test_numbers_that_no_plan_can_have(self):
        plan = Plan.laboratory("2026-01-01", "2026-02-01", 27, 100)
        for name, value in (("seed", -1), ("seed", 2**64), ("replicates", 0), ("replicates", 2**70)):
            with self.assertRaises(wintergrub.UsageError) as caught:
                setattr(plan, name, value)
            self.assertEqual(caught.exception.where, name)
        self.assertEqual((plan.seed, plan.replicates), (1, 512))

    def test_copies(self):
        plan = Plan.laboratory("2026-01-01", "2026-02-01", 27, 100, seed=5)
        plan.numbers["final_mass"] = 0.2
        for other in (copy.copy(plan), copy.deepcopy([plan])[0]):
            self.assertEqual((other.text, other.seed, other.numbers["final_mass"]), (plan.text, 5, 0.2))
            other.seed = 6
        self.assertEqual(plan.seed, 5)
        with self.assertRaisesRegex(TypeError, "from_text"):
            pickle.dumps(plan)

    def test_numbers_of_the_animal(self):
        numbers = self.plan.numbers
        self.assertEqual(set(numbers), set(wintergrub.NUMBERS))
        row = wintergrub.NUMBERS["final_mass"]
        self.assertEqual(row.unit, "g")
        self.assertTrue(row.least <= row.low < numbers["final_mass"] < row.high <= row.most)
        numbers["final_mass"] = 0.18
        self.assertEqual(self.plan.numbers["final_mass"], 0.18)
        self.assertEqual(self.plan.copy().numbers["final_mass"], 0.18)
        with self.assertRaises(wintergrub.PlanError) as caught:
            numbers["final_mass"] = -1
        self.assertEqual(caught.exception.where, "final_mass")
        self.assertRaises(KeyError, lambda: numbers["final_mas"])
        with self.assertRaises(wintergrub.UsageError):
            numbers["final_mas"] = 1
        numbers["clutch_low"], numbers["clutch_high"] = 900, 500
        self.assertRaises(wintergrub.PlanError, self.plan.check)
        self.assertRaises(wintergrub.PlanError, self.plan.run)
        numbers["clutch_low"] = 300
        self.plan.check()

    def test_varied_plans(self):
        varied = self.plan.vary("climate.constant", "77 degF").vary("starter.1.count", 700)
        self.assertIn("constant: 25 degC", varied.text)
        self.assertIn("count: 700", varied.text)
        self.assertEqual(self.plan.text, BENCH)
        with self.assertRaises(wintergrub.PlanError) as caught:
            self.plan.vary("starter.1.counts", 3)
        self.assertIn("count", str(caught.exception))
        self.assertRaises(wintergrub.UsageError, self.plan.vary, "starter.1.count", "3 kg")

    def test_a_plan_does_not_change_during_its_run(self):
        caught = []

        def change(done, of):
            try:
                self.plan.seed = 8
            except RuntimeError as error:
                caught.append(str(error))

        self.plan.run(progress=change)
        self.assertEqual(len(caught), 12)
        self.assertEqual(self.plan.seed, 7)
        self.plan.seed = 8


if __name__ == "__main__":
    unittest.main()
