/* CVODE (variable-order, variable-step BDF) on the conserved unknowns.
 *
 * Books. The running totals are unknowns like any other, so a linear multistep method keeps the sum of what the nodes
 * hold and what has crossed the boundary to rounding, provided every Newton correction keeps it too. It does: the slope
 * matrix is written flow by flow, and its columns sum to zero over nodes and totals whatever approximations its entries
 * contain.
 *
 * Linear algebra. With J the slopes, a step wants (I - gamma J) x = b. The totals feed back on nothing, so their
 * columns of J are zero: only the physical block, n x n, is eliminated, and the corrections of the totals follow by a
 * multiplication:
 *     (I - gamma J_pp) x_p = b_p,      x_t = b_t + gamma J_tp x_p
 * That is linear.c; newton.c asks for it, plugged in as SUNDIALS' nonlinear solver, so CVODE needs no linear solver.
 *
 * Error norm. CVODE takes the root of the mean square over all unknowns. The totals carry no weight and would loosen
 * the test by sqrt(n_all/n_physical), so the vectors are given a norm over the physical unknowns alone. A weighted
 * error of 1 is `tolerance_K` in a temperature, the like in a humidity, and what does no harm in a film or a position.
 *
 * Restarts. The integration is begun anew only when an order changes, and where the crop's calendar bends; otherwise it
 * runs on over the control instants and the unknowns there are interpolated with the method's own polynomial, which
 * keeps the books as the steps do. */
#include "year/solver.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include "base/error.h"
#include "sky/weather.h"
#include "year/layout.h"
#include "year/newton.h"
#include "year/vector.h"

typedef sunrealtype real;
typedef sunindextype count;

struct pinery_year_solver {
    struct pinery_year_work *work;
    SUNContext context;
    void *cvode;
    N_Vector y;
    SUNMatrix matrix; /* of the plain way alone, as the next */
    SUNLinearSolver linear;
    SUNNonlinearSolver newton;
    double *weight;                       /* 1/scale of every unknown */
    N_Vector weighted;                    /* CVODE's own that has them */
    double *rate;                         /* with the row nobody reads */
    double tolerance, reached, end, most; /* most: as long as a step may be */
    bool plain, running, held;            /* held: step and order stay as they are, mostly */
    long steps, error_failures, newton_failures, restarts, evaluations;
    struct pinery_year_rounds rounds;
};

/* ---- what CVODE asks ---- */

static int rates(real time, N_Vector y, N_Vector ydot, void *data) {
    struct pinery_year_solver *solver = data;
    struct pinery_year_net net = {&solver->work->model->at, solver->rate, NULL};
    solver->evaluations++;
    if (!pinery_year_rates(solver->work, time, N_VGetArrayPointer(y), &net))
        return 1; /* outside physics: try a smaller step */
    memcpy(N_VGetArrayPointer(ydot), solver->rate, (size_t)net.at->all * sizeof(double));
    for (int i = net.at->all; i < NV_LENGTH_S(ydot); i++)
        NV_Ith_S(ydot, i) = 0.0;
    return 0;
}

/* They never change, so a vector that has them is left as it is. */
static int weights(N_Vector y, N_Vector weight, void *data) {
    struct pinery_year_solver *solver = data;
    (void)y;
    if (weight != solver->weighted)
        memcpy(N_VGetArrayPointer(weight), solver->weight, (size_t)NV_LENGTH_S(weight) * sizeof(double));
    solver->weighted = weight;
    return 0;
}

#if SUNDIALS_VERSION_MAJOR < 7
static void silent(int code, const char *module, const char *function, char *message, void *data) {
    (void)code, (void)module, (void)function, (void)message, (void)data;
}
#endif

/* ---- making and running ---- */

/* Tolerances that may pass in a place for one in the air of the crop: what the air feels little of, or what follows it
 * at once, may be known less well. The books close whatever they are. */
