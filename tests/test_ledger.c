/* The ledger against books kept by hand: ticks with round numbers, so that every result can be worked out on paper (the
 * arithmetic stands beside each check). Month lengths are those of the calendar. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "check.h"

#include "ledger/histogram.h"
#include "ledger/ledger.h"

#define READ(key) PINERY_READING_##key
#define HEAD(key) PINERY_HEADING_##key

static const double tight = 1e-12;

static pinery_ledger *create(double start_s, double interval_s, long intervals, bool keep_hours) {
    struct pinery_ledger_setup setup = {.start_s = start_s,
                                        .interval_s = interval_s,
                                        .intervals = intervals,
                                        .keep_hours = keep_hours,
                                        .has_drive = {true, true, false},
                                        .has_lamp = true,
                                        .has_fan_through = true,
                                        .heating_value = 31.65e6};
    pinery_ledger *ledger;
    pinery_error error;
    if (pinery_ledger_create(&setup, &ledger, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    return ledger;
}

static double result(const pinery_ledger *ledger, pinery_result which) {
    return pinery_ledger_result(ledger, which);
}
#define RESULT(key) result(ledger, PINERY_RESULT_##key)

/* --- every result of four hours by hand --- */

/* Four hours of 1800 s intervals. Readings are constant over each hour but for the jump at its end, where a tick stands
 * for both sides; so they are set by interval ends, and an interval counts with the mean of its two ends. With ticks
 * 0..8 a value given for ticks a..b alone covers the intervals inside it fully and half of each beside it. */
enum { TICKS = 9 };
static const double half = 1800.0;

static void four_hours(pinery_ledger *ledger, double leak_W) {
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    tick.stored_heat = 5e7;
    tick.stored_water = 3.0;
    for (int i = 0; i < TICKS; i++) {
        double *r = tick.reading;
        r[READ(air_seen)] = 16.0 + i; /* mean 20 */
        r[READ(leaf_area)] = 3.0;
        r[READ(humidity_upper)] = 80.0;
        r[READ(humidity_lower)] = i >= 4 ? 96.0 : 86.0;                   /* 91 over the interval 3-4, 96 from 4 on */
        r[READ(humidity_deficit)] = i < 4 ? 1.0 : 2.2;                    /* 1.6 over 3-4 */
        r[READ(vapour_deficit)] = i < 2 ? 100.0 : i < 6 ? 500.0 : 1500.0; /* 300 over 1-2, 1000 over 5-6 */
        r[READ(dew_margin)] = i < 3 ? 0.5 : 2.0;                          /* 1.25 over 2-3 */
        r[READ(crop_wetness)] = i == 5 ? 0.01 : 0.0;                      /* 5 g/m2 over 4-5 and 5-6 */
        r[READ(cloth_1)] = i < 5 ? 1.0 : 0.0;                             /* 0.5 over 4-5 */
        r[READ(cloth_2)] = i < 3 ? 1.0 : 0.96;                            /* always over 0.95 */
        r[READ(slit_1)] = i < 3 ? 0.02 : 0.0;                             /* 1 % over 2-3 */
        r[READ(vent_lee)] = i >= 7 ? 0.1 : 0.0;                           /* 5 % over 6-7 */
        r[READ(lamp_1)] = 0.5;
        r[READ(fan_through)] = 0.25;
        r[READ(pipe_lower)] = i < 5 ? 40.0 : 0.0; /* 20 over 4-5 */
        r[READ(air_lower)] = 17.0;
        r[READ(air_upper)] = i < 5 ? 18.0 : 17.2; /* night is until 4 */
        r[READ(outside_global)] = i < 5 ? 0.0 : 100.0;
        r[READ(air_roof)] = 9.0;
        r[READ(outside)] = 2.0;
        r[READ(end_to_end)] = i; /* mean 4, cloth 2 drawn throughout */
        r[READ(outside_snow)] = i == 0 ? 1.0 : 0.0;
        tick.time_s = i * half;
        pinery_ledger_tick(ledger, &tick);

        /* Boiler: 100, 100, 50, 150, 200, 0, 0, 40 W/m2 over the eight intervals, two thirds of it below. */
        static const double boiler[TICKS] = {100, 100, 50, 150, 200, 0, 0, 40, 0};
        double q = boiler[i] * half;
        tick.heat[HEAD(heat_lower)] += q * 2.0 / 3.0;
        tick.heat[HEAD(heat_upper)] += q / 3.0;
        tick.heat[HEAD(cover_wind)] += q - 10.0 * half;
        tick.heat[HEAD(air_mixing)] += 77.0 * half; /* within: not in the closure */
        tick.heat[HEAD(ground)] += 4.0 * half;
        tick.stored_heat += (10.0 - 4.0) * half - leak_W * half;
        tick.water[HEAD(water_supply)] += 0.03;
        tick.water[HEAD(vents)] += 0.02;
        tick.stored_water += 0.01;
        tick.water[HEAD(transpiration)] += 0.04;
        tick.water[HEAD(condensation_cover)] += 0.004;
        tick.water[HEAD(condensation_walls)] += 0.001;
        tick.water[HEAD(condensation_cloths)] += 0.002;
        tick.meter[PINERY_METER_gas] += q / 0.9;
        tick.meter[PINERY_METER_power_lamps] += 60.0 * half;
        tick.meter[PINERY_METER_power_fan_through] += 1.0 * half;
        tick.meter[PINERY_METER_power_fan_circulation] += 2.0 * half;
        tick.meter[PINERY_METER_power_pumps] += 0.5 * half;
        tick.meter[PINERY_METER_light_sun] += 0.5;
        tick.meter[PINERY_METER_light_lamps] += 0.25;
    }
    pinery_ledger_finish(ledger);
}

