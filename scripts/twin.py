#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Individual-based twin of the model: a black soldier fly colony in a laboratory, one animal at a time.

wintergrub counts animals in cohorts: all with the same stage, home, day of entry and generation are one number, and
binomial draws decide how many of them die or move on. That is fast and meant to be exact, but hard to check by reading.
This script simulates the same rules the slow way: each egg, larva, prepupa, pupa and fly is a row of a table, gets its own
development requirement when it enters a stage, and at each step dies or completes the stage by its own draws. If the
cohorts are right, the two agree in distribution; `tests/verify/twin.py` tests this.

It is written from the descriptions (the headers in src, README.md), not from the program's code. It reads the species
parameters from a result file of wintergrub, which has each of them with its unit, meaning and source.

    scripts/twin.py --temperature 27 --days 120 --starter 1000 --stage egg --replicates 20 --seed 1 -o twin.npz

It omits weather, shelter, heaters (the temperature is constant), all actions except one starter and a daily meal in each
of one or two bins, several places, egg traps, wild visitors, mishaps, and generation numbers. It uses the program's
steps (1, 2, 4 or 24 a day), so that a difference between the two is a difference of rules and not of step length. One
rule differs: here each larva has its own mass, in the program a cohort has one, and one condition when it is hungry.
`--shared-condition` follows the program; without hunger it has no effect.

