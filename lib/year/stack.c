/* Light and long wave of the stack as it stands: which layer takes up what share of the sun and of the lamps, and the
 * exchange factors between the layers. They change with the cloths, the leaf area, wet faces and the height of the sun,
 * and are kept until one of these has moved by more than its step; the steps are small enough (2e-4 of a cloth, 2 % of
 * a wet face) to leave less than 0.02 W/m2 in a jump. Where neither sun nor lamps shine the light is left as it was.
 *
 * A wet face has the emissivity of water, 0.95, and lets no long wave through (handbook value). The share of a face
 * that is wet is w/(w + 0.01 kg/m2) (common practice, no source). */
#include "house/roof.h"
#include "sky/weather.h"
#include "year/model.h"

static const double pi = 3.14159265358979323846;
static const double water_emissivity = 0.95, half_wet = 0.01;
/* Share of the sun's energy on the ground that is PAR; McCree 1972 and many since find 0.45 to 0.5 */
static const double par_share = 0.48;

static double wet_share(double water) {
    return water > 0.0 ? water / (water + half_wet) : 0.0;
}

/* ---- the sun ---- */

static struct pinery_house_sw_layer cloth_light(const pinery_cloth *cloth, bool par) {
    return par ? pinery_house_sw_diffusing(cloth->light_reflectance_up, cloth->light_reflectance_down,
                                           cloth->light_transmittance)
               : pinery_house_sw_diffusing(cloth->nir_reflectance_up, cloth->nir_reflectance_down,
                                           cloth->nir_transmittance);
}

/* The drawn part, the package of what is not spread out, pulled back for a slit too, that lets nothing through, and the
 * open rest. */
static struct pinery_house_sw_layer drive_light(const pinery_cloth *cloth, double drawn, double spread, bool par) {
    struct pinery_house_sw_layer full = cloth_light(cloth, par);
    double parked = cloth->parked_share * (1.0 - spread), open = 1.0 - drawn - parked;
    open = open > 0.0 ? open : 0.0;
    return (struct pinery_house_sw_layer){.reflect_up = (drawn + parked) * full.reflect_up,
                                          .reflect_down = (drawn + parked) * full.reflect_down,
                                          .transmit = open + drawn * full.transmit,
                                          .beam_reflect = (drawn + parked) * full.beam_reflect,
                                          .beam_transmit = open,
                                          .beam_scatter = drawn * full.transmit};
}

static double sun_elevation(const struct pinery_year_work *work) {
    const pinery_weather *weather = work->model->weather;
    return pinery_year_record(weather, weather->column[PINERY_WEATHER_sun_elevation], work->curves.mean) * (pi / 180.0);
}

/* What is counted of the cloths: all, the packages of what is not spread out, or nothing. */
enum cloths { CLOTHS_ALL, CLOTHS_PACKAGES, CLOTHS_NONE };

/* The two layers of leaves under a sun of that height. */
static void leaf_light(const struct pinery_year_work *work, bool par, double elevation,
                       struct pinery_house_sw_layer layer[2]) {
    const pinery_crop *crop = &work->model->house.crop;
    double k_beam = pinery_house_beam_extinction(elevation > 0.05 ? elevation : 0.05);
    double reflect = par ? crop->leaf_light_reflectance : crop->leaf_nir_reflectance;
    double transmit = par ? crop->leaf_light_transmittance : crop->leaf_nir_transmittance;
    for (int i = 0; i < 2; i++)
        layer[i] = pinery_house_sw_canopy(work->state.leaf[i], k_beam, crop->extinction_diffuse, reflect, transmit);
}

