/* Air between the airs of the house and the outside. Every exchange is two-way with equal dry masses g [kg/(m2 s)]:
 *
 *   water from a to b  g (x_a - x_b)      heat  g (h_a - h_b), h = cp T + x (L + cv T)
 *
 * Cold air that falls through a slit drops past the plant tops: a stated share of a slit's exchange is with the lower
 * air. The share fades as the cloth opens, and only counts through drives below that are open themselves. */
#include "equip/fans.h"
#include "house/along.h"
#include "house/cloth_air.h"
#include "year/flows.h"

#include "air/psychro.h"

/* Lower and upper air mix by themselves as through a plane of which leaves leave 30 % free, and by draughts of 0.002
 * m/s whatever their temperatures (no source; with circulation fans neither matters). */
static const double free_plane = 0.3, still_mixing = 0.002;

/* Two-way volume flow V [m3/(m2 s)], with its slopes by the temperatures of its ends, and by up to two more variables
 * that the stream names. */
static void mix(const struct pinery_year_work *work, const struct pinery_year_net *net,
                const struct pinery_year_stream *stream, double V, double d_a, double d_b, double d_first,
                double d_second) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    int a = stream->from, b = stream->to;
    double density = model->density, g = density * V, x = s->x[a] - s->x[b], h = s->h[a] - s->h[b];
    net_stream(net, stream, g * x, g * h);
    double *slope = net_stream_slopes(net, stream);
    if (!slope)
        return;
    double by_a = density * d_a, per_a = g * model->store[a].per_air;
    slope[0] = by_a * h + g * s->d_h[a];
    slope[1] = by_a * x;
    slope[2] = per_a * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * s->T[a]);
    slope[3] = per_a;
    if (b != NODE_OUTSIDE) {
        double by_b = density * d_b, per_b = -g * model->store[b].per_air;
        slope[4] = by_b * h - g * s->d_h[b];
        slope[5] = by_b * x;
        slope[6] = per_b * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * s->T[b]);
        slope[7] = per_b;
    }
    double *more = slope + stream->ends, by_first = density * d_first, by_second = density * d_second;
    more[0] = by_first * h;
    more[1] = by_first * x;
    more[2] = by_second * h;
    more[3] = by_second * x;
}

/* Fabric, slit and edges of a drive. The slit is without the edges, which are there whatever the slit is. */
static void through_drive(struct pinery_year_work *work, const struct pinery_year_net *net, int d) {
    const struct pinery_year_state *s = &work->state;
    const pinery_drive *drive = &work->model->house.drive[d];
    const struct pinery_year_streams *streams = &work->model->streams;
    int below = pinery_year_air_below(d), above = pinery_year_air_above(d);
    double drawn = s->drawn[d], whole = 1.0 - drive->edge_gap, drawn_by_slit = -s->act[ACT_CLOTH + d] * whole;

    struct pinery_pair fabric = {0.0, 0.0, 0.0};
    if (drawn != 0.0)
        fabric = pinery_house_fabric_exchange(pinery_year_cloth(work, d)->thermal_flow, s->T[below], s->T[above]);

    struct pinery_pair buoyancy = pinery_house_buoyancy(PINERY_HOUSE_SLIT_MIGUEL, s->T[below], s->T[above]);
    double open = 1.0 - drawn / whole;
    open = open > 1e-9 ? open : 1e-9;
    struct pinery_house_exchange slit = pinery_house_slit_by(buoyancy, open, open * drive->pitch);
    double slit_by_drawn = -1.5 * slit.d_open / whole; /* the flow goes with open^1.5, its width growing too */
    double edge = drive->edge_gap * sqrt(drive->gap_width);
    double fall = work->model->house.slit_fall_share * (1.0 - open);
    for (int k = 0; k < d; k++)
        fall *= 1.0 - s->drawn[k];
    double aside = 1.0 - fall, V = aside * slit.value + edge * buoyancy.value;
    double d_below = aside * slit.d_below + edge * buoyancy.d_a, d_above = aside * slit.d_above + edge * buoyancy.d_b;
    double by_drawn = aside * slit_by_drawn;

    bool parted = below == NODE_AIR_UPPER; /* over the lowest drive all has one heading */
    if (!parted) {
        V += drawn * fabric.value;
        d_below += drawn * fabric.d_a;
        d_above += drawn * fabric.d_b;
        by_drawn += fabric.value;
    } else if (drawn != 0.0) {
        mix(work, net, &streams->fabric[d], drawn * fabric.value, drawn * fabric.d_a, drawn * fabric.d_b,
            fabric.value * drawn_by_slit, 0.0);
    }
    /* which heading this has changes as the cloth passes half of its way; the flow does not */
    bool parked = !(s->act[ACT_CLOTH + d] > 0.5);
    mix(work, net, &streams->past[d][parked], V, d_below, d_above, by_drawn * drawn_by_slit, 0.0);
    if (fall > 0.0) /* the flow goes with the air right below the cloth */
        mix(work, net, &streams->fall[d][parked], fall * slit.value, 0.0, fall * slit.d_above, fall * slit.d_below,
            fall * slit_by_drawn * drawn_by_slit);
}

