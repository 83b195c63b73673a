#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The ensemble mean against the expectations of the model.

With unlimited feed, without dormancy and without the condition on males the model is linear: expectations obey the same
rules with probabilities in place of draws. They are propagated here day by day in floating point, implemented independently
from the rules (half a step of development and hazard at entry; no cohort code, no draws), with the gamma distribution
integrated numerically. Every stage on every day, eggs laid and deaths must then lie within the Monte Carlo error of the
ensemble mean: the largest of all z-scores must pass Bonferroni at 1 % for all of them together.
"""
import math
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "support"))
import checking
import numpy as np
from checking import Panel, check, figure, laboratory, run

FAMILY_WISE = 0.01
STAGES = ["egg", "larva", "prepupa", "pupa", "female", "male"]
COLUMN = {"egg": 0, "larva": 1, "prepupa": 2, "pupa": 4, "female": 5, "male": 6}  # in the result's count
CLOCK = {"female": "adult", "male": "adult"}


def rate(n, clock, temp_c):
    t0, tm, m = n[clock + "_t0"], n[clock + "_tm"], n[clock + "_rate_m"]
    return n[clock + "_rate_a"] * temp_c * (temp_c - t0) * (tm - temp_c) ** (1 / m)


def hazard(n, clock, temp_c):
    """Hazard above the cold limit, so without cold."""
    pace = rate(n, clock, temp_c) / rate(n, clock, 27)
    total = n[clock + "_hazard"] * max(pace, n["background_floor"])
    total += n["heat_acute"] * math.exp(n["heat_acute_slope"] * (temp_c - n["heat_acute_from"]))
    if clock != "adult":
        total += n["heat_chronic"] * math.exp(n["heat_chronic_slope"] * (temp_c - n["heat_chronic_from"]))
    return total


def gamma_survival(spread, at):
    """1 - F at the points, F the gamma distribution of mean 1: Simpson's rule over the density."""
    shape, fine = 1 / spread**2, np.linspace(0, 6, 240001)
    with np.errstate(divide="ignore"):
        log_density = (shape - 1) * np.log(fine * shape) - fine * shape + math.log(shape) - math.lgamma(shape)
    density = np.exp(log_density)
    pairs = (density[:-2:2] + 4 * density[1:-1:2] + density[2::2]) * (fine[1] - fine[0]) / 3
    left = np.append(np.cumsum(pairs[::-1])[::-1], 0)
    return np.interp(at, fine[::2], left)


class Stage:
    """Expected numbers by age in steps: entrants of k steps ago are at development (k + 1/2) dx, starters at k dx."""

    def __init__(self, n, clock, temp_c, dt, steps):
        self.dx, self.h = rate(n, clock, temp_c) * dt, hazard(n, clock, temp_c) * dt
        self.by_age, self.starters, self.age = np.zeros(steps + 1), 0.0, 0
        x = np.arange(steps + 2) * self.dx
        with np.errstate(divide="ignore", invalid="ignore"):
            s, half = gamma_survival(n[clock + "_spread"], x), gamma_survival(n[clock + "_spread"], x + self.dx / 2)
            self.leave, self.leave_starters = (np.nan_to_num(1 - v[1:] / v[:-1], nan=1.0) for v in (half, s))

    def step(self):
        """Deaths and exits of one step; advances all ages. Leavers are exposed to half of the step."""
        before = self.by_age.sum() + self.starters
        leaving, leaving_starters = self.leave[: len(self.by_age)], self.leave_starters[self.age]
        gone = (self.by_age @ leaving + self.starters * leaving_starters) * math.exp(-self.h / 2)
        self.by_age = np.append(0.0, (self.by_age * (1 - leaving))[:-1]) * math.exp(-self.h)
        self.starters, self.age = self.starters * (1 - leaving_starters) * math.exp(-self.h), self.age + 1
        return before - gone - self.total(), gone

    def enter(self, count):
        self.by_age[0] = count * math.exp(-self.h / 2)
        return count - self.by_age[0]

    def total(self):
        return self.by_age.sum() + self.starters


