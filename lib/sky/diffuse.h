/* The diffuse share of global radiation by the clearness index. */
#ifndef PINERY_SKY_DIFFUSE_H
#define PINERY_SKY_DIFFUSE_H

/* X(name, doc): the models by name, in the order of pinery_sky_diffuse_model. */
#define PINERY_SKY_DIFFUSE_MODELS(X)                                                 \
    X(erbs, "Erbs, Klein & Duffie 1982, Solar Energy 28:293")                        \
    X(reindl_1, "Reindl, Beckman & Duffie 1990, Solar Energy 45:1, clearness alone") \
    X(reindl_2, "the same, clearness and sun elevation")                             \
    X(orgill_hollands, "Orgill & Hollands 1977, Solar Energy 19:357")

enum pinery_sky_diffuse_model {
#define X(name, doc) PINERY_SKY_DIFFUSE_##name,
    PINERY_SKY_DIFFUSE_MODELS(X)
#undef X
        PINERY_SKY_DIFFUSE_N
};

/* Clearness = global / (extraterrestrial radiation on the horizontal) of the same interval. */
double pinery_sky_erbs(double clearness);
double pinery_sky_reindl_1(double clearness);
double pinery_sky_reindl_2(double clearness, double sin_elevation);
double pinery_sky_orgill_hollands(double clearness);
double pinery_sky_diffuse_fraction(enum pinery_sky_diffuse_model model, double clearness, double sin_elevation);

/* Split the mean global radiation of an interval whose mean sine of elevation (whole interval, 0 while the sun is down)
 * and extraterrestrial normal radiation are given. The direct part is limited to what arrives above the atmosphere; the
 * rest is diffuse, so that global = diffuse + beam_normal * sin_elevation always. With the sun down all is diffuse. */
void pinery_sky_split(enum pinery_sky_diffuse_model model, double global, double sin_elevation,
                      double extraterrestrial_normal, double *beam_normal, double *diffuse);

#endif