static int fill_light(const struct pinery_year_work *work, bool par, enum cloths cloths,
                      const struct pinery_house_sw_layer leaf[2], struct pinery_house_sw_layer *layer, int *node) {
    const struct pinery_year_model *model = work->model;
    const struct pinery_year_state *s = &work->state;
    int n = 0;
    node[n] = NODE_SOIL;
    layer[n++] = pinery_house_sw_diffusing(model->house.floor_reflectance, 0.0, 0.0);
    for (int i = 0; i < 2; i++) {
        node[n] = NODE_CANOPY_LOWER + i;
        layer[n++] = leaf[i];
    }
    for (int d = 0; d < model->drives && cloths != CLOTHS_NONE; d++) {
        node[n] = NODE_CLOTH + d;
        double spread = s->act[ACT_CLOTH + d] * (1.0 - s->act[ACT_SLIT + d]);
        layer[n++] = drive_light(pinery_year_cloth(work, d), cloths == CLOTHS_ALL ? s->drawn[d] : 0.0, spread, par);
    }
    const struct pinery_house_split *diffuse = &model->roof.diffuse;
    node[n] = NODE_COVER;
    layer[n++] = pinery_house_sw_diffusing(0.0, diffuse->reflect, diffuse->transmit);
    return n;
}

static void clear(double *part) {
    for (int i = 0; i < STACK_SW; i++)
        part[i] = 0.0;
}

static void add(double *part, double share, const double *absorbed, int n) {
    for (int i = 0; i < n; i++)
        part[i] += share * absorbed[i];
}

/* Sun and lamps that shine, in one band. */
static void light_of_band(struct pinery_year_work *work, bool par, unsigned shining) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_stack *stack = &work->stack;
    struct pinery_house_sw_layer layer[STACK_SW];
    struct pinery_house_sw_answer answer;
    double absorbed[STACK_SW], arriving[STACK_SW], escaped, share = par ? par_share : 1.0 - par_share;
    const int top = 2; /* the upper leaves */
    int n = stack->n_sw = fill_light(work, par, CLOTHS_ALL, stack->leaf[par], layer, stack->sw_node);
    pinery_house_shortwave_prepare(n, layer, &answer);
    if (shining & 1U) {
        pinery_house_shortwave_of(n, layer, &answer, 1.0, 0.0, absorbed, arriving, &escaped);
        add(stack->sun_beam, share, absorbed, n);
        if (par)
            stack->beam_par = share * arriving[top];
        pinery_house_shortwave_of(n, layer, &answer, 0.0, 1.0, absorbed, arriving, &escaped);
        add(stack->sun_diffuse, share, absorbed, n);
        if (par)
            stack->diffuse_par = share * arriving[top];
    }
    for (int g = 0; g < PINERY_LAMPS; g++) {
        const pinery_lamp *lamp = &model->house.lamp[g];
        if (!(shining & (2U << g)))
            continue;
        int gap = lamp->place == 1 ? 1 : 2; /* between the leaf layers, or over them */
        pinery_house_shortwave_source_of(n, layer, &answer, gap, 1.0 - lamp->upward_share, lamp->upward_share, absorbed,
                                         arriving, &escaped);
        add(stack->lamp[g], par ? lamp->light_share : lamp->nir_share, absorbed, n);
        if (par)
            stack->lamp_par[g] = lamp->place == 1 ? absorbed[1] + absorbed[2] : arriving[top];
    }
}

static void light(struct pinery_year_work *work, bool leaves, unsigned shining) {
    struct pinery_year_stack *stack = &work->stack;
    if (leaves) {
        stack->elevation = sun_elevation(work);
        for (int par = 0; par < 2; par++)
            leaf_light(work, par, stack->elevation, stack->leaf[par]);
    }
    clear(stack->sun_beam);
    clear(stack->sun_diffuse);
    for (int g = 0; g < PINERY_LAMPS; g++)
        clear(stack->lamp[g]);
    light_of_band(work, true, shining);
    light_of_band(work, false, shining);
    stack->shining = shining;
}

void pinery_year_stack_open(const struct pinery_year_work *work, bool packages, double par[2]) {
    struct pinery_house_sw_layer layer[STACK_SW], leaf[2];
    struct pinery_house_sw_answer answer;
    double absorbed[STACK_SW], arriving[STACK_SW], escaped;
    int node[STACK_SW];
    leaf_light(work, true, work->stack.elevation, leaf);
    int n = fill_light(work, true, packages ? CLOTHS_PACKAGES : CLOTHS_NONE, leaf, layer, node);
    pinery_house_shortwave_prepare(n, layer, &answer);
    for (int i = 0; i < 2; i++) {
        pinery_house_shortwave_of(n, layer, &answer, i == 0 ? 1.0 : 0.0, i == 0 ? 0.0 : 1.0, absorbed, arriving,
                                  &escaped);
        par[i] = par_share * arriving[2];
    }
}

