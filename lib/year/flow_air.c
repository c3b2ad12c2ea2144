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

/* A two-way exchange of volume flow `V` with its slopes by the temperatures of its ends and by some positions. */
struct exchange {
    double V, d_a, d_b;
    double d_upper; /* by the temperature of the air below the cloth where that is not an end: node `below` */
    int below;
    int n;
    int act[2];
    double d_act[2];
};

static double enthalpy(double T, double x) {
    return PINERY_AIR_HEAT_DRY * T + x * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * T);
}

static void mix(struct pinery_year_work *work, const struct pinery_year_net *net, int heading, int a, int b,
                const struct exchange *exchange) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    double g = model->density * exchange->V;
    double x = s->x[a] - s->x[b], h = enthalpy(s->T[a], s->x[a]) - enthalpy(s->T[b], s->x[b]);
    net_water(net, heading, a, b, g * x, g * h);
    if (!net->slope)
        return;
    double by_a = model->density * exchange->d_a, by_b = model->density * exchange->d_b;
    net_water_slope(net, heading, a, b, net->at->heat[a], by_a * x,
                    by_a * h + g * (PINERY_AIR_HEAT_DRY + s->x[a] * PINERY_AIR_HEAT_VAPOUR));
    net_water_slope(net, heading, a, b, net->at->heat[b], by_b * x,
                    by_b * h - g * (PINERY_AIR_HEAT_DRY + s->x[b] * PINERY_AIR_HEAT_VAPOUR));
    double per_a = g / model->store[a].air, per_b = b < PINERY_YEAR_N_AIRS ? g / model->store[b].air : 0.0;
    net_water_slope(net, heading, a, b, net->at->water[a], per_a,
                    per_a * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * s->T[a]));
    net_water_slope(net, heading, a, b, net->at->water[b], -per_b,
                    -per_b * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * s->T[b]));
    if (exchange->d_upper != 0.0) {
        double d = model->density * exchange->d_upper;
        net_water_slope(net, heading, a, b, net->at->heat[exchange->below], d * x, d * h);
    }
    for (int i = 0; i < exchange->n; i++) {
        double d = model->density * exchange->d_act[i];
        net_water_slope(net, heading, a, b, net->at->act[exchange->act[i]], d * x, d * h);
    }
}

static struct exchange scaled(struct exchange exchange, double factor) {
    exchange.V *= factor;
    exchange.d_a *= factor;
    exchange.d_b *= factor;
    for (int i = 0; i < exchange.n; i++)
        exchange.d_act[i] *= factor;
    return exchange;
}

/* Slopes of something that goes with the drawn share, by the two positions that make it. */
static void by_drawn(const struct pinery_year_work *work, int drive, double slope, struct exchange *exchange) {
    const struct pinery_year_state *s = &work->state;
    double whole = 1.0 - work->model->house.drive[drive].edge_gap;
    exchange->n = 2;
    exchange->act[0] = ACT_CLOTH + drive;
    exchange->d_act[0] = slope * (1.0 - s->act[ACT_SLIT + drive]) * whole;
    exchange->act[1] = ACT_SLIT + drive;
    exchange->d_act[1] = -slope * s->act[ACT_CLOTH + drive] * whole;
}

/* The heading of air that goes up past a drive. Which one a slit's air and that past an open cloth is booked under
 * changes as the cloth passes half of its way; the flow does not. */
static int upward(int heading, int from) {
    return from == NODE_AIR_LOWER || from == NODE_AIR_UPPER ? heading : PINERY_HEADING_air_upper;
}

