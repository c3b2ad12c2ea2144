/* The house at rest: it is where a run of the year arrives under weather that stands still, its books close, every
 * preset comes to rest, and nonsense is refused by name. */
#include <stdio.h>

#include "air/psychro.h"
#include "pinery/steady.h"
#include "sky/weather.h"
#include "year/run.h"
#include "year_case.h"

static pinery_steady solve(const pinery_house *house, const pinery_conditions *conditions, const char *what) {
    pinery_steady steady;
    pinery_error error = {0};
    if (pinery_steady_solve(house, conditions, &steady, &error))
        fail_msg("%s: %s", what, error.text);
    return steady;
}

static pinery_conditions night(double outside, double wind) {
    pinery_conditions conditions;
    pinery_conditions_default(&conditions);
    conditions.outside = outside;
    conditions.deep = fmax(outside, -20.0);
    conditions.wind = wind;
    return conditions;
}

/* A year of one and the same hour. */
static pinery_weather *still_weather(const pinery_conditions *c, const pinery_steady *steady) {
    pinery_error error = {0};
    pinery_weather *weather = pinery_sky_weather_new(8760);
    assert_non_null(weather);
    for (int i = 0; i < weather->n; i++) {
        for (int column = 0; column < PINERY_WEATHER_sun_elevation; column++)
            weather->column[column][i] = 0.0;
        weather->column[PINERY_WEATHER_temperature][i] = c->outside;
        weather->column[PINERY_WEATHER_vapour_pressure][i] =
            0.01 * c->outside_humidity * pinery_air_saturation_pressure(c->outside);
        weather->column[PINERY_WEATHER_pressure][i] = c->pressure;
        weather->column[PINERY_WEATHER_infrared][i] = steady->reading[PINERY_READING_outside_infrared];
        weather->column[PINERY_WEATHER_wind_speed][i] = c->wind;
    }
    if (pinery_sky_weather_finish(weather, &error))
        fail_msg("%s", error.text);
    return weather;
}

static pinery_law at(double position) {
    return (pinery_law){.low = position, .high = 1.0};
}

/* Run the house for `days` under these conditions and hold its last hour against the rest. */
static void runs_to_rest(const pinery_house *house, const pinery_conditions *c, double days, const char *what) {
    pinery_steady steady = solve(house, c, what);
    pinery_weather *weather = still_weather(c, &steady);
    pinery_strategy strategy;
    pinery_options options;
    pinery_orders orders;
    pinery_error error = {0};
    pinery_run *run = NULL;
    pinery_strategy_default(&strategy);
    strategy.maximum_pipe = 110.0;
    strategy.upper_start = c->upper_start;
    pinery_options_default(&options);
    options.days = days;
    options.spin_up = 0.0;
    options.control_interval = 3600.0;
    options.tolerance = 1e-7;
    options.keep_hours = true;
    if (pinery_run_create(weather, house, &strategy, &options, &run, &error))
        fail_msg("%s: %s", what, error.text);
    pinery_year_run_exact(run);
    pinery_run_orders(run, &orders);
    orders.heating = c->air;
    orders.pipe_most = fmax(house->pipe_lower.max_temperature, house->pipe_upper.max_temperature);
    orders.pipe_least = 0.0;
    const double cloth[] = {c->cloth_1, c->cloth_2, c->cloth_3}, slit[] = {c->slit_1, c->slit_2, c->slit_3};
    for (int d = 0; d < PINERY_DRIVES; d++) {
        orders.cloth[d] = cloth[d];
        orders.which[d] = 0;
        orders.slit[d] = at(slit[d]);
    }
    orders.vent_lee = at(c->vent_lee);
    orders.vent_wind = at(c->vent_wind);
    orders.lamp[0] = c->lamp_1;
    orders.lamp[1] = c->lamp_2;
    orders.fan_through = at(c->fan_through);
    orders.fan_circulation = c->fan_circulation;
    const double drying[PINERY_DRYERS] = {[PINERY_DUCT] = c->duct,
                                          [PINERY_RECOVERY] = c->recovery,
                                          [PINERY_DEHUMIDIFIER] = c->dehumidifier,
                                          [PINERY_DESICCANT] = c->desiccant};
    const double source[PINERY_SOURCES] = {[PINERY_COGENERATION] = c->cogeneration,
                                           [PINERY_BOUGHT] = c->bought_heat,
                                           [PINERY_HEAT_PUMP] = c->heat_pump,
                                           [PINERY_ELECTRIC] = c->electric_boiler};
    for (int i = 0; i < PINERY_DRYERS; i++)
        orders.drying[i] = at(drying[i]);
    for (int i = 0; i < PINERY_SOURCES; i++)
        orders.source[i] = source[i];
    orders.tank_fill = 0.0;
    while (!pinery_run_done(run))
        if (pinery_run_advance(run, &orders, &error))
            fail_msg("%s: %s", what, error.text);
    const pinery_ledger *ledger = pinery_run_ledger(run);
    int last = pinery_ledger_hours(ledger) - 1;
    double heat = steady.result[PINERY_STEADY_heat], worst = 0.0, worst_K = 0.0;
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        double ran = pinery_ledger_hour_heat(ledger, last, (pinery_heading)i) / 3600.0;
        worst = fmax(worst, fabs(ran - steady.heat[i]) / heat);
    }
    for (int i = PINERY_READING_air_lower; i <= PINERY_READING_air_seen; i++)
        worst_K = fmax(worst_K, fabs(pinery_run_seen(run)->reading[i] - steady.reading[i]));
    printf("%s: %.3f W/m2, %.2f W/(m2 K) of floor; after %g days the run is within %.1g of it, %.1g K\n", what, heat,
           steady.result[PINERY_STEADY_U_floor], days, worst, worst_K);
    if (!(worst < 1e-6) || !(worst_K < 1e-5))
        fail_msg("%s: the run ends %g of the heat and %g K away", what, worst, worst_K);
    pinery_run_free(run);
    pinery_weather_free(weather);
}

