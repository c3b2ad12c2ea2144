/* What a strategy sees at a control instant: the clock, the readings of the house, the weather now. */
#ifndef PINERY_SEEN_H
#define PINERY_SEEN_H

#include "pinery/ledger.h"

#ifdef __cplusplus
extern "C" {
#endif

/* X(key, unit, doc): what a strategy can look at besides the readings of ledger.h. */
#define PINERY_SEEN(X)                                                             \
    X(time_s, "s", "since 1 January 00:00 of the run's first year, standard time") \
    X(day, "d", "day of the year, 1 .. 366")                                       \
    X(hour, "h", "of the clock, standard time, 0 .. 24")                           \
    X(sunrise, "h", "of this day")                                                 \
    X(sunset, "h", "of this day")                                                  \
    X(light_today, "mol/m2", "PAR the crop has had since midnight")                \
    X(wind_direction, "deg", "the wind comes from")                                \
    X(rain, "mm/h", "now")

typedef struct pinery_seen {
#define X(key, unit, doc) double key;
    PINERY_SEEN(X)
#undef X
    double reading[PINERY_N_READINGS];
} pinery_seen;

#ifdef __cplusplus
}
#endif
#endif
