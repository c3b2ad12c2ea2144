/* The run: a control interval at a time, strategy and integration in turn, ticks to the ledger. */
#include "pinery/run.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/error.h"
#include "base/field.h"
#include "control/causes.h"
#include "ledger/ledger.h"
#include "sky/sun.h"
#include "sky/weather.h"
#include "year/contract.h"
#include "year/orders.h"
#include "year/readings.h"
#include "year/run.h"
#include "year/solver.h"

PINERY_FIELDS_DEFINE(pinery_options_fields, "options", pinery_options, PINERY_OPTIONS_FIELDS);

void pinery_options_default(pinery_options *options) {
    pinery_fields_default(&pinery_options_fields, options);
}

struct pinery_run {
    struct pinery_year_model model;
    struct pinery_year_work work;
    struct pinery_year_solver *solver;
    pinery_strategy strategy;
    struct pinery_control_memory memory;
    pinery_causes *causes; /* NULL: not kept */
    pinery_options options;
    pinery_ledger *ledger;
    pinery_tick *tick; /* of the present instant, in the ledger */
    pinery_seen seen;
    double *y, *scratch;
    double begin, booked, end, now; /* s: with spin-up, from where booked, to where, present instant */
    double today;                   /* days since 1 January of the first year */
    double midnight_light;          /* mol/m2, of the meters at the last midnight */
    long interval;                  /* control intervals done */
    bool ordered, failed;
    struct pinery_year_shed shed;
    double besides; /* W/m2 of electricity over the last interval, lamps and what an engine makes taken off */
    double wall_s;
};

/* The clock is looked at twice every interval: the one that ticks every few milliseconds costs a quarter of the exact
 * one, and what falls between two ticks evens out over a run. */
#ifdef CLOCK_MONOTONIC_COARSE
static const clockid_t run_clock = CLOCK_MONOTONIC_COARSE;
#else
static const clockid_t run_clock = CLOCK_MONOTONIC;
#endif