/* Pipes that hold the air in any night. */
static void heated(pinery_house *house) {
    house->pipe_lower.length = 6.0;
    house->pipe_lower.max_power = house->boiler.max_power = 1000.0;
}

static void cover(pinery_house *house, const char *name) {
    pinery_error error = {0};
    if (pinery_cover_preset(name, &house->cover, &error) || pinery_cover_preset(name, &house->wall, &error))
        fail_msg("%s", error.text);
}

/* Soil settles with the square of its depth: half a metre in days. A film that dries leaves ever more slowly, its wet
 * share as 1/time: a year. */
static void a_long_run_arrives_here(void **state) {
    (void)state;
    pinery_house plain = year_house_plain(), full = year_house_full();
    pinery_conditions c = night(-8.0, 5.0);
    plain.soil_depth = full.soil_depth = 0.5;
    heated(&plain);
    heated(&full);
    runs_to_rest(&plain, &c, 400.0, "one cloth, parked");
    c.cloth_1 = 1.0;
    runs_to_rest(&plain, &c, 400.0, "one cloth");
    c.slit_1 = 0.05;
    c.vent_lee = 0.03;
    runs_to_rest(&plain, &c, 400.0, "one cloth with a slit under open vents");
    plain.crop.transpiration_factor = 0.0;
    runs_to_rest(&plain, &c, 400.0, "the same without transpiration");

    c.cloth_2 = c.cloth_3 = 1.0;
    runs_to_rest(&full, &c, 1000.0, "three cloths");
    c.fan_through = 0.5;
    c.fan_circulation = 1.0;
    c.lamp_1 = 0.5;
    runs_to_rest(&full, &c, 1500.0, "three cloths, fans, lamps");

    /* a film that stops long wave once it is wet, dried by what that saves: no rest without looking at every moment */
    pinery_house film = year_house_plain();
    film.soil_depth = 0.5;
    heated(&film);
    cover(&film, "inflated double film");
    c = night(-5.0, 4.0);
    runs_to_rest(&film, &c, 400.0, "inflated double film");
    cover(&film, "single film");
    runs_to_rest(&film, &c, 400.0, "single film");
}

/* The soil of the default house, 4 m of it, needs ten years. */
static void and_so_does_a_decade(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    pinery_conditions c = night(-4.0, 3.0);
    heated(&house);
    c.cloth_1 = 1.0;
    runs_to_rest(&house, &c, 3600.0, "ten years");
}

static double sum(const pinery_steady *steady, pinery_steady_result from, pinery_steady_result to) {
    double all = 0.0;
    for (int i = (int)from; i <= (int)to; i++)
        all += steady->result[i];
    return all;
}

