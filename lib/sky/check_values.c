/* Whether a file is plausible as a whole: its site, the columns it must have, constants, pressure against elevation.
 *
 * Refused is what would make the year wrong; warned about is what a person should know but a year can bear. */
#include <math.h>

#include "air/psychro.h"
#include "base/error.h"
#include "sky/read.h"

/* Civil time zones reach 3 h from the sun's time (western China); a wrong sign of longitude gives far more. */
#define MOST_FROM_SUN_H 4.0

/* The yearly mean of pressure lies within 1.5 % of the standard atmosphere at any station (means at sea level are 98.5
 * kPa around Antarctica to 102.5 kPa in the Siberian winter); 3 % is 250 m of elevation. Density of air, and with it
 * the heat carried by ventilation, is wrong by as much: worth a warning. Above 15 % it is no weather and no height but
 * a fault. */
#define PRESSURE_WARN 0.03
#define PRESSURE_REFUSE 0.15

pinery_status pinery_sky_check_site(struct pinery_sky_raw *raw, pinery_error *error) {
    const pinery_site *site = &raw->site;
    double apart_h = fabs(remainder(site->longitude_deg / 15.0 - site->utc_offset_h, 24.0));
    if (apart_h > MOST_FROM_SUN_H) {
        return pinery_base_fail(error, PINERY_BAD_FILE,
                                "%s: longitude = %.6g deg (east positive) does not fit a time zone of UTC%+g h: %.1f h "
                                "apart, expected less than %g h",
                                raw->path, site->longitude_deg, site->utc_offset_h, apart_h, MOST_FROM_SUN_H);
    }
    return PINERY_OK;
}

static int count(const struct pinery_sky_raw *raw, enum pinery_sky_given given) {
    int n = 0;
    for (int i = 0; i < raw->n; i++) {
        n += !isnan(raw->value[given][i]);
    }
    return n;
}

/* A column without a single value is a column the file lacks. */
static void drop_empty(struct pinery_sky_raw *raw) {
    for (int g = 0; g < PINERY_SKY_N_GIVEN; g++) {
        if (pinery_sky_raw_given(raw, (enum pinery_sky_given)g) && count(raw, (enum pinery_sky_given)g) == 0) {
            raw->field[g].name[0] = '\0';
        }
    }
}

static pinery_status need(const struct pinery_sky_raw *raw, bool have, const char *what, pinery_error *error) {
    return have ? PINERY_OK
                : pinery_base_fail(error, PINERY_BAD_FILE, "%s: no values of %s in the whole file", raw->path, what);
}

static pinery_status half_there(const struct pinery_sky_raw *raw, enum pinery_sky_given given, pinery_error *error) {
    if (!pinery_sky_raw_given(raw, given)) {
        return PINERY_OK;
    }
    int n = count(raw, given);
    if (n >= raw->n - n) {
        return PINERY_OK;
    }
    int first = 0;
    while (!isnan(raw->value[given][first]) || raw->line[first] == 0) {
        if (++first == raw->n) {
            first = 0; /* whole rows are missing */
            break;
        }
    }
    return pinery_base_fail(error, PINERY_BAD_FILE,
                            "%s: %s %d: %s is missing here and in %d of %d records, too many to fill", raw->path,
                            raw->row, raw->line[first], raw->field[given].name, raw->n - n, raw->n);
}

/* Warn of a column that never changes. */
static pinery_status warn_of_constant(struct pinery_sky_raw *raw, enum pinery_sky_given given) {
    if (!pinery_sky_raw_given(raw, given) || raw->n * raw->step_s < 2 * 86400.0) {
        return PINERY_OK;
    }
    int first = -1;
    for (int i = 0; i < raw->n; i++) {
        double value = raw->value[given][i];
        if (isnan(value)) {
            continue;
        }
        first = first < 0 ? i : first;
        if (value != raw->value[given][first]) {
            return PINERY_OK;
        }
    }
    return pinery_sky_weather_remark(raw->weather, "%s %d: warning: %s = %.6g %s there and in all records", raw->row,
                                     raw->line[first], raw->field[given].name, pinery_sky_raw_shown(raw, first, given),
                                     raw->field[given].unit->name);
}

static pinery_status check_pressure(struct pinery_sky_raw *raw, pinery_error *error) {
    if (!pinery_sky_raw_given(raw, PINERY_SKY_pressure)) {
        return PINERY_OK;
    }
    double sum = 0.0;
    int n = 0, first = -1;
    for (int i = 0; i < raw->n; i++) {
        double value = raw->value[PINERY_SKY_pressure][i];
        if (!isnan(value)) {
            sum += value;
            n++;
            first = first < 0 ? i : first;
        }
    }
    double mean = sum / n, standard = pinery_air_standard_pressure(raw->site.elevation_m);
    double off = mean / standard - 1.0;
    const char *name = raw->field[PINERY_SKY_pressure].name;
    const struct pinery_base_unit *unit = raw->field[PINERY_SKY_pressure].unit;
    if (fabs(off) > PRESSURE_REFUSE) {
        return pinery_base_fail(
            error, PINERY_BAD_FILE,
            "%s: %s %d: %s = %.6g %s, and %.6g on average: does not fit the elevation of %g m, expected "
            "about %.6g %s",
            raw->path, raw->row, raw->line[first], name, pinery_sky_raw_shown(raw, first, PINERY_SKY_pressure),
            unit->name, pinery_base_unit_out(unit, mean, raw->step_s), raw->site.elevation_m,
            pinery_base_unit_out(unit, standard, raw->step_s), unit->name);
    }
    if (fabs(off) > PRESSURE_WARN) {
        return pinery_sky_weather_remark(
            raw->weather,
            "%s %d: warning: %s = %.6g %s, and %.6g on average: %+.1f %% from the %.6g %s expected at the elevation of "
            "%g m; "
            "kept, the density of air follows it",
            raw->row, raw->line[first], name, pinery_sky_raw_shown(raw, first, PINERY_SKY_pressure), unit->name,
            pinery_base_unit_out(unit, mean, raw->step_s), 100.0 * off,
            pinery_base_unit_out(unit, standard, raw->step_s), unit->name, raw->site.elevation_m);
    }
    return PINERY_OK;
}

