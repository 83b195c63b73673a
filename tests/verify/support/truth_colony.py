"""Lines of truth_table.py: mass, feed, heat, colonies, seasons. Each function runs the program and compares it with a published finding."""
import functools

import numpy as np
from checking import SOURCE, laboratory, run, timetable
from truth_row import (NO_BIRTHS, SETS, Row, Said, both, lab, larval, mean_day, numbers_of, row, stage_days, texts, total,
                       window)  # fmt: skip

# ---- mass and feed -------------------------------------------------------------------------------------------------


@row
def harnden():
    ratio = [larval(27.6, s)[1] / larval(24.9, s)[1] - 1 for s in SETS]
    yield Row("Final mass at 27.6 against 24.9 degC", "about 30 % heavier", *texts(ratio, "{:+.0%}"),
              "Harnden & Tomberlin 2016, abstract", [(window(25, 35, 5, " %", 0), [100 * v for v in ratio])],
              why="conflict with practice (bigger grubs in the cool), which the keepers' set follows",
              short="final mass, 27.6 against 24.9 degC")  # fmt: skip


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
    yield Row("Larval mass over feeds, fed well", "0.038-0.176 g over 12 side-streams", *said, "Broeckx et al. 2021, abstract",
              [(window(0.038, 0.176, 0.01, " g", 3), [of(g) for g in grubs]) for of in (min, max)],
              why="prepupae of 0.22 g are reported elsewhere (next line)", short="larval mass over feeds")  # fmt: skip
    best = [g[FEEDS.index("kitchen scraps")] for g in grubs]
    yield Row("Prepupa on food waste, fed well", "0.221 to 0.225 g in small outdoor bins", *texts(best, "{:.3f} g"),
              "food waste bins 2023, abstract", [(window(0.21, 0.236, 0.02, " g", 3), best)],
              why="between the field and the trays of the line above", short="prepupa on food waste, fed well")  # fmt: skip
    ratio = [[b["eaten"] / (b["yield"] * b["dry"]) for b in (batch(s, what, 1.5) for what in FEEDS)] for s in SETS]
    said = [f"{min(r):.1f} to {max(r):.1f}" for r in ratio]
    yield Row("Dry feed eaten per dry gain over feeds", "1.6-8.9", *said, "Broeckx et al. 2021, abstract",
              [(window(1.6, 8.9, 1), [of(v) for v in ratio]) for of in (min, max)],
              why="coffee grounds, subsistence only, are the high end")  # fmt: skip


@row
def handbook():
    def see(s, what="kitchen scraps", kg=5, days=12):
        return batch(s, what, kg, days=days, every=3, last_day=9)

    gone = both(lambda s: see(s)["gone"] / see(s)["given"])
    converted = both(lambda s: see(s)["yield"] * see(s)["dry"] / see(s)["given"])
    yield Row("10,000 5-day larvae, 15 kg of waste in 12 d: dry matter gone", "42-55 %", *texts(gone, "{:.0%}"),
              "Diener et al. 2009; Lalander et al. 2019, MEMORY", [(window(42, 55, 3, " %", 0), [100 * v for v in gone])],
              short="handbook dose: dry matter gone")  # fmt: skip
    yield Row("The same: dry larvae per dry waste", "14-20 %", *texts(converted, "{:.0%}"),
              "Lalander et al. 2019; Dortmans et al. 2017, MEMORY", [(window(14, 20, 2, " %", 0), [100 * v for v in converted])],
              short="handbook dose: dry larvae per dry waste")  # fmt: skip
    melon = [see(s, "fruit", 10, 14) for s in SETS]
    wet = [100 * (1 - (m["given"] - m["gone"]) / RESIDUE_DRY / m["given_wet"]) for m in melon]
    yield Row("Fruit waste (melon): wet weight gone", "81 %", *texts(wet, "{:.0f}%"), "melon waste, abstract",
              [(window(76, 86, 5, " %", 0), wet)], why="what is left taken as half water (judgement)",
              short="fruit waste: wet weight gone")  # fmt: skip
    dry = [100 * m["yield"] * m["dry"] / m["given"] for m in melon]
    yield Row("Fruit waste (melon): dry larvae per dry waste", "12 %", *texts(dry, "{:.0f}%"), "melon waste, abstract",
              [(window(11, 13, 2, " %", 0), dry)], why="the abstract does not say whether of wet or of dry matter",
              short="fruit waste: dry larvae per dry waste")  # fmt: skip


