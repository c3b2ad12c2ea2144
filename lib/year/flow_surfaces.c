/* Heat by convection between the airs and everything they touch, and by conduction in panes and soil. */
#include "crop/canopy.h"
#include "equip/fans.h"
#include "equip/pipes.h"
#include "house/convection.h"
#include "house/glazing.h"
#include "year/flows.h"
#include "year/wide.h"

/* Air among the leaves moves at 0.1 m/s in a still house (common practice, no source). */
static const double still_air = 0.1;

/* A flux per m2 of some surface, `area` of it per m2 of floor. */
static void pair(const struct pinery_year_net *net, int heading, int a, int b, double area, struct pinery_pair flux) {
    net_heat(net, heading, a, b, area * flux.value);
    if (net->slope) {
        net_heat_slope(net, heading, a, b, net->at->heat[a], area * flux.d_a);
        net_heat_slope(net, heading, a, b, net->at->heat[b], area * flux.d_b);
    }
}

/* A flux of a difference dT alone, W/m2 of floor, and its slope by it. */
static void difference(const struct pinery_year_net *net, int heading, int a, int b, double flux, double slope) {
    net_heat(net, heading, a, b, flux);
    if (net->slope) {
        net_heat_slope(net, heading, a, b, net->at->heat[a], slope);
        net_heat_slope(net, heading, a, b, net->at->heat[b], -slope);
    }
}

/* A flux that goes with a plain conductance. */
static void conductance(const struct pinery_year_net *net, const struct pinery_year_state *s, int heading, int a, int b,
                        double W_m2K) {
    difference(net, heading, a, b, W_m2K * (s->T[a] - s->T[b]), W_m2K);
}

/* One that goes through the film of air at a surface. */
static void convect(const struct pinery_year_net *net, int heading, int a, int b, double area, double dT,
                    struct pinery_house_film film) {
    difference(net, heading, a, b, area * film.h * dT, area * (film.h + film.slope * dT));
}

/* Level faces of a house, and the cover: floor, cover, the lower and the upper one of every cloth. */
enum { FLOOR, COVER, UNDER, OVER = UNDER + PINERY_DRIVES, LEVELS = OVER + PINERY_DRIVES };

struct levels {
    double dT[LEVELS], steepness[LEVELS], h[LEVELS], slope[LEVELS];
};

PINERY_YEAR_WIDE static void level_films(struct levels *level) {
    PINERY_YEAR_EACH
    for (int k = 0; k < LEVELS; k++) {
        struct pinery_house_film film = pinery_house_film_level(level->dT[k], level->steepness[k]);
        level->h[k] = film.h;
        level->slope[k] = film.slope;
    }
}

static void find_levels(const struct pinery_year_work *work, struct levels *level) {
    const struct pinery_year_model *model = work->model;
    const double *T = work->state.T;
    for (int k = 0; k < LEVELS; k++) {
        level->dT[k] = 0.0;
        level->steepness[k] = 1.0;
    }
    level->dT[FLOOR] = T[NODE_SOIL] - T[NODE_AIR_LOWER];
    level->dT[COVER] = T[model->roof_air] - T[NODE_COVER];
    level->steepness[COVER] = model->steepness;
    for (int d = 0; d < model->drives; d++) {
        level->dT[UNDER + d] = T[pinery_year_air_below(d)] - T[NODE_CLOTH + d];
        level->dT[OVER + d] = T[NODE_CLOTH + d] - T[pinery_year_air_above(d)];
    }
    level_films(level);
}

static void convect_level(const struct pinery_year_net *net, int heading, int a, int b, double area,
                          const struct levels *level, int k) {
    convect(net, heading, a, b, area, level->dT[k], (struct pinery_house_film){level->h[k], level->slope[k]});
}

static void cloths(struct pinery_year_work *work, const struct pinery_year_net *net, const struct levels *level,
                   struct pinery_year_films *films) {
    for (int d = 0; d < work->model->drives; d++) {
        int cloth = NODE_CLOTH + d, under = UNDER + d, over = OVER + d;
        double touch = pinery_year_cloth_touch(&work->state, d);
        films->cloth_below[d] = (struct pinery_pair){level->h[under], level->slope[under], -level->slope[under]};
        films->cloth_above[d] = (struct pinery_pair){level->h[over], -level->slope[over], level->slope[over]};
        convect_level(net, d == 0 ? PINERY_HEADING_under_cloth : PINERY_HEADING_convection_cloths,
                      pinery_year_air_below(d), cloth, touch, level, under);
        convect_level(net, PINERY_HEADING_convection_cloths, cloth, pinery_year_air_above(d), touch, level, over);
    }
}

static void canopy(struct pinery_year_work *work, const struct pinery_year_net *net, struct pinery_year_films *films) {
    struct pinery_year_state *s = &work->state;
    s->leaf_wind = pinery_crop_canopy_air_speed(still_air, pinery_equip_fan_leaf_speed(s->fan_circulation));
    for (int i = 0; i < 2; i++) {
        int leaf = NODE_CANOPY_LOWER + i, air = NODE_AIR_LOWER + i;
        struct pinery_crop_leaf_heat heat = pinery_crop_canopy_convect(s->leaf[i], work->model->house.crop.leaf_width,
                                                                       s->leaf_wind, s->T[leaf], s->T[air]);
        films->leaf[i] = (struct pinery_pair){heat.coefficient.value, heat.coefficient.d_b, heat.coefficient.d_a};
        films->leaf_resistance[i] = heat.resistance;
        pair(net, PINERY_HEADING_convection_canopy, leaf, air, 1.0, heat.flux);
    }
}

