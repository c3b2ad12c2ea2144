/* Water: transpiration, condensation and evaporation of every wet face, run-off and drip. Vapour takes with it the heat
 * of vapour at the temperature of the face it leaves or meets; liquid its own. */
#include "crop/transpiration.h"
#include "house/moisture.h"
#include "year/flows.h"

#include "air/psychro.h"

static const double drain_time = 600.0; /* s, of a film over its capacity; no source, only the delay */
static const double wetted =
    0.01; /* kg/m2 of film from which a face evaporates as a whole; common practice, no source */

static double vapour_heat(double T) {
    return PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * T;
}

/* Between an air and a face of a node: `area` of face per m2 of floor; h: air to face coefficient with its slopes by
 * air and face temperature; the water of the node lies over `spread` m2 per m2 of floor. */
static void face(struct pinery_year_work *work, const struct pinery_year_net *net, int heading, int air, int node,
                 double area, double spread, struct pinery_pair h, double h_factor) {
    const struct pinery_year_state *s = &work->state;
    struct pinery_house_vapour v = pinery_house_vapour_to_surface(
        h.value * h_factor, s->e[air], s->T[node], work->model->pressure, s->water[node] / spread, wetted);
    double flux = area * v.flux, carried = vapour_heat(s->T[node]);
    net_water(net, heading, air, node, flux, flux * carried);
    if (!net->slope)
        return;
    double by_air = area * v.d_coefficient * h_factor * h.d_a;
    double by_face = area * (v.d_coefficient * h_factor * h.d_b + v.d_T_surface);
    double by_e = area * v.d_e_air * s->d_e[air], by_water = area * v.d_water / spread;
    net_water_slope(net, heading, air, node, net->at->heat[air], by_air, by_air * carried);
    net_water_slope(net, heading, air, node, net->at->heat[node], by_face,
                    by_face * carried + flux * PINERY_AIR_HEAT_VAPOUR);
    net_water_slope(net, heading, air, node, net->at->water[air], by_e, by_e * carried);
    net_water_slope(net, heading, air, node, net->at->water[node], by_water, by_water * carried);
}

static void leave(struct pinery_year_work *work, const struct pinery_year_net *net, int heading, int node, double mass,
                  double by_water) {
    double carried = PINERY_YEAR_WATER_HEAT * work->state.T[node];
    net_water(net, heading, node, NODE_ELSEWHERE, mass, mass * carried);
    if (net->slope) {
        net_water_slope(net, heading, node, NODE_ELSEWHERE, net->at->heat[node], 0.0, mass * PINERY_YEAR_WATER_HEAT);
        net_water_slope(net, heading, node, NODE_ELSEWHERE, net->at->water[node], by_water, by_water * carried);
    }
}

/* Film of a node over `spread` m2 per m2 of floor: over its capacity part drips and drains away, the rest runs to the
 * gutter. */
static void run_off(struct pinery_year_work *work, const struct pinery_year_net *net, int node, double spread,
                    double capacity, double drip_share) {
    struct pinery_house_run_off off =
        pinery_house_run_off(work->state.water[node] / spread, capacity, drain_time, drip_share);
    if (off.drip > 0.0)
        leave(work, net, PINERY_HEADING_drain, node, spread * off.drip, off.d_drip);
    if (off.gutter > 0.0)
        leave(work, net, PINERY_HEADING_run_off, node, spread * off.gutter, off.d_gutter);
}

static struct pinery_pair swapped(struct pinery_pair pair) {
    return (struct pinery_pair){pair.value, pair.d_b, pair.d_a};
}

