/* Reading weather files: every rule on small files written here, every real file where there is one.
 *
 * The sun of the files written here is the textbook's, not the library's: declination by Cooper 1969 (Solar Energy 12,
 * 333), equation of time by Spencer 1971 (Search 2, 172). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "check.h"
#include "pinery/weather.h"
#include "sky/read.h"

#define PI 3.14159265358979323846
#define LATITUDE 52.0
#define LONGITUDE 5.0

static char folder[] = "/tmp/pinery-test-weather-XXXXXX";
static char path[128];
static pinery_error error;

/* --- a year to write --- */

static double sine_of_elevation(double hour_of_year, double longitude, double utc_offset_h) {
    int day = (int)floor(hour_of_year / 24.0);
    double b = 2.0 * PI * (day % 365) / 365.0;
    double equation_h =
        (0.000075 + 0.001868 * cos(b) - 0.032077 * sin(b) - 0.014615 * cos(2 * b) - 0.040849 * sin(2 * b)) * 12.0 / PI;
    double declination = 23.45 * PI / 180.0 * sin(2.0 * PI * (284 + day + 1) / 365.0);
    double solar_h = hour_of_year - 24.0 * day + longitude / 15.0 - utc_offset_h + equation_h;
    double latitude = LATITUDE * PI / 180.0;
    return sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(PI / 12.0 * (solar_h - 12.0));
}

/* Global radiation at an instant: clear in the north-west European way, dimmed by day. */
static double global_at(double hour_of_year, double longitude, double utc_offset_h) {
    static const double dim[] = {1.0, 0.3, 0.7, 0.95, 0.2, 0.55, 0.9};
    double sine = sine_of_elevation(hour_of_year, longitude, utc_offset_h);
    return sine > 0.0 ? 1000.0 * sine * exp(-0.06 / sine) * dim[(int)floor(hour_of_year / 24.0 + 7.0) % 7] : 0.0;
}

/* Mean over [from, from + length) h, and in *beam that of the direct part, 60 %, facing the sun. */
static double mean_global(double from, double length, double longitude, double utc_offset_h, double *beam) {
    enum { N = 12 };
    double sum = 0.0;
    *beam = 0.0;
    for (int k = 0; k < N; k++) {
        double hour = from + length * (k + 0.5) / N, global = global_at(hour, longitude, utc_offset_h);
        sum += global / N;
        *beam += global > 0.0 ? 0.6 * global / sine_of_elevation(hour, longitude, utc_offset_h) / N : 0.0;
    }
    return sum;
}

enum { FIELDS = 35 };
struct row {
    char field[FIELDS + 2][40];
    int n;
    bool drop;
};

/* What a test changes in an EPW. */
struct epw {
    int days;
    double later_h; /* radiation of a record is that of this much later */
    double header_longitude, header_elevation;
    const char *line_end;
    void (*edit)(struct row *row, int i);
};

static const struct epw plain = {365, 0.0, LONGITUDE, 0.0, "\n", NULL};

static void put(struct row *row, int field, const char *text) {
    snprintf(row->field[field - 1], sizeof row->field[0], "%s", text);
}

static void put_number(struct row *row, int field, double value) {
    snprintf(row->field[field - 1], sizeof row->field[0], "%.6g", value);
}

static void make_path(const char *name) {
    snprintf(path, sizeof path, "%s/%s", folder, name);
}

static void write_epw(const struct epw *epw) {
    make_path("a.epw");
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fprintf(file, "LOCATION,Testdorp,-,NLD,made,000000,%.1f,%.6g,1.0,%.6g%s", LATITUDE, epw->header_longitude,
            epw->header_elevation, epw->line_end);
    fprintf(file,
            "DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\r\nGROUND TEMPERATURES,0\nHOLIDAYS,No,0,0,0\n"
            "COMMENTS 1,x\nCOMMENTS 2,\"y, z\"\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31%s",
            epw->line_end);
    int year = epw->days == 366 ? 2012 : 2011;
    for (int i = 0; i < epw->days * 24; i++) {
        struct row row = {.n = FIELDS};
        int month, day;
        pinery_sky_date(epw->days == 366, i * 3600.0, &month, &day);
        double beam, global = mean_global(i + epw->later_h, 1.0, LONGITUDE, 1.0, &beam);
        for (int k = 1; k <= FIELDS; k++) {
            put(&row, k, "0");
        }
        put_number(&row, 1, year);
        put_number(&row, 2, month + 1);
        put_number(&row, 3, day);
        put_number(&row, 4, i % 24 + 1);
        put(&row, 6, "?9?9?9?9E0");
        put_number(&row, 7, 10.0 - 8.0 * cos(2 * PI * i / 8760.0) - 4.0 * cos(2 * PI * (i - 3) / 24.0));
        put_number(&row, 8, 99.9);
        put_number(&row, 9, 75.0 + i % 5);
        put_number(&row, 10, 101000.0 + i % 100);
        put_number(&row, 13, 300.0 + i % 7);
        put_number(&row, 14, global);
        put_number(&row, 15, beam);
        put_number(&row, 16, 0.4 * global);
        put_number(&row, 21, 10.0 * (i % 36));
        put_number(&row, 22, 2.0 + i % 3);
        put_number(&row, 23, 5.0);
        if (epw->edit != NULL) {
            epw->edit(&row, i);
        }
        if (row.drop) {
            continue;
        }
        for (int k = 0; k < row.n; k++) {
            fprintf(file, "%s%s", k > 0 ? "," : "", row.field[k]);
        }
        fputs(epw->line_end, file);
    }
    fclose(file);
}

static pinery_weather *read_good(void) {
    pinery_weather *weather;
    pinery_status status = pinery_weather_read(path, &weather, &error);
    if (status != PINERY_OK) {
        print_error("%s\n", error.text);
    }
    assert_int_equal(status, PINERY_OK);
    assert_non_null(weather);
    return weather;
}

static pinery_weather *read_edited(void (*edit)(struct row *row, int i)) {
    struct epw epw = plain;
    epw.edit = edit;
    write_epw(&epw);
    return read_good();
}

static const char *remark_with(const pinery_weather *weather, const char *part) {
    for (int i = 0; i < pinery_weather_remark_count(weather); i++) {
        if (strstr(pinery_weather_remark(weather, i), part) != NULL) {
            return pinery_weather_remark(weather, i);
        }
    }
    return NULL;
}

static void assert_remark(const pinery_weather *weather, const char *want) {
    if (remark_with(weather, want) == NULL) {
        print_error("no remark \"%s\" among\n", want);
        for (int i = 0; i < pinery_weather_remark_count(weather); i++) {
            print_error("  %s\n", pinery_weather_remark(weather, i));
        }
        fail();
    }
}

