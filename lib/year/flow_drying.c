/* What takes moisture out of the air besides vents and cloths: outside air by duct, ventilation with recovery of heat,
 * dehumidifiers, brine. Each works on the lower and the upper air in stated shares.
 *
 * Ways of the heat. Recovery exchanges air with the outside, g (h - h_supply). The duct pushes as much air up through
 * the cloths, and that as much out from under the cover: with equal dry masses all the way, crop air to roof air g
 * (h_crop - h_out), roof air to outside g (h_roof - h_out). The coil gives the air that comes what it lacks. Water that
 * condenses or is taken up leaves as liquid, with a liquid's heat, so its latent heat stays in the air, and the
 * machine's power comes to it. Fans blow into the house with all their power, but for recovery, of whose two fans one
 * blows outward. */
#include "air/psychro.h"
#include "equip/boiler.h"
#include "equip/dehumidifier.h"
#include "equip/outside_air.h"
#include "equip/tank.h"
#include "year/flows.h"

/* The part of a device that works on one air, at a position that stands for speed or duty. */
struct part {
    struct pinery_year_work *work;
    const struct pinery_year_net *net;
    int air, act;
    double n;     /* position */
    double share; /* units of it per m2 of floor */
};

/* A flow at full speed or duty, with slopes by temperature and humidity ratio of the air. */
struct flow {
    double value, d_T, d_x;
};

static bool present(const struct pinery_year_net *net, int dryer) {
    return net->at->act[ACT_DRYING + dryer] != net->at->sink;
}

static struct part part_of(struct pinery_year_work *work, const struct pinery_year_net *net, int dryer, int i,
                           double lower_share, double area) {
    return (struct part){.work = work,
                         .net = net,
                         .air = NODE_AIR_LOWER + i,
                         .act = ACT_DRYING + dryer,
                         .n = work->state.act[ACT_DRYING + dryer],
                         .share = (i ? 1.0 - lower_share : lower_share) / area};
}

/* Slopes by T and x as slopes by the columns of the air; speed: what the flow goes with, and its slope by the position.
 */
static void slopes(const struct part *p, struct flow flow, double speed, double d_speed, int row) {
    const struct pinery_year_layout *at = p->net->at;
    net_add(p->net, row, at->heat[p->air], speed * flow.d_T);
    net_add(p->net, row, at->water[p->air], speed * flow.d_x / p->work->model->store[p->air].air);
    net_add(p->net, row, at->act[p->act], d_speed * flow.value);
}

static struct flow negative(struct flow flow) {
    return (struct flow){-flow.value, -flow.d_T, -flow.d_x};
}

/* Heat of a heading between two ends, and water with heat, per unit and at full speed. */
static void heat(const struct part *p, int heading, int from, int to, struct flow flow, double speed, double d_speed) {
    net_heat(p->net, heading, from, to, speed * flow.value);
    if (!p->net->slope)
        return;
    slopes(p, negative(flow), speed, d_speed, p->net->at->heat[from]);
    slopes(p, flow, speed, d_speed, p->net->at->heat[to]);
    slopes(p, flow, speed, d_speed, p->net->at->heat_total[heading]);
}

static void water(const struct part *p, int heading, int from, int to, struct flow mass, struct flow with, double speed,
                  double d_speed) {
    net_water(p->net, heading, from, to, speed * mass.value, speed * with.value);
    if (!p->net->slope)
        return;
    slopes(p, negative(mass), speed, d_speed, p->net->at->water[from]);
    slopes(p, mass, speed, d_speed, p->net->at->water[to]);
    slopes(p, mass, speed, d_speed, p->net->at->water_total[heading]);
    slopes(p, negative(with), speed, d_speed, p->net->at->heat[from]);
    slopes(p, with, speed, d_speed, p->net->at->heat[to]);
    slopes(p, with, speed, d_speed, p->net->at->heat_total[heading]);
}

static void meter(const struct part *p, int which, struct flow flow, double speed, double d_speed) {
    net_meter(p->net, which, speed * flow.value);
    if (p->net->slope)
        slopes(p, flow, speed, d_speed, p->net->at->meter[which]);
}

/* Heat from the boiler, or other sources, that does not pass the pipes; its water goes back at T_back. */
static void burn(const struct part *p, struct flow flow, double speed, double d_speed, double T_back) {
    const struct pinery_year_layout *at = p->net->at;
    pinery_year_take_heat(p->work, p->net, speed * flow.value, T_back);
    if (!p->net->slope)
        return;
    const int column[] = {at->heat[p->air], at->water[p->air], at->act[p->act]};
    const double slope[] = {speed * flow.d_T, speed * flow.d_x / p->work->model->store[p->air].air,
                            d_speed * flow.value};
    for (int k = 0; k < 3; k++)
        pinery_year_take_heat_slope(p->work, p->net, column[k], slope[k], slope[k] * T_back);
}

