/* Gaps between panes: EN 673, the gas table's rows, slopes against differences, and laws that need no data. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>

#include "check.h"
#include "house/glazing.h"

#define AIR (&pinery_house_gas_air)
#define ARGON (&pinery_house_gas_argon)

static void gas_at_rest_conducts_as_the_table_says(void **state) {
    (void)state;
    /* EN 673:2011, table of gas properties (from memory, unverified): conductivity W/(m K) at -10, 0, 10, 20 degC. In a
     * gap of 1 mm nothing moves. */
    double air[] = {2.336e-2, 2.416e-2, 2.496e-2, 2.576e-2}, argon[] = {1.584e-2, 1.634e-2, 1.684e-2, 1.734e-2};
    for (int i = 0; i < 4; i++) {
        double T = 10 * i - 10;
        assert_close(pinery_house_gas_conductance(AIR, 1e-3, T, 15, 90), air[i] / 1e-3, 1e-4, 0);
        assert_close(pinery_house_gas_conductance(ARGON, 1e-3, T, 15, 90), argon[i] / 1e-3, 1e-4, 0);
    }
}

static void moving_gas_follows_the_tables_other_columns(void **state) {
    (void)state;
    /* The same table: density kg/m3, viscosity Pa s, conductivity at -10, 0, 10, 20 degC; Nu recomputed from the rows.
     */
    double row[4][3] = {{1.326, 1.661e-5, 2.336e-2},
                        {1.277, 1.711e-5, 2.416e-2},
                        {1.232, 1.761e-5, 2.496e-2},
                        {1.189, 1.811e-5, 2.576e-2}};
    for (int i = 0; i < 4; i++) {
        double T = 10 * i - 10, s = 0.05, dT = 12;
        double gr = 9.81 * s * s * s * dT * row[i][0] * row[i][0] / ((T + 273.15) * row[i][1] * row[i][1]);
        double pr = row[i][1] * 1008 / row[i][2];
        assert_close(pinery_house_gap_nusselt(AIR, s, T, dT, 90), 0.035 * pow(gr * pr, 0.38), 1e-3, 0);
        assert_close(pinery_house_gap_nusselt(AIR, s, T, dT, 45), 0.10 * pow(gr * pr, 0.31), 1e-3, 0);
        assert_close(pinery_house_gap_nusselt(AIR, s, T, dT, 0), 0.16 * pow(gr * pr, 0.28), 1e-3, 0);
    }
}

static void a_flow_has_its_slopes(void **state) {
    (void)state;
    double slope[] = {0, 20, 45, 60, 90}, lower[] = {-5, 4, 9.6, 10, 10.3, 14, 25}, h = 1e-4;
    for (int i = 0; i < 5; i++)
        for (int j = 0; j < 7; j++)
            for (double gap = 0.004; gap < 0.1; gap *= 1.7) {
                double upper = 10, l = lower[j];
                struct pinery_house_gap_flow f = pinery_house_gap_flow(AIR, gap, 0.837, 0.2, l, upper, slope[i]);
                double dl = (pinery_house_gap_flow(AIR, gap, 0.837, 0.2, l + h, upper, slope[i]).flow -
                             pinery_house_gap_flow(AIR, gap, 0.837, 0.2, l - h, upper, slope[i]).flow) /
                            (2 * h);
                double du = (pinery_house_gap_flow(AIR, gap, 0.837, 0.2, l, upper + h, slope[i]).flow -
                             pinery_house_gap_flow(AIR, gap, 0.837, 0.2, l, upper - h, slope[i]).flow) /
                            (2 * h);
                assert_close(f.d_lower, dl, 1e-6, 1e-6);
                assert_close(f.d_upper, du, 1e-6, 1e-6);
            }
}

