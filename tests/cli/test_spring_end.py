# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that a period that ends before 31 July reports the spring up to its end, and says so.

The reference is numpy on the file as h5py reads it: overwintered flies, summed from 1 February to the last day.
"""

import json
import re
import unittest

import h5py
import numpy as np
from commands import CommandTest

LAST_IN_JUNE = 288  # days from 15 September 2026 to 30 June 2027
FEBRUARY = 139
LATE = """\
title: A garden in the cool north
period: {from: 2026-11-20, to: 2027-11-19}
climate: {latitude: 56 N, sketch: mild coast}
places: [{name: yard, housing: outdoors, bins: [{name: bin, volume: 150 L}]}]
starter: [{on: 2026-11-20, in: bin, stage: prepupa, count: 5000}]
feeding: [{in: bin, what: kitchen scraps, amount: 1 kg, every: 7 days}]
forecast: {replicates: 128, seed: 3}
"""


class SpringEnd(CommandTest):
    def plan(self, name, to):
        self.copy(name)
        with open(name, encoding="utf-8") as file:
            text = file.read()
        with open(name, "w", encoding="utf-8") as file:
            file.write(text.replace("to: 2027-09-14", f"to: {to}"))
        return name

    def flat(self, text):
        return " ".join(text.split())

    def test_a_plan_until_june_has_spring_flies_until_june(self):
        name = self.plan("harrow-hill-outdoors.yaml", "2027-06-30")
        text = self.flat(self.wintergrub("run", name, "--replicates", "20", "-q", "-o", "june.h5"))
        self.assertRegex(text, r"Spring flies, 10 % \d+ (Mar|Apr|May) 2027")
        self.assertRegex(text, r"counted until 30 Jun 2027, where the period ends|with a date of spring, counted until 30 Jun 2027;")
        with h5py.File("june.h5") as file:
            flies = file["spring_flies"][...].sum(axis=2)
            self.assertEqual(flies.shape[1], LAST_IN_JUNE + 1)
            half = file["spring_emergence_50"][...]
        so_far = flies[:, FEBRUARY:].cumsum(axis=1)
        for k in np.flatnonzero(~np.isnan(half)):
            day = FEBRUARY + int(np.argmax(2 * so_far[k] >= so_far[k, -1]))
            self.assertEqual(half[k], day, f"replicate {k}")
        self.wintergrub("report", "june.h5", "-o", "june.html")
        with open("june.html", encoding="utf-8") as file:
            page = self.flat(re.sub(r"<[^>]+>", " ", file.read()))
        self.assertIn("Counted until 30 June 2027, where the period ends.", page)
        spring = json.loads(self.wintergrub("run", name, "--replicates", "2", "--json", "-q", "-o", "two.h5"))["spring"]
        self.assertEqual((spring["counted_from"], spring["counted_to"]), ("2027-02-01", "2027-06-30"))
        self.assertIn("cut", spring["seen"])

    def test_a_whole_spring_has_no_note(self):
        name = self.plan("harrow-hill-outdoors.yaml", "2027-07-31")
        text = self.wintergrub("run", name, "--replicates", "4", "-q", "-o", "july.h5")
        self.assertIn("Spring flies, 10 %", text)
        self.assertNotIn("counted until", text)

    def test_a_period_that_ends_too_early_says_so(self):
        name = self.plan("harrow-hill-outdoors.yaml", "2027-05-15")
        text = self.flat(self.wintergrub("run", name, "--replicates", "4", "-q", "-o", "may.h5"))
        self.assertIn("Spring flies not known the period ends too early to tell", text)
        self.plan("bench-overlap.yaml", "2027-05-15")
        text = self.wintergrub("run", "bench-overlap.yaml", "--replicates", "2", "-q", "-o", "bench.h5")
        self.assertNotIn("Spring", text, "a laboratory has no spring")

    def test_a_spring_of_few_years_has_no_dates(self):
        """A range of 9 years in 10 needs ten; in this plan three years of 256 have spring flies."""
        self.copy("crow-lane-outdoors.yaml")
        text = self.flat(self.wintergrub("run", "crow-lane-outdoors.yaml", "--replicates", "256", "-q", "-o", "few.h5"))
        with h5py.File("few.h5") as file:
            dated = int((~np.isnan(file["spring_emergence_50"][...])).sum())
        self.assertTrue(0 < dated < 10)
        self.assertIn(f"Spring flies no date too few springs in {dated} of 256 years", text)

    def test_a_late_spring_says_where_its_count_ends(self):
        """At 56 N most overwintered flies emerge in August: those years are not without them."""
        with open("late.yaml", "w", encoding="utf-8") as file:
            file.write(LATE)
        text = self.flat(self.wintergrub("run", "late.yaml", "-q", "-o", "late.h5"))
        with h5py.File("late.h5") as file:
            flies = file["spring_flies"][...].sum(axis=2)
            undated = np.isnan(file["spring_emergence_50"][...])
        self.assertGreater((flies[undated].sum(axis=1) > 0).sum(), 0)
        self.assertRegex(text, rf"no such fly by 31 Jul 2027 in {undated.sum()} counted until 31 Jul 2027; later flies are left out")
        self.assertNotIn("none overwintered", text)

    def test_a_comparison_has_the_rows_and_the_note(self):
        names = [self.plan(f"crow-lane-{name}.yaml", "2027-07-15") for name in ("hoop-house", "outdoors")]
        text = self.wintergrub("compare", *names, "--replicates", "24", "-q", "--details", "-o", "lane.h5")
        self.assertRegex(text, r"Spring flies, 10 % \d+ Ju[nl] 2027")
        self.assertIn("Spring flies are counted until 15 Jul 2027, where the period ends.", text)
        self.wintergrub("report", "lane.h5", "-o", "lane.html")
        with open("lane.html", encoding="utf-8") as file:
            self.assertIn("Spring flies are counted until 15 July 2027, where the period ends.", file.read())


if __name__ == "__main__":
    unittest.main()
