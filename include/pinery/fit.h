/* Calibration: the values of a few named parameters, within bounds, at which a model comes nearest to what was
 * measured, and what the measurements say of each of them.
 *
 * The model is a function the caller gives: residuals, model less measured in units of what counts as one step of
 * error. The score that is made small is the sum of weight times residual squared. The caller keeps measurements apart
 * that the fit does not see, and scores them with the values found. */
#ifndef PINERY_FIT_H
#define PINERY_FIT_H

#include <stdbool.h>

#include "pinery/error.h"
#include "pinery/field.h"

#ifdef __cplusplus
extern "C" {
#endif

#define PINERY_FIT_PARAMETERS 16

typedef struct pinery_fit_parameter {
    pinery_text name;
    double start, min, max;
    bool ratio; /* moves by ratio, not by difference; min over 0 */
} pinery_fit_parameter;

/* Fill `residual` for these values of the parameters; the same number of them at every call. `context` is the caller's
 * own. Any status but OK ends the fit with it. */
typedef pinery_status (*pinery_fit_model)(void *context, const double *value, double *residual, pinery_error *error);

typedef struct pinery_fit_problem {
    int parameters; /* 1 .. PINERY_FIT_PARAMETERS */
    pinery_fit_parameter parameter[PINERY_FIT_PARAMETERS];
    int residuals;        /* more than parameters */
    const double *weight; /* of each residual, over 0 */
    const int *block;     /* of each residual: what has the same number, 0, 1, 2 ... in order of time, hangs together */
    pinery_fit_model model;
    void *context;
    int most_calls; /* of the model in the search by values, 0: none; what follows by slopes is short and not counted */
    double tolerance; /* the search by values ends when it moves by less, in parts of the bounds: 1e-4 .. 0.1 */
} pinery_fit_problem;

/* What is known of the parameters is counted in parts of their bounds. `spread` is the standard deviation left, over
 * that of a value of which nothing but the bounds is known: 1 nothing learnt, 0 all. It counts that residuals of a
 * block, and of blocks near each other, are not independent. */
typedef struct pinery_fit_result {
    double score_before, score; /* at the start, and at the values found */
    int calls;                  /* of the model */
    bool settled;               /* false: the last step still gained more than 1 % */
    double value[PINERY_FIT_PARAMETERS];
    double low[PINERY_FIT_PARAMETERS], high[PINERY_FIT_PARAMETERS]; /* 95 % interval, cut at the bounds */
    bool at_bound[PINERY_FIT_PARAMETERS];
    double spread[PINERY_FIT_PARAMETERS];
    double spread_alone[PINERY_FIT_PARAMETERS]; /* were all others known: large where the data do not see it at all */
    bool identified[PINERY_FIT_PARAMETERS];     /* spread under one half, and not at a bound */
    double correlation[PINERY_FIT_PARAMETERS][PINERY_FIT_PARAMETERS];
    /* Directions in which the parameters can move together with spread over one half: not identified, widest first.
     * Their parts are in parts of the bounds, of unit length. */
    int directions;
    double direction_spread[PINERY_FIT_PARAMETERS];
    double direction[PINERY_FIT_PARAMETERS][PINERY_FIT_PARAMETERS];
} pinery_fit_result;

/* Search from the start values. BAD_INPUT names the parameter, its value and what was expected. */
PINERY_API pinery_status pinery_fit(const pinery_fit_problem *problem, pinery_fit_result *result, pinery_error *error);

#ifdef __cplusplus
}
#endif
#endif
