/* Leaves, stomata and transpiration: signs, orders, slopes, and the leaf's balance against the combination form. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air/psychro.h"
#include "check.h"
#include "crop/canopy.h"
#include "crop/penman.h"
#include "crop/stomata.h"
#include "crop/transpiration.h"
#include "slopes.h"

static const double sea_level = 101325;
static double light_now, speed_now;

static double leaf_flux(const double *x, double *slope) {
    struct pinery_pair f = pinery_crop_canopy_convect(2, 0.05, speed_now, x[0], x[1]).flux;
    slope[0] = f.d_a;
    slope[1] = f.d_b;
    return f.value;
}

static double leaf_coefficient(const double *x, double *slope) {
    struct pinery_pair h = pinery_crop_canopy_convect(2, 0.05, speed_now, x[0], x[1]).coefficient;
    slope[0] = h.d_a;
    slope[1] = h.d_b;
    return h.value;
}

static double leaf_resistance(const double *x, double *slope) {
    struct pinery_pair r = pinery_crop_canopy_convect(2, 0.05, speed_now, x[0], x[1]).resistance;
    slope[0] = r.d_a;
    slope[1] = r.d_b;
    return r.value;
}

/* T_leaf, e_air */
static double stomata(const double *x, double *slope) {
    struct pinery_crop_resistance r = pinery_crop_stomata_resistance(82, 1500, 1, light_now, x[0], x[1], 500);
    slope[0] = r.d_T_leaf;
    slope[1] = r.d_e_air;
    return r.value;
}

/* T_leaf, T_air, e_air */
static double vapour(const double *x, double *slope) {
    struct pinery_pair boundary = pinery_crop_canopy_convect(2, 0.05, speed_now, x[0], x[1]).resistance;
    struct pinery_crop_resistance r = pinery_crop_stomata_resistance(82, 1500, 1, light_now, x[0], x[2], 500);
    struct pinery_crop_vapour v = pinery_crop_transpiration(2, boundary, r, 0.9, x[0], x[1], x[2]);
    slope[0] = v.d_T_leaf;
    slope[1] = v.d_T_air;
    slope[2] = v.d_e_air;
    return v.flux;
}

static void slopes_are_differences(void **state) {
    (void)state;
    const double scale[3] = {0.05, 0.05, 2};
    double unused;
    for (int i = 0; i < 5000; i++) {
        double x[3] = {slopes_random(0, 40), 0, 0};
        x[1] = x[0] + slopes_near_zero(10);
        x[2] = pinery_air_saturation(x[0], &unused) + (i % 3 ? -slopes_random(0, 2000) : slopes_near_zero(20));
        speed_now = i % 5 ? slopes_random(0, 1) : 0;
        light_now = i % 2 ? slopes_random(0, 200) : 0;
        assert_slopes(leaf_flux, x, 2, scale, 1e-5);
        assert_slopes(leaf_coefficient, x, 2, scale, 1e-5);
        assert_slopes(leaf_resistance, x, 2, scale, 1e-5);
        double y[2] = {x[0], x[2]};
        const double leaf_scale[2] = {scale[0], scale[2]};
        assert_slopes(stomata, y, 2, leaf_scale, 2e-4);
        assert_slopes(vapour, x, 3, scale, 2e-4);
    }
}

/* Boundary layers of greenhouse leaves: r_b 100 to 300 s/m, h 4 to 12 W/(m2 K) a side (Stanghellini 1987). */
static void boundary_layer(void **state) {
    (void)state;
    for (double speed = 0.08; speed <= 0.3; speed += 0.02)
        for (double d = 0.5; d <= 3; d += 0.5) {
            struct pinery_crop_leaf_heat leaf = pinery_crop_canopy_convect(1, 0.05, speed, 20 + d, 20);
            assert_between(leaf.coefficient.value, 4, 12);
            assert_between(leaf.resistance.value, 100, 300);
        }
    double still = pinery_crop_canopy_convect(1, 0.05, 0.1, 21, 20).coefficient.value;
    assert_true(pinery_crop_canopy_convect(1, 0.05, 0.4, 21, 20).coefficient.value > 1.5 * still); /* fans */
    assert_true(pinery_crop_canopy_convect(1, 0.10, 0.1, 21, 20).coefficient.value < still);       /* wide leaf */
    assert_close(pinery_crop_canopy_air_speed(0.1, 0), 0.1, 1e-15, 0);
    assert_close(pinery_crop_canopy_air_speed(0.3, 0.4), 0.5, 1e-15, 0);
    struct pinery_crop_leaf_area area = pinery_crop_canopy_layers(3, 0.4);
    assert_close(area.lower, 1.2, 1e-15, 0);
    assert_close(area.lower + area.upper, 3, 1e-15, 0);
}

