/* The plain CSV of a weather station or a climate computer; described in weather/station-csv.md.
 *
 * "# key: value" lines, a header of "quantity [unit]" columns, rows of any regular step from a minute to an hour. */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "base/field.h"
#include "sky/read_station.h"

/* What a column may be called. */
static const struct {
    enum pinery_sky_given given;
    const char *name;
} names[] = {
    {PINERY_SKY_temperature, "temperature"},
    {PINERY_SKY_dew_point, "dew point"},
    {PINERY_SKY_relative_humidity, "relative humidity"},
    {PINERY_SKY_vapour_pressure, "vapour pressure"},
    {PINERY_SKY_pressure, "pressure"},
    {PINERY_SKY_global, "global radiation"},
    {PINERY_SKY_beam_normal, "direct normal radiation"},
    {PINERY_SKY_diffuse, "diffuse radiation"},
    {PINERY_SKY_infrared, "infrared radiation"},
    {PINERY_SKY_par, "PAR"},
    {PINERY_SKY_wind_speed, "wind speed"},
    {PINERY_SKY_wind_direction, "wind direction"},
    {PINERY_SKY_rain, "rain"},
    {PINERY_SKY_cloud, "cloud cover"},
};
enum { N_NAMES = sizeof names / sizeof names[0] };

bool pinery_sky_is_station(const struct pinery_base_text *text) {
    for (int i = 0; i < text->n && i < 200; i++) {
        const char *line = text->line[i];
        line += strspn(line, " \t\"");
        if (*line == '#' || *line == '\0') {
            continue;
        }
        char word[5] = "";
        memcpy(word, line, strnlen(line, 4));
        return pinery_base_same_word(word, "time") && strchr(",;\t \"[", line[4]) != NULL;
    }
    return false;
}

/* One of two words for a key. */
static pinery_status choose(const struct pinery_sky_raw *raw, int line, const char *key, const char *value,
                            const char *yes, const char *no, bool *answer, pinery_error *error) {
    *answer = pinery_base_same_word(value, yes);
    if (!*answer && !pinery_base_same_word(value, no)) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %s = \"%.40s\", expected %s or %s", raw->path,
                                line, key, value, yes, no);
    }
    return PINERY_OK;
}

static pinery_status read_key(struct pinery_sky_raw *raw, struct pinery_sky_table *table, bool *offset_given, int line,
                              const char *key, const char *value, pinery_error *error) {
    if (pinery_base_same_word(key, "latitude")) {
        return pinery_sky_raw_site(raw, line, key, value, PINERY_SKY_LATITUDE, &raw->site.latitude_deg, error);
    }
    if (pinery_base_same_word(key, "longitude")) {
        return pinery_sky_raw_site(raw, line, key, value, PINERY_SKY_LONGITUDE, &raw->site.longitude_deg, error);
    }
    if (pinery_base_same_word(key, "elevation")) {
        return pinery_sky_raw_site(raw, line, key, value, PINERY_SKY_ELEVATION, &raw->site.elevation_m, error);
    }
    if (pinery_base_same_word(key, "utc offset")) {
        *offset_given = true;
        return pinery_sky_raw_site(raw, line, key, value, PINERY_SKY_UTC_OFFSET, &raw->site.utc_offset_h, error);
    }
    if (pinery_base_same_word(key, "time")) {
        return choose(raw, line, "time", value, "UTC", "local", &raw->utc, error);
    }
    if (pinery_base_same_word(key, "stamp")) {
        return choose(raw, line, "stamp", value, "end", "start", &table->stamped_at_end, error);
    }
    if (pinery_base_same_word(key, "values")) {
        return choose(raw, line, "values", value, "mean", "instant", &table->means, error);
    }
    if (pinery_base_same_word(key, "name")) {
        snprintf(raw->site.name, sizeof raw->site.name, "%s", value);
    }
    return PINERY_OK; /* any other line is a comment */
}