/* Electricity by the affinity laws; `inside` of it warms the air. */
static void fan(const struct part *p, int which, double power, double inside) {
    double n = p->n > 0.0 ? p->n : 0.0;
    struct flow full = {.value = p->share * power}, warms = {.value = p->share * power * inside};
    meter(p, which, full, n * n * n, 3.0 * n * n);
    heat(p, PINERY_HEADING_fan_heat, NODE_ELSEWHERE, p->air, warms, n * n * n, 3.0 * n * n);
}

/* Air of the house for air of `supply`, g kg/(m2 s) of each; what one has more than the other goes to `to`. */
static void exchange(const struct part *p, int heading, int to, double g, struct pinery_equip_supply supply) {
    const struct pinery_year_state *s = &p->work->state;
    double T = s->T[p->air], x = s->x[p->air];
    struct flow mass = {g * (x - supply.x), 0.0, g * (1.0 - supply.x_by_x)};
    double moist = PINERY_AIR_HEAT_DRY + x * PINERY_AIR_HEAT_VAPOUR;
    double moist_supply = PINERY_AIR_HEAT_DRY + supply.x * PINERY_AIR_HEAT_VAPOUR;
    struct flow with = {g * (pinery_air_enthalpy(T, x) - pinery_air_enthalpy(supply.T, supply.x)),
                        g * (moist - moist_supply * supply.T_by_T),
                        g * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * T -
                             supply.x_by_x * (PINERY_AIR_LATENT + PINERY_AIR_HEAT_VAPOUR * supply.T))};
    water(p, heading, p->air, to, mass, with, p->n, 1.0);
}

static void duct(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const pinery_duct *unit = &model->house.duct;
    for (int i = 0; i < 2; i++) {
        struct part p = part_of(work, net, PINERY_DUCT, i, unit->lower_share, unit->area);
        double g = p.share * model->density * unit->flow, x = s->x[NODE_OUTSIDE];
        struct part roof = p;
        roof.air = model->roof_air;
        struct pinery_equip_supply outside = {.T = s->T[NODE_OUTSIDE], .x = x};
        exchange(&p, PINERY_HEADING_duct_push, model->roof_air, g, outside);
        exchange(&roof, PINERY_HEADING_duct_air, NODE_OUTSIDE, g, outside);
        /* the coil's limit is of its full air flow, so that a slow fan cannot overheat what it brings */
        double carries = PINERY_AIR_HEAT_DRY + x * PINERY_AIR_HEAT_VAPOUR, slope;
        double all = model->density * unit->flow / unit->area * carries;
        double rise = pinery_equip_coil_rise(unit, all, s->T[p.air], s->T[NODE_OUTSIDE], &slope);
        struct flow coil = {g * carries * rise, g * carries * slope, 0.0};
        heat(&p, PINERY_HEADING_duct_coil, NODE_ELSEWHERE, p.air, coil, p.n, 1.0);
        burn(&p, coil, p.n, 1.0, unit->water_back);
        fan(&p, PINERY_METER_power_duct, unit->power, 1.0);
    }
}

static void recovery(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const pinery_recovery *unit = &model->house.recovery;
    for (int i = 0; i < 2; i++) {
        struct part p = part_of(work, net, PINERY_RECOVERY, i, unit->lower_share, unit->area);
        exchange(&p, PINERY_HEADING_recovery_air, NODE_OUTSIDE, p.share * model->density * unit->flow,
                 pinery_equip_recovered(unit, s->T[p.air], s->x[p.air], s->T[NODE_OUTSIDE], s->x[NODE_OUTSIDE]));
        fan(&p, PINERY_METER_power_recovery, unit->power, 0.5);
    }
}

static struct flow scaled(struct pinery_equip_quantity q, double factor, double more) {
    return (struct flow){factor * (q.value + more), factor * q.d_T, factor * q.d_x};
}

/* m kg/s of liquid water at T: its heat, with slopes. */
static struct flow liquid(struct flow mass, double T, double T_by_T, double T_by_x) {
    return (struct flow){PINERY_YEAR_WATER_HEAT * mass.value * T,
                         PINERY_YEAR_WATER_HEAT * (mass.d_T * T + mass.value * T_by_T),
                         PINERY_YEAR_WATER_HEAT * (mass.d_x * T + mass.value * T_by_x)};
}

/* Slopes by the tank's temperature, per unit and at full duty. */
static void by_tank(const struct part *p, int heading, int from, int to, double slope) {
    if (p->net->slope)
        net_heat_slope(p->net, heading, from, to, p->net->at->heat[NODE_TANK], p->n * slope);
}

/* Heat to the tank, as much as it has room for: what went over the cold coil comes from the air, the compressor's power
 * with it. Gives what is left of the power for the air. */