It needs Python 3 and numpy; and h5py, to read the numbers.
"""
import argparse
import csv
import os
import subprocess
import sys
import tempfile

import numpy as np

STAGES = ["egg", "larva", "prepupa", "dormant prepupa", "pupa", "adult female", "adult male"]
CAUSES = ["background", "heat", "cold", "freezing", "hunger", "old age"]

# ---- the species parameters --------------------------------------------------------------------------------------


class Numbers(dict):
    """All species parameters by name, as attributes: numbers.larva_spread."""

    __getattr__ = dict.__getitem__


def numbers_from_result(path):
    """Reads the parameters from a result file."""
    import h5py

    with h5py.File(path) as result:
        record = result["provenance"]
        names = [n.decode() if isinstance(n, bytes) else n for n in record["parameter"][:]]
        return Numbers(zip(names, (float(v) for v in record["parameter_value"][:])))


def find_program():
    """Returns $WINTERGRUB, or the program in build/, or the one in $PATH."""
    built = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "build", "wintergrub")
    return os.environ.get("WINTERGRUB", built if os.path.exists(built) else "wintergrub")


def numbers_of_set(name, program):
    """Reads a named set, "keepers" or "laboratory", from the smallest result of the program."""
    with tempfile.TemporaryDirectory() as folder:
        plan, result = os.path.join(folder, "plan.yaml"), os.path.join(folder, "plan.h5")
        with open(plan, "w", encoding="utf-8") as file:
            file.write(
                "period: {from: 2026-01-01, to: 2026-01-02}\nclimate: {constant: 27 degC}\n"
                "places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]\nfeeding: unlimited\n"
                "starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1}]\n"
                f"species: {{numbers: {name}}}\nforecast: {{replicates: 1}}\n"
            )
        try:
            subprocess.run([program, "run", "--quiet", plan, "-o", result], check=True, stdout=subprocess.DEVNULL)
        except FileNotFoundError:
            sys.exit(f"twin: there is no program {program} to ask for the numbers: scripts/build makes it")
        except subprocess.CalledProcessError as failed:
            sys.exit(failed.returncode)  # it has printed the reason
        return numbers_from_result(result)


# ---- development ---------------------------------------------------------------------------------------------------


def rate(n, clock, temp_c):
    """Returns the development rate per day at a temperature (Briere et al. 1999), the inverse of the mean stage duration."""
    t0, tm = n[clock + "_t0"], n[clock + "_tm"]
    if not t0 < temp_c < tm:
        return 0.0
    return n[clock + "_rate_a"] * temp_c * (temp_c - t0) * (tm - temp_c) ** (1 / n[clock + "_rate_m"])


def gamma_needs(rng, spread, count, at_least=0.0):
    """Draws the development requirement of `count` animals: gamma, mean 1; of animals already at x, more than x."""
    shape = 1 / spread**2
    need = rng.gamma(shape, 1 / shape, count)
    while (short := need <= at_least).any() if at_least > 0 else False:
        need[short] = rng.gamma(shape, 1 / shape, short.sum())
    return need


# ---- mortality -----------------------------------------------------------------------------------------------------


def cold_hazard(n, line, temp_c):
    """Returns the hazard of cold per day; 0 above the limit."""
    h4, slope = n[line + "_cold"], n[line + "_cold_slope"]
    return h4 * max(0.0, np.exp(-slope * (temp_c - 4)) - np.exp(-slope * (n.cold_limit - 4)))


def larval_cold_hazard(n, x, temp_c):
    """Returns the cold hazard of larvae, higher for young ones: log-linear in development."""
    young, old = cold_hazard(n, "young_larva", temp_c), cold_hazard(n, "old_larva", temp_c)
    if young == 0 or old == 0:
        return np.zeros_like(x)
    way = np.clip((x - n.young_larva_until) / (n.old_larva_from - n.young_larva_until), 0, 1)
    return young ** (1 - way) * old**way


def steady_hazards(n, clock, temp_c):
    """Returns the hazards per day by cause, except cold and hunger of larvae."""
    hazard = dict.fromkeys(CAUSES, 0.0)
    pace = rate(n, clock, temp_c) / rate(n, clock, 27)
    hazard["background"] = n[clock + "_hazard"] * max(n.background_floor, pace)
    hazard["heat"] = n.heat_acute * np.exp(n.heat_acute_slope * (temp_c - n.heat_acute_from))
    if clock != "adult":
        hazard["heat"] += n.heat_chronic * np.exp(n.heat_chronic_slope * (temp_c - n.heat_chronic_from))
    if clock != "larva":
        hazard["cold"] = cold_hazard(n, clock, temp_c)
    if temp_c < n[clock + "_freeze"]:
        hazard["freezing"] = n.freeze_hazard
    return hazard


# ---- growth --------------------------------------------------------------------------------------------------------


def final_mass_g(n, temp_c, quality):
    """Returns the fresh mass of a full-grown, well-fed larva."""
    cooler = max(0.0, n.mass_reference - max(temp_c, n.mass_cool_limit))
    warmer = max(0.0, temp_c - n.mass_warm_from)
    return n.final_mass * max(0.0, 1 + n.mass_cool_gain * cooler - n.mass_warm_loss * warmer) * quality


def growth_share(n, x):
    """Returns a larva's share of its final mass at development x of 1: a logistic curve."""
    g0, rise = n.hatch_mass / n.final_mass, np.exp(n.growth_rate * np.clip(x, 0, 1))
    limit = g0 * np.expm1(n.growth_rate) / (g0 * np.exp(n.growth_rate) - 1)
    return limit * g0 * rise / (limit + g0 * (rise - 1))


# ---- a table of animals --------------------------------------------------------------------------------------------


class Herd:
    """The animals of one stage, one row each; columns are arrays."""

    def __init__(self, **columns):
        self.columns = {name: np.asarray(values, float) for name, values in columns.items()}

    def __getattr__(self, name):
        return self.__dict__["columns"][name]

    def __len__(self):
        return len(next(iter(self.columns.values())))

    def take(self, which):
        """Removes and returns the chosen rows."""
        taken = Herd(**{name: values[which] for name, values in self.columns.items()})
        self.columns = {name: values[~which] for name, values in self.columns.items()}
        return taken

    def join(self, other):
        if len(other):
            self.columns = {name: np.append(values, other.columns[name]) for name, values in self.columns.items()}


# ---- the colony ----------------------------------------------------------------------------------------------------


