/* A strategy's fields as data, and the rules that span them. */
#include "base/error.h"
#include "base/field.h"
#include "pinery/strategy.h"

#include <stdio.h>

PINERY_FIELDS_DEFINE(pinery_period_fields, "period", pinery_period, PINERY_PERIOD_FIELDS);
PINERY_FIELDS_DEFINE(pinery_screen_fields, "screen", pinery_screen, PINERY_SCREEN_FIELDS);
PINERY_FIELDS_DEFINE(pinery_lighting_fields, "lighting", pinery_lighting, PINERY_LIGHTING_FIELDS);
PINERY_FIELDS_DEFINE(pinery_drying_fields, "drying", pinery_drying, PINERY_DRYING_FIELDS);
PINERY_FIELDS_DEFINE(pinery_supply_fields, "supply", pinery_supply, PINERY_SUPPLY_FIELDS);
PINERY_FIELDS_DEFINE(pinery_dosing_fields, "dosing", pinery_dosing, PINERY_DOSING_FIELDS);
PINERY_FIELDS_DEFINE(pinery_strategy_fields, "strategy", pinery_strategy, PINERY_STRATEGY_FIELDS);

void pinery_strategy_default(pinery_strategy *strategy) {
    pinery_fields_default(&pinery_strategy_fields, strategy);
    strategy->periods = 1;
    for (int i = 0; i < PINERY_PERIODS; i++) {
        pinery_fields_default(&pinery_period_fields, &strategy->period[i]);
    }
    for (int i = 0; i < PINERY_DRIVES; i++) {
        pinery_fields_default(&pinery_screen_fields, &strategy->screen[i]);
    }
    for (int i = 0; i < PINERY_LAMPS; i++) {
        pinery_fields_default(&pinery_lighting_fields, &strategy->lighting[i]);
    }
    for (int i = 0; i < PINERY_DRYERS; i++) {
        pinery_fields_default(&pinery_drying_fields, &strategy->drying[i]);
    }
    pinery_fields_default(&pinery_supply_fields, &strategy->supply);
    pinery_fields_default(&pinery_dosing_fields, &strategy->dosing);
}

/* "strategy: low_name = 3 K must be below high_name = 2 K". */
static pinery_status below(const char *where, const char *low_name, double low, const char *high_name, double high,
                           const char *unit, pinery_error *error) {
    if (low < high) {
        return PINERY_OK;
    }
    const char *gap = unit[0] != '\0' ? " " : "";
    return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = %.10g%s%s must be below %s = %.10g%s%s", where, low_name,
                            low, gap, unit, high_name, high, gap, unit);
}

static pinery_status not_above(const char *where, const char *low_name, double low, const char *high_name, double high,
                               const char *unit, pinery_error *error) {
    if (low <= high) {
        return PINERY_OK;
    }
    const char *gap = unit[0] != '\0' ? " " : "";
    return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s = %.10g%s%s must not be above %s = %.10g%s%s", where,
                            low_name, low, gap, unit, high_name, high, gap, unit);
}

/* The two fields of a record in order, by name. */
#define BELOW(record, low, high, unit) below(where, #low, (record)->low, #high, (record)->high, unit, error)
#define NOT_ABOVE(record, low, high, unit) not_above(where, #low, (record)->low, #high, (record)->high, unit, error)

static pinery_status check_periods(const pinery_strategy *strategy, pinery_error *error) {
    if (strategy->periods < 1 || strategy->periods > PINERY_PERIODS) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "strategy: %d periods, expected 1 .. %d", strategy->periods,
                                PINERY_PERIODS);
    }
    for (int i = 0; i < strategy->periods; i++) {
        const pinery_period *period = &strategy->period[i];
        char where[32];
        snprintf(where, sizeof where, "strategy: period %d", i + 1);
        pinery_status status = pinery_fields_check(&pinery_period_fields, period, where, error);
        if (status == PINERY_OK) {
            status = BELOW(period, heating, ventilation, "degC");
        }
        for (int j = 0; j < i && status == PINERY_OK; j++) {
            if (strategy->period[j].from == period->from && strategy->period[j].at == period->at) {
                status = pinery_base_fail(error, PINERY_BAD_INPUT, "%s: at = %.10g h begins together with period %d",
                                          where, period->at, j + 1);
            }
        }
        if (status != PINERY_OK) {
            return status;
        }
    }
    return PINERY_OK;
}