/* The "# key: value" lines, down to the header. */
static pinery_status read_preamble(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                   struct pinery_sky_table *table, pinery_error *error) {
    bool offset_given = false;
    raw->site.latitude_deg = raw->site.longitude_deg = raw->site.elevation_m = NAN;
    int i = 0;
    for (; i < text->n; i++) {
        char *line = pinery_base_trim(text->line[i]);
        if (*line == '"' && line[1] == '#') { /* a spreadsheet put it in quotes */
            line++;
            line[strcspn(line, "\"")] = '\0';
        }
        if (*line != '#' && *line != '\0') {
            break;
        }
        char *value = strchr(line, ':');
        if (value == NULL) {
            continue;
        }
        *value++ = '\0';
        size_t n = strlen(value); /* a spreadsheet ends every line in separators */
        while (n > 0 && strchr(",; \t", value[n - 1]) != NULL) {
            value[--n] = '\0';
        }
        pinery_status status =
            read_key(raw, table, &offset_given, i + 1, pinery_base_trim(line + 1), pinery_base_trim(value), error);
        if (status != PINERY_OK) {
            return status;
        }
    }
    table->header = i;
    const char *lacks = isnan(raw->site.latitude_deg)    ? "latitude"
                        : isnan(raw->site.longitude_deg) ? "longitude"
                        : isnan(raw->site.elevation_m)   ? "elevation"
                        : !offset_given                  ? "utc offset"
                                                         : NULL;
    if (lacks != NULL) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: no line \"# %s: ...\" above the header (line %d)",
                                raw->path, lacks, i + 1);
    }
    return PINERY_OK;
}

static pinery_status unknown_column(const struct pinery_sky_raw *raw, int line, const char *name, pinery_error *error) {
    char known[512] = "";
    const char *nearest = NULL;
    int best = INT_MAX;
    for (int k = 0; k < N_NAMES; k++) {
        size_t used = strlen(known);
        snprintf(known + used, sizeof known - used, "%s%s", k > 0 ? ", " : "", names[k].name);
        if (pinery_base_nearer(name, names[k].name, &best)) {
            nearest = names[k].name;
        }
    }
    return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: unknown column \"%.60s\"%s%s%s; known are time, %s",
                            raw->path, line, name, nearest != NULL ? " (did you mean " : "",
                            nearest != NULL ? nearest : "", nearest != NULL ? "?)" : "", known);
}

/* "temperature [degC]": which quantity, in what unit. */
static pinery_status read_column(struct pinery_sky_raw *raw, struct pinery_sky_table *table, int c, char *text,
                                 pinery_error *error) {
    int line = table->header + 1;
    char *unit = strchr(text, '[');
    if (unit != NULL) {
        *unit++ = '\0';
        unit[strcspn(unit, "]")] = '\0';
    }
    const char *name = pinery_base_trim(text);
    table->given[c] = -1;
    if (pinery_base_same_word(name, "time")) {
        table->time = c;
        return PINERY_OK;
    }
    int k = 0;
    while (k < N_NAMES && !pinery_base_same_word(name, names[k].name)) {
        k++;
    }
    if (k == N_NAMES) {
        return unknown_column(raw, line, name, error);
    }
    if (pinery_sky_raw_given(raw, names[k].given)) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: column \"%s\" comes twice", raw->path, line,
                                name);
    }
    table->given[c] = (int)names[k].given;
    pinery_sky_raw_has(raw, names[k].given, names[k].name, unit == NULL ? "" : unit, NAN);
    if (raw->field[names[k].given].unit == NULL) {
        static const enum pinery_base_quantity quantity[] = {
#define X(key, quantity, lowest, highest) PINERY_BASE_##quantity,
            PINERY_SKY_GIVEN(X)
#undef X
        };
        char units[128];
        pinery_base_unit_names(quantity[names[k].given], units, sizeof units);
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: column \"%s\" is in [%.20s], expected one of %s",
                                raw->path, line, names[k].name, unit == NULL ? "" : unit, units);
    }
    return PINERY_OK;
}

