# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Lines of truth_table.py: mass, feed, heat, colonies, seasons. Each function runs the program and compares it with a published finding."""
import functools

import numpy as np
from checking import SOURCE, laboratory, run, timetable
from truth_row import NO_BIRTHS, SETS, Row, both, lab, larval, mean_day, numbers_of, row, stage_days, texts, total

# ---- mass and feed -------------------------------------------------------------------------------------------------


@row
def harnden():
    ratio = [larval(27.6, s)[1] / larval(24.9, s)[1] - 1 for s in SETS]
    yield Row("mass_warm_trays", texts(ratio, "{:+.0%}"), [100 * v for v in ratio])


RESIDUE_DRY = 0.5  # dry share of a residue that can be sieved (judgement, as in tests/science/test_plan_science.c)
FEEDS = ("pet food", "fermented grain", "kitchen scraps", "fruit", "spent brewery grain", "coffee grounds")


@functools.cache
def batch(numbers, what, wet_kg, larvae=10000, days=40, temp_c=28, every=1, last_day=40):
    """5-day larvae on daily feed, all crawl-off caught: (wet yield kg, dry given, dry gone, mean grub g, share crawled, day of half)."""
    to = np.datetime64("2026-01-01") + last_day - 1
    see = lab(temp_c, days, f"stage: larva, age: 5 days, count: {larvae}", numbers,
              feeding=f"[{{in: tray, what: {what}, amount: {wet_kg} kg, every: {every} days, to: {to}}}]",
              keeping="[{do: collect crawl-off, in: tray, share: 100 %}]")  # fmt: skip
    given = total(see.feed_given)
    left = total(see.feed_left[0, -1]) + total(see.residue[0, -1])
    crawled = total(see.crawl_off_count)
    half = float(np.searchsorted(np.cumsum(see.crawl_off_count[0]), crawled / 2)) if crawled else np.nan
    gone = np.flatnonzero(see.bin_larvae[0, :, 0])
    return {"yield": total(see.harvest_mass) + total(see.bin_larval_mass[0, -1]), "given": given, "gone": given - left,
            "given_wet": wet_kg * len(range(0, last_day, every)), "eaten": total(see.feed_eaten), "grub": 1000 * total(see.crawl_off_mass) / crawled if crawled else np.nan,
            "crawled": crawled / larvae, "half": half, "last": float(gone[-1]) if len(gone) else 0.0,
            "dry": see.numbers["larva_dry"]}  # fmt: skip


@row
def side_streams():
    grubs = [[batch(s, what, 5)["grub"] for what in FEEDS] for s in SETS]
    said = [f"{min(g):.3f} to {max(g):.3f} g" for g in grubs]
    yield Row("mass_feeds", said, *([of(g) for g in grubs] for of in (min, max)))
    best = [g[FEEDS.index("kitchen scraps")] for g in grubs]
    yield Row("mass_food_waste", texts(best, "{:.3f} g"), best)
    ratio = [[b["eaten"] / (b["yield"] * b["dry"]) for b in (batch(s, what, 1.5) for what in FEEDS)] for s in SETS]
    said = [f"{min(r):.1f} to {max(r):.1f}" for r in ratio]
    yield Row("feed_per_gain", said, *([of(v) for v in ratio] for of in (min, max)))


@row
def handbook():
    def see(s, what="kitchen scraps", kg=5, days=12):
        return batch(s, what, kg, days=days, every=3, last_day=9)

    gone = both(lambda s: see(s)["gone"] / see(s)["given"])
    converted = both(lambda s: see(s)["yield"] * see(s)["dry"] / see(s)["given"])
    yield Row("batch_gone", texts(gone, "{:.0%}"), [100 * v for v in gone])
    yield Row("batch_gained", texts(converted, "{:.0%}"), [100 * v for v in converted])
    melon = [see(s, "fruit", 10, 14) for s in SETS]
    wet = [100 * (1 - (m["given"] - m["gone"]) / RESIDUE_DRY / m["given_wet"]) for m in melon]
    yield Row("fruit_gone", texts(wet, "{:.0f}%"), wet)
    dry = [100 * m["yield"] * m["dry"] / m["given"] for m in melon]
    yield Row("fruit_gained", texts(dry, "{:.0f}%"), dry)


