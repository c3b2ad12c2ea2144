/* The nonlinear solver of a step: see newton.c. */
#ifndef PINERY_YEAR_NEWTON_H
#define PINERY_YEAR_NEWTON_H

#include <sundials/sundials_nonlinearsolver.h>

#include "year/model.h"

/* `like`: a vector of all unknowns. Adds one to `rounds` for every evaluation with slopes. NULL: no memory. */
SUNNonlinearSolver pinery_year_newton_create(struct pinery_year_work *work, N_Vector like, long *rounds,
                                             SUNContext context);

#endif
