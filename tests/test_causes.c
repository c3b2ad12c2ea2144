/* The causes of orders from scripted moments: what was set up to move something must be what is told. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"

#include "control/causes.h"

#define READ(key) PINERY_READING_##key

struct scene {
    pinery_strategy strategy;
    struct pinery_control_memory memory;
    pinery_seen seen;
    pinery_orders orders;
    pinery_causes *causes;
};

static void begin(struct scene *s) {
    bool has[PINERY_N_ACTUATORS];
    for (int i = 0; i < PINERY_N_ACTUATORS; i++) {
        has[i] = i != PINERY_ACTUATOR_cloth_3;
    }
    memset(s, 0, sizeof *s);
    pinery_strategy_default(&s->strategy);
    s->seen.day = 15;
    s->seen.hour = 12.0;
    s->seen.reading[READ(outside)] = 5.0;
    s->seen.reading[READ(outside_global)] = 100.0;
    s->seen.reading[READ(air_seen)] = 18.0;
    s->seen.reading[READ(humidity_sensor)] = 60.0;
    s->seen.reading[READ(outside_wind)] = 3.0;
    for (int i = 0; i < PINERY_LAMPS; i++) {
        s->strategy.lighting[i].use = false;
    }
    for (int i = 1; i < PINERY_DRIVES; i++) {
        s->strategy.screen[i].use = false;
    }
    s->causes = pinery_control_causes_new(has);
    assert_non_null(s->causes);
}

/* One interval half an hour later, so that no pause is in the way. */
static void step(struct scene *s) {
    s->seen.time_s += 1800.0;
    pinery_control_orders(&s->strategy, &s->memory, &s->seen, &s->orders);
    pinery_control_causes_offer(s->causes, &s->orders);
    pinery_control_causes_note(s->causes, &s->memory, &s->seen, &s->orders);
    for (int i = 0; i < PINERY_DRIVES; i++) {
        s->seen.reading[READ(cloth_1) + i] = s->orders.cloth[i];
    }
}

static pinery_move last(const struct scene *s, pinery_actuator actuator) {
    int i = pinery_causes_before(s->causes, actuator, s->seen.time_s);
    assert_true(i >= 0);
    return pinery_causes_move(s->causes, i);
}

static void expect(const struct scene *s, pinery_actuator actuator, double to, pinery_cause cause, double first,
                   double limit) {
    pinery_move move = last(s, actuator);
    if (move.cause != cause || move.time_s != s->seen.time_s) {
        fail_msg("%s: told %s at %.0f s, expected %s at %.0f s", pinery_actuator_name(actuator)->key,
                 pinery_cause_name(move.cause)->key, move.time_s, pinery_cause_name(cause)->key, s->seen.time_s);
    }
    assert_close(move.to, to, 0.0, 1e-6);
    assert_true(isnan(first) ? isnan(move.value[0]) : check_is_close(move.value[0], first, 1e-6, 0.0));
    assert_true(isnan(limit) ? isnan(move.limit[0]) : check_is_close(move.limit[0], limit, 1e-6, 0.0));
}