/* Reading `path` fails with this text, the folder in front. */
static void assert_refused(const char *want) {
    pinery_weather *weather = (pinery_weather *)&error;
    assert_int_equal(pinery_weather_read(path, &weather, &error), PINERY_BAD_FILE);
    assert_null(weather);
    assert_int_equal(error.status, PINERY_BAD_FILE);
    const char *text = strstr(error.text, path) == error.text ? error.text + strlen(path) : error.text;
    if (strncmp(text, want, strlen(want)) != 0) {
        print_error("got  %s\nwant %s\n", text, want);
        fail();
    }
    assert_int_equal(pinery_weather_read(path, &weather, NULL), PINERY_BAD_FILE); /* the text need not be wanted */
}

static void refuse_edited(void (*edit)(struct row *row, int i), const char *want) {
    struct epw epw = plain;
    epw.edit = edit;
    write_epw(&epw);
    assert_refused(want);
}

static const double *values(const pinery_weather *weather, pinery_weather_column column) {
    return pinery_weather_values(weather, column);
}

static double sum_of(const double *value, int n) {
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        sum += value[i];
    }
    return sum;
}

/* --- whole years --- */

static void a_plain_year(void **state) {
    (void)state;
    write_epw(&plain);
    pinery_weather *weather = read_good();
    assert_int_equal(pinery_weather_count(weather), 8760);
    assert_true(pinery_weather_is_year(weather));
    assert_true(pinery_weather_step_s(weather) == 3600.0 && pinery_weather_start_s(weather) == 0.0);
    assert_true(pinery_weather_instant_s(weather) == 3600.0); /* the stamp ends the hour */
    assert_string_equal(pinery_weather_site(weather)->name, "Testdorp");
    assert_true(pinery_weather_site(weather)->latitude_deg == LATITUDE);
    assert_string_equal(pinery_weather_source(weather), path);
    for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++) {
        assert_int_equal(pinery_weather_filled(weather, (pinery_weather_column)c), 0);
        for (int i = 0; i < 8760; i++) {
            assert_true(isfinite(values(weather, (pinery_weather_column)c)[i]));
        }
    }
    if (pinery_weather_remark_count(weather) != 0) { /* twilight of a millisecond between two formulas of the sun */
        assert_int_equal(pinery_weather_remark_count(weather), 1);
        assert_remark(weather, "radiation while the sun is down");
    }
    /* 15 February 12:00 to 13:00, written as hour 13 of that day */
    int i = (31 + 14) * 24 + 12;
    double beam, global = mean_global(i, 1.0, LONGITUDE, 1.0, &beam);
    assert_close(values(weather, PINERY_WEATHER_global)[i], global, 1e-5, 0.0);
    assert_close(values(weather, PINERY_WEATHER_beam_normal)[i], beam, 1e-5, 0.0);
    pinery_weather_free(weather);
}

static void mixed_line_ends_change_nothing(void **state) {
    (void)state;
    write_epw(&plain);
    pinery_weather *weather = read_good();
    unsigned long long want = pinery_weather_checksum(weather);
    pinery_weather_free(weather);
    struct epw epw = plain;
    epw.line_end = "\r\r\n";
    write_epw(&epw);
    weather = read_good();
    assert_true(pinery_weather_checksum(weather) == want);
    pinery_weather_free(weather);
}

static void minute_means_nothing(struct row *row, int i) {
    put_number(row, 5, i % 3 * 30.0);
}

static void the_minute_field_is_not_read(void **state) {
    (void)state;
    write_epw(&plain);
    pinery_weather *weather = read_good();
    unsigned long long want = pinery_weather_checksum(weather);
    pinery_weather_free(weather);
    weather = read_edited(minute_means_nothing);
    assert_true(pinery_weather_checksum(weather) == want);
    pinery_weather_free(weather);
}

static void a_leap_year(void **state) {
    (void)state;
    struct epw epw = plain;
    epw.days = 366;
    write_epw(&epw);
    pinery_weather *weather = read_good();
    assert_int_equal(pinery_weather_count(weather), 8784);
    assert_true(pinery_weather_is_year(weather));
    pinery_weather_free(weather);
}

/* --- gaps --- */

static void gap_of_three(struct row *row, int i) {
    if (i >= 100 && i < 103) {
        put(row, 7, "99.9");
        put(row, 21, "999");
    }
    if (i == 99) {
        put(row, 7, "2");
        put(row, 21, "350");
    }
    if (i == 103) {
        put(row, 7, "10");
        put(row, 21, "30");
    }
}

static void short_gaps_are_straight(void **state) {
    (void)state;
    pinery_weather *weather = read_edited(gap_of_three);
    const double *temperature = values(weather, PINERY_WEATHER_temperature);
    assert_close(temperature[100], 4.0, 0.0, 1e-12);
    assert_close(temperature[102], 8.0, 0.0, 1e-12);
    const double *direction = values(weather, PINERY_WEATHER_wind_direction);
    assert_close(direction[100], 0.0, 0.0, 1e-9); /* 350, 0, 10, 20, 30: through north */
    assert_close(direction[102], 20.0, 0.0, 1e-9);
    assert_int_equal(pinery_weather_filled(weather, PINERY_WEATHER_temperature), 3);
    assert_int_equal(pinery_weather_filled(weather, PINERY_WEATHER_pressure), 0);
    assert_remark(weather, "line 109: dry bulb (field 7) is missing there and in 3 of 8760 records");
    pinery_weather_free(weather);
}

static void gap_of_ten(struct row *row, int i) {
    if (i >= 240 && i < 250) {
        put(row, 22, "");
    }
    if (i >= 216 && i < 226) {
        put(row, 22, "4");
    }
    if (i >= 264 && i < 274) {
        put_number(row, 22, i - 262);
    }
}

static void long_gaps_follow_the_neighbouring_days(void **state) {
    (void)state;
    pinery_weather *weather = read_edited(gap_of_ten);
    for (int i = 240; i < 250; i++) {
        assert_close(values(weather, PINERY_WEATHER_wind_speed)[i], 0.5 * (4.0 + (i + 24 - 262)), 0.0, 1e-12);
    }
    assert_int_equal(pinery_weather_filled(weather, PINERY_WEATHER_wind_speed), 10);
    assert_remark(weather, "line 249: wind speed (field 22) is missing there and in 10 of 8760 records");
    pinery_weather_free(weather);
}

static void gap_at_the_turn_of_the_year(struct row *row, int i) {
    if (i < 2 || i >= 8758) {
        put(row, 7, "99.9");
    }
    if (i == 2) {
        put(row, 7, "5");
    }
    if (i == 8757) {
        put(row, 7, "0");
    }
}