static struct flow to_tank(const struct part *p, const struct pinery_equip_condensing *air,
                           const struct pinery_equip_condensing *tank) {
    double T = p->work->state.T[NODE_TANK], d_room;
    double room = pinery_equip_tank_room(&p->work->model->house.tank, T, &d_room);
    struct flow cooling = scaled(tank->cooling, p->share * room, 0.0),
                power = scaled(tank->power, p->share * room, 0.0);
    double power_T = p->share * (d_room * tank->power.value + room * tank->power.d_sink);
    heat(p, PINERY_HEADING_dehumidifier_tank, p->air, NODE_TANK, cooling, p->n, 1.0);
    by_tank(p, PINERY_HEADING_dehumidifier_tank, p->air, NODE_TANK, p->share * d_room * tank->cooling.value);
    heat(p, PINERY_HEADING_drying_power, NODE_ELSEWHERE, NODE_TANK, power, p->n, 1.0);
    by_tank(p, PINERY_HEADING_drying_power, NODE_ELSEWHERE, NODE_TANK, power_T);
    meter(p, PINERY_METER_power_dehumidifier, power, p->n, 1.0);
    double rest_T = -p->share * d_room * air->power.value;
    by_tank(p, PINERY_HEADING_drying_power, NODE_ELSEWHERE, p->air, rest_T);
    if (p->net->slope)
        net_meter_slope(p->net, PINERY_METER_power_dehumidifier, p->net->at->heat[NODE_TANK],
                        p->n * (power_T + rest_T));
    return scaled(air->power, p->share * (1.0 - room), 0.0);
}

static void dehumidifier(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const pinery_dehumidifier *unit = &model->house.dehumidifier;
    for (int i = 0; i < 2; i++) {
        struct part p = part_of(work, net, PINERY_DEHUMIDIFIER, i, unit->lower_share, unit->area);
        if (!(p.share > 0.0))
            continue;
        double T = s->T[p.air], x = s->x[p.air], dry_air = model->density * unit->flow;
        struct pinery_equip_condensing run = pinery_equip_condense(unit, dry_air, model->pressure, T, x, T, true);
        struct flow mass = scaled(run.water, p.share, 0.0), power = scaled(run.power, p.share, 0.0);
        water(&p, PINERY_HEADING_dehumidifier_water, p.air, NODE_ELSEWHERE, mass,
              liquid(mass, run.surface.value, run.surface.d_T, run.surface.d_x), p.n, 1.0);
        if (unit->heat_to == 1) { /* the same water and cooling, by another power */
            struct pinery_equip_condensing warm =
                pinery_equip_condense(unit, dry_air, model->pressure, T, x, s->T[NODE_TANK], false);
            power = to_tank(&p, &run, &warm);
        }
        power.value += p.share * unit->fan_power;
        heat(&p, PINERY_HEADING_drying_power, NODE_ELSEWHERE, p.air, power, p.n, 1.0);
        meter(&p, PINERY_METER_power_dehumidifier, power, p.n, 1.0);
    }
}

static void desiccant(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    const pinery_desiccant *unit = &model->house.desiccant;
    for (int i = 0; i < 2; i++) {
        struct part p = part_of(work, net, PINERY_DESICCANT, i, unit->lower_share, unit->area);
        if (!(p.share > 0.0))
            continue;
        struct pinery_equip_quantity takes =
            pinery_equip_absorb(unit, model->density * unit->flow, model->pressure, s->T[p.air], s->x[p.air]);
        struct flow mass = scaled(takes, p.share, 0.0), boil = scaled(takes, p.share * unit->regeneration, 0.0);
        struct flow back = scaled(takes, p.share * unit->regeneration * unit->recovered, 0.0);
        struct flow power = {.value = p.share * unit->power};
        water(&p, PINERY_HEADING_desiccant_water, p.air, NODE_ELSEWHERE, mass, liquid(mass, s->T[p.air], 1.0, 0.0), p.n,
              1.0);
        heat(&p, PINERY_HEADING_desiccant_heat, NODE_ELSEWHERE, p.air, back, p.n, 1.0);
        meter(&p, PINERY_METER_heat_regeneration, boil, p.n, 1.0);
        burn(&p, boil, p.n, 1.0, unit->water_back);
        heat(&p, PINERY_HEADING_drying_power, NODE_ELSEWHERE, p.air, power, p.n, 1.0);
        meter(&p, PINERY_METER_power_desiccant, power, p.n, 1.0);
    }
}

void pinery_year_flow_drying(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const pinery_house *house = &work->model->house;
    struct pinery_year_state *s = &work->state;
    s->fresh += house->duct.flow / house->duct.area * s->act[ACT_DRYING + PINERY_DUCT] +
                house->recovery.flow / house->recovery.area * s->act[ACT_DRYING + PINERY_RECOVERY];
    if (present(net, PINERY_DUCT))
        duct(work, net);
    if (present(net, PINERY_RECOVERY))
        recovery(work, net);
    if (present(net, PINERY_DEHUMIDIFIER))
        dehumidifier(work, net);
    if (present(net, PINERY_DESICCANT))
        desiccant(work, net);
}