static void within_crop(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_state *s = &work->state;
    struct pinery_house_exchange plane = pinery_house_slit_by(
        pinery_house_buoyancy(PINERY_HOUSE_SLIT_MIGUEL, s->T[NODE_AIR_LOWER], s->T[NODE_AIR_UPPER]), free_plane, 1.0);
    mix(work, net, &work->model->streams.mixing, still_mixing + plane.value + s->fan_circulation, plane.d_below,
        plane.d_above, 0.0, 0.0);
}

/* Air that the fans bring down and that returns through cloth and edges; the make-up passes every drawn cloth. */
static void fans(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const pinery_fan *fan = &model->house.fan_through;
    if (!(fan->flow > 0.0) || model->drives == 0 ||
        pinery_year_rests(&work->state, ACT_FAN_THROUGH, &work->orders.fan_through))
        return;
    struct pinery_equip_fan_output run = pinery_equip_fan_run(fan, work->state.act[ACT_FAN_THROUGH]);
    for (int i = 0; i < 2; i++) {
        double share = i ? 1.0 - fan->lower_share : fan->lower_share;
        mix(work, net, &model->streams.fan[i], share * run.flow, 0.0, 0.0, share * run.d_flow, 0.0);
    }
}

static void outside(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_state *s = &work->state;
    int roof = model->roof_air;
    struct pinery_house_draught vent = pinery_house_vent_flow(
        &model->vents, s->act[ACT_VENT_LEE], s->act[ACT_VENT_WIND], s->T[roof], s->T[NODE_OUTSIDE], s->out.wind);
    mix(work, net, &model->streams.vents, vent.value, vent.d_in, 0.0, vent.d_lee, vent.d_wind);
    s->fresh = vent.value;
    /* leaks are spread evenly over cover and walls */
    double walls = model->wall_area / (model->wall_area + model->cover_area);
    const int node[3] = {roof, NODE_AIR_LOWER, NODE_AIR_UPPER};
    const double share[3] = {1.0 - walls, walls * model->wall_low, walls * (1.0 - model->wall_low)};
    for (int i = 0; i < 3; i++) {
        if (!(share[i] > 0.0))
            continue;
        struct pinery_pair leak =
            pinery_house_leakage(model->house.leakage, s->T[node[i]], s->T[NODE_OUTSIDE], s->out.wind);
        mix(work, net, &model->streams.leak[i], share[i] * leak.value, share[i] * leak.d_a, 0.0, 0.0, 0.0);
        s->fresh += share[i] * leak.value;
    }
}

/* Resistance of all drives together to a pressure difference over them, as orifices in series: 1/(open share)^2. The
 * wind presses air through the fabric itself (Darcy and Forchheimer) as through an orifice of Cd 0.6. */
