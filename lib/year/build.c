/* From a house to a model: geometry, capacities, soil, and the light of every weather record behind the cover.
 *
 * Air is counted by its dry mass, which stays with its node whatever the temperature: flows between airs exchange equal
 * dry masses, and the density of a flow is that of 20 degC at the site's pressure (an error under 3 % of the flow
 * between 10 and 28 degC, the usual approximation for ventilation). */
#include <stdlib.h>

#include "air/psychro.h"
#include "base/error.h"
#include "equip/carbon.h"
#include "equip/pipes.h"
#include "equip/tank.h"
#include "house/convection.h"
#include "house/glazing.h"
#include "house/house.h"
#include "house/moisture.h"
#include "sky/weather.h"
#include "year/layout.h"
#include "year/model.h"

static const double rad = 3.14159265358979323846 / 180.0;

static double mean_of(const double *values, int n) {
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += values[i];
    return sum / n;
}

static void optics_of(const pinery_cover *cover, struct pinery_house_optics *optics) {
    if (cover->optics == 0) {
        pinery_house_optics_glass(
            &(struct pinery_house_glass){cover->refractive_index, cover->extinction, cover->thickness, cover->panes},
            optics);
    } else {
        pinery_house_optics_table(
            &(struct pinery_house_transmit_table){{cover->transmittance_0, cover->transmittance_40,
                                                   cover->transmittance_55, cover->transmittance_70,
                                                   cover->transmittance_80},
                                                  cover->absorptance,
                                                  cover->panes},
            optics);
    }
}

/* Gables with their triangles and sides, as planes of the house's own floor. */
static void prepare_roof(struct pinery_year_model *model) {
    const pinery_house *house = &model->house;
    struct pinery_house_optics cover, wall;
    struct pinery_house_shape shape = {.slope = model->tilt,
                                       .ridge_azimuth = house->ridge_azimuth * rad,
                                       .structure = house->structure_shade,
                                       .haze = house->cover.haze,
                                       .ground_albedo = 0.2};
    optics_of(&house->cover, &cover);
    optics_of(&house->wall, &wall);
    if (house->walls) {
        double gable = house->width * (house->gutter_height + 0.25 * house->span * tan(model->tilt)) / model->area;
        double side = house->length * house->gutter_height / model->area;
        double outer = 1.0 - house->inner_wall_share;
        shape.n_walls = outer > 0.0 ? 4 : 0;
        for (int i = 0; i < 4; i++)
            shape.wall[i] =
                (struct pinery_house_wall){outer * (i % 2 ? side : gable), (house->ridge_azimuth + 90.0 * i) * rad};
        model->wall_area = 2.0 * (gable + side) * outer;
        model->inner_wall_area = 2.0 * (gable + side) * house->inner_wall_share;
    }
    pinery_house_roof_prepare(&shape, &cover, &wall, &model->roof);
}

static pinery_status light_of_year(struct pinery_year_model *model, pinery_error *error) {
    const pinery_weather *weather = model->weather;
    size_t n = (size_t)weather->n;
    double *store = malloc(6 * n * sizeof *store);
    if (!store)
        return pinery_base_fail(error, PINERY_MEMORY, "no memory for the light of %d weather records", weather->n);
    model->light =
        (struct pinery_year_light){store, store + n, store + 2 * n, store + 3 * n, store + 4 * n, store + 5 * n};
    for (size_t i = 0; i < n; i++) {
        struct pinery_house_sun sun = {weather->column[PINERY_WEATHER_sun_elevation][i] * rad,
                                       weather->column[PINERY_WEATHER_sun_azimuth][i] * rad,
                                       weather->column[PINERY_WEATHER_beam_normal][i],
                                       weather->column[PINERY_WEATHER_diffuse][i]};
        /* the mean of the beam on the horizontal is what the file says it is, not what a mean direction makes of it */
        double horizontal = weather->column[PINERY_WEATHER_global][i] - weather->column[PINERY_WEATHER_diffuse][i];
        if (sun.elevation > 0.01)
            sun.beam_normal = fmax(0.0, horizontal) / sin(sun.elevation);
        else
            sun.beam_normal = 0.0;
        struct pinery_house_sunlight light = pinery_house_sunlight(&model->roof, &sun);
        model->light.beam[i] = light.beam;
        model->light.diffuse[i] = light.diffuse;
        model->light.cover[i] = light.cover_absorbed - light.inner_absorbed;
        model->light.inner[i] = light.inner_absorbed;
        model->light.wall[i] = light.wall_absorbed;
        /* a record of an hour in which the sun rises or sets: it climbs some 10 degrees an hour */
        model->light.day[i] = fmin(1.0, fmax(0.0, 0.5 + sun.elevation / (10.0 * rad)));
    }
    return PINERY_OK;
}

