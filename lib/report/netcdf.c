/* The hourly series as NetCDF-4 with the names, units and cell methods of the CF Conventions 1.10
 * (cfconventions.org): readings are means over the hour, headings and meters sums. What has a name in the CF standard
 * name table carries it; no name there speaks of the inside of a house, so what is measured in it says where in its
 * long name.
 *
 * A year of weather wraps round and has no year of its own, so the calendar is that of a year of 365 (or 366) days, and
 * the first year is year 1, as in the CSV. The file is made in memory, so that it can be written anywhere. */
#include <math.h>
#include <netcdf.h>
#include <netcdf_mem.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "ledger/calendar.h"
#include "report/text.h"

/* Names of the CF standard name table by reading (from memory, unverified against the table). */
static const struct {
    pinery_reading reading;
    const char *name;
} standard[] = {
#define ROW(key, name) \
    { PINERY_READING_##key, name }
    ROW(air_lower, "air_temperature"),
    ROW(air_upper, "air_temperature"),
    ROW(air_roof, "air_temperature"),
    ROW(air_seen, "air_temperature"),
    ROW(humidity_lower, "relative_humidity"),
    ROW(humidity_upper, "relative_humidity"),
    ROW(humidity_roof, "relative_humidity"),
    ROW(vapour_deficit, "water_vapor_saturation_deficit_in_air"),
    ROW(absolute_humidity, "mass_concentration_of_water_vapor_in_air"),
    ROW(absolute_humidity_roof, "mass_concentration_of_water_vapor_in_air"),
    ROW(canopy_lower, "canopy_temperature"),
    ROW(canopy_upper, "canopy_temperature"),
    ROW(crop_wetness, "canopy_water_amount"),
    ROW(leaf_area, "leaf_area_index"),
    ROW(outside, "air_temperature"),
    ROW(outside_humidity, "relative_humidity"),
    ROW(outside_global, "surface_downwelling_shortwave_flux_in_air"),
    ROW(outside_infrared, "surface_downwelling_longwave_flux_in_air"),
    ROW(outside_wind, "wind_speed"),
    ROW(outside_snow, "lwe_snowfall_rate"),
#undef ROW
};

/* A file being made; `status` keeps the first failure, after which nothing more is done. */
struct file {
    int id, status;
    int time, ends; /* dimensions: hours, and the two ends of one */
    const pinery_ledger *ledger;
    size_t n;
    double *column;
};

static void keep(struct file *file, int status) {
    if (file->status == NC_NOERR) {
        file->status = status;
    }
}

static void text(struct file *file, int variable, const char *name, const char *value) {
    if (file->status == NC_NOERR && value[0] != '\0') {
        keep(file, nc_put_att_text(file->id, variable, name, strlen(value), value));
    }
}

/* "umol/m2/s" as "umol m-2 s-1", "" as "1". */
static void unit(char out[64], const char *given) {
    size_t n = 0;
    bool under = false, ends = false;
    for (const char *c = given; n < 60; c++) {
        ends = *c == '/' || *c == '\0';
        if (ends && under) { /* the exponent of what stands under the line: -1, or the digit after the minus sign */
            bool digit = n > 0 && out[n - 1] >= '0' && out[n - 1] <= '9';
            char exponent = digit ? out[n - 1] : '1';
            n -= digit;
            out[n++] = '-';
            out[n++] = exponent;
        }
        if (*c == '\0') {
            break;
        }
        out[n++] = ends ? ' ' : *c;
        under = under || ends;
    }
    out[n] = '\0';
    if (n == 0) {
        strcpy(out, "1");
    }
}

static int define(struct file *file, const char *key, const char *units, const char *doc, const char *method) {
    int variable = -1;
    char cf[64];
    unit(cf, units);
    if (file->status == NC_NOERR) {
        keep(file, nc_def_var(file->id, key, NC_DOUBLE, 1, &file->time, &variable));
    }
    if (file->status == NC_NOERR) {
        double missing = NAN;
        keep(file, nc_def_var_deflate(file->id, variable, 1, 1, 4));
        keep(file, nc_put_att_double(file->id, variable, "_FillValue", NC_DOUBLE, 1, &missing));
    }
    text(file, variable, "units", cf);
    text(file, variable, "long_name", doc);
    text(file, variable, "cell_methods", method);
    if (method[0] != '\0') {
        text(file, variable, "coordinates", "day hour latitude longitude altitude");
    }
    return variable;
}

static void put(struct file *file, int variable) {
    if (file->status == NC_NOERR) {
        keep(file, nc_put_var_double(file->id, variable, file->column));
    }
}

/* The clock of the site is not UTC, which CF takes for granted unless the unit tells the offset. */
static void time_unit(char out[64], const pinery_weather *weather) {
    int minutes = weather != NULL ? (int)lround(60.0 * pinery_weather_site(weather)->utc_offset_h) : 0;
    snprintf(out, 64, "hours since 0001-01-01 00:00:00");
    if (minutes != 0) {
        size_t n = strlen(out);
        snprintf(out + n, 64 - n, " %c%02d:%02d", minutes < 0 ? '-' : '+', abs(minutes) / 60, abs(minutes) % 60);
    }
}

static void put_clock(struct file *file, const pinery_report_entry *run) {
    char units[64];
    int time = -1, ends = -1, shape[2] = {file->time, file->ends};
    bool leap = pinery_ledger_leap(file->ledger);
    time_unit(units, run->weather);
    keep(file, nc_def_var(file->id, "time", NC_DOUBLE, 1, &file->time, &time));
    text(file, time, "standard_name", "time");
    text(file, time, "long_name", "start of the hour");
    text(file, time, "units", units);
    text(file, time, "calendar", leap ? "366_day" : "365_day");
    text(file, time, "axis", "T");
    text(file, time, "bounds", "time_bounds");
    keep(file, nc_def_var(file->id, "time_bounds", NC_DOUBLE, 2, shape, &ends));
    double *bounds = malloc(2 * file->n * sizeof *bounds);
    keep(file, bounds != NULL ? NC_NOERR : NC_ENOMEM);
    for (size_t h = 0; h < file->n && bounds != NULL; h++) {
        file->column[h] = pinery_ledger_hour_time_s(file->ledger, (int)h) / 3600.0;
        bounds[2 * h] = file->column[h];
        bounds[2 * h + 1] = file->column[h] + 1.0;
    }
    put(file, time);
    if (file->status == NC_NOERR) {
        keep(file, nc_put_var_double(file->id, ends, bounds));
    }
    free(bounds);

    int hour = define(file, "hour", "h", "hour of the clock at the start, standard time of the site", "");
    for (size_t h = 0; h < file->n; h++) {
        struct pinery_ledger_date date = pinery_ledger_date(pinery_ledger_hour_time_s(file->ledger, (int)h), leap);
        file->column[h] = date.hour + date.minute / 60.0;
    }
    put(file, hour);
    int day = define(file, "day", "d", "day of the year, 1 January is 1, standard time of the site", "");
    for (size_t h = 0; h < file->n; h++) {
        double of_run = floor((pinery_ledger_hour_time_s(file->ledger, (int)h) + 1e-3) / 86400.0);
        double year = leap ? 366.0 : 365.0;
        file->column[h] = of_run - year * floor(of_run / year) + 1.0;
    }
    put(file, day);
}

static void put_place(struct file *file, const pinery_weather *weather) {
    const pinery_site *site = pinery_weather_site(weather);
    const struct {
        const char *name, *units;
        double value;
    } row[] = {{"latitude", "degrees_north", site->latitude_deg},
               {"longitude", "degrees_east", site->longitude_deg},
               {"altitude", "m", site->elevation_m}};
    for (size_t i = 0; i < sizeof row / sizeof row[0] && file->status == NC_NOERR; i++) {
        int variable = -1;
        keep(file, nc_def_var(file->id, row[i].name, NC_DOUBLE, 0, NULL, &variable));
        text(file, variable, "standard_name", row[i].name);
        text(file, variable, "units", row[i].units);
        if (file->status == NC_NOERR) {
            keep(file, nc_put_var_double(file->id, variable, &row[i].value));
        }
    }
}

static void put_readings(struct file *file) {
    for (int i = 0; i < PINERY_N_READINGS; i++) {
        const pinery_name *name = pinery_reading_name((pinery_reading)i);
        int variable = define(file, name->key, name->unit, name->doc, "time: mean");
        for (size_t s = 0; s < sizeof standard / sizeof standard[0]; s++) {
            if ((int)standard[s].reading == i) {
                text(file, variable, "standard_name", standard[s].name);
            }
        }
        for (size_t h = 0; h < file->n; h++) {
            file->column[h] = pinery_ledger_hour_reading(file->ledger, (int)h, (pinery_reading)i);
        }
        put(file, variable);
    }
}

static void put_sums(struct file *file) {
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        const pinery_name *name = pinery_heading_name((pinery_heading)i);
        char key[80];
        snprintf(key, sizeof key, "%s_heat", name->key);
        int variable = define(file, key, "J/m2", name->doc, "time: sum");
        for (size_t h = 0; h < file->n; h++) {
            file->column[h] = pinery_ledger_hour_heat(file->ledger, (int)h, (pinery_heading)i);
        }
        put(file, variable);
        if (pinery_heading_has_water((pinery_heading)i)) {
            snprintf(key, sizeof key, "%s_water", name->key);
            variable = define(file, key, "kg/m2", name->doc, "time: sum");
            for (size_t h = 0; h < file->n; h++) {
                file->column[h] = pinery_ledger_hour_water(file->ledger, (int)h, (pinery_heading)i);
            }
            put(file, variable);
        }
    }
    for (int i = 0; i < PINERY_N_METERS; i++) {
        const pinery_name *name = pinery_meter_name((pinery_meter)i);
        int variable = define(file, name->key, name->unit, name->doc, "time: sum");
        for (size_t h = 0; h < file->n; h++) {
            file->column[h] = pinery_ledger_hour_meter(file->ledger, (int)h, (pinery_meter)i);
        }
        put(file, variable);
    }
}