static double resistance(const struct pinery_year_work *work, double dp) {
    const struct pinery_year_model *model = work->model;
    double sum = 0.0;
    for (int d = 0; d < model->drives; d++)
        sum += pinery_house_fabric_resistance(model->drag[d][work->which[d]], work->state.drawn[d], dp, model->density);
    return sum;
}

/* The same under wind: half the pressure along the house falls on the way in, half on the way out, each shared between
 * leaks and cloths as their resistances. The fabric's part depends on its share, so it is found in three rounds. */
static double resistance_to_wind(const struct pinery_year_work *work, double leaks) {
    const struct pinery_year_model *model = work->model;
    double wind = work->state.out.wind;
    double half = 0.25 * model->density * model->house.pressure_span * wind * wind + 1e-6;
    double cloths = resistance(work, half);
    for (int i = 0; i < 2; i++) {
        double share = leaks * leaks * cloths; /* over that of the leaks */
        cloths = resistance(work, half * share / (share + 1.0) + 1e-9);
    }
    return cloths;
}

/* Vents that stand open let the wind in and out of the ends as cracks do, with an orifice's law too. */
static double flow_along(const struct pinery_year_work *work) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_house_vents *vents = &model->vents;
    double slope, leaks = model->leak_area;
    for (int side = ACT_VENT_LEE; side <= ACT_VENT_WIND; side++) {
        double open = work->state.act[side];
        leaks += vents->flap_area * pinery_house_vent_share(open > 0.0 ? open : 0.0, vents->full_angle, &slope);
    }
    return pinery_house_along_through(work->state.out.wind, model->house.pressure_span, leaks,
                                      resistance_to_wind(work, leaks));
}

/* Flow and ends are worked out once for a moment and held while the solver tries states there: they change slowly, and
 * the solver's first try is a good one. */
void pinery_year_along(struct pinery_year_work *work, const struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_state *s = &work->state;
    const double still = 0.05; /* m/s, wandering of the air in a still house; see along.c */
    if (model->drives == 0 || !(model->house.pressure_span > 0.0)) {
        s->along = s->along_time = 0.0;
        s->ends_per_K = (struct pinery_house_ends){0};
        pinery_year_along_differences(work);
        return;
    }
    if (s->along_time != s->out.time_s || work->exact) {
        double conductance = films->floor + films->pipes + films->cloth_below[0].value;
        double mixing = still + pinery_equip_fan_leaf_speed(s->fan_circulation);
        s->along = flow_along(work);
        s->ends_per_K =
            pinery_house_along_ends(s->along, 1.0, 0.0, conductance, model->house.length, model->crop_height, mixing);
        s->along_time = s->out.time_s;
    }
    pinery_year_along_differences(work);
}

void pinery_year_along_differences(struct pinery_year_work *work) {
    struct pinery_year_state *s = &work->state;
    double fall = 0.5 * (s->T[NODE_AIR_LOWER] + s->T[NODE_AIR_UPPER]) - s->T[work->model->roof_air];
    s->end_to_end = fall * s->ends_per_K.difference;
    s->deficit = fall * s->ends_per_K.deficit;
    s->d_deficit_crop = s->ends_per_K.d_deficit_crop;
    s->d_deficit_roof = s->ends_per_K.d_deficit_roof;
}

static void along(struct pinery_year_work *work, const struct pinery_year_net *net) {
    double V = work->state.along;
    if (V > 0.0)
        mix(work, net, &work->model->streams.along, V, 0.0, 0.0, 0.0, 0.0);
}

void pinery_year_flow_air(struct pinery_year_work *work, const struct pinery_year_net *net) {
    if (!net_streams(net))
        return;
    within_crop(work, net);
    along(work, net);
    fans(work, net);
    outside(work, net);
    for (int d = 0; d < work->model->drives; d++)
        through_drive(work, net, d);
}