static double looseness(int node) {
    if (node < NODE_AIR_ABOVE)
        return 1.0;
    if (node < NODE_PIPE_LOWER) /* airs over a cloth, cloths, leaves */
        return 2.0;
    if (node < NODE_LAMP) /* pipes: they decide the gas, and the air follows them */
        return 0.25;
    if (node < NODE_COVER) /* bodies of lamps, 50 K and more over the air */
        return 10.0;
    return node < NODE_SOIL ? 3.0 : 1.0; /* cover and walls; soil */
}

/* What counts as one tolerance in every unknown. */
static void set_weights(struct pinery_year_solver *solver) {
    const struct pinery_year_model *model = solver->work->model;
    const struct pinery_year_layout *at = &model->at;
    for (int i = 0; i < pinery_year_in_lines(at->all); i++)
        solver->weight[i] = PINERY_YEAR_NO_WEIGHT;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++) {
        const struct pinery_year_store *store = &model->store[node];
        double tolerance = looseness(node) * solver->tolerance;
        if (at->heat[node] != at->sink)
            solver->weight[at->heat[node]] = 1.0 / (tolerance * (store->capacity + 30.0));
        if (at->water[node] != at->sink) /* 0.01 K goes with 1.5e-5 kg/kg, or with 0.2 g/m2 of a film */
            solver->weight[at->water[node]] = 1.0 / (tolerance * (store->air > 0.0 ? 1.5e-3 * store->air : 0.02));
    }
    /* 0.03 K goes with 3e-3 of a position, or with 0.3 K of pipe temperature asked; a position that is let off the
     * leash further runs past its end */
    double leash = solver->tolerance < 0.03 ? solver->tolerance : 0.03;
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        if (at->act[act] != at->sink)
            solver->weight[at->act[act]] = 1.0 / (leash * (act == ACT_HEATING ? 10.0 : 0.1));
}

/* As CVODE comes: a dense matrix by difference quotients, and its own Newton. */
static bool set_plain(struct pinery_year_solver *solver) {
    count all = NV_LENGTH_S(solver->y);
    solver->matrix = SUNDenseMatrix(all, all, solver->context);
    solver->linear = solver->matrix ? SUNLinSol_Dense(solver->y, solver->matrix, solver->context) : NULL;
    return solver->linear && !CVodeSetLinearSolver(solver->cvode, solver->linear, solver->matrix);
}

/* No order over two: those are stable however stiff a house is, where orders over two swing with the air under a roof,
 * which follows wind and vents within seconds. And of a rate that comes up to a limit and stays there they make more
 * than the limit for a step or two: of order 3, 7/11 of the last one, -2/11 of the one before and 6/11 of the
 * limit, 1.04 after 0.8 and 1. They do not keep a contract for gas. */
enum { most_order = 2 };
/* A step is left as it is until it may be so many times as long; the second one may be so many times the first, so that
 * it is seen early whether order two does: of order one, heat that falls within minutes, as when lamps come on, is
 * short of what was given by half a step's fall, 0.1 % of a year's gas in all. */
static const double least_growth = 1.3, second_step = 2.0, held_growth = 10.0;

static bool set_own(struct pinery_year_solver *solver) {
    void *cvode = solver->cvode;
    solver->newton = pinery_year_newton_create(solver->work, solver->y, &solver->rounds, solver->context);
    return solver->newton && !CVodeSetNonlinearSolver(cvode, solver->newton) && !CVodeSetMaxOrd(cvode, most_order) &&
           !CVodeSetEtaFixedStepBounds(cvode, 0.0, least_growth) && !CVodeSetEtaMaxFirstStep(cvode, second_step);
}

