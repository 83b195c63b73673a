# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks names: a plan without a title, a file name that is not UTF-8; and the seed in every JSON."""

import json
import os
import subprocess
import time
import unittest

import h5py
from commands import PROGRAM, CommandTest, read, write

GOAL = "\ngoal: {survive: yes, chance: 50 %}\n"


class Names(CommandTest):
    def setUp(self):
        super().setUp()
        with open(self.copy("smallest.yaml"), encoding="utf-8") as file:
            text = file.read()
        self.assertNotIn("title:", text)
        with open("short.yaml", "w", encoding="utf-8") as file:
            file.write(text.replace("2026-12-31", "2026-01-05") + GOAL)

    def document(self, *words):
        return json.loads(self.wintergrub(*words))

    def test_a_plan_without_a_title_is_named_after_its_file(self):
        """Uses the file's name in the forecast, JSON, result and page."""
        few = ("--replicates", "2")
        self.assertEqual(self.wintergrub("run", "short.yaml", *few).splitlines()[0], "short.yaml")
        self.assertEqual(self.document("run", "short.yaml", *few, "--force", "--json")["title"], "short.yaml")
        both = self.document("compare", "short.yaml", "short.yaml", *few, "--json")["setups"]
        self.assertEqual([one["title"] for one in both], ["short.yaml"] * 2)
        many = self.document("run", "short.yaml", "smallest.yaml", "-o", "out", *few, "--json")["scenarios"]
        self.assertEqual([one["title"] for one in many], ["short.yaml", "smallest.yaml"])
        with h5py.File("short.h5") as file:
            self.assertEqual(file.attrs["title"], "short.yaml")
        self.wintergrub("report", "short.h5")
        with open("short.html", encoding="utf-8") as file:
            self.assertIn("<title>short.yaml", file.read())

    def test_a_name_that_is_not_utf8(self):
        """The result has a Latin-1 file name escaped in valid UTF-8, which other programs read."""
        os.rename("short.yaml", b"gr\xfcn.yaml")
        done = subprocess.run(
            [PROGRAM, "run", b"gr\xfcn.yaml", "--replicates", "2", "-o", "green.h5"],
            capture_output=True,
            env=self.environment(),
        )
        self.assertEqual(done.returncode, 0, done.stderr)
        with h5py.File("green.h5") as file:
            notes = dict(file["provenance"].attrs)
            for text in (notes["scenario_path"], notes["command_line"], file.attrs["title"]):
                self.assertIn("gr%FCn.yaml", text)
                text.encode("utf-8")  # no surrogates
        self.wintergrub("rerun", "green.h5")

    def test_every_json_names_the_seed(self):
        """A run cannot be reproduced without its seed."""
        with open("log.csv", "w", encoding="utf-8") as file:
            file.write("date,what,value\n2026-01-03,adults,no\n")
        seed = str(2**64 - 3)
        for words in (
            ("run", "short.yaml", "--replicates", "2", "-o", "a.h5"),
            ("run", "short.yaml", "--what-matters", "--at-most", "2000"),
            ("compare", "short.yaml", "short.yaml", "--replicates", "2"),
            ("size", "short.yaml", "--at-most", "1000"),
            ("fit", "short.yaml", "log.csv", "--draws", "100"),
        ):
            self.assertEqual(self.document(*words, "--json", "--seed", seed)["seed"], seed, words)
        self.assertEqual(self.document("size", "short.yaml", "--at-most", "1000", "--json")["seed"], "1")


class ExistingResult(CommandTest):
    def test_until_sure_checks_before_it_simulates(self):
        """An existing result is reported at once, not after the simulation."""
        self.copy("crow-lane-shed.yaml")
        with open("crow-lane-shed.h5", "wb") as file:
            file.write(b"mine")
        begun = time.process_time(), sum(os.times()[2:4])
        self.wintergrub("run", "crow-lane-shed.yaml", "--until-sure", "1%", status=4)
        self.assertIn("already a file of this name", self.stderr)
        used = sum(os.times()[2:4]) - begun[1]
        self.assertLess(used, 2, "seconds of CPU time; the simulation takes at least eight")
        self.nothing_left("crow-lane-shed.yaml", "crow-lane-shed.h5")


class Workshop(CommandTest):
    def test_short_form_of_force(self):
        self.wintergrub("workshop", "-o", "page.html")
        self.wintergrub("workshop", "-o", "page.html", status=4)
        self.wintergrub("workshop", "-o", "page.html", "-f")