static void leaves(struct pinery_year_work *work, const struct pinery_year_net *net,
                   const struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const pinery_crop *crop = &model->house.crop;
    for (int i = 0; i < 2; i++) {
        int leaf = NODE_CANOPY_LOWER + i, air = NODE_AIR_LOWER + i;
        struct pinery_crop_resistance r =
            pinery_crop_stomata_resistance(crop->resistance_min, crop->resistance_night, crop->transpiration_factor,
                                           films->leaf_light[i], s->T[leaf], s->e[air], s->co2);
        double transpiring = s->leaf_area > 0.01 ? s->leaf[i] : s->leaf[i] * s->leaf_area / 0.01;
        double spread = 2.0 * s->leaf[i], film = s->water[leaf] / spread;
        double d_held, held = pinery_base_hinge(film - 0.1 * wetted, 0.1 * wetted, &d_held);
        double dry = 1.0 / (1.0 + held / wetted);
        struct pinery_crop_vapour v =
            pinery_crop_transpiration(transpiring, films->leaf_resistance[i], r, dry, s->T[leaf], s->T[air], s->e[air]);
        double carried = vapour_heat(s->T[leaf]), supplied = PINERY_YEAR_WATER_HEAT * model->house.water_temperature;
        net_water(net, PINERY_HEADING_transpiration, leaf, air, v.flux, v.flux * carried);
        net_water(net, PINERY_HEADING_water_supply, NODE_ELSEWHERE, leaf, v.flux, v.flux * supplied);
        if (net->slope) {
            int column[4] = {net->at->heat[leaf], net->at->heat[air], net->at->water[air], net->at->water[leaf]};
            double by_film = -v.flux * dry * d_held / (wetted * spread);
            double slope[4] = {v.d_T_leaf, v.d_T_air, v.d_e_air * s->d_e[air], by_film};
            for (int k = 0; k < 4; k++) {
                net_water_slope(net, PINERY_HEADING_transpiration, leaf, air, column[k], slope[k],
                                slope[k] * carried + (k == 0 ? v.flux * PINERY_AIR_HEAT_VAPOUR : 0.0));
                net_water_slope(net, PINERY_HEADING_water_supply, NODE_ELSEWHERE, leaf, column[k], slope[k],
                                slope[k] * supplied);
            }
        }
        face(work, net, PINERY_HEADING_condensation_canopy, air, leaf, spread, spread, swapped(films->leaf[i]), 1.0);
        run_off(work, net, leaf, spread, 0.5 * crop->film_capacity, 1.0);
    }
}

/* The lower face of every cloth takes up and gives off; the upper one only of a cloth that lets water through. */
static void cloths(struct pinery_year_work *work, const struct pinery_year_net *net,
                   const struct pinery_year_films *films) {
    for (int d = 0; d < work->model->drives; d++) {
        const pinery_cloth *cloth = pinery_year_cloth(work, d);
        double touch = pinery_year_cloth_touch(&work->state, d);
        face(work, net, d == 0 ? PINERY_HEADING_under_cloth : PINERY_HEADING_condensation_cloths,
             pinery_year_air_below(d), NODE_CLOTH + d, touch, 1.0, films->cloth_below[d], 1.0);
        if (cloth->passes_water)
            face(work, net, PINERY_HEADING_condensation_cloths, pinery_year_air_above(d), NODE_CLOTH + d, touch, 1.0,
                 swapped(films->cloth_above[d]), 1.0);
        run_off(work, net, NODE_CLOTH + d, 1.0, cloth->water_capacity, 1.0);
    }
}

void pinery_year_flow_water(struct pinery_year_work *work, const struct pinery_year_net *net,
                            const struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    leaves(work, net, films);
    cloths(work, net, films);
    face(work, net, PINERY_HEADING_condensation_cover, model->roof_air, NODE_COVER, model->cover_area,
         model->cover_area, films->cover, 1.0);
    run_off(work, net, NODE_COVER, model->cover_area, model->house.cover.film_capacity, model->house.cover.drip_share);
    if (!(model->wall_area > 0.0))
        return;
    double share = 1.0 / (1.0 + 8.0 * model->house.wall_cloth_resistance);
    for (int i = 0; i < 2; i++)
        face(work, net, PINERY_HEADING_condensation_walls, NODE_AIR_LOWER + i, NODE_WALL,
             model->wall_area * (i ? 1.0 - model->wall_low : model->wall_low), model->wall_area,
             i ? films->wall_upper : films->wall_lower, share);
    run_off(work, net, NODE_WALL, model->wall_area, model->house.wall.film_capacity, 0.0);
}
