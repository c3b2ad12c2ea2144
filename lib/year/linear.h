/* Linear algebra of the integration: the slope matrix J and M = I + factor J.
 *
 * J is kept as the flows write it, by the temperature and the mass of water of a node: u. The unknowns are heat and
 * water, x = D u, with dE = C dT + h dW. Solved is (D + factor J) u = b, rows of heat divided by C, and then x = D u:
 * the books want x exact, which it is whatever D and J are worth. */
#ifndef PINERY_YEAR_LINEAR_H
#define PINERY_YEAR_LINEAR_H

#include "year/net.h"

struct pinery_year_linear;

struct pinery_year_linear *pinery_year_linear_create(const struct pinery_year_layout *at); /* NULL: no memory */
void pinery_year_linear_free(struct pinery_year_linear *linear);

/* J as struct pinery_year_net writes it: all + 1 rows of n + 1, row by row. */
double *pinery_year_linear_slopes(struct pinery_year_linear *linear);
/* Which of its entries there are, as the net marks them. */
struct pinery_year_pattern *pinery_year_linear_pattern(struct pinery_year_linear *linear);
/* J has been written anew, at dT/dE = d_heat and dT/dW = d_water of every node. False: no memory. */
bool pinery_year_linear_renewed(struct pinery_year_linear *linear, const double *d_heat, const double *d_water);
/* False: singular. */
bool pinery_year_linear_factorize(struct pinery_year_linear *linear, double factor);
/* x from b: the physical part by LU, x_t = b_t - factor J_tp u for the totals. b and x may be the same. */
void pinery_year_linear_solve(const struct pinery_year_linear *linear, const double *b, double *x);

#endif
