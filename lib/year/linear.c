/* Sparse Gaussian elimination of a small matrix whose pattern hardly ever changes.
 *
 * The list of slopes is nearly always the same but for its values (slopes.h), so which of them go where is laid out
 * once: into the packed values of the matrix (pivots.h), added for what gains by a flow and taken off for what loses,
 * and into the totals. I - factor J is close to diagonally dominant by columns, for what leaves one node arrives at
 * another, so pivots stay on the diagonal. When one turns out small all the same, the whole is done once more as a full
 * matrix with row pivoting.
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
    int *next, *first, *to, *times; /* while the list is laid out */
    /* D, by unknowns: */
    double *capacity; /* C of a row of heat, else 1 */
    int wet, *wet_node, *wet_heat, *wet_water, *wet_place;
    double *wet_share; /* h, J/kg */
    double *value;     /* of the matrix */
    double *least;     /* a pivot may be, in their order */
    double *at, *u;    /* the solution, by pivots and by unknowns */
    double *sum;       /* of the totals */
};

static void list_wet(struct pinery_year_linear *linear) {
    const struct pinery_year_layout *at = linear->layout;
    linear->wet = 0;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++)
        if (at->water[node] != at->sink) {
            linear->wet_node[linear->wet] = node;
            linear->wet_heat[linear->wet] = at->heat[node];
            linear->wet_water[linear->wet++] = at->water[node];
            linear->pivots.seen[at->heat[node] * linear->n + at->water[node]] = true;
        }
}

/* Of what holds no water it stays as it is. */
static void list_capacities(struct pinery_year_linear *linear, const struct pinery_year_model *model) {
    for (int i = 0; i < linear->n; i++)
        linear->capacity[i] = 1.0;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++)
        if (model->at.heat[node] != model->at.sink)
            linear->capacity[model->at.heat[node]] = model->store[node].capacity;
}

