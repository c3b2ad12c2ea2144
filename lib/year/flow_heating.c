/* Heat into the pipes, and their pumps.
 *
 * A circuit is asked for a temperature and takes heat through its mixing valve in proportion to what is missing, with a
 * time constant of 120 s, up to its own limit and its share of the boiler's. Nothing is heated while nothing is asked.
 *
 * Under a contract for gas both circuits together get no more than
 *
 *   (contract - gas of the engine) efficiency - what the case loses + the other sources and the tank - coil and brine,
 *
 * each in proportion to what it asks, rounded over 2 %. The efficiency is that without a condenser, so with one a
 * little gas is left. Gas for carbon dioxide is burnt within the boiler's. What coil, brine, engine and dosing draw by
 * themselves the contract does not stop; the ledger counts what is over it. */
#include "base/smooth.h"
#include "equip/boiler.h"
#include "equip/pipes.h"
#include "equip/sources.h"
#include "year/flows.h"

static const double valve_time = 120.0, corner_W = 1.0, corner_K = 1.0;

/* What a circuit is asked for: over the air seen, degC, and whether anything is asked, each with its slope by the ask.
 */
struct ask {
    double target, on, d_target, d_on;
    bool fixed; /* a temperature that does not depend on the air */
};

static struct ask lower_ask(const struct pinery_year_work *work) {
    const struct pinery_year_state *s = &work->state;
    const pinery_orders *orders = &work->orders;
    struct ask ask = {.fixed = !isnan(orders->pipe_lower)};
    if (ask.fixed) {
        ask.target = orders->pipe_lower;
        ask.on = 1.0;
        return ask;
    }
    ask.on = pinery_base_ramp(s->heating.asked / corner_K, &ask.d_on);
    ask.d_on /= corner_K;
    ask.target = s->seen + s->heating.asked;
    ask.d_target = 1.0;
    if (orders->pipe_least > 0.0) { /* minimum pipe */
        ask.target = orders->pipe_least + pinery_base_hinge(ask.target - orders->pipe_least, corner_K, &ask.d_target);
        ask.on = 1.0;
        ask.d_on = 0.0;
    }
    return ask;
}

static struct ask upper_ask(const struct pinery_year_work *work) {
    const struct pinery_year_state *s = &work->state;
    const pinery_orders *orders = &work->orders;
    struct ask ask = {.fixed = !isnan(orders->pipe_upper)};
    if (ask.fixed) {
        ask.target = orders->pipe_upper;
        ask.on = 1.0;
        return ask;
    }
    /* begins at a share of the lower one's range and reaches the same limit with it */
    bool alone = !(work->model->house.pipe_lower.length > 0.0);
    double start =
        fmax((alone ? 0.0 : orders->upper_start) * s->heating.most, corner_K); /* nothing asked, nothing given */
    double stretch = s->heating.most / (s->heating.most - start + corner_K);
    double d_rise, rise = pinery_base_hinge(s->heating.asked - start, corner_K, &d_rise);
    ask.on = pinery_base_ramp(rise / corner_K, &ask.d_on);
    ask.d_on *= d_rise / corner_K;
    ask.target = s->seen + stretch * rise;
    ask.d_target = stretch * d_rise;
    return ask;
}

/* What a circuit takes, with slopes by columns. */
enum { ASKS = 5 };
struct circuit {
    const pinery_pipe *pipe; /* NULL: none */
    int node, heading, column[ASKS];
    double heat, slope[ASKS];
};

