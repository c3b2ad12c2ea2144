/* Vectors of the integration against SUNDIALS' own serial ones, which are the same operations by others. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>

#include "check.h"
#include "slopes.h"
#include "year/vector.h"

/* Lengths that fill their lines and that do not. */
static const int lengths[] = {1, 7, 8, 9, 40, 110};
enum { LENGTHS = sizeof lengths / sizeof *lengths, MANY = 4 };

/* The same numbers in vectors of both kinds. */
struct both {
    N_Vector ours, theirs;
};

static struct both make(int n, SUNContext context) {
    struct both v = {pinery_year_vector_create(n, context), N_VNew_Serial(n, context)};
    assert_non_null(v.ours);
    assert_non_null(v.theirs);
    for (int i = 0; i < n; i++)
        NV_Ith_S(v.ours, i) = NV_Ith_S(v.theirs, i) = slopes_random(-3.0, 3.0);
    return v;
}

static void drop(struct both v) {
    N_VDestroy(v.ours);
    N_VDestroy(v.theirs);
}

static void assert_same(struct both v, int n) {
    for (int i = 0; i < n; i++)
        assert_close(NV_Ith_S(v.ours, i), NV_Ith_S(v.theirs, i), 1e-15, 1e-14); /* numbers of some tens */
}

static void sums_are_sundials_own(void **state) {
    const double factor[] = {1.0, -1.0, 0.3, -0.3, 2.7};
    enum { FACTORS = sizeof factor / sizeof *factor };
    SUNContext context = *state;
    for (int l = 0; l < LENGTHS; l++)
        for (int k = 0; k < FACTORS * FACTORS; k++) {
            int n = lengths[l];
            double a = factor[k / FACTORS], b = factor[k % FACTORS];
            struct both x = make(n, context), y = make(n, context), z = make(n, context);
            N_VLinearSum(a, x.ours, b, y.ours, z.ours);
            N_VLinearSum(a, x.theirs, b, y.theirs, z.theirs);
            assert_same(z, n);
            N_VLinearSum(a, x.ours, b, y.ours, y.ours); /* into one of them */
            N_VLinearSum(a, x.theirs, b, y.theirs, y.theirs);
            assert_same(y, n);
            N_VScale(a, x.ours, z.ours);
            N_VScale(a, x.theirs, z.theirs);
            assert_same(z, n);
            N_VConst(b, z.ours);
            N_VConst(b, z.theirs);
            assert_same(z, n);
            drop(x), drop(y), drop(z);
        }
}

static void many_at_once_are_sundials_own(void **state) {
    SUNContext context = *state;
    for (int l = 0; l < LENGTHS; l++)
        for (int many = 1; many <= MANY; many++) {
            int n = lengths[l];
            double c[MANY];
            struct both v[MANY], x = make(n, context), z = make(n, context);
            N_Vector ours[MANY], theirs[MANY];
            for (int k = 0; k < many; k++) {
                c[k] = slopes_random(-2.0, 2.0);
                v[k] = make(n, context);
                ours[k] = v[k].ours;
                theirs[k] = v[k].theirs;
            }
            assert_int_equal(N_VLinearCombination(many, c, ours, z.ours), 0);
            assert_int_equal(N_VLinearCombination(many, c, theirs, z.theirs), 0);
            assert_same(z, n);
            assert_int_equal(N_VScaleAddMulti(many, c, x.ours, ours, ours), 0);
            assert_int_equal(N_VScaleAddMulti(many, c, x.theirs, theirs, theirs), 0);
            assert_int_equal(N_VScaleVectorArray(many, c, ours, ours), 0);
            assert_int_equal(N_VScaleVectorArray(many, c, theirs, theirs), 0);
            for (int k = 0; k < many; k++) {
                assert_same(v[k], n);
                drop(v[k]);
            }
            drop(x), drop(z);
        }
}

