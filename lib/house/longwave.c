/* Long-wave exchange factors of a stack of grey, diffuse layers.
 *
 * Kirchhoff: a face emits the part of a black body's radiation that it would absorb, and it absorbs 1 - reflect -
 * transmit; so its emissivity is what the layer takes out of light that meets that face. The transmittance of a layer
 * at one temperature must then be the same both ways, or two black plates at one temperature with the layer between
 * would heat one another.
 *
 * In the gap between layers g and g + 1 the stack below reflects Rb[g], the stack above Ra[g]:
 *     Rb[g] = rup[g] + t[g]^2 Rb[g-1] / (1 - Rb[g-1] rdown[g])    Ra[g-1] = rdown[g] + t[g]^2 Ra[g] / (1 - Ra[g]
 * rup[g]) Let L[i,g] be what reaches gap g going up, from layer i <= g emitting 1, with nothing above to reflect:
 *     L[g,g] = eup[g] + t[g] Rb[g-1] edown[g] / (1 - Rb[g-1] rdown[g])      L[i,g] = L[i,g-1] t[g] / (1 - Rb[g-1]
 * rdown[g]) The same expressions are what layer i takes from 1 going down in gap g: what it meets at its upper face
 * directly plus what passes it, comes back from below and is met at its lower face. Emitting and taking are the same
 * number, term by term, because t is the same both ways and emissivity is absorptance on each face. With H[j,g] the
 * mirror image for the layers above, F[i,j] = L[i,g] H[j,g] / (1 - Rb[g] Ra[g])      for any gap i <= g < j, which is
 * symmetric: light of i that j takes, and light of j that i takes, run through the same product. Taking g = i for the
 * lower of the two, every factor is one multiplication, and both F[i,j] and F[j,i] are written from it. */
#include "house/longwave.h"

#include <float.h>

/* x / y where y = 0 (two mirrors facing each other) has x = 0: nothing is emitted into that gap. */
static double ratio(double x, double y) {
    return x / (y > DBL_MIN ? y : DBL_MIN);
}

void pinery_house_longwave_factors(int n, const struct pinery_house_lw_layer *layer, double *factor) {
    double above[PINERY_HOUSE_LW_LAYERS]; /* Ra[g] */
    double take[PINERY_HOUSE_LW_LAYERS];  /* H[g+1,g], at index g + 1 */
    double pass[PINERY_HOUSE_LW_LAYERS];  /* of layer g for light going up, the stack above reflecting some back through
                                             it */
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
    return (struct pinery_house_lw_layer){f * layer.emit_up, f * layer.emit_down, f * layer.transmit + 1 - f};
}
