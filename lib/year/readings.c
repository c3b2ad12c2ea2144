/* What can be read off the house at a moment: the tick for the ledger and what a strategy sees. */
#include "year/readings.h"

#include "air/psychro.h"
#include "equip/lamps.h"

static double humidity(const struct pinery_year_state *s, int air) {
    double slope;
    return 100.0 * s->e[air] / pinery_air_saturation(s->T[air], &slope);
}

/* Relative humidity in a place that is colder than lower and upper air, in the moister of the two. */
static double humidity_colder(const struct pinery_year_state *s, double by) {
    double slope, lower = s->e[NODE_AIR_LOWER] / pinery_air_saturation(s->T[NODE_AIR_LOWER] - by, &slope);
    double upper = s->e[NODE_AIR_UPPER] / pinery_air_saturation(s->T[NODE_AIR_UPPER] - by, &slope);
    return 100.0 * (lower > upper ? lower : upper);
}

/* How much warmer the colder of two places is than the dew point of its air. */
static double over_dew(const struct pinery_year_state *s, int lower, int upper, const double dew[2]) {
    double below = s->T[lower] - dew[0], above = s->T[upper] - dew[1];
    return below < above ? below : above;
}

static double positive(double x) {
    return x > 0.0 ? x : 0.0;
}

double pinery_year_lamp_light(const struct pinery_year_work *work) {
    double light = 0.0;
    for (int g = 0; g < PINERY_LAMPS; g++)
        if (work->model->house.lamp[g].power > 0.0)
            light += pinery_equip_lamp_run(&work->model->house.lamp[g], 1.0).photon_flux * work->stack.lamp_par[g] *
                     positive(work->state.act[ACT_LAMP + g]);
    return light;
}

void pinery_year_readings(const struct pinery_year_work *work, double reading[PINERY_N_READINGS]) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    double slope, saturation = pinery_air_saturation(s->seen, &slope);
    const double dew[2] = {pinery_air_dew_point(s->e[NODE_AIR_LOWER]), pinery_air_dew_point(s->e[NODE_AIR_UPPER])};
    double held = pinery_air_absolute_humidity(s->seen, s->seen_e);
#define READ(key, value) reading[PINERY_READING_##key] = (value)
    READ(air_lower, s->T[NODE_AIR_LOWER]);
    READ(air_upper, s->T[NODE_AIR_UPPER]);
    READ(air_roof, s->T[model->roof_air]);
    READ(air_seen, s->seen);
    READ(heating, work->orders.heating);
    READ(humidity_lower, humidity(s, NODE_AIR_LOWER));
    READ(humidity_upper, humidity(s, NODE_AIR_UPPER));
    READ(humidity_roof, humidity(s, model->roof_air));
    READ(humidity_sensor, 100.0 * s->seen_humidity);
    READ(humidity_colder_1, humidity_colder(s, 1.0));
    READ(humidity_colder_2, humidity_colder(s, 2.0));
    READ(humidity_colder_3, humidity_colder(s, 3.0));
    READ(vapour_deficit, saturation - s->seen_e);
    READ(humidity_deficit, 1e3 * (pinery_air_absolute_humidity(s->seen, saturation) - held));
    READ(absolute_humidity, 1e3 * held);
    READ(absolute_humidity_roof, 1e3 * pinery_air_absolute_humidity(s->T[model->roof_air], s->e[model->roof_air]));
    READ(dew_margin, over_dew(s, NODE_CANOPY_LOWER, NODE_CANOPY_UPPER, dew));
    READ(dew_margin_air, over_dew(s, NODE_AIR_LOWER, NODE_AIR_UPPER, dew));
    READ(canopy_lower, s->T[NODE_CANOPY_LOWER]);
    READ(canopy_upper, s->T[NODE_CANOPY_UPPER]);
    READ(cover, s->T[NODE_COVER]);
    READ(floor, s->T[NODE_SOIL]);
    READ(pipe_lower, model->house.pipe_lower.length > 0.0 ? s->T[NODE_PIPE_LOWER] : NAN);
    READ(pipe_upper, model->house.pipe_upper.length > 0.0 ? s->T[NODE_PIPE_UPPER] : NAN);
    READ(lamp_body, model->house.lamp[0].power > 0.0 ? s->T[NODE_LAMP] : NAN);
    READ(end_to_end, s->end_to_end);
    READ(crop_wetness, positive(s->water[NODE_CANOPY_LOWER]) + positive(s->water[NODE_CANOPY_UPPER]));
    READ(cover_film, positive(s->water[NODE_COVER]));
    READ(light_crop, s->light_crop * PINERY_YEAR_SUN_PHOTONS + pinery_year_lamp_light(work));
    READ(leaf_area, s->leaf_area);
    for (int d = 0; d < PINERY_DRIVES; d++) {
        reading[PINERY_READING_cloth_1 + d] = d < model->drives ? s->act[ACT_CLOTH + d] : NAN;
        reading[PINERY_READING_slit_1 + d] = d < model->drives ? s->act[ACT_SLIT + d] : NAN;
    }
    READ(vent_lee, s->act[ACT_VENT_LEE]);
    READ(vent_wind, s->act[ACT_VENT_WIND]);
    for (int g = 0; g < PINERY_LAMPS; g++)
        reading[PINERY_READING_lamp_1 + g] = s->act[ACT_LAMP + g];
    READ(fan_through, s->act[ACT_FAN_THROUGH]);
    READ(fan_circulation, s->act[ACT_FAN_CIRCULATION]);
    READ(co2, s->co2);
    READ(cogeneration, s->act[ACT_SOURCE + PINERY_COGENERATION]);
    const pinery_tank *tank = &model->house.tank;
    READ(tank, tank->volume > 0.0 ? s->T[NODE_TANK] : NAN);
    READ(tank_fill, tank->volume > 0.0 ? (s->T[NODE_TANK] - tank->cold) / (tank->hot - tank->cold) : NAN);
    READ(duct, s->act[ACT_DRYING + PINERY_DUCT]);
    READ(recovery, s->act[ACT_DRYING + PINERY_RECOVERY]);
    READ(dehumidifier, s->act[ACT_DRYING + PINERY_DEHUMIDIFIER]);
    READ(desiccant, s->act[ACT_DRYING + PINERY_DESICCANT]);
    READ(outside, s->out.temperature);
    READ(outside_humidity, 100.0 * s->out.vapour_pressure / pinery_air_saturation(s->out.temperature, &slope));
    READ(outside_global, s->out.global);
    READ(outside_infrared, s->out.infrared);
    READ(outside_wind, s->out.wind_station);
    READ(outside_snow, 0.0); /* by record, filled in by the run */
#undef READ
}

void pinery_year_tick(const struct pinery_year_work *work, double time_s, const double *y, pinery_tick *tick) {
    const struct pinery_year_layout *at = &work->model->at;
    tick->time_s = time_s;
    const double *total = y + at->n; /* what a house has none of is not among the unknowns, and stays nothing */
    for (int i = 0; i < at->heats; i++)
        tick->heat[at->heat_of[i]] = *total++;
    for (int i = 0; i < at->waters; i++)
        tick->water[at->water_of[i]] = *total++;
    for (int i = 0; i < at->meters; i++)
        tick->meter[at->meter_of[i]] = *total++;
    pinery_year_stored(work->model, y, &tick->stored_heat, &tick->stored_water);
}
