/* Water: transpiration, condensation and evaporation of every wet face, run-off and drip. Vapour takes with it the heat
 * of vapour at the temperature of the face it leaves or meets; liquid its own. */
#include "crop/transpiration.h"
#include "house/moisture.h"
#include "year/flows.h"
#include "year/wide.h"

#include "air/psychro.h"

static const double drain_time = 600.0; /* s, of a film over its capacity; no source, only the delay */
static const double wetted =
    0.01; /* kg/m2 of film from which a face evaporates as a whole; common practice, no source */

static double vapour_heat(double T) {
    return PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * T;
}

/* The wet share of a face, and its slope by the water of the node. */
struct wet {
    double share, by_water;
};

/* The water of the node lies over `spread` m2 per m2 of floor. */
static struct wet wet(double water, double spread) {
    double slope, per_full = 1.0 / (spread * wetted), share = pinery_base_ramp(water * per_full, &slope);
    return (struct wet){share, slope * per_full};
}

/* Between an air and a face of a node: `area` of face per m2 of floor; h: air to face coefficient with its slopes by
 * air and face temperature. */
static void face(const struct pinery_year_work *work, const struct pinery_year_net *net,
                 const struct pinery_year_stream *stream, double area, struct wet wet, const struct pinery_pair *h) {
    const struct pinery_year_state *s = &work->state;
    int air = stream->from, node = stream->to;
    struct pinery_house_pull pull = pinery_house_vapour_pull(s->e[air] - s->e_sat[node], wet.share);
    double per_h = area * work->model->vapour_by_heat, per_pull = per_h * h->value;
    double flux = per_pull * pull.value, carried = vapour_heat(s->T[node]);
    net_stream(net, stream, flux, flux * carried);
    double *slope = net_stream_slopes(net, stream);
    if (!slope)
        return;
    double by_h = per_h * pull.value, by_excess = per_pull * pull.by_excess;
    double by_air = by_h * h->d_a, by_face = by_h * h->d_b - by_excess * s->d_e_sat[node];
    double by_e = by_excess * s->d_e[air], by_water = per_pull * pull.by_share * wet.by_water;
    slope[0] = by_air * carried;
    slope[1] = by_air;
    slope[2] = by_face * carried + flux * PINERY_AIR_HEAT_VAPOUR;
    slope[3] = by_face;
    slope[4] = by_e * carried;
    slope[5] = by_e;
    slope[6] = by_water * carried;
    slope[7] = by_water;
}

static void leave(const struct pinery_year_work *work, const struct pinery_year_net *net,
                  const struct pinery_year_stream *stream, double mass, double by_water) {
    double carried = PINERY_YEAR_WATER_HEAT * work->state.T[stream->from];
    net_stream(net, stream, mass, mass * carried);
    double *slope = net_stream_slopes(net, stream);
    if (!slope)
        return;
    slope[0] = mass * PINERY_YEAR_WATER_HEAT;
    slope[1] = by_water * carried;
    slope[2] = by_water;
}

/* Film of a node over `spread` m2 per m2 of floor: over its capacity part drips and drains away, the rest runs to the
 * gutter. */
static void run_off(struct pinery_year_work *work, const struct pinery_year_net *net, int node, double spread,
                    double capacity, double drip_share) {
    double water = work->state.water[node];
    if (water < 0.9 * capacity * spread) /* as most films are most of the time */
        return;
    struct pinery_house_run_off off = pinery_house_run_off(water / spread, capacity, drain_time, drip_share);
    const struct pinery_year_streams *streams = &work->model->streams;
    int row = net->at->heat[node];
    if (off.drip > 0.0)
        leave(work, net, &streams->drain[row], spread * off.drip, off.d_drip);
    if (off.gutter > 0.0)
        leave(work, net, &streams->run_off[row], spread * off.gutter, off.d_gutter);
}

/* What goes with a leaf's transpiration, and carries so much heat [J/kg], which may go by the leaf's temperature; by:
 * slopes of the flux by its variables. */
static void of_leaf(const struct pinery_year_net *net, const struct pinery_year_stream *stream, double flux,
                    const double by[4], double carried, double carried_by_T) {
    net_stream(net, stream, flux, flux * carried);
    double *slope = net_stream_slopes(net, stream);
    if (!slope)
        return;
    PINERY_YEAR_UNROLL
    for (int k = 0; k < 4; k++) {
        slope[2 * k] = by[k] * carried;
        slope[2 * k + 1] = by[k];
    }
    slope[0] += flux * carried_by_T;
}

