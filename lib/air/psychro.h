/* Moist air: saturation, dew point, wet bulb, humidity in its various measures, enthalpy and density.
 *
 * Temperatures degC, pressures Pa. The carrier of humidity is the vapour pressure; the other measures are derived.
 * Moist air is an ideal mixture of ideal gases: the enhancement factor (0.4 to 0.5 % of the vapour) is left out. */
#ifndef PINERY_AIR_PSYCHRO_H
#define PINERY_AIR_PSYCHRO_H

#include <math.h>

#define PINERY_AIR_ZERO_K 273.15
#define PINERY_AIR_GAS_DRY 287.042    /* J/(kg K), of dry air; ASHRAE 2017 Fundamentals ch. 1 eq. 1 */
#define PINERY_AIR_GAS_VAPOUR 461.524 /* J/(kg K), of water vapour; the same, eq. 2 */
#define PINERY_AIR_RATIO 0.621945     /* molar mass of water over that of dry air; the same, eq. 20 */
#define PINERY_AIR_HEAT_DRY 1006.0    /* J/(kg K), specific heat of dry air; the same, eq. 30 */
#define PINERY_AIR_HEAT_VAPOUR 1860.0 /* J/(kg K), specific heat of water vapour; the same */
#define PINERY_AIR_LATENT 2501.0e3    /* J/kg, heat of evaporation at 0 degC; the same */
#define PINERY_AIR_TRIPLE_DEGC 0.01   /* where ice, water and vapour meet */

/* Saturation vapour pressure, Pa, and its slope, Pa/K: Hyland & Wexler 1983 as in ASHRAE 2017 Fundamentals ch. 1 eq. 5
 * and 6, over ice below the triple point and over water above it. Valid for -100 .. 200 degC. */
double pinery_air_saturation_pressure(double temperature_degC);
double pinery_air_saturation_slope(double temperature_degC);
/* Over (supercooled) water at any temperature, as meteorological relative humidity is defined. Valid from -40 degC. */
double pinery_air_saturation_water(double temperature_degC);

/* The same pressure and slope for the inside of a solver: one exp, one sqrt, infinitely smooth.
 *
 * ln e = P(t) + n(t) Q(t): P is a polynomial through the water branch (and its supercooled continuation), Q the ratio
 * ln(e_ice / e_water) / (t - 0.01), and n the negative part of t - 0.01 rounded over 0.05 K, so that the slope changes
 * smoothly from that of ice (50 Pa/K) to that of water (44 Pa/K). Against Hyland & Wexler: within 3e-6 over -50 .. 70
 * degC but for the rounding at the triple point, which is 2.5e-4 there, 1e-5 at 0.6 K from it, 2e-6 at 3 K. It stays
 * positive and rising from -150 to 300 degC. The first function gives ln e, for loops over many. */
static inline double pinery_air_ln_saturation(double temperature_degC, double *slope) {
    double t = temperature_degC, x = t - PINERY_AIR_TRIPLE_DEGC;
    double p = 6.4154452495e+00 +
               t * (7.2645372145e-02 +
                    t * (-2.9854914856e-04 +
                         t * (1.1343062783e-06 +
                              t * (-4.1072096635e-09 +
                                   t * (1.5028406824e-11 + t * (-5.5851697353e-14 + t * 1.5003394136e-16))))));
    double dp =
        7.2645372145e-02 +
        t * (-5.9709829712e-04 +
             t * (3.4029188349e-06 +
                  t * (-1.6428838654e-08 + t * (7.5142034120e-11 + t * (-3.35110184118e-13 + t * 1.05023758952e-15)))));
    double q = 9.70139179e-03 + t * (-5.86970063e-06 + t * (-4.38415105e-08 + t * 2.59770955e-10));
    double dq = -5.86970063e-06 + t * (-8.7683021e-08 + t * 7.79312865e-10);
    double root = sqrt(x * x + 0.05 * 0.05);
    double n = 0.5 * (x - root), dn = 0.5 * (1.0 - x / root);
    *slope = dp + dn * q + n * dq;
    return p + n * q;
}

static inline double pinery_air_saturation(double temperature_degC, double *slope) {
    double e = exp(pinery_air_ln_saturation(temperature_degC, slope));
    *slope *= e;
    return e;
}

/* Dew point by Magnus's formula from ln of the vapour pressure, for a start: within 0.01 K where greenhouses are (over
 * water as in Buck 1981, J. Appl. Meteorol. 20:1527, from memory). */
static inline double pinery_air_dew_point_magnus(double ln_pressure) {
    double x = ln_pressure - 6.415424237852311; /* ln 611.2 Pa */
    return (x > 0.0 ? 238.88 : 272.62) * x / ((x > 0.0 ? 17.368 : 22.46) - x);
}

/* The same by the smooth curve, for loops over many: a round of Newton's method from there, which leaves less than 1e-4
 * K from -40 to 60 degC. */
static inline double pinery_air_dew_point_smooth(double ln_pressure) {
    double slope, t = pinery_air_dew_point_magnus(ln_pressure);
    return t + (ln_pressure - pinery_air_ln_saturation(t, &slope)) / slope;
}

/* Temperature at which vapour of this pressure saturates (over ice below 0.01 degC), within 1e-10 K. */
double pinery_air_dew_point(double vapour_pressure);
/* Thermodynamic wet bulb; ASHRAE 2017 eq. 33 and 35 (ice on the bulb below the triple point). */
double pinery_air_wet_bulb(double temperature_degC, double vapour_pressure, double pressure);

/* Relative humidity as a fraction of saturation (over ice below 0.01 degC). */
double pinery_air_relative_humidity(double temperature_degC, double vapour_pressure);
double pinery_air_vapour_pressure(double temperature_degC, double relative_humidity);

/* Humidity ratio, kg water per kg dry air. */
double pinery_air_humidity_ratio(double vapour_pressure, double pressure);
double pinery_air_vapour_pressure_of_ratio(double humidity_ratio, double pressure);
/* Humidity ratio of air whose wet bulb is known. */
double pinery_air_humidity_ratio_of_wet_bulb(double temperature_degC, double wet_bulb_degC, double pressure);

/* Water vapour per volume, kg/m3. */
double pinery_air_absolute_humidity(double temperature_degC, double vapour_pressure);
/* What is missing to saturation: Pa, and g/m3 as growers count it. */
double pinery_air_vapour_deficit(double temperature_degC, double vapour_pressure);
double pinery_air_humidity_deficit_g_m3(double temperature_degC, double vapour_pressure);

/* Enthalpy of moist air, J per kg dry air, 0 for dry air and liquid water at 0 degC. */
double pinery_air_enthalpy(double temperature_degC, double humidity_ratio);
/* Mass of dry air per volume of moist air, kg/m3. */
double pinery_air_dry_density(double temperature_degC, double vapour_pressure, double pressure);

/* Pressure of the standard atmosphere at an elevation, Pa; ASHRAE 2017 eq. 3, for -5000 .. 11000 m. */
double pinery_air_standard_pressure(double elevation_m);

#endif