static void every_result(void **state) {
    (void)state;
    pinery_ledger *ledger = create(0.0, half, 8, true);
    four_hours(ledger, 0.0);
    /* 640 W/m2 intervals x 1800 s = 1.152 MJ/m2; / 0.9 = 1.28 MJ/m2 of gas; / 31.65 MJ/m3. */
    assert_close(RESULT(heat_MJ_per_m2), 1.152, tight, 0.0);
    assert_close(RESULT(gas_MJ_per_m2), 1.28, tight, 0.0);
    assert_close(RESULT(gas_m3_per_m2), 1.28 / 31.65, tight, 0.0);
    assert_close(RESULT(electricity_lamps_kWh_per_m2), 60.0 * 4.0 / 1000.0, tight, 0.0);
    assert_close(RESULT(electricity_fan_through_kWh_per_m2), 0.004, tight, 0.0);
    assert_close(RESULT(electricity_fan_circulation_kWh_per_m2), 0.008, tight, 0.0);
    assert_close(RESULT(electricity_pumps_kWh_per_m2), 0.002, tight, 0.0);
    assert_close(RESULT(electricity_kWh_per_m2), 0.254, tight, 0.0);
    assert_close(RESULT(peak_hour_W_per_m2), 100.0, tight, 0.0);     /* hours: 100, 100, 100, 20 */
    assert_close(RESULT(peak_interval_W_per_m2), 175.0, tight, 0.0); /* (150 + 200)/2, across the hour */
    assert_close(RESULT(light_mol_per_m2), 6.0, tight, 0.0);
    assert_close(RESULT(light_lamps_mol_per_m2), 2.0, tight, 0.0);
    assert_close(RESULT(growth_index), 0.0, 0.0, 0.0);
    assert_true(isnan(RESULT(growth_lost_pct)) && isnan(RESULT(growth_lamps_pct))); /* no light was told of */
    assert_close(RESULT(lamp_hours), 2.0, tight, 0.0);
    assert_close(RESULT(mean_air_degC), 20.0, tight, 0.0);
    assert_close(RESULT(mean_humidity_pct), 80.0, tight, 0.0);
    assert_close(RESULT(hours_humidity_over_85), 4.0, tight, 0.0);
    assert_close(RESULT(hours_humidity_over_90), 2.5, tight, 0.0); /* 3-4 at 91, 4-8 at 96 */
    assert_close(RESULT(hours_humidity_over_95), 2.0, tight, 0.0);
    assert_close(RESULT(longest_humidity_over_90_h), 2.5, tight, 0.0);
    assert_close(RESULT(hours_deficit_under_1_5), 1.5, tight, 0.0);        /* 0-3 */
    assert_close(RESULT(hours_vapour_deficit_under_200), 0.5, tight, 0.0); /* 0-1 */
    assert_close(RESULT(hours_vapour_deficit_over_1400), 1.0, tight, 0.0); /* 6-8 */
    assert_close(RESULT(hours_dew_margin_under_1), 1.0, tight, 0.0);       /* 0-2 */
    assert_close(RESULT(hours_crop_wet), 1.0, tight, 0.0);                 /* 4-6 */
    assert_close(RESULT(condensation_cover_kg_per_m2), 0.040, tight, 0.0); /* 8 x 0.005 */
    assert_close(RESULT(condensation_cloths_kg_per_m2), 0.016, tight, 0.0);
    assert_close(RESULT(transpiration_kg_per_m2), 0.32, tight, 0.0);
    assert_close(RESULT(screen_1_hours), 2.0, tight, 0.0); /* 0-4 */
    assert_close(RESULT(screen_2_hours), 4.0, tight, 0.0);
    assert_true(isnan(RESULT(screen_3_hours)));
    assert_close(RESULT(slit_hours), 1.5, tight, 0.0); /* 0-3 */
    assert_close(RESULT(vent_hours), 1.0, tight, 0.0); /* 6-8 */
    assert_close(RESULT(fan_through_hours), 1.0, tight, 0.0);
    assert_close(RESULT(pipe_mean_degC), 40.0, tight, 0.0);
    assert_close(RESULT(lower_minus_upper_K), -1.0, tight, 0.0);
    assert_close(RESULT(lower_minus_upper_coldest_K), -1.0, 0.0, 0.01);
    assert_close(RESULT(roof_minus_outside_K), 7.0, tight, 0.0);
    assert_close(RESULT(end_to_end_mean_K), 4.0, tight, 0.0);
    assert_close(RESULT(end_to_end_p95_K), 7.5, 0.0, 0.01); /* the highest of 0.5 .. 7.5 */
    assert_close(RESULT(snow_hours_shut), 0.5, tight, 0.0);
    assert_close(RESULT(closure_heat), 0.0, 0.0, 1e-14);
    assert_close(RESULT(closure_water), 0.0, 0.0, 1e-14);

    assert_close(pinery_ledger_heat(ledger, HEAD(air_mixing)), 77.0 * 4 * 3600, tight, 0.0);
    assert_close(pinery_ledger_water(ledger, HEAD(vents)), 0.16, tight, 0.0);
    assert_close(pinery_ledger_stored_heat(ledger), 6.0 * 4 * 3600, 1e-9, 0.0);
    assert_close(pinery_ledger_stored_water(ledger), 0.08, 1e-12, 0.0);

    assert_int_equal(pinery_ledger_hours(ledger), 4);
    assert_close(pinery_ledger_hour_time_s(ledger, 2), 7200.0, 0.0, 0.0);
    assert_close(pinery_ledger_hour_reading(ledger, 2, READ(air_seen)), 21.0, tight, 0.0); /* 20, 21, 22 */
    assert_close(pinery_ledger_hour_heat(ledger, 3, HEAD(heat_lower)), 40.0 * half * 2 / 3, tight, 0.0);
    assert_close(pinery_ledger_hour_water(ledger, 1, HEAD(transpiration)), 0.08, tight, 0.0);
    assert_close(pinery_ledger_hour_meter(ledger, 0, PINERY_METER_light_sun), 1.0, tight, 0.0);
    assert_true(isnan(pinery_ledger_hour_reading(ledger, 4, READ(air_seen))));
    pinery_ledger_free(ledger);
}

