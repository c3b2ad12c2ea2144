/* Presets by name. */
#include "house/presets.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "base/field.h"

static const struct pinery_house_preset *find(const struct pinery_house_presets *presets, const char *name) {
    for (int i = 0; i < presets->n; i++)
        if (strcmp(presets->preset[i].name, name) == 0)
            return &presets->preset[i];
    return NULL;
}

static pinery_status unknown(const struct pinery_house_presets *presets, const char *name, pinery_error *error) {
    char known[800] = "";
    const char *near_name = NULL;
    int best = INT_MAX;
    for (int i = 0; i < presets->n; i++) {
        size_t used = strlen(known);
        snprintf(known + used, sizeof known - used, "%s\"%s\"", i ? ", " : "", presets->preset[i].name);
        if (pinery_base_nearer(name, presets->preset[i].name, &best))
            near_name = presets->preset[i].name;
    }
    return pinery_base_fail(error, PINERY_BAD_INPUT, "no %s is called \"%s\"%s%s%s; known are %s", presets->kind, name,
                            near_name ? " (did you mean \"" : "", near_name ? near_name : "", near_name ? "\"?)" : "",
                            known);
}

/* Change what a preset changes, after what the one it is like changes. */
static pinery_status change(const struct pinery_house_presets *presets, const struct pinery_house_preset *preset,
                            const pinery_fields *fields, void *record, pinery_error *error) {
    if (preset->like) {
        const struct pinery_house_preset *base = find(presets, preset->like);
        pinery_status status =
            base ? change(presets, base, fields, record, error) : unknown(presets, preset->like, error);
        if (status)
            return status;
    }
    for (int i = 0; i < PINERY_PRESET_VALUES && preset->value[i].field; i++) {
        pinery_status status = pinery_fields_set_number(fields, record, preset->value[i].field, preset->value[i].value,
                                                        preset->name, error);
        if (status)
            return status;
    }
    return pinery_fields_find(fields, "name") ? pinery_fields_set_text(fields, record, "name", preset->name, "", error)
                                              : PINERY_OK;
}

static pinery_status fill(const struct pinery_house_presets *presets, const char *name, const pinery_fields *fields,
                          void *record, pinery_error *error) {
    const struct pinery_house_preset *preset = find(presets, name);
    if (!preset)
        return unknown(presets, name, error);
    pinery_fields_default(fields, record);
    pinery_status status = change(presets, preset, fields, record, error);
    return status ? status : pinery_base_ok(error);
}

pinery_status pinery_cover_preset(const char *name, pinery_cover *cover, pinery_error *error) {
    return fill(&pinery_house_covers, name, &pinery_cover_fields, cover, error);
}

pinery_status pinery_cloth_preset(const char *name, pinery_cloth *cloth, pinery_error *error) {
    return fill(&pinery_house_cloths, name, &pinery_cloth_fields, cloth, error);
}

pinery_status pinery_lamp_preset(const char *name, pinery_lamp *lamp, pinery_error *error) {
    return fill(&pinery_house_lamps, name, &pinery_lamp_fields, lamp, error);
}

#define UNIT(key, list)                                                                             \
    pinery_status pinery_##key##_preset(const char *name, pinery_##key *key, pinery_error *error) { \
        return fill(&pinery_house_##list, name, &pinery_##key##_fields, key, error);                \
    }
UNIT(fan, fans)
UNIT(duct, ducts)
UNIT(recovery, recoveries)
UNIT(dehumidifier, dehumidifiers)
UNIT(desiccant, desiccants)
UNIT(boiler, boilers)
UNIT(tank, tanks)
UNIT(cogeneration, engines)
UNIT(heat_pump, pumps)
#undef UNIT

pinery_status pinery_crop_preset(const char *name, pinery_crop *crop, pinery_error *error) {
    pinery_status status = fill(&pinery_house_crops, name, &pinery_crop_fields, crop, error);
    if (status)
        return status;
    const struct pinery_house_preset *preset = find(&pinery_house_crops, name);
    crop->points = preset->points;
    memcpy(crop->calendar, preset->calendar, sizeof crop->calendar);
    return status;
}

const char *pinery_preset_name(const char *kind, int i) {
    const struct pinery_house_presets *all[] = {
        &pinery_house_covers,     &pinery_house_cloths,  &pinery_house_lamps,      &pinery_house_crops,
        &pinery_house_fans,       &pinery_house_ducts,   &pinery_house_recoveries, &pinery_house_dehumidifiers,
        &pinery_house_desiccants, &pinery_house_boilers, &pinery_house_tanks,      &pinery_house_engines,
        &pinery_house_pumps};
    for (size_t k = 0; k < sizeof all / sizeof all[0]; k++)
        if (strcmp(all[k]->kind, kind) == 0)
            return i >= 0 && i < all[k]->n ? all[k]->preset[i].name : NULL;
    return NULL;
}
