/* Sun through roof and walls: against rays followed one by one through the saw-tooth, and against what must not be
 * lost. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>

#include "check.h"
#include "house/roof.h"

#define PI 3.14159265358979323846
#define DEG (PI / 180)

static unsigned long long seed = 4;

static double uniform(double low, double high) {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

static const struct pinery_house_glass single = {1.526, 4, 0.004, 1}, twin = {1.526, 16, 0.004, 2};

static void make_roof(const struct pinery_house_glass *glass, double slope, double ridge,
                      struct pinery_house_roof *roof) {
    struct pinery_house_optics optics;
    struct pinery_house_shape shape = {.slope = slope, .ridge_azimuth = ridge};
    pinery_house_optics_glass(glass, &optics);
    pinery_house_roof_prepare(&shape, &optics, &optics, roof);
}

/* One ray down through endless ridges of span 1, gutters at whole numbers, its fate at each slope drawn by chance; x, z
 * point to the sun across the ridges. Returns 0: in the house unreflected, 1: in the house after any reflections,
 * 2: absorbed, 3: away. */
static int follow(const struct pinery_house_roof *roof, double x, double z) {
    double tan_slope = roof->sin_slope / roof->cos_slope, top = 0.5 * tan_slope;
    double px = uniform(0, 1), pz = top * 1.0000001, vx = -x, vz = -z;
    int bounced = 0;
    for (int step = 0; step < 100000; step++) {
        /* The half span the ray is in: odd ones fall towards +x, even ones towards -x. */
        double half = floor(2 * px + (vx > 0 ? 1e-12 : -1e-12));
        int falling = (int)(half - 2 * floor(half / 2)) == 1;
        double left = 0.5 * half, right = left + 0.5;
        double base = falling ? tan_slope * right : -tan_slope * left, s = falling ? -tan_slope : tan_slope;
        /* How far to the slope z = base + s x, to the edge of the half span, to the gutters' or the ridges' height. */
        double meet = (base + s * px - pz) / (vz - s * vx);
        double side = vx > 0 ? (right - px) / vx : vx < 0 ? (left - px) / vx : 1e30;
        double end = vz < 0 ? -pz / vz : vz > 0 ? (top * 1.000001 - pz) / vz : 1e30;
        if (meet > 1e-10 && meet < side && meet < end) {
            px += meet * vx;
            pz += meet * vz;
            double nx = falling ? roof->sin_slope : -roof->sin_slope, nz = roof->cos_slope, c = vx * nx + vz * nz;
            struct pinery_house_split at = pinery_house_optics_at(&roof->cover, fabs(c));
            double chance = uniform(0, 1);
            if (chance < at.transmit)
                continue;
            if (chance > at.transmit + at.reflect)
                return 2;
            vx -= 2 * c * nx;
            vz -= 2 * c * nz;
            bounced = 1;
        } else if (side < end) {
            px += side * vx;
            pz += side * vz;
        } else
            return vz < 0 ? bounced : 3;
    }
    return 3;
}

static void rays_followed_one_by_one(void **state) {
    (void)state;
    /* The part never reflected must agree to the noise of counting. The rest includes third reflections and on, which
     * the formula leaves out: it may only be low, by 3 % at most. */
    double slopes[] = {15, 22, 26, 35}, els[] = {4, 10, 18, 23, 30, 45, 70}, azs[] = {0, 30, 60, 90};
    const int n = 20000;
    const double noise = 4.5 * 0.5 / sqrt(n); /* 4.5 deviations of a count of n, at most */
    for (int i = 0; i < 4; i++)
        for (int p = 0; p < 2; p++) {
            struct pinery_house_roof roof;
            make_roof(p ? &twin : &single, slopes[i] * DEG, 0.3, &roof);
            for (int j = 0; j < 7; j++)
                for (int k = 0; k < 4; k++) {
                    double el = els[j] * DEG, az = azs[k] * DEG;
                    struct pinery_house_roof_beam b = pinery_house_roof_beam(&roof, el, 0.3 + az);
                    int count[4] = {0};
                    for (int r = 0; r < n; r++)
                        count[follow(&roof, cos(el) * sin(az), sin(el))]++;
                    double direct = (double)count[0] / n, all = direct + (double)count[1] / n;
                    assert_close(b.transmit, direct, 0, noise);
                    assert_between(b.transmit + b.scattered, all - 0.03, all + noise);
                    assert_close(b.absorb[0] + b.absorb[1], (double)count[2] / n, 0, noise);
                }
        }
}