struct pinery_year_linear *pinery_year_linear_create(const struct pinery_year_model *model) {
    const struct pinery_year_layout *at = &model->at;
    struct pinery_year_linear *linear = calloc(1, sizeof *linear);
    if (!linear)
        return NULL;
    int n = at->n, all = at->all;
    size_t one = (size_t)n;
    *linear = (struct pinery_year_linear){.layout = at, .n = n, .all = all, .listed = -1};
    linear->value =
        calloc((size_t)pinery_year_pivots_most_values(n) + 5 * one + (size_t)(all - n), sizeof *linear->value);
    linear->times = calloc((size_t)(pinery_year_pivots_most_values(n) + all) + 4 * one, sizeof *linear->times);
    if (!linear->value || !linear->times || !pinery_year_pivots_create(&linear->pivots, n)) {
        pinery_year_linear_free(linear);
        return NULL;
    }
    linear->least = linear->value + pinery_year_pivots_most_values(n);
    linear->at = linear->least + one;
    linear->u = linear->at + one;
    linear->capacity = linear->u + one;
    linear->wet_share = linear->capacity + one;
    linear->sum = linear->wet_share + one;
    linear->wet_heat = linear->times + pinery_year_pivots_most_values(n) + all;
    linear->wet_water = linear->wet_heat + one;
    linear->wet_node = linear->wet_water + one;
    linear->wet_place = linear->wet_node + one;
    list_wet(linear);
    list_capacities(linear, model);
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
    free(linear->times);
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
    linear->next = malloc(3 * most * sizeof *linear->next);
    if (!linear->gain || !linear->next)
        return false;
    linear->loss = linear->gain + most;
    linear->total = linear->loss + most;
    linear->first = linear->next + most;
    linear->to = linear->first + most;
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

/* Where a slope goes: the place of what loses or gains by it, or its total; -1: nowhere. */
enum kind { LOSS, GAIN, TOTAL };

static int place_of(const struct pinery_year_linear *linear, enum kind kind, struct pinery_year_slope slope) {
    struct rows rows = rows_of(linear->layout, slope);
    int n = linear->n, row = kind == LOSS ? rows.lost : rows.gained;
    if (kind == TOTAL)
        return rows.total >= n && rows.total < linear->all ? rows.total - n : -1;
    return row < n ? linear->pivots.place[row * n + slope.column] : -1;
}

/* The ways of one kind: first those that are the first to go to their place, then the second, and so on, so that
 * neighbours in the list never wait for each other. */
static int list_ways(struct pinery_year_linear *linear, enum kind kind, struct way *way) {
    const uint32_t *key = linear->slopes.key;
    int many = 0, most = 0, *next = linear->next, *first = linear->first, *to = linear->to;
    memset(linear->times, 0, (size_t)(linear->pivots.values + linear->all) * sizeof *linear->times);
    for (int k = linear->slopes.n - 1; k >= 0; k--) {
        to[k] = place_of(linear, kind, pinery_year_slope_of_key(key[k]));
        if (to[k] < 0)
            continue;
        int time = linear->times[to[k]]++;
        next[k] = time < most ? first[time] : -1;
        first[time] = k;
        most = time < most ? most : time + 1;
    }
    for (int time = 0; time < most; time++)
        for (int k = first[time]; k >= 0; k = next[k])
            way[many++] = (struct way){(unsigned short)to[k], (unsigned short)k,
                                       (unsigned short)pinery_year_slope_of_key(key[k]).column};
    return many;
}

static void lay_out(struct pinery_year_linear *linear) {
    linear->losses = list_ways(linear, LOSS, linear->loss);
    linear->gains = list_ways(linear, GAIN, linear->gain);
    linear->totals = list_ways(linear, TOTAL, linear->total);
    for (int w = 0; w < linear->wet; w++)
        linear->wet_place[w] = linear->pivots.place[linear->wet_heat[w] * linear->n + linear->wet_water[w]];
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

static void set_capacities(struct pinery_year_linear *linear, const struct pinery_year_state *state) {
    for (int w = 0; w < linear->wet; w++) {
        int node = linear->wet_node[w];
        double capacity = 1.0 / state->d_T_heat[node];
        linear->capacity[linear->wet_heat[w]] = capacity;
        linear->wet_share[w] = -state->d_T_water[node] * capacity;
    }
}

/* D/factor - J into the values, b/factor into `at`. */
static void assemble(struct pinery_year_linear *linear, double factor, const double *b) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    int n = linear->n, gains = linear->gains, losses = linear->losses;
    double *value = linear->value, per_factor = 1.0 / factor;
    const double *slope = linear->slopes.value;
    const struct way *gain = linear->gain, *loss = linear->loss;
    memset(value, 0, (size_t)pivots->values * sizeof *value);
    PINERY_YEAR_UNROLL
    for (int k = 0; k < losses; k++)
        value[loss[k].to] += slope[loss[k].from];
    PINERY_YEAR_UNROLL
    for (int k = 0; k < gains; k++)
        value[gain[k].to] -= slope[gain[k].from];
    for (int w = 0; w < linear->wet; w++)
        value[linear->wet_place[w]] += linear->wet_share[w] * per_factor;
    for (int k = 0; k < n; k++) {
        double diagonal = linear->capacity[pivots->order[k]] * per_factor;
        value[pivots->diagonal[k]] += diagonal;
        linear->least[k] = least_pivot * diagonal;
        linear->at[k] = b[pivots->order[k]] * per_factor;
    }
}

/* The sparse pivots by lists, the others as full rows; the solution in `at`. */
static bool eliminate(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    int sparse = pivots->sparse, full = pivots->full, stride = pivots->stride, many = pivots->backward_steps;
    double *value = linear->value, *at = linear->at, *block = value + pivots->block;
    for (int k = 0; k < sparse; k++) {
        if (!(fabs(value[k]) > linear->least[k]))
            return false;
        double inverse = 1.0 / value[k];
        at[k] *= inverse;
        for (int a = pivots->lower_begin[k]; a < pivots->upper_begin[k]; a++)
            at[pivots->lower_row[a]] -= value[a] * at[k];
        for (int a = pivots->upper_begin[k]; a < pivots->lower_begin[k + 1]; a++)
            value[a] *= inverse;
        const struct pinery_year_step *step = pivots->steps + pivots->steps_begin[k];
        int steps = pivots->steps_begin[k + 1] - pivots->steps_begin[k];
        for (int a = 0; a < steps; a++)
            value[step[a].to] -= value[step[a].left] * value[step[a].right];
    }
    for (int i = 0; i < full; i++)
        block[i * stride + full] = at[sparse + i];
    if (!pinery_year_dense_solve_rows(full, stride, block, linear->least + sparse, at + sparse))
        return false;
    const struct pinery_year_step *backward = pivots->backward;
    PINERY_YEAR_UNROLL
    for (int k = 0; k < many; k++)
        at[backward[k].to] -= value[backward[k].left] * at[backward[k].right];
    return true;
}

/* Rows are divided by D, or no pivot could be told from another. False: singular, or no memory. */
static bool eliminate_pivoted(struct pinery_year_linear *linear, double factor, const double *b) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    int n = linear->n;
    double *full = malloc((size_t)(n * n) * sizeof *full);
    if (!full)
        return false;
    assemble(linear, factor, b);
    for (int k = 0; k < n; k++) {
        double per_row = factor / linear->capacity[pivots->order[k]];
        linear->at[k] *= per_row;
        for (int l = 0; l < n; l++) {
            int place = pivots->place[pivots->order[k] * n + pivots->order[l]];
            full[k * n + l] = place < 0 ? 0.0 : per_row * linear->value[place];
        }
    }
    bool solved = pinery_year_dense_solve(n, full, linear->at);
    free(full);
    return solved;
}

bool pinery_year_linear_solve(struct pinery_year_linear *linear, double factor, const struct pinery_year_state *state,
                              const double *b, double *x) {
    if (!follow(linear))
        return false;
    int n = linear->n, totals = linear->totals, many = linear->all - n;
    set_capacities(linear, state);
    assemble(linear, factor, b);
    if (!eliminate(linear) && !eliminate_pivoted(linear, factor, b))
        return false;
    double *u = linear->u, *sum = linear->sum;
    for (int k = 0; k < n; k++)
        u[linear->pivots.order[k]] = linear->at[k];
    const double *slope = linear->slopes.value;
    const struct way *total = linear->total;
    memset(sum, 0, (size_t)many * sizeof *sum);
    PINERY_YEAR_UNROLL
    for (int k = 0; k < totals; k++)
        sum[total[k].to] += slope[total[k].from] * u[total[k].by];
    for (int i = 0; i < many; i++)
        x[n + i] = b[n + i] + factor * sum[i];
    for (int i = 0; i < n; i++)
        x[i] = linear->capacity[i] * u[i];
    for (int w = 0; w < linear->wet; w++)
        x[linear->wet_heat[w]] += linear->wet_share[w] * u[linear->wet_water[w]];
    return true;
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
