/* The flows of the house, room by room. Each writes its rates, and its slopes when the net wants them. */
#ifndef PINERY_YEAR_FLOWS_H
#define PINERY_YEAR_FLOWS_H

#include "year/model.h"

/* Coefficients that one flow finds and another needs, W/(m2 K) and s/m. */
struct pinery_year_films {
    /* a: air, b: face */
    struct pinery_pair cloth_below[PINERY_DRIVES], cloth_above[PINERY_DRIVES]; /* its lower face, its upper face */
    struct pinery_pair cover, wall[2], leaf[2];                                /* by lower and upper air */
    struct pinery_pair leaf_resistance[2];                                     /* a: leaf, b: air */
    double floor, pipes;  /* W/(m2 K) per floor, from what is even along the house to the lower air */
    double leaf_light[2]; /* W absorbed per m2 of leaf */
};

/* Area of either face by which a cloth meets its airs, per m2 of floor: what is drawn, and of a parked package its
 * round, about a tenth of the floor (0.03 of it wide, rolled; no source, without effect on a drawn cloth). */
static inline double pinery_year_cloth_touch(const struct pinery_year_state *s, int drive) {
    return 0.1 + 0.9 * s->drawn[drive];
}

/* Stands at 0 and is told to stay there: what it does, and what would follow from its position, is nothing. */
static inline bool pinery_year_rests(const struct pinery_year_state *s, int act, const pinery_law *law) {
    return s->act[act] == 0.0 && law->low == 0.0 &&
           (law->high == 0.0 || (law->by_temperature == 0.0 && law->by_humidity == 0.0));
}

void pinery_year_flow_surfaces(struct pinery_year_work *work, const struct pinery_year_net *net,
                               struct pinery_year_films *films); /* convection, conduction */
void pinery_year_flow_radiation(struct pinery_year_work *work, const struct pinery_year_net *net,
                                struct pinery_year_films *films); /* sun, lamps' light, long wave */
void pinery_year_flow_water(struct pinery_year_work *work, const struct pinery_year_net *net,
                            const struct pinery_year_films *films); /* transpiration, films */
void pinery_year_flow_air(struct pinery_year_work *work,
                          const struct pinery_year_net *net); /* between airs and outside */
void pinery_year_along(struct pinery_year_work *work, const struct pinery_year_films *films); /* wind along the house */
void pinery_year_along_differences(struct pinery_year_work *work); /* of temperature, from that flow as it is */
void pinery_year_flow_equipment(struct pinery_year_work *work, const struct pinery_year_net *net); /* lamps, fans */
/* Heat taken from the sources: from the boiler alone, and then it is gas at once, or from all of them (flow_sources.c).
 * Its water comes back at T_back. */
static inline void pinery_year_take_heat(struct pinery_year_work *work, const struct pinery_year_net *net, double heat,
                                         double T_back) {
    if (!work->model->sources) {
        net_meter(net, PINERY_METER_gas, heat / work->model->house.boiler.efficiency);
        return;
    }
    work->demand.value += heat;
    work->demand.back += heat * T_back;
}

/* Slopes by the variable in `column` of heat, and of heat times T_back. */
static inline void pinery_year_take_heat_slope(struct pinery_year_work *work, const struct pinery_year_net *net,
                                               int column, double slope, double back_slope) {
    struct pinery_year_demand *demand = &work->demand;
    if (!work->model->sources) {
        net_meter_slope(net, PINERY_METER_gas, column, slope / work->model->house.boiler.efficiency);
    } else if ((slope != 0.0 || back_slope != 0.0) && demand->n < PINERY_YEAR_DEMANDS) {
        demand->column[demand->n] = column;
        demand->slope[demand->n] = slope;
        demand->back_slope[demand->n++] = back_slope;
    }
}

void pinery_year_flow_carbon(struct pinery_year_work *work, const struct pinery_year_net *net); /* carbon dioxide */
void pinery_year_flow_sources(struct pinery_year_work *work,
                              const struct pinery_year_net *net); /* boiler, tank and the rest */
void pinery_year_flow_drying(struct pinery_year_work *work,
                             const struct pinery_year_net *net); /* what takes moisture out */
void pinery_year_flow_heating(struct pinery_year_work *work,
                              const struct pinery_year_net *net); /* pipes, after what takes heat besides them */
/* What the tank can give now, W/m2; a: by its temperature, b: by that of the lower pipes. */
struct pinery_pair pinery_year_tank_ready(const struct pinery_year_work *work);
void pinery_year_flow_acts(struct pinery_year_work *work, const struct pinery_year_net *net); /* positions */

#endif
