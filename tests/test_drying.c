/* What takes moisture from the air of a house: slopes, balances, cases worked by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air/psychro.h"
#include "check.h"
#include "equip/dehumidifier.h"
#include "equip/outside_air.h"
#include "slopes.h"

static pinery_duct duct;
static pinery_recovery recovery;
static pinery_dehumidifier dehumidifier;
static pinery_desiccant desiccant;

/* A unit of each as the field lists describe it, of a size found in a greenhouse. */
static int units(void **state) {
    (void)state;
    pinery_fields_default(&pinery_duct_fields, &duct);
    pinery_fields_default(&pinery_recovery_fields, &recovery);
    pinery_fields_default(&pinery_dehumidifier_fields, &dehumidifier);
    pinery_fields_default(&pinery_desiccant_fields, &desiccant);
    dehumidifier.cooling = 25000;
    desiccant.flow = 1;
    return 0;
}

static const double pressure = 101325;

static double ratio(double T, double humidity) {
    return pinery_air_humidity_ratio(pinery_air_vapour_pressure(T, humidity), pressure);
}

/* ---- slopes ---- */

static double coil(const double *x, double *slope) {
    return pinery_equip_coil_rise(&duct, 3.35, x[0], 5, slope);
}

static double supply_T(const double *x, double *slope) {
    struct pinery_equip_supply supply = pinery_equip_recovered(&recovery, x[0], 0.01, -6, 0.002);
    slope[0] = supply.T_by_T;
    return supply.T;
}

enum { WATER, COOLING, POWER, SURFACE };
static int which;
static bool to_air;

/* T, x (g/kg), sink */
static double condensing(const double *x, double *slope) {
    struct pinery_equip_condensing run =
        pinery_equip_condense(&dehumidifier, 1.67, pressure, x[0], 1e-3 * x[1], to_air ? x[0] : x[2], to_air);
    const struct pinery_equip_quantity *q = which == WATER     ? &run.water
                                            : which == COOLING ? &run.cooling
                                            : which == POWER   ? &run.power
                                                               : &run.surface;
    slope[0] = q->d_T;
    slope[1] = 1e-3 * q->d_x;
    slope[2] = q->d_sink;
    return q->value;
}

static double absorbing(const double *x, double *slope) {
    struct pinery_equip_quantity q = pinery_equip_absorb(&desiccant, 1.2, pressure, x[0], 1e-3 * x[1]);
    slope[0] = q.d_T;
    slope[1] = 1e-3 * q.d_x;
    return q.value;
}

static void slopes_are_differences(void **state) {
    const double scale[3] = {0.1, 0.05, 0.1};
    (void)state;
    recovery.latent = 0.3;
    for (int i = 0; i < 3000; i++) {
        double T = slopes_random(-5, 35), g = 1e3 * ratio(T, slopes_random(0.1, 1.05));
        double x[3] = {T, g, slopes_random(0, 60)};
        duct.coil_power = slopes_random(0, 1) < 0.5 ? 20 : 200;
        assert_slopes(coil, x, 1, scale, 1e-4);
        assert_slopes(supply_T, x, 1, scale, 1e-4);
        assert_slopes(absorbing, x, 2, scale, 1e-4);
        for (which = WATER; which <= SURFACE; which++)
            for (int air = 0; air < 2; air++) {
                to_air = air;
                assert_slopes(condensing, x, air ? 2 : 3, scale, 1e-4);
            }
    }
}

/* ---- outside air ---- */

/* 10 m3/(m2 h) of air at 1.2 kg/m3 carries 3.353 W/(m2 K); from 5 to 18 degC it takes 43.6 W/m2. */
static void coil_by_hand(void **state) {
    double slope, carries = 10.0 / 3600.0 * 1.2 * 1006.0;
    (void)state;
    assert_close(carries, 3.353, 1e-3, 0);
    double rise = pinery_equip_coil_rise(&duct, carries, 20, 5, &slope);
    assert_close(rise, 13, 1e-12, 0);
    assert_close(carries * rise, 43.6, 1e-3, 0);
    duct.coil_power = 20; /* not enough: 20/3.353 = 5.96 K */
    assert_close(pinery_equip_coil_rise(&duct, carries, 20, 5, &slope), 5.965, 1e-3, 0);
    assert_true(pinery_equip_coil_rise(&duct, carries, 20, 25, &slope) == 0);
    duct.coil_power = 0;
    assert_true(pinery_equip_coil_rise(&duct, carries, 20, 5, &slope) == 0);
}