static void a_cloth(void **state) {
    (void)state;
    struct scene s;
    begin(&s);
    pinery_screen *screen = &s.strategy.screen[0];
    screen->shade_above_light = 600.0;
    screen->day_light = 50.0;
    screen->day_outside = -2.0;
    screen->dark_from = 20.0;
    screen->dark_until = 21.0;
    pinery_control_start(&s.strategy, &s.memory);
    double *light = &s.seen.reading[READ(outside_global)], *outside = &s.seen.reading[READ(outside)];
    double *snow = &s.seen.reading[READ(outside_snow)];
    step(&s);
    *light = 2.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 1.0, PINERY_CAUSE_night, 2.0, 5.0);
    assert_close(last(&s, PINERY_ACTUATOR_cloth_1).value[1], 5.0, 0.0, 0.0);
    assert_close(last(&s, PINERY_ACTUATOR_cloth_1).limit[1], 14.0, 0.0, 0.0);
    *outside = 15.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 0.0, PINERY_CAUSE_warmth, 15.0, 14.5);
    *outside = -5.0;
    *light = 40.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 1.0, PINERY_CAUSE_cold_day, 40.0, 50.0);
    *snow = 0.5;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 0.0, PINERY_CAUSE_snow, 0.5, 0.0);
    *snow = 0.0;
    step(&s); /* half an hour after it was last seen */
    expect(&s, PINERY_ACTUATOR_cloth_1, 1.0, PINERY_CAUSE_cold_day, 40.0, 50.0);
    *light = 80.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 0.0, PINERY_CAUSE_light, 80.0, 55.0);
    *light = 700.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 1.0, PINERY_CAUSE_shade, 700.0, 600.0);
    *light = 300.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 0.0, PINERY_CAUSE_weak_sun, 300.0, 595.0);
    s.seen.hour = 20.5;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 1.0, PINERY_CAUSE_blackout, 20.5, 20.0);
    s.seen.hour = 21.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 0.0, PINERY_CAUSE_blackout_over, 21.0, 21.0);
    /* The other cloth of the drive by day: parked first. */
    screen->day_cloth = 2;
    *light = 2.0;
    *outside = 5.0;
    step(&s);
    *light = 700.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 0.0, PINERY_CAUSE_exchange, 700.0, 600.0);
    step(&s);
    expect(&s, PINERY_ACTUATOR_cloth_1, 1.0, PINERY_CAUSE_shade, 700.0, 600.0);
    for (int i = 0; i < pinery_causes_count(s.causes); i++) { /* which this house does not have */
        assert_int_not_equal(pinery_causes_move(s.causes, i).actuator, PINERY_ACTUATOR_cloth_3);
    }
    pinery_control_causes_free(s.causes);
}

static void vents_slit_and_fan(void **state) {
    (void)state;
    struct scene s;
    begin(&s);
    s.strategy.vent_over_screen = 0.05;
    s.strategy.screen[0].slit_humidity_max = 0.3;
    s.strategy.screen[0].slit_least_outside = 0.0;
    pinery_control_start(&s.strategy, &s.memory);
    double *air = &s.seen.reading[READ(air_seen)], *humidity = &s.seen.reading[READ(humidity_sensor)];
    step(&s);
    expect(&s, PINERY_ACTUATOR_vent_lee, 0.0, PINERY_CAUSE_no_need, 18.0, NAN);
    *air = 25.0; /* half way up the band of 6 K over 22 degC */
    step(&s);
    expect(&s, PINERY_ACTUATOR_vent_lee, 0.5, PINERY_CAUSE_temperature, 25.0, 22.0);
    s.seen.rain = 1.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_vent_lee, 0.1, PINERY_CAUSE_rain, 1.0, 0.0);
    s.seen.rain = 0.0;
    *air = 40.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_vent_lee, 1.0, PINERY_CAUSE_temperature, 40.0, 22.0);
    s.seen.reading[READ(outside_wind)] = 20.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_vent_lee, 0.1, PINERY_CAUSE_storm, 20.0, 15.0);
    expect(&s, PINERY_ACTUATOR_vent_wind, 0.0, PINERY_CAUSE_storm, 20.0, 15.0);
    s.seen.reading[READ(outside_wind)] = 3.0;
    *air = 18.0;
    s.seen.reading[READ(outside_global)] = 0.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_vent_lee, 0.05, PINERY_CAUSE_over_cloth, NAN, NAN);
    *humidity = 89.0; /* half way from 85 to 93 */
    step(&s);
    expect(&s, PINERY_ACTUATOR_slit_1, 0.15, PINERY_CAUSE_humidity, 89.0, 85.0);
    assert_int_equal(last(&s, PINERY_ACTUATOR_fan_through).cause, PINERY_CAUSE_humidity);
    s.seen.reading[READ(outside)] = -3.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_slit_1, 0.0, PINERY_CAUSE_too_cold_outside, -3.0, 0.0);
    s.seen.reading[READ(outside)] = 3.0;
    step(&s);
    s.seen.reading[READ(outside_global)] = 200.0;
    step(&s);
    expect(&s, PINERY_ACTUATOR_slit_1, 0.0, PINERY_CAUSE_parked, NAN, NAN);
    expect(&s, PINERY_ACTUATOR_fan_through, 0.0, PINERY_CAUSE_no_cloth_drawn, NAN, NAN);
    pinery_control_causes_free(s.causes);
}

