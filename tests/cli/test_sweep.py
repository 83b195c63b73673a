# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks sweeps: one result per scenario, the same bytes as single runs, no recomputation, no reuse of damaged results."""

import json
import os
import re
import shutil
import signal
import subprocess
import tempfile
import unittest

import h5py
from commands import PATIENCE_S, PROGRAM, SCENARIOS, CommandTest, edit, example, read, write
from test_threads import contents

THREE = ["crow-lane-mat", "harrow-hill-outdoors", "smallest"]  # sorted by name
LAST = "2026-12-14"  # of their days here: a quarter of a year has all that a sweep stores
LATE = "2031-12-31"  # by then the colony of smallest.yaml is too large to count


class Sweep(CommandTest):
    @classmethod
    def setUpClass(cls):
        cls.kept = tempfile.mkdtemp()
        cls.addClassCleanup(shutil.rmtree, cls.kept)

    def setUp(self):
        super().setUp()
        os.mkdir("farm")
        for name in THREE:
            write(f"farm/{name}.yaml", self.short(name))

    def short(self, name):
        """Returns a scenario with less to simulate."""
        return re.sub(r"(?m)^(period: .*to: )[0-9-]+", rf"\g<1>{LAST}", example(f"{name}.yaml"))

    def sweep(self, *words, status=0):
        return self.wintergrub("run", "farm", "-o", "out", "--replicates", "3", *words, status=status)

    def results(self):
        """Fills out/ as sweep() does; simulates it once for all tests of a class."""
        kept = os.path.join(self.kept, "out")
        if os.path.exists(kept):
            shutil.copytree(kept, "out")
        else:
            self.sweep()
            shutil.copytree("out", kept)

    def made(self, text=None):
        """Returns the names reported as simulated, in order."""
        lines = (self.stderr if text is None else text).splitlines()
        return [line.split(", ")[1].split(":")[0] for line in lines if ": simulated" in line]

    def identities(self):
        """Returns the inode of each result: a recomputed result is a new file."""
        return {name: (os.stat(f"out/{name}").st_ino, os.stat(f"out/{name}").st_mtime_ns) for name in os.listdir("out")}

    def assert_complete(self):
        self.assertEqual(sorted(os.listdir("out")), [f"{name}.h5" for name in THREE])


class Results(Sweep):
    def test_each_has_the_bytes_of_a_single_run(self):
        self.sweep()
        self.assert_complete()
        for name in THREE:
            self.wintergrub("run", f"farm/{name}.yaml", "--replicates", "3", "-o", "alone.h5", "--force")
            alone, swept = contents("alone.h5"), contents(f"out/{name}.h5")
            for words in ("why", "checked"):  # the reasons, which a sweep leaves to the report
                alone.pop(f"provenance@{words}")
            self.assertEqual([key for key in alone if alone[key] != swept.get(key)], [])
            self.assertEqual(alone.keys(), swept.keys())
            self.wintergrub("rerun", f"out/{name}.h5")

    def test_table_and_json_say_what_single_runs_say(self):
        with open("farm/crow-lane-mat.yaml", "a", encoding="utf-8") as file:
            file.write("\ngoal: [{survive: yes, chance: 95 %}, {total_harvest: 1 kg, of: crawl-off}]\n")
        table = self.sweep()
        rows = {line.split()[0]: line for line in table.splitlines() if line.split()[0] in THREE}
        self.assertEqual(list(rows), THREE)
        self.assertTrue(all(len(line) < 80 for line in table.splitlines()), table)
        many = json.loads(self.sweep("--json"))["scenarios"]
        self.assertEqual([one["name"] for one in many], THREE)
        for one in many:
            alone = json.loads(
                self.wintergrub("run", one["scenario"], "--replicates", "3", "-o", "alone.h5", "--force", "--json")
            )
            for key in ("title", "scenario", "period", "replicates", "seed", "survival", "goals", "outcomes"):
                self.assertEqual(one[key], alone[key], key)
            self.assertEqual(one.get("all_goals"), alone.get("all_goals"))
            self.assertTrue(one["there_already"])
            self.assertIn(f" {100 * alone['survival']['share']:.0f} %", rows[one["name"]])
        self.assertEqual(len(many[0]["goals"]), 2)
        self.assertIn("kg (", rows["crow-lane-mat"])

    def test_a_sweep_and_its_resumption_print_the_same_table(self):
        first, again = self.sweep(), self.sweep()
        self.assertEqual(first.splitlines()[:-1], again.splitlines()[:-1])
        self.assertIn("3 simulated, 0 already complete", first)
        self.assertIn("0 simulated, 3 already complete", again)

    def test_files_and_folders_keep_their_order(self):
        self.copy("overfed.yaml")
        names = json.loads(self.wintergrub("run", "overfed.yaml", "farm", "-o", "out", "--replicates", "2", "--json"))
        self.assertEqual([one["name"] for one in names["scenarios"]], ["overfed", *THREE])

    def test_quiet_prints_nothing(self):
        self.sweep("--quiet")
        self.assertEqual(self.stderr, "")

    def test_parts_share_the_work_without_gap_or_overlap(self):
        simulated = [self.sweep("--part", f"{i}/2") and self.made() for i in (1, 2)]
        self.assertEqual(simulated, [["crow-lane-mat", "smallest"], ["harrow-hill-outdoors"]])
        self.assert_complete()
        self.sweep()
        self.assertEqual(self.made(), [])
        self.sweep("--part", "7/9")


