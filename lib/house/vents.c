/* Ventilation by wind and stack, and leakage.
 *
 * Opening that breathes both ways:  G = (A/2) Cd [2 g (dT/T) (H/4) + Cw u^2]^(1/2)
 *   Boulard and Baille 1995, J. agric. Engng Res. 60: continuous roof vents, Cd 0.644, Cw 0.09; T outside [K],
 *   H height of the opening, u wind speed. Others found Cd 0.42 to 0.75 and Cw 0.07 to 0.14: Roy et al. 2002,
 *   Biosyst. Engng 83:1-20.
 *
 * Roof vents: each side by itself, with a wind coefficient of its own. Wind side 0.09 as above. Lee side 0.03: over
 *   the range of opening the lee side passes about half the air of the wind side, as in the opening functions of
 *   de Jong 1990, thesis Wageningen (from memory, unverified), and the flow goes with the root of Cw.
 *   A flap of length l at angle theta frees 2 l sin(theta/2) of chord; the opening is that high.
 *
 * Leakage: G = c (u^2 + k |dT| + u_0^2)^(1/2), the form of Sherman and Grimsrud as in ASHRAE Fundamentals, chapter on
 *   ventilation and infiltration: k = stack over wind coefficient, one storey without shielding, 0.000145/0.000319 =
 *   0.455 m2/(s2 K) (from memory, unverified); u_0 = 0.25 m/s, below which leakage was not seen to fall (usage after
 *   de Jong 1990). c = 1e-4 for a sound Venlo house; 3 to 10 times that for a lapped or an old one.
 *
 * |dT| is rounded over 0.02 K under the root. */
#include "house/vents.h"

#include "air/psychro.h"

static const double gravity = 9.81;
static const double round_K = 0.02;
static const double stack_over_wind = 0.000145 / 0.000319, least_wind = 0.25;

/* What the stack effect gives under the root, m2/s2 per m of height. */
static struct pinery_pair stack_effect(double T_in, double T_out) {
    double d_abs, difference = pinery_base_abs_power(T_in - T_out, 1.0, round_K, &d_abs);
    double per_T = 1.0 / (T_out + PINERY_AIR_ZERO_K), value = 0.5 * gravity * difference * per_T;
    double by_difference = 0.5 * gravity * per_T * d_abs;
    return (struct pinery_pair){value, by_difference, -by_difference - value * per_T};
}

/* [stack height dT/T + Cw u^2]^(1/2) and its slopes in T_in, T_out and height. */
struct speed {
    double value, d_in, d_out, d_height;
};

static struct speed opening_speed(double height, double wind_effect, const struct pinery_pair *stack, double wind) {
    double value = sqrt(height * stack->value + wind_effect * wind * wind + 1e-12), half = 0.5 / value;
    return (struct speed){value, half * height * stack->d_a, half * height * stack->d_b, half * stack->value};
}

struct pinery_house_draught pinery_house_opening_flow(double area, double height, double discharge, double wind_effect,
                                                      double T_in, double T_out, double wind) {
    struct pinery_pair stack = stack_effect(T_in, T_out);
    struct speed speed = opening_speed(height, wind_effect, &stack, wind);
    double factor = 0.5 * area * discharge;
    return (struct pinery_house_draught){
        .value = factor * speed.value, .d_in = factor * speed.d_in, .d_out = factor * speed.d_out};
}

double pinery_house_vent_share(double opening, double full_angle, double *slope) {
    double half = 0.5 * full_angle;
    double sine = pinery_base_sine(half * opening); /* of a flap no further than a right angle */
    *slope = 2.0 * half * sqrt((1.0 - sine) * (1.0 + sine));
    return 2.0 * sine;
}

/* One side: flow, and its slope by opening left in d_lee. */
static struct pinery_house_draught side(const struct pinery_house_vents *vents, double wind_effect, double opening,
                                        const struct pinery_pair *stack, double wind) {
    /* a solver may look a hair's breadth under 0: the flow goes on through 0 without a kink */
    double d_share, share = pinery_house_vent_share(opening, vents->full_angle, &d_share);
    struct speed speed = opening_speed(vents->flap_length * (share > 0.0 ? share : 0.0), wind_effect, stack, wind);
    double factor = 0.5 * vents->flap_area * vents->discharge;
    return (struct pinery_house_draught){
        .value = factor * share * speed.value,
        .d_in = factor * share * speed.d_in,
        .d_out = factor * share * speed.d_out,
        .d_lee = factor * d_share * (speed.value + (share > 0.0 ? share : 0.0) * vents->flap_length * speed.d_height)};
}

struct pinery_house_draught pinery_house_vent_flow(const struct pinery_house_vents *vents, double lee, double windward,
                                                   double T_in, double T_out, double wind) {
    struct pinery_pair stack = stack_effect(T_in, T_out);
    struct pinery_house_draught a = side(vents, vents->wind_effect_lee, lee, &stack, wind);
    struct pinery_house_draught b = side(vents, vents->wind_effect_wind, windward, &stack, wind);
    return (struct pinery_house_draught){.value = a.value + b.value,
                                         .d_in = a.d_in + b.d_in,
                                         .d_out = a.d_out + b.d_out,
                                         .d_lee = a.d_lee,
                                         .d_wind = b.d_lee};
}

struct pinery_pair pinery_house_leakage(double leakage, double T_in, double T_out, double wind) {
    double dT = T_in - T_out, difference = sqrt(dT * dT + round_K * round_K);
    double speed = sqrt(wind * wind + stack_over_wind * difference + least_wind * least_wind);
    double slope = leakage * 0.5 * stack_over_wind * dT / (difference * speed);
    return (struct pinery_pair){leakage * speed, slope, -slope};
}
