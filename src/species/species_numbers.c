/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * How big, how fast, how hardy is a black soldier fly?
 *
 * Two sets of parameters. "keepers" follows what keepers see in uneven bins, and
 * published trials where practice says nothing; "laboratory" is fitted to published
 * laboratory curves only, with the reason beside each value that differs. Every
 * value has its source beside it:
 *     published          author, year, journal
 *     MEMORY             recalled from the literature, the source not checked again
 *     common practice    what keepers commonly report
 *     derived            computed from the sources named
 *     judgement          chosen here; a scenario can set it
 * "abstract" marks papers of which only the abstract was read. Papers cited several
 * times are given in full once:
 *     chilled eggs       The phases and effects of low temperature exposure on
 *                        embryonic development in Hermetia illucens, J. Insects
 *                        Food Feed, abstract
 *     Feedipedia         Black soldier fly larvae, feedipedia.org/node/16388
 *     food waste bins    Potential application of black soldier fly larva bins in
 *                        treating food waste, Insects 2023, 14:434, abstract
 *     Chia PLoS          Chia et al. 2018, PLoS ONE 13:e0206097, abstract
 *     Chia PeerJ         Chia et al. 2018, PeerJ 6:e5885 (PMC6272031), abstract
 *     Julita             Julita et al. 2020, J. Entomol. 17:117, abstract
 *     Sheppard           Sheppard et al. 2002, J. Med. Entomol. 39:695, MEMORY
 *     Li                 Li et al. 2022, J. Insects Food Feed 8:681, abstract
 */
#include "species/species.h"

#include <string.h>

