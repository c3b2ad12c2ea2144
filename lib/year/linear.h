/* Linear algebra of the integration: the slope matrix J, and LU of the physical block of M = I + factor J. */
#ifndef PINERY_YEAR_LINEAR_H
#define PINERY_YEAR_LINEAR_H

#include <stdbool.h>

struct pinery_year_linear;

struct pinery_year_linear *pinery_year_linear_create(int n, int all); /* NULL: no memory */
void pinery_year_linear_free(struct pinery_year_linear *linear);

/* J as struct pinery_year_net writes it: all + 1 rows of n + 1, row by row. */
double *pinery_year_linear_slopes(struct pinery_year_linear *linear);
/* J has been written anew. False: no memory. */
bool pinery_year_linear_renewed(struct pinery_year_linear *linear);
/* False: singular. */
bool pinery_year_linear_factorize(struct pinery_year_linear *linear, double factor);
/* x from b: the physical part by LU, x_t = b_t - factor J_tp x_p for the totals. b and x may be the same. */
void pinery_year_linear_solve(const struct pinery_year_linear *linear, const double *b, double *x);

#endif
