"""Lines of truth_table.py: stages, survival, flies. Each function runs the program and compares it with a published finding."""
import numpy as np
from checking import laboratory, run
from truth_row import (NO_BIRTHS, SETS, Row, Said, both, lab, larval, mean_day, numbers_of, row, stage_days, texts, total,
                       window)  # fmt: skip

# ---- how long ------------------------------------------------------------------------------------------------------


@row
def egg_to_hatch():
    hours = both(lambda s: 24 * stage_days(25, "egg", s))
    yield Row("Egg to hatch at 25 degC", "about 100 h", *texts(hours, "{:.0f} h"), "common practice",
              [(window(95, 105, 5, " h", 0), hours)], worked_out=True, short="egg to hatch, 25 degC")  # fmt: skip


@row
def larvae_in_the_warm():
    days = {s: [larval(t, s)[0] for t in (25, 28)] for s in SETS}
    said = [f"{max(days[s]):.1f} to {min(days[s]):.1f} d" for s in SETS]
    yield Row("Hatch to prepupa, warm bin, 25 to 28 degC", "3 to 4 weeks", *said, "common practice",
              [(window(21, 28, 1, " d"), [days[s][i] for s in SETS]) for i in (0, 1)],
              why="laboratory trays are more even and faster than bins", short="hatch to prepupa, 25 to 28 degC")  # fmt: skip


@row
def larvae_in_the_cool():
    see = {s: {t: larval(t, s) for t in (18, 20, 27)} for s in SETS}
    said = [f"{see[s][18][0]:.0f} to {see[s][20][0]:.0f} d" for s in SETS]
    yield Row("Hatch to prepupa, cool conditioned house, 18 to 20 degC", "6 to 8 weeks", *said, "common practice",
              [(window(42, 56, 2, " d", 0), [see[s][t][0] for s in SETS]) for t in (18, 20)],
              why="18 degC is the slow end, 20 degC the quick one; laboratory trays are faster",
              short="hatch to prepupa, 18 to 20 degC")  # fmt: skip
    heavier = [see[s][18][1] / see[s][27][1] - 1 for s in SETS]
    yield Row("Grubs of a cool house against 27 degC", "larger", *texts(heavier, "{:+.0%}"), "common practice",
              [(Said("larger"), [h > 0 for h in heavier])],
              why="published laboratory masses say the opposite, see Harnden & Tomberlin 2016")  # fmt: skip


@row
def near_standstill():
    share = [max(stage_days(27, c, s) / stage_days(18.333, c, s) for c in ("egg", "larva", "prepupa", "pupa")) for s in SETS]
    yield Row("Development at 65 degF (18.3 degC) against 27 degC", "near standstill: at most 40 %", *texts(share, "{:.0%}"),
              "common practice", [(window(-np.inf, 40, 4, " %", 0), [100 * v for v in share])], worked_out=True,
              short="development at 65 degF against 27 degC")  # fmt: skip


@row
def development_27_30():
    def longer(s):
        days = [mean_day(lab(t, 90, "stage: larva, age: 5 days, count: 50000", s).adults_emerged[0, :, 0]) for t in (27, 30)]
        return 100 * (days[0] / days[1] - 1)

    values = both(longer)
    yield Row("Larva of 5 d to adult: longer at 27 than at 30 degC", "11 %", *texts(values, "{:.0f}%"),
              "Tomberlin et al. 2009, abstract", [(window(10, 12, 3, " %", 0), values)],
              why="4 d, as published, of a shorter whole", short="5-day larva to adult, 27 against 30 degC")  # fmt: skip


