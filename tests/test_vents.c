/* Vents and leakage: signs, orders, slopes. The worked numbers are in tables/flows.txt. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "house/vents.h"
#include "slopes.h"

static const struct pinery_house_vents vents = {0.10, 1.0, 44 * 3.14159265358979 / 180, 0.644, 0.03, 0.09};
static double wind_now;

/* T_in, T_out, lee, windward */
static double vent(const double *x, double *slope) {
    struct pinery_house_draught q = pinery_house_vent_flow(&vents, x[2], x[3], x[0], x[1], wind_now);
    slope[0] = q.d_in;
    slope[1] = q.d_out;
    slope[2] = q.d_lee;
    slope[3] = q.d_wind;
    return q.value;
}

static double opening(const double *x, double *slope) {
    struct pinery_house_draught q = pinery_house_opening_flow(10, 1, 0.644, 0.09, x[0], x[1], wind_now);
    slope[0] = q.d_in;
    slope[1] = q.d_out;
    return q.value;
}

static double leak(const double *x, double *slope) {
    struct pinery_pair q = pinery_house_leakage(1e-4, x[0], x[1], wind_now);
    slope[0] = q.d_a;
    slope[1] = q.d_b;
    return q.value;
}

static double share(const double *x, double *slope) {
    return pinery_house_vent_share(x[0], vents.full_angle, slope);
}

static void slopes_are_differences(void **state) {
    (void)state;
    const double scale[4] = {0.02, 0.02, 0.01, 0.01};
    for (int i = 0; i < 4000; i++) {
        double x[4] = {slopes_random(-5, 40), 0, slopes_random(1e-3, 1), slopes_random(1e-3, 1)};
        x[1] = x[0] + slopes_near_zero(40);
        wind_now = i % 4 ? slopes_random(0, 20) : 0;
        assert_slopes(vent, x, 4, scale, 1e-4);
        assert_slopes(opening, x, 2, scale, 1e-4);
        assert_slopes(leak, x, 2, scale, 1e-5);
        assert_slopes(share, x + 2, 1, scale + 2, 1e-6);
    }
}

static void more_of_anything_is_more_air(void **state) {
    (void)state;
    double base = pinery_house_vent_flow(&vents, 0.3, 0.2, 22, 12, 3).value;
    assert_true(pinery_house_vent_flow(&vents, 0, 0, 22, 12, 3).value == 0.0);
    assert_true(pinery_house_vent_flow(&vents, 0.4, 0.2, 22, 12, 3).value > base);
    assert_true(pinery_house_vent_flow(&vents, 0.3, 0.3, 22, 12, 3).value > base);
    assert_true(pinery_house_vent_flow(&vents, 0.3, 0.2, 25, 12, 3).value > base);
    assert_true(pinery_house_vent_flow(&vents, 0.3, 0.2, 22, 12, 4).value > base);
    double lee = pinery_house_vent_flow(&vents, 0.5, 0, 22, 22, 4).value;
    double windward = pinery_house_vent_flow(&vents, 0, 0.5, 22, 22, 4).value;
    assert_close(lee / windward, sqrt(0.03 / 0.09), 0.01, 0);
}

/* Opening functions of de Jong 1990, flow over (flap area times wind) by the angle in degrees: lee 2.29e-2 (1 -
 * exp(-a/21.1)), wind side 1.2e-3 a exp(a/211) (from memory, unverified). Another experiment on another roof, and
 * another form: the two agree within a factor of two and a half on the wind side, and of three on the lee side. */
static void another_set_of_opening_functions(void **state) {
    (void)state;
    for (double a = 4; a <= 44; a += 2) {
        double lee = pinery_house_vent_flow(&vents, a / 44, 0, 20, 20, 5).value / (0.1 * 5);
        double windward = pinery_house_vent_flow(&vents, 0, a / 44, 20, 20, 5).value / (0.1 * 5);
        assert_between(lee / (2.29e-2 * (1 - exp(-a / 21.1))), 1.0 / 3, 3);
        assert_between(windward / (1.2e-3 * a * exp(a / 211)), 0.4, 2.5);
    }
}

/* Wind takes over from stack when u/sqrt(dT) > 1 (Kittas, Boulard and Papadakis 1997): for one opening the two parts
 * under the root are equal at an H of about 2.6 m, and for the 1 m of the worked example wind is ahead well before. */
static void wind_against_stack(void **state) {
    (void)state;
    double unused[2], x[2] = {20, 15}, calm[2] = {15, 15};
    wind_now = 0;
    double stack = opening(x, unused);
    wind_now = sqrt(5.0);
    double wind = opening(calm, unused);
    assert_true(wind > stack);
    assert_close(opening(x, unused), sqrt(stack * stack + wind * wind), 2e-3, 0);
}

/* 100 % open on a mild windy day: some tens of air changes an hour, as vents of that area are known to give (common
 * practice, no source); shut, a sound house leaks a small part of one to one air change. Height 5 m. */
static void orders_of_air_change(void **state) {
    (void)state;
    double open = pinery_house_vent_flow(&vents, 1, 1, 25, 20, 4).value * 3600 / 5;
    assert_between(open, 10, 100);
    double still = pinery_house_leakage(1e-4, 18, 18, 0).value * 3600 / 5;
    double gale = pinery_house_leakage(1e-4, 18, -5, 12).value * 3600 / 5;
    assert_between(still, 0.01, 0.1);
    assert_between(gale, 0.5, 1.5);
}

static void leakage_follows_wind_and_stack(void **state) {
    (void)state;
    for (double u = 0; u < 20; u += 0.5) {
        double base = pinery_house_leakage(1e-4, 18, 8, u).value;
        assert_true(pinery_house_leakage(1e-4, 18, 8, u + 0.5).value > base);
        assert_true(pinery_house_leakage(1e-4, 18, 3, u).value > base);
        assert_true(pinery_house_leakage(2e-4, 18, 8, u).value == 2 * base);
        assert_close(pinery_house_leakage(1e-4, 8, 18, u).value, base, 1e-12, 0);
    }
    assert_close(pinery_house_leakage(1e-4, 18, 18, 0).value, 0.25e-4, 0.08, 0); /* not below that of 0.25 m/s */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_differences),
        cmocka_unit_test(more_of_anything_is_more_air),
        cmocka_unit_test(another_set_of_opening_functions),
        cmocka_unit_test(wind_against_stack),
        cmocka_unit_test(orders_of_air_change),
        cmocka_unit_test(leakage_follows_wind_and_stack),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
