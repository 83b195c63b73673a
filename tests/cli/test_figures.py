# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks wintergrub figures and report: output files, errors and exit statuses."""

import os
import shutil
import tempfile
import unittest

import h5py
from commands import CommandTest, edit, example, read, write

FIGURES = [f"{name}.{ending}" for name in ("stages", "stack", "generations", "temperatures-1", "crawl-off")
           for ending in ("svg", "pdf", "png")]


class Figures(CommandTest):
    @classmethod
    def setUpClass(cls):
        """Creates a folder for results that several tests use."""
        cls.kept = tempfile.mkdtemp()
        cls.addClassCleanup(shutil.rmtree, cls.kept)

    def setUp(self):
        super().setUp()
        write("a.yaml", example("smallest.yaml"))
        write("b.yaml", example("smallest.yaml", ("count: 1000", "count: 500")))
        for name, words in (("small.h5", ["run", "a.yaml"]), ("two.h5", ["compare", "a.yaml", "b.yaml"])):
            kept = os.path.join(self.kept, name)
            if not os.path.exists(kept):
                self.wintergrub(*words, "--replicates", "5", "--quiet", "-o", kept)
            shutil.copy(kept, name)

    def test_figures(self):
        os.mkdir("sites")
        os.rename("small.h5", "sites/small.h5")
        text = self.wintergrub("figures", "sites/small.h5")
        self.assertEqual(self.stderr, "")
        self.assertIn("figures in small-figures", text)
        self.assert_clean(text)
        found = os.listdir("small-figures")
        self.assert_all_in(FIGURES, found)
        self.assertEqual([name for name in found if name.startswith(".")], [], "unfinished")
        self.assertEqual([name for name in found if not os.path.getsize(f"small-figures/{name}")], [], "empty")

        # without --force it overwrites no file and writes none
        os.unlink("small-figures/stages.svg")
        write("small-figures/stack.pdf", "mine")
        self.refused("figures", "sites/small.h5", status=4, expected=["--force"])
        self.assertNotIn("stages.svg", os.listdir("small-figures"))
        self.assertEqual(read("small-figures/stack.pdf"), b"mine")
        self.wintergrub("figures", "sites/small.h5", "--force")
        self.assertGreater(os.path.getsize("small-figures/stages.svg"), 0)
        self.assertNotEqual(read("small-figures/stack.pdf"), b"mine")

    def test_figures_in_a_missing_folder(self):
        write("file", "mine")
        for place in ("file", "no/such"):
            self.refused("figures", "small.h5", "-o", place, status=4)

    def test_report(self):
        self.assertEqual(self.wintergrub("report", "small.h5"), "")
        self.assertIn("small.html", self.stderr)
        self.assertIn(b"</html>", read("small.html"))
        self.refused("report", "small.h5", status=4)
        self.wintergrub("report", "small.h5", "--force")
        self.refused("report", "small.h5", "-o", "no/such/page.html", status=4)

    def test_a_comparison(self):
        self.wintergrub("figures", "two.h5")
        self.assertIn(b"mean of 5 possible years", read("two-figures/comparison.svg"))
        self.wintergrub("report", "two.h5")
        page = read("two.html").decode()
        self.assert_all_in(["against A", "the same 5 possible years, 1 January to 31 December 2026"], page)

    def test_one_replicate_and_no_larvae(self):
        self.wintergrub("run", "a.yaml", "-o", "one.h5", "--replicates", "1", "--quiet")
        self.wintergrub("report", "one.h5")
        page = read("one.html").decode()
        self.assert_all_in(["over 1 possible year.", "the one year simulated ("], page)
        write("day.yaml", example("smallest.yaml", ("to: 2026-12-31", "to: 2026-01-01")))
        self.wintergrub("run", "day.yaml", "-o", "day.h5", "--replicates", "1", "--quiet")
        self.wintergrub("report", "day.h5")
        self.assert_all_in(["this plan on 1 January 2026?", "There are no larvae."], read("day.html").decode())

    def altered(self, path, source, change):
        """Copies a result with a change and a new checksum, as from another version."""
        shutil.copy(source, path)
        edit(path, change)

    def test_other_files(self):
        write("text.h5", "no result")
        write("torn.h5", read("small.h5")[:20000])
        write("torn-two.h5", read("two.h5")[:9000])
        write("empty.h5", "")
        with h5py.File("foreign.h5", "w") as file:
            file["count"] = 3
        self.altered("newer.h5", "small.h5", lambda f: f["provenance"].attrs.modify("wintergrub_format", 99))
        self.altered("older.h5", "small.h5", lambda f: f["provenance"].attrs.modify("wintergrub_format", 0))
        self.altered("older-two.h5", "two.h5", lambda f: f["provenance"].attrs.modify("wintergrub_comparison_format", 0))
        self.altered("timeless-two.h5", "two.h5", lambda f: f.attrs.pop("time_coverage_end"))
        self.altered("lacking.h5", "small.h5", lambda f: f.pop("crawl_off_mass"))
        self.altered("lacking-two.h5", "two.h5", lambda f: f.pop("total_crawl_off_mass"))
        given = os.listdir(".")
        for command in ("figures", "report"):
            for name in ("text", "torn", "torn-two", "empty", "foreign", "newer", "older", "older-two", "timeless-two",
                         "lacking", "lacking-two"):
                self.refused(command, f"{name}.h5", "-o", "out", status=3, expected=[f"{name}.h5"])
            self.refused(command, "missing.h5", status=4)
            self.wintergrub(command, status=2)
            self.wintergrub(command, "small.h5", "--nonsense", status=2)
        self.nothing_left(*given)


if __name__ == "__main__":
    unittest.main()
