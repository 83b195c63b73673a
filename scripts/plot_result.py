#!/usr/bin/python3
"""Opens a result of wintergrub with xarray and plots its larvae: an example to begin with.

    scripts/plot_result.py NAME.h5 [PICTURE.png]

Needs xarray and h5netcdf (or netCDF4); for the picture, matplotlib. On Debian: python3-xarray, python3-h5netcdf,
python3-matplotlib.
"""

import sys


def larvae(path):
    """The median number of larvae, and where nine in ten lie, day by day."""
    import xarray

    with xarray.open_dataset(path, decode_times=True) as result:
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


def main():
    if sys.argv[1:] in (["-h"], ["--help"]):
        print(__doc__)
        return
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    bands = larvae(sys.argv[1])
    middle = bands.sel(quantile=0.5)
    best = middle.idxmax("time")
    print(f"{bands.attrs['title']}: most larvae about {str(best.values)[:10]}, {float(middle.max()):.0f} in the median")
    if len(sys.argv) == 3:
        draw(bands, sys.argv[2])


if __name__ == "__main__":
    main()