static void no_light_is_made(void **state) {
    (void)state;
    for (int i = 0; i < 200; i++) {
        struct pinery_house_glass glass = {uniform(1.3, 1.7), uniform(0, 40), uniform(0.001, 0.01), 1 + i % 2};
        struct pinery_house_roof roof;
        make_roof(&glass, uniform(0, 44) * DEG, uniform(-4, 4), &roof);
        for (int k = 0; k < 300; k++) {
            double el = k % 10 == 0 ? pow(10, uniform(-12, -1)) : uniform(0, PI / 2);
            struct pinery_house_roof_beam b = pinery_house_roof_beam(&roof, el, uniform(-7, 7));
            assert_true(b.transmit >= 0 && b.scattered >= 0 && b.absorb[0] >= 0 && b.absorb[1] >= 0);
            assert_true(b.transmit + b.scattered + b.absorb[0] + b.absorb[1] <= 1 + 1e-12);
        }
        assert_between(roof.diffuse.reflect, 0, 1);
        assert_close(roof.diffuse.transmit + roof.diffuse.reflect + roof.diffuse.absorb[0] + roof.diffuse.absorb[1], 1,
                     0, 1e-12);
    }
}

static void a_cover_of_nothing_passes_what_falls_on_the_horizontal(void **state) {
    (void)state;
    struct pinery_house_optics nothing;
    for (int i = 0; i <= PINERY_HOUSE_OPTICS_STEPS; i++)
        nothing.beam[i] = (struct pinery_house_split){1, 0, {0, 0}};
    nothing.diffuse = nothing.beam[0];
    struct pinery_house_roof roof;
    struct pinery_house_shape shape = {.slope = 26 * DEG};
    pinery_house_roof_prepare(&shape, &nothing, &nothing, &roof);
    for (int i = 0; i < 1000; i++) {
        struct pinery_house_sun sun = {uniform(1e-6, PI / 2), uniform(0, 2 * PI), uniform(0, 1000), uniform(0, 400)};
        struct pinery_house_sunlight l = pinery_house_sunlight(&roof, &sun);
        assert_close(l.beam, sun.beam_normal * sin(sun.elevation), 1e-12, 0);
        assert_close(l.diffuse, sun.diffuse, 1e-12, 0);
    }
}

static void a_flat_roof_is_its_cover(void **state) {
    (void)state;
    struct pinery_house_roof roof;
    make_roof(&twin, 0, 1, &roof);
    for (double el = 1; el <= 90; el += 1) {
        struct pinery_house_roof_beam b = pinery_house_roof_beam(&roof, el * DEG, 0.4);
        struct pinery_house_split s = pinery_house_optics_at(&roof.cover, sin(el * DEG));
        assert_close(b.transmit, s.transmit, 1e-12, 0);
        assert_close(b.absorb[1], s.absorb[1], 1e-12, 0);
        assert_close(b.scattered, 0, 0, 1e-15);
    }
    assert_close(roof.diffuse.transmit, roof.cover.diffuse.transmit, 0, 3e-4);
    assert_close(roof.diffuse.absorb[0], roof.cover.diffuse.absorb[0], 0, 3e-4);
}

static void nothing_jumps_as_the_sun_moves(void **state) {
    (void)state;
    struct pinery_house_roof roof;
    make_roof(&single, 22 * DEG, 0, &roof);
    for (double az = 5; az <= 90; az += 5) {
        struct pinery_house_roof_beam before = pinery_house_roof_beam(&roof, 2 * DEG, az * DEG);
        for (double el = 2.002; el < 90; el += 0.002) {
            struct pinery_house_roof_beam b = pinery_house_roof_beam(&roof, el * DEG, az * DEG);
            assert_close(b.transmit, before.transmit, 0, 6e-4);
            assert_close(b.scattered, before.scattered, 0, 6e-4);
            before = b;
        }
    }
}

