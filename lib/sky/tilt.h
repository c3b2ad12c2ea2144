/* Radiation on a tilted plane from its parts on the horizontal. */
#ifndef PINERY_SKY_TILT_H
#define PINERY_SKY_TILT_H

struct pinery_sky_plane {
    double tilt_deg;    /* from the horizontal, 0 .. 180 */
    double azimuth_deg; /* where the plane faces, clockwise from north */
};

struct pinery_sky_tilted {
    double beam;      /* W/m2 on the plane */
    double sky;       /* diffuse from the sky */
    double ground;    /* reflected by the ground */
    double incidence; /* cosine of the angle between beam and the plane's normal, 0 when the sun is behind or down */
};

/* X(name, doc): how the sky's radiation is spread. */
#define PINERY_SKY_TILT_MODELS(X)                                                                           \
    X(hay_davies,                                                                                           \
      "Hay & Davies 1980: a circumsolar part as transparent as the beam, the rest isotropic (the default)") \
    X(isotropic, "Liu & Jordan 1963, Solar Energy 7:53")

enum pinery_sky_tilt_model {
#define X(name, doc) PINERY_SKY_TILT_##name,
    PINERY_SKY_TILT_MODELS(X)
#undef X
        PINERY_SKY_TILT_N
};

/* Cosine of the angle between the sun and the plane's normal; negative when the sun is behind. */
double pinery_sky_incidence(struct pinery_sky_plane plane, double elevation_deg, double azimuth_deg);

/* albedo: reflectance of the ground, 0 .. 1; extraterrestrial_normal is used by hay_davies alone. */
struct pinery_sky_tilted pinery_sky_tilt(enum pinery_sky_tilt_model model, struct pinery_sky_plane plane,
                                         double elevation_deg, double azimuth_deg, double beam_normal, double diffuse,
                                         double albedo, double extraterrestrial_normal);

#endif