static void lamps(void **state) {
    (void)state;
    struct scene s;
    begin(&s);
    pinery_lighting *lighting = &s.strategy.lighting[0];
    lighting->use = true;
    lighting->from = 4.0;
    lighting->to = 18.0;
    lighting->day_sum = 20.0;
    lighting->off_above_air = 30.0;
    pinery_control_start(&s.strategy, &s.memory);
    const struct {
        double hour, light, air, sum, day, to;
        pinery_cause cause;
        double value, limit;
    } row[] = {{3.0, 0, 18, 0, 15, 0.0, PINERY_CAUSE_start, NAN, 0},
               {4.0, 0, 18, 0, 15, 1.0, PINERY_CAUSE_hours, 4, 4},
               {9.0, 250, 18, 3, 15, 0.0, PINERY_CAUSE_strong_sun, 250, 200},
               {10.0, 100, 18, 3, 15, 1.0, PINERY_CAUSE_weak_sun, 100, 150},
               {11.0, 100, 31, 3, 15, 0.0, PINERY_CAUSE_warm_house, 31, 30},
               {12.0, 100, 28, 3, 15, 1.0, PINERY_CAUSE_cool_house, 28, 29},
               {13.0, 100, 20, 21, 15, 0.0, PINERY_CAUSE_light_sum, 21, 20},
               {14.0, 100, 20, 0, 16, 1.0, PINERY_CAUSE_light_sum, 0, 20},
               {18.0, 0, 20, 9, 16, 0.0, PINERY_CAUSE_hours, 18, 18},
               {5.0, 0, 20, 0, 17, 1.0, PINERY_CAUSE_hours, 5, 4},
               {6.0, 0, 20, 0, 130, 0.0, PINERY_CAUSE_season, 130, 120},
               {6.0, 0, 20, 0, 258, 1.0, PINERY_CAUSE_season, 258, 258}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        s.seen.hour = row[i].hour;
        s.seen.day = row[i].day;
        s.seen.light_today = row[i].sum;
        s.seen.reading[READ(outside_global)] = row[i].light;
        s.seen.reading[READ(air_seen)] = row[i].air;
        step(&s);
        expect(&s, PINERY_ACTUATOR_lamp_1, row[i].to, row[i].cause, row[i].value, row[i].limit);
    }
    pinery_control_causes_free(s.causes);
}