/* --- closure must be able to fail --- */

static void a_leak_breaks_the_books(void **state) {
    (void)state;
    pinery_ledger *ledger = create(0.0, half, 8, false);
    four_hours(ledger, 1.0); /* 1 W/m2 leaves unbooked: 14400 J/m2 of 1.152e6 in */
    assert_close(RESULT(closure_heat), -14400.0 / 1.152e6, 1e-9, 0.0);
    assert_close(RESULT(closure_water), 0.0, 0.0, 1e-14);
    pinery_ledger_free(ledger);

    /* Nothing in but heat out: relative to what went out. */
    ledger = create(0.0, 3600.0, 1, false);
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    pinery_ledger_tick(ledger, &tick);
    tick.time_s = 3600.0;
    tick.heat[HEAD(wall_out)] = 1000.0;
    tick.stored_heat = -990.0;
    pinery_ledger_tick(ledger, &tick);
    pinery_ledger_finish(ledger);
    assert_close(RESULT(closure_heat), 0.01, 1e-12, 0.0);
    assert_close(RESULT(closure_water), 0.0, 0.0, 0.0);
    pinery_ledger_free(ledger);
}

/* --- months --- */

static void run_hours(pinery_ledger *ledger, double start_s, double interval_s, long intervals, double W) {
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    tick.heat[HEAD(heat_lower)] = 1e9; /* what an earlier part of the run booked does not count */
    for (long i = 0; i <= intervals; i++) {
        tick.time_s = start_s + (double)i * interval_s;
        tick.reading[READ(outside)] = tick.time_s / 86400.0;
        pinery_ledger_tick(ledger, &tick);
        tick.heat[HEAD(heat_lower)] += W * interval_s;
        tick.meter[PINERY_METER_gas] += 1.0;
    }
    pinery_ledger_finish(ledger);
}

