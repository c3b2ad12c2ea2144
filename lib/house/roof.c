/* Sun through a saw-tooth roof and walls.
 *
 * The roof is an endless row of equal ridges with slopes b both ways. In the plane across the ridges the sun stands at
 * (x, z), x = |cos(el) sin(az - ridge)| towards the sunny slope, z = sin(el). The cosines of incidence are
 *     sunny slope c1 = z cos b + x sin b          far slope c2 = z cos b - x sin b
 * and a slope measures 1/(2 cos b) per floor area. While c2 > 0 both are lit, c1/(2 cos b) + c2/(2 cos b) = z: what
 * falls on the slopes is what falls on the horizontal, no more.
 *
 * When c2 <= 0 every ray meets a sunny slope first, again carrying z in all. A ray that comes lower than the ridges
 * passes through m whole ridges (sunny slope in, far slope out) before the slope it enters by for good. Followed back
 * from the gutters' height at u in 0 ... 1 across a span, m is the number of ridges, tan(b)/2 high, that stand above
 * the ray k + 1/2 - u spans away, k = 1, 2, ...: with y = tan(b)/2 x/z - 1/2 = N + f, N whole, the part f of the rays
 * has m = N + 1 and the rest m = N, so that
 *     z t1 (t1 t2)^N (1 - f + f t1 t2)
 * enters, which joins the case above at c2 = 0, where y = 0.
 *
 * Light reflected by one slope may meet the slope across the gutter. From a slope with normal n the ray runs on as
 * r = -s + 2 c n; rising by q = r_z/|r_x| it meets the other slope from the part (tan b - q)/(tan b + q) of the first
 * (0 to 1). What that slope passes is counted as diffuse. It may run on to the other slope of its ridge, from inside:
 * all of it when q >= 0, the part 1 + 2 q/(tan b + q) (0 or more) when it falls; of this only what is mirrored down
 * counts. It matters most with the sun just above the far slope. With the sun below the far slope, that slope is met
 * from inside and mirrors what it does not pass down into the house, diffuse too. Later reflections are left out: a
 * little light is lost, none is made.
 *
 * Diffuse light is isotropic, and what becomes of it is the beam result summed over the sky, per light on the
 * horizontal: the integral of split sin(el) d(omega) over pi.
 *
 * Walls see beam, half of the sky and half of the ground: E = beam cos + diffuse/2 + albedo (beam sin(el) + diffuse)/2.
 * All that passes them counts as diffuse entering. Light leaving through the opposite wall is left to the stack. */
#include "house/roof.h"

#include <math.h>
#include <stddef.h>

#define PI 3.14159265358979323846

/* First reflection between the slopes: light `on` a slope with cosine c and normal (nx, nz), met by its neighbour
 * across the gutter with normal (-nx, nz). sx, sz point to the sun. */
static void between_slopes(const struct pinery_house_roof *roof, double on, double c, double nx, double nz, double sx,
                           double sz, const struct pinery_house_split *split, struct pinery_house_roof_beam *out) {
    double rx = 2 * c * nx - sx, rz = 2 * c * nz - sz;
    if (rx * nx <= 0 || nz <= 0) /* runs back over its own ridge, or along it */
        return;
    double tan_slope = fabs(nx) / nz, q = rz / fabs(rx);
    double part = fmin(1, (tan_slope - q) / (tan_slope + q));
    if (part <= 0)
        return;
    struct pinery_house_split at = pinery_house_optics_at(&roof->cover, fabs(rx) * fabs(nx) - rz * nz);
    double meets = on * split->reflect * part;
    double enters = meets * at.transmit;
    out->absorb[0] += meets * at.absorb[0];
    out->absorb[1] += meets * at.absorb[1];
    /* The part that runs on under the ridge to the inside of its other slope: all of it when it rises. */
    double hits = q >= 0 ? 1 : fmax(0, 1 + 2 * q / (tan_slope + q));
    if (hits > 0) {
        struct pinery_house_split next = pinery_house_optics_at(&roof->cover, fabs(rx) * fabs(nx) + rz * nz);
        out->absorb[0] += enters * hits * next.absorb[roof->inner];
        out->absorb[1] += enters * hits * next.absorb[1 - roof->inner];
        enters *= 1 - hits + hits * next.reflect;
    }
    out->scattered += enters;
}

struct pinery_house_roof_beam pinery_house_roof_beam(const struct pinery_house_roof *roof, double elevation,
                                                     double azimuth) {
    double z = sin(elevation);
    double across = sin(azimuth) * roof->cos_ridge - cos(azimuth) * roof->sin_ridge; /* sin(azimuth - ridge) */
    double x = fabs(cos(elevation) * across);
    double sb = roof->sin_slope, cb = roof->cos_slope;
    double c1 = z * cb + x * sb, c2 = z * cb - x * sb;
    struct pinery_house_split sunny = pinery_house_optics_at(&roof->cover, c1);
    struct pinery_house_split far = pinery_house_optics_at(&roof->cover, fabs(c2));
    struct pinery_house_roof_beam out = {0, 0, {0, 0}};
    if (c2 > 0) {
        double on2 = c2 / (2 * cb * z), on1 = 1 - on2;
        out.transmit = on1 * sunny.transmit + on2 * far.transmit;
        for (int p = 0; p < 2; p++)
            out.absorb[p] = on1 * sunny.absorb[p] + on2 * far.absorb[p];
        between_slopes(roof, on2, c2, -sb, cb, x, z, &far, &out);
        between_slopes(roof, on1, c1, sb, cb, x, z, &sunny, &out);
        return out;
    }
    double y = fmin(sb * x / (2 * cb * z) - 0.5, 1e6); /* ridges passed on the way, mean; finite on the horizon */
    double whole = floor(y), f = y - whole;
    double ridge = sunny.transmit * far.transmit; /* passed by one ridge */
    double kept = pow(ridge, whole);
    /* Light reaching the ridges on the way: the sum of ridge^j over those met, the last in part f. */
    double met = (ridge < 1 ? (1 - kept) / (1 - ridge) : whole) + f * kept;
    double reach = kept * (1 - f + f * ridge);
    out.transmit = sunny.transmit * reach;
    out.scattered = met * sunny.transmit * far.reflect; /* mirrored down; inside, the inner pane comes first */
    for (int p = 0; p < 2; p++)
        out.absorb[p] =
            met * (sunny.absorb[p] + sunny.transmit * far.absorb[p ^ roof->inner]) + reach * sunny.absorb[p];
    return out;
}