static void a_year_goes_round(void **state) {
    (void)state;
    pinery_weather *weather = read_edited(gap_at_the_turn_of_the_year);
    assert_close(values(weather, PINERY_WEATHER_temperature)[8758], 1.0, 0.0, 1e-12);
    assert_close(values(weather, PINERY_WEATHER_temperature)[0], 3.0, 0.0, 1e-12);
    pinery_weather_free(weather);
}

enum { NOON_OF_JUNE = (151 + 20) * 24 + 10 };

static void gap_of_sun(struct row *row, int i) {
    if (i >= NOON_OF_JUNE && i < NOON_OF_JUNE + 4) {
        put(row, 14, "9999");
        put(row, 15, "9999");
        put(row, 16, "9999");
    }
}

static void radiation_gaps_keep_the_path_of_the_sun(void **state) {
    (void)state;
    pinery_weather *weather = read_edited(gap_of_sun);
    for (int i = NOON_OF_JUNE; i < NOON_OF_JUNE + 4; i++) { /* of a day as bright throughout as its ends */
        double beam, global = mean_global(i, 1.0, LONGITUDE, 1.0, &beam);
        assert_close(values(weather, PINERY_WEATHER_global)[i], global, 0.02, 0.0);
    }
    assert_int_equal(pinery_weather_filled(weather, PINERY_WEATHER_global), 4);
    pinery_weather_free(weather);
}

static void no_infrared_rain_direction_pressure_diffuse(struct row *row, int i) {
    (void)i;
    put(row, 10, "999999");
    put(row, 13, "9999");
    put(row, 15, "9999");
    put(row, 16, "9999");
    put(row, 21, "999");
    put(row, 34, "999");
}

static void missing_columns_are_derived(void **state) {
    (void)state;
    pinery_weather *weather = read_edited(no_infrared_rain_direction_pressure_diffuse);
    assert_int_equal(pinery_weather_filled(weather, PINERY_WEATHER_infrared), 8760);
    assert_remark(weather, "no infrared: by temperature, humidity and cloud");
    assert_remark(weather, "no pressure: standard atmosphere at the elevation");
    assert_remark(weather, "no diffuse: by clearness, Erbs");
    assert_remark(weather, "no wind_direction: taken as west");
    assert_remark(weather, "no rain: taken as none");
    /* International standard atmosphere (ISO 2533): 101325 Pa at sea level. */
    assert_close(values(weather, PINERY_WEATHER_pressure)[0], 101325.0, 1e-6, 0.0);
    int bright = 0, dull = 0;
    for (int i = 0; i < 8760; i++) {
        double global = values(weather, PINERY_WEATHER_global)[i];
        double diffuse = values(weather, PINERY_WEATHER_diffuse)[i];
        double beam = values(weather, PINERY_WEATHER_beam_normal)[i];
        double sine = sin(values(weather, PINERY_WEATHER_sun_elevation)[i] * PI / 180.0);
        assert_true(diffuse >= 0.0 && diffuse <= global + 1e-9 && beam >= 0.0 && beam < 1420.0);
        assert_close(diffuse + (sine > 0.0 ? beam * sine : 0.0), global, 1e-9, 1e-9);
        bright += global > 600.0 && diffuse < 0.4 * global;
        dull += global > 100.0 && global < 200.0 && diffuse > 0.8 * global;
    }
    assert_true(bright > 50 && dull > 50);
    pinery_weather_free(weather);
}

/* --- rows that cannot be --- */

static void hot(struct row *row, int i) {
    if (i == 500) {
        put(row, 7, "61.5");
    }
}
static void humid(struct row *row, int i) {
    if (i == 500) {
        put(row, 9, "111");
    }
}
static void not_a_number(struct row *row, int i) {
    if (i == 500) {
        put(row, 7, "12,5x");
        put(row, 7, "warm");
    }
}
static void nan_as_text(struct row *row, int i) {
    if (i == 500) {
        put(row, 14, "nan");
    }
}
static void too_bright(struct row *row, int i) {
    if (i == 500) {
        put(row, 14, "1700");
    }
}
static void dropped(struct row *row, int i) {
    row->drop = i == 500;
}
static void twice(struct row *row, int i) {
    if (i == 500) {
        put_number(row, 4, 500 % 24);
    }
}
static void hour_25(struct row *row, int i) {
    if (i == 500) {
        put(row, 4, "25");
    }
}
static void day_32(struct row *row, int i) {
    if (i == 500) {
        put(row, 3, "32");
    }
}
static void spreadsheet_date(struct row *row, int i) {
    if (i == 500) {
        put(row, 2, "01.Jan");
    }
}
static void moved(struct row *row, int i) {
    if (i == 500) {
        put(row, 36, "3.5");
        row->n = 36;
    }
}
static void moved_left(struct row *row, int i) {
    if (i == 500) {
        memmove(row->field[5], row->field[6], 29 * sizeof row->field[0]);
    }
}
static void cut(struct row *row, int i) {
    if (i == 500) {
        row->n = 12;
    }
}
static void only_sixteen(struct row *row, int i) {
    row->drop = i >= 16;
}
static void no_last_hour(struct row *row, int i) {
    row->drop = i == 8759;
}
static void no_wind(struct row *row, int i) {
    (void)i;
    put(row, 22, "999");
}
static void little_temperature(struct row *row, int i) {
    if (i >= 4000) {
        put(row, 7, "99.9");
    }
}

static void faults_are_named(void **state) {
    (void)state;
    refuse_edited(hot, ": line 509: dry bulb (field 7) = 61.5 degC is outside -70 .. 60 degC");
    refuse_edited(humid, ": line 509: relative humidity (field 9) = 111 % is outside 0 .. 110 %");
    refuse_edited(not_a_number, ": line 509: dry bulb (field 7) = \"warm\" is not a number, expected one in degC");
    refuse_edited(nan_as_text,
                  ": line 509: global radiation (field 14) = \"nan\" is not a number, expected one in W/m2");
    refuse_edited(too_bright, ": line 509: global radiation (field 14) = 1700 W/m2 is outside -20 .. 1600 W/m2");
    refuse_edited(dropped,
                  ": line 509: 21 January, record from 21:00, expected 21 January, record from 20:00: 1 missing");
    refuse_edited(twice,
                  ": line 509: 21 January, record from 19:00 comes again (first in line 508), expected 21 January, "
                  "record from 20:00");
    refuse_edited(hour_25, ": line 509: hour (field 4) = 25 is outside 1 .. 24");
    refuse_edited(day_32,
                  ": line 509: month 1, day 32, hour of the day 20 is not in the calendar, expected 21 January");
    refuse_edited(spreadsheet_date, ": line 509: month (field 2) = \"01.Jan\" is not a whole number");
    refuse_edited(moved,
                  ": line 509: 36 fields, expected 35; field 36 = \"3.5\" is not empty, so values may have moved");
    refuse_edited(moved_left, ": line 509: field 6 = ");
    assert_non_null(strstr(error.text, "is a number, expected flags: the values have moved by a field"));
    refuse_edited(cut, ": line 509: 12 fields, expected 35");
    refuse_edited(only_sixteen,
                  ": line 24: not a year: 16 rows of data (line 9 to 24), expected 8760 for a year or 8784 "
                  "for a leap year");
    refuse_edited(no_last_hour,
                  ": line 8767: the year ends early: 8759 rows of 8760, expected 31 December, record from 23:00");
    refuse_edited(no_wind, ": no values of wind speed in the whole file");
    refuse_edited(little_temperature,
                  ": line 4009: dry bulb (field 7) is missing here and in 4760 of 8760 records, too many");
}

