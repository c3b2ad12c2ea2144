#include "year/dense.h"

#include <math.h>
#include <string.h>

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

/* L U by blocks of four rows and columns, D being a block on the diagonal when those before it are gone:
 *
 *     | D  B |      | D^-1      D^-1 B       |
 *     | C  A |  ->  | -C D^-1   A - C D^-1 B |
 *
 * and so on with what is left of A. A solution goes from block to block then, not from pivot to pivot, and stays in
 * registers. */

enum { BLOCK = PINERY_YEAR_BLOCK, MOST_BLOCKS = PINERY_YEAR_DENSE_MOST / BLOCK };
typedef pinery_year_block block;

/* Where `blocks` is a number its loops are written out, and what they hold stays in registers. */
#define INLINE static inline __attribute__((always_inline))
#define WITH(BLOCKS, DO) \
    switch (BLOCKS) {    \
    case 1:              \
        DO(1);           \
        break;           \
    case 2:              \
        DO(2);           \
        break;           \
    case 3:              \
        DO(3);           \
        break;           \
    default:             \
        DO(4);           \
    }
_Static_assert(MOST_BLOCKS == 4, "as many cases");

/* Of a block of columns, what is beside those of two pivots, and a 1 in each of these. */
struct pair {
    block beside, first, second;
};
static const struct pair pairs[2] = {{{0, 0, 1, 1}, {1, 0, 0, 0}, {0, 1, 0, 0}},
                                     {{1, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}}};

/* The inverse of the 2 x 2 at a, by rows. The second pivot is the determinant over the first. False: a pivot is too
 * small. */
INLINE bool invert_pair(const double *a, int stride, double least_first, double least_second, double inverse[4]) {
    const double first = fabs(a[0]), determinant = a[0] * a[stride + 1] - a[1] * a[stride];
    if (!(first > least_first && fabs(determinant) > least_second * first))
        return false;
    const double per = 1.0 / determinant;
    inverse[0] = a[stride + 1] * per;
    inverse[1] = -a[1] * per;
    inverse[2] = -a[stride] * per;
    inverse[3] = a[0] * per;
    return true;
}

/* Of what is left, `rows` rows from a on: the rows of the pivots k and k + 1, in the first block, become the inverse of
 * the two times them, and the others lose their shares of these. Those below come first, for the next pivots wait for
 * them. */
INLINE void exchange(const int blocks, int rows, int stride, double *restrict a, int k, const double inverse[4]) {
    const struct pair *pair = &pairs[k / 2];
    const block beside = pair->beside;
    block first[MOST_BLOCKS], second[MOST_BLOCKS];
    PINERY_YEAR_UNROLL
    for (int b = 0; b < blocks; b++) {
        block *row = (block *)(a + k * stride) + b, *next = (block *)(a + (k + 1) * stride) + b;
        block old = *row, other = *next;
        if (b == 0) {
            old = old * beside + pair->first;
            other = other * beside + pair->second;
        }
        *row = first[b] = inverse[0] * old + inverse[1] * other;
        *next = second[b] = inverse[2] * old + inverse[3] * other;
    }
    for (int above = 0; above < 2; above++)
        for (int i = above ? 0 : k + 2; i < (above ? k : rows); i++) {
            const double by_first = a[i * stride + k], by_second = a[i * stride + k + 1];
            PINERY_YEAR_UNROLL
            for (int b = 0; b < blocks; b++) {
                block *row = (block *)(a + i * stride) + b;
                block old = *row;
                if (b == 0)
                    old *= beside;
                *row = old - by_first * first[b] - by_second * second[b];
            }
        }
}

#define EXCHANGE(BLOCKS) exchange(BLOCKS, stride - done, stride, left, k - done, inverse)

PINERY_YEAR_WIDE static bool factor(int n, int stride, double *restrict a, const double *restrict least) {
    for (int k = 0; k < n; k += 2) {
        const int done = k / BLOCK * BLOCK;
        double *left = a + done * stride + done, inverse[4];
        if (!invert_pair(a + k * stride + k, stride, least[k], k + 1 < n ? least[k + 1] : 0.0, inverse))
            return false;
        WITH((stride - done) / BLOCK, EXCHANGE)
    }
    return true;
}

bool pinery_year_dense_factor(int n, int stride, double *a, const double *least) {
    for (int i = n; i < stride; i++) { /* what is over n stands by itself */
        memset(a + i * stride, 0, (size_t)stride * sizeof *a);
        a[i * stride + i] = 1.0;
    }
    return factor(n, stride, a, least);
}

/* Four rows from a on, each times its number. */
INLINE void add_rows(const double *a, int stride, const block *number, block *sum) {
    const block first = *(const block *)a, second = *(const block *)(a + stride),
                third = *(const block *)(a + 2 * stride), fourth = *(const block *)(a + 3 * stride);
    const block by = *number;
    *sum += (by[0] * first + by[1] * second) + (by[2] * third + by[3] * fourth);
}

INLINE void solve(const int blocks, int stride, const double *restrict a, double *restrict x) {
    block left[MOST_BLOCKS], own[MOST_BLOCKS] = {{0.0}}, share[MOST_BLOCKS] = {{0.0}};
    PINERY_YEAR_UNROLL
    for (int b = 0; b < blocks; b++) { /* every block leaves its share in those after it */
        const double *rows = a + b * BLOCK * stride;
        left[b] = *(const block *)(x + b * BLOCK) - share[b];
        add_rows(rows + b * BLOCK, stride, &left[b], &own[b]);
        PINERY_YEAR_UNROLL
        for (int after = b + 1; after < blocks; after++)
            add_rows(rows + after * BLOCK, stride, &left[b], &share[after]);
    }
    PINERY_YEAR_UNROLL
    for (int b = blocks - 1; b >= 0; b--) { /* and then gives it to those before it */
        *(block *)(x + b * BLOCK) = own[b];
        PINERY_YEAR_UNROLL
        for (int before = b - 1; before >= 0; before--)
            add_rows(a + b * BLOCK * stride + before * BLOCK, stride, &own[b], &own[before]);
    }
}

#define SOLVE(BLOCKS) solve(BLOCKS, stride, a, x)

PINERY_YEAR_WIDE static void substitute(int stride, const double *restrict a, double *restrict x) {
    WITH(stride / BLOCK, SOLVE)
}

void pinery_year_dense_substitute(int n, int stride, const double *a, double *x) {
    for (int i = n; i < stride; i++)
        x[i] = 0.0;
    substitute(stride, a, x);
}
