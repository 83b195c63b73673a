# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that a log that begins late teaches the same of the animal as a complete log.

The entries come from one replicate lived by the keepers' animal, read from its result with h5py: 22.0 days from hatching to
crawl-off at 27 degC, 0.2 g a grub (the truth table of tests/verify). Seed and draws are fixed. Two 90 % ranges from the
same entries fail to overlap, or to hold the truth, with well under one seed in ten; a first entry read as the sum since
September moved the factors of an older fit to 0.65.
"""

import datetime
import json
import unittest

import h5py
from commands import CommandTest

FIRST = 35  # 20 October: the first day of the first late week
WEEKS = 4
TRUTH = {"days from hatching to crawl-off": 22.0, "weight of a full-grown grub": 0.2}


class Late(CommandTest):
    def factors(self, lines):
        with open("log.csv", "w", encoding="ascii") as file:
            file.write("date,what,value,where,days\n" + "".join(line + "\n" for line in lines))
        said = json.loads(self.wintergrub("fit", "plan.yaml", "log.csv", "--draws", "200", "-q", "--json"))
        self.assertTrue(said["enough"], f"{lines}: {said['animals_that_agree']} animals")
        return {x["name"]: (x["after"]["q05"], x["after"]["q95"]) for x in said["learnt"]}, said

    def test_late_log_agrees_with_complete_log(self):
        self.copy("harrow-hill-outdoors.yaml", "plan.yaml")
        with open("plan.yaml", encoding="utf-8") as file:
            text = file.read().replace("to: 2027-09-14", "to: 2026-12-15").replace("seed: 2026", "seed: 77")
        with open("plan.yaml", "w", encoding="utf-8") as file:
            file.write(text)
        with open("truth.yaml", "w", encoding="utf-8") as file:
            file.write(text.replace("\nforecast:", "\nspecies: {numbers: keepers, animals: middle}\nforecast:"))
        self.wintergrub("run", "truth.yaml", "--replicates", "6", "-q", "-o", "truth.h5")
        with h5py.File("truth.h5") as file:
            kg = file["crawl_off_mass"][5]

        def date(day):
            return (datetime.date(2026, 9, 15) + datetime.timedelta(days=day)).isoformat()

        def note(first, last, days):
            return f"{date(last)},crawl-off,{kg[first : last + 1].sum():.6f} kg,," + (f"{last - first + 1} days" if days else "")

        weeks = [(FIRST + 7 * w, FIRST + 7 * w + 6) for w in range(WEEKS)]
        self.assertGreater(kg[weeks[0][0] : weeks[0][1] + 1].sum(), 0)
        before = note(0, FIRST - 1, True)
        logs = {
            "full": [before] + [note(a, b, True) for a, b in weeks],
            "late": [note(a, b, False) for a, b in weeks],
        }
        found = {name: self.factors(lines) for name, lines in logs.items()}
        self.assertEqual(len(found["late"][1]["opening_notes"]), 1, "its first entry only starts the count")
        self.assertEqual(len(found["full"][1]["opening_notes"]), 0)
        full = found["full"][0]
        for name, (late, _) in found.items():
            for learnt, (low, high) in late.items():
                self.assertTrue(low <= TRUTH.get(learnt, low) <= high, f"{name}, {learnt}: {low} to {high}")
                self.assertTrue(low <= full[learnt][1] and high >= full[learnt][0], f"{name}, {learnt}")

    def test_the_text_has_dates_and_frequencies(self):
        self.copy("harrow-hill-outdoors.yaml", "plan.yaml")
        with open("log.csv", "w", encoding="ascii") as file:
            file.write("date,what,value,where,days\n2026-10-03,crawl-off,1.2 kg,,18 days\n")
        text = self.wintergrub("fit", "plan.yaml", "log.csv", "--draws", "100", "-q")
        self.assertRegex(text, r"\nThe whole period +before the log +after it")
        for label in ("first adults", "half of the first batch", "half of the spring flies"):
            self.assertRegex(text, rf"\n  {label} +\d+ \w{{3}} 202[67] \([\d.]+ %\) +\d+ \w{{3}} 202[67] \([\d.]+ %\)\n")


if __name__ == "__main__":
    unittest.main()
