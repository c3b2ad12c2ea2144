/* Exposure to damp: hours and longest runs counted on paper, and the humidity of a colder place against the formula of
 * the WMO guide (Guide to Instruments and Methods of Observation, WMO-No. 8, annex 4.B: e_w = 6.112 hPa
 * exp(17.62 t / (243.12 + t))), which is not the one the library uses. */
#include <string.h>

#include "air/psychro.h"
#include "ledger/ledger.h"
#include "year_case.h"

#define READ(key) PINERY_READING_##key

enum { HOURS = 48 };

/* Two days of hourly ticks. A reading holds over an hour when both its ends have it, so ticks are set in pairs of hours
 * here: tick i is the end of hour i-1 and the start of hour i, and an hour counts with the mean of both. */
static pinery_ledger *two_days(void (*set)(double *reading, int tick)) {
    struct pinery_ledger_setup setup = {.interval_s = 3600.0, .intervals = HOURS, .heating_value = 31.65e6};
    pinery_ledger *ledger;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, NULL), PINERY_OK);
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    tick.reading[READ(leaf_area)] = 3.0;
    for (int i = 0; i <= HOURS; i++) {
        tick.time_s = 3600.0 * i;
        tick.meter[PINERY_METER_light_sun] = 0.25 * i;
        set(tick.reading, i);
        pinery_ledger_tick(ledger, &tick);
    }
    pinery_ledger_finish(ledger);
    return ledger;
}

/* Damp nights: ticks 0..6 and 24..34 are damp, the others dry; the hours between two damp ticks are 6 and 10, and the
 * three hours with one damp end (6-7, 23-24, 34-35) count with the mean of damp and dry. */
static bool is_damp(int i) {
    return i <= 6 || (i >= 24 && i <= 34);
}

static void nights(double *r, int i) {
    r[READ(humidity_lower)] = is_damp(i) ? 91.0 : 60.0; /* mean 75.5 at the edges */
    r[READ(humidity_upper)] = is_damp(i) ? 86.0 : 70.0; /* mean 78 */
    r[READ(humidity_sensor)] = is_damp(i) ? 88.5 : 65.0;
    r[READ(humidity_colder_1)] = is_damp(i) ? 96.0 : 75.0;     /* mean 85.5: over 85 at the edges */
    r[READ(humidity_colder_2)] = is_damp(i) ? 102.0 : 79.0;    /* mean 90.5 */
    r[READ(humidity_colder_3)] = is_damp(i) ? 108.0 : 84.5;    /* mean 96.25 */
    r[READ(crop_wetness)] = i >= 24 && i <= 31 ? 0.0025 : 0.0; /* mean 1.25 g/m2 at the edges 23-24 and 31-32 */
    r[READ(cloth_2)] = i <= 28 ? 1.0 : 0.0;                    /* drawn to 28; over 28-29 it is half drawn, not more */
    r[READ(dew_margin)] = i < 12 ? -0.5 : 3.0;                 /* 1.25 over 11-12 */
    r[READ(dew_margin_air)] = 1.0 + 0.1 * i;
    r[READ(end_to_end)] = i < 10 ? 2.0 : 0.5; /* 1.25 over 9-10 */
    r[READ(air_lower)] = 18.0;
    r[READ(air_upper)] = i < 5 ? 20.0 : i < 20 ? 18.0 : 16.0; /* 1 apart over 4-5 and 19-20 */
}

