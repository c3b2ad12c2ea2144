/* Sparse Gaussian elimination of a small matrix whose pattern hardly ever changes.
 *
 * D/factor - J is close to diagonally dominant by columns, for what leaves one node arrives at another, so pivots stay
 * on the diagonal. When one turns out small all the same, the whole is done once more as a full matrix with row
 * pivoting.
 *
 * The totals feed back on nothing: theirs is a multiplication. */
#include "year/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "year/dense.h"
#include "year/plans.h"
#include "year/wide.h"

static const double least_pivot = 1e-3; /* of a diagonal that is its share of D where nothing happens */

struct pinery_year_linear {
    const struct pinery_year_model *model;
    int n, all;
    struct pinery_year_slopes slopes;
    struct pinery_year_plans plans;
    /* D, by pivots: */
    double *capacity;                                      /* C of a row of heat, else 1 */
    int wet, *wet_node, *wet_heat, *wet_water, *wet_place; /* nodes that hold water, their pivots, and the place of h */
    double *wet_share;                                     /* h, J/kg */
    double factor;                                         /* that the values are of; 0: of none */
    double *value;                                         /* of the matrix */
    double *least;                                         /* a pivot may be */
    double *u;                                             /* the solution, by pivots */
    double *sum;                                           /* of the totals */
};

struct pinery_year_linear *pinery_year_linear_create(const struct pinery_year_model *model) {
    const struct pinery_year_layout *at = &model->at;
    struct pinery_year_linear *linear = calloc(1, sizeof *linear);
    if (!linear)
        return NULL;
    int n = at->n, all = at->all;
    size_t one = (size_t)n, values = (size_t)pinery_year_pivots_most_values(n);
    *linear = (struct pinery_year_linear){.model = model, .n = n, .all = all};
    linear->value = calloc(values + 4 * one + 3 + (size_t)(all - n), sizeof *linear->value);
    linear->wet_node = calloc(4 * one, sizeof *linear->wet_node);
    if (!linear->value || !linear->wet_node || !pinery_year_plans_create(&linear->plans, at)) {
        pinery_year_linear_free(linear);
        return NULL;
    }
    linear->least = linear->value + values;
    linear->u = linear->least + one;
    linear->capacity = linear->u + one + 3;
    linear->wet_share = linear->capacity + one;
    linear->sum = linear->wet_share + one;
    linear->wet_heat = linear->wet_node + one;
    linear->wet_water = linear->wet_heat + one;
    linear->wet_place = linear->wet_water + one;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++)
        if (at->water[node] != at->sink) {
            linear->wet_node[linear->wet++] = node;
            linear->plans.pivots.seen[at->heat[node] * n + at->water[node]] = true;
        }
    return linear;
}

void pinery_year_linear_free(struct pinery_year_linear *linear) {
    if (!linear)
        return;
    pinery_year_plans_free(&linear->plans);
    pinery_year_slopes_free(&linear->slopes);
    free(linear->wet_node);
    free(linear->value);
    free(linear);
}

struct pinery_year_slopes *pinery_year_linear_slopes(struct pinery_year_linear *linear) {
    return &linear->slopes;
}

/* D and where it stands, by pivots. Of what holds no water it stays as it is. */
static void list_capacities(struct pinery_year_linear *linear) {
    const struct pinery_year_layout *at = &linear->model->at;
    const int *pivot = linear->plans.pivots.pivot, n = linear->n;
    for (int k = 0; k < n; k++)
        linear->capacity[k] = 1.0;
    for (int k = 0; k < at->nodes; k++)
        if (at->heat[at->node[k]] != at->sink)
            linear->capacity[pivot[at->heat[at->node[k]]]] = linear->model->store[at->node[k]].capacity;
    for (int w = 0; w < linear->wet; w++) {
        int heat = at->heat[linear->wet_node[w]], water = at->water[linear->wet_node[w]];
        linear->wet_heat[w] = pivot[heat];
        linear->wet_water[w] = pivot[water];
        linear->wet_place[w] = linear->plans.pivots.place[heat * n + water];
    }
}

/* ---- elimination ---- */

static void set_capacities(struct pinery_year_linear *linear, const struct pinery_year_state *state) {
    for (int w = 0; w < linear->wet; w++) {
        int node = linear->wet_node[w];
        linear->capacity[linear->wet_heat[w]] = pinery_year_capacity(linear->model, state, node);
        linear->wet_share[w] = pinery_year_heat_of_water(linear->model, state, node);
    }
}

/* What gains by a slope has it with the other sign: these stand behind the slopes. */
PINERY_YEAR_WIDE static void turn(int n, const double *value, double *turned) {
    PINERY_YEAR_EACH
    for (int k = 0; k < n; k++)
        turned[k] = -value[k];
}