static void fill(struct file *file, const pinery_report_entry *run) {
    keep(file, nc_def_dim(file->id, "time", file->n, &file->time));
    keep(file, nc_def_dim(file->id, "ends", 2, &file->ends));
    text(file, NC_GLOBAL, "Conventions", "CF-1.10");
    text(file, NC_GLOBAL, "title", run->name);
    text(file, NC_GLOBAL, "source", "Pinery " PINERY_VERSION ", simulation of a heated greenhouse");
    text(file, NC_GLOBAL, "comment",
         "Per m2 of floor. An estimate for comparing ways of growing, not a design certificate.");
    if (run->weather != NULL) {
        char checksum[24];
        snprintf(checksum, sizeof checksum, "%016llx", pinery_weather_checksum(run->weather));
        text(file, NC_GLOBAL, "site", pinery_weather_site(run->weather)->name);
        text(file, NC_GLOBAL, "weather", pinery_weather_source(run->weather));
        text(file, NC_GLOBAL, "weather_checksum", checksum);
        put_place(file, run->weather);
    }
    put_clock(file, run);
    put_readings(file);
    put_sums(file);
}

pinery_status pinery_report_hours_netcdf(FILE *out, const pinery_report_entry *run, pinery_error *error) {
    struct file file = {.ledger = run->ledger, .n = (size_t)pinery_ledger_hours(run->ledger)};
    if (file.n == 0) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "report: this run kept no hours; run it with keep_hours = true for an hour or longer");
    }
    file.column = malloc(file.n * sizeof *file.column);
    if (file.column == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "report: no memory for %d hours", (int)file.n);
    }
    NC_memio made = {0};
    file.status = nc_create_mem("hours", NC_NETCDF4, (size_t)1 << 20, &file.id);
    if (file.status == NC_NOERR) {
        fill(&file, run);
        keep(&file, nc_close_memio(file.id, &made));
    }
    free(file.column);
    if (file.status == NC_NOERR) {
        fwrite(made.memory, 1, made.size, out);
    }
    free(made.memory);
    return file.status == NC_NOERR
               ? pinery_report_done(out, error)
               : pinery_base_fail(error, PINERY_IO, "report: no NetCDF file can be made: %s", nc_strerror(file.status));
}
