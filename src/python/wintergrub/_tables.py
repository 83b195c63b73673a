# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The numbers of the animal, the outcomes and the series, as the library lists them."""

from typing import NamedTuple

from ._library import ffi, lib, text


class Number(NamedTuple):
    """A number of the animal: what a plan may set (least, most), its plausible range (low, high), and its source."""

    name: str
    unit: str
    meaning: str
    source: str
    least: float
    most: float
    low: float
    high: float


class Outcome(NamedTuple):
    """One number of each replicate. is_date: a day of the period, counted from 0."""

    name: str
    unit: str
    meaning: str
    is_date: bool
    missing_is_later: bool


class Series(NamedTuple):
    """One number of each day; `per` names its columns: "" (one), "stage", "place", "bin" or "cause"."""

    name: str
    unit: str
    meaning: str
    per: str
    is_count: bool
    cell_methods: str
    standard_name: str


PER = {
    "": lib.WINTERGRUB_PER_DAY,
    "stage": lib.WINTERGRUB_PER_STAGE,
    "place": lib.WINTERGRUB_PER_PLACE,
    "bin": lib.WINTERGRUB_PER_BIN,
    "cause": lib.WINTERGRUB_PER_CAUSE,
}
_PER_NAME = {number: name for name, number in PER.items()}


def _rows(entry):
    """Yields the rows of a table of the library until it ends."""
    i = 0
    while entry(i):
        yield i, entry(i)
        i += 1


def _numbers():
    row = ffi.new("struct wintergrub_number *")
    for i, _ in _rows(lambda i: lib.wintergrub_number(i, row) == 0):
        lib.wintergrub_number(i, row)
        yield Number(text(row.name), text(row.unit), text(row.meaning), text(row.source), row.least, row.most, row.low, row.high)


NUMBERS = {number.name: number for number in _numbers()}
OUTCOMES = {
    text(row.name): Outcome(
        text(row.name), text(row.unit), text(row.meaning), bool(lib.wintergrub_outcome_is_date(i)), bool(row.missing_is_later)
    )
    for i, row in _rows(lib.wintergrub_outcome)
}
SERIES = {
    text(row.name): Series(
        text(row.name), text(row.unit), text(row.meaning), _PER_NAME[row.per], bool(row.is_count),
        text(lib.wintergrub_series_cell_methods(i)), text(lib.wintergrub_series_standard_name(i)),
    )
    for i, row in _rows(lib.wintergrub_series)
}  # fmt: skip
COMPARED = tuple(text(row) for _, row in _rows(lib.wintergrub_compared))
