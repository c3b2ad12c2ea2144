/* The smooth stand-ins: what they are far out, where they join, and their slopes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/smooth.h"
#include "check.h"
#include "slopes.h"

static double positive(const double *x, double *slope) {
    return pinery_base_positive(x[0], 0.3, slope);
}

static double hinge(const double *x, double *slope) {
    return pinery_base_hinge(x[0], 0.3, slope);
}

static double ramp(const double *x, double *slope) {
    return pinery_base_ramp(x[0], slope);
}

static double turn(const double *x, double *slope) {
    return pinery_base_turn(x[0], 0.3, slope);
}

static double third(const double *x, double *slope) {
    return pinery_base_abs_power(x[0], 1.0 / 3.0, 0.05, slope);
}

static double inverse_root(const double *x, double *slope) {
    return pinery_base_abs_power(x[0], -0.5, 0.05, slope);
}

static double at_most(const double *x, double *slope) {
    return pinery_base_at_most(x[0], 1.0, 0.3, slope);
}

/* Where hinge, ramp and at_most change from one piece to the next; joints_are_smooth looks at these. */
static const double joint[] = {-0.3, 0, 0.25, 0.3, 0.7, 0.75, 1, 1.3};
enum { JOINTS = sizeof joint / sizeof *joint };

static bool at_joint(double x) {
    for (int i = 0; i < JOINTS; i++)
        if (fabs(x - joint[i]) < 1e-4)
            return true;
    return false;
}

static void slopes_are_differences(void **state) {
    (void)state;
    const slopes_function f[] = {positive, turn, third, inverse_root, hinge, ramp, at_most};
    const double scale = 0.02;
    for (size_t k = 0; k < sizeof f / sizeof *f; k++)
        for (int i = 0; i < 2000; i++) {
            double x = i % 2 ? slopes_near_zero(5) : slopes_random(-0.5, 1.5);
            if (k < 4 || !at_joint(x))
                assert_slopes(f[k], &x, 1, &scale, 1e-6);
        }
}

static void exact_outside_the_band(void **state) {
    (void)state;
    double slope;
    assert_true(pinery_base_hinge(-0.3, 0.3, &slope) == 0.0 && slope == 0.0);
    assert_true(pinery_base_hinge(0.3, 0.3, &slope) == 0.3 && slope == 1.0);
    assert_true(pinery_base_ramp(-1e-9, &slope) == 0.0 && slope == 0.0);
    assert_true(pinery_base_ramp(1.0, &slope) == 1.0 && slope == 0.0);
    assert_close(pinery_base_ramp(0.5, &slope), 0.5, 1e-15, 0);
    assert_true(pinery_base_at_most(2.0, 1.0, 0.3, &slope) == 1.0 && slope == 0.0);
    assert_true(pinery_base_at_most(0.6, 1.0, 0.3, &slope) == 0.6 && slope == 1.0);
}

/* Value and slope go on over every joint. */
static void joints_are_smooth(void **state) {
    (void)state;
    const slopes_function f[] = {hinge, ramp, at_most};
    for (size_t k = 0; k < sizeof f / sizeof *f; k++)
        for (int i = 0; i < JOINTS; i++) {
            double below = joint[i] - 1e-9, above = joint[i] + 1e-9, d_below, d_above;
            assert_close(f[k](&below, &d_below), f[k](&above, &d_above), 0, 1e-8);
            assert_close(d_below, d_above, 0, 1e-7);
        }
}

/* Without the cancellation that (x + sqrt(x^2 + w^2))/2 suffers below zero. */
static void tails_keep_their_digits(void **state) {
    (void)state;
    double slope;
    assert_close(pinery_base_positive(-1e6, 1e-3, &slope), 0.25e-12, 1e-12, 0);
    assert_close(slope, 0.25e-18, 1e-12, 0);
    assert_close(pinery_base_positive(1e6, 1e-3, &slope), 1e6, 1e-15, 0);
    assert_close(pinery_base_turn(-1e6, 1e-3, &slope), 0.25e-18, 1e-12, 0);
    assert_close(pinery_base_abs_power(-8, 1.0 / 3.0, 1e-6, &slope), 2, 1e-12, 0);
}

/* What loops over many use in place of the C library's. */
static void as_the_library_has_it(void **state) {
    (void)state;
    for (int i = 0; i < 20000; i++) {
        double x = slopes_random(-700, 700), y = pow(10.0, slopes_random(-1.3, 2.38));
        assert_close(pinery_base_exp(x), exp(x), 5e-16, 0);
        assert_close(pinery_base_exp(0.01 * x), exp(0.01 * x), 5e-16, 0);
        assert_close(pinery_base_ln(exp(x)), log(exp(x)), 5e-16, 0);
        assert_close(pinery_base_ln(y), log(y), 5e-16, 0);
        assert_close(pinery_base_power(y, 0.01 * x), pow(y, 0.01 * x), 2e-14, 0); /* of a power of up to 40 of e */
        assert_close(pinery_base_sine(x / 700.0), sin(x / 700.0), 5e-16, 0);
        assert_close(pinery_base_third_root(y), cbrt(y), 1e-14, 0);
        assert_close(pinery_base_third_root_by(y, sqrt(sqrt(y))), cbrt(y), 1e-15, 0);
    }
    assert_true(pinery_base_exp(0.0) == 1.0);
    assert_true(pinery_base_ln(1.0) == 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_differences), cmocka_unit_test(exact_outside_the_band),
        cmocka_unit_test(joints_are_smooth),      cmocka_unit_test(tails_keep_their_digits),
        cmocka_unit_test(as_the_library_has_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
