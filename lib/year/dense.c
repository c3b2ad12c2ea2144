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

/* Numbers side by side. */
enum { BLOCK = 4, MOST_BLOCKS = PINERY_YEAR_DENSE_MOST / BLOCK };
typedef double block __attribute__((vector_size(BLOCK * sizeof(double)), aligned(sizeof(double)), may_alias));

/* Where `blocks` is a number its loops are written out, and what they hold stays in registers. */
#define INLINE static inline __attribute__((always_inline))
#define WITH_BLOCKS(DO)       \
    switch (stride / BLOCK) { \
    case 1:                   \
        DO(1);                \
        break;                \
    case 2:                   \
        DO(2);                \
        break;                \
    case 3:                   \
        DO(3);                \
        break;                \
    default:                  \
        DO(4);                \
    }
_Static_assert(MOST_BLOCKS == 4, "as many cases");

/* Of the block in which two pivots have their columns: what is beside these, and a 1 in each. */
struct pair {
    block beside, first, second;
};
static const struct pair left_pair = {{0, 0, 1, 1}, {1, 0, 0, 0}, {0, 1, 0, 0}},
                         right_pair = {{1, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}};

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

/* The rows of the pivots k and k + 1 become the inverse of the two times them, the others lose their shares of these:
 * those below first, for the next pivots wait for them. Blocks go from that of the pivots on, round the end of the
 * row. */
INLINE void exchange(const int blocks, int n, int stride, double *restrict a, int k, const double inverse[4]) {
    const struct pair *pair = k % BLOCK ? &right_pair : &left_pair;
    const block beside = pair->beside;
    block first[MOST_BLOCKS], second[MOST_BLOCKS];
    int at[MOST_BLOCKS];
    PINERY_YEAR_UNROLL
    for (int b = 0; b < blocks; b++) {
        at[b] = (k / BLOCK + b) * BLOCK;
        at[b] -= at[b] < stride ? 0 : stride;
        block *row = (block *)(a + k * stride + at[b]), *next = (block *)(a + (k + 1) * stride + at[b]);
        block old = *row, other = *next;
        if (b == 0) {
            old = old * beside + pair->first;
            other = other * beside + pair->second;
        }
        *row = first[b] = inverse[0] * old + inverse[1] * other;
        *next = second[b] = inverse[2] * old + inverse[3] * other;
    }
    for (int above = 0; above < 2; above++)
        for (int i = above ? 0 : k + 2; i < (above ? k : n); i++) {
            const double by_first = a[i * stride + k], by_second = a[i * stride + k + 1];
            PINERY_YEAR_UNROLL
            for (int b = 0; b < blocks; b++) {
                block *row = (block *)(a + i * stride + at[b]);
                block old = *row;
                if (b == 0)
                    old *= beside;
                *row = old - by_first * first[b] - by_second * second[b];
            }
        }
}

#define EXCHANGE(BLOCKS) exchange(BLOCKS, n, stride, a, k, inverse)

PINERY_YEAR_WIDE static bool invert(int n, int stride, double *restrict a, const double *restrict least) {
    for (int k = 0; k < n; k += 2) {
        double inverse[4];
        if (!invert_pair(a + k * stride + k, stride, least[k], k + 1 < n ? least[k + 1] : 0.0, inverse))
            return false;
        WITH_BLOCKS(EXCHANGE)
    }
    return true;
}

bool pinery_year_dense_invert(int n, int stride, double *a, const double *least) {
    if (n % 2) { /* one pivot more, which is 1 */
        memset(a + n * stride, 0, (size_t)stride * sizeof *a);
        a[n * stride + n] = 1.0;
    }
    return invert(n, stride, a, least);
}

/* Even and odd rows apart, so that neither waits for the other. */
INLINE void add_rows(const int blocks, int n, int stride, const double *restrict a, double *restrict x) {
    block even[MOST_BLOCKS] = {{0.0}}, odd[MOST_BLOCKS] = {{0.0}};
    for (int k = 0; k < n; k += 2) {
        const block *row = (const block *)(a + k * stride), *next = (const block *)(a + (k + 1) * stride);
        PINERY_YEAR_UNROLL
        for (int b = 0; b < blocks; b++) {
            even[b] += x[k] * row[b];
            odd[b] += x[k + 1] * next[b];
        }
    }
    PINERY_YEAR_UNROLL
    for (int b = 0; b < blocks; b++)
        *(block *)(x + b * BLOCK) = even[b] + odd[b];
}

#define ADD_ROWS(BLOCKS) add_rows(BLOCKS, n, stride, a, x)

PINERY_YEAR_WIDE static void multiply(int n, int stride, const double *restrict a, double *restrict x) {
    WITH_BLOCKS(ADD_ROWS)
}

void pinery_year_dense_multiply(int n, int stride, const double *a, double *x) {
    if (n % 2)
        x[n] = 0.0;
    multiply(n, stride, a, x);
}
