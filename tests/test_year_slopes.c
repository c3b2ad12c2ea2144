/* The slopes of every flow, as the solver gets them, against central differences at random states of a house with
 * everything in it; and that they and the rates book every joule and gram. */
#include <stdlib.h>
#include <string.h>

#include "year/layout.h"
#include "year/linear.h"
#include "year/model.h"
#include "year_case.h"

static unsigned long long seed = 12345;

static double random_in(double from, double to) {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return from + (to - from) * (double)(seed >> 11) / 9007199254740992.0;
}

static void random_state(const struct pinery_year_model *model, double *y) {
    const struct pinery_year_layout *at = &model->at;
    for (int i = 0; i < at->all; i++)
        y[i] = 0.0;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++) {
        if (at->heat[node] == at->sink)
            continue;
        const struct pinery_year_store *store = &model->store[node];
        double T = node == NODE_TANK                                    ? random_in(38.0, 87.0)
                   : node == NODE_PIPE_LOWER || node == NODE_PIPE_UPPER ? random_in(25.0, 60.0)
                                                                        : random_in(5.0, 25.0);
        double W = store->air > 0.0 ? store->air * random_in(0.004, 0.014) : random_in(0.001, 0.06);
        if (at->water[node] == at->sink)
            W = 0.0;
        else
            y[at->water[node]] = W;
        y[at->heat[node]] = store->capacity * T + W * (store->latent + store->heat * T);
    }
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        if (at->act[act] != at->sink)
            y[at->act[act]] = act == ACT_HEATING  ? random_in(-5.0, 30.0)
                              : act == ACT_CARBON ? random_in(0.3, 1.2)
                                                  : random_in(0.05, 0.95);
}

static pinery_orders some_orders(void) {
    pinery_orders orders = {.heating = 18.0,
                            .ventilation = 22.0,
                            .hold_coldest = true,
                            .pipe_gain = 12.0,
                            .pipe_integral_time = 5400.0,
                            .upper_start = 0.4,
                            .pipe_least = 35.0,
                            .pipe_most = 65.0,
                            .pipe_lower = NAN,
                            .pipe_upper = NAN,
                            .fan_circulation = 0.7};
    pinery_law law = {.low = 0.05,
                      .by_temperature = 0.6,
                      .temperature_start = 5.0,
                      .temperature_full = 30.0,
                      .by_humidity = 0.3,
                      .humidity_start = 0.1,
                      .humidity_full = 1.2,
                      .high = 0.9};
    orders.vent_lee = orders.vent_wind = orders.fan_through = law;
    for (int i = 0; i < PINERY_SOURCES; i++)
        orders.source[i] = 0.8;
    orders.tank_fill = 0.7;
    orders.carbon_target = 800.0;
    orders.carbon_band = 300.0;
    for (int i = 0; i < PINERY_DRYERS; i++)
        orders.drying[i] = law;
    for (int d = 0; d < 3; d++) {
        orders.cloth[d] = 0.8;
        orders.slit[d] = law;
    }
    orders.lamp[0] = 0.9;
    return orders;
}

struct case_ {
    pinery_weather *weather;
    struct pinery_year_model model;
    struct pinery_year_work work;
};

static struct case_ *make(const pinery_house *house) {
    pinery_error error = {0};
    struct case_ *c = calloc(1, sizeof *c);
    c->weather = year_weather("Denver");
    if (pinery_year_build(c->weather, house, &c->model, &error))
        fail_msg("%s", error.text);
    c->work = (struct pinery_year_work){.model = &c->model,
                                        .orders = some_orders(),
                                        .curves = {.instant = -1, .mean = -1},
                                        .state = {.out = {.time_s = NAN}}};
    return c;
}

static void unmake(struct case_ *c) {
    pinery_year_unbuild(&c->model);
    pinery_weather_free(c->weather);
    free(c);
}

/* Carbon dioxide by anything but itself, and what it does to the stomata. */
static bool left_out(const struct pinery_year_layout *at, int row, int column) {
    int carbon = at->act[ACT_CARBON];
    bool books = row == carbon || row == at->meter[PINERY_METER_carbon_taken] ||
                 row == at->meter[PINERY_METER_carbon_aired] || row == at->meter[PINERY_METER_carbon_dosed];
    bool plant = row == at->heat[NODE_TANK] || row == at->meter[PINERY_METER_gas] ||
                 row == at->meter[PINERY_METER_heat_flue] || row == at->meter[PINERY_METER_gas_flue] ||
                 row == at->meter[PINERY_METER_gas_flue_only];
    return column == carbon ? !books && !plant : books;
}

