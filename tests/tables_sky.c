/* Sun and sky as functions of table rows. */
#include <math.h>
#include <stdlib.h>

#include "sky/diffuse.h"
#include "sky/longwave.h"
#include "sky/sun.h"
#include "sky/tilt.h"
#include "tables.h"

#define DEG (180.0 / 3.14159265358979323846)

/* Seconds since 1 January of a date and hour. */
static double time_of(double year, double month, double day, double hour) {
    static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    int y = (int)year, leap = (y % 4 == 0 && y % 100 != 0) || y % 400 == 0;
    return 86400.0 * (before[(int)month - 1] + (month > 2 ? leap : 0) + day - 1) + 3600.0 * hour;
}

/* in: latitude, longitude, utc offset, year, month, day, hour, pressure hPa, temperature degC. Refraction as in Reda &
 * Andreas 2004 eq. 42, which the library leaves out. */
static double zenith_refracted(const double *in) {
    double elevation, azimuth;
    pinery_sky_sun_position(in[0], in[1], in[2], time_of(in[3], in[4], in[5], in[6]), (int)in[3], &elevation, &azimuth);
    double refraction =
        in[7] / 1010.0 * 283.0 / (273.0 + in[8]) * 1.02 / (60.0 * tan((elevation + 10.3 / (elevation + 5.11)) / DEG));
    return 90.0 - elevation - refraction;
}

static double sun_azimuth(const double *in) {
    double elevation, azimuth;
    pinery_sky_sun_position(in[0], in[1], in[2], time_of(in[3], in[4], in[5], in[6]), (int)in[3], &elevation, &azimuth);
    return azimuth;
}

/* ... and tilt and azimuth of a plane */
static double incidence_refracted(const double *in) {
    struct pinery_sky_plane plane = {in[9], in[10]};
    return DEG * acos(pinery_sky_incidence(plane, 90.0 - zenith_refracted(in), sun_azimuth(in)));
}

static double sun_distance(const double *in) {
    return pinery_sky_orbit_at(in[1], in[2], time_of(in[3], in[4], in[5], in[6]), (int)in[3]).distance;
}

static double geocentric_hour_angle(const double *in) {
    return DEG * pinery_sky_orbit_at(in[1], in[2], time_of(in[3], in[4], in[5], in[6]), (int)in[3]).hour_angle;
}

/* in: latitude, longitude, utc offset, year, month, day; seconds of the day */
static double sunrise(const double *in) {
    double rise, set, day = time_of(in[3], in[4], in[5], 0);
    return pinery_sky_sunrise(in[0], in[1], in[2], day, (int)in[3], &rise, &set) ? rise - day : NAN;
}

static double sunset(const double *in) {
    double rise, set, day = time_of(in[3], in[4], in[5], 0);
    return pinery_sky_sunrise(in[0], in[1], in[2], day, (int)in[3], &rise, &set) ? set - day : NAN;
}

/* in: latitude, month, day: MJ/m2 on the horizontal above the atmosphere in a day at longitude 0 */
static double extraterrestrial_day(const double *in) {
    double day = time_of(2005, in[1], in[2], 0), total = 0, elevation, azimuth, sine;
    for (int hour = 0; hour < 24; hour++) {
        pinery_sky_sun_mean(in[0], 0, 0, day + 3600.0 * hour, 3600, 0, &elevation, &azimuth, &sine);
        total += 3600.0 * sine * pinery_sky_extraterrestrial_normal(day + 43200.0);
    }
    return 1e-6 * total;
}

/* in: latitude, longitude, utc offset, month, day, first hour, last hour: MJ/m2 */
static double extraterrestrial_hours(const double *in) {
    double from = time_of(2005, in[3], in[4], in[5]), length = 3600.0 * (in[6] - in[5]), elevation, azimuth, sine;
    pinery_sky_sun_mean(in[0], in[1], in[2], from, length, 0, &elevation, &azimuth, &sine);
    return 1e-6 * length * sine * pinery_sky_extraterrestrial_normal(from);
}

static double erbs(const double *in) {
    return pinery_sky_erbs(in[0]);
}

static double reindl_1(const double *in) {
    return pinery_sky_reindl_1(in[0]);
}

static double reindl_2(const double *in) {
    return pinery_sky_reindl_2(in[0], in[1]);
}

static double orgill_hollands(const double *in) {
    return pinery_sky_orgill_hollands(in[0]);
}

/* in: temperature degC, vapour pressure Pa, hour */
#define X(name, doc)                                                                      \
    static double clear_##name(const double *in) {                                        \
        return pinery_sky_clear_emissivity(PINERY_SKY_CLEAR_##name, in[0], in[1], in[2]); \
    }                                                                                     \
    static double flux_##name(const double *in) {                                         \
        double kelvin = in[0] + 273.15;                                                   \
        return 5.670374419e-8 * kelvin * kelvin * kelvin * kelvin * clear_##name(in);     \
    }                                                                                     \
    static double sky_##name(const double *in) {                                          \
        return pinery_sky_temperature(flux_##name(in));                                   \
    }
PINERY_SKY_CLEAR_MODELS(X)
#undef X

static double cloud_walton(const double *in) {
    return pinery_sky_cloudy_emissivity(PINERY_SKY_CLOUD_walton, in[0], in[1]);
}

static double cloud_unsworth_monteith(const double *in) {
    return pinery_sky_cloudy_emissivity(PINERY_SKY_CLOUD_unsworth_monteith, in[0], in[1]);
}

const struct table_function tables_sky[] = {
    {"zenith_refracted", 9, zenith_refracted},
    {"sun_azimuth", 7, sun_azimuth},
    {"incidence_refracted", 11, incidence_refracted},
    {"sun_distance", 7, sun_distance},
    {"geocentric_hour_angle", 7, geocentric_hour_angle},
    {"sunrise", 6, sunrise},
    {"sunset", 6, sunset},
    {"extraterrestrial_day", 3, extraterrestrial_day},
    {"extraterrestrial_hours", 7, extraterrestrial_hours},
    {"erbs", 1, erbs},
    {"reindl_1", 1, reindl_1},
    {"reindl_2", 2, reindl_2},
    {"orgill_hollands", 1, orgill_hollands},
#define X(name, doc) {"clear_" #name, 3, clear_##name}, {"flux_" #name, 3, flux_##name}, {"sky_" #name, 3, sky_##name},
    PINERY_SKY_CLEAR_MODELS(X)
#undef X
        {"cloud_walton", 2, cloud_walton},
    {"cloud_unsworth_monteith", 2, cloud_unsworth_monteith},
    {0, 0, 0},
};
