/* Moist air: the fast saturation against Hyland & Wexler, slopes against differences, and the round trips. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air/psychro.h"
#include "check.h"

static void fast_saturation_is_as_accurate_as_it_says(void **state) {
    (void)state;
    double slope;
    for (double t = -50; t <= 70; t += 0.013) {
        double allowed = fabs(t - PINERY_AIR_TRIPLE_DEGC) > 0.6 ? 1.05e-5 : 2.5e-4;
        if (fabs(t) > 3)
            allowed = 3e-6;
        assert_close(pinery_air_saturation(t, &slope), pinery_air_saturation_pressure(t), allowed, 0);
    }
}

static void slopes_are_those_of_differences(void **state) {
    (void)state;
    double slope, ignored, h = 1e-4;
    for (double t = -60; t <= 100; t += 0.037) {
        pinery_air_saturation(t, &slope);
        double up = pinery_air_saturation(t + h, &ignored), down = pinery_air_saturation(t - h, &ignored);
        assert_close(slope, (up - down) / (2 * h), 2e-6, 0);
        if (fabs(t - PINERY_AIR_TRIPLE_DEGC) < 2 * h)
            continue;
        up = pinery_air_saturation_pressure(t + h);
        down = pinery_air_saturation_pressure(t - h);
        assert_close(pinery_air_saturation_slope(t), (up - down) / (2 * h), 2e-6, 0);
    }
}

static void fast_saturation_rises_smoothly(void **state) {
    (void)state;
    double slope, before = 0, slope_before = 0;
    for (double t = -120; t <= 200; t += 0.005) {
        double e = pinery_air_saturation(t, &slope);
        assert_true(e > before && slope > 0);
        if (t > -119)
            assert_close(slope, slope_before, 0.02, 0); /* 13 % between ice and water, spread over 0.05 K */
        before = e;
        slope_before = slope;
    }
}

static void dew_point_and_wet_bulb_turn_back(void **state) {
    (void)state;
    for (double t = -60; t <= 120; t += 0.7)
        assert_close(pinery_air_dew_point(pinery_air_saturation_pressure(t)), t, 0, 1e-8);
    for (double t = -20; t <= 45; t += 2.3)
        for (double humidity = 0.05; humidity <= 1; humidity += 0.05) {
            double e = pinery_air_vapour_pressure(t, humidity), bulb = pinery_air_wet_bulb(t, e, 95000.0);
            assert_true(bulb <= t + 1e-9 && bulb >= pinery_air_dew_point(e) - 1e-9);
            /* between ice and water the humidity ratio jumps where both hold: not there */
            if (fabs(bulb - PINERY_AIR_TRIPLE_DEGC) > 1e-6)
                assert_close(pinery_air_humidity_ratio_of_wet_bulb(t, bulb, 95000.0),
                             pinery_air_humidity_ratio(e, 95000.0), 1e-7, 0);
        }
}

static void measures_of_humidity_agree(void **state) {
    (void)state;
    double e = 1400.0, p = 99000.0, t = 17.0;
    assert_close(pinery_air_vapour_pressure_of_ratio(pinery_air_humidity_ratio(e, p), p), e, 1e-12, 0);
    assert_close(pinery_air_vapour_pressure(t, pinery_air_relative_humidity(t, e)), e, 1e-12, 0);
    assert_close(pinery_air_absolute_humidity(t, e), pinery_air_dry_density(t, e, p) * pinery_air_humidity_ratio(e, p),
                 1e-5, 0);
    assert_close(pinery_air_vapour_deficit(t, e) + e, pinery_air_saturation_pressure(t), 1e-12, 0);
    assert_close(pinery_air_saturation_water(20), pinery_air_saturation_pressure(20), 0, 0);
    assert_true(pinery_air_saturation_water(-10) > 1.08 * pinery_air_saturation_pressure(-10));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fast_saturation_is_as_accurate_as_it_says),
        cmocka_unit_test(slopes_are_those_of_differences),
        cmocka_unit_test(fast_saturation_rises_smoothly),
        cmocka_unit_test(dew_point_and_wet_bulb_turn_back),
        cmocka_unit_test(measures_of_humidity_agree),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
