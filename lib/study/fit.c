/* The search for the best values within bounds.
 *
 *     score(v) = sum_i w_i r_i(v)^2
 *
 * First by BOBYQA (Powell 2009, report DAMTP 2009/NA06, as in the library NLopt), which builds a quadratic from values
 * alone and is not led astray by the noise that the integration of a run leaves in them. One parameter alone, which
 * BOBYQA does not take, goes to COBYLA (Powell 1994). Parameters are scaled by their bounds, so that a step means the
 * same in each. Parameters that make up for each other make a narrow valley in which such a search stops early; the
 * rest of the way is gone by the slopes of the residuals (descend.c). */
#include "study/fit.h"

#include <math.h>
#include <nlopt.h>
#include <stdlib.h>

#include "base/error.h"

static const double first_step = 0.15; /* of the search, in parts of the bounds */

double pinery_study_fit_value(const pinery_fit_parameter *p, double part) {
    return p->ratio ? p->min * pow(p->max / p->min, part) : p->min + part * (p->max - p->min);
}

double pinery_study_fit_part(const pinery_fit_parameter *p, double value) {
    return p->ratio ? log(value / p->min) / log(p->max / p->min) : (value - p->min) / (p->max - p->min);
}

/* The residuals at `part` into `residual`, and their score; NaN when the model failed. */
double pinery_study_score(struct pinery_study_search *search, const double *part, double *residual) {
    const pinery_fit_problem *problem = search->problem;
    double value[PINERY_FIT_PARAMETERS];
    for (int i = 0; i < problem->parameters; i++)
        value[i] = pinery_study_fit_value(&problem->parameter[i], part[i]);
    search->calls++;
    search->status = problem->model(problem->context, value, residual, search->error);
    if (search->status)
        return NAN;
    double score = 0.0;
    for (int i = 0; i < problem->residuals; i++)
        score += problem->weight[i] * residual[i] * residual[i];
    if (!isfinite(score))
        search->status = pinery_base_fail(search->error, PINERY_BAD_INPUT,
                                          "fit: the model gave a residual that is not a number, at %s = %.10g",
                                          problem->parameter[0].name, value[0]);
    return score;
}

static double objective(unsigned n, const double *part, double *gradient, void *context) {
    struct pinery_study_search *search = context;
    (void)gradient; /* the methods used ask for none */
    double score = pinery_study_score(search, part, search->work);
    if (search->status) {
        nlopt_force_stop(search->optimiser);
        return HUGE_VAL;
    }
    if (score < search->best) {
        search->best = score;
        for (unsigned i = 0; i < n; i++)
            search->best_part[i] = part[i];
    }
    return score;
}

static pinery_status check(const pinery_fit_problem *problem, pinery_error *error) {
    if (!(problem->parameters >= 1 && problem->parameters <= PINERY_FIT_PARAMETERS))
        return pinery_base_fail(error, PINERY_BAD_INPUT, "fit: %d parameters, expected 1 .. %d", problem->parameters,
                                PINERY_FIT_PARAMETERS);
    for (int i = 0; i < problem->parameters; i++) {
        const pinery_fit_parameter *p = &problem->parameter[i];
        if (!(isfinite(p->min) && isfinite(p->max) && p->min < p->max))
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "fit: %s: min = %.10g and max = %.10g, expected numbers, min under max", p->name,
                                    p->min, p->max);
        if (p->ratio && !(p->min > 0.0))
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "fit: %s: min = %.10g, expected over 0 as it moves by ratio", p->name, p->min);
        if (!(p->start >= p->min && p->start <= p->max))
            return pinery_base_fail(error, PINERY_BAD_INPUT, "fit: %s: start = %.10g is outside %.10g .. %.10g",
                                    p->name, p->start, p->min, p->max);
    }
    if (!(problem->residuals > problem->parameters))
        return pinery_base_fail(error, PINERY_BAD_INPUT, "fit: %d measured values for %d parameters, expected more",
                                problem->residuals, problem->parameters);
    if (!(problem->most_calls >= 0))
        return pinery_base_fail(error, PINERY_BAD_INPUT, "fit: most_calls = %d, expected 0 or more",
                                problem->most_calls);
    if (!(problem->tolerance >= 1e-4 && problem->tolerance <= 0.1))
        return pinery_base_fail(error, PINERY_BAD_INPUT, "fit: tolerance = %.10g is outside 1e-4 .. 0.1",
                                problem->tolerance);
    for (int i = 0; i < problem->residuals; i++) {
        if (!(problem->weight[i] > 0.0 && isfinite(problem->weight[i])))
            return pinery_base_fail(error, PINERY_BAD_INPUT, "fit: weight of residual %d is %.10g, expected over 0", i,
                                    problem->weight[i]);
        if (problem->block[i] < 0 || problem->block[i] >= problem->residuals)
            return pinery_base_fail(error, PINERY_BAD_INPUT, "fit: block of residual %d is %d, expected 0 .. %d", i,
                                    problem->block[i], problem->residuals - 1);
    }
    return PINERY_OK;
}

