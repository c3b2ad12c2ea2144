/* Typical years made from normals: against the normals, against physics, and against real typical years of the same
 * places.
 *
 * The real years are EPW files in PINERY_REAL_DATA/weather; the part that needs them is skipped, and says so, without.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "air/psychro.h"
#include "base/text.h"
#include "check.h"
#include "sky/generate.h"
#include "sky/sun.h"

#define NORMALS PINERY_SOURCE_DIR "/weather/normals.csv"
#define HOURS PINERY_SKY_HOURS
#define DAYS PINERY_SKY_DAYS

static const char *const places[] = {"Amsterdam", "Billund",         "Berlin",    "Stockholm Arlanda",
                                     "Helsinki",  "London ON",       "Montreal",  "Chicago",
                                     "Denver",    "Port Angeles WA", "Barcelona", "Tokyo Hyakuri"};
#define N_PLACES (int)(sizeof places / sizeof *places)

static pinery_weather *made(const char *place, unsigned seed) {
    pinery_weather *weather;
    pinery_error error;
    if (pinery_weather_generate(NORMALS, place, seed, &weather, &error) != PINERY_OK) {
        print_error("%s\n", error.text);
        fail();
    }
    return weather;
}

#define VALUES(weather, key) pinery_weather_values(weather, PINERY_WEATHER_##key)

/* --- statistics --- */

static void daily(const double *hourly, double mean[DAYS], double low[DAYS], double high[DAYS]) {
    for (int d = 0; d < DAYS; d++) {
        mean[d] = 0;
        low[d] = INFINITY;
        high[d] = -INFINITY;
        for (int i = 24 * d; i < 24 * (d + 1); i++) {
            mean[d] += hourly[i] / 24.0;
            low[d] = fmin(low[d], hourly[i]);
            high[d] = fmax(high[d], hourly[i]);
        }
    }
}

static double mean_of(const double *x, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += x[i];
    return sum / n;
}

static double correlation(const double *x, const double *y, int n) {
    double mx = mean_of(x, n), my = mean_of(y, n), xx = 0, yy = 0, xy = 0;
    for (int i = 0; i < n; i++) {
        xx += (x[i] - mx) * (x[i] - mx);
        yy += (y[i] - my) * (y[i] - my);
        xy += (x[i] - mx) * (y[i] - my);
    }
    return xy / sqrt(xx * yy);
}

static double spread_of(const double *x, int n) {
    double mean = mean_of(x, n), squares = 0;
    for (int i = 0; i < n; i++)
        squares += (x[i] - mean) * (x[i] - mean);
    return sqrt(squares / n);
}

/* Mean over the months of the correlation of daily means with those of the day before. */
static double persistence_of(const double *hourly) {
    double mean[DAYS], low[DAYS], high[DAYS], sum = 0;
    daily(hourly, mean, low, high);
    for (int m = 0; m < 12; m++) {
        int from = pinery_sky_first_day(m), n = pinery_sky_first_day(m + 1) - from;
        sum += correlation(mean + from, mean + from + 1, n - 1) / 12.0;
    }
    return sum;
}

