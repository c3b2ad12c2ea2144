/* The crop as functions of table rows. A day: latitude, degrees and minutes, elevation, day of the year, highest and
 * lowest temperature, vapour pressure, kPa, radiation, MJ/(m2 d), wind at 2 m, heat into the ground, MJ/(m2 d). An
 * hour: latitude, degrees and minutes, longitude and time zone, degrees west, elevation, day of the year, middle of the
 * hour, temperature, relative humidity, radiation, MJ/(m2 h), Rs/Rso for the night, wind at 2 m. */
#include "crop/penman.h"
#include "tables.h"

static double rad(double degrees, double minutes) {
    return (degrees + minutes / 60) * 3.14159265358979323846 / 180;
}

static struct pinery_crop_reference day(const double *in) {
    return pinery_crop_penman_day(rad(in[0], in[1]), in[2], (int)in[3], in[4], in[5], in[6], in[7], in[8], in[9]);
}

static struct pinery_crop_reference hour(const double *in) {
    return pinery_crop_penman_hour(rad(in[0], in[1]), in[2], in[3], in[4], (int)in[5], in[6], in[7], in[8], in[9],
                                   in[10], in[11]);
}

#define PARTS(X)           \
    X(gamma_kPa_K)         \
    X(slope_kPa_K)         \
    X(saturation_kPa)      \
    X(vapour_kPa)          \
    X(deficit_kPa)         \
    X(extraterrestrial_MJ) \
    X(clear_sky_MJ)        \
    X(net_long_MJ)         \
    X(net_MJ)              \
    X(ground_MJ)           \
    X(evaporation_mm)

#define X(part)                                   \
    static double day_##part(const double *in) {  \
        return day(in).part;                      \
    }                                             \
    static double hour_##part(const double *in) { \
        return hour(in).part;                     \
    }
PARTS(X)
#undef X

static double hour_clearness(const double *in) {
    return in[9] / hour(in).clear_sky_MJ;
}

static double wind_2m(const double *in) {
    return pinery_crop_penman_wind_2m(in[0], in[1]);
}

static double saturation_tetens(const double *in) {
    return 1e3 * pinery_crop_penman_saturation_kPa(in[0]);
}

/* Mean of two saturated humidities: T_max, RH_min, T_min, RH_max. */
static double vapour_of_extremes(const double *in) {
    return 0.5 * (pinery_crop_penman_saturation_kPa(in[0]) * in[1] + pinery_crop_penman_saturation_kPa(in[2]) * in[3]);
}

const struct table_function tables_crop[] = {
#define X(part) {"day_" #part, 10, day_##part}, {"hour_" #part, 12, hour_##part},
    PARTS(X)
#undef X
        {"hour_clearness", 12, hour_clearness},
    {"wind_2m", 2, wind_2m},
    {"saturation_tetens", 1, saturation_tetens},
    {"vapour_of_extremes", 4, vapour_of_extremes},
    {0, 0, 0},
};
