# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Lines of truth_table.py: stages, survival, flies. Each function runs the program and compares it with a published finding."""
import numpy as np
from checking import laboratory, run
from truth_row import NO_BIRTHS, SETS, Row, both, lab, larval, mean_day, numbers_of, row, stage_days, texts, total

# ---- how long ------------------------------------------------------------------------------------------------------


@row
def egg_to_hatch():
    hours = both(lambda s: 24 * stage_days(25, "egg", s))
    yield Row("egg_hours_25", texts(hours, "{:.0f} h"), hours, worked_out=True)


@row
def larvae_in_the_warm():
    days = {s: [larval(t, s)[0] for t in (25, 28)] for s in SETS}
    said = [f"{max(days[s]):.1f} to {min(days[s]):.1f} d" for s in SETS]
    yield Row("larva_warm", said, *([days[s][i] for s in SETS] for i in (0, 1)))


@row
def larvae_in_the_cool():
    see = {s: {t: larval(t, s) for t in (18, 20, 27)} for s in SETS}
    said = [f"{see[s][18][0]:.0f} to {see[s][20][0]:.0f} d" for s in SETS]
    yield Row("larva_cool", said, *([see[s][t][0] for s in SETS] for t in (18, 20)))
    heavier = [see[s][18][1] / see[s][27][1] - 1 for s in SETS]
    yield Row("larger_when_cool", texts(heavier, "{:+.0%}"), [h > 0 for h in heavier])


@row
def near_standstill():
    share = [max(stage_days(27, c, s) / stage_days(18.333, c, s) for c in ("egg", "larva", "prepupa", "pupa")) for s in SETS]
    yield Row("pace_18_27", texts(share, "{:.0%}"), [100 * v for v in share], worked_out=True)


@row
def development_27_30():
    def longer(s):
        days = [mean_day(lab(t, 90, "stage: larva, age: 5 days, count: 50000", s).adults_emerged[0, :, 0]) for t in (27, 30)]
        return 100 * (days[0] / days[1] - 1)

    values = both(longer)
    yield Row("young_adult_27_30", texts(values, "{:.0f}%"), values)


@row
def twelve_diets():
    days = [[stage_days(28, c, s) for c in ("larva", "prepupa", "pupa")] for s in SETS]
    said = [" / ".join(f"{d:.1f}" for d in v) + " d" for v in days]
    yield Row("diets_days", said, *zip(*days), worked_out=True)
    share = []
    for s in SETS:
        see = lab(28, 120, "stage: larva, age: 0 days, count: 200000", s)
        crawled, flies = total(see.crawl_off_count), total(see.adults_emerged)
        n = numbers_of(s)
        c2, rate = n["prepupa_spread"] ** 2, 1 / stage_days(28, "prepupa", s)
        hazard = n["prepupa_hazard"] * stage_days(27, "prepupa", s) * rate + n["heat_chronic"] * np.exp(n["heat_chronic_slope"] * (28 - n["heat_chronic_from"]))
        prepupa = (1 + hazard * c2 / rate) ** (-1 / c2)
        share.append([100 * v for v in (crawled / 2e5, prepupa, flies / crawled / prepupa)])
    said = [" / ".join(f"{v:.0f}%" for v in share[i]) for i in (0, 1)]
    yield Row("diets_alive", said, *zip(*share))


@row
def tomberlin_2002():
    larva = both(lambda s: stage_days(27, "larva", s))
    whole = both(lambda s: sum(stage_days(27, c, s) for c in ("egg", "larva", "prepupa", "pupa")))
    yield Row("larva_grain_diet", texts(larva, "{:.1f} d"), larva, worked_out=True)
    yield Row("egg_adult_days_27", texts(whole, "{:.1f} d"), whole, worked_out=True)


def emergence(numbers, starter, days, ground):
    """Mean day of emergence from a pupation box."""
    plan = laboratory(27, days, starter, species=NO_BIRTHS, numbers=numbers, forecast="replicates: 1")
    see = run(plan.replace("housing: laboratory,", f"housing: laboratory, ground: {{kind: box, dark: {ground}}},"))
    return mean_day(see.adults_emerged[0, :, 0])


@row
def dark():
    def prepupa(s):
        pupa = stage_days(27, "pupa", s)
        days = [emergence(s, "stage: prepupa, count: 200000", 90, ground) - pupa for ground in ("yes", "no")]
        return 100 * (days[0] / days[1] - 1)

    def whole(s):
        days = [emergence(s, "stage: egg, count: 200000", 140, ground) for ground in ("yes", "no")]
        return 100 * (days[0] / days[1] - 1)

    after = both(prepupa)
    yield Row("dark_prepupa", texts(after, "{:.0f}%"), after)
    share = both(whole)
    yield Row("dark_whole", texts(share, "{:.0f}%"), share)


# ---- who lives -----------------------------------------------------------------------------------------------------


@row
def larva_to_adult():
    def share(t, s):
        return 100 * total(lab(t, 120, "stage: larva, age: 5 days, count: 200000", s).adults_emerged) / 2e5

    for t in (27, 30, 36):
        values = both(lambda s, t=t: share(t, s))
        yield Row(f"young_adult_alive_{t}", texts(values, "{:.1f}%" if t < 36 else "{:.2f}%"), values)


