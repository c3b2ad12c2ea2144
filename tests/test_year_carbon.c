/* Carbon dioxide of the house air through some weeks: the books, what dosing costs and brings, what it does to the
 * crop. */
#include <stdlib.h>

#include "equip/boiler.h"
#include "equip/carbon.h"
#include "sky/weather.h"
#include "year_outcome.h"

/* Ten days of April; booked from the first moment, so that the books can be held against the air. */
static int spring(void **state) {
    (void)state;
    begin("Amsterdam", 100.0, 10.0, 0.0);
    house.carbon.balance = true;
    house.carbon.most = 4.2e-6;
    house.carbon.source = 1;
    return 0;
}

#define DOSED result[PINERY_RESULT_carbon_dosed_kg_per_m2]
#define TAKEN result[PINERY_RESULT_carbon_taken_kg_per_m2]
#define AIRED result[PINERY_RESULT_carbon_aired_kg_per_m2]

/* What is in the air is what was, and what was dosed, less what was taken up and lost. Air under a mean roof of 5.5 +
 * 0.25 * 4 tan 22 deg = 5.904 m. */
static void books_of_carbon(void **state) {
    double pressure = 0.0;
    (void)state;
    for (int i = 0; i < weather->n; i++)
        pressure += weather->column[PINERY_WEATHER_pressure][i] / weather->n;
    double per_ppm = 5.904 * pinery_equip_carbon_per_ppm(20.0, pressure);
    for (int dosing = 0; dosing < 2; dosing++) {
        house.carbon.most = dosing ? 4.2e-6 : 0.0;
        struct outcome o = run();
        assert_close(o.DOSED - o.TAKEN - o.AIRED, per_ppm * (o.co2_end - o.co2_begin), 1e-3, 1e-6);
        assert_true(dosing ? o.DOSED > 0.0 : o.DOSED == 0.0);
        assert_true(o.TAKEN > 0.0);
        /* without dosing the crop draws the air down, and the outside brings what it takes */
        assert_true(dosing || (o.AIRED < 0.0 && o.result[PINERY_RESULT_mean_co2_ppm] < 500.0));
    }
}

/* No balance: the house's `co2`, and nothing else of it changes anything. */
static void without_balance(void **state) {
    (void)state;
    house.carbon = (pinery_carbon){.outside = 420.0};
    struct outcome plain = run();
    house.carbon.outside = 900.0;
    house.carbon.source = 1;
    strategy.dosing.target = 2000.0;
    struct outcome same = run();
    assert_memory_equal(plain.result, same.result, sizeof plain.result);
    assert_close(plain.result[PINERY_RESULT_mean_co2_ppm], house.co2, 1e-12, 0.0);
}

/* A higher target costs more, feeds the crop more, and shuts the stomata a little: it transpires less. */
static void a_higher_target(void **state) {
    struct outcome last = {.co2_begin = 0.0};
    (void)state;
    for (double target = 400.0; target <= 1000.0; target += 300.0) {
        strategy.dosing.target = strategy.dosing.target_open = target;
        struct outcome o = run();
        if (target > 400.0) {
            assert_true(o.DOSED > last.DOSED && o.TAKEN > last.TAKEN && o.AIRED > last.AIRED);
            assert_true(o.result[PINERY_RESULT_mean_co2_ppm] > last.result[PINERY_RESULT_mean_co2_ppm]);
            assert_true(o.result[PINERY_RESULT_transpiration_kg_per_m2] <
                        last.result[PINERY_RESULT_transpiration_kg_per_m2]);
        }
        assert_true(o.DOSED <= 4.2e-6 * options.days * 86400.0);
        last = o;
    }
}

/* Flue gas: 1.785 kg a m3 of gas; its heat is used, kept in a tank, or lost. A tank saves boiler heat with it. */
static void flue_gas(void **state) {
    (void)state;
    struct outcome pure = run();
    house.carbon.source = 0;
    struct outcome flue = run();
    assert_close(flue.DOSED, pure.DOSED, 0.01, 0.0);
    double fuel = flue.DOSED / 1.785 * PINERY_EQUIP_GAS_NET / 1e6;
    assert_close(flue.result[PINERY_RESULT_gas_flue_MJ_per_m2], fuel, 1e-3, 0.0);
    assert_close(flue.result[PINERY_RESULT_heat_flue_MJ_per_m2] + flue.result[PINERY_RESULT_heat_cooled_MJ_per_m2],
                 fuel * house.boiler.efficiency, 1e-3, 0.0);
    assert_true(flue.result[PINERY_RESULT_heat_cooled_MJ_per_m2] > 0.2 * fuel);
    assert_close(flue.result[PINERY_RESULT_gas_flue_only_MJ_per_m2],
                 flue.result[PINERY_RESULT_heat_cooled_MJ_per_m2] / house.boiler.efficiency, 1e-6, 0.0);
    assert_close(pure.result[PINERY_RESULT_carbon_pure_kg_per_m2], pure.DOSED, 1e-9, 0.0);
    assert_true(flue.result[PINERY_RESULT_carbon_pure_kg_per_m2] == 0.0);
    assert_true(flue.result[PINERY_RESULT_gas_m3_per_m2] > pure.result[PINERY_RESULT_gas_m3_per_m2]);
    house.tank.volume = 0.02;
    strategy.supply.tank_fill = 1.0;
    struct outcome tank = run();
    assert_true(tank.result[PINERY_RESULT_heat_cooled_MJ_per_m2] <
                0.5 * flue.result[PINERY_RESULT_heat_cooled_MJ_per_m2]);
    assert_true(tank.result[PINERY_RESULT_heat_boiler_MJ_per_m2] < flue.result[PINERY_RESULT_heat_boiler_MJ_per_m2]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(books_of_carbon, spring, over),
        cmocka_unit_test_setup_teardown(without_balance, spring, over),
        cmocka_unit_test_setup_teardown(a_higher_target, spring, over),
        cmocka_unit_test_setup_teardown(flue_gas, spring, over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
