/* Moist air after ASHRAE 2017 Fundamentals, ch. 1 "Psychrometrics"; saturation after Hyland & Wexler 1983, ASHRAE
 * Trans. 89(2A):500. */
#include "air/psychro.h"

#include <stdbool.h>

/* ln of the saturation pressure, and its first and second derivative by temperature */
struct ln_pressure {
    double value, slope, bend;
};

static inline struct ln_pressure over_ice(double kelvin) {
    double t = kelvin, falling = 5.6745359e3 / t;
    return (struct ln_pressure){
        -falling + 6.3925247 + t * (-9.6778430e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 + t * -9.4840240e-13))) +
            4.1635019 * log(t),
        (falling + 4.1635019) / t - 9.6778430e-3 +
            t * (2 * 6.2215701e-7 + t * (3 * 2.0747825e-9 + t * (4 * -9.4840240e-13))),
        -(2 * falling + 4.1635019) / (t * t) + 2 * 6.2215701e-7 + t * (6 * 2.0747825e-9 + t * (12 * -9.4840240e-13))};
}

static inline struct ln_pressure over_water(double kelvin) {
    double t = kelvin, falling = 5.8002206e3 / t;
    return (struct ln_pressure){
        -falling + 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 + t * -1.4452093e-8)) + 6.5459673 * log(t),
        (falling + 6.5459673) / t - 4.8640239e-2 + t * (2 * 4.1764768e-5 + t * (3 * -1.4452093e-8)),
        -(2 * falling + 6.5459673) / (t * t) + 2 * 4.1764768e-5 + t * (6 * -1.4452093e-8)};
}

static inline struct ln_pressure over_either(double temperature_degC) {
    double kelvin = temperature_degC + PINERY_AIR_ZERO_K;
    return temperature_degC < PINERY_AIR_TRIPLE_DEGC ? over_ice(kelvin) : over_water(kelvin);
}

double pinery_air_saturation_pressure(double temperature_degC) {
    return exp(over_either(temperature_degC).value);
}

double pinery_air_saturation_slope(double temperature_degC) {
    struct ln_pressure ln = over_either(temperature_degC);
    return exp(ln.value) * ln.slope;
}

double pinery_air_saturation_water(double temperature_degC) {
    return exp(over_water(temperature_degC + PINERY_AIR_ZERO_K).value);
}

double pinery_air_dew_point(double vapour_pressure) {
    /* Magnus's formula gives the start, Halley's method the rest: a step of 0.03 K leaves less than 1e-10, but for one
     * from ice to water or back */
    double wanted = log(vapour_pressure), t = pinery_air_dew_point_magnus(wanted);
    if (!(t > -150.0 && t < 300.0))
        t = vapour_pressure > 611.2 ? 300.0 : -150.0;
    for (int i = 0; i < 20; i++) {
        struct ln_pressure ln = over_either(t);
        double missing = wanted - ln.value, step = missing * ln.slope / (ln.slope * ln.slope + 0.5 * missing * ln.bend);
        bool ice = t < PINERY_AIR_TRIPLE_DEGC;
        t += step;
        if (fabs(step) < (ice == (t < PINERY_AIR_TRIPLE_DEGC) ? 0.03 : 1e-10))
            break;
    }
    return t;
}

double pinery_air_humidity_ratio_of_wet_bulb(double temperature_degC, double wet_bulb_degC, double pressure) {
    double t = temperature_degC, b = wet_bulb_degC;
    double saturated = pinery_air_humidity_ratio(pinery_air_saturation_pressure(b), pressure);
    if (b < PINERY_AIR_TRIPLE_DEGC)
        return ((2830e3 - 240.0 * b) * saturated - 1006.0 * (t - b)) / (2830e3 + 1860.0 * t - 2100.0 * b);
    return ((2501e3 - 2326.0 * b) * saturated - 1006.0 * (t - b)) / (2501e3 + 1860.0 * t - 4186.0 * b);
}

double pinery_air_wet_bulb(double temperature_degC, double vapour_pressure, double pressure) {
    double wanted = pinery_air_humidity_ratio(vapour_pressure, pressure);
    double low = fmin(pinery_air_dew_point(fmax(vapour_pressure, 1e-3)), temperature_degC), high = temperature_degC;
    /* The humidity ratio rises with the wet bulb and steps up a little where ice turns to water: halving is sure. */
    for (int i = 0; i < 60 && high - low > 1e-11 * (1.0 + fabs(high)); i++) {
        double middle = 0.5 * (low + high);
        if (pinery_air_humidity_ratio_of_wet_bulb(temperature_degC, middle, pressure) < wanted)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

double pinery_air_relative_humidity(double temperature_degC, double vapour_pressure) {
    return vapour_pressure / pinery_air_saturation_pressure(temperature_degC);
}

double pinery_air_vapour_pressure(double temperature_degC, double relative_humidity) {
    return relative_humidity * pinery_air_saturation_pressure(temperature_degC);
}

double pinery_air_humidity_ratio(double vapour_pressure, double pressure) {
    return PINERY_AIR_RATIO * vapour_pressure / (pressure - vapour_pressure);
}

double pinery_air_vapour_pressure_of_ratio(double humidity_ratio, double pressure) {
    return pressure * humidity_ratio / (PINERY_AIR_RATIO + humidity_ratio);
}

double pinery_air_absolute_humidity(double temperature_degC, double vapour_pressure) {
    return vapour_pressure / (PINERY_AIR_GAS_VAPOUR * (temperature_degC + PINERY_AIR_ZERO_K));
}

double pinery_air_vapour_deficit(double temperature_degC, double vapour_pressure) {
    return pinery_air_saturation_pressure(temperature_degC) - vapour_pressure;
}

double pinery_air_humidity_deficit_g_m3(double temperature_degC, double vapour_pressure) {
    return 1e3 *
           pinery_air_absolute_humidity(temperature_degC, pinery_air_vapour_deficit(temperature_degC, vapour_pressure));
}

double pinery_air_enthalpy(double temperature_degC, double humidity_ratio) {
    return PINERY_AIR_HEAT_DRY * temperature_degC +
           humidity_ratio * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * temperature_degC);
}

double pinery_air_dry_density(double temperature_degC, double vapour_pressure, double pressure) {
    return (pressure - vapour_pressure) / (PINERY_AIR_GAS_DRY * (temperature_degC + PINERY_AIR_ZERO_K));
}

double pinery_air_standard_pressure(double elevation_m) {
    return 101325.0 * pow(1.0 - 2.25577e-5 * elevation_m, 5.2559);
}
