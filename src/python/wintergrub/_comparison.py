# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Compares plans under the same weather."""

import math
from typing import NamedTuple

from ._forecast import run
from ._library import UsageError, check, chars, ffi, lib, new_error
from ._tables import COMPARED, OUTCOMES


class Difference(NamedTuple):
    """An outcome minus that of the base, replicate by replicate: the mean with its 95 % interval, how often it is better."""

    n: int
    mean: float
    low: float
    high: float
    sd: float
    better: int
    worse: int
    ties: int
    chance: float
    chance_low: float
    chance_high: float
    animals_better: int
    animals_same: int
    animals_worse: int
    variance_factor: float
    less_is_better: bool


def difference(base, other, outcome):
    out, error = ffi.new("struct wintergrub_difference *"), new_error()
    name = chars(outcome, "The outcome")
    check(lib.wintergrub_summary_difference(base._summary, other._summary, name, out, error), error)
    values = {field: getattr(out, field) for field in Difference._fields}
    values["less_is_better"] = bool(values["less_is_better"])
    return Difference(**values)


def compare(plans, *, replicates=None, seed=None, progress=None, **options):
    """Runs plans under the same weather and returns a Comparison with the first.

    `plans` is a list of plans, or a dictionary that names them. All are simulated with the seed and number of replicates of
    the first, unless given; the other options are those of run(). Period and climate must agree.
    """
    named = dict(plans) if hasattr(plans, "items") else {plan.name: plan for plan in plans}
    if len(named) < 2 or len(named) != len(plans):
        raise UsageError("Give two plans or more, each with a name of its own: {\"cold\": a, \"heated\": b}.")
    first = next(iter(named.values()))
    replicates = first.replicates if replicates is None else replicates
    seed = first.seed if seed is None else seed
    forecasts = {}
    for number, (name, plan) in enumerate(named.items()):
        forecasts[name] = run(plan, replicates=replicates, seed=seed, progress=_counted(progress, number, len(named)), **options)
        if forecasts[name].stopped:
            raise UsageError(f'The run of "{name}" was stopped, so there is nothing to compare.', "", lib.WINTERGRUB_STOPPED)
    return Comparison(forecasts)


def _counted(progress, before, runs):
    """Returns a function that counts the replicates of all runs."""
    if not callable(progress):
        return progress
    return lambda done, of: progress(before * of + done, runs * of)


class Comparison:
    """Forecasts by name in `forecasts`, and what the later ones differ in from the first."""

    def __init__(self, forecasts):
        self.forecasts = forecasts
        self.base = next(iter(forecasts))
        self.differences = {
            name: {outcome: difference(forecasts[self.base], forecast, outcome) for outcome in COMPARED if outcome in forecast.outcomes}
            for name, forecast in forecasts.items()
            if name != self.base
        }

    def __getitem__(self, name):
        return self.forecasts[name]

    def table(self, outcome="total_harvest_mass"):
        """Returns, as text, a line for each plan: odds, the outcome's mean, and its difference from the first."""
        unit = "" if OUTCOMES[outcome].unit == "1" else f" {OUTCOMES[outcome].unit}"
        width = max(len(name) for name in self.forecasts)
        lines = [f"{'':<{width}}  alive of 100    {outcome}{unit}"]
        for name, forecast in self.forecasts.items():
            line = f"{name:<{width}}  {_of_100(forecast.survival):<14}  {_plain(forecast.spread(outcome).mean)}"
            if name != self.base:
                found = self.differences[name][outcome]
                line += f", {found.mean:+.3g} ({found.low:+.3g} to {found.high:+.3g}) from {self.base}"
            lines.append(line)
        return "\n".join(lines)

    def plot(self, outcome="total_harvest_mass", axes=None):
        """Draws an outcome of each plan: the median, and where nine replicates of ten lie."""
        from ._plots import plot_comparison

        return plot_comparison(self, outcome, axes)

    def __repr__(self):
        return f"<Comparison of {', '.join(repr(name) for name in self.forecasts)}>"


def _of_100(share):
    return f"{100 * share.share:.0f} ({100 * share.low:.0f} to {100 * share.high:.0f})"


def _plain(value):
    return "none" if math.isnan(value) else f"{value:.3g}"
