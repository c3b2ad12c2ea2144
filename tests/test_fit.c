/* Calibration: known answers of the search, what it says of parameters that cannot be told apart, and bad input. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "pinery/fit.h"

enum { MOST = 60 };

struct model {
    int n;
    const double *x, *y;
    double (*at)(const double *value, double x);
    int calls, fail_at;
};

static pinery_status residuals(void *context, const double *value, double *residual, pinery_error *error) {
    struct model *model = context;
    if (++model->calls == model->fail_at) {
        error->status = PINERY_SOLVER;
        strcpy(error->text, "the house burst");
        return PINERY_SOLVER;
    }
    for (int i = 0; i < model->n; i++)
        residual[i] = model->at(value, model->x[i]) - model->y[i];
    return PINERY_OK;
}

static double ones[MOST];
static int each[MOST];

static pinery_fit_problem problem_of(struct model *model, int parameters) {
    for (int i = 0; i < MOST; i++) {
        ones[i] = 1.0;
        each[i] = i;
    }
    return (pinery_fit_problem){.parameters = parameters,
                                .residuals = model->n,
                                .weight = ones,
                                .block = each,
                                .model = residuals,
                                .context = model,
                                .most_calls = 2000,
                                .tolerance = 1e-4};
}

/* NIST Statistical Reference Datasets, nonlinear regression, Misra1a: data and certified values. The value of the sum
 * of squares is computed here from the certified parameters, so a slip in the data would show. */
static const double misra_y[] = {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02,
                                 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78};
static const double misra_x[] = {77.6,  114.9, 141.1, 190.8, 239.9, 289.0, 332.8,
                                 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0};

static double misra(const double *b, double x) {
    return b[0] * (1.0 - exp(-b[1] * x));
}

static void finds_certified_values(void **state) {
    (void)state;
    struct model model = {.n = 14, .x = misra_x, .y = misra_y, .at = misra};
    pinery_fit_problem problem = problem_of(&model, 2);
    problem.parameter[0] = (pinery_fit_parameter){"b1", 250.0, 200.0, 300.0, false};
    problem.parameter[1] = (pinery_fit_parameter){"b2", 5e-4, 4e-4, 7e-4, false};
    const double certified[2] = {238.94212918, 5.5015643181e-4};
    double residual[14], sum = 0.0;
    pinery_error error;
    assert_int_equal(residuals(&model, certified, residual, &error), PINERY_OK);
    for (int i = 0; i < 14; i++)
        sum += residual[i] * residual[i];
    assert_close(sum, 0.12455138894, 1e-8, 0.0);
    pinery_fit_result result;
    assert_int_equal(pinery_fit(&problem, &result, &error), PINERY_OK);
    assert_true(result.settled && result.score_before > 10.0 * result.score);
    assert_close(result.score, 0.12455138894, 1e-3, 0.0);
    assert_close(result.value[0], certified[0], 2e-3, 0.0);
    assert_close(result.value[1], certified[1], 2e-3, 0.0);
    /* Certified standard deviations assume independent errors and count degrees of freedom; ours does neither, and 14
     * points are few: the same within a factor of two. The correlation of the two is that of the certified covariance.
     */
    const double deviation[2] = {2.7070075241, 7.2668688436e-6};
    for (int i = 0; i < 2; i++) {
        double got = (result.high[i] - result.low[i]) / (2.0 * 1.96);
        assert_between(got / deviation[i], 0.5, 2.0);
        assert_true(result.identified[i] && !result.at_bound[i]);
        assert_true(result.low[i] < certified[i] && certified[i] < result.high[i]);
    }
    assert_true(result.correlation[0][1] < -0.99);
    assert_int_equal(result.directions, 0);
}

/* Points on a line with an error of +-0.1 in turn; what the parameters mean is in the models below. */
static double line_x[MOST], line_y[MOST];

static struct model line(double (*at)(const double *value, double x), double slope) {
    for (int i = 0; i < MOST; i++) {
        line_x[i] = (i % 20) / 10.0;
        line_y[i] = slope * line_x[i] + (i % 2 ? 0.1 : -0.1);
    }
    return (struct model){.n = MOST, .x = line_x, .y = line_y, .at = at};
}

static double product(const double *v, double x) {
    return v[0] * v[1] * x + 0.0 * v[2];
}

/* Only the product of the first two counts: it is found, they are not; nor is the third, which does nothing. */
static void says_what_cannot_be_told_apart(void **state) {
    (void)state;
    struct model model = line(product, 2.0);
    pinery_fit_problem problem = problem_of(&model, 3);
    problem.parameter[0] = (pinery_fit_parameter){"area", 1.0, 0.1, 10.0, true};
    problem.parameter[1] = (pinery_fit_parameter){"speed", 1.0, 0.1, 10.0, true};
    problem.parameter[2] = (pinery_fit_parameter){"colour", 0.3, 0.0, 1.0, false};
    pinery_fit_result result;
    pinery_error error;
    assert_int_equal(pinery_fit(&problem, &result, &error), PINERY_OK);
    assert_close(result.value[0] * result.value[1], 2.0, 0.05, 0.0);
    for (int i = 0; i < 3; i++) {
        assert_false(result.identified[i]);
        assert_true(result.spread[i] > 0.5);
    }
    assert_true(result.spread_alone[0] < 0.1 && result.spread_alone[1] < 0.1);
    assert_close(result.spread_alone[2], 1.0, 1e-12, 0.0);
    assert_true(result.correlation[0][1] < -0.9);
    assert_int_equal(result.directions, 2);
    for (int k = 0; k < 2; k++) { /* up with the one and down with the other, or the third by itself */
        double together = fabs(result.direction[k][0] + result.direction[k][1]);
        bool apart = fabs(result.direction[k][2])<0.1, alone = fabs(result.direction[k][2])> 0.9;
        assert_true(together < 0.1 && (apart || alone));
    }
}