static void either_side_of_the_ridge_is_alike(void **state) {
    (void)state;
    struct pinery_house_roof roof;
    make_roof(&single, 22 * DEG, 0.7, &roof);
    for (int i = 0; i < 500; i++) {
        double el = uniform(0.01, 1.57), az = uniform(0, PI);
        double t = pinery_house_roof_beam(&roof, el, 0.7 + az).transmit;
        assert_close(pinery_house_roof_beam(&roof, el, 0.7 - az).transmit, t, 1e-9, 0);
        assert_close(pinery_house_roof_beam(&roof, el, 0.7 + PI - az).transmit, t, 1e-9, 0);
    }
}

static void ridges_east_west_catch_the_winter_sun(void **state) {
    (void)state;
    /* Winter noon at 52 degrees north: a house with ridges east-west passes more than one with ridges north-south, in
     * summer there is little between them (von Zabeltitz 2011, Integrated Greenhouse Systems, light chapter; from
     * memory). */
    struct pinery_house_roof across, along;
    make_roof(&single, 22 * DEG, 90 * DEG, &across);
    make_roof(&single, 22 * DEG, 0, &along);
    struct pinery_house_roof_beam a = pinery_house_roof_beam(&across, 14.5 * DEG, PI);
    struct pinery_house_roof_beam b = pinery_house_roof_beam(&along, 14.5 * DEG, PI);
    assert_true(a.transmit + a.scattered > 1.2 * (b.transmit + b.scattered));
    a = pinery_house_roof_beam(&across, 61.5 * DEG, PI);
    b = pinery_house_roof_beam(&along, 61.5 * DEG, PI);
    assert_close(a.transmit + a.scattered, b.transmit + b.scattered, 0.03, 0);
}

static void walls_by_hand(void **state) {
    (void)state;
    struct pinery_house_optics optics;
    struct pinery_house_roof roof;
    struct pinery_house_shape shape = {
        .slope = 22 * DEG, .ground_albedo = 0.2, .n_walls = 2, .wall = {{0.3, 0}, {0.3, PI}}};
    pinery_house_optics_glass(&single, &optics);
    pinery_house_roof_prepare(&shape, &optics, &optics, &roof);
    double d = optics.diffuse.transmit;

    /* Overcast: each wall sees half the sky and half the ground, 0.6 m2 of wall. */
    struct pinery_house_sun sun = {0.3, PI, 0, 100};
    struct pinery_house_sunlight l = pinery_house_sunlight(&roof, &sun);
    assert_close(l.wall_diffuse, 0.6 * 0.5 * (100 + 0.2 * 100) * d, 1e-12, 0);
    assert_close(l.beam, 0, 0, 0);
    assert_close(l.diffuse, l.wall_diffuse + 100 * roof.diffuse.transmit, 1e-12, 0);

    /* Sun in the south at 30 degrees: the south wall meets it at 30 degrees, the north wall only the ground's light. */
    sun = (struct pinery_house_sun){30 * DEG, PI, 500, 0};
    l = pinery_house_sunlight(&roof, &sun);
    double t = pinery_house_glass_split(&single, 30 * DEG).transmit;
    assert_close(l.wall_diffuse, 0.3 * 500 * cos(30 * DEG) * t + 0.6 * 0.5 * 0.2 * 500 * 0.5 * d, 1e-4, 0);

    /* On the horizon a wall facing the sun still takes all of it, and the roof nothing that could be counted. */
    sun = (struct pinery_house_sun){1e-9, PI, 500, 0};
    l = pinery_house_sunlight(&roof, &sun);
    assert_close(l.wall_diffuse, 0.3 * 500 * optics.beam[PINERY_HOUSE_OPTICS_STEPS].transmit, 1e-6, 0);
    assert_close(l.beam, 0, 0, 1e-5);

    /* Below it no beam is taken, whatever the record says; twilight stays. */
    sun = (struct pinery_house_sun){-0.01, PI, 500, 3};
    l = pinery_house_sunlight(&roof, &sun);
    assert_close(l.beam, 0, 0, 0);
    assert_close(l.diffuse, 3 * roof.diffuse.transmit + 0.6 * 0.5 * 3 * 1.2 * d, 1e-12, 0);
}

static double total(struct pinery_house_sunlight l) {
    return l.beam + l.diffuse + l.cover_absorbed + l.wall_absorbed + l.structure;
}

