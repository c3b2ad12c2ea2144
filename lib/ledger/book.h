/* What is inside a ledger. */
#ifndef PINERY_LEDGER_BOOK_H
#define PINERY_LEDGER_BOOK_H

#include "ledger/histogram.h"
#include "ledger/ledger.h"

/* Running totals as one row, so that they are subtracted in one go: those handed in, then readings times seconds. */
enum {
    PINERY_LEDGER_HEAT = 0,
    PINERY_LEDGER_WATER = PINERY_LEDGER_HEAT + PINERY_N_HEADINGS,
    PINERY_LEDGER_METER = PINERY_LEDGER_WATER + PINERY_N_HEADINGS,
    PINERY_LEDGER_READING = PINERY_LEDGER_METER + PINERY_N_METERS,
    PINERY_LEDGER_TOTALS = PINERY_LEDGER_READING + PINERY_N_READINGS
};

/* Spans of time: what was added to the totals in them. */
struct pinery_ledger_span {
    double seconds;
    double total[PINERY_LEDGER_TOTALS];
};

/* Where an open span began. */
struct pinery_ledger_mark {
    double time_s;
    double total[PINERY_LEDGER_TOTALS];
};

/* Seconds in which something was so. Rows are in the order of the results they become. */
enum pinery_ledger_band {
    PINERY_LEDGER_DEFICIT,
    PINERY_LEDGER_VPD_LOW,
    PINERY_LEDGER_VPD_HIGH,
    PINERY_LEDGER_DEW_1, /* less than 1 K */
    PINERY_LEDGER_DEW_0,
    PINERY_LEDGER_SCREEN_1,
    PINERY_LEDGER_SCREEN_2,
    PINERY_LEDGER_SCREEN_3,
    PINERY_LEDGER_SLIT,
    PINERY_LEDGER_VENT,
    PINERY_LEDGER_ALONG,    /* ends more than 1.5 K apart */
    PINERY_LEDGER_VERTICAL, /* so lower and upper air */
    PINERY_LEDGER_SNOW,
    PINERY_LEDGER_PIPE,  /* lower pipes over 25 degC */
    PINERY_LEDGER_NIGHT, /* no sun */
    PINERY_LEDGER_DRAWN, /* a cloth is drawn */
    PINERY_LEDGER_GAS_SHORT,
    PINERY_LEDGER_BANDS
};

/* Where damp is counted, in the order of the results. */
enum pinery_ledger_place {
    PINERY_LEDGER_AIR,
    PINERY_LEDGER_SENSOR,
    PINERY_LEDGER_COLDER_1,
    PINERY_LEDGER_COLDER_2,
    PINERY_LEDGER_COLDER_3,
    PINERY_LEDGER_UNDER_CLOTH,
    PINERY_LEDGER_PLACES
};
enum { PINERY_LEDGER_LIMITS = 4 }; /* 85, 90, 95 and 100 % */

/* Seconds in which something was so, in all, in the run under way and in the longest one. */
struct pinery_ledger_spell {
    double all, now, longest;
};
/* Hours whose mean is over the contract and what was drawn over it, J/m2; the total at the start of the present hour.
 */
struct pinery_ledger_over {
    double seconds, amount, begin;
};
enum { PINERY_LEDGER_SPREAD_BINS = 240 };

struct pinery_ledger {
    struct pinery_ledger_setup setup;
    long ticks;
    pinery_tick tick[2]; /* the last one and the next in turn, so that nothing is copied */
    int last;
    double reading_sum[PINERY_N_READINGS]; /* times seconds */
    struct pinery_ledger_mark first;
    double first_stored[2]; /* heat, water */

    struct pinery_ledger_mark hour, month; /* under way */
    double month_end_s;
    int present_month;
    struct pinery_ledger_span months[12];
    long hours, most_hours; /* kept, room for */
    struct pinery_ledger_span *kept;

    double band[PINERY_LEDGER_BANDS];
    struct pinery_ledger_spell damp[PINERY_LEDGER_PLACES][PINERY_LEDGER_LIMITS], wet;
    int damp_now[PINERY_LEDGER_PLACES]; /* how many of the limits humidity is over */
    double index_sum[PINERY_N_INDICES];
    struct pinery_ledger_over gas_over, power_over;
    double pipe_sum, night_sum, roof_sum, along_sum; /* K s */
    struct pinery_ledger_histogram night, along, dew, dew_air;
    double spread[PINERY_N_SPREADS][2][PINERY_LEDGER_SPREAD_BINS]; /* s by day and by night, in bins */

    double boiler[2], boiler_s[2];   /* heat of the boiler and time, one and two ticks ago */
    double hour_end_s, hour_boiler;  /* the hour under way and the heat at its start */
    double peak_hour, peak_interval; /* W/m2, -infinity: none yet */
};

static inline const pinery_tick *pinery_ledger_last(const pinery_ledger *ledger) {
    return &ledger->tick[ledger->last];
}

#endif
