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
    double start = (alone ? 0.0 : orders->upper_start) * s->heating.most;
    start = start > corner_K ? start : corner_K; /* nothing asked, nothing given */
    double stretch = s->heating.most / (s->heating.most - start + corner_K);
    double d_rise, rise = pinery_base_hinge(s->heating.asked - start, corner_K, &d_rise);
    ask.on = pinery_base_ramp(rise / corner_K, &ask.d_on);
    ask.d_on *= d_rise / corner_K;
    ask.target = s->seen + stretch * rise;
    ask.d_target = stretch * d_rise;
    return ask;
}

/* What the heat of both circuits goes by: their own temperatures first. */
enum { BY_LOWER, BY_UPPER, BY_AIR_LOWER, BY_AIR_UPPER, BY_ROOF, BY_INTEGRAL, CAUSES };
_Static_assert((int)CAUSES == (int)PINERY_YEAR_SLOPE_SET, "one set");

/* A circuit goes by the other's temperature only when both are cut to a contract. */
void pinery_year_pipes_make(const struct pinery_year_model *model, struct pinery_year_pipes *pipes) {
    const struct pinery_year_layout *at = &model->at;
    const pinery_house *house = &model->house;
    const pinery_pipe *pipe[2] = {&house->pipe_lower, &house->pipe_upper};
    const int column[CAUSES] = {at->heat[NODE_PIPE_LOWER],
                                at->heat[NODE_PIPE_UPPER],
                                at->heat[NODE_AIR_LOWER],
                                at->heat[NODE_AIR_UPPER],
                                model->roof_air > NODE_AIR_UPPER ? at->heat[model->roof_air] : at->sink,
                                at->act[ACT_HEATING]};
    double lower = pipe[0]->length > 0.0 ? pipe[0]->max_power : 0.0;
    double upper = pipe[1]->length > 0.0 ? pipe[1]->max_power : 0.0;
    double share = lower + upper > 0.0 ? lower / (lower + upper) : 0.0;
    for (int i = 0; i < 2; i++) {
        double part = house->boiler.max_power * (i ? 1.0 - share : share), own = pipe[i]->max_power;
        pipes->most[i] = !(pipe[i]->length > 0.0) ? 0.0 : own < part ? own : part;
        if (!(pipes->most[i] > 0.0))
            continue;
        pipes->pump[i] = pipe[i]->pump_power / pipe[i]->max_power;
        pipes->flow[i] = pipe[i]->max_power / (pipe[i]->drop * PINERY_YEAR_WATER_HEAT);
    }
    for (int k = 0; k < CAUSES; k++) {
        pipes->column[k] = column[k];
        pipes->gas.key[k] = net_row_key(at, at->meter[PINERY_METER_gas], column[k]);
        pipes->pumps.key[k] = net_row_key(at, at->meter[PINERY_METER_power_pumps], column[k]);
        for (int i = 0; i < 2; i++) {
            bool goes_by = column[k] != at->sink && pipes->most[i] > 0.0 && (k != 1 - i || model->limited);
            pipes->heat[i].key[k] =
                goes_by ? pinery_year_slope_flow(PINERY_YEAR_SLOPE_HEAT, column[k], PINERY_HEADING_heat_lower + i,
                                                 NODE_ELSEWHERE, NODE_PIPE_LOWER + i)
                        : net_row_key(at, at->sink, at->sink);
        }
    }
}

/* What a circuit takes. */
struct circuit {
    double heat, by[CAUSES];
};

static struct circuit circuit(const struct pinery_year_work *work, int i, const pinery_pipe *pipe, struct ask ask) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    struct circuit c = {.heat = 0.0};
    double capacity = model->pipes.most[i];
    int node = NODE_PIPE_LOWER + i;
    if (!(capacity > 0.0))
        return c;
    double valve = model->store[node].capacity / valve_time, d_hot, d_lack, d_most;
    double target = pinery_base_at_most(ask.target, pipe->max_temperature, corner_K, &d_hot);
    double lack = pinery_base_hinge(valve * (target - s->T[node]), corner_W, &d_lack);
    c.heat = ask.on * pinery_equip_deliver(lack, capacity, &d_most);
    double by_own = -ask.on * d_most * d_lack * valve;
    c.by[BY_LOWER + i] = by_own;
    if (ask.fixed)
        return c;
    double by_target = -by_own * d_hot;
    double by_ask = by_target * ask.d_target + (ask.on > 0.0 ? c.heat / ask.on : 0.0) * ask.d_on;
    double by_seen = by_target * (i == 0 && work->orders.pipe_least > 0.0 ? ask.d_target : 1.0);
    c.by[BY_AIR_LOWER] = by_seen * s->d_seen_lower + by_ask * s->heating.by_air[0];
    c.by[BY_AIR_UPPER] = by_seen * s->d_seen_upper + by_ask * s->heating.by_air[1];
    c.by[BY_ROOF] = by_ask * s->heating.by_roof;
    c.by[BY_INTEGRAL] = by_ask * s->heating.by_integral;
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

/* What both circuits get, and its slope by one variable; own: of the pipes' temperatures by it. */
struct got {
    double heat[2];
    struct pinery_equip_spread water[2];
};

static void demand_slope(struct pinery_year_work *work, const struct pinery_year_net *net, const struct got *got,
                         int column, const double slope[2], const double own[2]) {
    double back = 0.0;
    for (int i = 0; i < 2; i++)
        back += slope[i] * got->water[i].back + got->heat[i] * (own[i] - got->water[i].d_heat * slope[i]);
    pinery_year_take_heat_slope(work, net, column, slope[0] + slope[1], back);
}

/* What the contract leaves goes by more than the circuits do: columns of the demand of coil and brine, of which there
 * are `before`, and what the tank can give. */