static void books(const pinery_steady *steady, const char *what) {
    double heat = steady->result[PINERY_STEADY_heat];
    double out = sum(steady, PINERY_STEADY_out_longwave, PINERY_STEADY_out_water);
    double to_cover = sum(steady, PINERY_STEADY_cover_longwave, PINERY_STEADY_cover_condensation);
    double runs_off = steady->water[PINERY_HEADING_condensation_cover] * 4186.0 * steady->reading[PINERY_READING_cover];
    double from_cover = steady->heat[PINERY_HEADING_cover_sky] + steady->heat[PINERY_HEADING_cover_wind] + runs_off;
    if (!(steady->result[PINERY_STEADY_imbalance] < 1e-7) || !(fabs(out - heat) < 1e-6))
        fail_msg("%s: %g goes in and %g out, %g W/m2 are left in a place", what, heat, out,
                 steady->result[PINERY_STEADY_imbalance]);
    if (!(fabs(to_cover - from_cover) < 1e-6))
        fail_msg("%s: the cover gets %.9g and gives %.9g", what, to_cover, from_cover);
    double water = steady->water[PINERY_HEADING_water_supply] - steady->water[PINERY_HEADING_run_off] -
                   steady->water[PINERY_HEADING_drain] - steady->water[PINERY_HEADING_vents] -
                   steady->water[PINERY_HEADING_leakage] - steady->water[PINERY_HEADING_duct_air] -
                   steady->water[PINERY_HEADING_recovery_air] - steady->water[PINERY_HEADING_dehumidifier_water] -
                   steady->water[PINERY_HEADING_desiccant_water];
    if (!(fabs(water) * 2.5e6 < 1e-6))
        fail_msg("%s: %g kg/(m2 s) of water are lost", what, water);
}

static void hang(pinery_house *house, int drives, const char *cloth) {
    pinery_error error = {0};
    house->drives = drives;
    for (int d = 0; d < drives; d++) {
        memset(&house->drive[d], 0, sizeof house->drive[d]);
        pinery_fields_default(&pinery_drive_fields, &house->drive[d]);
        if (pinery_cloth_preset(cloth, &house->drive[d].cloth[0], &error))
            fail_msg("%s", error.text);
    }
}

/* Every cover with none to three of every cloth, every crop and none, cold and mild, calm and storm. Each further cloth
 * saves; but of films a third may cost some per cent (three of these 1452 rests): it leaves the second one dry, and dry
 * film lets through the long wave that wet film stops. */
static void every_preset_comes_to_rest(void **state) {
    (void)state;
    const double outside[] = {-30.0, -5.0, 8.0}, wind[] = {0.0, 4.0, 15.0};
    int n = 0;
    for (int i = 0; pinery_preset_name("cover", i); i++)
        for (int j = 0; pinery_preset_name("cloth", j); j++) {
            pinery_house house;
            pinery_error error = {0};
            pinery_house_default(&house);
            house.walls = (i + j) % 2;
            heated(&house);
            cover(&house, pinery_preset_name("cover", i));
            hang(&house, 3, pinery_preset_name("cloth", j));
            const char *crop = pinery_preset_name("crop", (i + j) % 5);
            if (crop && pinery_crop_preset(crop, &house.crop, &error))
                fail_msg("%s", error.text);
            if (j % 4 == 3) { /* nothing grows */
                house.crop.points = 0;
                house.crop.leaf_area = 0.01;
                house.crop.transpiration_factor = 0.0;
            }
            for (int k = 0; k < 3; k++) {
                char what[160];
                double before = INFINITY, most = house.drive[0].cloth[0].longwave_transmittance > 0.4 ? 1.05 : 1.0;
                for (int drawn = 0; drawn <= 3; drawn++) {
                    pinery_conditions c = night(outside[k], wind[(i + j + k) % 3]);
                    c.cloth_1 = drawn > 0;
                    c.cloth_2 = drawn > 1;
                    c.cloth_3 = drawn > 2;
                    snprintf(what, sizeof what, "%s, %d of %s, %s, %g degC, %g m/s", pinery_preset_name("cover", i),
                             drawn, pinery_preset_name("cloth", j), crop ? crop : "default crop", c.outside, c.wind);
                    pinery_steady steady = solve(&house, &c, what);
                    books(&steady, what);
                    double heat = steady.result[PINERY_STEADY_heat];
                    if (!steady.held)
                        fail_msg("%s: %g degC", what, steady.reading[PINERY_READING_air_seen]);
                    if (!(heat < most * before))
                        fail_msg("%s: %g W/m2, with one cloth less %g", what, heat, before);
                    before = heat;
                    n++;
                }
            }
        }
    printf("%d rests\n", n);
}

static void refused(const pinery_house *house, const pinery_conditions *conditions, const char *name) {
    pinery_steady steady;
    pinery_error error = {0};
    assert_int_equal(pinery_steady_solve(house, conditions, &steady, &error), PINERY_BAD_INPUT);
    if (!strstr(error.text, name))
        fail_msg("\"%s\" does not name %s", error.text, name);
}

