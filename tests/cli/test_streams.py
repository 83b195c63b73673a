# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Reads plans, logs and weather from standard input, and writes pages and templates to standard output."""

import os
import subprocess
import unittest

from commands import PROGRAM, SCENARIOS, CommandTest, example, read, write

ENDLESS = "standard input: error: The file is larger than 256 KiB"


class Streams(CommandTest):
    def piped(self, data, *words, status=0):
        """Runs the program with these bytes, or an open file, as standard input."""
        given = {"input": data.encode()} if isinstance(data, str) else {"stdin": data}
        done = subprocess.run([PROGRAM, *words], capture_output=True, env=self.environment(), timeout=60, **given)
        out, self.stderr = done.stdout.decode(), done.stderr.decode()
        self.assertEqual(done.returncode, status, f"{words}: {out}{self.stderr}")
        return out

    def test_a_plan_reads_the_same_as_from_its_file(self):
        write("plan.yaml", example("smallest.yaml"))
        plan = read("plan.yaml").decode()
        run = ("--replicates", "8", "-q")
        for words in (("check", "{}"), ("run", "{}", *run, "--force"), ("compare", "{}", "other.yaml", *run)):
            write("other.yaml", plan.replace("count: ", "count: 1"))
            from_file = self.wintergrub(*(word.format("plan.yaml") for word in words))
            from_pipe = self.piped(plan, *(word.format("-") for word in words))
            self.assertEqual(from_pipe.replace("standard input", "plan.yaml").replace("standard-input", "plan"), from_file.replace("\nplan\n", "\nplan.yaml\n"))
        self.assertIn("the same", self.wintergrub("rerun", "standard-input.h5"))
        self.nothing_left("other.yaml", "plan.h5", "plan.yaml", "standard-input.h5")

    def test_files_beside_it_are_those_of_this_folder(self):
        os.chdir(SCENARIOS)
        with open("seattle-record.yaml", "rb") as plan:
            self.assertIn("weather/seattle_daily.csv: table", self.piped(plan, "check", "-"))

    def test_questions(self):
        plan = example("smallest.yaml")
        self.piped(plan, "size", "-", "-q", status=3)
        self.assertIn("goal", self.stderr)
        self.piped(plan, "cheapest", "-", "-q", status=3)
        self.assertIn("There is nothing to search", self.stderr)

    def test_a_log(self):
        write("plan.yaml", example("smallest.yaml"))
        self.piped("date,what,value\nyesterday,adults,yes\n", "fit", "plan.yaml", "-", status=3)
        self.assertIn("standard input:2:1: error: \"yesterday\"", self.stderr)
        self.piped(example("smallest.yaml"), "fit", "-", "nowhere.csv", status=4)
        self.assertIn("nowhere.csv", self.stderr)

    def test_weather(self):
        with open(os.path.join(SCENARIOS, "weather", "seattle_daily.csv"), "rb") as weather:
            self.assertIn("daily_high:", self.piped(weather, "new", "--normals", "-"))
        self.piped("nothing\n", "new", "--normals", "-", status=3)
        self.assertIn("standard input, line 1", self.stderr)

    def test_mistakes_are_located(self):
        self.piped("title: Hill\nplaces: none\n", "check", "-", status=3)
        self.assertIn("standard input:2:9: error:", self.stderr)

    def test_hostile_input_is_bounded(self):
        with open("/dev/zero", "rb") as zero:
            self.piped(zero, "check", "-", status=3)
        self.assertIn(ENDLESS, self.stderr)
        self.piped("", "check", "-", status=3)
        self.assertIn("standard input: error: The file is empty", self.stderr)
        self.piped("a\0b", "check", "-", status=3)
        folder = os.open(".", os.O_RDONLY)
        self.addCleanup(os.close, folder)
        self.piped(folder, "check", "-", status=4)
        self.assertIn("standard input: This is a folder", self.stderr)

    def test_what_has_no_stream(self):
        """One line and status 2, before anything is read or written."""
        write("plan.yaml", example("smallest.yaml"))
        for words, expected in (
            (["compare", "-", "-"], "only once"),
            (["fit", "-", "-"], "only once"),
            (["run", "-", "plan.yaml", "-o", "here"], "run alone"),
            (["report", "-"], "does not read standard input"),
            (["figures", "-"], "does not read standard input"),
            (["rerun", "-"], "does not read standard input"),
            (["seal", "-"], "does not read standard input"),
            (["timetable", "-"], "does not read standard input"),
            (["run", "plan.yaml", "-o", "-"], "pages and texts go to standard output, but not this"),
            (["compare", "plan.yaml", "-", "-o-"], "but not this"),
            (["size", "plan.yaml", "-o", "-"], "but not this"),
            (["run", "plan.yaml", "--ics", "-"], "but not this"),
            (["figures", "plan.h5", "-o", "-"], "but not this"),
            (["cheapest", "plan.yaml", "--page", "-"], "but not this"),
            (["cheapest", "plan.yaml", "--figures", "-"], "but not this"),
            (["new", "-o", "-"], "the questions go to standard output"),
        ):
            self.refused(*words, status=2, expected=[expected, "See 'wintergrub help"])
        self.nothing_left("plan.yaml")

    def test_the_plan_on_standard_input_is_not_overwritten(self):
        write("plan.yaml", example("smallest.yaml"))
        with open("plan.yaml", "rb") as plan:
            self.piped(plan, "run", "-", "-q", "--force", "-o", "plan.yaml", status=2)
        self.assertIn("plan.yaml is read here", self.stderr)

    def test_pages(self):
        write("plan.yaml", example("smallest.yaml"))
        self.wintergrub("run", "plan.yaml", "--replicates", "2", "-q")
        page = self.wintergrub("report", "plan.h5", "-o", "-")
        self.assertEqual(self.stderr, "")
        self.wintergrub("report", "plan.h5", "-o", "page.html")
        self.assertEqual(page, read("page.html").decode())
        lesson = self.wintergrub("workshop", "-o", "-")
        self.wintergrub("workshop", "-o", "lesson.html")
        self.assertEqual(lesson, read("lesson.html").decode())
        whole = self.wintergrub("page", "-o", "-")
        self.assertEqual(self.stderr, "")
        self.wintergrub("page", "-o", "whole.html")
        self.assertEqual(whole, read("whole.html").decode())
        template = self.wintergrub("new", "--like", "outdoors", "-o", "-")
        self.assertEqual(template, self.wintergrub("new", "--like", "outdoors"))
        for words in (["report", "plan.h5", "-o", "-"], ["workshop", "-o", "-"], ["page", "-o", "-"], ["new", "--like", "outdoors", "-o", "-"]):
            self.no_space_left(*words)

    def test_a_closed_pipe_is_not_an_error(self):
        closed, pipe = os.pipe()
        os.close(closed)
        with os.fdopen(pipe, "wb") as out:
            self.wintergrub("workshop", "-o", "-", stdout=out)
        self.assertEqual(self.stderr, "")


if __name__ == "__main__":
    unittest.main()
