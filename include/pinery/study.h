/* Studies: numbers about several runs. What was held equal between two of them; where a difference comes from; how sure
 * it is. */
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
    PINERY_STUDY_DRYING,
    PINERY_STUDY_STORED,
    PINERY_STUDY_OTHER,
    PINERY_STUDY_N_PATHS
} pinery_study_path;

PINERY_API const pinery_name *pinery_study_path_name(pinery_study_path path);

/* path[PINERY_STUDY_N_PATHS], J/m2, from the totals of a run by heading (J/m2 and kg/m2) and the heat it gained. */
PINERY_API void pinery_study_paths(const double heat[], const double water[], double stored_heat, double path[]);

/* The ways by which heat leaves the crop's room, which is below the lowest cloth (below the cover where there is none),
 * with its gables and sides and the ground; together they are the boiler's heat as well. */
typedef enum pinery_study_way {
    PINERY_STUDY_UP_LONGWAVE,
    PINERY_STUDY_UP_CLOTH,
    PINERY_STUDY_UP_FABRIC,
    PINERY_STUDY_UP_SLIT,
    PINERY_STUDY_UP_OPEN,
    PINERY_STUDY_UP_ALONG,
    PINERY_STUDY_UP_FAN,
    PINERY_STUDY_UP_VAPOUR,
    PINERY_STUDY_UP_WALLS,
    PINERY_STUDY_UP_GROUND,
    PINERY_STUDY_UP_REST,
    PINERY_STUDY_N_WAYS
} pinery_study_way;

PINERY_API const pinery_name *pinery_study_way_name(pinery_study_way way);

/* way[PINERY_STUDY_N_WAYS], J/m2; `drives`: whether the house has any. */
PINERY_API void pinery_study_ways(const double heat[], const double water[], bool drives, double way[]);

/* --- how sure --- */

#define PINERY_STUDY_INPUTS 40 /* that are uncertain, at most */
#define PINERY_STUDY_DRAWS 100000

typedef enum pinery_study_sampling { PINERY_STUDY_SOBOL, PINERY_STUDY_LATIN } pinery_study_sampling;

/* u[n * inputs], draw by draw, between 0 and 1 and never at an end: spread evenly, the same for the same seed. */
PINERY_API pinery_status pinery_study_sample(pinery_study_sampling sampling, int n, int inputs, unsigned long seed,
                                             double u[], pinery_error *error);

/* X(kind, what a, b and c are) */
#define PINERY_STUDY_CHANCES(X)                               \
    X(UNIFORM, "uniform", "lowest, highest")                  \
    X(TRIANGULAR, "triangular", "lowest, likeliest, highest") \
    X(NORMAL, "normal", "mean, standard deviation")           \
    X(LOGNORMAL, "lognormal", "median, factor that two thirds are within")

typedef enum pinery_study_chance_kind {
#define X(kind, name, doc) PINERY_STUDY_##kind,
    PINERY_STUDY_CHANCES(X)
#undef X
} pinery_study_chance_kind;

/* A distribution, cut off below `from` and above `to` (-INFINITY and INFINITY: not). */
typedef struct pinery_study_chance {
    pinery_study_chance_kind kind;
    double a, b, c;
    double from, to;
} pinery_study_chance;

PINERY_API pinery_status pinery_study_chance_check(const pinery_study_chance *chance, const char *name,
                                                   pinery_error *error);

/* The value below which a share u of the chance lies, 0 < u < 1. */
PINERY_API double pinery_study_quantile(const pinery_study_chance *chance, double u);

/* What came of n values that are finite: NaN where there is none. */
typedef struct pinery_study_summary {
    int n;
    double mean, median;
    double low80, high80, low95, high95; /* 80 % and 95 % of the values are between these */
    double median_error;                 /* standard error, from independent draws */
    double below_zero;                   /* share */
} pinery_study_summary;

PINERY_API pinery_status pinery_study_summarise(int n, const double value[], pinery_study_summary *summary,
                                                pinery_error *error);

/* share[inputs]: of the variance of y[n], what each input makes by itself (first order), from the draws u[n * inputs]
 * that gave it. What is missing to 1 is interaction and noise. NaN when nothing varies or the draws are too few: fewer
 * than five for each input. */
PINERY_API pinery_status pinery_study_shares(int n, int inputs, const double u[], const double y[], double share[],
                                             pinery_error *error);

/* The same with all interactions of one input (total): changed[i] is y[i] with another draw of that input alone. */
PINERY_API double pinery_study_total(int n, const double y[], const double changed[]);

#ifdef __cplusplus
}
#endif
#endif