static void airs(struct pinery_year_model *model) {
    const pinery_house *house = &model->house;
    double roof_height = house->gutter_height + 0.25 * house->span * tan(model->tilt); /* mean of the roof space */
    double floor_to[PINERY_YEAR_N_AIRS + 1];
    int n = 2 + house->drives;
    floor_to[0] = 0.0;
    floor_to[1] = house->split_height;
    for (int d = 0; d < house->drives; d++)
        floor_to[2 + d] = house->drive[d].height;
    floor_to[n] = roof_height;
    model->roof_air = n - 1;
    model->crop_height = floor_to[2];
    model->wall_low = house->split_height / house->gutter_height;
    for (int i = 0; i < n; i++)
        model->store[NODE_AIR_LOWER + i] = (struct pinery_year_store){
            .capacity = model->density * (floor_to[i + 1] - floor_to[i]) * PINERY_AIR_HEAT_DRY,
            .latent = PINERY_AIR_LATENT,
            .heat = PINERY_AIR_HEAT_VAPOUR,
            .air = model->density * (floor_to[i + 1] - floor_to[i])};
    for (int i = 0; i < 2; i++) /* what stands in the house goes with the air it stands in */
        model->store[NODE_AIR_LOWER + i].capacity +=
            house->interior_capacity * (floor_to[i + 1] - floor_to[i]) / floor_to[2];
}

static void solids(struct pinery_year_model *model) {
    const pinery_house *house = &model->house;
    struct pinery_year_store *store = model->store;
    double lower = house->crop.lower_share, leaf = house->crop.leaf_mass * 3800.0 * house->crop.leaf_area;
    /* the leaves' own heat: fresh mass, 90 % water, 3800 J/(kg K) (from memory); that of the table's leaf area all year
     */
    store[NODE_CANOPY_LOWER].capacity = leaf * lower;
    store[NODE_CANOPY_UPPER].capacity = leaf * (1.0 - lower);
    for (int d = 0; d < house->drives; d++)
        store[NODE_CLOTH + d].capacity =
            fmax(house->drive[d].cloth[0].heat_capacity,
                 house->drive[d].cloths > 1 ? house->drive[d].cloth[1].heat_capacity : 0.0);
    double cover = house->cover.heat_capacity * model->cover_area / house->cover.panes;
    store[NODE_COVER].capacity = store[NODE_COVER_OUTER].capacity = cover;
    store[NODE_WALL].capacity = house->wall.heat_capacity * model->wall_area;
    store[NODE_PIPE_LOWER].capacity =
        house->pipe_lower.length * pinery_equip_pipe_capacity(house->pipe_lower.diameter, house->pipe_lower.wall);
    store[NODE_PIPE_UPPER].capacity =
        house->pipe_upper.length * pinery_equip_pipe_capacity(house->pipe_upper.diameter, house->pipe_upper.wall);
    store[NODE_TANK].capacity = pinery_equip_tank_capacity(&house->tank);
    model->tank_loss = house->tank.volume > 0.0 ? pinery_equip_tank_loss(&house->tank, model->area) : 0.0;
    model->pipe_area[0] = house->pipe_lower.length * pinery_equip_pipe_area(house->pipe_lower.diameter);
    model->pipe_area[1] = house->pipe_upper.length * pinery_equip_pipe_area(house->pipe_upper.diameter);
    /* a lamp's body gives off its heat some 40 K over the air, and takes ten minutes to warm up (from memory,
     * unverified); the balance of power does not depend on either */
    for (int i = 0; i < PINERY_LAMPS; i++) {
        const pinery_lamp *lamp = &house->lamp[i];
        double body = lamp->power * (1.0 - lamp->light_share - lamp->nir_share - lamp->longwave_share);
        model->lamp_loss[i] = fmax(body / 40.0, 0.01);
        store[NODE_LAMP + i].capacity = 600.0 * model->lamp_loss[i];
    }
    for (int node = NODE_AIR_ABOVE + PINERY_DRIVES; node < PINERY_YEAR_N_NODES; node++)
        store[node].heat = PINERY_YEAR_WATER_HEAT;
}

