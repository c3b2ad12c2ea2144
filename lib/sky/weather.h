/* The inside of a weather, for the readers, the generator and the year. Public access is pinery/weather.h. */
#ifndef PINERY_SKY_WEATHER_H
#define PINERY_SKY_WEATHER_H

#include "pinery/weather.h"

struct pinery_weather {
    pinery_site site;
    int n;                                    /* records */
    double step_s;                            /* length of a record */
    double start_s;                           /* start of record 0, seconds since 1 January 00:00 standard time */
    double instant_s;                         /* when in its record an instant value holds, 0 .. step_s */
    int year;                                 /* of the first record, 0 when the months come from several years */
    bool leap;                                /* the calendar has 29 February */
    double *column[PINERY_WEATHER_N_COLUMNS]; /* n values each, complete: no missing codes, no NaN */
    int filled[PINERY_WEATHER_N_COLUMNS];
    char source[512];
    unsigned long long checksum;
    char **remark;
    int n_remarks;
};

/* A weather of n records of one hour from 1 January 00:00, every value NaN; NULL when memory runs out. Whoever makes it
 * sets site, step, start, instant, year, leap and source, fills all columns but the sun's, and finishes it. */
struct pinery_weather *pinery_sky_weather_new(int n);

/* Add a one-line remark. PINERY_MEMORY is the only failure. */
pinery_status pinery_sky_weather_remark(struct pinery_weather *weather, const char *format, ...) PINERY_FORMAT(2, 3);

/* Fill the sun's columns. */
void pinery_sky_weather_sun(struct pinery_weather *weather);

/* Fill the sun's columns if that has not been done, see that no value is missing, compute the checksum. */
pinery_status pinery_sky_weather_finish(struct pinery_weather *weather, pinery_error *error);

/* The month 0 .. 11 and day of month 1 .. 31 at a time since 1 January 00:00; wraps round at the end of the year. */
void pinery_sky_date(bool leap, double time_s, int *month, int *day);

/* Days of its year, 365 or 366. */
static inline double pinery_sky_year_days(const struct pinery_weather *weather) {
    return weather->leap ? 366.0 : 365.0;
}

/* Days before the first of a month (0 .. 11), and 365 or 366 for month 12. */
int pinery_sky_days_before(bool leap, int month);

/* The name of a column as in pinery/weather.h, and its unit. */
const char *pinery_sky_column_name(pinery_weather_column column);
const char *pinery_sky_column_unit(pinery_weather_column column);

#endif
