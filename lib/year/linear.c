/* Sparse Gaussian elimination of a small matrix whose pattern hardly ever changes.
 *
 * The pattern of J is found by looking at what was written: entries once seen belong to it for good. When it grows, the
 * order of the pivots is chosen anew, each time the row and column whose elimination can fill in least (Markowitz
 * 1957, Management Sci. 3:255), and the elimination is written down as lists of places. A factorization then walks
 * through the lists. Pivots stay on the diagonal, for M = I + factor J is close to diagonally dominant by columns: what
 * leaves one node arrives at another. When a pivot turns out small all the same, this factorization is done once more on
 * the full block with row pivoting.
 *
 * The totals feed back on nothing: their rows are kept as lists of entries. */
#include "year/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double least_pivot = 1e-3; /* of a diagonal that is 1 where nothing happens */

struct pinery_year_linear {
    int n, all, width;
    double *slopes; /* (all + 1) x width */
    double *lu;     /* n x n, in the places of M */
    double *inverse;
    double factor;
    bool *seen; /* n x n, the pattern */
    int entries, filled;
    int *entry; /* places of lu that M has, then those that are only filled in */
    int *order; /* pivots one after the other */
    /* of the pivot k: rows below stand at row[row_begin[k]] .., columns to the right at column[column_begin[k]] .. */
    int *row_begin, *column_begin, *row, *column;
    /* entries of the totals' rows: those of total t stand at begin[t] .. begin[t + 1] */
    int *begin, *total_column;
    double *total_entry;
    bool pivoted; /* the last factorization needed row pivoting */
    int *pivot;
};

struct pinery_year_linear *pinery_year_linear_create(int n, int all) {
    struct pinery_year_linear *linear = calloc(1, sizeof *linear);
    if (!linear)
        return NULL;
    size_t square = (size_t)n * (size_t)n, most = (size_t)(all - n) * (size_t)n;
    *linear = (struct pinery_year_linear){.n = n, .all = all, .width = n + 1};
    linear->slopes = calloc((size_t)(all + 1) * (size_t)(n + 1), sizeof(double));
    linear->lu = calloc(square, sizeof(double));
    linear->inverse = malloc((size_t)n * sizeof(double));
    linear->seen = calloc(square, sizeof(bool));
    linear->entry = malloc(square * sizeof(int));
    linear->order = malloc((size_t)n * sizeof(int));
    linear->row_begin = malloc((size_t)(n + 1) * sizeof(int));
    linear->column_begin = malloc((size_t)(n + 1) * sizeof(int));
    linear->row = malloc(square * sizeof(int));
    linear->column = malloc(square * sizeof(int));
    linear->begin = calloc((size_t)(all - n + 1), sizeof(int));
    linear->total_column = malloc((most + 1) * sizeof(int));
    linear->total_entry = malloc((most + 1) * sizeof(double));
    linear->pivot = malloc((size_t)n * sizeof(int));
    if (!linear->slopes || !linear->lu || !linear->inverse || !linear->seen || !linear->entry || !linear->order ||
        !linear->row_begin || !linear->column_begin || !linear->row || !linear->column || !linear->begin ||
        !linear->total_column || !linear->total_entry || !linear->pivot) {
        pinery_year_linear_free(linear);
        return NULL;
    }
    return linear;
}