static void months_of_a_year(void **state) {
    (void)state;
    static const double days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    pinery_ledger *ledger = create(0.0, 3600.0, 8760, true);
    run_hours(ledger, 0.0, 3600.0, 8760, 50.0);
    double sum = 0.0, first = 0.0;
    for (int m = 0; m < 12; m++) {
        assert_close(pinery_ledger_month_hours(ledger, m), days[m] * 24.0, tight, 0.0);
        assert_close(pinery_ledger_month_heat(ledger, m, HEAD(heat_lower)), days[m] * 86400.0 * 50.0, 1e-9, 0.0);
        assert_close(pinery_ledger_month_meter(ledger, m, PINERY_METER_gas), days[m] * 24.0, tight, 0.0);
        /* A straight line through the year: its mean over a month is its middle. */
        assert_close(pinery_ledger_month_reading(ledger, m, READ(outside)), first + 0.5 * days[m], 1e-9, 0.0);
        sum += pinery_ledger_month_heat(ledger, m, HEAD(heat_lower));
        first += days[m];
    }
    assert_close(sum, pinery_ledger_heat(ledger, HEAD(heat_lower)), 1e-14, 0.0);
    assert_int_equal(pinery_ledger_hours(ledger), 8760);
    assert_true(isnan(pinery_ledger_month_heat(ledger, 12, HEAD(heat_lower))));
    pinery_ledger_free(ledger);
}

static void months_over_new_year(void **state) {
    (void)state;
    double start = 364.0 * 86400.0; /* 31 December; two days, so the second is 1 January */
    pinery_ledger *ledger = create(start, 7200.0, 24, false);
    run_hours(ledger, start, 7200.0, 24, 10.0);
    assert_close(pinery_ledger_month_hours(ledger, 11), 24.0, tight, 0.0);
    assert_close(pinery_ledger_month_hours(ledger, 0), 24.0, tight, 0.0);
    assert_close(pinery_ledger_month_hours(ledger, 5), 0.0, 0.0, 0.0);
    assert_true(isnan(pinery_ledger_month_heat(ledger, 5, HEAD(heat_lower))));
    assert_close(pinery_ledger_month_heat(ledger, 0, HEAD(heat_lower)), 864000.0, 1e-9, 0.0);
    pinery_ledger_free(ledger);

    /* A leap year: 29 February is day 60. */
    struct pinery_ledger_setup setup = {
        .start_s = 59.0 * 86400.0, .interval_s = 3600.0, .intervals = 48, .leap = true, .heating_value = 1e6};
    assert_int_equal(pinery_ledger_create(&setup, &ledger, NULL), PINERY_OK);
    run_hours(ledger, setup.start_s, 3600.0, 48, 10.0);
    assert_close(pinery_ledger_month_hours(ledger, 1), 24.0, tight, 0.0);
    assert_close(pinery_ledger_month_hours(ledger, 2), 24.0, tight, 0.0);
    pinery_ledger_free(ledger);
}

/* --- odd intervals --- */

