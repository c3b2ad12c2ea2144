/* How sure: even samples, distributions, intervals and shares against what is known of them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"

#include "pinery/study.h"

static const double pi = 3.14159265358979323846;

static double *sample(pinery_study_sampling sampling, int n, int inputs, unsigned long seed) {
    double *u = malloc((size_t)(n * inputs) * sizeof *u);
    assert_non_null(u);
    assert_int_equal(pinery_study_sample(sampling, n, inputs, seed, u, NULL), PINERY_OK);
    return u;
}

/* Of n = 2^m points one is in each 1/n of every input: the definition of a Latin hypercube, and what a digital net in
 * base 2 is in each of its coordinates. The same seed gives the same, another seed other points. */
static void even(void **state) {
    (void)state;
    enum { N = 256, INPUTS = PINERY_STUDY_INPUTS };
    for (int kind = PINERY_STUDY_SOBOL; kind <= PINERY_STUDY_LATIN; kind++) {
        double *u = sample((pinery_study_sampling)kind, N, INPUTS, 5);
        for (int k = 0; k < INPUTS; k++) {
            int seen[N] = {0};
            for (int i = 0; i < N; i++) {
                double x = u[i * INPUTS + k];
                assert_true(x > 0.0 && x < 1.0);
                seen[(int)(x * N)]++;
            }
            for (int i = 0; i < N; i++) {
                assert_int_equal(seen[i], 1);
            }
        }
        double *same = sample((pinery_study_sampling)kind, N, INPUTS, 5);
        double *other = sample((pinery_study_sampling)kind, N, INPUTS, 6);
        assert_memory_equal(u, same, N * INPUTS * sizeof *u);
        for (int k = 0; k < INPUTS; k++) {
            assert_true(u[k] != other[k]);
        }
        free(u);
        free(same);
        free(other);
    }
}

/* The first two inputs of Sobol's sequence are a (0, m, 2)-net: one of 2^m points in each box of 2^-j by 2^-(m - j)
 * (Sobol 1967), and the shift by bits keeps it so. A Latin hypercube is none. */
static void net(void **state) {
    (void)state;
    enum { M = 8, N = 1 << M };
    double *u = sample(PINERY_STUDY_SOBOL, N, 2, 99);
    for (int j = 0; j <= M; j++) {
        int seen[N] = {0};
        for (int i = 0; i < N; i++) {
            int a = (int)(u[2 * i] * (1 << j)), b = (int)(u[2 * i + 1] * (1 << (M - j)));
            seen[a << (M - j) | b]++;
        }
        for (int i = 0; i < N; i++) {
            assert_int_equal(seen[i], 1);
        }
    }
    free(u);
}

static pinery_study_chance chance(pinery_study_chance_kind kind, double a, double b, double c) {
    return (pinery_study_chance){kind, a, b, c, -INFINITY, INFINITY};
}

/* Mean of the distribution, by 20000 midpoints. */
static double mean(const pinery_study_chance *c) {
    double sum = 0.0;
    for (int i = 0; i < 20000; i++) {
        sum += pinery_study_quantile(c, (i + 0.5) / 20000);
    }
    return sum / 20000;
}

