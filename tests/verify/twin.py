#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Cohorts against an individual-based twin.

The program counts cohorts; scripts/twin.py, written from the descriptions and not from the program's code, simulates the
same rules one animal at a time. Over many replicates of the setups below, days and counts must have the same
distribution. Two tests for each output: Kolmogorov-Smirnov over the whole distribution, and the rank sum, which detects
smaller shifts. The family-wise false-alarm rate is 1 % (Holm 1979, Scand. J. Stat. 6:65); seeds are fixed.

Masses of feed and of larvae are compared otherwise: a cohort grows and eats like its average larva, from a table, and
leavers eat to the end of their step. Their means must agree within 5 % (judgement; measured: under 1 % of what a larva eats,
more in the few grams of the last); how much smaller the variance of a sample's mass is when all its larvae are average is
measured and not judged. A starving cohort has one condition in the program; the twin is set to do the same, and the last
check measures the error against larvae with individual masses.

Both use the same steps, with entry at half a step, so that the rules are compared and not the length of a step. The effect
of the step is measured in convergence.py.

    twin.py [SETUP ...]     some setups only; --few for a tenth of the replicates
"""
import importlib.util
import math
import multiprocessing
import sys
from pathlib import Path
from types import SimpleNamespace

sys.path.insert(0, str(Path(__file__).parent / "support"))
import checking
import numpy as np
from checking import Panel, check, figure, holm, kolmogorov_smirnov, laboratory, run

FAMILY_WISE = 0.01
ALLOWANCE = 0.05

spec = importlib.util.spec_from_file_location("twin_of_wintergrub", checking.SOURCE / "scripts" / "twin.py")
twin = importlib.util.module_from_spec(spec)
spec.loader.exec_module(twin)


class Setup(SimpleNamespace):
    """One setup of a colony, for both programs."""

    def __init__(self, name="", temperature=27, days=60, starter=100, stage="egg", **more):
        defaults = dict(age=0, steps=1, meal=None, feed=None, second_meal=None, second_feed=None, conversion=1.0, quality=1.0, numbers="keepers", change={},
                        shared_condition=True, replicates=120)  # fmt: skip
        super().__init__(name=name, temperature=temperature, days=days, starter=starter, stage=stage,
                         **{**defaults, **more})  # fmt: skip

    def feeding(self):
        if self.feed is None:
            return "unlimited"
        second = f", {{in: other, {self.second_feed}, every: 1 day}}" if self.second_feed else ""
        return f"[{{in: tray, {self.feed}, every: 1 day}}{second}]"

    def scenario(self):
        age = f", age: {self.age} days" if self.stage == "larva" else ""
        return laboratory(
            self.temperature,
            self.days,
            f"stage: {self.stage}{age}, count: {self.starter}",
            feeding=self.feeding(),
            bins="[{name: tray}]" if self.second_meal is None else "[{name: tray}, {name: other}]",
            species=", ".join(f"{key}: {value}" for key, value in self.change.items()),
            forecast=f"replicates: {4 * self.replicates}, seed: 11, steps_per_day: {self.steps}",
            numbers=self.numbers,
        )


def scraps(wet_kg):
    """Daily kitchen scraps: 75 % moisture, 85 % of the dry matter usable."""
    return {"feed": f"what: kitchen scraps, amount: {wet_kg} kg", "meal": wet_kg * 0.25 * 0.85}


def two_scraps(first_kg, second_kg):
    second = scraps(second_kg)
    return {**scraps(first_kg), "second_feed": second["feed"], "second_meal": second["meal"]}


BARREN = {"laying_share_lamps": 0}
SETUPS = [
    Setup("eggs, warm", 27, 60, 500, "egg"),
    Setup("eggs, warm, 4 steps a day", 27, 60, 500, "egg", steps=4),
    Setup("five-day larvae, hot", 35.2, 60, 500, "larva", age=5),
    Setup("larvae of ten days, cool", 18.3, 140, 300, "larva", age=10),
    Setup("prepupae, laboratory numbers", 25, 40, 400, "prepupa", numbers="laboratory"),
    Setup("births over three generations, few animals", 29.5, 104, 4, "egg"),
    Setup("births, laboratory numbers, 2 steps a day", 31, 95, 20, "egg", numbers="laboratory", steps=2),
    Setup("births in the cool, a clutch rare", 23.4, 150, 30, "prepupa"),
    Setup("eggs, constant cold", 14, 60, 500, "egg"),
    Setup("young larvae, constant cold", 8, 30, 500, "larva", age=3),
    Setup("prepupae, cold, laboratory numbers, 4 steps", 6, 60, 400, "prepupa", numbers="laboratory", steps=4),
    Setup("pupae and flies in a chill", 15, 150, 300, "prepupa"),
    Setup("prepupae asleep, without cold days", 21, 200, 400, "prepupa", change={"dormancy_day": "24 h"}),
    Setup("prepupae asleep, cold days, 4 steps", 14.5, 200, 400, "larva", age=14, steps=4,
          change={"dormancy_day": "24 h", "dormancy_heat_median": "25 K day"}),
    Setup("prepupae asleep by cold only, laboratory numbers", 16.5, 120, 400, "prepupa", numbers="laboratory",
          change={"dormancy_by_day_length": "0"}),
    Setup("larvae on short rations", 28, 50, 500, "larva", age=5, change=BARREN, **scraps(0.028)),
    Setup("larvae on short rations, 4 steps a day", 28, 50, 500, "larva", age=5, steps=4, change=BARREN, **scraps(0.028)),
    Setup("larvae that starve, laboratory numbers", 25, 120, 300, "larva", age=3, numbers="laboratory",
          change=BARREN, **scraps(0.005)),
    Setup("births until the feed is too little", 28, 110, 40, "prepupa", **scraps(0.03)),
    Setup("eggs on fruit", 30, 50, 600, "egg", feed="what: fruit, amount: 0.2 kg", meal=0.2 * 0.12 * 0.85, quality=0.85,
          conversion=0.6),
    Setup("two bins, the second empty", 28, 110, 40, "prepupa", second_meal=0, **scraps(0.03)),
    Setup("two bins, the second with a third of the feed", 28, 85, 40, "prepupa", **two_scraps(0.06, 0.02)),
    Setup("two bins, the same in 4 steps a day", 28, 85, 40, "prepupa", steps=4, **two_scraps(0.06, 0.02)),
    Setup("many eggs, few of them live", 36, 45, 20000, "egg", replicates=100),
]


# ---- what is compared ----------------------------------------------------------------------------------------------


def first(series):
    """First day with a nonzero value; the length of the period if there is none."""
    some = series.reshape(series.shape[0], series.shape[1], -1).sum(axis=2) > 0
    return np.where(some.any(axis=1), some.argmax(axis=1), series.shape[1]).astype(float)


def outputs(see, setup):
    """name -> one number per replicate. `see` returns a series by name, from either program."""
    count, deaths = see("count"), see("deaths")
    out = {}
    for share in (0.2, 0.45, 0.7, 1.0):
        day = math.ceil(share * setup.days) - 1
        for s, stage in enumerate(twin.STAGES):
            out[f"{stage}, day {day + 1}"] = count[:, day, s]
        out[f"larval mass, day {day + 1}"] = see("larval_mass")[:, day]
        if setup.meal:
            out[f"feed left, day {day + 1}"] = see("feed_left")[:, day]
        if setup.second_meal is not None:
            for b in range(2):
                out[f"larvae in bin {b + 1}, day {day + 1}"] = see("bin_larvae")[:, day, b]
    out["first fly"] = first(see("adults_emerged"))
    out["first egg"] = first(see("eggs_laid"))
    out["first crawl-off"] = first(see("crawl_off_count"))
    for name in ("eggs_laid", "adults_emerged", "crawl_off_count", "crawl_off_mass", "feed_demand", "feed_eaten"):
        out[name.replace("_", " ") + ", total"] = see(name).sum(axis=1)
    if setup.meal:
        out["feed lost to microbes, total"] = see("feed_microbes").sum(axis=1)
    for k, cause in enumerate(twin.CAUSES):
        out[f"dead of {cause}"] = deaths[:, :, k].sum(axis=1)
    return out


def of_engine(result):
    """Series of the program, summed over bins and places."""

    def see(name):
        values = getattr(result, name)
        return values.sum(axis=2) if values.ndim == 3 and name not in ("count", "deaths", "bin_larvae") else values

    return see


def rank_sum(a, b):
    """P-value of the rank sum (Mann & Whitney 1947, Ann. Math. Stat. 18:50; ties counted)."""
    values, where, times = np.unique(np.concatenate([a, b]), return_inverse=True, return_counts=True)
    ranks = (np.cumsum(times) - (times - 1) / 2)[where]
    n, m, both = len(a), len(b), len(where)
    variance = n * m / 12 * (both + 1 - np.sum(times**3.0 - times) / both / (both - 1))
    return math.erfc(abs(ranks[:n].sum() - n * (both + 1) / 2) / math.sqrt(variance) / math.sqrt(2))


def rounded(values):
    """Kilograms to nine digits: another order of summation changes the last ones."""
    values = np.asarray(values, float)
    scale = 10.0 ** (8 - np.floor(np.log10(np.maximum(np.abs(values), 1e-300))))
    return np.round(values * scale) / scale


def apart(a, b, error=0.0):
    """Relative difference of two masses beyond sampling error; 0 where there is next to nothing."""
    return max(0.0, abs(a - b) - 4 * error) / max(abs(a), abs(b)) if max(abs(a), abs(b)) > 1e-6 else 0.0


def worth_testing(a, b):
    """False if both are always the same number, or too rare for either test."""
    return a.std() + b.std() > 0 and (np.mean(a != np.median(a)) > 0.03 or np.mean(b != np.median(b)) > 0.03)


def quantiles(title, a, b):
    """Q-Q plot: on the diagonal if the distributions are equal."""
    at = (np.arange(50) + 0.5) / 50
    x, y = np.quantile(a, at), np.quantile(b, at)
    panel = Panel(title, "program", "twin")
    ends = np.array([min(x[0], y[0]), max(x[-1], y[-1])])
    panel.draw(ends, ends, colour=4, line=True)
    panel.draw(x, y)
    return panel


def compare(setup):
    """All tests of one setup: (output, test, p, program's values, twin's values), masses (output, means), scatter of the
    larvae's mass (output, relative deviations), and panels."""
    engine = run(setup.scenario())
    numbers = twin.Numbers(engine.numbers)
    series = twin.run_many(numbers, setup, setup.replicates, seed=5)
    ours, theirs = outputs(of_engine(engine), setup), outputs(series.__getitem__, setup)
    tests, weights, panels, scatter = [], [], [], []
    for name, a in ours.items():
        a, b = rounded(a), rounded(theirs[name])
        if name.startswith("larval mass") and a.mean() > 0:
            scatter.append((name, a.std() / a.mean(), b.std() / b.mean()))
        if name.startswith(("feed", "larval mass")) or (setup.meal and "mass" in name):
            error = math.hypot(a.std() / math.sqrt(len(a)), b.std() / math.sqrt(len(b)))
            weights.append((name, a.mean(), b.mean(), error))
            continue
        if not worth_testing(a, b):
            continue
        tests.append((name, "distribution", kolmogorov_smirnov(a, b), a, b))
        tests.append((name, "ranks", rank_sum(a, b), a, b))
        panels.append(quantiles(name, a, b))
    return tests, weights, scatter, panels


