/* From a file to a weather: what the readers of the formats hand over, and the stages it then goes through.
 *
 * recognise -> read (one reader per format) -> calendar -> timing of the radiation -> the site's clock -> plausible? ->
 * fill gaps -> derive missing columns -> radiation on its own hour -> weather */
#ifndef PINERY_SKY_READ_H
#define PINERY_SKY_READ_H

#include "base/text.h"
#include "base/units.h"
#include "sky/weather.h"

/* X(key, quantity, lowest, highest): what files give, and outside which inside values a file is refused. The limits are
 * wider than the records of the earth's surface (WMO World Weather and Climate Extremes Archive: -89.2 .. 56.7 degC on
 * the whole earth; nobody grows at -70), for radiation they leave room for cloud enhancement and the offset of a
 * pyranometer at night. */
#define PINERY_SKY_GIVEN(X)                    \
    X(temperature, TEMPERATURE, -70.0, 60.0)   \
    X(dew_point, TEMPERATURE, -90.0, 60.0)     \
    X(relative_humidity, FRACTION, 0.0, 1.1)   \
    X(vapour_pressure, PRESSURE, 0.0, 12000.0) \
    X(pressure, PRESSURE, 40000.0, 110000.0)   \
    X(global, RADIATION, -20.0, 1600.0)        \
    X(beam_normal, RADIATION, -20.0, 1400.0)   \
    X(diffuse, RADIATION, -20.0, 1200.0)       \
    X(infrared, RADIATION, 40.0, 650.0)        \
    X(par, PAR, -10.0, 800.0)                  \
    X(wind_speed, SPEED, 0.0, 75.0)            \
    X(wind_direction, ANGLE, 0.0, 360.0)       \
    X(rain, RATE_OF_RAIN, 0.0, 1000.0)         \
    X(cloud, FRACTION, 0.0, 1.0)

enum pinery_sky_given {
#define X(key, quantity, lowest, highest) PINERY_SKY_##key,
    PINERY_SKY_GIVEN(X)
#undef X
        PINERY_SKY_N_GIVEN
};

/* A column as the file has it. */
struct pinery_sky_field {
    char name[96];                       /* as a person finds it in the file; empty when the file has no such column */
    const struct pinery_base_unit *unit; /* of the file */
    double missing[2];                   /* codes of the file for "no value"; NaN where it has none */
};

/* Records as the file has them, values inside units, NaN for missing. */
struct pinery_sky_raw {
    const char *path;
    const char *row; /* what a person counts in the file: "line", or "record" where lines do not matter */
    pinery_site site;
    bool utc;      /* the clock is UTC, not the site's standard time */
    bool presumed; /* ... which the reader presumes against the header; the sun decides */
    int n;
    double step_s, start_s;
    double instant_s; /* when in its record an instant value holds, may be up to step_s */
    double centre_s;  /* the middle of what the radiation of a record is the mean of, after the record's start */
    int year;         /* 0: several */
    bool leap;
    int *line; /* where each record stands; 0 for a record the file lacks */
    double *value[PINERY_SKY_N_GIVEN];
    struct pinery_sky_field field[PINERY_SKY_N_GIVEN];
    int filled[PINERY_SKY_N_GIVEN]; /* values filled in each column */
    struct pinery_weather *weather; /* the weather to be; takes the remarks on the way */
};

/* --- read_raw.c: the records --- */

/* Make room for n records, all missing. */
pinery_status pinery_sky_raw_new(struct pinery_sky_raw *raw, int n, pinery_error *error);
void pinery_sky_raw_free(struct pinery_sky_raw *raw); /* the weather too, when it is still there */

/* Name a column of the file and its unit, e.g. (raw, PINERY_SKY_pressure, "Pressure", "mbar", -9900.0); missing NAN: no
 * code. The unit is one of base/units.h. */
void pinery_sky_raw_has(struct pinery_sky_raw *raw, enum pinery_sky_given given, const char *name, const char *unit,
                        double missing);
static inline bool pinery_sky_raw_given(const struct pinery_sky_raw *raw, enum pinery_sky_given given) {
    return raw->field[given].name[0] != '\0';
}

/* Put one value, in the file's unit: missing codes become NaN, others must be within the limits. */
pinery_status pinery_sky_raw_put(struct pinery_sky_raw *raw, int i, enum pinery_sky_given given, double value,
                                 pinery_error *error);
/* The same from text; an empty one is missing. */
pinery_status pinery_sky_raw_put_text(struct pinery_sky_raw *raw, int i, enum pinery_sky_given given, const char *text,
                                      bool comma, pinery_error *error);

/* A number of the site's, with its limits; `line` is where it stands. */
pinery_status pinery_sky_raw_site(const struct pinery_sky_raw *raw, int line, const char *name, const char *text,
                                  const char *unit, double lowest, double highest, double *value, pinery_error *error);