@row
def twelve_diets():
    published = {"larva": (16, 21), "prepupa": (8, 11), "pupa": (8.7, 9.1)}
    days = [[stage_days(28, c, s) for c in published] for s in SETS]
    said = [" / ".join(f"{d:.1f}" for d in v) + " d" for v in days]
    yield Row("Larva / prepupa / pupa near 28 degC, 12 brewery-grain diets", "16-21 / 8-11 / 8.7-9.1 d", *said,
              "Chia et al. 2018, PeerJ, abstract",
              [(window(*ends, 0.5, " d"), [v[i] for v in days]) for i, ends in enumerate(published.values())],
              worked_out=True, short="larva / prepupa / pupa near 28 degC")  # fmt: skip
    share, published = [], ((86, 99), (71, 95), (65, 91))
    for s in SETS:
        see = lab(28, 120, "stage: larva, age: 0 days, count: 200000", s)
        crawled, flies = total(see.crawl_off_count), total(see.adults_emerged)
        n = numbers_of(s)
        c2, rate = n["prepupa_spread"] ** 2, 1 / stage_days(28, "prepupa", s)
        hazard = n["prepupa_hazard"] * stage_days(27, "prepupa", s) * rate + n["heat_chronic"] * np.exp(n["heat_chronic_slope"] * (28 - n["heat_chronic_from"]))
        prepupa = (1 + hazard * c2 / rate) ** (-1 / c2)
        share.append([100 * v for v in (crawled / 2e5, prepupa, flies / crawled / prepupa)])
    said = [" / ".join(f"{v:.0f}%" for v in share[i]) for i in (0, 1)]
    yield Row("Survival as larva / prepupa / pupa, the same diets", "86-99 / 71-95 / 65-91 %", *said,
              "Chia et al. 2018, PeerJ, abstract",
              [(window(*ends, 3, " %", 0), [v[i] for v in share]) for i, ends in enumerate(published)])  # fmt: skip


@row
def tomberlin_2002():
    larva = both(lambda s: stage_days(27, "larva", s))
    whole = both(lambda s: sum(stage_days(27, c, s) for c in ("egg", "larva", "prepupa", "pupa")))
    yield Row("Larval time at 27 degC, grain diet", "22-24 d", *texts(larva, "{:.1f} d"), "Tomberlin et al. 2002, abstract",
              [(window(22, 24, 1, " d"), larva)], worked_out=True, why="the laboratory set leans on other trials too",
              short="larval time, 27 degC")  # fmt: skip
    yield Row("Egg to adult at 27 degC, grain diet", "40-43 d", *texts(whole, "{:.1f} d"), "Tomberlin et al. 2002, abstract",
              [(window(40, 43, 1, " d"), whole)], worked_out=True,
              why="prepupa and pupa are set between three sources that disagree; slower here", short="egg to adult, 27 degC")  # fmt: skip


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
    yield Row("Without light, prepupae (post-feeding) take longer at 27 degC", "80-90 %", *texts(after, "{:.0f}%"),
              "Holmes et al. 2017, abstract", [(window(80, 90, 5, " %", 0), after)],
              short="prepupae in the dark take longer, 27 degC")  # fmt: skip
    share = both(whole)
    yield Row("Without light in the pupation ground, egg to adult takes longer at 27 degC", "38-39 % with all stages in the dark",
              *texts(share, "{:.0f}%"), "Holmes et al. 2017, abstract", [(window(38, 39, 4, " %", 0), share)],
              why="feeding larvae live in the dark of a bin, whatever the light: only the prepupa is slower here")  # fmt: skip


# ---- who lives -----------------------------------------------------------------------------------------------------


@row
def larva_to_adult():
    def share(t, s):
        return 100 * total(lab(t, 120, "stage: larva, age: 5 days, count: 200000", s).adults_emerged) / 2e5

    lines = ((27, window(74, 97, 3, " %"), "74-97 %"), (30, window(74, 97, 3, " %"), "74-97 %"),
             (36, window(0.05, 0.2, 0.03, " %", 2), "0.1 %"))  # fmt: skip
    for t, wanted, say in lines:
        values = both(lambda s, t=t: share(t, s))
        yield Row(f"5-day larvae that become adults at {t} degC", say, *texts(values, "{:.1f}%" if t < 36 else "{:.2f}%"),
                  "Tomberlin et al. 2009, abstract", [(wanted, values)],
                  short="" if t == 30 else f"5-day larvae to adults, {t} degC")  # fmt: skip


