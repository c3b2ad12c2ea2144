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
static void pair(struct pinery_year_link_flows *flows, int link, double area, struct pinery_pair flux) {
    flows->flux[link] = area * flux.value;
    flows->by_from[link] = area * flux.d_a;
    flows->by_to[link] = area * flux.d_b;
}

/* One of a difference of temperature alone, W/m2 of floor, and its slope by it. */
static void difference(struct pinery_year_link_flows *flows, int link, double flux, double slope) {
    flows->flux[link] = flux;
    flows->by_from[link] = slope;
    flows->by_to[link] = -slope;
}

/* One that goes through the film of air at a surface. */
static void convect(struct pinery_year_link_flows *flows, int link, double area, double dT,
                    struct pinery_house_film film) {
    difference(flows, link, area * film.h * dT, area * (film.h + film.slope * dT));
}

/* Level faces of a house, and the cover: floor, cover, the lower and the upper one of every cloth. */
enum { FLOOR, COVER, UNDER, OVER = UNDER + PINERY_DRIVES, LEVELS = OVER + PINERY_DRIVES };
_Static_assert((int)LEVELS == (int)PINERY_YEAR_LEVELS, "as many as are laid out");

struct levels {
    double dT[LEVELS], h[LEVELS], slope[LEVELS];
};

void pinery_year_levels_make(const struct pinery_year_model *model, struct pinery_year_levels *at) {
    for (int k = 0; k < LEVELS; k++) { /* of a drive that is not there: no difference */
        at->lower[k] = at->upper[k] = NODE_SOIL;
        at->steepness[k] = k == COVER ? model->steepness : 1.0;
    }
    at->upper[FLOOR] = NODE_AIR_LOWER;
    at->lower[COVER] = model->roof_air;
    at->upper[COVER] = NODE_COVER;
    for (int d = 0; d < model->drives; d++) {
        at->lower[UNDER + d] = pinery_year_air_below(d);
        at->upper[UNDER + d] = at->lower[OVER + d] = NODE_CLOTH + d;
        at->upper[OVER + d] = pinery_year_air_above(d);
    }
}

PINERY_YEAR_WIDE static void level_films(const struct pinery_year_levels *restrict at, const double *restrict T,
                                         struct levels *restrict level) {
    PINERY_YEAR_EACH
    for (int k = 0; k < LEVELS; k++) {
        double dT = T[at->lower[k]] - T[at->upper[k]];
        struct pinery_house_film film = pinery_house_film_level(dT, at->steepness[k]);
        level->dT[k] = dT;
        level->h[k] = film.h;
        level->slope[k] = film.slope;
    }
}

static void convect_level(struct pinery_year_link_flows *flows, int link, double area, const struct levels *level,
                          int k) {
    convect(flows, link, area, level->dT[k], (struct pinery_house_film){level->h[k], level->slope[k]});
}

static void cloths(struct pinery_year_work *work, struct pinery_year_link_flows *flows, const struct levels *level,
                   struct pinery_year_films *films) {
    const struct pinery_year_surfaces *links = &work->model->surfaces;
    for (int d = 0; d < work->model->drives; d++) {
        int under = UNDER + d, over = OVER + d;
        double touch = pinery_year_cloth_touch(&work->state, d);
        films->cloth_below[d] = (struct pinery_pair){level->h[under], level->slope[under], -level->slope[under]};
        films->cloth_above[d] = (struct pinery_pair){level->h[over], -level->slope[over], level->slope[over]};
        convect_level(flows, links->under[d], touch, level, under);
        convect_level(flows, links->over[d], touch, level, over);
    }
}

static void canopy(struct pinery_year_work *work, struct pinery_year_link_flows *flows,
                   struct pinery_year_films *films) {
    struct pinery_year_state *s = &work->state;
    s->leaf_wind = pinery_crop_canopy_air_speed(still_air, pinery_equip_fan_leaf_speed(s->fan_circulation));
    for (int i = 0; i < 2; i++) {
        struct pinery_crop_leaf_heat heat =
            pinery_crop_canopy_convect(s->leaf[i], work->model->house.crop.leaf_width, s->leaf_wind,
                                       s->T[NODE_CANOPY_LOWER + i], s->T[NODE_AIR_LOWER + i]);
        films->leaf[i] = (struct pinery_pair){heat.coefficient.value, heat.coefficient.d_b, heat.coefficient.d_a};
        films->leaf_resistance[i] = heat.resistance;
        pair(flows, work->model->surfaces.leaf[i], 1.0, heat.flux);
    }
}

