# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that the result does not depend on the number of threads: all numbers and attributes, as h5py reads them."""

import os
import subprocess
import time
import unittest

import h5py
import numpy as np
from commands import PATIENCE_S, PROGRAM, CommandTest

# Attributes that may differ between two runs of the same scenario.
OF_THE_RUN = {"command_line", "started", "start_time", "history"}


def contents(path):
    """Returns everything in a file by name: the bytes of datasets and attributes, with their types and shapes."""
    found = {}

    def take(name, value):
        value = np.asarray(value)
        if value.dtype.hasobject:
            found[name] = value.shape, [str(item) for item in value.ravel().tolist()]
        else:
            found[name] = value.shape, str(value.dtype), value.tobytes()

    def visit(name, thing):
        for key in thing.attrs:
            if key not in OF_THE_RUN and key not in ("REFERENCE_LIST", "DIMENSION_LIST"):
                take(f"{name}@{key}", thing.attrs[key])
        if isinstance(thing, h5py.Dataset) and name.split("/")[-1] not in OF_THE_RUN:
            take(name, thing[()])

    with h5py.File(path) as file:
        visit("", file)
        file.visititems(visit)
    return found


class Threads(CommandTest):
    def differences(self, a, b):
        a, b = contents(a), contents(b)
        self.assertGreater(len(a), 40, "the file is read")
        return [name for name in sorted(set(a) | set(b)) if a.get(name) != b.get(name)]

    def test_one_two_and_eight_threads_write_the_same(self):
        for name in ("smallest.yaml", "hoop-house-two-bins.yaml"):
            self.copy(name)
            printed = {}
            for threads in ("1", "2", "8"):
                printed[threads] = self.wintergrub(
                    "run", name, "--replicates", "17", "--threads", threads, "-o", f"{threads}.h5", "--force"
                )
            self.assertEqual(self.differences("1.h5", "2.h5"), [])
            self.assertEqual(self.differences("1.h5", "8.h5"), [])
            self.assertEqual(printed["1"], printed["2"])
            self.assertEqual(printed["1"], printed["8"])

    def test_the_first_replicates_do_not_depend_on_their_number(self):
        self.copy("harrow-hill-outdoors.yaml", "hill.yaml")
        self.wintergrub("run", "hill.yaml", "--replicates", "4", "-o", "few.h5")
        self.wintergrub("run", "hill.yaml", "--replicates", "9", "-o", "more.h5")
        with h5py.File("few.h5") as few, h5py.File("more.h5") as more:
            for name in ("count", "bin_temperature", "crawl_off_mass", "survived"):
                self.assertEqual(few[name][()].tobytes(), more[name][:4].tobytes(), name)

    def most_threads(self, *words, **more):
        """Returns the maximum number of threads of a run that is stopped after a while."""
        running = subprocess.Popen(
            [PROGRAM, "run", "smallest.yaml", "--replicates", "100000", "-o", "long.h5", *words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=self.environment(),
            **more,
        )
        self.addCleanup(running.wait)
        self.addCleanup(running.kill)
        most, end = 0, time.monotonic() + PATIENCE_S
        deadline = None
        while time.monotonic() < min(end, deadline or end) and running.poll() is None:
            most = max(most, len(os.listdir(f"/proc/{running.pid}/task")))
            if most > 1 and deadline is None:
                deadline = time.monotonic() + 0.5
            time.sleep(0.01)
        running.terminate()
        running.wait(PATIENCE_S)
        return most

    @unittest.skipUnless(hasattr(os, "sched_setaffinity") and os.path.isdir("/proc/self/task"), "Linux")
    def test_default_number_of_threads(self):
        """One thread for each processor that the process may use (taskset, a cluster job)."""
        self.copy("smallest.yaml")
        mine = os.sched_getaffinity(0)
        one = min(mine)
        here = {"preexec_fn": lambda: os.sched_setaffinity(0, {one})}
        self.assertEqual(self.most_threads(**here), 1 + 1, "the main thread and one worker")
        self.assertEqual(self.most_threads("--threads", "3", **here), 1 + 3, "--threads overrides the default")
        self.assertEqual(self.most_threads(), 1 + len(mine))

    def test_equal_runs_at_the_same_time_give_equal_bytes(self):
        """SOURCE_DATE_EPOCH as defined by reproducible-builds.org; 1700000000 is 2023-11-14 22:13:20 UTC."""
        self.copy("smallest.yaml")
        few = ["run", "smallest.yaml", "--replicates", "3", "-o", "a.h5", "--force", "--quiet"]

        def bytes_of(path, words, **more):
            subprocess.run([PROGRAM, *words], check=True, capture_output=True, env=self.environment(**more))
            with open(path, "rb") as file:
                return file.read()

        hour = {"SOURCE_DATE_EPOCH": "1700000000"}
        first = bytes_of("a.h5", few, **hour)
        with h5py.File("a.h5") as file:
            self.assertEqual(file["provenance"].attrs["started"], "2023-11-14T22:13:20Z")
        page = bytes_of("a.html", ["report", "a.h5", "--force"])
        self.assertIn(b"2023-11-14T22:13:20Z", page)
        self.assertEqual(bytes_of("a.h5", few, **hour), first)
        self.assertEqual(bytes_of("a.html", ["report", "a.h5", "--force"]), page)
        for odd in ("", "yesterday", "-5", "99999999999999"):
            bytes_of("a.h5", few, SOURCE_DATE_EPOCH=odd)
            with h5py.File("a.h5") as file:
                self.assertRegex(file["provenance"].attrs["started"], r"^20[2-9]\d-\d\d-\d\dT[\d:]{8}Z$")

    def test_a_different_seed_gives_a_different_result(self):
        self.copy("smallest.yaml")
        self.wintergrub("run", "smallest.yaml", "--replicates", "3", "-o", "a.h5")
        self.wintergrub("run", "smallest.yaml", "--replicates", "3", "-o", "b.h5", "--seed", "2")
        self.assertIn("count", self.differences("a.h5", "b.h5"))


if __name__ == "__main__":
    unittest.main()
