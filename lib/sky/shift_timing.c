/* Finding by the sun when the radiation of a record was.
 *
 * Two measures of the shift between record and sun, from hourly means G and the sun of the hour moved by d
 * (a positive d: what the file shows is ahead of the sun):
 *   all weather:  the d at which  sum(G m_d) / sqrt(sum(m_d^2))  is largest, m the mean sine of the sun's elevation;
 *   clear sky:    the same by blocks of 30 days with, for G, the three largest values of each hour of the day and, for
 * m, the radiation of a cloudless sky, 1098 m exp(-0.057 / m) W/m2 (Haurwitz 1945, J. Meteorology 2, 154). Cloudy
 * afternoons pull the first, single bright hours the second; where both agree the shift is the sun's. On files whose
 * timing is known they come within 4 minutes of it. */
#include <math.h>
#include <stdlib.h>

#include "base/error.h"
#include "sky/read.h"

#define PI 3.14159265358979323846

enum {
    STEP_MIN = 10,            /* of the shifts tried */
    PER_HOUR = 60 / STEP_MIN, /* of them */
    ROUND = 24 * PER_HOUR,    /* all the way round the clock */
    LEAST_DAYS = 20,          /* for a verdict */
    BLOCK_DAYS = 30,
};

/* Minutes. Below the first the file's own word is kept; above the second it is not a shift but another clock. */
#define SMALL_SHIFT 10.0
#define LARGEST_SHIFT 45.0

/* Hourly radiation, and running totals of the sun's at every STEP_MIN from half a day before. */
struct timing {
    int hours;
    double *global;
    double *sine, *clear;
};

static double of_hour(const double *total, int hour, int shift) {
    int node = hour * PER_HOUR + shift + ROUND / 2;
    return total[node + PER_HOUR] - total[node];
}

static pinery_status prepare(const struct pinery_sky_raw *raw, struct timing *t, pinery_error *error) {
    int per_hour = (int)(3600.0 / raw->step_s);
    int skip = (int)(fmod(3600.0 - fmod(raw->start_s, 3600.0), 3600.0) / raw->step_s); /* to the first whole hour */
    t->hours = (raw->n - skip) / per_hour;
    int nodes = t->hours * PER_HOUR + ROUND + 1;
    t->global = malloc(((size_t)t->hours + 2 * (size_t)nodes) * sizeof *t->global);
    if (t->global == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d hours", raw->path, t->hours);
    }
    t->sine = t->global + t->hours;
    t->clear = t->sine + nodes;
    for (int h = 0; h < t->hours; h++) {
        t->global[h] = 0.0;
        for (int k = 0; k < per_hour; k++) {
            t->global[h] += raw->value[PINERY_SKY_global][skip + h * per_hour + k] / per_hour; /* NaN stays */
        }
    }
    struct pinery_sky_track track;
    double start_s = raw->start_s + skip * raw->step_s;
    pinery_status status = pinery_sky_track_new(&track, &raw->site, raw->utc ? 0.0 : raw->site.utc_offset_h, start_s,
                                                t->hours * 3600.0, raw->year, error);
    if (status != PINERY_OK) {
        return status;
    }
    const double step_s = 60 * STEP_MIN;
    t->sine[0] = t->clear[0] = 0.0;
    for (int i = 1; i < nodes; i++) {
        double to = (double)(i - ROUND / 2) * step_s;
        double mean = pinery_sky_track_sine(&track, to - step_s, to, NULL) / step_s;
        t->sine[i] = t->sine[i - 1] + mean;
        t->clear[i] = t->clear[i - 1] + (mean > 0.0 ? mean * exp(-0.057 / mean) : 0.0);
    }
    pinery_sky_track_free(&track);
    return PINERY_OK;
}

static double all_weather(const struct timing *t, int shift) {
    double product = 0.0, square = 0.0;
    for (int h = 0; h < t->hours; h++) {
        double m = of_hour(t->sine, h, shift), g = t->global[h];
        if (g == g) {
            product += g * m;
            square += m * m;
        }
    }
    return square > 0.0 ? product / sqrt(square) : 0.0;
}

/* The mean of the three largest values of each hour of the day in a block. */
static void brightest(const struct timing *t, int first, int end, double bright[24]) {
    double top[24][3] = {{0.0}};
    for (int h = first; h < end; h++) {
        double g = t->global[h], *best = top[(h - first) % 24];
        for (int k = 0; k < 3; k++) {
            if (g > best[k]) {
                double lower = best[k];
                best[k] = g;
                g = lower;
            }
        }
    }
    for (int k = 0; k < 24; k++) {
        bright[k] = (top[k][0] + top[k][1] + top[k][2]) / 3.0;
    }
}

