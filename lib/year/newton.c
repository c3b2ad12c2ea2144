/* One round of Newton's method a step, with the slopes of the very point it starts from or of one like it.
 *
 * A step of CVODE asks for the correction c of what it has predicted, y = p + c, with c = gamma f(y) - r z (z: the
 * predicted rates, times the step). To first order in c
 *
 *   (I - gamma J) c = gamma f(p) - r z,   J the slopes of f at p.
 *
 * What is left is of second order. CVODE accepts a step whose c is within a tolerance, some hundredths of a kelvin, and
 * over those the flows are nearly straight, so no second round is made. The slopes come with the rates of the one
 * evaluation.
 *
 * In quiet hours steps are of one length, corrections about a tolerance, and slopes hardly change from step to step;
 * their factors then do for up to ten steps, and evaluations are of rates alone: a third of a year's. That errs by the
 * change of J, some hundredths, times c, and where c comes to be large all the same, as when a lamp or a source comes
 * on, the step is solved again with new slopes. Where J has become more than twice as stiff, old factors overshoot, and
 * corrections grow from step to step, each the other way (the air under a roof swung by 4 K): so slopes are new after a
 * correction that points against the last. Kept whatever the corrections are, with rounds until they vanish, as is
 * usual, slopes erred by twice as much as all else, all on one side, and took half as many evaluations again. Where a
 * motor runs, or half of what a contract for gas allows is burnt, slopes are always new.
 *
 * Where a flow bends within a tolerance, as that to a film about to dry, one round can be caught in a swing: predicted
 * on one side, corrected to the other, step by step, and a mean is taken that neither side has. Corrections that point
 * against the last one several times in a row tell of it; rounds are then made until they vanish. So they are while a
 * contract for gas cuts what is burnt, within a fiftieth. One more is made where a film that is gone would go on
 * drying, since on the line that touches evaporation at one side of nothing there is evaporation on the other; and
 * where pipes would give heat back, since on the line that touches a heating about to end it goes on to less than
 * nothing: whenever lamps came on, some 0.05 % of a year's gas in all.
 *
 * CVODE hands out what it knows of the step, so its own ways to residuals, matrices and linear solvers are left
 * aside. */
#include "year/newton.h"

#include <math.h>
#include <stdlib.h>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>

#include "year/linear.h"
#include "year/vector.h"

enum { most_rounds = 4, most_swings = 4, most_uses = 10 };
static const double against = 0.7; /* cosine between two corrections that count as a swing */
/* Tolerances that the last correction may be for factors to be used again, and the one that they then give. */
static const double most_before = 1.3, most_again = 2.0;
static const double same_gamma = 1e-9;

struct newton {
    struct pinery_year_work *work;
    struct pinery_year_linear *linear;
    double *rate;       /* all + 1, in whole lines, as the next */
    double *now, *last; /* weighted correction of this step and of the one before, n */
    double with_last;   /* the sum of their products */
    N_Vector delta;
    double last_size;                     /* of a step's first correction */
    bool turned;                          /* the last correction pointed against the one before */
    int swings, uses;                     /* in a row; of the factors */
    int films, film[PINERY_YEAR_N_NODES]; /* unknowns */
    int circuits, circuit[2];             /* totals of the heat of those that are there */
    struct pinery_year_rounds *rounds;
};

/* Whether the contract for gas may come to cut. */
static bool near_contract(const struct newton *newton) {
    const struct pinery_year_model *model = newton->work->model;
    return model->limited && newton->rate[model->at.meter[PINERY_METER_gas]] > 0.5 * model->gas_limit;
}

/* Whether the factors of an earlier step may do for this one. */
static bool may_do(const struct newton *newton, double gamma) {
    double of = pinery_year_linear_factor(newton->linear);
    return fabs(gamma - of) <= same_gamma * of && newton->uses < most_uses && newton->last_size < most_before &&
           !newton->turned && newton->work->standing && !near_contract(newton);
}

/* What a step is about to solve: y = p + c, c = gamma f(y) - r z. */
struct step {
    double time, gamma, r;
    const double *z, *weight;
    double *c;
};

