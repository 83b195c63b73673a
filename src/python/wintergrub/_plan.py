# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Plans: read, made and changed."""

import collections.abc
import contextlib
import datetime
import threading
from typing import NamedTuple

import numpy

from ._library import UsageError, check, chars, ffi, files, lib, new_error, owned_text, path_chars, text
from ._tables import NUMBERS, PER

EPOCH = datetime.date(1970, 1, 1)


class Goal(NamedTuple):
    """A goal of the keeper in words, and the chance wanted of meeting it."""

    text: str
    wanted: float


class _PlanNumbers(collections.abc.MutableMapping):
    """The numbers of a plan's middle animal by name; setting one sets it in every plausible animal."""

    def __init__(self, plan):
        self._plan = plan

    def __getitem__(self, name):
        value = ffi.new("double *")
        if lib.wintergrub_plan_number(self._plan._handle, chars(name, "The name"), value) < 0:
            raise KeyError(name)
        return value[0]

    def __setitem__(self, name, value):
        error = new_error()
        with self._plan._changing():
            check(lib.wintergrub_plan_set_number(self._plan._handle, chars(name, "The name"), value, error), error)

    def __delitem__(self, name):
        raise TypeError("A number of the animal can be set, not deleted.")

    def __iter__(self):
        return iter(NUMBERS)

    def __len__(self):
        return len(NUMBERS)

    def __repr__(self):
        return repr(dict(self))


class _InUse:
    """Counts the runs of a plan, which must not change during one."""

    def __init__(self):
        self._lock, self._runs = threading.Lock(), 0

    def __enter__(self):
        with self._lock:
            self._runs += 1

    def __exit__(self, *_):
        with self._lock:
            self._runs -= 1

    @contextlib.contextmanager
    def changing(self):
        with self._lock:
            if self._runs:
                raise RuntimeError("The plan is being simulated: change it afterwards, or change a copy.")
            yield


@contextlib.contextmanager
def _in_range(name, value):
    """Raises the module's own error for a whole number that the library cannot take."""
    try:
        yield
    except OverflowError:
        raise UsageError(f"It cannot be {value}.", name, lib.WINTERGRUB_ERR_USAGE) from None


def _made(function, *arguments, listed=False):
    """Calls a function of the library that makes a plan. Returns its handle, or raises with all mistakes."""
    out, error, mistakes = ffi.new("wintergrub_plan **"), new_error(), ffi.new("wintergrub_mistakes **")
    code = function(out, *arguments, *([mistakes] if listed else []), error)
    try:
        check(code, error, mistakes[0])
    finally:
        lib.wintergrub_mistakes_free(mistakes[0])
    return ffi.gc(out[0], lib.wintergrub_plan_free)


