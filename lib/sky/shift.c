/* Moving records in time: a UTC clock to standard time, radiation onto its own record.
 *
 * Radiation of a record that is the mean of another stretch of time is spread over that stretch as the sun above the
 * atmosphere is (direct radiation: evenly while the sun is up) and summed again by records:
 *
 *   G_j T = sum over k of  G_k T  w(k and j) / w(k),   w = integral of the sine of the elevation while the sun is up
 *
 * which keeps the energy and puts none where the sun is down. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "sky/read.h"

static int wrap(int i, int n) {
    int r = i % n;
    return r < 0 ? r + n : r;
}

pinery_status pinery_sky_shift_clock(struct pinery_sky_raw *raw, pinery_error *error) {
    if (!raw->utc) {
        return PINERY_OK;
    }
    raw->utc = false;
    double steps = raw->site.utc_offset_h * 3600.0 / raw->step_s;
    int by = (int)lround(steps);
    if (steps != by) {
        double offset_h = by * raw->step_s / 3600.0;
        pinery_status status = pinery_sky_weather_remark(
            raw->weather, "kept on the clock of UTC%+g h: UTC%+g h is no multiple of the step of %g s", offset_h,
            raw->site.utc_offset_h, raw->step_s);
        if (status != PINERY_OK) {
            return status;
        }
        raw->site.utc_offset_h = offset_h;
    }
    if (!pinery_sky_raw_is_year(raw)) {
        raw->start_s += by * raw->step_s;
        if (raw->start_s < 0.0) {
            raw->year--;
            raw->leap = pinery_sky_is_leap(raw->year);
            raw->start_s += (raw->leap ? 366.0 : 365.0) * 86400.0;
        }
        return PINERY_OK;
    }
    size_t n = (size_t)raw->n;
    double *old = malloc(n * sizeof *old);
    if (old == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d records", raw->path, raw->n);
    }
    for (int g = 0; g < PINERY_SKY_N_GIVEN; g++) {
        memcpy(old, raw->value[g], n * sizeof *old);
        for (int i = 0; i < raw->n; i++) {
            raw->value[g][wrap(i + by, raw->n)] = old[i];
        }
    }
    for (int i = 0; i < raw->n; i++) {
        old[i] = raw->line[i];
    }
    for (int i = 0; i < raw->n; i++) {
        raw->line[wrap(i + by, raw->n)] = (int)old[i];
    }
    free(old);
    return PINERY_OK;
}

/* Source k lasts from k T + later. Each record j overlaps source k0(j) = j + behind in [0, cut) of its own time and
 * source k0(j) + 1 in [cut, T). */
struct overlap {
    int n, behind;
    bool round;  /* the records go round the year */
    bool evenly; /* weights are the time the sun is up, not its sine */
    double step_s, later_s;
    const struct pinery_sky_track *track;
    double *first, *second; /* weight of either part of each record */
};

static void weigh(struct overlap *o, bool evenly) {
    double cut_s = o->step_s * (o->behind + 1) + o->later_s;
    o->evenly = evenly;
    for (int j = 0; j < o->n; j++) {
        double lit_first, lit_second, start = j * o->step_s;
        double first = pinery_sky_track_sine(o->track, start, start + cut_s, &lit_first);
        double second = pinery_sky_track_sine(o->track, start + cut_s, start + o->step_s, &lit_second);
        o->first[j] = evenly ? lit_first : first;
        o->second[j] = evenly ? lit_second : second;
    }
}

/* The weight of the whole of source k. */
static double weight(const struct overlap *o, int k) {
    int j = k - o->behind; /* the record whose first part it fills; it fills the second of the one before */
    if (o->round || (j >= 1 && j < o->n)) {
        return o->first[wrap(j, o->n)] + o->second[wrap(j - 1, o->n)];
    }
    double from = k * o->step_s + o->later_s, lit; /* part of it lies outside the records */
    double sine = pinery_sky_track_sine(o->track, from, from + o->step_s, &lit);
    return o->evenly ? lit : sine;
}

