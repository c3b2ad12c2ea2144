/* The times of a plain CSV: stamps, the step between them, and which record each row is. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "sky/read_station.h"

/* Days from 1 January of year 1 to a day of the Gregorian calendar. */
static long days_of(int year, int month, int day) {
    long before = year - 1;
    return 365 * before + before / 4 - before / 100 + before / 400 +
           pinery_sky_days_before(pinery_sky_is_leap(year), month - 1) + day - 1;
}

/* "2021-03-01 00:05", also with T and seconds: seconds since 1 January of year 1. */
static bool read_time(const char *text, double *time_s, int *year) {
    int month, day, hour, minute, second = 0, used = 0;
    if (sscanf(text, "%4d-%2d-%2d%*1[ T]%2d:%2d%n", year, &month, &day, &hour, &minute, &used) != 5 || used < 14) {
        return false;
    }
    const char *rest = text + used;
    if (*rest == ':' && sscanf(rest, ":%2d%n", &second, &used) == 1) {
        rest += used;
    }
    if (*rest != '\0' || *year < 1900 || *year > 2200 || month < 1 || month > 12 || day < 1 ||
        day > pinery_sky_days_in(*year, month) || hour < 0 || hour > 24 || minute < 0 || minute > 59 || second < 0 ||
        second > 59 || (hour == 24 && (minute > 0 || second > 0))) {
        return false;
    }
    *time_s = 86400.0 * (double)days_of(*year, month, day) + 3600.0 * hour + 60.0 * minute + second;
    return true;
}

/* Cut up the times only, keeping the lines whole for later. */
pinery_status pinery_sky_table_times(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                     const struct pinery_sky_table *table, struct pinery_sky_row *row, int n,
                                     pinery_error *error) {
    double step_s = INFINITY;
    for (int k = 0; k < n; k++) {
        const char *c = text->line[row[k].line];
        for (int skip = table->time; skip > 0 && *c != '\0'; skip--) {
            c += strcspn(c, (char[]){table->separator, '\0'});
            c += *c != '\0';
        }
        char time[64];
        size_t length = strcspn(c, (char[]){table->separator, '\0'});
        snprintf(time, sizeof time, "%.*s", length < 60 ? (int)length : 60, c);
        char *bare = pinery_base_trim(time);
        if (*bare == '"') {
            bare++;
            bare[strcspn(bare, "\"")] = '\0';
        }
        int year;
        if (!read_time(bare, &row[k].time_s, &year)) {
            return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: time = \"%.40s\", expected YYYY-MM-DD HH:MM",
                                    raw->path, row[k].line + 1, bare);
        }
        if (k > 0) {
            double passed = row[k].time_s - row[k - 1].time_s;
            if (!(passed > 0.0)) {
                return pinery_base_fail(
                    error, PINERY_BAD_FILE,
                    "%s: line %d: time = \"%s\" is not later than line %d; is it summer time? Expected "
                    "standard time or UTC throughout",
                    raw->path, row[k].line + 1, bare, row[k - 1].line + 1);
            }
            step_s = fmin(step_s, passed);
        }
    }
    if (!(step_s >= 60.0 && step_s <= 3600.0 && fmod(3600.0, step_s) == 0.0)) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: line %d: the step is %g s, expected a whole part of an hour from 60 to 3600 s",
                                raw->path, n > 0 ? row[0].line + 1 : table->header + 1, step_s);
    }
    raw->step_s = step_s;
    return PINERY_OK;
}

/* From the rows' times to a record each, with missing records where rows are missing. */
pinery_status pinery_sky_table_place(struct pinery_sky_raw *raw, const struct pinery_sky_table *table,
                                     const struct pinery_sky_row *row, int n, pinery_error *error) {
    double shift = table->stamped_at_end ? raw->step_s : 0.0;
    double first = row[0].time_s - shift, span = row[n - 1].time_s - row[0].time_s;
    if (span > 366.0 * 86400.0) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: line %d: %.1f days after the first row, expected a year at most", raw->path,
                                row[n - 1].line + 1, span / 86400.0);
    }
    int year = 1 + (int)(first / (365.2425 * 86400.0)); /* of the first record, to be corrected by one */
    year += first >= 86400.0 * (double)days_of(year + 1, 1, 1);
    year -= first < 86400.0 * (double)days_of(year, 1, 1);
    raw->year = year;
    raw->leap = pinery_sky_is_leap(year);
    raw->start_s = first - 86400.0 * (double)days_of(year, 1, 1);
    pinery_status status = pinery_sky_raw_new(raw, (int)(span / raw->step_s) + 1, error);
    for (int k = 0; k < n && status == PINERY_OK; k++) {
        double record = (row[k].time_s - row[0].time_s) / raw->step_s;
        if (record != floor(record)) {
            return pinery_base_fail(error, PINERY_BAD_FILE,
                                    "%s: line %d: %.10g s after the first row, expected a multiple of the step of %g s",
                                    raw->path, row[k].line + 1, row[k].time_s - row[0].time_s, raw->step_s);
        }
        raw->line[(int)record] = row[k].line + 1;
    }
    if (status == PINERY_OK && fmod(raw->start_s, raw->step_s) != 0.0) {
        return pinery_base_fail(
            error, PINERY_BAD_FILE,
            "%s: line %d: the record starts %g s after midnight, expected a multiple of the step of %g s", raw->path,
            row[0].line + 1, fmod(raw->start_s, 86400.0), raw->step_s);
    }
    return status;
}
