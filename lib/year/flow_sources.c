/* Where the heat comes from, in a house that has more than a boiler. What pipes, coils and brine take in a moment is
 * one demand [W/m2]; heat of gas burnt for carbon dioxide, engine, bought heat, heat pump and electric boiler meet it
 * in this order, each with what it may give; with what they have left they fill the tank; what they lack the tank
 * gives, and last the boiler.
 *
 * An engine runs at the load it is told and gas is burnt for the crop, so their heat is there whether wanted or not:
 * what neither the house nor the tank takes is cooled away, and metered. The others give no more than is taken.
 *
 * The books of house and tank: the tank is a place of the house, filled and emptied through its border (what it gives
 * comes in again as heat of the pipes). It stands in the open. */
#include "equip/sources.h"
#include "equip/tank.h"
#include "year/flows.h"

/* In the order of use: flue gas, then the sources as they are listed. */
enum { FLUE, FIRST, N = FIRST + PINERY_SOURCES };

/* A result with its slopes by the demand, the heat of the flue gas, and the tank's power to take and to give. */
struct share {
    double value, by_demand, by_flue, by_room, by_ready;
};

static void meter(struct pinery_year_work *work, const struct pinery_year_net *net, int which, struct share q,
                  double factor, double room_T, struct pinery_pair ready_T) {
    net_meter(net, which, factor * q.value);
    if (!net->slope)
        return;
    const struct pinery_year_demand *demand = &work->demand;
    for (int k = 0; k < demand->n; k++)
        net_meter_slope(net, which, demand->column[k], factor * q.by_demand * demand->slope[k]);
    net_meter_slope(net, which, net->at->act[ACT_CARBON], factor * q.by_flue * demand->d_flue);
    net_meter_slope(net, which, net->at->heat[NODE_TANK], factor * (q.by_room * room_T + q.by_ready * ready_T.d_a));
    net_meter_slope(net, which, net->at->heat[NODE_PIPE_LOWER], factor * q.by_ready * ready_T.d_b);
}

static void heat(struct pinery_year_work *work, const struct pinery_year_net *net, int heading, int from, int to,
                 struct share q, double room_T, struct pinery_pair ready_T) {
    net_heat(net, heading, from, to, q.value);
    if (!net->slope)
        return;
    const struct pinery_year_demand *demand = &work->demand;
    for (int k = 0; k < demand->n; k++)
        net_heat_slope(net, heading, from, to, demand->column[k], q.by_demand * demand->slope[k]);
    net_heat_slope(net, heading, from, to, net->at->act[ACT_CARBON], q.by_flue * demand->d_flue);
    net_heat_slope(net, heading, from, to, net->at->heat[NODE_TANK], q.by_room * room_T + q.by_ready * ready_T.d_a);
    net_heat_slope(net, heading, from, to, net->at->heat[NODE_PIPE_LOWER], q.by_ready * ready_T.d_b);
}

static void lose(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_state *s = &work->state;
    double loss = work->model->tank_loss;
    net_heat(net, PINERY_HEADING_tank_loss, NODE_TANK, NODE_OUTSIDE, loss * (s->T[NODE_TANK] - s->T[NODE_OUTSIDE]));
    if (net->slope)
        net_heat_slope(net, PINERY_HEADING_tank_loss, NODE_TANK, NODE_OUTSIDE, net->at->heat[NODE_TANK], loss);
}

