/* Carbon dioxide of the house air, as one well-mixed air: what is dosed, less what the crop takes up by light and
 * breathes out, less what the outside air that comes by vents, leaks, duct and recovery carries away. Under a shut
 * cloth the air over it is counted with the rest, so what open vents then lose is overstated.
 *
 * The slopes by temperature, light and openings are left out: it changes slowly against them. */
#include "crop/assimilation.h"
#include "equip/carbon.h"
#include "equip/lamps.h"
#include "year/flows.h"

static double light(const struct pinery_year_work *work) {
    double sum = work->state.light_crop;
    for (int g = 0; g < PINERY_LAMPS; g++)
        if (work->model->house.lamp[g].power > 0.0)
            sum += pinery_equip_lamp_run(&work->model->house.lamp[g], 1.0).light * work->stack.lamp_par[g] *
                   work->state.act[ACT_LAMP + g];
    return sum;
}

static void part(const struct pinery_year_work *work, const struct pinery_year_net *net, int meter, double sign,
                 double flow, double by_ppm) {
    int row = net->at->act[ACT_CARBON];
    double per = sign * 1e-3 / work->model->per_ppm;
    net_act(net, ACT_CARBON, per * flow);
    net_meter(net, meter, flow);
    if (net->slope) {
        net_act_slope(net, ACT_CARBON, row, per * 1e3 * by_ppm);
        net_meter_slope(net, meter, row, 1e3 * by_ppm);
    }
}

void pinery_year_flow_carbon(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_model *model = work->model;
    const pinery_house *house = &model->house;
    const struct pinery_year_state *s = &work->state;
    work->demand.flue = work->demand.d_flue = 0.0;
    if (!house->carbon.balance)
        return;
    double leaf = s->leaf_area, T = s->T[NODE_CANOPY_UPPER], unused;
    struct pinery_crop_uptake up =
        pinery_crop_assimilation(light(work), leaf, house->crop.extinction_diffuse, s->co2, T);
    double breath = pinery_crop_respiration(leaf, T, &unused);
    part(work, net, PINERY_METER_carbon_taken, -1.0, up.value - breath, up.d_co2);
    double per_ppm = pinery_equip_carbon_per_ppm(20.0, model->pressure) * s->fresh;
    part(work, net, PINERY_METER_carbon_aired, -1.0, per_ppm * (s->co2 - house->carbon.outside), per_ppm);
    if (!(work->orders.carbon_target > 0.0) || !(house->carbon.most > 0.0))
        return;
    double slope,
        share = pinery_equip_carbon_dose(work->orders.carbon_target, work->orders.carbon_band, s->co2, &slope);
    double dose = house->carbon.most * share, d_dose = house->carbon.most * slope;
    part(work, net, PINERY_METER_carbon_dosed, 1.0, dose, d_dose);
    if (house->carbon.source != 0) {
        net_meter(net, PINERY_METER_carbon_pure, dose);
        if (net->slope)
            net_meter_slope(net, PINERY_METER_carbon_pure, net->at->act[ACT_CARBON], d_dose * 1e3);
        return;
    }
    const pinery_boiler *boiler = &house->boiler;
    struct pinery_equip_flue flue = pinery_equip_carbon_flue(1.0, boiler->efficiency, boiler->heating_value);
    work->demand.flue = flue.heat * dose;
    work->demand.d_flue = flue.heat * d_dose * 1e3;
    double fuel = flue.gas * boiler->heating_value;
    net_meter(net, PINERY_METER_gas, fuel * dose);
    net_meter(net, PINERY_METER_gas_flue, fuel * dose);
    if (net->slope) {
        net_meter_slope(net, PINERY_METER_gas, net->at->act[ACT_CARBON], fuel * d_dose * 1e3);
        net_meter_slope(net, PINERY_METER_gas_flue, net->at->act[ACT_CARBON], fuel * d_dose * 1e3);
    }
}
