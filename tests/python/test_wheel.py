# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that the wheel of src/python is complete, the same each time, and made without a network or other packages."""

import base64
import csv
import hashlib
import os
import re
import subprocess
import sys
import tempfile
import unittest
import zipfile

from module import MODULE, SHARED, wintergrub


def build(folder):
    """Builds the wheel as pip does: from the folder, in a process of its own, with Python's own library only."""
    script = f"import sys; sys.path.insert(0, {MODULE!r}); import backend; print(backend.build_wheel({folder!r}))"
    return subprocess.run([sys.executable, "-I", "-S", "-B", "-c", script], check=True, capture_output=True, text=True).stdout.strip()


class Wheel(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(folder.cleanup)
        cls.folder = folder.name
        cls.path = os.path.join(cls.folder, build(cls.folder))

    def test_every_module_is_in_the_record(self):
        self.assertEqual(os.path.basename(self.path), f"wintergrub-{wintergrub.__version__}-py3-none-any.whl")
        with zipfile.ZipFile(self.path) as wheel:
            record = next(name for name in wheel.namelist() if name.endswith("/RECORD"))
            rows = list(csv.reader(wheel.read(record).decode().splitlines()))
            self.assertEqual({row[0] for row in rows}, set(wheel.namelist()))
            for name, digest, size in rows:
                if name == record:
                    continue
                expected = base64.urlsafe_b64encode(hashlib.sha256(wheel.read(name)).digest()).rstrip(b"=").decode()
                self.assertEqual((digest, int(size)), (f"sha256={expected}", len(wheel.read(name))))
            modules = {f"wintergrub/{name}" for name in os.listdir(os.path.join(MODULE, "wintergrub")) if name.endswith(".py")}
            self.assertEqual(modules, {row[0] for row in rows if row[0].startswith("wintergrub/")})
            metadata = wheel.read(next(name for name in wheel.namelist() if name.endswith("/METADATA"))).decode()
        self.assertTrue(re.search(rf"^Version: {re.escape(wintergrub.__version__)}$", metadata, re.M))

    def test_the_same_bytes_each_time(self):
        with open(self.path, "rb") as file:
            first = file.read()
        with tempfile.TemporaryDirectory() as folder, open(os.path.join(folder, build(folder)), "rb") as file:
            self.assertEqual(file.read(), first)

    def test_the_module_works_from_the_wheel(self):
        script = (
            f"import ctypes, sys; ctypes.CDLL({SHARED!r}); sys.path.insert(0, {self.path!r}); import wintergrub\n"
            "plan = wintergrub.Plan.laboratory('2026-01-01', '2026-01-10', 27, 100, replicates=2)\n"
            "print(wintergrub.__file__, plan.run().survival.n)\n"
        )
        printed = subprocess.run([sys.executable, "-B", "-c", script], check=True, capture_output=True, text=True).stdout
        self.assertEqual(printed, f"{self.path}/wintergrub/__init__.py 2\n")

    def test_without_the_library_the_way_out_is_named(self):
        script = f"import sys; sys.path.insert(0, {self.path!r}); import wintergrub"
        environment = {key: value for key, value in os.environ.items() if key != "LD_LIBRARY_PATH"}
        done = subprocess.run([sys.executable, "-B", "-c", script], env=environment, capture_output=True, text=True, check=False)
        if done.returncode != 0:  # the machine may have the library installed
            self.assertIn("ImportError: libwintergrub.so.0 was not found.", done.stderr)
            self.assertIn("libwintergrub0", done.stderr)


if __name__ == "__main__":
    unittest.main()
