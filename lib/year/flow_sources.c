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
#include "equip/boiler.h"
#include "equip/sources.h"
#include "equip/tank.h"
#include "year/flows.h"

/* In the order of use: flue gas, then the sources as they are listed. */
enum { FLUE, FIRST, N = FIRST + PINERY_SOURCES };

/* A result with its slopes by the demand, the heat of the flue gas, and the tank's power to take and to give. */
struct share {
    double value, by_demand, by_flue, by_room, by_ready;
};

/* What the shares' slopes go by, in turn. */
struct causes {
    struct pinery_year_work *work;
    const struct pinery_year_net *net;
    double room_T;            /* of the tank's power to take, by its temperature */
    struct pinery_pair ready; /* of its power to give, by its temperature and that of the lower pipes */
    double flue_act, flue_tank,
        flue_back[PINERY_YEAR_DEMANDS]; /* of flue heat, by ACT_CARBON, tank, demand's columns */
};

typedef void writer(const struct pinery_year_net *net, int what, int column, double slope);

static void slopes(const struct causes *by, writer *write, int what, struct share q, double factor) {
    const struct pinery_year_demand *demand = &by->work->demand;
    const struct pinery_year_layout *at = by->net->at;
    for (int k = 0; k < demand->n; k++)
        write(by->net, what, demand->column[k],
              factor * (q.by_demand * demand->slope[k] + q.by_flue * by->flue_back[k]));
    write(by->net, what, at->act[ACT_CARBON], factor * q.by_flue * by->flue_act);
    write(by->net, what, at->heat[NODE_TANK],
          factor * (q.by_flue * by->flue_tank + q.by_room * by->room_T + q.by_ready * by->ready.d_a));
    write(by->net, what, at->heat[NODE_PIPE_LOWER], factor * q.by_ready * by->ready.d_b);
}

static void meter(const struct causes *by, int which, struct share q, double factor) {
    net_meter(by->net, which, factor * q.value);
    if (by->net->slope)
        slopes(by, net_meter_slope, which, q, factor);
}

static void fills(const struct pinery_year_net *net, int heading, int column, double slope) {
    net_heat_slope(net, heading, NODE_ELSEWHERE, NODE_TANK, column, slope);
}

static void empties(const struct pinery_year_net *net, int heading, int column, double slope) {
    net_heat_slope(net, heading, NODE_TANK, NODE_ELSEWHERE, column, slope);
}

/* The temperature at which water comes back to the boiler: that of all heat mixed, as the sources stand side by side
 * and get the same; a: the heat, b: heat times temperature. Where there is none it is no matter. */
static struct pinery_pair mixed(double heat, double back) {
    const double none = 1e-3, cool = 40.0; /* W/m2, degC */
    double all = heat + none, T = (back + none * cool) / all;
    return (struct pinery_pair){T, -T / all, 1.0 / all};
}

/* Heat of gas burnt for the crop, with a condenser: it goes into the water of the house and of the tank, whose bottom
 * is as cold as when it is empty, or as the rest of a mixed one, in the measure that they can take it. */
static double condensed(struct causes *by, double room) {
    struct pinery_year_work *work = by->work;
    const struct pinery_year_model *model = work->model;
    const pinery_boiler *boiler = &model->house.boiler;
    const struct pinery_year_demand *demand = &work->demand;
    bool layered = model->house.tank.kind == 0;
    double bottom = layered ? model->house.tank.cold : work->state.T[NODE_TANK];
    struct pinery_pair T = mixed(demand->value + room, demand->back + room * bottom);
    double load = boiler->max_power > 0.0 ? demand->flue / boiler->max_power : 0.0;
    struct pinery_pair gain = pinery_equip_condenser_gain(boiler, T.value, load, model->pressure);
    double all = 1.0 + gain.value / boiler->efficiency, by_T = demand->flue * gain.d_a / boiler->efficiency;
    by->flue_act = demand->d_flue * (all + load * gain.d_b / boiler->efficiency);
    by->flue_tank = by_T * ((T.d_a + T.d_b * bottom) * by->room_T + (layered ? 0.0 : T.d_b * room));
    for (int k = 0; k < demand->n; k++)
        by->flue_back[k] = by_T * (T.d_a * demand->slope[k] + T.d_b * demand->back_slope[k]);
    return demand->flue * all;
}

