/* Ways of heat between places that are the same from one evaluation to the next: rows, and keys of slopes by the
 * temperatures of both ends, are laid out once, so that writing all of them is little work. */
#ifndef PINERY_YEAR_LINKS_H
#define PINERY_YEAR_LINKS_H

#include "year/net.h"

enum { PINERY_YEAR_LINKS = 96 }; /* at most */

/* Those between two nodes stand first, then those from a node to a boundary, by which there is no slope. */
struct pinery_year_links {
    int n, inner;
    unsigned short from[PINERY_YEAR_LINKS], to[PINERY_YEAR_LINKS], total[PINERY_YEAR_LINKS]; /* rows */
    uint32_t key_from[PINERY_YEAR_LINKS], key_to[PINERY_YEAR_LINKS];
};

/* What flows that way [W/m2], and by the temperatures of the two ends. */
struct pinery_year_link_flows {
    double flux[PINERY_YEAR_LINKS], by_from[PINERY_YEAR_LINKS], by_to[PINERY_YEAR_LINKS];
};

/* One more, and its number. */
int pinery_year_links_add(struct pinery_year_links *links, const struct pinery_year_layout *at, int heading, int from,
                          int to);

/* Book all. Those that follow each other from one node, or for one total, are summed up first: no flow waits for the
 * one before it to be written. */
static inline void net_links(const struct pinery_year_net *net, const struct pinery_year_links *links,
                             const struct pinery_year_link_flows *flows) {
    double *rate = net->rate, left = 0.0, sum = 0.0;
    int n = links->n, from = net->at->sink, total = net->at->sink;
    for (int k = 0; k < n; k++) {
        double flux = flows->flux[k];
        if (links->from[k] != from) {
            rate[from] -= left;
            from = links->from[k];
            left = 0.0;
        }
        if (links->total[k] != total) {
            rate[total] += sum;
            total = links->total[k];
            sum = 0.0;
        }
        rate[links->to[k]] += flux;
        left += flux;
        sum += flux;
    }
    rate[from] -= left;
    rate[total] += sum;
    if (net->slope) {
        pinery_year_slopes_add_many(net->slope, n, links->key_from, flows->by_from);
        pinery_year_slopes_add_many(net->slope, links->inner, links->key_to, flows->by_to);
    }
}

#endif
