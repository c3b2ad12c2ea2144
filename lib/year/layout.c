/* Where every unknown stands: only what exists in this house gets a row. */
#include "year/layout.h"

#include "year/orders.h"

static const int heading_has_water[PINERY_N_HEADINGS] = {
#define X(key, side, water, doc) water,
    PINERY_HEADINGS(X)
#undef X
};

static bool present(const struct pinery_year_model *model, int node) {
    const pinery_house *house = &model->house;
    if (node >= NODE_AIR_ABOVE && node < NODE_AIR_ABOVE + PINERY_DRIVES)
        return node - NODE_AIR_ABOVE < house->drives;
    if (node >= NODE_CLOTH && node < NODE_CLOTH + PINERY_DRIVES)
        return node - NODE_CLOTH < house->drives;
    if (node >= NODE_LAMP && node < NODE_LAMP + PINERY_LAMPS)
        return house->lamp[node - NODE_LAMP].power > 0.0;
    if (node >= NODE_SOIL && node < NODE_SOIL + PINERY_YEAR_SOIL)
        return node - NODE_SOIL < house->soil_layers;
    switch (node) {
    case NODE_PIPE_LOWER:
        return house->pipe_lower.length > 0.0;
    case NODE_PIPE_UPPER:
        return house->pipe_upper.length > 0.0;
    case NODE_COVER_OUTER:
        return model->two_panes;
    case NODE_TANK:
        return house->tank.volume > 0.0;
    case NODE_WALL:
        return model->wall_area > 0.0;
    default:
        return true;
    }
}

static bool holds_water(int node) {
    return node < PINERY_YEAR_N_AIRS || (node >= NODE_CLOTH && node < NODE_CLOTH + PINERY_DRIVES) ||
           node == NODE_CANOPY_LOWER || node == NODE_CANOPY_UPPER || node == NODE_COVER || node == NODE_WALL;
}

/* Whether the house has this way of taking moisture out. */
static bool dries(const pinery_house *house, int dryer) {
    switch (dryer) {
    case PINERY_DUCT:
        return house->duct.flow > 0.0;
    case PINERY_RECOVERY:
        return house->recovery.flow > 0.0;
    case PINERY_DEHUMIDIFIER:
        return house->dehumidifier.cooling > 0.0;
    default:
        return house->desiccant.flow > 0.0;
    }
}

/* Devices that are not there get no totals, so that a house without them has no more unknowns. */
static bool booked(const pinery_house *house, int heading) {
    switch (heading) {
    case PINERY_HEADING_duct_coil:
    case PINERY_HEADING_duct_air:
    case PINERY_HEADING_duct_push:
        return dries(house, PINERY_DUCT);
    case PINERY_HEADING_recovery_air:
        return dries(house, PINERY_RECOVERY);
    case PINERY_HEADING_dehumidifier_water:
        return dries(house, PINERY_DEHUMIDIFIER);
    case PINERY_HEADING_dehumidifier_tank:
        return dries(house, PINERY_DEHUMIDIFIER) && house->dehumidifier.heat_to == 1;
    case PINERY_HEADING_desiccant_water:
    case PINERY_HEADING_desiccant_heat:
        return dries(house, PINERY_DESICCANT);
    case PINERY_HEADING_tank_in:
    case PINERY_HEADING_tank_out:
    case PINERY_HEADING_tank_loss:
        return house->tank.volume > 0.0;
    case PINERY_HEADING_drying_power:
        return dries(house, PINERY_DEHUMIDIFIER) || dries(house, PINERY_DESICCANT);
    default:
        return true;
    }
}

static bool burns_for_carbon(const pinery_house *house) {
    return house->carbon.balance && house->carbon.source == 0 && house->carbon.most > 0.0;
}

static bool metered(const struct pinery_year_model *model, int meter) {
    const pinery_house *house = &model->house;
    switch (meter) {
    case PINERY_METER_power_duct:
        return dries(house, PINERY_DUCT);
    case PINERY_METER_power_recovery:
        return dries(house, PINERY_RECOVERY);
    case PINERY_METER_power_dehumidifier:
        return dries(house, PINERY_DEHUMIDIFIER);
    case PINERY_METER_power_desiccant:
    case PINERY_METER_heat_regeneration:
        return dries(house, PINERY_DESICCANT);
    case PINERY_METER_heat_short:
        return model->limited;
    case PINERY_METER_heat_boiler:
        return model->sources;
    case PINERY_METER_carbon_dosed:
    case PINERY_METER_carbon_taken:
    case PINERY_METER_carbon_aired:
        return house->carbon.balance;
    case PINERY_METER_carbon_pure:
        return house->carbon.balance && house->carbon.source == 1 && house->carbon.most > 0.0;
    case PINERY_METER_heat_flue:
    case PINERY_METER_gas_flue_only:
    case PINERY_METER_gas_flue:
        return burns_for_carbon(house);
    case PINERY_METER_heat_cooled:
        return house->cogeneration.power > 0.0 || burns_for_carbon(house);
    case PINERY_METER_heat_cogeneration:
    case PINERY_METER_gas_cogeneration:
    case PINERY_METER_electricity_made:
        return house->cogeneration.power > 0.0;
    case PINERY_METER_heat_bought:
    case PINERY_METER_power_bought_heat:
        return house->bought_heat.heat > 0.0;
    case PINERY_METER_heat_pump:
    case PINERY_METER_power_heat_pump:
        return house->heat_pump.heat > 0.0;
    case PINERY_METER_power_electric_boiler:
        return house->electric_boiler.heat > 0.0;
    default:
        return true;
    }
}

