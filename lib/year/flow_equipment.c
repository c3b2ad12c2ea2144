/* Lamp power into the lamps' bodies, fan power into the air; and the meters. */
#include "equip/fans.h"
#include "equip/lamps.h"
#include "year/flows.h"

/* The body takes what is neither light nor radiated (that is in flow_radiation.c); the meter all of it. */
static void lamps(struct pinery_year_work *work, const struct pinery_year_net *net) {
    for (int g = 0; g < PINERY_LAMPS; g++) {
        double output = work->state.act[ACT_LAMP + g];
        if (output == 0.0 || !(work->model->house.lamp[g].power > 0.0))
            continue;
        struct pinery_equip_lamp_power power = pinery_equip_lamp_run(&work->model->house.lamp[g], output);
        net_heat(net, PINERY_HEADING_lamp_body, NODE_ELSEWHERE, NODE_LAMP + g, power.convective);
        net_meter(net, PINERY_METER_power_lamps, power.electric);
        net_meter(net, PINERY_METER_light_lamps, power.photon_flux * 1e-6 * work->stack.lamp_par[g]);
    }
    net_meter(net, PINERY_METER_light_sun, work->state.light_crop * 1e-6 * PINERY_YEAR_SUN_PHOTONS);
}

/* A fan that rests, or whose speed is no unknown, has no slopes. */
static void fan(struct pinery_year_work *work, const struct pinery_year_net *net, const pinery_fan *fan, int act,
                int meter, bool rests) {
    int column = net->at->act[act];
    bool moves = net->slope && column != net->at->sink && !rests;
    if (!(fan->flow > 0.0) || (work->state.act[act] == 0.0 && !moves))
        return;
    struct pinery_equip_fan_output run = pinery_equip_fan_run(fan, work->state.act[act]);
    net_meter(net, meter, run.power);
    if (moves)
        net_meter_slope(net, meter, column, run.d_power);
    for (int i = 0; i < 2; i++) {
        double share = i ? 1.0 - fan->lower_share : fan->lower_share;
        net_heat(net, PINERY_HEADING_fan_heat, NODE_ELSEWHERE, NODE_AIR_LOWER + i, share * run.power);
        if (moves)
            net_heat_slope(net, PINERY_HEADING_fan_heat, NODE_ELSEWHERE, NODE_AIR_LOWER + i, column,
                           share * run.d_power);
    }
}

void pinery_year_flow_equipment(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const pinery_house *house = &work->model->house;
    bool rests = pinery_year_rests(&work->state, ACT_FAN_THROUGH, &work->orders.fan_through);
    lamps(work, net);
    fan(work, net, &house->fan_through, ACT_FAN_THROUGH, PINERY_METER_power_fan_through, rests);
    fan(work, net, &house->fan_circulation, ACT_FAN_CIRCULATION, PINERY_METER_power_fan_circulation, false);
}