def own_weights(few):
    """The error of one condition for a whole cohort, in a colony that outgrows its feed."""
    setup = next(setup for setup in SETUPS if setup.name.startswith("births until"))
    engine = run(setup.scenario())
    setup.shared_condition = False
    series = twin.run_many(twin.Numbers(engine.numbers), setup, 20 if few else 60, seed=6)
    for name in ("eggs_laid", "crawl_off_count", "crawl_off_mass"):
        ours, theirs = of_engine(engine)(name).sum(axis=1).mean(), series[name].sum(axis=1).mean()
        check(
            f"A hungry cohort shares one condition: {name.replace('_', ' ')} by day {setup.days}, {setup.name}",
            f"{theirs:.4g} with weights of their own",
            f"{ours:.4g} ({ours / theirs - 1:+.0%})",
            "scripts/twin.py without --shared-condition",
            None,
        )


def tell(number, setup, tests, weights, scatter, panels):
    """Judges the masses of one setup, draws its figure, and returns its tests, to be judged with all others."""
    off = max(weights, key=lambda w: apart(*w[1:]))
    check(
        f"Weights of feed and larvae, program against twin: {setup.name}",
        f"means within {ALLOWANCE:.0%} and 4 standard errors",
        f"largest of {len(weights)} differences {apart(*off[1:3]):.1%} ({off[0]}: {off[1]:.4g} against {off[2]:.4g} kg)",
        "scripts/twin.py",
        apart(*off[1:]) < ALLOWANCE,
    )
    if scatter:
        name, ours, theirs = scatter[0]
        check(
            f"How much the weight of larvae scatters: {name}, {setup.name}",
            f"{theirs:.1%} of the mean with weights of their own",
            f"{ours:.1%}",
            "scripts/twin.py",
            None,
        )
    figure(f"twin-{number + 1:02}", f"{setup.name}: quantiles of the program and of the twin", panels)
    print(f"{setup.name}: {len(tests)} tests, smallest chance {min(test[2] for test in tests):.2g}", flush=True)
    return [(setup, *test) for test in tests]