@row
def crowding():
    sets = [[batch(s, "kitchen scraps", 0.7, larvae=n, days=100, last_day=100) for n in (4000, 10000, 20000)] for s in SETS]

    def falls(values):
        return all(b < a for a, b in zip(values, values[1:]))

    said = [f"{'/'.join(format(b['grub'], '.2f') for b in v)} g, {'/'.join(format(b['crawled'], '.0%') for b in v)}, "
            f"{'/'.join(format(b['half'], '.0f') for b in v)} d" for v in sets]  # fmt: skip
    yield Row("Larvae at three densities on the same feed: mass, survival, time", "crowding lowers mass and survival, lengthens",
              *said, "Opare et al. 2022, abstract",
              [(Said("all three directions"), [falls([b["grub"] for b in v]) and falls([b["crawled"] for b in v])
                                               and falls([-b["half"] for b in v]) for v in sets])],
              why="the same feed for all here, so that crowding is hunger")  # fmt: skip


@row
def scarce_feed():
    last = [batch(s, "kitchen scraps", 0.05, days=240, temp_c=t, last_day=240)["last"] for s in SETS for t in (20, 27)]
    said = [f"{last[0]:.0f} d at 20, {last[1]:.0f} d at 27 degC", f"{last[2]:.0f} d at 20, {last[3]:.0f} d at 27 degC"]
    yield Row("Larval time on scarce feed, the last larva", "up to 4 months", *said, "Feedipedia",
              [(window(110, 130, 20, " d", 0), (max(last[:2]), max(last[2:])))], short="larval time on scarce feed")  # fmt: skip
    days = both(lambda s: stage_days(18.3, "pupa", s))
    yield Row("Slow pupae", "2 weeks to 5 months", *[f"{stage_days(24, 'pupa', s):.0f} d at 24, {d:.0f} d at 18.3, "
              f"{stage_days(14, 'pupa', s):.0f} d at 14 degC" for s, d in zip(SETS, days)], "Feedipedia",
              [(window(14, 150, 0, " d", 0), days)], worked_out=True,
              why="by temperature alone; dormant prepupae wait longer still")  # fmt: skip


# ---- heat of larvae ------------------------------------------------------------------------------------------------


@row
def heat():
    def watts(s):
        see = lab(29, 30, "stage: larva, age: 5 days, count: 2000", s)
        feeding = see.feed_eaten[0, :, 0] * see.numbers["heat_per_dry_feed"] / 86400
        return feeding[:13].sum() / see.larval_mass[0, :13].sum(), (feeding[:13] / see.larval_mass[0, :13]).max()

    values = both(watts)
    yield Row("Heat of larvae in a tray at 29 degC", "mean about 6 W/kg fresh, peaks near 50",
              *[f"mean {m:.1f}, youngest {p:.0f} W/kg" for m, p in values], "Padmanabha et al. 2023; the mean derived",
              [(window(5, 7, 2, " W/kg"), [m for m, _ in values]), (window(40, 60, 20, " W/kg", 0), [p for _, p in values])])  # fmt: skip
    yield Row("Heat of larvae in groups of 100 / 300 / 500", "18.3 / 10.2 / 5.8 W/kg", *[f"{m:.1f} W/kg, any group" for m, _ in values],
              "McEachern 2018, thesis", [(Said("falls with the group"), [False, False])],
              why="heat follows feed eaten; company changes nothing here")  # fmt: skip

    def hottest(s):
        plan = laboratory(29, 30, "stage: larva, age: 5 days, count: 2000", numbers=s, species=NO_BIRTHS,
                          forecast="replicates: 20")  # fmt: skip
        plan = plan.replace("climate: {constant: 29 degC}", "climate: {latitude: 5 N, normals: {unit: degC, daily_high: "
                            f"[{', '.join(['29.2'] * 12)}], daily_low: [{', '.join(['28.8'] * 12)}], daily_high_sd: 0, "
                            "daily_low_sd: 0}}")  # fmt: skip
        plan = plan.replace("housing: laboratory", "housing: {kind: shed}").replace("{name: tray}", "{name: tray, volume: 5 L}")
        return float(np.max(run(plan).hottest_bin))

    values = both(hottest)
    yield Row("Hottest substrate of 2,000 larvae in air of 29 degC", "up to 42 degC", *texts(values, "{:.1f} degC"),
              "Padmanabha et al. 2023", [(window(40, 43, 3, " degC"), values)],
              why="one temperature for the whole tray, no warmer middle; larvae warm it to 37.2 degC at most",
              short="2,000 larvae heat their tray, air 29 degC")  # fmt: skip


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
    yield Row("Growth rate at 30 degC, and doubling", "0.127 and 0.122 a day, 5.5 and 5.7 d", *doubling,
              "Chia et al. 2018, PLoS ONE", [(window(0.122, 0.127, 0.005, " a day", 3), values)],
              why="between the two laboratories: slower stages and 45 % of females laying under lamps",
              short="growth rate at 30 degC")  # fmt: skip
    rates = [{t: growth(t, s) for t in (15, 20, 25, 30, 35, 37)} for s in SETS]
    best = [max(r, key=r.get) for r in rates]
    yield Row("Best temperature for growth of 15, 20, 25, 30, 35, 37", "30 degC", *texts(best, "{} degC"),
              "Chia et al. 2018, PLoS ONE",
              [(window(30, 30, 0, " degC", 0), best)])  # fmt: skip
    whole = both(lambda s: timetable(30, s)["days"]["egg_to_egg"])
    said = [f"{v:.3f} a day, {w:.0f} d" for v, w in zip(values, whole)]
    yield Row("The same, another laboratory: growth, generation", "0.076 a day (R0 68), 56 d", *said,
              "Samayoa et al. 2016, MEMORY", [(window(0.071, 0.081, 0.005, " a day", 3), values)], why="as above, from the other side")  # fmt: skip


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
    yield Row("Generations a year, forced, kept warm (27 degC) on a fixed ration, third year", "5 to 7", *texts(a_year, "{:.1f}"), "common practice",
              [(window(5, 7, 0.5), a_year)], why="hungry larvae are slow: with plenty it is 7.6 at 27 and 6.6 at 25 degC", short="generations a year, kept at 27 degC, crowded")  # fmt: skip
    yield Row("Generations at once, third year, least of all days", "overlapping, never discrete", *texts(least, "{:.2f}"),
              "common practice", [(window(1.1, np.inf), least)], why="effective number past the egg")  # fmt: skip


