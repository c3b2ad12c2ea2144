/* Long-wave exchange factors of a stack of grey, diffuse layers.
 *
 * Kirchhoff: a face emits the part of a black body's radiation that it would absorb of light falling on it, which is
 * 1 - reflect - transmit of that face. A layer at one temperature must then transmit the same both ways: black plates
 * of one temperature above and below it would otherwise heat one another.
 *
 * In the gap between layers g and g + 1 the stack below reflects Rb[g] and the stack above Ra[g]:
 *     Rb[g]   = rup[g]   + t[g]^2 Rb[g-1] / (1 - Rb[g-1] rdown[g])
 *     Ra[g-1] = rdown[g] + t[g]^2 Ra[g]   / (1 - Ra[g] rup[g])
 * Let L[i,g] be what goes up in gap g from layer i <= g emitting 1, with nothing above to send it back:
 *     L[g,g] = eup[g] + edown[g] Rb[g-1] t[g] / (1 - Rb[g-1] rdown[g])
 *     L[i,g] = L[i,g-1] t[g] / (1 - Rb[g-1] rdown[g])
 *
 * Written as quotients, R = P/Q, the first two need no division on the way:
 *     Q[g] = Q[g-1] - P[g-1] rdown[g]
 *     P[g] = rup[g] Q[g] + t[g]^2 P[g-1]
 * and t[g] Rb[g-1] / (1 - Rb[g-1] rdown[g]) is t[g] P[g-1] / Q[g].
 *
 * Reciprocity. What layer g takes from 1 going down in gap g is eup[g] at its upper face, and of the t[g] it passes,
 * which goes to and fro between it and the stack below, edown[g] Rb[g-1] / (1 - Rb[g-1] rdown[g]) at its lower face:
 * in all L[g,g]. A layer further down takes what the light passing layer g brings it: the recursion of L[i,g]. So what
 * i sends into a gap and what i takes from it are one number, term by term, because t is the same both ways and
 * emissivity is absorptance on each face. With H[j,g] the mirror image for the layers above,
 *     F[i,j] = L[i,g] H[j,g] / (1 - Rb[g] Ra[g])     for any gap g between them, i <= g < j,
 * is both what j takes from i and what i takes from j. Here g = i, the gap above the lower of the two, so that each
 * factor costs one multiplication; F[i,j] and F[j,i] are written from the same number.
 *
 * A source of its own in gap g, sending d down and u up, makes (u + Rb[g] d) / (1 - Rb[g] Ra[g]) go up there, of which
 * layer j takes H[j,g], and as much go down with the two stacks changed about, of which layer i takes L[i,g]. */
#include "house/longwave.h"

#include <float.h>

#include "house/shortwave.h"

/* x / y where y = 0 (two mirrors facing each other) has x = 0: nothing is emitted into that gap. */
static double ratio(double x, double y) {
    return x / (y > DBL_MIN ? y : DBL_MIN);
}

/* What a stack reflects from below and, side by side, one from above: part/whole. */
typedef double pair __attribute__((vector_size(2 * sizeof(double))));

/* The two ways through the stack know nothing of each other and go side by side. A layer is added without waiting for a
 * division. */
void pinery_house_longwave_prepare(int n, const struct pinery_house_lw_layer *layer,
                                   struct pinery_house_lw_answer *answer) {
    pair part = {0, 0}, whole = {1, 1};
    answer->above[n - 1] = 0;
    for (int i = 0, g = n - 1; i < n; i++, g--) {
        const struct pinery_house_lw_layer *l = &layer[i], *h = &layer[g];
        const pair near = {l->emit_down, h->emit_up}, far = {l->emit_up, h->emit_down},
                   transmit = {l->transmit, h->transmit};
        pair rest = whole - part * (1 - near - transmit), back = transmit * part, reflect = 1 - far - transmit;
        pair inverse = 1 / (pair){rest[0] > DBL_MIN ? rest[0] : DBL_MIN, rest[1] > DBL_MIN ? rest[1] : DBL_MIN};
        pair through = transmit * whole * inverse, returned = back * inverse;
        pair sent = far + returned * near, mirrored = reflect + returned * transmit;
        part = reflect * rest + back * transmit;
        whole = rest;
        for (int k = 0; k < 2; k++)
            if (!(rest[k] > DBL_MIN)) { /* two mirrors face each other, and this one passes nothing */
                part[k] = reflect[k];
                whole[k] = 1;
            }
        answer->down[i] = through[0];
        answer->up[g] = through[1];
        answer->give[i] = sent[0];
        answer->take[g] = sent[1];
        answer->below[i] = mirrored[0];
        if (g > 0)
            answer->above[g - 1] = mirrored[1];
    }
}

void pinery_house_longwave_upwards(int n, const struct pinery_house_lw_answer *answer, int i, double *factor) {
    double give = ratio(answer->give[i], 1 - answer->below[i] * answer->above[i]);
    for (int j = i + 1; j < n; j++) {
        factor[j] = give * answer->take[j];
        give *= answer->up[j];
    }
}

void pinery_house_longwave_factors(int n, const struct pinery_house_lw_layer *layer, double *factor) {
    struct pinery_house_lw_answer answer;
    pinery_house_longwave_prepare(n, layer, &answer);
    for (int i = 0; i < n; i++) {
        factor[i * n + i] = 0;
        pinery_house_longwave_upwards(n, &answer, i, factor + i * n);
        for (int j = i + 1; j < n; j++)
            factor[j * n + i] = factor[i * n + j];
    }
}

void pinery_house_longwave_source(int n, const struct pinery_house_lw_answer *answer, int gap, double down, double up,
                                  double *taken) {
    double below = answer->below[gap], above = answer->above[gap], between = 1 - below * above;
    double rising = ratio(up + below * down, between), falling = ratio(down + above * up, between);
    for (int j = gap + 1; j < n; j++) {
        taken[j] = rising * answer->take[j];
        rising *= answer->up[j];
    }
    for (int i = gap; i >= 0; i--) {
        taken[i] = falling * answer->give[i];
        falling *= answer->down[i];
    }
}

struct pinery_house_lw_layer pinery_house_lw_partial(struct pinery_house_lw_layer layer, double f) {
    return (struct pinery_house_lw_layer){f * layer.emit_up, f * layer.emit_down, f * layer.transmit + (1 - f)};
}

struct pinery_house_lw_layer pinery_house_lw_canopy(double lai, double k, double emissivity) {
    double reflect, transmit;
    pinery_house_canopy_diffuse(lai, k, 1 - emissivity, 0, &reflect, &transmit);
    return (struct pinery_house_lw_layer){1 - reflect - transmit, 1 - reflect - transmit, transmit};
}
