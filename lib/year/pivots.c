/* Each pivot is the one among those left whose row and column can fill in least (Markowitz 1957, Management Sci.
 * 3:255). Pivots stay on the diagonal. */
#include "year/pivots.h"

#include <math.h>
#include <stdlib.h>

#include "year/dense.h"

bool pinery_year_pivots_create(struct pinery_year_pivots *pivots, int n) {
    size_t one = (size_t)n, square = one * one, most = (size_t)pinery_year_pivots_most_values(n);
    *pivots = (struct pinery_year_pivots){.n = n};
    pivots->seen = calloc(square, sizeof *pivots->seen);
    pivots->order = calloc(square + 5 * one + 2 + most, sizeof *pivots->order);
    if (!pivots->seen || !pivots->order) {
        pinery_year_pivots_free(pivots);
        return false;
    }
    pivots->pivot = pivots->order + n;
    pivots->place = pivots->pivot + n;
    pivots->lower_begin = pivots->place + square;
    pivots->upper_begin = pivots->lower_begin + n + 1;
    pivots->diagonal = pivots->upper_begin + n + 1;
    pivots->other = pivots->diagonal + n;
    for (int i = 0; i < n; i++)
        pivots->seen[i * n + i] = true;
    return true;
}

void pinery_year_pivots_free(struct pinery_year_pivots *pivots) {
    free(pivots->seen);
    free(pivots->order);
    free(pivots->to);
    *pivots = (struct pinery_year_pivots){.n = 0};
}

/* ---- the order ---- */

/* Entries left of a pivot's row and column beside itself. */
static void left_of(int n, const bool *filled, const bool *done, int p, long *rows, long *columns) {
    *rows = *columns = 0;
    for (int i = 0; i < n; i++) {
        *rows += !done[i] && i != p && filled[i * n + p];
        *columns += !done[i] && i != p && filled[p * n + i];
    }
}

/* The pivot among those left that can fill in least. */
static int cheapest(int n, const bool *filled, const bool *done) {
    int best = -1;
    long least = 0, rows, columns;
    for (int p = 0; p < n; p++) {
        if (done[p])
            continue;
        left_of(n, filled, done, p, &rows, &columns);
        if (best < 0 || rows * columns < least) {
            best = p;
            least = rows * columns;
        }
    }
    return best;
}

/* A step of a list costs some three cycles, two pivots of the full block two for every four values. */
static double cost_of_full(int rows) {
    double blocks = (rows + 3) / 4;
    return rows / 2.0 * rows * blocks * 2.0;
}

/* The order of the pivots, and from where on it is cheaper to take the matrix for full; `filled` becomes the pattern
 * of the factors. */
static void choose_order(struct pinery_year_pivots *pivots, bool *filled, bool *done) {
    int n = pivots->n;
    double best = 0.0, listed = 0.0;
    pivots->sparse = 0;
    for (int k = 0; k < n; k++) {
        double all = 3.0 * listed + cost_of_full(n - k);
        if (n - k == PINERY_YEAR_DENSE_MOST || k == 0 || all < best) {
            best = all;
            pivots->sparse = k;
        }
        long rows, columns;
        int p = cheapest(n, filled, done);
        left_of(n, filled, done, p, &rows, &columns);
        listed += (double)(rows * columns);
        pivots->order[k] = p;
        pivots->pivot[p] = k;
        done[p] = true;
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n && !done[i] && filled[i * n + p]; j++)
                filled[i * n + j] = filled[i * n + j] || (!done[j] && filled[p * n + j]);
    }
}

/* ---- places and lists ---- */

static int *at(struct pinery_year_pivots *pivots, int k, int l) {
    return &pivots->place[pivots->order[k] * pivots->n + pivots->order[l]];
}