# ---- seasons -------------------------------------------------------------------------------------------------------


DORMANCIES = ("by day length", "by cold only")


def scenario(name, numbers, replicates, change=lambda text: text, dormancy=DORMANCIES[0]):
    text = change((SOURCE / "scenarios" / name).read_text(encoding="utf-8"))
    text += "" if "species:" in text else f"\nspecies: {{numbers: {numbers}, dormancy: {dormancy}}}\n"
    return run(text, "--replicates", str(replicates))


@functools.cache
def harrow(numbers, dormancy):
    return scenario("harrow-hill-outdoors.yaml", numbers, 60, dormancy=dormancy)


def season_rows(what, rows):
    """Both switches of dormancy, of which nobody knows the right one: rows(dormancy, its words in the title)."""
    for dormancy in DORMANCIES:
        yield from rows(dormancy, what if dormancy == DORMANCIES[0] else f"{what}, dormancy {dormancy}")


def day_index(first, date):
    return int((np.datetime64(date) - np.datetime64(first)).astype(int))


@row
def mild_winter():
    at = functools.partial(day_index, "2026-09-15")

    def rows(dormancy, where):
        flies, asleep, width = [], [], []
        for s in SETS:
            see = harrow(s, dormancy)
            january = see.count[:, at("2027-01-05") : at("2027-02-09"), 5:7].sum(axis=2).max(axis=1)
            flies.append(float((january > 5).mean()))
            asleep.append(float((see.count[:, at("2027-01-05"), 3] > 0).mean()))
            width.append(float(np.nanmedian(see.spring_emergence_90 - see.spring_emergence_10)))
        yield Row(f"{where}: years with more than 5 flies at once, 5 January to 9 February", "no adults in winter",
                  *texts(flies, "{:.0%} of years"), "common practice",
                  [(window(-np.inf, 10, 10, " %", 0), [100 * v for v in flies])])  # fmt: skip
        yield Row(f"{where}: dormant prepupae in January", "yes", *texts(asleep, "in {:.0%} of years"), "common practice",
                  [(window(95, 100, 10, " %", 0), [100 * v for v in asleep])])  # fmt: skip
        yield Row(f"{where}: spring emergence, 10 to 90 %", "spread over weeks", *texts(width, "{:.0f} d"), "common practice",
                  [(window(21, 70, 0, " d", 0), width)],
                  short=f"spring emergence outdoors, 10 to 90 %{'' if dormancy == DORMANCIES[0] else f', dormancy {dormancy}'}")  # fmt: skip

    yield from season_rows("Outdoors, mild winter", rows)