/* Reasons are those in force when an order changed; what is changed back is the table's again. */
static void reasons(void **state) {
    (void)state;
    struct scene s;
    begin(&s);
    pinery_control_start(&s.strategy, &s.memory);
    step(&s);
    s.seen.time_s += 1800.0;
    pinery_control_orders(&s.strategy, &s.memory, &s.seen, &s.orders);
    pinery_control_causes_offer(s.causes, &s.orders);
    s.orders.heating = 10.0;
    pinery_control_causes_because(s.causes, &s.orders, "first");
    s.orders.vent_lee.low = 0.4;
    pinery_control_causes_because(s.causes, &s.orders, "second");
    s.orders.cloth[0] = 0.5;
    s.orders.fan_circulation = 1.0;
    pinery_control_causes_because(s.causes, &s.orders, "third");
    s.orders.fan_circulation = 0.0;
    pinery_control_causes_note(s.causes, &s.memory, &s.seen, &s.orders);
    assert_string_equal(last(&s, PINERY_ACTUATOR_heating).reason, "");
    assert_string_equal(last(&s, PINERY_ACTUATOR_vent_lee).reason, "first");
    assert_string_equal(last(&s, PINERY_ACTUATOR_cloth_1).reason, "second");
    assert_int_equal(last(&s, PINERY_ACTUATOR_cloth_1).cause, PINERY_CAUSE_script);
    assert_true(last(&s, PINERY_ACTUATOR_fan_circulation).time_s < s.seen.time_s);
    /* Two thousand different reasons are more than are kept: the last stands for all that follow. */
    for (int i = 0; i < 2000; i++) {
        char text[200];
        memset(text, 'x', sizeof text);
        snprintf(text, sizeof text, "reason %d", i);
        text[i == 5 ? 8 : strlen(text)] = i == 5 ? 'y' : '\0'; /* one is too long and is cut */
        text[199] = '\0';
        pinery_control_causes_offer(s.causes, &s.orders);
        pinery_control_causes_because(s.causes, &s.orders, text);
        s.orders.heating = i % 2 == 0 ? 20.0 : 10.0;
        s.seen.time_s += 300.0;
        pinery_control_causes_note(s.causes, &s.memory, &s.seen, &s.orders);
    }
    assert_string_equal(last(&s, PINERY_ACTUATOR_heating).reason, "reason 995");
    pinery_control_causes_free(s.causes);
}

/* More moves than there is room for are counted, and the text says so. */
static void no_room(void **state) {
    (void)state;
    struct scene s;
    begin(&s);
    pinery_control_start(&s.strategy, &s.memory);
    step(&s);
    int first = pinery_causes_count(s.causes);
    for (int i = 0; i < 250000; i++) {
        s.seen.time_s += 300.0;
        s.orders.fan_circulation = i % 2 == 0;
        pinery_control_causes_note(s.causes, &s.memory, &s.seen, &s.orders);
    }
    assert_int_equal(pinery_causes_count(s.causes), 200000);
    assert_int_equal(pinery_causes_lost(s.causes), 250000 + first - 200000);
    FILE *out = tmpfile();
    assert_non_null(out);
    assert_int_equal(pinery_causes_text(out, s.causes, 0.0, INFINITY, 10, NULL), PINERY_OK);
    char text[8192];
    rewind(out);
    text[fread(text, 1, sizeof text - 1, out)] = '\0';
    fclose(out);
    assert_non_null(strstr(text, "  and 199990 more moves\n"));
    assert_non_null(strstr(text, "moves after these, for which there was no room\n"));
    pinery_control_causes_free(s.causes);
}

static void names(void **state) {
    (void)state;
    for (int c = 0; c < PINERY_N_CAUSES; c++) {
        assert_true(strlen(pinery_cause_name((pinery_cause)c)->doc) > 3);
        /* A second value only behind a first; both are things that are seen. */
        assert_true(pinery_cause_value((pinery_cause)c, 0) != NULL || pinery_cause_value((pinery_cause)c, 1) == NULL);
    }
    assert_string_equal(pinery_cause_value(PINERY_CAUSE_night, 1)->unit, "degC");
    assert_null(pinery_cause_name(PINERY_N_CAUSES));
    assert_null(pinery_actuator_name(PINERY_N_ACTUATORS));
    pinery_seen seen = {.rain = 0.25};
    assert_close(pinery_control_seen(&seen, "rain"), 0.25, 0.0, 0.0);
    assert_true(isnan(pinery_control_seen(&seen, "")));
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_cloth), cmocka_unit_test(vents_slit_and_fan),
                                       cmocka_unit_test(lamps),   cmocka_unit_test(reasons),
                                       cmocka_unit_test(no_room), cmocka_unit_test(names)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
