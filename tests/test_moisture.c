/* Condensation, evaporation and run-off: signs, limits and slopes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air/psychro.h"
#include "check.h"
#include "house/moisture.h"
#include "slopes.h"

static const double sea_level = 101325;

/* h, e_air, T_surface, water */
static double vapour(const double *x, double *slope) {
    struct pinery_house_vapour v = pinery_house_vapour_to_surface(x[0], x[1], x[2], sea_level, x[3], 0.01);
    slope[0] = v.d_coefficient;
    slope[1] = v.d_e_air;
    slope[2] = v.d_T_surface;
    slope[3] = v.d_water;
    return v.flux;
}

static void slopes_are_differences(void **state) {
    (void)state;
    const double scale[4] = {1, 1, 0.05, 2e-4};
    double unused;
    for (int i = 0; i < 5000; i++) {
        double x[4] = {slopes_random(0.5, 12), 0, slopes_random(-15, 35), slopes_random(-0.002, 0.02)};
        x[1] = pinery_air_saturation(x[2], &unused) + (i % 2 ? slopes_near_zero(10) : slopes_random(-1500, 1500));
        assert_slopes(vapour, x, 4, scale, 1e-4);
    }
}

static double flux(double e_air, double T, double water) {
    return pinery_house_vapour_to_surface(4, e_air, T, sea_level, water, 0.01).flux;
}

static void dew_and_drying(void **state) {
    (void)state;
    double d, e = pinery_air_saturation(10, &d);
    assert_true(flux(e + 300, 10, 0) > 0);      /* dew on a dry surface */
    assert_true(flux(e - 300, 10, 0.05) < 0);   /* a film dries */
    assert_true(flux(e - 300, 10, 0) == 0);     /* nothing to dry */
    assert_true(flux(e - 300, 10, -1e-6) == 0); /* nor below nothing, where a solver may look */
    assert_close(flux(e + 300, 10, 0), flux(e + 300, 10, 0.05), 1e-15, 0); /* dew does not ask for a film */
    assert_close(flux(e - 300, 10, 0.05), -flux(e + 300, 10, 0.05), 1e-13, 0);
    assert_close(flux(e, 10, 0.05), 0, 0, 1e-15);
    assert_true(flux(e - 300, 10, 0.003) > flux(e - 300, 10, 0.006)); /* half a film dries slower */
}

/* Dew on glass at 5 degC from air of 18 degC and 85 %: tens of g/(m2 h), not grams, not kilograms. Latent over sensible
 * heat is L/(rho cp) times the analogy, by hand 2.5e6 * 6.6e-9 * de / dT. */
static void order_of_dew(void **state) {
    (void)state;
    double h = 1.7 * cbrt(13.0), e = pinery_air_vapour_pressure(18, 0.85);
    double g = pinery_house_vapour_to_surface(h, e, 5, sea_level, 0, 0.01).flux;
    assert_between(g * 3.6e6, 40, 150);
    double unused, excess = e - pinery_air_saturation(5, &unused);
    assert_close(g * 2.5e6 / (h * 13), 2.5e6 * 6.6e-9 * excess / 13, 0.03, 0);
}

/* The psychrometer: air drawn past a wet bulb, convection in and evaporation out. With the analogy the bulb settles at
 * the thermodynamic wet bulb but for Le^(2/3) = 0.92, which leaves it some tenths of a kelvin lower. */
static void wet_bulb(void **state) {
    (void)state;
    const double air[][2] = {{25, 0.60}, {18, 0.85}, {30, 0.40}, {20, 0.80}};
    for (size_t i = 0; i < sizeof air / sizeof *air; i++) {
        double T = air[i][0], e = pinery_air_vapour_pressure(T, air[i][1]), low = T - 20, high = T, h = 50;
        for (int k = 0; k < 60; k++) {
            double bulb = 0.5 * (low + high);
            double latent = PINERY_AIR_LATENT - 2326 * bulb; /* heat of evaporation at the bulb: 2501 - 2.326 t */
            double heat = h * (T - bulb) + latent * pinery_house_vapour_to_surface(h, e, bulb, sea_level, 1, 0.01).flux;
            *(heat > 0 ? &low : &high) = bulb;
        }
        assert_between(low - pinery_air_wet_bulb(T, e, sea_level), -0.5, 0.05);
    }
}

static double drip(const double *x, double *slope) {
    struct pinery_house_run_off r = pinery_house_run_off(x[0], 0.05, 600, 0.3);
    *slope = r.d_drip;
    return r.drip;
}

static double gutter(const double *x, double *slope) {
    struct pinery_house_run_off r = pinery_house_run_off(x[0], 0.05, 600, 0.3);
    *slope = r.d_gutter;
    return r.gutter;
}

static void run_off(void **state) {
    (void)state;
    const double scale = 1e-4;
    double unused;
    for (int i = 0; i < 2000; i++) {
        double water = slopes_random(-0.01, 0.12);
        assert_slopes(drip, &water, 1, &scale, 1e-3);
        assert_slopes(gutter, &water, 1, &scale, 1e-3);
        assert_true(drip(&water, &unused) >= 0 && gutter(&water, &unused) >= 0);
    }
    double water = 0.0;
    assert_true(drip(&water, &unused) == 0.0 && gutter(&water, &unused) == 0.0);
    water = 0.04;
    assert_true(drip(&water, &unused) + gutter(&water, &unused) == 0.0);
    water = 0.11;
    assert_close(drip(&water, &unused) + gutter(&water, &unused), 0.06 / 600, 1e-12, 0);
    assert_close(drip(&water, &unused), 0.3 * 0.06 / 600, 1e-12, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_differences),
        cmocka_unit_test(dew_and_drying),
        cmocka_unit_test(order_of_dew),
        cmocka_unit_test(wet_bulb),
        cmocka_unit_test(run_off),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
