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
 * Reciprocity. What layer g takes from 1 going down in gap g is eup[g] at its upper face, and of the t[g] it passes,
 * which goes to and fro between it and the stack below, edown[g] Rb[g-1] / (1 - Rb[g-1] rdown[g]) at its lower face:
 * in all L[g,g]. A layer further down takes what the light passing layer g brings it: the recursion of L[i,g]. So what
 * i sends into a gap and what i takes from it are one number, term by term, because t is the same both ways and
 * emissivity is absorptance on each face. With H[j,g] the mirror image for the layers above,
 *     F[i,j] = L[i,g] H[j,g] / (1 - Rb[g] Ra[g])     for any gap g between them, i <= g < j,
 * is both what j takes from i and what i takes from j. Here g = i, the gap above the lower of the two, so that each
 * factor costs one multiplication; F[i,j] and F[j,i] are written from the same number. */
#include "house/longwave.h"

#include <float.h>

#include "house/shortwave.h"

/* x / y where y = 0 (two mirrors facing each other) has x = 0: nothing is emitted into that gap. */
static double ratio(double x, double y) {
    return x / (y > DBL_MIN ? y : DBL_MIN);
}

void pinery_house_longwave_factors(int n, const struct pinery_house_lw_layer *layer, double *factor) {
    double above[PINERY_HOUSE_LW_LAYERS]; /* Ra[g] */
    double take[PINERY_HOUSE_LW_LAYERS];  /* H[g+1,g], at index g + 1 */
    double pass[PINERY_HOUSE_LW_LAYERS];  /* up through layer g, the stack above sending some back to it */
    above[n - 1] = 0;
    for (int g = n - 1; g >= 1; g--) {
        const struct pinery_house_lw_layer *l = &layer[g];
        double t = l->transmit, between = 1 - above[g] * (1 - l->emit_up - t);
        pass[g] = ratio(t, between);
        take[g] = l->emit_down + pass[g] * above[g] * l->emit_up;
        above[g - 1] = 1 - l->emit_down - t + pass[g] * t * above[g];
    }
    double below = 0; /* Rb[i] */
    for (int i = 0; i < n; i++) {
        const struct pinery_house_lw_layer *l = &layer[i];
        factor[i * n + i] = 0;
        double t = l->transmit, up = ratio(t, 1 - below * (1 - l->emit_down - t));
        double give = l->emit_up + up * below * l->emit_down; /* L[i,i] */
        below = 1 - l->emit_up - t + up * t * below;
        give = ratio(give, 1 - below * above[i]);
        for (int j = i + 1; j < n; j++) {
            factor[i * n + j] = factor[j * n + i] = give * take[j];
            give *= pass[j];
        }
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