/* ---- long wave ---- */

static struct pinery_house_lw_layer wetted(double emit_up, double emit_down, double transmit, double wet_up,
                                           double wet_down) {
    double through = transmit * (1.0 - (wet_up > wet_down ? wet_up : wet_down));
    return (struct pinery_house_lw_layer){emit_up + wet_up * (water_emissivity - emit_up),
                                          emit_down + wet_down * (water_emissivity - emit_down), through};
}

/* A pipe radiates from its whole round: as a strip with two faces it covers pi/2 times its projection. */
static struct pinery_house_lw_layer pipe_layer(const pinery_pipe *pipe, double area) {
    double cover = 0.5 * area;
    return pinery_house_lw_partial((struct pinery_house_lw_layer){pipe->emissivity, pipe->emissivity, 0.0},
                                   cover < 0.9 ? cover : 0.9);
}

static struct pinery_house_lw_layer leaf_layer(const pinery_crop *crop, double leaf) {
    return pinery_house_lw_partial((struct pinery_house_lw_layer){crop->leaf_emissivity, crop->leaf_emissivity, 0.0},
                                   1.0 - exp(-crop->extinction_longwave * leaf));
}

/* What stands below the lowest cloth. */
static bool in_crop(int node) {
    return node == NODE_SOIL || node == NODE_CANOPY_LOWER || node == NODE_CANOPY_UPPER || node == NODE_PIPE_LOWER ||
           node == NODE_PIPE_UPPER;
}

static int sky_heading(int from) {
    if (from == NODE_COVER || from == NODE_COVER_OUTER)
        return PINERY_HEADING_cover_sky;
    return in_crop(from) ? PINERY_HEADING_through_sky : PINERY_HEADING_cloths_sky;
}

static int pair_heading(int from, int to) {
    if (from == NODE_WALL)
        return PINERY_HEADING_wall_out;
    if (to == NODE_SKY)
        return sky_heading(from);
    return in_crop(from) && !in_crop(to) && to != NODE_WALL ? PINERY_HEADING_longwave_up
                                                            : PINERY_HEADING_longwave_within;
}

/* While pairs are listed: so many as yet, and whether they are the same as before. */
struct listing {
    int n;
    bool same;
};

static void add_pair(struct pinery_year_stack *stack, struct listing *list, int a, int b, double factor) {
    struct pinery_year_longwave *pair = &stack->pair[list->n++];
    list->same = list->same && pair->a == a && pair->b == b;
    *pair = (struct pinery_year_longwave){a, b, factor};
}

/* A wall sees leaves and floor inside, each with a third of its view, and half sky, half surroundings at air
 * temperature outside. Through thin leaves it sees the floor: along some 10 m of a layer 1.2 m high, half of the leaves
 * facing it, leaves of area L fill 1 - exp(-4 L) (no source). leaf: the numbers of their two layers. */
struct walls {
    double leaf[2], floor, out; /* W/(m2 K4) over the Stefan-Boltzmann constant, out to either */
};

static struct walls see_walls(const struct pinery_year_work *work) {
    const struct pinery_year_model *model = work->model;
    const pinery_cover *glass = &model->house.wall;
    double in = glass->emissivity_inside * model->wall_area / 3.0 / (1.0 + 8.0 * model->house.wall_cloth_resistance);
    double filled[2];
    for (int i = 0; i < 2; i++)
        filled[i] = -expm1(-4.0 * work->state.leaf[i]);
    return (struct walls){.leaf = {in * filled[0], in * filled[1]},
                          .floor = in * (3.0 - filled[0] - filled[1]),
                          .out = glass->emissivity_outside * model->wall_area / 2.0};
}

