/* Sparse Gaussian elimination of a small matrix whose pattern hardly ever changes.
 *
 * The pattern of J is known from what was written (pattern.h). When it grows, the order of the pivots is chosen anew,
 * each time the row and column whose elimination can fill in least (Markowitz 1957, Management Sci. 3:255), and all
 * that elimination and solution will ever do is written down as lists of places: v[to] -= v[left] v[right]. The values
 * are packed: the diagonal, the lower factor by columns, the upper one by columns from the last, so that neighbours in
 * a list never wait for each other. Pivots stay on the diagonal, for M = I + factor J is close to diagonally dominant
 * by columns: what leaves one node arrives at another. When a pivot turns out small all the same, this factorization is
 * done once more on the full block with row pivoting.
 *
 * The totals feed back on nothing: their rows are kept as a list of entries, by columns too. */
#include "year/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "year/dense.h"
#include "year/wide.h"

static const double least_pivot = 1e-3; /* of a diagonal that is 1 where nothing happens */

/* One step of a list. */
struct step {
    unsigned short to, left, right;
};

struct pinery_year_linear {
    const struct pinery_year_layout *layout;
    int n, all, width;
    double *slopes; /* J, (all + 1) x width */
    struct pinery_year_pattern pattern;
    long planned; /* version of the pattern that the lists below are of */
    /* D, by unknowns: */
    double *capacity, *scale; /* C of a row of heat, else 1; 1/C */
    int wet, *wet_heat, *wet_water, *wet_place;
    double *wet_share; /* h, J/kg */
    /* of the physical block, in the order of the pivots: */
    int *order;    /* unknown of each pivot */
    double *value; /* diagonal, lower, upper factor */
    double *inverse, *at, *dense;
    int lower, upper, entries, totals; /* numbers of */
    int *from, *to, *row;              /* places of the entries of J, in slopes and in value, and their rows */
    double *entry;                     /* J, rows of heat divided by C */
    int *lower_begin;                  /* of the column of pivot k, among the values */
    int *steps_begin;                  /* of pivot k */
    struct step *steps;                /* of the elimination */
    struct step *forward, *backward;   /* of the solution: at[to] -= at[right] times the next of value */
    struct step *total;                /* x[to] -= factor u[right] times the next of total_entry */
    int *total_from;
    double *total_entry;
    double factor;
    bool pivoted; /* the last factorization needed row pivoting */
    int *pivot;
};

static void list_wet(struct pinery_year_linear *linear, const struct pinery_year_layout *at) {
    linear->wet = 0;
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++)
        if (at->water[node] != at->sink) {
            linear->wet_heat[linear->wet] = at->heat[node];
            linear->wet_water[linear->wet++] = at->water[node];
        }
}

struct pinery_year_linear *pinery_year_linear_create(const struct pinery_year_layout *at) {
    struct pinery_year_linear *linear = calloc(1, sizeof *linear);
    if (!linear)
        return NULL;
    int n = at->n, all = at->all;
    size_t one = (size_t)n, square = one * one, most = (size_t)(all - n) * one + 1;
    *linear = (struct pinery_year_linear){.layout = at, .n = n, .all = all, .width = n + 1};
    linear->slopes = calloc((size_t)(all + 1) * (one + 1) + 3 * square + 5 * one + most, sizeof(double));
    linear->order = calloc(3 * square + 7 * one + 2 + most, sizeof(int));
    linear->forward = calloc(2 * square + most, sizeof(struct step));
    if (!linear->slopes || !linear->order || !linear->forward ||
        !pinery_year_pattern_create(&linear->pattern, n, all)) {
        pinery_year_linear_free(linear);
        return NULL;
    }
    linear->value = linear->slopes + (size_t)(all + 1) * (one + 1);
    linear->dense = linear->value + square;
    linear->entry = linear->dense + square;
    linear->inverse = linear->entry + square;
    linear->at = linear->inverse + one;
    linear->capacity = linear->at + one;
    linear->scale = linear->capacity + one;
    linear->wet_share = linear->scale + one;
    linear->total_entry = linear->wet_share + one;
    linear->pivot = linear->order + one;
    linear->lower_begin = linear->pivot + one;
    linear->steps_begin = linear->lower_begin + one + 1;
    linear->wet_heat = linear->steps_begin + one + 1;
    linear->wet_water = linear->wet_heat + one;
    linear->wet_place = linear->wet_water + one;
    linear->from = linear->wet_place + one;
    linear->to = linear->from + square;
    linear->row = linear->to + square;
    linear->total_from = linear->row + square;
    linear->backward = linear->forward + square;
    linear->total = linear->backward + square;
    list_wet(linear, at);
    return linear;
}

void pinery_year_linear_free(struct pinery_year_linear *linear) {
    if (!linear)
        return;
    pinery_year_pattern_free(&linear->pattern);
    free(linear->slopes);
    free(linear->order);
    free(linear->forward);
    free(linear->steps);
    free(linear);
}

double *pinery_year_linear_slopes(struct pinery_year_linear *linear) {
    return linear->slopes;
}