/* D/factor - J into the values. */
static void assemble(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->plans.pivots;
    double *value = linear->value, per_factor = 1.0 / linear->factor;
    pinery_year_gather(&linear->plans.now->matrix, linear->slopes.value, value);
    for (int w = 0; w < linear->wet; w++)
        value[linear->wet_place[w]] += linear->wet_share[w] * per_factor;
    for (int k = 0; k < linear->n; k++) {
        double diagonal = linear->capacity[k] * per_factor;
        value[pivots->diagonal[k]] += diagonal;
        linear->least[k] = least_pivot * diagonal;
    }
}

/* b/factor into `u`. */
static void begin_with(struct pinery_year_linear *linear, const double *b) {
    double per_factor = 1.0 / linear->factor;
    for (int k = 0; k < linear->n; k++)
        linear->u[k] = b[linear->plans.pivots.order[k]] * per_factor;
}

/* Solved with row pivoting. Rows are divided by D, or no pivot could be told from another. False: singular, or no
 * memory. */
static bool solve_pivoted(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->plans.pivots;
    int n = linear->n;
    double *full = malloc((size_t)(n * n) * sizeof *full);
    if (!full)
        return false;
    assemble(linear);
    for (int k = 0; k < n; k++) {
        double per_row = linear->factor / linear->capacity[k];
        linear->u[k] *= per_row;
        for (int l = 0; l < n; l++) {
            int place = pivots->place[pivots->order[k] * n + pivots->order[l]];
            full[k * n + l] = place < 0 ? 0.0 : per_row * linear->value[place];
        }
    }
    bool solved = pinery_year_dense_solve(n, full, linear->u);
    free(full);
    return solved;
}

/* x of all unknowns from u. */
static void spread(struct pinery_year_linear *linear, const double *b, double *x) {
    int n = linear->n, many = linear->all - n;
    const int *order = linear->plans.pivots.order;
    const struct pinery_year_plan *plan = linear->plans.now;
    double *u = linear->u, *sum = linear->sum, *slope = linear->slopes.value;
    pinery_year_gather_products(&plan->totals, slope, u, plan->by, sum);
    pinery_year_gather_pairs(&plan->pairs, slope, u, plan->by, plan->partner, sum);
    for (int i = 0; i < many; i++)
        x[n + i] = b[n + i] + linear->factor * sum[i];
    for (int k = 0; k < n; k++)
        x[order[k]] = linear->capacity[k] * u[k];
    for (int w = 0; w < linear->wet; w++)
        x[order[linear->wet_heat[w]]] += linear->wet_share[w] * u[linear->wet_water[w]];
}

bool pinery_year_linear_solve(struct pinery_year_linear *linear, double factor, const struct pinery_year_state *state,
                              const double *b, double *x) {
    linear->factor = 0.0;
    const struct pinery_year_plan *plan = pinery_year_plans_of(&linear->plans, &linear->slopes);
    if (linear->plans.pivots_anew && linear->plans.pivoted)
        list_capacities(linear);
    if (!plan)
        return false;
    if (linear->plans.anew) /* totals without a slope have none */
        memset(linear->sum, 0, (size_t)(linear->all - linear->n) * sizeof *linear->sum);
    turn(linear->slopes.n, linear->slopes.value, linear->slopes.value + linear->slopes.most);
    set_capacities(linear, state);
    linear->factor = factor;
    assemble(linear);
    begin_with(linear, b);
    bool solved = true, kept = pinery_year_pivots_factor(&linear->plans.pivots, linear->value, linear->least);
    if (kept)
        pinery_year_pivots_substitute(&linear->plans.pivots, linear->value, linear->u);
    else
        solved = solve_pivoted(linear);
    if (solved)
        spread(linear, b, x);
    linear->factor = kept ? factor : 0.0;
    return solved;
}

double pinery_year_linear_factor(const struct pinery_year_linear *linear) {
    return linear->factor;
}

void pinery_year_linear_solve_again(struct pinery_year_linear *linear, const double *b, double *x) {
    begin_with(linear, b);
    pinery_year_pivots_substitute(&linear->plans.pivots, linear->value, linear->u);
    spread(linear, b, x);
}

void pinery_year_linear_matrix(const struct pinery_year_layout *at, const struct pinery_year_slopes *slopes,
                               double *matrix) {
    size_t n = (size_t)at->n;
    memset(matrix, 0, (size_t)(at->all + 1) * n * sizeof *matrix);
    for (int k = 0; k < slopes->n; k++) {
        struct pinery_year_slope slope = pinery_year_slope_of_key(slopes->key[k]);
        struct pinery_year_slope_rows rows = pinery_year_slope_rows(at, slope);
        double *column = matrix + slope.column;
        column[(size_t)rows.lost * n] -= slopes->value[k];
        column[(size_t)rows.gained * n] += slopes->value[k];
        column[(size_t)rows.total * n] += slopes->value[k];
    }
}
