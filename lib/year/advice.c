/* What to say of a strategy before it is run: moments that contradict each other, counted. */
#include "pinery/advice.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "control/orders.h"
#include "control/rules.h"
#include "sky/curve.h"
#include "sky/weather.h"
#include "year/advice.h"
#include "year/model.h"

/* Days at a time, days before them to settle, and runs that are looked at whole. (No source.) */
static const double spell_d = 2.0, settle_d = 1.0, whole_d = 30.0;
enum { part_d = 12 };

/* Held so far over the outside air, carbon dioxide under open vents is a matter of course. (Common practice, no
 * source.)
 */
static const double over_outside_ppm = 150.0;

static void count(struct pinery_year_count *c, double time_s, double dt) {
    c->first_s = c->seconds > 0.0 ? c->first_s : time_s;
    c->seconds += dt;
    c->spell += dt;
}

/* ---- along the weather ---- */

static bool asks_by_day(const pinery_screen *screen, double light, double outside) {
    return (light < screen->day_light && outside < screen->day_outside) || light > screen->shade_above_light;
}

/* In daylight: at night the rule for cold days asks as well, and the night's own comes first. */
static bool asks_both(const pinery_screen *screen, double day, double hour, double light, double outside) {
    bool dark = pinery_control_blackout(screen, day, hour);
    bool night = light < screen->close_below_light && outside < screen->close_below_outside;
    return screen->night_cloth != screen->day_cloth &&
           ((dark && light >= screen->close_below_light && asks_by_day(screen, light, outside)) ||
            (night && light > screen->shade_above_light));
}

/* As a run sees the weather (year/outside.c): curves through instants and through means; rain and snow by record. */
static double instant_at(const pinery_weather *weather, pinery_weather_column column, double time_s) {
    double place = (time_s - weather->start_s - weather->instant_s) / weather->step_s;
    const double *v = weather->column[column];
    long k = (long)floor(place);
    struct pinery_sky_cubic curve =
        pinery_sky_curve_instants(pinery_year_record(weather, v, k - 1), pinery_year_record(weather, v, k),
                                  pinery_year_record(weather, v, k + 1), pinery_year_record(weather, v, k + 2));
    return pinery_sky_cubic_at(&curve, place - (double)k);
}

static double mean_at(const pinery_weather *weather, pinery_weather_column column, double time_s) {
    double place = (time_s - weather->start_s) / weather->step_s;
    const double *v = weather->column[column];
    long k = (long)floor(place);
    struct pinery_sky_cubic curve =
        pinery_sky_curve_means(pinery_year_record(weather, v, k - 1), pinery_year_record(weather, v, k),
                               pinery_year_record(weather, v, k + 1));
    return pinery_sky_cubic_at(&curve, place - (double)k);
}

static double record_at(const pinery_weather *weather, pinery_weather_column column, double time_s) {
    long k = (long)floor((time_s - weather->start_s) / weather->step_s + 1e-9);
    return pinery_year_record(weather, weather->column[column], k);
}

/* The rules of the cloths, which look at nothing but the clock and the weather. The rest of what is seen stands still.
 */
