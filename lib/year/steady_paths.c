/* By which ways heat leaves a house at rest, and what the cover gets from inside.
 *
 * At rest the books say  in = out.  Heat of water counts from liquid at 0 degC, so the latent heat of the vapour that
 * leaves with air is 2501 kJ/kg of it (PINERY_AIR_LATENT), and the rest of that air's heat is sensible. */
#include "air/psychro.h"
#include "house/convection.h"
#include "year/readings.h"
#include "year/steady.h"

static const pinery_name names[] = {
#define X(key, unit, doc) {#key, unit, doc},
    PINERY_STEADY_RESULTS(X)
#undef X
};

const pinery_name *pinery_steady_result_name(pinery_steady_result result) {
    return (int)result >= 0 && result < PINERY_N_STEADY_RESULTS ? &names[result] : NULL;
}

/* Long wave that the panes take up from what is under them. */
static double longwave_to_cover(const struct pinery_year_work *work) {
    const struct pinery_year_stack *stack = &work->stack;
    const double *T = work->state.T;
    int n = stack->n_lw, panes = work->model->two_panes ? 2 : 1, inside = n - 1 - panes;
    double sum = 0.0;
    for (int k = 0; k < stack->n_pairs; k++) {
        const struct pinery_year_longwave *pair = &stack->pair[k];
        if (pair->a >= inside || pair->b < inside || pair->b >= n - 1) /* sky, walls */
            continue;
        double from = T[stack->lw_node[pair->a]] + PINERY_AIR_ZERO_K;
        double to = T[stack->lw_node[pair->b]] + PINERY_AIR_ZERO_K;
        sum += PINERY_HOUSE_STEFAN_BOLTZMANN * pair->factor * (from * from * from * from - to * to * to * to);
    }
    return sum;
}

/* Volume flow through leaks and vents, m3/(m2 s); as flow_air.c spreads it. */
static double fresh_air(const struct pinery_year_work *work) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    double out = s->T[NODE_OUTSIDE], wind = s->out.wind, leakage = model->house.leakage;
    double walls = model->wall_area / (model->wall_area + model->cover_area), roof = s->T[model->roof_air];
    return pinery_house_vent_flow(&model->vents, s->act[ACT_VENT_LEE], s->act[ACT_VENT_WIND], roof, out, wind).value +
           (1.0 - walls) * pinery_house_leakage(leakage, roof, out, wind).value +
           walls * model->wall_low * pinery_house_leakage(leakage, s->T[NODE_AIR_LOWER], out, wind).value +
           walls * (1.0 - model->wall_low) * pinery_house_leakage(leakage, s->T[NODE_AIR_UPPER], out, wind).value;
}

static double volume(const struct pinery_year_model *model) {
    double mass = 0.0;
    for (int air = 0; air < PINERY_YEAR_N_AIRS; air++)
        mass += model->store[air].air;
    return mass / model->density;
}

void pinery_year_steady_results(const struct pinery_year_work *work, const double *rate, double air,
                                pinery_steady *steady) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_layout *at = &model->at;
    const struct pinery_year_state *s = &work->state;
    double *result = steady->result;
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        steady->heat[i] = at->heat_total[i] == at->sink ? 0.0 : rate[at->heat_total[i]];
        steady->water[i] = at->water_total[i] == at->sink ? 0.0 : rate[at->water_total[i]];
    }
    for (int i = 0; i < PINERY_N_METERS; i++)
        steady->meter[i] = at->meter[i] == at->sink ? 0.0 : rate[at->meter[i]];
    pinery_year_readings(work, steady->reading);
    steady->held = fabs(s->seen - air) < 0.01;

#define HEAT(heading) steady->heat[PINERY_HEADING_##heading]
#define WATER(heading) steady->water[PINERY_HEADING_##heading]
#define SET(key, value) result[PINERY_STEADY_##key] = (value)
    double pipes = HEAT(heat_lower) + HEAT(heat_upper);
    double heat = pipes + HEAT(lamp_body) + HEAT(lamp_light) + HEAT(fan_heat) + HEAT(duct_coil) + HEAT(drying_power) +
                  HEAT(desiccant_heat);
    double cover = model->cover_area + model->wall_area, above = s->seen - s->T[NODE_OUTSIDE];
    double per_K = fabs(above) > 0.1 ? 1.0 / above : NAN;
    double latent = PINERY_AIR_LATENT * (WATER(vents) + WATER(leakage) + WATER(duct_air) + WATER(recovery_air));
    double sky = HEAT(cover_sky) + HEAT(through_sky) + HEAT(cloths_sky), wind = HEAT(cover_wind),
           walls = HEAT(wall_out) + HEAT(neighbours);
    SET(heat, heat);
    SET(heat_per_cover, heat / cover);
    SET(pipe_heat, pipes);
    SET(cover_area, cover);
    SET(above_outside, above);
    SET(U_floor, heat * per_K);
    SET(U_cover, heat / cover * per_K);
    SET(U_tight, (sky + wind + walls) / cover * per_K);
    SET(out_longwave, sky);
    SET(out_convection, wind);
    SET(out_walls, walls);
    SET(out_air, HEAT(vents) + HEAT(leakage) + HEAT(duct_air) + HEAT(recovery_air) - latent);
    SET(out_vapour, latent);
    SET(out_ground, HEAT(ground) + HEAT(slab_edge));
    SET(out_tank, HEAT(tank_loss) + HEAT(tank_out) - HEAT(tank_in));
    SET(out_water, HEAT(run_off) + HEAT(drain) + HEAT(dehumidifier_water) + HEAT(desiccant_water) - HEAT(water_supply));
    SET(cover_longwave, longwave_to_cover(work));
    SET(cover_convection,
        model->cover_area *
            pinery_house_convect_roof(s->T[model->roof_air], s->T[NODE_COVER], model->steepness).flux.value);
    SET(cover_condensation, HEAT(condensation_cover));
    SET(air_change, 3600.0 * fresh_air(work) / volume(model));
#undef HEAT
#undef WATER
#undef SET
}
