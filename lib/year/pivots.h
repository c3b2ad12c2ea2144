/* How a small sparse matrix is to be eliminated: the order of its pivots, where its entries stand, and all that
 * elimination and solution will ever do, as lists of places. Made anew when the pattern grows.
 *
 * The last pivots, by which nearly everything hangs together, are a full block, whose rows are done as such. */
#ifndef PINERY_YEAR_PIVOTS_H
#define PINERY_YEAR_PIVOTS_H

#include <stdbool.h>

struct pinery_year_pivots {
    int n;
    bool *seen;                 /* n x n, by rows: entries the matrix has had; the diagonal always */
    int *order, *pivot;         /* unknown of each pivot, and the other way round */
    int *place;                 /* n x n: of an entry among the values, or -1 */
    int sparse;                 /* pivots before the full block */
    int chain_begin, chain_end; /* pivots among these each of which changes nothing but the next */
    int full, stride;           /* its columns, and the values from one column to the next: a multiple of 4 */
    int *diagonal;              /* place of each pivot's own value */
    int block, values;          /* place of its first value, after which there are no others; number of values */
    /* Values: the diagonal of the sparse pivots, then for each its column below and its row to the right. */
    int *lower_begin, *upper_begin; /* of pivot k; the last one more */
    int *other;                     /* pivot whose row a value of a column is in, or whose column one of a row */
    unsigned short *to; /* the values changed by those of a column with those of its row, pivot by pivot, but for the
                         * chain's */
};

bool pinery_year_pivots_create(struct pinery_year_pivots *pivots, int n); /* false: no memory */
void pinery_year_pivots_free(struct pinery_year_pivots *pivots);
bool pinery_year_pivots_plan(struct pinery_year_pivots *pivots); /* from `seen`; false: no memory */

/* The values of a matrix become those of its factors. False: a pivot is smaller than its `least`. */
bool pinery_year_pivots_factor(const struct pinery_year_pivots *pivots, double *value, const double *least);

/* x, the right-hand side in the order of the pivots with room for 3 more numbers, becomes the solution. */
void pinery_year_pivots_substitute(const struct pinery_year_pivots *pivots, const double *value, double *x);

/* Room for the values, whatever the pattern. */
static inline int pinery_year_pivots_most_values(int n) {
    return (n + 4) * (n + 4);
}

#endif
