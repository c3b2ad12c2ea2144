/* From what is conserved to what is felt: heat and water of the nodes to temperature, humidity and vapour pressure, and
 * what the controller sees.
 *
 *   E = C T + W (l + c T)      T = (E - W l)/(C + W c) */
#include "air/psychro.h"
#include "base/smooth.h"
#include "house/along.h"
#include "house/convection.h"
#include "sky/weather.h"
#include "year/orders.h"
#include "year/wide.h"

/* Sensors hang where half the air they draw is lower and half upper air (common practice, no source). */
static const double seen_upper = 0.5;

/* Numbers that are put into a block one by one may just have been written, in other groups: read side by side, they
 * would keep a processor waiting until all have gone to its cache. */
enum { BLOCK = PINERY_YEAR_BLOCK };
typedef pinery_year_block block;

/* Temperature of what holds water, and 1/(C + W c), which is not positive when it lacks more than can be. Of as many as
 * a house may have: what stands in the rows behind belongs to others, and what comes of it is not looked at. */
struct felt {
    double T[PINERY_YEAR_WET], per_capacity[PINERY_YEAR_WET];
};
_Static_assert(PINERY_YEAR_WET % BLOCK == 0, "in whole blocks");

PINERY_YEAR_WIDE static void feel(const struct pinery_year_wet *restrict store, const double *restrict heat,
                                  const volatile double *restrict water, struct felt *restrict felt) {
    for (int k = 0; k < PINERY_YEAR_WET; k += BLOCK) {
        const block capacity = *(const block *)&store->capacity[k], latent = *(const block *)&store->latent[k],
                    of_water = *(const block *)&store->heat[k], E = *(const block *)&heat[k];
        block W = {water[k], water[k + 1], water[k + 2], water[k + 3]};
        block inverse = 1.0 / (capacity + W * of_water);
        *(block *)&felt->T[k] = (E - W * latent) * inverse;
        *(block *)&felt->per_capacity[k] = inverse;
    }
}

/* Whether a house may have such a temperature: -80 to 150 degC. */
static bool within(double T) {
    return fabs(T - 35.0) < 115.0;
}

/* Temperatures of so many nodes, those that hold water among them; false when a house may not have one of them. */
static bool temperatures(struct pinery_year_work *work, const double *y, int nodes) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_layout *at = &model->at;
    struct pinery_year_state *s = &work->state;
    const double *water = y + at->nodes;
    struct felt felt;
    bool sound = true;
    feel(&model->wet, y, water, &felt);
    for (int k = 0; k < at->wet; k++) {
        int node = at->node[k];
        s->T[node] = felt.per_capacity[k] > 0.0 ? felt.T[k] : NAN;
        s->water[node] = water[k];
        sound = sound && within(s->T[node]);
    }
    for (int k = at->wet; k < nodes; k++) {
        int node = at->node[k];
        s->T[node] = y[k] * model->store[node].per_capacity;
        sound = sound && within(s->T[node]);
    }
    for (int k = nodes - 1; k >= 0 && !sound; k--)
        if (!within(s->T[at->node[k]])) {
            work->fault = at->node[k];
            work->fault_value = s->T[at->node[k]];
        }
    return sound;
}

/* Enthalpy of an air, and its slope by temperature. */
static void warmth(struct pinery_year_state *s, int end) {
    s->d_h[end] = PINERY_AIR_HEAT_DRY + s->x[end] * PINERY_AIR_HEAT_VAPOUR;
    s->h[end] = s->d_h[end] * s->T[end] + s->x[end] * PINERY_AIR_LATENT;
}

static void airs(const struct pinery_year_model *model, struct pinery_year_state *s) {
    for (int node = 0; node <= model->roof_air; node++) {
        double per_air = model->store[node].per_air, x = s->water[node] * per_air;
        double per_sum = 1.0 / (PINERY_AIR_RATIO + x);
        s->x[node] = x;
        s->e[node] = model->pressure * x * per_sum;
        s->d_e[node] = model->pressure * PINERY_AIR_RATIO * per_sum * per_sum * per_air;
        warmth(s, node);
    }
}

/* Saturation of as many places as a house has faces that get wet, and of the air seen, at the end. */
enum { PLACES = PINERY_YEAR_FACES + 1 };
_Static_assert(PLACES % BLOCK == 0, "in whole blocks");

static inline double place(const double *T, const int *face, double seen, int k) {
    return k < PINERY_YEAR_FACES ? T[face[k]] : seen;
}

PINERY_YEAR_WIDE static void saturation(const double *restrict T, const int *restrict face, double seen,
                                        double *restrict e, double *restrict slope) {
    double at[PLACES];
    PINERY_YEAR_UNROLL
    for (int k = 0; k < PLACES; k += BLOCK)
        *(block *)&at[k] = (block){place(T, face, seen, k), place(T, face, seen, k + 1), place(T, face, seen, k + 2),
                                   place(T, face, seen, k + 3)};
    PINERY_YEAR_EACH
    for (int k = 0; k < PLACES; k++) {
        e[k] = pinery_base_exp(pinery_air_ln_saturation(at[k], &slope[k]));
        slope[k] *= e[k];
    }
}

/* At all faces; and at `seen`, which is returned. */
static double saturate(const struct pinery_year_model *model, struct pinery_year_state *s, double seen, double *slope) {
    double e[PLACES], by_T[PLACES];
    saturation(s->T, model->face, seen, e, by_T);
    for (int k = 0; k < model->faces; k++) {
        s->e_sat[model->face[k]] = e[k];
        s->d_e_sat[model->face[k]] = by_T[k];
    }
    *slope = by_T[PLACES - 1];
    return e[PLACES - 1];
}

