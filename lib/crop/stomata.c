/* Stomata by light, temperature, carbon dioxide and vapour deficit: Stanghellini 1987, thesis Wageningen (tomato),
 * numbers as restated by de Zwart 1996, thesis Wageningen (from memory, unverified):
 *
 *   r_s = r_least f_light f_T f_CO2 f_D
 *
 *   f_light = (I + c1)/(I + c2)      c2 = 0.54 W/m2 per leaf area; c1 follows from the resistance in the dark
 *   f_T = 1 + c3 (T - T0)^2          day c3 = 0.023, T0 = 24.5 degC; night 0.005, 33.6 degC
 *   f_CO2 = 1 + c4 (CO2 - 200)^2     day c4 = 6.1e-7, at most 1.5; night 0 (1.1e-11); CO2 in ppm
 *   f_D = 1 + c5 D^2                 day c5 = 4.3, night 5.2 per kPa2, at most 3.8; D deficit from leaf to air
 *
 * The resistance in the dark is stated at 18 degC, where the night f_T is 2.22 (so 1450 s/m for tomato, c1 = 4.3).
 * Day and night are joined by the light itself: night at none, day from 5 W/m2 per leaf area (restated as a steep
 * logistic step at 5 W/m2 in later work; the width has no source). The limit on f_D is rounded over 0.4. The
 * temperature factor is held to 20 K from T0, where the parabola was never measured. */
#include "crop/stomata.h"

#include <math.h>

#include "air/psychro.h"
#include "base/smooth.h"

static const double light_half = 0.54, light_day = 5.0;
static const double most_deficit_factor = 3.8, most_co2_factor = 1.5;

/* Parabola 1 + c (T - T0)^2, going over into a constant near 20 K from T0. */
static double warmth(double T, double c, double T0, double *slope) {
    double off = T - T0, d_held, held = pinery_base_at_most(off * off, 400.0, 100.0, &d_held);
    *slope = c * d_held * 2.0 * off;
    return 1.0 + c * held;
}

/* The square of a positive part is smooth by itself. */
static double dryness(double deficit, double c, double *slope) {
    double d_most, D = deficit > 0.0 ? 1e-3 * deficit : 0.0;
    double rise = pinery_base_at_most(c * D * D, most_deficit_factor - 1.0, 0.4, &d_most);
    *slope = d_most * 2.0 * c * D * 1e-3;
    return 1.0 + rise;
}

struct pinery_crop_stomata pinery_crop_stomata_of(double least, double dark, double factor) {
    double slope, warm_dark = warmth(18.0, 0.005, 33.6, &slope); /* dark is stated at 18 degC */
    return (struct pinery_crop_stomata){light_half * dark / (warm_dark * least),
                                        factor > 0.0 ? least / factor : INFINITY};
}

struct pinery_crop_resistance pinery_crop_stomata_at(const struct pinery_crop_stomata *stomata, double light,
                                                     double T_leaf, double deficit, double d_sat, double co2) {
    if (isinf(stomata->least))
        return (struct pinery_crop_resistance){INFINITY, 0.0, 0.0};
    double slope, d_warm, d_dry;
    double I = pinery_base_hinge(light - 0.1, 0.1, &slope); /* a curve of light may dip below 0 */
    double open = stomata->least * (I + stomata->light_dark) / (I + light_half);
    double warm = warmth(T_leaf, 0.005, 33.6, &d_warm), dry = dryness(deficit, 5.2, &d_dry);
    double day = pinery_base_ramp(I / light_day, &slope);
    if (day > 0.0) {
        double d_warm_day, warm_day = warmth(T_leaf, 0.023, 24.5, &d_warm_day);
        double d_dry_day, dry_day = dryness(deficit, 4.3, &d_dry_day);
        double over = co2 > 200.0 ? co2 - 200.0 : 0.0;
        open *= pinery_base_at_most(1.0 + day * 6.1e-7 * over * over, most_co2_factor, 0.1, &slope);
        warm += day * (warm_day - warm);
        d_warm += day * (d_warm_day - d_warm);
        dry += day * (dry_day - dry);
        d_dry += day * (d_dry_day - d_dry);
    }
    return (struct pinery_crop_resistance){.value = open * warm * dry,
                                           .d_T_leaf = open * (d_warm * dry + warm * d_dry * d_sat),
                                           .d_e_air = -open * warm * d_dry};
}

struct pinery_crop_resistance pinery_crop_stomata_resistance(double least, double dark, double factor, double light,
                                                             double T_leaf, double e_air, double co2) {
    struct pinery_crop_stomata stomata = pinery_crop_stomata_of(least, dark, factor);
    double d_sat, deficit = pinery_air_saturation(T_leaf, &d_sat) - e_air;
    return pinery_crop_stomata_at(&stomata, light, T_leaf, deficit, d_sat, co2);
}
