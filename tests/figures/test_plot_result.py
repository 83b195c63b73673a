# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks scripts/plot_result.py against h5py; also draws if matplotlib is installed."""

import importlib.util
import os
import pathlib
import subprocess
import sys
import tempfile

import h5py
import numpy

WINTERGRUB = os.path.abspath(os.environ["WINTERGRUB"])
SOURCE = pathlib.Path(os.environ["SRC"]).resolve()


def expect_error(folder, words, result):
    """Expects one sentence that names the file, and the program's exit status."""
    torn, other = os.path.join(folder, "torn.h5"), os.path.join(folder, "other.h5")
    pathlib.Path(torn).write_bytes(pathlib.Path(result).read_bytes()[:9000])
    pathlib.Path(folder, "text.h5").write_text("no result")
    with h5py.File(other, "w") as file:
        file["count"] = 3
    for path, status in ((os.path.join(folder, "missing.h5"), 4), (folder, 4), (torn, 3), (other, 3),
                         (os.path.join(folder, "text.h5"), 3)):
        done = subprocess.run(words + [path], capture_output=True, text=True, check=False)
        assert done.returncode == status, (path, done.returncode, done.stderr)
        assert done.stderr.count("\n") == 1 and path in done.stderr and not done.stdout, done.stderr
    assert subprocess.run(words, capture_output=True, check=False).returncode == 2


def main():
    with tempfile.TemporaryDirectory() as name:
        result = os.path.join(name, "result.h5")
        scenario = str(SOURCE / "scenarios" / "smallest.yaml")
        subprocess.run([WINTERGRUB, "run", scenario, "-o", result, "--replicates", "5", "--quiet"], check=True,
                       stdout=subprocess.DEVNULL)
        words = [sys.executable, "-B", str(SOURCE / "scripts" / "plot_result.py"), result]
        picture = os.path.join(name, "larvae.png")
        can_draw = importlib.util.find_spec("matplotlib") is not None
        output = subprocess.run(words + ([picture] if can_draw else []), check=True, capture_output=True, text=True).stdout
        with h5py.File(result) as file:
            median = numpy.median(file["count"][:, :, 1], axis=0)
        day = numpy.datetime64("2026-01-01") + int(median.argmax())
        assert f"most larvae about {day}, {median.max():.0f} in the median" in output, output
        assert not can_draw or os.path.getsize(picture) > 1000
        expect_error(name, words[:-1], result)
    print("test_plot_result.py: passed")


if __name__ == "__main__":
    main()