/* Over those that carry weight, which come first: SUNDIALS' norm of these alone. */
static void the_norm_is_of_what_carries_weight(void **state) {
    SUNContext context = *state;
    for (int l = 0; l < LENGTHS; l++)
        for (int weighed = 1; weighed <= lengths[l]; weighed += 1 + lengths[l] / 9) {
            int n = lengths[l];
            struct both x = make(n, context), w = make(n, context);
            N_Vector few = N_VNew_Serial(weighed, context), few_w = N_VNew_Serial(weighed, context);
            for (int i = 0; i < n; i++) {
                NV_Ith_S(w.ours, i) = i < weighed ? 1.0 + fabs(NV_Ith_S(w.ours, i)) : PINERY_YEAR_NO_WEIGHT;
                if (i >= weighed)
                    continue;
                NV_Ith_S(few, i) = NV_Ith_S(x.ours, i);
                NV_Ith_S(few_w, i) = NV_Ith_S(w.ours, i);
            }
            assert_close(N_VWrmsNorm(x.ours, w.ours), N_VWrmsNorm(few, few_w), 1e-14, 0.0);
            N_VDestroy(few);
            N_VDestroy(few_w);
            drop(x), drop(w);
        }
}

/* A quotient of differences asks for (x - y)/step: rounded products of the same number would leave something, and a
 * matrix without zeros is another. */
static void what_is_the_same_leaves_nothing(void **state) {
    SUNContext context = *state;
    struct both x = make(110, context);
    N_Vector y = N_VClone(x.ours), z = N_VClone(x.ours);
    N_VScale(1.0, x.ours, y);
    for (int k = 0; k < 100; k++) {
        double per_step = slopes_random(1e3, 1e9);
        N_VLinearSum(per_step, x.ours, -per_step, y, z);
        for (int i = 0; i < 110; i++)
            assert_true(NV_Ith_S(z, i) == 0.0);
    }
    N_VDestroy(y);
    N_VDestroy(z);
    drop(x);
}

/* A round of Newton's method: the residual, with and without a correction, and the look at what comes of it. */
static void rounds_of_newton(void **state) {
    (void)state;
    enum { N = 39 };
    double x[40], y[40], c[40], z[40], w[40], last[40], weighted[40], with_last, squares = 0.0, products = 0.0;
    for (int i = 0; i < 40; i++) {
        x[i] = slopes_random(-1, 1), y[i] = slopes_random(-1, 1), c[i] = slopes_random(-1, 1),
        last[i] = slopes_random(-1, 1);
        w[i] = i < N ? slopes_random(1, 2) : PINERY_YEAR_NO_WEIGHT;
    }
    pinery_year_vector_residual(N, 2.5, x, 0.7, y, NULL, z);
    for (int i = 0; i < N; i++)
        assert_close(z[i], 2.5 * x[i] - 0.7 * y[i], 0.0, 1e-14);
    pinery_year_vector_residual(N, 2.5, x, 0.7, y, c, z);
    for (int i = 0; i < N; i++) {
        assert_close(z[i], 2.5 * x[i] - 0.7 * y[i] - c[i], 0.0, 1e-14);
        squares += z[i] * w[i] * z[i] * w[i];
        products += z[i] * w[i] * last[i];
    }
    assert_close(pinery_year_vector_look(N, z, w, last, weighted, &with_last), squares, 1e-14, 0.0);
    assert_close(with_last, products, 0.0, 1e-12);
    for (int i = 0; i < N; i++)
        assert_close(weighted[i], z[i] * w[i], 1e-15, 0.0);
}

static int begin(void **state) {
    SUNContext context;
    int failed = SUNContext_Create(PINERY_YEAR_NO_COMMUNICATOR, &context);
    *state = failed ? NULL : context;
    return failed;
}

static int end(void **state) {
    SUNContext context = *state;
    return SUNContext_Free(&context);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sums_are_sundials_own),
        cmocka_unit_test(many_at_once_are_sundials_own),
        cmocka_unit_test(the_norm_is_of_what_carries_weight),
        cmocka_unit_test(what_is_the_same_leaves_nothing),
        cmocka_unit_test(rounds_of_newton),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