/* Layers fine at the top, the slab's edge by ISO 13370 as conductance beside the column. */
static void soil(struct pinery_year_model *model) {
    const pinery_house *house = &model->house;
    const double inside = 0.17; /* m2 K/W, surface resistance downward, ISO 6946 */
    struct pinery_house_ground ground;
    pinery_house_ground_layers(house->soil_layers, house->soil_depth, pinery_house_ground_first(house->soil_layers),
                               house->soil_conductivity, house->soil_capacity, &ground);
    double column = inside, extra = 0.0;
    for (int i = 0; i < ground.n; i++)
        column += 1.0 / ground.conductance[i];
    double exposed = house->walls ? 2.0 * (house->length + house->width) * (1.0 - house->inner_wall_share) : 0.0;
    if (exposed > 0.0) {
        struct pinery_house_slab slab =
            pinery_house_slab_loss(model->area, exposed, 0.3, house->soil_conductivity, 0.0, inside, 0.04);
        struct pinery_house_ground_split split = pinery_house_ground_edge(slab.coefficient, column, inside);
        model->edge = split.edge;
        extra = split.bottom;
    }
    for (int i = 0; i < ground.n; i++) {
        model->store[NODE_SOIL + i].capacity = ground.capacity[i];
        model->soil_between[i] = ground.conductance[i];
    }
    model->soil_between[ground.n - 1] = 1.0 / (1.0 / ground.conductance[ground.n - 1] + extra);
}

static void list_unknowns(struct pinery_year_model *model) {
    const struct pinery_year_layout *at = &model->at;
    for (int k = 0; k < PINERY_YEAR_WET; k++) {
        const struct pinery_year_store none = {.capacity = 1.0};
        const struct pinery_year_store *store = k < at->wet ? &model->store[at->node[k]] : &none;
        model->wet.capacity[k] = store->capacity;
        model->wet.latent[k] = store->latent;
        model->wet.heat[k] = store->heat;
        if (k < at->wet && at->node[k] >= PINERY_YEAR_N_AIRS)
            model->face[model->faces++] = at->node[k];
    }
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        if (at->act[act] != at->sink)
            model->act[model->acts++] = act;
}

static void invert(struct pinery_year_model *model) {
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++) {
        struct pinery_year_store *store = &model->store[node];
        store->per_air = store->air > 0.0 ? 1.0 / store->air : 0.0;
        store->per_capacity = 1.0 / store->capacity; /* of what is not there, infinite, and not asked for */
    }
}

/* A machine of some size comes to its duty in its run time; one of none has no motor. */
static void motor(struct pinery_year_model *model, int act, double size, double run_time) {
    if (size > 0.0)
        model->act_speed[act] = 1.0 / run_time;
}

static void speeds(struct pinery_year_model *model) {
    const pinery_house *house = &model->house;
    for (int d = 0; d < house->drives; d++)
        model->act_speed[ACT_CLOTH + d] = model->act_speed[ACT_SLIT + d] = 1.0 / house->drive[d].run_time;
    model->act_speed[ACT_VENT_LEE] = model->act_speed[ACT_VENT_WIND] = 1.0 / house->vent_run_time;
    for (int i = 0; i < PINERY_LAMPS; i++)
        motor(model, ACT_LAMP + i, house->lamp[i].power, house->lamp[i].run_time);
    model->act_speed[ACT_FAN_THROUGH] = 1.0 / house->fan_through.run_time;
    motor(model, ACT_FAN_CIRCULATION, house->fan_circulation.flow, house->fan_circulation.run_time);
    motor(model, ACT_SOURCE + PINERY_COGENERATION, house->cogeneration.power, house->cogeneration.run_time);
    motor(model, ACT_SOURCE + PINERY_BOUGHT, house->bought_heat.heat, house->bought_heat.run_time);
    motor(model, ACT_SOURCE + PINERY_HEAT_PUMP, house->heat_pump.heat, house->heat_pump.run_time);
    motor(model, ACT_SOURCE + PINERY_ELECTRIC, house->electric_boiler.heat, house->electric_boiler.run_time);
    motor(model, ACT_DRYING + PINERY_DUCT, house->duct.flow, house->duct.run_time);
    motor(model, ACT_DRYING + PINERY_RECOVERY, house->recovery.flow, house->recovery.run_time);
    motor(model, ACT_DRYING + PINERY_DEHUMIDIFIER, house->dehumidifier.cooling, house->dehumidifier.run_time);
    motor(model, ACT_DRYING + PINERY_DESICCANT, house->desiccant.flow, house->desiccant.run_time);
}