static void sites_that_cannot_be(void **state) {
    (void)state;
    struct epw epw = plain;
    epw.header_longitude = 205.0;
    write_epw(&epw);
    assert_refused(": line 1: longitude (field 8) = 205 deg is outside -180 .. 180 deg");
    epw.header_longitude = -75.0;
    write_epw(&epw);
    assert_refused(
        ": longitude = -75 deg (east positive) does not fit a time zone of UTC+1 h: 6.0 h apart, expected less "
        "than 4 h");
    epw.header_longitude = LONGITUDE + 20.0; /* 80 min of sun */
    write_epw(&epw);
    assert_refused(": global radiation is ");
    int minutes = 0;
    assert_int_equal(sscanf(strstr(error.text, "radiation is "), "radiation is %d min behind", &minutes), 1);
    assert_close(minutes, 80.0, 0.0, 5.0);
    assert_non_null(
        strstr(error.text, "min behind the sun of longitude 25 deg on the clock of UTC+1 h, expected within 45"));
}

static void pressure_low(struct row *row, int i) {
    put_number(row, 10, 94000.0 + i % 100);
}
static void pressure_absurd(struct row *row, int i) {
    put_number(row, 10, 80000.0 + i % 100);
}
static void constants(struct row *row, int i) {
    (void)i;
    put(row, 10, "101300");
    put(row, 22, "3.5");
}
static void diffuse_above(struct row *row, int i) {
    if (i == NOON_OF_JUNE || i == NOON_OF_JUNE + 1) {
        put(row, 14, "100");
        put_number(row, 16, i == NOON_OF_JUNE ? 130.0 : 101.0);
    }
}
static void night_sun(struct row *row, int i) {
    if (i == 24 || i == 48) {
        put(row, 14, "3");
        put(row, 16, "2");
    }
}
static void beam_too_strong(struct row *row, int i) {
    (void)i;
    put_number(row, 15, 1.5 * strtod(row->field[14], NULL));
}
static void beyond_saturation(struct row *row, int i) {
    if (i == 500) {
        put(row, 9, "104");
    }
}
static void empty_fields_at_the_end(struct row *row, int i) {
    if (i == 500) {
        put(row, 36, "");
        put(row, 37, "");
        row->n = 37;
    }
}

static void doubts_are_remarked_upon(void **state) {
    (void)state;
    pinery_weather *weather = read_edited(pressure_low);
    assert_remark(weather,
                  "line 9: warning: pressure (field 10) = 94000 Pa, and 94049.4 on average: -7.2 % from the 101325 Pa "
                  "expected at the elevation of 0 m");
    assert_close(values(weather, PINERY_WEATHER_pressure)[0], 94000.0, 1e-12, 0.0); /* kept */
    pinery_weather_free(weather);
    refuse_edited(pressure_absurd, ": line 9: pressure (field 10) = 80000 Pa, and 80049.4 on average: does not fit the "
                                   "elevation of 0 m, expected about 101325 Pa");
    weather = read_edited(constants);
    assert_remark(weather, "line 9: warning: pressure (field 10) = 101300 Pa there and in all records");
    assert_remark(weather, "line 9: warning: wind speed (field 22) = 3.5 m/s there and in all records");
    pinery_weather_free(weather);
    weather = read_edited(diffuse_above);
    char want[200];
    snprintf(want, sizeof want,
             "line %d: warning: diffuse radiation (field 16) = 130 W/m2 is above the global radiation of 100 W/m2; "
             "limited to "
             "it, there and in 1 records, by up to 30 W/m2",
             NOON_OF_JUNE + 9);
    assert_remark(weather, want);
    assert_close(values(weather, PINERY_WEATHER_diffuse)[NOON_OF_JUNE], 100.0, 1e-9, 0.0);
    assert_close(values(weather, PINERY_WEATHER_diffuse)[NOON_OF_JUNE + 1], 100.0, 1e-9, 0.0); /* rounding: silently */
    pinery_weather_free(weather);
    weather = read_edited(night_sun);
    const char *remark = remark_with(weather, "radiation while the sun is down set to 0");
    assert_non_null(remark);
    assert_int_equal(strncmp(remark, "line 33: ", 9), 0);
    assert_true(values(weather, PINERY_WEATHER_global)[24] == 0.0 &&
                values(weather, PINERY_WEATHER_diffuse)[48] == 0.0);
    pinery_weather_free(weather);
    weather = read_edited(beam_too_strong);
    assert_remark(weather, "warning: direct and diffuse radiation do not add up to global");
    pinery_weather_free(weather);
    weather = read_edited(beyond_saturation);
    assert_remark(weather,
                  "line 509: relative humidity (field 9) = 104 % is above saturation; limited to it, there and in 1");
    pinery_weather_free(weather);
    weather = read_edited(empty_fields_at_the_end);
    assert_remark(weather, "line 509: 37 fields, expected 35; those beyond are empty and left out (1 such rows");
    pinery_weather_free(weather);
}

/* --- timing --- */

static void shifted_radiation_is_found_and_moved(void **state) {
    (void)state;
    static const double minutes[] = {-35.0, -20.0, -13.0, 15.0, 30.0, 40.0};
    write_epw(&plain);
    pinery_weather *truth = read_good();
    const double *want = values(truth, PINERY_WEATHER_global);
    for (size_t k = 0; k < sizeof minutes / sizeof minutes[0]; k++) {
        struct epw epw = plain;
        epw.later_h = minutes[k] / 60.0;
        write_epw(&epw);
        double written = 0.0, beam, off = 0.0;
        for (int i = 0; i < 8760; i++) {
            written += mean_global(i + epw.later_h, 1.0, LONGITUDE, 1.0, &beam);
        }
        pinery_weather *weather = read_good();
        const char *remark = remark_with(weather, "moved onto its own records");
        assert_non_null(remark);
        double found = 0.0;
        char word[8] = "";
        assert_int_equal(sscanf(remark, "warning: radiation is %lf min %7s", &found, word), 2);
        assert_close(strcmp(word, "ahead") == 0 ? found : -found, minutes[k], 0.0, 3.0);
        const double *got = values(weather, PINERY_WEATHER_global);
        assert_close(sum_of(got, 8760), written, 5e-4, 0.0); /* but for what fell in the dark */
        for (int i = 0; i < 8760; i++) {
            off += fabs(got[i] - want[i]);
            assert_true(values(weather, PINERY_WEATHER_sun_elevation)[i] > 0.0 || got[i] == 0.0);
            assert_true(values(weather, PINERY_WEATHER_diffuse)[i] <= got[i]);
        }
        /* Left as it was, the radiation would be off by 10 to 25 %. */
        assert_true(off < 0.03 * written);
        pinery_weather_free(weather);
    }
    pinery_weather_free(truth);
    struct epw epw = plain;
    epw.later_h = 6.0 / 60.0; /* small shifts are left alone */
    write_epw(&epw);
    pinery_weather *weather = read_good();
    assert_null(remark_with(weather, "moved"));
    pinery_weather_free(weather);
}