class Colony:
    """One colony in a laboratory, from its starter to its last day."""

    def __init__(self, n, setup, rng):
        self.n, self.setup, self.rng = n, setup, rng
        self.dt = 1 / setup.steps
        self.dx = {c: rate(n, c, setup.temperature) * self.dt for c in ("egg", "larva", "prepupa", "pupa", "adult")}
        self.hazard = {c: steady_hazards(n, c, setup.temperature) for c in self.dx}
        self.hazard["dormant"] = {**self.hazard["prepupa"], "background": n.dormant_hazard}
        self.egg = Herd(x=[], need=[], bin=[])
        self.larva = Herd(x=[], need=[], mass=[], entered=[], bin=[])
        self.prepupa = Herd(x=[], need=[], mass=[])
        self.dormant = Herd(mass=[], days=[], cold_days=[], heat=[], heat_need=[])
        self.pupa = Herd(x=[], need=[], mass=[])
        self.female = Herd(x=[], need=[], mass=[], lays=[], moment=[], mated=[], ripe_at=[])
        self.male = Herd(x=[], need=[])
        self.bins = 1 if setup.second_meal is None else 2
        self.feed = np.zeros(self.bins)  # kg of dry usable feed in each bin; infinite if unlimited
        self.eaten = [np.zeros(self.bins) for _ in range(setup.steps)]  # by step of the last 24 hours
        self.ration = np.ones(self.bins)  # eaten share of the demand
        self.day, self.now = 0, 1  # and the number of the step
        self.diary = {name: np.zeros(setup.days) for name in DAILY}
        self.diary["bin_larvae"] = np.zeros((setup.days, self.bins))
        self.diary["count"] = np.zeros((setup.days, len(STAGES)))
        self.diary["deaths"] = np.zeros((setup.days, len(CAUSES)))

    # -- mortality

    def die(self, herd, hazard, share_of_step=1.0):
        """Draws each animal's death in the step and its cause. Hazards by cause, per day."""
        total = sum(hazard.values()) * np.ones(len(herd))
        dies = self.rng.random(len(herd)) < -np.expm1(-total * self.dt * share_of_step)  # a number, or one per animal
        if not dies.any():
            return
        cause_point = self.rng.random(dies.sum()) * total[dies]
        for k, cause in enumerate(CAUSES[:-1]):
            part = (hazard[cause] * np.ones(len(herd)))[dies]
            self.diary["deaths"][self.day, k] += ((0 <= cause_point) & (cause_point < part)).sum()
            cause_point -= part
        herd.take(dies)

    def larval_hazard(self, larva):
        """Draws larvae's deaths of cold, by development, and of hunger, by size and at the rate of development."""
        n, temp_c = self.n, self.setup.temperature
        pace = rate(n, "larva", temp_c) / rate(n, "larva", 27)
        mass = self.shared(larva, larva.mass, np.ones(len(larva)))
        smallness = (n.final_mass / np.maximum(mass, n.hatch_mass)) ** 0.25
        hunger = n.starvation * (1 - self.ration[larva.bin.astype(int)]) ** 2 * smallness * pace
        return {**self.hazard["larva"], "cold": larval_cold_hazard(n, larva.x, temp_c), "hunger": hunger}

    # -- entering a stage: on average in the middle of the step, so half of its development and hazard is still to come

    def enter_egg(self, bins):
        """Adds eggs, by bin."""
        count = len(bins)
        new = Herd(x=np.full(count, self.dx["egg"] / 2), need=gamma_needs(self.rng, self.n.egg_spread, count), bin=bins)
        self.die(new, self.hazard["egg"], 0.5)
        self.egg.join(new)

    def enter_larva(self, bins):
        """Adds hatchlings, by bin."""
        count = len(bins)
        new = Herd(
            x=np.zeros(count),
            need=gamma_needs(self.rng, self.n.larva_spread, count),
            mass=np.full(count, self.n.hatch_mass),
            entered=np.full(count, self.now),
            bin=bins,
        )
        self.die(new, self.larval_hazard(new), 0.5)
        new.columns["x"] = new.x + self.dx["larva"] / 2 * self.pace(new)  # their first meal is in the next step
        self.larva.join(new)

    def enter_prepupa(self, mass):
        """Decides at entry whether each prepupa goes dormant."""
        self.diary["crawl_off_count"][self.day] += len(mass)
        self.diary["crawl_off_mass"][self.day] += mass.sum() / 1000
        sleeps = self.goes_dormant(len(mass))
        self.enter_sleep(mass[sleeps])
        self.enter_awake(mass[~sleeps])

    def goes_dormant(self, count):
        """Returns which new prepupae go dormant: in short days and cool ground, or in cold ground if only that counts."""
        n = self.n
        short = 1 / (1 + np.exp((LABORATORY_DAY_H - n.dormancy_day) / n.dormancy_day_scale))
        cool, cold = (1 / (1 + np.exp((self.setup.temperature - gate) / n.dormancy_temperature_scale))
                      for gate in (n.dormancy_temperature, n.dormancy_by_cold_temperature))  # fmt: skip
        by_day = n.dormancy_by_day_length
        return self.rng.random(count) < by_day * short * cool + (1 - by_day) * cold

    def enter_sleep(self, mass, behind=0.5):
        none = np.zeros(len(mass))
        heat_need = np.exp(self.n.dormancy_heat_sigma * self.rng.standard_normal(len(mass)))
        new = Herd(mass=mass, days=none, cold_days=none, heat=none, heat_need=heat_need)
        self.die(new, self.hazard["dormant"], behind)
        self.dormant.join(new)

    def enter_awake(self, mass, at_least=0.0, behind=0.5):
        """Moves prepupae to the pupa; formerly dormant ones enter part of the way through the stage."""
        new = Herd(
            x=np.full(len(mass), at_least + self.dx["prepupa"] * behind),
            need=gamma_needs(self.rng, self.n.prepupa_spread, len(mass), at_least),
            mass=mass,
        )
        self.die(new, self.hazard["prepupa"], behind)
        self.prepupa.join(new)

    def enter_pupa(self, mass):
        new = Herd(
            x=np.full(len(mass), self.dx["pupa"] / 2),
            need=gamma_needs(self.rng, self.n.pupa_spread, len(mass)),
            mass=mass,
        )
        self.die(new, self.hazard["pupa"], 0.5)
        self.pupa.join(new)

    def enter_adult(self, mass):
        n, rng, count = self.n, self.rng, len(mass)
        self.diary["adults_emerged"][self.day] += count
        flies = Herd(x=np.full(count, self.dx["adult"] / 2), need=gamma_needs(rng, n.adult_spread, count), mass=mass)
        is_female = rng.random(count) < n.female_share
        female, male = flies.take(is_female), flies
        female.columns["lays"] = (rng.random(len(female)) < n.laying_share_lamps).astype(float)
        female.columns["moment"] = rng.random(len(female)) - 0.5  # fraction of the step at which she emerged
        female.columns["mated"] = np.zeros(len(female))
        female.columns["ripe_at"] = np.full(len(female), np.inf)
        self.die(female, self.hazard["adult"], 0.5)
        self.die(male, self.hazard["adult"], 0.5)
        self.female.join(female)
        self.male.join(Herd(x=male.x, need=male.need))

    # -- feeding and growth

    def gain(self, larva, dx):
        """Returns each larva's gain, well fed, from dx of development, up to its requirement."""
        n = self.n
        final = final_mass_g(n, self.setup.temperature, self.setup.quality)
        return final * (growth_share(n, (larva.x + dx) / larva.need) - growth_share(n, larva.x / larva.need))

    def eat(self, step):
        """
        Sets the ration of the step: all larvae in a bin eat the same share of their demand. An insufficient meal lasts all
        day: each step gets its share of the remaining feed.
        """
        n, diary, day = self.n, self.diary, self.day
        where = self.larva.bin.astype(int)
        gain = np.bincount(where, self.gain(self.larva, self.dx["larva"]), self.bins)
        wanted = gain * n.larva_dry / n.conversion / self.setup.conversion / 1000
        eaten = np.minimum(wanted, self.feed / (self.setup.steps - step))
        self.ration = np.where(wanted > 0, eaten / np.where(wanted > 0, wanted, 1), 1.0)
        self.eaten = self.eaten[1:] + [eaten]
        diary["feed_demand"][day] += wanted.sum()
        diary["feed_eaten"][day] += eaten.sum()
        if np.isfinite(self.feed).all():
            self.feed = self.feed - eaten
            per_day = n.microbe_loss * n.microbe_q10 ** ((self.setup.temperature - n.microbe_reference) / 10)
            rotten = -self.feed * np.expm1(-per_day * self.dt)
            self.feed = self.feed - rotten
            diary["feed_microbes"][day] += rotten.sum()

    def pace(self, larva):
        """Returns the relative development rate on the ration of each larva's bin."""
        return self.n.ration_floor + (1 - self.n.ration_floor) * self.ration[larva.bin.astype(int)]

    def chosen_bins(self, count):
        """Draws the bins that females choose: by the feed present or eaten in the last 24 hours."""
        smell = self.feed + sum(self.eaten)
        if not np.isfinite(smell).all() or smell.sum() <= 0:
            smell = np.ones(self.bins)
        return self.rng.choice(self.bins, count, p=smell / smell.sum())

    def grow(self):
        """Hungry larvae gain less and develop more slowly."""
        n, larva, dx = self.n, self.larva, self.dx["larva"]
        larva.columns["mass"] = larva.mass + self.gain(larva, dx) * self.ration[larva.bin.astype(int)]
        larva.columns["x"] = larva.x + dx * self.pace(larva)
        if self.setup.shared_condition and self.setup.meal is not None:
            well_fed = final_mass_g(n, self.setup.temperature, self.setup.quality) * growth_share(n, larva.x / larva.need)
            larva.columns["mass"] = self.shared(larva, larva.mass, well_fed)

    def shared(self, larva, mass, by):
        """
        With --shared-condition, as in a cohort, larvae that entered a bin together share their mass in proportion to `by`.
        Otherwise each larva keeps its own.
        """
        if not self.setup.shared_condition or self.setup.meal is None:
            return mass
        cohort = (larva.entered * self.bins + larva.bin).astype(int)
        total = np.bincount(cohort, by)
        return by * (np.bincount(cohort, mass) / np.where(total > 0, total, 1))[cohort]

    # -- one step: deaths and transitions

    def leave(self, herd, hazard, dx=0.0):
        """Returns the surviving animals of a herd that complete the stage."""
        herd.columns["x"] = herd.x + dx
        return self.done(herd, herd.x >= herd.need, hazard)

    def done(self, herd, done, hazard):
        herd.columns["done"] = done.astype(float)
        self.die(herd, hazard, np.where(done, 0.5, 1.0))
        leaving = herd.take(herd.columns.pop("done") > 0)
        return leaving

    def live(self, step):
        n, temp_c = self.n, self.setup.temperature
        # hazards at the start of the step; animals that complete the stage leave in its middle and are exposed for half of it
        danger = self.larval_hazard(self.larva)
        self.grow()
        full_grown = self.leave(self.larva, danger)
        too_small = full_grown.take(full_grown.mass < n.pupation_mass)
        self.diary["deaths"][self.day, CAUSES.index("hunger")] += len(too_small)
        hatched, pupated, emerged, old_females, old_males = (
            self.leave(herd, self.hazard[clock], self.dx[clock])
            for herd, clock in ((self.egg, "egg"), (self.prepupa, "prepupa"), (self.pupa, "pupa"),
                                (self.female, "adult"), (self.male, "adult"))
        )  # fmt: skip
        self.diary["deaths"][self.day, CAUSES.index("old age")] += len(old_females) + len(old_males)

        sleeping = self.dormant
        open_now = (sleeping.cold_days >= n.dormancy_cold_days) | (sleeping.days >= n.dormancy_days)
        warmth = max(0.0, temp_c - n.dormancy_heat_base) / n.dormancy_heat_median * self.dt
        sleeping.columns["heat"] = sleeping.heat + open_now * warmth
        woken = self.done(sleeping, sleeping.heat >= sleeping.heat_need, self.hazard["dormant"])
        sleeping.columns["days"] = sleeping.days + self.dt
        sleeping.columns["cold_days"] = sleeping.cold_days + (temp_c < n.dormancy_cold) * self.dt

        self.eggs_laid = np.zeros(0)
        self.lay(step)
        self.mate(step)
        self.enter_egg(self.eggs_laid)
        self.enter_larva(hatched.bin)
        self.enter_prepupa(full_grown.mass)
        self.enter_awake(woken.mass, at_least=n.dormancy_resume)
        self.enter_pupa(pupated.mass)
        self.enter_adult(emerged.mass)

    # -- mating and laying: emergence and mating are uniform within a step

    def warm_hours(self, threshold_c):
        """Returns the hours of the step that are warm enough for flies; hours near the threshold count in part."""
        width, over = self.n.fly_warmth_width, self.setup.temperature - threshold_c
        share = np.clip(over / width + 0.5, 0, 1) if width > 0 else float(over >= 0)
        return share * 24 * self.dt

    def lay(self, step):
        n, female = self.n, self.female
        hours = self.warm_hours(n.laying_air)
        if hours == 0 or hours * (step + 1) < n.laying_hours_least:
            return
        ripe = female.x >= female.ripe_at
        clutches = self.clutches(female.mass[ripe & (female.lays > 0)])
        female.columns["ripe_at"] = np.where(ripe, np.inf, female.ripe_at)
        self.diary["eggs_laid"][self.day] += clutches.sum()
        self.eggs_laid = np.repeat(self.chosen_bins(len(clutches)), clutches)  # one bin per clutch

    def mate(self, step):
        n, female, dx = self.n, self.female, self.dx["adult"]
        hours = self.warm_hours(n.mating_air)
        had, has = (min(1, h / n.mating_hours_full) if h >= n.mating_hours_least else 0
                    for h in (hours * step, hours * (step + 1)))
        if hours == 0 or has == 0 or len(self.male) < n.males_needed:
            return
        chance = (has - had) / (1 - had) if had < 1 else 1  # females that did not mate in the hours of the day before
        a_day_at_27 = rate(n, "adult", 27)
        able = ~female.mated.astype(bool) & (female.x + female.moment * dx >= n.mating_after * a_day_at_27)
        mates = able & (self.rng.random(len(female)) < chance)
        ripe_at = female.x - self.rng.random(len(female)) * dx + n.laying_after * a_day_at_27
        female.columns["mated"] = np.maximum(female.mated, mates)
        female.columns["ripe_at"] = np.where(mates, ripe_at, female.ripe_at)

    def clutches(self, mass):
        n, temp_c = self.n, self.setup.temperature
        size = np.clip(mass / n.final_mass, n.clutch_mass_low, n.clutch_mass_high)
        size = np.minimum(size, n.clutch_most * mass / (n.clutch_high * n.egg_mass))  # a small mother lays no more
        warmth = np.clip((-3.17 + 0.286 * temp_c - 0.005 * temp_c**2) / 0.92, 0, 1)
        eggs = self.rng.integers(int(n.clutch_low), int(n.clutch_high) + 1, len(mass))
        return np.floor(eggs * size * warmth + 0.5).astype(int)

    # -- the keeper, and the days

    def start(self):
        setup, n, rng = self.setup, self.n, self.rng
        if setup.stage == "egg":
            self.egg = Herd(x=np.zeros(setup.starter), need=gamma_needs(rng, n.egg_spread, setup.starter),
                            bin=np.zeros(setup.starter))  # fmt: skip
        elif setup.stage == "larva":
            x = min(rate(n, "larva", 27) * setup.age, 0.95)
            need = gamma_needs(rng, n.larva_spread, setup.starter, at_least=x)
            mass = final_mass_g(n, 27, 1) * growth_share(n, x / need)
            self.larva = Herd(x=np.full(setup.starter, x), need=need, mass=mass, entered=np.zeros(setup.starter),
                              bin=np.zeros(setup.starter))  # fmt: skip
        else:
            mass = np.full(setup.starter, n.final_mass)
            sleeps = self.goes_dormant(len(mass))
            self.enter_sleep(mass[sleeps], behind=0)
            self.enter_awake(mass[~sleeps], behind=0)

    def record(self):
        herds = (self.egg, self.larva, self.prepupa, self.dormant, self.pupa, self.female, self.male)
        self.diary["count"][self.day] = [len(herd) for herd in herds]
        self.diary["larval_mass"][self.day] = self.larva.mass.sum() / 1000
        self.diary["bin_larvae"][self.day] = np.bincount(self.larva.bin.astype(int), minlength=self.bins)
        self.diary["feed_left"][self.day] = self.feed.sum() if np.isfinite(self.feed).all() else 0.0

    def run(self):
        self.start()
        meals = np.array([self.setup.meal, self.setup.second_meal][: self.bins], float)
        self.feed = np.full(self.bins, np.inf if self.setup.meal is None else 0.0)
        for self.day in range(self.setup.days):
            if self.setup.meal is not None:
                self.feed = self.feed + meals
            for step in range(self.setup.steps):
                self.eat(step)
                self.live(step)
                self.now += 1
            self.record()
        return self.diary


