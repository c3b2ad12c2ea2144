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
#include "sky/read.h"

enum { MOST = 64 };

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

struct table {
    int header;          /* line from 0 */
    char separator;      /* , ; or tab */
    bool comma;          /* decimal comma */
    bool stamped_at_end; /* the stamp ends the record */
    bool means;          /* all values are means over the record */
    int n_columns;
    int given[MOST]; /* what each column is; -1 for the time */
    int time;        /* the column of the time */
};

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

static pinery_status read_key(struct pinery_sky_raw *raw, struct table *table, bool *offset_given, int line,
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
static pinery_status read_preamble(struct pinery_base_text *text, struct pinery_sky_raw *raw, struct table *table,
                                   pinery_error *error) {
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
static pinery_status read_column(struct pinery_sky_raw *raw, struct table *table, int c, char *text,
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

static pinery_status read_header(struct pinery_base_text *text, struct pinery_sky_raw *raw, struct table *table,
                                 pinery_error *error) {
    char *field[MOST], *line = text->line[table->header];
    table->separator = strchr(line, ';') != NULL ? ';' : strchr(line, '\t') != NULL ? '\t' : ',';
    table->n_columns = pinery_base_split(line, table->separator, field, MOST);
    while (table->n_columns > 0 && table->n_columns <= MOST && field[table->n_columns - 1][0] == '\0') {
        table->n_columns--;
    }
    if (table->n_columns < 2 || table->n_columns > MOST) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %d columns, expected 2 .. %d", raw->path,
                                table->header + 1, table->n_columns, MOST);
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

/* A row of the file: its line from 0 and the start of its record. */
struct row {
    int line;
    double time_s;
};

/* Cut up the times only, keeping the lines whole for later. */
static pinery_status read_times(struct pinery_base_text *text, struct pinery_sky_raw *raw, const struct table *table,
                                struct row *row, int n, pinery_error *error) {
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
static pinery_status place_rows(struct pinery_sky_raw *raw, const struct table *table, struct row *row, int n,
                                pinery_error *error) {
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

static pinery_status read_values(struct pinery_base_text *text, struct pinery_sky_raw *raw, const struct table *table,
                                 pinery_error *error) {
    int missing = 0, after = 0;
    for (int i = 0; i < raw->n; i++) {
        char *field[MOST];
        if (raw->line[i] == 0) {
            after = missing++ == 0 ? raw->line[i - 1] : after; /* record 0 is always there */
            continue;
        }
        int got = pinery_base_split(text->line[raw->line[i] - 1], table->separator, field, MOST);
        while (got > table->n_columns && got <= MOST && field[got - 1][0] == '\0') {
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
    struct table table = {.stamped_at_end = true, .means = true};
    pinery_status status = read_preamble(text, raw, &table, error);
    if (status == PINERY_OK) {
        status = read_header(text, raw, &table, error);
    }
    if (status != PINERY_OK) {
        return status;
    }
    struct row *row = malloc((size_t)(text->n + 1) * sizeof *row);
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
        status = read_times(text, raw, &table, row, n, error);
    }
    if (status == PINERY_OK) {
        status = place_rows(raw, &table, row, n, error);
    }
    free(row);
    if (status != PINERY_OK) {
        return status;
    }
    raw->centre_s = 0.5 * raw->step_s;
    raw->instant_s = table.means ? 0.5 * raw->step_s : table.stamped_at_end ? raw->step_s : 0.0;
    return read_values(text, raw, &table, error);
}
