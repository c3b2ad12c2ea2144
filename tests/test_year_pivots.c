/* The elimination of the integration held against a dense solution with row pivoting, at full blocks of every size and
 * at sparse patterns with layers in a row; and that small pivots are found. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "check.h"
#include "dense.h"
#include "slopes.h"
#include "year/dense.h"
#include "year/pivots.h"

enum { MOST = PINERY_YEAR_DENSE_MOST, UNKNOWNS = 40 };

/* Dominant by columns, as the matrices of a step are; entries where `seen` says so. */
static void random_matrix(int n, const bool *seen, double *a) {
    for (int k = 0; k < n * n; k++)
        a[k] = !seen || seen[k] ? slopes_random(-1.0, 1.0) : 0.0;
    for (int k = 0; k < n; k++)
        a[k * n + k] = n * slopes_random(0.5, 2.0);
}

static void check_solution(int n, double *a, double *b, const double *x) {
    dense_solve(n, a, b);
    for (int i = 0; i < n; i++)
        assert_close(x[i], b[i], 0, 1e-13);
}

static void full_blocks(void **state) {
    (void)state;
    for (int n = 1; n <= MOST; n++) {
        int stride = (n + 3) / 4 * 4;
        double a[MOST * MOST], b[MOST], block[MOST * MOST] = {0.0}, x[MOST], least[MOST];
        random_matrix(n, NULL, a);
        for (int i = 0; i < n; i++) {
            x[i] = b[i] = slopes_random(-1.0, 1.0);
            least[i] = 1e-3;
            for (int j = 0; j < n; j++)
                block[j * stride + i] = a[i * n + j];
        }
        assert_true(pinery_year_dense_factor(n, stride, block, least));
        pinery_year_dense_substitute(n, stride, block, x);
        check_solution(n, a, b, x);
    }
}

/* A unit matrix but for one pivot, which is as large as it may be or just smaller. */
static void small_pivots(void **state) {
    (void)state;
    for (int small = 0; small < MOST; small++)
        for (int enough = 0; enough < 2; enough++) {
            double a[MOST * MOST] = {0.0}, least[MOST];
            for (int i = 0; i < MOST; i++) {
                a[i * MOST + i] = 1.0;
                least[i] = 0.01;
            }
            int before = (small + MOST - 1) % MOST;
            a[before * MOST + small] = a[small * MOST + before] = small ? 1.0 : 0.0;
            a[small * MOST + small] = (enough ? 0.011 : 0.009) + (small ? 1.0 : 0.0);
            assert_int_equal(pinery_year_dense_factor(MOST, MOST, a, least), enough);
        }
}

/* A dense core, to which other unknowns hang by a few entries, and layers by the one before. */
static void random_pattern(struct pinery_year_pivots *pivots, int core, int layers) {
    int n = pivots->n;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) {
            bool loose = i < n - layers && j < n - layers && slopes_random(0.0, 1.0) < 0.1;
            bool layer = abs(i - j) == 1 && i >= n - layers - 1 && j >= n - layers - 1;
            pivots->seen[i * n + j] |= (i < core && j < core) || loose || layer;
        }
}

static void sparse_patterns(void **state) {
    (void)state;
    for (int n = 1; n <= UNKNOWNS; n++) {
        struct pinery_year_pivots pivots;
        double a[UNKNOWNS * UNKNOWNS], b[UNKNOWNS], least[UNKNOWNS], x[UNKNOWNS + 3], solution[UNKNOWNS];
        assert_true(pinery_year_pivots_create(&pivots, n));
        random_pattern(&pivots, n / 4, n / 3);
        assert_true(pinery_year_pivots_plan(&pivots));
        random_matrix(n, pivots.seen, a);
        double *value = calloc((size_t)pinery_year_pivots_most_values(n), sizeof *value);
        assert_non_null(value);
        assert_true(pivots.values <= pinery_year_pivots_most_values(n));
        for (int k = 0; k < n * n; k++)
            if (pivots.place[k] >= 0)
                value[pivots.place[k]] = a[k];
        for (int k = 0; k < n; k++) {
            least[k] = 1e-3;
            b[k] = slopes_random(-1.0, 1.0);
        }
        for (int k = 0; k < n; k++)
            x[k] = b[pivots.order[k]];
        assert_true(pinery_year_pivots_factor(&pivots, value, least));
        pinery_year_pivots_substitute(&pivots, value, x);
        for (int k = 0; k < n; k++)
            solution[pivots.order[k]] = x[k];
        check_solution(n, a, b, solution);
        free(value);
        pinery_year_pivots_free(&pivots);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(full_blocks), cmocka_unit_test(small_pivots),
                                       cmocka_unit_test(sparse_patterns)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
