/* The rest of a house under weather and orders that stand still.
 *
 * First the way there: the integration of a year, run on for a month. It finds which faces are wet and which limits are
 * met, as the house would. Then Newton's method on the rates themselves,
 *     (I/t - J) dy = f(y),
 * with the slopes of the flows and a pseudo-time step t that grows beyond all bounds. It leaves a dry film, whose rate
 * and slope are both zero, where it is: a film that dries does so ever more slowly.
 *
 * Light and long wave of the stack are worked out anew in every evaluation, not when they have moved by a step, so that
 * the rest does not depend on the way there; and since the wet share of a face moves them, which the slopes of the
 * flows leave out, the columns of those films are difference quotients. */
#include "pinery/steady.h"

#include <stdlib.h>
#include <string.h>

#include "air/psychro.h"
#include "base/error.h"
#include "base/field.h"
#include "control/orders.h"
#include "sky/longwave.h"
#include "sky/weather.h"
#include "year/layout.h"
#include "year/linear.h"
#include "year/orders.h"
#include "year/solver.h"
#include "year/steady.h"

PINERY_FIELDS_DEFINE(pinery_conditions_fields, "conditions", pinery_conditions, PINERY_CONDITIONS_FIELDS);

static const double month_s = 2.6e6, ever_s = 1e15;
static const double still = 1e-7;    /* W/m2, largest rate at rest */
static const double carried = 2.5e6; /* J/kg, by which a rate of water counts as one of heat */
enum { ROUNDS = 100, TRIES = 3 };

void pinery_conditions_default(pinery_conditions *conditions) {
    pinery_fields_default(&pinery_conditions_fields, conditions);
}

/* ---- weather and orders that stand still ---- */

static pinery_status make_weather(const pinery_conditions *c, pinery_weather **out, pinery_error *error) {
    if (!isnan(c->sky) && !isnan(c->infrared))
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "conditions: sky = %g degC and infrared = %g W/m2 say the same thing twice; give one",
                                c->sky, c->infrared);
    pinery_weather *weather = *out = pinery_sky_weather_new(1);
    if (!weather)
        return pinery_base_fail(error, PINERY_MEMORY, "no memory for the weather");
    double e = pinery_air_vapour_pressure(c->outside, 0.01 * c->outside_humidity);
    double K = c->sky + PINERY_AIR_ZERO_K;
    double infrared = !isnan(c->infrared) ? c->infrared
                      : !isnan(c->sky)    ? PINERY_HOUSE_STEFAN_BOLTZMANN * K * K * K * K
                                          : pinery_sky_infrared(c->outside, e, c->cloud);
    weather->step_s = 1e12; /* one record, longer than any way to rest */
    for (int i = 0; i < PINERY_WEATHER_N_COLUMNS; i++)
        weather->column[i][0] = 0.0;
    weather->column[PINERY_WEATHER_temperature][0] = c->outside;
    weather->column[PINERY_WEATHER_vapour_pressure][0] = e;
    weather->column[PINERY_WEATHER_pressure][0] = c->pressure;
    weather->column[PINERY_WEATHER_infrared][0] = infrared;
    weather->column[PINERY_WEATHER_wind_speed][0] = c->wind;
    weather->column[PINERY_WEATHER_sun_elevation][0] = -90.0;
    snprintf(weather->source, sizeof weather->source, "conditions");
    return PINERY_OK;
}

static pinery_law at(double position) {
    return (pinery_law){.low = position, .high = 1.0};
}

static void make_orders(const pinery_conditions *c, const pinery_house *house, pinery_orders *orders) {
    pinery_strategy strategy;
    pinery_strategy_default(&strategy);
    double lower = house->pipe_lower.length > 0.0 ? house->pipe_lower.max_temperature : 0.0;
    double upper = house->pipe_upper.length > 0.0 ? house->pipe_upper.max_temperature : 0.0;
    *orders = (pinery_orders){.heating = c->air,
                              .ventilation = c->air,
                              .pipe_gain = strategy.pipe_gain,
                              .pipe_integral_time = strategy.pipe_integral_time,
                              .upper_start = c->upper_start,
                              .pipe_most = fmax(lower, upper),
                              .pipe_lower = c->pipe_lower,
                              .pipe_upper = c->pipe_upper,
                              .cloth = {c->cloth_1, c->cloth_2, c->cloth_3},
                              .which = {c->which_1 - 1, c->which_2 - 1, c->which_3 - 1},
                              .slit = {at(c->slit_1), at(c->slit_2), at(c->slit_3)},
                              .vent_lee = at(c->vent_lee),
                              .vent_wind = at(c->vent_wind),
                              .lamp = {c->lamp_1, c->lamp_2},
                              .fan_through = at(c->fan_through),
                              .fan_circulation = c->fan_circulation,
                              .drying = {[PINERY_DUCT] = at(c->duct),
                                         [PINERY_RECOVERY] = at(c->recovery),
                                         [PINERY_DEHUMIDIFIER] = at(c->dehumidifier),
                                         [PINERY_DESICCANT] = at(c->desiccant)},
                              .source = {[PINERY_COGENERATION] = c->cogeneration,
                                         [PINERY_BOUGHT] = c->bought_heat,
                                         [PINERY_HEAT_PUMP] = c->heat_pump,
                                         [PINERY_ELECTRIC] = c->electric_boiler}};
}