void pinery_year_flow_sources(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    if (!model->sources)
        return;
    const pinery_house *house = &model->house;
    const struct pinery_year_state *s = &work->state;
    const double *act = s->act + ACT_SOURCE;
    bool tank = net->at->heat[NODE_TANK] != net->at->sink;
    struct pinery_equip_engine engine = pinery_equip_engine(&house->cogeneration, act[PINERY_COGENERATION]);
    double capacity[N], left[N];
    capacity[FLUE] = work->demand.flue;
    capacity[FIRST + PINERY_COGENERATION] = engine.heat;
    capacity[FIRST + PINERY_BOUGHT] = house->bought_heat.heat * act[PINERY_BOUGHT];
    capacity[FIRST + PINERY_HEAT_PUMP] = house->heat_pump.heat * act[PINERY_HEAT_PUMP];
    capacity[FIRST + PINERY_ELECTRIC] = house->electric_boiler.heat * act[PINERY_ELECTRIC];

    struct pinery_equip_turn used[N], fill[N], emptied = {.heat = 0.0};
    struct pinery_equip_turn rest = pinery_equip_in_turn(work->demand.value, capacity, N, used);
    for (int i = 0; i < N; i++)
        left[i] = capacity[i] - used[i].heat;

    double room_T = 0.0, room = 0.0;
    struct pinery_pair ready = {0.0, 0.0, 0.0};
    if (tank) {
        double most = house->tank.max_power;
        room = most * work->orders.tank_fill * pinery_equip_tank_room(&house->tank, s->T[NODE_TANK], &room_T);
        room_T *= most * work->orders.tank_fill;
        double asked = house->pipe_lower.length > 0.0 ? s->T[NODE_PIPE_LOWER] : house->tank.cold;
        ready = pinery_equip_tank_ready(&house->tank, s->T[NODE_TANK], asked);
        ready = (struct pinery_pair){most * ready.value, most * ready.d_a,
                                     house->pipe_lower.length > 0.0 ? most * ready.d_b : 0.0};
        lose(work, net);
    }
    pinery_equip_in_turn(room, left, N, fill);
    struct pinery_equip_turn last = pinery_equip_in_turn(rest.heat, &ready.value, 1, &emptied);

    struct share given[N], filled = {0.0, 0.0, 0.0, 0.0, 0.0};
    for (int i = 0; i < N; i++) {
        double by_demand = 0.0, by_flue = fill[i].by_capacity[FLUE]; /* by what the house has left for the tank */
        for (int k = 0; k < N; k++) {
            by_demand -= fill[i].by_capacity[k] * used[k].by_demand;
            by_flue -= fill[i].by_capacity[k] * used[k].by_capacity[FLUE];
        }
        given[i] = (struct share){.value = used[i].heat + fill[i].heat,
                                  .by_demand = used[i].by_demand + by_demand,
                                  .by_flue = used[i].by_capacity[FLUE] + by_flue,
                                  .by_room = fill[i].by_demand};
        filled.value += fill[i].heat;
        filled.by_demand += by_demand;
        filled.by_flue += by_flue;
        filled.by_room += fill[i].by_demand;
    }
    struct share gives = {.value = emptied.heat,
                          .by_demand = emptied.by_demand * rest.by_demand,
                          .by_flue = emptied.by_demand * rest.by_capacity[FLUE],
                          .by_ready = emptied.by_capacity[0]};
    struct share boiler = {.value = last.heat,
                           .by_demand = last.by_demand * rest.by_demand,
                           .by_flue = last.by_demand * rest.by_capacity[FLUE],
                           .by_ready = last.by_capacity[0]};
    if (tank) {
        heat(work, net, PINERY_HEADING_tank_in, NODE_ELSEWHERE, NODE_TANK, filled, room_T, ready);
        heat(work, net, PINERY_HEADING_tank_out, NODE_TANK, NODE_ELSEWHERE, gives, room_T, ready);
    }
    meter(work, net, PINERY_METER_gas, boiler, 1.0 / house->boiler.efficiency, room_T, ready);
    meter(work, net, PINERY_METER_heat_boiler, boiler, 1.0, room_T, ready);
    double cooled = capacity[FLUE] - given[FLUE].value;
    if (model->house.carbon.balance && net->at->meter[PINERY_METER_heat_flue] != net->at->sink) {
        struct share excess = {cooled, -given[FLUE].by_demand, 1.0 - given[FLUE].by_flue, -given[FLUE].by_room, 0.0};
        meter(work, net, PINERY_METER_heat_flue, given[FLUE], 1.0, room_T, ready);
        meter(work, net, PINERY_METER_heat_cooled, excess, 1.0, room_T, ready);
    }
    if (house->cogeneration.power > 0.0) {
        const struct share *takes = &given[FIRST + PINERY_COGENERATION];
        struct share excess = {engine.heat - takes->value, -takes->by_demand, -takes->by_flue, -takes->by_room, 0.0};
        meter(work, net, PINERY_METER_heat_cogeneration, *takes, 1.0, room_T, ready);
        meter(work, net, PINERY_METER_heat_cooled, excess, 1.0, room_T, ready);
        net_meter(net, PINERY_METER_gas, engine.fuel);
        net_meter(net, PINERY_METER_gas_cogeneration, engine.fuel);
        net_meter(net, PINERY_METER_electricity_made, engine.power);
    }
    if (house->bought_heat.heat > 0.0) {
        meter(work, net, PINERY_METER_heat_bought, given[FIRST + PINERY_BOUGHT], 1.0, room_T, ready);
        meter(work, net, PINERY_METER_power_bought_heat, given[FIRST + PINERY_BOUGHT], house->bought_heat.pump_power,
              room_T, ready);
    }
    if (house->heat_pump.heat > 0.0) {
        const pinery_heat_pump *pump = &house->heat_pump;
        double source = pump->source == 0 ? s->T[NODE_OUTSIDE] : pump->ground_temperature;
        double per_heat = 1.0 / pinery_equip_heat_pump(pump, pump->sink, source).value;
        meter(work, net, PINERY_METER_heat_pump, given[FIRST + PINERY_HEAT_PUMP], 1.0, room_T, ready);
        meter(work, net, PINERY_METER_power_heat_pump, given[FIRST + PINERY_HEAT_PUMP], per_heat, room_T, ready);
    }
    if (house->electric_boiler.heat > 0.0)
        meter(work, net, PINERY_METER_power_electric_boiler, given[FIRST + PINERY_ELECTRIC],
              1.0 / house->electric_boiler.efficiency, room_T, ready);
}