def left_after(temp_c, days, starter, numbers):
    see = lab(temp_c, days, starter + ", count: 1000000", numbers)
    return 100 * total(see.count[0, -1]) / 1e6


@row
def three_days_at_four():
    """Instars by development (Gligorescu et al. 2019: the first five share the first half); pupae from the parameters."""

    def age(x, s):
        return x * stage_days(27, "larva", s)

    few, most = window(1, 4, 2, " %"), window(90, 100, 3, " %")
    lines = (("eggs", "2 %", few, lambda s: left_after(4, 3, "stage: egg", s)),
             ("second instars", "2 %", few, lambda s: left_after(4, 3, f"stage: larva, age: {age(0.15, s):.2f} days", s)),
             ("third instars", "over 80 %", window(80, 100, 5, " %"),
              lambda s: left_after(4, 3, f"stage: larva, age: {age(0.25, s):.2f} days", s)),
             ("fifth instars", "over 90 %", most, lambda s: left_after(4, 3, f"stage: larva, age: {age(0.45, s):.2f} days", s)),
             ("pupae", "23 %", window(20, 26, 4, " %"), lambda s: alive("pupa", 4, 3, s)))  # fmt: skip
    for name, say, wanted, of in lines:
        values = both(of)
        yield Row(f"{name.capitalize()} alive after 72 h at 4 degC", say, *texts(values, "{:.1f}%"),
                  "Villazana & Alyokhin 2019, abstract", [(wanted, values)], worked_out=name == "pupae",
                  short=f"{name} after 72 h at 4 degC" if name == "pupae" else "")  # fmt: skip


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
    yield Row("Acclimated prepupae alive after 23 d at 5 degC", "50 %", *texts(values, "{:.0f}%"),
              "Spranghers et al. 2017, abstract", [(window(45, 55, 5, " %", 0), values)], short="prepupae after 23 d at 5 degC")  # fmt: skip


@row
def an_hour_at_minus_twelve():
    for stage, source in (("prepupa", "Villazana & Alyokhin 2019, abstract (its larvae)"), ("pupa", "Villazana & Alyokhin 2019, abstract")):
        values = both(lambda s, stage=stage: alive(stage, -12, 1 / 24, s))
        yield Row(f"{stage.capitalize()}e alive after 1 h at -12 degC", "none, or less than 1 %", *texts(values, "{:.0f}%"), source,
                  [(window(-np.inf, 1, 2, " %", 0), values)], worked_out=True,
                  why="conflict: Spranghers et al. 2017 freeze them only at -12.4 (prepupae) and -13.7 degC (pupae)",
                  short="" if stage == "prepupa" else "pupae after 1 h at -12 degC")  # fmt: skip
    values = both(lambda s: alive("pupa", 5, 23, s))
    yield Row("Pupae in the cold: a second conflict, 23 d at 5 degC", "as hardy as prepupae (50 %)", *texts(values, "{:.1f}%"),
              "Spranghers et al. 2017, abstract", [(window(40, 60, 10, " %"), values)], worked_out=True,
              why="conflict: Villazana & Alyokhin 2019 leave 23 % after 72 h at 4 degC, and that is followed")  # fmt: skip


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
    yield Row("Layings on the 4th day after emergence, greenhouse cage", "70 % (and 69 % of matings on the 2nd)",
              *texts(on_four, "{:.0f}%"), "Tomberlin & Sheppard 2002, abstract", [(window(60, 80, 10, " %", 0), on_four)],
              why="waits have no spread of their own here: everyone mates on the first day she can", short="layings on day 4")  # fmt: skip
    yield Row("Layings by flies 2 to 6 days old", "92 % (98 % of matings)", *texts(two_to_six, "{:.0f}%"),
              "Dickerson et al. 2024, abstract", [(window(87, 97, 5, " %", 0), two_to_six)],
              why="waits have no spread of their own here")  # fmt: skip
    at28 = [float((lambda v: (v[0] * v[1]).sum())(laying_wait(28, s))) for s in SETS]
    yield Row("First eggs, flies near 28 degC, 12 diets", "7-11 d after emergence", *texts(at28, "{:.1f} d"),
              "Chia et al. 2018, PeerJ, abstract", [(window(7, 11, 1, " d"), at28)],
              why="conflict: Tomberlin & Sheppard 2002, Dickerson et al. 2024 and Julita et al. 2020 see the 4th day, and are followed",
              short="first eggs after emergence, 28 degC")  # fmt: skip
    yield Row("First eggs outdoors in the tropics", "from the 4th day, for 4-10 days: 6th to 9th day on average",
              *texts(mean, "on average day {:.1f}"), "Julita et al. 2020, abstract", [(window(6, 9, 2, " d"), mean)],
              why="waits have no spread of their own here")  # fmt: skip


