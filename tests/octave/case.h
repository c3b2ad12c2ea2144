/* Some days of a house as year.m beside it reads them, a script that only assigns: the house's own fields, the weather
 * with the light behind the cover, orders by the hour and the state at the beginning; and for comparison our hours, and
 * our rates at states by night and by day, each as it is and once more with everything put out of its place.
 *
 * Orders are what the strategy's table asks when it is asked once an hour; they hold for the hour as a step. */
#ifndef TESTS_OCTAVE_CASE_H
#define TESTS_OCTAVE_CASE_H

#include <stdio.h>
#include <stdlib.h>

#include "base/error.h"
#include "control/orders.h"
#include "pinery/run.h"
#include "sky/weather.h"
#include "year/orders.h"
#include "year/solver.h"

enum { OCTAVE_SPIN_UP = 20, OCTAVE_STATES_EVERY = 3 };

/* Temperatures in the order of year.m; the soil follows. Then water, positions, and the heat the pipes got. */
static const int octave_node[] = {NODE_AIR_LOWER,  NODE_AIR_UPPER,  NODE_AIR_ABOVE,    NODE_AIR_ABOVE + 1,
                                  NODE_CLOTH,      NODE_CLOTH + 1,  NODE_CANOPY_LOWER, NODE_CANOPY_UPPER,
                                  NODE_PIPE_LOWER, NODE_PIPE_UPPER, NODE_LAMP,         NODE_COVER,
                                  NODE_WALL};
static const int octave_film[] = {NODE_CLOTH,        NODE_CLOTH + 1, NODE_CANOPY_LOWER,
                                  NODE_CANOPY_UPPER, NODE_COVER,     NODE_WALL};
static const int octave_act[] = {ACT_SLIT, ACT_SLIT + 1, ACT_VENT_LEE, ACT_VENT_WIND, ACT_FAN_THROUGH, ACT_HEATING};
static const int octave_motor[] = {ACT_CLOTH, ACT_CLOTH + 1, ACT_LAMP, ACT_FAN_CIRCULATION};
#define OCTAVE_COUNT(list) ((int)(sizeof(list) / sizeof *(list)))

struct octave_case {
    FILE *out, *orders, *states, *hours; /* the file, and texts that become matrices in it */
    struct pinery_year_model model;
    struct pinery_year_work work;
    struct pinery_year_solver *solver;
    double *y, *other, *rate;
    double begin; /* s */
    unsigned long long seed;
};

/* ---- writing ---- */

static void octave_row(FILE *out, int n, const double *value) {
    for (int i = 0; i < n; i++)
        fprintf(out, " %.17g", value[i]);
}

static void octave_fields(FILE *out, const char *path, const pinery_fields *fields, const void *record) {
    for (int i = 0; i < fields->n; i++)
        if (fields->field[i].kind != PINERY_TEXT)
            fprintf(out, "%s.%s = %.17g;\n", path, fields->field[i].name,
                    pinery_field_number(&fields->field[i], record));
}

static void octave_house(const struct octave_case *c) {
    const struct pinery_year_model *model = &c->model;
    const pinery_house *house = &model->house;
    FILE *out = c->out;
    char path[64];
    octave_fields(out, "house", &pinery_house_fields, house);
    octave_fields(out, "house.cover", &pinery_cover_fields, &house->cover);
    octave_fields(out, "house.wall", &pinery_cover_fields, &house->wall);
    for (int d = 0; d < house->drives; d++) {
        snprintf(path, sizeof path, "house.drive(%d)", d + 1);
        octave_fields(out, path, &pinery_drive_fields, &house->drive[d]);
        snprintf(path, sizeof path, "house.cloth(%d)", d + 1);
        octave_fields(out, path, &pinery_cloth_fields, &house->drive[d].cloth[0]);
    }
    octave_fields(out, "house.pipe(1)", &pinery_pipe_fields, &house->pipe_lower);
    octave_fields(out, "house.pipe(2)", &pinery_pipe_fields, &house->pipe_upper);
    octave_fields(out, "house.lamp", &pinery_lamp_fields, &house->lamp[0]);
    octave_fields(out, "house.fan(1)", &pinery_fan_fields, &house->fan_through);
    octave_fields(out, "house.fan(2)", &pinery_fan_fields, &house->fan_circulation);
    octave_fields(out, "house.boiler", &pinery_boiler_fields, &house->boiler);
    octave_fields(out, "house.crop", &pinery_crop_fields, &house->crop);
    fprintf(out, "site.pressure = %.17g;\nsite.deep = %.17g;\n", model->pressure, model->deep);
    fprintf(out, "house.cover_diffuse = [%.17g %.17g];\n", model->roof.diffuse.reflect, model->roof.diffuse.transmit);
    fprintf(out, "soil.edge = %.17g;\nsoil.between = [", model->edge);
    octave_row(out, house->soil_layers, model->soil_between);
    fprintf(out, " ];\nsoil.capacity = [");
    for (int i = 0; i < house->soil_layers; i++)
        octave_row(out, 1, &model->store[NODE_SOIL + i].capacity);
    fprintf(out, " ];\n");
}