static bool act_present(const pinery_house *house, int act) {
    if (pinery_year_is_motor(act)) /* a function of time, not an unknown */
        return false;
    if (act >= ACT_SLIT && act < ACT_VENT_LEE)
        return act - ACT_SLIT < house->drives;
    if (act == ACT_FAN_THROUGH)
        return house->drives > 0 && house->fan_through.flow > 0.0;
    if (act == ACT_CARBON)
        return house->carbon.balance;
    if (act >= ACT_DRYING && act < ACT_DRYING + PINERY_DRYERS)
        return dries(house, act - ACT_DRYING);
    return true;
}

static int list_present(int n, const int *row, int *which) {
    int present = 0;
    for (int i = 0; i < n; i++)
        if (row[i] >= 0)
            which[present++] = i;
    return present;
}

static void list(struct pinery_year_layout *at) {
    at->heats = list_present(PINERY_N_HEADINGS, at->heat_total, at->heat_of);
    at->waters = list_present(PINERY_N_HEADINGS, at->water_total, at->water_of);
    at->meters = list_present(PINERY_N_METERS, at->meter, at->meter_of);
}

/* What holds water first, so that its heat and its water stand in the same order; airs before faces. */
static void list_nodes(const struct pinery_year_model *model, struct pinery_year_layout *at) {
    at->nodes = 0;
    for (int wet = 1; wet >= 0; wet--) {
        for (int node = 0; node < PINERY_YEAR_N_NODES; node++)
            if (present(model, node) && holds_water(node) == wet)
                at->node[at->nodes++] = node;
        at->wet = wet ? at->nodes : at->wet;
    }
}

void pinery_year_layout_make(const struct pinery_year_model *model, struct pinery_year_layout *at) {
    int row = 0;
    for (int node = 0; node < PINERY_YEAR_N_ENDS; node++)
        at->heat[node] = at->water[node] = -1;
    list_nodes(model, at);
    for (; row < at->nodes; row++)
        at->heat[at->node[row]] = row;
    for (int k = 0; k < at->wet; k++)
        at->water[at->node[k]] = row++;
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        at->act[act] = act_present(&model->house, act) ? row++ : -1;
    at->n = row;
    for (int i = 0; i < PINERY_N_HEADINGS; i++)
        at->heat_total[i] = booked(&model->house, i) ? row++ : -1;
    for (int i = 0; i < PINERY_N_HEADINGS; i++)
        at->water_total[i] = heading_has_water[i] && booked(&model->house, i) ? row++ : -1;
    for (int i = 0; i < PINERY_N_METERS; i++)
        at->meter[i] = metered(model, i) ? row++ : -1;
    at->all = at->sink = row;
    list(at);
    for (int node = 0; node < PINERY_YEAR_N_ENDS; node++) {
        at->heat[node] = at->heat[node] < 0 ? at->sink : at->heat[node];
        at->water[node] = at->water[node] < 0 ? at->sink : at->water[node];
    }
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        at->act[act] = at->act[act] < 0 ? at->sink : at->act[act];
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        at->heat_total[i] = at->heat_total[i] < 0 ? at->sink : at->heat_total[i];
        at->water_total[i] = at->water_total[i] < 0 ? at->sink : at->water_total[i];
    }
    for (int i = 0; i < PINERY_N_METERS; i++)
        at->meter[i] = at->meter[i] < 0 ? at->sink : at->meter[i];
}

/* A name for error texts. */
const char *pinery_year_node_name(int node) {
    static const char *const air_above[] = {"air above the lowest drive", "air above the second drive",
                                            "air above the third drive"};
    static const char *const cloth[] = {"cloth of the lowest drive", "cloth of the second drive",
                                        "cloth of the third drive"};
    if (node >= NODE_AIR_ABOVE && node < NODE_AIR_ABOVE + PINERY_DRIVES)
        return air_above[node - NODE_AIR_ABOVE];
    if (node >= NODE_CLOTH && node < NODE_CLOTH + PINERY_DRIVES)
        return cloth[node - NODE_CLOTH];
    if (node >= NODE_SOIL && node < NODE_SOIL + PINERY_YEAR_SOIL)
        return node == NODE_SOIL ? "floor" : "soil";
    switch (node) {
    case NODE_AIR_LOWER:
        return "lower air";
    case NODE_AIR_UPPER:
        return "upper air";
    case NODE_CANOPY_LOWER:
        return "lower leaves";
    case NODE_CANOPY_UPPER:
        return "upper leaves";
    case NODE_PIPE_LOWER:
        return "lower pipes";
    case NODE_PIPE_UPPER:
        return "upper pipes";
    case NODE_COVER:
        return "cover";
    case NODE_COVER_OUTER:
        return "outer pane";
    case NODE_WALL:
        return "walls";
    case NODE_TANK:
        return "tank";
    case NODE_OUTSIDE:
        return "outside air";
    default:
        return "lamp";
    }
}
