/* What the cloths take of the light and of the growth it allows, and what the lamps add: the light on the crop as it
 * is, with packages alone, without cloths and without lamps, each through the index of crop/growth.c. Looked at once
 * every control interval and no part of the integration. Lamps hang below the cloths: what these send back of their
 * light is counted alike in all. */
#include <string.h>

#include "crop/growth.h"
#include "year/readings.h"

static void open_light(struct pinery_year_work *work) {
    struct pinery_year_open *open = &work->open;
    const struct pinery_year_state *s = &work->state;
    double key[2 + 2 * PINERY_DRIVES] = {work->stack.elevation, s->leaf[0] + s->leaf[1]};
    for (int d = 0; d < work->model->drives; d++) {
        key[2 + 2 * d] = s->act[ACT_CLOTH + d] * (1.0 - s->act[ACT_SLIT + d]);
        key[3 + 2 * d] = work->which[d];
    }
    bool same = open->valid;
    for (int i = 0; i < 2 + 2 * PINERY_DRIVES && same; i++)
        same = fabs(key[i] - open->key[i]) <= 2e-4;
    if (same)
        return;
    pinery_year_stack_open(work, true, open->packages);
    pinery_year_stack_open(work, false, open->none);
    memcpy(open->key, key, sizeof key);
    open->valid = true;
}

static void put(double index[PINERY_N_INDICES], int first, struct pinery_crop_growth growth) {
    index[first] = growth.early;
    index[first + 1] = growth.mid;
    index[first + 2] = growth.even;
}

void pinery_year_growth(struct pinery_year_work *work, double index[PINERY_N_INDICES]) {
    const struct pinery_year_state *s = &work->state;
    const pinery_crop *crop = &work->model->house.crop;
    const double photons = 1e-6 * PINERY_YEAR_SUN_PHOTONS;
    double leaf = s->leaf_area, k = crop->extinction_diffuse;
    double sun = photons * s->light_crop, lamps = 1e-6 * pinery_year_lamp_light(work);
    memset(index, 0, PINERY_N_INDICES * sizeof *index);
    if (!(sun + lamps > 0.0))
        return;
    struct pinery_crop_growth now = pinery_crop_growth_index(sun + lamps, leaf, k, crop->leaf_uptake);
    put(index, PINERY_INDEX_growth_early, now);
    put(index, PINERY_INDEX_bare_early, now);
    put(index, PINERY_INDEX_unlit_early, now);
    if (work->model->drives > 0 && s->out.beam + s->out.diffuse > 0.0) {
        open_light(work);
        double packages = photons * (s->out.beam * work->open.packages[0] + s->out.diffuse * work->open.packages[1]);
        double none = photons * (s->out.beam * work->open.none[0] + s->out.diffuse * work->open.none[1]);
        index[PINERY_INDEX_light_parked] = none - packages;
        index[PINERY_INDEX_light_drawn] = packages - sun;
        put(index, PINERY_INDEX_bare_early, pinery_crop_growth_index(none + lamps, leaf, k, crop->leaf_uptake));
    }
    if (lamps > 0.0)
        put(index, PINERY_INDEX_unlit_early, pinery_crop_growth_index(sun, leaf, k, crop->leaf_uptake));
}