struct pinery_year_solver *pinery_year_solver_create(struct pinery_year_work *work, double tolerance_K, bool plain) {
    const struct pinery_year_layout *at = &work->model->at;
    struct pinery_year_solver *solver = calloc(1, sizeof *solver);
    if (!solver)
        return NULL;
    *solver = (struct pinery_year_solver){.work = work, .tolerance = tolerance_K, .plain = plain};
    solver->weight = malloc((size_t)pinery_year_in_lines(at->all) * sizeof(double));
    solver->rate = malloc((size_t)(at->all + 1) * sizeof(double));
    if (!solver->weight || !solver->rate || SUNContext_Create(PINERY_YEAR_NO_COMMUNICATOR, &solver->context))
        goto out;
    set_weights(solver);
#if SUNDIALS_VERSION_MAJOR >= 7
    SUNContext_ClearErrHandlers(solver->context);
#endif
    solver->y = pinery_year_vector_create(at->all, solver->context);
    solver->cvode = CVodeCreate(CV_BDF, solver->context);
    if (!solver->y || !solver->cvode)
        goto out;
#if SUNDIALS_VERSION_MAJOR < 7
    CVodeSetErrHandlerFn(solver->cvode, silent, NULL);
#endif
    if (CVodeInit(solver->cvode, rates, 0.0, solver->y) || CVodeSetUserData(solver->cvode, solver) ||
        CVodeWFtolerances(solver->cvode, weights) || CVodeSetMaxNumSteps(solver->cvode, 20000) ||
        !(plain ? set_plain(solver) : set_own(solver)))
        goto out;
    return solver;
out:
    pinery_year_solver_free(solver);
    return NULL;
}

void pinery_year_solver_free(struct pinery_year_solver *solver) {
    if (!solver)
        return;
    CVodeFree(&solver->cvode);
    if (solver->newton)
        SUNNonlinSolFree(solver->newton);
    if (solver->linear)
        SUNLinSolFree(solver->linear);
    if (solver->matrix)
        SUNMatDestroy(solver->matrix);
    if (solver->y)
        N_VDestroy(solver->y);
    if (solver->context)
        SUNContext_Free(&solver->context);
    free(solver->weight);
    free(solver->rate);
    free(solver);
}

/* CVODE's own counters start again with every restart. */
static void collect(struct pinery_year_solver *solver) {
    long steps = 0, failures = 0, newton = 0;
    if (!solver->running)
        return;
    CVodeGetNumSteps(solver->cvode, &steps);
    CVodeGetNumErrTestFails(solver->cvode, &failures);
    CVodeGetNumNonlinSolvConvFails(solver->cvode, &newton);
    solver->steps += steps;
    solver->error_failures += failures;
    solver->newton_failures += newton;
    solver->running = false;
}

/* As far as to where the crop's calendar bends, or to the end: what has grown or gone by then says nothing of what
 * will. */
static double stop_after(const struct pinery_year_solver *solver, double time_s) {
    const struct pinery_year_model *model = solver->work->model;
    double bend = pinery_year_crop_bend(&model->house, pinery_sky_year_days(model->weather), time_s);
    return bend < solver->end ? bend : solver->end;
}

static pinery_status start(struct pinery_year_solver *solver, double time_s, double first_step) {
    collect(solver);
    if (CVodeReInit(solver->cvode, time_s, solver->y) || CVodeSetInitStep(solver->cvode, first_step) ||
        CVodeSetStopTime(solver->cvode, stop_after(solver, time_s)))
        return PINERY_SOLVER;
    solver->reached = time_s;
    solver->running = true;
    solver->restarts++;
    return PINERY_OK;
}

/* What CVODE would look for with some evaluations; the error test sees to it where it is too long. */
static double first_step(const struct pinery_year_solver *solver) {
    return 12.0 * fmin(1.0, sqrt(solver->tolerance / 0.15));
}

pinery_status pinery_year_solver_start(struct pinery_year_solver *solver, double time_s, double end_s, const double *y,
                                       pinery_error *error) {
    memcpy(N_VGetArrayPointer(solver->y), y, (size_t)solver->work->model->at.all * sizeof(double));
    solver->end = end_s;
    if (start(solver, time_s, first_step(solver)))
        return pinery_base_fail(error, PINERY_SOLVER, "the integration cannot start at %.0f s", time_s);
    return PINERY_OK;
}

