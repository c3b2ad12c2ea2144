/* Light through clear panes by angle of incidence.
 *
 * Refraction by Snell, n sin(b) = sin(a). One surface reflects, for the two directions of polarisation (Fresnel),
 *     r_s = ((cos a - n cos b) / (cos a + n cos b))^2     r_p = ((n cos a - cos b) / (n cos a + cos b))^2
 * and a pane of thickness d and extinction K lets x = exp(-K d / cos b) pass from face to face. Summed over all passes
 * (Duffie & Beckman, Solar Engineering of Thermal Processes, chapter 5)
 *     t = x (1 - r)^2 / (1 - r^2 x^2)     transmitted
 *     p = r (1 + x t)                     reflected
 *     a = 1 - t - p                       absorbed
 * Two panes by the same sums, each direction of polarisation by itself, since the first pane polarises what reaches
 * the second; with m = 1 / (1 - p^2)
 *     t^2 m                               transmitted
 *     p (1 + t^2 m)                       reflected
 *     a (1 + t p m),  a t m               absorbed in the first and in the second pane
 * Isotropic light: twice the integral of the split times sin(a) cos(a) over a from 0 to pi/2.
 *
 * A measured table is joined by a monotone cubic (Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17:238; slopes by the
 * weighted harmonic mean of Fritsch & Butland 1984, SIAM J. Sci. Stat. Comput. 5:300) with slope 0 at normal
 * incidence, where the curve is even in the angle, and falls to 0 at 90 degrees. Its absorptance is measured at normal
 * incidence only. Elsewhere it is that times the path in a sheet of index 1.5, times the fourth root of t / t(0) for
 * the light that is reflected before it enters; glass of 4 to 32 1/m and 4 mm is met to 0.015 at any angle and 0.0005
 * in isotropic light, which is where the fourth root comes from. */
#include "house/glass.h"

#include <math.h>

#define HALF_PI 1.57079632679489661923
#define DEG (HALF_PI / 90)

const double pinery_house_transmit_angle_deg[PINERY_HOUSE_TRANSMIT_ANGLES] = {0, 40, 55, 70, 80};

/* One direction of polarisation, a surface reflecting r and a pane passing x from face to face. */
static struct pinery_house_split panes_split(double r, double x, int panes) {
    double t = x * (1 - r) * (1 - r) / (1 - r * r * x * x);
    double p = r * (1 + x * t);
    double a = 1 - t - p;
    if (panes < 2)
        return (struct pinery_house_split){t, p, {a, 0}};
    double between = 1 - p * p; /* 1 / (sum of the passes between the panes) */
    if (between < 1e-12)        /* grazing light: the first pane is a mirror */
        return (struct pinery_house_split){0, 1, {0, 0}};
    return (struct pinery_house_split){
        t * t / between, p + p * t * t / between, {a * (1 + t * p / between), a * t / between}};
}

static struct pinery_house_split split_mix(double f, struct pinery_house_split u, struct pinery_house_split v) {
    double g = 1 - f;
    return (struct pinery_house_split){f * u.transmit + g * v.transmit,
                                       f * u.reflect + g * v.reflect,
                                       {f * u.absorb[0] + g * v.absorb[0], f * u.absorb[1] + g * v.absorb[1]}};
}

struct pinery_house_split pinery_house_glass_split(const struct pinery_house_glass *glass, double incidence) {
    double n = glass->index;
    double ca = cos(incidence), sb = sin(incidence) / n;
    if (ca < 1e-9) /* along the surface */
        return (struct pinery_house_split){0, 1, {0, 0}};
    double cb = sqrt(1 - sb * sb);
    double rs = (ca - n * cb) / (ca + n * cb), rp = (n * ca - cb) / (n * ca + cb);
    double x = exp(-glass->extinction * glass->thickness_m / cb);
    return split_mix(0.5, panes_split(rs * rs, x, glass->panes), panes_split(rp * rp, x, glass->panes));
}