static void see(const struct pinery_year_model *model, struct pinery_year_state *s) {
    const double lower = 1.0 - seen_upper, upper = seen_upper;
    double slope, per_sat = 1.0 / saturate(model, s, s->seen, &slope);
    s->seen_humidity = s->seen_e * per_sat;
    s->d_humidity_lower_T = -s->seen_humidity * slope * per_sat * lower;
    s->d_humidity_upper_T = -s->seen_humidity * slope * per_sat * upper;
    s->d_humidity_lower_W = lower * s->d_e[NODE_AIR_LOWER] * per_sat;
    s->d_humidity_upper_W = upper * s->d_e[NODE_AIR_UPPER] * per_sat;
    s->d_seen_lower = lower;
    s->d_seen_upper = upper;
}

/* Weather, crop and orders of a moment. */
static bool moment(struct pinery_year_work *work, double time_s) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_state *s = &work->state;
    if (!pinery_year_outside_at(model, &work->curves, time_s, &s->out)) {
        work->fault = NODE_OUTSIDE;
        work->fault_value = time_s;
        return false;
    }
    struct pinery_year_crop crop;
    pinery_year_crop_at(&model->house, pinery_sky_year_days(model->weather), time_s, &crop);
    s->leaf[0] = crop.leaf[0];
    s->leaf[1] = crop.leaf[1];
    s->leaf_area = crop.area;
    pinery_year_orders_at(work, time_s);
    return true;
}

static bool unknowns(struct pinery_year_work *work, const double *y, int nodes) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_state *s = &work->state;
    bool sound = temperatures(work, y, nodes);
    airs(model, s);
    for (int k = 0; k < model->acts; k++)
        s->act[model->act[k]] = y[model->at.act[model->act[k]]];
    s->co2 = model->house.carbon.balance ? 1e3 * s->act[ACT_CARBON] : model->house.co2;
    s->seen = (1.0 - seen_upper) * s->T[NODE_AIR_LOWER] + seen_upper * s->T[NODE_AIR_UPPER];
    s->seen_e = (1.0 - seen_upper) * s->e[NODE_AIR_LOWER] + seen_upper * s->e[NODE_AIR_UPPER];
    return sound;
}

bool pinery_year_state_of(struct pinery_year_work *work, double time_s, const double *y) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_state *s = &work->state;
    if (time_s != s->out.time_s) {
        if (!moment(work, time_s))
            return false;
        s->cover_wind =
            pinery_house_convect_outside((enum pinery_house_wind_law)model->house.outside_convection, s->out.wind);
    }
    if (!unknowns(work, y, model->at.nodes))
        return false;
    s->T[NODE_OUTSIDE] = s->out.temperature;
    s->x[NODE_OUTSIDE] = pinery_air_humidity_ratio(s->out.vapour_pressure, model->pressure);
    s->e[NODE_OUTSIDE] = s->out.vapour_pressure;
    warmth(s, NODE_OUTSIDE);
    s->T[NODE_SKY] = sqrt(sqrt(s->out.infrared / PINERY_HOUSE_STEFAN_BOLTZMANN)) - PINERY_AIR_ZERO_K;
    s->T[NODE_DEEP] = model->deep;
    s->T[NODE_NEIGHBOUR] = model->house.neighbour + model->house.neighbour_sun * s->out.global / 1000.0 +
                           model->house.neighbour_day * s->out.day;
    for (int d = 0; d < model->drives; d++)
        s->drawn[d] = s->act[ACT_CLOTH + d] * (1.0 - s->act[ACT_SLIT + d]) * (1.0 - model->house.drive[d].edge_gap);
    see(model, s);
    return true;
}

bool pinery_year_state_read_off(struct pinery_year_work *work, double time_s, const double *y) {
    int nodes = work->model->at.nodes - (work->model->house.soil_layers - 1); /* the deeper layers are the last */
    bool sound = moment(work, time_s) && unknowns(work, y, nodes);
    work->state.out.time_s = NAN;
    return sound;
}

void pinery_year_start(const struct pinery_year_model *model, double temperature, double *y) {
    const struct pinery_year_layout *at = &model->at;
    for (int i = 0; i < at->all; i++)
        y[i] = 0.0;
    if (at->act[ACT_CARBON] != at->sink)
        y[at->act[ACT_CARBON]] = 1e-3 * model->house.carbon.outside;
    double e = 0.75 * pinery_air_saturation_pressure(temperature);
    double x = pinery_air_humidity_ratio(e, model->pressure);
    double down = 0.0, depth = 0.0; /* resistances below the floor */
    for (int i = 0; i < model->house.soil_layers; i++)
        depth += 1.0 / model->soil_between[i];
    for (int node = 0; node < PINERY_YEAR_N_NODES; node++) {
        if (at->heat[node] == at->sink)
            continue;
        const struct pinery_year_store *store = &model->store[node];
        double W = store->air * x, T = temperature;
        if (node == NODE_TANK)
            T = model->house.tank.cold;
        if (node >= NODE_SOIL) {
            T += (model->deep - temperature) * down / depth;
            down += 1.0 / model->soil_between[node - NODE_SOIL];
        }
        if (at->water[node] != at->sink)
            y[at->water[node]] = W;
        y[at->heat[node]] = store->capacity * T + W * (store->latent + store->heat * T);
    }
}

void pinery_year_stored(const struct pinery_year_model *model, const double *y, double *heat, double *water) {
    const struct pinery_year_layout *at = &model->at;
    double J = 0.0, kg = 0.0;
    for (int row = 0; row < at->nodes; row++)
        J += y[row];
    for (int row = at->nodes; row < at->nodes + at->wet; row++)
        kg += y[row];
    *heat = J;
    *water = kg;
}
