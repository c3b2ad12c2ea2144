/* Orders from a script: are they numbers, and can a house follow them? */
#include <math.h>
#include <stdio.h>

#include "base/error.h"
#include "control/orders.h"

/* Written so that NaN fails. */
static pinery_status range(const char *name, double value, double min, double max, const char *unit,
                           pinery_error *error) {
    if (value >= min && value <= max) {
        return PINERY_OK;
    }
    const char *gap = unit[0] != '\0' ? " " : "";
    return pinery_base_fail(error, PINERY_BAD_INPUT, "orders: %s = %.10g%s%s is outside %.10g .. %.10g%s%s", name,
                            value, gap, unit, min, max, gap, unit);
}

static pinery_status ramp(const char *name, const char *of, double start, double full, double min, double max,
                          const char *unit, pinery_error *error) {
    char part[64];
    snprintf(part, sizeof part, "%s.%s_start", name, of);
    pinery_status status = range(part, start, min, max, unit, error);
    if (status == PINERY_OK) {
        snprintf(part, sizeof part, "%s.%s_full", name, of);
        status = range(part, full, min, max, unit, error);
    }
    if (status == PINERY_OK && !(start < full)) {
        status = pinery_base_fail(error, PINERY_BAD_INPUT, "orders: %s = %.10g must be above %s_start = %.10g", part,
                                  full, of, start);
    }
    return status;
}

static pinery_status check_law(const char *name, const pinery_law *law, pinery_error *error) {
    const struct {
        const char *key;
        double value;
    } share[] = {{"low", law->low},
                 {"high", law->high},
                 {"by_temperature", law->by_temperature},
                 {"by_humidity", law->by_humidity}};
    pinery_status status = PINERY_OK;
    for (size_t i = 0; i < sizeof share / sizeof share[0] && status == PINERY_OK; i++) {
        char part[64];
        snprintf(part, sizeof part, "%s.%s", name, share[i].key);
        status = range(part, share[i].value, 0.0, 1.0, "", error);
    }
    if (status == PINERY_OK && law->low > law->high) {
        status = pinery_base_fail(error, PINERY_BAD_INPUT, "orders: %s.low = %.10g must not be above %s.high = %.10g",
                                  name, law->low, name, law->high);
    }
    if (status == PINERY_OK && law->by_temperature > 0.0) {
        status = ramp(name, "temperature", law->temperature_start, law->temperature_full, -100.0, 200.0, "degC", error);
    }
    if (status == PINERY_OK && law->by_humidity > 0.0) {
        status = ramp(name, "humidity", law->humidity_start, law->humidity_full, 0.0, 1.0, "", error);
    }
    return status;
}

static pinery_status check_pipes(const pinery_orders *o, pinery_error *error) {
    const struct {
        const char *key;
        double value, min, max;
        const char *unit;
    } row[] = {{"pipe_gain", o->pipe_gain, 0.0, 1000.0, "K/K"},
               {"pipe_integral_time", o->pipe_integral_time, 1.0, 1e7, "s"},
               {"upper_start", o->upper_start, 0.0, 1.0, ""},
               {"pipe_least", o->pipe_least, 0.0, 110.0, "degC"},
               {"pipe_most", o->pipe_most, 0.0, 110.0, "degC"},
               {"pipe_lower", isnan(o->pipe_lower) ? 0.0 : o->pipe_lower, 0.0, 110.0, "degC"},
               {"pipe_upper", isnan(o->pipe_upper) ? 0.0 : o->pipe_upper, 0.0, 110.0, "degC"}};
    pinery_status status = PINERY_OK;
    for (size_t i = 0; i < sizeof row / sizeof row[0] && status == PINERY_OK; i++) {
        status = range(row[i].key, row[i].value, row[i].min, row[i].max, row[i].unit, error);
    }
    if (status == PINERY_OK && o->pipe_least > o->pipe_most) {
        status = pinery_base_fail(error, PINERY_BAD_INPUT,
                                  "orders: pipe_least = %.10g degC must not be above pipe_most = %.10g degC",
                                  o->pipe_least, o->pipe_most);
    }
    return status;
}

static pinery_status check_drives(const pinery_orders *o, pinery_error *error) {
    pinery_status status = PINERY_OK;
    for (int i = 0; i < PINERY_DRIVES && status == PINERY_OK; i++) {
        char name[32];
        snprintf(name, sizeof name, "cloth_%d", i + 1);
        status = range(name, o->cloth[i], 0.0, 1.0, "", error);
        if (status == PINERY_OK) {
            snprintf(name, sizeof name, "which_%d", i + 1);
            status = range(name, o->which[i], 0.0, 1.0, "", error);
        }
        if (status == PINERY_OK) {
            snprintf(name, sizeof name, "slit_%d", i + 1);
            status = check_law(name, &o->slit[i], error);
        }
    }
    return status;
}

pinery_status pinery_control_orders_check(const pinery_orders *o, pinery_error *error) {
    pinery_status status = range("heating", o->heating, -50.0, 60.0, "degC", error);
    if (status == PINERY_OK) {
        status = range("ventilation", o->ventilation, -50.0, 100.0, "degC", error);
    }
    if (status == PINERY_OK) {
        status = check_pipes(o, error);
    }
    if (status == PINERY_OK) {
        status = check_drives(o, error);
    }
    if (status == PINERY_OK) {
        status = check_law("vent_lee", &o->vent_lee, error);
    }
    if (status == PINERY_OK) {
        status = check_law("vent_wind", &o->vent_wind, error);
    }
    for (int i = 0; i < PINERY_LAMPS && status == PINERY_OK; i++) {
        char name[32];
        snprintf(name, sizeof name, "lamp_%d", i + 1);
        status = range(name, o->lamp[i], 0.0, 1.0, "", error);
    }
    if (status == PINERY_OK) {
        status = check_law("fan_through", &o->fan_through, error);
    }
    if (status == PINERY_OK) {
        status = range("fan_circulation", o->fan_circulation, 0.0, 1.0, "", error);
    }
    return status == PINERY_OK ? pinery_base_ok(error) : status;
}