static void moving_keeps_the_energy(void **state) {
    (void)state;
    write_epw(&plain);
    struct pinery_sky_raw raw = {.path = "x", .row = "line", .weather = pinery_sky_weather_new(0)};
    raw.step_s = 3600.0;
    raw.site = (pinery_site){"", LATITUDE, LONGITUDE, 1.0, 0.0};
    assert_int_equal(pinery_sky_raw_new(&raw, 8760, &error), PINERY_OK);
    pinery_sky_raw_has(&raw, PINERY_SKY_global, "global", "W/m2", NAN);
    double beam, before = 0.0;
    for (int i = 0; i < 8760; i++) {
        raw.value[PINERY_SKY_global][i] = mean_global(i + 0.25, 1.0, LONGITUDE, 1.0, &beam);
        if (sine_of_elevation(i + 0.25, LONGITUDE, 1.0) < 0.01 && sine_of_elevation(i + 1.25, LONGITUDE, 1.0) < 0.01) {
            raw.value[PINERY_SKY_global][i] = 0.0; /* nothing where two formulas of the sun may differ */
        }
        before += raw.value[PINERY_SKY_global][i];
    }
    raw.centre_s = 1800.0 + 900.0;
    assert_int_equal(pinery_sky_shift_radiation(&raw, &error), PINERY_OK);
    assert_close(sum_of(raw.value[PINERY_SKY_global], 8760), before, 1e-12, 0.0);
    assert_true(raw.centre_s == 1800.0);
    pinery_sky_raw_free(&raw);
}

/* The sun of shift_sun.c against the textbook's. */
static void the_quick_sun_is_the_sun(void **state) {
    (void)state;
    pinery_site site = {"", LATITUDE, LONGITUDE, 1.0, 0.0};
    struct pinery_sky_track track;
    assert_int_equal(pinery_sky_track_new(&track, &site, 1.0, 0.0, 365 * 86400.0, 0, &error), PINERY_OK);
    for (int i = 0; i < 8760; i += 7) {
        double mean = 0.0, lit = 0.0, got_lit;
        for (int k = 0; k < 60; k++) {
            double sine = sine_of_elevation(i + (k + 0.5) / 60.0, LONGITUDE, 1.0);
            mean += fmax(sine, 0.0) / 60.0;
            lit += sine > 0.0 ? 60.0 : 0.0;
        }
        /* Cooper's declination is good to a degree or so, 0.02 of sine. */
        assert_close(pinery_sky_track_sine(&track, i * 3600.0, (i + 1) * 3600.0, &got_lit) / 3600.0, mean, 0.0, 0.02);
        assert_close(got_lit, lit, 0.0, 600.0);
    }
    pinery_sky_track_free(&track);
}

/* --- the plain CSV --- */

