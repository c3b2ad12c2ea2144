#include "year/dense.h"

#include <math.h>

#include "year/wide.h"

static void swap(double *a, double *b) {
    double keep = *a;
    *a = *b;
    *b = keep;
}

bool pinery_year_dense_solve(int n, double *a, double *x) {
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k + 1; i < n; i++)
            if (fabs(a[i * n + k]) > fabs(a[best * n + k]))
                best = i;
        if (!(fabs(a[best * n + k]) > 0.0))
            return false;
        for (int j = k; j < n && best != k; j++)
            swap(&a[k * n + j], &a[best * n + j]);
        swap(&x[k], &x[best]);
        for (int i = k + 1; i < n; i++) {
            double share = a[i * n + k] / a[k * n + k];
            for (int j = k + 1; j < n && share != 0.0; j++)
                a[i * n + j] -= share * a[k * n + j];
            x[i] -= share * x[k];
        }
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int j = i + 1; j < n; j++)
            x[i] -= a[i * n + j] * x[j];
        x[i] /= a[i * n + i];
    }
    return true;
}

/* ---- in blocks ---- */

/* Numbers side by side. What counts of a row or column, from k + 1 on, is taken from the last whole block before it:
 * what else that block holds is made 0. */
enum { BLOCK = 4 };
typedef double block __attribute__((vector_size(BLOCK * sizeof(double)), aligned(sizeof(double)), may_alias));

static const block counts[BLOCK] = {{1, 1, 1, 1}, {0, 1, 1, 1}, {0, 0, 1, 1}, {0, 0, 0, 1}};

static inline int beginning(int k) {
    return (k + 1) / BLOCK * BLOCK;
}

/* What is left of the rows below pivot k, less their share of its row. Where BLOCKS is a number that row stays in
 * registers. */
#define ROWS(BLOCKS)                                        \
    for (int b = 0; b < (BLOCKS); b++)                      \
        top[b] *= inverse[k];                               \
    for (int i = k + 1; i < n; i++) {                       \
        block *row = (block *)(a + i * stride + begin);     \
        const double share = column[i] = a[i * stride + k]; \
        for (int b = 0; b < (BLOCKS); b++)                  \
            row[b] -= share * top[b];                       \
    }                                                       \
    break

PINERY_YEAR_WIDE static bool factor(int n, int stride, double *restrict a, const double *restrict least,
                                    double *restrict lower, double *restrict inverse) {
    for (int k = 0; k < n; k++) {
        const int begin = beginning(k), blocks = (stride - begin) / BLOCK;
        block *top = (block *)(a + k * stride + begin);
        double *column = lower + k * stride, pivot = a[k * stride + k];
        if (!(fabs(pivot) > least[k]))
            return false;
        inverse[k] = 1.0 / pivot;
        if (blocks > 0) {
            top[0] *= counts[k + 1 - begin];
            *(block *)(column + begin) = *(block *)(column + stride - BLOCK) = (block){0.0};
        }
        switch (blocks) {
        case 0:
            break;
        case 1:
            ROWS(1);
        case 2:
            ROWS(2);
        case 3:
            ROWS(3);
        case 4:
            ROWS(4);
        default:
            ROWS(blocks);
        }
    }
    return true;
}

bool pinery_year_dense_factor(int n, int stride, double *a, const double *least, double *lower, double *inverse) {
    return factor(n, stride, a, least, lower, inverse);
}

PINERY_YEAR_WIDE static void substitute(int n, int stride, const double *restrict a, const double *restrict lower,
                                        const double *restrict inverse, double *restrict x) {
    for (int k = 0; k < n; k++) { /* every number leaves its share in those below */
        const double share = x[k] *= inverse[k];
        for (int b = beginning(k); b < stride; b += BLOCK)
            *(block *)(x + b) -= *(const block *)(lower + k * stride + b) * share;
    }
    for (int k = n - 1; k >= 0; k--) { /* and then takes what they leave it */
        block part = {0.0};
        for (int b = beginning(k); b < stride; b += BLOCK)
            part += *(const block *)(a + k * stride + b) * *(block *)(x + b);
        x[k] -= (part[0] + part[2]) + (part[1] + part[3]);
    }
}

void pinery_year_dense_substitute(int n, int stride, const double *a, const double *lower, const double *inverse,
                                  double *x) {
    substitute(n, stride, a, lower, inverse, x);
}
