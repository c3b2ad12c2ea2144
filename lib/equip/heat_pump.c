/* Heat pump by its share of Carnot's performance, as in any textbook on refrigeration:
 *
 *   COP = carnot T_c/(T_c - T_e),   T_c = T_sink + sink_approach,   T_e = T_source - source_approach   [K]
 *
 * A lift under 10 K is taken as 10 K. Machines reach 0.4 to 0.6 of Carnot between the refrigerant's temperatures (data
 * sheets by EN 14511, from memory, unverified). Defrosting of a coil in outside air is left out: 5 to 10 % between -5
 * and 5 degC (from memory, unverified). */
#include "equip/sources.h"

#include "air/psychro.h"

static const double least_lift = 10.0;

struct pinery_pair pinery_equip_heat_pump(const pinery_heat_pump *pump, double T_sink, double T_source) {
    double warm = T_sink + pump->sink_approach + PINERY_AIR_ZERO_K, d_lift;
    double lift = warm - (T_source - pump->source_approach + PINERY_AIR_ZERO_K);
    lift = least_lift + pinery_base_hinge(lift - least_lift, 1.0, &d_lift);
    double value = pump->carnot * warm / lift;
    return (struct pinery_pair){value, pump->carnot / lift - value / lift * d_lift, value / lift * d_lift};
}
