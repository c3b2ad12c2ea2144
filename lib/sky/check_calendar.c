/* Whether the rows of a file are a year: every record once, in order, from 1 January to 31 December. */
#include <stdio.h>

#include "base/error.h"
#include "sky/read.h"

static const char *const month_name[] = {"January", "February", "March",     "April",   "May",      "June",
                                         "July",    "August",   "September", "October", "November", "December"};

bool pinery_sky_is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

int pinery_sky_days_in(int year, int month) {
    bool leap = pinery_sky_is_leap(year);
    return pinery_sky_days_before(leap, month) - pinery_sky_days_before(leap, month - 1);
}

/* Number of the record since 1 January 00:00, or -1 where the calendar has no such record. */
static int number_of(const struct pinery_sky_stamp *stamp, bool leap, double step_s) {
    if (stamp->month < 1 || stamp->month > 12 || stamp->day < 1 || stamp->time_s < 0.0 || stamp->time_s >= 86400.0) {
        return -1;
    }
    int before = pinery_sky_days_before(leap, stamp->month - 1);
    if (stamp->day > pinery_sky_days_before(leap, stamp->month) - before) {
        return -1;
    }
    return (int)(((before + stamp->day - 1) * 86400.0 + stamp->time_s) / step_s);
}

static void say(const struct pinery_sky_stamp *stamp, char *text, size_t size) {
    int minute = (int)(stamp->time_s / 60.0);
    snprintf(text, size, "%d %s, record from %02d:%02d", stamp->day, month_name[stamp->month - 1], minute / 60,
             minute % 60);
}

static struct pinery_sky_stamp stamp_of(int number, bool leap, double step_s) {
    struct pinery_sky_stamp stamp = {0};
    double time_s = number * step_s;
    pinery_sky_date(leap, time_s, &stamp.month, &stamp.day);
    stamp.month++;
    stamp.time_s = time_s - 86400.0 * (int)(time_s / 86400.0);
    return stamp;
}

/* Row i is not the record that belongs there. */
static pinery_status out_of_order(const struct pinery_sky_raw *raw, const struct pinery_sky_stamp *stamp, int i,
                                  int number, pinery_error *error) {
    char got[64], want[64];
    struct pinery_sky_stamp expected = stamp_of(i, raw->leap, raw->step_s);
    say(&expected, want, sizeof want);
    if (number < 0) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: %s %d: month %d, day %d, hour of the day %g is not in the calendar, expected %s",
                                raw->path, raw->row, raw->line[i], stamp[i].month, stamp[i].day,
                                stamp[i].time_s / 3600.0, want);
    }
    say(&stamp[i], got, sizeof got);
    if (number < i) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: %s %d: %s comes again (first in %s %d), expected %s",
                                raw->path, raw->row, raw->line[i], got, raw->row, raw->line[number], want);
    }
    return pinery_base_fail(error, PINERY_BAD_FILE, "%s: %s %d: %s, expected %s: %d missing", raw->path, raw->row,
                            raw->line[i], got, want, number - i);
}

pinery_status pinery_sky_check_year(struct pinery_sky_raw *raw, const struct pinery_sky_stamp *stamp,
                                    pinery_error *error) {
    int per_day = (int)(86400.0 / raw->step_s);
    int last = raw->n > 0 ? raw->line[raw->n - 1] : 0;
    if (raw->n < 364 * per_day || raw->n > 367 * per_day) {
        return pinery_base_fail(
            error, PINERY_BAD_FILE,
            "%s: %s %d: not a year: %d rows of data (%s %d to %d), expected %d for a year or %d for "
            "a leap year",
            raw->path, raw->row, last, raw->n, raw->row, raw->n > 0 ? raw->line[0] : 0, last, 365 * per_day,
            366 * per_day);
    }
    bool one_year = true;
    int leap_year = 0;
    raw->leap = false;
    for (int i = 0; i < raw->n; i++) {
        one_year = one_year && stamp[i].year == stamp[0].year;
        if (stamp[i].month == 2 && stamp[i].day == 29) {
            raw->leap = true;
            leap_year = stamp[i].year;
        }
    }
    for (int i = 0; i < raw->n; i++) {
        int number = number_of(&stamp[i], raw->leap, raw->step_s);
        if (number != i) {
            return out_of_order(raw, stamp, i, number, error);
        }
    }
    int days = raw->leap ? 366 : 365;
    if (raw->n < days * per_day) {
        char want[64];
        struct pinery_sky_stamp expected = stamp_of(raw->n, raw->leap, raw->step_s);
        say(&expected, want, sizeof want);
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: %s %d: the year ends early: %d rows of %d, expected %s",
                                raw->path, raw->row, last, raw->n, days * per_day, want);
    }
    /* A year of 365 days under a leap year's number has its days counted from 1 March on as any year's. */
    raw->year = raw->leap ? leap_year : one_year && !pinery_sky_is_leap(stamp[0].year) ? stamp[0].year : 0;
    raw->start_s = 0.0;
    return PINERY_OK;
}
