/* Moist air as functions of table rows. */
#include "air/psychro.h"
#include "tables.h"

static double saturation_pressure(const double *in) {
    return pinery_air_saturation_pressure(in[0]);
}

static double saturation_fast(const double *in) {
    double slope;
    return pinery_air_saturation(in[0], &slope);
}

static double saturation_slope(const double *in) {
    return pinery_air_saturation_slope(in[0]);
}

static double saturation_fast_slope(const double *in) {
    double slope;
    pinery_air_saturation(in[0], &slope);
    return slope;
}

/* The states of moist air by temperature, degC, relative humidity, 0 .. 1, and pressure, Pa. */
static double vapour_pressure(const double *in) {
    return pinery_air_vapour_pressure(in[0], in[1]);
}

static double humidity_ratio(const double *in) {
    return pinery_air_humidity_ratio(vapour_pressure(in), in[2]);
}

static double enthalpy_of_humidity(const double *in) {
    return pinery_air_enthalpy(in[0], humidity_ratio(in));
}

static double dew_point_of_humidity(const double *in) {
    return pinery_air_dew_point(vapour_pressure(in));
}

static double wet_bulb_of_humidity(const double *in) {
    return pinery_air_wet_bulb(in[0], vapour_pressure(in), in[2]);
}

static double absolute_humidity_g(const double *in) {
    return 1e3 * pinery_air_absolute_humidity(in[0], vapour_pressure(in));
}

static double vapour_deficit(const double *in) {
    return pinery_air_vapour_deficit(in[0], vapour_pressure(in));
}

static double humidity_deficit_g(const double *in) {
    return pinery_air_humidity_deficit_g_m3(in[0], vapour_pressure(in));
}

static double enthalpy(const double *in) {
    return pinery_air_enthalpy(in[0], in[1]);
}

/* By temperature, wet bulb and pressure. */
static double ratio_of_wet_bulb(const double *in) {
    return pinery_air_humidity_ratio_of_wet_bulb(in[0], in[1], in[2]);
}

static double pressure_of_wet_bulb(const double *in) {
    return pinery_air_vapour_pressure_of_ratio(ratio_of_wet_bulb(in), in[2]);
}

static double dew_point_of_wet_bulb(const double *in) {
    return pinery_air_dew_point(pressure_of_wet_bulb(in));
}

static double humidity_of_wet_bulb(const double *in) {
    return pinery_air_relative_humidity(in[0], pressure_of_wet_bulb(in));
}

static double enthalpy_of_wet_bulb(const double *in) {
    return pinery_air_enthalpy(in[0], ratio_of_wet_bulb(in));
}

static double volume_of_wet_bulb(const double *in) {
    return 1.0 / pinery_air_dry_density(in[0], pressure_of_wet_bulb(in), in[2]);
}

/* By temperature, humidity ratio and pressure. */
static double volume(const double *in) {
    return 1.0 / pinery_air_dry_density(in[0], pinery_air_vapour_pressure_of_ratio(in[1], in[2]), in[2]);
}

static double moist_density(const double *in) {
    return (1.0 + in[1]) / volume(in);
}

static double saturated_ratio(const double *in) {
    return pinery_air_humidity_ratio(pinery_air_saturation_pressure(in[0]), in[1]);
}

static double saturated_enthalpy(const double *in) {
    return pinery_air_enthalpy(in[0], saturated_ratio(in));
}

static double standard_pressure(const double *in) {
    return pinery_air_standard_pressure(in[0]);
}

const struct table_function tables_air[] = {
    {"saturation_pressure", 1, saturation_pressure},
    {"saturation_fast", 1, saturation_fast},
    {"saturation_slope", 1, saturation_slope},
    {"saturation_fast_slope", 1, saturation_fast_slope},
    {"vapour_pressure", 3, vapour_pressure},
    {"humidity_ratio", 3, humidity_ratio},
    {"enthalpy_of_humidity", 3, enthalpy_of_humidity},
    {"dew_point_of_humidity", 3, dew_point_of_humidity},
    {"wet_bulb_of_humidity", 3, wet_bulb_of_humidity},
    {"absolute_humidity_g", 3, absolute_humidity_g},
    {"vapour_deficit", 3, vapour_deficit},
    {"humidity_deficit_g", 3, humidity_deficit_g},
    {"enthalpy", 2, enthalpy},
    {"ratio_of_wet_bulb", 3, ratio_of_wet_bulb},
    {"dew_point_of_wet_bulb", 3, dew_point_of_wet_bulb},
    {"humidity_of_wet_bulb", 3, humidity_of_wet_bulb},
    {"enthalpy_of_wet_bulb", 3, enthalpy_of_wet_bulb},
    {"volume_of_wet_bulb", 3, volume_of_wet_bulb},
    {"volume", 3, volume},
    {"moist_density", 3, moist_density},
    {"saturated_ratio", 2, saturated_ratio},
    {"saturated_enthalpy", 2, saturated_enthalpy},
    {"standard_pressure", 1, standard_pressure},
    {0, 0, 0},
};
