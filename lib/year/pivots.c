/* Each pivot is the one among those left whose row and column can fill in least (Markowitz 1957, Management Sci.
 * 3:255). Pivots stay on the diagonal. */
#include "year/pivots.h"

#include <math.h>
#include <stdlib.h>

#include "year/dense.h"
#include "year/wide.h"

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

/* The longest run of pivots each of which changes nothing but the next: layers of ground. */
static void find_chain(struct pinery_year_pivots *pivots) {
    const int *lower = pivots->lower_begin, *upper = pivots->upper_begin, *other = pivots->other;
    pivots->chain_begin = pivots->chain_end = 0;
    for (int begin = 0, k = 0; k < pivots->sparse; k++) {
        bool links = k + 1 < pivots->sparse && upper[k] - lower[k] == 1 && lower[k + 1] - upper[k] == 1 &&
                     other[lower[k]] == k + 1 && other[upper[k]] == k + 1;
        if (!links)
            begin = k + 1;
        else if (k + 1 - begin > pivots->chain_end - pivots->chain_begin) {
            pivots->chain_begin = begin;
            pivots->chain_end = k + 1;
        }
    }
}

static bool in_chain(const struct pinery_year_pivots *pivots, int k) {
    return k >= pivots->chain_begin && k < pivots->chain_end;
}

/* The values of a row are done some at a time, with all of the column. */
enum { PANEL = 4 };

/* Counted when there is no list yet, then written. */
static int list_steps(struct pinery_year_pivots *pivots, unsigned short *to) {
    const int *lower = pivots->lower_begin, *upper = pivots->upper_begin, *other = pivots->other;
    int many = 0;
    for (int k = 0; k < pivots->sparse; k++)
        for (int row = upper[k], next = lower[k + 1]; row < next && !in_chain(pivots, k); row += PANEL)
            for (int a = lower[k]; a < upper[k]; a++)
                for (int c = row; c < next && c < row + PANEL; c++, many++)
                    if (to)
                        to[many] = (unsigned short)*at(pivots, other[a], other[c]);
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
    find_chain(pivots);
    free(filled);
    free(pivots->to);
    pivots->to = malloc((size_t)(list_steps(pivots, NULL) + 1) * sizeof *pivots->to);
    if (!pivots->to)
        return false;
    list_steps(pivots, pivots->to);
    return true;
}

/* ---- elimination ---- */

/* What a pivot changes by some values of its row, which stay in registers. */
#define COLUMNS(MANY)                                                 \
    {                                                                 \
        double row[MANY];                                             \
        PINERY_YEAR_UNROLL                                            \
        for (int c = 0; c < (MANY); c++)                              \
            row[c] = own[c] *= inverse;                               \
        for (const double *below = column; below < behind; below++) { \
            const double share = *below;                              \
            PINERY_YEAR_UNROLL                                        \
            for (int c = 0; c < (MANY); c++)                          \
                value[to[c]] -= share * row[c];                       \
            to += (MANY);                                             \
        }                                                             \
    }                                                                 \
    break

/* Pivots from `begin` to `end`; the list behind their steps, or NULL. */
static const unsigned short *factor_some(const struct pinery_year_pivots *pivots, int begin, int end,
                                         const unsigned short *to, double *value, const double *least) {
    for (int k = begin; k < end; k++) {
        if (!(fabs(value[k]) > least[k]))
            return NULL;
        const int lower = pivots->lower_begin[k], upper = pivots->upper_begin[k], next = pivots->lower_begin[k + 1];
        const double inverse = value[k] = 1.0 / value[k], *column = value + lower, *behind = value + upper;
        double *own = value + upper;
        for (int left = next - upper; left > 0; left -= PANEL, own += PANEL)
            switch (left) {
            case 1:
                COLUMNS(1);
            case 2:
                COLUMNS(2);
            case 3:
                COLUMNS(3);
            default:
                COLUMNS(PANEL);
            }
    }
    return to;
}

/* Those of the chain: what is left of the next stays in a register. */
static bool factor_chain(const struct pinery_year_pivots *pivots, double *value, const double *least) {
    const int begin = pivots->chain_begin, end = pivots->chain_end;
    double *beside = value + pivots->lower_begin[begin], own = value[begin];
    for (int k = begin; k < end; k++, beside += 2) {
        if (!(fabs(own) > least[k]))
            return false;
        const double both = beside[0] * beside[1], inverse = value[k] = 1.0 / own;
        beside[0] *= inverse;
        beside[1] *= inverse;
        own = value[k + 1] - both * inverse;
    }
    value[end] = own;
    return true;
}

bool pinery_year_pivots_factor(const struct pinery_year_pivots *pivots, double *value, const double *least) {
    const unsigned short *to = factor_some(pivots, 0, pivots->chain_begin, pivots->to, value, least);
    return to && factor_chain(pivots, value, least) &&
           factor_some(pivots, pivots->chain_end, pivots->sparse, to, value, least) &&
           pinery_year_dense_factor(pivots->full, pivots->stride, value + pivots->block, least + pivots->sparse);
}

/* ---- solution ---- */

static void forward(const struct pinery_year_pivots *pivots, int begin, int end, const double *value, double *x) {
    for (int k = begin; k < end; k++) {
        const double own = x[k] *= value[k];
        for (int a = pivots->lower_begin[k]; a < pivots->upper_begin[k]; a++)
            x[pivots->other[a]] -= value[a] * own;
    }
}

static void backward(const struct pinery_year_pivots *pivots, int begin, int end, const double *value, double *x) {
    for (int k = end - 1; k >= begin; k--) {
        double own = x[k];
        for (int c = pivots->upper_begin[k]; c < pivots->lower_begin[k + 1]; c++)
            own -= value[c] * x[pivots->other[c]];
        x[k] = own;
    }
}

void pinery_year_pivots_substitute(const struct pinery_year_pivots *pivots, const double *value, double *x) {
    const int begin = pivots->chain_begin, end = pivots->chain_end, sparse = pivots->sparse;
    const double *beside = value + pivots->lower_begin[begin] - 2 * begin;
    forward(pivots, 0, begin, value, x);
    double own = x[begin];
    for (int k = begin; k < end; k++) {
        const double next = x[k + 1] - beside[2 * k] * own;
        x[k] = own * value[k];
        own = next;
    }
    x[end] = own;
    forward(pivots, end, sparse, value, x);
    pinery_year_dense_substitute(pivots->full, pivots->stride, value + pivots->block, x + sparse);
    backward(pivots, end, sparse, value, x);
    own = x[end];
    for (int k = end - 1; k >= begin; k--)
        x[k] = own = x[k] - beside[2 * k + 1] * own;
    backward(pivots, 0, begin, value, x);
}