/* Rows of three hours before to three hours after. */
static void octave_weather(const struct octave_case *c, int days) {
    const pinery_weather *weather = c->model.weather;
    const struct pinery_year_light *light = &c->model.light;
    const double *const instant[] = {
        weather->column[PINERY_WEATHER_temperature], weather->column[PINERY_WEATHER_vapour_pressure],
        weather->column[PINERY_WEATHER_infrared], weather->column[PINERY_WEATHER_wind_speed]};
    const double *const mean[] = {
        weather->column[PINERY_WEATHER_global],       light->beam, light->diffuse, light->cover, light->wall,
        weather->column[PINERY_WEATHER_sun_elevation]};
    for (int kind = 0; kind < 2; kind++) {
        fprintf(c->out, kind ? "weather.means = [\n" : "weather.instants = [\n");
        long first = (long)floor((c->begin - weather->start_s) / weather->step_s + 0.5);
        for (long k = first - 3; k < first + 24 * days + 3; k++) {
            double time_s = weather->start_s + (double)k * weather->step_s + (kind ? 0.0 : weather->instant_s);
            fprintf(c->out, "%.17g", time_s - c->begin);
            for (int i = 0; i < (kind ? OCTAVE_COUNT(mean) : OCTAVE_COUNT(instant)); i++)
                fprintf(c->out, " %.17g", pinery_year_record(weather, kind ? mean[i] : instant[i], k));
            fprintf(c->out, "\n");
        }
        fprintf(c->out, "];\n");
    }
}

static void octave_law(FILE *out, const pinery_law *law) {
    const double number[] = {law->low,         law->by_temperature, law->temperature_start, law->temperature_full,
                             law->by_humidity, law->humidity_start, law->humidity_full,     law->high};
    octave_row(out, OCTAVE_COUNT(number), number);
}

static void octave_orders(FILE *out, const pinery_orders *orders) {
    const double number[] = {
        orders->heating,     orders->hold_coldest, orders->pipe_gain,      orders->pipe_integral_time,
        orders->upper_start, orders->pipe_least,   orders->pipe_most,      orders->cloth[0],
        orders->cloth[1],    orders->lamp[0],      orders->fan_circulation};
    octave_row(out, OCTAVE_COUNT(number), number);
    octave_law(out, &orders->slit[0]);
    octave_law(out, &orders->slit[1]);
    octave_law(out, &orders->vent_lee);
    octave_law(out, &orders->vent_wind);
    octave_law(out, &orders->fan_through);
}

/* The nodes of year.m, `i` counted from 0. */
static int octave_node_at(int i) {
    return i < OCTAVE_COUNT(octave_node) ? octave_node[i] : NODE_SOIL + i - OCTAVE_COUNT(octave_node);
}

/* Unknowns of year.m, and their rates when `rate` is given; `work` holds the state at y. */
static void octave_unknowns(const struct octave_case *c, FILE *out, const struct pinery_year_work *work,
                            const double *y, const double *rate) {
    const struct pinery_year_layout *at = &c->model.at;
    const struct pinery_year_state *s = &work->state;
    for (int i = 0; i < OCTAVE_COUNT(octave_node) + c->model.house.soil_layers; i++) {
        int node = octave_node_at(i), heat = at->heat[node], water = at->water[node];
        double gained = rate && water < at->sink ? rate[water] : 0.0;
        double slope = rate ? (rate[heat] - gained * pinery_year_heat_of_water(&c->model, s, node)) /
                                  pinery_year_capacity(&c->model, s, node)
                            : s->T[node];
        octave_row(out, 1, &slope);
    }
    for (int node = 0; node < 4; node++)
        fprintf(out, " %.17g", (rate ? rate : y)[at->water[node]] * c->model.store[node].per_air);
    for (int i = 0; i < OCTAVE_COUNT(octave_film); i++)
        octave_row(out, 1, &(rate ? rate : y)[at->water[octave_film[i]]]);
    for (int i = 0; i < OCTAVE_COUNT(octave_act); i++)
        octave_row(out, 1, &(rate ? rate : y)[at->act[octave_act[i]]]);
    fprintf(out, " %.17g",
            (rate ? rate : y)[at->heat_total[PINERY_HEADING_heat_lower]] +
                (rate ? rate : y)[at->heat_total[PINERY_HEADING_heat_upper]]);
}