static void intervals_that_do_not_divide_the_hour(void **state) {
    (void)state;
    /* 2400 s: hour ends fall inside intervals. 30 W/m2 then 90 W/m2 from the second interval: the first hour has 2400 s
     * at 30 and 1200 s at 90 = 50 W/m2, the second is all 90. */
    pinery_ledger *ledger = create(0.0, 2400.0, 3, false);
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    for (int i = 0; i <= 3; i++) {
        tick.time_s = i * 2400.0;
        pinery_ledger_tick(ledger, &tick);
        tick.heat[HEAD(heat_upper)] += (i == 0 ? 30.0 : 90.0) * 2400.0;
    }
    pinery_ledger_finish(ledger);
    assert_close(RESULT(peak_hour_W_per_m2), 90.0, tight, 0.0);
    assert_close(RESULT(peak_interval_W_per_m2), 90.0, tight, 0.0);
    pinery_ledger_free(ledger);

    ledger = create(0.0, 2400.0, 2, false);
    memset(&tick, 0, sizeof tick);
    for (int i = 0; i <= 2; i++) {
        tick.time_s = i * 2400.0;
        pinery_ledger_tick(ledger, &tick);
        tick.heat[HEAD(heat_upper)] += (i == 0 ? 30.0 : 90.0) * 2400.0;
    }
    pinery_ledger_finish(ledger);
    assert_close(RESULT(peak_hour_W_per_m2), 50.0, tight, 0.0);
    assert_close(RESULT(peak_interval_W_per_m2), 60.0, tight, 0.0);
    pinery_ledger_free(ledger);

    /* Longer than an hour. */
    ledger = create(0.0, 3.0 * 3600.0, 2, false);
    run_hours(ledger, 0.0, 3.0 * 3600.0, 2, 33.0);
    assert_close(RESULT(peak_hour_W_per_m2), 33.0, 1e-9, 0.0);
    assert_close(RESULT(heat_MJ_per_m2), 33.0 * 6 * 3600 / 1e6, 1e-9, 0.0);
    pinery_ledger_free(ledger);

    /* Shorter than an hour in all: nothing to measure an hour by. */
    ledger = create(0.0, 600.0, 1, true);
    run_hours(ledger, 0.0, 600.0, 1, 33.0);
    assert_true(isnan(RESULT(peak_hour_W_per_m2)));
    assert_true(isnan(RESULT(peak_interval_W_per_m2)));
    assert_int_equal(pinery_ledger_hours(ledger), 0);
    pinery_ledger_free(ledger);

    struct pinery_ledger_setup setup = {
        .interval_s = 2400.0, .intervals = 100, .keep_hours = true, .heating_value = 1e6};
    pinery_error error;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, &error), PINERY_BAD_INPUT);
    assert_null(ledger);
    assert_non_null(strstr(error.text, "2400 s"));
    setup.interval_s = 7200.0;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, &error), PINERY_BAD_INPUT);
    setup.interval_s = NAN;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, &error), PINERY_BAD_INPUT);
}

/* --- names, percentiles, speed --- */

static void names_and_sides(void **state) {
    (void)state;
    assert_string_equal(pinery_result_name(PINERY_RESULT_gas_m3_per_m2)->unit, "m3/m2");
    assert_string_equal(pinery_heading_name(HEAD(vents))->key, "vents");
    assert_string_equal(pinery_heading_name(HEAD(vents))->unit, "");
    assert_int_equal(pinery_heading_side(HEAD(vents)), PINERY_SIDE_OUT);
    assert_true(pinery_heading_has_water(HEAD(vents)));
    assert_false(pinery_heading_has_water(HEAD(cover_sky)));
    assert_string_equal(pinery_meter_name(PINERY_METER_light_sun)->key, "light_sun");
    assert_string_equal(pinery_reading_name(READ(outside_snow))->unit, "mm/h");
    assert_null(pinery_result_name(PINERY_N_RESULTS));
}

static void percentiles(void **state) {
    (void)state;
    static struct pinery_ledger_histogram h;
    pinery_ledger_histogram_start(&h, 0.0, 0.01);
    assert_true(isnan(pinery_ledger_histogram_value(&h, 0.5)));
    for (int i = 0; i < 1000; i++) {
        pinery_ledger_histogram_add(&h, (i + 0.5) * 0.03, 1.0); /* even from 0 to 30 */
    }
    assert_close(pinery_ledger_histogram_value(&h, 0.05), 1.5, 0.0, 0.03);
    assert_close(pinery_ledger_histogram_value(&h, 0.5), 15.0, 0.0, 0.03);
    assert_close(pinery_ledger_histogram_value(&h, 0.95), 28.5, 0.0, 0.03);
    pinery_ledger_histogram_add(&h, 1e9, 1e6); /* beyond the bins: in the last */
    assert_close(pinery_ledger_histogram_value(&h, 0.5), 40.0, 0.0, 0.01);
}

static void a_year_of_ticks_is_cheap(void **state) {
    (void)state;
    long n = 105120;
    pinery_ledger *ledger = create(0.0, 300.0, n, true);
    clock_t before = clock();
    run_hours(ledger, 0.0, 300.0, n, 50.0);
    double each_us = 1e6 * (double)(clock() - before) / CLOCKS_PER_SEC / (double)n;
    print_message("a tick costs %.3f us\n", each_us);
    assert_true(each_us < 20.0); /* 0.1 to 0.3 us optimised; generous for sanitizers and busy machines */
    pinery_ledger_free(ledger);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_result),
        cmocka_unit_test(a_leak_breaks_the_books),
        cmocka_unit_test(months_of_a_year),
        cmocka_unit_test(months_over_new_year),
        cmocka_unit_test(intervals_that_do_not_divide_the_hour),
        cmocka_unit_test(names_and_sides),
        cmocka_unit_test(percentiles),
        cmocka_unit_test(a_year_of_ticks_is_cheap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
