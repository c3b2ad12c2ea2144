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
    house.boiler.approach = 20.0;
    house.boiler.excess_air = 0.3;
    house.pipe_lower.drop = 40.0;
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

/* What all heat of the boiler is made of, and of its gas. */
static double efficiency(const struct outcome *o) {
    return o->meter[PINERY_METER_heat_boiler] / o->meter[PINERY_METER_gas];
}

static double efficiency_now(void) {
    struct outcome now = run();
    return efficiency(&now);
}

/* A condenser changes the gas and nothing else. Where all water comes back at 30 degC and the flue gas comes as cold,
 * efficiency is that of the table for a net 0.95: 1 - 4.57e-4 10 + 0.0854 and what the case loses. */
static void condenser_by_hand(void **state) {
    (void)state;
    house.pipe_lower.length = 0.0;
    house.duct.flow = 1.0;
    house.duct.coil_power = 120.0;
    house.duct.supply_below = 0.0;
    strategy.drying[PINERY_DUCT].least = 0.3;
    struct outcome plain = run();
    house.boiler.condenser = true;
    house.boiler.approach = 0.0;
    house.duct.water_back = 30.0;
    struct outcome with = run();
    assert_close(used(&with), used(&plain), 1e-6, 0.0);
    assert_close(with.meter[PINERY_METER_heat_boiler], used(&with), 1e-12, 0.0);
    assert_close(plain.meter[PINERY_METER_gas], used(&plain) / 0.95, 1e-12, 0.0);
    assert_close(efficiency(&with), 1.081, 1e-3, 0.0);
    assert_close(with.result[PINERY_RESULT_boiler_efficiency], efficiency(&with), 1e-12, 0.0);
    assert_close(plain.result[PINERY_RESULT_boiler_efficiency], 0.95, 1e-12, 0.0);
    strategy.drying[PINERY_DUCT].least = strategy.drying[PINERY_DUCT].vent_most = 1.0;
    double lost[2];
    for (int i = 0; i < 2; i++) { /* 3 and 6 W/m2 while it burns: nearly always, as the duct runs at full speed */
        house.boiler.case_loss = 0.01 * (i + 1);
        struct outcome warm = run();
        lost[i] = warm.meter[PINERY_METER_gas] * efficiency(&with) - used(&warm);
        assert_between(lost[i] / (3.0 * (i + 1) * options.days * 86400.0), 0.9, 1.0);
    }
    assert_close(lost[1], 2.0 * lost[0], 1e-4, 0.0);
}

/* Colder water comes back, more is gained: by longer pipes, by a larger drop, by none of it from boiling down brine;
 * and a colder chimney by less load. What the house takes stays. */
static void condenser_by_the_return(void **state) {
    (void)state;
    house.boiler.condenser = true;
    struct outcome one = run();
    house.boiler.condenser = false;
    struct outcome off = run();
    assert_close(used(&one), used(&off), 1e-6, 0.0);
    assert_between(efficiency(&one), 0.97, 1.07); /* handbooks, from memory, unverified */
    house.boiler.condenser = true;
    house.pipe_lower.drop = 40.0;
    assert_true(efficiency_now() > efficiency(&one));
    house.pipe_lower.drop = 20.0;
    house.pipe_lower.length *= 1.5;
    struct outcome longer = run();
    assert_true(efficiency(&longer) > efficiency(&one));
    house.desiccant.flow = 1.0;
    assert_true(efficiency_now() < efficiency(&longer));
    house.desiccant.flow = 0.0;
    house.boiler.approach = 20.0;
    assert_true(efficiency_now() < efficiency(&longer));
}

/* Gas burnt for the crop heats a tank: a layered one gives back its cold bottom, a mixed one what it holds. */
static void condenser_and_the_tank(void **state) {
    (void)state;
    house.carbon.balance = true;
    house.carbon.most = 4e-6;
    house.tank.volume = 0.03;
    struct outcome plain = run();
    house.boiler.condenser = true;
    house.tank.cold = 30.0;
    struct outcome layered = run();
    house.tank.kind = 1;
    struct outcome mixed = run();
    const struct outcome *all[] = {&plain, &layered, &mixed};
    double won[3];
    for (int i = 0; i < 3; i++) {
        const double *m = all[i]->meter;
        won[i] = (m[PINERY_METER_heat_flue] + m[PINERY_METER_heat_cooled]) / m[PINERY_METER_gas_flue];
    }
    assert_close(won[0], 0.95, 1e-9, 0.0);
    assert_true(won[1] > won[2] && won[2] > won[0]);
    assert_between(won[1], 1.0, 1.09);
}

/* Everything switched on costs a year at most twice the plain one: counted here in evaluations and slopes; what an
 * evaluation costs, the benchmark tells. */
static void everything_switched_on(void **state) {
    (void)state;
    strategy.dosing.target = 900.0;
    house = year_house_full();
    struct outcome plain = run();
    house = year_house_devices();
    house.boiler.condenser = true;
    house.boiler.case_loss = 0.01;
    house.contract.gas = 100.0 / house.boiler.heating_value;
    house.contract.power = 90.0;
    house.contract.shed = true;
    struct outcome all = run();
    double evaluations = (double)all.cost.evaluations / (double)plain.cost.evaluations;
    double slopes = (double)all.cost.jacobians / (double)plain.cost.jacobians;
    print_message("everything switched on: %.2f times the evaluations, %.2f times the slopes\n", evaluations, slopes);
    assert_true(evaluations <= 2.0 && slopes <= 2.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(no_source, winter, over),
        cmocka_unit_test_setup_teardown(what_is_given_is_taken, winter, over),
        cmocka_unit_test_setup_teardown(engine_by_heat, winter, over),
        cmocka_unit_test_setup_teardown(engine_by_clock, winter, over),
        cmocka_unit_test_setup_teardown(bought_heat, winter, over),
        cmocka_unit_test_setup_teardown(heat_pump, winter, over),
        cmocka_unit_test_setup_teardown(condenser_by_hand, winter, over),
        cmocka_unit_test_setup_teardown(condenser_by_the_return, winter, over),
        cmocka_unit_test_setup_teardown(condenser_and_the_tank, winter, over),
        cmocka_unit_test_setup_teardown(everything_switched_on, winter, over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
