/* A weather in memory: made, remarked upon, finished, looked at. */
#include "sky/weather.h"

#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "air/psychro.h"
#include "base/error.h"
#include "sky/sun.h"

static const struct {
    const char *name, *unit;
} columns[] = {
#define X(key, unit, doc) {#key, unit},
    PINERY_WEATHER_COLUMNS(X)
#undef X
};

const char *pinery_sky_column_name(pinery_weather_column column) {
    return columns[column].name;
}

const char *pinery_sky_column_unit(pinery_weather_column column) {
    return columns[column].unit;
}

/* --- the calendar --- */

int pinery_sky_days_before(bool leap, int month) {
    static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};
    return before[month] + (leap && month >= 2);
}

void pinery_sky_date(bool leap, double time_s, int *month, int *day) {
    int length = leap ? 366 : 365;
    int of_year = (int)fmod(floor(time_s / 86400.0), length);
    of_year += of_year < 0 ? length : 0;
    int m = 0;
    while (m < 11 && of_year >= pinery_sky_days_before(leap, m + 1)) {
        m++;
    }
    *month = m;
    *day = of_year - pinery_sky_days_before(leap, m) + 1;
}

/* --- making --- */

struct pinery_weather *pinery_sky_weather_new(int n) {
    struct pinery_weather *weather = calloc(1, sizeof *weather);
    size_t count = n > 0 ? (size_t)n : 1;
    double *values = weather == NULL ? NULL : malloc(count * PINERY_WEATHER_N_COLUMNS * sizeof *values);
    if (values == NULL) {
        free(weather);
        return NULL;
    }
    for (size_t i = 0; i < count * PINERY_WEATHER_N_COLUMNS; i++) {
        values[i] = NAN;
    }
    for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++) {
        weather->column[c] = values + (size_t)c * count;
    }
    weather->n = n;
    weather->step_s = 3600.0;
    return weather;
}

void pinery_weather_free(pinery_weather *weather) {
    if (weather == NULL) {
        return;
    }
    for (int i = 0; i < weather->n_remarks; i++) {
        free(weather->remark[i]);
    }
    free(weather->remark);
    free(weather->column[0]); /* all columns are one block */
    free(weather);
}

pinery_status pinery_sky_weather_remark(struct pinery_weather *weather, const char *format, ...) {
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    char **longer = realloc(weather->remark, ((size_t)weather->n_remarks + 1) * sizeof *longer);
    if (longer == NULL) {
        return PINERY_MEMORY;
    }
    weather->remark = longer;
    size_t size = strlen(text) + 1;
    char *copy = malloc(size);
    if (copy == NULL) {
        return PINERY_MEMORY;
    }
    memcpy(copy, text, size);
    weather->remark[weather->n_remarks++] = copy;
    return PINERY_OK;
}

/* FNV-1a, 64 bit (Fowler, Noll and Vo; draft-eastlake-fnv), over the values as little-endian IEEE 754, 0 for -0. */
static unsigned long long checksum_of(const struct pinery_weather *weather) {
    uint64_t hash = 0xCBF29CE484222325u;
    for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++) {
        for (int i = 0; i < weather->n; i++) {
            double value = weather->column[c][i] + 0.0;
            uint64_t bits;
            memcpy(&bits, &value, sizeof bits);
            for (int byte = 0; byte < 8; byte++) {
                hash = (hash ^ (bits >> (8 * byte) & 0xFF)) * 0x100000001B3u;
            }
        }
    }
    return hash;
}

void pinery_sky_weather_sun(struct pinery_weather *weather) {
    const pinery_site *site = &weather->site;
    for (int i = 0; i < weather->n; i++) {
        double mean_sine;
        pinery_sky_sun_mean(site->latitude_deg, site->longitude_deg, site->utc_offset_h,
                            weather->start_s + i * weather->step_s, weather->step_s, weather->year,
                            &weather->column[PINERY_WEATHER_sun_elevation][i],
                            &weather->column[PINERY_WEATHER_sun_azimuth][i], &mean_sine);
    }
}

