/* Inner walls to heated rooms next door: what passes them is U A dT by hand, and they take the place of outer walls. */
#include "sky/weather.h"
#include "year_case.h"

enum { HOURS = 72 };

struct outcome {
    double gas, closure, through, wall_out, slab_edge;          /* the last three J/m2 */
    double hour[HOURS], lower[HOURS], upper[HOURS], sun[HOURS]; /* J/m2, degC, degC, W/m2 */
};

static pinery_weather *weather;

static int make_weather(void **state) {
    (void)state;
    weather = year_weather("Montreal");
    return 0;
}

static int free_weather(void **state) {
    (void)state;
    pinery_weather_free(weather);
    return 0;
}

static struct outcome run(const pinery_house *house) {
    struct outcome outcome = {0};
    pinery_strategy strategy;
    pinery_options options;
    pinery_error error = {0};
    pinery_run *one = NULL;
    pinery_strategy_default(&strategy);
    pinery_options_default(&options);
    options.first_day = 40.0;
    options.days = HOURS / 24.0;
    options.spin_up = 2.0;
    options.keep_hours = true;
    if (pinery_run_create(weather, house, &strategy, &options, &one, &error) || pinery_run_all(one, &error))
        fail_msg("%s", error.text);
    const pinery_ledger *ledger = pinery_run_ledger(one);
    outcome.gas = pinery_ledger_result(ledger, PINERY_RESULT_gas_m3_per_m2);
    outcome.closure = pinery_ledger_result(ledger, PINERY_RESULT_closure_heat);
    outcome.through = pinery_ledger_heat(ledger, PINERY_HEADING_neighbours);
    outcome.wall_out = pinery_ledger_heat(ledger, PINERY_HEADING_wall_out);
    outcome.slab_edge = pinery_ledger_heat(ledger, PINERY_HEADING_slab_edge);
    for (int i = 0; i < HOURS; i++) {
        outcome.hour[i] = pinery_ledger_hour_heat(ledger, i, PINERY_HEADING_neighbours);
        outcome.lower[i] = pinery_ledger_hour_reading(ledger, i, PINERY_READING_air_lower);
        outcome.upper[i] = pinery_ledger_hour_reading(ledger, i, PINERY_READING_air_upper);
        outcome.sun[i] = pinery_ledger_hour_reading(ledger, i, PINERY_READING_outside_global);
    }
    assert_close(outcome.closure, 0.0, 0.0, 1e-11);
    pinery_run_free(one);
    return outcome;
}

/* 10 m x 8 m, gutter at 5 m, two ridges of 4 m at 22 deg: gables 8 (5 + 4/4 tan 22) = 43.23 m2 each, sides 50 m2 each,
 * 186.5 m2 on 80 m2 of floor; 1.2 m of the 5 m stand along the lower air. */
static pinery_house compartment(double share) {
    pinery_house house = year_house_plain();
    house.walls = true;
    house.length = 10.0;
    house.width = 8.0;
    house.gutter_height = 5.0;
    house.inner_wall_share = share;
    house.neighbour = 21.0;
    house.pipe_lower.length = 4.0; /* enough for a house that is all wall */
    house.pipe_lower.max_power = 400.0;
    house.boiler.max_power = 600.0;
    return house;
}

static void passes_what_a_hand_finds(void **state) {
    (void)state;
    pinery_house house = compartment(0.75);
    house.neighbour_sun = 10.0;
    house.neighbour_day = 3.0;
    struct outcome outcome = run(&house);
    double area = 0.75 * 2.0 * (8.0 * (5.0 + tan(22.0 * 3.14159265358979 / 180.0)) + 10.0 * 5.0) / 80.0, sum = 0.0;
    for (int i = 0; i < HOURS; i++) {
        double elevation = weather->column[PINERY_WEATHER_sun_elevation][39 * 24 + i]; /* deg */
        double neighbour = 21.0 + 10.0 * outcome.sun[i] / 1000.0 + (elevation > 0.0 ? 3.0 : 0.0);
        double dT = 0.24 * outcome.lower[i] + 0.76 * outcome.upper[i] - neighbour;
        if (fabs(elevation) > 12.0) /* the hours next to sunrise and sunset have some of both */
            assert_close(outcome.hour[i], 3600.0 * 3.8 * area * dT, 0.02, 3600.0 * 3.8 * area * 0.1);
        sum += outcome.hour[i];
    }
    assert_close(outcome.through, sum, 1e-9, 0.0);
    assert_true(outcome.through < 0.0); /* the rooms next door are warmer */
}

static void takes_the_place_of_outer_walls(void **state) {
    (void)state;
    pinery_house house[3] = {compartment(0.0), compartment(0.5), compartment(1.0)};
    struct outcome none = run(&house[0]), half = run(&house[1]), all = run(&house[2]);
    assert_true(none.through == 0.0 && all.wall_out == 0.0 && all.slab_edge == 0.0);
    assert_between(half.wall_out / none.wall_out, 0.48, 0.6); /* half the area, in a house that stays warmer */
    assert_true(half.slab_edge > 0.0 && half.slab_edge < none.slab_edge);
    assert_true(none.gas > half.gas && half.gas > all.gas);
}

static void warm_rooms_save_and_cold_rooms_cost(void **state) {
    (void)state;
    pinery_house house = compartment(1.0), alone = compartment(0.0);
    alone.walls = false;
    house.neighbour = 12.0;
    double cold = run(&house).gas, base = run(&alone).gas;
    house.neighbour = 25.0;
    double warm = run(&house).gas;
    house.inner_wall_u = 0.0; /* a wall that nothing passes is none */
    assert_true(cold > base && base > warm);
    assert_close(run(&house).gas, base, 1e-3, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(passes_what_a_hand_finds),
                                       cmocka_unit_test(takes_the_place_of_outer_walls),
                                       cmocka_unit_test(warm_rooms_save_and_cold_rooms_cost)};
    return cmocka_run_group_tests(tests, make_weather, free_weather);
}