/* An order for what the house does not have would be silently nothing. */
static pinery_status check_orders(const pinery_conditions *c, const pinery_house *house, pinery_error *error) {
    const double cloth[] = {c->cloth_1, c->cloth_2, c->cloth_3}, slit[] = {c->slit_1, c->slit_2, c->slit_3};
    const int which[] = {c->which_1, c->which_2, c->which_3};
    for (int d = 0; d < PINERY_DRIVES; d++) {
        if (d >= house->drives && (cloth[d] > 0.0 || slit[d] > 0.0))
            return pinery_base_fail(error, PINERY_BAD_INPUT, "conditions: %s_%d = %g, but the house has %d drives",
                                    cloth[d] > 0.0 ? "cloth" : "slit", d + 1, cloth[d] > 0.0 ? cloth[d] : slit[d],
                                    house->drives);
        if (d < house->drives && which[d] > house->drive[d].cloths)
            return pinery_base_fail(error, PINERY_BAD_INPUT, "conditions: which_%d = %d, but the drive has one cloth",
                                    d + 1, which[d]);
    }
    const struct {
        const char *name;
        double value;
        bool there;
    } rest[] = {{"pipe_lower", isnan(c->pipe_lower) ? 0.0 : c->pipe_lower, house->pipe_lower.length > 0.0},
                {"pipe_upper", isnan(c->pipe_upper) ? 0.0 : c->pipe_upper, house->pipe_upper.length > 0.0},
                {"lamp_1", c->lamp_1, house->lamp[0].power > 0.0},
                {"lamp_2", c->lamp_2, house->lamp[1].power > 0.0},
                {"fan_through", c->fan_through, house->fan_through.flow > 0.0 && house->drives > 0},
                {"fan_circulation", c->fan_circulation, house->fan_circulation.flow > 0.0},
                {"duct", c->duct, house->duct.flow > 0.0},
                {"recovery", c->recovery, house->recovery.flow > 0.0},
                {"dehumidifier", c->dehumidifier, house->dehumidifier.cooling > 0.0},
                {"desiccant", c->desiccant, house->desiccant.flow > 0.0},
                {"cogeneration", c->cogeneration, house->cogeneration.power > 0.0},
                {"bought_heat", c->bought_heat, house->bought_heat.heat > 0.0},
                {"heat_pump", c->heat_pump, house->heat_pump.heat > 0.0},
                {"electric_boiler", c->electric_boiler, house->electric_boiler.heat > 0.0}};
    for (size_t i = 0; i < sizeof rest / sizeof rest[0]; i++)
        if (rest[i].value != 0.0 && !rest[i].there)
            return pinery_base_fail(error, PINERY_BAD_INPUT, "conditions: %s = %g, but the house has none",
                                    rest[i].name, rest[i].value);
    return PINERY_OK;
}

/* ---- settling ---- */

struct settling {
    struct pinery_year_model model;
    struct pinery_year_work work;
    struct pinery_year_linear *lu;
    double *y, *kept, *rate, *step, *quotient, *matrix;
};

static bool evaluate(struct settling *s, struct pinery_year_slopes *slope) {
    struct pinery_year_net net = {&s->model.at, s->rate, slope};
    return pinery_year_rates(&s->work, 0.0, s->y, &net);
}

/* Largest rate, heat and water of every place alike, and the heating's integral; and the place, or -1. */
static double moving(const struct settling *s, int *where) {
    const struct pinery_year_layout *at = &s->model.at;
    double most = 0.0;
    *where = -1;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++) {
        double heat = at->heat[node] == at->sink ? 0.0 : fabs(s->rate[at->heat[node]]);
        double water = at->water[node] == at->sink ? 0.0 : carried * fabs(s->rate[at->water[node]]);
        if (!(fmax(heat, water) <= most)) {
            most = fmax(heat, water);
            *where = node;
        }
    }
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        if (at->act[act] != at->sink && !(fabs(s->rate[at->act[act]]) <= most)) {
            most = fabs(s->rate[at->act[act]]);
            *where = -1;
        }
    return most;
}