static void write_text(const char *name, const char *text) {
    make_path(name);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

#define SITE "# latitude: 52.1\n# longitude: 4.9\n# elevation: -2\n# utc offset: 1\n"
#define HEADER "time;temperature [degC];relative humidity [%];global radiation [W/m2];wind speed [m/s]\n"

static void a_station_of_five_minutes(void **state) {
    (void)state;
    write_text("s.csv", "\xEF\xBB\xBF# name: Hoge Kas\r\n" SITE "# a word\n"
                        "\"time\";temperature [\xC2\xB0"
                        "F];relative humidity [1];global radiation [J/cm2];wind speed [km/h];"
                        "pressure [mbar]\r"
                        "2021-06-01 12:05;68,0;0,50;15,0;36;1013,25\n"
                        "2021-06-01 12:10;50;0,50;18;18;1013\r\n"
                        "2021-06-01T12:15:00;;0,50;18;18;1013\n\n"
                        "2021-06-01 12:25;32;0,50;12;9;1013;;\n");
    pinery_weather *weather = read_good();
    assert_int_equal(pinery_weather_count(weather), 5);
    assert_false(pinery_weather_is_year(weather));
    assert_string_equal(pinery_weather_site(weather)->name, "Hoge Kas");
    assert_true(pinery_weather_step_s(weather) == 300.0 && pinery_weather_instant_s(weather) == 150.0);
    assert_true(pinery_weather_start_s(weather) == 151 * 86400.0 + 12 * 3600.0);
    const double *temperature = values(weather, PINERY_WEATHER_temperature);
    assert_close(temperature[0], 20.0, 0.0, 1e-12);
    assert_close(temperature[1], 10.0, 0.0, 1e-12);
    assert_close(temperature[2], 20.0 / 3.0, 1e-12, 0.0); /* 50 degF, two missing, 32 degF */
    assert_close(temperature[4], 0.0, 0.0, 1e-12);
    assert_close(values(weather, PINERY_WEATHER_global)[0], 500.0, 1e-12, 0.0); /* 15 J/cm2 in 300 s */
    assert_close(values(weather, PINERY_WEATHER_wind_speed)[0], 10.0, 1e-12, 0.0);
    assert_close(values(weather, PINERY_WEATHER_pressure)[0], 101325.0, 1e-12, 0.0);
    /* ASHRAE Fundamentals 2017, chapter 1, table 3: 2338.8 Pa saturated at 20 degC */
    assert_close(values(weather, PINERY_WEATHER_vapour_pressure)[0], 0.5 * 2338.8, 1e-3, 0.0);
    assert_int_equal(pinery_weather_filled(weather, PINERY_WEATHER_temperature), 2);
    assert_remark(weather, "line 10: 1 records are missing after it");
    assert_remark(weather, "the timing of the radiation is not checked");
    pinery_weather_free(weather);
}

static void a_station_in_utc(void **state) {
    (void)state;
    write_text("s.csv", SITE "# time: UTC\n# stamp: start\n# values: instant\n" HEADER
                             "2021-12-31 23:00;1;80;0;3\n2022-01-01 00:00;2;80;0;4\n2022-01-01 01:00;3;81;0;3\n");
    pinery_weather *weather = read_good();
    assert_true(pinery_weather_start_s(weather) == 365 * 86400.0); /* 00:00 on 1 January 2022 by the site's clock */
    assert_true(pinery_weather_instant_s(weather) == 0.0);
    pinery_weather_free(weather);
    write_text("s.csv", "# latitude: 40\n# longitude: -75\n# elevation: 0\n# utc offset: -5\n# time: UTC\n" HEADER
                        "2021-01-01 01:00;1;80;0;3\n2021-01-01 02:00;2;80;0;4\n");
    weather = read_good();
    assert_true(pinery_weather_start_s(weather) ==
                (366 - 1) * 86400.0 + 19 * 3600.0); /* 31 December 2020, a leap year */
    pinery_weather_free(weather);
    write_text("s.csv", "# latitude: 20\n# longitude: 80\n# elevation: 0\n# utc offset: 5.5\n# time: UTC\n" HEADER
                        "2021-01-02 01:00;1;80;0;3\n2021-01-02 02:00;2;80;0;4\n");
    weather = read_good();
    assert_remark(weather, "kept on the clock of UTC+6 h: UTC+5.5 h is no multiple of the step of 3600 s");
    assert_true(pinery_weather_site(weather)->utc_offset_h == 6.0);
    pinery_weather_free(weather);
}

static void stations_that_cannot_be(void **state) {
    (void)state;
#define ROWS "2021-01-01 01:00;1;80;0;3\n2021-01-01 02:00;2;80;0;4\n"
    write_text("s.csv", "# latitude: 52\n# longitude: 5\n# utc offset: 1\n" HEADER ROWS);
    assert_refused(": no line \"# elevation: ...\" above the header (line 4)");
    write_text("s.csv", SITE "# time: summer\n" HEADER ROWS);
    assert_refused(": line 5: time = \"summer\", expected UTC or local");
    write_text("s.csv", "# latitude: north\n");
    assert_refused(": line 1: \"# latitude: north\" begins no known format");
    write_text("s.csv", "# latitude: north\n" HEADER ROWS);
    assert_refused(": line 1: latitude = \"north\" is not a number, expected deg, with a decimal point");
    write_text("s.csv", SITE "time;temprature [degC]\n" ROWS);
    assert_refused(
        ": line 5: unknown column \"temprature\" (did you mean temperature?); known are time, temperature, dew point");
    write_text("s.csv", SITE "time;temperature [R]\n" ROWS);
    assert_refused(": line 5: column \"temperature\" is in [R], expected one of degC, K, degF");
    write_text("s.csv", SITE "time;temperature [K];temperature [K]\n" ROWS);
    assert_refused(": line 5: column \"temperature\" comes twice");
    write_text("s.csv", SITE HEADER "2021-01-01 01:00;1;80;0;3\n2021-01-01 01:00;2;80;0;4\n");
    assert_refused(": line 7: time = \"2021-01-01 01:00\" is not later than line 6; is it summer time?");
    write_text("s.csv", SITE HEADER "2021-01-01 01:00;1;80;0;3\n2021-02-29 02:00;2;80;0;4\n");
    assert_refused(": line 7: time = \"2021-02-29 02:00\", expected YYYY-MM-DD HH:MM");
    write_text("s.csv", SITE HEADER "2021-01-01 01:00;1;80;0;3\n2021-01-01 01:07;2;80;0;4\n");
    assert_refused(": line 6: the step is 420 s, expected a whole part of an hour from 60 to 3600 s");
    write_text("s.csv",
               SITE HEADER "2021-01-01 01:00;1;80;0;3\n2021-01-01 01:10;2;80;0;4\n2021-01-01 01:25;2;80;0;4\n");
    assert_refused(": line 8: 1500 s after the first row, expected a multiple of the step of 600 s");
    write_text("s.csv", SITE HEADER "2021-01-01 01:00;1;80;0;3\n2021-01-01 02:00;2;80;0\n");
    assert_refused(": line 7: 4 fields, expected 5 as in line 5");
    write_text("s.csv", SITE HEADER "2021-01-01 01:00;1;80;0;3\n");
    assert_refused(": 1 rows below the header in line 5, expected two or more");
    write_text("s.csv",
               SITE HEADER "2021-01-01 01:00;1;80;0;3\n2023-01-01 01:00;1;80;0;3\n2023-01-01 02:00;2;80;0;3\n");
    assert_refused(": line 8: 730.0 days after the first row, expected a year at most");
    write_text("s.csv",
               SITE "time,temperature [degC],global radiation [W/m2],wind speed [m/s]\n2021-01-01 01:00,1,0,3\n"
                    "2021-01-01 02:00,2,0,4\n");
    assert_refused(": no values of relative humidity, vapour pressure or dew point in the whole file");
    write_text("s.csv", SITE HEADER "2021-01-01 01:00;1;80;0;3\n2021-01-01 02:00;99;80;0;4\n");
    assert_refused(": line 7: temperature = 99 degC is outside -70 .. 60 degC");
}

/* A year of half hours in UTC, with PAR for global, read as the EPW of the same year is. */
static void a_station_year(void **state) {
    (void)state;
    make_path("s.csv");
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fprintf(file, "# latitude: %.1f\n# longitude: %.1f\n# elevation: 0\n# utc offset: 1\n# time: UTC\n", LATITUDE,
            LONGITUDE);
    fprintf(file, "time,temperature [degC],dew point [degC],PAR [umol/m2/s],wind speed [kn]\n");
    for (int i = 0; i < 2 * 8760; i++) {
        int month, day, minute = (i + 1) * 30; /* of the year, at the record's end */
        pinery_sky_date(false, minute * 60.0, &month, &day);
        double beam, global = mean_global(0.5 * i + 1.0, 0.5, LONGITUDE, 1.0, &beam); /* one hour ahead of UTC */
        fprintf(file, "%d-%02d-%02d %02d:%02d,%.1f,5,%.3f,4\n", minute == 525600 ? 2022 : 2021, month + 1, day,
                minute / 60 % 24, minute % 60, 12.0 + i % 3, 2.04 * global);
    }
    fclose(file);
    pinery_weather *weather = read_good();
    assert_int_equal(pinery_weather_count(weather), 17520);
    assert_true(pinery_weather_is_year(weather));
    assert_remark(weather, "no global radiation: made from PAR, 2.04 umol per joule");
    assert_remark(weather, "warning: wind speed = 4 kn there and in all records");
    assert_null(remark_with(weather, "moved"));
    for (int i = 2 * NOON_OF_JUNE; i < 2 * NOON_OF_JUNE + 8; i++) {
        double beam, global = mean_global(0.5 * i, 0.5, LONGITUDE, 1.0, &beam);
        assert_close(values(weather, PINERY_WEATHER_global)[i], global, 1e-3, 0.0);
    }
    pinery_weather_free(weather);
}

static void what_is_no_weather(void **state) {
    (void)state;
    pinery_weather *weather;
    make_path("none.epw");
    assert_int_equal(pinery_weather_read(path, &weather, &error), PINERY_IO);
    assert_null(weather);
    write_text("x.txt", "");
    assert_refused(": line 1: \"\" begins no known format, expected EPW");
    write_text("x.txt", "place,country\nAmsterdam,NL\n");
    assert_refused(": line 1: \"place,country\" begins no known format, expected EPW");
    write_text("x.json", "{\"inputs\": [1, 2,, ]}");
    assert_refused(": line 1, character 18: not JSON");
    write_text("x.json", "{\"inputs\": 3}");
    assert_refused(": JSON without outputs.tmy_hourly, expected a typical year of PVGIS");
    write_text("x.epw", "LOCATION,x,-,NLD,made,0,91,5,1,0\n");
    assert_refused(": line 1: latitude (field 7) = 91 deg is outside -90 .. 90 deg");
    write_text("x.epw", "LOCATION,x,-,NLD,made,0,51,5,1,0\nDESIGN CONDITIONS,0\n");
    assert_refused(": no DATA PERIODS line in the header of 2 lines");
}

static void months_of_a_made_year(void **state) {
    (void)state;
    struct pinery_weather *weather = pinery_sky_weather_new(8760);
    assert_non_null(weather);
    for (int i = 0; i < 8760; i++) {
        int month, day;
        pinery_sky_date(false, i * 3600.0, &month, &day);
        weather->column[PINERY_WEATHER_temperature][i] = 20.0 + month + (i % 24 == 3 ? -6.0 : i % 24 == 15 ? 6.0 : 0.0);
        weather->column[PINERY_WEATHER_vapour_pressure][i] = 1000.0;
        weather->column[PINERY_WEATHER_global][i] = month == 1 ? 100.0 : 0.0;
        weather->column[PINERY_WEATHER_diffuse][i] = 50.0;
        weather->column[PINERY_WEATHER_wind_speed][i] = 3.0;
        weather->column[PINERY_WEATHER_infrared][i] = 300.0;
    }
    struct pinery_weather_month month[12];
    pinery_weather_months(weather, month);
    assert_close(month[0].temperature, 20.0, 1e-12, 0.0);
    assert_close(month[11].temperature_min_mean, 25.0, 1e-12, 0.0);
    assert_close(month[11].temperature_max_mean, 37.0, 1e-12, 0.0);
    assert_close(month[1].global_MJ_m2, 100.0 * 28 * 0.0864, 1e-12, 0.0);
    assert_close(month[0].global_MJ_m2, 0.0, 0.0, 0.0);
    assert_close(month[3].diffuse_MJ_m2, 50.0 * 30 * 0.0864, 1e-12, 0.0);
    pinery_weather_free(weather);
}

/* --- real files --- */

static const char *real_folder(void) {
    const char *folder_named = getenv("PINERY_REAL_DATA");
#ifdef PINERY_SOURCE_DIR
    return folder_named != NULL ? folder_named : PINERY_SOURCE_DIR "/../shared";
#else
    return folder_named != NULL ? folder_named : "../shared";
#endif
}

static char real[512];

static bool real_file(const char *name) {
    snprintf(real, sizeof real, "%s/weather/%s", real_folder(), name);
    if (access(real, R_OK) != 0) {
        print_message("skipped: no %s (set PINERY_REAL_DATA to a folder of real files)\n", real);
        return false;
    }
    return true;
}

/* Read a real file; NULL when it is not there. */
static pinery_weather *read_real(const char *name) {
    pinery_weather *weather = NULL;
    if (real_file(name)) {
        pinery_status status = pinery_weather_read(real, &weather, &error);
        if (status != PINERY_OK) {
            print_error("%s\n", error.text);
        }
        assert_int_equal(status, PINERY_OK);
    }
    return weather;
}

static const char *const good_files[] = {"CAN_ON_London.AP.716230_CWEC2020.epw",
                                         "CAN_QC_Montreal-McTavish.716120_CWEC2016.epw",
                                         "DNK_MJ_Horsens.Bygholm.061020_TMYx.2003-2017.epw",
                                         "ESP_CT_Barcelona-El.Prat.AP.081810_TMYx.epw",
                                         "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw",
                                         "USA_WA_Port.Angeles-William.R.Fairchild.Intl.AP.727885_TMY3.epw",
                                         "723170TYA.CSV",
                                         "pvgis-tmy-45N-8E.csv",
                                         "pvgis-tmy-45N-8E.json",
                                         "pvgis-tmy-45N-8E.epw",
                                         "odd/NLD_Lelystad.epw",
                                         "odd/USA_IL_Chicago-OHare.Intl.AP.725300_AMY_2012_LeapYear.epw",
                                         "odd/tokyo-wrong-pressure.epw"};
enum { N_GOOD = sizeof good_files / sizeof good_files[0] };

static void real_files_are_whole_years(void **state) {
    (void)state;
    for (int f = 0; f < N_GOOD; f++) {
        pinery_weather *weather = read_real(good_files[f]);
        if (weather == NULL) {
            continue;
        }
        int n = strstr(good_files[f], "LeapYear") != NULL ? 8784 : 8760;
        assert_int_equal(pinery_weather_count(weather), n);
        assert_true(pinery_weather_is_year(weather));
        double off = 0.0;
        for (int i = 0; i < n; i++) {
            double global = values(weather, PINERY_WEATHER_global)[i],
                   diffuse = values(weather, PINERY_WEATHER_diffuse)[i];
            double beam = values(weather, PINERY_WEATHER_beam_normal)[i];
            double elevation = values(weather, PINERY_WEATHER_sun_elevation)[i];
            for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++) {
                assert_true(isfinite(values(weather, (pinery_weather_column)c)[i]));
            }
            assert_true(global >= 0.0 && diffuse >= 0.0 && diffuse <= global && beam >= 0.0);
            assert_true(elevation > 0.0 || (global == 0.0 && beam == 0.0));
            off += fabs(global - diffuse - beam * sin(fmax(elevation, 0.0) * PI / 180.0));
        }
        /* The three columns of a file hang together: the writers of these files round to watts. */
        assert_true(off < 0.06 * sum_of(values(weather, PINERY_WEATHER_global), n));
        pinery_weather_free(weather);
    }
}