DAILY = ["eggs_laid", "adults_emerged", "crawl_off_count", "crawl_off_mass", "larval_mass", "feed_demand", "feed_eaten",
         "feed_microbes", "feed_left"]  # fmt: skip
LABORATORY_DAY_H = 24.0  # full light, day and night


def run_many(numbers, setup, replicates, seed):
    """Returns all series, [replicate, day, ...]. Each replicate has its own stream."""
    streams = np.random.SeedSequence(seed).spawn(replicates)
    diaries = [Colony(numbers, setup, np.random.default_rng(stream)).run() for stream in streams]
    return {name: np.array([diary[name] for diary in diaries]) for name in diaries[0]}


# ---- the command ---------------------------------------------------------------------------------------------------


def write_csv(file, series):
    """Writes one line per replicate and day."""
    scalars = [name for name in series if name not in ("count", "deaths", "bin_larvae")]
    table = csv.writer(file)
    table.writerow(["replicate", "day", *STAGES, *(f"dead of {cause}" for cause in CAUSES), *scalars])
    for replicate, days in enumerate(series["count"]):
        for day, count in enumerate(days):
            numbers = [*count, *series["deaths"][replicate, day], *(series[name][replicate, day] for name in scalars)]
            table.writerow([replicate, day, *(f"{number:.10g}" for number in numbers)])


