/* Sparse Gaussian elimination of a small matrix whose pattern hardly ever changes.
 *
 * The list of slopes is nearly always the same but for its values (slopes.h), so which of them go where is laid out
 * once: into the packed values of the matrix (pivots.h), added for what gains by a flow and taken off for what loses,
 * and into the totals. M = I - factor J is close to diagonally dominant by columns, for what leaves one node arrives at
 * another, so pivots stay on the diagonal. When one turns out small all the same, this factorization is done once more
 * on the full block with row pivoting.
 *
 * The totals feed back on nothing: theirs is a multiplication. */
#include "year/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "year/dense.h"
#include "year/pivots.h"
#include "year/wide.h"

static const double least_pivot = 1e-3; /* of a diagonal that is its share of D where nothing happens */

/* A slope of the list goes to a place of the values, or to a total by the variable `by`. */
struct way {
    unsigned short to, from, by;
};

struct pinery_year_linear {
    const struct pinery_year_layout *layout;
    int n, all;
    struct pinery_year_slopes slopes;
    struct pinery_year_pivots pivots;
    int listed; /* slopes that are laid out */
    int gains, losses, totals, room;
    struct way *gain, *loss, *total;
    int *next, *first; /* slopes of the list by columns, while they are laid out */
    /* D, by unknowns: */
    double *capacity; /* C of a row of heat, else 1 */
    int wet, *wet_heat, *wet_water;
    double *wet_share; /* h, J/kg */
    double factor;
    double *value;            /* diagonal, lower, upper factor */
    double *inverse, *at, *u; /* of the diagonal; the solution by pivots, and by unknowns */
    double *sum;              /* of the totals */
    double *dense;
    int *pivot;
    bool pivoted; /* the last factorization needed row pivoting */
};

static void list_wet(struct pinery_year_linear *linear) {
    const struct pinery_year_layout *at = linear->layout;
    bool *seen = linear->pivots.seen;
    linear->wet = 0;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++)
        if (at->water[node] != at->sink) {
            linear->wet_heat[linear->wet] = at->heat[node];
            linear->wet_water[linear->wet++] = at->water[node];
            seen[at->heat[node] * linear->n + at->water[node]] = true;
        }
}

struct pinery_year_linear *pinery_year_linear_create(const struct pinery_year_layout *at) {
    struct pinery_year_linear *linear = calloc(1, sizeof *linear);
    if (!linear)
        return NULL;
    int n = at->n, all = at->all;
    size_t one = (size_t)n, square = one * one;
    *linear = (struct pinery_year_linear){.layout = at, .n = n, .all = all, .listed = -1};
    linear->value = calloc(2 * square + 5 * one + (size_t)(all - n), sizeof *linear->value);
    linear->pivot = calloc(4 * one, sizeof *linear->pivot);
    if (!linear->value || !linear->pivot || !pinery_year_pivots_create(&linear->pivots, n)) {
        pinery_year_linear_free(linear);
        return NULL;
    }
    linear->dense = linear->value + square;
    linear->inverse = linear->dense + square;
    linear->at = linear->inverse + one;
    linear->u = linear->at + one;
    linear->capacity = linear->u + one;
    linear->wet_share = linear->capacity + one;
    linear->sum = linear->wet_share + one;
    linear->wet_heat = linear->pivot + one;
    linear->wet_water = linear->wet_heat + one;
    linear->first = linear->wet_water + one;
    list_wet(linear);
    return linear;
}

void pinery_year_linear_free(struct pinery_year_linear *linear) {
    if (!linear)
        return;
    pinery_year_slopes_free(&linear->slopes);
    pinery_year_pivots_free(&linear->pivots);
    free(linear->gain);
    free(linear->next);
    free(linear->value);
    free(linear->pivot);
    free(linear);
}

struct pinery_year_slopes *pinery_year_linear_slopes(struct pinery_year_linear *linear) {
    return &linear->slopes;
}

/* ---- laying out ---- */

/* The rows a slope goes to: what loses, what gains, and the total; `sink` where there is none. */
struct rows {
    int lost, gained, total;
};

static struct rows rows_of(const struct pinery_year_layout *at, struct pinery_year_slope slope) {
    switch (slope.of) {
    case PINERY_YEAR_SLOPE_HEAT:
        return (struct rows){at->heat[slope.from], at->heat[slope.to], at->heat_total[slope.heading]};
    case PINERY_YEAR_SLOPE_WATER:
        return (struct rows){at->water[slope.from], at->water[slope.to], at->water_total[slope.heading]};
    default:
        return slope.row < at->n ? (struct rows){at->sink, slope.row, at->sink}
                                 : (struct rows){at->sink, at->sink, slope.row};
    }
}