/* Both sides of the leaf, per m2 of floor: 2 LAI rho cp (T_leaf - T_air)/r_b (Stanghellini 1987). */
static void both_sides_of_the_leaf(void **state) {
    (void)state;
    struct pinery_crop_leaf_heat leaf = pinery_crop_canopy_convect(2.5, 0.05, 0.2, 19, 21);
    assert_close(leaf.flux.value, 2 * 2.5 * 1206 * (19 - 21) / leaf.resistance.value, 1e-12, 0);
    assert_close(leaf.flux.value, 2 * 2.5 * leaf.coefficient.value * (19 - 21), 1e-12, 0);
}

/* With the resistances held, E goes with 1/T of the air; the slope by it is small, so it is looked at by itself. */
static void warm_air_is_thin(void **state) {
    (void)state;
    struct pinery_pair boundary = {200, 0, 0};
    struct pinery_crop_resistance r = {500, 0, 0};
    struct pinery_crop_vapour at = pinery_crop_transpiration(3, boundary, r, 1, 20, 18, 1500);
    assert_close(at.d_T_air, -at.flux / (18 + 273.15), 1e-12, 0);
    double warmer = pinery_crop_transpiration(3, boundary, r, 1, 20, 18.01, 1500).flux;
    double colder = pinery_crop_transpiration(3, boundary, r, 1, 20, 17.99, 1500).flux;
    assert_close(at.d_T_air, (warmer - colder) / 0.02, 1e-6, 0);
}

/* Forced convection alone, Nu = 0.37 * 6.92^(1/4) Re^(1/2) = 0.60 Re^(1/2): the laminar plate's 0.664 Pr^(1/3) Re^(1/2)
 * = 0.59 Re^(1/2) (Pohlhausen, any handbook). */
static void forced_convection_is_the_plate(void **state) {
    (void)state;
    double v = 2, l = 0.05, Re = v * l / 15.1e-6;
    double Nu = pinery_crop_canopy_convect(1, l, v, 20, 20).coefficient.value * l / 0.0257;
    assert_close(Nu, 0.664 * cbrt(0.71) * sqrt(Re), 0.03, 0);
}

static double resistance(double light, double T, double deficit, double co2) {
    double unused;
    return pinery_crop_stomata_resistance(82, 1500, 1, light, T, pinery_air_saturation(T, &unused) - deficit, co2)
        .value;
}

static void stomata_open_and_close(void **state) {
    (void)state;
    assert_close(resistance(0, 18, 0, 400), 1500, 5e-3, 0);    /* dark: as stated, at 18 degC */
    assert_close(resistance(400, 24.5, 0, 200), 82, 0.015, 0); /* full light, warm, moist */
    /* vegetables at night 500 to 2000 s/m (Seginer, Kantz, Levav and Peiper 1990), in air as moist as nights are */
    assert_between(resistance(0, 17, 200, 400), 500, 2500);
    double last = INFINITY;
    for (double light = 0; light < 300; light += 0.5) {
        double now = resistance(light, 22, 500, 400);
        assert_true(now < last);
        last = now;
    }
    for (double deficit = 0; deficit < 3000; deficit += 50) {
        assert_true(resistance(100, 22, deficit + 50, 400) >= (1 - 1e-12) * resistance(100, 22, deficit, 400));
        assert_true(resistance(100, 22, deficit, 400) <= 3.8 * 1.001 * resistance(100, 22, 0, 400));
    }
    assert_close(resistance(100, 22, 3000, 400) / resistance(100, 22, 0, 400), 3.8, 1e-9, 0);
    assert_true(resistance(100, 22, 500, 1000) > resistance(100, 22, 500, 400));
    assert_close(resistance(0, 18, 200, 1000), resistance(0, 18, 200, 400), 1e-12, 0);
    assert_close(resistance(100, 22, 500, 3000) / resistance(100, 22, 500, 200), 1.5, 1e-9, 0);
    /* half the conductance is twice the resistance */
    double e = 1500;
    assert_close(pinery_crop_stomata_resistance(82, 1500, 0.5, 50, 20, e, 400).value,
                 2 * pinery_crop_stomata_resistance(82, 1500, 1, 50, 20, e, 400).value, 1e-14, 0);
}

static void a_crop_that_does_not_transpire(void **state) {
    (void)state;
    struct pinery_crop_resistance shut = pinery_crop_stomata_resistance(82, 1500, 0, 50, 20, 1500, 400);
    struct pinery_pair boundary = {200, -5, 5};
    struct pinery_crop_vapour v = pinery_crop_transpiration(3, boundary, shut, 1, 20, 20, 1500);
    assert_true(v.flux == 0 && v.d_T_leaf == 0 && v.d_T_air == 0 && v.d_e_air == 0);
}

static void dew_is_not_transpiration(void **state) {
    (void)state;
    double unused, e = pinery_air_saturation(15, &unused);
    struct pinery_pair boundary = {200, 0, 0};
    struct pinery_crop_resistance r = {500, 0, 0};
    assert_true(pinery_crop_transpiration(3, boundary, r, 1, 15, 16, e + 50).flux == 0);
    double dry = pinery_crop_transpiration(3, boundary, r, 1, 15, 16, e - 300).flux;
    assert_true(dry > 0);
    assert_close(pinery_crop_transpiration(3, boundary, r, 0.25, 15, 16, e - 300).flux, 0.25 * dry, 1e-14, 0);
    assert_close(pinery_crop_transpiration(6, boundary, r, 1, 15, 16, e - 300).flux, 2 * dry, 1e-14, 0);
}

