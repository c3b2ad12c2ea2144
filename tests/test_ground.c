/* The ground: the layers against the semi-infinite solid, the slab against the exact solution. */
#include <complex.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "house/ground.h"

static const double pi = 3.14159265358979323846, day = 86400, year = 365.2425 * 86400;

static void layers_fill_the_depth(void **state) {
    (void)state;
    for (int n = 2; n <= PINERY_HOUSE_GROUND_LAYERS; n++)
        for (double depth = 0.5; depth <= 20; depth *= 2) {
            struct pinery_house_ground g;
            double first = fmin(0.04, 0.9 * depth / n), resistance = 0, capacity = 0;
            pinery_house_ground_layers(n, depth, first, 1.5, 3e6, &g);
            assert_true(g.depth[0] == 0);
            assert_close(g.depth[1], first, 1e-12, 0);
            for (int i = 0; i < n; i++) {
                double step = (i < n - 1 ? g.depth[i + 1] : depth) - g.depth[i];
                assert_close(g.conductance[i], 1.5 / step, 1e-9, 0);
                assert_true(i == 0 || g.capacity[i] > g.capacity[i - 1]);
                capacity += g.capacity[i];
                if (i < n - 1) /* the border is between the nodes */
                    assert_true(capacity > 3e6 * g.depth[i] && capacity < 3e6 * g.depth[i + 1]);
                resistance += 1 / g.conductance[i];
            }
            assert_close(capacity, 3e6 * depth, 1e-12, 0);
            assert_close(resistance, depth / 1.5, 1e-12, 0);
        }
}

/* Complex flux into the layers for a wave of 1 K of the first, which stands for the surface, bottom at rest: the
 * tridiagonal system (i w C_k) T_k = G_k (T_k-1 - T_k) + G_k+1 (T_k+1 - T_k), worked up from the bottom. */
static double complex surface_flux(const struct pinery_house_ground *g, double period) {
    double w = 2 * pi / period;
    double complex below = g->conductance[g->n - 1]; /* W/(m2 K) from a layer downwards */
    for (int k = g->n - 1; k > 0; k--) {
        double complex down = below + I * w * g->capacity[k];
        below = down * g->conductance[k - 1] / (down + g->conductance[k - 1]);
    }
    return below + I * w * g->capacity[0];
}

/* Surface flux of a wave: k A (w/a)^(1/2), an eighth of a period before the temperature (Carslaw and Jaeger, 2.6), for
 * the kinds of ground of the standard. Layers as a house has them, for the day; more of them, for the day, and deeper,
 * for the year. Tolerances are what so many layers are good for; the first soil, dry sand, is the worst. */
static void layers_answer_day_and_year(void **state) {
    (void)state;
    const double soil[][4] = {
        /* conductivity, heat capacity, flux amplitude of the year and of the day, W/(m2 K) */
        {0.3, 1.28e6, 0.277, 5.28},
        {2.0, 2.0e6, 0.893, 17.06},
        {1.5, 3.0e6, 0.947, 18.09},
        {3.5, 2.0e6, 1.181, 22.56},
    };
    for (size_t s = 0; s < sizeof soil / sizeof *soil; s++) {
        struct pinery_house_ground g;
        pinery_house_ground_layers(10, 4, pinery_house_ground_first(10), soil[s][0], soil[s][1], &g);
        assert_close(cabs(surface_flux(&g, day)), soil[s][3], 0.006, 0);
        assert_close(carg(surface_flux(&g, day)), pi / 4, 0, 0.3 * pi / 180);
        pinery_house_ground_layers(16, 4, pinery_house_ground_first(16), soil[s][0], soil[s][1], &g);
        assert_close(cabs(surface_flux(&g, day)), soil[s][3], 0.002, 0);
        assert_close(carg(surface_flux(&g, day)), pi / 4, 0, 0.1 * pi / 180);
        pinery_house_ground_layers(16, 20, pinery_house_ground_first(16), soil[s][0], soil[s][1], &g);
        assert_close(cabs(surface_flux(&g, year)), soil[s][2], 0.002, 0);
        assert_close(carg(surface_flux(&g, year)), pi / 4, 0, 0.1 * pi / 180);
    }
}

