/* The net of flows: the only writer of derivatives.
 *
 * The unknowns are, in this order: heat and water of the nodes [J/m2, kg/m2], positions of actuators, and the running
 * totals of every heading and meter. A flow is written once as {heading, from, to}: it is taken from one node, given to
 * the other and added to its total in one call, so the books close whatever the flow is worth. With `slope` set, a
 * flow's slopes are written the same way, by columns of convenient variables: the temperature of a node stands in the
 * column of its heat, the mass of water in the column of its water, a position in its own column. net_chain turns them
 * into slopes by the unknowns themselves.
 *
 * What does not exist in this house has row or column `sink`, which nobody reads. */
#ifndef PINERY_YEAR_NET_H
#define PINERY_YEAR_NET_H

#include "pinery/headings.h"
#include "pinery/ledger.h"
#include "year/nodes.h"
#include "year/pattern.h"

/* Where everything stands in the vector of unknowns; made once by the build. */
struct pinery_year_layout {
    int n;     /* physical unknowns: heat, water, positions */
    int all;   /* with the running totals */
    int sink;  /* = all */
    int width; /* columns of the slope matrix: n + 1, the last for what does not exist */
    int heat[PINERY_YEAR_N_ENDS], water[PINERY_YEAR_N_ENDS], act[PINERY_YEAR_N_ACTS];
    int heat_total[PINERY_N_HEADINGS], water_total[PINERY_N_HEADINGS], meter[PINERY_N_METERS];
    int nodes, node[PINERY_YEAR_N_NODES]; /* those that are there */
    /* and the totals that are there, as they follow each other from n on */
    int heats, waters, meters;
    int heat_of[PINERY_N_HEADINGS], water_of[PINERY_N_HEADINGS], meter_of[PINERY_N_METERS];
};

struct pinery_year_net {
    const struct pinery_year_layout *at;
    double *rate;                        /* all + 1 */
    double *slope;                       /* (all + 1) x width, row by row; NULL: rates only */
    struct pinery_year_pattern *pattern; /* of the entries of slope */
};

/* Column of the temperature (or water, or position) in the slope matrix. */
static inline int net_column(const struct pinery_year_layout *at, int row) {
    return row == at->sink ? at->n : row;
}

/* Slope of a row by the variable of a column, which is one of the matrix. */
static inline void net_add(const struct pinery_year_net *net, int row, int column, double slope) {
    size_t place = (size_t)row * (size_t)net->at->width + (size_t)column;
    net->slope[place] += slope;
    pinery_year_pattern_see(net->pattern, place);
}

/* Heat flux [W/m2] of a heading between two ends. */
static inline void net_heat(const struct pinery_year_net *net, int heading, int from, int to, double flux) {
    net->rate[net->at->heat[from]] -= flux;
    net->rate[net->at->heat[to]] += flux;
    net->rate[net->at->heat_total[heading]] += flux;
}

/* Its slope by the variable in `column` (a row of the layout). */
static inline void net_heat_slope(const struct pinery_year_net *net, int heading, int from, int to, int column,
                                  double slope) {
    if (slope == 0.0)
        return;
    column = net_column(net->at, column);
    net_add(net, net->at->heat[from], column, -slope);
    net_add(net, net->at->heat[to], column, slope);
    net_add(net, net->at->heat_total[heading], column, slope);
}

/* Water [kg/(m2 s)] with the heat that goes with it [W/m2]. */
static inline void net_water(const struct pinery_year_net *net, int heading, int from, int to, double mass,
                             double heat) {
    net->rate[net->at->water[from]] -= mass;
    net->rate[net->at->water[to]] += mass;
    net->rate[net->at->water_total[heading]] += mass;
    net_heat(net, heading, from, to, heat);
}

/* Their slopes by the variable in `column`. */
static inline void net_water_slope(const struct pinery_year_net *net, int heading, int from, int to, int column,
                                   double mass_slope, double heat_slope) {
    int own = net_column(net->at, column);
    net_heat_slope(net, heading, from, to, column, heat_slope);
    if (mass_slope == 0.0)
        return;
    net_add(net, net->at->water[from], own, -mass_slope);
    net_add(net, net->at->water[to], own, mass_slope);
    net_add(net, net->at->water_total[heading], own, mass_slope);
}

/* A meter [unit/s]. */
static inline void net_meter(const struct pinery_year_net *net, int meter, double rate) {
    net->rate[net->at->meter[meter]] += rate;
}

static inline void net_meter_slope(const struct pinery_year_net *net, int meter, int column, double slope) {
    if (slope != 0.0)
        net_add(net, net->at->meter[meter], net_column(net->at, column), slope);
}

/* The speed of an actuator [1/s], which nothing else books. */
static inline void net_act(const struct pinery_year_net *net, int act, double speed) {
    net->rate[net->at->act[act]] += speed;
}

static inline void net_act_slope(const struct pinery_year_net *net, int act, int column, double slope) {
    if (slope != 0.0)
        net_add(net, net->at->act[act], net_column(net->at, column), slope);
}

#endif
