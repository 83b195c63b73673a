/* layer: figures, private */
/**
 * Words on axes and at the ends of lines.
 */
#ifndef WG_FIGURES_LABEL_H
#define WG_FIGURES_LABEL_H

#include <stdint.h>

#define WG_LABEL 96

/** Three figures that count: "0", "0.05", "12.3", "95,400", "1.2 million", "4.1 x 10^17"; "-" for NaN. */
void wg_label_number(double value, char out[WG_LABEL]);
/** Exactly, for ticks: "0.5", "10,000", "1 million", 10 to a power in raised figures from 10^15 on. */
void wg_label_tick(double value, char out[WG_LABEL]);
/** "1.2 kg (2.65 lb)"; below 100 g "29 g (1.02 oz)" */
void wg_label_mass(double kg, char out[WG_LABEL]);
/** "1.2 to 2.4 kg (2.65 to 5.29 lb)" */
void wg_label_mass_range(double low_kg, double high_kg, char out[WG_LABEL]);
/** "-3.2 °C (26 °F)" */
void wg_label_temperature(double celsius, char out[WG_LABEL]);
/** "12 May 2027"; the last day is not passed by. */
void wg_label_date(int32_t first_day, double day, char out[WG_LABEL]);
/** "years" when the period is about one, else "futures", as the forecast says. */
const char *wg_label_noun(int n_days);

#endif
