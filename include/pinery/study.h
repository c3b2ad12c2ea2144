/* Studies: numbers about several runs. What was held equal between two of them. */
#ifndef PINERY_STUDY_H
#define PINERY_STUDY_H

#include <stdbool.h>

#include "pinery/error.h"
#include "pinery/ledger.h"

#ifdef __cplusplus
extern "C" {
#endif

/* --- held equal --- */

/* A result that should be about equal before two runs are compared for energy, and how near "equal" is: within
 * `absolute` (in the unit of the result), plus `share` of the reference's value, plus `per_hour` times the hours of the
 * run. The sizes are our choice, held against what the trade can tell apart (lib/study/held.c). */
typedef struct pinery_study_outcome {
    pinery_result result;
    double absolute, share, per_hour;
} pinery_study_outcome;

/* The list, and how long it is. */
PINERY_API const pinery_study_outcome *pinery_study_outcomes(int *n);

/* How far a run of `hours` may be from the reference's value and still count as equal. */
PINERY_API double pinery_study_tolerance(const pinery_study_outcome *outcome, double reference, double hours);

/* Whether it is; what neither run had anything to measure of is equal. */
PINERY_API bool pinery_study_held(const pinery_study_outcome *outcome, double reference, double value, double hours);

#ifdef __cplusplus
}
#endif
#endif