/* ---- states to compare the rates at ---- */

static double octave_random(struct octave_case *c, double from, double to) {
    c->seed = c->seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return from + (to - from) * (double)(c->seed >> 11) / 9007199254740992.0;
}

/* Everything out of its place: temperatures by up to 4 K, air up to a quarter drier or damper, films wet, positions
 * anywhere. */
static void octave_disturb(struct octave_case *c) {
    const struct pinery_year_layout *at = &c->model.at;
    for (int k = 0; k < at->nodes; k++) {
        int node = at->node[k];
        const struct pinery_year_store *store = &c->model.store[node];
        double T = c->work.state.T[node] + octave_random(c, -4.0, 4.0), W = 0.0;
        if (at->water[node] != at->sink) {
            W = store->air > 0.0 ? c->y[at->water[node]] * octave_random(c, 0.75, 1.25) : octave_random(c, 0.0, 0.15);
            c->other[at->water[node]] = W;
        }
        c->other[at->heat[node]] = store->capacity * T + W * (store->latent + store->heat * T);
    }
    for (int i = 0; i < OCTAVE_COUNT(octave_act); i++)
        c->other[at->act[octave_act[i]]] =
            octave_act[i] == ACT_HEATING ? octave_random(c, -5.0, 30.0) : octave_random(c, 0.0, 1.0);
}

/* A row: seconds, hour, positions of motors, unknowns, rates, the largest flow of heat and of water. */
static pinery_status octave_state(struct octave_case *c, int hour, double time_s, const double *y,
                                  pinery_error *error) {
    const struct pinery_year_layout *at = &c->model.at;
    struct pinery_year_work own = c->work;
    struct pinery_year_net net = {at, c->rate, NULL};
    double most[2] = {0.0, 0.0};
    own.exact = true;
    if (!pinery_year_rates(&own, time_s, y, &net))
        return pinery_base_fail(error, PINERY_SOLVER, "a state to compare is outside physics");
    fprintf(c->states, "%.17g %d", time_s - c->begin, hour);
    for (int i = 0; i < OCTAVE_COUNT(octave_motor); i++)
        octave_row(c->states, 1, &own.state.act[octave_motor[i]]);
    octave_unknowns(c, c->states, &own, y, NULL);
    octave_unknowns(c, c->states, &own, y, c->rate);
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        if (at->heat_total[i] != at->sink)
            most[0] = fmax(most[0], fabs(c->rate[at->heat_total[i]]));
        if (at->water_total[i] != at->sink)
            most[1] = fmax(most[1], fabs(c->rate[at->water_total[i]]));
    }
    octave_row(c->states, 2, most);
    fprintf(c->states, "\n");
    return PINERY_OK;
}

/* ---- the days ---- */

static pinery_status octave_make(struct octave_case *c, const pinery_weather *weather, const pinery_house *house,
                                 pinery_error *error) {
    pinery_status status = pinery_year_build(weather, house, &c->model, error);
    if (status)
        return status;
    const pinery_house *own = &c->model.house;
    if (own->drives != 2 || own->drive[0].cloths + own->drive[1].cloths != 2 || own->cover.panes != 1 ||
        own->wall.panes != 1 || !(c->model.wall_area > 0.0) || own->inner_wall_share > 0.0 || own->crop.points > 0 ||
        !(own->pipe_lower.length > 0.0) || !(own->pipe_upper.length > 0.0) || !(own->lamp[0].power > 0.0) ||
        own->lamp[0].place != 0 || own->lamp[1].power > 0.0 || !(own->fan_through.flow > 0.0) || c->model.sources ||
        own->carbon.balance || own->outside_convection != 0)
        return pinery_base_fail(error, PINERY_BAD_INPUT, "year.m has no equations for this house");
    c->work = (struct pinery_year_work){
        .model = &c->model, .curves = {.instant = -1000000, .mean = -1000000}, .state = {.out = {.time_s = NAN}}};
    size_t all = (size_t)c->model.at.all;
    c->y = malloc(all * sizeof *c->y);
    c->other = calloc(all, sizeof *c->other);
    c->rate = malloc((all + 1) * sizeof *c->rate);
    c->solver = pinery_year_solver_create(&c->work, 0.01, false);
    return c->y && c->other && c->rate && c->solver ? PINERY_OK
                                                    : pinery_base_fail(error, PINERY_MEMORY, "no memory for the case");
}

