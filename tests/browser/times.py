#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Prints how long the page's long calls take with one worker and with two: the engine of the page in Node. Quote its table
only from an idle machine.

  SRC=. python3 tests/browser/times.py [--workers 1,2,4] [--only WORD]
"""

import argparse
import os
import sys
import time

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "browser"))
from engines import module, plan

# What a keeper of a heated shed writes: enough for a fit to learn from.
LOG = "date,what,value\n2026-10-20,adults,yes\n2026-11-20,bin temperature,81 degF\n2027-02-10,adults,no\n2027-05-05,adults,yes\n"


def calls():
    main, shed = plan("harrow-hill-outdoors.yaml"), plan("crow-lane-shed.yaml")
    lane = [plan(f"crow-lane-{where}.yaml") for where in ("outdoors", "mat", "hoop-house", "shed")]
    size = plan("how-many-to-start.yaml")
    return [
        ("first 20 years outdoors", dict(do="run", plan=main, years=20)),
        ("500 years outdoors", dict(do="run", plan=main, years=500)),
        ("first 20 years, heated shed", dict(do="run", plan=shed, years=20)),
        ("500 years, heated shed", dict(do="run", plan=shed, years=500)),
        ("compare four setups, 128 years", dict(do="compare", plans=lane, years=128)),
        ("how many to start", dict(do="size", plan=size, vary=["starter.1.count"])),
        ("two numbers, 64 years each", dict(do="size", plan=size, vary=["starter.1.count", "starter.1.on"], at_most=1000)),
        ("cheapest winter", dict(do="cheapest", plan=plan("cheapest-winter.yaml"))),
        ("fit of a log, outdoors", dict(do="fit", plan=main, log=LOG)),
        ("fit of a log, heated shed", dict(do="fit", plan=shed, log=LOG)),
    ]


def seconds(engine, request):
    began = time.monotonic()
    answer = engine.call(**request)
    if not answer["ok"]:
        sys.exit(f"times.py: {request['do']}: {answer.get('error') or answer['mistakes'][0]['shown']}")
    return time.monotonic() - began


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--workers", default="1,2", help="numbers of workers (default: 1,2)")
    parser.add_argument("--only", default="", help="calls with this word in their line")
    options = parser.parse_args()
    numbers = [int(n) for n in options.workers.split(",")]
    print(f"{'seconds with workers':32}" + "".join(f"{n:>8}" for n in numbers))
    for line, request in calls():
        if options.only not in line:
            continue
        print(f"{line:32}", end="", flush=True)
        for n in numbers:
            with module(n) as engine:
                engine.call(do="check", plan=request.get("plan") or request["plans"][0])  # the workers have started
                print(f"{seconds(engine, request):8.2f}", end="", flush=True)
        print()


if __name__ == "__main__":
    main()