/* Plates of 70 % between 20 and 0 degC: the air comes in at 14 and leaves at 6 degC. At -15 degC outside it would leave
 * at -4.5; held at 2 it has given up 18 K, and the air comes in at 3 degC. Vapour does not pass. (EN 308's definition.)
 */
static void plates_by_hand(void **state) {
    (void)state;
    struct pinery_equip_supply mild = pinery_equip_recovered(&recovery, 20, 0.0117, 0, 0.003);
    struct pinery_equip_supply cold = pinery_equip_recovered(&recovery, 20, 0.0117, -15, 0.001);
    assert_close(mild.T, 14, 1e-12, 0);
    assert_true(mild.x == 0.003 && cold.x == 0.001);
    assert_close(cold.T, 3, 1e-12, 0);
    recovery.latent = 0.6; /* a wheel or a membrane: 0.003 + 0.6 * 0.0087 */
    assert_close(pinery_equip_recovered(&recovery, 20, 0.0117, 0, 0.003).x, 0.00822, 1e-9, 0);
    recovery.latent = recovery.sensible = 0; /* no plates: outside air as it is */
    struct pinery_equip_supply none = pinery_equip_recovered(&recovery, 20, 0.0117, -15, 0.001);
    assert_true(none.T == -15 && none.x == 0.001);
}

/* The air that leaves never falls under the frost limit, and recovery never grows as it gets colder outside. */
static void plates_do_not_freeze(void **state) {
    double last = 1;
    (void)state;
    for (double T = 15; T > -40; T -= 0.25) {
        struct pinery_equip_supply s = pinery_equip_recovered(&recovery, 18, 0.01, T, 0.001);
        double leaves = 18 - (s.T - T), share = (s.T - T) / (18 - T);
        assert_true(leaves >= recovery.frost - 1e-9);
        assert_true(share <= last + 1e-12 && share <= recovery.sensible + 1e-12);
        last = share;
    }
}

/* ---- condensing ---- */

/* 20 degC and 80 %: 0.8 * 2339 = 1871 Pa, x = 0.622 * 1871/(101325 - 1871) = 0.01170, h = 1.006 * 20 + 0.01170 (2501 +
 * 1.86 * 20) = 49.82 kJ/kg. Saturated at 10 degC: 1228 Pa, x = 0.00763, h = 29.29 (pressures of ASHRAE 2017
 * Fundamentals ch. 1, table 3; no enhancement factor). A kilogram gives off 20.53 kJ, 0.17 of which drain with 4.07 g
 * of water at 42 kJ/kg: 20.36. Of a coil that cools 25 kW at 10 degC and touches 25/20.36 = 1.228 kg/s the lines meet
 * at 10 degC; water 1.228 * 4.07 g/s = 17.99 kg/h. Boiling at 5, condensing at 35 degC: a perfect machine has 278.15/30
 * = 9.27, this one 0.45 of it: 5.99 kW. */
static void condensing_by_hand(void **state) {
    (void)state;
    struct pinery_equip_condensing run =
        pinery_equip_condense(&dehumidifier, 1.228 / (1 - dehumidifier.bypass), pressure, 20, ratio(20, 0.8), 20, true);
    assert_close(run.surface.value, 10, 0, 0.05);
    assert_close(run.cooling.value, 25000, 3e-3, 0);
    assert_close(3600 * run.water.value, 17.99, 3e-3, 0);
    assert_close(run.power.value, 5990, 5e-3, 0);
}

/* Litres per kWh with its fan at 20 degC and 80 %: 2 to 3.5 (common practice, no source); fewer in drier and colder air
 * (small units at 60 % are sold with 1 to 2; from memory, unverified). */
static double litres_per_kWh(double T, double humidity) {
    struct pinery_equip_condensing run =
        pinery_equip_condense(&dehumidifier, 1.19 * dehumidifier.flow, pressure, T, ratio(T, humidity), T, true);
    return 3.6e6 * run.water.value / (run.power.value + dehumidifier.fan_power);
}

