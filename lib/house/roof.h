/* Sun on the cover of a gutter-connected house: what enters, per square metre of floor. */
#ifndef PINERY_HOUSE_ROOF_H
#define PINERY_HOUSE_ROOF_H

#include "house/glass.h"

#define PINERY_HOUSE_MAX_WALLS 8

/* One upright plane: a side wall, or a gable with the triangles above it. */
struct pinery_house_wall {
    double area;    /* m2 per m2 floor */
    double azimuth; /* its outward normal, rad clockwise from north */
};

struct pinery_house_shape {
    double slope;         /* of the roof, rad; 0 is flat */
    double ridge_azimuth; /* direction of the ridges, rad clockwise from north */
    double structure;     /* fraction of the light stopped by bars, gutters and trusses */
    double haze;          /* fraction of the beam passed that leaves the cover scattered */
    double ground_albedo; /* outside the walls */
    int n_walls;
    struct pinery_house_wall wall[PINERY_HOUSE_MAX_WALLS];
};

/* The shape with the optics of roof and walls, prepared once; then read only. */
struct pinery_house_roof {
    struct pinery_house_shape shape;
    struct pinery_house_optics cover, wall_cover;
    int inner; /* the pane light from inside meets first: 0 when there is one pane, else 1 */
    double sin_slope, cos_slope, sin_ridge, cos_ridge;
    double wall_area;                                                          /* m2 per m2 floor, all walls */
    double wall_sin[PINERY_HOUSE_MAX_WALLS], wall_cos[PINERY_HOUSE_MAX_WALLS]; /* of the azimuths */
    struct pinery_house_split diffuse; /* of isotropic light on the horizontal over the roof */
};

void pinery_house_roof_prepare(const struct pinery_house_shape *shape, const struct pinery_house_optics *cover,
                               const struct pinery_house_optics *wall_cover, struct pinery_house_roof *roof);

struct pinery_house_sun {
    double elevation, azimuth; /* rad; azimuth clockwise from north */
    double beam_normal;        /* W/m2, on a plane facing the sun */
    double diffuse;            /* W/m2, on the horizontal */
};

/* W per m2 floor. */
struct pinery_house_sunlight {
    double beam, diffuse;  /* entering just below the cover; what comes through walls is in diffuse */
    double cover_absorbed; /* in the roof's panes */
    double inner_absorbed; /* of that, in the inner pane (0 for a single one) */
    double wall_absorbed;  /* in the walls' panes */
    double wall_diffuse;   /* of diffuse, what came through the walls */
    double structure;      /* stopped by structure, roof and walls */
};

struct pinery_house_sunlight pinery_house_sunlight(const struct pinery_house_roof *roof,
                                                   const struct pinery_house_sun *sun);

/* What an endless roof does with beam from one direction, as parts of the beam on the horizontal (structure apart);
 * what is scattered between the slopes counts in `scattered`. Elevation > 0. */
struct pinery_house_roof_beam {
    double transmit, scattered, absorb[2];
};

struct pinery_house_roof_beam pinery_house_roof_beam(const struct pinery_house_roof *roof, double elevation,
                                                     double azimuth);

#endif
