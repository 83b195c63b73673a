#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The cohort model as a scientist would write it in numpy: vectorised over replicates.

    cohorts_numpy.py JOB

JOB is a file written by tests/reference/numpy_engine.c: numbers by name, a growth curve, the keeper's plan and the hours
of every replicate. A pool is a set of arrays (cohort, replicate); one numpy call draws for all of them. Generations are
pooled and deaths are not split by cause, which saves this program work. Prints the CPU seconds of the simulation (without
reading and start-up) and then one line of outcomes for each replicate.
"""

import sys
import time

import numpy as np


class Job:
    """The job file: number[name], curve, and hours[replicate or 0, day, kind, hour]."""

    def __init__(self, path):
        with open(path, "rb") as file:
            self.number = {}
            while (line := file.readline().decode().split()) != ["end"]:
                self.number[line[0]] = float(line[1])
            n = self.number
            self.mean_share = np.fromfile(file, count=int(n["curve_points"]))
            self.feed = np.fromfile(file, count=3 * int(n["bins"] * n["days"])).reshape(int(n["bins"]), -1, 3)
            self.day_length = np.fromfile(file, count=int(n["days"]))
            self.pull = np.fromfile(file, count=int(n["days"])) > 0
            hours = np.fromfile(file).reshape(int(n["recordings"]), int(n["lead"] + n["days"]), 4, 24)
        self.bin, self.ground, self.air, self.light = (hours[:, :, kind] for kind in range(4))


class Clock:
    """ln S(x) of a stage, tabled: the density summed from the far end, interpolated linearly."""

    def __init__(self, log_density, top):
        self.x = np.linspace(0, top, 40001)
        with np.errstate(divide="ignore"):
            density = np.exp(log_density(np.maximum(self.x, 1e-12)))
        density[0] = 0
        step = self.x[1]
        left = np.append(np.cumsum(((density[1:] + density[:-1]) / 2 * step)[::-1])[::-1], 0)
        self.log_s = np.log(np.maximum(left / left[0], 1e-280))

    def log_survival(self, x):
        return np.interp(x, self.x, self.log_s)


def gamma_clock(spread):
    k = 1 / spread**2
    return Clock(lambda x: (k - 1) * np.log(x) - k * (x - 1), min(6, 1 + 16 * spread))


def lognormal_clock(sigma):
    return Clock(lambda x: -np.log(x) - 0.5 * (np.log(x) / sigma) ** 2, 6)


class Pool:
    """Cohorts first..end-1 of all replicates, oldest first: counts, development, mean mass and two more."""

    NAMES = ("n", "x", "log_s", "mass", "mark")

    def __init__(self, replicates, room=256):
        self.first = self.end = 0
        self.array = {name: np.zeros((room, replicates), np.int64 if name == "n" else float) for name in self.NAMES}
        self.born = np.zeros(room, np.int64)

    def __getattr__(self, name):
        return self.array[name][self.first : self.end]

    def borns(self):
        return self.born[self.first : self.end]

    def add(self, n, x=0.0, log_s=0.0, mass=0.0, mark=0.0, born=0):
        """n: (replicate) or (cohort, replicate)"""
        n = np.atleast_2d(n)
        more = len(n)
        room = len(self.born)
        if self.end + more > room:
            self.make_room(more)
        for name, value in zip(self.NAMES, (n, x, log_s, mass, mark)):
            self.array[name][self.end : self.end + more] = value
        self.born[self.end : self.end + more] = born
        self.end += more

    def make_room(self, more):
        kept = self.first + np.flatnonzero(self.n.any(axis=1))
        room = max(len(self.born), 2 * (len(kept) + more))
        for name in self.NAMES:
            wider = np.zeros((room, self.array[name].shape[1]), self.array[name].dtype)
            wider[: len(kept)] = self.array[name][kept]
            self.array[name] = wider
        self.born = np.append(self.born[kept], np.zeros(room - len(kept), np.int64))
        self.first, self.end = 0, len(kept)

    def forget(self):
        """Drops cohorts that are empty in all replicates, once they are half of all."""
        if self.end - self.first < 16:
            return
        alive = self.n.any(axis=1)
        if 2 * alive.sum() < self.end - self.first:
            self.make_room(0)


class Bin:
    """Feed of a bin, all replicates; its animals are in the pools named here. All bins have the recorded temperature."""

    def __init__(self, number, i):
        self.egg, self.larva = f"egg {i}", f"larva {i}"
        self.collect, self.give_back = number[f"collect_{i}"], number[f"give_back_{i}"]
        self.usable = self.quality = self.conversion = np.zeros(int(number["replicates"]))
        self.eaten_today = self.eaten_yesterday = self.usable

    def smell(self, hour):
        """Attraction: feed plus that eaten in the last 24 hours."""
        return self.usable + self.eaten_today + (1 - hour / 24) * self.eaten_yesterday


class Colony:
    def __init__(self, job, seed):
        self.job, self.number = job, job.number
        self.replicates = int(self.number["replicates"])
        self.steps = int(self.number["steps_per_day"])
        self.dt = 1 / self.steps
        self.rng = np.random.default_rng(seed)
        self.zero = np.zeros(self.replicates)
        stages = ("egg", "larva", "prepupa", "pupa", "adult")
        self.clock = {stage: gamma_clock(self.number[stage + "_spread"]) for stage in stages}
        self.clock["dormant"] = lognormal_clock(self.number["dormancy_heat_sigma"])
        self.bins = [Bin(self.number, i) for i in range(int(self.number["bins"]))]
        names = [name for bin in self.bins for name in (bin.egg, bin.larva)]
        names += ("trap", "prepupa", "asleep", "waking", "pupa", "virgin", "mated", "spent", "male")
        self.pool = {name: Pool(self.replicates) for name in names}
        totals = ("eggs", "trapped", "emerged", "crawled", "crawled_kg", "eaten_kg")
        self.out = {name: np.zeros(self.replicates) for name in totals}
        self.asleep_days = {}
        self.step_number = 0

    # ---- conditions: (replicate, hour) in, (replicate) out

    def rate(self, stage, c):
        n = self.number
        t0, tm, m = n[stage + "_t0"], n[stage + "_tm"], n[stage + "_rate_m"]
        inside = (c > t0) & (c < tm)
        return np.where(inside, n[stage + "_rate_a"] * c * (c - t0) * np.maximum(tm - c, 0) ** (1 / m), 0)

    def cold(self, line, c):
        n = self.number
        s, limit = n[line + "_cold_slope"], n["cold_limit"]
        hazard = n[line + "_cold"] * (np.exp(-s * (c - 4)) - np.exp(-s * (limit - 4)))
        return np.where(c < limit, np.maximum(hazard, 0), 0).sum(axis=1) / 24

    def background(self, stage, rate):
        n = self.number
        pace = rate / self.rate(stage, np.array([[27.0]]))
        return n[stage + "_hazard"] * np.maximum(pace, n["background_floor"]).sum(axis=1) / 24

    def conditions(self, stage, c, mean24):
        """mean24: for each hour the mean of the 24 hours that end with it"""
        n = self.number
        rate = self.rate(stage, c)
        dx = rate.sum(axis=1) / 24
        hazard = self.background(stage, rate)
        hazard = hazard + (n["heat_acute"] * np.exp(n["heat_acute_slope"] * (c - n["heat_acute_from"]))).sum(axis=1) / 24
        frozen = (c < n[stage + "_freeze"]) & (c < n["cold_limit"])
        hazard = hazard + n["freeze_hazard"] * frozen.sum(axis=1) / 24
        if stage != "adult":
            chronic = np.exp(n["heat_chronic_slope"] * (mean24 - n["heat_chronic_from"]))
            hazard = hazard + n["heat_chronic"] * chronic.sum(axis=1) / 24
        if stage != "larva":
            hazard = hazard + self.cold(stage, c)
        return dx, hazard

    # ---- life

    def live(self, name, clock, dx, hazard, log_s=None):
        """Draws exits, of which half a step's deaths are subtracted, and deaths of the rest. Returns the exits by cohort.

        log_s: ln S at the end of the step, if already known.
        """
        pool = self.pool[name]
        n = pool.n
        hazard = np.broadcast_to(hazard, n.shape)
        x = pool.x + dx
        log_s = self.clock[clock].log_survival(x) if log_s is None else log_s
        done = self.rng.binomial(n, -np.expm1(np.minimum(log_s - pool.log_s, 0)))
        n -= done
        n -= self.rng.binomial(n, -np.expm1(-hazard))
        done -= self.rng.binomial(done, -np.expm1(-hazard / 2))
        pool.x[:] = x
        pool.log_s[:] = log_s
        return done

    def enter(self, name, clock, n, mass, dx, hazard, x=0.0):
        n = n - self.rng.binomial(n, -np.expm1(-hazard / 2))
        if not n.any():
            return
        x = x + dx / 2
        self.pool[name].add(n, x, self.clock[clock].log_survival(x), mass, 0, self.step_number)

    @staticmethod
    def mean_mass(n, mass):
        total = n.sum(axis=0)
        return np.where(total > 0, (n * mass).sum(axis=0) / np.maximum(total, 1), 0)

    def share(self, curve, x):
        return np.interp(x * self.number["curve_per_unit"], np.arange(len(curve)), curve)

    def reached(self, larva, log_s, share):
        """Mean well-fed mass at a later ln S, leavers being full-grown, as a share of the final mass."""
        stay = np.exp(np.minimum(log_s - larva.log_s, 0))
        return stay * share + 1 - stay

    def larval_hazard(self, bin, hazard, young, old, hunger):
        n, larva = self.number, self.pool[bin.larva]
        own = np.broadcast_to(hazard, larva.n.shape)
        if young.any() or old.any():
            both = (young > 0) & (old > 0)
            along = np.clip((larva.x - n["young_larva_until"]) / (n["old_larva_from"] - n["young_larva_until"]), 0, 1)
            ratio = np.where(both, old / np.where(both, young, 1), 1)
            cold = np.where(both, young * ratio**along, 0)
            cold = np.where(larva.x <= n["young_larva_until"], young, cold)
            own = own + np.where(larva.x >= n["old_larva_from"], old, cold)
        if hunger.any():
            own = own + hunger * (n["final_mass"] / np.maximum(larva.mass, n["hatch_mass"])) ** 0.25
        return own

    # ---- the bin

    def final_mass(self, c, quality):
        n = self.number
        cool = np.maximum(n["mass_reference"] - np.maximum(c, n["mass_cool_limit"]), 0)
        warm = np.maximum(c - n["mass_warm_from"], 0)
        factor = 1 + n["mass_cool_gain"] * cool - n["mass_warm_loss"] * warm
        return n["final_mass"] * np.maximum(factor, 0) * np.clip(quality, 0, 1)

    def eat(self, bin, c, dx, share_of_day):
        n, larva = self.number, self.pool[bin.larva]
        there = bin.usable > 0
        quality = np.where(there, bin.quality / np.where(there, bin.usable, 1), 1)
        convert = np.where(there, bin.conversion / np.where(there, bin.usable, 1), 1)
        if n["feed_unlimited"]:
            quality, convert = n["unlimited_quality"], 1
        final = self.final_mass(c, quality)
        log_s = self.clock["larva"].log_survival(larva.x + dx)
        share = self.share(self.job.mean_share, larva.x + dx)
        gain = self.reached(larva, log_s, share) - self.share(self.job.mean_share, larva.x)
        demand = 1e-3 * (larva.n * gain).sum(axis=0) * final * n["larva_dry"] / n["conversion"] / convert
        if n["feed_unlimited"]:
            bin.usable = bin.usable + demand
        eaten = demand if n["feed_unlimited"] else np.minimum(demand, bin.usable * share_of_day)
        ration = np.where(demand > 0, eaten / np.where(demand > 0, demand, 1), 1)
        microbes = n["microbe_loss"] * n["microbe_q10"] ** ((c - n["microbe_reference"]) / 10) * self.dt
        left = np.where(there, np.maximum(bin.usable - eaten, 0) / np.where(there, bin.usable, 1), 0) * np.exp(-microbes)
        bin.usable, bin.quality, bin.conversion = bin.usable * left, bin.quality * left, bin.conversion * left
        bin.eaten_today = bin.eaten_today + eaten
        self.out["eaten_kg"] += eaten
        pace = n["ration_floor"] + (1 - n["ration_floor"]) * ration
        hunger = n["starvation"] * (1 - ration) ** 2 * dx / self.rate("larva", np.array([[27.0]]))[0, 0]
        return ration, pace, gain, final, hunger

    def share_out(self, count):
        """Distributes by the attraction of bins; evenly without any and with unlimited feed. count: (..., replicate)."""
        smell = np.array([bin.smell(self.hour) for bin in self.bins])
        alike = (smell.sum(axis=0) <= 0) | (self.number["feed_unlimited"] > 0)
        smell = np.where(alike, 1, smell)
        out = []
        for i in range(len(self.bins) - 1):
            out.append(self.rng.binomial(count, np.clip(smell[i] / smell[i:].sum(axis=0).clip(1e-300), 0, 1)))
            count = count - out[-1]
        return out + [count]

    def pull_traps(self):
        """The eggs go into a bin, keeping their age, or away."""
        trap, into = self.pool["trap"], int(self.number["pulled_into_bin"])
        if into >= 0 and trap.end > trap.first:
            self.pool[self.bins[into].egg].add(trap.n, trap.x, trap.log_s, 0, 0, trap.borns())
        trap.n[:] = 0
        trap.first = trap.end = 0

    def step_bin(self, bin, c, young, old, dx, hazard, egg_dx, egg_hazard, share_of_day):
        """Returns the hatchlings, the crawl-off not caught, its mean mass, and a function that adds hatchlings and eggs."""
        n, larva = self.number, self.pool[bin.larva]
        ration, pace, gain, final, hunger = self.eat(bin, c.mean(axis=1), dx, share_of_day)
        hatched = self.live(bin.egg, "egg", egg_dx, egg_hazard).sum(axis=0)
        dx = dx * pace
        own = self.larval_hazard(bin, hazard, young, old, hunger)
        log_s = self.clock["larva"].log_survival(larva.x + dx)
        share = self.share(self.job.mean_share, larva.x + dx)
        full = (larva.mass + ration * gain * final) / self.reached(larva, log_s, share)
        leaving = np.where(full >= n["pupation_mass"], self.live(bin.larva, "larva", dx, own, log_s), 0)
        larva.mass[:] = full * share
        crawled, mass = leaving.sum(axis=0), self.mean_mass(leaving, full)
        self.out["crawled"] += crawled
        self.out["crawled_kg"] += crawled * mass / 1000
        caught = self.rng.binomial(crawled, bin.collect)
        back = self.rng.binomial(caught, bin.give_back)
        hatchling = n["final_mass"] * self.job.mean_share[0]
        larva_hazard = hazard + young + hunger * (n["final_mass"] / max(hatchling, n["hatch_mass"])) ** 0.25

        def enter(hatchlings, laid):
            self.enter(bin.larva, "larva", hatchlings, hatchling, dx, larva_hazard)
            self.enter(bin.egg, "egg", laid, 0, egg_dx, egg_hazard)

        return hatched, crawled - caught + back, mass, enter

    def step_bins(self, c, mean24, air, air24, share_of_day):
        n = self.number
        egg_dx, egg_hazard = self.conditions("egg", c, mean24)
        dx, hazard = self.conditions("larva", c, mean24)
        young, old = self.cold("young_larva", c), self.cold("old_larva", c)
        bins = [self.step_bin(bin, c, young, old, dx, hazard, egg_dx, egg_hazard, share_of_day) for bin in self.bins]
        hatched, crawled, masses, enters = zip(*bins)
        if n["trap_share"] > 0:
            trap_dx, trap_hazard = self.conditions("egg", air, air24)  # traps have air temperature
            in_traps = self.live("trap", "egg", trap_dx, trap_hazard).sum(axis=0)
            found = self.share_out(self.rng.binomial(in_traps, n["trap_hatch_reach"]))
            hatched = [some + more for some, more in zip(hatched, found)]

        def enter(trapped, laid):
            for i, let_in in enumerate(enters):
                let_in(hatched[i], laid[i])
            if n["trap_share"] > 0:
                self.out["trapped"] += trapped
                self.enter("trap", "egg", trapped, 0, trap_dx, trap_hazard)

        total = sum(crawled)
        return total, sum(some * mass for some, mass in zip(crawled, masses)) / np.maximum(total, 1), enter

    # ---- the ground

    def wake(self, cold_day):
        n, asleep = self.number, self.pool["asleep"]
        asleep.mark[:] += cold_day * self.dt
        days = (self.step_number - asleep.borns()) * self.dt
        opens = (asleep.mark >= n["dormancy_cold_days"]) | (days[:, None] >= n["dormancy_days"] - 1e-9)
        woken = np.where(opens, asleep.n, 0)
        if woken.any():
            self.pool["waking"].add(woken.sum(axis=0), 0, 0, self.mean_mass(woken, asleep.mass))
            asleep.n[:] -= woken

    def step_ground(self, c, mean24, week, day_length):
        n = self.number
        dx, hazard = self.conditions("prepupa", c, mean24)
        pupa_dx, pupa_hazard = self.conditions("pupa", c, mean24)
        heat = np.maximum(c - n["dormancy_heat_base"], 0).sum(axis=1) / 24 / n["dormancy_heat_median"]
        if n["dark"]:
            dx = dx / n["dark_prepupa_factor"]
        waking, prepupa, pupa = self.pool["waking"], self.pool["prepupa"], self.pool["pupa"]
        dormant_hazard = hazard - self.background("prepupa", self.rate("prepupa", c)) + n["dormant_hazard"] * self.dt
        done = self.live("waking", "dormant", heat, dormant_hazard)
        resumed, resumed_mass = done.sum(axis=0), self.mean_mass(done, waking.mass)
        self.live("asleep", "dormant", 0 * heat, dormant_hazard)
        self.wake(mean24[:, -1] < n["dormancy_cold"])
        done = self.live("prepupa", "prepupa", dx, hazard)
        pupated, pupated_mass = done.sum(axis=0), self.mean_mass(done, prepupa.mass)
        done = self.live("pupa", "pupa", pupa_dx, pupa_hazard)
        emerged, emerged_mass = done.sum(axis=0), self.mean_mass(done, pupa.mass)

        def falling(value, middle, scale):
            return 1 / (1 + np.exp((value - middle) / scale))

        short, share = falling(day_length, n["dormancy_day"], n["dormancy_day_scale"]), n["dormancy_by_day_length"]
        chance = share * short * falling(week, n["dormancy_temperature"], n["dormancy_temperature_scale"])
        chance = chance + (1 - share) * falling(week, n["dormancy_by_cold_temperature"], n["dormancy_temperature_scale"])

        def enter(crawled, crawled_mass):
            asleep = self.rng.binomial(crawled, chance)
            self.enter("asleep", "dormant", asleep, crawled_mass, 0 * dx, dormant_hazard)
            self.enter("prepupa", "prepupa", crawled - asleep, crawled_mass, dx, hazard)
            self.enter("prepupa", "prepupa", resumed, resumed_mass, dx, hazard, n["dormancy_resume"])
            self.enter("pupa", "pupa", pupated, pupated_mass, pupa_dx, pupa_hazard)

        return emerged, emerged_mass, enter

    # ---- flies

    @staticmethod
    def share_past(x, dx, threshold):
        some = dx > 0
        return np.where(some, np.clip((x + dx / 2 - threshold) / np.where(some, dx, 1), 0, 1), x >= threshold)

    def clutches(self, mothers, factor):
        """Few mothers lay one by one; for many the sum is normal with the clutch's mean and variance."""
        n = self.number
        low, high = int(n["clutch_low"]), int(n["clutch_high"])
        few = np.where(mothers <= 64, mothers, 0).ravel()
        which = np.repeat(np.arange(few.size), few)
        eggs = np.floor(self.rng.integers(low, high + 1, which.size) * factor.ravel()[which] + 0.5)
        total = np.bincount(which, eggs, few.size).reshape(mothers.shape)
        many = mothers > 64
        if many.any():
            m, f = mothers[many], factor[many]
            variance = f**2 * ((high - low + 1) ** 2 - 1) / 12 + 1 / 12
            drawn = m * f * (low + high) / 2 + np.sqrt(m * variance) * self.rng.standard_normal(len(m))
            total[many] = np.rint(np.clip(drawn, m * f * low, m * f * high))
        return total.astype(np.int64)

    def lay(self, dx, warm_enough, air):
        n, mated, spent = self.number, self.pool["mated"], self.pool["spent"]
        nothing = np.zeros(self.replicates, np.int64), [np.zeros(self.replicates, np.int64)] * len(self.bins)
        if mated.first == mated.end or not warm_enough.any():
            return nothing
        due = self.rng.binomial(mated.n, warm_enough * self.share_past(mated.x - mated.mark, dx, n["laying_wait"]))
        if not due.any():
            return nothing
        mothers = self.rng.binomial(due, n["laying_share"])
        warmth = np.clip((-3.17 + 0.286 * air - 0.005 * air**2) / 0.92, 0, 1)
        size = np.clip(mated.mass / n["final_mass"], n["clutch_mass_low"], n["clutch_mass_high"])
        size = np.minimum(size, n["clutch_most"] * mated.mass / (n["clutch_high"] * n["egg_mass"]))
        at_traps = self.rng.binomial(mothers, n["trap_share"])
        trapped = self.clutches(at_traps, warmth * size).sum(axis=0)
        laid = [self.clutches(some, warmth * size).sum(axis=0) for some in self.share_out(mothers - at_traps)]
        # flies that emerged in one step are one cohort of old flies
        born = mated.borns()
        order = np.argsort(born, kind="stable")
        starts = np.flatnonzero(np.diff(born[order], prepend=-1))
        old = np.add.reduceat(due[order], starts)
        some = old.any(axis=1)
        first = order[starts][some]
        spent.add(old[some], mated.x[first], mated.log_s[first], 0, 0, born[first])
        mated.n[:] -= due
        self.out["eggs"] += trapped + sum(laid)
        return trapped, laid

    def mate(self, dx, chance):
        n, virgin = self.number, self.pool["virgin"]
        chance = np.where(self.pool["male"].n.sum(axis=0) >= n["males_needed"], chance, 0)
        if virgin.first == virgin.end or not chance.any():
            return
        mated = self.rng.binomial(virgin.n, chance * self.share_past(virgin.x, dx, n["mating_wait"]))
        some = np.flatnonzero(mated.any(axis=1))
        if not len(some):
            return
        self.pool["mated"].add(
            mated[some], virgin.x[some], virgin.log_s[some], virgin.mass[some], virgin.x[some] - dx / 2, virgin.borns()[some]
        )
        virgin.n[:] -= mated

    def warm_share(self, threshold, c):
        width = self.number["fly_warmth_width"]
        return np.clip((c - threshold) / width + 0.5, 0, 1) if width > 0 else (c >= threshold) * 1.0

    def step_flies(self, c, light, mean24, air_days, emerged, mass):
        n = self.number
        dx, hazard = self.conditions("adult", c, mean24)
        lit_warm = (self.warm_share(n["mating_air"], c) * (light >= n["mating_light"])).sum(axis=1)
        warm = self.warm_share(n["laying_air"], c).sum(axis=1)
        self.lit_warm_hours = self.lit_warm_hours + lit_warm
        self.warm_hours = self.warm_hours + warm
        for name in ("virgin", "mated", "spent", "male"):
            self.live(name, "adult", dx, hazard)
        laid = self.lay(dx, (self.warm_hours >= n["laying_hours_least"]) & (warm > 0), air_days)
        had, has = (np.where(hours >= n["mating_hours_least"], np.minimum(1, hours / n["mating_hours_full"]), 0)
                    for hours in (self.lit_warm_hours - lit_warm, self.lit_warm_hours))
        # of females that did not mate in the earlier hours of the day
        chance = np.where(had < 1, (has - had) / np.where(had < 1, 1 - had, 1), 1)
        self.mate(dx, np.where(lit_warm > 0, chance, 0))
        here = self.rng.binomial(emerged, n["stay"])
        female = self.rng.binomial(here, n["female_share"])
        self.out["emerged"] += here
        self.enter("virgin", "adult", female, mass, dx, hazard)
        self.enter("male", "adult", here - female, mass, dx, hazard)
        return laid

    # ---- a day

    def mean24(self, hours, day, now):
        """For each hour of the step, the mean of the 24 hours that end with it."""
        before = hours[:, day - 1, now.start :].sum(axis=1) + hours[:, day, : now.start].sum(axis=1)
        return (before[:, None] + np.cumsum(hours[:, day, now] - hours[:, day - 1, now], axis=1)) / 24

    def day(self, day):
        job, n = self.job, self.number
        d = day + int(n["lead"])
        if day == 0:
            egg = self.clock["egg"].log_survival(0.0)
            self.pool["egg 0"].add(np.full(self.replicates, int(n["start_eggs"])), 0, egg)
            x = n["start_x"]
            self.pool["larva 0"].add(
                np.full(self.replicates, int(n["start_larvae"])), x, self.clock["larva"].log_survival(x), n["start_mass"]
            )
        if job.pull[day]:
            self.pull_traps()
        for bin, (usable, quality, conversion) in zip(self.bins, job.feed[:, day]):
            bin.usable, bin.quality = bin.usable + usable, bin.quality + quality
            bin.conversion = bin.conversion + conversion
            bin.eaten_yesterday, bin.eaten_today = bin.eaten_today, self.zero
        self.warm_hours = self.lit_warm_hours = self.zero
        length = 24 // self.steps
        for start in range(0, 24, length):
            now, to = slice(start, start + length), start + length
            self.hour = to
            bin24, ground24, air24 = (self.mean24(hours, d, now) for hours in (job.bin, job.ground, job.air))
            week = (ground24[:, -1] + sum(job.ground[:, d - k].mean(axis=1) for k in range(1, 7))) / 7
            span = int(min(7, max(1, n["clutch_warm_days"])))
            air_days = (air24[:, -1] + sum(job.air[:, d - k].mean(axis=1) for k in range(1, span))) / span
            rest = length / (24 - start)
            crawled, crawled_mass, enter_bins = self.step_bins(job.bin[:, d, now], bin24, job.air[:, d, now], air24, rest)
            light_day = job.day_length[day]
            emerged, mass, enter_ground = self.step_ground(job.ground[:, d, now], ground24, week, light_day)
            trapped, laid = self.step_flies(job.air[:, d, now], job.light[:, d, now], air24, air_days, emerged, mass)
            enter_bins(trapped, laid)
            enter_ground(crawled, crawled_mass)
            self.step_number += 1
        for pool in self.pool.values():
            pool.forget()

    def count(self, *names):
        return sum(self.pool[name].n.sum(axis=0) for name in names)


