/* Sums of numbers of a list, each with a place of its own: which go where is laid out once, the numbers change.
 *
 * Places with equally many numbers stand together, so that the loops over them are of one length, and no place waits
 * for another. Places without a number become 0. */
#ifndef PINERY_YEAR_GATHER_H
#define PINERY_YEAR_GATHER_H

#include <stdbool.h>

struct pinery_year_gather {
    int places, kinds;          /* kinds of places, by how many numbers they have */
    int *each, *many;           /* numbers of a place of each kind, places of each kind */
    unsigned short *to, *from;  /* the places, kind by kind; the numbers, place by place */
    int room_places, room_from; /* as allocated */
};

/* Lays out: number k goes to place to[k] of `places`, or nowhere when that is negative. Both counts at most 65535.
 * False: no memory. May be called again. */
bool pinery_year_gather_plan(struct pinery_year_gather *gather, int places, int numbers, const int *to);
void pinery_year_gather_free(struct pinery_year_gather *gather);

/* out, places: the sums of the numbers in. */
void pinery_year_gather(const struct pinery_year_gather *gather, const double *in, double *out);

/* The same of in[k] times[by[k]], but that places without a number are left as they are. */
void pinery_year_gather_products(const struct pinery_year_gather *gather, const double *in, const double *times,
                                 const unsigned short *by, double *out);

/* The same of every number and the next after it, both times[by[k]]: two sums, for the place and for its partner. */
void pinery_year_gather_pairs(const struct pinery_year_gather *gather, const double *in, const double *times,
                              const unsigned short *by, const unsigned short *partner, double *out);

#endif
