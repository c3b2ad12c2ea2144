/* A weather year in memory: read from a file or made from monthly normals, checked, filled and put on one footing.
 *
 * Every value is on the clock of the site's standard time (no summer time). Record i covers
 * [start_s + i step_s, start_s + (i + 1) step_s), seconds since 1 January 00:00 of the first year. Radiation is the
 * mean over the record, whatever the file's own convention was; temperature, humidity, infrared, pressure and wind are
 * values at the instant `instant_s` seconds after the record's start. */
#ifndef PINERY_WEATHER_H
#define PINERY_WEATHER_H

#include <stdio.h>

#include "pinery/error.h"
#include "pinery/field.h"

#ifdef __cplusplus
extern "C" {
#endif

/* X(key, unit, doc): the columns of a weather, in the order of pinery_weather_column. */
#define PINERY_WEATHER_COLUMNS(X)                                                                 \
    X(temperature, "degC", "dry-bulb temperature")                                                \
    X(vapour_pressure, "Pa", "partial pressure of water vapour")                                  \
    X(pressure, "Pa", "station pressure")                                                         \
    X(global, "W/m2", "global radiation on the horizontal, mean over the record")                 \
    X(beam_normal, "W/m2", "direct radiation on a plane facing the sun, mean over the record")    \
    X(diffuse, "W/m2", "diffuse radiation on the horizontal, mean over the record")               \
    X(infrared, "W/m2", "long-wave radiation from the sky on the horizontal")                     \
    X(wind_speed, "m/s", "wind speed at 10 m")                                                    \
    X(wind_direction, "deg", "direction the wind comes from, clockwise from north")               \
    X(rain, "mm/h", "liquid precipitation")                                                       \
    X(snow, "mm/h", "snowfall as water")                                                          \
    X(sun_elevation, "deg",                                                                       \
      "elevation of the sun's centre, mean over the sunlit part of the record; below 0 at night") \
    X(sun_azimuth, "deg", "azimuth of the sun then, clockwise from north")

typedef enum pinery_weather_column {
#define X(key, unit, doc) PINERY_WEATHER_##key,
    PINERY_WEATHER_COLUMNS(X)
#undef X
        PINERY_WEATHER_N_COLUMNS
} pinery_weather_column;

typedef struct pinery_site {
    pinery_text name;
    double latitude_deg;  /* north positive */
    double longitude_deg; /* east positive */
    double utc_offset_h;  /* of standard time */
    double elevation_m;
} pinery_site;

typedef struct pinery_weather pinery_weather; /* opaque; shared read-only between runs once made */

/* Read a file, recognising its format by content: EPW, TMY3 CSV, PVGIS typical year CSV or JSON, or the plain CSV of
 * weather/station-csv.md. On failure *out is NULL and the error names file, line, field and value. */
PINERY_API pinery_status pinery_weather_read(const char *path, pinery_weather **out, pinery_error *error);

/* Make a typical year of 8760 hours from the monthly normals of `place` in the CSV at `normals_path`. The same seed
 * gives the same year to the last bit. An unknown place is an error that lists the known ones. */
PINERY_API pinery_status pinery_weather_generate(const char *normals_path, const char *place, unsigned seed,
                                                 pinery_weather **out, pinery_error *error);

PINERY_API void pinery_weather_free(pinery_weather *weather); /* NULL is fine */

PINERY_API const pinery_site *pinery_weather_site(const pinery_weather *weather);
PINERY_API int pinery_weather_count(const pinery_weather *weather);
PINERY_API double pinery_weather_step_s(const pinery_weather *weather);
PINERY_API double pinery_weather_start_s(const pinery_weather *weather);
PINERY_API double pinery_weather_instant_s(const pinery_weather *weather);
/* Whether the records are a whole year (365 or 366 days from 1 January), so that time wraps round. */
PINERY_API bool pinery_weather_is_year(const pinery_weather *weather);
/* One column, pinery_weather_count() values, owned by the weather. */
PINERY_API const double *pinery_weather_values(const pinery_weather *weather, pinery_weather_column column);
/* Where it came from (path, or "typical year of PLACE, seed N") and a checksum of the columns (FNV-1a, 64 bit). */
PINERY_API const char *pinery_weather_source(const pinery_weather *weather);
PINERY_API unsigned long long pinery_weather_checksum(const pinery_weather *weather);

/* What was filled, warned about and shifted while reading: a list of one-line remarks. */
PINERY_API int pinery_weather_remark_count(const pinery_weather *weather);
PINERY_API const char *pinery_weather_remark(const pinery_weather *weather, int i);
/* Values filled in a column by the reader's rules. */
PINERY_API int pinery_weather_filled(const pinery_weather *weather, pinery_weather_column column);

/* What a weather is like, month by month. Means are over the records of the month, NaN where it has none. */
struct pinery_weather_month {
    double temperature;          /* degC */
    double temperature_min_mean; /* degC, mean of the lowest of each day */
    double temperature_max_mean; /* degC, mean of the highest of each day */
    double relative_humidity;    /* fraction of saturation over water */
    double vapour_pressure;      /* Pa */
    double global_MJ_m2;         /* sum over the records of the month */
    double diffuse_MJ_m2;        /* likewise */
    double wind;                 /* m/s */
    double infrared;             /* W/m2 */
};

/* The table of a year; month[0] is January. */
PINERY_API void pinery_weather_months(const pinery_weather *weather, struct pinery_weather_month month[12]);

#ifdef __cplusplus
}
#endif
#endif