static void by_what_is_left(struct pinery_year_work *work, const struct pinery_year_net *net,
                            const struct circuit both[2], const struct got *got, const struct cut *cut,
                            struct pinery_pair ready, int before) {
    const struct pinery_year_pipes *pipes = &work->model->pipes;
    const double own[2] = {0.0, 0.0};
    for (int k = 0; k < before + 2; k++) {
        int column = k < before    ? work->demand.column[k]
                     : k == before ? net->at->heat[NODE_TANK]
                                   : net->at->heat[NODE_PIPE_LOWER];
        double most = k < before ? -work->demand.slope[k] : k == before ? ready.d_a : ready.d_b, slope[2];
        for (int i = 0; i < 2; i++) {
            slope[i] = both[i].heat * cut->by_most * most;
            if (pipes->most[i] > 0.0)
                net_heat_slope(net, PINERY_HEADING_heat_lower + i, NODE_ELSEWHERE, NODE_PIPE_LOWER + i, column,
                               slope[i]);
        }
        demand_slope(work, net, got, column, slope, own);
        net_meter_slope(net, PINERY_METER_power_pumps, column, slope[0] * pipes->pump[0] + slope[1] * pipes->pump[1]);
    }
}

static void book_slopes(struct pinery_year_work *work, const struct pinery_year_net *net, const struct circuit both[2],
                        const struct got *got, const struct cut *cut) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_pipes *pipes = &model->pipes;
    double slope[2][CAUSES], gas[CAUSES], pumps[CAUSES], per_gas = 1.0 / model->house.boiler.efficiency;
    for (int k = 0; k < CAUSES; k++) {
        double by_share = cut->by_heat * (both[0].by[k] + both[1].by[k]);
        slope[0][k] = cut->share * both[0].by[k] + both[0].heat * by_share;
        slope[1][k] = cut->share * both[1].by[k] + both[1].heat * by_share;
        gas[k] = (slope[0][k] + slope[1][k]) * per_gas;
        pumps[k] = slope[0][k] * pipes->pump[0] + slope[1][k] * pipes->pump[1];
    }
    for (int i = 0; i < 2; i++)
        pinery_year_slopes_add_set(net->slope, &pipes->heat[i], slope[i]);
    pinery_year_slopes_add_set(net->slope, &pipes->pumps, pumps);
    if (!model->sources) {
        pinery_year_slopes_add_set(net->slope, &pipes->gas, gas);
        return;
    }
    for (int k = 0; k < CAUSES; k++)
        if (!net_by_nothing(net, pipes->column[k]))
            demand_slope(work, net, got, pipes->column[k], (const double[]){slope[0][k], slope[1][k]},
                         (const double[]){k == BY_LOWER, k == BY_UPPER});
}

static void book(struct pinery_year_work *work, const struct pinery_year_net *net, const struct circuit both[2],
                 const struct cut *cut, struct pinery_pair ready, int before) {
    const struct pinery_year_pipes *pipes = &work->model->pipes;
    struct got got = {.heat = {0.0, 0.0}};
    for (int i = 0; i < 2; i++) {
        if (!(pipes->most[i] > 0.0))
            continue;
        got.heat[i] = cut->share * both[i].heat;
        got.water[i] = pinery_equip_pipe_spread(work->state.T[NODE_PIPE_LOWER + i], got.heat[i], pipes->flow[i]);
        net_heat(net, PINERY_HEADING_heat_lower + i, NODE_ELSEWHERE, NODE_PIPE_LOWER + i, got.heat[i]);
        pinery_year_take_heat(work, net, got.heat[i], got.water[i].back);
    }
    net_meter(net, PINERY_METER_power_pumps, got.heat[0] * pipes->pump[0] + got.heat[1] * pipes->pump[1]);
    if (!net->slope)
        return;
    book_slopes(work, net, both, &got, cut);
    if (cut->share != 1.0 || cut->by_heat != 0.0)
        by_what_is_left(work, net, both, &got, cut, ready, before);
}

static void meter_short(struct pinery_year_work *work, const struct pinery_year_net *net, const struct circuit both[2],
                        const struct cut *cut, struct pinery_pair ready, int before) {
    const int *column = work->model->pipes.column;
    net_meter(net, PINERY_METER_heat_short, cut->over);
    if (!net->slope || cut->over == 0.0)
        return;
    for (int k = 0; k < CAUSES; k++)
        net_meter_slope(net, PINERY_METER_heat_short, column[k], cut->over_by_heat * (both[0].by[k] + both[1].by[k]));
    for (int k = 0; k < before; k++)
        net_meter_slope(net, PINERY_METER_heat_short, work->demand.column[k],
                        -cut->over_by_most * work->demand.slope[k]);
    net_meter_slope(net, PINERY_METER_heat_short, net->at->heat[NODE_TANK], cut->over_by_most * ready.d_a);
    net_meter_slope(net, PINERY_METER_heat_short, net->at->heat[NODE_PIPE_LOWER], cut->over_by_most * ready.d_b);
}

void pinery_year_flow_heating(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const pinery_house *house = &model->house;
    const struct circuit both[2] = {circuit(work, 0, &house->pipe_lower, lower_ask(work)),
                                    circuit(work, 1, &house->pipe_upper, upper_ask(work))};
    struct cut cut = {.share = 1.0};
    struct pinery_pair ready = {0.0, 0.0, 0.0};
    int before = work->demand.n;
    if (model->limited) {
        double most = most_heat(work, &ready);
        cut = cut_to(both[0].heat + both[1].heat, most - work->demand.value);
    }
    book(work, net, both, &cut, ready, before);
    if (model->limited)
        meter_short(work, net, both, &cut, ready, before);
}
