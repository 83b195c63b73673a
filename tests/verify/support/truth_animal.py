"""Lines of truth_table.py: stages, survival, flies. Each function asks the program one thing and says what others found."""
import numpy as np
from checking import laboratory, run
from truth_row import NO_BIRTHS, SETS, Row, both, lab, larval, mean_day, numbers_of, row, stage_days, texts, total, within

# ---- how long ------------------------------------------------------------------------------------------------------


@row
def egg_to_hatch():
    hours = both(lambda s: 24 * stage_days(25, "egg", s))
    yield Row("Egg to hatch at 25 degC", "about 100 h", *texts(hours, "{:.0f} h"), "common practice",
              within(hours[0], 95, 105), short="egg to hatch, 25 degC")  # fmt: skip


@row
def larvae_in_the_warm():
    days = {s: [larval(t, s)[0] for t in (25, 28)] for s in SETS}
    said = [f"{max(days[s]):.1f} to {min(days[s]):.1f} d" for s in SETS]
    yield Row("Hatch to prepupa, warm bin, 25 to 28 degC", "3 to 4 weeks", *said, "common practice",
              all(within(d, 20.5, 28.5) for d in days["keepers"]),
              "laboratory trays are more even and faster than bins", short="hatch to prepupa, 25 to 28 degC")  # fmt: skip


@row
def larvae_in_the_cool():
    see = {s: {t: larval(t, s) for t in (18, 20, 27)} for s in SETS}
    said = [f"{see[s][18][0]:.0f} to {see[s][20][0]:.0f} d" for s in SETS]
    yield Row("Hatch to prepupa, cool conditioned house, 18 to 20 degC", "6 to 8 weeks", *said, "common practice",
              within(see["keepers"][18][0], 42, 60) and within(see["keepers"][20][0], 38, 56),
              "18 degC is the slow end, 20 degC the quick one; laboratory trays are faster",
              short="hatch to prepupa, 18 to 20 degC")  # fmt: skip
    heavier = [see[s][18][1] / see[s][27][1] - 1 for s in SETS]
    yield Row("Grubs of a cool house against 27 degC", "larger", *texts(heavier, "{:+.0%}"), "common practice",
              heavier[0] > 0, "published laboratory masses say the opposite, see Harnden & Tomberlin 2016")  # fmt: skip


@row
def near_standstill():
    share = [max(stage_days(27, c, s) / stage_days(18.333, c, s) for c in ("egg", "larva", "prepupa", "pupa")) for s in SETS]
    yield Row("Development at 65 degF (18.3 degC) against 27 degC", "near standstill: at most 40 %", *texts(share, "{:.0%}"),
              "common practice", share[0] <= 0.405, short="development at 65 degF against 27 degC")  # fmt: skip


@row
def development_27_30():
    def ratio(s):
        return np.divide(*[mean_day(lab(t, 90, "stage: larva, age: 5 days, count: 50000", s).adults_emerged[0, :, 0])
                           for t in (27, 30)])  # fmt: skip

    ratios = both(ratio)
    yield Row("Larva of 5 d to adult: longer at 27 than at 30 degC", "11 %", *texts([r - 1 for r in ratios], "{:.0%}"),
              "Tomberlin et al. 2009, abstract", within(ratios[0], 1.08, 1.16),
              "4 d, as published, of a shorter whole", short="5-day larva to adult, 27 against 30 degC")  # fmt: skip


