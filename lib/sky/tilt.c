/* Radiation on a tilted plane.
 *
 * Beam: In cos(theta). Sky, isotropic (Liu & Jordan 1963): Dh (1 + cos s)/2. Sky, Hay & Davies 1980 (Proc. First
 * Canadian Solar Radiation Data Workshop, p. 59): Dh [A Rb + (1 - A)(1 + cos s)/2] with A = In/E0n and Rb =
 * cos(theta)/sin(elevation). Ground: rho Gh (1 - cos s)/2. Near the horizon Rb is limited as by Duffie & Beckman: the
 * sine is not taken below that of 1 degree. */
#include "sky/tilt.h"

#include <math.h>

#define RAD (3.14159265358979323846 / 180.0)

double pinery_sky_incidence(struct pinery_sky_plane plane, double elevation_deg, double azimuth_deg) {
    double e = RAD * elevation_deg, s = RAD * plane.tilt_deg, a = RAD * (azimuth_deg - plane.azimuth_deg);
    return sin(e) * cos(s) + cos(e) * sin(s) * cos(a);
}

struct pinery_sky_tilted pinery_sky_tilt(enum pinery_sky_tilt_model model, struct pinery_sky_plane plane,
                                         double elevation_deg, double azimuth_deg, double beam_normal, double diffuse,
                                         double albedo, double extraterrestrial_normal) {
    struct pinery_sky_tilted on = {0, 0, 0, 0};
    double sine = sin(RAD * elevation_deg), cos_tilt = cos(RAD * plane.tilt_deg);
    double sky_view = 0.5 * (1.0 + cos_tilt);
    if (sine > 0)
        on.incidence = fmax(0.0, pinery_sky_incidence(plane, elevation_deg, azimuth_deg));
    on.beam = beam_normal * on.incidence;
    double circumsolar = 0.0;
    if (model == PINERY_SKY_TILT_hay_davies && sine > 0)
        circumsolar = fmin(1.0, beam_normal / extraterrestrial_normal);
    double steepness = on.incidence / fmax(sine, sin(RAD));
    on.sky = diffuse * (circumsolar * steepness + (1.0 - circumsolar) * sky_view);
    on.ground = albedo * (beam_normal * fmax(sine, 0.0) + diffuse) * 0.5 * (1.0 - cos_tilt);
    return on;
}
