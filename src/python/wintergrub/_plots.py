# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Draws with matplotlib. Colours are told apart by all (Okabe & Ito 2008), and in grey."""

import numpy

from ._library import UsageError, lib
from ._tables import OUTCOMES, SERIES

ORANGE, BLUE = "#E69F00", "#0072B2"


def _axes(axes):
    if axes is not None:
        return axes
    from matplotlib import pyplot

    return pyplot.subplots(figsize=(9, 4.5), constrained_layout=True)[1]


def _legend(axes):
    """Below the axes, where it hides nothing."""
    axes.legend(frameon=False, loc="upper center", bbox_to_anchor=(0.5, -0.12), ncol=3)
    return axes


def _unit(row):
    return "" if row.unit == "1" else f", {row.unit}"


def _column_of(forecast, series, column):
    """Returns the values of one column, and its name."""
    if series not in forecast.series:
        kept = ", ".join(forecast.series) or "none"
        raise UsageError(f'The run kept no series "{series}" (kept: {kept}). Run it with series=["{series}"].', "", lib.WINTERGRUB_ERR_USAGE)
    values, names = forecast.series[series], forecast.plan.columns(SERIES[series].per)
    if values.ndim == 2:
        return values, ""
    column = column if column is not None else "larva" if series == "count" else names[0]
    if column not in names:
        raise UsageError(f'"{series}" has no column "{column}" but {", ".join(names)}.', "", lib.WINTERGRUB_ERR_USAGE)
    return values[:, :, names.index(column)], column


def plot_series(forecast, series, column, axes):
    values, name = _column_of(forecast, series, column)
    q05, q25, q50, q75, q95 = numpy.quantile(values, [0.05, 0.25, 0.5, 0.75, 0.95], axis=0)
    axes, time = _axes(axes), forecast.plan.time
    axes.fill_between(time, q05, q95, color=ORANGE, alpha=0.25, linewidth=0, label="9 replicates in 10")
    axes.fill_between(time, q25, q75, color=ORANGE, alpha=0.6, linewidth=0, label="half of them")
    axes.plot(time, q50, color="black", linewidth=1.2, label="median")
    label = f"{series}, {name}" if name else series
    axes.set(title=forecast.plan.name, ylabel=label + _unit(SERIES[series]), xlim=(time[0], time[-1]))
    if SERIES[series].is_count:
        axes.yaxis.set_major_formatter("{x:,.0f}")
    return _legend(axes)


def plot_comparison(comparison, outcome, axes):
    axes = _axes(axes)
    for row, (name, forecast) in enumerate(comparison.forecasts.items()):
        values = forecast.outcomes[outcome][~numpy.isnan(forecast.outcomes[outcome])]
        if not len(values):
            continue
        q05, q25, q50, q75, q95 = numpy.quantile(values, [0.05, 0.25, 0.5, 0.75, 0.95])
        axes.plot([q05, q95], [row, row], color=BLUE, linewidth=2, label="9 replicates in 10" if row == 0 else None)
        axes.plot([q25, q75], [row, row], color=BLUE, linewidth=7, label="half of them" if row == 0 else None)
        axes.plot(q50, row, "o", color="white", markeredgecolor="black", label="median" if row == 0 else None)
    names = [f"{name}\nalive in {100 * forecast.survival.share:.0f} of 100" for name, forecast in comparison.forecasts.items()]
    axes.set_yticks(range(len(names)), names)
    axes.set(title=OUTCOMES[outcome].meaning, xlabel=outcome + _unit(OUTCOMES[outcome]), ylim=(len(names) - 0.5, -0.5))
    return _legend(axes)
