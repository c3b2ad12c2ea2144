/* Newton's method for a step of the integration, behind SUNDIALS' interface of a nonlinear solver. */
#ifndef PINERY_YEAR_NEWTON_H
#define PINERY_YEAR_NEWTON_H

#include <stdbool.h>

#include <sundials/sundials_nonlinearsolver.h>

/* `ahead` is set while a residual is asked for whose slopes will be wanted at the same point, so that both
 * can be worked out in one go. */
SUNNonlinearSolver pinery_year_newton_create(N_Vector like, bool *ahead, SUNContext context);

#endif