static void lay_out(struct pinery_year_pivots *pivots, const bool *filled) {
    int n = pivots->n, sparse = pivots->sparse, next = sparse;
    const int *order = pivots->order;
    for (int k = 0; k < n * n; k++)
        pivots->place[k] = -1;
    for (int k = 0; k < sparse; k++) {
        *at(pivots, k, k) = k;
        pivots->lower_begin[k] = next;
        for (int i = k + 1; i < n; i++)
            if (filled[order[i] * n + order[k]]) {
                pivots->other[next] = i;
                *at(pivots, i, k) = next++;
            }
        pivots->upper_begin[k] = next;
        for (int j = k + 1; j < n; j++)
            if (filled[order[k] * n + order[j]]) {
                pivots->other[next] = j;
                *at(pivots, k, j) = next++;
            }
    }
    pivots->lower_begin[sparse] = pivots->upper_begin[sparse] = next;
    pivots->full = n - sparse;
    pivots->stride = (pivots->full + 3) / 4 * 4;
    pivots->block = (next + 3) / 4 * 4;
    pivots->values = pivots->block + pivots->full * pivots->stride;
    for (int i = 0; i < pivots->full; i++)
        for (int j = 0; j < pivots->full; j++)
            *at(pivots, sparse + i, sparse + j) = pivots->block + j * pivots->stride + i;
    for (int k = 0; k < n; k++)
        pivots->diagonal[k] = *at(pivots, k, k);
}

/* Counted when there is no list yet, then written. */
static int list_steps(struct pinery_year_pivots *pivots, unsigned short *to) {
    int n = pivots->n, many = 0;
    for (int k = 0; k < pivots->sparse; k++)
        for (int i = k + 1; i < n; i++)
            for (int j = k + 1; j < n && *at(pivots, i, k) >= 0; j++) {
                if (*at(pivots, k, j) < 0)
                    continue;
                if (to)
                    to[many] = (unsigned short)*at(pivots, i, j);
                many++;
            }
    return many;
}

bool pinery_year_pivots_plan(struct pinery_year_pivots *pivots) {
    size_t one = (size_t)pivots->n, square = one * one;
    bool *filled = calloc(square + one, sizeof *filled);
    if (!filled)
        return false;
    for (size_t k = 0; k < square; k++)
        filled[k] = pivots->seen[k];
    choose_order(pivots, filled, filled + square);
    lay_out(pivots, filled);
    free(filled);
    free(pivots->to);
    pivots->to = malloc((size_t)(list_steps(pivots, NULL) + 1) * sizeof *pivots->to);
    if (!pivots->to)
        return false;
    list_steps(pivots, pivots->to);
    return true;
}

/* ---- elimination ---- */

/* One pivot, with RIGHT values in its row. Where that is written as a number there is no loop over them. */
#define PIVOT(RIGHT)                                   \
    for (int c = 0; c < (RIGHT); c++)                  \
        row[c] *= inverse;                             \
    for (int a = lower; a < upper; a++, to += (RIGHT)) \
        for (int c = 0; c < (RIGHT); c++)              \
            value[to[c]] -= value[a] * row[c];         \
    break

bool pinery_year_pivots_factor(const struct pinery_year_pivots *pivots, double *value, const double *least) {
    const unsigned short *to = pivots->to;
    for (int k = 0; k < pivots->sparse; k++) {
        if (!(fabs(value[k]) > least[k]))
            return false;
        const int lower = pivots->lower_begin[k], upper = pivots->upper_begin[k];
        const int right = pivots->lower_begin[k + 1] - upper;
        double inverse = value[k] = 1.0 / value[k], *row = value + upper;
        switch (right) {
        case 0:
            PIVOT(0);
        case 1:
            PIVOT(1);
        case 2:
            PIVOT(2);
        case 3:
            PIVOT(3);
        case 4:
            PIVOT(4);
        case 5:
            PIVOT(5);
        default:
            PIVOT(right);
        }
    }
    return pinery_year_dense_invert(pivots->full, pivots->stride, value + pivots->block, least + pivots->sparse);
}

void pinery_year_pivots_substitute(const struct pinery_year_pivots *pivots, const double *value, double *x) {
    const int sparse = pivots->sparse, *other = pivots->other;
    for (int k = 0; k < sparse; k++) {
        const double own = x[k] *= value[k];
        for (int a = pivots->lower_begin[k]; a < pivots->upper_begin[k]; a++)
            x[other[a]] -= value[a] * own;
    }
    pinery_year_dense_multiply(pivots->full, pivots->stride, value + pivots->block, x + sparse);
    for (int k = sparse - 1; k >= 0; k--)
        for (int c = pivots->upper_begin[k]; c < pivots->lower_begin[k + 1]; c++)
            x[k] -= value[c] * x[other[c]];
}
