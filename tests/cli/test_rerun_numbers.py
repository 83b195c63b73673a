# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that rerun uses the species parameters of the file, separates texts from numbers, and needs constant memory."""

import hashlib
import os
import subprocess
import unittest

import h5py
from commands import PROGRAM, CommandTest, read

SEAL = 83  # bytes of the last line, the checksum
MOST_MORE_KIB = 12000  # for chunks that only the larger file fills; buffering the rows of 20,000 replicates took 86,000


class Rerun(CommandTest):
    def setUp(self):
        super().setUp()
        self.copy("harrow-hill-outdoors.yaml", "plan.yaml")

    def edit(self, change):
        """Changes a file through h5py and updates the checksum."""
        with open("plan.h5", "rb") as file:
            data = file.read()
        with open("plan.h5", "wb") as file:
            file.write(data[:-SEAL])
        with h5py.File("plan.h5", "r+") as file:
            change(file)
        with open("plan.h5", "rb") as file:
            data = file.read()
        with open("plan.h5", "ab") as file:
            file.write(b"wintergrub sha256 %s\n" % hashlib.sha256(data).hexdigest().encode())

    def make_result(self, *species):
        """Writes a result of the plan, with these species parameters."""
        if species:
            with open("plan.yaml", "a", encoding="utf-8") as file:
                file.write("\nspecies: {%s}\n" % ", ".join(species))
        self.wintergrub("run", "plan.yaml", "--replicates", "6", "--quiet")

    def rerun(self, status=0):
        return " ".join(self.wintergrub("rerun", "plan.h5", "--quiet", status=status).split())

    def row(self, file, name):
        return [text.decode() for text in file["provenance/parameter"][()]].index(name)

    def put_number(self, name, value):
        """Makes the file look like that of a program with this default."""
        self.edit(lambda file: file["provenance/parameter_value"].__setitem__(self.row(file, name), value))

    def forget_species(self, file):
        """Removes the last line of the scenario, as if the parameters were the defaults."""
        text = file["provenance/scenario"][()].decode()
        text = text[: text.rindex("\nspecies:")]
        file["provenance/scenario"][()] = text
        file["provenance"].attrs.modify("scenario_sha256", hashlib.sha256(text.encode()).hexdigest())

    def test_old_defaults_are_used(self):
        """The numbers are reproduced although the program's default has changed."""
        self.make_result("stay_open: 0.31", "final_mass: 0.17 g")
        self.edit(self.forget_species)
        output = self.rerun()
        self.assertIn("the same: all 6 replicates of plan.h5 were reproduced bit for bit", output)
        self.assertRegex(output, r"with its own numbers of the animal, not today's: ")
        self.assertRegex(output, r"stay_open 0\.31 then, 0\.3 now")
        self.assertRegex(output, r"final_mass 0\.17 then, 0\.\d+ now")
        self.assertIn("simulated with its own plausible animals, not today's", output)

    def put_animals(self, name, value, animal=slice(None)):
        """As from a program with other plausible animals."""

        def put(file):
            file["provenance/plausible_value"][animal, self.row(file, name)] = value

        self.edit(put)

    def test_cells_and_animals_are_stored(self):
        """Six replicates: six animals in winters 0 to 5, and a row of numbers for each."""
        self.make_result("stay_open: 0.31")
        with h5py.File("plan.h5") as file:
            self.assertEqual(len(set(file["animal"])), 6)
            self.assertEqual(list(file["winter"]), list(range(6)))
            self.assertEqual(list(file["provenance/plausible_animal"]), sorted(file["animal"]))
            values = file["provenance/plausible_value"][()]
            self.assertEqual(set(values[:, self.row(file, "stay_open")]), {0.31})
            self.assertGreater(len(set(values[:, self.row(file, "final_mass")])), 3)

    def test_the_middle_animal_has_no_table(self):
        self.make_result("animals: middle")
        with h5py.File("plan.h5") as file:
            self.assertEqual(list(file["animal"]), [-1] * 6)
            self.assertNotIn("plausible_animal", file["provenance"])
        self.assertNotIn("plausible", self.rerun())

    def test_other_animals_give_other_counts(self):
        self.make_result()
        self.put_animals("stay_open", 0.31)
        output = self.rerun(1)
        self.assertRegex(output, r"^different: \w+ at \d")
        self.assertIn("simulated with its own plausible animals, not today's", output)

    def test_an_impossible_animal_is_a_located_error(self):
        self.make_result()
        for value in (float("nan"), 1e9, -1):
            self.put_animals("stay_open", value, 3)
            self.assertEqual(self.rerun(3), "")
            self.assertRegex(self.stderr, r"^wintergrub: plan\.h5: .* for stay_open of animal \d+, which is not a valid value")
            self.assertEqual(self.stderr.count("\n"), 1)
        self.edit(lambda file: file["provenance/plausible_animal"].__setitem__(0, 1000))
        self.assertEqual(self.rerun(3), "")
        self.assertIn("its list of animals cannot be read", self.stderr)

    def test_a_changed_number_is_named(self):
        self.make_result("animals: middle")
        self.put_number("stay_open", "0.31")
        output = self.rerun(1)
        self.assertRegex(output, r"^different: \w+ at \d")
        self.assertIn("stay_open 0.31 then, 0.3 now", output)

    def test_added_and_removed_numbers_are_named(self):
        self.make_result()
        self.edit(lambda file: file["provenance/parameter"].__setitem__(self.row(file, "stay_open"), "stay_away"))
        output = self.rerun()
        self.assertIn("no longer a number of the animal: stay_away (0.3 then)", output)
        self.assertIn("new since then, set to today's value: stay_open", output)

    def test_an_invalid_value_is_a_located_error(self):
        self.make_result()
        for value in (float("nan"), float("inf"), 1e9):
            self.put_number("stay_open", value)
            self.assertEqual(self.rerun(3), "")
            self.assertRegex(self.stderr, r'^wintergrub: plan\.h5: .*has ".*" for stay_open')
            self.assertEqual(self.stderr.count("\n"), 1)

    def test_reworded_descriptions_are_not_differences(self):
        for change in (
            lambda file: file["provenance/parameter_meaning"].__setitem__(3, "the same in other words"),
            lambda file: file["provenance/parameter_source"].__setitem__(3, "the same source"),
            lambda file: file["count"].attrs.modify("long_name", "how many"),
            lambda file: file["first_adult_day"].attrs.modify("units", "d"),
            lambda file: file["first_adult_day"].attrs.__setitem__("comment", "a comment"),
            lambda file: file.attrs.modify("title", "another title"),
        ):
            self.make_result()
            self.edit(change)
            self.assertRegex(
                self.rerun(),
                r"^the same numbers: all 6 replicates of plan\.h5 were reproduced bit for bit; descriptions differ",
            )
            os.unlink("plan.h5")

    def relist(self, old, new):
        """Makes the list of the variables that wintergrub wrote that of another version."""

        def change(file):
            words = file.attrs["variables_with_crc32"].split()
            file.attrs.modify("variables_with_crc32", " ".join([word for word in words if word != old] + [new]))

        self.edit(change)

    def test_a_new_series_is_not_a_difference(self):
        self.make_result()
        self.edit(lambda file: file.__delitem__("eggs_laid"))
        self.assertEqual(self.rerun(1), "different: eggs_laid")
        self.relist("eggs_laid", "eggs_eaten")
        self.assertRegex(self.rerun(), r"^the same numbers: .*\(first: eggs_laid\)")
        self.edit(lambda file: file.__setitem__("eggs_eaten", [1.0]))
        self.assertEqual(self.rerun(1), "different: eggs_eaten")
        self.relist("eggs_eaten", "")  # so another program added it
        self.assertRegex(self.rerun(), r"^the same numbers: ")

    def test_both_programs_are_named(self):
        self.make_result()
        self.edit(lambda file: file["provenance"].attrs.modify("wintergrub_source_sha256", "0" * 64))
        self.rerun()
        self.assertRegex(self.stderr, r"made by wintergrub .*, this is wintergrub .* built from other sources")
        self.edit(lambda file: file["provenance"].attrs.modify("wintergrub_source", "v0.0.1-3-gabc"))
        self.rerun()
        self.assertRegex(self.stderr, r"made by wintergrub \S+ \(v0\.0\.1-3-gabc\), this is wintergrub ")
        self.assertEqual(self.stderr.count("\n"), 1)

    def peak_kib(self, *words):
        running = subprocess.Popen([PROGRAM, *words], stdout=subprocess.DEVNULL, env=self.environment())
        _, status, usage = os.wait4(running.pid, 0)
        running.returncode = os.waitstatus_to_exitcode(status)
        self.assertEqual(running.returncode, 0, words)
        return usage.ru_maxrss

    @unittest.skipIf(b"__asan_init" in read(PROGRAM), "this sanitizer keeps what was freed")
    def test_memory_does_not_grow_with_the_replicates(self):
        with open(self.copy("smallest.yaml"), "r+", encoding="utf-8") as file:
            text = file.read().replace("2026-12-31", "2026-01-02")
            file.seek(0)
            file.truncate()
            file.write(text)
        peak = []
        for n in ("5000", "25000"):
            self.wintergrub("run", "smallest.yaml", "--replicates", n, "--force", "--quiet")
            peak.append(self.peak_kib("rerun", "smallest.h5", "--quiet"))
        self.assertLess(peak[1] - peak[0], MOST_MORE_KIB, peak)


if __name__ == "__main__":
    unittest.main()
