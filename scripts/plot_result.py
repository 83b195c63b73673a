#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Opens a result of wintergrub with xarray and plots its larvae: an example to start from.

    scripts/plot_result.py NAME.h5 [PICTURE.png]

Exit codes: 0 done, 2 usage, 3 not a result of wintergrub, 4 a file that cannot be read or written.

Needs xarray and h5netcdf (or netCDF4); for the picture, matplotlib. On Debian: python3-xarray, python3-h5netcdf,
python3-matplotlib.
"""

import sys


def larvae(path):
    """Returns the median number of larvae and the 90 % interval, by day."""
    import numpy
    import xarray

    # xarray before 2023.4 warns of every date that is missing
    with numpy.errstate(invalid="ignore"), xarray.open_dataset(path, decode_times=True) as result:
        count = result["count"].sel(stage="larva")
        bands = count.quantile([0.05, 0.5, 0.95], dim="replicate")
        return bands.assign_attrs(title=result.attrs["title"], long_name=count.attrs["long_name"]).load()


def draw(bands, picture):
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    figure, axes = pyplot.subplots(figsize=(10, 5.6))
    time = bands["time"].values
    axes.fill_between(time, bands.sel(quantile=0.05), bands.sel(quantile=0.95), color="#E69F00", alpha=0.4)
    axes.plot(time, bands.sel(quantile=0.5), color="black")
    axes.set(title=bands.attrs["title"], ylabel="larvae")
    figure.savefig(picture, dpi=120)


def stop(path, why, status):
    """Prints one sentence instead of a traceback."""
    print(f"plot_result.py: {path}: {why}.", file=sys.stderr)
    sys.exit(status)


def main():
    if sys.argv[1:] in (["-h"], ["--help"]):
        print(__doc__)
        return
    if len(sys.argv) not in (2, 3):
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    path = sys.argv[1]
    try:
        with open(path, "rb"):
            pass  # distinguishes an unreadable file from one that is not a result
    except OSError as error:
        stop(path, error.strerror, 4)
    try:
        bands = larvae(path)
    except (OSError, KeyError, ValueError):
        stop(path, "this is not a result of wintergrub", 3)
    middle = bands.sel(quantile=0.5)
    best = middle.idxmax("time")
    print(f"{bands.attrs['title']}: most larvae about {str(best.values)[:10]}, {float(middle.max()):.0f} in the median")
    if len(sys.argv) == 3:
        try:
            draw(bands, sys.argv[2])
        except (OSError, ValueError) as error:  # ValueError: a file extension that matplotlib does not support
            stop(sys.argv[2], getattr(error, "strerror", None) or str(error), 4)


if __name__ == "__main__":
    main()