/* A cloth before a wall and the gap of a double one are resistances in series with what reaches it from inside: with
 * convection and long wave together about 8 W/(m2 K). */
static double wall_reach(const struct pinery_year_model *model) {
    double resistance = model->house.wall_cloth_resistance;
    if (model->house.wall.panes > 1)
        resistance += 1.0 / pinery_house_gap_conductance(model->house.wall.gap, model->house.wall.gap_emissivity,
                                                         model->house.wall.gap_emissivity, 10.0, 15.0, 90.0);
    return 1.0 / (1.0 + 8.0 * resistance);
}

pinery_status pinery_year_build(const pinery_weather *weather, const pinery_house *house,
                                struct pinery_year_model *model, pinery_error *error) {
    *model = (struct pinery_year_model){.weather = weather, .house = *house, .drives = house->drives};
    pinery_status status = pinery_house_check(house, error);
    if (status)
        return status;
    pinery_house_resolve(&model->house);
    model->two_panes = house->cover.panes > 1;
    model->area = house->length * house->width;
    model->tilt = house->roof_slope * rad;
    model->steepness = pinery_house_roof_steepness(model->tilt);
    model->wall_reach = wall_reach(model);
    model->structure_sun = house->structure_shade * house->structure_heat;
    model->cover_area = 1.0 / cos(model->tilt);
    model->pressure = mean_of(weather->column[PINERY_WEATHER_pressure], weather->n);
    model->density = PINERY_YEAR_AIR_DENSITY * model->pressure / 101325.0;
    model->deep = mean_of(weather->column[PINERY_WEATHER_temperature], weather->n);
    model->leak_area = pinery_house_leak_area(house->leakage, fmax(house->pressure_span, 1e-6));
    model->vents = (struct pinery_house_vents){house->vent_area,      house->vent_flap,     house->vent_angle * rad,
                                               house->vent_discharge, house->vent_wind_lee, house->vent_wind_windward};
    for (int d = 0; d < house->drives; d++)
        for (int i = 0; i < 2; i++) {
            const pinery_cloth *cloth = &model->house.drive[d].cloth[i];
            model->drag[d][i] =
                pinery_house_fabric_drag(cloth->permeability, cloth->inertial_factor, cloth->thickness, model->density);
        }
    model->sources = house->tank.volume > 0.0 || house->cogeneration.power > 0.0 || house->bought_heat.heat > 0.0 ||
                     house->heat_pump.heat > 0.0 || house->electric_boiler.heat > 0.0;
    model->sources = model->sources || (house->carbon.balance && house->carbon.source == 0 && house->carbon.most > 0.0);
    model->by_return = house->boiler.condenser || house->boiler.case_loss > 0.0;
    model->limited = !isnan(house->contract.gas);
    model->gas_limit = model->limited ? house->contract.gas * house->boiler.heating_value : INFINITY;
    model->sources = model->sources || model->by_return || model->limited;
    model->vapour_by_heat = pinery_house_vapour_by_heat(model->pressure);
    model->stomata = pinery_crop_stomata_of(house->crop.resistance_min, house->crop.resistance_night,
                                            house->crop.transpiration_factor);
    prepare_roof(model);
    airs(model);
    for (int i = 0; i <= model->roof_air; i++) /* at 20 degC, as the flows of air are */
        model->per_ppm += model->store[i].air / model->density * pinery_equip_carbon_per_ppm(20.0, model->pressure);
    solids(model);
    soil(model);
    invert(model);
    speeds(model);
    pinery_year_layout_make(model, &model->at);
    list_unknowns(model);
    pinery_year_surfaces_make(model, &model->surfaces);
    pinery_year_streams_make(model, &model->streams);
    pinery_year_moves_make(model, model->move);
    pinery_year_pipes_make(model, &model->pipes);
    return light_of_year(model, error);
}

void pinery_year_unbuild(struct pinery_year_model *model) {
    free(model->light.beam);
    model->light = (struct pinery_year_light){0};
}