static double clock_s(void) {
    struct timespec now;
    clock_gettime(run_clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* The weather record that holds at a time. */
static long record_at(const struct pinery_run *run, double time_s) {
    const pinery_weather *weather = run->model.weather;
    return (long)floor((time_s - weather->start_s) / weather->step_s + 1e-9);
}

static double recorded(const struct pinery_run *run, pinery_weather_column column, long record) {
    return pinery_year_record(run->model.weather, run->model.weather->column[column], record);
}

/* ---- looking ---- */

static void see_sun(struct pinery_run *run) {
    const pinery_site *site = &run->model.weather->site;
    double day_start = 86400.0 * floor(run->now / 86400.0), rise, set;
    double year = 86400.0 * pinery_sky_year_days(run->model.weather), within = fmod(fmod(day_start, year) + year, year);
    if (pinery_sky_sunrise(site->latitude_deg, site->longitude_deg, site->utc_offset_h, within,
                           run->model.weather->year, &rise, &set)) {
        run->seen.sunrise = (rise - within) / 3600.0;
        run->seen.sunset = (set - within) / 3600.0;
    } else { /* up or down all day */
        double elevation, azimuth;
        pinery_sky_sun_position(site->latitude_deg, site->longitude_deg, site->utc_offset_h, within + 43200.0,
                                run->model.weather->year, &elevation, &azimuth);
        run->seen.sunrise = elevation > 0.0 ? 0.0 : 12.0;
        run->seen.sunset = elevation > 0.0 ? 24.0 : 12.0;
    }
}

static double light_had(const struct pinery_run *run) {
    return run->tick->meter[PINERY_METER_light_sun] + run->tick->meter[PINERY_METER_light_lamps];
}

static pinery_status look(struct pinery_run *run, pinery_error *error) {
    struct pinery_year_net net = {&run->model.at, run->scratch, NULL};
    if (!pinery_year_observe(&run->work, run->now, run->y, &net))
        return pinery_base_fail(error, PINERY_SOLVER, "the state at %.0f s is outside physics", run->now);
    bool shed = run->model.house.contract.shed && run->ordered;
    pinery_tick before;
    if (shed)
        before = *run->tick;
    pinery_tick *tick = run->tick = pinery_ledger_next(run->ledger);
    pinery_year_readings(&run->work, tick->reading);
    pinery_year_growth(&run->work, tick->index);
    long record = record_at(run, run->now);
    tick->reading[PINERY_READING_outside_snow] = recorded(run, PINERY_WEATHER_snow, record);
    pinery_year_tick(&run->work, run->now, run->y, tick);
    run->besides = shed ? pinery_year_power_besides(&before, tick) : 0.0;
    double day = floor(run->now / 86400.0), hour = (run->now - 86400.0 * day) / 3600.0;
    if (day != run->today || !run->ordered) {
        run->today = day;
        double year = pinery_sky_year_days(run->model.weather);
        run->seen.day = fmod(fmod(day, year) + year, year) + 1.0;
        run->midnight_light = light_had(run);
        see_sun(run);
    }
    run->seen.time_s = run->now;
    run->seen.hour = hour;
    run->seen.light_today = light_had(run) - run->midnight_light;
    run->seen.wind_direction = recorded(run, PINERY_WEATHER_wind_direction, record);
    run->seen.rain = recorded(run, PINERY_WEATHER_rain, record);
    memcpy(run->seen.reading, tick->reading, sizeof run->seen.reading);
    return PINERY_OK;
}

/* ---- making ---- */

static pinery_status set_span(struct pinery_run *run, pinery_error *error) {
    const pinery_weather *weather = run->model.weather;
    const pinery_options *options = &run->options;
    double first = 86400.0 * (options->first_day - 1.0), spin_up = 86400.0 * options->spin_up;
    double interval = options->control_interval;
    double last = first + 86400.0 * options->days;
    if (!pinery_weather_is_year(weather)) {
        double from = weather->start_s, to = weather->start_s + weather->n * weather->step_s;
        if (first < from - 1.0 || last > to + 1.0)
            return pinery_base_fail(
                error, PINERY_RANGE,
                "options: first_day = %g and days = %g ask for days %.3f to %.3f, but %s covers days "
                "%.3f to %.3f, in days of the year and their parts",
                options->first_day, options->days, options->first_day, last / 86400.0 + 1.0, weather->source,
                from / 86400.0 + 1.0, to / 86400.0 + 1.0);
        spin_up = fmin(spin_up, first - from);
    }
    run->booked = first;
    run->begin = first - interval * floor(spin_up / interval);
    run->end = first + interval * ceil((last - first) / interval - 1e-9);
    run->now = run->begin;
    return PINERY_OK;
}

/* Causes of what the house has. */
static pinery_causes *keep_causes(const struct pinery_year_model *model) {
    const pinery_house *house = &model->house;
    bool has[PINERY_N_ACTUATORS];
    for (int a = 0; a < PINERY_N_ACTUATORS; a++)
        has[a] = true;
    for (int d = 0; d < PINERY_DRIVES; d++)
        has[PINERY_ACTUATOR_cloth_1 + d] = has[PINERY_ACTUATOR_slit_1 + d] = d < house->drives;
    for (int g = 0; g < PINERY_LAMPS; g++)
        has[PINERY_ACTUATOR_lamp_1 + g] = house->lamp[g].power > 0.0;
    has[PINERY_ACTUATOR_fan_through] = house->fan_through.flow > 0.0;
    has[PINERY_ACTUATOR_fan_circulation] = house->fan_circulation.flow > 0.0;
    has[PINERY_ACTUATOR_carbon_target] = house->carbon.balance;
    for (int i = 0; i < PINERY_DRYERS; i++)
        has[PINERY_ACTUATOR_duct + i] = model->act_speed[ACT_DRYING + i] > 0.0;
    for (int i = 0; i < PINERY_SOURCES; i++)
        has[PINERY_ACTUATOR_cogeneration + i] = model->act_speed[ACT_SOURCE + i] > 0.0;
    return pinery_control_causes_new(has);
}

static pinery_status make(struct pinery_run *run, const pinery_weather *weather, const pinery_house *house,
                          pinery_error *error) {
    pinery_status status;
    if ((status = pinery_strategy_check(&run->strategy, error)) ||
        (status = pinery_fields_check(&pinery_options_fields, &run->options, "", error)) ||
        (status = pinery_year_build(weather, house, &run->model, error)) || (status = set_span(run, error)))
        return status;
    pinery_year_rest_rules(&run->model, &run->strategy);
    size_t all = (size_t)run->model.at.all;
    run->y = malloc(all * sizeof(double));
    run->scratch = malloc((all + 1) * sizeof(double));
    run->work = (struct pinery_year_work){
        .model = &run->model, .curves = {.instant = -1000000, .mean = -1000000}, .state = {.out = {.time_s = NAN}}};
    run->solver = pinery_year_solver_create(&run->work, run->options.tolerance, run->options.solver == 1);
    if (!run->y || !run->scratch || !run->solver)
        return pinery_base_fail(error, PINERY_MEMORY, "no memory for a run");
    double interval = run->options.control_interval;
    struct pinery_ledger_setup setup = {.start_s = run->booked,
                                        .interval_s = interval,
                                        .intervals = lround((run->end - run->booked) / interval),
                                        .leap = weather->leap,
                                        .keep_hours = run->options.keep_hours,
                                        .has_drive = {house->drives > 0, house->drives > 1, house->drives > 2},
                                        .has_lamp = house->lamp[0].power > 0.0,
                                        .has_fan_through = house->fan_through.flow > 0.0,
                                        .has_sources = run->model.sources,
                                        .heating_value = house->boiler.heating_value,
                                        .gross = house->boiler.basis == 1,
                                        .most_gas = run->model.limited ? run->model.gas_limit : 0.0,
                                        .most_power = isnan(house->contract.power) ? 0.0 : house->contract.power};
    if ((status = pinery_ledger_create(&setup, &run->ledger, error)))
        return status;
    if (run->options.keep_causes && !(run->causes = keep_causes(&run->model)))
        return pinery_base_fail(error, PINERY_MEMORY, "no memory for the causes of a run");
    for (int g = 0; g < PINERY_LAMPS; g++)
        run->shed.until[g] = -INFINITY;
    pinery_control_start(&run->strategy, &run->memory);
    pinery_orders first = {.heating = run->strategy.period[0].heating,
                           .pipe_integral_time = run->strategy.pipe_integral_time,
                           .pipe_lower = NAN,
                           .pipe_upper = NAN};
    pinery_year_orders_settle(&run->work, &first);
    pinery_year_start(&run->model, run->strategy.period[0].heating, run->y);
    return look(run, error);
}

pinery_status pinery_run_create(const pinery_weather *weather, const pinery_house *house,
                                const pinery_strategy *strategy, const pinery_options *options, pinery_run **out,
                                pinery_error *error) {
    *out = NULL;
    struct pinery_run *run = calloc(1, sizeof *run);
    if (!run)
        return pinery_base_fail(error, PINERY_MEMORY, "no memory for a run");
    run->strategy = *strategy;
    run->options = *options;
    pinery_status status = make(run, weather, house, error);
    if (status) {
        pinery_run_free(run);
        return status;
    }
    *out = run;
    return PINERY_OK;
}

void pinery_run_free(pinery_run *run) {
    if (!run)
        return;
    pinery_year_solver_free(run->solver);
    pinery_ledger_free(run->ledger);
    pinery_control_causes_free(run->causes);
    pinery_year_unbuild(&run->model);
    free(run->y);
    free(run->scratch);
    free(run);
}

/* ---- going on ---- */

bool pinery_run_done(const pinery_run *run) {
    return run->failed || run->now >= run->end - 1e-6;
}

double pinery_run_progress(const pinery_run *run) {
    return (run->now - run->begin) / (run->end - run->begin);
}

const pinery_seen *pinery_run_seen(const pinery_run *run) {
    return &run->seen;
}

double pinery_run_forecast(const pinery_run *run, pinery_weather_column column, double hours) {
    const pinery_weather *weather = run->model.weather;
    double step = weather->step_s, time_s = run->now + 3600.0 * hours;
    bool mean =
        column == PINERY_WEATHER_global || column == PINERY_WEATHER_beam_normal || column == PINERY_WEATHER_diffuse;
    double into = (time_s - weather->start_s - (mean ? 0.5 * step : weather->instant_s)) / step;
    double share = into - floor(into), from = weather->start_s + floor(into) * step;
    return (1.0 - share) * recorded(run, column, record_at(run, from)) +
           share * recorded(run, column, record_at(run, from + step));
}

void pinery_run_orders(pinery_run *run, pinery_orders *orders) {
    pinery_control_orders(&run->strategy, &run->memory, &run->seen, orders);
    if (run->causes)
        pinery_control_causes_offer(run->causes, orders);
}

void pinery_run_because(pinery_run *run, const pinery_orders *orders, const char *text) {
    if (run->causes)
        pinery_control_causes_because(run->causes, orders, text);
}

const pinery_causes *pinery_run_causes(const pinery_run *run) {
    return run->causes;
}

/* The books begin: totals from zero. */
static void open_books(struct pinery_run *run) {
    for (int i = run->model.at.n; i < run->model.at.all; i++)
        run->y[i] = 0.0;
    run->midnight_light = 0.0;
    pinery_year_tick(&run->work, run->now, run->y, run->tick);
    pinery_ledger_take(run->ledger);
}

static pinery_status advance(struct pinery_run *run, const pinery_orders *given, pinery_error *error) {
    pinery_status status = PINERY_OK;
    pinery_orders own;
    const pinery_orders *orders = given;
    if (run->model.house.contract.shed) {
        own = *given;
        orders = &own;
        bool out = pinery_year_shed(&run->model.house, &run->shed, run->besides, run->now, &own);
        if (out && run->causes)
            pinery_control_causes_because(run->causes, given, "contract for power");
    }
    bool same = run->ordered && pinery_year_orders_same(&run->work, orders); /* and so checked before */
    if (!same && (status = pinery_control_orders_check(orders, error)))
        return status;
    if (run->causes && run->now >= run->booked)
        pinery_control_causes_note(run->causes, &run->memory, &run->seen, orders);
    bool opening = run->now == run->booked;
    if (opening)
        open_books(run);
    bool jump = !same && pinery_year_orders_take(&run->work, orders, run->now, run->options.control_interval);
    if (same)
        pinery_year_orders_hold(&run->work);
    bool anew = jump || opening || !run->ordered || run->options.restart_always;
    if (anew && (status = pinery_year_solver_start(run->solver, run->now, run->end, run->y, error)))
        return status;
    run->interval++;
    run->now = run->begin + (double)run->interval * run->options.control_interval;
    if ((status = pinery_year_solver_to(run->solver, run->now, run->y, error)) || (status = look(run, error)))
        return status;
    run->ordered = true;
    if (run->now > run->booked)
        pinery_ledger_take(run->ledger);
    return PINERY_OK;
}

static pinery_status go_on(pinery_run *run, const pinery_orders *orders, pinery_error *error) {
    pinery_status status =
        pinery_run_done(run) ? pinery_base_fail(error, PINERY_RANGE, "the run is over") : advance(run, orders, error);
    run->failed = run->failed || status;
    if (pinery_run_done(run))
        pinery_ledger_finish(run->ledger);
    return status;
}

pinery_status pinery_run_advance(pinery_run *run, const pinery_orders *orders, pinery_error *error) {
    double from = clock_s();
    pinery_status status = go_on(run, orders, error);
    run->wall_s += clock_s() - from;
    return status;
}

pinery_status pinery_run_all(pinery_run *run, pinery_error *error) {
    pinery_orders orders;
    pinery_status status = PINERY_OK;
    double from = clock_s();
    while (!status && !pinery_run_done(run)) {
        pinery_run_orders(run, &orders);
        status = go_on(run, &orders, error);
    }
    run->wall_s += clock_s() - from;
    return status;
}

const pinery_ledger *pinery_run_ledger(const pinery_run *run) {
    return run->ledger;
}

pinery_cost pinery_run_cost(const pinery_run *run) {
    pinery_cost cost = {.wall_s = run->wall_s, .intervals = run->interval};
    pinery_year_solver_cost(run->solver, &cost);
    return cost;
}

void pinery_year_run_leak(pinery_run *run, double W_per_m2) {
    run->model.unbooked = W_per_m2;
}

void pinery_year_run_exact(pinery_run *run) {
    run->work.exact = true;
}

double pinery_year_run_least_film(const pinery_run *run) {
    const struct pinery_year_layout *at = &run->model.at;
    double least = INFINITY;
    for (int node = PINERY_YEAR_N_AIRS; node < PINERY_YEAR_N_NODES; node++)
        if (at->water[node] != at->sink)
            least = fmin(least, run->y[at->water[node]]);
    return least;
}
