/* Flows of the house as functions of table rows. */
#include <math.h>

#include "air/psychro.h"
#include "house/cloth_air.h"
#include "house/convection.h"
#include "house/ground.h"
#include "house/moisture.h"
#include "house/vents.h"
#include "tables.h"

static double outside_bot(const double *in) {
    return pinery_house_convect_outside(PINERY_HOUSE_WIND_BOT, in[0]);
}

static double outside_mcadams(const double *in) {
    return pinery_house_convect_outside(PINERY_HOUSE_WIND_MCADAMS, in[0]);
}

static double outside_watmuff(const double *in) {
    return pinery_house_convect_outside(PINERY_HOUSE_WIND_WATMUFF, in[0]);
}

static double outside_papadakis(const double *in) {
    return pinery_house_convect_outside(PINERY_HOUSE_WIND_PAPADAKIS, in[0]);
}

static double outside_wall(const double *in) {
    return pinery_house_convect_wall_outside(in[0]);
}

static double level(const double *in) {
    return pinery_house_convect_level(in[0], in[1]).coefficient.value;
}

static double roof_per_floor(const double *in) {
    double tilt = in[2] * 3.14159265358979323846 / 180;
    return pinery_house_convect_roof(in[0], in[1], pinery_house_roof_steepness(tilt)).coefficient.value / cos(tilt);
}

static double condensation(const double *in) {
    return pinery_house_vapour_to_surface(in[0], in[1], in[2], in[3], 0, 0.01).flux;
}

static double fabric(const double *in) {
    return pinery_house_fabric_exchange(in[0], in[1], in[2]).value;
}

static double permeability(const double *in) {
    return pinery_house_fabric_permeability(in[0]);
}

static double inertia(const double *in) {
    return pinery_house_fabric_inertia(in[0]);
}

static double square_opening(const double *in) {
    return pinery_house_edge_exchange(PINERY_HOUSE_SLIT_EPSTEIN, 1, in[2], in[0], in[1]).value * in[2] * in[2];
}

static double slit_speed(const double *in) {
    return pinery_house_edge_exchange(PINERY_HOUSE_SLIT_MIGUEL, 1, in[2], in[0], in[1]).value;
}

static double opening(const double *in) {
    return pinery_house_opening_flow(in[0], in[1], in[2], in[3], in[4], in[5], in[6]).value;
}

static double leakage_per_hour(const double *in) {
    return pinery_house_leakage(in[0], in[1], in[2], in[3]).value * 3600;
}

/* Heat that a change of air takes, W, by changes an hour, volume, m3, temperature in and out, degC; the air dry, at 20
 * degC. */
static double air_change(const double *in) {
    double density = pinery_air_dry_density(20, 0, 101325);
    return in[0] * in[1] / 3600 * density * PINERY_AIR_HEAT_DRY * (in[2] - in[3]);
}

static double slab_dimension(const double *in) {
    return pinery_house_slab_loss(in[0], in[1], in[2], in[3], in[4], in[5], in[6]).dimension;
}

static double slab_equivalent(const double *in) {
    return pinery_house_slab_loss(in[0], in[1], in[2], in[3], in[4], in[5], in[6]).equivalent;
}

static double slab(const double *in) {
    return pinery_house_slab_loss(in[0], in[1], in[2], in[3], in[4], in[5], in[6]).coefficient;
}

static double damping_depth(const double *in) {
    return pinery_house_ground_damping_depth(in[0], in[1] * 86400);
}

static double ground_wave(const double *in) {
    return pinery_house_ground_wave(0, 1, 0, in[1] * 86400, in[2], in[0], in[3] * 86400);
}

const struct table_function tables_house_flows[] = {
    {"outside_bot", 1, outside_bot},
    {"outside_mcadams", 1, outside_mcadams},
    {"outside_watmuff", 1, outside_watmuff},
    {"outside_papadakis", 1, outside_papadakis},
    {"outside_wall", 1, outside_wall},
    {"level", 2, level},
    {"roof_per_floor", 3, roof_per_floor},
    {"condensation", 4, condensation},
    {"fabric", 3, fabric},
    {"permeability", 1, permeability},
    {"inertia", 1, inertia},
    {"square_opening", 3, square_opening},
    {"slit_speed", 3, slit_speed},
    {"opening", 7, opening},
    {"leakage_per_hour", 4, leakage_per_hour},
    {"air_change", 4, air_change},
    {"slab_dimension", 7, slab_dimension},
    {"slab_equivalent", 7, slab_equivalent},
    {"slab", 7, slab},
    {"damping_depth", 2, damping_depth},
    {"ground_wave", 4, ground_wave},
    {0, 0, 0},
};
