/* Every preset and the edges of what a house, a run and its options can be, five days of January and of July in two
 * places: no run fails, the books close, and it is as warm and damp as it can be in a greenhouse. The limits of what is
 * sane are common practice, no source. Vapour leaves the air on surfaces alone, not as fog: at night air can stand over
 * 100 %, by some per cent at the crop of a small house, by more under a cold roof. */
#include <math.h>
#include <stdio.h>

#include "year_case.h"

static const char *const place[] = {"Montreal", "Barcelona"};
static const double season[] = {10.0, 190.0};
enum { N_PLACES = 2, N_SEASONS = 2 };

static pinery_weather *weather[N_PLACES];

static int open_weather(void **state) {
    (void)state;
    for (int i = 0; i < N_PLACES; i++)
        weather[i] = year_weather(place[i]);
    return 0;
}

static int close_weather(void **state) {
    (void)state;
    for (int i = 0; i < N_PLACES; i++)
        pinery_weather_free(weather[i]);
    return 0;
}

/* A house between crops has no water but that of the outside air, in a frost a twentieth of what its own air can hold.
 */
static const struct limit {
    pinery_reading reading;
    double low, high;
} limits[] = {
    {PINERY_READING_air_lower, 2, 60},         {PINERY_READING_air_upper, 2, 60},
    {PINERY_READING_air_roof, -30, 65},        {PINERY_READING_air_seen, 2, 60},
    {PINERY_READING_canopy_lower, 2, 60},      {PINERY_READING_canopy_upper, 2, 60},
    {PINERY_READING_cover, -40, 70},           {PINERY_READING_floor, 2, 60},
    {PINERY_READING_humidity_lower, 2, 110},   {PINERY_READING_humidity_upper, 2, 110},
    {PINERY_READING_humidity_roof, 2, 125},    {PINERY_READING_end_to_end, -5, 15},
    {PINERY_READING_crop_wetness, -1e-9, 1.5}, {PINERY_READING_cover_film, -1e-9, 0.5},
    {PINERY_READING_light_crop, 0, 2500},
};
enum { N_LIMITS = sizeof limits / sizeof *limits };

static bool heated(const pinery_house *house) {
    return house->pipe_lower.length + house->pipe_upper.length > 0.0;
}

/* Without pipes a house may be as cold as the night, without vents hotter than any crop stands, and without a crop as
 * dry as frost outside makes it. */
static void sane(const pinery_seen *seen, const pinery_house *house, const char *what) {
    for (int i = 0; i < N_LIMITS; i++) {
        double value = seen->reading[limits[i].reading];
        double low = !heated(house) && limits[i].low == 2 ? -30 : limits[i].low;
        bool dry = seen->reading[PINERY_READING_leaf_area] < 0.05;
        low = dry && limits[i].low == 5 ? 1 : low;
        double high = house->vent_area == 0.0 && limits[i].high == 60 ? 75 : limits[i].high;
        if (!(value >= low && value <= high))
            fail_msg("%s: %s is %g on day %g at %.2f h, outside %g .. %g", what,
                     pinery_reading_name(limits[i].reading)->key, value, seen->day, seen->hour, low, high);
    }
}

static double books(const pinery_ledger *ledger, const char *what) {
    double heat = pinery_ledger_result(ledger, PINERY_RESULT_closure_heat);
    double water = pinery_ledger_result(ledger, PINERY_RESULT_closure_water);
    if (!(fabs(heat) < 1e-9) || !(fabs(water) < 1e-9))
        fail_msg("%s: heat closes to %g, water to %g", what, heat, water);
    return pinery_ledger_result(ledger, PINERY_RESULT_gas_m3_per_m2);
}

/* Run it; gas in m3/m2. */
static double run_once(const pinery_weather *under, const pinery_house *house, const pinery_options *options,
                       const char *what) {
    pinery_error error = {0};
    pinery_run *run = NULL;
    pinery_strategy strategy;
    pinery_strategy_default(&strategy);
    strategy.screen[0].slit_humidity_max = 0.1;
    strategy.screen[0].shade_above_light = 700.0;
    strategy.screen[1].day_cloth = house->drive[1].cloths == 2 ? 2 : 1;
    strategy.screen[1].shade_above_light = 500.0;
    strategy.fan_least = 0.1;
    strategy.circulation_shut = 0.5;
    if (pinery_run_create(under, house, &strategy, options, &run, &error))
        fail_msg("%s: %s", what, error.text);
    while (!pinery_run_done(run)) {
        pinery_orders orders;
        pinery_run_orders(run, &orders);
        if (pinery_run_advance(run, &orders, &error))
            fail_msg("%s: %s", what, error.text);
        if (pinery_run_seen(run)->time_s > 86400.0 * (options->first_day - 1.0)) /* once it has settled */
            sane(pinery_run_seen(run), house, what);
    }
    double gas = books(pinery_run_ledger(run), what);
    pinery_run_free(run);
    return gas;
}

/* Both places, both seasons; heated in the winter of Montreal, less in its summer. */
static void run_all(const pinery_house *house, const char *name) {
    double gas[N_PLACES][N_SEASONS];
    for (int p = 0; p < N_PLACES; p++)
        for (int s = 0; s < N_SEASONS; s++) {
            char what[256];
            pinery_options options = year_span(season[s], 5.0);
            snprintf(what, sizeof what, "%s, %s from day %g", name, place[p], season[s]);
            gas[p][s] = run_once(weather[p], house, &options, what);
        }
    if (heated(house) && !(gas[0][0] > 0.2 && gas[0][0] > gas[0][1] && gas[0][0] > gas[1][0]))
        fail_msg("%s: gas %g in the winter of Montreal, %g in its summer, %g in the winter of Barcelona", name,
                 gas[0][0], gas[0][1], gas[1][0]);
}

