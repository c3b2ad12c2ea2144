/* One case, a part of a year of the plain house of year_case.h, and what came of a run of it. The books must close in
 * each. */
#ifndef TESTS_YEAR_OUTCOME_H
#define TESTS_YEAR_OUTCOME_H

#include "year/run.h"
#include "year_case.h"

struct outcome {
    double result[PINERY_N_RESULTS];
    double heat[PINERY_N_HEADINGS], water[PINERY_N_HEADINGS], meter[PINERY_N_METERS];
    double tank, outside, co2_begin, co2_end; /* degC in the mean; ppm */
    pinery_cost cost;
};

static pinery_weather *weather;
static pinery_house house;
static pinery_strategy strategy;
static pinery_options options;

static inline struct outcome run(void) {
    struct outcome outcome;
    pinery_error error = {0};
    pinery_run *now = NULL;
    if (pinery_run_create(weather, &house, &strategy, &options, &now, &error))
        fail_msg("%s", error.text);
    outcome.co2_begin = pinery_run_seen(now)->reading[PINERY_READING_co2];
    if (pinery_run_all(now, &error))
        fail_msg("%s", error.text);
    outcome.co2_end = pinery_run_seen(now)->reading[PINERY_READING_co2];
    const pinery_ledger *ledger = pinery_run_ledger(now);
    for (int i = 0; i < PINERY_N_RESULTS; i++)
        outcome.result[i] = pinery_ledger_result(ledger, (pinery_result)i);
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        outcome.heat[i] = pinery_ledger_heat(ledger, (pinery_heading)i);
        outcome.water[i] = pinery_ledger_water(ledger, (pinery_heading)i);
    }
    for (int i = 0; i < PINERY_N_METERS; i++)
        outcome.meter[i] = pinery_ledger_meter(ledger, (pinery_meter)i);
    outcome.tank = pinery_ledger_mean(ledger, PINERY_READING_tank);
    outcome.outside = pinery_ledger_mean(ledger, PINERY_READING_outside);
    outcome.cost = pinery_run_cost(now);
    pinery_run_free(now);
    assert_close(outcome.result[PINERY_RESULT_closure_heat], 0.0, 0.0, 1e-11);
    assert_close(outcome.result[PINERY_RESULT_closure_water], 0.0, 0.0, 1e-11);
    return outcome;
}

/* The case as it starts: under one cloth, with what has no other default. */
static inline void begin(const char *place, double first_day, double days, double spin_up) {
    weather = year_weather(place);
    house = year_house_plain();
    pinery_strategy_default(&strategy);
    pinery_options_default(&options);
    options.first_day = first_day;
    options.days = days;
    options.spin_up = spin_up;
}

static inline int over(void **state) {
    (void)state;
    pinery_weather_free(weather);
    return 0;
}

#endif
