/* EPW, the EnergyPlus weather file (format: U.S. Department of Energy, Auxiliary Programs, "EnergyPlus Weather File
 * (EPW) Data Dictionary").
 *
 * Eight header lines, then rows of 35 fields. The hour runs from 1 to 24 and names the end of the record; the minute
 * field is 0, 30 or 60 by habit of the writer and means nothing. Radiation is the mean over the record, the rest is of
 * the stamp. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "sky/read.h"

enum { FIELDS = 35, ENOUGH = 29, MOST = 128 };

/* Which field is what (from 1), with the code for "missing". */
static const struct column {
    enum pinery_sky_given given;
    int field;
    const char *name, *unit;
    double missing[2];
} columns[] = {
    {PINERY_SKY_temperature, 7, "dry bulb (field 7)", "degC", {99.9, NAN}},
    {PINERY_SKY_dew_point, 8, "dew point (field 8)", "degC", {99.9, NAN}},
    {PINERY_SKY_relative_humidity, 9, "relative humidity (field 9)", "%", {999.0, NAN}},
    {PINERY_SKY_pressure, 10, "pressure (field 10)", "Pa", {999999.0, NAN}},
    {PINERY_SKY_infrared, 13, "infrared from the sky (field 13)", "W/m2", {9999.0, 0.0}}, /* the sky is never at 0 K */
    {PINERY_SKY_global, 14, "global radiation (field 14)", "W/m2", {9999.0, NAN}},
    {PINERY_SKY_beam_normal, 15, "direct normal radiation (field 15)", "W/m2", {9999.0, NAN}},
    {PINERY_SKY_diffuse, 16, "diffuse radiation (field 16)", "W/m2", {9999.0, NAN}},
    {PINERY_SKY_wind_direction, 21, "wind direction (field 21)", "deg", {999.0, NAN}},
    {PINERY_SKY_wind_speed, 22, "wind speed (field 22)", "m/s", {999.0, NAN}},
    {PINERY_SKY_cloud, 23, "sky cover (field 23)", "tenths", {99.0, NAN}},
    {PINERY_SKY_rain, 34, "liquid precipitation (field 34)", "mm", {999.0, 9999.0}},
};
enum { N_COLUMNS = sizeof columns / sizeof columns[0], RAIN_HOURS = 35 };

static bool starts(const char *line, const char *word) {
    return strncmp(line, word, strlen(word)) == 0;
}

bool pinery_sky_is_epw(const struct pinery_base_text *text) {
    return text->n > 0 && starts(text->line[0], "LOCATION,");
}

/* The line after the header, and what the header says on the way. */
static pinery_status read_header(struct pinery_base_text *text, struct pinery_sky_raw *raw, int *first,
                                 pinery_error *error) {
    char *field[MOST];
    int n = pinery_base_split(text->line[0], ',', field, MOST);
    if (n < 10) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line 1: LOCATION has %d fields, expected 10", raw->path,
                                n);
    }
    strncpy(raw->site.name, field[1], PINERY_TEXT_SIZE - 1);
    pinery_status status;
    if ((status = pinery_sky_raw_site(raw, 1, "latitude (field 7)", field[6], PINERY_SKY_LATITUDE,
                                      &raw->site.latitude_deg, error)) != PINERY_OK ||
        (status = pinery_sky_raw_site(raw, 1, "longitude (field 8)", field[7], PINERY_SKY_LONGITUDE,
                                      &raw->site.longitude_deg, error)) != PINERY_OK ||
        (status = pinery_sky_raw_site(raw, 1, "time zone (field 9)", field[8], PINERY_SKY_UTC_OFFSET,
                                      &raw->site.utc_offset_h, error)) != PINERY_OK ||
        (status = pinery_sky_raw_site(raw, 1, "elevation (field 10)", field[9], PINERY_SKY_ELEVATION,
                                      &raw->site.elevation_m, error)) != PINERY_OK) {
        return status;
    }
    for (int i = 1; i < text->n && i < 40; i++) {
        static const char offset[] = "Irradiance Time Offset (h):";
        const char *at = strstr(text->line[i], offset);
        double hours;
        if (at != NULL && pinery_base_number(at + strlen(offset), &hours) && fabs(hours) <= 1.0) {
            /* Only the PVGIS service writes this. Its rows are the hours of UTC in order, stamped at their end, with
             * values of the start of the hour; the offset counts from the stamp. */
            raw->utc = raw->presumed = true;
            raw->instant_s = 0.0;
            raw->centre_s = 3600.0 * (1.0 + hours);
        }
        if (starts(text->line[i], "DATA PERIODS")) {
            int per_hour;
            n = pinery_base_split(text->line[i], ',', field, MOST);
            if (n < 3 || !pinery_base_whole(field[2], &per_hour) || per_hour < 1 || 60 % per_hour != 0) {
                return pinery_base_fail(
                    error, PINERY_BAD_FILE,
                    "%s: line %d: records per hour (field 3) = \"%.20s\", expected a whole divisor of 60", raw->path,
                    i + 1, n < 3 ? "" : field[2]);
            }
            if (!raw->utc) {
                raw->centre_s /= per_hour;
                raw->instant_s /= per_hour;
            }
            raw->step_s = 3600.0 / per_hour;
            *first = i + 1;
            return PINERY_OK;
        }
    }
    return pinery_base_fail(error, PINERY_BAD_FILE, "%s: no DATA PERIODS line in the header of %d lines", raw->path,
                            text->n < 40 ? text->n : 40);
}

