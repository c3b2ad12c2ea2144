/* Ways of water, and of the heat that it carries, between places: streams of air, vapour on its way to and from leaves
 * and films. Which there are, their rows and the keys of their slopes are laid out once for a house, so that at an
 * evaluation only what flows is worked out. One that does not flow at the moment is not written. */
#ifndef PINERY_YEAR_STREAMS_H
#define PINERY_YEAR_STREAMS_H

#include "year/net.h"

enum { PINERY_YEAR_STREAM_SLOPES = 12 }; /* at most */

struct pinery_year_stream {
    unsigned char from, to, ends, slopes; /* the two nodes; slopes by variables of these, and all */
    unsigned short water[3], heat[3];     /* rows: what loses, what gains, the total */
    uint32_t key[PINERY_YEAR_STREAM_SLOPES];
};

/* All that a house may have, drive by drive and side by side. */
struct pinery_year_streams {
    /* Two-way exchange of airs, by temperature and water of either, and by more where it says so. Past a drive is what
     * goes through slit and edges, with that through the fabric where both have one heading; by position of the slit.
     * What falls through to the lower air is by the temperature of the air right below the cloth, and by the position.
     * Both are booked under the slit [0] or under the open cloth [1]. */
    struct pinery_year_stream mixing, along, fan[2], fabric[PINERY_DRIVES], past[PINERY_DRIVES][2],
        fall[PINERY_DRIVES][2];
    struct pinery_year_stream vents, leak[3]; /* by the air inside alone; vents by both sides' positions */
    /* Vapour to faces, and from leaves; by the temperatures of air and face, then by the water of each. */
    struct pinery_year_stream leaf[2], under[PINERY_DRIVES], over[PINERY_DRIVES], cover, wall[2];
    struct pinery_year_stream transpiration[2], supply[2]; /* by leaf, air, water of the air and of the leaf */
    /* Water that leaves a film, by the row of the node's heat: heat by the temperature, then both by the water. */
    struct pinery_year_stream drain[PINERY_YEAR_WET], run_off[PINERY_YEAR_WET];
};

/* Book water [kg/(m2 s)] and its heat [W/m2]. */
static inline void net_stream(const struct pinery_year_net *net, const struct pinery_year_stream *stream, double mass,
                              double heat) {
    double *rate = net->rate;
    rate[stream->water[0]] -= mass;
    rate[stream->water[1]] += mass;
    rate[stream->water[2]] += mass;
    rate[stream->heat[0]] -= heat;
    rate[stream->heat[1]] += heat;
    rate[stream->heat[2]] += heat;
}

/* Before any is booked: room for the slopes of all. False: no memory. */
static inline bool net_streams(const struct pinery_year_net *net) {
    enum { ALL = sizeof(struct pinery_year_streams) / sizeof(struct pinery_year_stream) };
    return !net->slope || pinery_year_slopes_room(net->slope, ALL * PINERY_YEAR_STREAM_SLOPES);
}

/* Where to write its slopes, mostly of heat and then of water by each variable in turn; what is written behind the last
 * of them is not kept. NULL: nobody wants them. */
static inline double *net_stream_slopes(const struct pinery_year_net *net, const struct pinery_year_stream *stream) {
    struct pinery_year_slopes *slopes = net->slope;
    if (!slopes)
        return NULL;
    double *value = slopes->value + slopes->n;
    memcpy(slopes->key + slopes->n, stream->key, sizeof stream->key); /* all there may be: a few moves */
    slopes->n += stream->slopes;
    return value;
}

#endif
