#include "year/streams.h"

#include "year/model.h"

static struct pinery_year_stream between(const struct pinery_year_layout *at, int heading, int from, int to) {
    return (struct pinery_year_stream){
        .from = (unsigned char)from,
        .to = (unsigned char)to,
        .water = {(unsigned short)at->water[from], (unsigned short)at->water[to],
                  (unsigned short)at->water_total[heading]},
        .heat = {(unsigned short)at->heat[from], (unsigned short)at->heat[to], (unsigned short)at->heat_total[heading]},
    };
}

static void heat_by(struct pinery_year_stream *stream, int heading, int column) {
    stream->key[stream->slopes++] =
        pinery_year_slope_flow(PINERY_YEAR_SLOPE_HEAT, column, heading, stream->from, stream->to);
}

/* Heat and water by one more variable, which has a column of its own. */
static void by(struct pinery_year_stream *stream, int heading, int column) {
    heat_by(stream, heading, column);
    stream->key[stream->slopes] = stream->key[stream->slopes - 1] | PINERY_YEAR_SLOPE_WATER;
    stream->slopes++;
}

/* ---- airs ---- */

/* By what is none of its ends too: first and second, `sink` where there is none. */
static struct pinery_year_stream exchange(const struct pinery_year_layout *at, int heading, int a, int b, int first,
                                          int second) {
    struct pinery_year_stream stream = between(at, heading, a, b);
    const int column[PINERY_YEAR_STREAM_SLOPES / 2] = {at->heat[a],  at->water[a], at->heat[b],
                                                       at->water[b], first,        second};
    for (int k = 0; k < PINERY_YEAR_STREAM_SLOPES / 2; k++) {
        if (column[k] != at->sink)
            by(&stream, heading, column[k]);
        if (k == 3)
            stream.ends = stream.slopes;
    }
    return stream;
}

/* The heading of air that goes up past a drive. Over the lowest drive all is one. */
static int upward(int heading, int from) {
    return from == NODE_AIR_UPPER ? heading : PINERY_HEADING_air_upper;
}

static void past_drives(const struct pinery_year_model *model, struct pinery_year_streams *s) {
    const struct pinery_year_layout *at = &model->at;
    for (int d = 0; d < model->drives; d++) {
        int below = pinery_year_air_below(d), above = pinery_year_air_above(d), position = at->act[ACT_SLIT + d];
        s->fabric[d] = exchange(at, upward(PINERY_HEADING_air_fabric, below), below, above, position, at->sink);
        for (int open = 0; open < 2; open++) {
            int gap = open ? PINERY_HEADING_air_open : PINERY_HEADING_air_slit;
            s->past[d][open] = exchange(at, upward(gap, below), below, above, position, at->sink);
            s->fall[d][open] = exchange(at, gap, NODE_AIR_LOWER, above, at->heat[below], position);
        }
    }
}

static void airs(const struct pinery_year_model *model, struct pinery_year_streams *s) {
    const struct pinery_year_layout *at = &model->at;
    const int leaking[3] = {model->roof_air, NODE_AIR_LOWER, NODE_AIR_UPPER};
    int none = at->sink;
    s->mixing = exchange(at, PINERY_HEADING_air_mixing, NODE_AIR_LOWER, NODE_AIR_UPPER, none, none);
    past_drives(model, s);
    s->along = exchange(at, PINERY_HEADING_air_along, NODE_AIR_LOWER, model->roof_air, none, none);
    for (int i = 0; i < 2; i++)
        s->fan[i] =
            exchange(at, PINERY_HEADING_air_fan, NODE_AIR_LOWER + i, model->roof_air, at->act[ACT_FAN_THROUGH], none);
    s->vents = exchange(at, PINERY_HEADING_vents, model->roof_air, NODE_OUTSIDE, at->act[ACT_VENT_LEE],
                        at->act[ACT_VENT_WIND]);
    for (int i = 0; i < 3; i++)
        s->leak[i] = exchange(at, PINERY_HEADING_leakage, leaking[i], NODE_OUTSIDE, none, none);
}

/* ---- vapour, and films ---- */

/* Slopes by the temperatures of two nodes and then by their water. */
static void by_nodes(const struct pinery_year_layout *at, struct pinery_year_stream *stream, int heading,
                     const int T[2], const int water[2]) {
    for (int i = 0; i < 2; i++)
        by(stream, heading, at->heat[T[i]]);
    for (int i = 0; i < 2; i++)
        by(stream, heading, at->water[water[i]]);
}

static struct pinery_year_stream to_face(const struct pinery_year_layout *at, int heading, int air, int node) {
    struct pinery_year_stream stream = between(at, heading, air, node);
    by_nodes(at, &stream, heading, (const int[]){air, node}, (const int[]){air, node});
    return stream;
}

static struct pinery_year_stream of_leaf(const struct pinery_year_layout *at, int heading, int from, int to, int i) {
    struct pinery_year_stream stream = between(at, heading, from, to);
    int leaf = NODE_CANOPY_LOWER + i, air = NODE_AIR_LOWER + i;
    by_nodes(at, &stream, heading, (const int[]){leaf, air}, (const int[]){air, leaf});
    return stream;
}

static struct pinery_year_stream leaving(const struct pinery_year_layout *at, int heading, int node) {
    struct pinery_year_stream stream = between(at, heading, node, NODE_ELSEWHERE);
    heat_by(&stream, heading, at->heat[node]);
    by(&stream, heading, at->water[node]);
    return stream;
}

static void vapour(const struct pinery_year_model *model, struct pinery_year_streams *s) {
    const struct pinery_year_layout *at = &model->at;
    for (int i = 0; i < 2; i++) {
        int leaf = NODE_CANOPY_LOWER + i, air = NODE_AIR_LOWER + i;
        s->transpiration[i] = of_leaf(at, PINERY_HEADING_transpiration, leaf, air, i);
        s->supply[i] = of_leaf(at, PINERY_HEADING_water_supply, NODE_ELSEWHERE, leaf, i);
        s->leaf[i] = to_face(at, PINERY_HEADING_condensation_canopy, air, leaf);
        if (model->wall_area > 0.0)
            s->wall[i] = to_face(at, PINERY_HEADING_condensation_walls, air, NODE_WALL);
    }
    for (int d = 0; d < model->drives; d++) {
        s->under[d] = to_face(at, d == 0 ? PINERY_HEADING_under_cloth : PINERY_HEADING_condensation_cloths,
                              pinery_year_air_below(d), NODE_CLOTH + d);
        s->over[d] = to_face(at, PINERY_HEADING_condensation_cloths, pinery_year_air_above(d), NODE_CLOTH + d);
    }
    s->cover = to_face(at, PINERY_HEADING_condensation_cover, model->roof_air, NODE_COVER);
}

void pinery_year_streams_make(const struct pinery_year_model *model, struct pinery_year_streams *streams) {
    airs(model, streams);
    vapour(model, streams);
    for (int k = 0; k < model->faces; k++) {
        int node = model->face[k];
        streams->drain[model->at.heat[node]] = leaving(&model->at, PINERY_HEADING_drain, node);
        streams->run_off[model->at.heat[node]] = leaving(&model->at, PINERY_HEADING_run_off, node);
    }
}