static void wave_decays_and_lags(void **state) {
    (void)state;
    double a = 1e-6, d = pinery_house_ground_damping_depth(a, year);
    assert_close(pinery_house_ground_wave(10, 8, 0, year, 0, a, 0), 18, 1e-12, 0);
    assert_close(pinery_house_ground_wave(10, 8, 0, year, 0, a, year / 2), 2, 1e-9, 0);
    assert_close(pinery_house_ground_wave(10, 8, 0, year, d, a, year / (2 * pi)), 10 + 8 / exp(1), 1e-12, 0);
    /* it solves the heat equation */
    double z = 1.3, t = 5e6, dz = 1e-2, dt = 3600;
    double by_z = (pinery_house_ground_wave(10, 8, 0, year, z + dz, a, t) -
                   2 * pinery_house_ground_wave(10, 8, 0, year, z, a, t) +
                   pinery_house_ground_wave(10, 8, 0, year, z - dz, a, t)) /
                  (dz * dz);
    double by_t = (pinery_house_ground_wave(10, 8, 0, year, z, a, t + dt) -
                   pinery_house_ground_wave(10, 8, 0, year, z, a, t - dt)) /
                  (2 * dt);
    assert_close(by_t, a * by_z, 1e-4, 0);
}

/* Heat through a slab 12 m square with its temperature falling linearly over a wall 0.24 m wide, on a half-space of 1.9
 * W/(m K), inside 30, outside 10 degC: 2432.597 W (IEA benchmark GC10a, NREL/TP-550-43388, after Delsante et al. 1983).
 * Worked again here: the flux out of a rectangle at 1 in a surface at 0 has k/(2 pi) times the integral over it of the
 * sum over its corners of (a^2 + b^2)^(1/2)/(a b), a and b the distances to two sides; the linear edge is a mean over
 * rectangles, s of the way into the wall. The sum over a corner integrates to 2 r - a arsinh(a/b) - b arsinh(b/a), r^2
 * = a^2 + b^2. */
static double corner(double a, double b) {
    double r = sqrt(a * a + b * b);
    return 2 * r - a * asinh(a / b) - b * asinh(b / a);
}

/* Integral of the corner sum over the inner rectangle x, y of the floor alone, for a hot square that overhangs it by s.
 */
static double through_floor(double side, double s) {
    double far = side + s;
    /* four corners alike; each is the mixed second difference of the primitive over s .. far */
    return 4 * (corner(far, far) - 2 * corner(far, s) + corner(s, s));
}

static void the_slab_against_the_exact_solution(void **state) {
    (void)state;
    const double side = 12, wall = 0.24, k = 1.9, dT = 20;
    const int n = 4000;
    double mean = 0;
    for (int i = 0; i < n; i++) {
        double u = (i + 0.5) / n; /* s = wall u^2, for the sake of the logarithm at s = 0 */
        mean += through_floor(side, wall * u * u) * 2 * u / n;
    }
    double exact = k * dT / (2 * pi) * mean;
    print_message("worked again: %.3f W\n", exact);
    assert_close(exact, 2432.597, 2e-6, 0);
    /* the standard's formula, with the wall as the equivalent thickness, is 3 % above it */
    struct pinery_house_slab slab = pinery_house_slab_loss(side * side, 4 * side, wall, k, 0, 0, 0);
    assert_close(slab.coefficient * side * side * dT / exact, 1.03, 0.005, 0);
}

static void a_well_insulated_slab_joins_on(void **state) {
    (void)state;
    /* the two formulas of the standard meet near dt = B' */
    double R_at = 5.0 / 2.0; /* B' = 5, dt = 5 with no wall, lambda 2 */
    double below = pinery_house_slab_loss(100, 40, 0, 2, R_at - 1e-9, 0, 0).coefficient;
    double above = pinery_house_slab_loss(100, 40, 0, 2, R_at + 1e-9, 0, 0).coefficient;
    assert_close(above, below, 0.01, 0);
    assert_true(pinery_house_slab_loss(100, 40, 0.3, 2, 1, 0.17, 0.04).coefficient <
                pinery_house_slab_loss(100, 40, 0.3, 2, 0, 0.17, 0.04).coefficient);
}

/* Column and edge together lose what the slab loses, for houses of all sizes. */
static void column_and_edge_make_the_slab(void **state) {
    (void)state;
    for (double side = 4; side < 400; side *= 1.5) {
        double inside = 0.17, column = inside + 4 / 1.5;
        double U = pinery_house_slab_loss(side * side, 4 * side, 0.3, 1.5, 0, inside, 0.04).coefficient;
        struct pinery_house_ground_split s = pinery_house_ground_edge(U, column, inside);
        assert_true(s.edge >= 0 && s.bottom >= 0 && (s.edge == 0 || s.bottom == 0));
        double total = 1 / (inside + 1 / (1 / (column + s.bottom - inside) + s.edge));
        assert_close(total, U, 1e-12, 0);
        assert_true(side < 8 ? s.edge > 0 : side < 30 || s.bottom > 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layers_fill_the_depth),          cmocka_unit_test(layers_answer_day_and_year),
        cmocka_unit_test(wave_decays_and_lags),           cmocka_unit_test(the_slab_against_the_exact_solution),
        cmocka_unit_test(a_well_insulated_slab_joins_on), cmocka_unit_test(column_and_edge_make_the_slab),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