@row
def crowding():
    sets = [[batch(s, "kitchen scraps", 0.7, larvae=n, days=100, last_day=100) for n in (4000, 10000, 20000)] for s in SETS]

    def falls(values):
        return all(b < a for a, b in zip(values, values[1:]))

    said = [f"{'/'.join(format(b['grub'], '.2f') for b in v)} g, {'/'.join(format(b['crawled'], '.0%') for b in v)}, "
            f"{'/'.join(format(b['half'], '.0f') for b in v)} d" for v in sets]  # fmt: skip
    yield Row("crowding", said, [falls([b["grub"] for b in v]) and falls([b["crawled"] for b in v])
                                 and falls([-b["half"] for b in v]) for v in sets])  # fmt: skip


@row
def scarce_feed():
    last = [batch(s, "kitchen scraps", 0.05, days=240, temp_c=t, last_day=240)["last"] for s in SETS for t in (20, 27)]
    said = [f"{last[0]:.0f} d at 20, {last[1]:.0f} d at 27 degC", f"{last[2]:.0f} d at 20, {last[3]:.0f} d at 27 degC"]
    yield Row("scarce_feed", said, (max(last[:2]), max(last[2:])))
    days = both(lambda s: stage_days(18.3, "pupa", s))
    said = [f"{stage_days(24, 'pupa', s):.0f} d at 24, {d:.0f} d at 18.3, {stage_days(14, 'pupa', s):.0f} d at 14 degC"
            for s, d in zip(SETS, days)]  # fmt: skip
    yield Row("slow_pupae", said, days, worked_out=True)


# ---- heat of larvae ------------------------------------------------------------------------------------------------


@row
def heat():
    def watts(s):
        see = lab(29, 30, "stage: larva, age: 5 days, count: 2000", s)
        feeding = see.feed_eaten[0, :, 0] * see.numbers["heat_per_dry_feed"] / 86400
        return feeding[:13].sum() / see.larval_mass[0, :13].sum(), (feeding[:13] / see.larval_mass[0, :13]).max()

    values = both(watts)
    yield Row("larval_heat", [f"mean {m:.1f}, youngest {p:.0f} W/kg" for m, p in values], *zip(*values))
    yield Row("group_heat", [f"{m:.1f} W/kg, any group" for m, _ in values], [False, False])

    def hottest(s):
        plan = laboratory(29, 30, "stage: larva, age: 5 days, count: 2000", numbers=s, species=NO_BIRTHS,
                          forecast="replicates: 20")  # fmt: skip
        plan = plan.replace("climate: {constant: 29 degC}", "climate: {latitude: 5 N, normals: {unit: degC, daily_high: "
                            f"[{', '.join(['29.2'] * 12)}], daily_low: [{', '.join(['28.8'] * 12)}], daily_high_sd: 0, "
                            "daily_low_sd: 0}}")  # fmt: skip
        plan = plan.replace("housing: laboratory", "housing: {kind: shed}").replace("{name: tray}", "{name: tray, volume: 5 L}")
        return float(np.max(run(plan).hottest_bin))

    values = both(hottest)
    yield Row("hottest_tray", texts(values, "{:.1f} degC"), values)


# ---- the colony ----------------------------------------------------------------------------------------------------


@functools.cache
def growth(temp_c, numbers):
    """r per day: slope of the logarithm of all individuals past the egg over four generations."""
    days = timetable(temp_c, numbers)["days"]["egg_to_egg"]
    if days is None or not np.isfinite(days):
        return -np.inf
    period = int(np.ceil(days))
    see = lab(temp_c, 8 * period, "stage: egg, count: 500", numbers, species="")
    logs = np.log(np.maximum(see.count[0, :, 1:].sum(axis=1), 1))
    return float((logs[-period:].mean() - logs[3 * period : 4 * period].mean()) / (4 * period))


@row
def growth_rate():
    values = both(lambda s: growth(30, s))
    doubling = [f"{v:.3f} a day, {np.log(2) / v:.1f} d" for v in values]
    yield Row("growth_30_chia", doubling, values)
    rates = [{t: growth(t, s) for t in (15, 20, 25, 30, 35, 37)} for s in SETS]
    best = [max(r, key=r.get) for r in rates]
    yield Row("growth_best", texts(best, "{} degC"), best)
    whole = both(lambda s: timetable(30, s)["days"]["egg_to_egg"])
    said = [f"{v:.3f} a day, {w:.0f} d" for v, w in zip(values, whole)]
    yield Row("growth_30_samayoa", said, values)


