# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The module of the page answers as the same sources compiled natively do: every word and number, for every shipped plan and
any number of workers. Neither engine knows the other; what they share are the sources, which other tests check. YEARS
(default 1) years of each plan; scripts/check takes more."""

import csv
import datetime
import io
import math
import os
import random
import re
import sys
import unittest

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "browser"))
from engines import but, module, native, plan, shipped

YEARS = int(os.environ.get("YEARS", "1"))
NOW = "2026-11-15T12:00:00Z"
SHORT = "harrow-hill-outdoors.yaml"


# Five weeks on a bench: eggs, with a goal that some numbers of them meet and others miss.
BENCH = but(
    plan("smallest.yaml"),
    ("2026-12-31", "2026-02-05"),
    ("count: 1000", "count: 500, price: $2 per 1000"),
    ("replicates: 256, seed: 1", "replicates: 8, seed: 1, steps_per_day: 1"),
    ("feeding: unlimited", "feeding: unlimited\ngoal: [{survive: yes, chance: 80 %}, {harvest: 1 lb/week, by: 2026-02-05}]"),
)
# Both numbers are enough if any survivor is; the smaller is cheaper.
OPEN = but(BENCH, ("count: 500", "count: {now: 500, try: [8000]}"), (", {harvest: 1 lb/week, by: 2026-02-05}", ""))
# Six weeks of hard frost outdoors: it dies, of cold.
FROST = but(
    plan("how-many-to-start.yaml"),
    ("2026-09-15", "2027-01-01"),
    ("2027-06-30", "2027-02-15"),
    ("2026-10-31", "2027-02-15"),
    ("10000", "100"),
    ("[58, 62,", "[38, 42,"),
    ("[36, 39,", "[16, 19,"),
)
LOG = "date,what,value\n2026-01-10,adults,no\n2026-01-30,bin temperature,81 degF\n"


def undescribed(text):
    """An answer without what git says of the sources, which the page does not carry, and the length that it takes in a figure."""
    text = re.sub(r"(\d+\.\d+\.\d+) \([0-9A-Za-z.-]+\)", r"\1", text)
    return re.sub(r'textLength=\\"\d+\\"( [^<>]*>[^<>]*wintergrub \d)', r"\1", text)


class Module(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.native = native()
        cls.of_workers = {workers: module(workers) for workers in (1, 2, 3)}
        cls.module = cls.of_workers[2]

    @classmethod
    def tearDownClass(cls):
        for engine in (cls.native, *cls.of_workers.values()):
            engine.close()

    maxDiff = 2000

    def same(self, engine=None, **request):
        """Both engines give this answer and these events, which are returned."""
        engine = engine or self.module
        request = {"now": NOW, **request}
        answer = self.native.call(**request)
        engine.call(**request)
        ours, theirs = undescribed(self.native.raw), undescribed(engine.raw)
        if ours != theirs:
            at = next((i for i, pair in enumerate(zip(ours, theirs)) if pair[0] != pair[1]), min(len(ours), len(theirs)))
            self.fail(f"{request['do']}: native ...{ours[max(0, at - 60) : at + 60]!r}, module ...{theirs[max(0, at - 60) : at + 60]!r}")
        self.assertEqual(engine.events, self.native.events)
        return answer

    def test_every_plan(self):
        for name in shipped():
            with self.subTest(name):
                answer = self.same(do="run", plan=plan(name), years=YEARS, seed="20261115")
                self.assertTrue(answer["ok"], answer)
                self.assertEqual(answer["counts"]["years"], YEARS)

    def test_every_plan_as_understood(self):
        for name in shipped():
            with self.subTest(name):
                self.assertTrue(self.same(do="check", plan=plan(name))["ok"])

    def test_without_a_plan(self):
        for do in ("schema", "log_kinds"):
            self.assertTrue(self.same(do=do)["ok"])
        self.assertEqual(self.same(do="frob")["code"], 2)
        self.same(do="questions", today="2026-11-15", answers={"shelter": "shed", "latitude": "70 N", "heat": "mat"})

    def test_life(self):
        life = self.same(do="life", plan=plan(SHORT), year=2)
        self.assertEqual(len(life["stages"]["larva"]), life["days"])

    def test_comparisons(self):
        """Of plans, of values of one plan, of two that cannot be compared; with a helper's replicates and without."""
        other = {**but(FROST, ("count: 100", "count: 300")), "name": "more.yaml"}
        for workers in (1, 3):
            engine = self.of_workers[workers]
            answer = self.same(engine, do="compare", plans=[FROST, other], years=6, seed="7")
            self.assertTrue(answer["ok"], answer)
            self.assertEqual(len(answer["comparison"]["setups"]), 2)
            answer = self.same(engine, do="compare", plan=BENCH, vary=["starter.1.count=500,8000"], years=6)
            self.assertEqual(answer["comparison"]["replicates"], 6)
            self.assertEqual(self.same(engine, do="compare", plans=[BENCH, FROST], years=6)["code"], 3)
            self.assertEqual(self.same(engine, do="compare", plan=BENCH, vary=["starter.9.count=1,2"])["code"], 3)

    def test_sizes(self):
        request = dict(do="size", plan=BENCH, vary=["starter.1.count"], between=["3000", "12000"], at_most=1000)
        for workers in (1, 3):
            engine = self.of_workers[workers]
            answer = self.same(engine, **request)
            self.assertEqual(answer["answer"]["outcome"], "found")
            self.assertEqual(self.same(engine, **{**request, "vary": ["starter.1.frob"]})["code"], 3)

    def test_sizes_of_two_numbers(self):
        """A grid: its picture comes first in the report; what is for one number is refused."""
        request = dict(do="size", plan=BENCH, vary=["starter.1.count=500,8000", "starter.1.on"], at_most=1000, seed="5")
        answer = self.same(**request)
        self.assertEqual((answer["answer"]["replicates"], answer["figures"][0]["name"]), (192, "grid"))
        self.assertEqual(answer["command"], "wintergrub size smallest.yaml --vary starter.1.count=500,8000 --vary starter.1.on --at-most 1000 --seed 5")
        self.assertEqual(self.same(**request, largest=True)["code"], 2)
        self.assertEqual(self.same(**{**request, "vary": ["starter.1.count", "goal.1.chance"]})["code"], 3)
        self.assertEqual(self.same(**{**request, "vary": ["starter.1.count=5,-5", "starter.1.on"]})["mistakes"][0]["path"], "starter.1.count")

    def test_reasons(self):
        for workers in (1, 3):
            engine = self.of_workers[workers]
            self.assertTrue(self.same(engine, do="run", plan=FROST, years=16)["ok"])
            self.assertIn("Why it dies: cold.", self.same(engine, do="why")["line"])

    def test_cheapest(self):
        for workers in (1, 3):
            engine = self.of_workers[workers]
            answer = self.same(engine, do="cheapest", plan=OPEN, years=16, any_survivor=True)
            self.assertIn("count: 500,", answer["plan"])
        self.assertEqual(self.same(engine, do="cheapest", plan=but(OPEN, ("$2 per 1000", "$2 pr 1000")))["mistakes"][0]["line"], 6)
        self.assertEqual(self.same(engine, do="cheapest", plan=but(OPEN, (", price: $2 per 1000", "")))["code"], 3)

    def expect_the_answer_as_csv(self, said):
        """The CSV (read by Python's module csv) has the numbers of the JSON, and dates that Python reads."""
        rows = list(csv.DictReader(io.StringIO(said["csv"])))
        for learnt in said["answer"]["learnt"]:
            for when in ("before", "after"):
                row = next(r for r in rows if r["what"] == learnt["name"] and r["for"] == when + " the log")
                for column, q in (("5 %", "q05"), ("median", "q50"), ("95 %", "q95")):  # JSON has twelve digits
                    self.assertTrue(math.isclose(float(row[column]), learnt[when][q], rel_tol=1e-11))
        self.assertEqual({r["date"] for r in rows if r["bin"]}, {said["answer"]["today"]})
        dates = [r["median"] for r in rows if r["unit"] == "date" and r["median"]]
        self.assertTrue(dates and all(datetime.date.fromisoformat(date) for date in dates), rows)

    def test_fit(self):
        for workers in (1, 3):
            engine = self.of_workers[workers]
            said = self.same(engine, do="fit", plan=BENCH, log=LOG, draws=100)
            self.assertTrue(said["ok"])
            self.expect_the_answer_as_csv(said)
        self.assertEqual(self.same(engine, do="fit", plan=BENCH, log=LOG.replace("2026-01-30", "yesterday"))["mistakes"][0]["line"], 3)

    def test_life_with_one_worker(self):
        self.assertFalse(self.same(self.of_workers[1], do="life", plan=FROST, year=3)["alive"])

    def test_a_trap_is_a_sentence(self):
        """The module is called with a bad pointer: that call fails in words, and the next ones are answered,
        by an instance that knows of no run."""
        run, check = dict(do="run", plan=FROST, years=8), dict(do="check", plan=FROST)
        for workers, fault, requests in ((1, "call", [check, run]), (3, "work", [run])):
            with self.subTest(fault), module(workers, fault) as engine:
                for request in requests:
                    broken = engine.call(**request)
                    self.assertEqual((broken["ok"], broken["code"]), (False, 5))
                    self.assertRegex(broken["error"], "^This is a fault of wintergrub, and not of your plan: .*memory access out of bounds")
                    if request is run:
                        self.assertEqual(engine.call(do="why")["code"], 2)
                    self.assertTrue(self.same(engine, **request)["ok"])

    def test_any_number_of_workers(self):
        """The same bytes from one instance, one worker and three."""
        request = dict(do="run", plan=plan(SHORT), years=24, now=NOW)
        with module(0) as here:
            here.call(**request)
        for workers in (1, 3):
            engine = self.of_workers[workers]
            engine.call(**request)
            self.assertEqual((engine.raw, engine.events), (here.raw, here.events))

    def test_stop_and_go_on(self):
        answer = self.module.call(stop_after=3, do="run", plan=plan(SHORT), years=400, now=NOW)
        years = answer["counts"]["years"]
        self.assertTrue(answer["stopped"])
        self.assertLess(years, 400)
        again = self.native.call(do="run", plan=plan(SHORT), years=years, now=NOW)
        self.assertEqual(answer["forecast"], again["forecast"])
        self.assertEqual(answer["command"], again["command"])

    def test_more_years_of_the_same(self):
        """Years that were lived are not lived again, and make no difference; those of another plan or seed count for nothing.
        The first workers fail if they live one of the first four years twice."""
        requests = [dict(years=5), dict(years=12), dict(years=3), dict(years=12, seed="8"), dict(years=6, plan=BENCH)]
        for workers in (1, 3):
            for request in requests:
                self.same(self.of_workers[workers], **{"do": "run", "plan": FROST, **request})
        with module(1, "again") as engine:
            for request in requests[:3]:
                self.assertTrue(self.same(engine, do="run", plan=FROST, **request)["ok"])
            self.assertRegex(engine.call(do="run", plan=FROST, **requests[3])["error"], "doneAgain")

    def test_every_long_call_stops(self):
        """It stops between two events, and the next call is answered as ever."""
        calls = {
            "run": dict(plan=FROST, years=4000),
            "compare": dict(plan=BENCH, vary=["starter.1.count=500,8000"], years=4000),
            "size": dict(plan=BENCH, vary=["starter.1.count"], between=["3000", "12000"], at_most=20000),
            "cheapest": dict(plan=OPEN, years=2048, any_survivor=True),
            "fit": dict(plan=BENCH, log=LOG, draws=4000),
        }
        for do, request in calls.items():
            with self.subTest(do):
                answer = self.module.call(stop_after=2, do=do, **request)
                self.assertTrue(answer["stopped"], answer)
                self.assertTrue(self.same(do="run", plan=FROST, years=2)["ok"])

    def test_too_much_memory(self):
        """More years than the module has memory for: a sentence, and a fresh instance for the next call."""
        answer = self.module.call(do="run", plan=plan(SHORT), years=1000000)
        self.assertEqual((answer["ok"], answer["code"]), (False, 5), answer)
        self.assertRegex(answer["error"], "memory")
        self.assertTrue(self.same(do="run", plan=FROST, years=2)["ok"])
        self.assertLess(self.module.ask("memory"), 100e6)

    def test_parts_that_do_not_belong_together(self):
        with module(2, "other") as engine:
            for request in (dict(do="check", plan=FROST), dict(do="run", plan=FROST, years=2)):
                self.assertEqual(engine.call(**request)["error"], "The parts of this page do not belong together. Get the page anew.")
        with module(1, path=os.path.join(os.environ["SRC"], "README.md")) as engine:
            self.assertRegex(engine.call(do="check", plan=FROST)["error"], "^This browser cannot run the engine of this page .*A browser of 2023 or later can.$")

    def test_plans_from_strangers(self):
        """Broken plans are refused alike, and the engine goes on. Fixed seed: the plans are always the same."""
        chance = random.Random(20261115)
        for number in range(60):
            given = plan(chance.choice(shipped()))
            text = given["text"]
            for _ in range(chance.randint(1, 3)):
                at = chance.randrange(len(text))
                text = text[:at] + chance.choice(["{", "]", "\t", "'", "&a", "\\x", "", "-1e99", "\u202e", ": "]) + text[at + chance.randint(0, 9) :]
            with self.subTest(number):
                self.same(do="check", plan={**given, "text": text})

    def test_no_request_ends_the_engine(self):
        """Deep nesting, no plan, too many days: a sentence each time."""
        deep = self.same(do="check", plan={"name": "a.yaml", "text": "a: " + "[" * 5000})
        self.assertFalse(deep["ok"])
        for request in ({}, {"plan": 1}, {"plan": {"text": 3}}, {"plan": {"text": ""}}):
            self.assertFalse(self.same(do="run", **request)["ok"])
        self.assertTrue(self.same(do="check", plan=plan(SHORT))["ok"])


if __name__ == "__main__":
    unittest.main()