def main():
    job = Job(sys.argv[1])
    colony = Colony(job, int(job.number["seed"]))
    kept = {}
    start = time.process_time()
    for day in range(int(job.number["days"])):
        colony.day(day)
        if day == 60:
            kept["larvae"], kept["pupae"] = colony.count(*(bin.larva for bin in colony.bins)), colony.count("pupa")
        if day == 100:
            kept["eggs"] = colony.count("trap", *(bin.egg for bin in colony.bins))
        if day == 101:
            kept["in_traps"] = colony.count("trap")
            kept["in_last"] = colony.count(colony.bins[-1].larva)
    seconds = time.process_time() - start
    nothing = np.zeros(colony.replicates, np.int64)
    out = colony.out
    columns = [out["eggs"], out["emerged"], out["crawled"], out["crawled_kg"], out["eaten_kg"]]
    columns += [kept.get("larvae", nothing), kept.get("eggs", nothing), kept.get("pupae", nothing)]
    columns += [colony.count("asleep", "waking"), colony.count(*colony.pool)]
    columns += [out["trapped"] / np.maximum(out["eggs"], 1), kept.get("in_traps", nothing)]
    columns += [kept.get("in_last", nothing)]
    print(f"{seconds:.6f}")
    for row in zip(*columns):
        print(*(f"{value:.9g}" for value in row))


main()
