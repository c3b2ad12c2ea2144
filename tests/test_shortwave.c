/* Light in the stack: against a dense solution, the collector equation, Beer and Goudriaan, and laws that need no data.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <string.h>

#include "check.h"
#include "dense.h"
#include "house/shortwave.h"

#define PI 3.14159265358979323846
#define MOST PINERY_HOUSE_MAX_LAYERS

static unsigned long long seed = 2;

static double uniform(double low, double high) {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

/* Random parts of one: three of the four. */
static void parts(double *a, double *b, double *c) {
    double p = uniform(0, 1), q = uniform(0, 1), r = uniform(0, 1), s = uniform(0.02, 1), all = p + q + r + s;
    *a = p / all;
    *b = q / all;
    *c = r / all;
}

static int random_stack(struct pinery_house_sw_layer *layer) {
    int n = 2 + (int)uniform(0, MOST - 1.001);
    for (int i = 0; i < n; i++) {
        double unused;
        parts(&layer[i].reflect_up, &layer[i].transmit, &unused);
        layer[i].reflect_down = uniform(0, 0.98) * (1 - layer[i].transmit);
        parts(&layer[i].beam_reflect, &layer[i].beam_transmit, &layer[i].beam_scatter);
    }
    layer[0].transmit = layer[0].beam_transmit = layer[0].beam_scatter = 0;
    return n;
}

/* All light in all gaps as one dense set of equations: beam, down and up in each gap. */
static void dense(int n, const struct pinery_house_sw_layer *l, double beam, double diffuse, int gap, double down,
                  double up, double *absorbed, double *arriving, double *escaped) {
    int m = 3 * (n - 1);
    double a[9 * MOST * MOST] = {0}, x[3 * MOST] = {0};
    for (int g = 0; g < n - 1; g++) {
        int b = 3 * g, d = b + 1, u = b + 2;
        a[b * m + b] = a[d * m + d] = a[u * m + u] = 1;
        a[d * m + u] -= l[g + 1].reflect_down;
        a[u * m + d] -= l[g].reflect_up;
        a[u * m + b] -= l[g].beam_reflect;
        if (g < n - 2) {
            a[b * m + b + 3] -= l[g + 1].beam_transmit;
            a[d * m + b + 3] -= l[g + 1].beam_scatter;
            a[d * m + d + 3] -= l[g + 1].transmit;
        } else {
            x[b] = beam;
            x[d] = diffuse;
        }
        if (g > 0)
            a[u * m + u - 3] -= l[g].transmit;
        if (g == gap) {
            x[d] += down;
            x[u] += up;
        }
    }
    dense_solve(m, a, x);
    for (int i = 0; i < n; i++) {
        const double *above = x + 3 * i;
        absorbed[i] = arriving[i] = 0;
        if (i < n - 1) {
            arriving[i] = above[0] + above[1];
            absorbed[i] = above[0] * (1 - l[i].beam_reflect - l[i].beam_transmit - l[i].beam_scatter) +
                          above[1] * (1 - l[i].reflect_up - l[i].transmit);
        }
        if (i > 0)
            absorbed[i] += x[3 * i - 1] * (1 - l[i].reflect_down - l[i].transmit);
    }
    *escaped = l[n - 1].transmit * x[3 * (n - 2) + 2];
}

static double sum(int n, const double *x) {
    double s = 0;
    for (int i = 0; i < n; i++)
        s += x[i];
    return s;
}

static void random_stacks_close_and_agree_with_a_dense_solution(void **state) {
    (void)state;
    for (int k = 0; k < 5000; k++) {
        struct pinery_house_sw_layer l[MOST];
        int n = random_stack(l), gap = (int)uniform(0, n - 1.001);
        double beam = uniform(0, 800), diffuse = uniform(0, 400), down = uniform(0, 100), up = uniform(0, 100);
        double a[MOST], arr[MOST], esc, wa[MOST], warr[MOST], wesc;
        pinery_house_shortwave(n, l, beam, diffuse, a, arr, &esc);
        assert_close(sum(n, a) + esc, beam + diffuse, 1e-13, 0);
        dense(n, l, beam, diffuse, 0, 0, 0, wa, warr, &wesc);
        for (int i = 0; i < n; i++) {
            assert_true(a[i] >= -1e-12);
            assert_close(a[i], wa[i], 1e-11, 1e-11);
            assert_close(arr[i], warr[i], 1e-11, 1e-11);
        }
        assert_close(esc, wesc, 1e-11, 1e-11);
        pinery_house_shortwave_source(n, l, gap, down, up, a, arr, &esc);
        assert_close(sum(n, a) + esc, down + up, 1e-13, 0);
        dense(n, l, 0, 0, gap, down, up, wa, warr, &wesc);
        for (int i = 0; i < n; i++) {
            assert_close(a[i], wa[i], 1e-11, 1e-11);
            assert_close(arr[i], warr[i], 1e-11, 1e-11);
        }
        assert_close(esc, wesc, 1e-11, 1e-11);
    }
}