static void nonsense_is_refused(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    pinery_conditions good = night(0.0, 4.0), bad;
#define REFUSED(change, name) \
    bad = good;               \
    bad.change;               \
    refused(&house, &bad, name)
    REFUSED(air = NAN, "air");
    REFUSED(wind = -1.0, "wind");
    REFUSED(cloth_2 = 1.0, "cloth_2");
    REFUSED(slit_3 = 0.1, "slit_3");
    REFUSED(which_1 = 2, "which_1");
    REFUSED(lamp_1 = 1.0, "lamp_1");
    REFUSED(fan_through = 1.0, "fan_through");
    REFUSED(fan_circulation = 1.0, "fan_circulation");
    REFUSED(pipe_upper = 40.0, "pipe_upper");
    REFUSED(duct = 1.0, "duct");
    REFUSED(recovery = 1.0, "recovery");
    REFUSED(dehumidifier = 1.0, "dehumidifier");
    REFUSED(desiccant = 1.0, "desiccant");
    REFUSED(cogeneration = 1.0, "cogeneration");
    REFUSED(bought_heat = 0.5, "bought_heat");
    REFUSED(heat_pump = 1.0, "heat_pump");
    REFUSED(electric_boiler = 1.0, "electric_boiler");
    REFUSED(electric_boiler = 1.5, "electric_boiler");
    bad = good;
    bad.sky = -10.0;
    bad.infrared = 300.0;
    refused(&house, &bad, "infrared");
#undef REFUSED
    heated(&house);
    pinery_steady steady = solve(&house, &good, "good");
    assert_true(steady.held);
}

/* What the pipes cannot hold is said, and a pipe temperature can be given instead of an air temperature. */
static void pipes_have_limits(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    pinery_conditions c = night(-20.0, 8.0);
    house.pipe_lower.length = 1.25;
    house.pipe_lower.max_temperature = 50.0;
    pinery_steady steady = solve(&house, &c, "too small");
    assert_false(steady.held);
    assert_true(steady.reading[PINERY_READING_air_seen] < 10.0 && steady.reading[PINERY_READING_air_seen] > -20.0);
    assert_true(steady.reading[PINERY_READING_pipe_lower] <= 50.0);
    books(&steady, "too small");

    c.pipe_lower = 45.0;
    steady = solve(&house, &c, "pipe given");
    books(&steady, "pipe given");
    assert_close(steady.reading[PINERY_READING_pipe_lower], 45.0, 0.0, 3.0); /* the valve's proportional band */

    house.pipe_lower.length = 0.0; /* no heat: everything as cold as outside and sky make it */
    c.pipe_lower = NAN;
    c.sky = c.outside;
    house.crop.transpiration_factor = 0.0;
    steady = solve(&house, &c, "no heat");
    assert_close(steady.reading[PINERY_READING_air_seen], -20.0, 0.0, 1e-6);
    assert_close(steady.result[PINERY_STEADY_heat], 0.0, 0.0, 0.0);
    assert_true(isnan(steady.result[PINERY_STEADY_U_floor]));
}

/* What dries, each alone and all together, and a tank that a dehumidifier warms. Drier than without, and the books
 * hold; a dehumidifier gives back the latent heat of what it takes with its power, so less is left to the pipes. */