static int ascending(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double quantile(const double *x, double share) {
    double *sorted = malloc(HOURS * sizeof *sorted);
    assert_non_null(sorted);
    memcpy(sorted, x, HOURS * sizeof *sorted);
    qsort(sorted, HOURS, sizeof *sorted, ascending);
    double value = sorted[(int)(share * (HOURS - 1))];
    free(sorted);
    return value;
}

/* --- against the normals --- */

static void months_are_those_of_the_normals(void **state) {
    (void)state;
    for (int p = 0; p < N_PLACES; p++)
        for (unsigned seed = 1; seed <= 3; seed++) {
            struct pinery_sky_normals normals;
            pinery_error error;
            assert_int_equal(pinery_sky_normals_read(NORMALS, places[p], &normals, &error), PINERY_OK);
            pinery_weather *weather = made(places[p], seed);
            double mean[DAYS], low[DAYS], high[DAYS], got[PINERY_WEATHER_N_COLUMNS][12], lows = 0, highs = 0;
            daily(VALUES(weather, temperature), mean, low, high);
            for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++)
                pinery_sky_means_of_months(pinery_weather_values(weather, (pinery_weather_column)c), got[c]);
            for (int m = 0; m < 12; m++) {
#define GOT(key) got[PINERY_WEATHER_##key][m]
#define WANT(key) normals.month[PINERY_SKY_NORMAL_##key][m]
                int from = pinery_sky_first_day(m), n = pinery_sky_first_day(m + 1) - from;
                assert_close(GOT(temperature), WANT(temperature), 0, 0.05);
                assert_close(GOT(vapour_pressure), WANT(vapour_pressure), 0, 25.0); /* 0.25 hPa */
                assert_close(GOT(global) * 0.024, WANT(global), 0.005, 0);
                assert_close(GOT(diffuse) * 0.024, WANT(diffuse), 0.02, 0);
                assert_close(GOT(wind_speed), WANT(wind), 0.01, 0);
                assert_close(GOT(infrared), WANT(infrared), 0, 0.5);
                assert_close(GOT(pressure), WANT(pressure), 1e-4, 0);
                assert_close(spread_of(mean + from, n), WANT(daily_sd), 0.1, 0.1);
                /* single months are sharper than the smooth course allows; the means over the year are not */
                assert_close(mean_of(low + from, n), WANT(daily_min), 0, 1.5);
                assert_close(mean_of(high + from, n), WANT(daily_max), 0, 1.5);
                lows += (mean_of(low + from, n) - WANT(daily_min)) / 12;
                highs += (mean_of(high + from, n) - WANT(daily_max)) / 12;
#undef GOT
#undef WANT
            }
            assert_close(lows, 0, 0, 0.4);
            assert_close(highs, 0, 0, 0.4);
            pinery_weather_free(weather);
        }
}

static void days_persist_as_the_normals_say(void **state) {
    (void)state;
    double got = 0, want = 0;
    for (int p = 0; p < N_PLACES; p++) {
        struct pinery_sky_normals normals;
        pinery_error error;
        assert_int_equal(pinery_sky_normals_read(NORMALS, places[p], &normals, &error), PINERY_OK);
        want += mean_of(normals.month[PINERY_SKY_NORMAL_persistence], 12) / N_PLACES;
        for (unsigned seed = 11; seed < 16; seed++) {
            pinery_weather *weather = made(places[p], seed);
            got += persistence_of(VALUES(weather, temperature)) / (5.0 * N_PLACES);
            pinery_weather_free(weather);
        }
    }
    print_message("persistence of daily means: %.3f, normals %.3f\n", got, want);
    assert_close(got, want, 0, 0.05);
}

/* --- against physics --- */

static void hours_obey_physics(void **state) {
    (void)state;
    for (int p = 0; p < N_PLACES; p++) {
        pinery_weather *weather = made(places[p], 7);
        const pinery_site *site = pinery_weather_site(weather);
        assert_int_equal(pinery_weather_count(weather), HOURS);
        assert_true(pinery_weather_is_year(weather));
        for (int i = 0; i < HOURS; i++) {
            double t = VALUES(weather, temperature)[i], e = VALUES(weather, vapour_pressure)[i];
            double global = VALUES(weather, global)[i], diffuse = VALUES(weather, diffuse)[i];
            double beam = VALUES(weather, beam_normal)[i], infrared = VALUES(weather, infrared)[i];
            double elevation, azimuth, sine, normal = pinery_sky_extraterrestrial_normal(3600.0 * i + 1800.0);
            bool sunlit = pinery_sky_sun_mean(site->latitude_deg, site->longitude_deg, site->utc_offset_h, 3600.0 * i,
                                              3600, 0, &elevation, &azimuth, &sine);
            assert_true(e > 0 && e <= pinery_air_saturation_pressure(t));
            assert_close(beam * sine + diffuse, global, 1e-9, 1e-9);
            assert_true(global >= 0 && diffuse >= 0 && beam >= 0 && beam < normal);
            assert_true(sunlit ? global < normal * sine : global == 0);
            double kelvin = t + 273.15, black = 5.670374419e-8 * kelvin * kelvin * kelvin * kelvin;
            assert_true(infrared > 0.5 * black && infrared < 1.02 * black);
            assert_between(VALUES(weather, wind_speed)[i], 0, 45);
            assert_between(VALUES(weather, wind_direction)[i], 0, 360);
            assert_close(VALUES(weather, sun_elevation)[i], elevation, 0, 1e-9);
            /* no jump between hours, at midnight, at the ends of months or at the end of the year */
            assert_close(t, VALUES(weather, temperature)[(i + 1) % HOURS], 0, 8.0);
        }
        pinery_weather_free(weather);
    }
}

