# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Forecasts for black soldier fly colonies: libwintergrub in Python.

    import wintergrub

    plan = wintergrub.Plan.from_file("plan.yaml")
    forecast = plan.run(replicates=64)
    print(forecast.table())
    forecast.plot()

Arrays are numpy's; to_xarray() and open_result() need xarray, plot() needs matplotlib. The numbers are those of the
program `wintergrub` for the same plan, seed and replicate, bit for bit. Different threads may use different plans, or run
the same plan, at once.
"""

from ._comparison import Comparison, Difference, compare
from ._dataset import open_result, same_results
from ._forecast import Forecast, GoalChance, Share, Spread, run
from ._library import (
    Error,
    ExistsError,
    FileError,
    FormatError,
    Mistake,
    OvergrownError,
    PlanError,
    UsageError,
    lib,
    text,
)
from ._plan import Goal, Plan
from ._tables import COMPARED, NUMBERS, OUTCOMES, SERIES, Number, Outcome, Series

__version__ = text(lib.wintergrub_version())
for _name in ("Error", "ExistsError", "FileError", "FormatError", "OvergrownError", "PlanError", "UsageError"):
    globals()[_name].__module__ = __name__  # as a traceback and `except` should name it
__all__ = [
    "COMPARED", "NUMBERS", "OUTCOMES", "SERIES", "Comparison", "Difference", "Error", "ExistsError", "FileError", "Forecast",
    "FormatError", "Goal", "GoalChance", "Mistake", "Number", "Outcome", "OvergrownError", "Plan", "PlanError", "Series",
    "Share", "Spread", "UsageError", "compare", "open_result", "run", "same_results",
]  # fmt: skip