class ReadFiles(CommandTest):
    """No command overwrites an input file, by any name, with or without --force."""

    def setUp(self):
        super().setUp()
        self.copy("seattle-record.yaml", "plan.yaml")
        os.mkdir("weather")
        self.copy("weather/seattle_daily.csv", "weather/seattle_daily.csv")
        with open("plan.yaml", "a", encoding="utf-8") as file:
            file.write(GOAL)
        with open("log.csv", "w", encoding="utf-8") as file:
            file.write("date,what,value\n2026-10-03,adults,no\n")

    def refused(self, path, *words, option="-o"):
        with open(path, "rb") as file:
            before = file.read()
        for link in (None, os.link, os.symlink):
            name = path
            if link:
                name = "another.csv"
                link(os.path.abspath(path), name)
            for force in ((), ("--force",)):
                self.assertEqual(self.wintergrub(*words, option, name, *force, status=2), "")
                self.assertIn(f"{name} is read here and cannot be written as well: choose another {option}.", self.stderr)
                self.assertEqual(self.stderr.count("\n"), 1)
            if link:
                os.unlink(name)
        with open(path, "rb") as file:
            self.assertEqual(file.read(), before)

    def test_weather_record_of_a_scenario(self):
        for words in (
            ("run", "plan.yaml"),
            ("run", "plan.yaml", "--until-sure", "2%"),
            ("run", "plan.yaml", "--what-matters"),
            ("compare", "plan.yaml", "plan.yaml"),
            ("size", "plan.yaml"),
            ("fit", "plan.yaml", "log.csv"),
        ):
            self.refused("weather/seattle_daily.csv", *words)

    def test_every_option_that_names_a_file(self):
        """The page and the plan of `cheapest`, the calendar of `run`: over the plan, its weather file and its base."""
        write("derived.yaml", "title: derived\nbased_on: plan.yaml\n")
        for words, option in (
            (("cheapest", "derived.yaml"), "--page"),
            (("cheapest", "derived.yaml"), "-w"),
            (("run", "derived.yaml", "-o", "out.h5"), "--ics"),
        ):
            for path in ("weather/seattle_daily.csv", "plan.yaml", "derived.yaml"):
                self.refused(path, *words, option=option)

    def test_two_options_name_one_file(self):
        for name in ("best.yaml", "./best.yaml"):
            self.wintergrub("cheapest", "plan.yaml", "-w", "best.yaml", "--page", name, status=2)
            self.assertIn("-w and --page need two different files, not best.yaml.", self.stderr)
            self.wintergrub("run", "plan.yaml", "-o", name, "--ics", "best.yaml", status=2)
            self.assertIn("--ics and -o need two different files, not best.yaml.", self.stderr)

    def test_a_figure_with_the_name_of_the_weather_file(self):
        """`cheapest` answers, then draws no figure over an input file."""
        os.mkdir("drawn")
        self.copy("weather/seattle_daily.csv", "drawn/cheapest.png")
        text = read("plan.yaml").decode().replace("weather/seattle_daily.csv", "drawn/cheapest.png")
        write("plan.yaml", text.replace("to: 2027-09-30", "to: 2026-10-31").replace("set_point: 70 degF", "set_point: {now: 70 degF, try: [50 degF]}"))
        self.wintergrub("cheapest", "plan.yaml", "--replicates", "16", "-qf", "--figures", "drawn", status=2)
        self.assertIn("drawn/cheapest.png is read here and cannot be written as well: choose another --figures.", self.stderr)
        self.assertEqual(os.listdir("drawn"), ["cheapest.png"])

    def test_files_named_by_arguments(self):
        for words in (("run",), ("run", "--what-matters"), ("compare", "plan.yaml"), ("size",)):
            self.refused("plan.yaml", *words, "plan.yaml")
        self.refused("log.csv", "fit", "plan.yaml", "log.csv")
        self.copy("smallest.yaml")
        self.wintergrub("run", "smallest.yaml", "--replicates", "2")
        self.refused("smallest.h5", "report", "smallest.h5")

    def test_a_figure_with_the_name_of_the_result(self):
        self.copy("smallest.yaml")
        self.wintergrub("run", "smallest.yaml", "--replicates", "2")
        os.mkdir("pictures")
        os.link("smallest.h5", "pictures/stages.png")
        self.wintergrub("figures", "smallest.h5", "-o", "pictures", "--force", status=2)
        self.assertIn("pictures/stages.png is read here", self.stderr)
        self.assertEqual(os.listdir("pictures"), ["stages.png"])


if __name__ == "__main__":
    unittest.main()