static bool make_room(struct pinery_year_linear *linear) {
    size_t most = (size_t)linear->slopes.most;
    if (linear->room == linear->slopes.most)
        return true;
    free(linear->gain);
    free(linear->next);
    linear->room = 0;
    linear->gain = malloc(3 * most * sizeof *linear->gain);
    linear->next = malloc(most * sizeof *linear->next);
    if (!linear->gain || !linear->next)
        return false;
    linear->loss = linear->gain + most;
    linear->total = linear->loss + most;
    linear->room = linear->slopes.most;
    return true;
}

/* Whether the pattern has grown by what is written now. */
static bool see(struct pinery_year_linear *linear) {
    bool grown = linear->listed < 0, *seen = linear->pivots.seen;
    for (int k = 0; k < linear->slopes.n; k++) {
        struct pinery_year_slope slope = pinery_year_slope_of_key(linear->slopes.key[k]);
        struct rows rows = rows_of(linear->layout, slope);
        const int row[2] = {rows.lost, rows.gained};
        for (int i = 0; i < 2; i++)
            if (row[i] < linear->n && !seen[row[i] * linear->n + slope.column])
                grown = seen[row[i] * linear->n + slope.column] = true;
    }
    return grown;
}

/* By columns, so that neighbours in a list never wait for each other. */
static void lay_out(struct pinery_year_linear *linear) {
    const struct pinery_year_layout *at = linear->layout;
    const int *place = linear->pivots.place;
    int n = linear->n;
    for (int column = 0; column < n; column++)
        linear->first[column] = -1;
    for (int k = linear->slopes.n - 1; k >= 0; k--) {
        int column = pinery_year_slope_of_key(linear->slopes.key[k]).column;
        linear->next[k] = linear->first[column];
        linear->first[column] = k;
    }
    linear->gains = linear->losses = linear->totals = 0;
    for (int column = 0; column < n; column++)
        for (int k = linear->first[column]; k >= 0; k = linear->next[k]) {
            struct rows rows = rows_of(at, pinery_year_slope_of_key(linear->slopes.key[k]));
            unsigned short from = (unsigned short)k, by = (unsigned short)column;
            if (rows.lost < n)
                linear->loss[linear->losses++] = (struct way){(unsigned short)place[rows.lost * n + column], from, by};
            if (rows.gained < n)
                linear->gain[linear->gains++] = (struct way){(unsigned short)place[rows.gained * n + column], from, by};
            if (rows.total >= n && rows.total < linear->all)
                linear->total[linear->totals++] = (struct way){(unsigned short)(rows.total - n), from, by};
        }
}

static bool follow(struct pinery_year_linear *linear) {
    struct pinery_year_slopes *slopes = &linear->slopes;
    if (slopes->failed)
        return false;
    if (!slopes->other && slopes->n == linear->listed)
        return true;
    if (!make_room(linear) || (see(linear) && !pinery_year_pivots_plan(&linear->pivots)))
        return false;
    lay_out(linear);
    linear->listed = slopes->n;
    slopes->other = false;
    return true;
}

/* ---- elimination ---- */

static void set_capacities(struct pinery_year_linear *linear, const double *d_heat, const double *d_water) {
    const struct pinery_year_layout *at = linear->layout;
    for (int i = 0; i < linear->n; i++)
        linear->capacity[i] = 1.0;
    for (int node = 0, wet = 0; node < PINERY_YEAR_N_NODES; node++) {
        if (at->heat[node] == at->sink)
            continue;
        double capacity = linear->capacity[at->heat[node]] = 1.0 / d_heat[node];
        if (at->water[node] != at->sink)
            linear->wet_share[wet++] = -d_water[node] * capacity;
    }
}

/* D - factor J into the values. */
static void assemble(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    int n = linear->n, values = n + pivots->lower + pivots->upper, gains = linear->gains, losses = linear->losses;
    double *value = linear->value, factor = -linear->factor;
    const double *slope = linear->slopes.value;
    const struct way *gain = linear->gain, *loss = linear->loss;
    memset(value, 0, (size_t)values * sizeof *value);
    PINERY_YEAR_UNROLL
    for (int k = 0; k < gains; k++)
        value[gain[k].to] += slope[gain[k].from];
    PINERY_YEAR_UNROLL
    for (int k = 0; k < losses; k++)
        value[loss[k].to] -= slope[loss[k].from];
    for (int k = 0; k < values; k++)
        value[k] *= factor;
    for (int k = 0; k < n; k++)
        value[k] += linear->capacity[pivots->order[k]];
    for (int w = 0; w < linear->wet; w++)
        value[pivots->place[linear->wet_heat[w] * n + linear->wet_water[w]]] += linear->wet_share[w];
}

