# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the work calendar: text, JSON and iCalendar against the result file as h5py reads it and the plan as PyYAML reads it.

Quantiles are numpy's. The iCalendar file is read by icalendar (Debian: python3-icalendar), its repeats by dateutil; lines and
escapes are checked against RFC 5545, 3.1 and 3.3.11.
"""

import datetime
import json
import os
import re
import unittest

import h5py
import icalendar
import numpy as np
from commands import CommandTest, example, read, write
from dateutil.rrule import rrulestr

TWO = "hoop-house-two-bins.yaml"
COLD = "crow-lane-outdoors.yaml"
N = 24
SCRAPS = 0.25 * 0.85  # dry, and usable of it
DAY = datetime.timedelta(days=1)

OVEN = f"""\
period: {{from: 2026-06-01, to: 2026-06-30}}
climate: {{latitude: 30 N, normals: {{unit: degC, daily_high: [{", ".join(["46"] * 12)}], daily_low: [{", ".join(["40"] * 12)}]}}}}
places: [{{name: yard, housing: outdoors, bins: [{{name: tub}}]}}]
starter: [{{on: 2026-06-01, in: tub, stage: larva, age: 5 days, count: 500}}]
feeding: [{{in: tub, what: kitchen scraps, amount: 1 lb}}]
keeping: [{{do: pull traps, in: yard, every: 3 days, put_in: tub, share_laid_in_traps: 60 %}}]
species: {{animals: middle}}
"""


def weekly(days):
    """Sums of weeks: replicate, day -> replicate, week."""
    return np.add.reduceat(days, np.arange(0, days.shape[1], 7), axis=1)


def living(file):
    """Replicates in which anybody is alive at the end of a day of the week."""
    return weekly((file["count"][()].sum(axis=2) > 0).astype(int)) > 0


TWO_PLACES = """title: Two places
period: {from: 2026-10-01, to: 2027-05-31}
climate: {sketch: mild coast, latitude: 45 N}
places:
  - {name: yard, housing: outdoors, bins: [{name: bin}]}
  - {name: cellar, housing: cellar, bins: [{name: jar}]}
starter: [{on: 2026-10-01, in: bin, stage: prepupa, count: 5000}]
feeding: [{in: bin, what: kitchen scraps, amount: 1 lb, from: 04-01, to: 11-15}]
keeping:
  - {do: move, on: 2026-12-24, from: yard, to: cellar, what: prepupae}
  - {do: move, on: 2027-04-15, from: cellar, to: yard, what: everything}
  - {do: change, on: 2026-12-31, in: bin, insulation: 2 in}
  - {do: change, on: 2027-03-31, in: bin, insulation: none}