static void clear_days_are_dry_and_swing(void **state) {
    (void)state;
    pinery_weather *weather = made("Amsterdam", 5);
    double mean[DAYS], low[DAYS], high[DAYS], sun[DAYS], ignored[DAYS], above[DAYS], humidity[DAYS], swing[DAYS];
    double hourly[HOURS];
    daily(VALUES(weather, temperature), mean, low, high);
    daily(VALUES(weather, global), sun, ignored, above);
    for (int i = 0; i < HOURS; i++)
        hourly[i] = pinery_air_relative_humidity(VALUES(weather, temperature)[i], VALUES(weather, vapour_pressure)[i]);
    daily(hourly, humidity, ignored, above);
    for (int d = 0; d < DAYS; d++)
        swing[d] = high[d] - low[d];
    /* May to July; the real years show -0.5 to -0.9 and 0.3 to 0.9 */
    assert_between(correlation(sun + 120, humidity + 120, 92), -0.95, -0.3);
    assert_between(correlation(sun + 120, swing + 120, 92), 0.3, 0.95);
    /* the wind's maximum is in the afternoon */
    double night = 0, noon = 0;
    for (int d = 0; d < DAYS; d++) {
        night += VALUES(weather, wind_speed)[24 * d + 3];
        noon += VALUES(weather, wind_speed)[24 * d + 14];
    }
    assert_true(noon > 1.2 * night);
    /* Rayleigh: spread over mean is 0.52, the course of the day and the seasons add to it; neighbouring hours are alike
     */
    const double *wind = VALUES(weather, wind_speed);
    assert_between(spread_of(wind, HOURS) / mean_of(wind, HOURS), 0.5, 0.75);
    assert_between(correlation(wind, wind + 1, HOURS - 1), 0.8, 0.95);
    pinery_weather_free(weather);
}

static void seed_decides_everything(void **state) {
    (void)state;
    pinery_weather *one = made("Berlin", 3), *same = made("Berlin", 3), *other = made("Berlin", 4);
    assert_true(pinery_weather_checksum(one) == pinery_weather_checksum(same));
    assert_true(pinery_weather_checksum(one) != pinery_weather_checksum(other));
    for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++)
        assert_memory_equal(pinery_weather_values(one, (pinery_weather_column)c),
                            pinery_weather_values(same, (pinery_weather_column)c), HOURS * sizeof(double));
    assert_string_equal(pinery_weather_source(one), "typical year of Berlin, seed 3");
    assert_true(pinery_weather_remark_count(one) >= 2);
    pinery_weather_free(one);
    pinery_weather_free(same);
    pinery_weather_free(other);
}

/* --- the parts --- */

static void curves_keep_their_means(void **state) {
    (void)state;
    static double hourly[HOURS], days[DAYS], got_days[DAYS];
    double months[12] = {-5, -3, 1, 8, 14, 19, 21, 20, 17, 10, 5, -1}, got[12];
    pinery_sky_spread_months(months, hourly);
    pinery_sky_means_of_months(hourly, got);
    for (int m = 0; m < 12; m++)
        assert_close(got[m], months[m], 0, 1e-10);
    for (int i = 0; i < HOURS; i++)
        assert_close(hourly[i], hourly[(i + 1) % HOURS], 0, 0.05);
    for (int d = 0; d < DAYS; d++)
        days[d] = 10 * sin(d * 0.9) + d % 7;
    pinery_sky_spread_days(days, hourly);
    pinery_sky_means_of_days(hourly, got_days);
    for (int d = 0; d < DAYS; d++)
        assert_close(got_days[d], days[d], 0, 1e-10);
}

