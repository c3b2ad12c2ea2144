/* Sparse Gaussian elimination of a small matrix whose pattern hardly ever changes.
 *
 * The pattern of J is found by looking at what was written: entries once seen belong to it for good. When it grows, the
 * order of the pivots is chosen anew, each time the row and column whose elimination can fill in least (Markowitz
 * 1957, Management Sci. 3:255), and the elimination is written down as lists of places. A factorization then walks
 * through the lists. Pivots stay on the diagonal, for M = I + factor J is close to diagonally dominant by columns: what
 * leaves one node arrives at another. When a pivot turns out small all the same, this factorization is done once more
 * on the full block with row pivoting.
 *
 * The totals feed back on nothing: their rows are kept as lists of entries. */
#include "year/linear.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "year/wide.h"

static const double least_pivot = 1e-3; /* of a diagonal that is 1 where nothing happens */

struct pinery_year_linear {
    int n, all, width;
    double *slopes;   /* J, (all + 1) x width */
    uint64_t *unseen; /* all x width: every bit where J has had no entry so far, none where it has */
    /* of the physical block, in the order of the pivots: */
    int *order;                /* unknown of each pivot */
    double *lu, *inverse, *at; /* n x n, n, n */
    int entries;
    int *from, *to;                               /* places of the entries of J, in slopes and in lu */
    int *row_begin, *column_begin, *row, *column; /* of the pivot k: row[row_begin[k]] .. row[row_begin[k + 1] - 1] */
    int *lower, *upper;                           /* places in lu that go with row and column */
    double factor;
    /* entries of the totals' rows: those of total t stand at begin[t] .. begin[t + 1] */
    int *begin, *total_column, *total_from;
    double *total_entry;
    bool pivoted; /* the last factorization needed row pivoting */
    int *pivot;
};

struct pinery_year_linear *pinery_year_linear_create(int n, int all) {
    struct pinery_year_linear *linear = calloc(1, sizeof *linear);
    if (!linear)
        return NULL;
    size_t one = (size_t)n, square = one * one, most = (size_t)(all - n) * one + 1;
    *linear = (struct pinery_year_linear){.n = n, .all = all, .width = n + 1};
    size_t places = (size_t)all * (one + 1);
    linear->slopes = calloc(places + one + 1 + square + 2 * one + most, sizeof(double));
    linear->order = calloc(6 * square + 5 * one + 4 + (size_t)(all - n) + 2 * most, sizeof(int));
    linear->unseen = malloc(places * sizeof *linear->unseen);
    if (!linear->slopes || !linear->order || !linear->unseen) {
        pinery_year_linear_free(linear);
        return NULL;
    }
    linear->lu = linear->slopes + places + one + 1;
    linear->inverse = linear->lu + square;
    linear->at = linear->inverse + one;
    linear->total_entry = linear->at + one;
    linear->pivot = linear->order + one;
    linear->row_begin = linear->pivot + one;
    linear->column_begin = linear->row_begin + one + 1;
    linear->from = linear->column_begin + one + 1;
    linear->to = linear->from + square;
    linear->row = linear->to + square;
    linear->column = linear->row + square;
    linear->lower = linear->column + square;
    linear->upper = linear->lower + square;
    linear->begin = linear->upper + square;
    linear->total_column = linear->begin + (all - n) + 1;
    linear->total_from = linear->total_column + most;
    memset(linear->unseen, 0xff, places * sizeof *linear->unseen);
    return linear;
}

void pinery_year_linear_free(struct pinery_year_linear *linear) {
    if (!linear)
        return;
    free(linear->slopes);
    free(linear->unseen);
    free(linear->order);
    free(linear);
}

