/* Studies: numbers about several runs. What was held equal between two of them; where a difference comes from. */
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

/* --- why --- */

#define PINERY_STUDY_PARTS 6 /* of a difference, at most: 2^6 runs */

/* value[s], s = 0 .. 2^n - 1: a result of the run with the parts whose bits are set in s. share[n]: what each part
 * adds, averaged over all orders (Shapley); the shares add up to value[all] - value[none]. */
PINERY_API void pinery_study_shapley(int n, const double value[], double share[]);

/* What parts i and j add together beyond what each adds alone, averaged over what else is there. */
PINERY_API double pinery_study_interaction(int n, const double value[], int i, int j);

/* The ways by which heat leaves a house; together they are the boiler's heat. What comes in counts as less. */
typedef enum pinery_study_path {
    PINERY_STUDY_SKY,
    PINERY_STUDY_WIND,
    PINERY_STUDY_VENTS,
    PINERY_STUDY_LEAKS,
    PINERY_STUDY_VAPOUR,
    PINERY_STUDY_WALLS,
    PINERY_STUDY_NEIGHBOURS,
    PINERY_STUDY_GROUND,
    PINERY_STUDY_WATER,
    PINERY_STUDY_SUN,
    PINERY_STUDY_LAMPS,
    PINERY_STUDY_FANS,
    PINERY_STUDY_STORED,
    PINERY_STUDY_OTHER,
    PINERY_STUDY_N_PATHS
} pinery_study_path;

PINERY_API const pinery_name *pinery_study_path_name(pinery_study_path path);

/* path[PINERY_STUDY_N_PATHS], J/m2, from the totals of a run by heading (J/m2 and kg/m2) and the heat it gained. */
PINERY_API void pinery_study_paths(const double heat[], const double water[], double stored_heat, double path[]);

#ifdef __cplusplus
}
#endif
#endif