/* First what sees each other inside, then what sees sky and surroundings, as the links want it. */
static void list_pairs(struct pinery_year_work *work, const int leaf[2], const double *factor) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_stack *stack = &work->stack;
    const int n = stack->n_lw, floor = 0, sky = n - 1, wall = n, outside = n + 1, *node = stack->lw_node;
    const bool walls = model->wall_area > 0.0;
    struct walls seen = walls ? see_walls(work) : (struct walls){.out = 0.0};
    struct listing list = {0, true};
    for (int a = 0; a < sky; a++)
        for (int b = a + 1; b < sky; b++)
            if (factor[a * n + b] > 0.0)
                add_pair(stack, &list, a, b, factor[a * n + b]);
    for (int i = 0; i < 2 && walls; i++)
        add_pair(stack, &list, leaf[i], wall, seen.leaf[i]);
    if (walls)
        add_pair(stack, &list, floor, wall, seen.floor);
    for (int a = 0; a < sky; a++)
        if (factor[a * n + sky] > 0.0)
            add_pair(stack, &list, a, sky, factor[a * n + sky]);
    if (walls) {
        add_pair(stack, &list, wall, outside, seen.out);
        add_pair(stack, &list, wall, sky, seen.out);
    }
    if (list.same && list.n == stack->n_pairs)
        return;
    stack->n_pairs = list.n;
    stack->links.n = stack->links.inner = 0;
    for (int k = 0; k < list.n; k++) {
        int from = node[stack->pair[k].a], to = node[stack->pair[k].b];
        pinery_year_links_add(&stack->links, &model->at, pair_heading(from, to), from, to);
    }
}

static void longwave(struct pinery_year_work *work) {
    const struct pinery_year_model *model = work->model;
    const pinery_house *house = &model->house;
    const struct pinery_year_state *s = &work->state;
    struct pinery_year_stack *stack = &work->stack;
    struct pinery_house_lw_layer layer[STACK_LW];
    int n = 0, over_canopy = 0, over_rows = 0, *node = stack->lw_node;
    node[n] = NODE_SOIL;
    layer[n++] = (struct pinery_house_lw_layer){house->floor_emissivity, 0.0, 0.0};
    if (house->pipe_lower.length > 0.0) {
        node[n] = NODE_PIPE_LOWER;
        layer[n++] = pipe_layer(&house->pipe_lower, model->pipe_area[0]);
    }
    node[n] = NODE_CANOPY_LOWER;
    layer[n++] = leaf_layer(&house->crop, s->leaf[0]);
    over_rows = n - 1;
    if (house->pipe_upper.length > 0.0) {
        node[n] = NODE_PIPE_UPPER;
        layer[n++] = pipe_layer(&house->pipe_upper, model->pipe_area[1]);
    }
    node[n] = NODE_CANOPY_UPPER;
    layer[n++] = leaf_layer(&house->crop, s->leaf[1]);
    over_canopy = n - 1;
    for (int d = 0; d < model->drives; d++) {
        const pinery_cloth *cloth = pinery_year_cloth(work, d);
        double wet = wet_share(s->water[NODE_CLOTH + d]);
        node[n] = NODE_CLOTH + d;
        layer[n++] =
            pinery_house_lw_partial(wetted(cloth->emissivity_up, cloth->emissivity_down, cloth->longwave_transmittance,
                                           cloth->passes_water ? wet : 0.0, wet),
                                    s->drawn[d]);
    }
    const pinery_cover *cover = &house->cover;
    double wet = wet_share(s->water[NODE_COVER]);
    node[n] = NODE_COVER;
    if (model->two_panes) { /* the gap between the panes is a flow of its own, with its long wave in it */
        double each = sqrt(cover->longwave_transmittance);
        layer[n++] = wetted(0.0, cover->emissivity_inside, each, 0.0, wet);
        node[n] = NODE_COVER_OUTER;
        layer[n++] = (struct pinery_house_lw_layer){cover->emissivity_outside, 0.0, each};
    } else {
        layer[n++] =
            wetted(cover->emissivity_outside, cover->emissivity_inside, cover->longwave_transmittance, 0.0, wet);
    }
    node[n] = NODE_SKY;
    layer[n++] = (struct pinery_house_lw_layer){0.0, 1.0, 0.0};
    stack->n_lw = n;
    double factor[STACK_LW * STACK_LW];
    pinery_house_longwave_factors(n, layer, factor);
    stack->n_ends = n;
    if (model->wall_area > 0.0) {
        node[stack->n_ends++] = NODE_WALL;
        node[stack->n_ends++] = NODE_OUTSIDE;
    }
    list_pairs(work, (const int[2]){over_rows, over_canopy}, factor);
    /* What a hot lamp radiates goes half up, half down, as a source in its gap. An opaque inner pane ends the way: the
     * gap behind it takes nothing up and would be a hall of mirrors without an answer. */
    int reached = model->two_panes && !(cover->longwave_transmittance > 0.0) ? n - 2 : n;
    for (int g = 0; g < PINERY_LAMPS; g++) {
        double escaped;
        if (!(house->lamp[g].power > 0.0))
            continue;
        struct pinery_house_sw_layer optics[STACK_LW];
        for (int i = 0; i < n; i++) {
            stack->lamp_longwave[g][i] = 0.0;
            optics[i] = (struct pinery_house_sw_layer){.reflect_up = 1.0 - layer[i].emit_up - layer[i].transmit,
                                                       .reflect_down = 1.0 - layer[i].emit_down - layer[i].transmit,
                                                       .transmit = layer[i].transmit};
        }
        pinery_house_shortwave_source(reached, optics, house->lamp[g].place == 1 ? over_rows : over_canopy, 0.5, 0.5,
                                      stack->lamp_longwave[g], NULL, &escaped);
    }
}

