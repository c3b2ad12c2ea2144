/* Convection: signs, orders, slopes, and where the laws meet. Published values are in tables/flows.txt. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "house/convection.h"
#include "pinery/house.h"
#include "slopes.h"

enum kind { LEVEL, ROOF, WALL };
static enum kind kind;

static struct pinery_house_convection convect(const double *x) {
    switch (kind) {
    case LEVEL:
        return pinery_house_convect_level(x[0], x[1]);
    case ROOF:
        return pinery_house_convect_roof(x[0], x[1], pinery_house_roof_steepness(0.4));
    case WALL:
    default:
        return pinery_house_convect_wall(x[0], x[1]);
    }
}

static double flux(const double *x, double *slope) {
    struct pinery_house_convection c = convect(x);
    slope[0] = c.flux.d_a;
    slope[1] = c.flux.d_b;
    return c.flux.value;
}

static double coefficient(const double *x, double *slope) {
    struct pinery_house_convection c = convect(x);
    slope[0] = c.coefficient.d_a;
    slope[1] = c.coefficient.d_b;
    return c.coefficient.value;
}

static void slopes_are_differences(void **state) {
    (void)state;
    const double scale[2] = {0.05, 0.05};
    for (kind = LEVEL; kind <= WALL; kind++)
        for (int i = 0; i < 3000; i++) {
            double x[2] = {slopes_random(-20, 45), 0};
            x[1] = x[0] + slopes_near_zero(40);
            assert_slopes(flux, x, 2, scale, 1e-6);
            assert_slopes(coefficient, x, 2, scale, 1e-6);
        }
}

/* Heat goes from warm to cold, more of it the larger the difference, none without one; the flux is h times the
 * difference. */
static void heat_flows_downhill(void **state) {
    (void)state;
    double unused[2];
    for (kind = LEVEL; kind <= WALL; kind++) {
        double same[2] = {12, 12};
        assert_true(flux(same, unused) == 0.0);
        double last = -INFINITY;
        for (double d = -40; d <= 40; d += 0.01) {
            double x[2] = {15 + d, 15}, now = flux(x, unused);
            assert_true(now * d >= 0);
            assert_true(now > last);
            assert_close(now, coefficient(x, unused) * (x[0] - x[1]), 1e-14, 1e-14);
            last = now;
        }
    }
}

/* Cold air over a warm face turns over; warm air over a cold face lies still. */
static void stable_air_carries_less(void **state) {
    (void)state;
    for (double d = 0.5; d < 40; d += 0.5) {
        double up = pinery_house_convect_level(10 + d, 10).flux.value;
        double down = -pinery_house_convect_level(10, 10 + d).flux.value;
        assert_true(down < up);
        assert_true(down > 0.3 * up);
    }
}

static void a_steeper_roof_takes_less_per_cover(void **state) {
    (void)state;
    double flat = pinery_house_convect_roof(20, 10, pinery_house_roof_steepness(0)).flux.value, last = INFINITY;
    assert_close(flat, pinery_house_convect_level(20, 10).flux.value, 1e-15, 0);
    for (double tilt = 0; tilt < 1.0; tilt += 0.1) {
        double now = pinery_house_convect_roof(20, 10, pinery_house_roof_steepness(tilt)).flux.value;
        assert_true(now < last);
        assert_true(now / cos(tilt) >= flat); /* but more per floor, by the larger area */
        last = now;
    }
}

/* The laws stand in the order in which a house chooses them. */
static void names_and_laws_agree(void **state) {
    (void)state;
    const pinery_field *field = pinery_fields_find(&pinery_house_fields, "outside_convection");
    assert_non_null(field);
    assert_string_equal(field->choices, "bot|mcadams|watmuff|papadakis");
    assert_int_equal(PINERY_HOUSE_WIND_BOT, 0);
    assert_int_equal(PINERY_HOUSE_WIND_MCADAMS, 1);
    assert_int_equal(PINERY_HOUSE_WIND_WATMUFF, 2);
    assert_int_equal(PINERY_HOUSE_WIND_PAPADAKIS, 3);
}

/* No law falls with the wind, and none jumps: a step of 1 mm/s never makes more than its steepest slope does. */
static void wind_laws_rise_without_a_jump(void **state) {
    (void)state;
    for (int law = PINERY_HOUSE_WIND_BOT; law <= PINERY_HOUSE_WIND_PAPADAKIS; law++) {
        double last = pinery_house_convect_outside((enum pinery_house_wind_law)law, 0);
        assert_between(last, 0.9, 6);
        for (int i = 1; i <= 30000; i++) {
            double now = pinery_house_convect_outside((enum pinery_house_wind_law)law, 1e-3 * i);
            assert_between(now - last, 0, law == PINERY_HOUSE_WIND_PAPADAKIS ? 0.03 : 0.004);
            last = now;
        }
    }
}

/* Two resistances in series, by hand: the cover between air at 18 and wind at 0 degC. */
static void cover_settles_between(void **state) {
    (void)state;
    double h_out = pinery_house_convect_outside(PINERY_HOUSE_WIND_BOT, 4), T = 9;
    for (int i = 0; i < 50; i++) {
        struct pinery_house_convection in = pinery_house_convect_roof(18, T, pinery_house_roof_steepness(0.38));
        T -= (h_out * T - in.flux.value) / (h_out - in.flux.d_b);
    }
    double h_in = pinery_house_convect_roof(18, T, pinery_house_roof_steepness(0.38)).coefficient.value;
    assert_close(T, h_in * 18 / (h_in + h_out), 1e-12, 0);
    assert_between(1 / (1 / h_in + 1 / h_out), 1.5, 4); /* convection alone, without the half that radiates */
}

/* Jayamaha et al. 1996: 6 to 10 W/(m2 K) at 0 to 4 m/s on a vertical wall; free convection inside is of order 1 to 5.
 */
static void walls(void **state) {
    (void)state;
    assert_close(pinery_house_convect_wall_outside(0), 6, 1e-12, 0);
    assert_close(pinery_house_convect_wall_outside(4), 10, 1e-12, 0);
    assert_between(pinery_house_convect_wall(18, 8).coefficient.value, 1, 5);
    assert_close(pinery_house_convect_wall(18, 8).flux.value, -pinery_house_convect_wall(8, 18).flux.value, 1e-15, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_differences),  cmocka_unit_test(heat_flows_downhill),
        cmocka_unit_test(stable_air_carries_less), cmocka_unit_test(a_steeper_roof_takes_less_per_cover),
        cmocka_unit_test(names_and_laws_agree),    cmocka_unit_test(wind_laws_rise_without_a_jump),
        cmocka_unit_test(cover_settles_between),   cmocka_unit_test(walls),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
