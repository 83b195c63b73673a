# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks `wintergrub new`: a keeper's year from the first question to the work of each week, over a pipe and at a terminal.

References: the program itself, which must accept every plan written; the daily record of Seattle (scenarios/weather), whose
monthly means are computed here.
"""

import csv
import fcntl
import os
import pty
import re
import shlex
import signal
import struct
import subprocess
import termios
import time
import unittest

import yaml
from commands import PATIENCE_S, PROGRAM, SCENARIOS, CommandTest, read, write

FIRST_DAY = {"SOURCE_DATE_EPOCH": "1795996800"}  # 30 November 2026: offered days depend on today

# A farm at 38 N, with slips as keepers make them. An empty line takes what is offered.
FARM = """?
pounds
Barn & brooder: "east"
shed
38
38 N
back

300
300 ft
four season
64 ft2
c
hot
50
50 degF
2 kW
winter

$0.17 per kWh
2
30 gal
1 in
May 1
2027-05-01
1 year
a
5,000
5000
a
3
3 lb

ramp
10 %
yes
survive
"""


class New(CommandTest):
    def environment(self, **more):
        return super().environment(**FIRST_DAY, **more)

    def asked(self, answers, *words, status=0):
        """Runs `new` with the answers in a pipe; returns its output."""
        done = subprocess.run([PROGRAM, "new", *words], input=answers.encode(), capture_output=True, env=self.environment())
        out, self.stderr = done.stdout.decode(), done.stderr.decode()
        self.assertEqual(done.returncode, status, out + self.stderr)
        self.assert_fits(out)
        return out

    def test_a_year_without_a_manual(self):
        out = self.asked(FARM, "-o", "barn.yaml")
        self.assert_all_in(
            ("The plan is written in these units", "Did you mean 38 N?", "Did you mean 300 ft?", "= four seasons", "= room heater",
             '"hot" is not a set point', "Did you mean 50 degF?", "leading zeros", "without a comma", "Did you mean 3 lb?",
             "shock or fire", "ask your local authority", "64 possible years", "an invented climate of the kind"),
            " ".join(out.split()))
        self.assertEqual(out.count("shock or fire"), 2)  # once at the question, once in the forecast
        self.assertNotIn("No more answers", out)
        plan = yaml.load(read("barn.yaml"), yaml.BaseLoader)
        self.assertEqual(plan["title"], 'Barn & brooder: "east"')
        self.assertEqual(plan["climate"], {"latitude": "38 N", "elevation": "300 ft", "sketch": "four seasons"})
        shed = plan["places"][0]
        self.assertEqual(shed["heater"], {"set_point": "50 degF", "power": "2 kW", "price": "$0.17 per kWh", "from": "10-01", "to": "04-30"})
        self.assertEqual([(b["volume"], b["insulation"]) for b in shed["bins"]], [("30 gal", "1 in")] * 2)
        self.assertEqual(plan["period"], {"from": "2027-05-01", "to": "2028-04-30"})
        self.assertEqual([s["count"] for s in plan["starter"]], ["5000"] * 2)
        # the commands that it names, as printed
        told = re.sub(r" \\\n +", " ", out.split("Type next:\n")[1])
        commands = [shlex.split(line) for line in re.findall(r"^  (wintergrub .*)$", told, re.M)]
        self.assertEqual([words[1] for words in commands], ["run", "size", "compare", "cheapest", "check"])
        for words in commands:
            few = {"run": ["--replicates", "4"], "size": None, "compare": ["--replicates", "4"], "cheapest": None, "check": []}[words[1]]
            if few is not None:
                self.wintergrub(*words[1:], *few)
        # weeks later: what the notes tell of the colony
        write("log.csv", "date,what,value,where,days\n2027-05-23,crawl-off,0.5 lb,,7 days\n2027-05-30,adults,yes\n2027-06-06,crawl-off,1 lb,,7 days\n")
        told = self.wintergrub("fit", "barn.yaml", "log.csv", "--draws", "100", "-o", "barn.html")
        self.assert_all_in(("animals agree with the log", "On 6 June 2027", "crawl-off, week of 7 Jun"), told)
        self.assertNotIn(b'<th scope="col"></th>', read("barn.html"))

    def test_every_block_fits_a_terminal(self):
        out = self.asked("", "--no-forecast")
        self.assertIn("No more answers: for the rest, what is offered is taken:", out)
        out = self.asked("\n" * 40, "--no-forecast", "--force")
        for block in re.split(r"^\[.*\] > ", out, flags=re.M):
            self.assertLessEqual(block.count("\n"), 23, block)

    def test_back_and_done(self):
        out = self.asked("back\r\nkilograms\r\nback\r\npounds\r\n\r\noutdoors\r\nDONE\r\n", "--no-forecast")
        self.assert_all_in(("This is the first question.", "For the rest, what is offered is taken:", "  How high above the sea? 300 ft"), out)
        self.assertIn("amount: as eaten, at most: 3 lb,", read("plan.yaml").decode())

    def test_units_by_what_they_are_called(self):
        for said, units in (("kg", "kilograms"), ("LB", "pounds"), ("kilo", "kilograms"), ("degC", "kilograms"), ("ounces", "pounds")):
            out = self.asked(f"{said}\ndone\n", "--no-forecast", "--force")
            self.assertEqual(f'"{said}" is none of these' in out, said == "ounces", said)
            plan = yaml.load(read("plan.yaml"), yaml.BaseLoader)
            self.assertEqual("kg" in plan["feeding"][0]["at most"], units == "kilograms", said)

    def test_an_existing_plan_is_kept(self):
        write("plan.yaml", "mine")
        self.assertEqual(self.asked("", status=4), "")
        self.assertIn("plan.yaml", self.stderr)
        self.assertEqual(read("plan.yaml"), b"mine")
        self.asked("", "--force", "--no-forecast")
        self.wintergrub("check", "plan.yaml")

    def test_templates(self):
        names = re.findall(r"^(\S+) ", self.wintergrub("new", "--list"), re.M)
        self.assertEqual(names, ["outdoors", "heated-shed", "two-places", "classroom"])
        for name in names:
            text = self.wintergrub("new", "--like", name)
            self.wintergrub("new", "--like", name, "-o", f"{name}.yaml")
            self.assertEqual(read(f"{name}.yaml").decode(), text)
            self.assertIn("Alive at the end in", self.wintergrub("run", f"{name}.yaml", "--replicates", "4"))
        self.refused("new", "--like", "heated-shet", status=2, expected=["did you mean heated-shed?"])
        self.refused("new", "--like", "outdoors", "-o", "outdoors.yaml", status=4, expected=["outdoors.yaml"])
        self.refused("new", "--like", "outdoors", "--list", status=2)

    def test_own_weather(self):
        self.copy(os.path.join("weather", "seattle_daily.csv"), "station.csv")
        out = self.asked("kilograms\n\n\n47.4 N\n\nnowhere.csv\nstation.csv\ndone\n", "--no-forecast")
        self.assertIn("nowhere.csv", out)
        plan = yaml.load(read("plan.yaml"), yaml.BaseLoader)
        self.assertEqual(plan["climate"], {"latitude": "47.4 N", "elevation": "100 m", "record": "station.csv"})

    def test_normals_of_a_record(self):
        path = os.path.join(SCENARIOS, "weather", "seattle_daily.csv")
        text = self.wintergrub("new", "--normals", path)
        self.assert_fits("\n".join(line for line in text.split("\n") if "[" not in line))
        normals = yaml.load(text, yaml.BaseLoader)["climate"]["normals"]
        rows = [row for row in csv.reader(read(path).decode().splitlines()) if re.match(r"\d{4}-", row[0])]
        for column, name in ((1, "daily_low"), (2, "daily_high")):
            for month in range(12):
                values = [float(row[column]) for row in rows if int(row[0][5:7]) == month + 1]
                self.assertAlmostEqual(float(normals[name][month]), sum(values) / len(values), delta=0.051)
        fahrenheit = yaml.load(self.wintergrub("new", "--normals", path, "--unit", "degF"), yaml.BaseLoader)["climate"]["normals"]
        self.assertEqual(fahrenheit["unit"], "degF")
        self.assertAlmostEqual(float(fahrenheit["daily_high"][6]), 32 + 1.8 * float(normals["daily_high"][6]), delta=0.15)
        self.assertAlmostEqual(float(fahrenheit["daily_high_sd"][6]), 1.8 * float(normals["daily_high_sd"][6]), delta=0.15)
        # ready to paste: only the latitude is the keeper's to write
        plan = self.wintergrub("new", "--like", "outdoors")
        pasted = re.sub(r"(?s)climate:.*?\n\n", text.replace("latitude: ", "latitude: 47.4 N ") + "\n", plan)
        write("pasted.yaml", pasted)
        self.assertIn("weather generated from monthly normals; 47.4 degrees north", self.wintergrub("check", "pasted.yaml"))
        self.refused("new", "--normals", "none.csv", status=4, expected=["none.csv"])
        self.refused("new", "--unit", "degC", status=2)

    # ---- at a terminal ----

    def start(self, *words):
        try:
            self.ours, theirs = pty.openpty()
        except OSError as error:  # a system without /dev/pts
            raise unittest.SkipTest(f"no terminal available: {error}") from error
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.addCleanup(os.close, self.ours)

        def take_terminal():
            os.setsid()
            fcntl.ioctl(0, termios.TIOCSCTTY, 0)

        running = subprocess.Popen(
            [PROGRAM, "new", *words], stdin=theirs, stdout=theirs, stderr=theirs, env=self.environment(TERM="xterm", NO_COLOR="1"),
            preexec_fn=take_terminal,
        )
        os.close(theirs)
        self.addCleanup(running.wait)
        self.addCleanup(running.kill)
        self.screen = ""
        return running

    def until(self, text):
        """Reads the terminal until the text appears; returns what came with it."""
        end, seen = time.monotonic() + PATIENCE_S, b""
        while text.encode() not in seen and time.monotonic() < end:
            try:
                piece = os.read(self.ours, 65536)
            except OSError:  # on Linux when the other side is closed
                break
            seen += piece
        self.assertIn(text, seen.decode())
        self.screen += seen.decode()
        return seen.decode()

    def type(self, text):
        os.write(self.ours, text.encode())

    def test_at_a_terminal(self):
        running = self.start("-o", "plan.yaml")
        self.until("[pounds] > ")
        self.type("?\n")
        self.until("[pounds] > ")
        for answer, prompt in (("b", "[My flies] > "), ("Grüße", "[outdoors] > "), ("", "[40 N] > "), ("60", "[40 N] > "), ("back", "[outdoors] > ")):
            self.type(answer + "\n")
            self.until(prompt)
        self.type("\x04")  # Ctrl-D
        self.until("wintergrub check plan.yaml")
        self.assertEqual(running.wait(PATIENCE_S), 0)
        for line in self.screen.replace("\r\n", "\n").split("\n"):
            self.assertLessEqual(len(line.split("\r")[-1]), 80, line)
        self.assertIn("No more answers", self.screen)
        self.assertIn("Grüße", read("plan.yaml").decode())
        self.nothing_left("plan.yaml")

    def test_ctrl_c_leaves_nothing(self):
        running = self.start()
        self.until("[pounds] > ")
        self.type("\n")
        self.until("[My flies] > ")
        self.type("half an ans\x03")
        self.assertEqual(running.wait(PATIENCE_S), 128 + signal.SIGINT)
        self.until("stopped; nothing was written.")
        self.nothing_left()

    def test_a_full_disk_keeps_the_old_plan(self):
        write("plan.yaml", "mine")
        self.no_space_left("new", "--like", "outdoors")
        self.wintergrub("new", "--like", "outdoors", "-o", "plan.yaml", "--force", status=4, largest_file=100)
        self.assertEqual(read("plan.yaml"), b"mine")
        self.nothing_left("plan.yaml")


if __name__ == "__main__":
    unittest.main()