/* Midpoint sums over the sky: fine enough for 1e-4 since the split is smooth but for creases at c2 = 0. */
static struct pinery_house_split roof_diffuse(const struct pinery_house_roof *roof) {
    enum { N_EL = 60, N_AZ = 48 };
    struct pinery_house_split sum = {0, 0, {0, 0}};
    double total = 0;
    for (int i = 0; i < N_EL; i++) {
        double el = (i + 0.5) * PI / 2 / (double)N_EL, w = sin(el) * cos(el);
        for (int j = 0; j < N_AZ; j++) {
            double az = (j + 0.5) * PI / 2 / (double)N_AZ; /* a quarter turn from the ridge stands for the rest */
            struct pinery_house_roof_beam b = pinery_house_roof_beam(roof, el, roof->shape.ridge_azimuth + az);
            total += w;
            sum.transmit += w * (b.transmit + b.scattered);
            sum.absorb[0] += w * b.absorb[0];
            sum.absorb[1] += w * b.absorb[1];
        }
    }
    sum.transmit /= total;
    sum.absorb[0] /= total;
    sum.absorb[1] /= total;
    sum.reflect = 1 - sum.transmit - sum.absorb[0] - sum.absorb[1];
    return sum;
}

void pinery_house_roof_prepare(const struct pinery_house_shape *shape, const struct pinery_house_optics *cover,
                               const struct pinery_house_optics *wall_cover, struct pinery_house_roof *roof) {
    roof->shape = *shape;
    roof->cover = *cover;
    roof->wall_cover = *wall_cover;
    roof->sin_slope = sin(shape->slope);
    roof->cos_slope = cos(shape->slope);
    roof->sin_ridge = sin(shape->ridge_azimuth);
    roof->cos_ridge = cos(shape->ridge_azimuth);
    roof->inner = cover->diffuse.absorb[1] > 0;
    roof->wall_area = 0;
    for (int i = 0; i < shape->n_walls; i++) {
        roof->wall_area += shape->wall[i].area;
        roof->wall_sin[i] = sin(shape->wall[i].azimuth);
        roof->wall_cos[i] = cos(shape->wall[i].azimuth);
    }
    roof->diffuse = roof_diffuse(roof);
}

struct pinery_house_sunlight pinery_house_sunlight(const struct pinery_house_roof *roof,
                                                   const struct pinery_house_sun *sun) {
    const struct pinery_house_shape *shape = &roof->shape;
    double open = 1 - shape->structure;
    double sky = fmax(sun->diffuse, 0), z = sin(sun->elevation);
    double beam = z > 0 ? fmax(sun->beam_normal, 0) : 0; /* normal to the sun */
    double on_ground = beam * fmax(z, 0) + sky;

    /* Walls first: sky, ground and beam on each. */
    double through = 0, absorbed = 0;
    double scattered = roof->wall_area * 0.5 * (sky + shape->ground_albedo * on_ground);
    double met = scattered;
    const struct pinery_house_split *d = &roof->wall_cover.diffuse;
    through = scattered * d->transmit;
    absorbed = scattered * (d->absorb[0] + d->absorb[1]);

    struct pinery_house_sunlight out = {0, 0, 0, 0, 0, 0, 0};
    if (beam > 0) {
        double ca = cos(sun->azimuth), sa = sin(sun->azimuth), flat = cos(sun->elevation);
        for (int i = 0; i < shape->n_walls; i++) {
            double cosine = flat * (ca * roof->wall_cos[i] + sa * roof->wall_sin[i]);
            if (cosine <= 0)
                continue;
            struct pinery_house_split s = pinery_house_optics_at(&roof->wall_cover, cosine);
            double on = beam * cosine * shape->wall[i].area;
            met += on;
            through += on * s.transmit;
            absorbed += on * (s.absorb[0] + s.absorb[1]);
        }
        struct pinery_house_roof_beam r = pinery_house_roof_beam(roof, sun->elevation, sun->azimuth);
        double on = beam * z * open;
        out.beam = on * r.transmit * (1 - shape->haze);
        out.diffuse = on * (r.transmit * shape->haze + r.scattered);
        out.cover_absorbed = on * (r.absorb[0] + r.absorb[1]);
        out.inner_absorbed = on * r.absorb[1];
    }
    out.wall_diffuse = open * through;
    out.wall_absorbed = open * absorbed;
    out.diffuse += sky * open * roof->diffuse.transmit + out.wall_diffuse;
    out.cover_absorbed += sky * open * (roof->diffuse.absorb[0] + roof->diffuse.absorb[1]);
    out.inner_absorbed += sky * open * roof->diffuse.absorb[1];
    out.structure = shape->structure * (on_ground + met);
    return out;
}
