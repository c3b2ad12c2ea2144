/* A made-up house with everything in it, for the tests of the year; its weather is a typical year of a place in
 * normals.csv. */
#ifndef TESTS_YEAR_CASE_H
#define TESTS_YEAR_CASE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "pinery/run.h"

#define YEAR_NORMALS PINERY_SOURCE_DIR "/weather/normals.csv"

static inline pinery_weather *year_weather(const char *place) {
    pinery_error error = {0};
    pinery_weather *weather = NULL;
    if (pinery_weather_generate(YEAR_NORMALS, place, 7, &weather, &error))
        fail_msg("%s", error.text);
    return weather;
}

/* Part of a year, after three days to settle. */
static inline pinery_options year_span(double first_day, double days) {
    pinery_options options;
    pinery_options_default(&options);
    options.first_day = first_day;
    options.days = days;
    options.spin_up = 3.0;
    return options;
}

/* Three drives, two of the cloths exclusive, both pipe circuits, two lamp groups, both fans, everything that takes
 * moisture out, walls. */
static inline pinery_house year_house_full(void) {
    pinery_house house;
    pinery_house_default(&house);
    house.length = 40.0;
    house.width = 24.0;
    house.drives = 3;
    for (int d = 0; d < 3; d++) {
        memset(&house.drive[d], 0, sizeof house.drive[d]);
        pinery_fields_default(&pinery_drive_fields, &house.drive[d]);
        for (int c = 0; c < 2; c++)
            pinery_fields_default(&pinery_cloth_fields, &house.drive[d].cloth[c]);
    }
    house.drive[1].cloths = 2;
    house.drive[1].cloth[1].emissivity_up = 0.1;
    house.drive[1].cloth[1].longwave_transmittance = 0.0;
    house.drive[2].cloth[0].passes_water = false;
    house.pipe_lower.length = 1.25;
    house.pipe_upper.length = 0.6;
    house.pipe_upper.diameter = 0.035;
    house.lamp[0].power = 60.0;
    house.lamp[1].power = 15.0;
    house.lamp[1].place = 1;
    house.fan_through.flow = 2500.0 / 3600.0;
    house.fan_circulation.flow = 5000.0 / 3600.0;
    return house;
}

/* The same with everything that takes moisture out, everything that gives heat, and carbon dioxide worked out. */
static inline pinery_house year_house_devices(void) {
    pinery_house house = year_house_full();
    house.duct.flow = house.recovery.flow = 1.0;
    house.dehumidifier.cooling = 25000.0;
    house.dehumidifier.heat_to = 1;
    house.desiccant.flow = 1.0;
    house.desiccant.recovered = 0.3;
    house.tank.volume = 0.015;
    house.cogeneration.power = 20.0;
    house.bought_heat.heat = 15.0;
    house.heat_pump.heat = 20.0;
    house.electric_boiler.heat = 10.0;
    house.carbon.balance = true;
    house.carbon.most = 4e-6;
    return house;
}

/* The first with one cloth and no walls, lamps or fans. */
static inline pinery_house year_house_plain(void) {
    pinery_house house;
    pinery_house_default(&house);
    house.walls = false;
    house.drives = 1;
    memset(&house.drive[0], 0, sizeof house.drive[0]);
    pinery_fields_default(&pinery_drive_fields, &house.drive[0]);
    pinery_fields_default(&pinery_cloth_fields, &house.drive[0].cloth[0]);
    house.pipe_lower.length = 1.25;
    return house;
}

#endif