/* ---- keeping ---- */

void pinery_year_stack_light(struct pinery_year_work *work) {
    const struct pinery_year_outside *out = &work->state.out;
    work->state.light_crop = out->beam * work->stack.beam_par + out->diffuse * work->stack.diffuse_par;
}

/* Whether one of these has moved by more than its step; then all are kept as they are now. */
static bool moved(int n, const double *key, double *kept) {
    bool same = true;
    for (int i = 0; i < n && same; i++)
        same = fabs(key[i] - kept[i]) <= 2e-4;
    for (int i = 0; i < n && !same; i++)
        kept[i] = key[i];
    return !same;
}

/* What gives light now: 1 the sun, 2 << g the lamps of a group. */
static unsigned shining_now(const struct pinery_year_work *work) {
    const struct pinery_year_state *s = &work->state;
    unsigned shining = s->out.beam != 0.0 || s->out.diffuse != 0.0;
    for (int g = 0; g < PINERY_LAMPS; g++)
        if (s->act[ACT_LAMP + g] != 0.0 && work->model->house.lamp[g].power > 0.0)
            shining |= 2U << g;
    return shining;
}

void pinery_year_stack_update(struct pinery_year_work *work) {
    const struct pinery_year_model *model = work->model;
    struct pinery_year_state *s = &work->state;
    struct pinery_year_stack *stack = &work->stack;
    if (stack->valid && stack->time_s == s->out.time_s && !work->exact) {
        pinery_year_stack_light(work);
        return;
    }
    bool anew = !stack->valid || work->exact;
    stack->time_s = s->out.time_s;
    const double leaf[3] = {s->leaf[0] + s->leaf[1], s->leaf[0],
                            (double)work->curves.mean * (sun_elevation(work) > 0.0 ? 1.0 : 0.0)};
    double cloth[3 * PINERY_DRIVES] = {0.0};
    double face[3 + 3 * PINERY_DRIVES] = {leaf[0], leaf[1], wet_share(s->water[NODE_COVER]) * 0.01};
    for (int d = 0; d < model->drives; d++) {
        face[3 + 3 * d] = cloth[3 * d] = s->drawn[d];
        face[4 + 3 * d] = cloth[3 * d + 1] = work->which[d];
        face[5 + 3 * d] = wet_share(s->water[NODE_CLOTH + d]) * 0.01;
        cloth[3 * d + 2] = s->act[ACT_CLOTH + d];
    }
    unsigned shining = shining_now(work);
    if (shining || anew) {
        bool leaves = moved(3, leaf, stack->leaf_key) || anew,
             cloths = moved(3 * model->drives, cloth, stack->cloth_key);
        if (leaves || cloths || (shining & ~stack->shining))
            light(work, leaves, shining);
    }
    if (moved(3 + 3 * model->drives, face, stack->face_key) || anew)
        longwave(work);
    stack->valid = true;
    pinery_year_stack_light(work);
}