double *pinery_year_linear_slopes(struct pinery_year_linear *linear) {
    return linear->slopes;
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
    return i == j || linear->unseen[i * linear->width + j] == 0;
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

static bool plan(struct pinery_year_linear *linear) {
    int n = linear->n, rows = 0, columns = 0;
    size_t square = (size_t)n * (size_t)n;
    bool *full = calloc(square + (size_t)n, sizeof *full);
    if (!full)
        return false;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            full[i * n + j] = seen(linear, i, j);
    choose_order(linear, full, full + square);
    linear->entries = 0;
    for (int k = 0; k < n; k++) {
        int p = linear->order[k];
        linear->row_begin[k] = rows;
        linear->column_begin[k] = columns;
        for (int l = 0; l < n; l++) {
            int q = linear->order[l];
            if (seen(linear, p, q)) {
                linear->from[linear->entries] = p * linear->width + q;
                linear->to[linear->entries++] = k * n + l;
            }
            if (l > k && full[q * n + p]) {
                linear->row[rows] = l;
                linear->lower[rows++] = l * n + k;
            }
            if (l > k && full[p * n + q]) {
                linear->column[columns] = l;
                linear->upper[columns++] = k * n + l;
            }
        }
    }
    linear->row_begin[n] = rows;
    linear->column_begin[n] = columns;
    memset(linear->lu, 0, square * sizeof *linear->lu);
    free(full);
    return true;
}

/* ---- what J holds ---- */

/* Has J entries where it never had one? A sum of bits, since sums of numbers would not be taken side by side. */
PINERY_YEAR_WIDE static uint64_t outside(long places, const double *slopes, const uint64_t *unseen) {
    uint64_t any = 0, bits;
    for (long i = 0; i < places; i++) {
        memcpy(&bits, slopes + i, sizeof bits);
        any |= (bits << 1) & unseen[i]; /* without the sign */
    }
    return any;
}

static bool grown(struct pinery_year_linear *linear) {
    long places = (long)linear->all * linear->width;
    for (int i = 0; i < linear->all; i++)
        linear->slopes[i * linear->width + linear->n] = 0.0; /* nobody's column */
    if (!outside(places, linear->slopes, linear->unseen))
        return linear->entries == 0;
    for (long i = 0; i < places; i++)
        if (linear->slopes[i] != 0.0)
            linear->unseen[i] = 0;
    return true;
}

static void list_totals(struct pinery_year_linear *linear) {
    int k = 0, totals = linear->all - linear->n;
    for (int t = 0; t < totals; t++) {
        linear->begin[t] = k;
        for (int j = 0, place = (linear->n + t) * linear->width; j < linear->n; j++, place++)
            if (linear->unseen[place] == 0) {
                linear->total_column[k] = j;
                linear->total_from[k++] = place;
            }
    }
    linear->begin[totals] = k;
}

bool pinery_year_linear_renewed(struct pinery_year_linear *linear) {
    if (grown(linear)) {
        list_totals(linear);
        if (!plan(linear))
            return false;
    }
    for (int k = 0; k < linear->begin[linear->all - linear->n]; k++)
        linear->total_entry[k] = linear->slopes[linear->total_from[k]];
    return true;
}

/* ---- elimination ---- */

PINERY_YEAR_WIDE static bool eliminate(struct pinery_year_linear *linear) {
    int n = linear->n;
    double *restrict lu = linear->lu, *restrict pivots = linear->inverse;
    for (int k = 0; k < n; k++) {
        for (int a = linear->row_begin[k]; a < linear->row_begin[k + 1]; a++)
            lu[linear->lower[a]] = 0.0;
        for (int b = linear->column_begin[k]; b < linear->column_begin[k + 1]; b++)
            lu[linear->upper[b]] = 0.0;
    }
    for (int e = 0; e < linear->entries; e++)
        lu[linear->to[e]] = linear->factor * linear->slopes[linear->from[e]];
    for (int k = 0; k < n; k++)
        lu[k * n + k] += 1.0;
    for (int k = 0; k < n; k++) {
        int from = linear->column_begin[k], to = linear->column_begin[k + 1];
        if (!(fabs(lu[k * n + k]) > least_pivot))
            return false;
        pivots[k] = 1.0 / lu[k * n + k];
        for (int a = linear->row_begin[k]; a < linear->row_begin[k + 1]; a++) {
            double *row = lu + linear->row[a] * n, share = row[k] *= pivots[k];
            for (int b = from; b < to; b++)
                row[linear->column[b]] -= share * lu[linear->upper[b]];
        }
    }
    return true;
}

static bool eliminate_pivoted(struct pinery_year_linear *linear) {
    int n = linear->n;
    double *lu = linear->lu;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            lu[i * n + j] = (i == j) + linear->factor * linear->slopes[i * linear->width + j];
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k + 1; i < n; i++)
            if (fabs(lu[i * n + k]) > fabs(lu[best * n + k]))
                best = i;
        linear->pivot[k] = best;
        if (!(fabs(lu[best * n + k]) > 0.0))
            return false;
        for (int j = 0; j < n && best != k; j++) {
            double keep = lu[k * n + j];
            lu[k * n + j] = lu[best * n + j];
            lu[best * n + j] = keep;
        }
        for (int i = k + 1; i < n; i++) {
            double share = lu[i * n + k] /= lu[k * n + k];
            for (int j = k + 1; j < n && share != 0.0; j++)
                lu[i * n + j] -= share * lu[k * n + j];
        }
    }
    return true;
}

