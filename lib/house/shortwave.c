/* Light in a stack of layers, by the adding method.
 *
 * In the gap between layers g and g + 1 diffuse light D goes down and U goes up:
 *     D[g] = t[g+1] D[g+1] + rdown[g+1] U[g] + S[g]
 *     U[g] = t[g] U[g-1] + rup[g] D[g] + V[g]
 * with sources S downwards and V upwards: light entering under the cover, lamps, and what layers scatter out of the
 * beam. The stack 0 ... g answers D[g] with U[g] = R[g] D[g] + E[g]; going up, with m = 1 / (1 - R[g-1] rdown[g]),
 *     R[g] = rup[g] + t[g]^2 R[g-1] m
 *     E[g] = t[g] (R[g-1] S[g-1] + E[g-1]) m + V[g]
 * and going down again with D known at the top the light in every gap follows. All reflections are in it; nothing is
 * iterated. The net-radiation method for layers is in Siegel & Howell, Thermal Radiation Heat Transfer.
 *
 * Canopy. Beam is taken away by black-leaf extinction, exp(-kb L). Leaves return the part r of what they meet and pass
 * the part s on, which makes two diffuse streams over the leaf area L, counted downwards:
 *     dD/dL  = -a D + c U + s kb exp(-kb L)     a = k (1 - s)
 *     -dU/dL = -a U + c D + r kb exp(-kb L)     c = k r
 * with the decay K = sqrt(a^2 - c^2). For r = s this is the canopy of Goudriaan (1977, Crop micrometeorology, Pudoc,
 * Wageningen): K = k sqrt(1 - r - s), and a deep one reflects (1 - sqrt(1 - r - s)) / (1 + sqrt(1 - r - s)).
 *
 * Leaves facing all ways alike: kb = 0.5 / sin(elevation) (Goudriaan 1977), held finite on the horizon. */
#include "house/shortwave.h"

#include <math.h>
#include <stddef.h>

/* sin(elevation) is kept above this: 1.7 degrees, where no beam worth counting is left. */
#define SINE_FLOOR 0.03

void pinery_house_shortwave_prepare(int n, const struct pinery_house_sw_layer *layer,
                                    struct pinery_house_sw_answer *answer) {
    double *r = answer->r, *m = answer->m;
    r[0] = layer[0].reflect_up;
    for (int g = 1; g < n; g++) {
        const struct pinery_house_sw_layer *l = &layer[g];
        m[g] = 1 / (1 - r[g - 1] * l->reflect_down);
        r[g] = l->reflect_up + l->transmit * l->transmit * r[g - 1] * m[g];
    }
}

/* Diffuse light for sources down[n - 1] and up[n - 1] per gap; adds to absorbed and arriving. */
static void adding(int n, const struct pinery_house_sw_layer *layer, const struct pinery_house_sw_answer *answer,
                   const double *down, const double *up, double *absorbed, double *arriving, double *escaped) {
    const double *r = answer->r, *m = answer->m;
    double e[PINERY_HOUSE_MAX_LAYERS];
    e[0] = up[0];
    for (int g = 1; g < n - 1; g++)
        e[g] = layer[g].transmit * (r[g - 1] * down[g - 1] + e[g - 1]) * m[g] + up[g];
    double above = 0; /* light going down in the gap above the layer at hand; none from outside */
    for (int g = n - 2; g >= 0; g--) {
        const struct pinery_house_sw_layer *l = &layer[g + 1];
        double d = (l->transmit * above + l->reflect_down * e[g] + down[g]) * m[g + 1];
        double u = r[g] * d + e[g];
        absorbed[g + 1] += (1 - l->reflect_down - l->transmit) * u;
        absorbed[g] += (1 - layer[g].reflect_up - layer[g].transmit) * d;
        if (arriving)
            arriving[g] += d;
        if (g == n - 2)
            *escaped = l->transmit * u;
        above = d;
    }
}

void pinery_house_shortwave_of(int n, const struct pinery_house_sw_layer *layer,
                               const struct pinery_house_sw_answer *answer, double beam, double diffuse,
                               double *absorbed, double *arriving, double *escaped) {
    double down[PINERY_HOUSE_MAX_LAYERS] = {0}, up[PINERY_HOUSE_MAX_LAYERS] = {0};
    absorbed[n - 1] = 0;
    if (arriving)
        arriving[n - 1] = 0;
    down[n - 2] = diffuse;
    for (int i = n - 2; i >= 0; i--) {
        const struct pinery_house_sw_layer *l = &layer[i];
        absorbed[i] = (1 - l->beam_reflect - l->beam_transmit - l->beam_scatter) * beam;
        if (arriving)
            arriving[i] = beam;
        up[i] += l->beam_reflect * beam;
        if (i > 0)
            down[i - 1] += l->beam_scatter * beam;
        beam *= l->beam_transmit;
    }
    adding(n, layer, answer, down, up, absorbed, arriving, escaped);
}