pinery_status pinery_sky_check_columns(struct pinery_sky_raw *raw, pinery_error *error) {
    drop_empty(raw);
    bool humid = pinery_sky_raw_given(raw, PINERY_SKY_relative_humidity) ||
                 pinery_sky_raw_given(raw, PINERY_SKY_vapour_pressure) ||
                 pinery_sky_raw_given(raw, PINERY_SKY_dew_point);
    bool sun = pinery_sky_raw_given(raw, PINERY_SKY_global) || pinery_sky_raw_given(raw, PINERY_SKY_par) ||
               (pinery_sky_raw_given(raw, PINERY_SKY_beam_normal) && pinery_sky_raw_given(raw, PINERY_SKY_diffuse));
    pinery_status status;
    if ((status = need(raw, pinery_sky_raw_given(raw, PINERY_SKY_temperature), "temperature", error)) != PINERY_OK ||
        (status = need(raw, humid, "relative humidity, vapour pressure or dew point", error)) != PINERY_OK ||
        (status = need(raw, sun, "global radiation, or direct with diffuse radiation", error)) != PINERY_OK ||
        (status = need(raw, pinery_sky_raw_given(raw, PINERY_SKY_wind_speed), "wind speed", error)) != PINERY_OK) {
        return status;
    }
    static const enum pinery_sky_given needed[] = {
        PINERY_SKY_temperature, PINERY_SKY_relative_humidity, PINERY_SKY_vapour_pressure, PINERY_SKY_global,
        PINERY_SKY_beam_normal, PINERY_SKY_diffuse,           PINERY_SKY_wind_speed};
    for (size_t k = 0; k < sizeof needed / sizeof needed[0]; k++) {
        if ((status = half_there(raw, needed[k], error)) != PINERY_OK) {
            return status;
        }
    }
    static const enum pinery_sky_given lively[] = {
        PINERY_SKY_temperature, PINERY_SKY_relative_humidity, PINERY_SKY_pressure, PINERY_SKY_infrared,
        PINERY_SKY_wind_speed,  PINERY_SKY_wind_direction,    PINERY_SKY_global};
    for (size_t k = 0; k < sizeof lively / sizeof lively[0]; k++) {
        if ((status = warn_of_constant(raw, lively[k])) != PINERY_OK) {
            return pinery_base_fail(error, status, "%s: no memory for a remark", raw->path);
        }
    }
    return check_pressure(raw, error);
}

pinery_status pinery_sky_check_diffuse(struct pinery_sky_raw *raw, pinery_error *error) {
    if (!pinery_sky_raw_given(raw, PINERY_SKY_diffuse) || !pinery_sky_raw_given(raw, PINERY_SKY_global)) {
        return PINERY_OK;
    }
    int n = 0, first = -1;
    double most = 0.0, global_there = 0.0, diffuse_there = 0.0;
    for (int i = 0; i < raw->n; i++) {
        double global = raw->value[PINERY_SKY_global][i], *diffuse = &raw->value[PINERY_SKY_diffuse][i];
        if (!(*diffuse > global)) {
            continue; /* NaN too */
        }
        double above = *diffuse - fmax(global, 0.0);
        if (above > 2.0 && above > 0.02 * global) { /* more than whole watts and instruments differ by */
            if (n++ == 0) {
                first = i;
                global_there = global;
                diffuse_there = *diffuse;
            }
            most = fmax(most, above);
            raw->value[PINERY_SKY_beam_normal][i] = 0.0; /* there is nothing left for it */
        }
        *diffuse = global;
    }
    if (n == 0) {
        return PINERY_OK;
    }
    const struct pinery_sky_field *field = &raw->field[PINERY_SKY_diffuse];
    pinery_status status = pinery_sky_weather_remark(
        raw->weather,
        "%s %d: warning: %s = %.6g %s is above the global radiation of %.6g %s; limited to it, there and in %d "
        "records, by up "
        "to %.3g W/m2",
        raw->row, pinery_sky_raw_line(raw, first), field->name,
        pinery_base_unit_out(field->unit, diffuse_there, raw->step_s), field->unit->name,
        pinery_base_unit_out(field->unit, global_there, raw->step_s), field->unit->name, n, most);
    return status == PINERY_OK ? status : pinery_base_fail(error, status, "%s: no memory for a remark", raw->path);
}
