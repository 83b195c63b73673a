#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Discretisation error at one step a day.

The program supports 1, 2, 4 or 24 steps a day. Dates and numbers are compared with closed forms for a gamma stage of rate r
and spread c under a hazard h (survival (1 + h c2/r)^(-1/c2), mean time of survivors 1/(r (1 + h c2/r))), and, where there is
none, with 24 steps a day: error and order of convergence.

One replicate of 10^12 eggs: sampling error is then below one in 10^5 of every number here. Dates are means over all
individuals, counted in the middle of their day. Bins with self-heating have the same 40 years at every step: sampling error
is 1 % of their numbers.
"""
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "support"))
import checking
import numpy as np
from checking import Panel, check, figure, laboratory, run

STEPS = [1, 2, 4, 24]
WITHIN_DAYS = 0.25  # judgement: a keeper's date is a day
WITHIN_SHARE = 0.02  # judgement: relative; the hazards themselves are not known within a tenth
WITHIN_DENSE = 0.05  # judgement: of the yield of a self-heated bin
WITHIN_K = 0.5  # judgement: accuracy of a keeper's thermometer
CLOCKS = ("egg", "larva", "prepupa", "pupa")


def rate(n, clock, temp_c):
    t0, tm, m = n[clock + "_t0"], n[clock + "_tm"], n[clock + "_rate_m"]
    return n[clock + "_rate_a"] * temp_c * (temp_c - t0) * (tm - temp_c) ** (1 / m)


def closed_form(n, temp_c):
    """Survival from egg to fly, and mean day of emergence."""
    share, days = 1.0, 0.0
    heat = n["heat_chronic"] * np.exp(n["heat_chronic_slope"] * (temp_c - n["heat_chronic_from"]))
    heat += n["heat_acute"] * np.exp(n["heat_acute_slope"] * (temp_c - n["heat_acute_from"]))
    for clock in CLOCKS:
        c2, r = n[clock + "_spread"] ** 2, rate(n, clock, temp_c)
        h = n[clock + "_hazard"] * max(r / rate(n, clock, 27), n["background_floor"]) + heat
        share *= (1 + h * c2 / r) ** (-1 / c2)
        days += 1 / r / (1 + h * c2 / r)
    return share, days


def mean_day(series):
    return float((series * (np.arange(len(series)) + 0.5)).sum() / series.sum())


def order(errors):
    """Order of convergence: from 1 to 2 and from 2 to 4 steps a day."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return ", ".join(f"{abs(np.log2(abs(errors[i]) / abs(errors[i + 1]))):.1f}" for i in range(2))


def judge(what, values, truth, relative, source, panels, why=""):
    """Bias of each step length; the coarsest decides. With a `why` it is measured and not judged."""
    errors = [v / truth - 1 if relative else v - truth for v in values]
    shown = ", ".join(f"{e:+.2%}" if relative else f"{e:+.3f} d" for e in errors)
    limit = WITHIN_SHARE if relative else WITHIN_DAYS
    check(
        f"Step length: {what}",
        f"{truth:.5g}; one step a day within {limit:.0%}" if relative else f"{truth:.2f} d; within {limit} d",
        f"with 1, 2, 4, 24 steps a day: {shown}; order {order(errors)}",
        source,
        None if why else abs(errors[0]) < limit,
        why,
    )
    panel = Panel(what, "step, days", "off by, share" if relative else "off by, days", log_x=True, log_y=True)
    panel.draw(1 / np.array(STEPS), np.abs(errors))
    panel.draw(1 / np.array(STEPS), np.abs(errors), line=True)
    panels.append(panel)


def to_flies(numbers, temp_c, panels):
    days, at = 160 if temp_c > 22 else 330, f"{temp_c:g} degC, {numbers}"
    runs = [
        run(laboratory(temp_c, days, "stage: egg, count: 1000000000000", numbers=numbers,
                       species="laying_share_lamps: 0, adult_hazard: 0 per day",
                       forecast=f"replicates: 1, steps_per_day: {steps}"))
        for steps in STEPS
    ]  # fmt: skip
    share, when = closed_form(runs[0].numbers, temp_c)
    flies = [result.adults_emerged[0, :, 0] for result in runs]
    judge(f"share of eggs that become flies, {at}", [f.sum() / 1e12 for f in flies], share, True, "closed form", panels)
    judge(f"mean day of emergence, {at}", [mean_day(f) for f in flies], when, False, "closed form", panels)


MATING = "in 24 steps the first four bright hours of a day fill up the chance to mate, in one step they come at once"


