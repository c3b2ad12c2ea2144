/* A dense set of n equations, for the tests that hold a structured solution against it. */
#ifndef PINERY_TESTS_DENSE_H
#define PINERY_TESTS_DENSE_H

#include <math.h>

/* Gauss with pivoting; a is destroyed, b becomes x. */
static inline void dense_solve(int n, double *a, double *b) {
    for (int k = 0; k < n; k++) {
        int p = k;
        for (int i = k + 1; i < n; i++)
            if (fabs(a[i * n + k]) > fabs(a[p * n + k]))
                p = i;
        for (int j = 0; j < n; j++) {
            double t = a[k * n + j];
            a[k * n + j] = a[p * n + j];
            a[p * n + j] = t;
        }
        double t = b[k];
        b[k] = b[p];
        b[p] = t;
        for (int i = k + 1; i < n; i++) {
            double f = a[i * n + k] / a[k * n + k];
            for (int j = k; j < n; j++)
                a[i * n + j] -= f * a[k * n + j];
            b[i] -= f * b[k];
        }
    }
    for (int k = n - 1; k >= 0; k--) {
        for (int j = k + 1; j < n; j++)
            b[k] -= a[k * n + j] * b[j];
        b[k] /= a[k * n + k];
    }
}

#endif
