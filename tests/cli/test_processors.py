# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the same bytes on every processor: the C library selects its mathematics by processor; the model does not use it.

GLIBC_TUNABLES makes the GNU C library assume a processor without FMA and AVX2, for which it has different code for exp,
pow, sin and the like, with different last digits. Python's mathematics shows that this works.
"""

import glob
import hashlib
import math
import os
import platform
import struct
import subprocess
import sys
import unittest

from test_threads import contents
from commands import PROGRAM, SCENARIOS, CommandTest

OTHER_PROCESSOR = "glibc.cpu.hwcaps=-FMA,-AVX2_Usable,-AVX2,-FMA_Usable"
REPLICATES = 2
RERUN = ("smallest.yaml", "crow-lane-shed.yaml", "seattle-record.yaml", "two-place-year.yaml")  # compares the same bytes
MANY = 12  # replicates of the scenario in which the last digits of the C library changed every second count


def library_digits():
    """Returns a hash of some values of the C library's mathematics."""
    digits = hashlib.sha256()
    for i in range(1, 4001):
        x = i * 0.0371
        for value in (math.exp(-x), math.sin(x), math.cos(x), x**0.3, math.log1p(x), math.atan(x)):
            digits.update(struct.pack("d", value))
    return digits.hexdigest()


class Processors(CommandTest):
    def on_other_processor(self, *words):
        done = subprocess.run(
            [PROGRAM, *words], capture_output=True, env=self.environment(GLIBC_TUNABLES=OTHER_PROCESSOR)
        )
        output = (done.stdout + done.stderr).decode()
        self.assertEqual(done.returncode, 0, f"{words}: {output}")
        return output

    def test_the_setting_changes_the_library(self):
        if platform.libc_ver()[0] != "glibc":
            return  # the library has one version for all processors
        with open("/proc/cpuinfo", encoding="utf-8") as cpu:
            if " fma " not in cpu.read():
                return  # the library already uses the other version
        script = "from test_processors import library_digits; print(library_digits())"
        digits = subprocess.run(
            [sys.executable, "-B", "-c", script],
            capture_output=True,
            check=True,
            text=True,
            cwd=os.path.dirname(os.path.abspath(__file__)),
            env=self.environment(GLIBC_TUNABLES=OTHER_PROCESSOR),
        ).stdout.strip()
        self.assertEqual(len(digits), 64)
        self.assertNotEqual(digits, library_digits(), "the setting changes nothing, so the test could not fail")

    def test_all_scenarios_give_the_same_bytes(self):
        scenarios = sorted(glob.glob(os.path.join(SCENARIOS, "*.yaml")))
        self.assertGreater(len(scenarios), 8)
        for path in scenarios:
            name = os.path.basename(path)
            replicates = str(MANY if name == "smallest.yaml" else REPLICATES)
            words = ["run", path, "--replicates", replicates, "--seed", "1", "--quiet", "-o"]
            self.wintergrub(*words, "here.h5", "--force")
            self.on_other_processor(*words, "other.h5", "--force")
            here, other = contents("here.h5"), contents("other.h5")
            self.assertGreater(len(here), 40, "the file is read")
            self.assertEqual([key for key in sorted(set(here) | set(other)) if here.get(key) != other.get(key)], [], name)
            if name in RERUN:
                self.assertIn("the same", self.on_other_processor("rerun", "here.h5"), name)


if __name__ == "__main__":
    unittest.main()
