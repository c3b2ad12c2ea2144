/* Orders from a script: are they numbers, and can a house follow them? */
#include <math.h>

#include "base/error.h"
#include "control/orders.h"

static pinery_status outside(const char *name, const char *part, double value, double min, double max, const char *unit,
                             pinery_error *error) {
    const char *gap = unit[0] != '\0' ? " " : "";
    return pinery_base_fail(error, PINERY_BAD_INPUT, "orders: %s%s = %.10g%s%s is outside %.10g .. %.10g%s%s", name,
                            part, value, gap, unit, min, max, gap, unit);
}

/* Written so that NaN fails. Names are put together only for a text: this runs whenever an order changes. */
static inline pinery_status range(const char *name, const char *part, double value, double min, double max,
                                  const char *unit, pinery_error *error) {
    return value >= min && value <= max ? PINERY_OK : outside(name, part, value, min, max, unit, error);
}

static pinery_status ramp(const char *name, const char *from, const char *to, double start, double full, double min,
                          double max, const char *unit, pinery_error *error) {
    pinery_status status;
    if ((status = range(name, from, start, min, max, unit, error)) ||
        (status = range(name, to, full, min, max, unit, error))) {
        return status;
    }
    return start < full ? PINERY_OK
                        : pinery_base_fail(error, PINERY_BAD_INPUT, "orders: %s%s = %.10g must be above %s = %.10g",
                                           name, to, full, from + 1, start);
}

static pinery_status check_law(const char *name, const pinery_law *law, pinery_error *error) {
    pinery_status status;
    if ((status = range(name, ".low", law->low, 0.0, 1.0, "", error)) ||
        (status = range(name, ".high", law->high, 0.0, 1.0, "", error)) ||
        (status = range(name, ".by_temperature", law->by_temperature, 0.0, 1.0, "", error)) ||
        (status = range(name, ".by_humidity", law->by_humidity, 0.0, 1.0, "", error))) {
        return status;
    }
    if (law->low > law->high) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "orders: %s.low = %.10g must not be above %s.high = %.10g",
                                name, law->low, name, law->high);
    }
    if (law->by_temperature > 0.0 &&
        (status = ramp(name, ".temperature_start", ".temperature_full", law->temperature_start, law->temperature_full,
                       -100.0, 200.0, "degC", error))) {
        return status;
    }
    return law->by_humidity > 0.0 ? ramp(name, ".humidity_start", ".humidity_full", law->humidity_start,
                                         law->humidity_full, 0.0, 1.0, "", error)
                                  : PINERY_OK;
}

static pinery_status check_pipes(const pinery_orders *o, pinery_error *error) {
    pinery_status status;
    if ((status = range("pipe_gain", "", o->pipe_gain, 0.0, 1000.0, "K/K", error)) ||
        (status = range("pipe_integral_time", "", o->pipe_integral_time, 1.0, 1e7, "s", error)) ||
        (status = range("upper_start", "", o->upper_start, 0.0, 1.0, "", error)) ||
        (status = range("pipe_least", "", o->pipe_least, 0.0, 110.0, "degC", error)) ||
        (status = range("pipe_most", "", o->pipe_most, 0.0, 110.0, "degC", error)) ||
        (!isnan(o->pipe_lower) && (status = range("pipe_lower", "", o->pipe_lower, 0.0, 110.0, "degC", error))) ||
        (!isnan(o->pipe_upper) && (status = range("pipe_upper", "", o->pipe_upper, 0.0, 110.0, "degC", error)))) {
        return status;
    }
    return o->pipe_least <= o->pipe_most
               ? PINERY_OK
               : pinery_base_fail(error, PINERY_BAD_INPUT,
                                  "orders: pipe_least = %.10g degC must not be above pipe_most = %.10g degC",
                                  o->pipe_least, o->pipe_most);
}

static pinery_status check_drives(const pinery_orders *o, pinery_error *error) {
    static const char *const cloth[PINERY_DRIVES] = {"cloth_1", "cloth_2", "cloth_3"};
    static const char *const which[PINERY_DRIVES] = {"which_1", "which_2", "which_3"};
    static const char *const slit[PINERY_DRIVES] = {"slit_1", "slit_2", "slit_3"};
    pinery_status status = PINERY_OK;
    for (int i = 0; i < PINERY_DRIVES && status == PINERY_OK; i++) {
        status = range(cloth[i], "", o->cloth[i], 0.0, 1.0, "", error);
        if (status == PINERY_OK) {
            status = range(which[i], "", o->which[i], 0.0, 1.0, "", error);
        }
        if (status == PINERY_OK) {
            status = check_law(slit[i], &o->slit[i], error);
        }
    }
    return status;
}

pinery_status pinery_control_orders_check(const pinery_orders *o, pinery_error *error) {
    pinery_status status = range("heating", "", o->heating, -50.0, 60.0, "degC", error);
    if (status == PINERY_OK) {
        status = range("ventilation", "", o->ventilation, -50.0, 100.0, "degC", error);
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
        status = range(i == 0 ? "lamp_1" : "lamp_2", "", o->lamp[i], 0.0, 1.0, "", error);
    }
    if (status == PINERY_OK) {
        status = check_law("fan_through", &o->fan_through, error);
    }
    if (status == PINERY_OK) {
        status = range("fan_circulation", "", o->fan_circulation, 0.0, 1.0, "", error);
    }
    for (int i = 0; i < PINERY_DRYERS && status == PINERY_OK; i++) {
        static const char *const name[PINERY_DRYERS] = {"duct", "recovery", "dehumidifier", "desiccant"};
        status = check_law(name[i], &o->drying[i], error);
    }
    for (int i = 0; i < PINERY_SOURCES && status == PINERY_OK; i++) {
        static const char *const name[PINERY_SOURCES] = {"cogeneration", "bought_heat", "heat_pump", "electric_boiler"};
        status = range(name[i], "", o->source[i], 0.0, 1.0, "", error);
    }
    if (status == PINERY_OK) {
        status = range("tank_fill", "", o->tank_fill, 0.0, 1.0, "", error);
    }
    if (status == PINERY_OK) {
        status = range("carbon_target", "", o->carbon_target, 0.0, 5000.0, "ppm", error);
    }
    if (status == PINERY_OK && o->carbon_target > 0.0) {
        status = range("carbon_band", "", o->carbon_band, 1.0, 5000.0, "ppm", error);
    }
    return status == PINERY_OK ? pinery_base_ok(error) : status;
}
