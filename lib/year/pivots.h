/* How a small sparse matrix is to be eliminated: the order of its pivots, where its entries and those of its factors
 * stand, and all that elimination and solution will ever do, as lists of places. Made anew when the pattern grows. */
#ifndef PINERY_YEAR_PIVOTS_H
#define PINERY_YEAR_PIVOTS_H

#include <stdbool.h>

/* One step of a list. */
struct pinery_year_step {
    unsigned short to, left, right;
};

struct pinery_year_pivots {
    int n;
    bool *seen; /* n x n, by rows: entries the matrix has had; the diagonal always */
    int *order; /* unknown of each pivot */
    int *place; /* n x n: of an entry among the values, or -1 */
    /* The values: n of the diagonal in the order of the pivots, the lower factor by columns, the upper one by columns
     * from the last; and in which row and column they are. */
    int lower, upper, *row, *column;
    int *lower_begin;                            /* of the column of pivot k, among the values */
    int *steps_begin;                            /* of pivot k */
    struct pinery_year_step *steps;              /* v[to] -= v[left] v[right] */
    struct pinery_year_step *forward, *backward; /* x[to] -= v[left] x[right], x in the order of the pivots */
};

bool pinery_year_pivots_create(struct pinery_year_pivots *pivots, int n); /* false: no memory */
void pinery_year_pivots_free(struct pinery_year_pivots *pivots);
bool pinery_year_pivots_plan(struct pinery_year_pivots *pivots); /* from `seen`; false: no memory */

#endif