/* Gas for the boiler's heat. */
static void burn(const struct causes *by, struct share q) {
    struct pinery_year_work *work = by->work;
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_demand *demand = &work->demand;
    if (!model->by_return) {
        meter(by, PINERY_METER_gas, q, 1.0 / model->house.boiler.efficiency);
        return;
    }
    struct pinery_pair T = mixed(demand->value, demand->back);
    struct pinery_pair gas = pinery_equip_boiler_burn(&model->house.boiler, q.value, T.value, model->pressure);
    net_meter(by->net, PINERY_METER_gas, gas.value);
    if (!by->net->slope)
        return;
    slopes(by, net_meter_slope, PINERY_METER_gas, q, gas.d_a);
    for (int k = 0; k < demand->n; k++)
        net_meter_slope(by->net, PINERY_METER_gas, demand->column[k],
                        gas.d_b * (T.d_a * demand->slope[k] + T.d_b * demand->back_slope[k]));
}

struct pinery_pair pinery_year_tank_ready(const struct pinery_year_work *work) {
    const pinery_house *house = &work->model->house;
    const struct pinery_year_state *s = &work->state;
    if (!(house->tank.volume > 0.0))
        return (struct pinery_pair){0.0, 0.0, 0.0};
    bool pipes = house->pipe_lower.length > 0.0;
    double most = house->tank.max_power, asked = pipes ? s->T[NODE_PIPE_LOWER] : house->tank.cold;
    struct pinery_pair ready = pinery_equip_tank_ready(&house->tank, s->T[NODE_TANK], asked);
    return (struct pinery_pair){most * ready.value, most * ready.d_a, pipes ? most * ready.d_b : 0.0};
}

static void lose(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_state *s = &work->state;
    double loss = work->model->tank_loss;
    net_heat(net, PINERY_HEADING_tank_loss, NODE_TANK, NODE_OUTSIDE, loss * (s->T[NODE_TANK] - s->T[NODE_OUTSIDE]));
    if (net->slope)
        net_heat_slope(net, PINERY_HEADING_tank_loss, NODE_TANK, NODE_OUTSIDE, net->at->heat[NODE_TANK], loss);
}

/* Of the gas for carbon dioxide that whose heat nobody took: fuel excess/flue, with fuel in proportion to the dose. */
static void burnt_for_nothing(const struct causes *by, struct share excess, double flue) {
    const struct pinery_year_demand *demand = &by->work->demand;
    double efficiency = by->work->model->house.boiler.efficiency, per = demand->flue / efficiency / flue;
    excess.by_flue -= excess.value / flue;
    meter(by, PINERY_METER_gas_flue_only, excess, per);
    if (by->net->slope)
        net_meter_slope(by->net, PINERY_METER_gas_flue_only, by->net->at->act[ACT_CARBON],
                        excess.value / flue * demand->d_flue / efficiency);
}

