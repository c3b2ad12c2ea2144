/* How a transparent cover splits light by its angle: glass from its physics, any other cover from a measured table. */
#ifndef PINERY_HOUSE_GLASS_H
#define PINERY_HOUSE_GLASS_H

/* One or two equal panes of clear glass (or another clear, smooth sheet) with air between. */
struct pinery_house_glass {
    double index;       /* refractive, e.g. 1.526 */
    double extinction;  /* 1/m, 4 (low iron) to 32 */
    double thickness_m; /* of one pane */
    int panes;          /* 1 or 2 */
};

/* What becomes of light that falls on a cover: transmit + reflect + absorb[0] + absorb[1] = 1. */
struct pinery_house_split {
    double transmit, reflect;
    double absorb[2]; /* in the pane the light meets first, and in the second (0 when there is none) */
};

/* Unpolarised light at an angle of incidence, 0 ... pi/2. */
struct pinery_house_split pinery_house_glass_split(const struct pinery_house_glass *glass, double incidence);

/* The angles a measured table gives, degrees; the transmittance at 90 degrees is 0. */
#define PINERY_HOUSE_TRANSMIT_ANGLES 5
extern const double pinery_house_transmit_angle_deg[PINERY_HOUSE_TRANSMIT_ANGLES];

/* A cover known by measurement: transmittance at 0, 40, 55, 70 and 80 degrees, absorptance at 0. */
struct pinery_house_transmit_table {
    double transmit[PINERY_HOUSE_TRANSMIT_ANGLES];
    double absorb;
    int panes; /* 1 or 2: over how many sheets the absorbed part is shared */
};

struct pinery_house_split pinery_house_table_split(const struct pinery_house_transmit_table *table, double incidence);

/* The split of isotropic light prepared with that at PINERY_HOUSE_OPTICS_STEPS + 1 equal steps of the cosine of
 * incidence, in which a cover's transmittance is close to a straight line both at normal and at grazing incidence. */
#define PINERY_HOUSE_OPTICS_STEPS 128

struct pinery_house_optics {
    struct pinery_house_split beam[PINERY_HOUSE_OPTICS_STEPS + 1]; /* at cosine i / PINERY_HOUSE_OPTICS_STEPS */
    struct pinery_house_split diffuse;
};

void pinery_house_optics_glass(const struct pinery_house_glass *glass, struct pinery_house_optics *optics);
void pinery_house_optics_table(const struct pinery_house_transmit_table *table, struct pinery_house_optics *optics);

/* The split at a cosine of incidence, 0 ... 1. */
struct pinery_house_split pinery_house_optics_at(const struct pinery_house_optics *optics, double cosine);

#endif
