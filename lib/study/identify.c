/* What the residuals at the best values say of the parameters.
 *
 * With r the residuals, J their slopes by the parameters u (in parts of the bounds), w their weights:
 *
 *     A = J' w J / s2,   s2 = sum (w r)^2 / sum w        curvature of the score (Gauss-Newton)
 *     B = sum over blocks b and lags l of k_l g_b g_(b+l)' / s2^2,   g_b = sum in b of w r J
 *     C = (A + P)^-1 (B + P) (A + P)^-1                  covariance
 *
 * C is the covariance of an estimate whose residuals are not independent: White 1980, Econometrica 48:817, with the
 * weights k_l = 1 - l / (L + 1) of Newey and West 1987, Econometrica 55:703, over blocks (days) L apart,
 * L = 4 (n / 100)^(2/9). P = 12 on the diagonal is what bounds alone say: a value anywhere between 0 and 1 has the
 * variance 1/12. So a parameter the data do not see keeps that of its bounds, and nothing divides by zero. Eigenvectors
 * of C are the directions; eigenvalues by Jacobi's rotations. */
#include <math.h>
#include <stdlib.h>

#include "base/error.h"
#include "study/fit.h"

enum { N = PINERY_FIT_PARAMETERS };

static const double bounds_alone = 12.0; /* 1 / variance of a value evenly spread over 0 .. 1 */
static const double half = 0.5;          /* of the spread of the bounds alone: over it, a parameter is not identified */

/* Inverse of a symmetric positive definite matrix by Gauss-Jordan; it has P on its diagonal, so no pivot is small. */
static void invert(int n, double a[N][N], double inverse[N][N]) {
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            inverse[i][j] = i == j;
    for (int k = 0; k < n; k++) {
        double pivot = a[k][k];
        for (int j = 0; j < n; j++) {
            a[k][j] /= pivot;
            inverse[k][j] /= pivot;
        }
        for (int i = 0; i < n; i++) {
            double factor = a[i][k];
            if (i == k)
                continue;
            for (int j = 0; j < n; j++) {
                a[i][j] -= factor * a[k][j];
                inverse[i][j] -= factor * inverse[k][j];
            }
        }
    }
}

static void multiply(int n, double a[N][N], double b[N][N], double product[N][N]) {
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) {
            double sum = 0.0;
            for (int k = 0; k < n; k++)
                sum += a[i][k] * b[k][j];
            product[i][j] = sum;
        }
}

/* Eigenvalues into the diagonal of a, eigenvectors into the columns of v. */
static void jacobi(int n, double a[N][N], double v[N][N]) {
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            v[i][j] = i == j;
    for (int sweep = 0; sweep < 60; sweep++)
        for (int p = 0; p < n; p++)
            for (int q = p + 1; q < n; q++) {
                if (fabs(a[p][q]) <= 1e-15 * sqrt(fabs(a[p][p] * a[q][q])))
                    continue;
                double theta = 0.5 * atan2(2.0 * a[p][q], a[q][q] - a[p][p]), c = cos(theta), s = sin(theta);
                for (int k = 0; k < n; k++) {
                    double x = a[k][p], y = a[k][q];
                    a[k][p] = c * x - s * y;
                    a[k][q] = s * x + c * y;
                }
                for (int k = 0; k < n; k++) {
                    double x = a[p][k], y = a[q][k];
                    a[p][k] = c * x - s * y;
                    a[q][k] = s * x + c * y;
                }
                for (int k = 0; k < n; k++) {
                    double x = v[k][p], y = v[k][q];
                    v[k][p] = c * x - s * y;
                    v[k][q] = s * x + c * y;
                }
            }
}

