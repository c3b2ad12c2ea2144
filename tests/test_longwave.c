/* Long-wave factors: radiation shields, a dense solution, reciprocity, and laws that need no data. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <string.h>

#include "check.h"
#include "dense.h"
#include "house/longwave.h"
#include "house/shortwave.h"

#define MOST PINERY_HOUSE_LW_LAYERS

static unsigned long long seed = 3;

static double uniform(double low, double high) {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

static const struct pinery_house_lw_layer black = {1, 1, 0};

static int random_stack(struct pinery_house_lw_layer *layer) {
    int n = 2 + (int)uniform(0, MOST - 1.001);
    for (int i = 0; i < n; i++) {
        double t = i == 0 || i == n - 1 || uniform(0, 1) < 0.3 ? 0 : uniform(0, 1);
        layer[i] = (struct pinery_house_lw_layer){uniform(0.01, 1) * (1 - t), uniform(0.01, 1) * (1 - t), t};
        if (uniform(0, 1) < 0.1)
            layer[i].emit_up = 1 - t;
        if (uniform(0, 1) < 0.1)
            layer[i].emit_down = 1 - t;
    }
    return n;
}

/* Net radiation, the textbook way (Siegel & Howell, Thermal Radiation Heat Transfer): the two streams in every gap as
 * one dense set of equations for given sigma T^4; net[i] = what layer i gives less what it takes. */
static void net_radiation(int n, const struct pinery_house_lw_layer *l, const double *power, double *net) {
    int m = 2 * (n - 1);
    double a[4 * MOST * MOST] = {0}, x[2 * MOST] = {0};
    for (int g = 0; g < n - 1; g++) {
        int d = 2 * g, u = d + 1;
        a[d * m + d] = a[u * m + u] = 1;
        a[d * m + u] -= 1 - l[g + 1].emit_down - l[g + 1].transmit;
        a[u * m + d] -= 1 - l[g].emit_up - l[g].transmit;
        if (g < n - 2)
            a[d * m + d + 2] -= l[g + 1].transmit;
        if (g > 0)
            a[u * m + u - 2] -= l[g].transmit;
        x[d] = l[g + 1].emit_down * power[g + 1];
        x[u] = l[g].emit_up * power[g];
    }
    dense_solve(m, a, x);
    for (int i = 0; i < n; i++) {
        net[i] = 0;
        if (i < n - 1)
            net[i] += l[i].emit_up * (power[i] - x[2 * i]);
        if (i > 0)
            net[i] += l[i].emit_down * (power[i] - x[2 * (i - 1) + 1]);
    }
}

/* Flow out of layer i at powers sigma T^4, by the factors. */
static double flow(int n, const double *f, const double *power, int i) {
    double q = 0;
    for (int j = 0; j < n; j++)
        q += f[i * n + j] * (power[i] - power[j]);
    return q;
}

/* Flow from layer 0 at 1 to layer n - 1 at 0 with all between left to themselves. */
static double through(int n, const struct pinery_house_lw_layer *l) {
    double f[MOST * MOST], a[MOST * MOST] = {0}, power[MOST] = {0};
    pinery_house_longwave_factors(n, l, f);
    for (int i = 0; i < n; i++) {
        if (i == 0 || i == n - 1) {
            a[i * n + i] = 1;
            power[i] = i == 0;
            continue;
        }
        for (int j = 0; j < n; j++) {
            a[i * n + i] += f[i * n + j];
            a[i * n + j] -= f[i * n + j];
        }
    }
    dense_solve(n, a, power);
    return flow(n, f, power, 0);
}

static void shields_between_black_plates(void **state) {
    (void)state;
    /* n shields of emissivity e pass 1/(n (2/e - 1) + 1) of the open flow (Siegel & Howell). One of 0.05: a 40th. */
    for (int shields = 0; shields <= MOST - 2; shields++)
        for (double e = 0.05; e <= 1.0001; e += 0.05) {
            struct pinery_house_lw_layer l[MOST];
            for (int i = 0; i < shields + 2; i++)
                l[i] = (struct pinery_house_lw_layer){e, e, 0};
            l[0] = l[shields + 1] = black;
            assert_close(through(shields + 2, l), 1 / (shields * (2 / e - 1) + 1), 1e-12, 0);
        }
    struct pinery_house_lw_layer one[3] = {black, {0.05, 0.05, 0}, black};
    assert_close(through(3, one), 1.0 / 40, 1e-12, 0);
}

