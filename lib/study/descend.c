/* The last part of a search, by the slopes J of the residuals r by the parts u of the bounds: steps of Levenberg and
 * Marquardt (Marquardt 1963, J. SIAM 11:431),
 *
 *     (J' w J + lambda D) du = -J' w r,   D the diagonal of J' w J,
 *
 * cut at the bounds; a parameter at a bound that the score pushes against stays there. Slopes are differences wide
 * enough to stand over the noise of the integration, from one side on the way, from both at the end. */
#include <math.h>

#include "base/error.h"
#include "study/fit.h"

enum { N = PINERY_FIT_PARAMETERS, most_rounds = 15 };

static const double width = 0.02;      /* of the differences to either side, in parts of the bounds */
static const double least_gain = 0.01; /* of a step, relative, for which another is worth its runs */

/* Slopes at the best, where search->residual holds: from both sides as far as the bounds leave room, or, for half the
 * runs, from the side with more of it. */
static pinery_status slopes(struct pinery_study_search *search, bool both, double *slope) {
    int n = search->problem->parameters, m = search->problem->residuals;
    for (int i = 0; i < n; i++) {
        double part[N], at = search->best_part[i];
        for (int k = 0; k < n; k++)
            part[k] = search->best_part[k];
        double low = fmax(0.0, at - width), high = fmin(1.0, at + width);
        if (!both && at < 0.5)
            low = at;
        else if (!both)
            high = at;
        for (int side = 0; side < 2; side++) {
            const double *there = search->residual;
            part[i] = side ? high : low;
            if (part[i] < at || part[i] > at) {
                pinery_study_score(search, part, search->work);
                if (search->status)
                    return search->status;
                there = search->work;
            }
            for (int k = 0; k < m; k++)
                slope[k * n + i] = side ? (there[k] - slope[k * n + i]) / (high - low) : there[k];
        }
    }
    return PINERY_OK;
}

/* Solve a x = b, a symmetric and positive definite, by elimination. */
static void solve(int n, double a[N][N], double b[N]) {
    for (int k = 0; k < n; k++)
        for (int i = k + 1; i < n; i++) {
            double factor = a[i][k] / a[k][k];
            for (int j = k; j < n; j++)
                a[i][j] -= factor * a[k][j];
            b[i] -= factor * b[k];
        }
    for (int k = n - 1; k >= 0; k--) {
        for (int j = k + 1; j < n; j++)
            b[k] -= a[k][j] * b[j];
        b[k] /= a[k][k];
    }
}

/* Where the step with this damping leads. */
static void step(const struct pinery_study_search *search, const double *slope, double damping, double *part) {
    const pinery_fit_problem *problem = search->problem;
    int n = problem->parameters;
    double a[N][N] = {{0.0}}, g[N] = {0.0};
    for (int k = 0; k < problem->residuals; k++) {
        const double *row = slope + (size_t)k * (size_t)n;
        for (int i = 0; i < n; i++) {
            g[i] -= problem->weight[k] * search->residual[k] * row[i];
            for (int j = 0; j < n; j++)
                a[i][j] += problem->weight[k] * row[i] * row[j];
        }
    }
    for (int i = 0; i < n; i++) {
        double at = search->best_part[i];
        bool held = (at <= 0.0 && g[i] < 0.0) || (at >= 1.0 && g[i] > 0.0);
        for (int j = 0; held && j < n; j++)
            a[i][j] = a[j][i] = 0.0;
        g[i] = held ? 0.0 : g[i];
        a[i][i] =
            a[i][i] * (1.0 + damping) + 1e-9 * search->best + 1e-300; /* one that does nothing stays where it is */
    }
    solve(n, a, g);
    for (int i = 0; i < n; i++)
        part[i] = fmin(1.0, fmax(0.0, search->best_part[i] + g[i]));
}

/* Try steps with more and more damping; the gain of the first that gains, relative, or 0. */
static double try_steps(struct pinery_study_search *search, const double *slope, double *damping) {
    for (int tries = 0; tries < 5; tries++) {
        double part[N], before = search->best;
        step(search, slope, *damping, part);
        double score = pinery_study_score(search, part, search->work);
        if (search->status)
            return 0.0;
        if (score < before) {
            search->best = score;
            for (int i = 0; i < search->problem->parameters; i++)
                search->best_part[i] = part[i];
            *damping *= 0.1;
            return 1.0 - score / before;
        }
        *damping *= 10.0;
    }
    return 0.0;
}

pinery_status pinery_study_descend(struct pinery_study_search *search, double *slope, bool *settled) {
    double damping = 1e-3, gain = 1.0;
    *settled = false;
    for (int round = 0; round < most_rounds && !*settled; round++) {
        search->best = pinery_study_score(search, search->best_part, search->residual);
        pinery_status status = search->status ? search->status : slopes(search, false, slope);
        if (status)
            return status;
        gain = try_steps(search, slope, &damping);
        if (search->status)
            return search->status;
        *settled = !(gain > least_gain);
    }
    search->best = pinery_study_score(search, search->best_part, search->residual);
    return search->status ? search->status : slopes(search, true, slope);
}
