/* By which way heat leaves a house, so that the boiler's heat is their sum:
 *
 *   boiler = what goes out + what is kept - what else comes in
 *
 * Every heading at the border of the house is in exactly one path. Of the air that goes through vents and leaks, the
 * heat in its vapour (2.501 MJ/kg, that of evaporating water at 0 degC, which the books count heat from) is a path of
 * its own: it was taken from the house where the water evaporated. What is within the house is no path: it is in series
 * with these. */
#include "pinery/study.h"

static const double vapour_heat = 2.501e6; /* J/kg, Hyland and Wexler 1983; as in the enthalpy of moist air */

static const pinery_name names[] = {
    [PINERY_STUDY_SKY] = {"sky", "MJ/m2", "long wave to the sky"},
    [PINERY_STUDY_WIND] = {"wind", "MJ/m2", "wind on the cover"},
    [PINERY_STUDY_VENTS] = {"vents", "MJ/m2", "warmth through the vents"},
    [PINERY_STUDY_LEAKS] = {"leaks", "MJ/m2", "warmth through leaks"},
    [PINERY_STUDY_VAPOUR] = {"vapour", "MJ/m2", "vapour through vents and leaks"},
    [PINERY_STUDY_WALLS] = {"walls", "MJ/m2", "gables and sides"},
    [PINERY_STUDY_NEIGHBOURS] = {"neighbours", "MJ/m2", "inner walls to the rooms next door"},
    [PINERY_STUDY_GROUND] = {"ground", "MJ/m2", "ground"},
    [PINERY_STUDY_WATER] = {"water", "MJ/m2", "run-off and drain, less the supply"},
    [PINERY_STUDY_SUN] = {"sun", "MJ/m2", "sun taken up, less"},
    [PINERY_STUDY_LAMPS] = {"lamps", "MJ/m2", "lamps, less"},
    [PINERY_STUDY_FANS] = {"fans", "MJ/m2", "fans, less"},
    [PINERY_STUDY_DRYING] = {"drying", "MJ/m2", "air by duct, recovery, dehumidifiers, brine"},
    [PINERY_STUDY_STORED] = {"stored", "MJ/m2", "kept in house and ground"},
    [PINERY_STUDY_OTHER] = {"other", "MJ/m2", "other"},
};

static enum pinery_study_path path_of(pinery_heading heading) {
    switch (heading) {
    case PINERY_HEADING_cover_sky:
    case PINERY_HEADING_through_sky:
    case PINERY_HEADING_cloths_sky:
        return PINERY_STUDY_SKY;
    case PINERY_HEADING_cover_wind:
        return PINERY_STUDY_WIND;
    case PINERY_HEADING_vents:
        return PINERY_STUDY_VENTS;
    case PINERY_HEADING_leakage:
        return PINERY_STUDY_LEAKS;
    case PINERY_HEADING_wall_out:
        return PINERY_STUDY_WALLS;
    case PINERY_HEADING_neighbours:
        return PINERY_STUDY_NEIGHBOURS;
    case PINERY_HEADING_ground:
    case PINERY_HEADING_slab_edge:
        return PINERY_STUDY_GROUND;
    case PINERY_HEADING_run_off:
    case PINERY_HEADING_drain:
    case PINERY_HEADING_water_supply:
        return PINERY_STUDY_WATER;
    case PINERY_HEADING_sun_cover:
    case PINERY_HEADING_sun_cloths:
    case PINERY_HEADING_sun_structure:
    case PINERY_HEADING_sun_canopy:
    case PINERY_HEADING_sun_floor:
        return PINERY_STUDY_SUN;
    case PINERY_HEADING_lamp_body:
    case PINERY_HEADING_lamp_light:
        return PINERY_STUDY_LAMPS;
    case PINERY_HEADING_fan_heat:
        return PINERY_STUDY_FANS;
    case PINERY_HEADING_duct_air:
    case PINERY_HEADING_recovery_air:
    case PINERY_HEADING_dehumidifier_water:
    case PINERY_HEADING_desiccant_water:
    case PINERY_HEADING_drying_power:
    case PINERY_HEADING_desiccant_heat:
        return PINERY_STUDY_DRYING;
    default:
        return PINERY_STUDY_OTHER;
    }
}

const pinery_name *pinery_study_path_name(pinery_study_path path) {
    return path >= 0 && path < PINERY_STUDY_N_PATHS ? &names[path] : NULL;
}

void pinery_study_paths(const double heat[], const double water[], double stored_heat, double path[]) {
    for (int i = 0; i < PINERY_STUDY_N_PATHS; i++) {
        path[i] = 0.0;
    }
    path[PINERY_STUDY_STORED] = stored_heat;
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        pinery_side side = pinery_heading_side((pinery_heading)i);
        bool boiler = i == PINERY_HEADING_heat_lower || i == PINERY_HEADING_heat_upper || i == PINERY_HEADING_duct_coil;
        if (side == PINERY_SIDE_WITHIN || boiler) {
            continue;
        }
        enum pinery_study_path to = path_of((pinery_heading)i);
        double flow = side == PINERY_SIDE_OUT ? heat[i] : -heat[i], vapour = 0.0;
        if (to == PINERY_STUDY_VENTS || to == PINERY_STUDY_LEAKS) {
            vapour = vapour_heat * water[i];
        }
        path[to] += flow - vapour;
        path[PINERY_STUDY_VAPOUR] += vapour;
    }
}
