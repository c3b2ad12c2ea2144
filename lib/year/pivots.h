/* How a small sparse matrix is to be eliminated: the order of its pivots, where its entries stand, and all that
 * elimination and solution will ever do, as lists of places. Made anew when the pattern grows.
 *
 * The last pivots, by which nearly everything hangs together, are a full block: its rows are done as such, side by side
 * with the right-hand side, which is its last column. */
#ifndef PINERY_YEAR_PIVOTS_H
#define PINERY_YEAR_PIVOTS_H

#include <stdbool.h>

/* One step of a list. */
struct pinery_year_step {
    unsigned short to, left, right;
};

struct pinery_year_pivots {
    int n;
    bool *seen;        /* n x n, by rows: entries the matrix has had; the diagonal always */
    int *order;        /* unknown of each pivot */
    int *place;        /* n x n: of an entry among the values, or -1 */
    int sparse;        /* pivots before the full block */
    int full, stride;  /* its rows, and the values from one row to the next: a multiple of 4 */
    int *diagonal;     /* place of each pivot's own value */
    int block, values; /* place of its first value, after which there are no others; number of values */
    /* Values: the diagonal of the sparse pivots, then for each its column below and its row to the right. */
    int *lower_begin, *upper_begin, *steps_begin; /* of pivot k; the last one more */
    int *lower_row;                               /* pivot of each value of a column; others are not set */
    struct pinery_year_step *steps;               /* v[to] -= v[left] v[right] */
    int backward_steps;
    struct pinery_year_step *backward; /* x[to] -= v[left] x[right], x in the order of the pivots */
};

bool pinery_year_pivots_create(struct pinery_year_pivots *pivots, int n); /* false: no memory */
void pinery_year_pivots_free(struct pinery_year_pivots *pivots);
bool pinery_year_pivots_plan(struct pinery_year_pivots *pivots); /* from `seen`; false: no memory */

/* Room for the values whatever the pattern. */
static inline int pinery_year_pivots_most_values(int n) {
    return (n + 4) * (n + 8);
}

#endif