/* Solves (I - gamma J) delta = gamma f(y) - r z - c, by the factors there are (kept) or new ones, and gives the
 * weighted size of delta; NAN outside physics. The first of a step is c itself, which is nothing before. */
static double correct(struct newton *newton, bool first, bool kept, const struct step *step, const double *y) {
    const struct pinery_year_layout *at = &newton->work->model->at;
    struct pinery_year_net net = {at, newton->rate, kept ? NULL : pinery_year_linear_slopes(newton->linear)};
    double *delta = first ? step->c : NV_DATA_S(newton->delta);
    newton->rounds->all++;
    if (!pinery_year_rates(newton->work, step->time, y, &net))
        return NAN;
    pinery_year_vector_residual(at->all, step->gamma, newton->rate, step->r, step->z, first ? NULL : step->c, delta);
    if (kept) {
        newton->uses++;
        pinery_year_linear_solve_again(newton->linear, delta, delta);
    } else {
        newton->uses = 1;
        newton->rounds->slopes++;
        if (!pinery_year_linear_solve(newton->linear, step->gamma, &newton->work->state, delta, delta))
            return NAN;
    }
    return sqrt(pinery_year_vector_look(at->n, delta, step->weight, newton->last, newton->now, &newton->with_last) /
                at->n);
}

/* Whether the first corrections of steps have swung for some steps. size: of this one. */
static bool swings(struct newton *newton, double size) {
    double with_last = newton->with_last / newton->work->model->at.n, *last = newton->last;
    newton->turned = with_last < 0.0;
    newton->swings = -with_last > against * size * newton->last_size ? newton->swings + 1 : 0;
    newton->last_size = size;
    newton->last = newton->now;
    newton->now = last;
    return newton->swings >= most_swings;
}

/* Whether the contract for gas leaves the pipes short where the rates were last looked at, or is passed by what c means
 * for the gas. */
static bool cut(const struct newton *newton, const struct step *step) {
    const struct pinery_year_model *model = newton->work->model;
    int gas = model->at.meter[PINERY_METER_gas], lack = model->at.meter[PINERY_METER_heat_short];
    return model->limited &&
           (newton->rate[lack] > 0.0 || step->c[gas] + step->r * step->z[gas] > step->gamma * model->gas_limit);
}

/* Whether a film that is gone gives off water. */
static bool overdrawn(const struct newton *newton, const struct step *step, const double *p) {
    const double gone = -1e-6, given = -1e-9; /* kg/m2 */
    bool is = false;
    for (int k = 0; k < newton->films; k++) {
        int i = newton->film[k];
        is = is || (p[i] + step->c[i] < gone && step->c[i] + step->r * step->z[i] < given);
    }
    return is;
}

/* Whether a circuit of pipes would give back heat. */
static bool cooled(const struct newton *newton, const struct step *step) {
    const double given = -1.0; /* W/m2 */
    bool is = false;
    for (int i = 0; i < newton->circuits; i++) {
        int k = newton->circuit[i];
        is = is || step->c[k] + step->r * step->z[k] < given * step->gamma;
    }
    return is;
}

static int solve(SUNNonlinearSolver solver, N_Vector predicted, N_Vector correction, N_Vector weight,
                 sunrealtype tolerance, sunbooleantype setup, void *memory) {
    struct newton *newton = solver->content;
    sunrealtype time, gamma, r;
    N_Vector p, y, f, z;
    void *data;
    (void)setup;
    if (CVodeGetNonlinearSystemData(memory, &time, &p, &y, &f, &gamma, &r, &z, &data))
        return SUN_NLS_MEM_NULL;
    const struct step step = {time, gamma, r, NV_DATA_S(z), NV_DATA_S(weight), NV_DATA_S(correction)};
    const double *at = NV_DATA_S(predicted);
    bool more = false;
    for (int round = 0; round < most_rounds; round++) {
        bool first = round == 0, kept = first && may_do(newton, gamma);
        double size = correct(newton, first, kept, &step, at);
        if (kept && !(size < most_again))
            size = correct(newton, first, false, &step, at);
        if (!isfinite(size))
            return SUN_NLS_CONV_RECVR; /* try a smaller step */
        if (!first)
            N_VLinearSum(1.0, newton->delta, 1.0, correction, correction);
        more = (first && swings(newton, size)) || cut(newton, &step) || more;
        if ((!more || size <= tolerance) && !overdrawn(newton, &step, NV_DATA_S(predicted)) && !cooled(newton, &step))
            break;
        N_VLinearSum(1.0, predicted, 1.0, correction, y);
        at = NV_DATA_S(y);
    }
    return SUN_NLS_SUCCESS;
}

