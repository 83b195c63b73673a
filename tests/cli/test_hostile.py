# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks accidental and malicious input: each case works, or gives one located message that a keeper understands.

The program must not crash, hang (limit 20 s, for a busy machine; the goal is seconds), use over 1 GB of address space, or
print a control character to the terminal.
"""

import hashlib
import os
import random
import re
import resource
import sys
import unicodedata
import unittest

import numpy
from commands import PROGRAM, SEAL, CommandTest, edit, read, run_program, write

GOOD = """title: Bench
period: {from: 2026-01-01, to: 2026-01-31}
climate: {constant: 27 degC}
places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]
feeding: unlimited
forecast: {replicates: 2, seed: 1}
"""
RECORD = """period: {from: 2026-01-01, to: 2026-01-31}
climate: {latitude: 40 degrees, record: NAME}
places: [{name: yard, housing: outdoors, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]
feeding: unlimited
"""
LIMIT = 1 << 30
# control characters except tab and newline, line and paragraph separators, format characters except the two joiners
UNFIT = re.compile("[" + "".join(
    re.escape(c) for c in map(chr, range(sys.maxunicode + 1))
    if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") and c not in "\t\n\u200c\u200d") + "]")


def setUpModule():
    """Limits this process, from which the server and each program inherit the limit."""
    if b"__asan_init" not in read(PROGRAM):  # a sanitizer reserves more address space than any limit
        resource.setrlimit(resource.RLIMIT_AS, (LIMIT, LIMIT))


class Hostile(CommandTest):
    def program(self, *words):
        """Runs the program and returns status, output and errors; checks that the output is safe for a terminal."""
        done = run_program(words, environment=self.environment(), patience_s=20)
        out, err = done.stdout.decode(), done.stderr.decode()  # UTF-8, or this fails
        for text in (out, err):
            self.assertIsNone(UNFIT.search(text), repr(text))
        self.assertNotIn("Sanitizer", err)
        return done.returncode, out, err

    def rejected(self, data, *expected, name="a.yaml", status=3):
        """Expects a located error with these words."""
        write(name, data)
        got, out, err = self.program("check", name)
        self.assertEqual(got, status, err)
        self.assertEqual(out, "")
        self.assertIn(name, err)
        for words in expected:
            self.assertIn(words, err)
        self.assertLess(len(err), 30000)
        return err

    def works(self, data, *expected, name="a.yaml"):
        write(name, data)
        got, out, err = self.program("check", name)
        self.assertEqual(got, 0, err)
        for words in expected:
            self.assertIn(words, out)

    # ---- YAML ----

    def test_an_alias_bomb(self):
        bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n"
        for old, new in zip("abcdefgh", "bcdefghi"):
            bomb += f"{new}: &{new} [*{old}, *{old}, *{old}, *{old}, *{old}, *{old}, *{old}, *{old}, *{old}]\n"
        self.rejected(bomb, "a.yaml:1:7: error: A & makes this an anchor")
        self.rejected("title: *a\n", "a.yaml:1:9: error: A * makes this an alias")
        self.rejected(GOOD + "<<: {title: x}\n", "a.yaml:8:1: error:")

    def test_deep_nesting(self):
        for opened in ("[", "{a: "):
            err = self.rejected("title: " + opened * 40000, "a.yaml:1:", "nested too deep")
            self.assertLess(len(err), 1000)
        steps = "".join(" " * i + "a:\n" for i in range(600))
        self.rejected(steps, "nested too deep")

    def test_odd_bytes(self):
        self.rejected(GOOD.replace("Bench", "B\0nch"), "a.yaml:1:9: error:", "invisible control character")
        self.rejected(GOOD.encode().replace(b"Bench", b"B\xffnch"), "a.yaml:1:9: error:", "not UTF-8")
        self.rejected(GOOD.encode().replace(b"Bench", b"B\xed\xa0\x80nch"), "not UTF-8")  # a lone surrogate
        self.rejected(GOOD.encode().replace(b"Bench", b"B\xc0\xafnch"), "not UTF-8")  # an overlong encoding of /
        self.rejected(GOOD.encode("utf-16"), "UTF-16")
        self.rejected(b"\0" * 1000, "a.yaml", "error:")

    def test_byte_order_marks_and_line_ends_of_editors(self):
        self.works(b"\xef\xbb\xbf" + GOOD.encode(), "31 days")
        self.works(GOOD.replace("\n", "\r\n"), "31 days")
        self.works(GOOD.rstrip("\n"), "31 days")
        self.works("---\n" + GOOD + "...\n", "31 days")

    def test_a_very_long_line(self):
        err = self.rejected(GOOD.replace("Bench", "x" * 200000), "a.yaml:1:8: error: This title is too long")
        self.assertLess(max(map(len, err.splitlines())), 250)
        self.rejected(GOOD.replace("unlimited", "u" * 100000), "a.yaml:6:10: error:")
        self.rejected(GOOD + "x" * 100000 + ": 1\n", "a.yaml:8:1: error:")
        self.rejected(GOOD + "# " + "x" * 300000 + "\n", "larger than 256 KiB")

    def test_twenty_thousand_keys(self):
        self.rejected(GOOD + "".join(f"k{i}: 1\n" for i in range(20000)), "error:")
        self.rejected(GOOD + "title: again\n" * 15000, "error:")

    # ---- numbers, dates, sizes ----

    def test_invalid_numbers(self):
        for number in ("nan", ".nan", "inf", "-.inf", "1e999", "0x10", "1e308", "-1", "1_000", "", "~", "[]", "{}", "!"):
            self.rejected(GOOD.replace("count: 1000", f"count: {number}"), "a.yaml:5:", "error:")
            if number != "-1":
                self.rejected(GOOD.replace("27 degC", f"{number} degC"), "a.yaml:3:", "error:")
        self.rejected(GOOD.replace("27 degC", "9" * 400 + " degC"), "a.yaml:3:21: error:")
        self.rejected(GOOD.replace("27 degC", "1e308 degF"), "a.yaml:3:21: error:")

    def test_huge_numbers_of_eggs(self):
        write("a.yaml", GOOD.replace("1000", "1000000000000"))
        status, out, err = self.program("run", "a.yaml", "-o", "a.h5")
        self.assertIn(status, (0, 3), err)
        self.assertTrue(out if status == 0 else re.match(r"a\.yaml:\d+:\d+: error: ", err), err)
        for count in ("1e15", "9223372036854775807", "9223372036854775808", "1e30"):
            write("b.yaml", GOOD.replace("1000", count))
            status, out, err = self.program("run", "b.yaml", "-o", "b.h5", "--force")
            self.assertIn(status, (0, 3), err)

    def test_first_and_last_valid_years(self):
        for first, last in (("0000-01-01", "0000-12-31"), ("0001-01-01", "0001-01-31"), ("9999-12-01", "9999-12-31"),
                            ("-001-01-01", "2026-01-31"), ("10000-01-01", "10000-02-01"), ("2026-01-31", "2026-01-01"),
                            ("2026-02-29", "2026-03-01"), ("1900-01-01", "2026-01-01"), ("2026-13-01", "2026-14-01")):
            with self.subTest(first):
                text = GOOD.replace("from: 2026-01-01", f"from: {first}").replace("to: 2026-01-31", f"to: {last}")
                err = self.rejected(text.replace("on: 2026-01-01", f"on: {first}"), "error:")
                self.assertRegex(err, r"a\.yaml:[25]:\d+: error: ")
        for year in ("0003", "9997"):  # the first and last valid years can be simulated too
            write("a.yaml", GOOD.replace("2026", year))
            status, out, err = self.program("run", "a.yaml", "-o", f"{year}.h5")
            self.assertEqual(status, 0, err)

    def test_ten_thousand_bins(self):
        bins = ", ".join(f"{{name: bin {i}}}" for i in range(10000))
        self.rejected(GOOD.replace("{name: tray}", bins), "a.yaml:4:", "64")
        places = ", ".join(f"{{name: p{i}, housing: laboratory}}" for i in range(3000))
        self.rejected(GOOD.replace("places: [", f"places: [{places}, "), "a.yaml:4:", "16")
        self.rejected(GOOD.replace("replicates: 2", "replicates: 1e12"), "a.yaml:7:", "error:")
        feedings = ", ".join(["{in: tray, what: kitchen scraps, amount: 1 lb}"] * 4000)
        write("a.yaml", GOOD.replace("unlimited", f"[{feedings}]"))
        status, _, err = self.program("check", "a.yaml")
        self.assertIn(status, (0, 3), err)

    # ---- names of files ----

    def test_a_record_outside_the_folder(self):
        for name in ("../../etc/passwd", "/etc/passwd", "a/../../b.csv", "..", ".", "/dev/zero", '"a\\x1bb.csv"', '"a\\0b"',
                     "a.csv/", "''"):
            with self.subTest(name):
                err = self.rejected(RECORD.replace("NAME", name), "a.yaml:2:", "error:")
                self.assertNotIn("root:", err)

    def test_a_record_that_is_not_a_file(self):
        os.mkdir("folder.csv")
        os.mkfifo("pipe.csv")
        os.symlink("/dev/zero", "zero.csv")
        os.symlink("loop.csv", "loop.csv")
        for name in ("folder.csv", "pipe.csv", "zero.csv", "loop.csv", "missing.csv"):
            with self.subTest(name):
                write("a.yaml", RECORD.replace("NAME", name))
                status, _, err = self.program("check", "a.yaml")
                self.assertIn(status, (3, 4), err)
                self.assertIn(name, err)

    def test_a_scenario_that_is_not_a_file(self):
        os.mkdir("folder")
        os.mkfifo("pipe")
        write("log.yaml", GOOD)
        for name, expected in (("folder", "folder"), ("pipe", ""), ("/dev/zero", ""), ("/dev/null", ""), ("/dev/full", ""),
                           ("missing", "No such file"), ("folder/x/y", "No such file"), ("log.yaml/x", ""), ("", "")):
            with self.subTest(name):
                for words in (["check", name], ["run", name], ["compare", name, "log.yaml"], ["size", name],
                              ["fit", "log.yaml", name]):
                    status, out, err = self.program(*words)
                    self.assertIn(status, (2, 3, 4), f"{words}: {err}")
                    self.assertEqual(out, "")
                    self.assertIn(expected, err)
                    self.assertGreater(len(err), 20)
        self.assertEqual(sorted(os.listdir(".")), ["folder", "log.yaml", "pipe"])

    def test_sealed_results_that_stop_the_library(self):
        """Files with a right checksum and wrong bytes: HDF5 1.10 crashes on one in thirty, and searches some for ever."""
        write("a.yaml", GOOD)
        self.assertEqual(self.program("run", "a.yaml", "--quiet")[0], 0)
        data = read("a.h5")[:-SEAL]
        chance = random.Random(20261130)
        for i in range(20):
            changed = bytearray(data)
            for _ in range(chance.choice((1, 4, 32))):
                at = chance.randrange(8, len(data))
                changed[at] = chance.choice((0, 255, changed[at] ^ 1 << chance.randrange(8)))
            write("b.h5", bytes(changed) + f"wintergrub sha256 {hashlib.sha256(changed).hexdigest()}\n".encode())
            command = (("report", "b.h5", "-f"), ("figures", "b.h5", "-f"), ("rerun", "b.h5", "--quiet"))[i % 3]
            status, _, err = self.program(*command)
            self.assertIn(status, (0, 1, 3), f"{i}: {err}")  # some bytes matter to no reader; 1: rerun finds other numbers
            if status == 3:
                self.assertEqual(err.count("\n"), 1, err)

    def test_sealed_results_with_impossible_numbers(self):
        """A right checksum over values that no run gives: a page, or one sentence and exit code 3."""
        write("a.yaml", GOOD)
        self.assertEqual(self.program("run", "a.yaml", "--quiet")[0], 0)
        self.assertEqual(self.program("compare", "a.yaml", "a.yaml", "--quiet", "-o", "c.h5")[0], 0)
        for good in (read("a.h5"), read("c.h5")):
            for name in ("survived", "first_batch_50", "first_adult_day", "total_crawl_off_mass"):
                for value in (float("nan"), float("inf"), -7.0, 1e308):

                    def change(file, name=name, value=value):
                        file[name][...] = value

                    write("b.h5", good)
                    edit("b.h5", change)
                    for command in ("report", "figures"):
                        status, _, err = self.program(command, "b.h5", "-f")
                        self.assertIn(status, (0, 3), f"{command} {name} {value}: {err}")
                        if name == "survived" and command == "report":
                            self.assertEqual(status, 3, value)
                            self.assertIn("survived cannot be", err)

    def test_a_sealed_result_without_places(self):
        write("a.yaml", GOOD)
        self.assertEqual(self.program("run", "a.yaml", "--quiet")[0], 0)

        def change(file):
            del file["place"]
            file["place"] = numpy.array([b"bench"], dtype="S5")

        edit("a.h5", change)
        for command in ("report", "figures"):
            status, _, err = self.program(command, "a.h5", "-f")
            self.assertEqual(status, 3, err)
            self.assertIn("places", err)

    def test_files_that_are_not_results(self):
        os.mkdir("folder.h5")
        os.mkfifo("pipe.h5")
        write("text.h5", GOOD)
        write("head.h5", b"\x89HDF\r\n\x1a\n" + b"\xff" * 5000)
        for name in ("folder.h5", "pipe.h5", "/dev/zero", "/dev/null", "text.h5", "head.h5", "no\x1b[2J.h5", "\x9b2J\u202e.h5"):
            for command in ("rerun", "report", "figures"):
                status, out, err = self.program(command, name)
                self.assertIn(status, (3, 4), err)
                self.assertEqual((out, err.count("\n")), ("", 1))

    def test_an_answer_with_huge_sizes(self):
        """The product of the sizes exceeds memory or 64 bits; the checksum is valid."""
        write("a.yaml", GOOD + "goal: {survive: yes, chance: 50 %}\n")
        self.program("size", "a.yaml", "--between", "900", "1000", "--at-most", "1000", "-o", "a.h5")
        good = read("a.h5")
        for name, shape in (("met", (1 << 33, 1)), ("met", (3, 6148914691236517207)), ("chance_asked", (1 << 40,))):
            with self.subTest(name=name, shape=shape):
                def enlarge(file):
                    del file[name]
                    file.create_dataset(name, shape=shape, chunks=(1,) * len(shape), dtype="f8")

                write("b.h5", good)
                edit("b.h5", enlarge)
                status, out, err = self.program("figures", "b.h5", "-o", "drawn")
                self.assertEqual((status, out), (3, ""), err)
                self.assertRegex(err, "This (answer|file) is damaged")

    # ---- terminals and pages ----

    def test_escape_codes_never_reach_the_terminal(self):
        for hostile in ("\x1b[2J", "\x1b]0;x\x07", "\x9b2J", "\u202e", "\u2028", "\x7f", "\r", "\b"):
            with self.subTest(repr(hostile)):
                self.rejected(GOOD.replace("Bench", f"B{hostile}h"), "error:")
                self.rejected(GOOD.replace("Bench", '"B\\u%04xh"' % ord(hostile[0])), "error:")
                self.rejected(GOOD + f"k{hostile}: 1\n", "error:")
                self.rejected(GOOD.replace("unlimited", f"un{hostile}"), "error:")
                self.program("check", f"no{hostile}.yaml")
                self.program(f"ch{hostile}")
                self.program("run", "a.yaml", f"--o{hostile}", f"x{hostile}")
                self.program("timetable", f"27{hostile}")
        for raw in (b"\x9b2J", b"\xff\xfe", b"a\xc2"):
            for words in (["check", raw], [raw], ["run", raw, b"--" + raw], ["timetable", raw], ["rerun", raw]):
                self.program(*words)  # invalid UTF-8, which an old terminal may interpret as control characters

    def test_a_result_with_escape_codes_in_its_name(self):
        write("a.yaml", GOOD)
        status, _, err = self.program("run", "a.yaml", "-o", "x\x1b[2J\u202e.h5", "--quiet")
        self.assertEqual(status, 0, err)
        status, _, err = self.program("run", "a.yaml", "-o", "y\x1b[2J\u202e.h5")
        self.assertEqual(status, 0, err)
        status, _, err = self.program("report", "x\x1b[2J\u202e.h5")
        self.assertEqual(status, 0, err)

    def test_pages_escape_html(self):
        hostile = "<script>alert(1)</script>&\"'-->]]>"
        write("a.yaml", GOOD.replace("Bench", "'" + hostile.replace("'", "''") + "'").replace("name: tray", "name: <b>x</b>")
                   .replace("in: tray", "in: <b>x</b>").replace("name: bench", "name: '</style><svg onload=x>'"))
        status, _, err = self.program("run", "a.yaml", "-o", "a.h5", "--quiet")
        self.assertEqual(status, 0, err)
        for words in (["report", "a.h5", "-o", "a.html"], ["figures", "a.h5", "-o", "pictures"]):
            status, _, err = self.program(*words)
            self.assertEqual(status, 0, err)
        for name in ["a.html"] + [f"pictures/{name}" for name in os.listdir("pictures") if name.endswith("svg")]:
            text = read(name).decode()
            for piece in ("<script>alert", "<b>x</b>", "</style><svg onload", "<svg onload"):
                self.assertNotIn(piece, text, name)

    # ---- full disk ----

    def test_a_file_that_grows_too_large(self):
        """The limit is 4 kB, as with a quota: a reason, the old file intact, no temporary file."""
        write("a.yaml", GOOD)
        write("log.csv", "date,what,value\n2026-01-20,adults,no\n")
        for name in ("a.h5", "b.h5"):
            self.assertEqual(self.program("run", "a.yaml", "-o", name, "--quiet")[0], 0)
        self.assertEqual(self.program("compare", "a.yaml", "a.yaml", "-o", "both.h5", "--quiet")[0], 0)
        given = sorted(os.listdir("."))
        for words in (["run", "a.yaml"], ["compare", "a.yaml", "a.yaml"], ["report", "a.h5"], ["report", "both.h5"],
                      ["workshop"], ["page"], ["fit", "a.yaml", "log.csv", "--draws", "100"]):
            with self.subTest(words):
                write("out", "old")
                self.wintergrub(*words, "--force", "-o", "out", status=4, largest_file=4096)
                self.assertIn("File too large", self.stderr)
                self.assertEqual(read("out"), b"old")
                self.nothing_left(*given, "out")

    # ---- weather and logs ----

    def test_invalid_weather_files(self):
        rows = "".join(f"2020-{m:02d}-{d:02d},1,5\n" for m in range(1, 13) for d in range(1, 29))
        for text in (b"", b"\0" * 10000, b"\xff" * 10000, b"date,tmin_C,tmax_C\n", b"date,tmin_C,tmax_C\n" + b"9" * 100000,
                     b"date,tmin_C,tmax_C\n0000-01-01,1,5\n9999-12-31,1,5\n", b"date,tmin_C,tmax_C\n2020-01-01,nan,inf\n",
                     b"date,tmin_C,tmax_C\n2020-01-01,1e308,-1e308\n", b"," * 100000, b"\n" * 100000, b'"' * 10001,
                     b"date,tmin_C,tmax_C\n2020-01-01,\x1b[2J,5\n", rows.encode()):
            with self.subTest(text[:40]):
                write("w.csv", text)
                self.rejected(RECORD.replace("NAME", "w.csv"), "error:", "w.csv")

    def test_invalid_logs(self):
        write("a.yaml", GOOD)
        for text in (b"", b"\0", b"\xff\xfe\n", b"date,what,value\n", b"date,what,value\n2026-01-03,adults,\x1b[2J\n",
                     b"date,what,value\n2026-01-03,eggs trapped,1e400\n", b"date,what,value\n2026-01-03,taken,nan kg\n",
                     b"date,what,value\n0000-00-00,taken,1 kg\n", b"date" * 50000, b"date,what,value\n" + b"x,y,z\n" * 20000,
                     b"date,what,value\n2026-01-03,\xc2\x9b2J,1\n", b"," * 300000, b"x" * 2000000):
            with self.subTest(text[:40]):
                write("log.csv", text)
                status, out, err = self.program("fit", "a.yaml", "log.csv")
                self.assertEqual((status, out), (3, ""), err)
                self.assertIn("log.csv", err)
                self.assertLess(len(err), 30000)


if __name__ == "__main__":
    unittest.main()
