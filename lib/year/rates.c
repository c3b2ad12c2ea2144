/* The right-hand side: state, stack, then every flow in turn; and slopes turned from the convenient variables into the
 * unknowns themselves. */
#include <string.h>

#include "equip/fans.h"
#include "year/flows.h"
#include "year/wide.h"

/* Slopes by T and by W at fixed T become slopes by E and by W:  d/dE = (dT/dE) d/dT,  d/dW = d/dW|T + (dT/dW) d/dT. */
PINERY_YEAR_WIDE static void chain(const struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_layout *at = net->at;
    const struct pinery_year_state *s = &work->state;
    double scale[PINERY_YEAR_N_NODES * 2 + PINERY_YEAR_N_ACTS + 1];
    int width = at->width, wet = 0, heat[PINERY_YEAR_N_NODES], water[PINERY_YEAR_N_NODES];
    double by_water[PINERY_YEAR_N_NODES];
    for (int j = 0; j < at->width; j++)
        scale[j] = 1.0;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++) {
        if (at->heat[node] != at->sink)
            scale[at->heat[node]] = s->d_T_heat[node];
        if (at->water[node] != at->sink) {
            heat[wet] = at->heat[node];
            water[wet] = at->water[node];
            by_water[wet++] = s->d_T_water[node];
        }
    }
    for (int row = 0; row < at->all; row++) {
        double *line = net->slope + (size_t)row * (size_t)at->width;
        for (int k = 0; k < wet; k++)
            line[water[k]] += by_water[k] * line[heat[k]];
        PINERY_YEAR_EACH
        for (int j = 0; j < width; j++)
            line[j] *= scale[j];
    }
}

/* What the flows have in common: state, stack, the films of air at every face, and the wind along the house. */
static bool prepare(struct pinery_year_work *work, double time_s, const double *y, const struct pinery_year_net *net,
                    struct pinery_year_films *films) {
    if (!pinery_year_state_of(work, time_s, y))
        return false;
    memset(net->rate, 0, (size_t)(net->at->all + 1) * sizeof *net->rate);
    if (net->slope)
        memset(net->slope, 0, (size_t)(net->at->all + 1) * (size_t)net->at->width * sizeof *net->slope);
    pinery_year_stack_update(work);
    work->state.fan_circulation =
        pinery_equip_fan_run(&work->model->house.fan_circulation, work->state.act[ACT_FAN_CIRCULATION]).flow;
    pinery_year_flow_surfaces(work, net, films);
    pinery_year_along(work, films);
    return true;
}

bool pinery_year_observe(struct pinery_year_work *work, double time_s, const double *y,
                         const struct pinery_year_net *net) {
    struct pinery_year_films films;
    if (work->exact || !work->stack.valid || isnan(work->state.along_time))
        return prepare(work, time_s, y, net, &films);
    if (!pinery_year_state_of(work, time_s, y))
        return false;
    pinery_year_stack_light(work);
    pinery_year_along_differences(work);
    return true;
}

bool pinery_year_rates(struct pinery_year_work *work, double time_s, const double *y,
                       const struct pinery_year_net *net) {
    struct pinery_year_films films;
    if (!prepare(work, time_s, y, net, &films))
        return false;
    work->demand.value = work->demand.back = 0.0;
    work->demand.n = 0;
    pinery_year_flow_acts(work, net);
    pinery_year_flow_radiation(work, net, &films);
    pinery_year_flow_water(work, net, &films);
    pinery_year_flow_air(work, net);
    pinery_year_flow_equipment(work, net);
    pinery_year_flow_drying(work, net);
    pinery_year_flow_heating(work, net);
    pinery_year_flow_carbon(work, net);
    pinery_year_flow_sources(work, net);
    if (work->model->unbooked != 0.0)
        net->rate[net->at->heat[NODE_AIR_UPPER]] += work->model->unbooked;
    if (net->slope)
        chain(work, net);
    return true;
}