class Plan:
    """A keeper's plan that can be simulated. A text with a mistake gives no plan but a PlanError with all mistakes."""

    def __init__(self, handle, replicates=None, seed=None):
        """For internal use: make a plan with from_file(), from_text(), laboratory(), outdoors() or from_result()."""
        self._handle, self._in_use = handle, _InUse()
        if replicates is not None:
            self.replicates = replicates
        if seed is not None:
            self.seed = seed

    @classmethod
    def from_file(cls, path, *, replicates=None, seed=None):
        """Reads a plan from a YAML file."""
        return cls(_made(lib.wintergrub_plan_read, path_chars(path), listed=True), replicates, seed)

    @classmethod
    def from_text(cls, yaml, record=None, *, replicates=None, seed=None):
        """Reads a plan from a text; `record` is the text of the weather file and replaces the file that the plan names."""
        record = ffi.NULL if record is None else chars(record, "The record")
        return cls(_made(lib.wintergrub_plan_from_text, chars(yaml, "The plan"), record, listed=True), replicates, seed)

    @classmethod
    def laboratory(cls, first_day, last_day, temperature_c, eggs, feed_kg_week=0.0, *, replicates=None, seed=None):
        """Makes a plan of one laboratory tray at constant temperature; feed_kg_week 0: unlimited feed."""
        days = chars(str(first_day), "The first day"), chars(str(last_day), "The last day")
        return cls(_made(lib.wintergrub_plan_laboratory, *days, temperature_c, eggs, feed_kg_week), replicates, seed)

    @classmethod
    def outdoors(
        cls, first_day, last_day, latitude, daily_high_c, daily_low_c, eggs, feed_kg_week=0.0, *, replicates=None, seed=None
    ):
        """Makes a plan of one bin outdoors, in weather generated from twelve mean daily highs and lows, January first."""
        days = chars(str(first_day), "The first day"), chars(str(last_day), "The last day")
        months = [[float(value) for value in row] for row in (daily_high_c, daily_low_c)]
        if [len(row) for row in months] != [12, 12]:
            raise ValueError("Twelve daily highs and twelve daily lows are needed, January first.")
        tables = [ffi.new("double[12]", row) for row in months]
        return cls(_made(lib.wintergrub_plan_outdoors, *days, latitude, *tables, eggs, feed_kg_week), replicates, seed)

    @classmethod
    def from_result(cls, path):
        """Restores the plan of a result file: its text and weather, seed, replicates and numbers of the animal."""
        out, error = ffi.new("wintergrub_result **"), new_error()
        with files:
            check(lib.wintergrub_result_open(out, path_chars(path), error), error)
            result = ffi.gc(out[0], lib.wintergrub_result_free)
            plan = ffi.new("wintergrub_plan **")
            check(lib.wintergrub_result_plan(result, plan, error), error)
            ffi.release(result)
        return cls(ffi.gc(plan[0], lib.wintergrub_plan_free))

    def copy(self):
        """Returns a copy that can be changed or run by itself."""
        return Plan(_made(lib.wintergrub_plan_copy, self._handle))

    def __copy__(self):
        return self.copy()

    def __deepcopy__(self, _):
        return self.copy()

    def __reduce__(self):
        raise TypeError("A plan cannot be pickled. Send its text to the other process: Plan.from_text(plan.text).")

    def vary(self, key, value):
        """Returns a plan with another value in its text: plan.vary("starter.1.count", 500), plan.vary("climate.constant",
        "65 degF")."""
        return Plan(_made(lib.wintergrub_plan_vary, self._handle, chars(key, "The key"), chars(str(value), "The value")))

    def _changing(self):
        return self._in_use.changing()

    @property
    def name(self):
        """Its title, or the name of its file."""
        return text(lib.wintergrub_plan_name(self._handle))

    @property
    def text(self):
        """Its YAML text, as it was read or made."""
        return text(lib.wintergrub_plan_text(self._handle))

    @property
    def days(self):
        """The length of its period in days."""
        return lib.wintergrub_plan_days(self._handle)

    @property
    def first_day(self):
        return EPOCH + datetime.timedelta(days=lib.wintergrub_plan_first_day(self._handle))

    @property
    def time(self):
        """The days of its period as numpy dates."""
        return numpy.datetime64(self.first_day, "D") + numpy.arange(self.days)

    @property
    def replicates(self):
        return lib.wintergrub_plan_replicates(self._handle)

    @replicates.setter
    def replicates(self, replicates):
        error = new_error()
        with self._changing(), _in_range("replicates", replicates):
            check(lib.wintergrub_plan_set_replicates(self._handle, replicates, error), error)

    @property
    def seed(self):
        return lib.wintergrub_plan_seed(self._handle)

    @seed.setter
    def seed(self, seed):
        with self._changing(), _in_range("seed", seed):
            lib.wintergrub_plan_set_seed(self._handle, seed)

    @property
    def numbers(self):
        """The numbers of the middle animal: plan.numbers["final_mass"] = 0.18."""
        return _PlanNumbers(self)

    @property
    def goals(self):
        """The goals of the keeper."""
        size = 256
        out = ffi.new("char[]", size)
        found = []
        for i in range(lib.wintergrub_plan_goals(self._handle)):
            wanted = lib.wintergrub_plan_goal(self._handle, i, out, size)
            found.append(Goal(text(out), wanted))
        return found

    @property
    def cautions(self):
        """What to beware of with this plan: safety, the law, doubtful assumptions; a list of texts."""
        found = []
        while lib.wintergrub_plan_caution(self._handle, len(found)):
            found.append(text(lib.wintergrub_plan_caution(self._handle, len(found))))
        return found

    def columns(self, per):
        """Returns the names of the columns of a series: per is "stage", "place", "bin" or "cause"; "" has one column."""
        number = PER[per]
        width = lib.wintergrub_plan_columns(self._handle, number)
        return [text(lib.wintergrub_plan_column(self._handle, number, i)) for i in range(width)]

    def check(self):
        """Raises PlanError if numbers that were set contradict each other."""
        error = new_error()
        check(lib.wintergrub_plan_check(self._handle, error), error)

    def describe(self):
        """Returns the plan as understood, about a screenful."""
        return owned_text(lib.wintergrub_plan_describe(self._handle))

    def run(self, **options):
        """Simulates the plan; see wintergrub.run()."""
        from ._forecast import run

        return run(self, **options)

    def __repr__(self):
        return f"<Plan {self.name!r}: {self.days} days from {self.first_day}, {self.replicates} replicates, seed {self.seed}>"
