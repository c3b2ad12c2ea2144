/* Monthly normals of places from a CSV.
 *
 * The first line that is no comment (#) names the columns, in any order: place, latitude [deg], longitude [deg],
 * utc offset [h], elevation [m], month, and the columns of PINERY_SKY_NORMALS; others are ignored. Each place has one
 * row for each month 1 .. 12. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "base/text.h"
#include "sky/generate.h"

#define MOST_COLUMNS 64

static const struct {
    const char *heading;
    double factor, min, max;
} normals_columns[] = {
#define X(key, heading, factor, min, max, doc) {heading, factor, min, max},
    PINERY_SKY_NORMALS(X)
#undef X
};

static const struct {
    const char *heading;
    double min, max;
} site_columns[] = {
    {"latitude [deg]", -90, 90},
    {"longitude [deg]", -180, 180},
    {"utc offset [h]", -12, 14},
    {"elevation [m]", -450, 6000},
};

enum { SITE_N = sizeof site_columns / sizeof *site_columns };

struct layout {
    int place, month, site[SITE_N], normal[PINERY_SKY_NORMAL_N];
};

static int column_of(char **field, int n, const char *heading) {
    for (int i = 0; i < n; i++)
        if (strcmp(field[i], heading) == 0)
            return i;
    return -1;
}

static pinery_status read_layout(const char *path, int line, char **field, int n, struct layout *layout,
                                 pinery_error *error) {
    const char *missing = NULL;
    if ((layout->place = column_of(field, n, "place")) < 0)
        missing = "place";
    if ((layout->month = column_of(field, n, "month")) < 0)
        missing = "month";
    for (int i = 0; i < SITE_N; i++)
        if ((layout->site[i] = column_of(field, n, site_columns[i].heading)) < 0)
            missing = site_columns[i].heading;
    for (int i = 0; i < PINERY_SKY_NORMAL_N; i++)
        if ((layout->normal[i] = column_of(field, n, normals_columns[i].heading)) < 0)
            missing = normals_columns[i].heading;
    if (missing)
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s:%d: the heading '%s' is missing", path, line, missing);
    return PINERY_OK;
}

static pinery_status read_value(const char *path, int line, const char *heading, const char *text, double min,
                                double max, double *value, pinery_error *error) {
    if (!pinery_base_number(text, value) || !(*value >= min && *value <= max))
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s:%d: %s is '%s'; want a number %g .. %g", path, line,
                                heading, text, min, max);
    return PINERY_OK;
}

static pinery_status read_row(const char *path, int line, char **field, const struct layout *layout,
                              struct pinery_sky_normals *normals, unsigned *seen, pinery_error *error) {
    int month;
    if (!pinery_base_whole(field[layout->month], &month) || month < 1 || month > 12)
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s:%d: month is '%s'; want a whole number 1 .. 12", path, line,
                                field[layout->month]);
    if (*seen >> month & 1)
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s:%d: month %d of %s is there twice", path, line, month,
                                normals->site.name);
    *seen |= 1u << month;
    double *site[SITE_N] = {&normals->site.latitude_deg, &normals->site.longitude_deg, &normals->site.utc_offset_h,
                            &normals->site.elevation_m};
    for (int i = 0; i < SITE_N; i++) {
        pinery_status status = read_value(path, line, site_columns[i].heading, field[layout->site[i]],
                                          site_columns[i].min, site_columns[i].max, site[i], error);
        if (status != PINERY_OK)
            return status;
    }
    for (int i = 0; i < PINERY_SKY_NORMAL_N; i++) {
        double value;
        pinery_status status = read_value(path, line, normals_columns[i].heading, field[layout->normal[i]],
                                          normals_columns[i].min, normals_columns[i].max, &value, error);
        if (status != PINERY_OK)
            return status;
        normals->month[i][month - 1] = normals_columns[i].factor * value;
    }
    const double *of_month = &normals->month[0][month - 1];
#define OF(key) of_month[12 * PINERY_SKY_NORMAL_##key]
    if (!(OF(daily_min) <= OF(temperature) && OF(temperature) <= OF(daily_max)))
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s:%d: temperature is %g degC; want it between the daily minimum %g and maximum %g",
                                path, line, OF(temperature), OF(daily_min), OF(daily_max));
    if (!(OF(diffuse) <= OF(global)))
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s:%d: daily diffuse radiation is %g kWh/m2; want no more than the global's %g", path,
                                line, OF(diffuse), OF(global));
#undef OF
    return PINERY_OK;
}

/* Add a place to the list of known ones, once. */
static void note_place(char *known, size_t size, const char *place) {
    size_t length = strlen(known);
    char quoted[PINERY_TEXT_SIZE + 4];
    snprintf(quoted, sizeof quoted, "'%s'", place);
    if (!strstr(known, quoted))
        snprintf(known + length, size - length, "%s%s", length ? ", " : "", quoted);
}

pinery_status pinery_sky_normals_read(const char *path, const char *place, struct pinery_sky_normals *normals,
                                      pinery_error *error) {
    struct pinery_base_text text;
    pinery_status status = pinery_base_text_read(path, &text, error);
    if (status != PINERY_OK)
        return status;
    struct layout layout;
    int columns = 0;
    unsigned seen = 0;
    char known[700] = "", *field[MOST_COLUMNS];
    memset(normals, 0, sizeof *normals);
    for (int i = 0; i < text.n && status == PINERY_OK; i++) {
        char *row = pinery_base_trim(text.line[i]);
        if (row[0] == '\0' || row[0] == '#')
            continue;
        int n = pinery_base_split(row, ',', field, MOST_COLUMNS);
        if (n < 1 || n > MOST_COLUMNS || (columns > 0 && n != columns)) {
            status = pinery_base_fail(error, PINERY_BAD_FILE, "%s:%d: the row has %d fields; want %d", path, i + 1, n,
                                      columns > 0 ? columns : PINERY_SKY_NORMAL_N + SITE_N + 2);
        } else if (columns == 0) {
            columns = n;
            status = read_layout(path, i + 1, field, n, &layout, error);
        } else if (!pinery_base_same_word(field[layout.place], place)) {
            note_place(known, sizeof known, field[layout.place]);
        } else {
            snprintf(normals->site.name, sizeof normals->site.name, "%s", field[layout.place]);
            status = read_row(path, i + 1, field, &layout, normals, &seen, error);
        }
    }
    if (status == PINERY_OK && seen == 0)
        status = pinery_base_fail(error, PINERY_BAD_INPUT, "%s: no place '%s'; known: %s", path, place, known);
    for (int month = 1; month <= 12 && status == PINERY_OK; month++)
        if (!(seen >> month & 1))
            status = pinery_base_fail(error, PINERY_BAD_FILE, "%s: %s has no row for month %d", path,
                                      normals->site.name, month);
    pinery_base_text_free(&text);
    return status;
}
