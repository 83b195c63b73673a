/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Day length, radiation, vapour pressure and loss to the sky: published formulas, one pure function each.
 *
 * Equation numbers are those of Allen, Pereira, Raes & Smith 1998, FAO Irrigation
 * and Drainage Paper 56, chapter 3. The day of the year is 1..366. Latitude in
 * degrees, north positive, -90..90; the formulas hold in both hemispheres.
 * Radiation is horizontal, in MJ m-2 d-1 unless the name says W m-2.
 */
#ifndef WG_CLIMATE_SUN_H
#define WG_CLIMATE_SUN_H

/**
 * Hours from sunrise to sunset, 0..24, with refraction and for the sun's upper limb:
 * the model CBM of Forsythe et al. 1995, Ecol. Model. 80:87, with p = 0.8333.
 */
double wg_day_length_h(double latitude_deg, int day_of_year);
/** The same with the sun's centre p degrees below the horizon: 0 geometric, 6 civil twilight. */
double wg_day_length_at_h(double latitude_deg, int day_of_year, double p);

/** eq. 23: inverse relative distance of the sun, squared; about 0.97..1.03. */
double wg_sun_distance(int day_of_year);
/** eq. 24: declination, rad. */
double wg_sun_declination(int day_of_year);
/** eq. 25: hour angle of sunset, rad, 0 (polar night) to pi (midnight sun). */
double wg_sun_hour_angle(double latitude_deg, int day_of_year);
/** eq. 34: hours of daylight without refraction: a few minutes less than wg_day_length_h(). */
double wg_sun_daylight_h(double latitude_deg, int day_of_year);
/** eq. 21: extraterrestrial radiation. */
double wg_sun_above(double latitude_deg, int day_of_year);
/** eq. 28, integrated over each hour: share of the day's radiation in solar hour h..h+1; sums to 1, or 0 without sun. */
void wg_sun_shares(double latitude_deg, int day_of_year, double share[24]);
/** eq. 37: clear-sky radiation at an elevation above sea level. */
double wg_sun_clear(double above, double elevation_m);
/**
 * eq. 50 (Hargreaves), at most eq. 37: radiation estimated from the daily temperature range; a high below the low
 * counts as range 0. coefficient: 0.16 inland, 0.19 on a coast. Rough for one day, good for a weekly mean.
 */
double wg_sun_from_range(double high_c, double low_c, double above, double coefficient, double elevation_m);

/** eq. 11: vapour pressure of saturated air, kPa. */
double wg_vapour_saturated_kpa(double temp_c);
/**
 * eq. 39: net long-wave loss to the sky, W m-2, daily mean. The ratio of `radiation` to `clear`-sky radiation stands
 * for cloud cover and is clamped to 0.3..1 (0.7 without any sun: judgement).
 */
double wg_sky_loss_w_m2(double high_c, double low_c, double vapour_kpa, double radiation, double clear);

#endif
