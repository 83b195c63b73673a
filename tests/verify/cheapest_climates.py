#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What is the cheapest winter in the four climates of scenarios/, and does `run` confirm it?

The shed of scenarios/cheapest-winter.yaml stands in the climates of Crow Lane (41 N), Harrow Hill (32 N), the warm coast
(25 N) and Seattle (weather like its record's); the lamps may also burn all year. A keeper repeats each with the plans that
this part writes:

    wintergrub cheapest verify-out/cheapest_climates/crow-lane.yaml

Then `run` lives the plan found and the keeper's own in years of another seed. The 95 % intervals of the odds of being alive
overlap: where both are right, two of equal width miss each other with a chance of 0.6 % (2.8 standard errors of their
difference), so one of eight pairs does with 4 %.

    cheapest_climates.py [NUMBER ...]     1 Crow Lane, 2 Harrow Hill, 3 warm coast, 4 Seattle; all unless named
"""
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "support"))
import checking
from checking import check

SCENARIOS = checking.SOURCE / "scenarios"
PLACES = (
    ("crow-lane", "Crow Lane, 41 N", "crow-lane-shed.yaml", {}),
    ("harrow-hill", "Harrow Hill, 32 N", "harrow-hill-outdoors.yaml", {}),
    ("warm-coast", "Warm coast, 25 N", "warm-coast.yaml", {}),
    ("seattle", "Seattle, 47 N", "seattle-record.yaml",
     {"use: years ": "use: fitted ", "  coast: yes": "  coast: yes\n  normals: none"}),
)
PLAN = """\
based_on: cheapest-winter.yaml
title: {title}
{climate}# 10-01 to 09-30 is all year
choose:
  wake: {{now: 03-15, try: [10-01, 04-15, 05-15]}}
"""
OTHER_SEED, YEARS = 777, 512
HEAD = ("climate", "plans, time", "the cheapest winter", "money (8 of 10 years)", "does it", "left at the end", "own plan")
rows = []


def climate_of(scenario, changes):
    """The climate of a shipped scenario, as its lines."""
    lines = (SCENARIOS / scenario).read_text(encoding="utf-8").splitlines()
    first = lines.index("climate:")
    last = next(i for i in range(first + 1, len(lines)) if lines[i][:1].strip() and not lines[i].startswith("#"))
    text = "\n".join(line for line in lines[first:last] if line.strip()) + "\n"
    for old, new in changes.items():
        assert text.count(old) == 1, (scenario, old)
        text = text.replace(old, new)
    return text


def program(*words):
    """The answer of a command, with its status."""
    done = subprocess.run([checking.PROGRAM, *map(str, words)], capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1, 6):
        sys.exit(done.stderr)
    return json.loads(done.stdout), done.returncode


def percent(odds):
    return f"{100 * odds['share']:.0f} % ({100 * odds['low']:.0f} to {100 * odds['high']:.0f})"


def money(plan):
    return f"${plan['money']['mean']:.0f} ({plan['money']['q10']:.0f} to {plan['money']['q90']:.0f})"


def left(plan):
    middle, least = (int(float(f"{plan['left_at_end'][q]:.2g}")) for q in ("q50", "q10"))
    return f"{middle:,} (at least {least:,} in 9 of 10)"


def words(plan):
    return f"{plan['plan']}: {money(plan)} in 8 of 10 years, does it in {percent(plan['all_goals'])}, " \
           f"takes out {plan['harvest_kg']['mean']:.0f} kg, leaves {left(plan)}"


def overlap(a, b):
    return a[0] <= b[1] and b[0] <= a[1]


def confirm(name, path, plan):
    """Lives a plan with `run` in other years."""
    told, _ = program("run", path, "-q", "--json", "--replicates", YEARS, "--seed", OTHER_SEED, "-o", path.with_suffix(".h5"), "-f")
    path.with_suffix(".h5").unlink()
    alive, again = plan["alive"], told["survival"]
    holds = overlap((alive["low"], alive["high"]), (again["low"], again["high"]))
    check(f"{name}: alive, {plan['plan']}", percent(alive), percent(again), f"`run`, seed {OTHER_SEED}", holds)


def search(key, title, scenario, changes, folder):
    path, best = folder / f"{key}.yaml", folder / f"{key}-cheapest.yaml"
    path.write_text(PLAN.format(title=title, climate=climate_of(scenario, changes)), encoding="utf-8")
    best.unlink(missing_ok=True)
    began = time.time()
    answer, _ = program("cheapest", path, "-q", "--json", "--write", best)
    took = f"{answer['plans_tried']} plans, {time.time() - began:.0f} s"
    judged = answer["judged"]
    own = judged[answer["own"][0]]
    why = "" if own["meets"] else answer["why"] or ""
    best_plan = judged[(answer["winner"] or answer["nearest"])[0]]
    rows.append((title, took, ("" if answer["winner"] else "none does it; the nearest: ") + best_plan["plan"], money(best_plan),
                 percent(best_plan["all_goals"]), left(best_plan), f"{own['plan']}: {money(own)}, {percent(own['all_goals'])}"))
    if not answer["winner"]:
        check(f"{title}: the cheapest winter, {took}", "own plan: " + words(own), f"{answer['text']} Nearest: {words(best_plan)}", "", None, why)
        return
    check(f"{title}: the cheapest winter, {took}", "own plan: " + words(own), words(best_plan), "", None, why)
    confirm(title, best, best_plan)
    if best_plan is not own:
        confirm(title, path, own)


def main():
    folder = Path(os.environ.get("VERIFY_OUT", "."))
    (folder / "weather").mkdir(exist_ok=True)
    for name in ("cheapest-winter.yaml", "weather/seattle_daily.csv"):
        shutil.copy(SCENARIOS / name, folder / name)
    chosen = [int(word) - 1 for word in sys.argv[1:]] or range(len(PLACES))
    for i in chosen:
        search(*PLACES[i], folder)
    for row in (HEAD, ("---",) * len(HEAD), *rows):
        print("| " + " | ".join(row) + " |")
    return checking.failures() > 0


if __name__ == "__main__":
    sys.exit(main())