static void quantiles(void **state) {
    (void)state;
    pinery_study_chance c = chance(PINERY_STUDY_NORMAL, 3.0, 2.0, 0.0);
    /* tables of the normal distribution, e.g. Abramowitz and Stegun 1964, table 26.5: 1.28155, 1.95996 */
    assert_close(pinery_study_quantile(&c, 0.9), 3.0 + 2.0 * 1.28155, 0.0, 1e-5);
    assert_close(pinery_study_quantile(&c, 0.025), 3.0 - 2.0 * 1.95996, 0.0, 1e-5);
    /* the upper half alone has mean sqrt(2/pi) of a deviation above the middle, and median at the upper quartile,
     * 0.67449 */
    c.from = 3.0;
    assert_close(mean(&c), 3.0 + 2.0 * sqrt(2.0 / pi), 0.0, 2e-3);
    assert_close(pinery_study_quantile(&c, 0.5), 3.0 + 2.0 * 0.67449, 0.0, 2e-5);
    c = chance(PINERY_STUDY_LOGNORMAL, 2.0, 1.5, 0.0);
    assert_close(pinery_study_quantile(&c, 0.5), 2.0, 1e-12, 0.0);
    assert_close(pinery_study_quantile(&c, 0.841345), 3.0, 1e-5, 0.0); /* one deviation up: times the factor */
    assert_close(mean(&c), 2.0 * exp(0.5 * log(1.5) * log(1.5)), 1e-4, 0.0);
    /* a triangle from 1 over 2 to 5: by hand, a quarter lies below 2, the median at 5 - sqrt(6), the mean at 8/3 */
    c = chance(PINERY_STUDY_TRIANGULAR, 1.0, 2.0, 5.0);
    assert_close(pinery_study_quantile(&c, 0.25), 2.0, 1e-12, 0.0);
    assert_close(pinery_study_quantile(&c, 0.5), 5.0 - sqrt(6.0), 1e-12, 0.0);
    assert_close(mean(&c), 8.0 / 3.0, 1e-6, 0.0);
    c.to = 2.0;
    assert_close(pinery_study_quantile(&c, 0.25), 1.5, 1e-12, 0.0); /* of the quarter, a quarter: half of the way */
    c = chance(PINERY_STUDY_TRIANGULAR, 1.0, 1.0, 5.0);
    assert_close(mean(&c), 7.0 / 3.0, 1e-6, 0.0);
    c = chance(PINERY_STUDY_UNIFORM, -1.0, 3.0, 0.0);
    assert_close(pinery_study_quantile(&c, 0.25), 0.0, 0.0, 1e-15);
    c.from = 1.0;
    assert_close(pinery_study_quantile(&c, 0.25), 1.5, 1e-12, 0.0);
}

static void refused(void **state) {
    (void)state;
    static const struct {
        pinery_study_chance chance;
        const char *text;
    } wrong[] = {
        {{PINERY_STUDY_UNIFORM, 2.0, 1.0, 0.0, -INFINITY, INFINITY}, "x: uniform from 2 to 1, expected"},
        {{PINERY_STUDY_UNIFORM, NAN, 1.0, 0.0, -INFINITY, INFINITY}, "x: uniform from nan to 1"},
        {{PINERY_STUDY_TRIANGULAR, 1.0, 5.0, 4.0, -INFINITY, INFINITY}, "x: triangular 1, 5, 4, expected the lowest"},
        {{PINERY_STUDY_NORMAL, 1.0, 0.0, 0.0, -INFINITY, INFINITY}, "x: normal 1, 0, expected a mean"},
        {{PINERY_STUDY_LOGNORMAL, -1.0, 2.0, 0.0, -INFINITY, INFINITY}, "x: lognormal -1, 2"},
        {{PINERY_STUDY_LOGNORMAL, 1.0, 1.0, 0.0, -INFINITY, INFINITY}, "a factor over 1"},
        {{PINERY_STUDY_NORMAL, 0.0, 1.0, 0.0, 2.0, 1.0}, "x: from 2 to 1 leaves nothing"},
        {{PINERY_STUDY_UNIFORM, 0.0, 1.0, 0.0, 1.0, INFINITY}, "x: from 1 to inf leaves nothing"},
    };
    pinery_error error;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        assert_int_equal(pinery_study_chance_check(&wrong[i].chance, "x", &error), PINERY_BAD_INPUT);
        if (!strstr(error.text, wrong[i].text)) {
            fail_msg("\"%s\" has no \"%s\"", error.text, wrong[i].text);
        }
    }
    pinery_study_chance fine = chance(PINERY_STUDY_NORMAL, 0.0, 1.0, 0.0);
    assert_int_equal(pinery_study_chance_check(&fine, "x", &error), PINERY_OK);
    double u;
    assert_int_equal(pinery_study_sample(PINERY_STUDY_SOBOL, 0, 1, 1, &u, &error), PINERY_BAD_INPUT);
    assert_int_equal(pinery_study_sample(PINERY_STUDY_SOBOL, 1, PINERY_STUDY_INPUTS + 1, 1, &u, &error),
                     PINERY_BAD_INPUT);
}

