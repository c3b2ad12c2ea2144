/* Condensing dehumidifier: bypass and coil temperature on the air's side, a compressor's line on the other.
 *
 * A share `bypass` of the air is not touched, the rest leaves the cold coil saturated at its temperature T_s (the
 * bypass-factor or apparatus-dew-point method of the air-conditioning handbooks; ASHRAE Handbook, Systems and
 * Equipment, cooling coils). With G the dry air that is touched,
 *
 *   water    w = G max(0, x - x_sat(T_s))
 *   cooling  Q = G (c_p + x c_v)(T - T_s) + w (L + (c_v - c_w) T_s)
 *   compressor  Q = Q_10 (1 + coil_slope (T_s - 10))
 *
 * T_s is where both lines of Q meet, found by Newton's method on a function that falls and bends one way. Colder than
 * coil_least the coil is held there by its regulator, and cools less. A compressor gains 3 to 4 % of cooling per kelvin
 * of boiling temperature (compressor tables, from memory, unverified).
 *
 * Power P = Q (T_c - T_e)/(carnot T_e), absolute temperatures; T_e = T_s - coil_approach, T_c = sink + warm_approach; a
 * lift under 10 K is taken as 10 K. Shares of Carnot of 0.4 to 0.6 are what compressor tables give (from memory,
 * unverified). Everything that leaves the cold coil and the power come out of the warm coil, so that the air that keeps
 * both gains exactly the latent heat of the water and the power, less what the water carries to the drain. */
#include "equip/dehumidifier.h"

#include <string.h>

#include "air/psychro.h"
#include "base/smooth.h"

static const double heat_water = 4186.0, rated_degC = 10.0, least_lift = 10.0;
static const double corner_x = 1e-4; /* kg/kg over which a coil begins to be wet */

/* Saturated humidity ratio and its slope. */
static double saturated(double T, double pressure, double *slope) {
    double d_e, e = pinery_air_saturation(T, &d_e), dry = pressure - e;
    *slope = PINERY_AIR_RATIO * pressure * d_e / (dry * dry);
    return PINERY_AIR_RATIO * e / dry;
}

/* What a coil at T_s does to a kg/s of dry air, with slopes by T_s, T and x. */
struct coil {
    double water, w_s, w_x;
    double heat, q_s, q_T, q_x;
};

static struct coil coil_at(double T_s, double T, double x, double pressure) {
    double d_sat, d_wet, sat = saturated(T_s, pressure, &d_sat);
    double w = pinery_base_hinge(x - sat, corner_x, &d_wet);
    double moist = PINERY_AIR_HEAT_DRY + x * PINERY_AIR_HEAT_VAPOUR;
    double latent = PINERY_AIR_LATENT + (PINERY_AIR_HEAT_VAPOUR - heat_water) * T_s;
    double w_s = -d_wet * d_sat;
    return (struct coil){.water = w,
                         .w_s = w_s,
                         .w_x = d_wet,
                         .heat = moist * (T - T_s) + w * latent,
                         .q_s = -moist + w_s * latent + w * (PINERY_AIR_HEAT_VAPOUR - heat_water),
                         .q_T = moist,
                         .q_x = PINERY_AIR_HEAT_VAPOUR * (T - T_s) + d_wet * latent};
}

/* Where the coil's line and the compressor's meet. */
static struct pinery_equip_quantity surface(const pinery_dehumidifier *unit, double touched, double pressure, double T,
                                            double x) {
    double T_s = T, by = 1.0;
    struct coil coil = {0};
    for (int i = 0; i < 30; i++) {
        coil = coil_at(T_s, T, x, pressure);
        double off = touched * coil.heat - unit->cooling * (1.0 + unit->coil_slope * (T_s - rated_degC));
        by = touched * coil.q_s - unit->cooling * unit->coil_slope;
        double step = off / by;
        T_s -= step > 20.0 ? 20.0 : step < -20.0 ? -20.0 : step;
        if (fabs(step) < 1e-11)
            break;
    }
    return (struct pinery_equip_quantity){T_s, -touched * coil.q_T / by, -touched * coil.q_x / by, 0.0};
}

struct pinery_equip_condensing pinery_equip_condense(const pinery_dehumidifier *unit, double dry_air, double pressure,
                                                     double T, double x, double sink, bool to_air) {
    struct pinery_equip_condensing run;
    memset(&run, 0, sizeof run);
    double touched = (1.0 - unit->bypass) * dry_air;
    if (!(unit->cooling > 0.0) || !(touched > 0.0))
        return run;
    struct pinery_equip_quantity meet = surface(unit, touched, pressure, T, x);
    double d_held, T_s = unit->coil_least + pinery_base_hinge(meet.value - unit->coil_least, 1.0, &d_held);
    double s_T = d_held * meet.d_T, s_x = d_held * meet.d_x;
    run.surface = (struct pinery_equip_quantity){T_s, s_T, s_x, 0.0};
    struct coil coil = coil_at(T_s, T, x, pressure);
    run.water = (struct pinery_equip_quantity){touched * coil.water, touched * coil.w_s * s_T,
                                               touched * (coil.w_x + coil.w_s * s_x), 0.0};
    double cold, Q = touched * coil.heat; /* air colder than the regulator's limit is not cooled */
    double most = unit->cooling * 0.02;
    run.cooling.value = pinery_base_hinge(Q, most, &cold);
    run.cooling.d_T = cold * touched * (coil.q_T + coil.q_s * s_T);
    run.cooling.d_x = cold * touched * (coil.q_x + coil.q_s * s_x);
    double T_e = T_s - unit->coil_approach + PINERY_AIR_ZERO_K, d_lift;
    double lift = sink + unit->warm_approach + PINERY_AIR_ZERO_K - T_e;
    lift = least_lift + pinery_base_hinge(lift - least_lift, 1.0, &d_lift);
    double ratio = lift / (unit->carnot * T_e), by_sink = d_lift / (unit->carnot * T_e);
    double by_s = -by_sink - ratio / T_e;
    run.power.value = run.cooling.value * ratio;
    run.power.d_T = run.cooling.d_T * ratio + run.cooling.value * (by_s * s_T + (to_air ? by_sink : 0.0));
    run.power.d_x = run.cooling.d_x * ratio + run.cooling.value * by_s * s_x;
    run.power.d_sink = to_air ? 0.0 : run.cooling.value * by_sink;
    return run;
}