static void unlike_faces_in_series(void **state) {
    (void)state;
    /* Opaque grey faces: resistances 1/e1 + 1/e2 - 1 for each gap, added. */
    for (int k = 0; k < 500; k++) {
        struct pinery_house_lw_layer l[MOST];
        int n = random_stack(l);
        double resistance = 0;
        for (int i = 0; i < n; i++)
            l[i].transmit = 0;
        for (int i = 0; i < n - 1; i++)
            resistance += 1 / l[i].emit_up + 1 / l[i + 1].emit_down - 1;
        assert_close(through(n, l), 1 / resistance, 1e-11, 0);
    }
    struct pinery_house_lw_layer two[2] = {{0.8, 0, 0}, {0, 0.3, 0}};
    double f[4];
    pinery_house_longwave_factors(2, two, f);
    assert_close(f[1], 1 / (1 / 0.8 + 1 / 0.3 - 1), 1e-14, 0);
}

static void random_stacks_agree_with_net_radiation(void **state) {
    (void)state;
    for (int k = 0; k < 5000; k++) {
        struct pinery_house_lw_layer l[MOST];
        int n = random_stack(l);
        double f[MOST * MOST], power[MOST], net[MOST], total = 0;
        pinery_house_longwave_factors(n, l, f);
        for (int i = 0; i < n; i++)
            power[i] = uniform(200, 600);
        net_radiation(n, l, power, net);
        for (int i = 0; i < n; i++) {
            assert_close(flow(n, f, power, i), net[i], 1e-10, 1e-10);
            total += net[i];
        }
        assert_close(total, 0, 0, 1e-9);
    }
}

static void reciprocal_and_never_negative(void **state) {
    (void)state;
    for (int k = 0; k < 5000; k++) {
        struct pinery_house_lw_layer l[MOST];
        int n = random_stack(l);
        double f[MOST * MOST];
        pinery_house_longwave_factors(n, l, f);
        for (int i = 0; i < n; i++) {
            double row = 0;
            assert_true(f[i * n + i] == 0);
            for (int j = 0; j < n; j++) {
                assert_true(f[i * n + j] == f[j * n + i]);
                assert_true(f[i * n + j] >= 0);
                row += f[i * n + j];
            }
            /* No layer gives more than its own faces emit. */
            assert_true(row <= (i < n - 1 ? l[i].emit_up : 0) + (i > 0 ? l[i].emit_down : 0) + 1e-14);
        }
        /* Upside down it is the same stack, though the factors are then built from the other end. */
        struct pinery_house_lw_layer r[MOST];
        double fr[MOST * MOST];
        for (int i = 0; i < n; i++)
            r[n - 1 - i] = (struct pinery_house_lw_layer){l[i].emit_down, l[i].emit_up, l[i].transmit};
        pinery_house_longwave_factors(n, r, fr);
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++)
                assert_close(f[i * n + j], fr[(n - 1 - i) * n + n - 1 - j], 1e-12, 1e-16);
    }
}

static void what_is_emitted_is_taken(void **state) {
    (void)state;
    /* Between black ends, what a layer emits ends in the others or comes back to it; what comes back is counted here by
     * following the light of one layer alone until it is spent. */
    for (int k = 0; k < 200; k++) {
        struct pinery_house_lw_layer l[MOST];
        int n = random_stack(l);
        double f[MOST * MOST];
        pinery_house_longwave_factors(n, l, f);
        for (int s = 0; s < n; s++) {
            double up[MOST] = {0}, down[MOST] = {0}, took[MOST] = {0}, left = 1;
            if (s < n - 1)
                up[s] = l[s].emit_up;
            if (s > 0)
                down[s - 1] = l[s].emit_down;
            while (left > 1e-15) {
                double u[MOST] = {0}, d[MOST] = {0};
                left = 0;
                for (int g = 0; g < n - 1; g++) { /* up[g] meets layer g + 1, down[g] meets layer g */
                    took[g + 1] += l[g + 1].emit_down * up[g];
                    took[g] += l[g].emit_up * down[g];
                    d[g] += (1 - l[g + 1].emit_down - l[g + 1].transmit) * up[g];
                    u[g] += (1 - l[g].emit_up - l[g].transmit) * down[g];
                    if (g < n - 2)
                        u[g + 1] += l[g + 1].transmit * up[g];
                    if (g > 0)
                        d[g - 1] += l[g].transmit * down[g];
                }
                for (int g = 0; g < n - 1; g++) {
                    left += u[g] + d[g];
                    up[g] = u[g];
                    down[g] = d[g];
                }
            }
            for (int j = 0; j < n; j++)
                if (j != s)
                    assert_close(f[s * n + j], took[j], 1e-9, 1e-12);
        }
    }
}