static void walk(pinery_watch *watch, const pinery_weather *weather) {
    const double dt = watch->dt;
    struct pinery_control_memory memory;
    pinery_orders orders;
    pinery_seen seen = {.sunrise = NAN, .sunset = NAN};
    seen.reading[PINERY_READING_air_seen] = watch->strategy.period[0].heating;
    seen.reading[PINERY_READING_humidity_sensor] = 70.0;
    pinery_control_start(&watch->strategy, &memory);
    double year_d = pinery_sky_year_days(weather);
    for (double t = watch->from_s; t < watch->to_s - 1e-3; t += dt) {
        seen.time_s = t;
        seen.day = fmod(floor(t / 86400.0), year_d) + 1.0;
        seen.hour = fmod(t, 86400.0) / 3600.0;
        seen.rain = record_at(weather, PINERY_WEATHER_rain, t);
        seen.reading[PINERY_READING_outside] = instant_at(weather, PINERY_WEATHER_temperature, t);
        seen.reading[PINERY_READING_outside_global] = mean_at(weather, PINERY_WEATHER_global, t);
        seen.reading[PINERY_READING_outside_snow] = record_at(weather, PINERY_WEATHER_snow, t);
        seen.reading[PINERY_READING_outside_wind] = instant_at(weather, PINERY_WEATHER_wind_speed, t);
        pinery_control_orders(&watch->strategy, &memory, &seen, &orders);
        for (int d = 0; d < watch->house.drives; d++) {
            seen.reading[PINERY_READING_cloth_1 + d] = orders.cloth[d];
            if (orders.cloth[d] >= 0.5 && seen.reading[PINERY_READING_outside_snow] > 0.0) {
                count(&watch->count[PINERY_WARNING_cloth_in_snow][d], t, dt);
            }
            const pinery_screen *screen = &watch->strategy.screen[d];
            if (screen->use && watch->house.drive[d].cloths > 1 &&
                asks_both(screen, seen.day, seen.hour, seen.reading[PINERY_READING_outside_global],
                          seen.reading[PINERY_READING_outside])) {
                count(&watch->count[PINERY_WARNING_both_cloths][d], t, dt);
            }
        }
    }
}

/* ---- in a run ---- */

static bool lamps_lit(const pinery_watch *watch, const double *r) {
    for (int g = 0; g < PINERY_LAMPS; g++) {
        const pinery_lamp *lamp = &watch->house.lamp[g];
        if (lamp->power > 0.0 && lamp->place == 0 && r[PINERY_READING_lamp_1 + g] > 0.5) {
            return true;
        }
    }
    return false;
}

static void note_drive(pinery_watch *watch, int d, const pinery_seen *seen, const pinery_orders *orders) {
    const double *r = seen->reading;
    double cloth = r[PINERY_READING_cloth_1 + d], slit = r[PINERY_READING_slit_1 + d],
           fan = r[PINERY_READING_fan_through];
    bool fans = watch->house.fan_through.flow > 0.0;
    if (cloth > 0.95 && slit < 0.01 && !(fans && fan > 0.05) && lamps_lit(watch, r) &&
        r[PINERY_READING_air_seen] > orders->ventilation + 2.0) {
        count(&watch->count[PINERY_WARNING_lamps_under_cloth][d], seen->time_s, watch->dt);
    }
    if (fans && cloth > 0.5 && slit > 0.01 && fan > 0.05) {
        count(&watch->count[PINERY_WARNING_slit_against_fan][d], seen->time_s, watch->dt);
    }
    if (watch->scripted) {
        if (orders->cloth[d] >= 0.5 && r[PINERY_READING_outside_snow] > 0.0) {
            count(&watch->count[PINERY_WARNING_cloth_in_snow][d], seen->time_s, watch->dt);
        }
    }
}

void pinery_watch_note(pinery_watch *watch, const pinery_run *run, const pinery_orders *orders) {
    const pinery_seen *seen = pinery_run_seen(run);
    const double *r = seen->reading;
    if (seen->time_s < watch->spell_from_s) {
        return;
    }
    watch->looked_s += watch->dt;
    bool drawn = false;
    for (int d = 0; d < watch->house.drives; d++) {
        note_drive(watch, d, seen, orders);
        drawn = drawn || r[PINERY_READING_cloth_1 + d] > 0.5;
    }
    const pinery_carbon *carbon = &watch->house.carbon;
    double target = orders->carbon_target;
    double wide = fmax(r[PINERY_READING_vent_lee], r[PINERY_READING_vent_wind]);
    double least = drawn ? watch->strategy.vent_over_screen : 0.0;
    if (r[PINERY_READING_pipe_lower] > r[PINERY_READING_air_seen] + 10.0 && wide > least + 0.1) {
        count(&watch->count[PINERY_WARNING_heating_and_venting][0], seen->time_s, watch->dt);
    }
    if (carbon->balance && carbon->most > 0.0 && !drawn && wide > 0.1 && target > carbon->outside + over_outside_ppm &&
        r[PINERY_READING_co2] < target) {
        count(&watch->count[PINERY_WARNING_carbon_under_vents][0], seen->time_s, watch->dt);
    }
}

