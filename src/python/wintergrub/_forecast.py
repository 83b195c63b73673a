# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Runs a plan, and what comes out: outcomes, series, odds."""

import contextlib
import math
import sys
from typing import NamedTuple

import numpy

from ._library import UsageError, check, chars, ffi, files, lib, new_error, path_chars, text
from ._tables import OUTCOMES, SERIES


class Spread(NamedTuple):
    """Over n replicates, in `happened` of which it happened: their mean, and quantiles over all n (inf: not by the end)."""

    n: int
    happened: int
    mean: float
    q05: float
    q25: float
    q50: float
    q75: float
    q95: float


class Share(NamedTuple):
    """`hits` of `n` replicates, as a share with its 95 % interval."""

    hits: int
    n: int
    share: float
    low: float
    high: float

    def __str__(self):
        if self.n == 0:
            return "no replicates"
        return f"{100 * self.share:.0f} of 100 ({100 * self.low:.0f} to {100 * self.high:.0f})"


class GoalChance(NamedTuple):
    """A goal in words, the chance wanted, and the share of replicates that met it."""

    text: str
    wanted: float
    met: Share


class _Watch:
    """Sees every replicate of a run: keeps the series wanted, reports progress, and stops the run when asked.

    A signal such as Ctrl-C is handled here, between two replicates, and its exception raised after the run.
    """

    def __init__(self, plan, series, progress, stop):
        self._replicates, self._days = plan.replicates, plan.days
        self._buffer = numpy.empty(self._days)
        self._progress, self._stop = progress, stop
        self.animal = numpy.empty(self._replicates, dtype=numpy.int64)
        self.winter = numpy.empty(self._replicates, dtype=numpy.int64)
        self.series = {name: self._array(plan, name) for name in series}
        self.exception = None

    def _array(self, plan, name):
        row = SERIES[name]
        shape = (self._replicates, self._days) + ((len(plan.columns(row.per)),) if row.per else ())
        return numpy.empty(shape, dtype=numpy.int64 if row.is_count else numpy.float64)

    def on_replicate(self, _, number, replicate):
        self.animal[number] = lib.wintergrub_replicate_animal(replicate)
        self.winter[number] = lib.wintergrub_replicate_winter(replicate)
        pointer = ffi.from_buffer("double[]", self._buffer)
        for name, array in self.series.items():
            rows = array[number].reshape(self._days, -1)
            for column in range(rows.shape[1]):
                lib.wintergrub_replicate_series(replicate, name.encode(), column, pointer, self._days)
                rows[:, column] = self._buffer
        wants_stop = self._progress is not None and self._progress(number + 1, self._replicates)
        return int(bool(wants_stop) or (self._stop is not None and self._stop.is_set()))

    def on_exception(self, _, exception, trace):
        self.exception = exception.with_traceback(trace)


