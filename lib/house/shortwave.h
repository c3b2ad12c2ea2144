/* Light in the stack below the cover: what each layer absorbs after all reflections. */
#ifndef PINERY_HOUSE_SHORTWAVE_H
#define PINERY_HOUSE_SHORTWAVE_H

#define PINERY_HOUSE_MAX_LAYERS 16

/* One layer, all parts of 1. The upper face looks up and meets light from above.
 * Sums that must hold: reflect_up + transmit <= 1, reflect_down + transmit <= 1,
 * beam_reflect + beam_transmit + beam_scatter <= 1. */
struct pinery_house_sw_layer {
    double reflect_up;    /* diffuse light from above, sent back up */
    double reflect_down;  /* diffuse light from below, sent back down */
    double transmit;      /* diffuse light, either way */
    double beam_reflect;  /* beam from above, sent back up as diffuse */
    double beam_transmit; /* beam from above, passed on as beam */
    double beam_scatter;  /* beam from above, passed on as diffuse */
};

/* Beam and diffuse light [W/m2] entering just below the cover. Layers run from the floor (0, transmits nothing) to the
 * cover (n - 1, seen from inside: only its reflect_down and transmit count); 2 <= n <= PINERY_HOUSE_MAX_LAYERS, and no
 * two mirrors may face each other with nothing absorbing between. absorbed[n]: in each layer; arriving[n] (or NULL):
 * all light falling on the layer from above, for the cover 0; escaped: back out through the cover. The sum of absorbed
 * plus escaped is beam plus diffuse. */
void pinery_house_shortwave(int n, const struct pinery_house_sw_layer *layer, double beam, double diffuse,
                            double *absorbed, double *arriving, double *escaped);

/* The same for diffuse light that starts in the gap between layer `gap` and layer `gap` + 1: lamps. */
void pinery_house_shortwave_source(int n, const struct pinery_house_sw_layer *layer, int gap, double down, double up,
                                   double *absorbed, double *arriving, double *escaped);

/* Several lights in one stack, side by side: from dark, suns and sources are put in as light k, and then all of it is
 * spread. */
enum { PINERY_HOUSE_SW_LIGHTS = 4 };
struct pinery_house_sw_lights {
    double down[PINERY_HOUSE_MAX_LAYERS][PINERY_HOUSE_SW_LIGHTS], up[PINERY_HOUSE_MAX_LAYERS][PINERY_HOUSE_SW_LIGHTS];
    double absorbed[PINERY_HOUSE_MAX_LAYERS][PINERY_HOUSE_SW_LIGHTS]; /* as above, by layer */
    double arriving[PINERY_HOUSE_MAX_LAYERS][PINERY_HOUSE_SW_LIGHTS];
    double escaped[PINERY_HOUSE_SW_LIGHTS];
};
void pinery_house_sw_dark(int n, struct pinery_house_sw_lights *lights);
void pinery_house_sw_sun(int n, const struct pinery_house_sw_layer *layer, int k, double beam, double diffuse,
                         struct pinery_house_sw_lights *lights);
void pinery_house_sw_source(int k, int gap, double down, double up, struct pinery_house_sw_lights *lights);
void pinery_house_sw_spread(int n, const struct pinery_house_sw_layer *layer, struct pinery_house_sw_lights *lights);

/* A layer that covers the part f of the floor and leaves the rest open. */
struct pinery_house_sw_layer pinery_house_sw_partial(struct pinery_house_sw_layer layer, double f);

/* A layer that scatters all it passes and treats beam as diffuse (a woven cloth, a floor). */
struct pinery_house_sw_layer pinery_house_sw_diffusing(double reflect_up, double reflect_down, double transmit);

/* A canopy of leaf area index `lai`; k_beam, k_diffuse: extinction by black leaves; leaf_reflect + leaf_transmit <= 1.
 */
struct pinery_house_sw_layer pinery_house_sw_canopy(double lai, double k_beam, double k_diffuse, double leaf_reflect,
                                                    double leaf_transmit);
/* Of such a canopy, what hangs on the beam, when the diffuse light stands in the layer already. */
void pinery_house_sw_canopy_beam(double lai, double k_beam, double k_diffuse, double leaf_reflect, double leaf_transmit,
                                 struct pinery_house_sw_layer *layer);

/* Extinction of beam by leaves that face all ways alike, at a sun elevation [rad]. */
double pinery_house_beam_extinction(double sun_elevation);

/* Diffuse reflectance and transmittance of a canopy, the same from above and below. */
void pinery_house_canopy_diffuse(double lai, double k, double leaf_reflect, double leaf_transmit, double *reflect,
                                 double *transmit);

#endif