/* What each gave, what nobody took, and the electricity for it. */
static void meters(const struct causes *by, const struct share given[N], double flue,
                   const struct pinery_equip_engine *engine) {
    const struct pinery_year_net *net = by->net;
    const struct pinery_year_model *model = by->work->model;
    const struct pinery_year_state *s = &by->work->state;
    const pinery_house *house = &model->house;
    double cooled = flue - given[FLUE].value;
    if (model->house.carbon.balance && net->at->meter[PINERY_METER_heat_flue] != net->at->sink) {
        struct share excess = {cooled, -given[FLUE].by_demand, 1.0 - given[FLUE].by_flue, -given[FLUE].by_room, 0.0};
        meter(by, PINERY_METER_heat_flue, given[FLUE], 1.0);
        meter(by, PINERY_METER_heat_cooled, excess, 1.0);
        if (flue > 0.0)
            burnt_for_nothing(by, excess, flue);
    }
    if (house->cogeneration.power > 0.0) {
        const struct share *takes = &given[FIRST + PINERY_COGENERATION];
        struct share excess = {engine->heat - takes->value, -takes->by_demand, -takes->by_flue, -takes->by_room, 0.0};
        meter(by, PINERY_METER_heat_cogeneration, *takes, 1.0);
        meter(by, PINERY_METER_heat_cooled, excess, 1.0);
        net_meter(net, PINERY_METER_gas, engine->fuel);
        net_meter(net, PINERY_METER_gas_cogeneration, engine->fuel);
        net_meter(net, PINERY_METER_electricity_made, engine->power);
    }
    if (house->bought_heat.heat > 0.0) {
        meter(by, PINERY_METER_heat_bought, given[FIRST + PINERY_BOUGHT], 1.0);
        meter(by, PINERY_METER_power_bought_heat, given[FIRST + PINERY_BOUGHT], house->bought_heat.pump_power);
    }
    if (house->heat_pump.heat > 0.0) {
        const pinery_heat_pump *pump = &house->heat_pump;
        double source = pump->source == 0 ? s->T[NODE_OUTSIDE] : pump->ground_temperature;
        double per_heat = 1.0 / pinery_equip_heat_pump(pump, pump->sink, source).value;
        meter(by, PINERY_METER_heat_pump, given[FIRST + PINERY_HEAT_PUMP], 1.0);
        meter(by, PINERY_METER_power_heat_pump, given[FIRST + PINERY_HEAT_PUMP], per_heat);
    }
    if (house->electric_boiler.heat > 0.0)
        meter(by, PINERY_METER_power_electric_boiler, given[FIRST + PINERY_ELECTRIC],
              1.0 / house->electric_boiler.efficiency);
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
    struct causes by;
    by.work = work;
    by.net = net;
    by.room_T = by.flue_tank = 0.0;
    by.flue_act = work->demand.d_flue;
    for (int k = 0; k < work->demand.n; k++)
        by.flue_back[k] = 0.0;
    double capacity[N], left[N], room = 0.0;
    if (tank) {
        double most = house->tank.max_power * work->orders.tank_fill;
        room = most * pinery_equip_tank_room(&house->tank, s->T[NODE_TANK], &by.room_T);
        by.room_T *= most;
    }
    capacity[FLUE] = model->by_return && work->demand.flue > 0.0 ? condensed(&by, room) : work->demand.flue;
    capacity[FIRST + PINERY_COGENERATION] = engine.heat;
    capacity[FIRST + PINERY_BOUGHT] = house->bought_heat.heat * act[PINERY_BOUGHT];
    capacity[FIRST + PINERY_HEAT_PUMP] = house->heat_pump.heat * act[PINERY_HEAT_PUMP];
    capacity[FIRST + PINERY_ELECTRIC] = house->electric_boiler.heat * act[PINERY_ELECTRIC];

    struct pinery_equip_turn used[N], fill[N], emptied = {.heat = 0.0};
    struct pinery_equip_turn rest = pinery_equip_in_turn(work->demand.value, capacity, N, used);
    for (int i = 0; i < N; i++)
        left[i] = capacity[i] - used[i].heat;

    struct pinery_pair ready = pinery_year_tank_ready(work);
    if (tank)
        lose(work, net);
    by.ready = ready;
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
        net_heat(net, PINERY_HEADING_tank_in, NODE_ELSEWHERE, NODE_TANK, filled.value);
        net_heat(net, PINERY_HEADING_tank_out, NODE_TANK, NODE_ELSEWHERE, gives.value);
        if (net->slope) {
            slopes(&by, fills, PINERY_HEADING_tank_in, filled, 1.0);
            slopes(&by, empties, PINERY_HEADING_tank_out, gives, 1.0);
        }
    }
    burn(&by, boiler);
    meter(&by, PINERY_METER_heat_boiler, boiler, 1.0);
    meters(&by, given, capacity[FLUE], &engine);
}
