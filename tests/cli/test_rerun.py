# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks wintergrub rerun: it reproduces a result from its own provenance, and reports differences."""

import os
import shutil
import unittest

import h5py
from commands import SCENARIOS, CommandTest, edit, read, write

# all random processes, and a weather record that is gone afterwards
NAMES = ["hoop-house-two-bins", "seattle-record", "smallest"]


class Rerun(CommandTest):
    def simulate(self, *names):
        """Writes results and removes their scenarios."""
        shutil.copytree(SCENARIOS, "farm")
        for name in names:
            self.wintergrub("run", f"farm/{name}.yaml", "--replicates", "7", "--seed", "99", "--quiet")
        shutil.rmtree("farm")

    def test_results_are_reproduced(self):
        self.simulate(*NAMES)
        for name in NAMES:
            before = read(f"{name}.h5")
            for threads in ("1", "3"):
                text = self.wintergrub("rerun", f"{name}.h5", "--threads", threads)
                self.assertEqual(self.stderr, "")
                self.assert_fits(text, 2)
                self.assert_all_in(["the same", f"{name}.h5"], text)
                self.assertRegex(text, r"\b7\b")
            self.assertEqual(read(f"{name}.h5"), before)
        os.chmod("smallest.h5", 0o444)
        self.wintergrub("rerun", "smallest.h5")
        self.nothing_left(*(f"{name}.h5" for name in NAMES))

    def test_altered_results_differ(self):
        self.simulate("smallest")
        good = read("smallest.h5")

        def raise_a_count(file):
            file["count"][3, 40, 1] += 1

        def raise_a_mass(file):
            file["total_crawl_off_mass"][6] *= 1 + 2**-52

        for change, name in ((raise_a_count, "count"), (raise_a_mass, "total_crawl_off_mass")):
            write("smallest.h5", good)
            edit("smallest.h5", change)
            text = self.wintergrub("rerun", "smallest.h5", status=1)
            self.assertEqual(self.stderr, "")
            self.assert_fits(text, 3)
            self.assert_all_in(["different", name], text)

    def test_result_of_a_different_version(self):
        """Expects a warning and the comparison."""
        self.simulate("smallest")
        edit("smallest.h5", lambda file: file["provenance"].attrs.modify("wintergrub_version", "0.0.9"))
        self.assertIn("the same", self.wintergrub("rerun", "smallest.h5"))
        self.assertIn("0.0.9", self.stderr)
        self.assertEqual(self.stderr.count("\n"), 1, self.stderr)

    def test_other_files(self):
        self.simulate("smallest")
        shutil.copy("smallest.h5", "broken.h5")
        shutil.copy("smallest.h5", "touched.h5")
        write("text.h5", "no result")
        write("torn.h5", read("smallest.h5")[:20000])
        write("empty.h5", "")
        with h5py.File("foreign.h5", "w") as file:
            file["count"] = 3
        with h5py.File("touched.h5", "r+") as file:
            file.attrs["remark"] = "by hand"
        given = os.listdir(".")
        for name in ("text.h5", "torn.h5", "empty.h5", "foreign.h5", "touched.h5"):
            self.refused("rerun", name, status=3, expected=[name])

        def write_a_mistake(file):
            file["provenance/scenario"][()] = "period: {from: yesterday}"

        edit("broken.h5", write_a_mistake)
        self.assertEqual(self.wintergrub("rerun", "broken.h5", status=3), "")
        self.nothing_left(*given)


if __name__ == "__main__":
    unittest.main()
