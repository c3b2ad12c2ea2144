/* The right-hand side: state, stack, then every flow in turn. */
#include <string.h>

#include "equip/fans.h"
#include "year/flows.h"

/* What the flows have in common: state, stack, the films of air at every face, and the wind along the house. */
static bool prepare(struct pinery_year_work *work, double time_s, const double *y, const struct pinery_year_net *net,
                    struct pinery_year_films *films) {
    if (!pinery_year_state_of(work, time_s, y))
        return false;
    memset(net->rate, 0, (size_t)(net->at->all + 1) * sizeof *net->rate);
    if (net->slope)
        net->slope->n = 0;
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
    if (!pinery_year_state_read_off(work, time_s, y))
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
    return true;
}