#define PINERY_SKY_LATITUDE "deg", -90.0, 90.0
#define PINERY_SKY_LONGITUDE "deg", -180.0, 180.0
#define PINERY_SKY_UTC_OFFSET "h", -12.0, 14.0
#define PINERY_SKY_ELEVATION "m", -450.0, 9000.0

/* The value of a record as the file states it, for remarks: in the file's unit. */
double pinery_sky_raw_shown(const struct pinery_sky_raw *raw, int i, enum pinery_sky_given given);

/* --- one reader per format; `text` may be cut up --- */

bool pinery_sky_is_epw(const struct pinery_base_text *text);
bool pinery_sky_is_tmy3(const struct pinery_base_text *text);
bool pinery_sky_is_pvgis_csv(const struct pinery_base_text *text);
bool pinery_sky_is_pvgis_json(const struct pinery_base_text *text);
bool pinery_sky_is_station(const struct pinery_base_text *text);
pinery_status pinery_sky_read_epw(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error);
pinery_status pinery_sky_read_tmy3(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error);
pinery_status pinery_sky_read_pvgis_csv(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error);
pinery_status pinery_sky_read_pvgis_json(struct pinery_base_text *text, struct pinery_sky_raw *raw,
                                         pinery_error *error);
pinery_status pinery_sky_read_station(struct pinery_base_text *text, struct pinery_sky_raw *raw, pinery_error *error);

/* --- check_calendar.c --- */

/* When a record is, by the file's own clock. */
struct pinery_sky_stamp {
    int year, month, day; /* month and day from 1 */
    double time_s;        /* start of the record since the midnight that begins the day */
};

/* Whether these are a whole year of records of step_s in order, and of what calendar: sets year and leap of raw. */
pinery_status pinery_sky_check_year(struct pinery_sky_raw *raw, const struct pinery_sky_stamp *stamp,
                                    pinery_error *error);
bool pinery_sky_is_leap(int year);
int pinery_sky_days_in(int year, int month); /* month from 1 */

/* --- check_values.c --- */

pinery_status pinery_sky_check_site(struct pinery_sky_raw *raw, pinery_error *error);
/* What the file must have at all, constants, pressure against elevation. */
pinery_status pinery_sky_check_columns(struct pinery_sky_raw *raw, pinery_error *error);
/* Limit diffuse radiation to global. */
pinery_status pinery_sky_check_diffuse(struct pinery_sky_raw *raw, pinery_error *error);
/* The line a record stands in, or the last one before it that is there. */
int pinery_sky_raw_line(const struct pinery_sky_raw *raw, int i);

/* --- shift_sun.c: the sun over the record, quickly --- */

/* Declination and time of noon at the noons of the days the records cover. */
struct pinery_sky_track {
    int days;
    double latitude;
    double *declination, *noon; /* rad; hour angle of the clock's 12 h, rad */
};

pinery_status pinery_sky_track_new(struct pinery_sky_track *track, const pinery_site *site, double utc_offset_h,
                                   double start_s, double length_s, int year, pinery_error *error);
void pinery_sky_track_free(struct pinery_sky_track *track);
/* Integral over [from, to) of the sine of the sun's elevation while it is up, s, and in *sunlit_s for how long it is.
 * Times since the track's start; an interval of up to some hours. */
double pinery_sky_track_sine(const struct pinery_sky_track *track, double from, double to, double *sunlit_s);

/* --- shift_timing.c, shift.c --- */

/* Find by the sun where in its record the radiation is centred; sets raw->centre_s and the clock, remarks, refuses. */
pinery_status pinery_sky_shift_find(struct pinery_sky_raw *raw, pinery_error *error);
/* Bring a UTC clock to the site's standard time. */
pinery_status pinery_sky_shift_clock(struct pinery_sky_raw *raw, pinery_error *error);
/* Bring the radiation onto its own record, clean the night; raw->centre_s becomes half the step. */
pinery_status pinery_sky_shift_radiation(struct pinery_sky_raw *raw, pinery_error *error);

/* --- fill.c, fill_derive.c --- */

/* Make global radiation from what the file has instead. */
pinery_status pinery_sky_fill_global(struct pinery_sky_raw *raw, pinery_error *error);
/* Fill gaps in the columns the file has. */
pinery_status pinery_sky_fill_gaps(struct pinery_sky_raw *raw, pinery_error *error);
/* Make the weather's columns, deriving those the file lacks. */
pinery_status pinery_sky_fill_weather(struct pinery_sky_raw *raw, pinery_error *error);

/* Whether the records go round the year. */
static inline bool pinery_sky_raw_is_year(const struct pinery_sky_raw *raw) {
    return raw->start_s == 0.0 && raw->n * raw->step_s == (raw->leap ? 366.0 : 365.0) * 86400.0;
}

#endif