class Flies:
    """Females by age since emergence and, once mated, since mating; both times are uniform within their step."""

    def __init__(self, n, temp_c, dt, steps):
        self.n, self.virgin = n, Stage(n, "adult", temp_c, dt, steps)
        self.mated = np.zeros((steps + 1, steps + 1))  # [age][steps since mating]
        self.spent = np.zeros(steps + 1)
        wait = {key: n[key] * rate(n, "adult", 27) / self.virgin.dx for key in ("mating_after", "laying_after")}
        age = np.arange(steps + 1)
        self.able = np.clip(age + 1 - wait["mating_after"], 0, 1)  # development (age + 1/2) dx, uniform on +-1/2
        self.ripe = np.clip(age + 1 - wait["laying_after"], 0, 1)
        width = n["fly_warmth_width"]
        over = [temp_c - n[key] for key in ("mating_air", "laying_air")]
        warm = [np.clip(o / width + 0.5, 0, 1) if width else float(o >= 0) for o in over]
        self.chance = min(1.0, 24 * warm[0] / n["mating_hours_full"]) * (24 * warm[0] >= n["mating_hours_least"])
        self.lay_today = 24 * warm[1] >= n["laying_hours_least"]

    def step(self, emerged):
        """Ages all, lays, mates, adds newly emerged; returns layers and deaths by hazard and by age."""
        h, leave = self.virgin.h, self.virgin.leave
        all_by_age = self.virgin.by_age + self.mated.sum(axis=1) + self.spent
        done = leave[: len(self.spent)]
        kept = math.exp(-h) * (1 - done)
        old = (all_by_age @ done) * math.exp(-h / 2)
        moved = np.zeros_like(self.mated)
        moved[1:, 1:] = (self.mated * kept[:, None])[:-1, :-1]
        virgin = np.append(0.0, (self.virgin.by_age * kept)[:-1])
        self.spent = np.append(0.0, (self.spent * kept)[:-1])
        dead = all_by_age.sum() - old - virgin.sum() - moved.sum() - self.spent.sum()
        laying = moved * self.ripe[None, :] * self.lay_today
        laying[:, 0] = 0
        self.spent += laying.sum(axis=1)
        self.mated = moved - laying
        mates = virgin * self.able * self.chance
        self.mated[:, 0] += mates
        self.virgin.by_age = virgin - mates
        dead += self.virgin.enter(emerged)
        return laying.sum(), dead, old

    def total(self):
        return self.virgin.by_age.sum() + self.mated.sum() + self.spent.sum()


def clutch(n, temp_c):
    """Mean eggs of one clutch: every integer of the range, scaled by mass and warmth and rounded."""
    cooler, warmer = max(0, n["mass_reference"] - max(temp_c, n["mass_cool_limit"])), max(0, temp_c - n["mass_warm_from"])
    mass = 1 + n["mass_cool_gain"] * cooler - n["mass_warm_loss"] * warmer
    warmth = np.clip((-3.17 + 0.286 * temp_c - 0.005 * temp_c**2) / 0.92, 0, 1)
    eggs = np.arange(n["clutch_low"], n["clutch_high"] + 1)
    return np.floor(eggs * np.clip(mass, n["clutch_mass_low"], n["clutch_mass_high"]) * warmth + 0.5).mean()


def expect(n, temp_c, days, eggs):
    """Expected counts [day][stage], eggs laid [day], deaths by hazard and by age [day], at one step a day."""
    flow = [Stage(n, c, temp_c, 1.0, days) for c in ("egg", "larva", "prepupa", "pupa")]
    flies, male = Flies(n, temp_c, 1.0, days), Stage(n, "adult", temp_c, 1.0, days)
    flow[0].starters = eggs
    count, laid, dead, old = np.zeros((days, 6)), np.zeros(days), np.zeros(days), np.zeros(days)
    for day in range(days):
        moved = []
        for stage in flow:
            d, gone = stage.step()
            moved.append(gone)
            dead[day] += d
        d, old_males = male.step()
        dead[day] += d + male.enter(moved[3] * (1 - n["female_share"]))
        mothers, d, old[day] = flies.step(moved[3] * n["female_share"])
        old[day] += old_males
        dead[day] += d
        laid[day] = mothers * n["laying_share_lamps"] * clutch(n, temp_c)
        for stage, entering in zip(flow, [laid[day], *moved[:3]]):
            dead[day] += stage.enter(entering)
        count[day] = [stage.total() for stage in flow] + [flies.total(), male.total()]
    return count, laid, dead, old