static void mirrors_take_no_part(void **state) {
    (void)state;
    /* A layer that emits on neither face and lets nothing through cuts the stack in two; between two mirrors, no NaN.
     */
    struct pinery_house_lw_layer cut[5] = {{0.9, 0, 0}, {0.5, 0.5, 0.2}, {0, 0, 0}, {0.4, 0.4, 0.3}, {0, 1, 0}};
    double f[25];
    pinery_house_longwave_factors(5, cut, f);
    for (int i = 0; i < 2; i++)
        for (int j = 3; j < 5; j++)
            assert_true(f[i * 5 + j] == 0);
    for (int j = 0; j < 5; j++)
        assert_true(f[2 * 5 + j] == 0);
    assert_true(f[1] > 0 && f[3 * 5 + 4] > 0);
    struct pinery_house_lw_layer mirrors[4] = {{0, 0, 0}, {0.7, 0, 0}, {0, 0, 0}, {0, 1, 0}};
    pinery_house_longwave_factors(4, mirrors, f);
    for (int i = 0; i < 16; i++)
        assert_true(f[i] == 0);
    /* Layers of pure air between mirrors: still nothing. */
    struct pinery_house_lw_layer clear[4] = {{0, 0, 0}, {0, 0, 1}, {0, 0, 1}, {0, 0, 0}};
    pinery_house_longwave_factors(4, clear, f);
    for (int i = 0; i < 16; i++)
        assert_true(f[i] == 0);
}

static void emissivity_to_zero_removes_the_loss(void **state) {
    (void)state;
    double before = 2;
    for (double e = 0.9; e >= 0; e -= 0.1) {
        e = fmax(e, 0);
        struct pinery_house_lw_layer l[3] = {black, {e, 0.9, 0}, black};
        double f[9];
        pinery_house_longwave_factors(3, l, f);
        assert_true(f[1 * 3 + 2] < before);
        before = f[1 * 3 + 2];
        assert_close(f[1 * 3 + 2], e, 1e-14, 0); /* an opaque layer under a black sky: its own emissivity */
        assert_true(f[0 * 3 + 2] == 0);          /* and nothing from below it */
    }
}

static void a_colder_sky_takes_more(void **state) {
    (void)state;
    for (int k = 0; k < 500; k++) {
        struct pinery_house_lw_layer l[MOST];
        int n = random_stack(l);
        double f[MOST * MOST], power[MOST], cold[MOST];
        pinery_house_longwave_factors(n, l, f);
        for (int i = 0; i < n; i++)
            power[i] = cold[i] = 400;
        for (int i = 0; i < n; i++)
            assert_true(flow(n, f, power, i) == 0); /* one temperature: nothing flows */
        cold[n - 1] = 250;
        assert_true(flow(n, f, cold, n - 1) < 0);
        for (int i = 0; i < n - 1; i++)
            assert_true(flow(n, f, cold, i) >= 0);
        power[n - 1] = 300;
        for (int i = 0; i < n - 1; i++)
            assert_true(flow(n, f, cold, i) >= flow(n, f, power, i));
    }
}

static void more_layers_never_raise_the_flow(void **state) {
    (void)state;
    for (int k = 0; k < 2000; k++) {
        struct pinery_house_lw_layer l[MOST], more[MOST];
        int n = random_stack(l);
        if (n == MOST)
            continue;
        /* Any layer added at any height, left to find its own temperature. */
        int at = 1 + (int)uniform(0, n - 1.001);
        double t = uniform(0, 1);
        for (int i = 0; i < at; i++)
            more[i] = l[i];
        more[at] = (struct pinery_house_lw_layer){uniform(0, 1) * (1 - t), uniform(0, 1) * (1 - t), t};
        for (int i = at; i < n; i++)
            more[i + 1] = l[i];
        assert_true(through(n + 1, more) <= through(n, l) * (1 + 1e-12));
    }
}