def left_after(temp_c, days, starter, numbers):
    see = lab(temp_c, days, starter + ", count: 1000000", numbers)
    return 100 * total(see.count[0, -1]) / 1e6


@row
def three_days_at_four():
    """Instars by development (Gligorescu et al. 2019: the first five share the first half); pupae from the parameters."""

    def age(x, s):
        return x * stage_days(27, "larva", s)

    lines = {"egg_alive_4": lambda s: left_after(4, 3, "stage: egg", s),
             "second_instar_alive_4": lambda s: left_after(4, 3, f"stage: larva, age: {age(0.15, s):.2f} days", s),
             "third_instar_alive_4": lambda s: left_after(4, 3, f"stage: larva, age: {age(0.25, s):.2f} days", s),
             "fifth_instar_alive_4": lambda s: left_after(4, 3, f"stage: larva, age: {age(0.45, s):.2f} days", s),
             "pupa_chilled": lambda s: alive("pupa", 4, 3, s)}  # fmt: skip
    for key, of in lines.items():
        values = both(of)
        yield Row(key, texts(values, "{:.1f}%"), values, worked_out=key == "pupa_chilled")


def alive(stage, temp_c, days, numbers):
    """Survival in per cent from the parameters: background, cold and freezing."""
    n = numbers_of(numbers)
    cold = np.exp(-n[stage + "_cold_slope"] * (temp_c - 4)) - np.exp(-n[stage + "_cold_slope"] * (n["cold_limit"] - 4))
    hazard = n[stage + "_hazard"] * n["background_floor"] + n[stage + "_cold"] * max(0, cold)  # nothing develops
    hazard += n["freeze_hazard"] * (temp_c < n[stage + "_freeze"])
    return 100 * float(np.exp(-hazard * days))


@row
def prepupae_at_five():
    values = both(lambda s: left_after(5, 23, "stage: prepupa", s))
    yield Row("prepupa_alive_5", texts(values, "{:.0f}%"), values)


@row
def an_hour_at_minus_twelve():
    for stage in ("prepupa", "pupa"):
        values = both(lambda s, stage=stage: alive(stage, -12, 1 / 24, s))
        yield Row(f"{stage}_alive_minus_12", texts(values, "{:.0f}%"), values, worked_out=True)
    values = both(lambda s: alive("pupa", 5, 23, s))
    yield Row("pupa_alive_5", texts(values, "{:.1f}%"), values, worked_out=True)


# ---- flies and eggs ------------------------------------------------------------------------------------------------


def laying_wait(temp_c, numbers, steps=4):
    """Flies that emerge almost at once: eggs by days since emergence, mean and shares."""
    see = lab(temp_c, 45, "stage: prepupa, count: 20000", numbers, species="prepupa_spread: 0.02, pupa_spread: 0.02",
              steps=steps)  # fmt: skip
    out = mean_day(see.adults_emerged[0, :, 0])
    laid = see.eggs_laid[0].astype(float)
    return laid / laid.sum(), np.arange(45) + 0.5 - out, see


@row
def laying():
    shares, days = {}, {}
    for s in SETS:
        shares[s], days[s], _ = laying_wait(27, s)
    on_four = [100 * shares[s][(days[s] > 3.5) & (days[s] < 4.5)].sum() for s in SETS]
    two_to_six = [100 * shares[s][(days[s] > 1.5) & (days[s] < 6.5)].sum() for s in SETS]
    mean = [(shares[s] * days[s]).sum() for s in SETS]
    yield Row("laying_day_4", texts(on_four, "{:.0f}%"), on_four)
    yield Row("laying_2_6", texts(two_to_six, "{:.0f}%"), two_to_six)
    at28 = [float((lambda v: (v[0] * v[1]).sum())(laying_wait(28, s))) for s in SETS]
    yield Row("first_eggs_diets", texts(at28, "{:.1f} d"), at28)
    yield Row("first_eggs_tropics", texts(mean, "on average day {:.1f}"), mean)


@row
def clutches():
    def each(s, t=28):
        see = lab(t, 40, "stage: prepupa, count: 400", s, species="laying_share_lamps: 1, adult_hazard: 0 per day",
                  replicates=200)  # fmt: skip
        females = total(see.adults_emerged) * see.numbers["female_share"]
        return total(see.eggs_laid[:, :32]) / females

    values = both(each)
    for key in ("clutch_practice", "clutch_diets", "clutch_tropics"):
        yield Row(key, texts(values, "{:.0f}"), values)

    def trap(s):
        see = lab(28, 40, "stage: prepupa, count: 120", s, species="laying_share_lamps: 1", replicates=50,
                  keeping="[{do: set traps, in: bench, share_laid_in_traps: 100 %}]")  # fmt: skip
        return total(see.eggs_trapped[:, :32]) / 50

    values = both(trap)
    yield Row("trap", texts(values, "{:,.0f}"), values)


@row
def fly_life():
    def life(s):
        see = lab(27, 90, "stage: prepupa, count: 50000", s)
        flies = total(see.adults_emerged)
        return total(see.count[0, :, 5:7]) / flies + 0.5

    values = both(life)
    yield Row("fly_life_water", texts(values, "{:.1f} d at 27 degC"), values)
    yield Row("fly_life_grain", texts(values, "{:.1f} d"), values)


@row
def sexes():
    yield Row("sexes", ["alike", "alike"], [False, False], worked_out=True)