struct pinery_year_pattern *pinery_year_linear_pattern(struct pinery_year_linear *linear) {
    return &linear->pattern;
}

/* ---- the order of elimination ---- */

/* The pivot among those left that can fill in least. */
static int cheapest(int n, const bool *full, const bool *done) {
    int best = -1;
    long least = 0;
    for (int p = 0; p < n; p++) {
        if (done[p])
            continue;
        long rows = 0, columns = 0;
        for (int i = 0; i < n; i++) {
            rows += !done[i] && i != p && full[i * n + p];
            columns += !done[i] && i != p && full[p * n + i];
        }
        if (best < 0 || rows * columns < least) {
            best = p;
            least = rows * columns;
        }
    }
    return best;
}

static bool seen(const struct pinery_year_linear *linear, int i, int j) {
    return i == j || linear->pattern.seen[i * linear->width + j];
}

/* The order of the pivots and the filled pattern, in the places of J. */
static void choose_order(struct pinery_year_linear *linear, bool *full, bool *done) {
    int n = linear->n;
    for (int k = 0; k < n; k++) {
        int p = cheapest(n, full, done);
        linear->order[k] = p;
        done[p] = true;
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n && !done[i] && full[i * n + p]; j++)
                full[i * n + j] = full[i * n + j] || (!done[j] && full[p * n + j]);
    }
}

/* Places of the values: place[k * n + l] of row k and column l in the order of the pivots, -1 where there is none. */
static void lay_out(struct pinery_year_linear *linear, const bool *full, int *place) {
    int n = linear->n, next = n;
    linear->lower = linear->upper = 0;
    for (int k = 0; k < n * n; k++)
        place[k] = -1;
    for (int k = 0; k < n; k++) {
        place[k * n + k] = k;
        linear->lower_begin[k] = next;
        for (int i = k + 1; i < n; i++)
            if (full[linear->order[i] * n + linear->order[k]]) {
                linear->forward[linear->lower++] =
                    (struct step){(unsigned short)i, (unsigned short)next, (unsigned short)k};
                place[i * n + k] = next++;
            }
    }
    linear->lower_begin[n] = next;
    for (int k = n - 1; k >= 0; k--)
        for (int i = 0; i < k; i++)
            if (full[linear->order[i] * n + linear->order[k]]) {
                linear->backward[linear->upper++] =
                    (struct step){(unsigned short)i, (unsigned short)next, (unsigned short)k};
                place[i * n + k] = next++;
            }
}

static bool list_steps(struct pinery_year_linear *linear, const int *place) {
    int n = linear->n, most = 0, steps = 0;
    for (int count = 1; count >= 0; count--) {
        for (int k = 0; k < n; k++) {
            if (!count)
                linear->steps_begin[k] = steps;
            for (int i = k + 1; i < n; i++)
                for (int j = k + 1; j < n; j++) {
                    if (place[i * n + k] < 0 || place[k * n + j] < 0)
                        continue;
                    if (count)
                        most++;
                    else
                        linear->steps[steps++] =
                            (struct step){(unsigned short)place[i * n + j], (unsigned short)place[i * n + k],
                                          (unsigned short)place[k * n + j]};
                }
        }
        if (count) {
            free(linear->steps);
            if (!(linear->steps = malloc((size_t)(most + 1) * sizeof *linear->steps)))
                return false;
        }
    }
    linear->steps_begin[n] = steps;
    return true;
}

static void list_entries(struct pinery_year_linear *linear, const int *place) {
    int n = linear->n;
    linear->entries = linear->totals = 0;
    for (int k = 0; k < n; k++)
        for (int l = 0; l < n; l++) {
            int row = linear->order[k], column = linear->order[l];
            for (int w = 0; w < linear->wet; w++)
                if (row == linear->wet_heat[w] && column == linear->wet_water[w])
                    linear->wet_place[w] = place[k * n + l];
            if (!seen(linear, row, column))
                continue;
            linear->row[linear->entries] = row;
            linear->from[linear->entries] = row * linear->width + column;
            linear->to[linear->entries++] = place[k * n + l];
        }
    for (int column = 0; column < n; column++)
        for (int row = n; row < linear->all; row++) {
            int from = row * linear->width + column;
            if (!linear->pattern.seen[from])
                continue;
            linear->total[linear->totals] = (struct step){(unsigned short)row, 0, (unsigned short)column};
            linear->total_from[linear->totals++] = from;
        }
}

static bool plan(struct pinery_year_linear *linear) {
    int n = linear->n;
    size_t square = (size_t)n * (size_t)n;
    bool *full = calloc(square + (size_t)n, sizeof *full);
    int *place = malloc(square * sizeof *place);
    bool done = full && place;
    if (done) {
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++)
                full[i * n + j] = seen(linear, i, j);
        for (int w = 0; w < linear->wet; w++)
            full[linear->wet_heat[w] * n + linear->wet_water[w]] = true;
        choose_order(linear, full, full + square);
        lay_out(linear, full, place);
        list_entries(linear, place);
        done = list_steps(linear, place);
    }
    free(full);
    free(place);
    return done;
}

