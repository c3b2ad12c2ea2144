/* What the two PVGIS formats share: column names, stamps and the time offset of the radiation. */
#ifndef PINERY_SKY_READ_PVGIS_H
#define PINERY_SKY_READ_PVGIS_H

#include <math.h>
#include <stdio.h>

#include "base/error.h"
#include "sky/read.h"

/* X(column, name in the file, unit) */
#define PINERY_SKY_PVGIS_COLUMNS(X)   \
    X(temperature, "T2m", "degC")     \
    X(relative_humidity, "RH", "%")   \
    X(global, "G(h)", "W/m2")         \
    X(beam_normal, "Gb(n)", "W/m2")   \
    X(diffuse, "Gd(h)", "W/m2")       \
    X(infrared, "IR(h)", "W/m2")      \
    X(wind_speed, "WS10m", "m/s")     \
    X(wind_direction, "WD10m", "deg") \
    X(pressure, "SP", "Pa")

static const struct {
    enum pinery_sky_given given;
    const char *name, *unit;
} pvgis_columns[] = {
#define X(column, name, unit) {PINERY_SKY_##column, name, unit},
    PINERY_SKY_PVGIS_COLUMNS(X)
#undef X
};

enum { N_PVGIS = sizeof pvgis_columns / sizeof pvgis_columns[0] };

/* Hours of UTC with values of their start; the satellite saw the radiation `offset_h` later, which the service gives as
 * the value of the hour: taken here as the mean of the hour around that moment. */
static inline void pvgis_start(struct pinery_sky_raw *raw, double offset_h) {
    raw->utc = true;
    raw->step_s = 3600.0;
    raw->instant_s = 0.0;
    raw->centre_s = 3600.0 * offset_h;
    raw->site.utc_offset_h = floor(raw->site.longitude_deg / 15.0 + 0.5);
    for (int c = 0; c < N_PVGIS; c++) {
        pinery_sky_raw_has(raw, pvgis_columns[c].given, pvgis_columns[c].name, pvgis_columns[c].unit, NAN);
    }
}

/* "20180101:0000" */
static inline pinery_status pvgis_stamp(const struct pinery_sky_raw *raw, int i, const char *time,
                                        struct pinery_sky_stamp *stamp, pinery_error *error) {
    int hour, minute, used = 0;
    if (sscanf(time, "%4d%2d%2d:%2d%2d%n", &stamp->year, &stamp->month, &stamp->day, &hour, &minute, &used) != 5 ||
        time[used] != '\0' || hour < 0 || hour > 23 || minute < 0 || minute > 59) {
        return pinery_base_fail(error, PINERY_BAD_FILE, "%s: %s %d: time(UTC) = \"%.40s\", expected YYYYMMDD:HHMM",
                                raw->path, raw->row, raw->line[i], time);
    }
    stamp->time_s = hour * 3600.0; /* some editions write the minute of the satellite's pass here */
    return PINERY_OK;
}

static inline pinery_status pvgis_finish(struct pinery_sky_raw *raw, const struct pinery_sky_stamp *stamp,
                                         pinery_error *error) {
    pinery_status status = pinery_sky_check_year(raw, stamp, error);
    if (status == PINERY_OK) {
        status =
            pinery_sky_weather_remark(raw->weather, "times are UTC; put on UTC%+g h, the hour of longitude %.4g deg",
                                      raw->site.utc_offset_h, raw->site.longitude_deg);
    }
    return status;
}

#endif