static void cover(struct pinery_year_work *work, struct pinery_year_link_flows *flows, const struct levels *level,
                  struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    int outer = model->two_panes ? NODE_COVER_OUTER : NODE_COVER;
    double h = level->h[COVER] * model->house.cover_convection,
           slope = level->slope[COVER] * model->house.cover_convection;
    films->cover = (struct pinery_pair){h, slope, -slope};
    convect(flows, model->surfaces.cover, model->cover_area, level->dT[COVER], (struct pinery_house_film){h, slope});
    if (model->two_panes) {
        const pinery_cover *cover = &model->house.cover;
        struct pinery_house_gap_flow gap =
            pinery_house_gap_flow(&pinery_house_gas_air, cover->gap, cover->gap_emissivity, cover->gap_emissivity,
                                  s->T[NODE_COVER], s->T[NODE_COVER_OUTER], model->house.roof_slope);
        pair(flows, model->surfaces.gap, model->cover_area, (struct pinery_pair){gap.flow, gap.d_lower, gap.d_upper});
    }
    double out = s->cover_wind * model->cover_area;
    difference(flows, model->surfaces.wind, out * (s->T[outer] - s->T[NODE_OUTSIDE]), out);
}

/* Gables and sides: one body. */
static void walls(struct pinery_year_work *work, struct pinery_year_link_flows *flows,
                  struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    if (!(model->wall_area > 0.0))
        return;
    for (int i = 0; i < 2; i++) {
        double area = model->wall_area * (i ? 1.0 - model->wall_low : model->wall_low) * model->wall_reach;
        double dT = s->T[NODE_AIR_LOWER + i] - s->T[NODE_WALL];
        struct pinery_house_film film = pinery_house_film_wall(dT);
        films->wall[i] = (struct pinery_pair){film.h, film.slope, -film.slope};
        convect(flows, model->surfaces.wall[i], area, dT, film);
    }
    double out = model->wall_area * pinery_house_convect_wall_outside(s->out.wind);
    difference(flows, model->surfaces.wall_out, out * (s->T[NODE_WALL] - s->T[NODE_OUTSIDE]), out);
}

static void pipes(struct pinery_year_work *work, struct pinery_year_link_flows *flows,
                  struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const pinery_pipe *pipe[2] = {&model->house.pipe_lower, &model->house.pipe_upper};
    films->pipes = 0.0;
    for (int i = 0; i < 2; i++) {
        if (!(pipe[i]->length > 0.0))
            continue;
        struct pinery_pair flux = pinery_equip_pipe_convect(PINERY_EQUIP_PIPE_NAWROCKI, pipe[i]->diameter,
                                                            s->T[NODE_PIPE_LOWER + i], s->T[NODE_AIR_LOWER + i]);
        pair(flows, model->surfaces.pipe[i], pipe[i]->length, flux);
        films->pipes += pipe[i]->length * flux.d_a;
    }
}

/* What never changes: in the ground, to the rooms next door, from lamps. */
static void conductances(const struct pinery_year_work *work, struct pinery_year_link_flows *flows) {
    const struct pinery_year_surfaces *surfaces = &work->model->surfaces;
    const double *T = work->state.T;
    for (int k = 0; k < surfaces->n; k++) {
        const struct pinery_year_conductance *through = &surfaces->conductance[k];
        difference(flows, through->link, through->W_m2K * (T[through->a] - T[through->b]), through->W_m2K);
    }
}

void pinery_year_flow_surfaces(struct pinery_year_work *work, const struct pinery_year_net *net,
                               struct pinery_year_films *films) {
    struct pinery_year_link_flows flows;
    struct levels level;
    level_films(&work->model->surfaces.levels, work->state.T, &level);
    cloths(work, &flows, &level, films);
    canopy(work, &flows, films);
    cover(work, &flows, &level, films);
    walls(work, &flows, films);
    films->floor = level.h[FLOOR];
    convect_level(&flows, work->model->surfaces.floor, 1.0, &level, FLOOR);
    pipes(work, &flows, films);
    conductances(work, &flows);
    net_links(net, &work->model->surfaces.links, &flows);
}
