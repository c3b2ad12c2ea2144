/* PVGIS typical year as CSV (European Commission, Joint Research Centre: PVGIS user manual, "TMY generator").
 *
 * A preamble of "Name: value" lines, a table of months and years, a header "time(UTC),T2m,...", 8760 rows, an empty
 * line and an explanation of the columns. */
#include <stdlib.h>
#include <string.h>

#include "sky/read_pvgis.h"

enum { MOST = 32 };

bool pinery_sky_is_pvgis_csv(const struct pinery_base_text *text) {
    for (int i = 0; i < text->n && i < 60; i++) {
        if (strncmp(text->line[i], "time(UTC),", 10) == 0) {
            return true;
        }
    }
    return false;
}

/* The preamble, down to the header; gives the header's line from 0. */
static pinery_status read_preamble(struct pinery_base_text *text, struct pinery_sky_raw *raw, double *offset_h,
                                   int *header, pinery_error *error) {
    bool seen[3] = {false, false, false};
    int i = 0;
    for (; strncmp(text->line[i], "time(UTC),", 10) != 0; i++) {
        char *value = strchr(text->line[i], ':');
        if (value == NULL) {
            continue;
        }
        *value++ = '\0';
        const char *name = pinery_base_trim(text->line[i]);
        pinery_status status = PINERY_OK;
        if (strncmp(name, "Latitude", 8) == 0) {
            seen[0] = true;
            status =
                pinery_sky_raw_site(raw, i + 1, "Latitude", value, PINERY_SKY_LATITUDE, &raw->site.latitude_deg, error);
        } else if (strncmp(name, "Longitude", 9) == 0) {
            seen[1] = true;
            status = pinery_sky_raw_site(raw, i + 1, "Longitude", value, PINERY_SKY_LONGITUDE, &raw->site.longitude_deg,
                                         error);
        } else if (strncmp(name, "Elevation", 9) == 0) {
            seen[2] = true;
            status = pinery_sky_raw_site(raw, i + 1, "Elevation", value, PINERY_SKY_ELEVATION, &raw->site.elevation_m,
                                         error);
        } else if (strncmp(name, "Irradiance Time Offset", 22) == 0) {
            status = pinery_sky_raw_site(raw, i + 1, "Irradiance Time Offset", value, "h", -1.0, 1.0, offset_h, error);
        }
        if (status != PINERY_OK) {
            return status;
        }
    }
    *header = i;
    if (!seen[0] || !seen[1] || !seen[2]) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: no %s above the table", raw->path, i + 1,
                                !seen[0]   ? "Latitude"
                                : !seen[1] ? "Longitude"
                                           : "Elevation");
    }
    return PINERY_OK;
}

static pinery_status read_rows(struct pinery_base_text *text, struct pinery_sky_raw *raw, int header,
                               struct pinery_sky_stamp *stamp, pinery_error *error) {
    char *field[MOST];
    int place[N_PVGIS];
    int n_fields = pinery_base_split(text->line[header], ',', field, MOST);
    for (int c = 0; c < N_PVGIS; c++) {
        place[c] = -1;
        for (int k = 0; k < n_fields && k < MOST; k++) {
            if (strcmp(field[k], pvgis_columns[c].name) == 0) {
                place[c] = k;
            }
        }
        if (place[c] < 0) {
            return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: no column \"%s\"", raw->path, header + 1,
                                    pvgis_columns[c].name);
        }
    }
    for (int k = 0; k < raw->n; k++) {
        int i = header + 1 + k;
        raw->line[k] = i + 1;
        int got = pinery_base_split(text->line[i], ',', field, MOST);
        if (got != n_fields) {
            return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %d fields, expected %d as in line %d",
                                    raw->path, i + 1, got < 0 ? 0 : got, n_fields, header + 1);
        }
        pinery_status status = pvgis_stamp(raw, k, field[0], &stamp[k], error);
        for (int c = 0; c < N_PVGIS && status == PINERY_OK; c++) {
            status = pinery_sky_raw_put_text(raw, k, pvgis_columns[c].given, field[place[c]], false, error);
        }
        if (status != PINERY_OK) {
            return status;
        }
    }
    return pvgis_finish(raw, stamp, error);
}

pinery_status pinery_sky_read_pvgis_csv(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                        pinery_error *error) {
    int header = 0, n = 0;
    double offset_h = 0.0;
    pinery_status status = read_preamble(text, raw, &offset_h, &header, error);
    if (status != PINERY_OK) {
        return status;
    }
    pvgis_start(raw, offset_h);
    while (header + 1 + n < text->n && pinery_base_trim(text->line[header + 1 + n])[0] != '\0') {
        n++;
    }
    if ((status = pinery_sky_raw_new(raw, n, error)) != PINERY_OK) {
        return status;
    }
    struct pinery_sky_stamp *stamp = malloc((size_t)(n + 1) * sizeof *stamp);
    if (stamp == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d rows", raw->path, n);
    }
    status = read_rows(text, raw, header, stamp, error);
    free(stamp);
    return status;
}