static void random_numbers_are_normal(void **state) {
    (void)state;
    struct pinery_sky_random random, again;
    pinery_sky_random_seed(&random, 42, 1);
    pinery_sky_random_seed(&again, 42, 1);
    static double x[HOURS];
    double mean = 0, squares = 0, fourth = 0;
    int n = 200000, below = 0;
    for (int i = 0; i < n; i++) {
        double z = pinery_sky_random_normal(&random);
        mean += z / n;
        squares += z * z / n;
        fourth += z * z * z * z / n;
        below += z < -1.959964;
    }
    assert_close(mean, 0, 0, 0.01);
    assert_close(squares, 1, 0, 0.02);
    assert_close(fourth, 3, 0, 0.1);
    assert_close(below, 0.025 * n, 0.05, 0);
    assert_close(pinery_sky_normal_share(-1.959964), 0.025, 1e-5, 0);
    pinery_sky_persistent_even(&again, HOURS, 0.7, x);
    assert_close(spread_of(x, HOURS), 1, 0, 0.06);
    assert_close(correlation(x, x + 1, HOURS - 1), 0.7, 0, 0.03);
}

static void refuse(const char *text, const char *place, const char *fault) {
    char path[] = "/tmp/pinery_normals_XXXXXX";
    int file = mkstemp(path);
    assert_true(file >= 0);
    FILE *stream = fdopen(file, "w");
    assert_non_null(stream);
    fputs(text, stream);
    fclose(stream);
    pinery_weather *weather = (pinery_weather *)path;
    pinery_error error;
    pinery_status status = pinery_weather_generate(path, place, 1, &weather, &error);
    remove(path);
    assert_int_not_equal(status, PINERY_OK);
    assert_int_equal(error.status, status);
    assert_null(weather);
    if (!strstr(error.text, fault)) {
        print_error("'%s' does not say '%s'\n", error.text, fault);
        fail();
    }
}

static void faults_are_named(void **state) {
    (void)state;
    struct pinery_base_text text;
    pinery_error error;
    pinery_weather *weather;
    assert_int_equal(pinery_weather_generate(NORMALS, "Atlantis", 1, &weather, &error), PINERY_BAD_INPUT);
    assert_non_null(strstr(error.text, "Atlantis"));
    assert_non_null(strstr(error.text, "'Tokyo Hyakuri'"));
    assert_int_equal(pinery_weather_generate("/no/such/file.csv", "Berlin", 1, &weather, &error), PINERY_IO);
    assert_int_equal(pinery_weather_generate("/no/such/file.csv", "Berlin", 1, &weather, NULL), PINERY_IO);

    assert_int_equal(pinery_base_text_read(NORMALS, &text, &error), PINERY_OK);
    const char *head = text.line[1], *january = text.line[2];
    assert_int_equal(strncmp(january, "Amsterdam,NL,52.3,4.77,1.0,-2.0,1,4.2,6.4,1.8,", 46), 0);
    char file[4096];
    snprintf(file, sizeof file, "%s\n%s\n", head, january);
    refuse(file, "Amsterdam", "no row for month 2");
    snprintf(file, sizeof file, "%s\n%s\n%s\n", head, january, january);
    refuse(file, "Amsterdam", ":3: month 1 of Amsterdam is there twice");
    snprintf(file, sizeof file, "%s\nAmsterdam,NL,52.3,4.77,1.0,-2.0,13%s\n", head, january + 33);
    refuse(file, "amsterdam", ":2: month is '13'");
    snprintf(file, sizeof file, "%s\nAmsterdam,NL,152.3%s\n", head, january + 17);
    refuse(file, "Amsterdam", ":2: latitude [deg] is '152.3'; want a number -90 .. 90");
    snprintf(file, sizeof file, "%s\nAmsterdam,NL,52.3,4.77,1.0,-2.0,1,mild%s\n", head, january + 37);
    refuse(file, "Amsterdam", ":2: temperature [degC] is 'mild'");
    snprintf(file, sizeof file, "%s\nAmsterdam,NL,52.3,4.77,1.0,-2.0,1,9.9%s\n", head, january + 37);
    refuse(file, "Amsterdam", ":2: temperature is 9.9 degC; want it between");
    snprintf(file, sizeof file, "%s\nAmsterdam,NL,52.3\n", head);
    refuse(file, "Amsterdam", ":2: the row has 3 fields");
    refuse("place,month\nAmsterdam,1\n", "Amsterdam", ":1: the heading");
    refuse("", "Amsterdam", "no place 'Amsterdam'");
    /* too much sun for the place */
    char *at = file;
    at += snprintf(at, sizeof file, "%s\n", head);
    for (int m = 1; m <= 12; m++)
        at += snprintf(at, (size_t)(file + sizeof file - at),
                       "Nowhere,NL,52.3,4.77,1.0,-2.0,%d,4.2,6.4,1.8,3.1,0.7,7.36,4.0,0.3,0.46,7.5,288.0,101.2\n", m);
    refuse(file, "Nowhere", "daily global radiation of Nowhere in month 1 is 4 kWh/m2");
    pinery_base_text_free(&text);
}