static pinery_status read_header(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                 struct pinery_sky_table *table, pinery_error *error) {
    char *field[PINERY_SKY_TABLE_MOST], *line = text->line[table->header];
    table->separator = strchr(line, ';') != NULL ? ';' : strchr(line, '\t') != NULL ? '\t' : ',';
    table->n_columns = pinery_base_split(line, table->separator, field, PINERY_SKY_TABLE_MOST);
    while (table->n_columns > 0 && table->n_columns <= PINERY_SKY_TABLE_MOST &&
           field[table->n_columns - 1][0] == '\0') {
        table->n_columns--;
    }
    if (table->n_columns < 2 || table->n_columns > PINERY_SKY_TABLE_MOST) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %d columns, expected 2 .. %d", raw->path,
                                table->header + 1, table->n_columns, PINERY_SKY_TABLE_MOST);
    }
    table->time = -1;
    for (int c = 0; c < table->n_columns; c++) {
        pinery_status status = read_column(raw, table, c, field[c], error);
        if (status != PINERY_OK) {
            return status;
        }
    }
    return PINERY_OK;
}

static pinery_status read_values(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                 const struct pinery_sky_table *table, pinery_error *error) {
    int missing = 0, after = 0;
    for (int i = 0; i < raw->n; i++) {
        char *field[PINERY_SKY_TABLE_MOST];
        if (raw->line[i] == 0) {
            after = missing++ == 0 ? raw->line[i - 1] : after; /* record 0 is always there */
            continue;
        }
        int got = pinery_base_split(text->line[raw->line[i] - 1], table->separator, field, PINERY_SKY_TABLE_MOST);
        while (got > table->n_columns && got <= PINERY_SKY_TABLE_MOST && field[got - 1][0] == '\0') {
            got--; /* left by a spreadsheet */
        }
        if (got != table->n_columns) {
            return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %d fields, expected %d as in line %d",
                                    raw->path, raw->line[i], got < 0 ? 0 : got, table->n_columns, table->header + 1);
        }
        for (int c = 0; c < table->n_columns; c++) {
            pinery_status status = table->given[c] < 0
                                       ? PINERY_OK
                                       : pinery_sky_raw_put_text(raw, i, (enum pinery_sky_given)table->given[c],
                                                                 field[c], table->comma, error);
            if (status != PINERY_OK) {
                return status;
            }
        }
    }
    return missing == 0 ? PINERY_OK
                        : pinery_sky_weather_remark(
                              raw->weather, "line %d: %d records are missing after it and elsewhere", after, missing);
}

pinery_status pinery_sky_read_station(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error) {
    struct pinery_sky_table table = {.stamped_at_end = true, .means = true};
    pinery_status status = read_preamble(text, raw, &table, error);
    if (status == PINERY_OK) {
        status = read_header(text, raw, &table, error);
    }
    if (status != PINERY_OK) {
        return status;
    }
    struct pinery_sky_row *row = malloc((size_t)(text->n + 1) * sizeof *row);
    if (row == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d rows", raw->path, text->n);
    }
    int n = 0;
    for (int i = table.header + 1; i < text->n; i++) {
        const char *line = pinery_base_trim(text->line[i]);
        if (*line != '\0' && *line != '#') {
            row[n++].line = i;
        }
        /* With ; or tab between fields the comma can only be a decimal mark. */
        table.comma = table.comma || (table.separator != ',' && strchr(line, ',') != NULL);
    }
    if (n < 2) {
        status =
            pinery_base_fail(error, PINERY_BAD_FILE, "%s: %d rows below the header in line %d, expected two or more",
                             raw->path, n, table.header + 1);
    }
    if (status == PINERY_OK) {
        status = pinery_sky_table_times(text, raw, &table, row, n, error);
    }
    if (status == PINERY_OK) {
        status = pinery_sky_table_place(raw, &table, row, n, error);
    }
    free(row);
    if (status != PINERY_OK) {
        return status;
    }
    raw->centre_s = 0.5 * raw->step_s;
    raw->instant_s = table.means ? 0.5 * raw->step_s : table.stamped_at_end ? raw->step_s : 0.0;
    return read_values(text, raw, &table, error);
}
