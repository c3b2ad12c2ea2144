/* PVGIS typical year as JSON: the same as its CSV, with inputs.location and outputs.tmy_hourly. */
#include <cjson/cJSON.h>
#include <stdlib.h>
#include <string.h>

#include "sky/read_pvgis.h"

bool pinery_sky_is_pvgis_json(const struct pinery_base_text *text) {
    for (int i = 0; i < text->n && i < 20; i++) {
        const char *line = text->line[i];
        line += strspn(line, " \t");
        if (*line != '\0') {
            return *line == '{';
        }
    }
    return false;
}

/* A number below inputs.location. */
static pinery_status site_number(const struct pinery_sky_raw *raw, const cJSON *location, const char *name,
                                 const char *unit, double lowest, double highest, double *value, pinery_error *error) {
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(location, name);
    if (!cJSON_IsNumber(item)) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: inputs.location.%s is missing or not a number, expected %s", raw->path, name,
                                unit);
    }
    if (!(item->valuedouble >= lowest && item->valuedouble <= highest)) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: inputs.location.%s = %.10g %s is outside %g .. %g %s",
                                raw->path, name, item->valuedouble, unit, lowest, highest, unit);
    }
    *value = item->valuedouble;
    return PINERY_OK;
}

static pinery_status read_site(const cJSON *root, struct pinery_sky_raw *raw, pinery_error *error) {
    const cJSON *location =
        cJSON_GetObjectItemCaseSensitive(cJSON_GetObjectItemCaseSensitive(root, "inputs"), "location");
    double offset_h = 0.0;
    pinery_status status;
    if ((status = site_number(raw, location, "latitude", PINERY_SKY_LATITUDE, &raw->site.latitude_deg, error)) !=
            PINERY_OK ||
        (status = site_number(raw, location, "longitude", PINERY_SKY_LONGITUDE, &raw->site.longitude_deg, error)) !=
            PINERY_OK ||
        (status = site_number(raw, location, "elevation", PINERY_SKY_ELEVATION, &raw->site.elevation_m, error)) !=
            PINERY_OK) {
        return status;
    }
    if (cJSON_HasObjectItem(location, "irradiance_time_offset")) {
        status = site_number(raw, location, "irradiance_time_offset", "h", -1.0, 1.0, &offset_h, error);
    }
    pvgis_start(raw, offset_h);
    return status;
}

static pinery_status read_record(const cJSON *record, struct pinery_sky_raw *raw, int i, struct pinery_sky_stamp *stamp,
                                 pinery_error *error) {
    const cJSON *time = cJSON_GetObjectItemCaseSensitive(record, "time(UTC)");
    if (!cJSON_IsString(time)) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: record %d: no \"time(UTC)\", expected YYYYMMDD:HHMM",
                                raw->path, i + 1);
    }
    pinery_status status = pvgis_stamp(raw, i, time->valuestring, stamp, error);
    for (int c = 0; c < N_PVGIS && status == PINERY_OK; c++) {
        const cJSON *item = cJSON_GetObjectItemCaseSensitive(record, pvgis_columns[c].name);
        if (cJSON_IsNumber(item)) {
            status = pinery_sky_raw_put(raw, i, pvgis_columns[c].given, item->valuedouble, error);
        } else if (item == NULL || !cJSON_IsNull(item)) {
            status =
                pinery_base_fail(error, PINERY_BAD_FILE, "%s: record %d: %s is missing or not a number, expected %s",
                                 raw->path, i + 1, pvgis_columns[c].name, pvgis_columns[c].unit);
        }
    }
    return status;
}

static pinery_status read_root(const cJSON *root, struct pinery_sky_raw *raw, pinery_error *error) {
    const cJSON *table =
        cJSON_GetObjectItemCaseSensitive(cJSON_GetObjectItemCaseSensitive(root, "outputs"), "tmy_hourly");
    if (!cJSON_IsArray(table)) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: JSON without outputs.tmy_hourly, expected a typical year of PVGIS", raw->path);
    }
    pinery_status status = read_site(root, raw, error);
    int n = cJSON_GetArraySize(table);
    if (status != PINERY_OK || (status = pinery_sky_raw_new(raw, n, error)) != PINERY_OK) {
        return status;
    }
    struct pinery_sky_stamp *stamp = malloc((size_t)(n + 1) * sizeof *stamp);
    if (stamp == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d records", raw->path, n);
    }
    int i = 0;
    for (const cJSON *record = table->child; record != NULL && status == PINERY_OK; record = record->next, i++) {
        raw->line[i] = i + 1;
        status = read_record(record, raw, i, &stamp[i], error);
    }
    if (status == PINERY_OK) {
        status = pvgis_finish(raw, stamp, error);
    }
    free(stamp);
    return status;
}

pinery_status pinery_sky_read_pvgis_json(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                         pinery_error *error) {
    /* The lines were cut at their ends; JSON takes a blank there as well. */
    for (size_t i = 0; i < text->size; i++) {
        if (text->data[i] == '\0') {
            text->data[i] = '\n';
        }
    }
    raw->row = "record";
    const char *start = text->line[0], *end = NULL; /* past a byte order mark */
    cJSON *root = cJSON_ParseWithLengthOpts(start, text->size - (size_t)(start - text->data), &end, 0);
    if (root == NULL) {
        int line = 1;
        long character = 1;
        for (const char *c = start; end != NULL && c < end; c++) {
            character = *c == '\n' ? 1 : character + 1;
            line += *c == '\n';
        }
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d, character %ld: not JSON", raw->path, line,
                                character);
    }
    pinery_status status = read_root(root, raw, error);
    cJSON_Delete(root);
    return status;
}
