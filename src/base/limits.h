/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Limits of a plan's numbers, each defined once: the scenario reader and wg_plan_check() both enforce them.
 *
 * All are judgement: larger than any keeper's, small enough that the model's formulas hold and nothing overflows.
 * The scenario reader may be stricter where a legal value is surely a slip (a bin of less than a litre).
 */
#ifndef WG_BASE_LIMITS_H
#define WG_BASE_LIMITS_H

#define WG_MAX_DAYS 36525 /* 100 years */
#define WG_MAX_REPLICATES 1000000
#define WG_MOST_C 200.0 /* no temperature of a state is further from 0 degC */

/* places */
#define WG_MAX_FLOOR_M2 1e5
#define WG_MAX_COVER_M2 1e6
#define WG_MAX_HOUSE_M3 1e6
#define WG_MAX_U_W_M2K 100.0
#define WG_MAX_AIR_CHANGES 100.0
#define WG_MAX_VENT_AIR_CHANGES 500.0
#define WG_MAX_VENT_ABOVE_C 60.0
#define WG_MAX_SUN_M2 1e5
#define WG_MAX_MASS_J_K 1e12
#define WG_MAX_AIR_J_K 1e11
#define WG_MAX_CONDUCTANCE_W_K 1e7
#define WG_MAX_SKY_M2K_W 1.0
#define WG_MAX_WATER_M3 1e4

/* heaters and mats */
#define WG_MAX_POWER_W 1e7
#define WG_MIN_ROOM_C (-5.0) /* of a room, cellar or refrigerator */
#define WG_MAX_ROOM_C 45.0
#define WG_MIN_SET_POINT_C (-10.0)
#define WG_MAX_SET_POINT_C 60.0
#define WG_MAX_MAT_SET_POINT_C 45.0
#define WG_MIN_EFFICIENCY 0.05
#define WG_MAX_EFFICIENCY 10.0
#define WG_MAX_PRICE 1e6 /* per kWh, kg, animal, or m2 and R */

/* ground */
#define WG_MAX_GROUND_DEPTH_M 3.0
#define WG_MAX_MULCH_M 2.0

/* bins */
#define WG_MAX_BIN_M3 20.0
#define WG_MAX_SUBSTRATE_KG_M3 1200.0 /* packed wet waste weighs about 1 kg per litre */

/* starters, feed, harvest, mishaps, wild flies */
#define WG_MAX_STARTERS 1000000000000000LL /* 1e15 in total: counts stay exact, and no farm has more */
#define WG_MAX_STARTER_KG 1e6
#define WG_MAX_STARTER_AGE_DAYS 365.0
#define WG_MAX_FEED_CONVERSION 2.0
#define WG_MAX_FEED_CONVERSION 2.0 /* kitchen scraps are 1 */
#define WG_MAX_FEED_KG 1e5         /* per feeding */
#define WG_MAX_SCOOP_KG 1e5
#define WG_MAX_MISHAPS_PER_YEAR 365.0
#define WG_MAX_POWER_CUT_HOURS (24.0 * 60)
#define WG_MAX_WILD_PER_DAY 1e6

#endif
