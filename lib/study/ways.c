/* By which way heat leaves the room of the crop. Its border is the plane of the lowest cloth, whether that is drawn or
 * not, or the cover where there is no cloth; gables, sides and ground belong to the room.
 *
 * What goes up past the plane is booked under headings of its own. Of the air that goes up, and of the vapour that
 * condenses on the cloth, the heat in the vapour (2.501 MJ/kg) is a way of its own. What is not a way here is the rest:
 * sun and lamps taken up in the room (which count as less), fans, water, leaks of the walls, and what the room keeps.
 * It is found as the boiler's heat less all others, so that the sum is the boiler's heat. */
#include "pinery/study.h"

static const double vapour_heat = 2.501e6; /* J/kg, Hyland and Wexler 1983; as in the enthalpy of moist air */

static const pinery_name names[] = {
    [PINERY_STUDY_UP_LONGWAVE] = {"longwave", "MJ/m2", "long wave to cloth, cover and sky"},
    [PINERY_STUDY_UP_CLOTH] = {"cloth", "MJ/m2", "warmth of the air to the cloth"},
    [PINERY_STUDY_UP_FABRIC] = {"fabric", "MJ/m2", "warm air through the fabric"},
    [PINERY_STUDY_UP_SLIT] = {"slit", "MJ/m2", "warm air through slits and edges"},
    [PINERY_STUDY_UP_OPEN] = {"open", "MJ/m2", "warm air up while the cloth is open"},
    [PINERY_STUDY_UP_ALONG] = {"along", "MJ/m2", "warm air drawn along by wind"},
    [PINERY_STUDY_UP_FAN] = {"fan", "MJ/m2", "warm air exchanged by fans"},
    [PINERY_STUDY_UP_VAPOUR] = {"vapour", "MJ/m2", "vapour, by all ways up"},
    [PINERY_STUDY_UP_WALLS] = {"walls", "MJ/m2", "gables, sides and inner walls"},
    [PINERY_STUDY_UP_GROUND] = {"ground", "MJ/m2", "ground"},
    [PINERY_STUDY_UP_REST] = {"rest", "MJ/m2", "less sun and lamps; fans, leaks of walls, kept"},
};

const pinery_name *pinery_study_way_name(pinery_study_way way) {
    return way >= 0 && way < PINERY_STUDY_N_WAYS ? &names[way] : NULL;
}

/* A flow of air or vapour under a heading, its vapour apart. */
static void add(const double heat[], const double water[], pinery_heading heading, double *to, double *vapour) {
    double latent = vapour_heat * water[heading];
    *to += heat[heading] - latent;
    *vapour += latent;
}

void pinery_study_ways(const double heat[], const double water[], bool drives, double way[]) {
    static const struct {
        pinery_heading heading;
        pinery_study_way to;
    } past_cloth[] = {{PINERY_HEADING_under_cloth, PINERY_STUDY_UP_CLOTH},
                      {PINERY_HEADING_air_fabric, PINERY_STUDY_UP_FABRIC},
                      {PINERY_HEADING_air_slit, PINERY_STUDY_UP_SLIT},
                      {PINERY_HEADING_air_open, PINERY_STUDY_UP_OPEN},
                      {PINERY_HEADING_air_along, PINERY_STUDY_UP_ALONG},
                      {PINERY_HEADING_air_fan, PINERY_STUDY_UP_FAN}},
      to_cover[] = {{PINERY_HEADING_condensation_cover, PINERY_STUDY_UP_CLOTH},
                    {PINERY_HEADING_vents, PINERY_STUDY_UP_OPEN},
                    {PINERY_HEADING_leakage, PINERY_STUDY_UP_OPEN}};
    for (int i = 0; i < PINERY_STUDY_N_WAYS; i++) {
        way[i] = 0.0;
    }
    double *vapour = &way[PINERY_STUDY_UP_VAPOUR];
    for (size_t i = 0; i < sizeof past_cloth / sizeof *past_cloth; i++) {
        add(heat, water, past_cloth[i].heading, &way[past_cloth[i].to], vapour);
    }
    for (size_t i = 0; !drives && i < sizeof to_cover / sizeof *to_cover; i++) {
        add(heat, water, to_cover[i].heading, &way[to_cover[i].to], vapour);
    }
    way[PINERY_STUDY_UP_CLOTH] += drives ? 0.0 : heat[PINERY_HEADING_convection_cover];
    way[PINERY_STUDY_UP_LONGWAVE] = heat[PINERY_HEADING_longwave_up] + heat[PINERY_HEADING_through_sky];
    way[PINERY_STUDY_UP_WALLS] = heat[PINERY_HEADING_wall_out] + heat[PINERY_HEADING_neighbours];
    way[PINERY_STUDY_UP_GROUND] = heat[PINERY_HEADING_ground] + heat[PINERY_HEADING_slab_edge];
    double sum = 0.0;
    for (int i = 0; i < PINERY_STUDY_UP_REST; i++) {
        sum += way[i];
    }
    way[PINERY_STUDY_UP_REST] = heat[PINERY_HEADING_heat_lower] + heat[PINERY_HEADING_heat_upper] - sum;
}
