/* Orders from scripted days. The thresholds are those set in each test; that a cloth must not hunt on broken cloud,
 * that cloths are parked for snow and that vents are limited by storm, rain and frost is common practice of the trade,
 * no source. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"

#include "control/orders.h"

#define READ(key) PINERY_READING_##key

static const double interval = 300.0; /* s */

/* A house with its controller; the cloths follow their orders at once, as drives faster than the interval do. */
struct scene {
    pinery_strategy strategy;
    struct pinery_control_memory memory;
    pinery_seen seen;
    pinery_orders orders;
};

static void begin(struct scene *s) {
    pinery_error error;
    if (pinery_strategy_check(&s->strategy, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    pinery_control_start(&s->strategy, &s->memory);
}

static void defaults(struct scene *s) {
    memset(s, 0, sizeof *s);
    pinery_strategy_default(&s->strategy);
    s->seen.day = 15;
    s->seen.sunrise = 8.0;
    s->seen.sunset = 16.5;
    s->seen.reading[READ(outside)] = 5.0;
    s->seen.reading[READ(air_seen)] = 18.0;
    s->seen.reading[READ(outside_wind)] = 3.0;
}

static void look(struct scene *s, double time_s) {
    s->seen.time_s = time_s;
    s->seen.day = 15.0 + floor(time_s / 86400.0);
    s->seen.hour = fmod(time_s / 3600.0, 24.0);
    pinery_error error;
    pinery_control_orders(&s->strategy, &s->memory, &s->seen, &s->orders);
    if (pinery_control_orders_check(&s->orders, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    for (int i = 0; i < PINERY_DRIVES; i++) {
        s->seen.reading[READ(cloth_1) + i] = s->orders.cloth[i];
    }
}

/* --- set-points --- */

static void periods_by_clock_and_sun(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.periods = 3;
    s.strategy.ramp = 100.0; /* at once, as seen every 300 s: 8 K an interval */
    s.strategy.period[0] = (pinery_period){.from = 1, .at = -1.0, .heating = 20.0, .ventilation = 24.0}; /* 7 h */
    s.strategy.period[1] = (pinery_period){.from = 2, .at = 0.5, .heating = 15.0, .ventilation = 19.0};  /* 17 h */
    s.strategy.period[2] = (pinery_period){.from = 0, .at = 22.0, .heating = 17.0, .ventilation = 21.0};
    begin(&s);
    for (int i = 0; i < 2 * 288; i++) {
        look(&s, i * interval);
        double hour = s.seen.hour, want = hour < 7.0 - 1e-9 || hour > 22.0 - 1e-9 ? 17.0
                                          : hour < 17.0 - 1e-9                    ? 20.0
                                                                                  : 15.0;
        assert_close(s.orders.heating, want, 0.0, 0.0);
        assert_close(s.orders.ventilation, want + 4.0, 0.0, 0.0);
    }
    /* A period that begins 8 hours after sunset begins after midnight, at 0:30. */
    s.strategy.period[2] = (pinery_period){.from = 2, .at = 8.0, .heating = 17.0, .ventilation = 21.0};
    begin(&s);
    look(&s, 0.25 * 3600.0);
    assert_close(s.orders.heating, 15.0, 0.0, 0.0);
    look(&s, 0.5 * 3600.0);
    assert_close(s.orders.heating, 17.0, 0.0, 0.0);
}

static void ramps_arrive_and_rest(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.periods = 2;
    s.strategy.lighting[0].use = s.strategy.lighting[1].use = false;
    s.strategy.period[0] = (pinery_period){.at = 0.0, .heating = 16.03, .ventilation = 20.0};
    s.strategy.period[1] = (pinery_period){.at = 6.0, .heating = 18.01, .ventilation = 23.0};
    begin(&s);
    int changes = 0;
    pinery_orders before;
    for (int i = 0; i < 24 * 12; i++) {
        look(&s, i * interval);
        if (i > 0) {
            assert_true(fabs(s.orders.heating - before.heating) <= 1.0 / 12.0 + 1e-9);
            changes += memcmp(&s.orders, &before, sizeof before) != 0;
        }
        before = s.orders;
        if (s.seen.hour < 6.0) {
            assert_true(s.orders.heating == 16.03);
        }
        if (s.seen.hour > 9.01) { /* 3 K at 1 K/h */
            assert_true(s.orders.heating == 18.01 && s.orders.ventilation == 23.0);
        }
    }
    assert_in_range(changes, 35, 38); /* 3 K at 1 K/h, a twelfth at a time, then not one change */
}

static void light_raises_in_steps(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.light_raise = 2.0; /* over 100 .. 400 W/m2 */
    s.strategy.screen[0].use = s.strategy.screen[1].use = s.strategy.screen[2].use = false;
    s.strategy.lighting[0].use = s.strategy.lighting[1].use = false;
    s.strategy.ramp = 100.0;
    begin(&s);
    look(&s, 0.0);
    assert_true(s.orders.heating == 18.0);
    s.seen.reading[READ(outside_global)] = 250.0; /* half way */
    look(&s, 300.0);
    assert_close(s.orders.heating, 19.0, 1e-12, 0.0);
    /* Light that trembles by less than a step, 15 W/m2, changes no bit. */
    pinery_orders before = s.orders;
    for (int i = 2; i < 50; i++) {
        s.seen.reading[READ(outside_global)] = 250.0 + 14.0 * sin(i * 1.7);
        look(&s, i * interval);
        assert_memory_equal(&s.orders, &before, sizeof before);
    }
    s.seen.reading[READ(outside_global)] = 900.0;
    look(&s, 50 * interval);
    assert_true(s.orders.heating == 20.0 && s.orders.ventilation == 24.0);
}

static void minimum_pipe_fades(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.minimum_pipe = 45.0;
    begin(&s);
    look(&s, 0.0);
    assert_true(s.orders.pipe_least == 45.0);
    s.seen.reading[READ(outside_global)] = 100.0; /* half of 200 W/m2: half way to the heating temperature, 31.5 */
    look(&s, 300.0);
    assert_between(s.orders.pipe_least, 31.0, 32.0);
    assert_true(s.orders.pipe_least == round(s.orders.pipe_least));
    s.seen.reading[READ(outside_global)] = 200.0;
    look(&s, 600.0);
    assert_true(s.orders.pipe_least == 0.0);
    assert_true(isnan(s.orders.pipe_lower) && isnan(s.orders.pipe_upper));
}

/* --- screens --- */

static void a_cloth_does_not_hunt(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.screen[0].close_below_light = 50.0;
    s.strategy.screen[0].light_band = 10.0;
    s.strategy.screen[0].pause = 1200.0;
    begin(&s);
    int moves = 0;
    double before = 0.0, moved = -1e9;
    /* Broken cloud: from 30 to 70 W/m2 every few minutes, through both thresholds. */
    for (int i = 0; i < 12 * 24; i++) {
        s.seen.reading[READ(outside_global)] = 50.0 + 20.0 * sin(i * 2.3);
        look(&s, i * interval);
        if (s.orders.cloth[0] != before) {
            assert_true(s.seen.time_s - moved >= 1200.0);
            before = s.orders.cloth[0];
            moved = s.seen.time_s;
            moves++;
        }
    }
    assert_true(moves > 2); /* it does react */
    /* Trembling inside the band, nothing moves at all. */
    s.seen.reading[READ(outside_global)] = 10.0;
    look(&s, 90000.0);
    look(&s, 92000.0);
    assert_true(s.orders.cloth[0] == 1.0);
    for (int i = 0; i < 100; i++) {
        s.seen.reading[READ(outside_global)] = 50.0 + 9.0 * sin(i * 2.3);
        look(&s, 93000.0 + i * interval);
        assert_true(s.orders.cloth[0] == 1.0);
    }
    /* The outside temperature has its band too: 14 degC closes, 14.5 opens. */
    s.seen.reading[READ(outside_global)] = 10.0;
    s.seen.reading[READ(outside)] = 14.4;
    look(&s, 130000.0);
    assert_true(s.orders.cloth[0] == 1.0);
    s.seen.reading[READ(outside)] = 14.6;
    look(&s, 132000.0);
    assert_true(s.orders.cloth[0] == 0.0);
    s.seen.reading[READ(outside)] = 14.1;
    look(&s, 134000.0);
    assert_true(s.orders.cloth[0] == 0.0);
    s.seen.reading[READ(outside)] = 13.9;
    look(&s, 136000.0);
    assert_true(s.orders.cloth[0] == 1.0);
}

static void day_and_shade(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.screen[0].pause = 0.0;
    s.strategy.screen[0].day_light = 150.0;
    s.strategy.screen[0].day_outside = 2.0;
    s.strategy.screen[0].shade_above_light = 600.0;
    begin(&s);
    const struct {
        double light, outside, cloth;
    } row[] = {{0.0, 0.0, 1.0},    {140.0, 0.0, 1.0},  {154.0, 0.0, 1.0}, {156.0, 0.0, 0.0}, {151.0, 0.0, 0.0},
               {149.0, 0.0, 1.0},  {149.0, 2.6, 0.0},  {149.0, 1.9, 1.0}, {599.0, 1.9, 0.0}, {601.0, 25.0, 1.0},
               {596.0, 25.0, 1.0}, {594.0, 25.0, 0.0}, {0.0, 25.0, 0.0}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        s.seen.reading[READ(outside_global)] = row[i].light;
        s.seen.reading[READ(outside)] = row[i].outside;
        look(&s, (double)i * interval);
        if (s.orders.cloth[0] != row[i].cloth) {
            fail_msg("row %zu: %g W/m2, %g degC: cloth %g", i, row[i].light, row[i].outside, s.orders.cloth[0]);
        }
    }
}

static void opening_in_steps(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.screen[0].open_step = 0.3;
    s.strategy.screen[0].open_wait = 600.0;
    begin(&s);
    look(&s, 0.0);
    assert_true(s.orders.cloth[0] == 1.0);
    s.seen.reading[READ(outside_global)] = 100.0;
    const double want[] = {0.7, 0.7, 0.4, 0.4, 0.1, 0.1, 0.0, 0.0};
    for (int i = 0; i < 8; i++) {
        look(&s, 3600.0 + i * interval);
        assert_close(s.orders.cloth[0], want[i], 1e-12, 1e-15);
    }
    assert_true(s.orders.cloth[0] == 0.0);
}

static void blackout_over_midnight(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.seen.reading[READ(outside)] = 25.0; /* never cold */
    s.strategy.screen[0].dark_from = 18.0;
    s.strategy.screen[0].dark_until = 7.5;
    begin(&s);
    for (int i = 0; i < 3 * 288; i++) {
        look(&s, i * interval);
        bool dark = s.seen.hour < 7.5 - 1e-9 || s.seen.hour > 18.0 - 1e-9;
        assert_true(s.orders.cloth[0] == (dark ? 1.0 : 0.0));
    }
}

/* Short days from day 20 to day 22: dark from the evening of the one to the morning after the other, and not a night
 * more; over the New Year likewise. */
static void blackout_in_its_season(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.seen.reading[READ(outside)] = 25.0; /* never cold */
    s.strategy.screen[0].dark_from = 18.0;
    s.strategy.screen[0].dark_until = 7.5;
    s.strategy.screen[0].dark_first_day = 20;
    s.strategy.screen[0].dark_last_day = 22;
    begin(&s);
    int moves = 0;
    double before = 0.0;
    for (int i = 0; i < 12 * 288; i++) { /* from day 15 */
        look(&s, i * interval);
        double evenings = floor(s.seen.day - (s.seen.hour < 7.5 - 1e-9 ? 1.0 : 0.0));
        bool night = s.seen.hour < 7.5 - 1e-9 || s.seen.hour > 18.0 - 1e-9;
        assert_true(s.orders.cloth[0] == (night && evenings >= 20 && evenings <= 22 ? 1.0 : 0.0));
        moves += s.orders.cloth[0] != before;
        before = s.orders.cloth[0];
    }
    assert_int_equal(moves, 6);
    s.strategy.screen[0].dark_first_day = 350;
    s.strategy.screen[0].dark_last_day = 15;
    begin(&s);
    look(&s, 19.0 * 3600.0);
    assert_true(s.orders.cloth[0] == 1.0);
    look(&s, 86400.0 + 3.0 * 3600.0);
    assert_true(s.orders.cloth[0] == 1.0);
    look(&s, 86400.0 + 19.0 * 3600.0);
    assert_true(s.orders.cloth[0] == 0.0);
}

static void snow_parks(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.screen[0].dark_from = 0.0;
    s.strategy.screen[0].dark_until = 12.0;
    s.strategy.screen[1].open_in_snow = false;
    begin(&s);
    look(&s, 0.0);
    assert_true(s.orders.cloth[0] == 1.0 && s.orders.cloth[1] == 1.0);
    s.seen.reading[READ(outside_snow)] = 0.5;
    look(&s, 300.0); /* at once, inside the pause, against night and blackout */
    assert_true(s.orders.cloth[0] == 0.0 && s.orders.cloth[1] == 1.0);
    s.seen.reading[READ(outside_snow)] = 0.0;
    for (int i = 0; i < 5; i++) {
        look(&s, 600.0 + i * interval);
        assert_true(s.orders.cloth[0] == 0.0);
    }
    look(&s, 300.0 + 1800.0);
    assert_true(s.orders.cloth[0] == 1.0);
}

static void two_cloths_exclude_one_another(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.screen[0].night_cloth = 2;
    s.strategy.screen[0].day_cloth = 1;
    s.strategy.screen[0].day_light = 150.0;
    s.strategy.screen[0].day_outside = 10.0;
    begin(&s);
    look(&s, 0.0);
    assert_true(s.orders.cloth[0] == 1.0 && s.orders.which[0] == 1);
    s.seen.reading[READ(outside_global)] = 60.0; /* a dark cold day: the other cloth */
    look(&s, 3600.0);
    assert_true(s.orders.cloth[0] == 0.0 && s.orders.which[0] == 1); /* parked first */
    s.seen.reading[READ(cloth_1)] = 0.4;                             /* a slow drive is still under way */
    look(&s, 3900.0);
    assert_true(s.orders.cloth[0] == 0.0 && s.orders.which[0] == 1);
    s.seen.reading[READ(cloth_1)] = 0.0;
    look(&s, 4200.0); /* in its place, without a pause */
    assert_true(s.orders.cloth[0] == 1.0 && s.orders.which[0] == 0);
    /* Whatever the weather does, a cloth is never changed while drawn. */
    int which = s.orders.which[0];
    double cloth = s.orders.cloth[0];
    for (int i = 0; i < 2000; i++) {
        s.seen.reading[READ(outside_global)] = fmax(0.0, 80.0 * sin(i * 0.31) + 60.0 * sin(i * 0.077));
        s.seen.reading[READ(outside_snow)] = i % 371 == 5;
        look(&s, 4500.0 + i * interval);
        if (s.orders.which[0] != which) {
            assert_true(cloth == 0.0);
        }
        which = s.orders.which[0];
        cloth = s.orders.cloth[0];
    }
}

static void slits(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.screen[0].slit_humidity_max = 0.05;
    s.strategy.screen[0].slit_least_outside = 0.0;
    s.strategy.screen[0].slit_temperature_max = 1.0;
    begin(&s);
    double d_T, d_H;
    look(&s, 0.0);
    assert_close(pinery_control_law(&s.orders.slit[0], 18.0, 0.80, &d_T, &d_H), 0.0, 0.0, 0.0);
    assert_close(pinery_control_law(&s.orders.slit[0], 18.0, 0.93, &d_T, &d_H), 0.05, 1e-12, 0.0);
    assert_close(pinery_control_law(&s.orders.slit[0], 22.0 + 3.0, 0.80, &d_T, &d_H), 1.0, 1e-12, 0.0);
    s.seen.reading[READ(outside)] = -1.0; /* too cold for a humidity slit; the one against heat stays */
    look(&s, 300.0);
    assert_close(pinery_control_law(&s.orders.slit[0], 18.0, 0.99, &d_T, &d_H), 0.0, 0.0, 0.0);
    assert_close(pinery_control_law(&s.orders.slit[0], 25.0, 0.99, &d_T, &d_H), 1.0, 1e-12, 0.0);
    s.seen.reading[READ(outside_global)] = 300.0;
    look(&s, 7200.0); /* parked: no law at all */
    const pinery_law none = {.high = 1.0};
    assert_memory_equal(&s.orders.slit[0], &none, sizeof none);
}

/* --- lamps --- */

/* From two hours before sunrise (8:00) to one after it, and from an hour before sunset (16:30) to 20:00. */
static void lamps_by_sunrise_and_sunset(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    pinery_lighting *morning = &s.strategy.lighting[0], *evening = &s.strategy.lighting[1];
    morning->from = -2.0, morning->from_of = 1, morning->to = 1.0, morning->to_of = 1;
    evening->from = -1.0, evening->from_of = 2, evening->to = 20.0;
    begin(&s);
    for (int i = 0; i < 2 * 288; i++) {
        if (i == 288) { /* a day later the sun rises a quarter of an hour earlier */
            s.seen.sunrise -= 0.25;
        }
        look(&s, i * interval);
        double h = s.seen.hour + 1e-6;
        assert_true(s.orders.lamp[0] == (h >= s.seen.sunrise - 2.0 && h < s.seen.sunrise + 1.0 ? 1.0 : 0.0));
        assert_true(s.orders.lamp[1] == (h >= 15.5 && h < 20.0 ? 1.0 : 0.0));
    }
    morning->from = 10.0, morning->from_of = 2; /* 2:30 of the next day, to 9:00 */
    begin(&s);
    look(&s, 2.4 * 3600.0);
    assert_true(s.orders.lamp[0] == 0.0);
    look(&s, 2.6 * 3600.0);
    assert_true(s.orders.lamp[0] == 1.0);
}

/* Broken cloud that swings past both limits every ten minutes switches nothing when the delay is a quarter of an hour;
 * sun that stays, once and after it. */
static void lamps_wait_for_the_sun(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.lighting[0].from = 0.0;
    s.strategy.lighting[0].to = 24.0;
    s.strategy.lighting[0].delay = 900.0;
    s.strategy.lighting[0].pause = 0.0;
    begin(&s);
    int moves = 0;
    for (int i = 0; i < 288; i++) {
        s.seen.reading[READ(outside_global)] = i / 2 % 2 == 0 ? 300.0 : 50.0;
        look(&s, i * interval);
        moves += s.orders.lamp[0] != 1.0;
    }
    assert_int_equal(moves, 0);
    s.seen.reading[READ(outside_global)] = 50.0;
    look(&s, 86400.0);
    s.seen.reading[READ(outside_global)] = 300.0;
    for (int i = 1; i <= 3; i++) {
        look(&s, 86400.0 + i * interval);
        assert_true(s.orders.lamp[0] == 1.0);
    }
    look(&s, 86400.0 + 4 * interval);
    assert_true(s.orders.lamp[0] == 0.0);
}

static void lamps_by_clock_sun_and_sum(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.lighting[0].from = 22.0; /* over midnight */
    s.strategy.lighting[0].to = 14.0;
    s.strategy.lighting[0].day_sum = 12.0;
    s.strategy.lighting[1].use = false;
    begin(&s);
    for (int i = 0; i < 288; i++) {
        look(&s, i * interval);
        assert_true((s.orders.lamp[0] == 1.0) == (s.seen.hour < 14.0 - 1e-9 || s.seen.hour > 22.0 - 1e-9));
        assert_true(s.orders.lamp[1] == 0.0);
    }
    const double eight = 86400.0 + 8.0 * 3600.0;
    s.seen.reading[READ(outside_global)] = 201.0;
    look(&s, eight);
    assert_true(s.orders.lamp[0] == 0.0);
    s.seen.reading[READ(outside_global)] = 149.0; /* dark enough, but the pause is 20 min */
    look(&s, eight + 900.0);
    assert_true(s.orders.lamp[0] == 0.0);
    look(&s, eight + 1200.0);
    assert_true(s.orders.lamp[0] == 1.0);
    s.seen.reading[READ(outside_global)] = 190.0; /* between the thresholds: stays */
    look(&s, eight + 3600.0);
    assert_true(s.orders.lamp[0] == 1.0);
    s.seen.light_today = 12.0; /* the crop has had its light: off at once */
    look(&s, eight + 3900.0);
    assert_true(s.orders.lamp[0] == 0.0);
    s.seen.light_today = 0.0;
    s.seen.reading[READ(air_seen)] = 51.0;
    look(&s, eight + 9000.0);
    assert_true(s.orders.lamp[0] == 0.0);
    s.seen.reading[READ(air_seen)] = 49.5; /* not yet cool enough */
    look(&s, eight + 12000.0);
    assert_true(s.orders.lamp[0] == 0.0);
    s.seen.reading[READ(air_seen)] = 48.9;
    look(&s, eight + 15000.0);
    assert_true(s.orders.lamp[0] == 1.0);
    /* Out of season: first day 258, last day 120. */
    look(&s, 86400.0 * (120.0 - 15.0) + 3600.0);
    assert_true(s.orders.lamp[0] == 1.0);
    look(&s, 86400.0 * (121.0 - 15.0) + 3600.0);
    assert_true(s.orders.lamp[0] == 0.0);
    look(&s, 86400.0 * (258.0 - 15.0) + 3600.0);
    assert_true(s.orders.lamp[0] == 1.0);
}

/* --- vents and fans --- */

static double lee(struct scene *s, double T) {
    double d_T, d_H;
    return pinery_control_law(&s->orders.vent_lee, T, 0.5, &d_T, &d_H);
}

static double windward(struct scene *s, double T) {
    double d_T, d_H;
    return pinery_control_law(&s->orders.vent_wind, T, 0.5, &d_T, &d_H);
}

static void vents_by_weather(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.vent_over_screen = 0.02;
    begin(&s);
    look(&s, 0.0);
    assert_close(lee(&s, 15.0), 0.02, 1e-12, 0.0); /* over the drawn cloth */
    assert_close(windward(&s, 15.0), 0.02, 1e-12, 0.0);
    assert_close(lee(&s, 28.0), 1.0, 1e-12, 0.0); /* 22 + 6 */
    assert_close(windward(&s, 30.0), 0.5, 1e-12, 0.0);
    s.seen.reading[READ(outside_global)] = 300.0;
    look(&s, 3600.0);
    assert_close(lee(&s, 22.0), 0.0, 0.0, 0.0);
    s.seen.reading[READ(outside_wind)] = 15.5;
    look(&s, 3900.0);
    assert_close(lee(&s, 40.0), 0.1, 1e-12, 0.0);
    assert_close(windward(&s, 40.0), 0.0, 0.0, 0.0);
    s.seen.reading[READ(outside_wind)] = 14.0; /* over 0.9 of the storm */
    look(&s, 4200.0);
    assert_close(windward(&s, 40.0), 0.0, 0.0, 0.0);
    s.seen.reading[READ(outside_wind)] = 13.0;
    look(&s, 4500.0);
    assert_close(windward(&s, 40.0), 0.5, 1e-12, 0.0);
    s.strategy.vent_rain_max = 0.05;
    s.seen.rain = 1.0;
    look(&s, 4800.0);
    assert_close(lee(&s, 40.0), 0.05, 1e-12, 0.0);
    s.seen.rain = 0.0;
    look(&s, 5100.0);
    assert_close(lee(&s, 40.0), 0.05, 1e-12, 0.0);
    look(&s, 5700.0);
    assert_close(lee(&s, 40.0), 1.0, 1e-12, 0.0);
}

/* The widest opening fades by exp(-t/1800 s) until the frost comes, and in frost while the vent is shut. */
static void frost_holds_vents(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    begin(&s);
    s.seen.reading[READ(vent_lee)] = 0.4;
    look(&s, 0.0);
    s.seen.reading[READ(vent_lee)] = 0.193;
    look(&s, 300.0);
    assert_close(lee(&s, 40.0), 1.0, 1e-12, 0.0);
    s.seen.reading[READ(outside)] = -6.0;
    look(&s, 600.0);
    assert_close(lee(&s, 40.0), 0.4 * exp(-600.0 / 1800.0), 1e-12, 0.0); /* no wider, but it may close */
    assert_close(lee(&s, 20.0), 0.0, 0.0, 0.0);
    assert_close(windward(&s, 40.0), 0.0, 0.0, 0.0); /* shut: stays shut */
    s.seen.reading[READ(vent_lee)] = 0.1;
    pinery_orders before = s.orders;
    look(&s, 900.0);
    assert_memory_equal(&s.orders, &before, sizeof before);
    s.seen.reading[READ(vent_lee)] = 0.0;
    look(&s, 1200.0);
    assert_close(lee(&s, 40.0), 0.4 * exp(-900.0 / 1800.0), 1e-12, 0.0);
    look(&s, 1200.0 + 3600.0);
    assert_close(lee(&s, 40.0), 0.4 * exp(-4500.0 / 1800.0), 1e-12, 0.0);
    look(&s, 1200.0 + 3.0 * 3600.0);
    assert_close(lee(&s, 40.0), 0.0, 0.0, 0.0); /* under 0.005: frozen */
    s.seen.reading[READ(outside)] = -4.5;       /* frost ends at -4 */
    look(&s, 12300.0);
    assert_close(lee(&s, 40.0), 0.0, 0.0, 0.0);
    s.seen.reading[READ(outside)] = -3.9;
    look(&s, 12600.0);
    assert_close(lee(&s, 40.0), 1.0, 1e-12, 0.0);
}

static void fans_while_drawn(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    s.strategy.fan_least = 0.1;
    s.strategy.fan_most = 0.8;
    s.strategy.circulation_shut = 0.5;
    begin(&s);
    double d_T, d_H;
    look(&s, 0.0);
    assert_close(pinery_control_law(&s.orders.fan_through, 20.0, 0.80, &d_T, &d_H), 0.1, 1e-12, 0.0);
    assert_close(pinery_control_law(&s.orders.fan_through, 20.0, 0.95, &d_T, &d_H), 0.8, 1e-12, 0.0);
    assert_true(s.orders.fan_circulation == 0.5);
    s.seen.reading[READ(outside_global)] = 300.0;
    look(&s, 3600.0);
    assert_close(pinery_control_law(&s.orders.fan_through, 20.0, 0.95, &d_T, &d_H), 0.0, 0.0, 0.0);
    assert_true(s.orders.fan_circulation == 0.0);
}

/* --- the law itself --- */

/* A dehumidifier by humidity, at rest while the vents stand open, not at every twitch of them. */
static void drying_by_humidity(void **state) {
    struct scene s;
    (void)state;
    defaults(&s);
    pinery_drying *rule = &s.strategy.drying[PINERY_DEHUMIDIFIER];
    rule->least = 0.2;
    rule->most = 0.8;
    rule->vent_most = 0.1;
    begin(&s);
    double slope;
    const double vent[] = {0.0, 0.09, 0.11, 0.09, 0.06, 0.04, 0.09}, runs[] = {1, 1, 0, 0, 0, 1, 1};
    for (size_t i = 0; i < sizeof vent / sizeof vent[0]; i++) {
        s.seen.reading[READ(vent_lee)] = vent[i];
        look(&s, interval * (double)i);
        const pinery_law *law = &s.orders.drying[PINERY_DEHUMIDIFIER];
        assert_close(pinery_control_law(law, 18.0, 0.84, &slope, &slope), 0.2 * runs[i], 1e-12, 0.0);
        assert_close(pinery_control_law(law, 18.0, 0.93, &slope, &slope), 0.8 * runs[i], 1e-12, 0.0);
        assert_true((s.memory.why[PINERY_ACTUATOR_dehumidifier].cause == PINERY_CAUSE_vents_open) == (runs[i] == 0));
    }
    rule->only_drawn = true; /* by day no cloth is drawn */
    s.seen.reading[READ(outside_global)] = 300.0;
    look(&s, 43200.0);
    assert_close(pinery_control_law(&s.orders.drying[PINERY_DEHUMIDIFIER], 18.0, 0.93, &slope, &slope), 0.0, 0.0, 0.0);
    rule->most = 0.0;
    rule->least = 0.0;
    rule->only_drawn = false;
    look(&s, 43500.0);
    assert_close(pinery_control_law(&s.orders.drying[PINERY_DEHUMIDIFIER], 18.0, 0.99, &slope, &slope), 0.0, 0.0, 0.0);
}

/* An engine by heat between two fillings of the tank, not oftener than its pause allows; by clock, until the tank is
 * full. A heat pump that waits for warmer air. */
static void sources_by_tank_and_clock(void **state) {
    struct scene s;
    (void)state;
    defaults(&s);
    pinery_supply *rule = &s.strategy.supply;
    rule->load = 0.8;
    begin(&s);
    const double fill[] = {0.6, 0.39, 0.5, 0.94, 0.96, 0.9, 0.5, 0.39, 0.39, 0.39},
                 runs[] = {0, 1, 1, 1, 0, 0, 0, 0, 0, 1};
    for (size_t i = 0; i < sizeof fill / sizeof fill[0]; i++) {
        s.seen.reading[READ(tank_fill)] = fill[i];
        /* half an hour from step to step, but the last three come together, 20 minutes after the stop */
        static const double at[] = {0, 1800, 3600, 5400, 7200, 7500, 7800, 8100, 8400, 9000};
        look(&s, at[i]);
        assert_close(s.orders.source[PINERY_COGENERATION], 0.8 * runs[i], 0.0, 0.0);
    }
    assert_int_equal(s.memory.why[PINERY_ACTUATOR_cogeneration].cause, PINERY_CAUSE_tank_low);
    rule->cogeneration = 1;
    rule->from = 22.0;
    rule->to = 6.0;
    s.seen.reading[READ(tank_fill)] = NAN; /* no tank */
    int hours = 0;
    for (int i = 0; i < 24; i++) {
        look(&s, 86400.0 + 3600.0 * i);
        hours += s.orders.source[PINERY_COGENERATION] > 0.0;
    }
    assert_int_equal(hours, 8);
    const double outside[] = {0.0, -11.0, -9.5, -8.9}, pump[] = {1, 0, 0, 1};
    for (int i = 0; i < 4; i++) {
        s.seen.reading[READ(outside)] = outside[i];
        look(&s, 3e5 + interval * i);
        assert_close(s.orders.source[PINERY_HEAT_PUMP], pump[i], 0.0, 0.0);
    }
}

static void law_is_smooth(void **state) {
    (void)state;
    const pinery_law laws[] = {
        {.low = 0.02,
         .by_temperature = 1,
         .temperature_start = 22,
         .temperature_full = 28,
         .by_humidity = 0.05,
         .humidity_start = 0.88,
         .humidity_full = 0.95,
         .high = 1},
        {.low = 0.0,
         .by_temperature = 1,
         .temperature_start = 22,
         .temperature_full = 28,
         .by_humidity = 0.3,
         .humidity_start = 0.88,
         .humidity_full = 0.95,
         .high = 0.1},
        {.low = 0.05, .by_temperature = 0.5, .temperature_start = 22, .temperature_full = 28, .high = 0.05},
        {.low = 0.4, .high = 1}};
    for (size_t i = 0; i < sizeof laws / sizeof laws[0]; i++) {
        double most = 0.0, before = -1.0;
        for (double T = 20.0; T < 30.0; T += 0.0137) {
            for (double H = 0.85; H < 0.98; H += 0.0113) {
                double d_T, d_H, x, y;
                const double e = 1e-6;
                double p = pinery_control_law(&laws[i], T, H, &d_T, &d_H);
                assert_between(p, laws[i].low - 1e-15, laws[i].high + 1e-15); /* but for rounding */
                double slope_T =
                    (pinery_control_law(&laws[i], T + e, H, &x, &y) - pinery_control_law(&laws[i], T - e, H, &x, &y)) /
                    (2.0 * e);
                double slope_H =
                    (pinery_control_law(&laws[i], T, H + e, &x, &y) - pinery_control_law(&laws[i], T, H - e, &x, &y)) /
                    (2.0 * e);
                assert_close(d_T, slope_T, 1e-4, 2e-5);
                assert_close(d_H, slope_H, 1e-3, 1e-3);
                most = p > most ? p : most;
            }
            double x, y, p = pinery_control_law(&laws[i], T, 0.5, &x, &y);
            assert_true(p >= before - 1e-14); /* never falls with temperature */
            before = p;
        }
        double widest = 1.0 - (1.0 - laws[i].low) * (1.0 - laws[i].by_temperature) * (1.0 - laws[i].by_humidity);
        assert_close(most, fmin(widest, laws[i].high), 1e-9, 0.0);
    }
}

/* --- checks --- */

static void expect_strategy(pinery_strategy *strategy, const char *part, const char *other) {
    pinery_error error;
    assert_int_equal(pinery_strategy_check(strategy, &error), PINERY_BAD_INPUT);
    if (strstr(error.text, part) == NULL || strstr(error.text, other) == NULL) {
        fail_msg("the error does not name %s and %s: %s", part, other, error.text);
    }
    pinery_strategy_default(strategy);
}

static void strategies_are_checked(void **state) {
    (void)state;
    pinery_strategy s;
    pinery_strategy_default(&s);
    assert_int_equal(pinery_strategy_check(&s, NULL), PINERY_OK);
    s.period[0].heating = 22.0;
    expect_strategy(&s, "period 1", "heating");
    s.periods = 0;
    expect_strategy(&s, "0 periods", "1 .. 8");
    s.periods = 2;
    expect_strategy(&s, "period 2", "together with period 1");
    s.screen[1].dark_from = 18.0;
    expect_strategy(&s, "screen 2", "dark_until");
    s.screen[0].dark_from = s.screen[0].dark_until = 18.0;
    expect_strategy(&s, "screen 1", "18 h");
    s.screen[2].slit_humidity_max = 0.1;
    s.screen[2].slit_humidity_start = 95.0;
    expect_strategy(&s, "screen 3", "slit_humidity_full");
    s.lighting[1].on_below_light = 300.0;
    expect_strategy(&s, "lighting 2", "on_below_light");
    pinery_strategy_default(&s);
    s.lighting[0].from = -1.0;
    expect_strategy(&s, "lighting 1", "hours of the clock are 0 .. 24");
    s.minimum_pipe = 75.0;
    expect_strategy(&s, "minimum_pipe", "75 degC");
    s.fan_least = 0.9;
    s.fan_most = 0.5;
    expect_strategy(&s, "fan_least", "fan_most");
    s.vent_humidity_start = 96.0;
    expect_strategy(&s, "vent_humidity_start", "95 %");
    s.ramp = NAN;
    expect_strategy(&s, "ramp", "nan");
    s.screen[0].pause = -1.0;
    expect_strategy(&s, "screen 1", "pause = -1 s");
}

static void expect_orders(pinery_orders orders, const char *part, const char *value) {
    pinery_error error;
    assert_int_equal(pinery_control_orders_check(&orders, &error), PINERY_BAD_INPUT);
    if (strstr(error.text, part) == NULL || strstr(error.text, value) == NULL) {
        fail_msg("the error does not name %s and %s: %s", part, value, error.text);
    }
}

static void orders_are_checked(void **state) {
    (void)state;
    struct scene s;
    defaults(&s);
    begin(&s);
    look(&s, 0.0);
    pinery_orders o = s.orders;
#define WRONG(member, to, part, value) o.member = to, expect_orders(o, part, value), o = s.orders
    WRONG(cloth[1], 1.3, "cloth_2", "1.3");
    WRONG(cloth[0], NAN, "cloth_1", "nan");
    WRONG(which[2], 2, "which_3", "2");
    WRONG(heating, NAN, "heating", "nan");
    WRONG(pipe_lower, 200.0, "pipe_lower", "200 degC");
    WRONG(pipe_least, 80.0, "pipe_least", "80 degC");
    WRONG(lamp[1], -0.1, "lamp_2", "-0.1");
    WRONG(vent_lee.low, 1.5, "vent_lee.low", "1.5");
    WRONG(vent_lee.temperature_full, 20.0, "vent_lee.temperature_full", "20");
    WRONG(slit[0].high, NAN, "slit_1.high", "nan");
    WRONG(fan_through.low, -1.0, "fan_through.low", "-1");
    WRONG(fan_circulation, INFINITY, "fan_circulation", "inf");
#undef WRONG
    assert_int_equal(pinery_control_orders_check(&o, NULL), PINERY_OK);
    o.pipe_lower = 45.0;
    assert_int_equal(pinery_control_orders_check(&o, NULL), PINERY_OK);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(periods_by_clock_and_sun),
        cmocka_unit_test(ramps_arrive_and_rest),
        cmocka_unit_test(light_raises_in_steps),
        cmocka_unit_test(minimum_pipe_fades),
        cmocka_unit_test(a_cloth_does_not_hunt),
        cmocka_unit_test(day_and_shade),
        cmocka_unit_test(opening_in_steps),
        cmocka_unit_test(blackout_over_midnight),
        cmocka_unit_test(snow_parks),
        cmocka_unit_test(two_cloths_exclude_one_another),
        cmocka_unit_test(slits),
        cmocka_unit_test(blackout_in_its_season),
        cmocka_unit_test(lamps_by_sunrise_and_sunset),
        cmocka_unit_test(lamps_wait_for_the_sun),
        cmocka_unit_test(lamps_by_clock_sun_and_sum),
        cmocka_unit_test(vents_by_weather),
        cmocka_unit_test(frost_holds_vents),
        cmocka_unit_test(fans_while_drawn),
        cmocka_unit_test(drying_by_humidity),
        cmocka_unit_test(sources_by_tank_and_clock),
        cmocka_unit_test(law_is_smooth),
        cmocka_unit_test(strategies_are_checked),
        cmocka_unit_test(orders_are_checked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