void pinery_year_linear_free(struct pinery_year_linear *linear) {
    if (!linear)
        return;
    void *const owned[] = {linear->slopes, linear->lu,           linear->inverse,     linear->seen,  linear->entry,
                           linear->order,  linear->row_begin,    linear->column_begin, linear->row,  linear->column,
                           linear->begin,  linear->total_column, linear->total_entry,  linear->pivot};
    for (size_t i = 0; i < sizeof owned / sizeof *owned; i++)
        free(owned[i]);
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

static bool plan(struct pinery_year_linear *linear) {
    int n = linear->n, rows = 0, columns = 0;
    size_t square = (size_t)n * (size_t)n;
    bool *full = malloc(square + (size_t)n), *done = full + square;
    if (!full)
        return false;
    memcpy(full, linear->seen, square);
    memset(done, 0, (size_t)n);
    for (int k = 0; k < n; k++) {
        int p = cheapest(n, full, done);
        linear->order[k] = p;
        done[p] = true;
        linear->row_begin[k] = rows;
        linear->column_begin[k] = columns;
        for (int i = 0; i < n; i++) {
            if (!done[i] && full[i * n + p])
                linear->row[rows++] = i;
            if (!done[i] && full[p * n + i])
                linear->column[columns++] = i;
        }
        for (int a = linear->row_begin[k]; a < rows; a++)
            for (int b = linear->column_begin[k]; b < columns; b++)
                full[linear->row[a] * n + linear->column[b]] = true;
    }
    linear->row_begin[n] = rows;
    linear->column_begin[n] = columns;
    linear->entries = 0;
    for (int i = 0; i < n * n; i++)
        if (linear->seen[i])
            linear->entry[linear->entries++] = i;
    linear->filled = linear->entries;
    for (int i = 0; i < n * n; i++)
        if (full[i] && !linear->seen[i])
            linear->entry[linear->filled++] = i;
    free(full);
    return true;
}

/* ---- what J holds ---- */

static bool grown(struct pinery_year_linear *linear) {
    int n = linear->n;
    bool more = false;
    for (int i = 0; i < n; i++) {
        const double *line = linear->slopes + (size_t)i * (size_t)linear->width;
        for (int j = 0; j < n; j++)
            if ((line[j] != 0.0 || i == j) && !linear->seen[i * n + j])
                linear->seen[i * n + j] = more = true;
    }
    return more;
}

static void keep_totals(struct pinery_year_linear *linear) {
    int k = 0, totals = linear->all - linear->n;
    for (int t = 0; t < totals; t++) {
        const double *line = linear->slopes + (size_t)(linear->n + t) * (size_t)linear->width;
        linear->begin[t] = k;
        for (int j = 0; j < linear->n; j++)
            if (line[j] != 0.0) {
                linear->total_column[k] = j;
                linear->total_entry[k++] = line[j];
            }
    }
    linear->begin[totals] = k;
}

bool pinery_year_linear_renewed(struct pinery_year_linear *linear) {
    keep_totals(linear);
    return !grown(linear) || plan(linear);
}

/* ---- elimination ---- */

static double entry_of(const struct pinery_year_linear *linear, int i, int j) {
    return (i == j) + linear->factor * linear->slopes[i * linear->width + j];
}

static bool eliminate(struct pinery_year_linear *linear) {
    int n = linear->n;
    double *lu = linear->lu;
    for (int e = 0; e < linear->entries; e++) {
        int place = linear->entry[e], i = place / n;
        lu[place] = linear->factor * linear->slopes[place + i]; /* a row of J is one longer */
    }
    for (int e = linear->entries; e < linear->filled; e++)
        lu[linear->entry[e]] = 0.0;
    for (int i = 0; i < n; i++)
        lu[i * n + i] += 1.0;
    for (int k = 0; k < n; k++) {
        int p = linear->order[k], from = linear->column_begin[k], to = linear->column_begin[k + 1];
        double pivot = lu[p * n + p];
        if (!(fabs(pivot) > least_pivot))
            return false;
        double inverse = linear->inverse[p] = 1.0 / pivot;
        const double *pivot_row = lu + p * n;
        for (int a = linear->row_begin[k]; a < linear->row_begin[k + 1]; a++) {
            double *row = lu + linear->row[a] * n;
            double share = row[p] *= inverse;
            for (int b = from; b < to; b++)
                row[linear->column[b]] -= share * pivot_row[linear->column[b]];
        }
    }
    return true;
}

static bool eliminate_pivoted(struct pinery_year_linear *linear) {
    int n = linear->n;
    double *lu = linear->lu;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            lu[i * n + j] = entry_of(linear, i, j);
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
    linear->pivoted = !eliminate(linear);
    return !linear->pivoted || eliminate_pivoted(linear);
}

static void solve(const struct pinery_year_linear *linear, double *x) {
    int n = linear->n;
    const double *lu = linear->lu;
    for (int k = 0; k < n; k++) {
        int p = linear->order[k];
        double known = x[p];
        for (int a = linear->row_begin[k]; a < linear->row_begin[k + 1]; a++)
            x[linear->row[a]] -= lu[linear->row[a] * n + p] * known;
    }
    for (int k = n - 1; k >= 0; k--) {
        int p = linear->order[k];
        double sum = x[p];
        for (int b = linear->column_begin[k]; b < linear->column_begin[k + 1]; b++)
            sum -= lu[p * n + linear->column[b]] * x[linear->column[b]];
        x[p] = sum * linear->inverse[p];
    }
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