static void all_light_is_accounted_for(void **state) {
    (void)state;
    struct pinery_house_optics cover, wall_cover;
    pinery_house_optics_glass(&twin, &cover);
    pinery_house_optics_glass(&single, &wall_cover);
    for (int i = 0; i < 100; i++) {
        struct pinery_house_shape shape = {
            uniform(0, 40) * DEG,
            uniform(0, PI),
            uniform(0, 0.3),
            uniform(0, 1),
            uniform(0, 0.8),
            4,
            {{uniform(0, 1), 0}, {uniform(0, 1), PI / 2}, {uniform(0, 1), PI}, {uniform(0, 1), 1.5 * PI}}};
        struct pinery_house_shape clear = shape, bare = shape;
        struct pinery_house_roof roof, no_haze, no_structure;
        clear.haze = 0;
        bare.structure = 0;
        pinery_house_roof_prepare(&shape, &cover, &wall_cover, &roof);
        pinery_house_roof_prepare(&clear, &cover, &wall_cover, &no_haze);
        pinery_house_roof_prepare(&bare, &cover, &wall_cover, &no_structure);
        for (int k = 0; k < 100; k++) {
            struct pinery_house_sun sun = {uniform(0.001, PI / 2), uniform(0, 2 * PI), uniform(0, 1000),
                                           uniform(0, 500)};
            struct pinery_house_sunlight l = pinery_house_sunlight(&roof, &sun);
            struct pinery_house_sunlight c = pinery_house_sunlight(&no_haze, &sun);
            struct pinery_house_sunlight b = pinery_house_sunlight(&no_structure, &sun);
            double global = sun.beam_normal * sin(sun.elevation) + sun.diffuse, falls = global;
            for (int w = 0; w < 4; w++)
                falls += shape.wall[w].area *
                         (sun.beam_normal * cos(sun.elevation) * fmax(0, cos(sun.azimuth - shape.wall[w].azimuth)) +
                          0.5 * sun.diffuse + 0.5 * shape.ground_albedo * global);
            assert_true(total(l) <= falls * (1 + 1e-12));
            assert_close(l.structure, shape.structure * falls, 1e-9, 1e-9);
            assert_between(l.inner_absorbed, 0, l.cover_absorbed);
            /* Haze turns beam into diffuse and does nothing else; structure takes its part of everything. */
            assert_close(l.beam + l.diffuse, c.beam + c.diffuse, 1e-12, 0);
            assert_close(l.beam, c.beam * (1 - shape.haze), 1e-12, 1e-12);
            assert_close(l.beam, b.beam * (1 - shape.structure), 1e-12, 1e-12);
            assert_close(l.diffuse, b.diffuse * (1 - shape.structure), 1e-12, 1e-12);
            assert_close(l.cover_absorbed, b.cover_absorbed * (1 - shape.structure), 1e-12, 1e-12);
        }
    }
}

static void diffuse_light_of_the_roof_is_what_a_venlo_house_has(void **state) {
    (void)state;
    /* Float glass of 0.82 hemispherical (Kempkes, Janse, Hemming et al., about 2014) at 22 degrees: the slopes hand
     * some of their reflections to each other, so the roof passes a little more than the flat sheet. */
    struct pinery_house_roof roof;
    make_roof(&single, 22 * DEG, 0, &roof);
    assert_close(roof.cover.diffuse.transmit, 0.82, 0, 0.015);
    assert_between(roof.diffuse.transmit, roof.cover.diffuse.transmit, roof.cover.diffuse.transmit + 0.05);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rays_followed_one_by_one),
        cmocka_unit_test(no_light_is_made),
        cmocka_unit_test(a_cover_of_nothing_passes_what_falls_on_the_horizontal),
        cmocka_unit_test(a_flat_roof_is_its_cover),
        cmocka_unit_test(nothing_jumps_as_the_sun_moves),
        cmocka_unit_test(either_side_of_the_ridge_is_alike),
        cmocka_unit_test(ridges_east_west_catch_the_winter_sun),
        cmocka_unit_test(walls_by_hand),
        cmocka_unit_test(all_light_is_accounted_for),
        cmocka_unit_test(diffuse_light_of_the_roof_is_what_a_venlo_house_has),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
