/* Studies: shares against games worked out by others, paths against the books they are made from. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "check.h"

#include "pinery/study.h"

static int members(int set) {
    int n = 0;
    for (; set > 0; set >>= 1) {
        n += set & 1;
    }
    return n;
}

/* One left glove, two right gloves, a pair is worth 1: 2/3, 1/6, 1/6 (the textbook example, after Shapley and Shubik
 * 1969). */
static void gloves(void **state) {
    (void)state;
    double value[8], share[3];
    for (int set = 0; set < 8; set++) {
        value[set] = (set & 1) && (set & 6);
    }
    pinery_study_shapley(3, value, share);
    assert_close(share[0], 2.0 / 3.0, 0.0, 1e-15);
    assert_close(share[1], 1.0 / 6.0, 0.0, 1e-15);
    assert_close(share[2], 1.0 / 6.0, 0.0, 1e-15);
}

/* The Security Council of 15: five with a veto, nine votes to pass. 421/2145 = 0.1963 for each of the five and 4/2145 =
 * 0.00186 for each of the others (Straffin 1993, Game Theory and Strategy, ch. 29: 0.1963 and 0.0019). */
static void council(void **state) {
    (void)state;
    enum { N = 15, SETS = 1 << N };
    double *value = malloc(SETS * sizeof *value), share[N], sum = 0.0;
    assert_non_null(value);
    for (int set = 0; set < SETS; set++) {
        value[set] = (set & 31) == 31 && members(set) >= 9;
    }
    pinery_study_shapley(N, value, share);
    for (int i = 0; i < N; i++) {
        assert_close(share[i], (i < 5 ? 421.0 : 4.0) / 2145.0, 1e-12, 0.0);
        sum += share[i];
    }
    assert_close(sum, 1.0, 0.0, 1e-13);
    free(value);
}

/* A runway costs what its largest user needs: every stretch is shared by those who need it (Littlechild and Owen 1973,
 * Management Science 20:370). With costs 1, 3, 3.5, 7: 1/4, 1/4 + 2/3, + 0.5/2, + 3.5. */
static void runway(void **state) {
    (void)state;
    const double cost[4] = {1.0, 3.0, 3.5, 7.0};
    double value[16], share[4];
    for (int set = 0; set < 16; set++) {
        value[set] = 0.0;
        for (int i = 0; i < 4; i++) {
            value[set] = set & 1 << i ? cost[i] : value[set];
        }
    }
    pinery_study_shapley(4, value, share);
    assert_close(share[0], 0.25, 1e-14, 0.0);
    assert_close(share[1], 0.25 + 2.0 / 3.0, 1e-14, 0.0);
    assert_close(share[2], 0.25 + 2.0 / 3.0 + 0.25, 1e-14, 0.0);
    assert_close(share[3], 0.25 + 2.0 / 3.0 + 0.25 + 3.5, 1e-14, 0.0);
}

/* What is worth 1 with all of t players, and nothing else: a pair of them has 1/(t - 1), others 0 (Grabisch and Roubens
 * 1999). In the majority of three, pairs are worth 1 and so is the third: by hand (1 - 1)/2 = 0. */
static void interaction(void **state) {
    (void)state;
    double value[64], majority[8];
    for (int t = 2; t <= 6; t++) {
        int all = (1 << t) - 1;
        for (int set = 0; set < 64; set++) {
            value[set] = (set & all) == all;
        }
        assert_close(pinery_study_interaction(6, value, 0, t - 1), 1.0 / (t - 1), 1e-14, 0.0);
        if (t < 6) {
            assert_close(pinery_study_interaction(6, value, 0, t), 0.0, 0.0, 1e-15);
        }
    }
    for (int set = 0; set < 8; set++) {
        majority[set] = members(set) > 1;
    }
    assert_close(pinery_study_interaction(3, majority, 0, 2), 0.0, 0.0, 1e-15);
}

/* Any numbers: the shares add up, do not depend on the order of the parts, and what does nothing gets nothing; without
 * interaction each gets what it does alone. */
