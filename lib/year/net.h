/* The net of flows: the only writer of derivatives.
 *
 * The unknowns are, in this order: heat and water of the nodes [J/m2, kg/m2], positions of actuators, and the running
 * totals of every heading and meter. A flow is written once as {heading, from, to}: it is taken from one node, given to
 * the other and added to its total in one call, so the books close whatever the flow is worth. With `slope` set, a
 * flow's slopes are written the same way, by columns of convenient variables: the temperature of a node stands in the
 * column of its heat, the mass of water in the column of its water, a position in its own column. linear.c makes of
 * them what the solver needs.
 *
 * What does not exist in this house has row or column `sink`, which nobody reads. */
#ifndef PINERY_YEAR_NET_H
#define PINERY_YEAR_NET_H

#include "pinery/headings.h"
#include "pinery/ledger.h"
#include "year/nodes.h"
#include "year/slopes.h"

/* Where everything stands in the vector of unknowns; made once by the build. */
struct pinery_year_layout {
    int n;    /* physical unknowns: heat, water, positions */
    int all;  /* with the running totals */
    int sink; /* = all */
    int heat[PINERY_YEAR_N_ENDS], water[PINERY_YEAR_N_ENDS], act[PINERY_YEAR_N_ACTS];
    int heat_total[PINERY_N_HEADINGS], water_total[PINERY_N_HEADINGS], meter[PINERY_N_METERS];
    int nodes, wet, node[PINERY_YEAR_N_NODES]; /* those that are there, by the row of their heat: first the wet ones,
                                                * whose water stands in rows nodes and up */
    /* and the totals that are there, as they follow each other from n on */
    int heats, waters, meters;
    int heat_of[PINERY_N_HEADINGS], water_of[PINERY_N_HEADINGS], meter_of[PINERY_N_METERS];
};

struct pinery_year_net {
    const struct pinery_year_layout *at;
    double *rate;                     /* all + 1 */
    struct pinery_year_slopes *slope; /* NULL: rates only */
};

_Static_assert(PINERY_YEAR_N_ENDS <= 64 && PINERY_N_HEADINGS <= 128, "a key of a slope holds no more");

/* A slope by what does not exist is none. */
static inline bool net_by_nothing(const struct pinery_year_net *net, int column) {
    return column == net->at->sink;
}

/* The key of a slope of a row by the variable of a column, which may both not exist. */
static inline uint32_t net_row_key(const struct pinery_year_layout *at, int row, int column) {
    return column == at->sink ? pinery_year_slope_row(0, at->sink) : pinery_year_slope_row(column, row);
}

/* Slope of a row by the variable of a column (a row of the layout). */
static inline void net_add(const struct pinery_year_net *net, int row, int column, double slope) {
    if (row != net->at->sink && !net_by_nothing(net, column))
        pinery_year_slopes_add(net->slope, pinery_year_slope_row(column, row), slope);
}

/* Heat flux [W/m2] of a heading between two ends. */
static inline void net_heat(const struct pinery_year_net *net, int heading, int from, int to, double flux) {
    net->rate[net->at->heat[from]] -= flux;
    net->rate[net->at->heat[to]] += flux;
    net->rate[net->at->heat_total[heading]] += flux;
}

/* Its slope by the variable in `column`. */
static inline void net_heat_slope(const struct pinery_year_net *net, int heading, int from, int to, int column,
                                  double slope) {
    if (!net_by_nothing(net, column))
        pinery_year_slopes_add(net->slope, pinery_year_slope_flow(PINERY_YEAR_SLOPE_HEAT, column, heading, from, to),
                               slope);
}

/* Water [kg/(m2 s)] with the heat that goes with it [W/m2]. */
static inline void net_water(const struct pinery_year_net *net, int heading, int from, int to, double mass,
                             double heat) {
    net->rate[net->at->water[from]] -= mass;
    net->rate[net->at->water[to]] += mass;
    net->rate[net->at->water_total[heading]] += mass;
    net_heat(net, heading, from, to, heat);
}

/* A meter [unit/s]. */
static inline void net_meter(const struct pinery_year_net *net, int meter, double rate) {
    net->rate[net->at->meter[meter]] += rate;
}

static inline void net_meter_slope(const struct pinery_year_net *net, int meter, int column, double slope) {
    net_add(net, net->at->meter[meter], column, slope);
}

/* The speed of an actuator [1/s], which nothing else books. */
static inline void net_act(const struct pinery_year_net *net, int act, double speed) {
    net->rate[net->at->act[act]] += speed;
}

static inline void net_act_slope(const struct pinery_year_net *net, int act, int column, double slope) {
    net_add(net, net->at->act[act], column, slope);
}

#endif