def options(words=None):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    add = parser.add_argument
    add("--temperature", type=float, default=27, metavar="DEGC")
    add("--days", type=int, default=120)
    add("--starter", type=int, default=1000, metavar="COUNT")
    add("--stage", choices=["egg", "larva", "prepupa"], default="egg", help="of the starter")
    add("--age", type=float, default=0, metavar="DAYS", help="of starter larvae, kept well fed at 27 degC")
    add("--steps", type=int, default=1, help="a day")
    add("--meal", type=float, metavar="KG", help="dry usable feed given every day (default: without limit)")
    add("--second-meal", type=float, metavar="KG", help="a second bin, given so much every day (0: an empty one)")
    add("--conversion", type=float, default=1, help="of the feed, as a share of the animal's")
    add("--quality", type=float, default=1, help="of the feed: scales the final mass")
    add("--shared-condition", action="store_true", help="hungry larvae that entered together share one condition")
    add("--numbers", default="keepers", help="keepers, laboratory, or a result file of wintergrub")
    add("--set", action="append", default=[], metavar="NAME=VALUE", help="another value of a number of the animal")
    add("--replicates", type=int, default=20)
    add("--seed", type=int, default=1)
    add("-o", "--output", help="NAME.npz, or NAME.csv (default: CSV to the terminal)")
    return parser.parse_args(words)


def main():
    setup = options()
    if os.path.exists(setup.numbers):
        numbers = numbers_from_result(setup.numbers)
    else:
        numbers = numbers_of_set(setup.numbers, find_program())
    for assignment in setup.set:
        name, value = assignment.split("=")
        if name not in numbers:
            sys.exit(f"twin.py: there is no number called {name}")
        numbers[name] = float(value)
    series = run_many(numbers, setup, setup.replicates, setup.seed)
    if setup.output and setup.output.endswith(".npz"):
        np.savez_compressed(setup.output, **series)
    elif setup.output:
        with open(setup.output, "w", newline="", encoding="utf-8") as file:
            write_csv(file, series)
    else:
        write_csv(sys.stdout, series)


if __name__ == "__main__":
    main()