static pinery_status by_values(struct pinery_study_search *search) {
    const pinery_fit_problem *problem = search->problem;
    unsigned n = (unsigned)problem->parameters;
    double part[PINERY_FIT_PARAMETERS], score;
    for (unsigned i = 0; i < n; i++)
        part[i] = search->best_part[i];
    nlopt_opt optimiser = nlopt_create(n > 1 ? NLOPT_LN_BOBYQA : NLOPT_LN_COBYLA, n);
    if (!optimiser)
        return pinery_base_fail(search->error, PINERY_MEMORY, "fit: no memory for the search");
    search->optimiser = optimiser;
    nlopt_result said = nlopt_set_min_objective(optimiser, objective, search);
    said = said > 0 ? nlopt_set_lower_bounds1(optimiser, 0.0) : said;
    said = said > 0 ? nlopt_set_upper_bounds1(optimiser, 1.0) : said;
    said = said > 0 ? nlopt_set_initial_step1(optimiser, first_step) : said;
    said = said > 0 ? nlopt_set_xtol_abs1(optimiser, problem->tolerance) : said;
    said = said > 0 ? nlopt_set_maxeval(optimiser, problem->most_calls) : said;
    said = said > 0 ? nlopt_optimize(optimiser, part, &score) : said;
    nlopt_destroy(optimiser);
    if (search->status)
        return search->status;
    if (said == NLOPT_OUT_OF_MEMORY)
        return pinery_base_fail(search->error, PINERY_MEMORY, "fit: no memory for the search");
    if (said < 0 && said != NLOPT_ROUNDOFF_LIMITED) /* which is: as far as the noise of the model lets it */
        return pinery_base_fail(search->error, PINERY_BAD_INPUT, "fit: the search cannot go on (its code %d)",
                                (int)said);
    return PINERY_OK;
}

pinery_status pinery_fit(const pinery_fit_problem *problem, pinery_fit_result *result, pinery_error *error) {
    *result = (pinery_fit_result){0};
    pinery_status status = check(problem, error);
    if (status)
        return status;
    size_t n = (size_t)problem->parameters, m = (size_t)problem->residuals;
    double *residual = malloc(m * sizeof *residual), *work = malloc(m * sizeof *work),
           *slope = malloc(m * n * sizeof *slope);
    struct pinery_study_search search = {.problem = problem, .error = error, .residual = residual, .work = work};
    if (!residual || !work || !slope) {
        status = pinery_base_fail(error, PINERY_MEMORY, "fit: no memory for %d residuals", problem->residuals);
        goto out;
    }
    for (size_t i = 0; i < n; i++)
        search.best_part[i] = pinery_study_fit_part(&problem->parameter[i], problem->parameter[i].start);
    search.best = result->score_before = pinery_study_score(&search, search.best_part, work);
    status = search.status;
    if (!status && problem->most_calls > 0)
        status = by_values(&search);
    status = status ? status : pinery_study_descend(&search, slope, &result->settled);
    if (status)
        goto out;
    for (size_t i = 0; i < n; i++)
        result->value[i] = pinery_study_fit_value(&problem->parameter[i], search.best_part[i]);
    result->score = search.best;
    result->calls = search.calls;
    status = pinery_study_identify(problem, residual, slope, search.best_part, result, error);
out:
    free(residual);
    free(work);
    free(slope);
    return status;
}