/* A and B with P on their diagonals. */
static pinery_status gather(const pinery_fit_problem *problem, const double *residual, const double *slope,
                            double a[N][N], double b[N][N], pinery_error *error) {
    int n = problem->parameters, blocks = 0;
    double weights = 0.0, squares = 0.0;
    for (int k = 0; k < problem->residuals; k++) {
        double wr = problem->weight[k] * residual[k];
        weights += problem->weight[k];
        squares += wr * wr;
        blocks = problem->block[k] >= blocks ? problem->block[k] + 1 : blocks;
    }
    double s2 = fmax(squares / weights, 1e-12); /* a perfect fit leaves nothing to scale by */
    double *g = calloc((size_t)blocks * (size_t)n, sizeof *g);
    if (!g)
        return pinery_base_fail(error, PINERY_MEMORY, "fit: no memory for %d blocks", blocks);
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            a[i][j] = b[i][j] = i == j ? bounds_alone : 0.0;
    for (int k = 0; k < problem->residuals; k++) {
        const double *row = slope + (size_t)k * (size_t)n;
        double w = problem->weight[k];
        for (int i = 0; i < n; i++) {
            g[problem->block[k] * n + i] += w * residual[k] * row[i] / s2;
            for (int j = 0; j < n; j++)
                a[i][j] += w * row[i] * row[j] / s2;
        }
    }
    int longest = (int)(4.0 * pow(blocks / 100.0, 2.0 / 9.0));
    for (int l = 0; l <= longest; l++) {
        double weight = 1.0 - l / (longest + 1.0);
        for (int at = 0; at + l < blocks; at++)
            for (int i = 0; i < n; i++)
                for (int j = 0; j < n; j++) {
                    double product = g[at * n + i] * g[(at + l) * n + j];
                    b[i][j] += l == 0 ? product : 0.0;
                    b[i][j] += l > 0 ? weight * product : 0.0;
                    b[j][i] += l > 0 ? weight * product : 0.0;
                }
    }
    free(g);
    return PINERY_OK;
}

static void directions(int n, double c[N][N], pinery_fit_result *result) {
    double v[N][N];
    jacobi(n, c, v);
    bool taken[N] = {false};
    for (;;) {
        int widest = -1;
        for (int k = 0; k < n; k++)
            if (!taken[k] && (widest < 0 || c[k][k] > c[widest][widest]))
                widest = k;
        if (widest < 0 || !(sqrt(c[widest][widest] * bounds_alone) > half))
            return;
        taken[widest] = true;
        int at = result->directions++;
        result->direction_spread[at] = fmin(1.0, sqrt(c[widest][widest] * bounds_alone));
        for (int i = 0; i < n; i++)
            result->direction[at][i] = v[i][widest];
    }
}

pinery_status pinery_study_identify(const pinery_fit_problem *problem, const double *residual, const double *slope,
                                    const double *part, pinery_fit_result *result, pinery_error *error) {
    int n = problem->parameters;
    double a[N][N], b[N][N], inverse[N][N], half_way[N][N], c[N][N], alone[N];
    pinery_status status = gather(problem, residual, slope, a, b, error);
    if (status)
        return status;
    for (int i = 0; i < n; i++)
        alone[i] = sqrt(b[i][i]) / a[i][i];
    invert(n, a, inverse);
    multiply(n, inverse, b, half_way);
    multiply(n, half_way, inverse, c);
    for (int i = 0; i < n; i++) {
        const pinery_fit_parameter *p = &problem->parameter[i];
        double deviation = sqrt(c[i][i]), all = sqrt(bounds_alone);
        result->spread[i] = fmin(1.0, deviation * all);
        result->spread_alone[i] = fmin(1.0, alone[i] * all);
        result->low[i] = pinery_study_fit_value(p, fmax(0.0, part[i] - 1.96 * deviation));
        result->high[i] = pinery_study_fit_value(p, fmin(1.0, part[i] + 1.96 * deviation));
        result->at_bound[i] = part[i] < 1e-3 || part[i] > 1.0 - 1e-3;
        result->identified[i] = result->spread[i] < half && !result->at_bound[i];
        for (int j = 0; j < n; j++)
            result->correlation[i][j] = c[i][j] / sqrt(c[i][i] * c[j][j]);
    }
    directions(n, c, result);
    return pinery_base_ok(error);
}