/* Intervals of a normal distribution, drawn evenly: its own quantiles. */
static void intervals(void **state) {
    (void)state;
    enum { N = 1024 };
    double x[N];
    pinery_study_chance c = chance(PINERY_STUDY_NORMAL, -1.0, 2.0, 0.0);
    for (int kind = PINERY_STUDY_SOBOL; kind <= PINERY_STUDY_LATIN; kind++) {
        double *u = sample((pinery_study_sampling)kind, N, 1, 3);
        for (int i = 0; i < N; i++) {
            x[i] = pinery_study_quantile(&c, u[i]);
        }
        pinery_study_summary s;
        assert_int_equal(pinery_study_summarise(N, x, &s, NULL), PINERY_OK);
        assert_int_equal(s.n, N);
        assert_close(s.median, -1.0, 0.0, 0.01);
        assert_close(s.mean, -1.0, 0.0, 0.01);
        assert_close(s.low80, -1.0 - 2.0 * 1.28155, 0.0, 0.02);
        assert_close(s.high80, -1.0 + 2.0 * 1.28155, 0.0, 0.02);
        assert_close(s.low95, -1.0 - 2.0 * 1.95996, 0.0, 0.05);
        assert_close(s.high95, -1.0 + 2.0 * 1.95996, 0.0, 0.05);
        assert_close(s.below_zero, 0.691462, 0.0, 2e-3); /* half a deviation, same table */
        free(u);
    }
    /* by hand: the median of 1 2 4 is 2, and a tenth and nine tenths of the way from the first to the last
     * are 1.2, 3.6; what is no number does not count */
    pinery_study_summary s;
    const double few[] = {4.0, NAN, 1.0, 2.0, INFINITY};
    assert_int_equal(pinery_study_summarise(5, few, &s, NULL), PINERY_OK);
    assert_int_equal(s.n, 3);
    assert_close(s.median, 2.0, 1e-15, 0.0);
    assert_close(s.low80, 1.2, 1e-14, 0.0);
    assert_close(s.high80, 3.6, 1e-14, 0.0);
    /* of the 27 samples of three from these, 7 have median 1, 13 have 2 and 7 have 4: variance (7 1 + 13 4 + 7 16)/27 -
     * (61/27)^2. Maritz and Jarrett take I(1/3; 2, 2) = 7/27 for the first, which here is the same. */
    double square = (7.0 + 52.0 + 112.0) / 27.0, first = 61.0 / 27.0;
    assert_close(s.median_error, sqrt(square - first * first), 1e-12, 0.0);
    assert_int_equal(pinery_study_summarise(2, (double[]){NAN, NAN}, &s, NULL), PINERY_OK);
    assert_true(s.n == 0 && isnan(s.median) && isnan(s.below_zero));
}

static double even_chance(void) {
    return (rand() + 0.5) / (RAND_MAX + 1.0);
}

/* Independent draws of a normal distribution: the median strays by sqrt(pi/2)/sqrt(n) of a deviation (Kendall and
 * Stuart, The Advanced Theory of Statistics, vol. 1), and that is what is stated. Even draws stray less than stated. */
static void median_error(void **state) {
    (void)state;
    enum { N = 101, TIMES = 1000 };
    pinery_study_chance c = chance(PINERY_STUDY_NORMAL, 0.0, 1.0, 0.0);
    double x[N], stray = 0.0, stated = 0.0, even_stray = 0.0, even_stated = 0.0;
    srand(1);
    for (int t = 0; t < TIMES; t++) {
        pinery_study_summary s;
        for (int i = 0; i < N; i++) {
            x[i] = pinery_study_quantile(&c, even_chance());
        }
        assert_int_equal(pinery_study_summarise(N, x, &s, NULL), PINERY_OK);
        stray += s.median * s.median / TIMES;
        stated += s.median_error / TIMES;
        double *u = sample(PINERY_STUDY_SOBOL, N, 4, (unsigned long)t);
        for (int i = 0; i < N; i++) {
            x[i] = 0.0;
            for (int k = 0; k < 4; k++) {
                x[i] += 0.5 * pinery_study_quantile(&c, u[4 * i + k]);
            }
        }
        assert_int_equal(pinery_study_summarise(N, x, &s, NULL), PINERY_OK);
        even_stray += s.median * s.median / TIMES;
        even_stated += s.median_error / TIMES;
        free(u);
    }
    double theory = sqrt(pi / 2.0 / N);
    assert_close(sqrt(stray), theory, 0.05, 0.0);
    assert_close(stated, theory, 0.1, 0.0);
    assert_true(sqrt(even_stray) < 0.8 * even_stated);
}

