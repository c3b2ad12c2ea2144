/* What the cloths take of the light and of the growth it allows, and what the lamps add: the light on the crop as it
 * is, with packages alone, without cloths and without lamps, each through the index of crop/growth.c. Looked at once
 * every control interval and no part of the integration. Lamps hang below the cloths: what these send back of their
 * light is counted alike in all. */
#include <string.h>

#include "crop/growth.h"
#include "year/readings.h"

/* Without any cloth by the first two of the key alone, the sun and the leaves. */
static void open_light(struct pinery_year_work *work) {
    struct pinery_year_open *open = &work->open;
    const struct pinery_year_state *s = &work->state;
    double key[2 + 2 * PINERY_DRIVES] = {work->stack.elevation, s->leaf[0] + s->leaf[1]};
    for (int d = 0; d < work->model->drives; d++) {
        key[2 + 2 * d] = s->act[ACT_CLOTH + d] * (1.0 - s->act[ACT_SLIT + d]);
        key[3 + 2 * d] = work->which[d];
    }
    int n = 2 + 2 * PINERY_DRIVES, same = 0;
    while (open->valid && same < n && fabs(key[same] - open->key[same]) <= 2e-4)
        same++;
    if (same == n)
        return;
    int from = same < 2 ? 0 : 2;
    pinery_year_stack_open(work, true, open->packages);
    if (from == 0)
        pinery_year_stack_open(work, false, open->none);
    memcpy(open->key + from, key + from, (size_t)(n - from) * sizeof *key);
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
    double sun = photons * s->light_crop, lamps = 1e-6 * pinery_year_lamp_light(work);
    memset(index, 0, PINERY_N_INDICES * sizeof *index);
    if (!(sun + lamps > 0.0))
        return;
    const struct pinery_crop_growth_canopy canopy =
        pinery_crop_growth_canopy(s->leaf_area, crop->extinction_diffuse, crop->leaf_uptake);
    struct pinery_crop_growth now = pinery_crop_growth_in(&canopy, sun + lamps);
    put(index, PINERY_INDEX_growth_early, now);
    put(index, PINERY_INDEX_bare_early, now);
    put(index, PINERY_INDEX_unlit_early, now);
    if (work->model->drives > 0 && s->out.beam + s->out.diffuse > 0.0) {
        open_light(work);
        double packages = photons * (s->out.beam * work->open.packages[0] + s->out.diffuse * work->open.packages[1]);
        double none = photons * (s->out.beam * work->open.none[0] + s->out.diffuse * work->open.none[1]);
        index[PINERY_INDEX_light_parked] = none - packages;
        index[PINERY_INDEX_light_drawn] = packages - sun;
        put(index, PINERY_INDEX_bare_early, pinery_crop_growth_in(&canopy, none + lamps));
    }
    if (lamps > 0.0)
        put(index, PINERY_INDEX_unlit_early, pinery_crop_growth_in(&canopy, sun));
}
