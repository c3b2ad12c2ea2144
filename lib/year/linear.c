/* Sparse Gaussian elimination of a small matrix whose pattern hardly ever changes.
 *
 * The list of slopes (slopes.h) is one of a few but for its values: some are written only while lamps burn, say. So
 * which of them go where is laid out once for each: into the packed values of the matrix (pivots.h), taken for what
 * loses by a flow and taken off for what gains, and into the totals. D/factor - J is close to diagonally dominant by
 * columns, for what leaves one node arrives at another, so pivots stay on the diagonal. When one turns out small all
 * the same, the whole is done once more as a full matrix with row pivoting.
 *
 * The totals feed back on nothing: theirs is a multiplication. */
#include "year/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "year/dense.h"
#include "year/gather.h"
#include "year/pivots.h"
#include "year/wide.h"

static const double least_pivot = 1e-3; /* of a diagonal that is its share of D where nothing happens */

/* Where the slopes of one list go. */
struct layout {
    int n;    /* slopes; -1: not laid out */
    int most; /* there was room for, behind which those with the other sign stand */
    uint32_t *key;
    unsigned short *by;                              /* pivot of the variable each is by */
    int room;                                        /* of both */
    struct pinery_year_gather matrix, totals, pairs; /* totals alone, and those that always go with another */
    unsigned short *partner;                         /* of a total */
};

enum { layouts = 64 }; /* that are kept: more than a year has */

struct pinery_year_linear {
    const struct pinery_year_model *model;
    int n, all;
    struct pinery_year_slopes slopes;
    struct pinery_year_pivots pivots;
    bool planned;
    struct layout layout[layouts], *now;
    int next; /* layout to be given up for another */
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
    for (int l = 0; l < layouts; l++)
        linear->layout[l].n = -1;
    linear->value = calloc(values + 4 * one + 3 + (size_t)(all - n), sizeof *linear->value);
    linear->wet_node = calloc(4 * one, sizeof *linear->wet_node);
    if (!linear->value || !linear->wet_node || !pinery_year_pivots_create(&linear->pivots, n)) {
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
            linear->pivots.seen[at->heat[node] * n + at->water[node]] = true;
        }
    return linear;
}