@row
def twelve_diets():
    published = {"larva": (16, 21), "prepupa": (8, 11), "pupa": (8.7, 9.1)}
    days = [[stage_days(28, c, s) for c in published] for s in SETS]
    said = [" / ".join(f"{d:.1f}" for d in v) + " d" for v in days]
    yield Row("Larva / prepupa / pupa near 28 degC, 12 brewery-grain diets", "16-21 / 8-11 / 8.7-9.1 d", *said,
              "Chia et al. 2018, PeerJ, abstract",
              all(within(d, lo - 0.5, hi + 0.5) for d, (lo, hi) in zip(days[0], published.values())),
              "half a day allowed", short="larva / prepupa / pupa near 28 degC")  # fmt: skip
    share, published = [], ((0.86, 0.99), (0.71, 0.95), (0.65, 0.91))
    for s in SETS:
        see = lab(28, 120, "stage: larva, age: 0 days, count: 200000", s)
        crawled, flies = total(see.crawl_off_count), total(see.adults_emerged)
        n = numbers_of(s)
        c2, rate = n["prepupa_spread"] ** 2, 1 / stage_days(28, "prepupa", s)
        hazard = n["prepupa_hazard"] + n["heat_chronic"] * np.exp(n["heat_chronic_slope"] * (28 - n["heat_chronic_from"]))
        prepupa = (1 + hazard * c2 / rate) ** (-1 / c2)
        share.append((crawled / 2e5, prepupa, flies / crawled / prepupa))
    said = [" / ".join(f"{v:.0%}" for v in share[i]) for i in (0, 1)]
    yield Row("Survival as larva / prepupa / pupa, the same diets", "86-99 / 71-95 / 65-91 %", *said,
              "Chia et al. 2018, PeerJ, abstract",
              all(within(v, lo - 0.02, hi + 0.02) for v, (lo, hi) in zip(share[0], published)))  # fmt: skip


@row
def tomberlin_2002():
    larva = both(lambda s: stage_days(27, "larva", s))
    whole = both(lambda s: sum(stage_days(27, c, s) for c in ("egg", "larva", "prepupa", "pupa")))
    yield Row("Larval time at 27 degC, grain diet", "22-24 d", *texts(larva, "{:.1f} d"), "Tomberlin et al. 2002, abstract",
              within(larva[0], 21.95, 24), short="larval time, 27 degC")  # fmt: skip
    yield Row("Egg to adult at 27 degC, grain diet", "40-43 d", *texts(whole, "{:.1f} d"), "Tomberlin et al. 2002, abstract",
              within(whole[0], 39.5, 43.5), "prepupa and pupa are set between three sources that disagree; slower here",
              known=True, short="egg to adult, 27 degC")  # fmt: skip


@row
def dark():
    def longer(s):
        days = []
        for spec in ("{kind: box, dark: yes}", "{kind: box, dark: no}"):
            plan = laboratory(27, 140, "stage: egg, count: 200000", species=NO_BIRTHS, numbers=s, forecast="replicates: 1")
            see = run(plan.replace("housing: laboratory,", f"housing: laboratory, ground: {spec},"))
            days.append(mean_day(see.adults_emerged[0, :, 0]))
        return days[0] / days[1] - 1

    share = both(longer)
    yield Row("Without light, egg to adult takes longer at 27 degC", "38-39 %, most of it in the prepupa",
              *texts(share, "{:.0%}"), "Holmes et al. 2017, abstract", within(share[0], 0.34, 0.43),
              "only the prepupa slows here (by 85 %); theirs slowed in other stages too", known=True,
              short="dark pupation ground, egg to adult")  # fmt: skip


# ---- who lives -----------------------------------------------------------------------------------------------------


@row
def larva_to_adult():
    def share(t, s):
        return total(lab(t, 120, "stage: larva, age: 5 days, count: 200000", s).adults_emerged) / 2e5

    lines = ((27, 0.74, 0.97, "74-97 %"), (30, 0.74, 0.97, "74-97 %"), (36, 0.0005, 0.002, "0.1 %, within a factor of two"))
    for t, low, high, say in lines:
        values = both(lambda s, t=t: share(t, s))
        yield Row(f"5-day larvae that become adults at {t} degC", say, *texts(values, "{:.1%}" if t < 36 else "{:.2%}"),
                  "Tomberlin et al. 2009, abstract", within(values[0], low, high),
                  short="" if t == 30 else f"5-day larvae to adults, {t} degC")  # fmt: skip


