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
#include <string.h>

#include "base/smooth.h"

/* sin(elevation) is kept above this: 1.7 degrees, where no beam worth counting is left. */
#define SINE_FLOOR 0.03

enum { LIGHTS = PINERY_HOUSE_SW_LIGHTS };

void pinery_house_sw_dark(int n, struct pinery_house_sw_lights *lights) {
    const size_t size = (size_t)n * sizeof lights->down[0];
    memset(lights->down, 0, size);
    memset(lights->up, 0, size);
    memset(lights->absorbed, 0, size);
    memset(lights->arriving, 0, size);
}

void pinery_house_sw_sun(int n, const struct pinery_house_sw_layer *layer, int k, double beam, double diffuse,
                         struct pinery_house_sw_lights *lights) {
    lights->down[n - 2][k] += diffuse;
    for (int i = n - 2; i >= 0 && beam > 0; i--) {
        const struct pinery_house_sw_layer *l = &layer[i];
        lights->absorbed[i][k] += (1 - l->beam_reflect - l->beam_transmit - l->beam_scatter) * beam;
        lights->arriving[i][k] += beam;
        lights->up[i][k] += l->beam_reflect * beam;
        if (i > 0)
            lights->down[i - 1][k] += l->beam_scatter * beam;
        beam *= l->beam_transmit;
    }
}

void pinery_house_sw_source(int k, int gap, double down, double up, struct pinery_house_sw_lights *lights) {
    lights->down[gap][k] += down;
    lights->up[gap][k] += up;
}

/* The adding method, for all lights side by side. */
void pinery_house_sw_spread(int n, const struct pinery_house_sw_layer *layer, struct pinery_house_sw_lights *lights) {
    double r[PINERY_HOUSE_MAX_LAYERS], m[PINERY_HOUSE_MAX_LAYERS], e[PINERY_HOUSE_MAX_LAYERS][LIGHTS];
    r[0] = layer[0].reflect_up;
    for (int g = 1; g < n; g++) {
        const struct pinery_house_sw_layer *l = &layer[g];
        m[g] = 1 / (1 - r[g - 1] * l->reflect_down);
        r[g] = l->reflect_up + l->transmit * l->transmit * r[g - 1] * m[g];
    }
    for (int k = 0; k < LIGHTS; k++)
        e[0][k] = lights->up[0][k];
    for (int g = 1; g < n - 1; g++) {
        double t = layer[g].transmit * m[g], below = r[g - 1];
        for (int k = 0; k < LIGHTS; k++)
            e[g][k] = t * (below * lights->down[g - 1][k] + e[g - 1][k]) + lights->up[g][k];
    }
    double above[LIGHTS] = {0},
           up[LIGHTS]; /* going down in the gap above the layer at hand, none from outside; and up */
    for (int g = n - 2; g >= 0; g--) {
        const struct pinery_house_sw_layer *over = &layer[g + 1], *under = &layer[g];
        double t = over->transmit, back = over->reflect_down, between = m[g + 1], answer = r[g];
        double takes_up = 1 - back - t, takes_down = 1 - under->reflect_up - under->transmit;
        for (int k = 0; k < LIGHTS; k++) {
            above[k] = (t * above[k] + back * e[g][k] + lights->down[g][k]) * between;
            up[k] = answer * above[k] + e[g][k];
        }
        for (int k = 0; k < LIGHTS; k++) {
            lights->absorbed[g + 1][k] += takes_up * up[k];
            lights->absorbed[g][k] += takes_down * above[k];
            lights->arriving[g][k] += above[k];
        }
        for (int k = 0; k < LIGHTS && g == n - 2; k++)
            lights->escaped[k] = t * up[k];
    }
}

/* One light alone, the first. */
static void spread_one(int n, const struct pinery_house_sw_layer *layer, struct pinery_house_sw_lights *lights,
                       double *absorbed, double *arriving, double *escaped) {
    pinery_house_sw_spread(n, layer, lights);
    for (int i = 0; i < n; i++) {
        absorbed[i] = lights->absorbed[i][0];
        if (arriving)
            arriving[i] = lights->arriving[i][0];
    }
    *escaped = lights->escaped[0];
}

void pinery_house_shortwave(int n, const struct pinery_house_sw_layer *layer, double beam, double diffuse,
                            double *absorbed, double *arriving, double *escaped) {
    struct pinery_house_sw_lights lights;
    pinery_house_sw_dark(n, &lights);
    pinery_house_sw_sun(n, layer, 0, beam, diffuse, &lights);
    spread_one(n, layer, &lights, absorbed, arriving, escaped);
}

void pinery_house_shortwave_source(int n, const struct pinery_house_sw_layer *layer, int gap, double down, double up,
                                   double *absorbed, double *arriving, double *escaped) {
    struct pinery_house_sw_lights lights;
    pinery_house_sw_dark(n, &lights);
    pinery_house_sw_source(0, gap, down, up, &lights);
    spread_one(n, layer, &lights, absorbed, arriving, escaped);
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
    struct pinery_house_sw_layer layer;
    pinery_house_canopy_diffuse(lai, k_diffuse, leaf_reflect, leaf_transmit, &layer.reflect_up, &layer.transmit);
    layer.reflect_down = layer.reflect_up;
    pinery_house_sw_canopy_beam(lai, k_beam, k_diffuse, leaf_reflect, leaf_transmit, &layer);
    return layer;
}

void pinery_house_sw_canopy_beam(double lai, double k_beam, double k_diffuse, double leaf_reflect, double leaf_transmit,
                                 struct pinery_house_sw_layer *layer) {
    double a = k_diffuse * (1 - leaf_transmit), c = k_diffuse * leaf_reflect;
    double decay2 = (a - c) * (a + c), kb = k_beam;
    /* Where the beam decays like the diffuse light the form below is 0/0; a step aside of 1e-5 changes the 5th digit.
     */
    if (fabs(kb * kb - decay2) < 1e-5 * decay2)
        kb = sqrt(decay2 * (1 + 1e-5));
    double reflect = layer->reflect_up, transmit = layer->transmit;
    /* The streams that decay with the beam, and the canopy's answer that cancels them at its two edges. */
    double det = decay2 - kb * kb;
    double p = (leaf_transmit * kb * (a + kb) + c * leaf_reflect * kb) / det;
    double q = (leaf_reflect * kb * (a - kb) + c * leaf_transmit * kb) / det;
    double passed = pinery_base_exp(-kb * lai);
    layer->beam_reflect = q - reflect * p - transmit * q * passed;
    layer->beam_transmit = passed;
    layer->beam_scatter = p * passed - transmit * p - reflect * q * passed;
}
