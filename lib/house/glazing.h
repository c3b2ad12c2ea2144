/* Heat through a gap between two panes, and the U-value of a glazing by the standard for it. */
#ifndef PINERY_HOUSE_GLAZING_H
#define PINERY_HOUSE_GLAZING_H

/* A gas of the gap at 10 degC and its change per K (density follows the absolute temperature). */
struct pinery_house_gas {
    double density, viscosity, conductivity; /* kg/m3, Pa s, W/(m K) */
    double viscosity_slope, conductivity_slope;
    double heat_capacity; /* J/(kg K) */
};

extern const struct pinery_house_gas pinery_house_gas_air, pinery_house_gas_argon;

/* Convection through the gas and radiation, W/(m2 K), between panes of emissivities (corrected) emissivity1 and
 * emissivity2. mean_T degC; dT: lower or inner pane less upper or outer pane, K; slope_deg: 0 horizontal ... 90
 * upright. */
double pinery_house_gap_conductance(double gap_m, double emissivity1, double emissivity2, double mean_T, double dT,
                                    double slope_deg);

/* The part of the gas alone, any gas. */
double pinery_house_gas_conductance(const struct pinery_house_gas *gas, double gap_m, double mean_T, double dT,
                                    double slope_deg);

/* Nusselt number of a gas gap. */
double pinery_house_gap_nusselt(const struct pinery_house_gas *gas, double gap_m, double mean_T, double dT,
                                double slope_deg);

/* Heat from the lower (inner) pane to the upper (outer) one, W/m2, at their temperatures in degC, with slopes W/(m2 K).
 */
struct pinery_house_gap_flow {
    double flow, d_lower, d_upper;
};

struct pinery_house_gap_flow pinery_house_gap_flow(const struct pinery_house_gas *gas, double gap_m, double emissivity1,
                                                   double emissivity2, double lower_T, double upper_T,
                                                   double slope_deg);

/* U of one pane (gap_m 0) or two, W/(m2 K), as EN 673 fixes it: gap at 283 K and 15 K difference, panes of 1.0 W/(m K);
 * inside_resistance m2 K/W, outside coefficient W/(m2 K). */
double pinery_house_glazing_u(const struct pinery_house_gas *gas, double pane_m, double gap_m, double emissivity1,
                              double emissivity2, double slope_deg, double inside_resistance,
                              double outside_coefficient);

#endif