/* The beginning of the days: where motors are, and the unknowns. */
static void octave_start(struct octave_case *c) {
    fprintf(c->out, "start.motor = [");
    for (int i = 0; i < OCTAVE_COUNT(octave_motor); i++)
        octave_row(c->out, 1, &c->work.motor[octave_motor[i]].to);
    for (int i = c->model.at.n; i < c->model.at.all; i++)
        c->y[i] = 0.0;
    fprintf(c->out, " ];\nstart.y = [");
    octave_unknowns(c, c->out, &c->work, c->y, NULL);
    fprintf(c->out, " ];\n");
}

/* New orders, as a step. */
static void octave_take(struct octave_case *c, const pinery_orders *orders, double now) {
    pinery_year_orders_take(&c->work, orders, now, 3600.0);
    c->work.moving = false;
    c->work.orders = c->work.after;
    c->work.state.out.time_s = c->work.state.along_time = NAN;
}

static pinery_status octave_hour(struct octave_case *c, int hour, const pinery_orders *orders, pinery_error *error) {
    double now = c->begin + 3600.0 * hour;
    pinery_status status = PINERY_OK;
    octave_take(c, orders, now);
    for (int twice = 0; twice < 2 && hour >= 0 && hour % OCTAVE_STATES_EVERY == 0 && !status; twice++) {
        if (twice)
            octave_disturb(c);
        status = octave_state(c, hour, now + 100.0, twice ? c->other : c->y, error); /* motors are on their way */
    }
    if (status || (status = pinery_year_solver_start(c->solver, now, now + 3600.0, c->y, error)) ||
        (status = pinery_year_solver_to(c->solver, now + 3600.0, c->y, error)))
        return status;
    if (!pinery_year_state_of(&c->work, now + 3600.0, c->y))
        return pinery_base_fail(error, PINERY_SOLVER, "the state after hour %d is outside physics", hour);
    if (hour >= 0) {
        octave_orders(c->orders, orders);
        octave_unknowns(c, c->hours, &c->work, c->y, NULL);
        fprintf(c->orders, "\n");
        fprintf(c->hours, "\n");
    }
    return PINERY_OK;
}

/* The run says what is asked; beside it go the same equations, begun anew each hour. */
static pinery_status octave_hours(struct octave_case *c, pinery_run *run, int hours, pinery_error *error) {
    pinery_status status = PINERY_OK;
    for (int hour = -24 * OCTAVE_SPIN_UP; hour < hours && !status; hour++) {
        pinery_orders orders;
        pinery_run_orders(run, &orders);
        if (hour == -24 * OCTAVE_SPIN_UP) {
            pinery_year_orders_settle(&c->work, &orders);
            pinery_year_start(&c->model, orders.heating, c->y);
        }
        if (hour == 0)
            octave_start(c);
        status = octave_hour(c, hour, &orders, error);
        if (!status)
            status = pinery_run_advance(run, &orders, error);
    }
    return status;
}

/* Write the case of so many days from first_day (1: 1 January). */
static pinery_status octave_case(FILE *out, const pinery_weather *weather, const pinery_house *house,
                                 const pinery_strategy *strategy, double first_day, int days, pinery_error *error) {
    struct octave_case c = {.out = out, .begin = 86400.0 * (first_day - 1.0), .seed = 12345};
    pinery_options options;
    pinery_options_default(&options);
    options.first_day = first_day;
    options.days = days;
    options.spin_up = OCTAVE_SPIN_UP;
    options.control_interval = 3600.0;
    char *text[3] = {NULL};
    size_t size[3];
    FILE **part[3] = {&c.orders, &c.states, &c.hours};
    const char *const name[3] = {"orders", "states", "hours"};
    pinery_run *run = NULL;
    pinery_status status = octave_make(&c, weather, house, error);
    for (int i = 0; i < 3 && !status; i++)
        if (!(*part[i] = open_memstream(&text[i], &size[i])))
            status = pinery_base_fail(error, PINERY_MEMORY, "no memory for the case");
    if (!status && !(status = pinery_run_create(weather, house, strategy, &options, &run, error))) {
        octave_house(&c);
        octave_weather(&c, days);
        status = octave_hours(&c, run, 24 * days, error);
    }
    for (int i = 0; i < 3; i++) {
        if (*part[i])
            fclose(*part[i]);
        if (!status)
            fprintf(out, "%s = [\n%s];\n", name[i], text[i]);
        free(text[i]);
    }
    pinery_run_free(run);
    pinery_year_solver_free(c.solver);
    pinery_year_unbuild(&c.model);
    free(c.y), free(c.other), free(c.rate);
    return status;
}

#endif