def left_after(temp_c, days, starter, numbers):
    see = lab(temp_c, days, starter + ", count: 1000000", numbers)
    return total(see.count[0, -1]) / 1e6


@row
def three_days_at_four():
    """Instars by development (Gligorescu et al. 2019: the first five share the first half); pupae from the numbers."""

    def age(x, s):
        return x * stage_days(27, "larva", s)

    lines = (("eggs", "2 %", 0, 0.04, lambda s: left_after(4, 3, "stage: egg", s)),
             ("second instars", "2 %", 0, 0.04, lambda s: left_after(4, 3, f"stage: larva, age: {age(0.15, s):.2f} days", s)),
             ("third instars", "over 80 %", 0.8, 1, lambda s: left_after(4, 3, f"stage: larva, age: {age(0.25, s):.2f} days", s)),
             ("fifth instars", "over 90 %", 0.9, 1, lambda s: left_after(4, 3, f"stage: larva, age: {age(0.45, s):.2f} days", s)),
             ("pupae", "23 %", 0.18, 0.28, lambda s: alive("pupa", 4, 3, s)))  # fmt: skip
    for name, say, low, high, of in lines:
        values = both(of)
        yield Row(f"{name.capitalize()} alive after 72 h at 4 degC", say, *texts(values, "{:.1%}"),
                  "Villazana & Alyokhin 2019", within(values[0], low, high),
                  short=f"{name} after 72 h at 4 degC" if name == "pupae" else "")  # fmt: skip


def alive(stage, temp_c, days, numbers):
    """From the record of numbers: background, cold and freezing."""
    n = numbers_of(numbers)
    cold = np.exp(-n[stage + "_cold_slope"] * (temp_c - 4)) - np.exp(-n[stage + "_cold_slope"] * (n["cold_limit"] - 4))
    hazard = n[stage + "_hazard"] + n[stage + "_cold"] * max(0, cold)
    hazard += n["freeze_hazard"] * (temp_c < n[stage + "_freeze"])
    return float(np.exp(-hazard * days))


@row
def prepupae_at_five():
    values = both(lambda s: left_after(5, 23, "stage: prepupa", s))
    yield Row("Acclimated prepupae alive after 23 d at 5 degC", "50 %", *texts(values, "{:.0%}"),
              "Spranghers et al. 2017, abstract", within(values[0], 0.45, 0.55), short="prepupae after 23 d at 5 degC")  # fmt: skip


@row
def an_hour_at_minus_twelve():
    for stage in ("prepupa", "pupa"):
        values = both(lambda s, stage=stage: alive(stage, -12, 1 / 24, s))
        yield Row(f"{stage.capitalize()}e alive after 1 h at -12 degC", "almost none", *texts(values, "{:.0%}"),
                  "Villazana & Alyokhin 2019", values[0] < 0.05,
                  "conflict: Spranghers et al. 2017 freeze them only at -12.4 (prepupae) and -13.7 degC (pupae)", known=True,
                  short="" if stage == "prepupa" else "pupae after 1 h at -12 degC")  # fmt: skip
    values = both(lambda s: alive("pupa", 5, 23, s))
    yield Row("Pupae in the cold: a second conflict, 23 d at 5 degC", "as hardy as prepupae (50 %)", *texts(values, "{:.1%}"),
              "Spranghers et al. 2017, abstract", values[0] > 0.3,
              "conflict: Villazana & Alyokhin 2019 leave 23 % after 72 h at 4 degC, and that is followed", known=True)  # fmt: skip


# ---- flies and eggs ------------------------------------------------------------------------------------------------


def laying_wait(temp_c, numbers, steps=4):
    """Flies that come out nearly together: eggs by days since emergence, mean and shares."""
    see = lab(temp_c, 45, "stage: prepupa, count: 20000", numbers, species="prepupa_spread: 0.02, pupa_spread: 0.02",
              steps=steps)  # fmt: skip
    out = mean_day(see.adults_emerged[0, :, 0])
    laid = see.eggs_laid[0].astype(float)
    return laid / laid.sum(), np.arange(45) + 0.5 - out, see