static void add_clear_sky(const struct timing *t, double score[ROUND]) {
    for (int first = 0; first + LEAST_DAYS * 24 / 2 <= t->hours; first += BLOCK_DAYS * 24) {
        int end = first + BLOCK_DAYS * 24 < t->hours ? first + BLOCK_DAYS * 24 : t->hours;
        double bright[24];
        brightest(t, first, end, bright);
        for (int s = 0; s < ROUND; s++) {
            double model[24] = {0.0}, product = 0.0, square = 0.0;
            for (int h = first; h < end; h++) {
                model[(h - first) % 24] += of_hour(t->clear, h, s - ROUND / 2);
            }
            for (int k = 0; k < 24; k++) {
                product += bright[k] * model[k];
                square += model[k] * model[k];
            }
            score[s] += square > 0.0 ? product * product / square : 0.0;
        }
    }
}

/* Minutes at which the score is largest, by a parabola through the best three. */
static double peak(const double score[ROUND]) {
    int best = 0;
    for (int s = 1; s < ROUND; s++) {
        best = score[s] > score[best] ? s : best;
    }
    double before = score[(best + ROUND - 1) % ROUND], after = score[(best + 1) % ROUND];
    double bend = before - 2.0 * score[best] + after;
    return (double)STEP_MIN * ((double)(best - ROUND / 2) + (bend < 0.0 ? 0.5 * (before - after) / bend : 0.0));
}

/* What to make of a shift of `found` minutes where the file says `stated`. */
static pinery_status judge(struct pinery_sky_raw *raw, double found, double stated, pinery_error *error) {
    double off = remainder(found - stated, 1440.0);
    if (raw->presumed && fabs(off) > LARGEST_SHIFT) {
        /* Then the rows are on the clock of the header, as in any other file of this format. */
        raw->utc = raw->presumed = false;
        raw->instant_s = raw->step_s;
        raw->centre_s = 0.5 * raw->step_s;
        return judge(raw, found + 60.0 * raw->site.utc_offset_h, 0.0, error);
    }
    if (fabs(off) > LARGEST_SHIFT) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: global radiation is %.0f min %s the sun of longitude %.6g deg on the clock of "
                                "UTC%+g h, expected within "
                                "%.0f min: is it another time zone, UTC, or summer time?",
                                raw->path, fabs(off), off > 0 ? "ahead of" : "behind", raw->site.longitude_deg,
                                raw->utc ? 0.0 : raw->site.utc_offset_h, LARGEST_SHIFT);
    }
    if (raw->presumed) {
        return pinery_sky_weather_remark(raw->weather,
                                         "times are read as UTC, as the sun says, and put on the header's UTC%+g h",
                                         raw->site.utc_offset_h);
    }
    if (fabs(off) <= SMALL_SHIFT) {
        return PINERY_OK;
    }
    raw->centre_s = 0.5 * raw->step_s + 60.0 * (found + 1440.0 * round((stated - found) / 1440.0));
    return pinery_sky_weather_remark(
        raw->weather, "warning: radiation is %.0f min %s the sun; moved onto its own records, the sum kept", fabs(off),
        off > 0 ? "ahead of" : "behind");
}

pinery_status pinery_sky_shift_find(struct pinery_sky_raw *raw, pinery_error *error) {
    if (raw->n * raw->step_s < (double)LEAST_DAYS * 86400.0) {
        return pinery_sky_weather_remark(raw->weather,
                                         "the timing of the radiation is not checked: %.1f days, expected %d or more",
                                         raw->n * raw->step_s / 86400.0, LEAST_DAYS);
    }
    struct timing t = {0};
    double all[ROUND], clear[ROUND] = {0.0}, brightest_hour = 0.0;
    pinery_status status = prepare(raw, &t, error);
    if (status == PINERY_OK) {
        for (int s = 0; s < ROUND; s++) {
            all[s] = all_weather(&t, s - ROUND / 2);
        }
        add_clear_sky(&t, clear);
        for (int h = 0; h < t.hours; h++) {
            brightest_hour = fmax(brightest_hour, t.global[h]);
        }
    }
    free(t.global);
    if (status != PINERY_OK || !(brightest_hour > 20.0)) {
        return status; /* a polar night has no timing */
    }
    double by_all = peak(all), by_clear = peak(clear), stated = (raw->centre_s - 0.5 * raw->step_s) / 60.0;
    double apart = remainder(by_all - by_clear, 1440.0);
    if (fabs(apart) > SMALL_SHIFT && fabs(remainder(by_all - stated, 1440.0)) <= LARGEST_SHIFT) {
        return pinery_sky_weather_remark(
            raw->weather,
            "the timing of the radiation cannot be told: %.0f min ahead of the sun by all days, "
            "%.0f by clear ones; left as the file has it",
            remainder(by_all - stated, 1440.0), remainder(by_clear - stated, 1440.0));
    }
    return judge(raw, by_all - 0.5 * apart, stated, error);
}