static pinery_status give_up(struct pinery_year_solver *solver, int flag, pinery_error *error) {
    const struct pinery_year_work *work = solver->work;
    double day = floor(solver->reached / 86400.0), hour = (solver->reached - 86400.0 * day) / 3600.0;
    if (work->fault >= 0)
        return pinery_base_fail(error, PINERY_SOLVER,
                                "the integration failed on day %.0f at %.2f h: %s left physics at %g", day + 1.0, hour,
                                pinery_year_node_name(work->fault), work->fault_value);
    return pinery_base_fail(error, PINERY_SOLVER,
                            "the integration failed on day %.0f at %.2f h (CVODE flag %d); upper air %.2f degC, cover "
                            "%.2f degC",
                            day + 1.0, hour, flag, work->state.T[NODE_AIR_UPPER], work->state.T[NODE_COVER]);
}

/* No step is longer than so many control intervals: what is ordered within one is seen late. Where steps are that long,
 * CVODE would look for the order that allows the longest, find order one, and lose a little heat on every slope: it may
 * look again only once it would come to ten times as much, as after a step that had to be far shorter. */
static int limit_step(struct pinery_year_solver *solver, double interval) {
    double most = interval * (solver->work->moving ? 1.0 : 3.0), last = 0.0;
    int order = 0;
    CVodeGetLastStep(solver->cvode, &last);
    CVodeGetCurrentOrder(solver->cvode, &order);
    bool hold = !solver->plain && order == most_order && last > 0.99 * most;
    if (hold != solver->held)
        CVodeSetEtaFixedStepBounds(solver->cvode, 0.0, hold ? held_growth : least_growth);
    solver->held = hold;
    if (most == solver->most)
        return CV_SUCCESS;
    solver->most = most;
    return CVodeSetMaxStep(solver->cvode, most);
}

/* To a time, beginning anew wherever it had to stop. */
static int go_to(struct pinery_year_solver *solver, double time_s, real *reached) {
    int flag;
    do {
        flag = CVode(solver->cvode, time_s, solver->y, reached, CV_NORMAL);
        if (flag == CV_TSTOP_RETURN && *reached < solver->end && start(solver, *reached, first_step(solver)))
            return CV_ILL_INPUT;
    } while (flag == CV_TSTOP_RETURN && *reached < time_s);
    return flag;
}

pinery_status pinery_year_solver_to(struct pinery_year_solver *solver, double time_s, double *y, pinery_error *error) {
    real reached = solver->reached;
    solver->work->fault = -1;
    if (time_s > solver->reached) {
        int flag = limit_step(solver, time_s - solver->reached);
        if (flag >= 0)
            flag = go_to(solver, time_s, &reached);
        if (flag < 0) { /* once more from the last good point, carefully */
            CVodeGetCurrentTime(solver->cvode, &reached);
            if (CVodeGetDky(solver->cvode, reached, 0, solver->y) || start(solver, reached, 1e-3))
                return give_up(solver, flag, error);
            solver->work->fault = -1;
            flag = go_to(solver, time_s, &reached);
            if (flag < 0)
                return give_up(solver, flag, error);
        }
        solver->reached = reached;
    }
    memcpy(y, N_VGetArrayPointer(solver->y), (size_t)solver->work->model->at.all * sizeof(double));
    return PINERY_OK;
}

void pinery_year_solver_cost(const struct pinery_year_solver *solver, pinery_cost *cost) {
    long steps = 0, failures = 0, newton = 0;
    if (solver->running) {
        CVodeGetNumSteps(solver->cvode, &steps);
        CVodeGetNumErrTestFails(solver->cvode, &failures);
        CVodeGetNumNonlinSolvConvFails(solver->cvode, &newton);
    }
    cost->steps = solver->steps + steps;
    cost->error_test_failures = solver->error_failures + failures;
    cost->convergence_failures = solver->newton_failures + newton;
    cost->restarts = solver->restarts;
    cost->evaluations = solver->evaluations + solver->rounds.all;
    cost->jacobians = cost->factorizations = solver->rounds.slopes;
}
