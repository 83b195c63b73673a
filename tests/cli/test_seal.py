# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""wintergrub seal: results that another program has opened for writing."""

import hashlib
import os
import subprocess
import unittest

import commands
import h5py
import numpy


class Seal(commands.CommandTest):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.made = None

    def setUp(self):
        super().setUp()
        self.copy("smallest.yaml")
        if Seal.made is None:
            self.wintergrub("run", "smallest.yaml", "--replicates", "6", "--quiet")
            Seal.made = commands.read("smallest.h5")
        commands.write("a.h5", Seal.made)

    def touch(self, change=lambda file: None):
        with h5py.File("a.h5", "r+") as file:
            change(file)

    def test_an_opened_file_names_its_cure_and_is_sealed_again(self):
        self.touch()
        for command in ("rerun", "figures", "report"):
            self.refused(command, "a.h5", status=3, expected=["Another program", "run: wintergrub seal a.h5"])
        self.assertEqual(self.wintergrub("seal", "a.h5"), "")
        self.assertIn("every number that wintergrub wrote is unchanged", self.stderr)
        sealed = commands.read("a.h5")
        self.assertEqual(sealed[: -commands.SEAL], Seal.made[: -commands.SEAL])
        self.assertEqual(sealed[-commands.SEAL :], Seal.made[-commands.SEAL :].replace(b"sha256", b"sealed"))
        self.assertIn("bit for bit", self.wintergrub("rerun", "a.h5"))

    def test_a_note_changes_no_number(self):
        self.touch(lambda file: file.attrs.__setitem__("note", "mine"))
        self.wintergrub("seal", "a.h5")
        self.assertIn("is unchanged", self.stderr)
        self.assertIn("the same numbers", self.wintergrub("rerun", "a.h5"))

    def test_a_changed_number_is_named(self):
        self.touch(lambda file: file["crawl_off_mass"].__setitem__((2, 30), 7.0))
        self.wintergrub("seal", "a.h5")
        self.assertIn("its numbers have changed: crawl_off_mass differs", self.stderr)
        self.assertIn("crawl_off_mass", self.wintergrub("rerun", "a.h5", status=1))

    def test_a_repacked_copy(self):
        """h5repack writes other bytes: chunks, filters, the order of all parts."""
        subprocess.run(["h5repack", "-l", "count:CHUNK=2x31x7", "-f", "count:GZIP=6", "a.h5", "b.h5"], check=True, capture_output=True)
        self.wintergrub("seal", "b.h5")
        self.assertIn("is unchanged", self.stderr)
        self.assertNotEqual(commands.read("b.h5"), Seal.made)
        self.assertIn("all 6 replicates", self.wintergrub("rerun", "b.h5"))

    def test_a_copy_by_nccopy(self):
        """It makes an array of every single attribute, and adds some of its own."""
        subprocess.run(["nccopy", "a.h5", "b.h5"], check=True, capture_output=True)
        self.wintergrub("seal", "b.h5")
        self.assertIn("is unchanged", self.stderr)
        self.assertIn("all 6 replicates", self.wintergrub("rerun", "b.h5"))

    def test_a_removed_variable_is_named(self):
        def remove(file):
            del file["count"]

        self.touch(remove)
        self.wintergrub("seal", "a.h5")
        self.assertIn("its numbers have changed: count is missing", self.stderr)
        self.assertIn("different: count", self.wintergrub("rerun", "a.h5", status=1))

    def test_a_removed_checksum_hides_no_change(self):
        def change(file):
            file["crawl_off_mass"][2, 30] = 7.0
            del file["crawl_off_mass"].attrs["crc32"]

        self.touch(change)
        self.wintergrub("seal", "a.h5")
        self.assertIn("its numbers have changed: crawl_off_mass differs", self.stderr)
        self.assertIn("different: crawl_off_mass", self.wintergrub("rerun", "a.h5", status=1))

    def test_added_numbers_change_none_of_ours(self):
        def add(file):
            file["mine"] = [1.0, 2.0]
            file.attrs["looked_at"] = 3
            file["count"].attrs["looked_at"] = 4.0

        self.touch(add)
        self.wintergrub("seal", "a.h5")
        self.assertIn("is unchanged", self.stderr)
        self.assertIn("the same numbers", self.wintergrub("rerun", "a.h5"))

    def test_a_variable_of_another_type_is_different(self):
        for values in (numpy.zeros(6, dtype=[("a", "i4"), ("b", "f8")]), ["x"] * 6):
            commands.write("a.h5", Seal.made)

            def replace(file, values=values):
                del file["total_harvest_mass"]
                file["total_harvest_mass"] = values
                file["total_harvest_mass"].attrs["crc32"] = "00000000"

            with open("a.h5", "r+b") as file:
                file.truncate(len(Seal.made) - commands.SEAL)
            self.touch(replace)
            with open("a.h5", "ab") as file:  # `seal` refuses some
                file.write(b"wintergrub sha256 %s\n" % hashlib.sha256(commands.read("a.h5")).hexdigest().encode())
            self.assertIn("total_harvest_mass", self.wintergrub("rerun", "a.h5", status=1))

    def test_numbers_of_comparisons_and_answers(self):
        self.copy("how-many-to-start.yaml")
        self.wintergrub("compare", "smallest.yaml", "smallest.yaml", "--replicates", "6", "-q", "-o", "b.h5")
        self.wintergrub("size", "how-many-to-start.yaml", "-q", "-o", "c.h5", "--at-most", "3000")
        for name in ("b.h5", "c.h5"):
            with h5py.File(name, "r+") as file:
                numbers = [key for key, thing in file.items() if "crc32" in thing.attrs]
                del file[numbers[-1]]
            self.wintergrub("seal", name)
            self.assertIn(f"{numbers[-1]} is missing", self.stderr, name)

    def test_nothing_to_do(self):
        self.wintergrub("seal", "a.h5")
        self.assertIn("a.h5 is sealed, and nothing in it has changed", self.stderr)
        self.assertEqual(commands.read("a.h5"), Seal.made)

    def test_damaged_files_are_refused_and_stay(self):
        middle = len(Seal.made) // 2
        whole = Seal.made[: -commands.SEAL]
        for bytes_, words in (
            (Seal.made[:middle], "damaged or truncated"),
            (Seal.made[:middle] + bytes([Seal.made[middle] ^ 1]) + Seal.made[middle + 1 :], "does not match"),
            (b"", "damaged or truncated"),
            (b"title: x\n" * 20, "damaged or truncated"),
            (whole[:96] + bytes(400) + whole[496:], ""),  # the root group is gone: HDF5 fails or crashes
        ):
            commands.write("a.h5", bytes_)
            self.refused("seal", "a.h5", status=3, expected=["a.h5", words])
            self.assertEqual(commands.read("a.h5"), bytes_)

    def test_a_foreign_file_is_refused(self):
        with h5py.File("c.h5", "w", libver=("v108", "v108")) as file:
            file["x"] = [1.0, 2.0]
        self.refused("seal", "c.h5", status=3, expected=["not from this wintergrub"])
        for command in ("rerun", "figures", "report"):
            self.refused(command, "c.h5", status=3, expected=["c.h5: This HDF5 file is not from wintergrub."])

    def test_files_that_cannot_be_written(self):
        self.refused("seal", "no.h5", status=4, expected=["no.h5", "No such file"])
        self.touch()
        before = commands.read("a.h5")
        if os.geteuid() != 0:  # root may write anything
            os.chmod("a.h5", 0o400)
            self.refused("seal", "a.h5", status=4, expected=["Permission denied"])
        os.chmod("a.h5", 0o600)
        self.refused("seal", "a.h5", status=4, expected=["cannot be written", "as before"], largest_file=len(before) + 20)
        self.assertEqual(commands.read("a.h5"), before)


if __name__ == "__main__":
    unittest.main()