/* ---- beginning and end ---- */

pinery_status pinery_watch_create(const pinery_weather *weather, const pinery_house *house,
                                  const pinery_strategy *strategy, const pinery_options *options, bool scripted,
                                  pinery_watch **out, pinery_error *error) {
    *out = NULL;
    pinery_status status = pinery_strategy_check(strategy, error);
    if (status == PINERY_OK) {
        status = pinery_house_check(house, error);
    }
    if (status == PINERY_OK) {
        status = pinery_fields_check(&pinery_options_fields, options, "", error);
    }
    if (status != PINERY_OK) {
        return status;
    }
    pinery_watch *watch = calloc(1, sizeof *watch);
    if (watch == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "advice: memory ran out");
    }
    watch->house = *house;
    watch->strategy = *strategy;
    watch->options = *options;
    watch->scripted = scripted;
    watch->dt = options->control_interval;
    watch->from_s = 86400.0 * (options->first_day - 1.0);
    watch->to_s = watch->from_s + 86400.0 * options->days;
    watch->spell_from_s = -INFINITY;
    watch->whole_year = pinery_weather_is_year(weather);
    for (int i = 0; i < weather->n; i++) {
        watch->has_snow = watch->has_snow || weather->column[PINERY_WEATHER_snow][i] > 0.0;
    }
    if (!scripted && weather->n > 0) {
        walk(watch, weather);
    }
    *out = watch;
    return pinery_base_ok(error);
}

/* Spells of equal length, each in the middle of its part of the run. */
bool pinery_watch_spell(pinery_watch *watch, int i, pinery_options *spell) {
    double days = watch->options.days;
    int n = days <= whole_d ? 1 : (int)ceil(fmin(days, 366.0) / part_d);
    if (i < 0 || i >= n) {
        return false;
    }
    *spell = watch->options;
    spell->keep_hours = spell->keep_causes = false;
    spell->spin_up = fmin(spell->spin_up, settle_d);
    if (n > 1) {
        double part = fmin(days, 366.0) / n;
        double into = floor(part * i + 0.5 * (part - spell_d));
        spell->first_day = watch->options.first_day + into;
        spell->days = spell_d;
        if (spell->first_day > 366.0 && watch->whole_year) { /* the weather wraps round */
            spell->first_day -= 365.0;
        }
    }
    pinery_year_advice_fold(watch);
    watch->spell_from_s = 86400.0 * (spell->first_day - 1.0);
    watch->spells++;
    return true;
}

pinery_status pinery_advise(const pinery_weather *weather, const pinery_house *house, const pinery_strategy *strategy,
                            const pinery_options *options, pinery_watch **out, pinery_error *error) {
    pinery_options spell;
    pinery_status status = pinery_watch_create(weather, house, strategy, options, false, out, error);
    for (int i = 0; status == PINERY_OK && pinery_watch_spell(*out, i, &spell); i++) {
        pinery_run *run = NULL;
        pinery_orders orders;
        status = pinery_run_create(weather, house, strategy, &spell, &run, error);
        while (status == PINERY_OK && !pinery_run_done(run)) {
            pinery_run_orders(run, &orders);
            pinery_watch_note(*out, run, &orders);
            status = pinery_run_advance(run, &orders, error);
        }
        pinery_run_free(run);
    }
    if (status == PINERY_OK) {
        pinery_watch_finish(*out);
    } else {
        pinery_watch_free(*out);
        *out = NULL;
    }
    return status;
}

int pinery_watch_count(const pinery_watch *watch) {
    return watch->n;
}

pinery_warning pinery_watch_warning(const pinery_watch *watch, int i) {
    return watch->warning[i];
}

void pinery_watch_free(pinery_watch *watch) {
    free(watch);
}