static void odd_files_get_their_answer(void **state) {
    (void)state;
    pinery_weather *weather = read_real("odd/NLD_Lelystad.epw");
    if (weather != NULL) {
        assert_remark(weather, "line 8768: 70 fields, expected 35; those beyond are empty and left out (1 such rows");
        assert_remark(weather,
                      "line 4779: warning: diffuse radiation (field 16) = 114 W/m2 is above the global radiation of "
                      "103 W/m2; limited to it, there and in 9 records, by up to 47 W/m2");
        pinery_weather_free(weather);
    }
    weather = read_real("odd/tokyo-wrong-pressure.epw");
    if (weather != NULL) {
        assert_remark(weather, "line 9: warning: pressure (field 10) = 94000 Pa");
        assert_remark(weather, "warning: radiation is 30 min ahead of the sun");
        pinery_weather_free(weather);
    }
    weather = read_real("DNK_MJ_Horsens.Bygholm.061020_TMYx.2003-2017.epw");
    if (weather != NULL) {
        assert_remark(weather, "min behind the sun; moved onto its own records");
        pinery_weather_free(weather);
    }
    weather = read_real("pvgis-tmy-45N-8E.epw");
    if (weather != NULL) {
        assert_remark(weather, "times are read as UTC, as the sun says, and put on the header's UTC+1 h");
        pinery_weather_free(weather);
    }
    if (real_file("odd/multiyear.epw")) {
        snprintf(path, sizeof path, "%.*s", (int)sizeof path - 1, real);
        assert_int_equal(pinery_weather_read(real, &weather, &error), PINERY_BAD_FILE);
        assert_non_null(strstr(
            error.text, "odd/multiyear.epw: line 24: not a year: 16 rows of data (line 9 to 24), expected 8760"));
    }
}

