/* The parts of the typical-year generator: each stage fills its share of one draft, in the order of this page. */
#ifndef PINERY_SKY_GENERATE_H
#define PINERY_SKY_GENERATE_H

#include <stdint.h>

#include "sky/weather.h"

#define PINERY_SKY_DAYS 365
#define PINERY_SKY_HOURS (24 * PINERY_SKY_DAYS)

/* X(key, heading, factor, min, max, doc): the monthly columns of a normals file; a value times the factor is in SI, the
 * range is that of the file's unit. */
#define PINERY_SKY_NORMALS(X)                                                                                  \
    X(temperature, "temperature [degC]", 1, -60, 50, "mean temperature")                                       \
    X(daily_max, "daily maximum [degC]", 1, -60, 60, "mean of the days' maxima")                               \
    X(daily_min, "daily minimum [degC]", 1, -70, 50, "mean of the days' minima")                               \
    X(daily_sd, "spread of daily means [K]", 1, 0, 20, "standard deviation of the days' mean temperatures")    \
    X(persistence, "persistence of daily means [-]", 1, -0.9, 0.95, "their autocorrelation from day to day")   \
    X(vapour_pressure, "vapour pressure [hPa]", 100, 0.05, 50, "mean vapour pressure")                         \
    X(global, "daily global radiation [kWh/m2]", 1, 0, 12, "mean daily sum on the horizontal")                 \
    X(global_sd, "spread of daily global radiation [kWh/m2]", 1, 0, 5, "standard deviation of the daily sums") \
    X(diffuse, "daily diffuse radiation [kWh/m2]", 1, 0, 8, "mean daily sum on the horizontal")                \
    X(wind, "wind speed [m/s]", 1, 0, 30, "mean wind speed at 10 m")                                           \
    X(infrared, "sky infrared [W/m2]", 1, 80, 520, "mean long-wave radiation from the sky")                    \
    X(pressure, "pressure [kPa]", 1000, 40, 110, "mean station pressure")

enum pinery_sky_normal {
#define X(key, heading, factor, min, max, doc) PINERY_SKY_NORMAL_##key,
    PINERY_SKY_NORMALS(X)
#undef X
        PINERY_SKY_NORMAL_N
};

struct pinery_sky_normals {
    pinery_site site;
    double month[PINERY_SKY_NORMAL_N][12];
};

/* Read one place from a normals file; an unknown place is an error that lists the known ones. */
pinery_status pinery_sky_normals_read(const char *path, const char *place, struct pinery_sky_normals *normals,
                                      pinery_error *error);

/* Random numbers: xoshiro256++ of Blackman & Vigna 2021, ACM Trans. Math. Softw. 47(4):36, seeded by splitmix64. Each
 * stream of a seed is a sequence of its own, so that one stage does not shift the draws of another. */
struct pinery_sky_random {
    uint64_t s[4];
};
void pinery_sky_random_seed(struct pinery_sky_random *random, unsigned seed, unsigned stream);
double pinery_sky_random_uniform(struct pinery_sky_random *random); /* 0 < u < 1 */
double pinery_sky_random_normal(struct pinery_sky_random *random);
/* The normal distribution function. */
double pinery_sky_normal_share(double z);

/* n values of mean 0 and standard deviation 1 with x[i] = r[i] x[i-1] + sqrt(1 - r[i]^2) noise, closed to a ring: the
 * value before the first is the last. */
void pinery_sky_persistent(struct pinery_sky_random *random, int n, const double *persistence, double *x);
void pinery_sky_persistent_even(struct pinery_sky_random *random, int n, double persistence, double *x);

/* A continuous curve, sampled at the middle of each hour, whose mean over every month or day is the one given (exactly,
 * in the samples); the year is a ring. It overshoots the means a little at turning points. */
void pinery_sky_spread_months(const double mean[12], double hourly[PINERY_SKY_HOURS]);
void pinery_sky_spread_days(const double mean[PINERY_SKY_DAYS], double hourly[PINERY_SKY_HOURS]);
/* Means of hourly values, and daily values of a monthly curve. */
void pinery_sky_means_of_months(const double hourly[PINERY_SKY_HOURS], double mean[12]);
void pinery_sky_means_of_days(const double hourly[PINERY_SKY_HOURS], double mean[PINERY_SKY_DAYS]);
int pinery_sky_first_day(int month); /* 0 .. 12 */
int pinery_sky_month_of_day(int day);

/* A year in the making. */
struct pinery_sky_draft {
    struct pinery_sky_normals normals;
    unsigned seed;

    /* radiation */
    double sine[PINERY_SKY_HOURS];       /* mean sine of the sun's elevation */
    double above[PINERY_SKY_HOURS];      /* extraterrestrial radiation on the horizontal, W/m2 */
    double clearness[PINERY_SKY_DAYS];   /* daily global over extraterrestrial */
    double clear_day[PINERY_SKY_DAYS];   /* the same of a cloudless day */
    double clearness_z[PINERY_SKY_DAYS]; /* the normal variate behind it: clear is positive */
    double season[12];               /* -1 in the darkest month .. 1 in the brightest, by extraterrestrial radiation */
    double global[PINERY_SKY_HOURS]; /* W/m2 */
    double beam_normal[PINERY_SKY_HOURS]; /* W/m2 */
    double diffuse[PINERY_SKY_HOURS];     /* W/m2 */

    /* air */
    double daily_temperature[PINERY_SKY_HOURS]; /* the curve through the daily means, degC */
    double temperature[PINERY_SKY_HOURS];       /* degC */
    double vapour_pressure[PINERY_SKY_HOURS];   /* Pa */

    /* the rest */
    double infrared[PINERY_SKY_HOURS];
    double pressure[PINERY_SKY_HOURS];
    double wind_speed[PINERY_SKY_HOURS];
    double wind_direction[PINERY_SKY_HOURS];
};

/* The first fails when a month's radiation is more than the sun can give there. */
pinery_status pinery_sky_generate_radiation(struct pinery_sky_draft *draft, const char *path, pinery_error *error);
void pinery_sky_generate_temperature(struct pinery_sky_draft *draft);
void pinery_sky_generate_humidity(struct pinery_sky_draft *draft);
void pinery_sky_generate_infrared(struct pinery_sky_draft *draft);
void pinery_sky_generate_wind(struct pinery_sky_draft *draft);
void pinery_sky_generate_pressure(struct pinery_sky_draft *draft);

#endif