static void drawing_a_layer_bit_by_bit(void **state) {
    (void)state;
    for (int k = 0; k < 500; k++) {
        struct pinery_house_lw_layer l[MOST], less[MOST], whole;
        int n = random_stack(l);
        if (n < 3)
            continue;
        int gone = 1 + (int)uniform(0, n - 2.001);
        struct pinery_house_lw_layer layer = l[gone];
        double f[MOST * MOST], g[MOST * MOST], before;
        whole = pinery_house_lw_partial(layer, 1);
        assert_memory_equal(&whole, &layer, sizeof whole);
        for (int i = 0, j = 0; i < n; i++)
            if (i != gone)
                less[j++] = l[i];
        l[gone] = pinery_house_lw_partial(layer, 0);
        pinery_house_longwave_factors(n, l, f);
        pinery_house_longwave_factors(n - 1, less, g);
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++) {
                if (i == gone || j == gone)
                    assert_close(f[i * n + j], 0, 0, 1e-15);
                else
                    assert_close(f[i * n + j], g[(i - (i > gone)) * (n - 1) + j - (j > gone)], 1e-12, 1e-16);
            }
        before = through(n - 1, less);
        for (double part = 0.1; part <= 1; part += 0.1) {
            l[gone] = pinery_house_lw_partial(layer, part);
            double q = through(n, l);
            assert_true(q <= before * (1 + 1e-12));
            before = q;
        }
    }
}

static void canopy_in_long_wave(void **state) {
    (void)state;
    /* Black leaves: Beer. Grey ones: take as much as they send, and less than black. */
    for (double lai = 0; lai < 6; lai += 0.5) {
        struct pinery_house_lw_layer b = pinery_house_lw_canopy(lai, 0.9, 1),
                                     g = pinery_house_lw_canopy(lai, 0.9, 0.95);
        assert_close(b.transmit, exp(-0.9 * lai), 1e-13, 0);
        assert_close(b.emit_up, 1 - exp(-0.9 * lai), 1e-13, 1e-15);
        assert_true(g.emit_up == g.emit_down && g.emit_up <= b.emit_up && g.emit_up + g.transmit <= 1);
    }
    /* A deep one of leaves that reflect r: 1 - (1 - sqrt(1 - r^2))/r, nearer black than one leaf. */
    struct pinery_house_lw_layer deep = pinery_house_lw_canopy(40, 0.9, 0.95);
    assert_close(deep.emit_up, 1 - (1 - sqrt(1 - 0.05 * 0.05)) / 0.05, 1e-12, 0);
    assert_true(deep.emit_up > 0.95);
}

/* Lamps in a gap: the same light, by the adding method of shortwave.c. */
static void a_source_in_a_gap_is_light_there(void **state) {
    (void)state;
    for (int k = 0; k < 2000; k++) {
        struct pinery_house_lw_layer l[MOST];
        struct pinery_house_sw_layer optics[MOST];
        struct pinery_house_lw_answer answer;
        int n = random_stack(l), gap = (int)uniform(0, n - 1.001);
        double down = uniform(0, 1), up = uniform(0, 1), taken[MOST], absorbed[MOST], escaped, sum = 0;
        for (int i = 0; i < n; i++)
            optics[i] = (struct pinery_house_sw_layer){.reflect_up = 1 - l[i].emit_up - l[i].transmit,
                                                       .reflect_down = 1 - l[i].emit_down - l[i].transmit,
                                                       .transmit = l[i].transmit};
        pinery_house_longwave_prepare(n, l, &answer);
        pinery_house_longwave_source(n, &answer, gap, down, up, taken);
        pinery_house_shortwave_source(n, optics, gap, down, up, absorbed, NULL, &escaped);
        for (int i = 0; i < n; i++) {
            assert_close(taken[i], absorbed[i], 1e-11, 1e-11);
            sum += taken[i];
        }
        assert_close(sum, down + up, 1e-12, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shields_between_black_plates),
        cmocka_unit_test(unlike_faces_in_series),
        cmocka_unit_test(random_stacks_agree_with_net_radiation),
        cmocka_unit_test(reciprocal_and_never_negative),
        cmocka_unit_test(what_is_emitted_is_taken),
        cmocka_unit_test(mirrors_take_no_part),
        cmocka_unit_test(emissivity_to_zero_removes_the_loss),
        cmocka_unit_test(a_colder_sky_takes_more),
        cmocka_unit_test(more_layers_never_raise_the_flow),
        cmocka_unit_test(drawing_a_layer_bit_by_bit),
        cmocka_unit_test(canopy_in_long_wave),
        cmocka_unit_test(a_source_in_a_gap_is_light_there),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