static struct circuit circuit(struct pinery_year_work *work, const struct pinery_year_layout *at, int i,
                              const pinery_pipe *pipe, double boiler_share, struct ask ask) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    struct circuit c = {.node = NODE_PIPE_LOWER + i, .heading = PINERY_HEADING_heat_lower + i};
    double capacity = fmin(pipe->max_power, model->house.boiler.max_power * boiler_share);
    if (!(pipe->length > 0.0) || !(capacity > 0.0))
        return c;
    c.pipe = pipe;
    double valve = model->store[c.node].capacity / valve_time, d_hot, d_lack, d_most;
    double target = pinery_base_at_most(ask.target, pipe->max_temperature, corner_K, &d_hot);
    double lack = pinery_base_hinge(valve * (target - s->T[c.node]), corner_W, &d_lack);
    c.heat = ask.on * pinery_equip_deliver(lack, capacity, &d_most);
    double by_target = ask.on * d_most * d_lack * valve * d_hot;
    double by_ask = ask.fixed ? 0.0 : by_target * ask.d_target + (ask.on > 0.0 ? c.heat / ask.on : 0.0) * ask.d_on;
    double by_seen = ask.fixed ? 0.0 : by_target * (i == 0 && work->orders.pipe_least > 0.0 ? ask.d_target : 1.0);
    const int column[ASKS] = {at->heat[c.node], at->heat[NODE_AIR_LOWER], at->heat[NODE_AIR_UPPER],
                              model->roof_air > NODE_AIR_UPPER ? at->heat[model->roof_air] : at->sink,
                              at->act[ACT_HEATING]};
    const double slope[ASKS] = {-ask.on * d_most * d_lack * valve,
                                by_seen * s->d_seen_lower + by_ask * s->heating.by_air[0],
                                by_seen * s->d_seen_upper + by_ask * s->heating.by_air[1], by_ask * s->heating.by_roof,
                                by_ask * s->heating.by_integral};
    for (int k = 0; k < ASKS; k++) {
        c.column[k] = column[k];
        c.slope[k] = slope[k];
    }
    return c;
}

/* ---- the contract ---- */

/* The share of what both ask that they get, and its slopes by what they ask and by what there is for them. */
struct cut {
    double share, by_heat, by_most;
    double over, over_by_heat, over_by_most; /* what they do not get, W/m2 */
};

static struct cut cut_to(double heat, double most) {
    struct cut cut = {.share = 1.0};
    if (!(heat > 0.0))
        return cut;
    if (!(most > 0.0))
        return (struct cut){.over = heat, .over_by_heat = 1.0};
    const double corner = 0.02;
    double d_over, over = pinery_base_hinge(heat - most, corner * most, &d_over);
    cut.share = (heat - over) / heat;
    cut.over = over;
    cut.over_by_heat = d_over;
    cut.over_by_most = (over - d_over * heat) / most; /* of the first degree in both */
    cut.by_heat = (1.0 - d_over - cut.share) / heat;
    cut.by_most = -cut.over_by_most / heat;
    return cut;
}

/* Heat there is for the pipes but for coil and brine. */
static double most_heat(const struct pinery_year_work *work, struct pinery_pair *ready) {
    const struct pinery_year_model *model = work->model;
    const pinery_house *house = &model->house;
    const double *act = work->state.act + ACT_SOURCE;
    struct pinery_equip_engine engine = pinery_equip_engine(&house->cogeneration, act[PINERY_COGENERATION]);
    double gas = fmax(model->gas_limit - engine.fuel, 0.0);
    double boiler = gas * house->boiler.efficiency - house->boiler.case_loss * house->boiler.max_power;
    *ready = pinery_year_tank_ready(work);
    return fmax(boiler, 0.0) + engine.heat + house->bought_heat.heat * act[PINERY_BOUGHT] +
           house->heat_pump.heat * act[PINERY_HEAT_PUMP] + house->electric_boiler.heat * act[PINERY_ELECTRIC] +
           ready->value;
}

/* ---- booking ---- */

/* Writes a slope of what one circuit gets. */
static void slope_of(struct pinery_year_work *work, const struct pinery_year_net *net, const struct circuit *c,
                     struct pinery_equip_spread water, double heat, int column, double slope, double own) {
    net_heat_slope(net, c->heading, NODE_ELSEWHERE, c->node, column, slope);
    pinery_year_take_heat_slope(work, net, column, slope, heat, water.back, own - water.d_heat * slope);
    net_meter_slope(net, PINERY_METER_power_pumps, column, slope * (c->pipe->pump_power / c->pipe->max_power));
}