/* The integration, `span` seconds of it; the positions are where they are ordered from the start. */
static pinery_status integrate(struct settling *s, double tolerance, double span, pinery_error *error) {
    struct pinery_year_solver *solver = pinery_year_solver_create(&s->work, tolerance, false);
    if (!solver)
        return pinery_base_fail(error, PINERY_MEMORY, "no memory to settle a house");
    pinery_status status = pinery_year_solver_start(solver, 0.0, span, s->y, error);
    if (!status)
        status = pinery_year_solver_to(solver, span, s->y, error);
    pinery_year_solver_free(solver);
    return status;
}

/* Slopes, with the columns of the films that change the stack by differences; the rates are left in s->rate. */
static bool slopes(struct settling *s) {
    const int film[] = {NODE_COVER, NODE_CLOTH, NODE_CLOTH + 1, NODE_CLOTH + 2};
    const struct pinery_year_layout *at = &s->model.at;
    struct pinery_year_slopes *slope = pinery_year_linear_slopes(s->lu);
    for (size_t k = 0; k < sizeof film / sizeof film[0]; k++) {
        int column = at->water[film[k]];
        if (column == at->sink)
            continue;
        const double dw = 1e-7; /* kg/m2, against the 0.01 in which a face gets wet */
        double here = s->y[column], *apart = s->quotient + k * (size_t)at->n;
        for (int side = 0; side < 2; side++) {
            s->y[column] = side ? here + dw : here - dw;
            if (!evaluate(s, NULL))
                return false;
            for (int i = 0; i < at->n; i++)
                apart[i] = side ? (s->rate[i] - apart[i]) / (2.0 * dw) : s->rate[i];
        }
        s->y[column] = here;
    }
    if (!evaluate(s, slope))
        return false;
    pinery_year_linear_matrix(at, slope, s->matrix);
    for (size_t k = 0; k < sizeof film / sizeof film[0]; k++)
        for (int i = 0; i < at->n && at->water[film[k]] != at->sink; i++) {
            const double *row = s->matrix + (size_t)i * (size_t)at->n;
            /* the difference is at the same heat, the slope at the same temperature */
            double by_film = s->quotient[k * (size_t)at->n + (size_t)i] +
                             pinery_year_heat_of_water(s->work.model, &s->work.state, film[k]) /
                                 pinery_year_capacity(s->work.model, &s->work.state, film[k]) * row[at->heat[film[k]]];
            pinery_year_slopes_add(slope, pinery_year_slope_row(at->water[film[k]], i),
                                   by_film - row[at->water[film[k]]]);
        }
    return true;
}

/* Newton's rounds; true when nothing moves any more. */
static bool polish(struct settling *s) {
    int n = s->model.at.n, all = s->model.at.all;
    double t = 1e4;
    for (int round = 0; round < ROUNDS; round++) {
        if (!slopes(s))
            return false;
        int where;
        if (moving(s, &where) < still)
            return true;
        for (int i = 0; i < all; i++)
            s->step[i] = i < n ? t * s->rate[i] : 0.0;
        if (!pinery_year_linear_solve(s->lu, t, &s->work.state, s->step, s->step))
            return false;
        for (int i = 0; i < n; i++)
            s->y[i] += s->step[i];
        t = fmin(3.0 * t, ever_s);
    }
    return false;
}

/* Begin with the vapour of the outside air: in a house without leaks or leaves all of it stays for ever. */
static void outside_humidity(struct settling *s, const pinery_conditions *c) {
    const struct pinery_year_layout *at = &s->model.at;
    double x = pinery_air_humidity_ratio(pinery_air_vapour_pressure(c->outside, 0.01 * c->outside_humidity),
                                         s->model.pressure);
    for (int air = 0; air < PINERY_YEAR_N_AIRS; air++) {
        const struct pinery_year_store *store = &s->model.store[air];
        if (at->water[air] == at->sink)
            continue;
        double W = store->air * x;
        s->y[at->heat[air]] += (W - s->y[at->water[air]]) * (store->latent + store->heat * c->air);
        s->y[at->water[air]] = W;
    }
}

