/* Newton's method for a step, with slopes that are renewed where the method stands when it does not get on.
 *
 * SUNDIALS' own keeps one matrix through a step; where a valve closes or a film dries between its first guess and the
 * answer, it swings from one side to the other until the step is given up and a quarter of it tried. Renewed slopes see
 * the side they are on.
 *
 * A round ends the step when what is left to correct, the last correction times the rate at which corrections have
 * shrunk, is within `tolerance` of the error test. The rate of the rounds before is kept from step to step. */
#include "year/newton.h"

#include <stdbool.h>
#include <stdlib.h>

enum { rounds = 8, tries = 3 };
static const double forget = 0.1, slow = 0.3, least_rate = 0.03;

struct newton {
    N_Vector delta;
    SUNNonlinSolSysFn residual;
    SUNNonlinSolLSetupFn setup;
    SUNNonlinSolLSolveFn solve;
    bool *ahead;
    double rate;
    long iterations, failures;
    int current;
};

static struct newton *of(SUNNonlinearSolver solver) {
    return solver->content;
}

static SUNNonlinearSolver_Type type(SUNNonlinearSolver solver) {
    (void)solver;
    return SUNNONLINEARSOLVER_ROOTFIND;
}

static int initialize(SUNNonlinearSolver solver) {
    of(solver)->rate = 1.0;
    return SUN_NLS_SUCCESS;
}

/* One residual, and where `renew` new slopes at the same point. */
static int look(struct newton *newton, N_Vector correction, bool renew, sunbooleantype bad, void *memory) {
    sunbooleantype now;
    *newton->ahead = renew;
    int flag = newton->residual(correction, newton->delta, memory);
    *newton->ahead = false;
    return flag || !renew ? flag : newton->setup(bad, &now, memory);
}

static int solve(SUNNonlinearSolver solver, N_Vector predicted, N_Vector correction, N_Vector weight,
                 sunrealtype tolerance, sunbooleantype setup, void *memory) {
    struct newton *newton = of(solver);
    (void)predicted;
    newton->iterations = newton->failures = 0; /* those of this step: CVODE adds them up */
    double before = 0.0, rate = newton->rate;
    int renewed = setup, flag = look(newton, correction, setup, SUNFALSE, memory);
    if (setup)
        rate = rate > least_rate ? rate : least_rate; /* new slopes have yet to show what they are worth */
    for (int round = 0; round < rounds && !flag; round++) {
        newton->iterations++;
        newton->current = round;
        N_VScale(-1.0, newton->delta, newton->delta);
        if ((flag = newton->solve(newton->delta, memory)))
            break;
        N_VLinearSum(1.0, correction, 1.0, newton->delta, correction);
        double size = N_VWrmsNorm(newton->delta, weight), shrunk = round > 0 ? size / before : 0.0;
        if (round > 0)
            rate = shrunk > forget * rate ? shrunk : forget * rate;
        if (size * (rate < 1.0 ? rate : 1.0) <= tolerance) {
            newton->rate = rate;
            return SUN_NLS_SUCCESS;
        }
        bool renew = round > 0 && shrunk > slow && renewed < tries;
        if (round > 0 && shrunk > 2.0 && !renew)
            break;
        renewed += renew;
        before = size;
        flag = look(newton, correction, renew, SUNTRUE, memory);
    }
    newton->failures++;
    newton->rate = 1.0;
    return flag ? flag : SUN_NLS_CONV_RECVR;
}

static int set_residual(SUNNonlinearSolver solver, SUNNonlinSolSysFn residual) {
    of(solver)->residual = residual;
    return SUN_NLS_SUCCESS;
}

static int set_setup(SUNNonlinearSolver solver, SUNNonlinSolLSetupFn setup) {
    of(solver)->setup = setup;
    return SUN_NLS_SUCCESS;
}

static int set_solve(SUNNonlinearSolver solver, SUNNonlinSolLSolveFn solve_) {
    of(solver)->solve = solve_;
    return SUN_NLS_SUCCESS;
}

/* CVODE offers its own test of convergence and number of rounds; those above are used. */
static int set_test(SUNNonlinearSolver solver, SUNNonlinSolConvTestFn test, void *data) {
    (void)solver, (void)test, (void)data;
    return SUN_NLS_SUCCESS;
}

static int set_most(SUNNonlinearSolver solver, int most) {
    (void)solver, (void)most;
    return SUN_NLS_SUCCESS;
}

static int iterations(SUNNonlinearSolver solver, long *n) {
    *n = of(solver)->iterations;
    return SUN_NLS_SUCCESS;
}

static int current(SUNNonlinearSolver solver, int *n) {
    *n = of(solver)->current;
    return SUN_NLS_SUCCESS;
}

static int failures(SUNNonlinearSolver solver, long *n) {
    *n = of(solver)->failures;
    return SUN_NLS_SUCCESS;
}

static int destroy(SUNNonlinearSolver solver) {
    if (!solver)
        return SUN_NLS_SUCCESS;
    if (of(solver)) {
        if (of(solver)->delta)
            N_VDestroy(of(solver)->delta);
        free(of(solver));
    }
    solver->content = NULL;
    SUNNonlinSolFreeEmpty(solver);
    return SUN_NLS_SUCCESS;
}

SUNNonlinearSolver pinery_year_newton_create(N_Vector like, bool *ahead, SUNContext context) {
    SUNNonlinearSolver solver = SUNNonlinSolNewEmpty(context);
    if (!solver)
        return NULL;
    struct newton *newton = calloc(1, sizeof *newton);
    solver->content = newton;
    solver->ops->gettype = type;
    solver->ops->initialize = initialize;
    solver->ops->solve = solve;
    solver->ops->free = destroy;
    solver->ops->setsysfn = set_residual;
    solver->ops->setlsetupfn = set_setup;
    solver->ops->setlsolvefn = set_solve;
    solver->ops->setctestfn = set_test;
    solver->ops->setmaxiters = set_most;
    solver->ops->getnumiters = iterations;
    solver->ops->getcuriter = current;
    solver->ops->getnumconvfails = failures;
    if (newton) {
        newton->ahead = ahead;
        newton->rate = 1.0;
        newton->delta = N_VClone(like);
    }
    if (newton && newton->delta)
        return solver;
    destroy(solver);
    return NULL;
}