@row
def clutches():
    def each(s, t=28):
        see = lab(t, 40, "stage: prepupa, count: 400", s, species="laying_share_lamps: 1, adult_hazard: 0 per day",
                  replicates=200)  # fmt: skip
        females = total(see.adults_emerged) * see.numbers["female_share"]
        return total(see.eggs_laid[:, :32]) / females

    values = both(each)
    for published, source, low, high, brief in (("400 to 900 eggs", "common practice", 400, 900, "a clutch"),
                                                ("324-787 over 12 diets", "Chia et al. 2018, PeerJ, abstract", 324, 787, ""),
                                                ("569-650", "Julita et al. 2020, abstract", 569, 650, "")):  # fmt: skip
        yield Row(f"Eggs of a laying female at 28 degC ({published})", published, *texts(values, "{:.0f}"), source,
                  [(window(low, high, 50, " eggs", 0), values)], short=brief)  # fmt: skip

    def trap(s):
        see = lab(28, 40, "stage: prepupa, count: 120", s, species="laying_share_lamps: 1", replicates=50,
                  keeping="[{do: set traps, in: bench, share_laid_in_traps: 100 %}]")  # fmt: skip
        return total(see.eggs_trapped[:, :32]) / 50

    values = both(trap)
    yield Row("Eggs in a well-filled trap, of some 50 females", "tens of thousands", *texts(values, "{:,.0f}"),
              "common practice", [(window(10000, 100000, 0, " eggs", 0), values)])  # fmt: skip


@row
def fly_life():
    def life(s):
        see = lab(27, 90, "stage: prepupa, count: 50000", s)
        flies = total(see.adults_emerged)
        return total(see.count[0, :, 5:7]) / flies + 0.5

    values = both(life)
    yield Row("Life of flies with water near 28 degC", "11-14 d (without: 5 d)", *texts(values, "{:.1f} d at 27 degC"),
              "Chia et al. 2018, PeerJ, abstract", [(window(11, 14, 1, " d"), values)],
              why="between the two papers: this one and Tomberlin et al. 2002 (8 to 9 d)")  # fmt: skip
    yield Row("Life of flies at 27 degC, grain diet", "male 9, female 8 d", *texts(values, "{:.1f} d"),
              "Tomberlin et al. 2002, abstract", [(window(8, 9, 1, " d"), values)],
              why="between the two papers: Chia et al. 2018, PeerJ, have 11 to 14 d; no difference of the sexes here",
              short="life of a fly, 27 degC")  # fmt: skip


@row
def sexes():
    yield Row("Females against males", "17-19 % heavier, 0.6-0.8 d longer as larvae, live about 3.5 d less", "alike", "alike",
              "Tomberlin et al. 2009, abstract", [(Said("different"), [False, False])], worked_out=True,
              why="left out: sexes are drawn when flies emerge")  # fmt: skip