static pinery_status settle(struct settling *s, const pinery_conditions *c, pinery_error *error) {
    const struct pinery_year_layout *at = &s->model.at;
    pinery_year_start(&s->model, c->air, s->y);
    outside_humidity(s, c);
    const double position[PINERY_YEAR_N_ACTS] = {[ACT_SLIT] = c->slit_1,
                                                 [ACT_SLIT + 1] = c->slit_2,
                                                 [ACT_SLIT + 2] = c->slit_3,
                                                 [ACT_VENT_LEE] = c->vent_lee,
                                                 [ACT_VENT_WIND] = c->vent_wind,
                                                 [ACT_FAN_THROUGH] = c->fan_through,
                                                 [ACT_DRYING + PINERY_DUCT] = c->duct,
                                                 [ACT_DRYING + PINERY_RECOVERY] = c->recovery,
                                                 [ACT_DRYING + PINERY_DEHUMIDIFIER] = c->dehumidifier,
                                                 [ACT_DRYING + PINERY_DESICCANT] = c->desiccant,
                                                 [ACT_CARBON] = 1e-3 * s->model.house.carbon.outside};
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        if (at->act[act] != at->sink)
            s->y[at->act[act]] = position[act];
    double tolerance = 1e-2, span = month_s;
    for (int i = 0; i < TRIES; i++, tolerance *= 0.1, span *= 5.0) {
        pinery_status status = integrate(s, tolerance, span, error);
        if (status)
            return status;
        memcpy(s->kept, s->y, (size_t)at->all * sizeof(double));
        if (polish(s))
            return PINERY_OK;
        memcpy(s->y, s->kept, (size_t)at->all * sizeof(double)); /* for another go, from further on */
    }
    int where;
    double left = moving(s, &where);
    return pinery_base_fail(
        error, PINERY_SOLVER,
        "the house does not come to rest: %.3g W/m2 are left in the %s; upper air %.2f degC, cover %.2f degC", left,
        where < 0 ? "controller" : pinery_year_node_name(where), s->work.state.T[NODE_AIR_UPPER],
        s->work.state.T[NODE_COVER]);
}

static pinery_status make(struct settling *s, const pinery_weather *weather, const pinery_house *house,
                          const pinery_conditions *c, pinery_error *error) {
    pinery_status status = pinery_year_build(weather, house, &s->model, error);
    if (status)
        return status;
    s->model.deep = c->deep;
    s->work = (struct pinery_year_work){.model = &s->model,
                                        .curves = {.instant = -1000000, .mean = -1000000},
                                        .state = {.out = {.time_s = NAN}},
                                        .exact = true};
    pinery_orders orders;
    make_orders(c, house, &orders);
    if ((status = pinery_control_orders_check(&orders, error)))
        return status;
    pinery_year_orders_settle(&s->work, &orders);
    int n = s->model.at.n;
    size_t all = (size_t)s->model.at.all;
    s->y = malloc(all * sizeof(double));
    s->kept = malloc(all * sizeof(double));
    s->rate = malloc((all + 1) * sizeof(double));
    s->step = malloc(all * sizeof(double));
    s->quotient = malloc((1 + PINERY_DRIVES) * (size_t)n * sizeof(double));
    s->matrix = malloc((all + 1) * (size_t)n * sizeof(double));
    s->lu = pinery_year_linear_create(&s->model);
    if (!s->y || !s->kept || !s->rate || !s->step || !s->quotient || !s->matrix || !s->lu)
        return pinery_base_fail(error, PINERY_MEMORY, "no memory to settle a house");
    pinery_crop *crop = &s->model.house.crop; /* the leaf area of that day, for good */
    pinery_year_start(&s->model, c->air, s->y);
    pinery_year_state_of(&s->work, 86400.0 * (c->day - 1.0), s->y);
    if (crop->points > 0) {
        crop->leaf_area = s->work.state.leaf_area;
        crop->lower_share = s->work.state.leaf[0] / (s->work.state.leaf[0] + s->work.state.leaf[1]);
    }
    crop->points = 0;
    return PINERY_OK;
}

pinery_status pinery_steady_solve(const pinery_house *house, const pinery_conditions *conditions, pinery_steady *steady,
                                  pinery_error *error) {
    struct settling s = {0};
    pinery_weather *weather = NULL;
    pinery_status status = pinery_fields_check(&pinery_conditions_fields, conditions, "", error);
    if (!status)
        status = pinery_house_check(house, error);
    if (!status)
        status = check_orders(conditions, house, error);
    if (!status)
        status = make_weather(conditions, &weather, error);
    if (!status)
        status = make(&s, weather, house, conditions, error);
    if (!status)
        status = settle(&s, conditions, error);
    if (!status) {
        pinery_year_steady_results(&s.work, s.rate, conditions->air, steady);
        int where;
        steady->result[PINERY_STEADY_imbalance] = moving(&s, &where);
    }
    pinery_year_linear_free(s.lu);
    free(s.y);
    free(s.kept);
    free(s.rate);
    free(s.step);
    free(s.quotient);
    free(s.matrix);
    pinery_year_unbuild(&s.model);
    pinery_weather_free(weather);
    return status ? status : pinery_base_ok(error);
}
