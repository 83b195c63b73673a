# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The module of the page answers as the same sources compiled natively do: every word and number, for every shipped plan and
any number of workers. Neither engine knows the other; what they share are the sources, which other tests check. YEARS
(default 2) years of each plan; scripts/check takes more."""

import os
import random
import re
import sys
import unittest

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "browser"))
from engines import module, native, plan, shipped

YEARS = int(os.environ.get("YEARS", "2"))
NOW = "2026-11-15T12:00:00Z"
SHORT = "harrow-hill-outdoors.yaml"


def undescribed(text):
    """An answer without what git says of the sources, which the page does not carry, and the length that it takes in a figure."""
    text = re.sub(r"(\d+\.\d+\.\d+) \([0-9A-Za-z.-]+\)", r"\1", text)
    return re.sub(r'textLength=\\"\d+\\"( [^<>]*>[^<>]*wintergrub \d)', r"\1", text)


class Module(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.native, cls.module = native(), module(2)

    @classmethod
    def tearDownClass(cls):
        cls.native.close()
        cls.module.close()

    maxDiff = 2000

    def same(self, **request):
        """Both engines give this answer and these events, which are returned."""
        request = {"now": NOW, **request}
        answer = self.native.call(**request)
        self.module.call(**request)
        ours, theirs = undescribed(self.native.raw), undescribed(self.module.raw)
        if ours != theirs:
            at = next((i for i, pair in enumerate(zip(ours, theirs)) if pair[0] != pair[1]), min(len(ours), len(theirs)))
            self.fail(f"{request['do']}: native ...{ours[max(0, at - 60) : at + 60]!r}, module ...{theirs[max(0, at - 60) : at + 60]!r}")
        self.assertEqual(self.module.events, self.native.events)
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

    def test_any_number_of_workers(self):
        """The same bytes from one instance, one worker and three."""
        request = dict(do="run", plan=plan(SHORT), years=24, now=NOW)
        raws = []
        for workers in (0, 1, 3):
            with module(workers) as engine:
                engine.call(**request)
                raws.append((engine.raw, engine.events))
        self.assertEqual(raws[1], raws[0])
        self.assertEqual(raws[2], raws[0])

    def test_stop_and_go_on(self):
        answer = self.module.call(stop_after=3, do="run", plan=plan(SHORT), years=400, now=NOW)
        years = answer["counts"]["years"]
        self.assertTrue(answer["stopped"])
        self.assertLess(years, 400)
        again = self.native.call(do="run", plan=plan(SHORT), years=years, now=NOW)
        self.assertEqual(answer["forecast"], again["forecast"])
        self.assertEqual(answer["command"], again["command"])

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