"""


class Calendar(CommandTest):
    def run_with(self, scenario, *words):
        if not os.path.exists(scenario):
            self.copy(scenario)
        return self.wintergrub("run", scenario, "--replicates", str(N), "--force", "-o", "out.h5", *words)

    def test_the_plans_work_is_in_the_keepers_words(self):
        """A move of everything is one job, foam has a thickness, and feed that lies there unfed is to be cleared out."""
        write("plan.yaml", TWO_PLACES)
        text = self.wintergrub("run", "plan.yaml", "--replicates", "8", "-q", "--calendar", "--ics", "work.ics")
        jobs = ['everything from "cellar" to "yard"', 'put 50.8 mm (2 in) of foam around "bin"', 'take the foam off "bin"']
        events = [str(event["SUMMARY"]) for event in icalendar.Calendar.from_ical(read("work.ics")).walk("VEVENT")]
        text = " ".join(text.split())
        for job in jobs:
            self.assertEqual(text.count(job), 1, text)
            self.assertEqual(sum(job[1:] in event for event in events), 1, events)
        self.assertEqual([event for event in events if "Move" in event],
                         ['Move 100 % of the prepupae and pupae from "yard" to "cellar"', f"Move {jobs[0]}"])  # fmt: skip
        self.assertNotIn("found no animals", text)
        self.assertNotIn("W/(m2 K)", text)
        self.assertRegex(text, r'overfed for [^:]*: .* In \d+ of these weeks it was not fed for a month before: clear the old feed out.')
        self.assertIn("old: not fed for a month, but more than a week's feed still lies in the bin. Clear it out.", text)

    def compare(self, found, values, alive, scale=1.0):
        for key, q in (("q05", 0.05), ("q50", 0.5), ("q95", 0.95)):
            for week, number in enumerate(found[key]):
                kept = values[alive[:, week], week] / scale
                if len(kept) == 0:
                    self.assertIsNone(number)
                else:
                    self.assertAlmostEqual(number, float(np.quantile(kept, q)), delta=2e-5 * max(1, kept.max()))

    def test_weeks_are_those_of_the_years_in_which_the_colony_lives(self):
        for scenario in (TWO, COLD):
            weeks = json.loads(self.run_with(scenario, "--json"))["weeks"]["if_alive"]
            with h5py.File("out.h5") as file:
                alive = living(file)
                np.testing.assert_allclose(weeks["share"], alive.mean(axis=0), atol=1e-12)
                demand = file["feed_demand"][()]
                # with one bin only the total is stored
                crawl_off = file["bin_crawl_off"][()] if "bin_crawl_off" in file else file["crawl_off_mass"][()][:, :, np.newaxis]
                np.testing.assert_allclose(crawl_off.sum(axis=2), file["crawl_off_mass"][()], rtol=2e-5, atol=1e-12)  # both are rounded to 16 bits
                for b, told in enumerate(weeks["bins"]):
                    self.compare(told["crawl_off_kg"], weekly(crawl_off[:, :, b]), alive)
                    if told["bin"] == "trough":  # fed with scraps only
                        self.compare(told["could_eat_wet_kg"], weekly(demand[:, :, b]), alive, SCRAPS)

    def test_the_text_has_the_same_weeks(self):
        text = self.run_with(COLD, "--calendar")
        self.assert_fits(text)
        with h5py.File("out.h5") as file:
            share = 100 * living(file).mean(axis=0)
        table = text[text.index("Colony and crawl-off") : text.index("Traps: pull")]
        shown = re.findall(r"^(\d+ \w+ \d+) +([\d.]+) %", table, re.M)
        first = datetime.datetime.strptime(shown[0][0], "%d %b %Y")
        for date, number in shown:
            week = (datetime.datetime.strptime(date, "%d %b %Y") - first).days // 7
            self.assertAlmostEqual(float(number), share[week], delta=0.51, msg=date)
        self.assertIn("the same", table)
        self.assertIn("the range is only rough", text)

    def test_only_traps_that_exist(self):
        self.assertNotIn("pull", self.run_with("harrow-hill-outdoors.yaml", "--calendar"))
        text = self.run_with(TWO, "--calendar")
        traps = text[text.index("Traps: pull") : text.index('Bin "trough"')]
        self.assertIn("hoop house", traps)
        self.assertNotIn("yard", traps)
        self.assertRegex(traps, r"17 Nov 2026 -\n +the same +until 31 Aug 2027", "pulled until 15 November")

    def test_heat_is_no_cold(self):
        """No egg hatches at 40 to 46 degC either (as `timetable` says of 40): neither text nor page may call that cold."""
        write("oven.yaml", OVEN)
        self.assertIn("never", self.wintergrub("timetable", "40 degC"))
        text = " ".join(self.run_with("oven.yaml", "--calendar").split())
        self.wintergrub("report", "out.h5", "-o", "out.html", "-f")
        for told in (text, read("out.html").decode()):
            self.assertIn("too cold or too hot for eggs to hatch", told)

    def test_what_the_plan_has_the_keeper_do(self):
        text = self.run_with(TWO, "--calendar")
        told = " ".join(text[text.index("What the plan has") : text.index("Colony and crawl-off")].split())
        self.assert_all_in(
            [
                'on 1 December 2026: move 100 % of the larvae from "barrel" to "trough"',
                "on 15 March 2027: set point 23.9 degC",
                'on 1 April 2027: clear 80 % of the residue in "trough"',
                "every 7 days, 15 June 2027 to 31 August 2027: scoop 0.454 kg (1 lb) of larvae",
                'on 1 September 2026: put 5,000 larvae of 5 days into "trough"',
            ],
            told,
        )

    def test_a_long_period_has_months(self):
        long = example("harrow-hill-outdoors.yaml", ("to: 2027-09-14", "to: 2028-03-31"))
        write("long.yaml", long)
        text = self.wintergrub("run", "long.yaml", "--replicates", "4", "--calendar")
        self.assert_fits(text)
        self.assertRegex(text, r"(?m)^Feb 2028 .*\n(Mar 2028|  the same +until Mar 2028)")

    def events(self, path):
        with open(path, "rb") as file:
            data = file.read()
        for line in data.split(b"\r\n"):
            self.assertLessEqual(len(line), 75)
            self.assertNotIn(b"\n", line)
            line.decode()  # no character is cut
        found = icalendar.Calendar.from_ical(data)
        self.assertEqual((found["VERSION"], found["METHOD"]), ("2.0", "PUBLISH"))
        events = found.walk("VEVENT")
        self.assertEqual(len({str(e["UID"]) for e in events}), len(events), "UIDs are unique")
        for event in events:
            self.assertEqual(event["DTEND"].dt - event["DTSTART"].dt, DAY, "all day")
            self.assertEqual(type(event["DTSTART"].dt), datetime.date)
        return found, events

    def test_the_phone_gets_the_weeks_and_the_actions(self):
        weeks = json.loads(self.run_with(TWO, "--json", "--ics", "work.ics"))["weeks"]
        _, events = self.events("work.ics")
        by_summary = {}
        for event in events:
            by_summary.setdefault(str(event["SUMMARY"]), event)
        move = by_summary['Move 100 % of the larvae from "barrel" to "trough"']
        self.assertEqual(move["DTSTART"].dt, datetime.date(2026, 12, 1))
        scoop = by_summary['Scoop 0.454 kg (1 lb) of larvae from "trough"']
        days = list(rrulestr(scoop["RRULE"].to_ical().decode(), dtstart=datetime.datetime(2027, 6, 15)))
        self.assertEqual(scoop["DTSTART"].dt, datetime.date(2027, 6, 15))
        self.assertEqual([(d - days[0]).days for d in days], list(range(0, 78, 7)), "until 31 August")
        trough = weeks["if_alive"]["bins"][0]["could_eat_wet_kg"]["q50"]
        fed = {e["DTSTART"].dt: str(e["SUMMARY"]) for e in events if str(e["SUMMARY"]).startswith("Feed ")}
        for week, kg in enumerate(trough):
            day = datetime.date(2026, 9, 1) + 7 * week * DAY
            if kg > 0.1:
                shown = float(re.search(r'"trough" ([\d.,]+) kg', fed[day]).group(1).replace(",", ""))
                self.assertAlmostEqual(shown / kg, 1, delta=0.06 if kg > 1 else 0.5, msg="two digits, at least 0.1 kg")

    def test_the_file_is_reproducible_and_names_are_escaped(self):
        title = 'Hühner, Larven; "W\\ürmer" und sehr viel mehr Wörter in einer sehr langen Überschrift für Telefone'
        text = example(COLD, ("to: 2027-09-14", "to: 2026-10-30"))
        write("a.yaml", re.sub(r"(?m)^title: .*$", lambda _: f"title: '{title}'", text))
        words = ("run", "a.yaml", "--replicates", "4", "--force", "--quiet", "--ics")
        self.wintergrub(*words, "a.ics")
        self.wintergrub(*words, "b.ics")
        self.assertEqual(read("a.ics"), read("b.ics"))
        found, _ = self.events("a.ics")
        self.assertEqual(str(found["X-WR-CALNAME"]), title)

    def test_a_changed_plan_keeps_the_uids(self):
        for name, amount in (("a", "amount: 3 lb"), ("b", "amount: 4 lb")):
            text = example("harrow-hill-outdoors.yaml", ("amount: 3 lb", amount), ("to: 2027-09-14", "to: 2026-10-30"))
            write(name + ".yaml", text)
            self.wintergrub("run", name + ".yaml", "--replicates", "4", "--ics", name + ".ics")
        first, second = ({str(e["UID"]): e for e in self.events(n)[1]} for n in ("a.ics", "b.ics"))
        fewer, more = sorted((set(first), set(second)), key=len)
        self.assertLessEqual(fewer, more, "what only one of them needs is in one file")
        self.assertGreaterEqual(len(fewer), 6)
        self.assertNotEqual(
            [str(e["DESCRIPTION"]) for e in first.values() if "DESCRIPTION" in e],
            [str(e["DESCRIPTION"]) for e in second.values() if "DESCRIPTION" in e],
        )

    def test_other_files_are_safe(self):
        self.copy(COLD)
        run = ("run", COLD, "--replicates", "4")
        self.refused(*run, "-o", "x", "--ics", "x", status=2, expected=["two different files"])
        self.refused(*run, "--force", "--ics", COLD, status=2, expected=["cannot be written as well"])
        write("kept.ics", "mine")
        self.refused(*run, "--ics", "kept.ics", status=4, expected=["kept.ics"])
        self.assertEqual(read("kept.ics"), b"mine")
        self.assertFalse(os.path.exists(COLD.replace("yaml", "h5")), "refused before the simulation")
        self.refused("run", COLD, "--what-matters", "--ics", "new.ics", status=2, expected=["--ics belongs to a forecast"])


if __name__ == "__main__":
    unittest.main()