/* Spread `value` by the overlaps; what fell in the dark is lost and added to *lost. */
static void spread(const struct overlap *o, double *value, double *density, double *lost) {
    for (int k = 0; k < o->n; k++) {
        double w = weight(o, k);
        density[k] = w > 0.0 ? value[k] / w : 0.0;
        *lost += w > 0.0 ? 0.0 : fmax(value[k], 0.0);
    }
    for (int j = 0; j < o->n; j++) {
        int k = j + o->behind;
        int before = o->round ? wrap(k, o->n) : k < 0 ? 0 : k > o->n - 1 ? o->n - 1 : k;
        int after = o->round ? wrap(k + 1, o->n) : k + 1 < 0 ? 0 : k + 1 > o->n - 1 ? o->n - 1 : k + 1;
        value[j] = density[before] * o->first[j] + density[after] * o->second[j];
    }
}

static const enum pinery_sky_given radiation[] = {PINERY_SKY_global, PINERY_SKY_diffuse, PINERY_SKY_beam_normal};

static pinery_status move(struct pinery_sky_raw *raw, const struct pinery_sky_track *track, double *lost,
                          pinery_error *error) {
    size_t n = (size_t)raw->n;
    double *room = malloc(3 * n * sizeof *room);
    if (room == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d records", raw->path, raw->n);
    }
    double later_s = raw->centre_s - 0.5 * raw->step_s;
    struct overlap o = {.n = raw->n,
                        .behind = (int)floor(-later_s / raw->step_s),
                        .round = pinery_sky_raw_is_year(raw),
                        .step_s = raw->step_s,
                        .later_s = later_s,
                        .track = track,
                        .first = room,
                        .second = room + n};
    for (int k = 0; k < 3; k++) {
        if (!pinery_sky_raw_given(raw, radiation[k])) {
            continue;
        }
        bool evenly = radiation[k] == PINERY_SKY_beam_normal;
        double dark = 0.0;
        if (k != 1 || !pinery_sky_raw_given(raw, PINERY_SKY_global)) { /* diffuse has the weights of global */
            weigh(&o, evenly);
        }
        spread(&o, raw->value[radiation[k]], room + 2 * n, &dark);
        *lost += k == 0 ? dark * raw->step_s : 0.0;
    }
    raw->centre_s = 0.5 * raw->step_s;
    free(room);
    return PINERY_OK;
}

/* No radiation while the sun is down, none below zero. */
static pinery_status clean(struct pinery_sky_raw *raw, const struct pinery_sky_track *track, double lost) {
    int cleaned = 0, first = -1;
    double largest = 0.0, sum = lost, all = lost;
    for (int i = 0; i < raw->n; i++) {
        bool down = pinery_sky_track_sine(track, i * raw->step_s, (i + 1) * raw->step_s, NULL) <= 0.0;
        bool counted = false;
        for (int k = 0; k < 3; k++) {
            double *value = &raw->value[radiation[k]][i];
            if (!pinery_sky_raw_given(raw, radiation[k])) {
                continue;
            }
            if (k == 0) {
                all += fmax(*value, 0.0) * raw->step_s;
                sum += down ? fmax(*value, 0.0) * raw->step_s : 0.0;
            }
            if (down && *value > 0.0) {
                first = first < 0 ? i : first;
                largest = fmax(largest, *value);
                counted = true;
            }
            *value = down ? 0.0 : fmax(*value, 0.0);
        }
        cleaned += counted;
    }
    if (cleaned == 0 && !(lost > 0.0)) {
        return PINERY_OK;
    }
    if (first < 0) {
        return pinery_sky_weather_remark(raw->weather, "%.3g kJ/m2 of global radiation left out: the sun was down",
                                         lost / 1e3);
    }
    return pinery_sky_weather_remark(
        raw->weather,
        "%s %d: radiation while the sun is down set to 0, there and in %d records, up to %.3g W/m2, %.2g %% of all",
        raw->row, raw->line[first], cleaned, largest, all > 0.0 ? 100.0 * sum / all : 0.0);
}

pinery_status pinery_sky_shift_radiation(struct pinery_sky_raw *raw, pinery_error *error) {
    struct pinery_sky_track track;
    pinery_status status = pinery_sky_track_new(&track, &raw->site, raw->site.utc_offset_h, raw->start_s,
                                                raw->n * raw->step_s, raw->year, error);
    if (status != PINERY_OK) {
        return status;
    }
    double lost = 0.0;
    if (fabs(raw->centre_s - 0.5 * raw->step_s) > 1.0) {
        status = move(raw, &track, &lost, error);
    }
    if (status == PINERY_OK) {
        status = clean(raw, &track, lost);
    }
    pinery_sky_track_free(&track);
    return status;
}