static double ishigami(const double *u) {
    double x[3];
    for (int k = 0; k < 3; k++) {
        x[k] = pi * (2.0 * u[k] - 1.0);
    }
    return sin(x[0]) + 7.0 * sin(x[1]) * sin(x[1]) + 0.1 * pow(x[2], 4.0) * sin(x[0]);
}

/* The function of Ishigami and Homma 1990 with a = 7, b = 0.1: first order 0.3139, 0.4424, 0, total 0.5576, 0.4424,
 * 0.2437 (Saltelli et al. 2008, Global Sensitivity Analysis, from the closed forms). */
static void test_function(void **state) {
    (void)state;
    enum { N = 2048 };
    static const double first[3] = {0.3139, 0.4424, 0.0}, total[3] = {0.5576, 0.4424, 0.2437};
    double y[N], changed[N], share[3], at[3];
    for (unsigned long seed = 1; seed <= 3; seed++) {
        double *u = sample(PINERY_STUDY_SOBOL, N, 6, seed), *own = malloc(3 * N * sizeof *own);
        assert_non_null(own);
        for (int i = 0; i < N; i++) {
            memcpy(own + 3 * i, u + 6 * i, 3 * sizeof *u);
            y[i] = ishigami(own + 3 * i);
        }
        assert_int_equal(pinery_study_shares(N, 3, own, y, share, NULL), PINERY_OK);
        for (int k = 0; k < 3; k++) {
            assert_close(share[k], first[k], 0.0, 0.015);
            for (int i = 0; i < N; i++) {
                memcpy(at, own + 3 * i, sizeof at);
                at[k] = u[6 * i + 3 + k];
                changed[i] = ishigami(at);
            }
            assert_close(pinery_study_total(N, y, changed), total[k], 0.0, 0.02);
        }
        free(u);
        free(own);
    }
}

/* A sum of five inputs with factors 0 to 4: shares go with the squares, from 64 draws. An input that does nothing gets
 * nothing but noise, and what is pure noise gets little. */
static void few_draws(void **state) {
    (void)state;
    enum { N = 64, INPUTS = 5 };
    double y[N], share[INPUTS], noise = 0.0;
    double *u = sample(PINERY_STUDY_LATIN, N, INPUTS, 8);
    for (int i = 0; i < N; i++) {
        y[i] = 100.0;
        for (int k = 0; k < INPUTS; k++) {
            y[i] += k * u[i * INPUTS + k];
        }
    }
    assert_int_equal(pinery_study_shares(N, INPUTS, u, y, share, NULL), PINERY_OK);
    for (int k = 0; k < INPUTS; k++) {
        assert_close(share[k], k * k / 30.0, 0.0, 1e-9);
    }
    srand(3);
    for (int round = 0; round < 50; round++) {
        for (int i = 0; i < N; i++) {
            y[i] = even_chance();
        }
        assert_int_equal(pinery_study_shares(N, INPUTS, u, y, share, NULL), PINERY_OK);
        for (int k = 0; k < INPUTS; k++) {
            noise += share[k] / (50 * INPUTS);
        }
    }
    assert_true(noise < 0.03);
    memset(y, 0, sizeof y);
    assert_int_equal(pinery_study_shares(N, INPUTS, u, y, share, NULL), PINERY_OK);
    assert_true(isnan(share[0]) && isnan(pinery_study_total(N, y, y)));
    assert_int_equal(pinery_study_shares(20, INPUTS, u, u, share, NULL), PINERY_OK);
    assert_true(isnan(share[0])); /* too few */
    free(u);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(even),          cmocka_unit_test(net),
                                       cmocka_unit_test(quantiles),     cmocka_unit_test(refused),
                                       cmocka_unit_test(intervals),     cmocka_unit_test(median_error),
                                       cmocka_unit_test(test_function), cmocka_unit_test(few_draws)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
