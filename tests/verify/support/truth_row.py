"""What the lines of truth_table.py are made of, and how they ask the program."""
import functools
import re
from dataclasses import dataclass

import numpy as np
from checking import laboratory, run, timetable

SETS = ("keepers", "laboratory")
NO_BIRTHS = "laying_share_lamps: 0, laying_share_sun: 0"
ALL = []


@dataclass
class Row:
    what: str
    published: str
    keepers: str
    laboratory: str
    source: str
    holds: bool  # the default set
    why: str = ""
    known: bool = False  # it is known that it does not hold
    short: str = ""  # what the README calls it; "" leaves it out there

    def __post_init__(self):
        self.keepers, self.laboratory = (re.sub(r"(?<=\d)%", " %", said) for said in (self.keepers, self.laboratory))


def row(function):
    ALL.append(function)
    return function


def within(value, low, high):
    return bool(low <= value <= high)


@functools.cache
def lab(temp_c, days, starter, numbers, feeding="unlimited", species=NO_BIRTHS, replicates=1, keeping="", steps=1):
    return run(laboratory(temp_c, days, starter, feeding=feeding, species=species, keeping=keeping, numbers=numbers,
                          forecast=f"replicates: {replicates}, seed: 1, steps_per_day: {steps}"))  # fmt: skip


def both(of):
    return [of(numbers) for numbers in SETS]


def texts(values, form):
    return [form.format(value) for value in values]


@functools.cache
def numbers_of(numbers):
    return lab(27, 2, "stage: egg, count: 1", numbers, species="").numbers


def stage_days(temp_c, clock, numbers):
    return timetable(temp_c, numbers)["days"][clock]


def mean_day(series):
    """Mean day, counted in the middle of the day."""
    series = np.asarray(series, float)
    return float((series * (np.arange(len(series)) + 0.5)).sum() / series.sum())


def total(values):
    return float(np.asarray(values, float).sum())


def larval(temp_c, numbers):
    """Mean days from hatch to crawl-off, and mean mass of the crawl-off in g, simulated."""
    see = lab(temp_c, 160, "stage: larva, age: 0 days, count: 20000", numbers)
    return mean_day(see.crawl_off_count[0]), 1000 * total(see.crawl_off_mass) / total(see.crawl_off_count)
