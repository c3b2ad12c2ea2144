/* A run: one house under one weather with one strategy. It is advanced by its driver, one control interval at a time,
 * so that a script between two intervals never runs inside the solver:
 *
 *     pinery_run_create(weather, &house, &strategy, &options, &run, &error);
 *     while (!pinery_run_done(run)) {
 *         pinery_run_orders(run, &orders);          // what the strategy's table asks now
 *         ... change the orders if you like, after looking at pinery_run_seen(run) ...
 *         pinery_run_advance(run, &orders, &error); // to the next control instant
 *     }
 *     const pinery_ledger *ledger = pinery_run_ledger(run);
 */
#ifndef PINERY_RUN_H
#define PINERY_RUN_H

#include "pinery/causes.h"
#include "pinery/house.h"
#include "pinery/ledger.h"
#include "pinery/seen.h"
#include "pinery/strategy.h"
#include "pinery/weather.h"

#ifdef __cplusplus
extern "C" {
#endif

#define PINERY_OPTIONS_FIELDS(X)                                                                                    \
    X(REAL, first_day, "d", 1, 1, 367, "", "day of the year on which the run begins, at 00:00")                     \
    X(REAL, days, "d", 365, 0.01, 3660, "", "length of the run")                                                    \
    X(REAL, spin_up, "d", 20, 0, 400, "", "days run before the first, unbooked, to settle the house and the soil")  \
    X(REAL, control_interval, "s", 300, 10, 3600, "", "time between two orders")                                    \
    X(REAL, tolerance, "K", 0.15, 1e-9, 1, "", "local error of the integration in the air; in the pipes a quarter") \
    X(BOOL, keep_hours, "", 0, 0, 1, "", "keep the hourly series")                                                  \
    X(BOOL, keep_causes, "", 0, 0, 1, "", "keep why everything moved")                                              \
    X(CHOICE, solver, "", 0, 0, 1, "structured|plain", "linear solver: ours, or dense with difference quotients")   \
    X(BOOL, restart_always, "", 0, 0, 1, "", "restart the integration at every control instant, for comparison")

typedef struct pinery_options {
    PINERY_OPTIONS_FIELDS(PINERY_MEMBER)
} pinery_options;

PINERY_API extern const pinery_fields pinery_options_fields;

/* Where the time of a run went. */
typedef struct pinery_cost {
    double wall_s;
    long intervals, steps, evaluations, jacobians, factorizations, error_test_failures, convergence_failures, restarts;
} pinery_cost;

typedef struct pinery_run pinery_run; /* opaque; one thread at a time; the weather must outlive it */

PINERY_API void pinery_options_default(pinery_options *options);

PINERY_API pinery_status pinery_run_create(const pinery_weather *weather, const pinery_house *house,
                                           const pinery_strategy *strategy, const pinery_options *options,
                                           pinery_run **out, pinery_error *error);
PINERY_API void pinery_run_free(pinery_run *run); /* NULL is fine */

PINERY_API bool pinery_run_done(const pinery_run *run);
PINERY_API double pinery_run_progress(const pinery_run *run); /* 0 .. 1, spin-up included */

/* What is seen at the present control instant. */
PINERY_API const pinery_seen *pinery_run_seen(const pinery_run *run);
/* The weather `hours` ahead (0: now), one column; linear between records. */
PINERY_API double pinery_run_forecast(const pinery_run *run, pinery_weather_column column, double hours);

/* What the strategy's table asks at the present instant. Call once per interval: rules with memory advance. */
PINERY_API void pinery_run_orders(pinery_run *run, pinery_orders *orders);

/* Whoever changes orders between the two calls around this one may say why: what differs from now on is changed for
 * this reason (the first 95 bytes of a text), until another is given. Does nothing unless causes are kept. */
PINERY_API void pinery_run_because(pinery_run *run, const pinery_orders *orders, const char *text);

/* Integrate to the next control instant under these orders; nonsense in them (NaN, outside 0 .. 1) is BAD_INPUT that
 * names the order. A solver that fails twice is reported with time, node and value, and the run is over. */
PINERY_API pinery_status pinery_run_advance(pinery_run *run, const pinery_orders *orders, pinery_error *error);

/* Run to the end with the strategy's table. */
PINERY_API pinery_status pinery_run_all(pinery_run *run, pinery_error *error);

PINERY_API const pinery_ledger *pinery_run_ledger(const pinery_run *run);
/* Why everything moved since the books began, or NULL when the options did not ask to keep it. */
PINERY_API const pinery_causes *pinery_run_causes(const pinery_run *run);
PINERY_API pinery_cost pinery_run_cost(const pinery_run *run);

#ifdef __cplusplus
}
#endif
#endif