static void litres_for_a_kWh(void **state) {
    (void)state;
    assert_between(litres_per_kWh(20, 0.8), 2, 3.5);
    assert_between(litres_per_kWh(20, 0.6), 1, 2);
    for (double T = 12; T < 30; T += 1)
        for (double humidity = 0.5; humidity < 0.95; humidity += 0.05) {
            assert_true(litres_per_kWh(T, humidity + 0.05) > litres_per_kWh(T, humidity));
            assert_true(litres_per_kWh(T + 1, humidity) > litres_per_kWh(T, humidity));
        }
}

/* What the air has lost is what went over the coil and down the drain, by the enthalpy of moist air. */
static void the_coil_balances(void **state) {
    (void)state;
    for (int i = 0; i < 1000; i++) {
        double T = slopes_random(8, 35), x = ratio(T, slopes_random(0.2, 1)),
               touched = 1.67 * (1 - dehumidifier.bypass);
        struct pinery_equip_condensing run = pinery_equip_condense(&dehumidifier, 1.67, pressure, T, x, T, true);
        double leaves = x - run.water.value / touched;
        double lost = touched * (pinery_air_enthalpy(T, x) - pinery_air_enthalpy(run.surface.value, leaves));
        assert_close(run.cooling.value + run.water.value * 4186 * run.surface.value, lost, 1e-9, 0);
        if (run.surface.value > dehumidifier.coil_least + 1.01)
            assert_close(run.cooling.value,
                         dehumidifier.cooling * (1 + dehumidifier.coil_slope * (run.surface.value - 10)), 1e-9, 0);
        /* and what leaves is saturated, or was never wet */
        double saturated = ratio(run.surface.value, 1);
        assert_true(leaves < saturated + 1e-4 && run.water.value >= 0);
    }
}

static void dry_air_and_no_unit(void **state) {
    (void)state;
    /* the dew point of 25 degC and 20 % is 0.5 degC: the coil takes heat and no water */
    struct pinery_equip_condensing run =
        pinery_equip_condense(&dehumidifier, 1.67, pressure, 25, ratio(25, 0.2), 25, true);
    assert_true(run.water.value == 0 && run.cooling.value > 0);
    dehumidifier.cooling = 0;
    run = pinery_equip_condense(&dehumidifier, 1.67, pressure, 20, 0.0117, 20, true);
    assert_true(run.water.value == 0 && run.cooling.value == 0 && run.power.value == 0);
}

/* A tank at 45 degC takes the heat with 50 degC in the warm coil: 278/50 * 0.45 = 2.5 against 4.2 to air at 20 degC. */
static void a_warm_tank_costs_power(void **state) {
    (void)state;
    dehumidifier.warm_approach = 5;
    struct pinery_equip_condensing tank = pinery_equip_condense(&dehumidifier, 1.228 / (1 - dehumidifier.bypass),
                                                                pressure, 20, ratio(20, 0.8), 45, false);
    assert_close(tank.cooling.value / tank.power.value, 278.15 / 45 * 0.45, 5e-3, 0);
}

/* ---- brine ---- */

/* 20 degC and 80 %, brine at 23 degC that holds air at 45 %: 0.45 * 2810 = 1264.7 Pa, 0.00786; of 0.01170 less that the
 * air gives up 0.6: 2.30 g per kg. */
static void brine_by_hand(void **state) {
    (void)state;
    assert_close(pinery_equip_absorb(&desiccant, 1, pressure, 20, ratio(20, 0.8)).value, 2.303e-3, 3e-3, 0);
    assert_true(pinery_equip_absorb(&desiccant, 1, pressure, 20, ratio(20, 0.45)).value == 0);
    assert_true(pinery_equip_absorb(&desiccant, 0, pressure, 20, ratio(20, 0.8)).value == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(slopes_are_differences, units),  cmocka_unit_test_setup(coil_by_hand, units),
        cmocka_unit_test_setup(plates_by_hand, units),          cmocka_unit_test_setup(plates_do_not_freeze, units),
        cmocka_unit_test_setup(condensing_by_hand, units),      cmocka_unit_test_setup(litres_for_a_kWh, units),
        cmocka_unit_test_setup(the_coil_balances, units),       cmocka_unit_test_setup(dry_air_and_no_unit, units),
        cmocka_unit_test_setup(a_warm_tank_costs_power, units), cmocka_unit_test_setup(brine_by_hand, units),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
