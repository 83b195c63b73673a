"""The result does not depend on the number of threads: every number, every attribute, as h5py reads them."""

import unittest

import h5py
import numpy as np
from words import AtTheDesk

# What is allowed to differ between two runs of the same scenario.
OF_THE_RUN = {"command_line", "started", "start_time", "history"}


def contents(path):
    """Everything in a file, by name: the bytes of datasets and attributes, with their types and shapes."""
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


class Threads(AtTheDesk):
    def differences(self, a, b):
        a, b = contents(a), contents(b)
        self.assertGreater(len(a), 40, "the file is read")
        return [name for name in sorted(set(a) | set(b)) if a.get(name) != b.get(name)]

    def test_one_two_and_eight_threads_write_the_same(self):
        for name in ("smallest.yaml", "hoop-house-two-bins.yaml"):
            self.copy(name)
            said = {}
            for threads in ("1", "2", "8"):
                said[threads] = self.wintergrub(
                    "run", name, "--replicates", "17", "--threads", threads, "-o", f"{threads}.h5", "--force"
                )
            self.assertEqual(self.differences("1.h5", "2.h5"), [])
            self.assertEqual(self.differences("1.h5", "8.h5"), [])
            self.assertEqual(said["1"], said["2"])
            self.assertEqual(said["1"], said["8"])

    def test_the_first_replicates_are_the_same_however_many_there_are(self):
        self.copy("harrow-hill-outdoors.yaml", "hill.yaml")
        self.wintergrub("run", "hill.yaml", "--replicates", "4", "-o", "few.h5")
        self.wintergrub("run", "hill.yaml", "--replicates", "9", "-o", "more.h5")
        with h5py.File("few.h5") as few, h5py.File("more.h5") as more:
            for name in ("count", "bin_temperature", "crawl_off_mass", "survived"):
                self.assertEqual(few[name][()].tobytes(), more[name][:4].tobytes(), name)

    def test_another_seed_is_another_result(self):
        self.copy("smallest.yaml")
        self.wintergrub("run", "smallest.yaml", "--replicates", "3", "-o", "a.h5")
        self.wintergrub("run", "smallest.yaml", "--replicates", "3", "-o", "b.h5", "--seed", "2")
        self.assertIn("count", self.differences("a.h5", "b.h5"))


if __name__ == "__main__":
    unittest.main()
