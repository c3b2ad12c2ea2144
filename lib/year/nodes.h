/* The places of the house, the actuators and the boundaries, by name. A boundary holds nothing: it is an end of flows.
 */
#ifndef PINERY_YEAR_NODES_H
#define PINERY_YEAR_NODES_H

#include "pinery/strategy.h"

#define PINERY_YEAR_SOIL 16 /* layers at most; house.soil_layers are used */

enum pinery_year_node {
    NODE_AIR_LOWER,
    NODE_AIR_UPPER,                              /* up to the lowest drive, or to the cover when there is none */
    NODE_AIR_ABOVE,                              /* + d: above drive d */
    NODE_CLOTH = NODE_AIR_ABOVE + PINERY_DRIVES, /* + d */
    NODE_CANOPY_LOWER = NODE_CLOTH + PINERY_DRIVES,
    NODE_CANOPY_UPPER,
    NODE_PIPE_LOWER,
    NODE_PIPE_UPPER,
    NODE_LAMP,                             /* + group */
    NODE_COVER = NODE_LAMP + PINERY_LAMPS, /* the pane or film towards the crop */
    NODE_COVER_OUTER,                      /* the second one, when there are two */
    NODE_WALL,
    NODE_TANK,
    NODE_SOIL, /* + layer, 0 is the floor surface */
    PINERY_YEAR_N_NODES = NODE_SOIL + PINERY_YEAR_SOIL,
    /* boundaries */
    NODE_OUTSIDE = PINERY_YEAR_N_NODES,
    NODE_SKY,
    NODE_DEEP,
    NODE_NEIGHBOUR, /* heated rooms behind the inner walls */
    NODE_ELSEWHERE, /* sun, mains, boiler, gutter, drain */
    PINERY_YEAR_N_ENDS
};

/* Air nodes come first, so that they index arrays of their own. */
#define PINERY_YEAR_N_AIRS (NODE_AIR_ABOVE + PINERY_DRIVES)

/* Nodes whose faces get wet, at most: cloths, leaves, cover, walls. */
#define PINERY_YEAR_FACES (PINERY_DRIVES + 4)

/* Nodes that hold water, at most. */
#define PINERY_YEAR_WET (PINERY_YEAR_N_AIRS + PINERY_YEAR_FACES)

enum pinery_year_act {
    ACT_CLOTH,                            /* + d: share drawn */
    ACT_SLIT = ACT_CLOTH + PINERY_DRIVES, /* + d: share pulled back */
    ACT_VENT_LEE = ACT_SLIT + PINERY_DRIVES,
    ACT_VENT_WIND,
    ACT_LAMP, /* + group: output */
    ACT_FAN_THROUGH = ACT_LAMP + PINERY_LAMPS,
    ACT_FAN_CIRCULATION,
    ACT_DRYING,                               /* + which: speed or duty of what takes moisture out */
    ACT_SOURCE = ACT_DRYING + PINERY_DRYERS,  /* + which: share of what it can give that may be used */
    ACT_CARBON = ACT_SOURCE + PINERY_SOURCES, /* carbon dioxide of the air, thousands of ppm */
    ACT_HEATING,                              /* the integral part of the heating controller, K of pipe temperature */
    PINERY_YEAR_N_ACTS
};

#endif