def main():
    few = "--few" in sys.argv
    wanted = [word for word in sys.argv[1:] if not word.startswith("--")]
    setups = [setup for setup in SETUPS if not wanted or setup.name in wanted]
    for setup in setups:
        setup.replicates = max(20, setup.replicates // 10) if few else setup.replicates
    found = []
    with multiprocessing.Pool(2) as pool:
        for number, (setup, seen) in enumerate(zip(setups, pool.imap(compare, setups))):
            found += tell(number, setup, *seen)
    rejected = holm([test[3] for test in found], FAMILY_WISE)
    for setup in setups:
        mine = [(test, bad) for test, bad in zip(found, rejected) if test[0] is setup]
        bad = [test for test, is_bad in mine if is_bad]
        for _, name, kind, p, a, b in bad:
            print(f"  {name}, {kind}: chance {p:.2g}; program {a.mean():.6g}, twin {b.mean():.6g}")
        check(
            f"Cohorts against single animals: {setup.name} ({setup.temperature:g} degC, {setup.days} d)",
            "one distribution",
            f"{len(mine)} tests, {len(bad)} differ; smallest chance {min(test[0][3] for test in mine):.2g}",
            f"scripts/twin.py; Kolmogorov-Smirnov and rank sum, Holm, {FAMILY_WISE:.0%} for all {len(found)} together",
            not bad,
            "; ".join(f"{name} ({kind}): {a.mean():.4g} against {b.mean():.4g}" for _, name, kind, _, a, b in bad[:4]),
        )
    if not wanted:
        own_weights(few)
    return checking.failures() > 0


if __name__ == "__main__":
    sys.exit(main())