/* Year, month, day and hour of a row that has been cut up. */
static pinery_status read_stamp(const struct pinery_sky_raw *raw, int i, char **field, struct pinery_sky_stamp *stamp,
                                pinery_error *error) {
    static const char *const name[] = {"year (field 1)", "month (field 2)", "day (field 3)", "hour (field 4)"};
    int number[4];
    for (int k = 0; k < 4; k++) {
        if (!pinery_base_whole(field[k], &number[k])) {
            return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %s = \"%.40s\" is not a whole number",
                                    raw->path, raw->line[i], name[k], field[k]);
        }
    }
    if (number[3] < 1 || number[3] > 24) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: hour (field 4) = %d is outside 1 .. 24",
                                raw->path, raw->line[i], number[3]);
    }
    int per_hour = (int)(3600.0 / raw->step_s);
    *stamp = (struct pinery_sky_stamp){number[0], number[1], number[2],
                                       (number[3] - 1) * 3600.0 + i % per_hour * raw->step_s};
    return PINERY_OK;
}

static pinery_status read_row(struct pinery_sky_raw *raw, int i, char *line, struct pinery_sky_stamp *stamp,
                              int *n_fields, pinery_error *error) {
    char *field[MOST];
    int n = pinery_base_split(line, ',', field, MOST);
    if (n < ENOUGH) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %d fields, expected %d", raw->path, raw->line[i],
                                n < 0 ? 0 : n, FIELDS);
    }
    for (int k = FIELDS; k < n && k < MOST; k++) {
        if (field[k][0] != '\0') {
            return pinery_base_fail(
                error, PINERY_BAD_FILE,
                "%s: line %d: %d fields, expected %d; field %d = \"%.40s\" is not empty, so values may have moved",
                raw->path, raw->line[i], n, FIELDS, k + 1, field[k]);
        }
    }
    *n_fields = n;
    double flags;
    if (pinery_base_number(field[5], &flags) && strchr(field[5], '.') != NULL) {
        return pinery_base_fail(
            error, PINERY_BAD_FILE,
            "%s: line %d: field 6 = %.40s is a number, expected flags: the values have moved by a field", raw->path,
            raw->line[i], field[5]);
    }
    pinery_status status = read_stamp(raw, i, field, stamp, error);
    for (int c = 0; c < N_COLUMNS && status == PINERY_OK; c++) {
        if (columns[c].field <= n) {
            status = pinery_sky_raw_put_text(raw, i, columns[c].given, field[columns[c].field - 1], false, error);
        }
    }
    double hours;
    if (n >= RAIN_HOURS && pinery_base_number(field[RAIN_HOURS - 1], &hours) && hours > 1.0 && hours < 99.0) {
        raw->value[PINERY_SKY_rain][i] /= hours; /* the depth of so many hours */
    }
    return status;
}

pinery_status pinery_sky_read_epw(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error) {
    int first = 0;
    raw->step_s = 3600.0;
    raw->centre_s = 1800.0;
    raw->instant_s = 3600.0;
    pinery_status status = read_header(text, raw, &first, error);
    if (status != PINERY_OK) {
        return status;
    }
    int n = 0;
    for (int i = first; i < text->n; i++) {
        n += pinery_base_trim(text->line[i])[0] != '\0';
    }
    if ((status = pinery_sky_raw_new(raw, n, error)) != PINERY_OK) {
        return status;
    }
    for (int c = 0; c < N_COLUMNS; c++) {
        pinery_sky_raw_has(raw, columns[c].given, columns[c].name, columns[c].unit, columns[c].missing[0]);
        raw->field[columns[c].given].missing[1] = columns[c].missing[1];
    }
    struct pinery_sky_stamp *stamp = malloc((size_t)(n + 1) * sizeof *stamp);
    if (stamp == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d rows", raw->path, n);
    }
    int odd = 0, odd_line = 0, odd_fields = 0;
    for (int i = first, k = 0; i < text->n && status == PINERY_OK; i++) {
        if (text->line[i][0] == '\0') {
            continue;
        }
        int n_fields = FIELDS;
        raw->line[k] = i + 1;
        status = read_row(raw, k, text->line[i], &stamp[k], &n_fields, error);
        if (n_fields > FIELDS + 1 && odd++ == 0) { /* one comma at the end is common and harmless */
            odd_line = i + 1;
            odd_fields = n_fields;
        }
        k++;
    }
    if (status == PINERY_OK) {
        status = pinery_sky_check_year(raw, stamp, error);
    }
    free(stamp);
    if (status == PINERY_OK && odd > 0) {
        status = pinery_sky_weather_remark(
            raw->weather,
            "line %d: %d fields, expected %d; those beyond are empty and left out (%d such rows; "
            "probably saved by a spreadsheet)",
            odd_line, odd_fields, FIELDS, odd);
    }
    return status;
}
