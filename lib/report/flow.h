/* A flow picture: what comes in stands on the left, what goes out on the right, each a band as thick as it is large. */
#ifndef PINERY_REPORT_FLOW_H
#define PINERY_REPORT_FLOW_H

#include <stdbool.h>
#include <stdio.h>

enum { PINERY_FLOW_ITEMS = 24 };

/* One band and, once laid out, where it stands: pixels from the top. */
struct pinery_flow_item {
    const char *label, *colour;
    double value;
    double outer, inner, thick; /* upper edge at the outside and at the house; thickness */
};

struct pinery_flow_side {
    int n;
    struct pinery_flow_item item[PINERY_FLOW_ITEMS];
};

struct pinery_flow {
    double least; /* what is below it is in the data, and not drawn */
    struct pinery_flow_side in, out;
};

/* Add a band; what is 0 is left out; what is below 0 goes to the other side under its second label. */
void pinery_report_flow_add(struct pinery_flow *flow, bool in, const char *label, const char *otherwise,
                            const char *colour, double value);

/* The largest number of pixels one unit may take, so that both sides, with room for the words, fit into `height`. */
double pinery_report_flow_scale(const struct pinery_flow *flow, double height);

/* Place every band at that scale. */
void pinery_report_flow_place(struct pinery_flow *flow, double scale, double height);

/* Draw it with gnuplot in a field of `width` by `height` pixels. */
void pinery_report_flow_draw(FILE *script, const struct pinery_flow *flow, double width, double height,
                             const char *unit, int decimals);

#endif
