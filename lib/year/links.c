#include "year/links.h"

#include "year/model.h"

static uint32_t key(const struct pinery_year_layout *at, int column_of, int heading, int from, int to) {
    return pinery_year_slope_flow(PINERY_YEAR_SLOPE_HEAT, at->heat[column_of], heading, from, to);
}

int pinery_year_links_add(struct pinery_year_links *links, const struct pinery_year_layout *at, int heading, int from,
                          int to) {
    int k = links->n++;
    links->from[k] = (unsigned short)at->heat[from];
    links->to[k] = (unsigned short)at->heat[to];
    links->total[k] = (unsigned short)at->heat_total[heading];
    links->key_from[k] = key(at, from, heading, from, to);
    if (at->heat[to] != at->sink) {
        links->key_to[k] = key(at, to, heading, from, to);
        links->inner = links->n;
    }
    return k;
}

/* ---- of the surfaces ---- */

static void conduct(const struct pinery_year_model *model, struct pinery_year_surfaces *s, int heading, int a, int b,
                    double W_m2K) {
    int link = pinery_year_links_add(&s->links, &model->at, heading, a, b);
    s->conductance[s->n++] = (struct pinery_year_conductance){link, a, b, W_m2K};
}

static void cloths(const struct pinery_year_model *model, struct pinery_year_surfaces *s) {
    for (int d = 0; d < model->drives; d++) {
        int cloth = NODE_CLOTH + d;
        s->under[d] = pinery_year_links_add(&s->links, &model->at,
                                            d == 0 ? PINERY_HEADING_under_cloth : PINERY_HEADING_convection_cloths,
                                            pinery_year_air_below(d), cloth);
        s->over[d] = pinery_year_links_add(&s->links, &model->at, PINERY_HEADING_convection_cloths, cloth,
                                           pinery_year_air_above(d));
    }
}

static void crop_room(const struct pinery_year_model *model, struct pinery_year_surfaces *s) {
    const pinery_house *house = &model->house;
    const double pipe[2] = {house->pipe_lower.length, house->pipe_upper.length};
    s->floor = pinery_year_links_add(&s->links, &model->at, PINERY_HEADING_convection_floor, NODE_SOIL, NODE_AIR_LOWER);
    for (int i = 0; i < 2; i++) {
        int air = NODE_AIR_LOWER + i;
        s->leaf[i] =
            pinery_year_links_add(&s->links, &model->at, PINERY_HEADING_convection_canopy, NODE_CANOPY_LOWER + i, air);
        if (pipe[i] > 0.0)
            s->pipe[i] =
                pinery_year_links_add(&s->links, &model->at, PINERY_HEADING_convection_pipes, NODE_PIPE_LOWER + i, air);
        if (model->wall_area > 0.0)
            s->wall[i] = pinery_year_links_add(&s->links, &model->at, PINERY_HEADING_convection_walls, air, NODE_WALL);
    }
    for (int g = 0; g < PINERY_LAMPS; g++)
        if (house->lamp[g].power > 0.0)
            conduct(model, s, PINERY_HEADING_convection_lamps, NODE_LAMP + g,
                    house->lamp[g].place == 1 ? NODE_AIR_LOWER : NODE_AIR_UPPER, model->lamp_loss[g]);
}

/* A pane between two rooms, or another wall, goes by its U: 3.8 W/(m2 K) of a single pane is 0.13 m2 K/W of surface on
 * either side, ISO 6946. Its own heat is left out, and neither light nor water passes it on balance. */
static void to_outside(const struct pinery_year_model *model, struct pinery_year_surfaces *s) {
    int outer = model->two_panes ? NODE_COVER_OUTER : NODE_COVER, last = model->house.soil_layers - 1;
    double through = model->inner_wall_area * model->house.inner_wall_u;
    s->wind = pinery_year_links_add(&s->links, &model->at, PINERY_HEADING_cover_wind, outer, NODE_OUTSIDE);
    if (model->wall_area > 0.0)
        s->wall_out = pinery_year_links_add(&s->links, &model->at, PINERY_HEADING_wall_out, NODE_WALL, NODE_OUTSIDE);
    conduct(model, s, PINERY_HEADING_ground, NODE_SOIL + last, NODE_DEEP, model->soil_between[last]);
    if (model->edge > 0.0)
        conduct(model, s, PINERY_HEADING_slab_edge, NODE_SOIL, NODE_OUTSIDE, model->edge);
    for (int i = 0; i < 2 && model->inner_wall_area > 0.0; i++)
        conduct(model, s, PINERY_HEADING_neighbours, NODE_AIR_LOWER + i, NODE_NEIGHBOUR,
                through * (i ? 1.0 - model->wall_low : model->wall_low));
}

void pinery_year_surfaces_make(const struct pinery_year_model *model, struct pinery_year_surfaces *s) {
    const struct pinery_year_layout *at = &model->at;
    *s = (struct pinery_year_surfaces){.n = 0};
    pinery_year_levels_make(model, &s->levels);
    cloths(model, s);
    crop_room(model, s);
    s->cover = pinery_year_links_add(&s->links, at, PINERY_HEADING_convection_cover, model->roof_air, NODE_COVER);
    if (model->two_panes)
        s->gap = pinery_year_links_add(&s->links, at, PINERY_HEADING_conduction_within, NODE_COVER, NODE_COVER_OUTER);
    for (int i = 0; i < model->house.soil_layers - 1; i++)
        conduct(model, s, PINERY_HEADING_conduction_within, NODE_SOIL + i, NODE_SOIL + i + 1, model->soil_between[i]);
    to_outside(model, s);
}
