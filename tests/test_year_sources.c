/* Sources of heat besides the boiler, in a house through some weeks: what they give adds up to what the house takes,
 * the house does not notice where its heat comes from, and each is worth what its own figures say. */
#include <stdlib.h>

#include "equip/tank.h"
#include "year_outcome.h"

/* Three weeks of late winter under one cloth. */
static int winter(void **state) {
    (void)state;
    begin("Berlin", 40.0, 21.0, 3.0);
    return 0;
}

static double used(const struct outcome *o) {
    return o->heat[PINERY_HEADING_heat_lower] + o->heat[PINERY_HEADING_heat_upper] + o->heat[PINERY_HEADING_duct_coil] +
           o->meter[PINERY_METER_heat_regeneration];
}

/* Of no size: to the last bit, and without another unknown. */
static void no_source(void **state) {
    (void)state;
    struct outcome none = run();
    house.tank.hot = 95.0;
    house.cogeneration.electric = 0.35;
    house.heat_pump.carnot = 0.4;
    strategy.supply.load = 0.7;
    struct outcome same = run();
    assert_memory_equal(none.result, same.result, sizeof none.result);
    assert_memory_equal(none.heat, same.heat, sizeof none.heat);
    assert_true(none.cost.evaluations == same.cost.evaluations);
    assert_true(isnan(none.tank));
}

/* Everything at once, drying too: sources and tank together give what pipes, coil and brine take; and the house is as
 * warm and takes as much as one with a boiler alone. */
static void what_is_given_is_taken(void **state) {
    (void)state;
    house.duct.flow = 1.0;
    house.desiccant.flow = 1.0;
    struct outcome alone = run();
    house.tank.volume = 0.015;
    house.cogeneration.power = 20.0;
    house.bought_heat.heat = 15.0;
    house.heat_pump.heat = 20.0;
    house.electric_boiler.heat = 10.0;
    struct outcome all = run();
    const double *m = all.meter;
    double electric = m[PINERY_METER_power_electric_boiler] * house.electric_boiler.efficiency;
    double given = m[PINERY_METER_heat_boiler] + m[PINERY_METER_heat_cogeneration] + m[PINERY_METER_heat_bought] +
                   m[PINERY_METER_heat_pump] + electric;
    assert_close(given, used(&all) + all.heat[PINERY_HEADING_tank_in] - all.heat[PINERY_HEADING_tank_out], 1e-10, 0.0);
    assert_close(m[PINERY_METER_gas],
                 m[PINERY_METER_heat_boiler] / house.boiler.efficiency + m[PINERY_METER_gas_cogeneration], 1e-10, 0.0);
    assert_close(used(&all), used(&alone), 2e-3, 0.0);
    assert_close(all.result[PINERY_RESULT_mean_air_degC], alone.result[PINERY_RESULT_mean_air_degC], 0.0, 0.01);
    assert_true(m[PINERY_METER_heat_boiler] < 0.7 * used(&alone));
    /* what came into the tank went out, was lost or is still there */
    double stored =
        all.heat[PINERY_HEADING_tank_in] - all.heat[PINERY_HEADING_tank_out] - all.heat[PINERY_HEADING_tank_loss];
    assert_true(fabs(stored) <= pinery_equip_tank_capacity(&house.tank) * (house.tank.hot - house.tank.cold + 5.0));
    assert_close(all.heat[PINERY_HEADING_tank_loss],
                 pinery_equip_tank_loss(&house.tank, house.length * house.width) * (all.tank - all.outside) *
                     options.days * 86400.0,
                 2e-3, 0.0);
}

/* An engine of 80 W/m2 that runs by heat: made = 80 W/m2 for its full-load hours, gas by its efficiency, heat by its
 * share; with a tank none of it is cooled away in winter, without one much is. */