/* The flows write slopes by temperature and by water at the same temperature; the unknowns are heat and water:
 * d/dE = (dT/dE) d/dT,  d/dW = d/dW|T + (dT/dW) d/dT. */
static void by_unknowns(const struct case_ *c, double *slope) {
    const struct pinery_year_layout *at = &c->model.at;
    const struct pinery_year_state *s = &c->work.state;
    for (int i = 0; i < at->all; i++) {
        double *row = slope + (size_t)i * (size_t)at->n;
        for (int k = 0; k < at->nodes; k++) {
            int node = at->node[k], heat = at->heat[node], water = at->water[node];
            row[heat] /= pinery_year_capacity(&c->model, s, node);
            if (water != at->sink)
                row[water] -= pinery_year_heat_of_water(&c->model, s, node) * row[heat];
        }
    }
}

/* Left out on purpose, and so not compared: carbon dioxide (above), the wind along the house, the stack's own change
 * with a moving cloth, and what lamps and circulation fans do to the leaf's resistances. */
static void compare(const pinery_house *house) {
    struct case_ *c = make(house);
    const struct pinery_year_layout *at = &c->model.at;
    size_t rows = (size_t)at->all + 1, width = (size_t)at->n;
    double *y = malloc(rows * sizeof *y), *rate = malloc(rows * sizeof *rate);
    double *up = malloc(rows * sizeof *up), *down = malloc(rows * sizeof *down);
    double *slope = calloc(rows * width, sizeof *slope);
    struct pinery_year_slopes list = {.n = 0};
    c->model.house.pressure_span = 0.0; /* no wind along the house */
    for (int trial = 0; trial < 40; trial++) {
        double t = 3600.0 * 24.0 * (30.0 + trial * 7) + 3600.0 * random_in(0.0, 24.0);
        random_state(&c->model, y);
        c->work.stack.valid = false;
        struct pinery_year_net full = {at, rate, &list}, plain = {at, up, NULL};
        assert_true(pinery_year_rates(&c->work, t, y, &full));
        pinery_year_linear_matrix(at, &list, slope);
        by_unknowns(c, slope);
        for (int j = 0; j < at->n; j++) {
            bool cloth_position = false, is_act = false;
            for (int d = 0; d < 3; d++)
                cloth_position = cloth_position || j == at->act[ACT_CLOTH + d] || j == at->act[ACT_SLIT + d];
            for (int a = 0; a < PINERY_YEAR_N_ACTS; a++)
                is_act = is_act || j == at->act[a];
            bool at_leaf = j == at->act[ACT_LAMP] || j == at->act[ACT_LAMP + 1] || j == at->act[ACT_FAN_CIRCULATION];
            if (cloth_position || at_leaf)
                continue;
            double keep = y[j], step = is_act ? 1e-4 : 1e-5 * (fabs(keep) + 1e-3);
            c->work.stack.valid = true; /* and do not let wetness move it either */
            y[j] = keep + step;
            plain.rate = up;
            assert_true(pinery_year_rates(&c->work, t, y, &plain));
            y[j] = keep - step;
            plain.rate = down;
            assert_true(pinery_year_rates(&c->work, t, y, &plain));
            y[j] = keep;
            double biggest = 0.0;
            for (int i = 0; i < at->all; i++)
                biggest = fmax(biggest, fabs(up[i] - down[i]) / (2.0 * step));
            for (int i = 0; i < at->all; i++) {
                if (left_out(at, i, j))
                    continue;
                double want = (up[i] - down[i]) / (2.0 * step), got = slope[(size_t)i * width + (size_t)j];
                if (!(fabs(got - want) <= 1e-3 * fabs(want) + 2e-3 * biggest))
                    fail_msg("trial %d row %d column %d of %d: slope %.9g, difference %.9g", trial, i, j, at->n, got,
                             want);
            }
        }
    }
    pinery_year_slopes_free(&list);
    free(y), free(rate), free(up), free(down), free(slope);
    unmake(c);
}

/* Without a contract, and under one that leaves the pipes short in some of the states and not in others. */
static void slopes_against_differences(void **state) {
    (void)state;
    pinery_house house = year_house_devices();
    house.inner_wall_share = 0.3;
    house.cover_convection = 1.7;
    house.boiler.condenser = true;
    house.boiler.case_loss = 0.01;
    compare(&house);
    house.contract.gas = 100.0 / 31.65e6;
    compare(&house);
}

