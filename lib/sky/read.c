/* Reading a weather file: the one place that names the stages. */
#include "sky/read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"

static const struct {
    const char *name;
    bool (*is)(const struct pinery_base_text *text);
    pinery_status (*read)(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error);
} formats[] = {
    {"EPW", pinery_sky_is_epw, pinery_sky_read_epw},
    {"TMY3 CSV", pinery_sky_is_tmy3, pinery_sky_read_tmy3},
    {"PVGIS JSON", pinery_sky_is_pvgis_json, pinery_sky_read_pvgis_json},
    {"PVGIS CSV", pinery_sky_is_pvgis_csv, pinery_sky_read_pvgis_csv},
    {"station CSV", pinery_sky_is_station, pinery_sky_read_station},
};
enum { N_FORMATS = sizeof formats / sizeof formats[0] };

/* The stages between a file's rows and a weather's columns, in their order. */
static pinery_status (*const stages[])(struct pinery_sky_raw *raw, pinery_error *error) = {
    pinery_sky_check_site,    /* does the clock fit the longitude */
    pinery_sky_check_columns, /* is enough there, is it plausible */
    pinery_sky_check_diffuse, pinery_sky_fill_global,
    pinery_sky_shift_find,                                /* when the radiation was, by the sun */
    pinery_sky_shift_clock,                               /* UTC to standard time */
    pinery_sky_fill_gaps,     pinery_sky_shift_radiation, /* onto its own records */
};

/* A weather with the remarks so far moves into one with room for the records. */
static pinery_status make_room(struct pinery_sky_raw *raw, pinery_error *error) {
    struct pinery_weather *weather = pinery_sky_weather_new(raw->n), *before = raw->weather;
    if (weather == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d records", raw->path, raw->n);
    }
    weather->remark = before->remark;
    weather->n_remarks = before->n_remarks;
    before->remark = NULL;
    before->n_remarks = 0;
    pinery_weather_free(before);
    weather->site = raw->site;
    weather->step_s = raw->step_s;
    weather->start_s = raw->start_s;
    weather->instant_s = raw->instant_s;
    weather->year = raw->year;
    weather->leap = raw->leap;
    snprintf(weather->source, sizeof weather->source, "%s", raw->path);
    raw->weather = weather;
    return PINERY_OK;
}

static pinery_status read_text(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error) {
    int format = 0;
    while (format < N_FORMATS && !formats[format].is(text)) {
        format++;
    }
    if (format == N_FORMATS) {
        return pinery_base_fail(
            error, PINERY_BAD_FILE,
            "%s: line 1: \"%.60s\" begins no known format, expected EPW (LOCATION,...), TMY3 CSV, a PVGIS "
            "typical year (CSV or JSON) or a station CSV (# latitude: ..., then time;...)",
            raw->path, text->n > 0 ? text->line[0] : "");
    }
    pinery_status status = formats[format].read(text, raw, error);
    for (size_t k = 0; k < sizeof stages / sizeof stages[0] && status == PINERY_OK; k++) {
        status = stages[k](raw, error);
    }
    if (status == PINERY_OK) {
        status = make_room(raw, error);
    }
    if (status == PINERY_OK) {
        status = pinery_sky_fill_weather(raw, error);
    }
    return status == PINERY_OK ? pinery_sky_weather_finish(raw->weather, error) : status;
}

pinery_status pinery_weather_read(const char *path, pinery_weather **out, pinery_error *error) {
    *out = NULL;
    pinery_base_ok(error);
    struct pinery_base_text text;
    pinery_status status = pinery_base_text_read(path, &text, error);
    if (status != PINERY_OK) {
        return status;
    }
    struct pinery_sky_raw raw = {.path = path, .row = "line", .weather = pinery_sky_weather_new(0)};
    status = raw.weather == NULL ? pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for a weather", path)
                                 : read_text(&text, &raw, error);
    if (status == PINERY_OK) {
        *out = raw.weather;
        raw.weather = NULL;
    } else if (status == PINERY_MEMORY && error != NULL && error->status == PINERY_OK) {
        pinery_base_fail(error, status, "%s: no memory for a remark", path);
    }
    pinery_sky_raw_free(&raw);
    pinery_base_text_free(&text);
    return status;
}