static bool eliminate(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    int n = linear->n;
    double *value = linear->value;
    for (int k = 0; k < n; k++) {
        if (!(fabs(value[k]) > least_pivot * linear->capacity[pivots->order[k]]))
            return false;
        double inverse = linear->inverse[k] = 1.0 / value[k];
        for (int a = pivots->lower_begin[k]; a < pivots->lower_begin[k + 1]; a++)
            value[a] *= inverse;
        const struct pinery_year_step *step = pivots->steps + pivots->steps_begin[k];
        int steps = pivots->steps_begin[k + 1] - pivots->steps_begin[k];
        PINERY_YEAR_UNROLL
        for (int a = 0; a < steps; a++)
            value[step[a].to] -= value[step[a].left] * value[step[a].right];
    }
    /* the upper factor by rows of a unit diagonal */
    for (int b = 0; b < pivots->upper; b++)
        value[pivots->backward[b].left] *= linear->inverse[pivots->backward[b].to];
    return true;
}

/* Rows of heat are divided by C, or no pivot could be told from another. */
static bool eliminate_pivoted(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    int n = linear->n, values = n + pivots->lower + pivots->upper;
    assemble(linear);
    memset(linear->dense, 0, (size_t)(n * n) * sizeof *linear->dense);
    for (int k = 0; k < values; k++) {
        int row = k < n ? pivots->order[k] : pivots->row[k];
        linear->dense[row * n + pivots->column[k]] = linear->value[k] / linear->capacity[row];
    }
    return pinery_year_dense_factorize(n, linear->dense, linear->pivot);
}

bool pinery_year_linear_factorize(struct pinery_year_linear *linear, double factor, const double *d_heat,
                                  const double *d_water) {
    if (!follow(linear))
        return false;
    linear->factor = factor;
    set_capacities(linear, d_heat, d_water);
    assemble(linear);
    linear->pivoted = !eliminate(linear);
    return !linear->pivoted || eliminate_pivoted(linear);
}

/* ---- solution ---- */

static void solve(struct pinery_year_linear *linear, const double *b) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    int n = linear->n, lower = pivots->lower, upper = pivots->upper;
    const struct pinery_year_step *forward = pivots->forward, *backward = pivots->backward;
    const double *value = linear->value + n; /* the factors stand one after the other, as the lists use them */
    double *at = linear->at;
    for (int k = 0; k < n; k++)
        at[k] = b[pivots->order[k]];
    PINERY_YEAR_UNROLL
    for (int k = 0; k < lower; k++)
        at[forward[k].to] -= value[k] * at[forward[k].right];
    for (int k = 0; k < n; k++)
        at[k] *= linear->inverse[k];
    value += lower;
    PINERY_YEAR_UNROLL
    for (int k = 0; k < upper; k++)
        at[backward[k].to] -= value[k] * at[backward[k].right];
    for (int k = 0; k < n; k++)
        linear->u[pivots->order[k]] = at[k];
}

static void solve_pivoted(struct pinery_year_linear *linear, const double *b) {
    for (int i = 0; i < linear->n; i++)
        linear->u[i] = b[i] / linear->capacity[i];
    pinery_year_dense_solve(linear->n, linear->dense, linear->pivot, linear->u);
}

void pinery_year_linear_solve(struct pinery_year_linear *linear, const double *b, double *x) {
    int n = linear->n, totals = linear->totals, many = linear->all - n;
    if (linear->pivoted)
        solve_pivoted(linear, b);
    else
        solve(linear, b);
    const double *u = linear->u, *slope = linear->slopes.value;
    const struct way *total = linear->total;
    double *sum = linear->sum;
    memset(sum, 0, (size_t)many * sizeof *sum);
    PINERY_YEAR_UNROLL
    for (int k = 0; k < totals; k++)
        sum[total[k].to] += slope[total[k].from] * u[total[k].by];
    for (int i = 0; i < many; i++)
        x[n + i] = b[n + i] + linear->factor * sum[i];
    for (int i = 0; i < n; i++)
        x[i] = linear->capacity[i] * u[i];
    for (int w = 0; w < linear->wet; w++)
        x[linear->wet_heat[w]] += linear->wet_share[w] * u[linear->wet_water[w]];
}

void pinery_year_linear_matrix(const struct pinery_year_layout *at, const struct pinery_year_slopes *slopes,
                               double *matrix) {
    size_t n = (size_t)at->n;
    memset(matrix, 0, (size_t)(at->all + 1) * n * sizeof *matrix);
    for (int k = 0; k < slopes->n; k++) {
        struct pinery_year_slope slope = pinery_year_slope_of_key(slopes->key[k]);
        struct rows rows = rows_of(at, slope);
        double *column = matrix + slope.column;
        column[(size_t)rows.lost * n] -= slopes->value[k];
        column[(size_t)rows.gained * n] += slopes->value[k];
        column[(size_t)rows.total * n] += slopes->value[k];
    }
}