@row
def wild_year():
    at = functools.partial(day_index, "2026-09-15")

    def rows(dormancy, where):
        months, season, lines = [], [], []
        for s in SETS:
            see = harrow(s, dormancy)
            flies = see.count[:, :, 5:7].sum(axis=2) > 20
            month = (np.datetime64("2026-09-15") + np.arange(365)).astype("datetime64[M]")
            with_flies = [str(m)[5:] for m in np.unique(month) if flies[:, month == m].any(axis=1).mean() > 0.5]
            months.append(" ".join(with_flies))
            wrong = {int(m) for m in with_flies} ^ {5, 6, 7, 8, 9}
            season.append("holds" if not wrong else "near" if wrong <= {4, 5, 9, 10} else "does not hold")
            mean = see.count_by_generation[:, 1:, :].sum(axis=1)
            mean = (mean * np.arange(mean.shape[1])).sum(axis=1) / np.maximum(mean.sum(axis=1), 1e-9)
            lines.append(float(mean[-1] - mean[at("2027-03-01")]))
        yield Row(f"{where}: months with more than 20 flies in most years", "late spring to early autumn", *months,
                  "Tomberlin & Sheppard 2001, citing Sheppard et al. 1994",
                  [(Said("months 05 to 09 (near: a month more or less at either end)"), season)])  # fmt: skip
        yield Row(f"{where}: generations from March to mid September", "three a year", *texts(lines, "{:.1f}"),
                  "Tomberlin & Sheppard 2001, citing Sheppard et al. 1994", [(window(2.5, 3.5, 0.5), lines)],
                  why="mean generation number of all past the egg")  # fmt: skip

    yield from season_rows("Southeastern USA outdoors", rows)


@row
def prepupae_in_a_cool_laboratory():
    def wait(s, dormancy):
        see = lab(20, 150, "stage: prepupa, count: 20000", s, species=f"{NO_BIRTHS}, dormancy: {dormancy}")
        return mean_day(see.adults_emerged[0, :, 0]) - stage_days(20, "pupa", s)

    for dormancy in DORMANCIES:
        days = both(lambda s, dormancy=dormancy: wait(s, dormancy))
        direct = both(lambda s: stage_days(20, "prepupa", s))
        yield Row(f"Prepupae in a lit laboratory at 20 degC, dormancy {dormancy}: days to the pupa, times the clock's",
                  "temperature alone sets the time; no rest is reported", *texts(days, "{:.0f} d"), "Chia et al. 2018, PLoS ONE, abstract",
                  [(window(0.8, 1.2, 0.3, digits=2), [d / c for d, c in zip(days, direct)])],
                  why="the gate of 22 degC stands for ground in autumn; by cold only it closes in any cool room, too")  # fmt: skip


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
    yield Row("Larvae of 12 d, eight weeks in the cold, then at 26 degC: alive, and crawled off within 4 weeks",
              "they resume, a harvest follows", *[f"{a:.0%}, of these {c:.0%}" for a, c in values], "common practice",
              [(window(50, 100, 30, " % alive", 0), [100 * a for a, _ in values]),
               (window(50, 100, 0, " % crawled off", 0), [100 * c for _, c in values])])  # fmt: skip


@row
def warm_coast():
    def months(s):
        see = scenario("warm-coast.yaml", s, 40, lambda text: text.replace("to: 2026-12-31", "to: 2027-12-31", 1))
        month = (np.datetime64("2027-01-01") + np.arange(365)).astype("datetime64[M]")
        flies, eggs = see.count[:, 365:, 5:7].sum(axis=2), see.eggs_laid[:, 365:]
        return min(float((v[:, month == m].sum(axis=1) > 0).mean()) for m in np.unique(month) for v in (flies, eggs))

    values = both(months)
    yield Row("Warm coast, the second year: years with flies and with eggs, the month that has them least", "every month",
              *texts(values, "{:.0%} of years"), "common practice", [(window(95, 100, 10, " %", 0), [100 * v for v in values])])  # fmt: skip


# ---- theory --------------------------------------------------------------------------------------------------------


@row
def theory():
    values = both(lambda s: growth(30, s))
    roots = [renewal_root(30, s) for s in SETS]
    yield Row("Long-run growth without feed limits, 30 degC", " and ".join(f"{r:.4f}" for r in roots) + " a day",
              *texts(values, "{:.4f} a day"), "Lotka 1907; see growth_rate for more temperatures and for dying out",
              [(window(-2, 2, 2, " % off"), [100 * (v / r - 1) for v, r in zip(values, roots)])])  # fmt: skip


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