void pinery_house_shortwave(int n, const struct pinery_house_sw_layer *layer, double beam, double diffuse,
                            double *absorbed, double *arriving, double *escaped) {
    struct pinery_house_sw_answer answer;
    pinery_house_shortwave_prepare(n, layer, &answer);
    pinery_house_shortwave_of(n, layer, &answer, beam, diffuse, absorbed, arriving, escaped);
}

void pinery_house_shortwave_source_of(int n, const struct pinery_house_sw_layer *layer,
                                      const struct pinery_house_sw_answer *answer, int gap, double down, double up,
                                      double *absorbed, double *arriving, double *escaped) {
    double downs[PINERY_HOUSE_MAX_LAYERS] = {0}, ups[PINERY_HOUSE_MAX_LAYERS] = {0};
    for (int i = 0; i < n; i++) {
        absorbed[i] = 0;
        if (arriving)
            arriving[i] = 0;
    }
    downs[gap] = down;
    ups[gap] = up;
    adding(n, layer, answer, downs, ups, absorbed, arriving, escaped);
}

void pinery_house_shortwave_source(int n, const struct pinery_house_sw_layer *layer, int gap, double down, double up,
                                   double *absorbed, double *arriving, double *escaped) {
    struct pinery_house_sw_answer answer;
    pinery_house_shortwave_prepare(n, layer, &answer);
    pinery_house_shortwave_source_of(n, layer, &answer, gap, down, up, absorbed, arriving, escaped);
}

struct pinery_house_sw_layer pinery_house_sw_partial(struct pinery_house_sw_layer layer, double f) {
    double open = 1 - f;
    return (struct pinery_house_sw_layer){
        .reflect_up = f * layer.reflect_up,
        .reflect_down = f * layer.reflect_down,
        .transmit = f * layer.transmit + open,
        .beam_reflect = f * layer.beam_reflect,
        .beam_transmit = f * layer.beam_transmit + open,
        .beam_scatter = f * layer.beam_scatter,
    };
}

struct pinery_house_sw_layer pinery_house_sw_diffusing(double reflect_up, double reflect_down, double transmit) {
    return (struct pinery_house_sw_layer){reflect_up, reflect_down, transmit, reflect_up, 0, transmit};
}

double pinery_house_beam_extinction(double sun_elevation) {
    double s = sin(sun_elevation);
    return 0.5 / sqrt(s * s + SINE_FLOOR * SINE_FLOOR);
}

void pinery_house_canopy_diffuse(double lai, double k, double leaf_reflect, double leaf_transmit, double *reflect,
                                 double *transmit) {
    double a = k * (1 - leaf_transmit), c = k * leaf_reflect;
    double decay = sqrt(fmax(0, (a - c) * (a + c)));
    /* sinh(K L) / K and cosh(K L), both divided by exp(K L) so that a deep canopy does not overflow. */
    double s = decay * lai > 1e-8 ? -expm1(-2 * decay * lai) / (2 * decay) : lai;
    double w = 0.5 * (1 + exp(-2 * decay * lai)) + a * s;
    *reflect = c * s / w;
    *transmit = exp(-decay * lai) / w;
}

struct pinery_house_sw_layer pinery_house_sw_canopy(double lai, double k_beam, double k_diffuse, double leaf_reflect,
                                                    double leaf_transmit) {
    double a = k_diffuse * (1 - leaf_transmit), c = k_diffuse * leaf_reflect;
    double decay2 = (a - c) * (a + c), kb = k_beam;
    /* Where the beam decays like the diffuse light the form below is 0/0; a step aside of 1e-5 changes the 5th digit.
     */
    if (fabs(kb * kb - decay2) < 1e-5 * decay2)
        kb = sqrt(decay2 * (1 + 1e-5));
    double reflect, transmit;
    pinery_house_canopy_diffuse(lai, k_diffuse, leaf_reflect, leaf_transmit, &reflect, &transmit);
    /* The streams that decay with the beam, and the canopy's answer that cancels them at its two edges. */
    double det = decay2 - kb * kb;
    double p = (leaf_transmit * kb * (a + kb) + c * leaf_reflect * kb) / det;
    double q = (leaf_reflect * kb * (a - kb) + c * leaf_transmit * kb) / det;
    double passed = exp(-kb * lai);
    return (struct pinery_house_sw_layer){
        .reflect_up = reflect,
        .reflect_down = reflect,
        .transmit = transmit,
        .beam_reflect = q - reflect * p - transmit * q * passed,
        .beam_transmit = passed,
        .beam_scatter = p * passed - transmit * p - reflect * q * passed,
    };
}
