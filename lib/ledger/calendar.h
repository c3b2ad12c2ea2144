/* Months of a year of seconds. */
#ifndef PINERY_LEDGER_CALENDAR_H
#define PINERY_LEDGER_CALENDAR_H

#include <stdbool.h>

/* Month 0 .. 11, day of the month from 1, and hour of a time since 1 January 00:00, standard time. Years after the
 * first are taken to be as long as the first, as a weather year that wraps round is. */
struct pinery_ledger_date {
    int year; /* 0: the first */
    int month, day, hour, minute;
};

struct pinery_ledger_date pinery_ledger_date(double time_s, bool leap);

/* The time at which the month of `time_s` ends. */
double pinery_ledger_month_end_s(double time_s, bool leap);

/* "Jan" .. "Dec". */
const char *pinery_ledger_month_name(int month);

#endif