static void heat_goes_from_warm_to_cold(void **state) {
    (void)state;
    for (double slope = 0; slope <= 90; slope += 15)
        for (double gap = 0.006; gap < 0.2; gap *= 2) {
            double before = -1e9;
            assert_close(pinery_house_gap_flow(AIR, gap, 0.8, 0.8, 7, 7, slope).flow, 0, 0, 1e-12);
            for (double l = -15; l <= 40; l += 0.25) {
                double q = pinery_house_gap_flow(AIR, gap, 0.8, 0.8, l, 7, slope).flow;
                assert_true(q > before); /* always more for a warmer lower pane */
                assert_true(l == 7 || (q > 0) == (l > 7));
                before = q;
            }
        }
}

static void flow_is_conductance_times_difference(void **state) {
    (void)state;
    /* The tangent 4 sigma Tm^3 against the fourth powers: (dT/2)^2/Tm^2 of the radiation, below 0.1 % at 15 K. */
    for (double d = -15; d <= 15; d += 5) {
        double h = pinery_house_gap_conductance(0.012, 0.837, 0.837, 5, d, 22);
        assert_close(pinery_house_gap_flow(AIR, 0.012, 0.837, 0.837, 5 + d / 2, 5 - d / 2, 22).flow, h * d, 1e-3,
                     1e-12);
    }
}

static void up_is_easier_than_down(void **state) {
    (void)state;
    for (double gap = 0.012; gap < 0.1; gap *= 1.5) {
        double up = pinery_house_gas_conductance(AIR, gap, 10, 15, 0),
               side = pinery_house_gas_conductance(AIR, gap, 10, 15, 90);
        double down = pinery_house_gas_conductance(AIR, gap, 10, -15, 0), rest = AIR->conductivity / gap;
        assert_true(up > side);
        assert_true(side >= down);
        assert_close(down, rest, 1e-12, 0);
        assert_close(pinery_house_gas_conductance(AIR, gap, 10, -15, 90), side, 1e-14, 0);
    }
}

static void what_insulates_does(void **state) {
    (void)state;
    double plain = pinery_house_glazing_u(AIR, 0.004, 0.016, 0.837, 0.837, 90, 0.13, 25);
    double argon = pinery_house_glazing_u(ARGON, 0.004, 0.016, 0.837, 0.837, 90, 0.13, 25);
    double coated = pinery_house_glazing_u(AIR, 0.004, 0.016, 0.837, 0.05, 90, 0.13, 25);
    double both = pinery_house_glazing_u(ARGON, 0.004, 0.016, 0.837, 0.03, 90, 0.13, 25);
    double single = pinery_house_glazing_u(AIR, 0.004, 0, 0.837, 0.837, 90, 0.13, 25);
    assert_true(both < coated && coated < plain && argon < plain && plain < single);
    /* Coated, argon filled double glass is sold as U 1.1 (public building advice page); a greenhouse kind as 1.2
     * (Kempkes, Janse & Hemming 2014). */
    assert_close(both, 1.1, 0, 0.1);
}

static void no_corner_for_a_solver(void **state) {
    (void)state;
    /* The slope of the flow moves by little over 2 mK everywhere, and most of all where the gas starts to move. */
    for (double slope = 0; slope <= 90; slope += 45)
        for (double d = -20; d < 20; d += 0.002) {
            double a = pinery_house_gap_flow(AIR, 0.03, 0.8, 0.8, 10 + d, 10, slope).d_lower;
            double b = pinery_house_gap_flow(AIR, 0.03, 0.8, 0.8, 10 + d + 0.002, 10, slope).d_lower;
            assert_close(b, a, 0.02, 0);
        }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gas_at_rest_conducts_as_the_table_says),
        cmocka_unit_test(moving_gas_follows_the_tables_other_columns),
        cmocka_unit_test(a_flow_has_its_slopes),
        cmocka_unit_test(heat_goes_from_warm_to_cold),
        cmocka_unit_test(flow_is_conductance_times_difference),
        cmocka_unit_test(up_is_easier_than_down),
        cmocka_unit_test(what_insulates_does),
        cmocka_unit_test(no_corner_for_a_solver),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