void pinery_year_linear_free(struct pinery_year_linear *linear) {
    if (!linear)
        return;
    for (int l = 0; l < layouts; l++) {
        struct layout *layout = &linear->layout[l];
        pinery_year_gather_free(&layout->matrix);
        pinery_year_gather_free(&layout->totals);
        pinery_year_gather_free(&layout->pairs);
        free(layout->partner);
        free(layout->key);
        free(layout->by);
    }
    pinery_year_slopes_free(&linear->slopes);
    pinery_year_pivots_free(&linear->pivots);
    free(linear->wet_node);
    free(linear->value);
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

/* D and where it stands, by pivots. Of what holds no water it stays as it is. */
static void list_capacities(struct pinery_year_linear *linear) {
    const struct pinery_year_layout *at = &linear->model->at;
    const int *pivot = linear->pivots.pivot, n = linear->n;
    for (int k = 0; k < n; k++)
        linear->capacity[k] = 1.0;
    for (int k = 0; k < at->nodes; k++)
        if (at->heat[at->node[k]] != at->sink)
            linear->capacity[pivot[at->heat[at->node[k]]]] = linear->model->store[at->node[k]].capacity;
    for (int w = 0; w < linear->wet; w++) {
        int heat = at->heat[linear->wet_node[w]], water = at->water[linear->wet_node[w]];
        linear->wet_heat[w] = pivot[heat];
        linear->wet_water[w] = pivot[water];
        linear->wet_place[w] = linear->pivots.place[heat * n + water];
    }
}

/* A plan for all entries there have been, which may have become more. */
static bool plan(struct pinery_year_linear *linear) {
    bool grown = !linear->planned, *seen = linear->pivots.seen;
    for (int k = 0; k < linear->slopes.n; k++) {
        struct pinery_year_slope slope = pinery_year_slope_of_key(linear->slopes.key[k]);
        struct rows rows = rows_of(&linear->model->at, slope);
        const int row[2] = {rows.lost, rows.gained};
        for (int i = 0; i < 2; i++)
            if (row[i] < linear->n && !seen[row[i] * linear->n + slope.column])
                grown = seen[row[i] * linear->n + slope.column] = true;
    }
    if (!grown)
        return true;
    for (int l = 0; l < layouts; l++)
        linear->layout[l].n = -1;
    linear->planned = pinery_year_pivots_plan(&linear->pivots);
    if (linear->planned)
        list_capacities(linear);
    return linear->planned;
}

static bool make_room(struct layout *layout, int many, int totals) {
    if (!layout->partner)
        layout->partner = malloc((size_t)(totals + 1) * sizeof *layout->partner);
    if (many <= layout->room)
        return layout->partner;
    free(layout->key);
    free(layout->by);
    layout->key = malloc((size_t)many * sizeof *layout->key);
    layout->by = malloc((size_t)many * sizeof *layout->by);
    layout->room = layout->key && layout->by ? many : 0;
    return layout->room > 0 && layout->partner;
}

/* The total of the slope after k when that is by the same variable, else -1. */
static int following(const struct layout *layout, const int *total, int k) {
    return k + 1 < layout->n && layout->by[k] == layout->by[k + 1] ? total[k + 1] : -1;
}

/* Streams write their heat and the water it goes with by one variable after the other. Where another total follows at
 * each slope of one, and nowhere else, both move from `total` to `pair`, at the first of each two. next, alone: for
 * every total. */
static void find_pairs(const struct layout *layout, int totals, int *total, int *pair, int *next, int *alone) {
    enum { UNKNOWN = -2 };
    for (int t = 0; t < totals; t++) {
        next[t] = UNKNOWN;
        alone[t] = false;
    }
    for (int k = 0; k < layout->n; k++)
        if (total[k] >= 0) {
            int then = following(layout, total, k), *of = &next[total[k]];
            *of = *of == UNKNOWN || *of == then ? then : -1;
        }
    for (int k = 0; k < layout->n; k++) {
        int before = k > 0 && total[k] >= 0 ? total[k - 1] : -1;
        bool led = before >= 0 && next[before] == total[k] && following(layout, total, k - 1) == total[k];
        if (total[k] >= 0 && !led)
            alone[total[k]] = true;
    }
    for (int k = 0; k < layout->n; k++) {
        int first = total[k], second = first >= 0 ? next[first] : -1;
        if (second < 0 || alone[second] || !alone[first])
            continue;
        layout->partner[first] = (unsigned short)second;
        pair[k] = first;
        total[k] = total[k + 1] = -1;
    }
}

static bool lay_out(struct pinery_year_linear *linear, struct layout *layout) {
    const struct pinery_year_slopes *slopes = &linear->slopes;
    int n = linear->n, many = slopes->n, most = slopes->most, totals = linear->all - n;
    int *to = malloc((size_t)(4 * most + 2 * totals) * sizeof *to), *total = to + 2 * most, *pair = total + most;
    layout->n = -1;
    bool done = to && make_room(layout, many, totals);
    for (int k = 0; done && k < 4 * most; k++)
        to[k] = -1;
    for (int k = 0; done && k < many; k++) {
        struct pinery_year_slope slope = pinery_year_slope_of_key(slopes->key[k]);
        struct rows rows = rows_of(&linear->model->at, slope);
        const int *place = linear->pivots.place + slope.column;
        layout->key[k] = slopes->key[k];
        layout->by[k] = (unsigned short)linear->pivots.pivot[slope.column];
        if (rows.lost < n)
            to[k] = place[rows.lost * n];
        if (rows.gained < n)
            to[most + k] = place[rows.gained * n];
        if (rows.total >= n && rows.total < linear->all)
            total[k] = rows.total - n;
    }
    if (done) {
        layout->n = many;
        find_pairs(layout, totals, total, pair, pair + most, pair + most + totals);
    }
    done = done && pinery_year_gather_plan(&layout->matrix, linear->pivots.values, 2 * most, to) &&
           pinery_year_gather_plan(&layout->totals, totals, many, total) &&
           pinery_year_gather_plan(&layout->pairs, totals, many, pair);
    free(to);
    layout->n = done ? many : -1;
    layout->most = most;
    return done;
}

static bool is_of(const struct layout *layout, const struct pinery_year_slopes *slopes) {
    return layout->n == slopes->n && layout->most == slopes->most &&
           !memcmp(layout->key, slopes->key, (size_t)slopes->n * sizeof *slopes->key);
}

/* The layout of the list as it stands. */
static bool follow(struct pinery_year_linear *linear) {
    const struct pinery_year_slopes *slopes = &linear->slopes;
    if (slopes->failed)
        return false;
    if (linear->now && is_of(linear->now, slopes))
        return true;
    for (int l = 0; l < layouts; l++)
        if (is_of(&linear->layout[l], slopes)) {
            linear->now = &linear->layout[l];
            return true;
        }
    linear->now = NULL;
    if (!plan(linear) || !lay_out(linear, &linear->layout[linear->next]))
        return false;
    linear->now = &linear->layout[linear->next];
    linear->next = (linear->next + 1) % layouts;
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

/* What gains by a slope has it with the other sign: these stand behind the slopes. */
PINERY_YEAR_WIDE static void turn(int n, const double *value, double *turned) {
    PINERY_YEAR_EACH
    for (int k = 0; k < n; k++)
        turned[k] = -value[k];
}

/* D/factor - J into the values. */
static void assemble(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
    double *value = linear->value, per_factor = 1.0 / linear->factor;
    pinery_year_gather(&linear->now->matrix, linear->slopes.value, value);
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
        linear->u[k] = b[linear->pivots.order[k]] * per_factor;
}

/* Solved with row pivoting. Rows are divided by D, or no pivot could be told from another. False: singular, or no
 * memory. */
static bool solve_pivoted(struct pinery_year_linear *linear) {
    const struct pinery_year_pivots *pivots = &linear->pivots;
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
    const int *order = linear->pivots.order;
    const struct layout *layout = linear->now;
    double *u = linear->u, *sum = linear->sum, *slope = linear->slopes.value;
    pinery_year_gather_products(&layout->totals, slope, u, layout->by, sum);
    pinery_year_gather_pairs(&layout->pairs, slope, u, layout->by, layout->partner, sum);
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
    if (!follow(linear))
        return false;
    turn(linear->slopes.n, linear->slopes.value, linear->slopes.value + linear->slopes.most);
    set_capacities(linear, state);
    linear->factor = factor;
    assemble(linear);
    begin_with(linear, b);
    bool solved = true, kept = pinery_year_pivots_factor(&linear->pivots, linear->value, linear->least);
    if (kept)
        pinery_year_pivots_substitute(&linear->pivots, linear->value, linear->u);
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
    pinery_year_pivots_substitute(&linear->pivots, linear->value, linear->u);
    spread(linear, b, x);
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