bool pinery_year_linear_renewed(struct pinery_year_linear *linear, const double *d_heat, const double *d_water) {
    const struct pinery_year_layout *at = linear->layout;
    pinery_year_pattern_renew(&linear->pattern);
    if (linear->planned != linear->pattern.version) {
        if (!plan(linear))
            return false;
        linear->planned = linear->pattern.version;
    }
    for (int i = 0; i < linear->n; i++)
        linear->scale[i] = linear->capacity[i] = 1.0;
    for (int node = 0, wet = 0; node < PINERY_YEAR_N_NODES; node++) {
        if (at->heat[node] == at->sink)
            continue;
        linear->scale[at->heat[node]] = d_heat[node];
        linear->capacity[at->heat[node]] = 1.0 / d_heat[node];
        if (at->water[node] != at->sink)
            linear->wet_share[wet++] = -d_water[node] / d_heat[node];
    }
    for (int e = 0; e < linear->entries; e++)
        linear->entry[e] = linear->scale[linear->row[e]] * linear->slopes[linear->from[e]];
    for (int k = 0; k < linear->totals; k++)
        linear->total_entry[k] = linear->slopes[linear->total_from[k]];
    return true;
}

/* ---- elimination ---- */

static bool eliminate(struct pinery_year_linear *linear) {
    int n = linear->n;
    double *value = linear->value;
    memset(value, 0, (size_t)(n + linear->lower + linear->upper) * sizeof *value);
    for (int e = 0; e < linear->entries; e++)
        value[linear->to[e]] = linear->factor * linear->entry[e];
    for (int k = 0; k < n; k++)
        value[k] += 1.0;
    for (int w = 0; w < linear->wet; w++)
        value[linear->wet_place[w]] += linear->wet_share[w] * linear->scale[linear->wet_heat[w]];
    for (int k = 0; k < n; k++) {
        if (!(fabs(value[k]) > least_pivot))
            return false;
        double inverse = linear->inverse[k] = 1.0 / value[k];
        for (int a = linear->lower_begin[k]; a < linear->lower_begin[k + 1]; a++)
            value[a] *= inverse;
        const struct step *step = linear->steps + linear->steps_begin[k];
        int steps = linear->steps_begin[k + 1] - linear->steps_begin[k];
        PINERY_YEAR_UNROLL
        for (int a = 0; a < steps; a++)
            value[step[a].to] -= value[step[a].left] * value[step[a].right];
    }
    /* the upper factor by rows of a unit diagonal */
    for (int b = 0; b < linear->upper; b++)
        value[linear->backward[b].left] *= linear->inverse[linear->backward[b].to];
    return true;
}

/* From the same entries as above: what the flows have written since may be newer. */
static bool eliminate_pivoted(struct pinery_year_linear *linear) {
    int n = linear->n;
    double *lu = linear->dense;
    for (int i = 0; i < n * n; i++)
        lu[i] = i % (n + 1) == 0 ? 1.0 : 0.0;
    for (int e = 0; e < linear->entries; e++)
        lu[linear->row[e] * n + linear->from[e] - linear->row[e] * linear->width] += linear->factor * linear->entry[e];
    for (int w = 0; w < linear->wet; w++)
        lu[linear->wet_heat[w] * n + linear->wet_water[w]] += linear->wet_share[w] * linear->scale[linear->wet_heat[w]];
    return pinery_year_dense_factorize(n, lu, linear->pivot);
}

bool pinery_year_linear_factorize(struct pinery_year_linear *linear, double factor) {
    linear->factor = factor;
    linear->pivoted = !eliminate(linear);
    return !linear->pivoted || eliminate_pivoted(linear);
}

static void solve(const struct pinery_year_linear *linear, double *x) {
    int n = linear->n, lower = linear->lower, upper = linear->upper;
    const struct step *forward = linear->forward, *backward = linear->backward;
    const double *value = linear->value + n; /* the factors stand one after the other, as the lists use them */
    double *at = linear->at;
    for (int k = 0; k < n; k++)
        at[k] = x[linear->order[k]];
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
        x[linear->order[k]] = at[k];
}

void pinery_year_linear_solve(const struct pinery_year_linear *linear, const double *b, double *x) {
    int n = linear->n;
    for (int i = 0; i < n; i++)
        x[i] = linear->scale[i] * b[i];
    if (x != b)
        memcpy(x + n, b + n, (size_t)(linear->all - n) * sizeof(double));
    if (linear->pivoted)
        pinery_year_dense_solve(n, linear->dense, linear->pivot, x);
    else
        solve(linear, x);
    double *u = linear->at;
    for (int i = 0; i < n; i++)
        u[i] = linear->factor * x[i];
    const double *entry = linear->total_entry;
    const struct step *total = linear->total;
    int totals = linear->totals;
    PINERY_YEAR_UNROLL
    for (int k = 0; k < totals; k++)
        x[total[k].to] -= entry[k] * u[total[k].right];
    for (int i = 0; i < n; i++)
        x[i] *= linear->capacity[i];
    for (int w = 0; w < linear->wet; w++)
        x[linear->wet_heat[w]] += linear->wet_share[w] * x[linear->wet_water[w]];
}
