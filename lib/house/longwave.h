/* Long-wave exchange between the layers of the house: factors once per change of the stack, flows from 4th powers. */
#ifndef PINERY_HOUSE_LONGWAVE_H
#define PINERY_HOUSE_LONGWAVE_H

#define PINERY_HOUSE_LW_LAYERS 16                    /* at most */
#define PINERY_HOUSE_STEFAN_BOLTZMANN 5.670374419e-8 /* W/(m2 K4), CODATA 2018 */

/* One grey, diffuse layer at one temperature. Each face reflects 1 - emit - transmit, so emit_up + transmit <= 1 and
 * emit_down + transmit <= 1. */
struct pinery_house_lw_layer {
    double emit_up;   /* emissivity of the upper face */
    double emit_down; /* emissivity of the lower face */
    double transmit;  /* the same both ways */
};

/* factor[n * n], symmetric, zero diagonal: layer i gives layer j sigma factor[i n + j] (Ti^4 - Tj^4) W/m2, T in K, all
 * reflections included. Layers run from the floor (0, transmits nothing) to the sky (n - 1: {0, 1, 0}); 2 <= n <=
 * PINERY_HOUSE_LW_LAYERS. */
void pinery_house_longwave_factors(int n, const struct pinery_house_lw_layer *layer, double *factor);

/* The same for more than one question about a stack: how it answers from below and from above each gap, and what its
 * layers take, give and pass on; as in longwave.c. */
struct pinery_house_lw_answer {
    double below[PINERY_HOUSE_LW_LAYERS], above[PINERY_HOUSE_LW_LAYERS]; /* Rb, Ra by gaps */
    double give[PINERY_HOUSE_LW_LAYERS], take[PINERY_HOUSE_LW_LAYERS];   /* L[i,i], H[j,j-1] by layers */
    double down[PINERY_HOUSE_LW_LAYERS], up[PINERY_HOUSE_LW_LAYERS]; /* what goes on through a layer, of what comes */
};
void pinery_house_longwave_prepare(int n, const struct pinery_house_lw_layer *layer,
                                   struct pinery_house_lw_answer *answer);
/* Factors from layer i to all above it, factor[i + 1] to factor[n - 1]. */
void pinery_house_longwave_upwards(int n, const struct pinery_house_lw_answer *answer, int i, double *factor);
/* What each layer takes of radiation that starts in the gap between layer `gap` and layer `gap` + 1: lamps. */
void pinery_house_longwave_source(int n, const struct pinery_house_lw_answer *answer, int gap, double down, double up,
                                  double *taken);

/* A layer that covers the part f of the floor and leaves the rest open. */
struct pinery_house_lw_layer pinery_house_lw_partial(struct pinery_house_lw_layer layer, double f);

/* A canopy of leaf area index `lai`: black-leaf extinction k of diffuse light, opaque leaves of one emissivity. */
struct pinery_house_lw_layer pinery_house_lw_canopy(double lai, double k, double emissivity);

#endif