/* Solve the balance of a leaf, Rn = H + L E, by Newton, and hold it against the closed combination form. With the slope
 * of the saturation curve taken straight between leaf and air the two are the same to rounding; with the slope at the
 * air they differ by the bend of the curve alone. */
static void leaf_balance_is_the_combination_form(void **state) {
    (void)state;
    for (int i = 0; i < 2000; i++) {
        double lai = slopes_random(0.5, 4), rn = slopes_random(-20, 300) * lai / 3, T_air = slopes_random(12, 30);
        double e = pinery_air_vapour_pressure(T_air, slopes_random(0.5, 0.95)), T = T_air, latent = 0, d_air, d_leaf;
        struct pinery_pair boundary = {slopes_random(100, 300), 0, 0};
        struct pinery_crop_resistance r = {slopes_random(80, 2000), 0, 0};
        double rho_cp = sea_level / (PINERY_AIR_GAS_DRY * (T_air + 273.15)) * PINERY_AIR_HEAT_DRY;
        for (int k = 0; k < 30; k++) {
            struct pinery_crop_vapour v = pinery_crop_transpiration(lai, boundary, r, 1, T, T_air, e);
            double h = 2 * lai * rho_cp / boundary.value;
            latent = PINERY_AIR_LATENT * v.flux;
            T -= (h * (T - T_air) + latent - rn) / (h + PINERY_AIR_LATENT * v.d_T_leaf);
        }
        double at_air = pinery_air_saturation(T_air, &d_air), at_leaf = pinery_air_saturation(T, &d_leaf);
        if (at_leaf - e < 20 || fabs(T - T_air) < 1e-3)
            continue; /* dew, or no chord to take */
        double chord = (at_leaf - at_air) / (T - T_air);
        double exact = pinery_crop_penman_canopy(rn, lai, T_air, e, sea_level, boundary.value, r.value, chord);
        double tangent = pinery_crop_penman_canopy(rn, lai, T_air, e, sea_level, boundary.value, r.value, d_air);
        /* Rv and Rd/0.622 in the constants of the standard agree to 2e-5 */
        assert_close(latent, exact, 1e-4, 0);
        double per_Pa =
            PINERY_AIR_LATENT * 2 * lai / (PINERY_AIR_GAS_VAPOUR * (T_air + 273.15) * (boundary.value + r.value));
        double bend = 0.5 * 0.07 * d_air * (T - T_air) * (T - T_air); /* Pa; the slope itself grows by 6 to 7 % per K */
        assert_close(latent, tangent, 1e-4, per_Pa * bend);
    }
}

/* Orders: a night's crop gives off 5 to 20 g/(m2 h), a bright noon's some hundreds, and well-watered leaves stay within
 * 2 K of the air under lamps (Nelson and Bugbee 2015, PLoS ONE 10:e0138930). */
static void orders_of_transpiration(void **state) {
    (void)state;
    double lai = 3, latent = 2.45e6;
    const struct {
        double rn, light, T, humidity, low, high;
    } at[] = {{0, 0, 17, 0.85, 3, 25}, {250, 80, 24, 0.75, 150, 450}, {60, 25, 20, 0.80, 50, 200}};
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        double T = at[i].T, e = pinery_air_vapour_pressure(at[i].T, at[i].humidity), flux = 0;
        for (int k = 0; k < 100; k++) {
            struct pinery_crop_leaf_heat h = pinery_crop_canopy_convect(lai, 0.05, 0.15, T, at[i].T);
            struct pinery_crop_resistance r = pinery_crop_stomata_resistance(82, 1500, 1, at[i].light, T, e, 500);
            struct pinery_crop_vapour v = pinery_crop_transpiration(lai, h.resistance, r, 1, T, at[i].T, e);
            flux = v.flux;
            T -= 0.5 * (h.flux.value + latent * flux - at[i].rn) / (h.flux.d_a + latent * v.d_T_leaf);
        }
        print_message("%g W/m2: %.0f g/(m2 h), leaf %+.2f K\n", at[i].rn, flux * 3.6e6, T - at[i].T);
        assert_between(flux * 3.6e6, at[i].low, at[i].high);
        assert_between(T - at[i].T, -2, 2);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_differences),
        cmocka_unit_test(boundary_layer),
        cmocka_unit_test(both_sides_of_the_leaf),
        cmocka_unit_test(warm_air_is_thin),
        cmocka_unit_test(forced_convection_is_the_plate),
        cmocka_unit_test(stomata_open_and_close),
        cmocka_unit_test(a_crop_that_does_not_transpire),
        cmocka_unit_test(dew_is_not_transpiration),
        cmocka_unit_test(leaf_balance_is_the_combination_form),
        cmocka_unit_test(orders_of_transpiration),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