static void transpire(struct pinery_year_work *work, const struct pinery_year_net *net,
                      const struct pinery_year_films *films, int i, double spread) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    int leaf = NODE_CANOPY_LOWER + i, air = NODE_AIR_LOWER + i;
    double deficit = s->e_sat[leaf] - s->e[air], d_sat = s->d_e_sat[leaf];
    struct pinery_crop_resistance r =
        pinery_crop_stomata_at(&model->stomata, films->leaf_light[i], s->T[leaf], deficit, d_sat, s->co2);
    double transpiring = s->leaf_area > 0.01 ? s->leaf[i] : s->leaf[i] * s->leaf_area / 0.01;
    double film = s->water[leaf] / spread;
    double d_held, held = pinery_base_hinge(film - 0.1 * wetted, 0.1 * wetted, &d_held);
    double dry = 1.0 / (1.0 + held / wetted);
    struct pinery_crop_vapour v =
        pinery_crop_transpiration_at(transpiring, films->leaf_resistance[i], r, dry, deficit, d_sat, s->T[air]);
    const double by[4] = {v.d_T_leaf, v.d_T_air, v.d_e_air * s->d_e[air], -v.flux * dry * d_held / (wetted * spread)};
    double carried = vapour_heat(s->T[leaf]), supplied = PINERY_YEAR_WATER_HEAT * model->house.water_temperature;
    of_leaf(net, &model->streams.transpiration[i], v.flux, by, carried, PINERY_AIR_HEAT_VAPOUR);
    of_leaf(net, &model->streams.supply[i], v.flux, by, supplied, 0.0);
}

static void leaves(struct pinery_year_work *work, const struct pinery_year_net *net,
                   const struct pinery_year_films *films) {
    const struct pinery_year_state *s = &work->state;
    for (int i = 0; i < 2; i++) {
        int leaf = NODE_CANOPY_LOWER + i;
        double spread = 2.0 * s->leaf[i];
        transpire(work, net, films, i, spread);
        face(work, net, &work->model->streams.leaf[i], spread, wet(s->water[leaf], spread), &films->leaf[i]);
        run_off(work, net, leaf, spread, 0.5 * work->model->house.crop.film_capacity, 1.0);
    }
}

/* The lower face of every cloth takes up and gives off; the upper one only of a cloth that lets water through. */
static void cloths(struct pinery_year_work *work, const struct pinery_year_net *net,
                   const struct pinery_year_films *films) {
    const struct pinery_year_state *s = &work->state;
    for (int d = 0; d < work->model->drives; d++) {
        const pinery_cloth *cloth = pinery_year_cloth(work, d);
        int node = NODE_CLOTH + d;
        double touch = pinery_year_cloth_touch(s, d);
        struct wet both = wet(s->water[node], 1.0);
        face(work, net, &work->model->streams.under[d], touch, both, &films->cloth_below[d]);
        if (cloth->passes_water)
            face(work, net, &work->model->streams.over[d], touch, both, &films->cloth_above[d]);
        run_off(work, net, node, 1.0, cloth->water_capacity, 1.0);
    }
}

void pinery_year_flow_water(struct pinery_year_work *work, const struct pinery_year_net *net,
                            const struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    double area = model->cover_area;
    if (!net_streams(net))
        return;
    leaves(work, net, films);
    cloths(work, net, films);
    face(work, net, &model->streams.cover, area, wet(s->water[NODE_COVER], area), &films->cover);
    run_off(work, net, NODE_COVER, area, model->house.cover.film_capacity, model->house.cover.drip_share);
    if (!(model->wall_area > 0.0))
        return;
    area = model->wall_area / (1.0 + 8.0 * model->house.wall_cloth_resistance);
    for (int i = 0; i < 2; i++)
        face(work, net, &model->streams.wall[i], area * (i ? 1.0 - model->wall_low : model->wall_low),
             wet(s->water[NODE_WALL], model->wall_area), &films->wall[i]);
    run_off(work, net, NODE_WALL, model->wall_area, model->house.wall.film_capacity, 0.0);
}
