/* What can be read off the house at a moment: the tick for the ledger and what a strategy sees. */
#include "year/readings.h"

#include "air/psychro.h"
#include "base/smooth.h"
#include "equip/lamps.h"
#include "year/wide.h"

/* Where saturation is asked for: three airs, the air seen and outside, and the two airs of the crop made colder by 1, 2
 * and 3 K; one more makes it as many as go side by side. */
enum { LOWER, UPPER, ROOF, SEEN, OUTSIDE, COLDER, COLDS = 3, PLACES = COLDER + 2 * COLDS + 1 };

PINERY_YEAR_WIDE static void saturation(const double *restrict T, double *restrict e) {
    PINERY_YEAR_EACH
    for (int i = 0; i < PLACES; i++) {
        double slope;
        e[i] = pinery_base_exp(pinery_air_ln_saturation(T[i], &slope));
    }
}

/* Dew points by the same curve, a few side by side. */
enum { DEWS = PINERY_YEAR_BLOCK };

PINERY_YEAR_WIDE static void dew_points(const double *restrict e, double *restrict T) {
    PINERY_YEAR_EACH
    for (int i = 0; i < DEWS; i++)
        T[i] = pinery_air_dew_point_smooth(pinery_base_ln(e[i]));
}

static void saturate(const struct pinery_year_work *work, double e[PLACES]) {
    const struct pinery_year_state *s = &work->state;
    double T[PLACES] = {[LOWER] = s->T[NODE_AIR_LOWER],
                        [UPPER] = s->T[NODE_AIR_UPPER],
                        [ROOF] = s->T[work->model->roof_air],
                        [SEEN] = s->seen,
                        [OUTSIDE] = s->out.temperature};
    for (int i = 0; i < COLDS; i++) {
        T[COLDER + 2 * i] = T[LOWER] - (i + 1);
        T[COLDER + 2 * i + 1] = T[UPPER] - (i + 1);
    }
    saturation(T, e);
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
    for (int g = 0; g < PINERY_LAMPS; g++) {
        double lit = work->state.act[ACT_LAMP + g];
        if (lit > 0.0 && work->model->house.lamp[g].power > 0.0)
            light +=
                pinery_equip_lamp_run(&work->model->house.lamp[g], 1.0).photon_flux * work->stack.lamp_par[g] * lit;
    }
    return light;
}

void pinery_year_readings(const struct pinery_year_work *work, double reading[PINERY_N_READINGS]) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    double sat[PLACES];
    saturate(work, sat);
    const double e[2] = {s->e[NODE_AIR_LOWER], s->e[NODE_AIR_UPPER]};
    double dew[DEWS];
    dew_points((const double[DEWS]){e[0], e[1], e[0], e[1]}, dew);
    double held = pinery_air_absolute_humidity(s->seen, s->seen_e);
    double roof = s->T[model->roof_air], roof_e = s->e[model->roof_air];
#define READ(key, value) reading[PINERY_READING_##key] = (value)
    READ(air_lower, s->T[NODE_AIR_LOWER]);
    READ(air_upper, s->T[NODE_AIR_UPPER]);
    READ(air_roof, roof);
    READ(air_seen, s->seen);
    READ(heating, work->orders.heating);
    READ(humidity_lower, 100.0 * e[0] / sat[LOWER]);
    READ(humidity_upper, 100.0 * e[1] / sat[UPPER]);
    READ(humidity_roof, 100.0 * roof_e / sat[ROOF]);
    READ(humidity_sensor, 100.0 * s->seen_e / sat[SEEN]);
    for (int i = 0; i < COLDS; i++) { /* in the moister of the two */
        double lower = e[0] / sat[COLDER + 2 * i], upper = e[1] / sat[COLDER + 2 * i + 1];
        reading[PINERY_READING_humidity_colder_1 + i] = 100.0 * (lower > upper ? lower : upper);
    }
    READ(vapour_deficit, sat[SEEN] - s->seen_e);
    READ(humidity_deficit, 1e3 * (pinery_air_absolute_humidity(s->seen, sat[SEEN]) - held));
    READ(absolute_humidity, 1e3 * held);
    READ(absolute_humidity_roof, 1e3 * pinery_air_absolute_humidity(roof, roof_e));
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
    READ(outside_humidity, 100.0 * s->out.vapour_pressure / sat[OUTSIDE]);
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
    PINERY_YEAR_UNROLL
    for (int i = 0; i < at->heats; i++)
        tick->heat[at->heat_of[i]] = *total++;
    PINERY_YEAR_UNROLL
    for (int i = 0; i < at->waters; i++)
        tick->water[at->water_of[i]] = *total++;
    PINERY_YEAR_UNROLL
    for (int i = 0; i < at->meters; i++)
        tick->meter[at->meter_of[i]] = *total++;
    pinery_year_stored(work->model, y, &tick->stored_heat, &tick->stored_water);
}