static void cover(struct pinery_year_work *work, const struct pinery_year_net *net, const struct levels *level,
                  struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    int roof = model->roof_air, outer = model->two_panes ? NODE_COVER_OUTER : NODE_COVER;
    double h = level->h[COVER] * model->house.cover_convection,
           slope = level->slope[COVER] * model->house.cover_convection;
    films->cover = (struct pinery_pair){h, slope, -slope};
    convect(net, PINERY_HEADING_convection_cover, roof, NODE_COVER, model->cover_area, level->dT[COVER],
            (struct pinery_house_film){h, slope});
    if (model->two_panes) {
        const pinery_cover *cover = &model->house.cover;
        struct pinery_house_gap_flow gap =
            pinery_house_gap_flow(&pinery_house_gas_air, cover->gap, cover->gap_emissivity, cover->gap_emissivity,
                                  s->T[NODE_COVER], s->T[NODE_COVER_OUTER], model->house.roof_slope);
        pair(net, PINERY_HEADING_conduction_within, NODE_COVER, NODE_COVER_OUTER, model->cover_area,
             (struct pinery_pair){gap.flow, gap.d_lower, gap.d_upper});
    }
    conductance(net, s, PINERY_HEADING_cover_wind, outer, NODE_OUTSIDE, s->cover_wind * model->cover_area);
}

/* Gables and sides: one body. */
static void walls(struct pinery_year_work *work, const struct pinery_year_net *net, struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    if (!(model->wall_area > 0.0))
        return;
    for (int i = 0; i < 2; i++) {
        int air = NODE_AIR_LOWER + i;
        double area = model->wall_area * (i ? 1.0 - model->wall_low : model->wall_low) * model->wall_reach;
        double dT = s->T[air] - s->T[NODE_WALL];
        struct pinery_house_film film = pinery_house_film_wall(dT);
        films->wall[i] = (struct pinery_pair){film.h, film.slope, -film.slope};
        convect(net, PINERY_HEADING_convection_walls, air, NODE_WALL, area, dT, film);
    }
    conductance(net, s, PINERY_HEADING_wall_out, NODE_WALL, NODE_OUTSIDE,
                model->wall_area * pinery_house_convect_wall_outside(s->out.wind));
}

/* A pane between two rooms, or another wall, by its U: 3.8 W/(m2 K) of a single pane is 0.13 m2 K/W of surface on
 * either side, ISO 6946. Its own heat is left out, and neither light nor water passes it on balance. */
static void inner_walls(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    if (!(model->inner_wall_area > 0.0))
        return;
    double through = model->inner_wall_area * model->house.inner_wall_u;
    for (int i = 0; i < 2; i++)
        conductance(net, &work->state, PINERY_HEADING_neighbours, NODE_AIR_LOWER + i, NODE_NEIGHBOUR,
                    through * (i ? 1.0 - model->wall_low : model->wall_low));
}

static void ground(struct pinery_year_work *work, const struct pinery_year_net *net, const struct levels *level,
                   struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    films->floor = level->h[FLOOR];
    convect_level(net, PINERY_HEADING_convection_floor, NODE_SOIL, NODE_AIR_LOWER, 1.0, level, FLOOR);
    int last = model->house.soil_layers - 1;
    for (int i = 0; i < last; i++)
        conductance(net, s, PINERY_HEADING_conduction_within, NODE_SOIL + i, NODE_SOIL + i + 1, model->soil_between[i]);
    conductance(net, s, PINERY_HEADING_ground, NODE_SOIL + last, NODE_DEEP, model->soil_between[last]);
    if (model->edge > 0.0)
        conductance(net, s, PINERY_HEADING_slab_edge, NODE_SOIL, NODE_OUTSIDE, model->edge);
}

static void pipes(struct pinery_year_work *work, const struct pinery_year_net *net, struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const pinery_pipe *pipe[2] = {&model->house.pipe_lower, &model->house.pipe_upper};
    films->pipes = 0.0;
    for (int i = 0; i < 2; i++) {
        if (!(pipe[i]->length > 0.0))
            continue;
        int node = NODE_PIPE_LOWER + i, air = NODE_AIR_LOWER + i;
        struct pinery_pair flux =
            pinery_equip_pipe_convect(PINERY_EQUIP_PIPE_NAWROCKI, pipe[i]->diameter, s->T[node], s->T[air]);
        pair(net, PINERY_HEADING_convection_pipes, node, air, pipe[i]->length, flux);
        films->pipes += pipe[i]->length * flux.d_a;
    }
    for (int g = 0; g < PINERY_LAMPS; g++)
        if (model->house.lamp[g].power > 0.0)
            conductance(net, s, PINERY_HEADING_convection_lamps, NODE_LAMP + g,
                        model->house.lamp[g].place == 1 ? NODE_AIR_LOWER : NODE_AIR_UPPER, model->lamp_loss[g]);
}

void pinery_year_flow_surfaces(struct pinery_year_work *work, const struct pinery_year_net *net,
                               struct pinery_year_films *films) {
    struct levels level;
    find_levels(work, &level);
    cloths(work, net, &level, films);
    canopy(work, net, films);
    cover(work, net, &level, films);
    walls(work, net, films);
    inner_walls(work, net);
    ground(work, net, &level, films);
    pipes(work, net, films);
}
