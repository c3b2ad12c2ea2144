/* Wind along the house: the closed solution against a march down the duct, orders, slopes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "house/along.h"
#include "slopes.h"

static const double rho_cp = 1206;

static double flow(const double *x, double *slope) {
    struct pinery_house_along q = pinery_house_along_flow(6, 0.4, 1e-3, x[0]);
    slope[0] = q.d_open;
    return q.value;
}

/* T_crop, T_roof, flow */
static double deficit(const double *x, double *slope) {
    struct pinery_house_ends e = pinery_house_along_ends(x[2], x[0], x[1], 8, 100, 4, 0.05);
    slope[0] = e.d_deficit_crop;
    slope[1] = e.d_deficit_roof;
    slope[2] = e.d_deficit_flow;
    return e.deficit;
}

static void slopes_are_differences(void **state) {
    (void)state;
    const double open_scale = 1e-5, scale[3] = {1, 1, 1e-5};
    for (int i = 0; i < 3000; i++) {
        double open = 1e-4 * pow(1e4, slopes_random(0, 1));
        assert_slopes(flow, &open, 1, &open_scale, 1e-5);
        double x[3] = {slopes_random(10, 25), slopes_random(-5, 20), 1e-5 * pow(1e3, slopes_random(0, 1))};
        assert_slopes(deficit, x, 3, scale, 1e-5);
    }
}

static void the_narrower_rules_the_flow(void **state) {
    (void)state;
    assert_true(pinery_house_along_flow(6, 0.4, 1e-3, 0).value == 0.0);
    assert_true(pinery_house_along_flow(0, 0.4, 1e-3, 0.1).value == 0.0);
    double open = pinery_house_along_flow(6, 0.4, 1e-3, 1).value;
    assert_close(pinery_house_along_flow(6, 0.4, 1e-3, 0.03).value, open, 1e-3, 0); /* leaks alone resist */
    assert_close(pinery_house_along_flow(6, 0.4, 1e-3, 1e-3).value, open / sqrt(2), 1e-3, 0);
    assert_close(pinery_house_along_flow(12, 0.4, 1e-3, 0.03).value, 2 * open, 1e-3, 0);
    assert_close(pinery_house_along_through(6, 0.4, 1e-3, 1e6), pinery_house_along_flow(6, 0.4, 1e-3, 1e-3).value,
                 1e-14, 0);
    /* with the slits wide, what is drawn through is what leaks */
    double leakage = 1e-4, area = pinery_house_leak_area(leakage, 0.4);
    assert_close(pinery_house_along_flow(5, 0.4, area, 1).value, 5 * leakage, 1e-4, 0);
}

/* The four orifices one after another: pressures that add up to dCp rho u^2/2. */
static void pressures_add_up(void **state) {
    (void)state;
    double u = 7, dcp = 0.35, leaks = 2e-3, open = 4e-3, rho = 1.2, floor = 5000;
    double Q = pinery_house_along_flow(u, dcp, leaks, open).value * floor;
    double through_leak = 0.5 * rho * pow(Q / (0.6 * leaks * floor / 2), 2);
    double through_slit = 0.5 * rho * pow(Q / (0.6 * open * floor / 2), 2);
    assert_close(2 * through_leak + 2 * through_slit, dcp * 0.5 * rho * u * u, 1e-12, 0);
}

/* March the air down the duct in small steps, inflow over the first half and outflow over the second, and compare the
 * ends and the mean with the closed solution. */
static void a_march_down_the_duct(void **state) {
    (void)state;
    const int n = 200000;
    const double k = 8, T_even = 19, T_roof = 7, length = 100, height = 4;
    for (double q = 2e-4; q < 5e-2; q *= 2.5) {
        double dx = length / n, m = 2 * rho_cp * q, T = (m * T_roof + k * T_even) / (m + k), mean = 0, cold = T,
               warm = 0;
        for (int i = 0; i < n; i++) {
            double x = (i + 0.5) * dx, along = x < length / 2 ? 2 * q * x : 2 * q * (length - x); /* m3/s per m width */
            double gain = k * (T_even - T) + (x < length / 2 ? m * (T_roof - T) : 0);
            mean += T / n;
            warm += i >= n - n / 20 ? T / (n / 20) : 0; /* the last tenth of the leaving half */
            T +=
                dx * gain / (rho_cp * along + dx * (k + m)); /* the step taken at its end: stable where the flow ends */
        }
        struct pinery_house_ends e = pinery_house_along_ends(q, mean, T_roof, k, length, height, 0);
        assert_close(e.difference, warm - cold, 2e-3, 1e-3);
        assert_close(e.deficit, mean - cold, 2e-3, 0);
    }
}

static void mixing_and_heat_even_it_out(void **state) {
    (void)state;
    double base = pinery_house_along_ends(1e-3, 18, 8, 8, 100, 4, 0.05).difference;
    assert_true(base > 0);
    assert_true(pinery_house_along_ends(2e-3, 18, 8, 8, 100, 4, 0.05).difference > base);
    assert_true(pinery_house_along_ends(1e-3, 18, 8, 16, 100, 4, 0.05).difference < base);
    assert_true(pinery_house_along_ends(1e-3, 18, 8, 8, 20, 4, 0.05).difference < base);  /* a short house */
    assert_true(pinery_house_along_ends(1e-3, 18, 8, 8, 100, 4, 0.50).difference < base); /* fans */
    assert_true(pinery_house_along_ends(1e-3, 18, 18, 8, 100, 4, 0.05).difference == 0.0);
    assert_true(pinery_house_along_ends(0, 18, 8, 8, 100, 4, 0.05).difference == 0.0);
}

/* With slits and wind one end of a 100 m bay can be 5 to 8 K colder (common practice, no source). A check of the order
 * alone: roof air 10 K colder than the crop, 8 m/s, 3 % slit, and the leaks of a sound, an ordinary and an old house.
 */
static void order_of_the_cold_end(void **state) {
    (void)state;
    double difference[3];
    const double leakage[3] = {1e-4, 3e-4, 1e-3};
    for (int i = 0; i < 3; i++) {
        double q = pinery_house_along_flow(8, 0.4, pinery_house_leak_area(leakage[i], 0.4), 0.03).value;
        difference[i] = pinery_house_along_ends(q, 18, 8, 6, 100, 4, 0.05).difference;
        print_message("leakage %g: %.2f m3/(m2 h), ends %.2f K apart\n", leakage[i], q * 3600, difference[i]);
    }
    assert_between(difference[0], 0.3, 3);
    assert_between(difference[2], 3, 15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_differences),
        cmocka_unit_test(the_narrower_rules_the_flow),
        cmocka_unit_test(pressures_add_up),
        cmocka_unit_test(a_march_down_the_duct),
        cmocka_unit_test(mixing_and_heat_even_it_out),
        cmocka_unit_test(order_of_the_cold_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
