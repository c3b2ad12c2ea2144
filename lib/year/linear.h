/* Linear algebra of the integration: the slopes J, and solutions of (I - factor J) x = b.
 *
 * J is by the temperature and the mass of water of a node: u. The unknowns are heat and water, x = D u, with dE = C dT
 * + h dW. Solved is (D - factor J) u = b, and then x = D u: the books want x exact, which it is whatever D and J are
 * worth. */
#ifndef PINERY_YEAR_LINEAR_H
#define PINERY_YEAR_LINEAR_H

#include "year/model.h"

struct pinery_year_linear;

struct pinery_year_linear *pinery_year_linear_create(const struct pinery_year_model *model); /* NULL: no memory */
void pinery_year_linear_free(struct pinery_year_linear *linear);

/* J as the flows write it (net.h). */
struct pinery_year_slopes *pinery_year_linear_slopes(struct pinery_year_linear *linear);

/* With J as it stands, written at this state: x of the physical unknowns, and x_t = b_t + factor J_tp u of the totals.
 * b and x may be the same. False: singular, or no memory. */
bool pinery_year_linear_solve(struct pinery_year_linear *linear, double factor, const struct pinery_year_state *state,
                              const double *b, double *x);

/* The same with the J and D of the last solution, whose factor this is; 0 when it left none that could be used again.
 */
double pinery_year_linear_factor(const struct pinery_year_linear *linear);
void pinery_year_linear_solve_again(struct pinery_year_linear *linear, const double *b, double *x);

/* J as a matrix of all + 1 rows and n columns, for who wants to look at it. */
void pinery_year_linear_matrix(const struct pinery_year_layout *at, const struct pinery_year_slopes *slopes,
                               double *matrix);

#endif
