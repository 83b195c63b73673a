# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Results as xarray.Dataset: of a forecast in memory, or of a file."""

import os

import numpy

from ._library import check, ffi, files, lib, new_error, path_chars, text
from ._tables import OUTCOMES, SERIES

LONG_NAMES = {"stage": "life stage", "cause": "cause of death", "place": "place", "bin": "bin"}
CALENDAR = "proleptic_gregorian"
GOAL = {
    "goal_chance_asked": "chance wanted of meeting the goal",
    "goal_chance": "share of the replicates that met the goal",
    "goal_chance_low": "lower end of the 95 % interval of goal_chance",
    "goal_chance_high": "upper end of the 95 % interval of goal_chance",
}


def _coordinates(forecast, days_since):
    plan = forecast.plan
    time = {"units": days_since, "long_name": "beginning of the day", "calendar": CALENDAR, "standard_name": "time", "axis": "T"}
    replicate = {"units": "1", "long_name": "number of the replicate", "standard_name": "realization"}
    found = {
        "replicate": ("replicate", numpy.arange(forecast.replicates), replicate),
        "time": ("time", numpy.arange(plan.days), {**time, "bounds": "time_bnds"}),
    }
    for per, long_name in LONG_NAMES.items():
        if plan.columns(per):
            found[per] = (per, numpy.array(plan.columns(per), dtype=object), {"long_name": long_name})
    if forecast.goals:
        found["goal"] = ("goal", numpy.array([goal.text for goal in forecast.goals], dtype=object), {"long_name": "goal of the keeper"})
    return found


def _of_the_site(forecast, days_since):
    plan = forecast.plan
    days = numpy.arange(plan.days)
    bounds = {"units": days_since, "long_name": "beginning and end of the day", "calendar": CALENDAR}
    found = {"time_bnds": (("time", "bound"), numpy.stack([days, days + 1], axis=1), bounds)}
    places = plan.columns("place")
    standing = [places[lib.wintergrub_plan_bin_place(plan._handle, i)] for i in range(len(plan.columns("bin")))]
    if standing:
        found["bin_place"] = ("bin", numpy.array(standing, dtype=object), {"long_name": "place of the bin"})
    latitude = lib.wintergrub_plan_latitude(plan._handle)
    if not numpy.isnan(latitude):
        found["latitude"] = ((), latitude, {"units": "degrees_north", "long_name": "latitude of the site", "standard_name": "latitude"})
    return found


def _series(forecast, has_latitude):
    for name, array in forecast.series.items():
        row = SERIES[name]
        attributes = {"units": row.unit, "long_name": row.meaning, "cell_methods": row.cell_methods}
        if row.standard_name:
            attributes["standard_name"] = row.standard_name
        if row.standard_name and has_latitude:
            attributes["coordinates"] = "latitude"
        yield name, (("replicate", "time") + ((row.per,) if row.per else ()), array, attributes)


def _outcomes(forecast, days_since):
    for name, array in forecast.outcomes.items():
        row = OUTCOMES[name]
        attributes = {"units": days_since if row.is_date else row.unit, "long_name": row.meaning}
        if row.is_date:
            attributes["calendar"] = CALENDAR
        yield name, ("replicate", array, attributes)


def _cells(forecast):
    for name, long_name in (
        ("animal", "number of the plausible animal; -1: the middle animal"),
        ("winter", "number of the winter: replicates of one winter have the same weather and mishaps"),
    ):
        yield name, ("replicate", getattr(forecast, name), {"units": "1", "long_name": long_name})


def _goals(forecast):
    goals = forecast.goals
    values = ([g.wanted for g in goals], [g.met.share for g in goals], [g.met.low for g in goals], [g.met.high for g in goals])
    for (name, long_name), column in zip(GOAL.items(), values if goals else ()):
        yield name, ("goal", numpy.array(column), {"units": "1", "long_name": long_name})


def dataset(forecast):
    import xarray

    days_since = f"days since {forecast.plan.first_day} 00:00:00"
    site = _of_the_site(forecast, days_since)
    variables = {
        **site,
        **dict(_series(forecast, "latitude" in site)),
        **dict(_outcomes(forecast, days_since)),
        **dict(_cells(forecast)),
        **dict(_goals(forecast)),
    }
    attributes = {
        "Conventions": "CF-1.10",
        "title": forecast.plan.name,
        "source": f"wintergrub {text(lib.wintergrub_version())}",
    }
    # decoded as a file is, so that dates are dates; xarray before 2023.4 warns of every date that is missing
    with numpy.errstate(invalid="ignore"):
        found = xarray.decode_cf(xarray.Dataset(variables, _coordinates(forecast, days_since), attributes)).load()
    return found.set_coords("latitude") if "latitude" in site else found


def _check_file(path):
    """Raises the library's error for a file that is not a result or is damaged."""
    out, error = ffi.new("wintergrub_result **"), new_error()
    with files:
        check(lib.wintergrub_result_open(out, path_chars(path), error), error)
        lib.wintergrub_result_free(out[0])


def open_result(path, group=None):
    """Opens a result file as xarray.Dataset, after the library has checked it; group="provenance" is what made it."""
    import xarray

    _check_file(path)
    with numpy.errstate(invalid="ignore"):  # as above
        found = xarray.open_dataset(os.fspath(path), group=group)
        for variable in found.data_vars.values():
            if variable.dims == ("replicate",):
                variable.load()
    return found


def same_results(path_a, path_b):
    """Compares two result files bit for bit. Returns ("same" or "same numbers" or "different", what differs first)."""
    words = {lib.WINTERGRUB_SAME: "same", lib.WINTERGRUB_DIFFERENT: "different", lib.WINTERGRUB_SAME_NUMBERS: "same numbers"}
    size = 256
    what, error = ffi.new("char[]", size), new_error()
    with files:
        code = check(lib.wintergrub_result_compare(path_chars(path_a), path_chars(path_b), what, size, error), error)
    return words[code], text(what)