/* Errors that hang together tell less: the same residuals, in blocks of ten, leave more spread. */
static double offset(const double *v, double x) {
    return 2.0 * x + v[0];
}

static void counts_what_hangs_together(void **state) {
    (void)state;
    struct model model = line(offset, 2.0);
    pinery_fit_problem problem = problem_of(&model, 1);
    problem.parameter[0] = (pinery_fit_parameter){"offset", 0.4, -0.5, 0.5, false};
    for (int i = 0; i < MOST; i++)
        line_y[i] = 2.0 * line_x[i] + (i < 30 ? 0.1 : -0.1);
    int together[MOST];
    for (int i = 0; i < MOST; i++)
        together[i] = i / 10;
    pinery_fit_result result, blocked;
    pinery_error error;
    assert_int_equal(pinery_fit(&problem, &result, &error), PINERY_OK);
    problem.block = together;
    assert_int_equal(pinery_fit(&problem, &blocked, &error), PINERY_OK);
    /* the mean of 60 errors of +-0.1 is 0, its deviation 0.1 / sqrt(60) when they are independent; the lags of the
     * formula see part of the rest */
    assert_close(result.value[0], 0.0, 0.0, 1e-3);
    assert_close(blocked.value[0], 0.0, 0.0, 1e-3);
    assert_true(blocked.spread[0] > 1.5 * result.spread[0]);
    assert_true(result.spread[0] / sqrt(12.0) > 0.9 * 0.1 / sqrt(60.0));
}

static void stops_at_bounds(void **state) {
    (void)state;
    struct model model = line(offset, 2.0);
    pinery_fit_problem problem = problem_of(&model, 1);
    problem.parameter[0] = (pinery_fit_parameter){"offset", 0.4, 0.2, 0.5, false};
    pinery_fit_result result;
    pinery_error error;
    assert_int_equal(pinery_fit(&problem, &result, &error), PINERY_OK);
    assert_close(result.value[0], 0.2, 1e-3, 0.0);
    assert_true(result.at_bound[0] && !result.identified[0]);
}

static void refuses(pinery_fit_problem problem, const char *text) {
    pinery_fit_result result;
    pinery_error error;
    assert_int_equal(pinery_fit(&problem, &result, &error), PINERY_BAD_INPUT);
    assert_string_equal(error.text, text);
}

static void names_bad_input(void **state) {
    (void)state;
    struct model model = line(offset, 2.0);
    pinery_fit_problem good = problem_of(&model, 1), bad;
    good.parameter[0] = (pinery_fit_parameter){"offset", 0.4, 0.2, 0.5, false};
    bad = good;
    bad.parameters = 17;
    refuses(bad, "fit: 17 parameters, expected 1 .. 16");
    bad = good;
    bad.parameter[0].start = 0.6;
    refuses(bad, "fit: offset: start = 0.6 is outside 0.2 .. 0.5");
    bad.parameter[0].start = NAN;
    refuses(bad, "fit: offset: start = nan is outside 0.2 .. 0.5");
    bad.parameter[0].max = 0.2;
    refuses(bad, "fit: offset: min = 0.2 and max = 0.2, expected numbers, min under max");
    bad = good;
    bad.parameter[0].min = 0.0;
    bad.parameter[0].ratio = true;
    refuses(bad, "fit: offset: min = 0, expected over 0 as it moves by ratio");
    bad = good;
    bad.residuals = 1;
    refuses(bad, "fit: 1 measured values for 1 parameters, expected more");
    bad = good;
    bad.tolerance = 1.0;
    refuses(bad, "fit: tolerance = 1 is outside 1e-4 .. 0.1");
    line_y[7] = NAN;
    refuses(good, "fit: the model gave a residual that is not a number, at offset = 0.4");
}

/* Whichever call fails, the search hands on its status and text, and owns nothing afterwards. */
static void hands_on_failures(void **state) {
    (void)state;
    for (int at = 1; at < 40; at += 3) {
        struct model model = line(product, 2.0);
        model.fail_at = at;
        pinery_fit_problem problem = problem_of(&model, 2);
        problem.parameter[0] = (pinery_fit_parameter){"area", 1.0, 0.1, 10.0, true};
        problem.parameter[1] = (pinery_fit_parameter){"speed", 1.0, 0.1, 10.0, true};
        pinery_fit_result result;
        pinery_error error;
        pinery_status status = pinery_fit(&problem, &result, &error);
        if (model.calls < at)
            break;
        assert_int_equal(status, PINERY_SOLVER);
        assert_string_equal(error.text, "the house burst");
        assert_int_equal(model.calls, at);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(finds_certified_values),
                                       cmocka_unit_test(says_what_cannot_be_told_apart),
                                       cmocka_unit_test(counts_what_hangs_together),
                                       cmocka_unit_test(stops_at_bounds),
                                       cmocka_unit_test(names_bad_input),
                                       cmocka_unit_test(hands_on_failures)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
