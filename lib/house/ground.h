/* The ground under the house: layers, edge loss, and the wave that the year sends down. Formulas and sources are in
 * ground.c. */
#ifndef PINERY_HOUSE_GROUND_H
#define PINERY_HOUSE_GROUND_H

#define PINERY_HOUSE_GROUND_LAYERS 16 /* at most */

/* A column of ground, per m2 of floor; node 0 is the surface. */
struct pinery_house_ground {
    int n;
    double depth[PINERY_HOUSE_GROUND_LAYERS];       /* of the node, m */
    double capacity[PINERY_HOUSE_GROUND_LAYERS];    /* J/(m2 K) */
    double conductance[PINERY_HOUSE_GROUND_LAYERS]; /* W/(m2 K): to the node below, the last to the bottom */
};

/* n nodes (2 to PINERY_HOUSE_GROUND_LAYERS) down to a bottom at `depth` [m], the second `first` below the surface, each
 * step longer than the one above; conductivity [W/(m K)], heat_capacity [J/(m3 K)]. (n - 1/2) first must be less than
 * depth. */
void pinery_house_ground_layers(int n, double depth, double first, double conductivity, double heat_capacity,
                                struct pinery_house_ground *ground);

/* How long the first of n steps should be, so that more of them are better for every wave, m. */
double pinery_house_ground_first(int n);

/* Slab on the ground without edge insulation. */
struct pinery_house_slab {
    double dimension;   /* characteristic dimension B', m */
    double equivalent;  /* equivalent thickness dt, m */
    double coefficient; /* inside air to outside air, W/(m2 K) */
};

/* area [m2], perimeter [m], wall thickness [m], ground conductivity [W/(m K)], resistance of the slab and of the
 * surfaces inside and outside [m2 K/W]. */
struct pinery_house_slab pinery_house_slab_loss(double area, double perimeter, double wall, double conductivity,
                                                double slab_resistance, double inside_resistance,
                                                double outside_resistance);

/* How a column of layers with a bottom at the yearly mean outside is made to lose what the slab loses. */
struct pinery_house_ground_split {
    double edge;   /* W/(m2 K) more, from the floor surface to the outside air */
    double bottom; /* m2 K/W more, between the last layer and the bottom temperature */
};

/* resistance: of the column from the inside air to the bottom [m2 K/W]. */
struct pinery_house_ground_split pinery_house_ground_edge(double slab_coefficient, double column_resistance,
                                                          double inside_resistance);

/* Depth at which a wave of that period [s] has shrunk to 1/e [m]; diffusivity [m2/s]. */
double pinery_house_ground_damping_depth(double diffusivity, double period);

/* Temperature at `depth` under a surface at mean + amplitude cos(2 pi (time - peak)/period). */
double pinery_house_ground_wave(double mean, double amplitude, double peak, double period, double depth,
                                double diffusivity, double time);

#endif