static void three_formats_of_one_year_agree(void **state) {
    (void)state;
    pinery_weather *csv = read_real("pvgis-tmy-45N-8E.csv"), *json = read_real("pvgis-tmy-45N-8E.json"),
                   *epw = read_real("pvgis-tmy-45N-8E.epw");
    if (csv != NULL && json != NULL && epw != NULL) {
        assert_true(pinery_weather_checksum(csv) == pinery_weather_checksum(json));
        struct pinery_weather_month a[12], b[12];
        pinery_weather_months(csv, a);
        pinery_weather_months(epw, b);
        for (int m = 0; m < 12; m++) {
            assert_close(b[m].temperature, a[m].temperature, 1e-9, 1e-9);
            assert_close(b[m].relative_humidity, a[m].relative_humidity, 1e-9, 0.0);
            assert_close(b[m].global_MJ_m2, a[m].global_MJ_m2, 1e-6, 0.0);
            assert_close(b[m].diffuse_MJ_m2, a[m].diffuse_MJ_m2, 1e-6, 0.0);
            assert_close(b[m].infrared, a[m].infrared, 1e-9, 0.0);
            assert_close(b[m].wind, a[m].wind, 0.0, 0.01); /* the EPW has one digit, the others two */
        }
    }
    pinery_weather_free(csv);
    pinery_weather_free(json);
    pinery_weather_free(epw);
}

/* Whatever is done to a file, reading it ends in a weather or in an error with a text. */
static void damaged_files_never_crash(void **state) {
    (void)state;
    uint32_t seed = 12345;
    for (int f = 0; f < N_GOOD; f++) {
        if (!real_file(good_files[f])) {
            continue;
        }
        FILE *file = fopen(real, "rb");
        assert_non_null(file);
        char *bytes = malloc(1 << 22), *copy = malloc(1 << 22);
        assert_true(bytes != NULL && copy != NULL);
        size_t size = fread(bytes, 1, 1 << 22, file);
        fclose(file);
        for (int trial = 0; trial < 12; trial++) {
            size_t length = size;
            memcpy(copy, bytes, size);
            seed = seed * 1664525u + 1013904223u;
            if (trial % 3 == 0) {
                length = (size_t)((double)seed / 4294967296.0 * (double)size);
            } else {
                for (int k = 0; k < (trial % 3 == 1 ? 1 : 40); k++) {
                    seed = seed * 1664525u + 1013904223u;
                    size_t at = (size_t)((double)seed / 4294967296.0 * (double)(trial % 2 ? size : 3000));
                    seed = seed * 1664525u + 1013904223u;
                    const char mark = ",;\"\n-9.#"[seed >> 29], bit = (char)(1u << (seed >> 29 & 6));
                    copy[at] = (char)(trial % 3 == 1 ? copy[at] ^ bit : mark);
                }
            }
            make_path("damaged");
            file = fopen(path, "wb");
            assert_non_null(file);
            fwrite(copy, 1, length, file);
            fclose(file);
            pinery_weather *weather;
            pinery_status status = pinery_weather_read(path, &weather, &error);
            assert_true((status == PINERY_OK) == (weather != NULL));
            assert_true((status == PINERY_OK) == (error.text[0] == '\0'));
            pinery_weather_free(weather);
        }
        free(bytes);
        free(copy);
    }
}

static int make_folder(void **state) {
    (void)state;
    return mkdtemp(folder) == NULL;
}

static int remove_folder(void **state) {
    (void)state;
    static const char *const names[] = {"a.epw", "s.csv", "x.txt", "x.json", "x.epw", "damaged"};
    for (size_t k = 0; k < sizeof names / sizeof names[0]; k++) {
        make_path(names[k]);
        remove(path);
    }
    return rmdir(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plain_year),
        cmocka_unit_test(mixed_line_ends_change_nothing),
        cmocka_unit_test(the_minute_field_is_not_read),
        cmocka_unit_test(a_leap_year),
        cmocka_unit_test(short_gaps_are_straight),
        cmocka_unit_test(long_gaps_follow_the_neighbouring_days),
        cmocka_unit_test(a_year_goes_round),
        cmocka_unit_test(radiation_gaps_keep_the_path_of_the_sun),
        cmocka_unit_test(missing_columns_are_derived),
        cmocka_unit_test(faults_are_named),
        cmocka_unit_test(sites_that_cannot_be),
        cmocka_unit_test(doubts_are_remarked_upon),
        cmocka_unit_test(shifted_radiation_is_found_and_moved),
        cmocka_unit_test(moving_keeps_the_energy),
        cmocka_unit_test(the_quick_sun_is_the_sun),
        cmocka_unit_test(a_station_of_five_minutes),
        cmocka_unit_test(a_station_in_utc),
        cmocka_unit_test(stations_that_cannot_be),
        cmocka_unit_test(a_station_year),
        cmocka_unit_test(what_is_no_weather),
        cmocka_unit_test(months_of_a_made_year),
        cmocka_unit_test(real_files_are_whole_years),
        cmocka_unit_test(odd_files_get_their_answer),
        cmocka_unit_test(three_formats_of_one_year_agree),
        cmocka_unit_test(damaged_files_never_crash),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
