/* TMY3 CSV (Wilcox and Marion 2008, Users Manual for TMY3 Data Sets, NREL/TP-581-43156).
 *
 * Line 1: station, name, state, time zone, latitude, longitude, elevation. Line 2: column names with units. Then 8760
 * rows, 01:00 to 24:00 local standard time; radiation is the mean over the hour that ends at the stamp, the rest is of
 * the stamp. Pressure in mbar; -9900 is missing. Columns are found by name. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "sky/read.h"

enum { MOST = 128 };

static const struct {
    enum pinery_sky_given given;
    const char *name, *unit; /* as in line 2 */
    const char *ours;        /* our spelling of the unit */
} columns[] = {
    {PINERY_SKY_global, "GHI", "W/m^2", "W/m2"},           {PINERY_SKY_beam_normal, "DNI", "W/m^2", "W/m2"},
    {PINERY_SKY_diffuse, "DHI", "W/m^2", "W/m2"},          {PINERY_SKY_cloud, "TotCld", "tenths", "tenths"},
    {PINERY_SKY_temperature, "Dry-bulb", "C", "degC"},     {PINERY_SKY_dew_point, "Dew-point", "C", "degC"},
    {PINERY_SKY_relative_humidity, "RHum", "%", "%"},      {PINERY_SKY_pressure, "Pressure", "mbar", "mbar"},
    {PINERY_SKY_wind_direction, "Wdir", "degrees", "deg"}, {PINERY_SKY_wind_speed, "Wspd", "m/s", "m/s"},
    {PINERY_SKY_rain, "Lprecip depth", "mm", "mm"},
};
enum { N_COLUMNS = sizeof columns / sizeof columns[0] };

bool pinery_sky_is_tmy3(const struct pinery_base_text *text) {
    return text->n > 1 && strncmp(text->line[1], "Date (MM/DD/YYYY),Time (HH:MM)", 30) == 0;
}

static pinery_status read_site(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error) {
    char *field[MOST];
    int n = pinery_base_split(text->line[0], ',', field, MOST);
    if (n < 7) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line 1: %d fields, expected 7 (station .. elevation)",
                                raw->path, n < 0 ? 0 : n);
    }
    strncpy(raw->site.name, field[1], PINERY_TEXT_SIZE - 1);
    pinery_status status = pinery_sky_raw_site(raw, 1, "time zone (field 4)", field[3], PINERY_SKY_UTC_OFFSET,
                                               &raw->site.utc_offset_h, error);
    if (status == PINERY_OK) {
        status = pinery_sky_raw_site(raw, 1, "latitude (field 5)", field[4], PINERY_SKY_LATITUDE,
                                     &raw->site.latitude_deg, error);
    }
    if (status == PINERY_OK) {
        status = pinery_sky_raw_site(raw, 1, "longitude (field 6)", field[5], PINERY_SKY_LONGITUDE,
                                     &raw->site.longitude_deg, error);
    }
    if (status == PINERY_OK) {
        status = pinery_sky_raw_site(raw, 1, "elevation (field 7)", field[6], PINERY_SKY_ELEVATION,
                                     &raw->site.elevation_m, error);
    }
    return status;
}

/* Where each column stands in a row, from 0; -1 when there is none. */
static pinery_status find_columns(struct pinery_base_text *text, struct pinery_sky_raw *raw, int place[N_COLUMNS],
                                  int *n_fields, int *rain_hours, pinery_error *error) {
    char *field[MOST];
    int n = pinery_base_split(text->line[1], ',', field, MOST);
    n = n > MOST ? MOST : n;
    *n_fields = n;
    *rain_hours = -1;
    for (int c = 0; c < N_COLUMNS; c++) {
        char want[64];
        snprintf(want, sizeof want, "%s (%s)", columns[c].name, columns[c].unit);
        place[c] = -1;
        for (int k = 0; k < n; k++) {
            if (strcmp(field[k], want) == 0) {
                place[c] = k;
            }
            if (strcmp(field[k], "Lprecip quantity (hr)") == 0) {
                *rain_hours = k;
            }
        }
        if (place[c] < 0) {
            if (columns[c].given == PINERY_SKY_temperature || columns[c].given == PINERY_SKY_global) {
                return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line 2: no column \"%s\"", raw->path, want);
            }
            continue;
        }
        pinery_sky_raw_has(raw, columns[c].given, columns[c].name, columns[c].ours, -9900.0);
        raw->field[columns[c].given].missing[1] = -9999.0;
    }
    return PINERY_OK;
}

static pinery_status read_stamp(const struct pinery_sky_raw *raw, int i, const char *date, const char *time,
                                struct pinery_sky_stamp *stamp, pinery_error *error) {
    int month, day, year, hour, minute, used = 0;
    if (sscanf(date, "%2d/%2d/%4d%n", &month, &day, &year, &used) != 3 || date[used] != '\0') {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: Date = \"%.40s\", expected MM/DD/YYYY", raw->path,
                                raw->line[i], date);
    }
    if (sscanf(time, "%2d:%2d%n", &hour, &minute, &used) != 2 || time[used] != '\0' || hour < 1 || hour > 24 ||
        minute != 0) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: Time = \"%.40s\", expected 01:00 .. 24:00",
                                raw->path, raw->line[i], time);
    }
    *stamp = (struct pinery_sky_stamp){year, month, day, (hour - 1) * 3600.0};
    return PINERY_OK;
}

pinery_status pinery_sky_read_tmy3(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error) {
    raw->step_s = 3600.0;
    raw->centre_s = 1800.0;
    raw->instant_s = 3600.0;
    int place[N_COLUMNS], n_fields = 0, rain_hours = -1, n = 0;
    pinery_status status = read_site(text, raw, error);
    if (status == PINERY_OK) {
        status = find_columns(text, raw, place, &n_fields, &rain_hours, error);
    }
    for (int i = 2; i < text->n; i++) {
        n += pinery_base_trim(text->line[i])[0] != '\0';
    }
    if (status != PINERY_OK || (status = pinery_sky_raw_new(raw, n, error)) != PINERY_OK) {
        return status;
    }
    struct pinery_sky_stamp *stamp = malloc((size_t)(n + 1) * sizeof *stamp);
    if (stamp == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d rows", raw->path, n);
    }
    for (int i = 2, k = 0; i < text->n && status == PINERY_OK; i++) {
        if (text->line[i][0] == '\0') {
            continue;
        }
        char *field[MOST];
        raw->line[k] = i + 1;
        int got = pinery_base_split(text->line[i], ',', field, MOST);
        if (got != n_fields) {
            status = pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %d fields, expected %d as in line 2",
                                      raw->path, i + 1, got < 0 ? 0 : got, n_fields);
            break;
        }
        status = read_stamp(raw, k, field[0], field[1], &stamp[k], error);
        for (int c = 0; c < N_COLUMNS && status == PINERY_OK; c++) {
            if (place[c] >= 0) {
                status = pinery_sky_raw_put_text(raw, k, columns[c].given, field[place[c]], false, error);
            }
        }
        double hours;
        if (status == PINERY_OK && rain_hours >= 0 && pinery_base_number(field[rain_hours], &hours) && hours > 1.0) {
            raw->value[PINERY_SKY_rain][k] /= hours; /* the depth of so many hours */
        }
        k++;
    }
    if (status == PINERY_OK) {
        status = pinery_sky_check_year(raw, stamp, error);
    }
    free(stamp);
    return status;
}