bool pinery_year_linear_factorize(struct pinery_year_linear *linear, double factor) {
    linear->factor = factor;
    if (linear->pivoted) /* which left entries all over */
        memset(linear->lu, 0, (size_t)linear->n * (size_t)linear->n * sizeof *linear->lu);
    linear->pivoted = !eliminate(linear);
    return !linear->pivoted || eliminate_pivoted(linear);
}

static void solve(const struct pinery_year_linear *linear, double *x) {
    int n = linear->n;
    const double *lu = linear->lu;
    double *restrict at = linear->at;
    for (int k = 0; k < n; k++)
        at[k] = x[linear->order[k]];
    for (int k = 0; k < n; k++)
        for (int a = linear->row_begin[k]; a < linear->row_begin[k + 1]; a++)
            at[linear->row[a]] -= lu[linear->lower[a]] * at[k];
    for (int k = n - 1; k >= 0; k--) {
        double sum = at[k];
        for (int b = linear->column_begin[k]; b < linear->column_begin[k + 1]; b++)
            sum -= lu[linear->upper[b]] * at[linear->column[b]];
        at[k] = sum * linear->inverse[k];
    }
    for (int k = 0; k < n; k++)
        x[linear->order[k]] = at[k];
}

static void solve_pivoted(const struct pinery_year_linear *linear, double *x) {
    int n = linear->n;
    const double *lu = linear->lu;
    for (int k = 0; k < n; k++) {
        double keep = x[linear->pivot[k]];
        x[linear->pivot[k]] = x[k];
        x[k] = keep;
    }
    for (int i = 1; i < n; i++)
        for (int j = 0; j < i; j++)
            x[i] -= lu[i * n + j] * x[j];
    for (int i = n - 1; i >= 0; i--) {
        for (int j = i + 1; j < n; j++)
            x[i] -= lu[i * n + j] * x[j];
        x[i] /= lu[i * n + i];
    }
}

void pinery_year_linear_solve(const struct pinery_year_linear *linear, const double *b, double *x) {
    int n = linear->n;
    if (x != b)
        memcpy(x, b, (size_t)linear->all * sizeof(double));
    if (linear->pivoted)
        solve_pivoted(linear, x);
    else
        solve(linear, x);
    for (int t = 0; t < linear->all - n; t++) {
        double sum = 0.0;
        for (int k = linear->begin[t]; k < linear->begin[t + 1]; k++)
            sum += linear->total_entry[k] * x[linear->total_column[k]];
        x[n + t] -= linear->factor * sum;
    }
}