static const struct wg_species keepers = {
    .rate =
        {
            /* MEMORY: with m = 2 this is the first form of Briere et al. 1999, Environ. Entomol. 28:22 */
            [WG_CLOCK_EGG] = {.a = 1.90226e-4, /* derived: 100 h at 25 degC (common practice) */
                              .t0_c = 12.0,    /* judgement: no progress at 10 degC (chilled eggs) */
                              .tm_c = 40.0,    /* judgement: none develop at 42 degC (Chia PLoS, MEMORY) */
                              .m = 2.0},
            [WG_CLOCK_LARVA] = {.a = 3.44526e-5, /* derived: 22 d at 27 degC (common practice: 3 to 4 weeks warm) */
                                .t0_c = 11.7,    /* Chia PLoS, non-linear */
                                .tm_c = 37.2,    /* judgement: the lowest of 37.2-44.0 degC for three stages (same) */
                                .m = 2.0},
            /*
             * derived: 8.5 and 10 d at 27 degC, between three sources that disagree: Tomberlin, Sheppard & Joyce
             * 2002, Ann. Entomol. Soc. Am. 95:379 (egg to adult 40-43 d of which 22-24 as larva; ours 44.1 and 22);
             * Chia PeerJ (8-11 and 8.7-9.1 d near 28 degC; ours 8.1 and 9.5); Tomberlin, Adler
             * & Myers 2009, Environ. Entomol. 38:930 (5-day larva to adult about 40 and 36 d at 27 and 30 degC, derived
             * from "4 d, 11 % longer"; ours 35.5 and 31.0).
             */
            [WG_CLOCK_PREPUPA] =
                {.a = 8.75850e-5, .t0_c = 12.0 /* judgement */, .tm_c = 38.0 /* judgement */, .m = 2.0},
            [WG_CLOCK_PUPA] = {.a = 7.44472e-5, .t0_c = 12.0 /* judgement */, .tm_c = 38.0 /* judgement */, .m = 2.0},
            [WG_CLOCK_ADULT] = {.a = 4.17690e-5, /* derived: 11 d at 27 degC, with water (Chia PeerJ) */
                                .t0_c = 8.0,     /* derived: cannot walk below 8-13 degC (Li) */
                                .tm_c = 45.0,    /* derived: knocked out at 45-51 degC (same) */
                                .m = 2.0},
        },
    /* judgement: wider than in laboratory trays, because feed and warmth vary within a bin */
    .spread = {[WG_CLOCK_EGG] = 0.06,
               [WG_CLOCK_LARVA] = 0.22,
               [WG_CLOCK_PREPUPA] = 0.25,
               [WG_CLOCK_PUPA] = 0.12,
               [WG_CLOCK_ADULT] = 0.30},
    /* Holmes, VanLaerhoven & Tomberlin 2017, Environ. Entomol. 46(6), abstract: after feeding + 80-90 % heat units */
    .dark_prepupa_factor = 1.85,

    /* at 27 degC, from the share that lives through the stage; the hazard follows the pace of development, so that share
       is the same wherever development is quick (death.h) */
    .hazard = {[WG_CLOCK_EGG] = 0.058,     /* judgement: 81 % hatch */
               [WG_CLOCK_LARVA] = 0.0074,  /* judgement: 85 %; 86-99 % in Chia PeerJ */
               [WG_CLOCK_PREPUPA] = 0.006, /* judgement: 95 %; 71-95 % in the same */
               [WG_CLOCK_PUPA] = 0.010,    /* judgement: 90 %; 65-91 % in the same */
               [WG_CLOCK_ADULT] = 0.02},   /* judgement: accidents, beside old age */
    /* judgement: animals that stand still are less at risk, yet not safe. No study separates background from cold */
    .background_floor = 0.2,
    /* judgement: 24 % die of it in 180 days, before any cold; no study of dormant prepupae was found. Near the floor of
       active prepupae (0.0012) */
    .dormant_hazard = 0.0015,
    /* derived: 0.1 % of 5-day larvae become adults at 36 degC (Tomberlin, Adler & Myers 2009); slope: judgement */
    .heat_chronic = 0.15,
    .heat_chronic_slope = 1.1,
    .heat_chronic_c = 36.0,
    /* judgement: an hour at 47 degC kills most; flies fall at 45-51 degC (Li) */
    .heat_acute = 24.0,
    .heat_acute_slope = 1.5,
    .heat_acute_c = 47.0,
    .cold_limit_c = 16.0, /* judgement */
    /*
     * Each h4 is derived from a survival S after D days at T degC, which is that of cold and background together; in the
     * cold the background is background_floor times the stage's hazard. So
     *     h4 (exp(-s (T - 4)) - exp(-12 s)) = -ln(S)/D - background.
     * All slopes but that of eggs are judgement.
     */
    /* derived: 2 % alive after 72 h at 4 degC (Villazana & Alyokhin 2019, J. Econ. Entomol. 112:2632); slope from
       70-80 % hatch after 24 h at 10 degC (chilled eggs) */
    .cold_egg = {.h4 = 1.34, .s = 0.275},
    .cold_young_larva = {.h4 = 1.35, .s = 0.275}, /* derived: second instars, 2 % (Villazana & Alyokhin 2019); slope
                                                     judgement: that of eggs */
    .cold_old_larva = {.h4 = 0.028, .s = 0.20},   /* derived: fifth instars, over 90 % (same): leaves 92 %; 0.037 leaves
                                                     90 %; slope judgement */
    .cold_prepupa = {.h4 = 0.040, .s = 0.18},     /* derived: half dead after 23 d at 5 degC, acclimated (Spranghers et
                                                     al. 2017, J. Econ. Entomol. 110:1501): 0.0301 a day, of which the
                                                     background is 0.0012 (0.0015 if dormant) */
    .cold_pupa = {.h4 = 0.51, .s = 0.25},         /* derived: 23 % (Villazana & Alyokhin 2019). Pupae as hardy as
                                                     prepupae (Spranghers et al. 2017) would have 0.039: unresolved */
    .cold_adult = {.h4 = 0.70, .s = 0.15},        /* judgement: no flies in winter (common practice) */
    .young_larva_x = 0.15,                        /* derived: middle of the second instar, see next */
    /*
     * derived: over 80 % of third instars survive 72 h at 4 degC (Villazana & Alyokhin 2019), so the old curve must
     * nearly hold from the third instar. Of six feeding instars the first five are fast and the sixth slow
     * (Gligorescu et al. 2019, J. Appl. Entomol., pp. 875-881, abstract): the first five share the first half of larval
     * development (judgement), so the third lasts from 0.20 to 0.30. With the old curve from 0.27 on, 86 % survive at
     * 0.25; from 0.29 on, 79 %; with old_larva_cold 0.01 and from 0.32 on, 81 %; from 0.70 on, 15 %.
     */
    .old_larva_x = 0.27,
    .freeze_c = {[WG_CLOCK_EGG] = -10.0,  /* judgement: 2 % alive after 1 h at -12 degC (Villazana & Alyokhin 2019) */
                 [WG_CLOCK_LARVA] = -7.3, /* Spranghers et al. 2017 */
                 [WG_CLOCK_PREPUPA] = -12.4, /* same; none alive after 1 h at -12 degC in the other paper: unresolved */
                 [WG_CLOCK_PUPA] = -13.7,    /* same, same conflict */
                 [WG_CLOCK_ADULT] = -5.0},   /* judgement: dead of cold before that */
    .freeze_hazard = 120.0, /* derived: fewer than 1 % of larvae survive an hour at -12 degC (Villazana &
                                        Alyokhin 2019); 96 leaves 2 % */
    .starvation = 0.02,     /* derived: a tenth of full-grown larvae survive four months (scarce feed: larval time up
                               to 4 months, Feedipedia). Small larvae starve faster: wg_hunger_by_size() */

    .hatch_mass_g = 30e-6,    /* judgement: an egg and its first meal */
    .egg_mass_g = 25e-6,      /* common practice */
    .final_mass_g = 0.20,     /* judgement: largest reported 0.22 g (Feedipedia); 0.221 to 0.225 g prepupae in
                               small outdoor bins (food waste bins) */
    .mass_cool_per_k = 0.02,  /* judgement: bigger grubs in a cool winter house (common practice) */
    .mass_cool_to_c = 18.0,   /* judgement */
    .mass_ref_c = 27.0,       /* definition: the temperature to which final_mass_g refers */
    .mass_warm_from_c = 30.0, /* judgement */
    .mass_warm_per_k = 0.03,  /* judgement */
    /*
     * derived: from 7 ug dry at hatch (30 % of the egg) to 4.28 mg dry at 7-10 d (Padmanabha et al. 2020, PLoS ONE
     * 15:e0239084) is 0.75 a day, over 22 d. Half of the final mass is then reached at x = 0.53, nearly all at 0.8.
     */
    .growth_rate = 16.5,
    .larva_dry = 0.33,          /* judgement */
    .conversion = 0.235,        /* derived: about 20 % of the dry matter given (Dortmans et al. 2017, step-by-step
                                   guide, MEMORY), of which 85 % can be eaten (judgement) */
    .pupation_mass_g = 0.03,    /* judgement: no published minimum was found; prepupae on scarce feed weigh about 50 mg
                                 (Diener et al. 2009, Waste Manag. Res. 27:603, MEMORY) and become flies */
    .ration_floor = 0.4,        /* judgement: starved larvae take up to 4 months (Feedipedia) */
    .gas_share = 0.24,          /* Parodi et al. 2020, Bioconversion efficiencies, greenhouse gas and ammonia
                                emissions during black soldier fly rearing, abstract */
    .heat_per_dry_feed = 4.2e6, /* derived from gas_share: 45 % carbon in dry feed, 10.7 kJ per g CO2 */
    .microbe_loss = 0.03,       /* judgement */
    .microbe_q10 = 2.0,         /* judgement: the rule of thumb for decay */
    .microbe_ref_c = 27.0,      /* definition: the temperature to which microbe_loss refers */

    .female_share = 0.5,    /* common practice */
    .mate_after_days = 2.0, /* Tomberlin & Sheppard 2002, J. Entomol. Sci. 37:345, abstract: 69 % of matings on day 2 */
    .lay_after_days = 2.0,  /* same: 70 % of layings on day 4 */
    .mate_light_w_m2 = 100.0, /* judgement: sun or strong light is needed (Sheppard) */
    .mate_air_c = 24.0,       /* judgement: mating starts at 27-29 degC (Julita) */
    .mate_hours_min = 2.0,    /* judgement */
    .mate_hours_full = 4.0,   /* judgement */
    .males_needed = 1.0,      /* judgement: without a male no eggs; one mates with many */
    /* judgement: with a step at 24 degC a colony would die out at 23.9 and thrive at 24.1, which no keeper sees; the
     * ramp runs from 22 to 26 degC */
    .fly_warmth_width_k = 4.0,
    .lay_air_c = 24.0,       /* judgement: 99.6 % between 27.5 and 37.5 degC (Booth & Sheppard 1984, Environ. Entomol.
                                13:421, MEMORY) */
    .lay_hours_min = 2.0,    /* judgement */
    .clutch_low = 400.0,     /* common practice */
    .clutch_high = 900.0,    /* common practice */
    .clutch_mass_low = 0.4,  /* judgement */
    .clutch_mass_high = 1.2, /* judgement */
    .clutch_most = 0.2,      /* judgement: clutches of full-sized mothers weigh 5 to 11 % of their mass as prepupae */
    .clutch_warm_days = 3.0, /* judgement */
    .laying_share_sun = 0.8, /* judgement */
    /* derived: 315 mg of eggs from 50 females (Kobelski et al. 2024, Front. Bioeng. Biotechnol. 12:1404776) is 225-252
       eggs a female at 25-28 ug an egg, divided by a clutch of 500-600 */
    .laying_share_lamps = 0.45,
    .stay_closed = 0.9,      /* judgement */
    .stay_open = 0.3,        /* judgement */
    .trap_hatch_reach = 0.5, /* judgement: traps hang beside the waste, and some hatchlings find it */

    /* judgement throughout; common practice says only that prepupae overwinter */
    .dorm_by_day = 1.0,
    .dorm_day_h = 12.0,
    .dorm_day_scale = 0.25,
    .dorm_temp_c = 22.0,
    .dorm_temp_scale = 1.0,
    /* Judgement between two findings: at 20 degC prepupae in lit laboratories pupate without a rest (Chia et al. 2018,
     * PLoS ONE 13:e0206097, abstract), so at most a few per cent may sleep there; outdoors they overwinter as prepupae
     * (common practice). Some laboratories bring no flies out at 16 degC (Holmes et al. 2016, MEMORY). */
    .dorm_by_cold_c = 16.5,
    .dorm_open_cold_days = 21.0,
    .dorm_open_cold_c = 15.0,
    .dorm_open_days = 60.0,
    .dorm_heat_base_c = 12.0,
    /* Judgement. With 80, half of the dormant prepupae resume in warm spells before midwinter and the others emerge
     * within 19 days (10 to 90 %, simulated, mild winter); keepers see emergence over three weeks or more (common
     * practice). With 150 it takes four weeks. */
    .dorm_heat_median = 150.0,
    .dorm_heat_sigma = 0.6,
    .dorm_resume_x = 0.5,

    .wild_air_c = 20.0, /* judgement */
    .wild_day_h = 11.0, /* judgement */
};