static void laws(void **state) {
    (void)state;
    enum { N = 6, SETS = 1 << N };
    static const int other[N] = {3, 5, 0, 1, 4, 2};
    double value[SETS], turned[SETS], share[N], again[N];
    srand(7);
    for (int round = 0; round < 20; round++) {
        for (int set = 0; set < SETS; set++) {
            value[set] = 1e3 * rand() / RAND_MAX;
        }
        for (int set = 0; set < SETS; set++) {
            int to = 0;
            for (int i = 0; i < N; i++) {
                to |= set & 1 << i ? 1 << other[i] : 0;
            }
            turned[to] = value[set];
        }
        pinery_study_shapley(N, value, share);
        pinery_study_shapley(N, turned, again);
        double sum = 0.0;
        for (int i = 0; i < N; i++) {
            sum += share[i];
            assert_close(again[other[i]], share[i], 0.0, 1e-10);
        }
        assert_close(sum, value[SETS - 1] - value[0], 0.0, 1e-10);
    }
    for (int set = 0; set < SETS; set++) {
        value[set] = 5.0;
        for (int i = 1; i < N; i++) {
            value[set] += set & 1 << i ? i : 0.0;
        }
    }
    pinery_study_shapley(N, value, share);
    for (int i = 0; i < N; i++) {
        assert_close(share[i], i, 0.0, 1e-13);
        assert_close(pinery_study_interaction(N, value, i, (i + 1) % N), 0.0, 0.0, 1e-13);
    }
}

/* The paths add up to out less in, less the boiler's own, plus what is kept, whatever flows; vapour is worth 2.501
 * MJ/kg and is taken from vents and leaks alone. */
static void paths(void **state) {
    (void)state;
    double heat[PINERY_N_HEADINGS], water[PINERY_N_HEADINGS], path[PINERY_STUDY_N_PATHS], want = 0.0, sum = 0.0;
    srand(11);
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        pinery_heading heading = (pinery_heading)i;
        heat[i] = 1e9 * rand() / RAND_MAX;
        water[i] = pinery_heading_has_water(heading) ? 100.0 * rand() / RAND_MAX : 0.0;
        bool boiler = i == PINERY_HEADING_heat_lower || i == PINERY_HEADING_heat_upper || i == PINERY_HEADING_duct_coil;
        want += boiler                                            ? 0.0
                : pinery_heading_side(heading) == PINERY_SIDE_OUT ? heat[i]
                : pinery_heading_side(heading) == PINERY_SIDE_IN  ? -heat[i]
                                                                  : 0.0;
    }
    pinery_study_paths(heat, water, 3e7, path);
    for (int i = 0; i < PINERY_STUDY_N_PATHS; i++) {
        assert_non_null(pinery_study_path_name((pinery_study_path)i)->doc);
        sum += path[i];
    }
    assert_close(sum, want + 3e7, 1e-13, 0.0);
    double vapour = 2.501e6 * (water[PINERY_HEADING_vents] + water[PINERY_HEADING_leakage]);
    assert_close(path[PINERY_STUDY_VAPOUR], vapour, 1e-14, 0.0);
    assert_close(path[PINERY_STUDY_VENTS] + path[PINERY_STUDY_LEAKS] + vapour,
                 heat[PINERY_HEADING_vents] + heat[PINERY_HEADING_leakage], 1e-13, 0.0);
    assert_close(path[PINERY_STUDY_LAMPS], -heat[PINERY_HEADING_lamp_body] - heat[PINERY_HEADING_lamp_light], 1e-14,
                 0.0);
    assert_null(pinery_study_path_name(PINERY_STUDY_N_PATHS));
}

/* Within the tolerance is equal; what neither had is equal, what one had is not. */
static void held(void **state) {
    (void)state;
    int n;
    const pinery_study_outcome *outcome = pinery_study_outcomes(&n);
    assert_true(n > 5);
    for (int i = 0; i < n; i++) {
        double most = pinery_study_tolerance(&outcome[i], 20.0, 8760.0);
        assert_true(most > 0.0);
        assert_true(pinery_study_held(&outcome[i], 20.0, 20.0, 8760.0));
        assert_true(pinery_study_held(&outcome[i], 20.0, 20.0 - 0.999 * most, 8760.0));
        assert_false(pinery_study_held(&outcome[i], 20.0, 20.0 + 1.001 * most, 8760.0));
        assert_true(pinery_study_held(&outcome[i], NAN, NAN, 8760.0));
        assert_false(pinery_study_held(&outcome[i], NAN, 20.0, 8760.0));
        assert_false(pinery_study_held(&outcome[i], 20.0, NAN, 8760.0));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gloves), cmocka_unit_test(council), cmocka_unit_test(runway), cmocka_unit_test(interaction),
        cmocka_unit_test(laws),   cmocka_unit_test(paths),   cmocka_unit_test(held)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