def _show_progress(done, of):
    """Writes one line to the terminal."""
    if done == of or done % max(1, of // 100) == 0:
        sys.stderr.write(f"\rsimulating: {done:,} of {of:,}" + ("\n" if done == of else ""))
        sys.stderr.flush()


def _series_wanted(plan, series):
    names = [series] if isinstance(series, str) and series != "all" else series
    if series == "all":
        names = [name for name in SERIES if lib.wintergrub_plan_stores(plan._handle, name.encode())]
    for name in names:
        if name not in SERIES:
            raise UsageError(f'There is no series "{name}". wintergrub.SERIES lists them.', "series", lib.WINTERGRUB_ERR_USAGE)
    return list(names)


def _plan_to_run(plan, replicates, seed):
    """Returns the plan, or a copy with other replicates or another seed."""
    replicates = plan.replicates if replicates is None else replicates
    seed = plan.seed if seed is None else seed
    if (replicates, seed) == (plan.replicates, plan.seed):
        return plan
    plan = plan.copy()
    plan.replicates, plan.seed = replicates, seed
    return plan


def _simulate(ensemble, watch, uses_files):
    """Runs the ensemble. Returns true if it was stopped early."""
    error = new_error()
    # kept in a local name until the run has ended
    call = ffi.callback(
        "int(void *, int64_t, const wintergrub_replicate *)", watch.on_replicate, error=1, onerror=watch.on_exception
    )
    lib.wintergrub_ensemble_on_replicate(ensemble, call, ffi.NULL)
    try:
        with files if uses_files else contextlib.nullcontext():
            code = lib.wintergrub_ensemble_run(ensemble, error)  # other Python threads run meanwhile
    finally:
        lib.wintergrub_ensemble_on_replicate(ensemble, ffi.NULL, ffi.NULL)
    if watch.exception is not None:
        raise watch.exception
    return check(code, error) == lib.WINTERGRUB_STOPPED


def run(
    plan, *, replicates=None, seed=None, threads=0, series=("count",), progress=None, stop=None, path=None, replace=False,
    note=None,
):  # fmt: skip
    """Simulates all replicates of a plan and returns a Forecast.

    replicates, seed   instead of those of the plan
    threads            0: one per processor; the numbers are the same for any
    series             the names of daily series to keep, "all" or (): wintergrub.SERIES lists them
    progress           True: a line on the terminal; or a function progress(done, of), which stops the run if it returns true
    stop               a threading.Event: the run ends soon after another thread has set it
    path, replace      also writes a result file, the same as that of `wintergrub run`; note: stored as its command line

    Other Python threads run meanwhile. Ctrl-C ends the run with KeyboardInterrupt and writes no file. A run that progress or
    stop has ended gives a Forecast of the replicates so far, without a file; its `stopped` is true.
    """
    plan = _plan_to_run(plan, replicates, seed)
    error, out = new_error(), ffi.new("wintergrub_ensemble **")
    check(lib.wintergrub_ensemble_new(out, plan._handle, error), error)
    ensemble = ffi.gc(out[0], lib.wintergrub_ensemble_free)
    lib.wintergrub_ensemble_set_threads(ensemble, threads)
    if path is not None:
        note = ffi.NULL if note is None else chars(note, "The note")
        check(lib.wintergrub_ensemble_write(ensemble, path_chars(path), bool(replace), note, error), error)
    watch = _Watch(plan, _series_wanted(plan, series), _show_progress if progress is True else progress or None, stop)
    with plan._in_use:
        stopped = _simulate(ensemble, watch, path is not None)
    return Forecast(plan, ensemble, watch, stopped)


class Forecast:
    """What a run gave. All arrays have one row for each replicate, in order; NaN: did not happen.

    plan, stopped      the plan as simulated; whether the run was ended early
    outcomes           arrays by name: wintergrub.OUTCOMES has their units and meaning; dates are days from the first day
    series             arrays by name, replicate x day (x column: plan.columns()), of the series that run() was asked for
    animal, winter     which plausible animal lived (-1: the middle one), and through which winter
    """

    def __init__(self, plan, ensemble, watch, stopped):
        self.plan, self.stopped, self._ensemble = plan, stopped, ensemble
        self._summary = lib.wintergrub_ensemble_summary(ensemble)
        self.replicates = lib.wintergrub_summary_replicates(self._summary)
        self.outcomes = {name: self._values(name) for name in OUTCOMES if lib.wintergrub_plan_stores(plan._handle, name.encode())}
        self.series = {name: array[: self.replicates] for name, array in watch.series.items()}
        self.animal, self.winter = watch.animal[: self.replicates], watch.winter[: self.replicates]

    def _values(self, name):
        pointer = lib.wintergrub_summary_values(self._summary, name.encode())
        values = numpy.frombuffer(ffi.buffer(pointer, 8 * self.replicates), dtype=numpy.float64).copy()
        values.flags.writeable = False
        return values

    def spread(self, outcome):
        """Returns the mean and quantiles of an outcome."""
        out, error = ffi.new("struct wintergrub_spread *"), new_error()
        check(lib.wintergrub_summary_spread(self._summary, chars(outcome, "The outcome"), out, error), error)
        return Spread(*(getattr(out, name) for name in Spread._fields))

    def share(self, outcome, least=-math.inf, most=math.inf):
        """Returns the share of replicates in which an outcome is from least to most; one that did not happen never is."""
        out, error = ffi.new("struct wintergrub_share *"), new_error()
        check(lib.wintergrub_summary_share(self._summary, chars(outcome, "The outcome"), least, most, out, error), error)
        return Share(*(getattr(out, name) for name in Share._fields))

    @property
    def survival(self):
        """The odds that the colony lives at the end."""
        return self.share("survived", 1, 1)

    @property
    def goals(self):
        """The goals of the plan, with the odds of each."""
        out, error = ffi.new("struct wintergrub_share *"), new_error()
        found = []
        for i, goal in enumerate(self.plan.goals):
            check(lib.wintergrub_summary_goal(self._summary, i, out, error), error)
            found.append(GoalChance(goal.text, goal.wanted, Share(*(getattr(out, name) for name in Share._fields))))
        return found

    @property
    def warnings(self):
        """What went wrong in some replicates: a heater too weak, a bin too hot, too little feed; a list of texts."""
        size = 640
        out = ffi.new("char[]", size)
        found = []
        for i in range(lib.wintergrub_summary_warnings(self._summary)):
            lib.wintergrub_summary_warning(self._summary, i, out, size)
            found.append(text(out))
        return found

    def _shown(self, outcome, value):
        if math.isnan(value) or math.isinf(value):
            return "not by the end" if math.isinf(value) else "none"
        if OUTCOMES[outcome].is_date:
            return str(self.plan.time[0] + numpy.timedelta64(int(value), "D"))
        return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.3g}"

    def table(self, outcomes=("first_batch_50", "spring_emergence_50", "total_crawl_off_mass", "total_harvest_mass")):
        """Returns odds, outcomes (the median, and where nine replicates of ten lie), warnings and cautions as text."""
        lines = [self.plan.name, f"Alive at the end: {self.survival}, from {self.replicates:,} replicates"]
        for goal in self.goals:
            lines.append(f"Goal, {goal.text}: {goal.met}; wanted {100 * goal.wanted:.0f}")
        for name in outcomes:
            spread = self.spread(name)
            unit = "" if OUTCOMES[name].is_date or OUTCOMES[name].unit == "1" else f" {OUTCOMES[name].unit}"
            low, middle, high = (self._shown(name, value) for value in (spread.q05, spread.q50, spread.q95))
            lines.append(f"{name:<22} {middle}{unit} ({low} to {high}{unit})")
        lines += [f"Warning: {sentence}" for sentence in self.warnings]
        lines += [f"Note: {sentence}" for sentence in self.plan.cautions]
        return "\n".join(lines)

    def difference(self, base, outcome):
        """Returns this forecast's outcome minus that of `base`, as Difference: see wintergrub.compare()."""
        from ._comparison import difference

        return difference(base, self, outcome)

    def to_xarray(self):
        """Returns outcomes and series as an xarray.Dataset with the names, units and CF attributes of a result file."""
        from ._dataset import dataset

        return dataset(self)

    def plot(self, series="count", column=None, axes=None):
        """Draws a series over the days: the median, and the bands of half and of nine in ten of the replicates."""
        from ._plots import plot_series

        return plot_series(self, series, column, axes)

    def __repr__(self):
        return f"<Forecast of {self.plan.name!r}: alive in {self.survival}, {self.replicates:,} replicates>"