static SUNNonlinearSolver_Type type(SUNNonlinearSolver solver) {
    (void)solver;
    return SUNNONLINEARSOLVER_ROOTFIND;
}

static int initialize(SUNNonlinearSolver solver) {
    struct newton *newton = solver->content;
    newton->turned = false;
    newton->swings = 0;
    newton->last_size = INFINITY;
    return SUN_NLS_SUCCESS;
}

/* CVODE's residual, test and number of rounds: there is no use for them here. */
static int set_residual(SUNNonlinearSolver solver, SUNNonlinSolSysFn residual) {
    (void)solver, (void)residual;
    return SUN_NLS_SUCCESS;
}

static int set_test(SUNNonlinearSolver solver, SUNNonlinSolConvTestFn test, void *data) {
    (void)solver, (void)test, (void)data;
    return SUN_NLS_SUCCESS;
}

static int set_most(SUNNonlinearSolver solver, int most) {
    (void)solver, (void)most;
    return SUN_NLS_SUCCESS;
}

/* What CVODE would add up: it is counted in `rounds`. */
static int nothing(SUNNonlinearSolver solver, long *n) {
    (void)solver;
    *n = 0;
    return SUN_NLS_SUCCESS;
}

static void unmake(struct newton *newton) {
    if (!newton)
        return;
    pinery_year_linear_free(newton->linear);
    if (newton->delta)
        N_VDestroy(newton->delta);
    free(newton->rate);
    free(newton);
}

static struct newton *make(struct pinery_year_work *work, N_Vector like, struct pinery_year_rounds *rounds) {
    const struct pinery_year_layout *at = &work->model->at;
    struct newton *newton = calloc(1, sizeof *newton);
    if (!newton)
        return NULL;
    *newton = (struct newton){.work = work, .rounds = rounds};
    int rates = pinery_year_in_lines(at->all + 1), unknowns = pinery_year_in_lines(at->n);
    newton->rate = calloc((size_t)(rates + 2 * unknowns), sizeof *newton->rate);
    newton->delta = N_VClone(like);
    newton->linear = pinery_year_linear_create(work->model);
    if (!newton->rate || !newton->delta || !newton->linear) {
        unmake(newton);
        return NULL;
    }
    newton->last = newton->rate + rates;
    newton->now = newton->last + unknowns;
    for (int node = PINERY_YEAR_N_AIRS; node < PINERY_YEAR_N_NODES; node++)
        if (at->water[node] != at->sink)
            newton->film[newton->films++] = at->water[node];
    for (int i = 0; i < 2; i++)
        if (at->heat_total[PINERY_HEADING_heat_lower + i] != at->sink)
            newton->circuit[newton->circuits++] = at->heat_total[PINERY_HEADING_heat_lower + i];
    return newton;
}

static int destroy(SUNNonlinearSolver solver) {
    if (solver) {
        unmake(solver->content);
        solver->content = NULL;
        SUNNonlinSolFreeEmpty(solver);
    }
    return SUN_NLS_SUCCESS;
}

SUNNonlinearSolver pinery_year_newton_create(struct pinery_year_work *work, N_Vector like,
                                             struct pinery_year_rounds *rounds, SUNContext context) {
    SUNNonlinearSolver solver = SUNNonlinSolNewEmpty(context);
    if (!solver)
        return NULL;
    solver->content = make(work, like, rounds);
    solver->ops->gettype = type;
    solver->ops->initialize = initialize;
    solver->ops->solve = solve;
    solver->ops->free = destroy;
    solver->ops->setsysfn = set_residual;
    solver->ops->setctestfn = set_test;
    solver->ops->setmaxiters = set_most;
    solver->ops->getnumiters = nothing;
    solver->ops->getnumconvfails = nothing;
    if (solver->content)
        return solver;
    destroy(solver);
    return NULL;
}