static void light_goes_the_same_way_without_the_arriving_list(void **state) {
    (void)state;
    struct pinery_house_sw_layer l[MOST];
    double a[MOST], b[MOST], arr[MOST], e, f;
    int n = random_stack(l);
    pinery_house_shortwave(n, l, 300, 100, a, arr, &e);
    pinery_house_shortwave(n, l, 300, 100, b, NULL, &f);
    assert_memory_equal(a, b, sizeof *a * (size_t)n);
    assert_true(e == f);
}

static void floor_under_a_cover(void **state) {
    (void)state;
    /* Duffie & Beckman, equation 5.5.1: of light under a cover that sends back r, a surface of absorptance a takes
     * a / (1 - (1 - a) r). */
    for (int k = 0; k < 100; k++) {
        double a = uniform(0.05, 1), r = uniform(0, 0.9), took[2], esc;
        struct pinery_house_sw_layer l[2] = {pinery_house_sw_diffusing(1 - a, 0, 0),
                                             {.reflect_down = r, .transmit = 1 - r}};
        pinery_house_shortwave(2, l, 0, 1, took, NULL, &esc);
        assert_close(took[0], a / (1 - (1 - a) * r), 1e-13, 0);
        pinery_house_shortwave(2, l, 1, 0, took, NULL, &esc);
        assert_close(took[0], a / (1 - (1 - a) * r), 1e-13, 0);
    }
}

static void a_layer_drawn_over_nothing_is_no_layer_and_over_all_is_whole(void **state) {
    (void)state;
    for (int k = 0; k < 2000; k++) {
        struct pinery_house_sw_layer l[MOST], less[MOST], whole;
        int n = random_stack(l);
        if (n < 3)
            continue;
        int gone = 1 + (int)uniform(0, n - 2.001);
        double a[MOST], b[MOST], arr[MOST], brr[MOST], e, f;
        whole = pinery_house_sw_partial(l[gone], 1);
        assert_memory_equal(&whole, &l[gone], sizeof whole);
        l[gone] = pinery_house_sw_partial(l[gone], 0);
        for (int i = 0, j = 0; i < n; i++)
            if (i != gone)
                less[j++] = l[i];
        pinery_house_shortwave(n, l, 500, 200, a, arr, &e);
        pinery_house_shortwave(n - 1, less, 500, 200, b, brr, &f);
        assert_close(a[gone], 0, 0, 1e-12);
        for (int i = 0, j = 0; i < n; i++)
            if (i != gone) {
                assert_close(a[i], b[j], 1e-12, 1e-12);
                assert_close(arr[i], brr[j], 1e-12, 1e-12);
                j++;
            }
        assert_close(e, f, 1e-12, 1e-12);
    }
}

static void drawing_a_shade_takes_light_from_all_below(void **state) {
    (void)state;
    /* Under a black floor, so that nothing comes back to a brighter shade. */
    double before = 1e9;
    for (double f = 0; f <= 1; f += 0.05) {
        struct pinery_house_sw_layer l[3] = {pinery_house_sw_diffusing(0, 0, 0),
                                             pinery_house_sw_partial(pinery_house_sw_diffusing(0.4, 0.3, 0.3), f),
                                             {.reflect_down = 0.15, .transmit = 0.8}};
        double a[3], arr[3], e;
        pinery_house_shortwave(3, l, 400, 200, a, arr, &e);
        assert_true(arr[0] < before);
        before = arr[0];
    }
}

static void lamps_under_the_cover_are_light_from_the_cover(void **state) {
    (void)state;
    for (int k = 0; k < 200; k++) {
        struct pinery_house_sw_layer l[MOST];
        int n = random_stack(l);
        double a[MOST], b[MOST], arr[MOST], brr[MOST], e, f;
        pinery_house_shortwave(n, l, 0, 77, a, arr, &e);
        pinery_house_shortwave_source(n, l, n - 2, 77, 0, b, brr, &f);
        for (int i = 0; i < n; i++) {
            assert_close(a[i], b[i], 1e-14, 1e-14);
            assert_close(arr[i], brr[i], 1e-14, 1e-14);
        }
        assert_close(e, f, 1e-14, 1e-14);
    }
}