static void what_dries(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    heated(&house);
    pinery_conditions c = night(2.0, 3.0);
    c.cloth_1 = 1.0;
    pinery_steady none = solve(&house, &c, "none");
    house.duct.flow = house.recovery.flow = house.desiccant.flow = 0.6;
    house.dehumidifier.cooling = 15000.0;
    pinery_steady still = solve(&house, &c, "at a standstill");
    assert_close(still.result[PINERY_STEADY_heat], none.result[PINERY_STEADY_heat], 1e-9, 0.0);
    double *duty[] = {&c.duct, &c.recovery, &c.dehumidifier, &c.desiccant};
    const char *name[] = {"duct", "recovery", "dehumidifier", "desiccant", "all"};
    const pinery_heading takes[] = {PINERY_HEADING_duct_push, PINERY_HEADING_recovery_air,
                                    PINERY_HEADING_dehumidifier_water, PINERY_HEADING_desiccant_water};
    for (int i = 0; i < 5; i++) {
        for (int k = 0; k < 4; k++)
            *duty[k] = i == 4 || i == k ? 0.7 : 0.0;
        pinery_steady steady = solve(&house, &c, name[i]);
        books(&steady, name[i]);
        assert_true(steady.held);
        assert_true(steady.reading[PINERY_READING_humidity_upper] < none.reading[PINERY_READING_humidity_upper]);
        for (int k = 0; k < 4; k++)
            assert_true(i == 4 ||
                        (steady.water[takes[k]] > 0.0) == (i == k)); /* together, one may leave the next none */
        double pipes = steady.result[PINERY_STEADY_pipe_heat], had = none.result[PINERY_STEADY_pipe_heat];
        if (i == PINERY_DEHUMIDIFIER)
            assert_true(pipes < had - steady.heat[PINERY_HEADING_drying_power]);
    }
    house.tank.volume = 0.01;
    house.dehumidifier.heat_to = 1;
    pinery_steady tank = solve(&house, &c, "to a tank");
    books(&tank, "to a tank");
    assert_true(tank.reading[PINERY_READING_tank] > c.outside + 20.0);
    assert_close(tank.result[PINERY_STEADY_out_tank],
                 tank.heat[PINERY_HEADING_tank_loss] + tank.heat[PINERY_HEADING_tank_out], 1e-12, 0.0);

    house = year_house_plain();
    house.soil_depth = 0.5;
    heated(&house);
    house.dehumidifier.cooling = 15000.0;
    house.recovery.flow = 0.6;
    c = night(2.0, 3.0);
    c.cloth_1 = 1.0;
    c.dehumidifier = c.recovery = 0.5;
    runs_to_rest(&house, &c, 400.0, "dehumidifiers and recovery");
}

/* Sources in turn: the engine's 0.48 x 10/0.42 = 11.43 W/m2 of heat, 15 bought, 20 of the heat pump at the COP of its
 * temperatures, 5 of the electric boiler, the boiler's rest; nothing of it changes the house. */
static void what_heats(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    heated(&house);
    pinery_conditions c = night(-5.0, 4.0);
    pinery_steady boiler = solve(&house, &c, "boiler");
    double heat = boiler.result[PINERY_STEADY_pipe_heat];
    assert_close(boiler.meter[PINERY_METER_gas], heat / 0.95, 1e-12, 0.0);
    house.cogeneration.power = 10.0;
    house.bought_heat.heat = 15.0;
    house.heat_pump.heat = 20.0;
    house.heat_pump.source = 1;
    house.electric_boiler.heat = 5.0;
    c.cogeneration = c.bought_heat = c.heat_pump = c.electric_boiler = 1.0;
    pinery_steady all = solve(&house, &c, "all");
    books(&all, "all");
    assert_close(all.result[PINERY_STEADY_pipe_heat], heat, 1e-9, 0.0);
    double engine = 0.48 * 10.0 / 0.42, cop = 0.5 * (45.0 + 5.0 + 273.15) / (45.0 + 5.0 - 12.0 + 5.0);
    assert_close(all.meter[PINERY_METER_heat_cogeneration], engine, 1e-9, 0.0);
    assert_close(all.meter[PINERY_METER_heat_boiler], heat - engine - 15.0 - 20.0 - 5.0, 1e-9, 0.0);
    assert_close(all.meter[PINERY_METER_power_heat_pump], 20.0 / cop, 1e-9, 0.0);
    assert_close(all.meter[PINERY_METER_electricity_made], 10.0, 1e-12, 0.0);
    assert_close(all.meter[PINERY_METER_gas], 10.0 / 0.42 + (heat - engine - 40.0) / 0.95, 1e-9, 0.0);
    house.contract.gas = 20.0 / house.boiler.heating_value; /* less than the engine burns: the other 40 and its heat */
    c.cogeneration = 0.0;
    pinery_steady cut = solve(&house, &c, "by contract");
    assert_false(cut.held);
    assert_close(cut.result[PINERY_STEADY_pipe_heat], 20.0 * 0.95 + 40.0, 1e-6, 0.0);
    house.boiler.condenser = true;
    house.contract.gas = NAN;
    pinery_steady condensing = solve(&house, &c, "condenser");
    assert_close(condensing.result[PINERY_STEADY_pipe_heat], heat, 1e-9, 0.0);
    assert_true(condensing.meter[PINERY_METER_gas] < (heat - 40.0) / 0.95);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_long_run_arrives_here),
        cmocka_unit_test(and_so_does_a_decade),
        cmocka_unit_test(every_preset_comes_to_rest),
        cmocka_unit_test(nonsense_is_refused),
        cmocka_unit_test(pipes_have_limits),
        cmocka_unit_test(what_dries),
        cmocka_unit_test(what_heats),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
