/* Sun, lamp light and long wave, by the shares of the present stack (stack.c). Sun and lamps are functions of time, so
 * they have no slopes. */
#include "year/flows.h"

#include <math.h>

#include "air/psychro.h"

static int sun_heading(int node) {
    if (node == NODE_SOIL)
        return PINERY_HEADING_sun_floor;
    if (node == NODE_CANOPY_LOWER || node == NODE_CANOPY_UPPER)
        return PINERY_HEADING_sun_canopy;
    return node == NODE_COVER ? PINERY_HEADING_sun_cover : PINERY_HEADING_sun_cloths;
}

/* What every layer takes of the sun and of the lamps; light: of the leaves, per m2 of floor. */
static void shine(const struct pinery_year_work *work, const struct pinery_year_net *net, bool sun, bool lamps,
                  double light[2]) {
    const struct pinery_year_stack *stack = &work->stack;
    const struct pinery_year_outside *out = &work->state.out;
    double power[PINERY_LAMPS];
    for (int g = 0; g < PINERY_LAMPS; g++)
        power[g] = work->model->house.lamp[g].power * work->state.act[ACT_LAMP + g];
    for (int i = 0; i < stack->n_sw; i++) {
        const double *taken = stack->taken[i];
        double of_sun = out->beam * taken[0] + out->diffuse * taken[1], of_lamps = 0.0;
        for (int g = 0; g < PINERY_LAMPS; g++)
            of_lamps += power[g] * taken[2 + g];
        int node = stack->sw_node[i];
        if (sun)
            net_heat(net, sun_heading(node), NODE_ELSEWHERE, node, of_sun);
        if (lamps)
            net_heat(net, PINERY_HEADING_lamp_light, NODE_ELSEWHERE, node, of_lamps);
        if (node == NODE_CANOPY_LOWER || node == NODE_CANOPY_UPPER)
            light[node - NODE_CANOPY_LOWER] = of_sun + of_lamps;
    }
}

static void light(struct pinery_year_work *work, const struct pinery_year_net *net, struct pinery_year_films *films) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const struct pinery_year_outside *out = &s->out;
    double light[2] = {0.0, 0.0};
    bool sun = out->beam != 0.0 || out->diffuse != 0.0, lamps = false;
    for (int g = 0; g < PINERY_LAMPS; g++)
        lamps = lamps || s->act[ACT_LAMP + g] != 0.0;
    if (sun || lamps)
        shine(work, net, sun, lamps, light);
    for (int i = 0; i < 2; i++)
        films->leaf_light[i] = light[i] / s->leaf[i];
    /* what the cover and the walls keep of the sun on its way in */
    net_heat(net, PINERY_HEADING_sun_cover, NODE_ELSEWHERE, model->two_panes ? NODE_COVER_OUTER : NODE_COVER,
             out->cover_light);
    if (model->two_panes)
        net_heat(net, PINERY_HEADING_sun_cover, NODE_ELSEWHERE, NODE_COVER, out->inner_light);
    if (model->wall_area > 0.0)
        net_heat(net, PINERY_HEADING_sun_cover, NODE_ELSEWHERE, NODE_WALL, out->wall_light);
    /* Of the light that bars, gutters and trusses take, a half. Weathered aluminium and galvanised steel absorb half of
     * what falls on them and throw the rest back, half of it up: two thirds of what is lost is heat (absorptances 0.4
     * to 0.7, Duffie and Beckman, from memory). Trusses give it to the air inside, bars and gutters half of it. De
     * Zwart 1996, thesis Wageningen, from memory: a tenth of the sun behind the cover warms the air so, which would
     * be nine tenths of the light taken. The frame of the walls is left out. */
    net_heat(net, PINERY_HEADING_sun_structure, NODE_ELSEWHERE, model->roof_air, model->structure_sun * out->global);
}

static void longwave(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_stack *stack = &work->stack;
    const struct pinery_year_state *s = &work->state;
    double glow[STACK_ENDS], slope[STACK_ENDS]; /* black emission and its slope by temperature */
    for (int i = 0; i < stack->n_ends; i++) {
        double K = s->T[stack->lw_node[i]] + PINERY_AIR_ZERO_K, third = PINERY_HOUSE_STEFAN_BOLTZMANN * K * K * K;
        glow[i] = third * K;
        slope[i] = 4.0 * third;
    }
    struct pinery_year_link_flows flows;
    const struct pinery_year_longwave *pair = stack->pair;
    for (int k = 0; k < stack->n_pairs; k++)
        flows.flux[k] = pair[k].factor * (glow[pair[k].a] - glow[pair[k].b]);
    for (int k = 0; k < stack->n_pairs && net->slope; k++) {
        flows.by_from[k] = pair[k].factor * slope[pair[k].a];
        flows.by_to[k] = -pair[k].factor * slope[pair[k].b];
    }
    net_links(net, &stack->links, &flows);
    for (int g = 0; g < PINERY_LAMPS; g++) {
        double power = model->house.lamp[g].power * model->house.lamp[g].longwave_share * s->act[ACT_LAMP + g];
        for (int i = 0; i < stack->n_lw - 1 && power != 0.0; i++)
            net_heat(net, PINERY_HEADING_lamp_body, NODE_ELSEWHERE, stack->lw_node[i],
                     power * stack->lamp_longwave[g][i]);
    }
}

void pinery_year_flow_radiation(struct pinery_year_work *work, const struct pinery_year_net *net,
                                struct pinery_year_films *films) {
    light(work, net, films);
    longwave(work, net);
}