static void black_leaves_follow_beer(void **state) {
    (void)state;
    for (double lai = 0; lai < 8; lai += 0.5) {
        struct pinery_house_sw_layer c = pinery_house_sw_canopy(lai, 0.6, 0.8, 0, 0);
        assert_close(c.transmit, exp(-0.8 * lai), 1e-13, 0);
        assert_close(c.beam_transmit, exp(-0.6 * lai), 1e-13, 0);
        assert_close(c.reflect_up, 0, 0, 1e-15);
        assert_close(c.beam_reflect, 0, 0, 1e-15);
        assert_close(c.beam_scatter, 0, 0, 1e-15);
    }
}

static void green_leaves_follow_goudriaan(void **state) {
    (void)state;
    /* Goudriaan 1977: leaves that reflect and pass s/2 each; with q = sqrt(1 - s) a deep canopy reflects
     * p = (1 - q)/(1 + q), light falls off as exp(-k q L), and a canopy of area L over black ground reflects and passes
     * p (1 - E^2)/(1 - p^2 E^2), E (1 - p^2)/(1 - p^2 E^2). */
    for (double s = 0.05; s < 0.96; s += 0.1)
        for (double lai = 0.1; lai < 6; lai += 0.7) {
            double k = 0.75, q = sqrt(1 - s), p = (1 - q) / (1 + q), e = exp(-k * q * lai);
            struct pinery_house_sw_layer c = pinery_house_sw_canopy(lai, 0.9, k, s / 2, s / 2);
            assert_close(c.reflect_up, p * (1 - e * e) / (1 - p * p * e * e), 1e-11, 0);
            assert_close(c.transmit, e * (1 - p * p) / (1 - p * p * e * e), 1e-11, 0);
        }
    /* A deep canopy under beam, the same author: 2 kb/(kb + k) p for leaves of extinction kb q and k q; to first order
     * in p. */
    struct pinery_house_sw_layer deep = pinery_house_sw_canopy(60, 1.1, 0.72, 0.04, 0.04);
    double q = sqrt(1 - 0.08), p = (1 - q) / (1 + q);
    assert_close(deep.beam_reflect, 2 * 1.1 / (1.1 + 0.72) * p, 0.06, 0);
}

/* The answer of two canopies one above the other, by summing the light to and fro. */
static struct pinery_house_sw_layer stacked(struct pinery_house_sw_layer top, struct pinery_house_sw_layer low) {
    double m = 1 / (1 - top.reflect_down * low.reflect_up);
    struct pinery_house_sw_layer both = {
        .reflect_up = top.reflect_up + top.transmit * top.transmit * low.reflect_up * m,
        .reflect_down = low.reflect_down + low.transmit * low.transmit * top.reflect_down * m,
        .transmit = top.transmit * low.transmit * m,
        .beam_transmit = top.beam_transmit * low.beam_transmit,
    };
    double d =
        (top.beam_scatter + top.beam_transmit * low.beam_reflect * top.reflect_down) * m; /* between them, down */
    double u = d * low.reflect_up + top.beam_transmit * low.beam_reflect;
    both.beam_reflect = top.beam_reflect + top.transmit * u;
    both.beam_scatter = top.beam_transmit * low.beam_scatter + low.transmit * d;
    return both;
}

static void two_parts_of_a_canopy_make_the_whole(void **state) {
    (void)state;
    for (int i = 0; i < 3000; i++) {
        double r = uniform(0, 0.5), s = uniform(0, 0.5), kb = uniform(0.3, 3), kd = uniform(0.4, 1.1);
        double top = uniform(0.01, 4), low = uniform(0.01, 4);
        if (i % 10 == 0) /* beam that decays as the diffuse light does */
            kb = kd * sqrt((1 - s) * (1 - s) - r * r) * (1 + uniform(-1e-7, 1e-7));
        struct pinery_house_sw_layer a = pinery_house_sw_canopy(top, kb, kd, r, s);
        struct pinery_house_sw_layer b = pinery_house_sw_canopy(low, kb, kd, r, s);
        struct pinery_house_sw_layer whole = pinery_house_sw_canopy(top + low, kb, kd, r, s), both = stacked(a, b);
        assert_close(both.reflect_up, whole.reflect_up, 1e-10, 1e-12);
        assert_close(both.transmit, whole.transmit, 1e-10, 1e-12);
        assert_close(both.beam_transmit, whole.beam_transmit, 1e-10, 1e-12);
        assert_close(both.beam_reflect, whole.beam_reflect, 1e-8, 1e-9);
        assert_close(both.beam_scatter, whole.beam_scatter, 1e-8, 1e-9);
    }
}