/* The transmittance of a table at an angle in degrees, by the monotone cubic. */
static double table_transmit(const struct pinery_house_transmit_table *table, double angle_deg) {
    enum { N = PINERY_HOUSE_TRANSMIT_ANGLES + 1 };
    double x[N], y[N], secant[N - 1], slope[N];
    for (int i = 0; i < N - 1; i++) {
        x[i] = pinery_house_transmit_angle_deg[i];
        y[i] = table->transmit[i];
    }
    x[N - 1] = 90;
    y[N - 1] = 0;
    for (int i = 0; i < N - 1; i++)
        secant[i] = (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
    slope[0] = 0;
    slope[N - 1] = secant[N - 2];
    for (int i = 1; i < N - 1; i++) { /* weighted harmonic mean: never overshoots, 0 at a turning point */
        double w1 = 2 * (x[i + 1] - x[i]) + (x[i] - x[i - 1]), w2 = (x[i + 1] - x[i]) + 2 * (x[i] - x[i - 1]);
        slope[i] = secant[i - 1] * secant[i] > 0 ? (w1 + w2) / (w1 / secant[i - 1] + w2 / secant[i]) : 0;
    }
    int k = 0;
    while (k < N - 2 && angle_deg > x[k + 1])
        k++;
    double h = x[k + 1] - x[k], s = (angle_deg - x[k]) / h, q = 1 - s;
    return y[k] * (1 + 2 * s) * q * q + y[k + 1] * s * s * (3 - 2 * s) + h * s * q * (slope[k] * q - slope[k + 1] * s);
}

struct pinery_house_split pinery_house_table_split(const struct pinery_house_transmit_table *table, double incidence) {
    double t = fmax(0, table_transmit(table, fmin(incidence / DEG, 90)));
    double sb = sin(incidence) / 1.5;
    double a =
        table->transmit[0] > 0 ? table->absorb * sqrt(sqrt(t / table->transmit[0])) / sqrt(1 - sb * sb) : table->absorb;
    a = fmin(a, 1 - t);
    if (table->panes < 2)
        return (struct pinery_house_split){t, 1 - t - a, {a, 0}};
    /* The second sheet sees what the first lets pass; equal sheets pass the root of the whole each. */
    double second = a * sqrt(t) / (1 + sqrt(t));
    return (struct pinery_house_split){t, 1 - t - a, {a - second, second}};
}

typedef struct pinery_house_split split_at(const void *cover, double incidence);

static struct pinery_house_split glass_at(const void *cover, double incidence) {
    return pinery_house_glass_split(cover, incidence);
}

static struct pinery_house_split table_at(const void *cover, double incidence) {
    return pinery_house_table_split(cover, incidence);
}

static void optics_fill(split_at *at, const void *cover, struct pinery_house_optics *optics) {
    for (int i = 0; i <= PINERY_HOUSE_OPTICS_STEPS; i++)
        optics->beam[i] = at(cover, acos((double)i / PINERY_HOUSE_OPTICS_STEPS));
    /* Simpson over the angle; the weight sin(2a) is 0 at both ends. */
    enum { N = 360 };
    struct pinery_house_split sum = {0, 0, {0, 0}};
    double total = 0;
    for (int i = 1; i < N; i++) {
        double a = HALF_PI * i / (double)N, w = (i % 2 ? 4 : 2) * sin(2 * a);
        struct pinery_house_split s = at(cover, a);
        total += w;
        sum.transmit += w * s.transmit;
        sum.reflect += w * s.reflect;
        sum.absorb[0] += w * s.absorb[0];
        sum.absorb[1] += w * s.absorb[1];
    }
    optics->diffuse = (struct pinery_house_split){
        sum.transmit / total, sum.reflect / total, {sum.absorb[0] / total, sum.absorb[1] / total}};
}

void pinery_house_optics_glass(const struct pinery_house_glass *glass, struct pinery_house_optics *optics) {
    optics_fill(glass_at, glass, optics);
}

void pinery_house_optics_table(const struct pinery_house_transmit_table *table, struct pinery_house_optics *optics) {
    optics_fill(table_at, table, optics);
}

struct pinery_house_split pinery_house_optics_at(const struct pinery_house_optics *optics, double cosine) {
    double x = fmin(fmax(cosine, 0), 1) * PINERY_HOUSE_OPTICS_STEPS;
    int i = x < PINERY_HOUSE_OPTICS_STEPS ? (int)x : PINERY_HOUSE_OPTICS_STEPS - 1;
    double f = x - i;
    return split_mix(1 - f, optics->beam[i], optics->beam[i + 1]);
}
