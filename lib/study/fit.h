/* What the files of the search share. */
#ifndef PINERY_STUDY_FIT_H
#define PINERY_STUDY_FIT_H

#include <nlopt.h>

#include "pinery/fit.h"

struct pinery_study_search {
    const pinery_fit_problem *problem;
    pinery_error *error;
    pinery_status status; /* of the model at its last call */
    nlopt_opt optimiser;  /* to be stopped when the model fails */
    double *residual;     /* at the best, once the search has come to its slopes */
    double *work;         /* for a try */
    double best, best_part[PINERY_FIT_PARAMETERS];
    int calls;
};

/* The value at `part` of the way between the bounds, and back. */
double pinery_study_fit_value(const pinery_fit_parameter *parameter, double part);
double pinery_study_fit_part(const pinery_fit_parameter *parameter, double value);

/* The residuals at `part`, and their score; search->status is not OK when the model failed. */
double pinery_study_score(struct pinery_study_search *search, const double *part, double *residual);

/* From the best so far on by the slopes of the residuals; fills search->residual and `slope`, a row of `parameters` for
 * every residual, at where it ends. `settled` tells whether the last step gained next to nothing. */
pinery_status pinery_study_descend(struct pinery_study_search *search, double *slope, bool *settled);

/* Fill what the result says of the parameters; `part` is where the search ended. MEMORY when there is none. */
pinery_status pinery_study_identify(const pinery_fit_problem *problem, const double *residual, const double *slope,
                                    const double *part, pinery_fit_result *result, pinery_error *error);

#endif