/* Columns of the slopes sum to zero over nodes and boundary totals, as the books need, to rounding; so do the rates. */
static void every_flow_is_booked(void **state) {
    static const int sign[PINERY_N_HEADINGS] = {
#define X(key, side, water, doc) \
    PINERY_SIDE_##side == PINERY_SIDE_IN ? -1 : PINERY_SIDE_##side == PINERY_SIDE_OUT ? 1 : 0,
        PINERY_HEADINGS(X)
#undef X
    };
    pinery_house house = year_house_devices();
    house.inner_wall_share = 0.3;
    house.cover_convection = 1.7;
    house.boiler.condenser = true;
    house.boiler.case_loss = 0.01;
    struct case_ *c = make(&house);
    const struct pinery_year_layout *at = &c->model.at;
    size_t rows = (size_t)at->all + 1, width = (size_t)at->n;
    double *y = malloc(rows * sizeof *y), *rate = malloc(rows * sizeof *rate),
           *slope = calloc(rows * width, sizeof *slope);
    struct pinery_year_slopes list = {.n = 0};
    (void)state;
    for (int trial = 0; trial < 40; trial++) {
        random_state(&c->model, y);
        struct pinery_year_net net = {at, rate, &list};
        assert_true(pinery_year_rates(&c->work, 3600.0 * (12.0 + 200.0 * trial), y, &net));
        pinery_year_linear_matrix(at, &list, slope);
        for (int j = -1; j < at->n; j++) {
            double heat = 0.0, water = 0.0, gross_heat = 0.0, gross_water = 0.0;
#define TERM(row) (j < 0 ? rate[row] : slope[(size_t)(row)*width + (size_t)j])
            for (int node = 0; node < PINERY_YEAR_N_NODES; node++) {
                if (at->heat[node] != at->sink)
                    heat += TERM(at->heat[node]), gross_heat += fabs(TERM(at->heat[node]));
                if (at->water[node] != at->sink)
                    water += TERM(at->water[node]), gross_water += fabs(TERM(at->water[node]));
            }
            for (int i = 0; i < PINERY_N_HEADINGS; i++) {
                heat += sign[i] * TERM(at->heat_total[i]), gross_heat += fabs(TERM(at->heat_total[i]));
                if (at->water_total[i] != at->sink)
                    water += sign[i] * TERM(at->water_total[i]), gross_water += fabs(TERM(at->water_total[i]));
            }
            assert_close(heat, 0.0, 0.0, 1e-13 * gross_heat + 1e-300);
            assert_close(water, 0.0, 0.0, 1e-13 * gross_water + 1e-300);
        }
    }
    pinery_year_slopes_free(&list);
    free(y), free(rate), free(slope);
    unmake(c);
}

/* What the integration solves, put back into the equations; totals too. As J goes by temperatures inside, this also
 * holds the way there and back. A factor of 1e5 s is far beyond a step. */
static void solutions_solve(void **state) {
    (void)state;
    pinery_house house = year_house_devices();
    struct case_ *c = make(&house);
    const struct pinery_year_layout *at = &c->model.at;
    size_t rows = (size_t)at->all + 1, n = (size_t)at->n;
    double *y = malloc(rows * sizeof *y), *rate = malloc(rows * sizeof *rate), *b = malloc(rows * sizeof *b),
           *x = malloc(rows * sizeof *x), *slope = calloc(rows * n, sizeof *slope);
    struct pinery_year_linear *linear = pinery_year_linear_create(&c->model);
    assert_non_null(linear);
    for (int trial = 0; trial < 40; trial++) {
        struct pinery_year_net net = {at, rate, pinery_year_linear_slopes(linear)};
        random_state(&c->model, y);
        assert_true(pinery_year_rates(&c->work, 3600.0 * (12.0 + 200.0 * trial), y, &net));
        pinery_year_linear_matrix(at, net.slope, slope);
        by_unknowns(c, slope);
        for (int i = 0; i < at->all; i++)
            b[i] = random_in(-1.0, 1.0) * (i < at->nodes ? 1e4 : 1.0);
        for (double factor = 1.0; factor < 2e5; factor *= 10.0) {
            assert_true(pinery_year_linear_solve(linear, factor, &c->work.state, b, x));
            for (size_t i = 0; i + 1 < rows; i++) {
                double left = x[i] - b[i], gross = fabs(x[i]) + fabs(b[i]);
                for (size_t j = 0; j < n; j++) {
                    left -= factor * slope[i * n + j] * x[j];
                    gross += fabs(factor * slope[i * n + j] * x[j]);
                }
                assert_close(left, 0.0, 0.0, 1e-9 * gross);
            }
        }
    }
    pinery_year_linear_free(linear);
    free(y), free(rate), free(b), free(x), free(slope);
    unmake(c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_against_differences),
        cmocka_unit_test(every_flow_is_booked),
        cmocka_unit_test(solutions_solve),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
