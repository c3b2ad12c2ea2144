/* Random numbers of the generator; see generate.h. */
#include <math.h>

#include "sky/generate.h"

static uint64_t splitmix(uint64_t *state) {
    uint64_t z = *state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

void pinery_sky_random_seed(struct pinery_sky_random *random, unsigned seed, unsigned stream) {
    uint64_t state = (uint64_t)seed << 32 | stream;
    for (int i = 0; i < 4; i++)
        random->s[i] = splitmix(&state);
}

static uint64_t rotate(uint64_t x, int by) {
    return x << by | x >> (64 - by);
}

static uint64_t next(uint64_t s[4]) {
    uint64_t result = rotate(s[0] + s[3], 23) + s[0], t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate(s[3], 45);
    return result;
}

double pinery_sky_random_uniform(struct pinery_sky_random *random) {
    return ((double)(next(random->s) >> 12) + 0.5) * 0x1p-52;
}

/* Box & Muller 1958, one of the pair. */
double pinery_sky_random_normal(struct pinery_sky_random *random) {
    double u = pinery_sky_random_uniform(random), v = pinery_sky_random_uniform(random);
    return sqrt(-2.0 * log(u)) * cos(2.0 * 3.14159265358979323846 * v);
}

double pinery_sky_normal_share(double z) {
    return 0.5 * erfc(-z * 0.70710678118654752440);
}

void pinery_sky_persistent(struct pinery_sky_random *random, int n, const double *persistence, double *x) {
    for (int i = 0; i < n; i++)
        x[i] = pinery_sky_random_normal(random) * sqrt(1.0 - persistence[i] * persistence[i]);
    /* The ring: run once from rest, then let what is left at the end decay from the start on. */
    for (int i = 1; i < n; i++)
        x[i] += persistence[i] * x[i - 1];
    double left = x[n - 1];
    for (int i = 0; i < n && fabs(left) > 1e-12; i++) {
        left *= persistence[i];
        x[i] += left;
    }
}

void pinery_sky_persistent_even(struct pinery_sky_random *random, int n, double persistence, double *x) {
    double share = sqrt(1.0 - persistence * persistence);
    for (int i = 0; i < n; i++)
        x[i] = pinery_sky_random_normal(random) * share + (i > 0 ? persistence * x[i - 1] : 0.0);
    double left = x[n - 1];
    for (int i = 0; i < n && fabs(left) > 1e-12; i++) {
        left *= persistence;
        x[i] += left;
    }
}
