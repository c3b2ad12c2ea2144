/* Random houses, strategies and weathers for the tests of properties: presets and fields over their sensible ranges,
 * drawn from one seed. PINERY_SEED takes another seed, PINERY_DRAWS more draws; a failure prints both seed and draw. */
#ifndef TESTS_PROPERTY_CASE_H
#define TESTS_PROPERTY_CASE_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "sky/generate.h"
#include "year_case.h"

struct draw {
    struct pinery_sky_random random;
    unsigned seed;
    int number;
    pinery_house house;
    pinery_strategy strategy;
    pinery_options options;
    pinery_weather *weather;
};

static inline unsigned property_number(const char *name, unsigned otherwise) {
    const char *given = getenv(name);
    return given ? (unsigned)strtoul(given, NULL, 10) : otherwise;
}

static inline double drawn(struct draw *d, double low, double high) {
    return low + (high - low) * pinery_sky_random_uniform(&d->random);
}

static inline int choice(struct draw *d, int n) {
    return (int)(n * pinery_sky_random_uniform(&d->random));
}

static inline const char *preset_name(struct draw *d, const char *kind) {
    int n = 0;
    while (pinery_preset_name(kind, n))
        n++;
    return pinery_preset_name(kind, choice(d, n));
}

static inline void property_must(const struct draw *d, pinery_status status, const pinery_error *error) {
    if (status != PINERY_OK)
        fail_msg("PINERY_SEED=%u, draw %d: %s", d->seed, d->number, error->text);
}

static inline void draw_drive(struct draw *d, pinery_drive *drive) {
    pinery_error error;
    memset(drive, 0, sizeof *drive);
    pinery_fields_default(&pinery_drive_fields, drive);
    drive->edge_gap = drawn(d, 0.0, 0.01);
    for (int c = 0; c < 2; c++)
        property_must(d, pinery_cloth_preset(preset_name(d, "cloth"), &drive->cloth[c], &error), &error);
}

/* No lamps and no fans but where a property gives them; up to two drives. */
static inline void draw_house(struct draw *d) {
    pinery_error error;
    pinery_house *house = &d->house;
    pinery_house_default(house);
    house->walls = choice(d, 2);
    house->length = drawn(d, 20, 200);
    house->width = drawn(d, 16, 150);
    house->gutter_height = drawn(d, 3.5, 7);
    house->span = drawn(d, 3.2, 9.6);
    house->roof_slope = drawn(d, 18, 28);
    house->ridge_azimuth = drawn(d, 0, 180);
    house->leakage = 3e-5 * exp(drawn(d, 0, 2.8)); /* to 5e-4 */
    house->vent_area = drawn(d, 0.05, 0.2);
    house->outside_convection = choice(d, 4);
    house->soil_conductivity = drawn(d, 0.5, 2.5);
    house->interior_capacity = drawn(d, 5e3, 3e4);
    house->wall_cloth_resistance = choice(d, 2) ? drawn(d, 0.1, 0.5) : 0;
    property_must(d, pinery_cover_preset(preset_name(d, "cover"), &house->cover, &error), &error);
    property_must(d, pinery_cover_preset(preset_name(d, "cover"), &house->wall, &error), &error);
    property_must(d, pinery_crop_preset(preset_name(d, "crop"), &house->crop, &error), &error);
    house->pipe_lower.length = drawn(d, 2, 4); /* and hot enough to keep any of these houses warm */
    house->pipe_upper.length = choice(d, 2) ? drawn(d, 0.3, 1.2) : 0;
    house->pipe_lower.max_temperature = house->pipe_upper.max_temperature = 110;
    house->pipe_lower.max_power = house->pipe_upper.max_power = 1000;
    house->boiler.max_power = 2000;
    house->drives = choice(d, 3);
    for (int i = 0; i < house->drives; i++)
        draw_drive(d, &house->drive[i]);
}

/* Day and night temperatures that a crop is grown at; humidity is let go where a property does not ask for it. */
static inline void draw_strategy(struct draw *d) {
    pinery_strategy *strategy = &d->strategy;
    pinery_strategy_default(strategy);
    strategy->periods = 2;
    strategy->period[1] = strategy->period[0];
    for (int i = 0; i < 2; i++) {
        strategy->period[i].from = i ? 2 : 1; /* from sunset, from sunrise */
        strategy->period[i].at = drawn(d, -1, 1);
        strategy->period[i].heating = drawn(d, 12, 21);
        strategy->period[i].ventilation = strategy->period[i].heating + drawn(d, 1, 6);
    }
    strategy->vent_humidity_max = 0;
    strategy->fan_most = 0;
    strategy->maximum_pipe = 110;
    strategy->minimum_pipe = choice(d, 3) ? 0 : drawn(d, 30, 45);
}