static void a_thin_canopy_is_single_scattering(void **state) {
    (void)state;
    /* With the law of parts above this fixes the canopy altogether: the first leaf area met does what a leaf does. */
    double lai = 1e-6, kb = 0.9, kd = 0.8, r = 0.12, s = 0.07;
    struct pinery_house_sw_layer c = pinery_house_sw_canopy(lai, kb, kd, r, s);
    assert_close(c.reflect_up / lai, kd * r, 1e-5, 0);
    assert_close((1 - c.transmit) / lai, kd * (1 - s), 1e-5, 0);
    assert_close(c.beam_reflect / lai, kb * r, 1e-5, 0);
    assert_close(c.beam_scatter / lai, kb * s, 1e-5, 0);
    assert_close((1 - c.beam_transmit) / lai, kb, 1e-5, 0);
}

static void a_canopy_never_makes_light(void **state) {
    (void)state;
    for (int i = 0; i < 20000; i++) {
        double r = uniform(0, 1), s = uniform(0, 1 - r);
        if (i % 20 == 0)
            s = 1 - r; /* leaves that absorb nothing */
        double lai = uniform(0, 10), kb = uniform(0.05, 10);
        struct pinery_house_sw_layer c = pinery_house_sw_canopy(lai, kb, uniform(0.3, 1.2), r, s);
        double a = 1 - c.reflect_up - c.transmit, b = 1 - c.beam_reflect - c.beam_scatter - c.beam_transmit;
        assert_between(a, -1e-12, 1);
        assert_between(b, -1e-9, 1);
        assert_true(c.beam_reflect >= -1e-12 && c.beam_scatter >= -1e-12 && c.reflect_up >= 0 && c.transmit > 0);
        if (i % 20 == 0) {
            assert_close(a, 0, 0, 1e-7);
            assert_close(b, 0, 0, 1e-6);
        }
    }
}

static void spherical_leaves(void **state) {
    (void)state;
    /* Goudriaan 1977: 0.5 / sin(elevation). */
    for (double el = 20; el <= 90; el += 5)
        assert_close(pinery_house_beam_extinction(el * PI / 180), 0.5 / sin(el * PI / 180), 0.005, 0);
    assert_between(pinery_house_beam_extinction(0), 10, 20);
}

static void light_at_the_crop_is_the_order_of_the_field(void **state) {
    (void)state;
    /* Young canopies take less and leave the floor more; a tall one of area 3 takes most of PAR (common practice, no
     * source: some 9 tenths). */
    double before = -1;
    for (double lai = 0; lai <= 6; lai += 0.25) {
        struct pinery_house_sw_layer l[3] = {pinery_house_sw_diffusing(0.5, 0, 0),
                                             pinery_house_sw_canopy(lai, 0.7, 0.75, 0.05, 0.05),
                                             {.reflect_down = 0.16, .transmit = 0.81}};
        double a[3], arr[3], e;
        pinery_house_shortwave(3, l, 100, 100, a, arr, &e);
        assert_true(a[1] > before);
        before = a[1];
        if (lai == 3)
            assert_between(a[1] / arr[1], 0.80, 0.95);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_stacks_close_and_agree_with_a_dense_solution),
        cmocka_unit_test(light_goes_the_same_way_without_the_arriving_list),
        cmocka_unit_test(floor_under_a_cover),
        cmocka_unit_test(a_layer_drawn_over_nothing_is_no_layer_and_over_all_is_whole),
        cmocka_unit_test(drawing_a_shade_takes_light_from_all_below),
        cmocka_unit_test(lamps_under_the_cover_are_light_from_the_cover),
        cmocka_unit_test(black_leaves_follow_beer),
        cmocka_unit_test(green_leaves_follow_goudriaan),
        cmocka_unit_test(two_parts_of_a_canopy_make_the_whole),
        cmocka_unit_test(a_thin_canopy_is_single_scattering),
        cmocka_unit_test(a_canopy_never_makes_light),
        cmocka_unit_test(spherical_leaves),
        cmocka_unit_test(light_at_the_crop_is_the_order_of_the_field),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
