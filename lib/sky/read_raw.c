/* Records as a file has them: room for them, values put in with their limits, and what the file called them. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "sky/read.h"

static const struct {
    enum pinery_base_quantity quantity;
    double lowest, highest;
} limits[] = {
#define X(key, quantity, lowest, highest) {PINERY_BASE_##quantity, lowest, highest},
    PINERY_SKY_GIVEN(X)
#undef X
};

pinery_status pinery_sky_raw_new(struct pinery_sky_raw *raw, int n, pinery_error *error) {
    size_t count = n > 0 ? (size_t)n : 1;
    double *values = malloc(count * PINERY_SKY_N_GIVEN * sizeof *values);
    raw->line = calloc(count, sizeof *raw->line);
    raw->value[0] = values;
    if (values == NULL || raw->line == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "%s: no memory for %d records", raw->path, n);
    }
    for (size_t i = 0; i < count * PINERY_SKY_N_GIVEN; i++) {
        values[i] = NAN;
    }
    for (int g = 0; g < PINERY_SKY_N_GIVEN; g++) {
        raw->value[g] = values + (size_t)g * count;
    }
    raw->n = n;
    return PINERY_OK;
}

void pinery_sky_raw_free(struct pinery_sky_raw *raw) {
    free(raw->value[0]);
    free(raw->line);
    pinery_weather_free(raw->weather);
    *raw = (struct pinery_sky_raw){0};
}

void pinery_sky_raw_has(struct pinery_sky_raw *raw, enum pinery_sky_given given, const char *name, const char *unit,
                        double missing) {
    struct pinery_sky_field *field = &raw->field[given];
    snprintf(field->name, sizeof field->name, "%s", name);
    field->unit = pinery_base_unit_find(limits[given].quantity, unit);
    field->missing[0] = missing;
    field->missing[1] = NAN;
}

double pinery_sky_raw_shown(const struct pinery_sky_raw *raw, int i, enum pinery_sky_given given) {
    return pinery_base_unit_out(raw->field[given].unit, raw->value[given][i], raw->step_s);
}

pinery_status pinery_sky_raw_put(struct pinery_sky_raw *raw, int i, enum pinery_sky_given given, double value,
                                 pinery_error *error) {
    const struct pinery_sky_field *field = &raw->field[given];
    if (value == field->missing[0] || value == field->missing[1]) {
        return PINERY_OK; /* stays NaN */
    }
    double inside = pinery_base_unit_in(field->unit, value, raw->step_s);
    double lowest = limits[given].lowest, highest = limits[given].highest;
    if (!(inside >= lowest && inside <= highest)) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: %s %d: %s = %.10g %s is outside %.6g .. %.6g %s",
                                raw->path, raw->row, raw->line[i], field->name, value, field->unit->name,
                                pinery_base_unit_out(field->unit, lowest, raw->step_s),
                                pinery_base_unit_out(field->unit, highest, raw->step_s), field->unit->name);
    }
    raw->value[given][i] = inside;
    return PINERY_OK;
}

pinery_status pinery_sky_raw_put_text(struct pinery_sky_raw *raw, int i, enum pinery_sky_given given, const char *text,
                                      bool comma, pinery_error *error) {
    if (text[0] == '\0') {
        return PINERY_OK;
    }
    double value;
    if (!(comma ? pinery_base_number_comma(text, &value) : pinery_base_number(text, &value))) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: %s %d: %s = \"%.40s\" is not a number, expected one in %s",
                                raw->path, raw->row, raw->line[i], raw->field[given].name, text,
                                raw->field[given].unit->name);
    }
    return pinery_sky_raw_put(raw, i, given, value, error);
}

pinery_status pinery_sky_raw_site(const struct pinery_sky_raw *raw, int line, const char *name, const char *text,
                                  const char *unit, double lowest, double highest, double *value, pinery_error *error) {
    if (!pinery_base_number(text, value)) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: line %d: %s = \"%.40s\" is not a number, expected %s, with a decimal point",
                                raw->path, line, name, text, unit);
    }
    if (!(*value >= lowest && *value <= highest)) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: line %d: %s = %.10g %s is outside %g .. %g %s", raw->path,
                                line, name, *value, unit, lowest, highest, unit);
    }
    return PINERY_OK;
}

int pinery_sky_raw_line(const struct pinery_sky_raw *raw, int i) {
    while (i > 0 && raw->line[i] == 0) {
        i--;
    }
    return raw->line[i];
}