/* before: demand's columns of coil and brine, which leave the pipes less. */
static void book(struct pinery_year_work *work, const struct pinery_year_net *net, const struct circuit both[2], int i,
                 const struct cut *cut, struct pinery_pair ready, int before) {
    const struct circuit *c = &both[i];
    if (!c->pipe)
        return;
    double heat = cut->share * c->heat, flow = c->pipe->max_power / (c->pipe->drop * PINERY_YEAR_WATER_HEAT);
    struct pinery_equip_spread water = pinery_equip_pipe_spread(work->state.T[c->node], heat, flow);
    net_heat(net, c->heading, NODE_ELSEWHERE, c->node, heat);
    pinery_year_take_heat(work, net, heat, water.back);
    net_meter(net, PINERY_METER_power_pumps, heat * (c->pipe->pump_power / c->pipe->max_power));
    if (!net->slope)
        return;
    for (int k = 0; k < ASKS; k++)
        slope_of(work, net, c, water, heat, c->column[k], cut->share * c->slope[k], k == 0 ? 1.0 : 0.0);
    if (cut->share == 1.0 && cut->by_heat == 0.0)
        return;
    for (int j = 0; j < 2; j++)
        for (int k = 0; both[j].pipe && k < ASKS; k++)
            slope_of(work, net, c, water, heat, both[j].column[k], c->heat * cut->by_heat * both[j].slope[k], 0.0);
    for (int k = 0; k < before; k++)
        slope_of(work, net, c, water, heat, work->demand.column[k], -c->heat * cut->by_most * work->demand.slope[k],
                 0.0);
    slope_of(work, net, c, water, heat, net->at->heat[NODE_TANK], c->heat * cut->by_most * ready.d_a, 0.0);
    slope_of(work, net, c, water, heat, net->at->heat[NODE_PIPE_LOWER], c->heat * cut->by_most * ready.d_b, 0.0);
}

static void meter_short(struct pinery_year_work *work, const struct pinery_year_net *net, const struct circuit both[2],
                        const struct cut *cut, struct pinery_pair ready, int before) {
    net_meter(net, PINERY_METER_heat_short, cut->over);
    if (!net->slope || cut->over == 0.0)
        return;
    for (int j = 0; j < 2; j++)
        for (int k = 0; both[j].pipe && k < ASKS; k++)
            net_meter_slope(net, PINERY_METER_heat_short, both[j].column[k], cut->over_by_heat * both[j].slope[k]);
    for (int k = 0; k < before; k++)
        net_meter_slope(net, PINERY_METER_heat_short, work->demand.column[k],
                        -cut->over_by_most * work->demand.slope[k]);
    net_meter_slope(net, PINERY_METER_heat_short, net->at->heat[NODE_TANK], cut->over_by_most * ready.d_a);
    net_meter_slope(net, PINERY_METER_heat_short, net->at->heat[NODE_PIPE_LOWER], cut->over_by_most * ready.d_b);
}

void pinery_year_flow_heating(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const pinery_house *house = &model->house;
    double lower = house->pipe_lower.length > 0.0 ? house->pipe_lower.max_power : 0.0;
    double upper = house->pipe_upper.length > 0.0 ? house->pipe_upper.max_power : 0.0;
    double share = lower + upper > 0.0 ? lower / (lower + upper) : 0.0;
    const struct circuit both[2] = {circuit(work, net->at, 0, &house->pipe_lower, share, lower_ask(work)),
                                    circuit(work, net->at, 1, &house->pipe_upper, 1.0 - share, upper_ask(work))};
    struct cut cut = {.share = 1.0};
    struct pinery_pair ready = {0.0, 0.0, 0.0};
    int before = work->demand.n;
    if (model->limited) {
        double most = most_heat(work, &ready);
        cut = cut_to(both[0].heat + both[1].heat, most - work->demand.value);
    }
    book(work, net, both, 0, &cut, ready, before);
    book(work, net, both, 1, &cut, ready, before);
    if (model->limited)
        meter_short(work, net, both, &cut, ready, before);
}