@row
def generations():
    see = {s: lab(27, 1095, "stage: egg, count: 2000", s, species="",
                  feeding="[{in: tray, what: kitchen scraps, amount: 1 kg, every: 1 day}]",
                  keeping="[{do: collect crawl-off, in: tray, share: 70 %}]") for s in SETS}  # fmt: skip
    counts = {s: see[s].count_by_generation[:, 1:, :].sum(axis=1) for s in SETS}
    mean = {s: (counts[s] * np.arange(counts[s].shape[1])).sum(axis=1) / np.maximum(counts[s].sum(axis=1), 1e-9) for s in SETS}
    a_year = [mean[s][-1] - mean[s][-366] for s in SETS]

    def overlap(s):
        share = counts[s][730:] / counts[s][730:].sum(axis=1, keepdims=True)
        return float(np.exp(-(share * np.log(np.maximum(share, 1e-300))).sum(axis=1)).min())

    least = both(overlap)
    yield Row("generations_warm", texts(a_year, "{:.1f}"), a_year)
    yield Row("generations_at_once", texts(least, "{:.2f}"), least)


# ---- seasons -------------------------------------------------------------------------------------------------------


DORMANCIES = ("by day length", "by cold only")


def scenario(name, numbers, replicates, change=lambda text: text, dormancy=DORMANCIES[0]):
    text = change((SOURCE / "scenarios" / name).read_text(encoding="utf-8"))
    text += "" if "species:" in text else f"\nspecies: {{numbers: {numbers}, dormancy: {dormancy}}}\n"
    return run(text, "--replicates", str(replicates))


def without_harvest(text):
    """As wild flies live: nobody takes prepupae."""
    return "\n".join(line for line in text.splitlines() if "collect crawl-off" not in line and line != "keeping:") + "\n"


@functools.cache
def harrow(numbers, dormancy, harvest=True):
    change = (lambda text: text) if harvest else without_harvest
    return scenario("harrow-hill-outdoors.yaml", numbers, 60, change, dormancy)


def variant(dormancy):
    """Both switches of dormancy, of which nobody knows the right one, have lines of their own."""
    return "" if dormancy == DORMANCIES[0] else f"dormancy {dormancy}"


def day_index(first, date):
    return int((np.datetime64(date) - np.datetime64(first)).astype(int))


@row
def mild_winter():
    at = functools.partial(day_index, "2026-09-15")
    for dormancy in DORMANCIES:
        flies, asleep, width = [], [], []
        for s in SETS:
            see = harrow(s, dormancy)
            january = see.count[:, at("2027-01-05") : at("2027-02-09"), 5:7].sum(axis=2).max(axis=1)
            flies.append(float((january > 5).mean()))
            asleep.append(float((see.count[:, at("2027-01-05"), 3] > 0).mean()))
            width.append(float(np.nanmedian(see.spring_emergence_90 - see.spring_emergence_10)))
        which = {"variant": variant(dormancy)}
        yield Row("winter_flies", texts(flies, "{:.0%} of years"), [100 * v for v in flies], **which)
        yield Row("dormant_january", texts(asleep, "in {:.0%} of years"), [100 * v for v in asleep], **which)
        yield Row("spring_width", texts(width, "{:.0f} d"), width, **which)


@row
def wild_year():
    at = functools.partial(day_index, "2026-09-15")
    for dormancy in DORMANCIES:
        months, season, lines = [], [], []
        for s in SETS:
            see = harrow(s, dormancy, harvest=False)
            flies = see.count[:, :, 5:7].sum(axis=2) > 20
            month = (np.datetime64("2026-09-15") + np.arange(365)).astype("datetime64[M]")
            with_flies = [str(m)[5:] for m in np.unique(month) if flies[:, month == m].any(axis=1).mean() > 0.5]
            months.append(" ".join(with_flies))
            wrong = {int(m) for m in with_flies} ^ {5, 6, 7, 8, 9}
            season.append("holds" if not wrong else "near" if wrong <= {4, 5, 9, 10} else "does not hold")
            mean = see.count_by_generation[:, 1:, :].sum(axis=1)
            mean = (mean * np.arange(mean.shape[1])).sum(axis=1) / np.maximum(mean.sum(axis=1), 1e-9)
            lines.append(float(mean[-1] - mean[at("2027-03-01")]))
        yield Row("fly_months", months, season, variant=variant(dormancy))
        yield Row("generations_wild", texts(lines, "{:.1f}"), lines, variant=variant(dormancy))


@row
def prepupae_in_a_cool_laboratory():
    def wait(s, dormancy):
        see = lab(20, 150, "stage: prepupa, count: 20000", s, species=f"{NO_BIRTHS}, dormancy: {dormancy}")
        return mean_day(see.adults_emerged[0, :, 0]) - stage_days(20, "pupa", s)

    for dormancy in DORMANCIES:
        days = both(lambda s, dormancy=dormancy: wait(s, dormancy))
        direct = both(lambda s: stage_days(20, "prepupa", s))
        yield Row("cool_prepupae", texts(days, "{:.0f} d"), [d / c for d, c in zip(days, direct)], variant=f"dormancy {dormancy}")