pinery_status pinery_sky_weather_finish(struct pinery_weather *weather, pinery_error *error) {
    if (weather->n > 0 && isnan(weather->column[PINERY_WEATHER_sun_elevation][0])) {
        pinery_sky_weather_sun(weather);
    }
    for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++) {
        for (int i = 0; i < weather->n; i++) {
            if (!isfinite(weather->column[c][i])) {
                return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: record %d has no %s (%s)", weather->source, i + 1,
                                        columns[c].name, columns[c].unit);
            }
        }
    }
    weather->checksum = checksum_of(weather);
    return PINERY_OK;
}

/* --- looking --- */

const pinery_site *pinery_weather_site(const pinery_weather *weather) {
    return &weather->site;
}

int pinery_weather_count(const pinery_weather *weather) {
    return weather->n;
}

double pinery_weather_step_s(const pinery_weather *weather) {
    return weather->step_s;
}

double pinery_weather_start_s(const pinery_weather *weather) {
    return weather->start_s;
}

double pinery_weather_instant_s(const pinery_weather *weather) {
    return weather->instant_s;
}

bool pinery_weather_is_year(const pinery_weather *weather) {
    double days = weather->n * weather->step_s / 86400.0;
    return weather->start_s == 0.0 && days == pinery_sky_year_days(weather);
}

const double *pinery_weather_values(const pinery_weather *weather, pinery_weather_column column) {
    return weather->column[column];
}

const char *pinery_weather_source(const pinery_weather *weather) {
    return weather->source;
}

unsigned long long pinery_weather_checksum(const pinery_weather *weather) {
    return weather->checksum;
}

int pinery_weather_remark_count(const pinery_weather *weather) {
    return weather->n_remarks;
}

const char *pinery_weather_remark(const pinery_weather *weather, int i) {
    return i >= 0 && i < weather->n_remarks ? weather->remark[i] : "";
}

int pinery_weather_filled(const pinery_weather *weather, pinery_weather_column column) {
    return weather->filled[column];
}

/* --- the table of months --- */

static void add_day(struct pinery_weather_month *month, int *days, double lowest, double highest) {
    if (isfinite(lowest)) {
        month->temperature_min_mean += lowest;
        month->temperature_max_mean += highest;
        ++*days;
    }
}

void pinery_weather_months(const pinery_weather *weather, struct pinery_weather_month month[12]) {
    int records[12] = {0}, days[12] = {0};
    int today = -1, current = -1;
    double lowest = NAN, highest = NAN;
    memset(month, 0, 12 * sizeof month[0]);
    for (int i = 0; i < weather->n; i++) {
        int m, day;
        pinery_sky_date(weather->leap, weather->start_s + (i + 0.5) * weather->step_s, &m, &day);
        double temperature = weather->column[PINERY_WEATHER_temperature][i];
        double vapour = weather->column[PINERY_WEATHER_vapour_pressure][i];
        month[m].temperature += temperature;
        month[m].vapour_pressure += vapour;
        month[m].relative_humidity += vapour / pinery_air_saturation_water(temperature);
        month[m].global_MJ_m2 += weather->column[PINERY_WEATHER_global][i] * weather->step_s / 1e6;
        month[m].diffuse_MJ_m2 += weather->column[PINERY_WEATHER_diffuse][i] * weather->step_s / 1e6;
        month[m].wind += weather->column[PINERY_WEATHER_wind_speed][i];
        month[m].infrared += weather->column[PINERY_WEATHER_infrared][i];
        records[m]++;
        if (day != today || m != current) {
            if (current >= 0) {
                add_day(&month[current], &days[current], lowest, highest);
            }
            today = day;
            current = m;
            lowest = highest = temperature;
        }
        lowest = fmin(lowest, temperature);
        highest = fmax(highest, temperature);
    }
    if (current >= 0) {
        add_day(&month[current], &days[current], lowest, highest);
    }
    for (int m = 0; m < 12; m++) {
        if (records[m] == 0) {
            month[m] = (struct pinery_weather_month){NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
            continue;
        }
        month[m].temperature /= records[m];
        month[m].vapour_pressure /= records[m];
        month[m].relative_humidity /= records[m];
        month[m].wind /= records[m];
        month[m].infrared /= records[m];
        month[m].temperature_min_mean /= days[m];
        month[m].temperature_max_mean /= days[m];
    }
}