def z_scores(sample, mean, founders):
    """
    z-scores of the ensemble mean where it is normal: eggs and offspring come in clutches, so where the first few clutches of
    all colonies join the founders, the sample variance does not include them yet. Founders alone are the same expectations
    without laying.
    """
    error = sample.std(axis=0, ddof=1) / math.sqrt(len(sample))
    young = mean - founders
    enough = (sample > 0).mean(axis=0) > 0.1
    enough &= (young * len(sample) > 50 * 300) | (young < 0.1 * error)
    return np.where(enough & (error > 0), (sample.mean(axis=0) - mean) / np.where(error > 0, error, 1), 0.0)


def expected_series(n, temp_c, days, eggs):
    count, laid, dead, old = expect(n, temp_c, days, eggs)
    counts = {name: count[:, i] for i, name in enumerate(STAGES)}
    return {**counts, "eggs laid": laid, "deaths": dead, "deaths of age": old}


def compare(temp_c, days, eggs, numbers, panels):
    result = run(laboratory(temp_c, days, f"stage: egg, count: {eggs}", numbers=numbers, species="males_needed: 0",
                            forecast="replicates: 2000, seed: 3"))  # fmt: skip
    expected = expected_series(result.numbers, temp_c, days, eggs)
    founders = expected_series({**result.numbers, "laying_share_lamps": 0}, temp_c, days, eggs)
    ensemble = {name: result.count[:, :, COLUMN[name]].astype(float) for name in STAGES}
    ensemble["eggs laid"] = result.eggs_laid.astype(float)
    ensemble["deaths"] = result.deaths[:, :, :5].sum(axis=2).astype(float)
    ensemble["deaths of age"] = result.deaths[:, :, 5].astype(float)
    z = {name: z_scores(ensemble[name], expected[name], founders[name]) for name in ensemble}
    tests = sum(int((v != 0).sum()) for v in z.values())
    worst = max(z, key=lambda name: np.abs(z[name]).max())
    largest = np.abs(z[worst]).max()
    bound = next(b for b in np.arange(3, 7, 0.01) if math.erfc(b / math.sqrt(2)) * tests < FAMILY_WISE)
    check(
        f"Ensemble mean is the expectation of the rules, {temp_c:g} degC, {numbers}, {days} days",
        f"largest of {tests} |z| below {bound:.2f}",
        f"{largest:.2f} ({worst} on day {int(np.abs(z[worst]).argmax()) + 1})",
        "expectation propagated through the same clocks; Bonferroni, 1 %",
        largest < bound,
    )
    panel = Panel(f"{temp_c:g} degC, {numbers}", "day", "mean: dots program, lines expected", log_y=True)
    for i, name in enumerate(STAGES):
        panel.draw(np.arange(days), np.where(expected[name] > 1e-3, expected[name], np.nan), i, line=True)
        panel.draw(np.arange(0, days, 4), ensemble[name].mean(axis=0)[::4], i, name=name)
    panels.append(panel)
    panel = Panel("z of all means", "day", "z")
    for i, name in enumerate(z):
        panel.draw(np.arange(days), z[name], i)
    panels.append(panel)


def main():
    panels = []
    for temp_c, days, eggs, numbers in ((25, 115, 200, "keepers"), (23.5, 125, 400, "keepers"), (30, 95, 200, "keepers"),
                                        (28, 100, 200, "laboratory"), (33.5, 100, 400, "laboratory")):  # fmt: skip
        compare(temp_c, days, eggs, numbers, panels)
    figure("mean-field", "The mean of 2000 colonies and what the rules let expect", panels)
    return checking.failures() > 0


if __name__ == "__main__":
    sys.exit(main())
