/* Presets as tables: a preset is the default record, or another preset, with some fields changed, each with the source
 * of its value beside it. */
#ifndef PINERY_HOUSE_PRESETS_H
#define PINERY_HOUSE_PRESETS_H

#include "pinery/house.h"

/* Where a value comes from when nothing better is known. */
#define PINERY_FROM_MEMORY "from memory, unverified"
#define PINERY_PRACTICE "common practice, no source"

#define PINERY_PRESET_VALUES 20

struct pinery_house_value {
    const char *field; /* NULL ends the list */
    double value;
    const char *source;
};

struct pinery_house_preset {
    const char *name;
    const char *like; /* the preset this one begins from; NULL: the defaults of the field list */
    struct pinery_house_value value[PINERY_PRESET_VALUES];
    int points; /* crops: the leaf area through the year */
    pinery_crop_point calendar[PINERY_CROP_POINTS];
};

#define PINERY_PRESET(name_, like_, ...)                       \
    {                                                          \
        .name = name_, .like = like_, .value = { __VA_ARGS__ } \
    }

struct pinery_house_presets {
    const char *kind; /* as in PINERY_PRESET_KINDS */
    const struct pinery_house_preset *preset;
    int n;
};

extern const struct pinery_house_presets pinery_house_covers, pinery_house_cloths, pinery_house_lamps,
    pinery_house_crops, pinery_house_ducts, pinery_house_recoveries, pinery_house_dehumidifiers,
    pinery_house_desiccants, pinery_house_fans, pinery_house_tanks, pinery_house_engines, pinery_house_pumps,
    pinery_house_boilers;

#endif
