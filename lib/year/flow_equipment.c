/* Boiler heat into the pipes, lamp power into the lamps' bodies, fan power into the air; and the meters.
 *
 * A circuit is asked for a temperature and takes boiler heat through its mixing valve in proportion to what is missing,
 * with a time constant of 120 s, up to its own limit and its share of the boiler's. Nothing is heated while nothing is
 * asked. */
#include "base/smooth.h"
#include "equip/boiler.h"
#include "equip/fans.h"
#include "equip/lamps.h"
#include "equip/pipes.h"
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

static void circuit(struct pinery_year_work *work, const struct pinery_year_net *net, int i, const pinery_pipe *pipe,
                    double boiler_share, struct ask ask) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const struct pinery_year_layout *at = net->at;
    int node = NODE_PIPE_LOWER + i, heading = PINERY_HEADING_heat_lower + i;
    double capacity = fmin(pipe->max_power, model->house.boiler.max_power * boiler_share);
    if (!(pipe->length > 0.0) || !(capacity > 0.0))
        return;
    double valve = model->store[node].capacity / valve_time, d_hot, d_lack, d_most;
    double target = pinery_base_at_most(ask.target, pipe->max_temperature, corner_K, &d_hot);
    double lack = pinery_base_hinge(valve * (target - s->T[node]), corner_W, &d_lack);
    double heat = ask.on * pinery_equip_deliver(lack, capacity, &d_most);
    net_heat(net, heading, NODE_ELSEWHERE, node, heat);
    double pump = pipe->pump_power / pipe->max_power;
    double flow = pipe->max_power / (pipe->drop * PINERY_YEAR_WATER_HEAT);
    struct pinery_equip_spread water = pinery_equip_pipe_spread(s->T[node], heat, flow);
    pinery_year_take_heat(work, net, heat, water.back);
    net_meter(net, PINERY_METER_power_pumps, heat * pump);
    if (!net->slope)
        return;
    double by_target = ask.on * d_most * d_lack * valve * d_hot;
    double by_ask = ask.fixed ? 0.0 : by_target * ask.d_target + (ask.on > 0.0 ? heat / ask.on : 0.0) * ask.d_on;
    double by_seen = ask.fixed ? 0.0 : by_target * (i == 0 && work->orders.pipe_least > 0.0 ? ask.d_target : 1.0);
    int column[5] = {at->heat[node], at->heat[NODE_AIR_LOWER], at->heat[NODE_AIR_UPPER],
                     model->roof_air > NODE_AIR_UPPER ? at->heat[model->roof_air] : at->sink, at->act[ACT_HEATING]};
    double slope[5] = {-ask.on * d_most * d_lack * valve, by_seen * s->d_seen_lower + by_ask * s->heating.by_air[0],
                       by_seen * s->d_seen_upper + by_ask * s->heating.by_air[1], by_ask * s->heating.by_roof,
                       by_ask * s->heating.by_integral};
    for (int k = 0; k < 5; k++) {
        net_heat_slope(net, heading, NODE_ELSEWHERE, node, column[k], slope[k]);
        pinery_year_take_heat_slope(work, net, column[k], slope[k], heat, water.back,
                                    (k == 0 ? 1.0 : 0.0) - water.d_heat * slope[k]);
        net_meter_slope(net, PINERY_METER_power_pumps, column[k], slope[k] * pump);
    }
}

static void pipes(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const pinery_house *house = &work->model->house;
    double lower = house->pipe_lower.length > 0.0 ? house->pipe_lower.max_power : 0.0;
    double upper = house->pipe_upper.length > 0.0 ? house->pipe_upper.max_power : 0.0;
    double share = lower + upper > 0.0 ? lower / (lower + upper) : 0.0;
    circuit(work, net, 0, &house->pipe_lower, share, lower_ask(work));
    circuit(work, net, 1, &house->pipe_upper, 1.0 - share, upper_ask(work));
}

/* The body takes what is neither light nor radiated (that is in flow_radiation.c); the meter all of it. */
static void lamps(struct pinery_year_work *work, const struct pinery_year_net *net) {
    for (int g = 0; g < PINERY_LAMPS; g++) {
        const pinery_lamp *lamp = &work->model->house.lamp[g];
        if (!(lamp->power > 0.0))
            continue;
        struct pinery_equip_lamp_power full = pinery_equip_lamp_run(lamp, 1.0);
        double output = work->state.act[ACT_LAMP + g];
        double photons = full.photon_flux * 1e-6 * work->stack.lamp_par[g];
        net_heat(net, PINERY_HEADING_lamp_body, NODE_ELSEWHERE, NODE_LAMP + g, full.convective * output);
        net_meter(net, PINERY_METER_power_lamps, full.electric * output);
        net_meter(net, PINERY_METER_light_lamps, photons * output);
        if (net->slope) {
            int column = net->at->act[ACT_LAMP + g];
            net_heat_slope(net, PINERY_HEADING_lamp_body, NODE_ELSEWHERE, NODE_LAMP + g, column, full.convective);
            net_meter_slope(net, PINERY_METER_power_lamps, column, full.electric);
            net_meter_slope(net, PINERY_METER_light_lamps, column, photons);
        }
    }
    net_meter(net, PINERY_METER_light_sun, work->state.light_crop * 1e-6 * PINERY_YEAR_SUN_PHOTONS);
}

static void fan(struct pinery_year_work *work, const struct pinery_year_net *net, const pinery_fan *fan, int act,
                int meter) {
    if (!(fan->flow > 0.0))
        return;
    struct pinery_equip_fan_output run = pinery_equip_fan_run(fan, work->state.act[act]);
    net_meter(net, meter, run.power);
    if (net->slope)
        net_meter_slope(net, meter, net->at->act[act], run.d_power);
    for (int i = 0; i < 2; i++) {
        double share = i ? 1.0 - fan->lower_share : fan->lower_share;
        net_heat(net, PINERY_HEADING_fan_heat, NODE_ELSEWHERE, NODE_AIR_LOWER + i, share * run.power);
        if (net->slope)
            net_heat_slope(net, PINERY_HEADING_fan_heat, NODE_ELSEWHERE, NODE_AIR_LOWER + i, net->at->act[act],
                           share * run.d_power);
    }
}

void pinery_year_flow_equipment(struct pinery_year_work *work, const struct pinery_year_net *net) {
    pipes(work, net);
    lamps(work, net);
    fan(work, net, &work->model->house.fan_through, ACT_FAN_THROUGH, PINERY_METER_power_fan_through);
    fan(work, net, &work->model->house.fan_circulation, ACT_FAN_CIRCULATION, PINERY_METER_power_fan_circulation);
}
