# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Imports the Python module from the source tree, with the library of the build under test."""

import ctypes
import os
import sys

SRC, BUILD, PROGRAM = (os.path.abspath(os.environ[name]) for name in ("SRC", "BUILD", "WINTERGRUB"))
MODULE = os.path.join(SRC, "src", "python")
SHARED = os.path.join(BUILD, "libwintergrub.so.0")
# a library that the process has already is found by its name alone
ctypes.CDLL(SHARED)
sys.path.insert(0, MODULE)

import wintergrub  # noqa: E402, F401

BENCH = """
title: a bench
period: {from: 2026-01-01, to: 2026-03-31}
climate: {constant: 27 degC}
places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 500}]
feeding: unlimited
forecast: {replicates: 12, seed: 7}
goal: [{survive: yes, by: 2026-03-31}, {adults: 5000, by: 2026-03-31}]
"""
# two bins in two places outdoors, with harvest, prices and an animal of each kind of column
YARD = """
title: Zwei Höfe
period: {from: 2026-07-01, to: 2026-09-30}
climate:
  latitude: 32.4 degrees
  normals:
    unit: degC
    daily_high: [14.4, 16.7, 20.6, 25, 28.9, 32.8, 33.9, 33.3, 30.6, 25.6, 20, 15.6]
    daily_low: [2.2, 3.9, 7.8, 12.2, 16.7, 21.1, 22.2, 21.7, 18.3, 12.2, 7.2, 3.3]
places:
  - {name: Küche, housing: outdoors, bins: [{name: left}, {name: right}]}
  - {name: shed, housing: outdoors, bins: [{name: third}]}
starter: [{on: 2026-07-01, in: left, stage: larva, age: 4 days, count: 2000}]
feeding: [{in: left, what: kitchen scraps, amount: 4 kg/week}, {in: third, what: kitchen scraps, amount: 1 kg/week}]
forecast: {replicates: 20, seed: 11}
goal: {survive: yes, by: 2026-09-30}
"""
