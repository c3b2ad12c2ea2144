/* The integration of one run. How it is set up and why: the note in solver.c. */
#ifndef PINERY_YEAR_SOLVER_H
#define PINERY_YEAR_SOLVER_H

#include "year/model.h"

struct pinery_year_solver; /* owns everything of SUNDIALS */

/* plain: dense linear solver and difference quotients, for comparison. NULL when there is no memory. */
struct pinery_year_solver *pinery_year_solver_create(struct pinery_year_work *work, double tolerance_K, bool plain);
void pinery_year_solver_free(struct pinery_year_solver *solver); /* NULL is fine */

/* Begin anew at a time with these unknowns; never step past end_s. */
pinery_status pinery_year_solver_start(struct pinery_year_solver *solver, double time_s, double end_s, const double *y,
                                       pinery_error *error);

/* Integrate as far as `time_s` and give the unknowns there. The solver may be ahead; a later call goes on from there.
 */
pinery_status pinery_year_solver_to(struct pinery_year_solver *solver, double time_s, double *y, pinery_error *error);

/* Counts since creation. */
void pinery_year_solver_cost(const struct pinery_year_solver *solver, pinery_cost *cost);

#endif