static pinery_status check_screen(const pinery_screen *screen, const char *where, pinery_error *error) {
    pinery_status status = pinery_fields_check(&pinery_screen_fields, screen, where, error);
    if (status != PINERY_OK || !screen->use) {
        return status;
    }
    if (isfinite(screen->dark_from) != isfinite(screen->dark_until)) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "%s: %s is given without %s; a blackout needs both, or neither", where,
                                isfinite(screen->dark_from) ? "dark_from" : "dark_until",
                                isfinite(screen->dark_from) ? "dark_until" : "dark_from");
    }
    if (screen->dark_from == screen->dark_until) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "%s: dark_from and dark_until are both %.10g h, expected two different hours", where,
                                screen->dark_from);
    }
    if (screen->slit_humidity_max > 0.0) {
        status = BELOW(screen, slit_humidity_start, slit_humidity_full, "%");
    }
    if (status == PINERY_OK && screen->slit_temperature_max > 0.0) {
        status = BELOW(screen, slit_temperature_start, slit_temperature_full, "K");
    }
    return status;
}

static pinery_status check_lighting(const pinery_lighting *lighting, const char *where, pinery_error *error) {
    pinery_status status = pinery_fields_check(&pinery_lighting_fields, lighting, where, error);
    if (status != PINERY_OK || !lighting->use) {
        return status;
    }
    if ((lighting->from < 0.0 && lighting->from_of == 0) || (lighting->to < 0.0 && lighting->to_of == 0)) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "%s: from = %.10g, to = %.10g h; hours of the clock are 0 .. 24", where, lighting->from,
                                lighting->to);
    }
    if (lighting->from == lighting->to && lighting->from_of == lighting->to_of) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "%s: from and to are both %.10g h; for all day give 0 and 24, for never use = false",
                                where, lighting->from);
    }
    return BELOW(lighting, on_below_light, off_above_light, "W/m2");
}

static pinery_status check_drying(const pinery_drying *drying, const char *where, pinery_error *error) {
    pinery_status status = pinery_fields_check(&pinery_drying_fields, drying, where, error);
    if (status == PINERY_OK && drying->most > 0.0) {
        status = BELOW(drying, humidity_start, humidity_full, "%");
    }
    return status == PINERY_OK ? NOT_ABOVE(drying, least, most, "") : status;
}

static pinery_status check_supply(const pinery_supply *supply, pinery_error *error) {
    const char *where = "strategy: supply";
    pinery_status status = pinery_fields_check(&pinery_supply_fields, supply, where, error);
    if (status == PINERY_OK && supply->from == supply->to) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: from and to are both %.10g h; for all day give 0 and 24",
                                where, supply->from);
    }
    return status == PINERY_OK ? BELOW(supply, tank_start, tank_stop, "") : status;
}

pinery_status pinery_strategy_check(const pinery_strategy *strategy, pinery_error *error) {
    const char *where = "strategy";
    pinery_status status = pinery_fields_check(&pinery_strategy_fields, strategy, "", error);
    if (status == PINERY_OK) {
        status = check_periods(strategy, error);
    }
    if (status == PINERY_OK && strategy->light_raise > 0.0) {
        status = BELOW(strategy, light_raise_start, light_raise_full, "W/m2");
    }
    if (status == PINERY_OK) {
        status = NOT_ABOVE(strategy, minimum_pipe, maximum_pipe, "degC");
    }
    if (status == PINERY_OK && strategy->vent_humidity_max > 0.0) {
        status = BELOW(strategy, vent_humidity_start, vent_humidity_full, "%");
    }
    if (status == PINERY_OK && strategy->fan_most > 0.0) {
        status = BELOW(strategy, fan_humidity_start, fan_humidity_full, "%");
    }
    if (status == PINERY_OK) {
        status = NOT_ABOVE(strategy, fan_least, fan_most, "");
    }
    for (int i = 0; i < PINERY_DRIVES && status == PINERY_OK; i++) {
        char at[32];
        snprintf(at, sizeof at, "strategy: screen %d", i + 1);
        status = check_screen(&strategy->screen[i], at, error);
    }
    for (int i = 0; i < PINERY_LAMPS && status == PINERY_OK; i++) {
        char at[32];
        snprintf(at, sizeof at, "strategy: lighting %d", i + 1);
        status = check_lighting(&strategy->lighting[i], at, error);
    }
    for (int i = 0; i < PINERY_DRYERS && status == PINERY_OK; i++) {
        static const char *const at[PINERY_DRYERS] = {"strategy: duct", "strategy: recovery", "strategy: dehumidifier",
                                                      "strategy: desiccant"};
        status = check_drying(&strategy->drying[i], at[i], error);
    }
    if (status == PINERY_OK) {
        status = check_supply(&strategy->supply, error);
    }
    if (status == PINERY_OK) {
        status = pinery_fields_check(&pinery_dosing_fields, &strategy->dosing, "strategy", error);
    }
    return status == PINERY_OK ? pinery_base_ok(error) : status;
}