@row
def cold_larvae():
    def resumed(s):
        plan = """
period: {from: 2026-11-15, to: 2027-03-14}
climate: {latitude: 32.4 N, elevation: 60 m, normals: {unit: degC,
  daily_high: [14.4, 16.7, 20.6, 25, 28.9, 32.8, 33.9, 33.3, 30.6, 25.6, 20, 15.6],
  daily_low: [2.2, 3.9, 7.8, 12.2, 16.7, 21.1, 22.2, 21.7, 18.3, 12.2, 7.2, 3.3], spread: humid subtropical}}
places:
  - {name: yard, housing: outdoors, bins: [{name: barrel}]}
  - {name: shed, housing: {kind: shed}, heater: {set_point: 26 degC, power: 20 kW}, bins: [{name: trough}]}
starter: [{on: 2026-11-15, in: barrel, stage: larva, age: 12 days, count: 5000}]
feeding: unlimited
keeping: [{do: move, on: 2027-01-10, from: barrel, to: trough, what: larvae, share: 100 %}]
forecast: {replicates: 40, seed: 1}
"""
        see = run(plan + f"species: {{numbers: {s}}}\n")
        before = see.bin_larvae[:, 55, 0].astype(float)
        after = see.crawl_off_count[:, 56:84].sum(axis=1)
        return before.mean() / 5000, after.sum() / before.sum()

    values = both(resumed)
    said = [f"{a:.0%}, of these {c:.0%}" for a, c in values]
    yield Row("cold_larvae", said, *([100 * share for share in shares] for shares in zip(*values)))


@row
def warm_coast():
    def months(s):
        see = scenario("warm-coast.yaml", s, 40, lambda text: text.replace("to: 2026-12-31", "to: 2027-12-31", 1))
        month = (np.datetime64("2027-01-01") + np.arange(365)).astype("datetime64[M]")
        flies, eggs = see.count[:, 365:, 5:7].sum(axis=2), see.eggs_laid[:, 365:]
        return min(float((v[:, month == m].sum(axis=1) > 0).mean()) for m in np.unique(month) for v in (flies, eggs))

    values = both(months)
    yield Row("warm_coast", texts(values, "{:.0%} of years"), [100 * v for v in values])


# ---- theory --------------------------------------------------------------------------------------------------------


@row
def theory():
    values = both(lambda s: growth(30, s))
    roots = [renewal_root(30, s) for s in SETS]
    yield Row("lotka", texts(values, "{:.4f} a day"), [100 * (v / r - 1) for v, r in zip(values, roots)],
              published=" and ".join(f"{r:.4f}" for r in roots) + " a day")  # fmt: skip


def renewal_root(temp_c, numbers):
    """Euler-Lotka in closed form: gamma stages, one clutch on the mean laying day."""
    n, days = numbers_of(numbers), timetable(temp_c, numbers)["days"]
    heat = n["heat_chronic"] * np.exp(n["heat_chronic_slope"] * (temp_c - n["heat_chronic_from"]))
    laying = days["emergence_to_eggs"]
    pace = stage_days(27, "adult_life", numbers) / days["adult_life"]
    alive_to_lay = np.exp(-n["adult_hazard"] * pace * laying)  # hardly any have died of age by then
    warmth = min(1, max(0, (-3.17 + 0.286 * temp_c - 0.005 * temp_c**2) / 0.92))
    mass = 1 - n["mass_warm_loss"] * max(0, temp_c - n["mass_warm_from"]) + n["mass_cool_gain"] * max(0, n["mass_reference"] - temp_c)
    eggs = n["female_share"] * n["laying_share_lamps"] * alive_to_lay * warmth * mass * (n["clutch_low"] + n["clutch_high"]) / 2

    def sum_over_ages(r):
        out = eggs * np.exp(-r * laying)
        for clock in ("egg", "larva", "prepupa", "pupa"):
            c2, h = n[clock + "_spread"] ** 2, n[clock + "_hazard"] * stage_days(27, clock, numbers) / days[clock] + heat
            out *= (1 + (r + h) * c2 * days[clock]) ** (-1 / c2)
        return out

    low, high = 0.0, 0.5
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if sum_over_ages(middle) > 1 else (low, middle)
    return low
