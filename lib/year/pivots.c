/* Each pivot is the one among those left whose row and column can fill in least (Markowitz 1957, Management Sci.
 * 3:255). Pivots stay on the diagonal. The values are packed by columns, so that neighbours in a list never wait for
 * each other. */
#include "year/pivots.h"

#include <stdlib.h>

bool pinery_year_pivots_create(struct pinery_year_pivots *pivots, int n) {
    size_t one = (size_t)n, square = one * one;
    *pivots = (struct pinery_year_pivots){.n = n};
    pivots->seen = calloc(square, sizeof *pivots->seen);
    pivots->order = calloc(3 * square + 3 * one + 2, sizeof *pivots->order);
    pivots->forward = calloc(2 * square, sizeof *pivots->forward);
    if (!pivots->seen || !pivots->order || !pivots->forward) {
        pinery_year_pivots_free(pivots);
        return false;
    }
    pivots->place = pivots->order + n;
    pivots->row = pivots->place + square;
    pivots->column = pivots->row + square;
    pivots->lower_begin = pivots->column + square;
    pivots->steps_begin = pivots->lower_begin + n + 1;
    pivots->backward = pivots->forward + square;
    for (int i = 0; i < n; i++)
        pivots->seen[i * n + i] = true;
    return true;
}

void pinery_year_pivots_free(struct pinery_year_pivots *pivots) {
    free(pivots->seen);
    free(pivots->order);
    free(pivots->forward);
    free(pivots->steps);
    *pivots = (struct pinery_year_pivots){.n = 0};
}

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

/* The order of the pivots; `full` becomes the pattern of the factors. */
static void choose_order(struct pinery_year_pivots *pivots, bool *full, bool *done) {
    int n = pivots->n;
    for (int k = 0; k < n; k++) {
        int p = cheapest(n, full, done);
        pivots->order[k] = p;
        done[p] = true;
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n && !done[i] && full[i * n + p]; j++)
                full[i * n + j] = full[i * n + j] || (!done[j] && full[p * n + j]);
    }
}

static struct pinery_year_step put(struct pinery_year_pivots *pivots, int k, int l, int next) {
    pivots->row[next] = pivots->order[k];
    pivots->column[next] = pivots->order[l];
    pivots->place[pivots->order[k] * pivots->n + pivots->order[l]] = next;
    return (struct pinery_year_step){(unsigned short)k, (unsigned short)next, (unsigned short)l};
}

static void lay_out(struct pinery_year_pivots *pivots, const bool *full) {
    int n = pivots->n, next = n;
    pivots->lower = pivots->upper = 0;
    for (int k = 0; k < n * n; k++)
        pivots->place[k] = -1;
    for (int k = 0; k < n; k++) {
        put(pivots, k, k, k);
        pivots->lower_begin[k] = next;
        for (int i = k + 1; i < n; i++)
            if (full[pivots->order[i] * n + pivots->order[k]])
                pivots->forward[pivots->lower++] = put(pivots, i, k, next++);
    }
    pivots->lower_begin[n] = next;
    for (int k = n - 1; k >= 0; k--)
        for (int i = 0; i < k; i++)
            if (full[pivots->order[i] * n + pivots->order[k]])
                pivots->backward[pivots->upper++] = put(pivots, i, k, next++);
}

static int at(const struct pinery_year_pivots *pivots, int k, int l) {
    return pivots->place[pivots->order[k] * pivots->n + pivots->order[l]];
}

/* Counted when there is no list yet, then written. */
static int list_steps(struct pinery_year_pivots *pivots, struct pinery_year_step *steps) {
    int n = pivots->n, many = 0;
    for (int k = 0; k < n; k++) {
        pivots->steps_begin[k] = many;
        for (int i = k + 1; i < n; i++)
            for (int j = k + 1; j < n && at(pivots, i, k) >= 0; j++) {
                if (at(pivots, k, j) < 0)
                    continue;
                if (steps)
                    steps[many] =
                        (struct pinery_year_step){(unsigned short)at(pivots, i, j), (unsigned short)at(pivots, i, k),
                                                  (unsigned short)at(pivots, k, j)};
                many++;
            }
    }
    pivots->steps_begin[n] = many;
    return many;
}

bool pinery_year_pivots_plan(struct pinery_year_pivots *pivots) {
    size_t one = (size_t)pivots->n, square = one * one;
    bool *full = calloc(square + one, sizeof *full);
    if (!full)
        return false;
    for (size_t k = 0; k < square; k++)
        full[k] = pivots->seen[k];
    choose_order(pivots, full, full + square);
    lay_out(pivots, full);
    free(full);
    free(pivots->steps);
    pivots->steps = malloc((size_t)(list_steps(pivots, NULL) + 1) * sizeof *pivots->steps);
    if (!pivots->steps)
        return false;
    list_steps(pivots, pivots->steps);
    return true;
}