static void engine_by_heat(void **state) {
    (void)state;
    house.cogeneration.power = 80.0;
    struct outcome without = run();
    house.tank.volume = 0.02;
    struct outcome with = run();
    double seconds = 3600.0 * with.result[PINERY_RESULT_cogeneration_hours];
    assert_true(seconds > 86400.0 && seconds < options.days * 86400.0);
    assert_close(with.meter[PINERY_METER_electricity_made], 80.0 * seconds, 0.02, 0.0);
    assert_close(with.meter[PINERY_METER_gas_cogeneration], with.meter[PINERY_METER_electricity_made] / 0.42, 5e-3,
                 0.0);
    assert_close(with.meter[PINERY_METER_heat_cogeneration] + with.meter[PINERY_METER_heat_cooled],
                 0.48 * with.meter[PINERY_METER_gas_cogeneration], 1e-9, 0.0);
    assert_true(with.meter[PINERY_METER_heat_cooled] < 0.02 * with.meter[PINERY_METER_heat_cogeneration]);
    assert_true(without.meter[PINERY_METER_heat_cooled] > with.meter[PINERY_METER_heat_cooled]);
    assert_true(with.meter[PINERY_METER_heat_boiler] < without.meter[PINERY_METER_heat_boiler] ||
                with.meter[PINERY_METER_gas_cogeneration] < without.meter[PINERY_METER_gas_cogeneration]);
}

/* By clock it runs between its hours and not outside them. */
static void engine_by_clock(void **state) {
    (void)state;
    house.cogeneration.power = 10.0;
    strategy.supply.cogeneration = 1;
    strategy.supply.from = 8.0;
    strategy.supply.to = 18.0;
    struct outcome clock = run();
    assert_close(clock.result[PINERY_RESULT_cogeneration_hours], 10.0 * options.days, 0.02, 0.0);
    strategy.supply.cogeneration = 2;
    struct outcome never = run();
    assert_true(never.meter[PINERY_METER_electricity_made] == 0.0 && never.meter[PINERY_METER_heat_cooled] == 0.0);
}

/* A contract is never exceeded, and a larger one never costs more gas. A tank that it fills by day carries the night.
 */
static void bought_heat(void **state) {
    double last = INFINITY;
    (void)state;
    for (double contract = 10.0; contract <= 60.0; contract += 25.0) {
        house.bought_heat.heat = contract;
        struct outcome o = run();
        assert_true(o.meter[PINERY_METER_heat_bought] <= contract * options.days * 86400.0 * (1.0 + 1e-9));
        assert_close(o.meter[PINERY_METER_power_bought_heat], 0.02 * o.meter[PINERY_METER_heat_bought], 1e-9, 0.0);
        assert_true(o.meter[PINERY_METER_gas] < last);
        last = o.meter[PINERY_METER_gas];
    }
    house.tank.volume = 0.02;
    struct outcome stored = run();
    assert_true(stored.meter[PINERY_METER_gas] < last);
    assert_true(stored.meter[PINERY_METER_heat_bought] <=
                60.0 * options.days * 86400.0 * (1.0 + 1e-9)); /* but for rounding */
    house.tank.kind = 1; /* mixed: of less use, since it gives only what is warmer than the pipes */
    assert_true(run().meter[PINERY_METER_gas] >= stored.meter[PINERY_METER_gas]);
}

/* 3 to 5 in greenhouses (from memory, unverified); from the ground in winter better than from outside air; at rest when
 * it is too cold outside. */
static void heat_pump(void **state) {
    (void)state;
    house.heat_pump.heat = 40.0;
    struct outcome air = run();
    double by_air = air.meter[PINERY_METER_heat_pump] / air.meter[PINERY_METER_power_heat_pump];
    house.heat_pump.source = 1;
    struct outcome ground = run();
    double by_ground = ground.meter[PINERY_METER_heat_pump] / ground.meter[PINERY_METER_power_heat_pump];
    assert_close(by_ground, 0.5 * (45.0 + 5.0 + 273.15) / (45.0 + 5.0 - 12.0 + 5.0), 1e-6, 0.0);
    assert_between(by_air, 2.5, by_ground);
    strategy.supply.heat_pump_least_outside = 30.0;
    assert_true(run().meter[PINERY_METER_heat_pump] == 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(no_source, winter, over),
        cmocka_unit_test_setup_teardown(what_is_given_is_taken, winter, over),
        cmocka_unit_test_setup_teardown(engine_by_heat, winter, over),
        cmocka_unit_test_setup_teardown(engine_by_clock, winter, over),
        cmocka_unit_test_setup_teardown(bought_heat, winter, over),
        cmocka_unit_test_setup_teardown(heat_pump, winter, over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