/* Every hour of the year the same. */
static inline void constant_weather(struct draw *d) {
    pinery_weather *weather = d->weather;
    double T = drawn(d, -20, 14), humidity = drawn(d, 0.5, 1), wind = drawn(d, 0, 10), sky = drawn(d, 0.65, 1);
    double value[PINERY_WEATHER_N_COLUMNS] = {0};
    value[PINERY_WEATHER_temperature] = T;
    value[PINERY_WEATHER_vapour_pressure] = humidity * 611.2 * exp(17.62 * T / (243.12 + T));
    value[PINERY_WEATHER_pressure] = 101325;
    value[PINERY_WEATHER_infrared] = sky * 5.670374419e-8 * pow(T + 273.15, 4);
    value[PINERY_WEATHER_wind_speed] = wind;
    for (int c = 0; c < PINERY_WEATHER_N_COLUMNS; c++)
        if (c != PINERY_WEATHER_sun_elevation && c != PINERY_WEATHER_sun_azimuth)
            for (int i = 0; i < weather->n; i++)
                weather->column[c][i] = value[c];
}

static inline void draw_case(struct draw *d, unsigned seed, int number) {
    static const char *const place[] = {"Amsterdam", "Berlin",  "Stockholm Arlanda", "London ON",
                                        "Montreal",  "Chicago", "Port Angeles WA",   "Barcelona"};
    pinery_error error;
    d->seed = seed;
    d->number = number;
    pinery_sky_random_seed(&d->random, seed, (unsigned)number);
    draw_house(d);
    draw_strategy(d);
    pinery_options_default(&d->options);
    d->options.first_day = 1 + choice(d, 360);
    d->options.days = 3;
    d->options.spin_up = 3;
    d->options.tolerance = 1e-3; /* what is compared differs by a few per cent of the heat or less */
    const char *at = place[choice(d, sizeof place / sizeof *place)];
    property_must(d, pinery_weather_generate(YEAR_NORMALS, at, (unsigned)choice(d, 1000), &d->weather, &error), &error);
    if (choice(d, 4) == 0)
        constant_weather(d);
}

/* The outcome of one run of the draw as it now is. */
struct outcome {
    double heat; /* boiler heat into the pipes, J/m2 */
    double result[PINERY_N_RESULTS], in[PINERY_N_HEADINGS], meter[PINERY_N_METERS], mean[PINERY_N_READINGS];
};

typedef void order_change(pinery_orders *orders);

static inline struct outcome run_ordered(const struct draw *d, order_change *change) {
    pinery_error error = {0};
    pinery_run *run = NULL;
    property_must(d, pinery_run_create(d->weather, &d->house, &d->strategy, &d->options, &run, &error), &error);
    while (!pinery_run_done(run)) {
        pinery_orders orders;
        pinery_run_orders(run, &orders);
        if (change)
            change(&orders);
        property_must(d, pinery_run_advance(run, &orders, &error), &error);
    }
    const pinery_ledger *ledger = pinery_run_ledger(run);
    struct outcome out;
    for (int i = 0; i < PINERY_N_RESULTS; i++)
        out.result[i] = pinery_ledger_result(ledger, (pinery_result)i);
    for (int i = 0; i < PINERY_N_HEADINGS; i++)
        out.in[i] = pinery_ledger_heat(ledger, (pinery_heading)i);
    for (int i = 0; i < PINERY_N_METERS; i++)
        out.meter[i] = pinery_ledger_meter(ledger, (pinery_meter)i);
    for (int i = 0; i < PINERY_N_READINGS; i++)
        out.mean[i] = pinery_ledger_mean(ledger, (pinery_reading)i);
    out.heat = out.in[PINERY_HEADING_heat_lower] + out.in[PINERY_HEADING_heat_upper];
    pinery_run_free(run);
    return out;
}

static inline struct outcome run_draw(const struct draw *d) {
    return run_ordered(d, NULL);
}

#endif