static void through_drive(struct pinery_year_work *work, const struct pinery_year_net *net, int d) {
    const struct pinery_year_state *s = &work->state;
    const pinery_drive *drive = &work->model->house.drive[d];
    const pinery_cloth *cloth = pinery_year_cloth(work, d);
    int below = pinery_year_air_below(d), above = pinery_year_air_above(d);

    struct pinery_pair fabric = pinery_house_fabric_exchange(cloth->thermal_flow, s->T[below], s->T[above]);
    struct exchange fabric_flow = {
        .V = s->drawn[d] * fabric.value, .d_a = s->drawn[d] * fabric.d_a, .d_b = s->drawn[d] * fabric.d_b};
    by_drawn(work, d, fabric.value, &fabric_flow);
    mix(work, net, upward(PINERY_HEADING_air_fabric, below), below, above, &fabric_flow);

    /* the slit without the edges, which are there whatever the slit is */
    double whole = 1.0 - drive->edge_gap, open = 1.0 - s->drawn[d] / whole;
    open = open > 1e-9 ? open : 1e-9;
    struct pinery_house_exchange slit =
        pinery_house_slit_exchange(PINERY_HOUSE_SLIT_MIGUEL, open, open * drive->pitch, s->T[below], s->T[above]);
    struct exchange slit_flow = {.V = slit.value, .d_a = slit.d_below, .d_b = slit.d_above};
    by_drawn(work, d, -1.5 * slit.d_open / whole, &slit_flow); /* the flow goes with open^1.5, its width growing too */
    double fall = work->model->house.slit_fall_share * (1.0 - open);
    for (int k = 0; k < d; k++)
        fall *= 1.0 - s->drawn[k];
    struct exchange aside = scaled(slit_flow, 1.0 - fall), falling = scaled(slit_flow, fall);
    int gap = s->act[ACT_CLOTH + d] > 0.5 ? PINERY_HEADING_air_slit : PINERY_HEADING_air_open;
    mix(work, net, upward(gap, below), below, above, &aside);
    if (fall > 0.0) {
        falling.d_upper = falling.d_a; /* the flow goes with the air right below the cloth */
        falling.below = below;
        falling.d_a = 0.0;
        mix(work, net, gap, NODE_AIR_LOWER, above, &falling);
    }

    struct pinery_pair edge = pinery_house_edge_exchange(PINERY_HOUSE_SLIT_MIGUEL, drive->edge_gap, drive->gap_width,
                                                         s->T[below], s->T[above]);
    struct exchange edge_flow = {.V = edge.value, .d_a = edge.d_a, .d_b = edge.d_b};
    mix(work, net, upward(gap, below), below, above, &edge_flow);
}

static void within_crop(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_state *s = &work->state;
    struct pinery_house_exchange plane = pinery_house_slit_exchange(PINERY_HOUSE_SLIT_MIGUEL, free_plane, 1.0,
                                                                    s->T[NODE_AIR_LOWER], s->T[NODE_AIR_UPPER]);
    struct pinery_equip_fan_output fan =
        pinery_equip_fan_run(&work->model->house.fan_circulation, s->act[ACT_FAN_CIRCULATION]);
    struct exchange flow = {.V = still_mixing + plane.value + fan.flow,
                            .d_a = plane.d_below,
                            .d_b = plane.d_above,
                            .n = 1,
                            .act = {ACT_FAN_CIRCULATION},
                            .d_act = {fan.d_flow}};
    mix(work, net, PINERY_HEADING_air_mixing, NODE_AIR_LOWER, NODE_AIR_UPPER, &flow);
}

/* Air that the fans bring down and that returns through cloth and edges; the make-up passes every drawn cloth. */
static void fans(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const pinery_fan *fan = &model->house.fan_through;
    if (!(fan->flow > 0.0) || model->drives == 0)
        return;
    struct pinery_equip_fan_output run = pinery_equip_fan_run(fan, work->state.act[ACT_FAN_THROUGH]);
    struct exchange flow = {.V = run.flow, .n = 1, .act = {ACT_FAN_THROUGH}, .d_act = {run.d_flow}};
    struct exchange lower = scaled(flow, fan->lower_share), upper = scaled(flow, 1.0 - fan->lower_share);
    mix(work, net, PINERY_HEADING_air_fan, NODE_AIR_LOWER, model->roof_air, &lower);
    mix(work, net, PINERY_HEADING_air_fan, NODE_AIR_UPPER, model->roof_air, &upper);
}

