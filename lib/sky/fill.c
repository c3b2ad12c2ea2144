/* Filling gaps in the columns a file has.
 *
 * Up to 6 h: a straight line between the neighbours, for the wind's direction the shorter way round, for radiation a
 * straight line of its share of the sun above the atmosphere. Longer: the mean of the same hour of the nearest days
 * before and after that have it. Rain: none. Only values of the file are used, never filled ones. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "sky/read.h"

#define SHORT_S (6.0 * 3600.0)

/* A column as it is filled. */
struct gaps {
    const struct pinery_sky_raw *raw;
    bool round;         /* the records go round the year */
    const double *file; /* values of the file, NaN where missing */
    const double *sun;  /* for radiation, the sun's sine over each record; else NULL */
    bool angle;
};

/* Record i, round the year or not; false when there is none. */
static bool step_to(const struct gaps *g, int *i) {
    int n = g->raw->n;
    if (g->round) {
        *i = (*i % n + n) % n;
    }
    return *i >= 0 && *i < n;
}

/* The value of the file `away` records from i, or NaN. */
static double at(const struct gaps *g, int i, int away) {
    int k = i + away;
    return step_to(g, &k) ? g->file[k] : NAN;
}

/* How many records away, in direction `by`, the nearest usable value is, at most `most`; 0 when there is none. */
static int nearest(const struct gaps *g, int i, int by, int most) {
    for (int away = 1; away <= most; away++) {
        int k = i + away * by / (by < 0 ? -by : by);
        if (!step_to(g, &k)) {
            return 0;
        }
        if (!isnan(g->file[k]) && (g->sun == NULL || g->sun[k] > 0.05)) {
            return away;
        }
    }
    return 0;
}

/* A share of the way from a to b, the shorter way round for angles. */
static double between(const struct gaps *g, double a, double b, double share) {
    if (!g->angle) {
        return a + share * (b - a);
    }
    double angle = a + share * remainder(b - a, 360.0);
    return angle - 360.0 * floor(angle / 360.0);
}

static double straight(const struct gaps *g, int i, int most) {
    if (g->sun != NULL && g->sun[i] <= 0.0) {
        return 0.0;
    }
    int before = nearest(g, i, -1, most), after = nearest(g, i, 1, most);
    if (before == 0 && after == 0) {
        return NAN;
    }
    double a = at(g, i, before > 0 ? -before : after), b = at(g, i, after > 0 ? after : -before);
    double share = before > 0 && after > 0 ? (double)before / (before + after) : 0.0;
    if (g->sun == NULL) {
        return between(g, a, b, share);
    }
    int ka = i + (before > 0 ? -before : after), kb = i + (after > 0 ? after : -before);
    step_to(g, &ka);
    step_to(g, &kb);
    return between(g, a / g->sun[ka], b / g->sun[kb], share) * g->sun[i];
}

static double same_hour(const struct gaps *g, int i) {
    int day = (int)(86400.0 / g->raw->step_s), days = g->raw->n / day;
    double before = NAN, after = NAN;
    for (int d = 1; d <= days && (isnan(before) || isnan(after)); d++) {
        before = isnan(before) ? at(g, i, -d * day) : before;
        after = isnan(after) ? at(g, i, d * day) : after;
    }
    if (isnan(before) || isnan(after)) {
        return isnan(before) ? after : before;
    }
    return between(g, before, after, 0.5);
}

static void fill_column(const struct gaps *g, double *value) {
    int n = g->raw->n, most = (int)(SHORT_S / g->raw->step_s);
    int start = 0; /* a record that is there, so that no gap is cut in two */
    while (isnan(g->file[start])) {
        start++;
    }
    start = g->round ? start : 0;
    for (int i = 0; i < n;) {
        int first = start + i, length = 0;
        while (i + length < n) {
            int k = first + length;
            if (!step_to(g, &k) || !isnan(g->file[k])) {
                break;
            }
            length++;
        }
        for (int away = 0; away < length; away++) {
            int k = first + away;
            step_to(g, &k);
            double filled = length <= most ? straight(g, k, g->sun == NULL ? n : 4 * most) : same_hour(g, k);
            value[k] = isnan(filled) ? straight(g, k, n) : filled;
        }
        i += length > 0 ? length : 1;
    }
}

/* Fill one column; `room` holds n values. */
static pinery_status fill(struct pinery_sky_raw *raw, enum pinery_sky_given given, const double *sun, double *room) {
    double *value = raw->value[given];
    int missing = 0, first = -1;
    for (int i = 0; i < raw->n; i++) {
        if (isnan(value[i])) {
            first = missing++ == 0 ? i : first;
        }
    }
    if (missing == 0) {
        return PINERY_OK;
    }
    raw->filled[given] = missing;
    if (given == PINERY_SKY_rain) {
        for (int i = 0; i < raw->n; i++) {
            value[i] = isnan(value[i]) ? 0.0 : value[i];
        }
    } else {
        memcpy(room, value, (size_t)raw->n * sizeof *room);
        struct gaps gaps = {raw, pinery_sky_raw_is_year(raw), room, sun, given == PINERY_SKY_wind_direction};
        fill_column(&gaps, value);
    }
    return pinery_sky_weather_remark(raw->weather, "%s %d: %s is missing there and in %d of %d records; %s", raw->row,
                                     pinery_sky_raw_line(raw, first), raw->field[given].name, missing, raw->n,
                                     given == PINERY_SKY_rain ? "taken as none"
                                                              : "filled from the hours and days around");
}

pinery_status pinery_sky_fill_gaps(struct pinery_sky_raw *raw, pinery_error *error) {
    size_t n = (size_t)raw->n;
    struct pinery_sky_track track = {0};
    double *room = malloc(2 * n * sizeof *room);
    pinery_status status = PINERY_OK;
    if (room == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d records", raw->path, raw->n);
    }
    double *sun = room + n;
    bool have_sun = false;
    for (int g = 0; g < PINERY_SKY_N_GIVEN && status == PINERY_OK; g++) {
        enum pinery_sky_given given = (enum pinery_sky_given)g;
        bool radiation = given == PINERY_SKY_global || given == PINERY_SKY_beam_normal || given == PINERY_SKY_diffuse;
        if (!pinery_sky_raw_given(raw, given) || given == PINERY_SKY_par) {
            continue;
        }
        if (radiation && !have_sun) {
            have_sun = true;
            status = pinery_sky_track_new(&track, &raw->site, raw->site.utc_offset_h, raw->start_s,
                                          raw->n * raw->step_s, raw->year, error);
            for (int i = 0; i < raw->n && status == PINERY_OK; i++) {
                double from = i * raw->step_s + raw->centre_s - 0.5 * raw->step_s;
                sun[i] = pinery_sky_track_sine(&track, from, from + raw->step_s, NULL) / raw->step_s;
            }
        }
        if (status == PINERY_OK) {
            status = fill(raw, given, radiation ? sun : NULL, room);
            if (status != PINERY_OK) {
                pinery_base_fail(error, status, "%s: no memory for a remark", raw->path);
            }
        }
    }
    pinery_sky_track_free(&track);
    free(room);
    return status;
}