/*
 * One curve for all immature stages, the second form of Briere et al. 1999, fitted to
 * published curves (two of Padmanabha et al. 2020; the two straight lines of Chia et al.
 * 2018; the 11 % of Tomberlin, Adler & Myers 2009); root mean square of the log ratio 0.11.
 * t0: the lower of the non-linear thresholds of Chia et al. 2018, because it fits the slow
 * development at 15-18 degC; tm: the upper limit in Padmanabha et al. 2020.
 */
#define LAB_CURVE .t0_c = 10.4, .tm_c = 39.8, .m = 1.575

static void make_laboratory(struct wg_species *s) {
    *s = keepers;
    s->rate[WG_CLOCK_EGG] = (struct wg_rate){.a = 1.210e-4, LAB_CURVE};     /* derived: 102-105 h at 24 degC (Booth &
                                                                           Sheppard 1984, MEMORY): 3.3 d at 30 degC */
    s->rate[WG_CLOCK_LARVA] = (struct wg_rate){.a = 2.269e-5, LAB_CURVE};   /* derived: 17.6 d at 30 degC, the geometric
                                                                             mean of ten published values; 2.832e-5 is
                                                                             14.1 d, the better diet of Chia et al. */
    s->rate[WG_CLOCK_PREPUPA] = (struct wg_rate){.a = 4.991e-5, LAB_CURVE}; /* derived: 8.0 d at 30 degC (Chia et al.
                                                                               2018, PeerJ; Tomberlin 2002, 2009) */
    s->rate[WG_CLOCK_PUPA] = (struct wg_rate){.a = 4.991e-5, LAB_CURVE};    /* same */
    /* derived: 10 d at 27 degC, between 8-9 d (Tomberlin et al. 2002) and 11-14 d (Chia et al. 2018, PeerJ); the
       keepers' curve. Kobelski et al. 2024 find no longer life in the cool (9.2 d at 20 degC), which a rising curve
       cannot reproduce. */
    s->rate[WG_CLOCK_ADULT].a = 4.59459e-5;

    /* trays are uniform: derived from 70 % of layings on one day (Tomberlin & Sheppard 2002), the rest judgement */
    s->spread[WG_CLOCK_LARVA] = 0.12;
    s->spread[WG_CLOCK_PREPUPA] = 0.20;
    s->spread[WG_CLOCK_PUPA] = 0.10;
    s->spread[WG_CLOCK_ADULT] = 0.36; /* derived: Weibull shape 3 (judgement) */

    /*
     * derived: hazards that give a gamma stage the survival S, h = (S^(-c^2) - 1)/(c^2 days at 27 degC); as the hazard
     * follows the pace of development, S holds at 28 degC as well.
     * S: egg 0.80 (judgement), larva 0.93, prepupa 0.95, pupa 0.92, together 0.81: inside 0.74-0.97 (Tomberlin,
     * Adler & Myers 2009) and inside the ranges of Chia et al. 2018, PeerJ, whose midpoint (0.65) is lower.
     */
    s->hazard[WG_CLOCK_EGG] = 0.0611;
    s->hazard[WG_CLOCK_LARVA] = 0.00373;
    s->hazard[WG_CLOCK_PREPUPA] = 0.00580;
    s->hazard[WG_CLOCK_PUPA] = 0.00942;
    s->hazard[WG_CLOCK_ADULT] = 0.0; /* published life spans include all deaths, so the clock does */
    /* derived: 0.1 % at 36 degC as above, but these larvae develop faster there (no limit at 37.2 degC); slope from a
       logistic fall of width 0.8 K (judgement) */
    s->heat_chronic = 0.20;
    s->heat_chronic_slope = 1.25;

    /*
     * derived: a curve h4 exp(k (4 - T)) through the survivals at 4 degC and after 1 h at -12 degC (Villazana &
     * Alyokhin 2019; prepupa: Spranghers et al. 2017 at 5 degC), converted to the form used here: s = k, and h4 less
     * the background hazard in the cold, divided by 1 - exp(-12 k), so that the hazard at 4 degC (prepupa: 5) is the
     * measured one although the curve ends at the limit. The keepers' slopes are gentler for old larvae, prepupae and pupae: with
     * these, prepupae would survive at 10 degC for most of a year, which no keeper sees.
     */
    s->cold_egg = (struct wg_cold){.h4 = 1.346, .s = 0.267};
    s->cold_young_larva = (struct wg_cold){.h4 = 1.358, .s = 0.267};
    s->cold_old_larva = (struct wg_cold){.h4 = 0.0344, .s = 0.503};
    s->cold_prepupa = (struct wg_cold){.h4 = 0.0472, .s = 0.483};
    s->cold_pupa = (struct wg_cold){.h4 = 0.4965, .s = 0.339};

    s->growth_rate = 14.6;   /* derived as above: 0.75 a day over 19.5 d at 27 degC */
    s->final_mass_g = 0.176; /* Broeckx et al. 2021, Sustainability 13:12953, abstract: the best of 14 diets */
    /* derived: 30 % heavier at 27.6 and 32.2 than at 24.9 degC (Harnden & Tomberlin 2016, Forensic Sci. Int. 266:109,
       abstract), the opposite of what keepers see in the cool; unknown below, so constant */
    s->mass_cool_per_k = -0.11;
    s->mass_cool_to_c = 24.9;
    s->mass_warm_from_c = 32.2;

    s->female_share = 0.55; /* Tomberlin, Sheppard & Joyce 2002: 55-60 % of emerged flies */
    /*
     * derived: 28 degree-days above 12 degC to mating and as many from mating to laying (Kobelski et al. 2024), at 27
     * degC
     */
    s->mate_after_days = 1.87;
    s->lay_after_days = 1.87;
    /* derived: caged flies laid from 20 degC on (Chia et al. 2018, in Kobelski et al. 2024), under lamps */
    s->mate_air_c = 20.0;
    s->lay_air_c = 20.0;
    s->fly_warmth_width_k = 0.0; /* judgement: the published clutch-temperature curve already declines smoothly */
    s->clutch_low = 324.0;       /* Chia et al. 2018, PeerJ: 324-787 over 12 diets, abstract */
    s->clutch_high = 787.0;
    s->laying_share_sun = 0.7; /* judgement */
}

int wg_species_set(struct wg_species *species, const char *name) {
    if (strcmp(name, "keepers") == 0) {
        *species = keepers;
        return 0;
    }
    if (strcmp(name, "laboratory") == 0) {
        make_laboratory(species);
        return 0;
    }
    return -1;
}
