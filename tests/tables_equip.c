/* The plant as functions of table rows. */
#include <math.h>

#include "air/psychro.h"
#include "equip/boiler.h"
#include "equip/fans.h"
#include "equip/lamps.h"
#include "equip/pipes.h"
#include "tables.h"

static double pipe_convection(const double *in) {
    return pinery_equip_pipe_convect(PINERY_EQUIP_PIPE_NAWROCKI, in[0], in[1], in[2]).value;
}

static double pipe_radiation(const double *in) {
    return pinery_equip_pipe_radiate(in[0], in[1], in[2]).value;
}

static double pipe(const double *in) {
    return pipe_convection(in) + pipe_radiation(in);
}

/* By diameter, air temperature and two pipe temperatures. */
static double pipe_exponent(const double *in) {
    double low = pipe((const double[]){in[0], in[2], in[1]}), high = pipe((const double[]){in[0], in[3], in[1]});
    return log(high / low) / log((in[3] - in[1]) / (in[2] - in[1]));
}

/* What emissivity the convection leaves for a measured output [W/m] to black surroundings at air temperature. */
static double pipe_emissivity(const double *in) {
    double hot = in[1] + 273.15, cold = in[2] + 273.15;
    double black = 5.670374419e-8 * (pow(hot, 4) - pow(cold, 4)) * pinery_equip_pipe_area(in[0]);
    return (in[3] - pipe_convection(in)) / black;
}

static double pipe_dezwart(const double *in) {
    return pinery_equip_pipe_convect(PINERY_EQUIP_PIPE_DEZWART, in[0], in[1], in[2]).value /
           pinery_equip_pipe_area(in[0]);
}

/* Volumes of gas: the heat of `in` m3, burnt without loss by the net or the gross value, takes that volume again. */
static double heating_value_net(const double *in) {
    return in[0] * PINERY_EQUIP_GAS_NET;
}

static double heating_value_gross(const double *in) {
    return in[0] * PINERY_EQUIP_GAS_GROSS;
}

/* Heat in the gas for a heat, by efficiency. */
static double burnt(double efficiency, double heat) {
    const pinery_boiler boiler = {.efficiency = efficiency, .max_power = 1e9};
    return pinery_equip_boiler_burn(&boiler, heat, 60, 101325).value;
}

static double kWh_per_m3(const double *in) {
    return PINERY_EQUIP_GAS_NET / burnt(1, 3.6e6 * in[0]);
}

static double co2(const double *in) {
    return in[0] * pinery_equip_gas_co2();
}

/* By efficiency, heating value and heat. */
static double gas(const double *in) {
    return burnt(in[0], in[2]) / in[1];
}

/* On the net value: by efficiency without a condenser, share lost by the case, approach and temperature of the return.
 */
static double condensing(const double *in) {
    const pinery_boiler boiler = {.efficiency = in[0],
                                  .max_power = 1,
                                  .condenser = true,
                                  .excess_air = 0.15,
                                  .case_loss = in[1],
                                  .approach = in[2]};
    return 1 / pinery_equip_boiler_burn(&boiler, 1, in[3], 101325).value;
}

static double condensing_gross(const double *in) {
    return condensing(in) * PINERY_EQUIP_GAS_NET / PINERY_EQUIP_GAS_GROSS;
}

/* Excess of air by % of oxygen in the dry flue gas. */
static double excess(double oxygen) {
    double f = 0.01 * oxygen;
    return f * 8.524 / (2 - f * 9.524);
}

/* % of the net heat that flue gas carries off, by % of oxygen and K over the air. */
static double flue_loss(const double *in) {
    return 100 * in[1] * pinery_equip_flue_gas(excess(in[0])).heat;
}

static double flue_dew(const double *in) {
    struct pinery_equip_flue_gas flue = pinery_equip_flue_gas(in[0]);
    return pinery_air_dew_point(101325 * flue.water / (flue.water + flue.dry));
}

/* kg of water from a J of net heat, and what it gives when all of it condenses at 25 degC, J/J. */
static double flue_water(const double *in) {
    return 0.018015 * pinery_equip_flue_gas(in[0]).water * in[1];
}

static double flue_latent(const double *in) {
    return flue_water((const double[]){in[0], 2442.5e3});
}

static double light_share(const double *in) {
    return pinery_equip_lamp_light_share(in[0], in[1]);
}

static double leaf_speed(const double *in) {
    return pinery_equip_fan_leaf_speed(in[0] / 3600);
}

const struct table_function tables_equip[] = {
    {"pipe_convection", 3, pipe_convection},
    {"pipe_radiation", 3, pipe_radiation},
    {"pipe", 3, pipe},
    {"pipe_exponent", 4, pipe_exponent},
    {"pipe_emissivity", 4, pipe_emissivity},
    {"pipe_dezwart", 3, pipe_dezwart},
    {"heating_value_net", 1, heating_value_net},
    {"heating_value_gross", 1, heating_value_gross},
    {"kWh_per_m3", 1, kWh_per_m3},
    {"co2", 1, co2},
    {"gas", 3, gas},
    {"condensing", 4, condensing},
    {"condensing_gross", 4, condensing_gross},
    {"flue_loss", 2, flue_loss},
    {"flue_dew", 1, flue_dew},
    {"flue_water", 2, flue_water},
    {"flue_latent", 1, flue_latent},
    {"light_share", 2, light_share},
    {"leaf_speed", 1, leaf_speed},
    {0, 0, 0},
};