class Resumption(Sweep):
    def start(self, *words):
        """Starts a sweep whose second scenario is long; waits until the first result exists and the second runs."""
        write("farm/harrow-hill-outdoors.yaml", example("harrow-hill-outdoors.yaml", ("steps_per_day: 1", "steps_per_day: 24")))
        running = self.at_work(
            ["run", "farm", "-o", "out", "--replicates", "12", "--threads", "1", *words],
            lambda: any(name.startswith(".harrow") for name in self.listed()),
        )
        self.assertIn("crow-lane-mat.h5", self.listed())
        return running

    def listed(self):
        return os.listdir("out") if os.path.isdir("out") else []

    def resume(self):
        """The same command with a small second scenario reuses the first result and computes the rest."""
        write("farm/harrow-hill-outdoors.yaml", self.short("harrow-hill-outdoors"))
        before = self.identities()["crow-lane-mat.h5"]
        self.wintergrub("run", "farm", "-o", "out", "--replicates", "12")
        self.assertEqual(self.made(), THREE[1:])
        self.assertEqual(self.identities()["crow-lane-mat.h5"], before)
        self.assert_complete()

    def test_killed_outright(self):
        running = self.start()
        running.send_signal(signal.SIGKILL)
        running.communicate(timeout=PATIENCE_S)
        self.assertNotIn("harrow-hill-outdoors.h5", self.listed())
        self.resume()

    def test_ctrl_c(self):
        running = self.start("--quiet")
        running.send_signal(signal.SIGINT)
        out, err = running.communicate(timeout=PATIENCE_S)
        self.assertEqual(running.returncode, 130, err)
        self.assertEqual(out, b"")
        self.assertEqual(err.count(b"\n"), 1, err)
        self.assertIn(b"stopped after 1 of 3 scenarios", err)
        self.assertEqual(self.listed(), ["crow-lane-mat.h5"])
        self.resume()

    def assert_recomputed(self, change, *expected, because, words=()):
        """Expects exactly these to be recomputed after the change."""
        if not self.listed():
            self.results()
        before = self.identities()
        change()
        self.sweep(*words)
        self.assertEqual(self.made(), list(expected))
        self.assertEqual(self.stderr.count(because), len(expected), self.stderr)
        after = self.identities()
        self.assertEqual([name for name in THREE if before[f"{name}.h5"] != after[f"{name}.h5"]], list(expected))
        self.assert_complete()
        for name in expected:
            self.wintergrub("rerun", f"out/{name}.h5")

    def test_a_changed_comment_causes_recomputation(self):
        self.assert_recomputed(
            lambda: write("farm/smallest.yaml", read("farm/smallest.yaml") + b"# a word\n"),
            "smallest",
            because="(the scenario has changed)",
        )

    def left_alone(self, name, what, *words):
        """The sweep overwrites no file: exit status 4, one sentence on what the file is, and all bytes unchanged."""
        path = f"out/{name}.h5"
        before, identities = read(path), self.identities()
        self.sweep(*words, status=4)
        self.assertEqual(self.made(), [])
        self.assertIn(f"{path}: {what}", self.stderr)
        self.assertIn("--force to replace it", self.stderr)
        self.assertEqual(read(path), before)
        self.assertEqual(self.identities(), identities)

    def test_another_seed_or_fewer_replicates_replace_nothing_without_force(self):
        self.results()
        self.left_alone("smallest", "This result has seed 1; a result with seed 77 would replace it.", "--seed", "77")
        self.assert_recomputed(lambda: None, *THREE, because=": simulated in", words=["--seed", "77", "--force"])
        self.sweep("--seed", "77", "--threads", "3")
        self.assertEqual(self.made(), [], "the number of threads is ignored")
        self.wintergrub("run", "farm", "-o", "out", "--replicates", "6", "--seed", "77")
        self.assertEqual(self.stderr.count("(it had fewer replicates)"), 3)
        self.left_alone("smallest", "This result has 6 replicates; one with 3 would replace it.", "--seed", "77")

    def test_a_changed_scenario_with_fewer_replicates_is_refused_too(self):
        self.results()
        write("farm/smallest.yaml", read("farm/smallest.yaml") + b"# a word\n")
        before = read("out/smallest.h5")
        self.wintergrub("run", "farm", "-o", "out", "--replicates", "2", status=4)
        self.assertEqual(read("out/smallest.h5"), before)

    def test_force(self):
        self.assert_recomputed(lambda: None, *THREE, because=": simulated in", words=["--force"])

    def test_a_changed_weather_file_is_noticed(self):
        shutil.copy(os.path.join(SCENARIOS, "seattle-record.yaml"), "farm/")
        shutil.copytree(os.path.join(SCENARIOS, "weather"), "farm/weather")
        self.sweep()
        with h5py.File("out/seattle-record.h5") as file:
            record = file["provenance"].attrs["weather_record_path"]
            record = os.path.join("farm", record.decode() if isinstance(record, bytes) else record)
        self.sweep()
        self.assertEqual(self.made(), [])
        lines = read(record).split(b"\n")
        write(record, b"\n".join(lines[:-40] + lines[-1:]))
        self.sweep()
        self.assertEqual(self.made(), ["seattle-record"])
        self.assertIn("(its weather file has changed)", self.stderr)
        self.wintergrub("rerun", "out/seattle-record.h5")

    def test_a_result_to_which_another_program_wrote_is_not_replaced(self):
        """A keeper's own data set stays: `seal`, as the message advises, then a changed plan."""
        self.results()
        with h5py.File("out/smallest.h5", "r+") as file:
            file["mine"] = [1.0, 2.0]
        self.wintergrub("seal", "out/smallest.h5")
        self.sweep()
        self.assertEqual(self.made(), [], "still this plan's result")
        write("farm/smallest.yaml", read("farm/smallest.yaml") + b"# a word\n")
        self.left_alone("smallest", "This result is out of date, but another program has written to it since")
        self.sweep("--force")
        self.wintergrub("rerun", "out/smallest.h5")

    def test_damaged_results_are_neither_used_nor_replaced(self):
        self.results()
        whole = read("out/smallest.h5")
        middle = len(whole) // 2
        for what, data in (
            ("This file is damaged: its checksum (SHA-256) does not match", whole[:middle] + bytes([whole[middle] ^ 1]) + whole[middle + 1 :]),
            ("This is not a result: it is not an HDF5 file.", b"\0" + whole[1:]),
            ("This is not a file of this version of wintergrub, or it is damaged", whole[:middle]),
            ("This is not a file of this version of wintergrub, or it is damaged", whole[:-1]),
            ("This file is empty.", b""),
            ("This is not a file of this version of wintergrub, or it is damaged", whole[:middle] + bytes(len(whole) - middle)),
        ):
            write("out/smallest.h5", data)
            self.left_alone("smallest", what)
        self.sweep("--force")
        self.wintergrub("rerun", "out/smallest.h5")

    def test_result_of_a_different_version(self):
        def pretend():
            self.edit(lambda file: file["provenance"].attrs.modify("wintergrub_version", "0.0.9"))

        self.assert_recomputed(pretend, "smallest", because="(it was made by a different version)")

    def edit(self, change):
        edit("out/smallest.h5", change)

    def test_changed_sources_with_the_same_git_name(self):
        """Two uncommitted states of the source may both be "abc-dirty", and without git neither has a name."""
        self.assert_recomputed(
            lambda: self.edit(lambda file: file["provenance"].attrs.modify("wintergrub_source_sha256", "0" * 64)),
            "smallest",
            because="(it was made by a different version)",
        )
        self.assert_recomputed(
            lambda: self.edit(lambda file: file["provenance"].attrs.pop("wintergrub_source_sha256")),
            "smallest",
            because="(it was made by a different version)",
        )

    def test_changed_numbers_of_the_animal(self):
        def change(file):
            names = [name.decode() for name in file["provenance/parameter"][()]]
            file["provenance/parameter_value"][names.index("stay_open")] = 0.123

        self.assert_recomputed(lambda: self.edit(change), "smallest", because="(the numbers of the animal have changed)")

    def test_the_same_sources_with_a_new_git_name(self):
        """A commit that changes only documents causes no recomputation."""
        self.results()
        self.edit(lambda file: file["provenance"].attrs.modify("wintergrub_source", "v9.9"))
        self.sweep()
        self.assertEqual(self.made(), [])

    def test_results_of_a_newer_version_are_left_alone(self):
        self.results()
        self.edit(lambda file: file["provenance"].attrs.modify("wintergrub_format", 3))
        self.left_alone("smallest", "This result has format 3 of a newer wintergrub")

    def test_results_with_added_data_are_left_alone(self):
        self.results()
        with h5py.File("out/smallest.h5", "r+") as file:
            file["my_weighings"] = [1.0, 2.0]
        self.left_alone("smallest", "Another program has opened this file for writing since")

    def test_answers_are_left_alone(self):
        short = read("farm/smallest.yaml").replace(LAST.encode(), b"2026-01-05")
        write("farm/smallest.yaml", short + b"goal: {survive: yes, chance: 50 %}\n")
        self.sweep()
        for words in (("run", "--what-matters", "--at-most", "2000"), ("size", "--at-most", "1000")):
            self.wintergrub(words[0], "farm/smallest.yaml", *words[1:], "-o", "out/smallest.h5", "--force")
            self.left_alone("smallest", "This is an answer, not a result")

    def test_a_file_created_meanwhile_is_left_alone(self):
        self.wintergrub("compare", "farm/smallest.yaml", "farm/smallest.yaml", "--replicates", "2", "-o", "c.h5")
        running = self.start()
        shutil.move("c.h5", "out/smallest.h5")
        before = read("out/smallest.h5")
        _, err = running.communicate(timeout=PATIENCE_S)
        self.assertEqual(running.returncode, 4, err)
        self.assertIn(b"out/smallest.h5: This is a comparison", err)
        self.assertEqual(read("out/smallest.h5"), before)
        self.assertIn("harrow-hill-outdoors.h5", self.listed())

    def test_permissions_stay(self):
        self.results()
        os.chmod("out/smallest.h5", 0o600)
        write("farm/smallest.yaml", read("farm/smallest.yaml") + b"# a word\n")
        self.sweep()
        self.assertEqual(self.made(), ["smallest"])
        self.assertEqual(os.stat("out/smallest.h5").st_mode & 0o777, 0o600)

    def test_a_result_under_a_wrong_name_is_not_used(self):
        self.results()
        shutil.copy("out/harrow-hill-outdoors.h5", "out/crow-lane-mat.h5")
        self.sweep()
        self.assertEqual(self.made(), ["crow-lane-mat"])