def to_grandchildren(numbers, temp_c, days, panels):
    at = f"{temp_c:g} degC, {numbers}"
    runs = [
        run(laboratory(temp_c, days, "stage: prepupa, count: 1000000000", numbers=numbers,
                       forecast=f"replicates: 1, steps_per_day: {steps}"))
        for steps in STEPS
    ]  # fmt: skip
    first = [result.eggs_laid[0, :45].astype(float) for result in runs]
    judge(f"mean day of the first generation's eggs, {at}", [mean_day(e) for e in first], mean_day(first[-1]), False,
          "24 steps a day", panels, MATING)  # fmt: skip
    judge(f"eggs of the first generation, {at}", [e.sum() for e in first], first[-1].sum(), True, "24 steps a day",
          panels, MATING)  # fmt: skip
    last = [float(result.count[0, -1, 1:].sum()) for result in runs]
    judge(f"larvae, pupae and flies on day {days}, {at}", last, last[-1], True, "24 steps a day", panels,
          MATING)  # fmt: skip


def hungry(panels):
    runs = [
        run(laboratory(28, 60, "stage: larva, age: 5 days, count: 20000", species="laying_share_lamps: 0",
                       feeding="[{in: tray, what: kitchen scraps, amount: 0.7 kg, every: 1 day}]",
                       forecast=f"replicates: 20, steps_per_day: {steps}"))
        for steps in STEPS
    ]  # fmt: skip
    out = [result.crawl_off_count.sum(axis=0).astype(float) for result in runs]
    judge("share of hungry larvae that crawl off", [o.sum() / 4e5 for o in out], out[-1].sum() / 4e5, True,
          "24 steps a day", panels)  # fmt: skip
    judge("mean day of their crawl-off", [mean_day(o) for o in out], mean_day(out[-1]), False, "24 steps a day",
          panels)  # fmt: skip
    mass = [1000 * result.crawl_off_mass.sum() / result.crawl_off_count.sum() for result in runs]
    judge("their mass in g", mass, mass[-1], True, "24 steps a day", panels)


GARDEN = """
period: {{from: 2026-07-01, to: 2026-07-25}}
climate:
  latitude: 41 N
  elevation: 60 m
  normals: {{unit: degF, daily_high: [37, 40, 49, 60, 70, 80, 85, 83, 75, 63, 52, 42],
             daily_low: [21, 23, 31, 41, 50, 60, 65, 64, 56, 44, 35, 27], spread: continental}}
places: [{{name: yard, housing: outdoors, bins: [{{name: tub, volume: 150 L, insulation: 25 mm}}]}}]
starter: [{{on: 2026-07-01, in: tub, stage: larva, age: 10 days, count: {count}}}]
feeding: [{{in: tub, what: kitchen scraps, amount: {feed}, every: 1 day}}]
keeping: [{{do: collect crawl-off, in: tub, share: 100 %}}]
forecast: {{replicates: 40, steps_per_day: {steps}}}
"""  # an invented site


def dense(count, panels, feed="20 kg"):
    """A bin that its own larvae warm, up to the end of their curve if there are many."""
    runs = [run(GARDEN.format(count=count, feed=feed, steps=steps)) for steps in STEPS]
    kg = [float(np.mean(result.total_crawl_off_mass)) for result in runs]
    larvae = [float(np.mean(result.bin_larvae[:, 2])) for result in runs]
    hottest = [float(np.mean(result.hottest_bin)) for result in runs]
    too_hot = [int((result.hottest_bin > 40).sum()) for result in runs]
    at = f"{count:,} larvae, 150 L in foam, {feed} a day"
    for what, values in ((f"crawl-off, {at}", kg), (f"larvae after three days, {at}", larvae)):
        errors = [value / values[-1] - 1 for value in values]
        check(f"Step length: {what}", f"{values[-1]:.4g}; within {WITHIN_DENSE:.0%}",
              f"with 1, 2, 4, 24 steps a day: {', '.join(f'{e:+.1%}' for e in errors)}", "24 steps a day",
              max(abs(e) for e in errors) < WITHIN_DENSE)  # fmt: skip
        panel = Panel(what, "step, days", "off by, share", log_x=True, log_y=True)
        panel.draw(1 / np.array(STEPS), np.abs(errors), line=True)
        panels.append(panel)
    check(f"Step length: hottest hour, {at}", f"{hottest[-1]:.1f} degC; within {WITHIN_K} K; none over 40 degC",
          f"with 1, 2, 4, 24 steps a day: {', '.join(f'{t:.1f}' for t in hottest)} degC; over 40 degC in "
          f"{', '.join(map(str, too_hot))} of 40 years", "24 steps a day",
          max(abs(t - hottest[-1]) for t in hottest) < WITHIN_K and not any(too_hot))  # fmt: skip


def main():
    panels = []
    for numbers in ("keepers", "laboratory"):
        for temp_c in (20, 27, 34):
            to_flies(numbers, temp_c, panels)
        to_grandchildren(numbers, 28, 95, panels)
    hungry(panels)
    for count in (20_000, 50_000, 100_000, 300_000):
        dense(count, panels)
    figure("convergence", "How far off, against the length of the step", panels)
    return checking.failures() > 0


if __name__ == "__main__":
    sys.exit(main())
