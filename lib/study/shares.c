/* Which inputs matter: shares of the variance of a result.
 *
 * First order (Sobol 1993): S_i = Var(E[y | u_i]) / Var(y), what fixing input i would take away on average. From any
 * sample: y is fitted by least squares as a sum of functions of one input each,
 *
 *   y = c + sum_i sum_l c_il sqrt(2 l + 1) P_l(2 u_i - 1) + rest,    S_i = V_i / (sum_j V_j + Var(rest)),
 *   V_i = sum_l (c_il^2 - squared error of c_il)
 *
 * since Legendre's polynomials are orthonormal over the even chance of u_i (Sudret 2008, Reliab. Eng. Syst. Safety
 * 93:964). The square of a coefficient's own error is taken off, so that an input that does nothing gets nothing on
 * average. Var(y) is put together from its parts, since that of few draws holds the chance likeness between their
 * inputs. The degree grows with the draws for each input, to 10.
 *
 * Total (Jansen 1999, Comput. Phys. Commun. 117:35): T_i = E[(y(u) - y(u with another u_i))^2] / (2 Var(y)), what would
 * be left if all the others were fixed; it holds the interactions, and takes a run more for every draw and input. */
#include "pinery/study.h"

#include <math.h>

#include <gsl/gsl_multifit.h>
#include <gsl/gsl_sf_legendre.h>
#include <gsl/gsl_statistics_double.h>

#include "base/error.h"
#include "study/gsl.h"

enum { HIGHEST = 10, FOR_EACH = 5 }; /* degree; draws for each coefficient, at least */

struct fit {
    gsl_matrix *x, *covariance;
    gsl_vector *y, *c;
    gsl_multifit_linear_workspace *work;
};

static bool fit_make(struct fit *fit, size_t n, size_t columns) {
    fit->x = gsl_matrix_alloc(n, columns);
    fit->covariance = gsl_matrix_alloc(columns, columns);
    fit->y = gsl_vector_alloc(n);
    fit->c = gsl_vector_alloc(columns);
    fit->work = gsl_multifit_linear_alloc(n, columns);
    return fit->x && fit->covariance && fit->y && fit->c && fit->work;
}

static void fit_free(struct fit *fit) {
    gsl_matrix_free(fit->x);
    gsl_matrix_free(fit->covariance);
    gsl_vector_free(fit->y);
    gsl_vector_free(fit->c);
    if (fit->work) {
        gsl_multifit_linear_free(fit->work);
    }
}

/* `rest` becomes the variance that is left. */
static bool fit_solve(struct fit *fit, int n, int inputs, int degree, const double u[], const double y[],
                      double *rest) {
    for (size_t i = 0; i < (size_t)n; i++) {
        gsl_vector_set(fit->y, i, y[i]);
        gsl_matrix_set(fit->x, i, 0, 1.0);
        for (size_t k = 0; k < (size_t)inputs; k++) {
            double p[HIGHEST + 1];
            gsl_sf_legendre_Pl_array(degree, 2.0 * u[i * (size_t)inputs + k] - 1.0, p);
            for (size_t l = 1; l <= (size_t)degree; l++) {
                gsl_matrix_set(fit->x, i, k * (size_t)degree + l, sqrt(2.0 * (double)l + 1.0) * p[l]);
            }
        }
    }
    int status = gsl_multifit_linear(fit->x, fit->y, fit->c, fit->covariance, rest, fit->work);
    *rest /= n - 1 - inputs * degree;
    return status == GSL_SUCCESS;
}

pinery_status pinery_study_shares(int n, int inputs, const double u[], const double y[], double share[],
                                  pinery_error *error) {
    for (int k = 0; k < inputs; k++) {
        share[k] = NAN;
    }
    double variance = n > 1 ? gsl_stats_variance(y, 1, (size_t)n) : 0.0;
    int degree = n / (FOR_EACH * inputs) < HIGHEST ? n / (FOR_EACH * inputs) : HIGHEST;
    if (degree < 1 || !(variance > 0.0)) {
        return pinery_base_ok(error); /* too few draws to say, or nothing varies */
    }
    gsl_error_handler_t *before = pinery_study_gsl_begin();
    struct fit fit = {0};
    bool made = fit_make(&fit, (size_t)n, (size_t)(1 + inputs * degree));
    double whole = 0.0;
    bool solved = made && fit_solve(&fit, n, inputs, degree, u, y, &whole);
    for (size_t k = 0; solved && k < (size_t)inputs; k++) {
        double part = 0.0;
        for (size_t l = 1; l <= (size_t)degree; l++) {
            size_t j = k * (size_t)degree + l;
            double c = gsl_vector_get(fit.c, j);
            part += c * c - gsl_matrix_get(fit.covariance, j, j);
        }
        share[k] = fmax(part, 0.0);
        whole += share[k];
    }
    for (int k = 0; solved && k < inputs; k++) {
        share[k] /= whole;
    }
    fit_free(&fit);
    pinery_study_gsl_end(before);
    return made ? pinery_base_ok(error)
                : pinery_base_fail(error, PINERY_MEMORY, "shares: no memory for %d draws of %d inputs", n, inputs);
}

double pinery_study_total(int n, const double y[], const double changed[]) {
    double sum = 0.0, variance = n > 1 ? gsl_stats_variance(y, 1, (size_t)n) : 0.0;
    for (int i = 0; i < n; i++) {
        sum += (y[i] - changed[i]) * (y[i] - changed[i]);
    }
    return variance > 0.0 ? sum / (2.0 * n * variance) : NAN;
}