/* --- against real years --- */

struct real {
    double temperature[HOURS], vapour_pressure[HOURS], global[HOURS], wind[HOURS];
};

/* The columns of an EPW needed here: fields 7, 8, 14, 22 of its 8760 rows. */
static bool read_real(const char *path, struct real *real) {
    struct pinery_base_text text;
    pinery_error error;
    if (pinery_base_text_read(path, &text, &error) != PINERY_OK)
        return false;
    int n = 0;
    for (int i = 8; i < text.n && n < HOURS; i++) {
        char *field[40];
        double dew;
        if (pinery_base_split(text.line[i], ',', field, 40) < 22)
            continue;
        if (!pinery_base_number(field[6], &real->temperature[n]) || !pinery_base_number(field[7], &dew) ||
            !pinery_base_number(field[13], &real->global[n]) || !pinery_base_number(field[21], &real->wind[n]))
            break;
        real->vapour_pressure[n++] = pinery_air_saturation_water(dew);
    }
    pinery_base_text_free(&text);
    return n == HOURS;
}

static void made_years_are_like_real_ones(void **state) {
    (void)state;
    static const struct {
        const char *place, *file;
    } pairs[] = {
        {"London ON", "CAN_ON_London.AP.716230_CWEC2020.epw"},
        {"Montreal", "CAN_QC_Montreal-McTavish.716120_CWEC2016.epw"},
        {"Chicago", "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw"},
        {"Port Angeles WA", "USA_WA_Port.Angeles-William.R.Fairchild.Intl.AP.727885_TMY3.epw"},
        {"Barcelona", "ESP_CT_Barcelona-El.Prat.AP.081810_TMYx.epw"},
    };
    static struct real real;
    int seen = 0;
    const char *folder = getenv("PINERY_REAL_DATA");
    for (size_t p = 0; p < sizeof pairs / sizeof *pairs; p++) {
        char path[1024];
        snprintf(path, sizeof path, "%s/weather/%s", folder ? folder : PINERY_SOURCE_DIR "/../shared", pairs[p].file);
        if (!read_real(path, &real)) {
            print_message("SKIPPED: no %s\n", path);
            continue;
        }
        seen++;
        pinery_weather *weather = made(pairs[p].place, 1);
        const double *t = VALUES(weather, temperature), *e = VALUES(weather, vapour_pressure);
        const double *global = VALUES(weather, global);
        double got[12], want[12];
        pinery_sky_means_of_months(t, got);
        pinery_sky_means_of_months(real.temperature, want);
        for (int m = 0; m < 12; m++)
            assert_close(got[m], want[m], 0, 0.3);
        pinery_sky_means_of_months(e, got);
        pinery_sky_means_of_months(real.vapour_pressure, want);
        for (int m = 0; m < 12; m++)
            assert_close(got[m], want[m], 0, 50.0);
        pinery_sky_means_of_months(global, got);
        pinery_sky_means_of_months(real.global, want);
        for (int m = 0; m < 12; m++)
            assert_close(got[m], want[m], 0.05, 0);
        static const double shares[] = {0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99};
        for (size_t s = 0; s < sizeof shares / sizeof *shares; s++)
            assert_close(quantile(t, shares[s]), quantile(real.temperature, shares[s]), 0, 2.0);
        double below = 0, below_real = 0; /* degree hours below 18 degC: what heating sees */
        for (int i = 0; i < HOURS; i++) {
            below += fmax(0, 18 - t[i]);
            below_real += fmax(0, 18 - real.temperature[i]);
        }
        assert_close(below, below_real, 0.03, 0);
        double lag = persistence_of(t), lag_real = persistence_of(real.temperature);
        print_message("%-16s degree hours %.0f of %.0f, persistence %.2f of %.2f\n", pairs[p].place, below, below_real,
                      lag, lag_real);
        assert_close(lag, lag_real, 0, 0.2);
        /* wind: the months' means, how it is spread, and how long it lasts; no law of one shape fits every station */
        const double *wind = VALUES(weather, wind_speed);
        pinery_sky_means_of_months(wind, got);
        pinery_sky_means_of_months(real.wind, want);
        for (int m = 0; m < 12; m++)
            assert_close(got[m], want[m], 0.05, 0);
        for (double share = 0.25; share < 0.8; share += 0.25)
            assert_close(quantile(wind, share), quantile(real.wind, share), 0, 0.6);
        assert_close(quantile(wind, 0.95), quantile(real.wind, 0.95), 0, 1.0);
        assert_close(correlation(wind, wind + 1, HOURS - 1), correlation(real.wind, real.wind + 1, HOURS - 1), 0, 0.2);
        /* relative humidity, over water as stations state it, from the driest twentieth to the dampest */
        static double humid[HOURS], humid_real[HOURS];
        for (int i = 0; i < HOURS; i++) {
            humid[i] = 100 * e[i] / pinery_air_saturation_water(t[i]);
            humid_real[i] = 100 * real.vapour_pressure[i] / pinery_air_saturation_water(real.temperature[i]);
        }
        for (size_t s = 1; s < 6; s++)
            assert_close(quantile(humid, shares[s]), quantile(humid_real, shares[s]), 0, shares[s] < 0.1 ? 9.0 : 5.0);
        /* radiation by the hour of the day over the year: some files are shifted by up to half an hour */
        double by_hour[24] = {0}, by_hour_real[24] = {0}, peak = 0;
        for (int i = 0; i < HOURS; i++) {
            by_hour[i % 24] += global[i] / DAYS;
            by_hour_real[i % 24] += real.global[i] / DAYS;
        }
        for (int h = 0; h < 24; h++)
            peak = fmax(peak, by_hour_real[h]);
        for (int h = 0; h < 24; h++)
            assert_close(by_hour[h], by_hour_real[h], 0, 0.1 * peak);
        pinery_weather_free(weather);
    }
    if (seen == 0)
        skip();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(months_are_those_of_the_normals),
        cmocka_unit_test(days_persist_as_the_normals_say),
        cmocka_unit_test(hours_obey_physics),
        cmocka_unit_test(clear_days_are_dry_and_swing),
        cmocka_unit_test(seed_decides_everything),
        cmocka_unit_test(curves_keep_their_means),
        cmocka_unit_test(random_numbers_are_normal),
        cmocka_unit_test(faults_are_named),
        cmocka_unit_test(made_years_are_like_real_ones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
