/* The inside of a weather, for the readers, the generator and the year. Public access is pinery/weather.h. */
#ifndef PINERY_SKY_WEATHER_H
#define PINERY_SKY_WEATHER_H

#include "pinery/weather.h"

struct pinery_weather {
    pinery_site site;
    int n;            /* records */
    double step_s;    /* length of a record */
    double start_s;   /* start of record 0, seconds since 1 January 00:00 standard time */
    double instant_s; /* when in its record an instant value holds, 0 .. step_s */
    int year;         /* of the first record, 0 when the months come from several years */
    bool leap;        /* the calendar has 29 February */
    double *column[PINERY_WEATHER_N_COLUMNS]; /* n values each, complete: no missing codes, no NaN */
    int filled[PINERY_WEATHER_N_COLUMNS];
    char source[512];
    unsigned long long checksum;
    char **remark;
    int n_remarks;
};

#endif