static void outside(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_state *s = &work->state;
    int roof = model->roof_air;
    struct pinery_house_draught vent = pinery_house_vent_flow(
        &model->vents, s->act[ACT_VENT_LEE], s->act[ACT_VENT_WIND], s->T[roof], s->T[NODE_OUTSIDE], s->out.wind);
    struct exchange flow = {.V = vent.value,
                            .d_a = vent.d_in,
                            .n = 2,
                            .act = {ACT_VENT_LEE, ACT_VENT_WIND},
                            .d_act = {vent.d_lee, vent.d_wind}};
    mix(work, net, PINERY_HEADING_vents, roof, NODE_OUTSIDE, &flow);
    s->fresh = flow.V;
    /* leaks are spread evenly over cover and walls */
    double walls = model->wall_area / (model->wall_area + model->cover_area);
    const int node[3] = {roof, NODE_AIR_LOWER, NODE_AIR_UPPER};
    const double share[3] = {1.0 - walls, walls * model->wall_low, walls * (1.0 - model->wall_low)};
    for (int i = 0; i < 3; i++) {
        if (!(share[i] > 0.0))
            continue;
        struct pinery_pair leak =
            pinery_house_leakage(model->house.leakage, s->T[node[i]], s->T[NODE_OUTSIDE], s->out.wind);
        struct exchange leaking = {.V = share[i] * leak.value, .d_a = share[i] * leak.d_a};
        mix(work, net, PINERY_HEADING_leakage, node[i], NODE_OUTSIDE, &leaking);
        s->fresh += leaking.V;
    }
}

/* Opening that lets through what a m2 of cloth lets through under a pressure difference, m2: the wind presses air
 * through the fabric itself (Darcy and Forchheimer) as through an orifice of Cd 0.6. */
static double fabric_opening(const struct pinery_year_work *work, int drive, double dp) {
    const pinery_cloth *cloth = pinery_year_cloth(work, drive);
    double slope, density = work->model->density;
    double speed = pinery_house_fabric_velocity(dp, cloth->permeability, cloth->inertial_factor, cloth->thickness,
                                                density, &slope);
    return speed / (0.6 * sqrt(2.0 * dp / density));
}

/* Share of the plane of all drives together that is open to a pressure difference over it, as orifices in series. */
static double open_through(const struct pinery_year_work *work, double dp) {
    double resistance = 0.0;
    for (int d = 0; d < work->model->drives; d++) {
        double drawn = work->state.drawn[d], open = 1.0 - drawn + drawn * fabric_opening(work, d, dp);
        resistance += 1.0 / (open * open + 1e-12);
    }
    return 1.0 / sqrt(resistance);
}

/* The same under wind: half the pressure along the house falls on the way in, half on the way out, each shared between
 * leaks and cloths as the squares of their resistances. The fabric's part depends on its share, so it is found in three
 * rounds. */
static double open_to_wind(const struct pinery_year_work *work, double leaks) {
    const struct pinery_year_model *model = work->model;
    double wind = work->state.out.wind;
    double half = 0.25 * model->density * model->house.pressure_span * wind * wind + 1e-6, dp = half, open = 1.0;
    for (int i = 0; i < 3; i++) {
        open = open_through(work, dp);
        dp = half * leaks * leaks / (leaks * leaks + open * open) + 1e-9;
    }
    return open;
}

/* Vents that stand open let the wind in and out of the ends as cracks do, with an orifice's law too. */
static double flow_along(const struct pinery_year_work *work) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_house_vents *vents = &model->vents;
    double slope, leaks = model->leak_area;
    for (int side = ACT_VENT_LEE; side <= ACT_VENT_WIND; side++)
        leaks +=
            vents->flap_area * pinery_house_vent_share(fmax(work->state.act[side], 0.0), vents->full_angle, &slope);
    return pinery_house_along_flow(work->state.out.wind, model->house.pressure_span, leaks, open_to_wind(work, leaks))
        .value;
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
    struct exchange flow = {.V = work->state.along};
    if (flow.V > 0.0)
        mix(work, net, PINERY_HEADING_air_along, NODE_AIR_LOWER, work->model->roof_air, &flow);
}

void pinery_year_flow_air(struct pinery_year_work *work, const struct pinery_year_net *net) {
    within_crop(work, net);
    for (int d = 0; d < work->model->drives; d++)
        through_drive(work, net, d);
    along(work, net);
    fans(work, net);
    outside(work, net);
}