static void hours_and_runs(void **state) {
    (void)state;
    pinery_ledger *ledger = two_days(nights);
#define RESULT(key) pinery_ledger_result(ledger, PINERY_RESULT_##key)
#define HOURS_ARE(key, hours, longest)                                \
    do {                                                              \
        assert_close(RESULT(hours_##key), hours, 1e-12, 0.0);         \
        assert_close(RESULT(longest_##key##_h), longest, 1e-12, 0.0); \
    } while (0)
    HOURS_ARE(humidity_over_85, 16.0, 10.0); /* the lower air, 91 % */
    HOURS_ARE(humidity_over_90, 16.0, 10.0);
    HOURS_ARE(humidity_over_95, 0.0, 0.0);
    HOURS_ARE(humidity_over_100, 0.0, 0.0);
    HOURS_ARE(sensor_over_85, 16.0, 10.0);
    HOURS_ARE(sensor_over_90, 0.0, 0.0);
    HOURS_ARE(colder_1_over_85, 19.0, 12.0); /* 23 to 35 */
    HOURS_ARE(colder_1_over_90, 16.0, 10.0);
    HOURS_ARE(colder_1_over_95, 16.0, 10.0);
    HOURS_ARE(colder_1_over_100, 0.0, 0.0);
    HOURS_ARE(colder_2_over_90, 19.0, 12.0);
    HOURS_ARE(colder_2_over_95, 16.0, 10.0);
    HOURS_ARE(colder_2_over_100, 16.0, 10.0);
    HOURS_ARE(colder_3_over_95, 19.0, 12.0);
    HOURS_ARE(colder_3_over_100, 16.0, 10.0);
    HOURS_ARE(under_cloth_over_90, 10.0, 6.0);             /* 0-6 and 24-28 */
    assert_close(RESULT(hours_crop_wet), 9.0, 1e-12, 0.0); /* 23 to 32 */
    assert_close(RESULT(longest_crop_wet_h), 9.0, 1e-12, 0.0);
    assert_close(RESULT(hours_dew_margin_under_0), 11.0, 1e-12, 0.0);
    assert_close(RESULT(hours_dew_margin_under_1), 11.0, 1e-12, 0.0);
    assert_close(RESULT(dew_margin_p5_K), -0.5, 0.0, 0.011);
    /* Means of hours are 1.05, 1.15, ...; 5 % of 48 h is 2.4 h, so the third. */
    assert_close(RESULT(dew_margin_air_p5_K), 1.25, 0.0, 0.011);
    assert_close(RESULT(hours_end_to_end_over_1_5), 9.0, 1e-12, 0.0);
    assert_close(RESULT(hours_vertical_over_1_5), 4.0 + 28.0, 1e-12, 0.0); /* 0-4 and 20-48 */
    assert_close(RESULT(light_day_mol_per_m2), 6.0, 1e-12, 0.0);           /* 12 mol in two days */
    pinery_ledger_free(ledger);
}

static double magnus(double t) {
    return 611.2 * exp(17.62 * t / (243.12 + t));
}

static double magnus_dew_point(double e) {
    double x = log(e / 611.2);
    return 243.12 * x / (17.62 - x);
}

/* A house on a January morning: what is read of colder places follows from the temperatures and humidities of the air.
 */
static void a_colder_place_is_damper(void **state) {
    (void)state;
    pinery_weather *weather = year_weather("Montreal");
    pinery_house house = year_house_plain();
    pinery_strategy strategy;
    pinery_options options;
    pinery_error error;
    pinery_run *run;
    pinery_strategy_default(&strategy);
    pinery_options_default(&options);
    options.days = 0.5;
    options.spin_up = 1.0;
    if (pinery_run_create(weather, &house, &strategy, &options, &run, &error)) {
        fail_msg("%s", error.text);
    }
    assert_int_equal(pinery_run_all(run, &error), PINERY_OK);
    const double *r = pinery_run_seen(run)->reading;
    double lower = 0.01 * r[READ(humidity_lower)] * magnus(r[READ(air_lower)]);
    double upper = 0.01 * r[READ(humidity_upper)] * magnus(r[READ(air_upper)]);
    for (int k = 1; k <= 3; k++) {
        double want = 100.0 * fmax(lower / magnus(r[READ(air_lower)] - k), upper / magnus(r[READ(air_upper)] - k));
        assert_close(r[READ(humidity_colder_1) + k - 1], want, 1e-3,
                     0.0); /* a kelvin is 6 %; the formulas differ by 0.03 % */
        assert_true(want > fmax(r[READ(humidity_lower)], r[READ(humidity_upper)]) + 3.0);
    }
    double margin = fmin(r[READ(air_lower)] - magnus_dew_point(lower), r[READ(air_upper)] - magnus_dew_point(upper));
    assert_close(r[READ(dew_margin_air)], margin, 0.0, 0.02);
    double dew[2];
    for (int i = 0; i < 2; i++) { /* by Hyland and Wexler's own formula */
        double air = r[i ? READ(air_upper) : READ(air_lower)],
               humidity = r[i ? READ(humidity_upper) : READ(humidity_lower)];
        dew[i] = air - pinery_air_dew_point(0.01 * humidity * pinery_air_saturation_pressure(air));
    }
    assert_close(r[READ(dew_margin_air)], fmin(dew[0], dew[1]), 0.0, 2e-4);
    double sensor = 50.0 * (lower + upper) / magnus(0.5 * (r[READ(air_lower)] + r[READ(air_upper)]));
    assert_close(r[READ(humidity_sensor)], sensor, 2e-3, 0.0);
    pinery_run_free(run);
    pinery_weather_free(weather);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hours_and_runs),
        cmocka_unit_test(a_colder_place_is_damper),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