class Mistakes(Sweep):
    def test_all_are_checked_before_any_is_simulated(self):
        write("farm/a.yaml", read("farm/smallest.yaml").replace(b"unlimited", b"plenty"))
        write("farm/z.yaml", b"period: {from: 2026-01-01}\n")
        self.assertEqual(self.sweep(status=3), "")
        self.assertRegex(self.stderr, r"(?m)^farm/a\.yaml:\d+:\d+: error: ")
        self.assertRegex(self.stderr, r"(?m)^farm/z\.yaml:\d+:\d+: error: ")
        self.assertIn("2 of 5 scenarios cannot be simulated, so none was.", self.stderr)
        self.assertFalse(os.path.exists("out"))

    def test_an_overgrown_colony_does_not_stop_the_others(self):
        write("farm/b.yaml", self.short("smallest").replace(LAST, LATE))
        table = self.sweep(status=3)
        self.assertRegex(table, r"(?m)^b +could not be simulated$")
        self.assertIn("3 simulated, 0 already complete, 1 failed", table)
        self.assertRegex(self.stderr, r"(?m)^farm/b\.yaml:\d+:\d+: error: ")
        self.assert_complete()
        found = json.loads(self.sweep("--json", status=3))["scenarios"]
        self.assertIn("error", found[0])
        self.assertNotIn("error", found[1])
        self.assertIsNone(found[0].get("older_result"))

    def test_an_outdated_result_is_named_as_such(self):
        """Keeps the result of the older text if the new one cannot be simulated."""
        self.results()
        before = read("out/smallest.h5")
        write("farm/smallest.yaml", self.short("smallest").replace(LAST, LATE))
        table = self.sweep(status=3)
        self.assertRegex(table, r"(?m)^smallest +could not be simulated; an older result is kept$")
        self.assertTrue(all(len(line) < 80 for line in table.splitlines()), table)
        self.assertIn("out/smallest.h5: this result is from an older version of the scenario", self.stderr)
        self.assertEqual(read("out/smallest.h5"), before)
        found = json.loads(self.sweep("--json", status=3))["scenarios"]
        self.assertEqual(found[2]["older_result"], "out/smallest.h5")

    def test_two_scenarios_for_one_result(self):
        os.mkdir("other")
        self.copy("smallest.yaml", "other/smallest.yaml")
        self.wintergrub("run", "farm", "other", "-o", "out", status=3)
        self.assertRegex(self.stderr, "^wintergrub: .*smallest.yaml: .*out/smallest.h5.*another name")
        self.assertEqual(self.stderr.count("\n"), 1)
        self.nothing_left("farm", "other")

    def test_names_that_differ_only_in_case(self):
        self.copy("smallest.yaml", "farm/Smallest.yaml")
        self.sweep(status=3)
        self.assertRegex(self.stderr, "out/[sS]mallest.h5.*takes capitals for small letters.*another name")
        self.assertEqual(self.stderr.count("\n"), 1)

    def test_no_result_overwrites_an_input(self):
        """Inputs are the scenarios of the folder and their records, by any name."""
        shutil.copy(os.path.join(SCENARIOS, "seattle-record.yaml"), "farm/")
        shutil.copytree(os.path.join(SCENARIOS, "weather"), "farm/weather")
        os.mkdir("out")
        for read_here in ("farm/smallest.yaml", "farm/weather/seattle_daily.csv"):
            before = read(read_here)
            for link in (os.link, lambda path, name: os.symlink(os.path.abspath(path), name)):
                link(read_here, "out/crow-lane-mat.h5")
                self.wintergrub("run", "farm", "-o", "out", "--replicates", "2", "--force", status=2)
                self.assertIn("out/crow-lane-mat.h5 is read here", self.stderr)
                self.assertEqual(os.listdir("out"), ["crow-lane-mat.h5"])
                os.unlink("out/crow-lane-mat.h5")
                self.assertEqual(read(read_here), before)

    def test_names_are_padded_by_characters(self):
        os.rename("farm/smallest.yaml", "farm/Gr\u00fc\u00dfe.yaml")
        lines = self.sweep().splitlines()[1:4]
        self.assertEqual(len({line.index(" %") for line in lines}), 1, lines)

    def test_other_files_are_left_alone(self):
        write("crow-lane-shed.yaml", self.short("crow-lane-shed"))
        self.wintergrub(
            "compare", "farm/crow-lane-mat.yaml", "crow-lane-shed.yaml", "--replicates", "2", "-o", "c.h5"
        )
        with h5py.File("h.h5", "w") as file:
            file["x"] = [1, 2, 3]
        write("t.h5", b"my notes")
        for name in ("c.h5", "h.h5", "t.h5"):
            shutil.rmtree("out", ignore_errors=True)
            os.mkdir("out")
            shutil.copy(name, "out/smallest.h5")
            self.sweep(status=4)
            self.assertRegex(self.stderr, "out/smallest.h5: (This is (a comparison|not a file of|not a result)|This HDF5 file is not from wintergrub|Another program)")
            self.assertEqual(os.listdir("out"), ["smallest.h5"])
            self.assertEqual(read("out/smallest.h5"), read(name))
        self.sweep("--force")
        self.assert_complete()

    def test_usage(self):
        for words in (
            ("run", "farm"),
            ("run", "farm/smallest.yaml", "farm/crow-lane-mat.yaml"),
            ("run", "farm", "-o", "out", "--until-sure", "2%"),
            ("run", "farm", "-o", "out", "--what-matters"),
            ("run", "farm", "-o", "out", "--calendar"),
            ("run", "farm", "-o", "out", "--replicates", "none"),
            ("run", "farm", "-o", "out", "--part", "0/3"),
            ("run", "farm", "-o", "out", "--part", "4/3"),
            ("run", "farm", "-o", "out", "--part", "1/3x"),
            ("run", "farm", "-o", "out", "--part", "1"),
            ("run", "farm/smallest.yaml", "--part", "1/3"),
        ):
            self.assertEqual(self.wintergrub(*words, status=2), "")
            self.assertEqual(self.stderr.count("\n"), 1, words)
        self.nothing_left("farm")

    def test_folders(self):
        os.mkdir("empty")
        write("empty/.hidden.yaml", b"")
        self.wintergrub("run", "empty", "-o", "out", status=3)
        self.assertIn("no scenario", self.stderr)
        write("file", b"")
        self.wintergrub("run", "farm", "-o", "file", status=4)
        self.wintergrub("run", "farm", "-o", "no/where", status=4)
        self.wintergrub("run", "farm", "nowhere.yaml", "-o", "out", status=4)
        self.nothing_left("empty", "farm", "file")

    @unittest.skipUnless(os.path.exists("/dev/full"), "Linux")
    def test_a_full_disk_for_the_table(self):
        with open("/dev/full", "wb") as full:
            done = subprocess.run(
                [PROGRAM, "run", "farm", "-o", "out", "--replicates", "2", "--quiet"],
                stdout=full,
                stderr=subprocess.PIPE,
                env=self.environment(),
            )
        self.assertEqual(done.returncode, 4, done.stderr)


if __name__ == "__main__":
    unittest.main()