@row
def laying():
    shares, days, see = {}, {}, {}
    for s in SETS:
        shares[s], days[s], see[s] = laying_wait(27, s)
    on_four = [shares[s][np.abs(days[s] - 4) < 1].sum() for s in SETS]
    two_to_six = [shares[s][(days[s] > 1.5) & (days[s] < 6.5)].sum() for s in SETS]
    mean = [(shares[s] * days[s]).sum() for s in SETS]
    yield Row("Layings on the 4th day after emergence, greenhouse cage", "70 % (and 69 % of matings on the 2nd)",
              *texts(on_four, "{:.0%}"), "Tomberlin & Sheppard 2002, abstract", within(on_four[0], 0.6, 1),
              "waits have no spread of their own here: everyone mates on the first day she can", short="layings on day 4")  # fmt: skip
    yield Row("Layings by flies 2 to 6 days old", "92 % (98 % of matings)", *texts(two_to_six, "{:.0%}"),
              "Dickerson et al. 2024, abstract", within(two_to_six[0], 0.9, 1))  # fmt: skip
    at28 = [float((lambda v: (v[0] * v[1]).sum())(laying_wait(28, s))) for s in SETS]
    yield Row("First eggs, flies near 28 degC, 12 diets", "7-11 d after emergence", *texts(at28, "{:.1f} d"),
              "Chia et al. 2018, PeerJ, abstract", within(at28[0], 7, 11),
              "conflict: Tomberlin & Sheppard 2002, Dickerson 2024 and Julita 2020 see the 4th day, and are followed",
              known=True, short="first eggs after emergence, 28 degC")  # fmt: skip
    yield Row("First eggs outdoors in the tropics", "from the 4th day, for 4-10 days", *texts(mean, "on average day {:.1f}"),
              "Julita et al. 2020, abstract", within(mean[0], 3.5, 6))  # fmt: skip


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
                  within(values[0], low, high), short=brief)  # fmt: skip

    def trap(s):
        see = lab(28, 40, "stage: prepupa, count: 120", s, species="laying_share_lamps: 1", replicates=50,
                  keeping="[{do: set traps, in: bench, share_laid_in_traps: 100 %}]")  # fmt: skip
        return total(see.eggs_trapped[:, :32]) / 50

    values = both(trap)
    yield Row("Eggs in a well-filled trap, of some 50 females", "tens of thousands", *texts(values, "{:,.0f}"),
              "common practice", within(values[0], 10000, 100000))  # fmt: skip


@row
def fly_life():
    def life(s):
        see = lab(27, 90, "stage: prepupa, count: 50000", s)
        flies = total(see.adults_emerged)
        return total(see.count[0, :, 5:7]) / flies + 0.5

    values = both(life)
    yield Row("Life of flies with water near 28 degC", "11-14 d (without: 5 d)", *texts(values, "{:.1f} d at 27 degC"),
              "Chia et al. 2018, PeerJ, abstract", within(values[0], 10.5, 14),
              "between the two papers: this one and Tomberlin et al. 2002 (8 to 9 d)", known=True)  # fmt: skip
    yield Row("Life of flies at 27 degC, grain diet", "male 9, female 8 d", *texts(values, "{:.1f} d"),
              "Tomberlin et al. 2002, abstract", within(values[0], 7.5, 10.5), "no difference of the sexes here",
              short="life of a fly, 27 degC")  # fmt: skip


@row
def sexes():
    yield Row("Females against males", "17-19 % heavier, 0.6-0.8 d longer as larvae, live about 3.5 d less", "alike", "alike",
              "Tomberlin et al. 2009, abstract", False, "left out: sexes are drawn when flies emerge", known=True)  # fmt: skip