typedef void set_preset(pinery_house *house, const char *name, pinery_error *error);

static void set_cover(pinery_house *house, const char *name, pinery_error *error) {
    pinery_cover_preset(name, &house->cover, error);
    house->wall = house->cover;
}

static void set_cloth(pinery_house *house, const char *name, pinery_error *error) {
    pinery_cloth_preset(name, &house->drive[0].cloth[0], error);
}

static void set_lamp(pinery_house *house, const char *name, pinery_error *error) {
    double power = house->lamp[0].power;
    pinery_lamp_preset(name, &house->lamp[0], error);
    house->lamp[0].power = power;
}

static void set_crop(pinery_house *house, const char *name, pinery_error *error) {
    pinery_crop_preset(name, &house->crop, error);
}

static pinery_house lit_house(void) {
    pinery_house house = year_house_plain();
    house.walls = true;
    house.pipe_lower.length = 2.0;
    house.pipe_upper.length = 1.2;
    house.lamp[0].power = 60.0;
    house.fan_through.flow = 2500.0 / 3600.0;
    return house;
}

static void every_preset(void **state) {
    static const struct {
        const char *kind;
        set_preset *set;
    } kinds[] = {{"cover", set_cover}, {"cloth", set_cloth}, {"lamp", set_lamp}, {"crop", set_crop}};
    (void)state;
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
        int n = 0;
        for (const char *name; (name = pinery_preset_name(kinds[k].kind, n)); n++) {
            pinery_error error = {0};
            pinery_house house = lit_house();
            kinds[k].set(&house, name, &error);
            assert_int_equal(error.status, PINERY_OK);
            run_all(&house, name);
        }
        assert_true(n >= 3);
    }
}

static void no_drives(pinery_house *house) {
    house->drives = 0;
}

static void no_pipes(pinery_house *house) {
    house->pipe_lower.length = house->pipe_upper.length = 0.0;
}

static void upper_pipes_alone(pinery_house *house) {
    house->pipe_lower.length = 0.0;
    house->pipe_upper.length = 3.0;
}

static void everything(pinery_house *house) {
    *house = year_house_full();
    house->pipe_lower.length = 2.0;
}

static void clear_film(pinery_house *house) {
    house->drives = 0;
    house->cover.longwave_transmittance = 0.7;
    house->cover.emissivity_inside = house->cover.emissivity_outside = 0.2;
    house->wall = house->cover;
}

static void double_glass(pinery_house *house) {
    house->cover.panes = 2;
    house->cover.heat_capacity = 16800.0;
    house->wall = house->cover;
}

static void no_walls_and_fine_soil(pinery_house *house) {
    house->walls = false;
    house->soil_layers = 16;
}

static void tiny(pinery_house *house) {
    house->length = 5.0;
    house->width = house->span = 3.0;
    house->gutter_height = 2.2;
    house->pipe_lower.length = house->pipe_upper.length = 4.0;
    house->boiler.max_power = 600.0;
    house->pipe_lower.max_power = house->pipe_upper.max_power = 400.0;
}

static void nothing_but_a_crop(pinery_house *house) {
    *house = year_house_plain();
    no_pipes(house);
    no_drives(house);
    house->vent_area = 0.0;
    house->leakage = 0.0;
}

static void hardly_a_crop(pinery_house *house) {
    house->crop.leaf_area = 0.01;
    house->crop.points = 0;
}

static void every_edge_of_a_house(void **state) {
    static const struct {
        const char *name;
        void (*change)(pinery_house *house);
    } edges[] = {
        {"no drives", no_drives},
        {"no pipes", no_pipes},
        {"upper pipes alone", upper_pipes_alone},
        {"everything", everything},
        {"clear film", clear_film},
        {"double glass", double_glass},
        {"no walls, fine soil", no_walls_and_fine_soil},
        {"tiny", tiny},
        {"nothing but a crop", nothing_but_a_crop},
        {"hardly a crop", hardly_a_crop},
    };
    (void)state;
    for (size_t i = 0; i < sizeof edges / sizeof *edges; i++) {
        pinery_house house = lit_house();
        edges[i].change(&house);
        run_all(&house, edges[i].name);
    }
}

static void over_the_new_year(void **state) {
    pinery_house house = lit_house();
    pinery_options options = year_span(300.0, 120.0);
    (void)state;
    assert_true(run_once(weather[0], &house, &options, "120 days from day 300") > 1.0);
}

static void days_and_intervals_of_any_length(void **state) {
    static const double days[] = {0.01, 0.5, 1.25}, interval[] = {10.0, 60.0, 600.0, 3600.0, 700.0};
    pinery_house house = lit_house();
    (void)state;
    for (int d = 0; d < 3; d++)
        for (int i = 0; i < 5; i++) {
            char what[64];
            pinery_options options = year_span(40.0, days[d]);
            options.control_interval = interval[i];
            options.spin_up = i % 2;
            snprintf(what, sizeof what, "%g days by %g s", days[d], interval[i]);
            run_once(weather[0], &house, &options, what);
        }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_preset),
        cmocka_unit_test(every_edge_of_a_house),
        cmocka_unit_test(over_the_new_year),
        cmocka_unit_test(days_and_intervals_of_any_length),
    };
    return cmocka_run_group_tests(tests, open_weather, close_weather);
}
