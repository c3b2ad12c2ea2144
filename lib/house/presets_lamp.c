/* Lamps. Light per joule of light is 4.98 umol/J for high-pressure sodium (Thimijan and Heins 1983, HortScience
 * 18:818) and about 5.4 for red with some blue and white; the share of light follows from photons / that. Near infrared
 * and long wave: ranges after Nelson and Bugbee 2015, PLoS ONE 10:e0138930, and de Zwart et al. 2017, from memory,
 * unverified. Power is a usual installation, to be replaced by the house's own. */
#include "house/presets.h"

#define HPS_PHOTONS                                                                                                  \
    "1000 W double-ended with electronic ballast 1.66 to 1.70 per electric joule, Nelson and Bugbee 2014, PLoS ONE " \
    "9:e99010"
#define HPS_LIGHT "1.70 / 4.98"
#define HPS_400 "400 W with magnetic ballast 0.94, Runkle 2018, Greenhouse Product News"
#define HPS_REST "near infrared 20 to 25 %, long wave 15 to 20 %, the rest by convection; " PINERY_FROM_MEMORY
#define LED_REST "near infrared 0 to 2 %, long wave 10 to 15 %; " PINERY_FROM_MEMORY
#define INSTALLED "sodium 75 to 120 W/m2, LED 60 to 90 W/m2 for 200 to 250 umol/m2/s; " PINERY_FROM_MEMORY

static const struct pinery_house_preset lamps[] = {
    {.name = "sodium top lamps",
     .value = {{"power", 100, INSTALLED},
               {"photons", 1.70, HPS_PHOTONS},
               {"light_share", 0.341, HPS_LIGHT},
               {"nir_share", 0.22, HPS_REST},
               {"longwave_share", 0.18, HPS_REST}}},
    {.name = "old sodium top lamps",
     .like = "sodium top lamps",
     .value = {{"power", 40, PINERY_PRACTICE}, {"photons", 0.94, HPS_400}, {"light_share", 0.189, "0.94 / 4.98"}}},
    {.name = "led top lamps",
     .value = {{"power", 70, INSTALLED},
               {"photons", 3.0, "present lamps 2.7 to 3.6; " PINERY_FROM_MEMORY},
               {"light_share", 0.556, "3.0 / 5.4"},
               {"nir_share", 0.01, LED_REST},
               {"longwave_share", 0.12, LED_REST},
               {"run_time", 5, "at once; the least the field takes"}}},
    {.name = "led row lamps",
     .like = "led top lamps",
     .value = {{"power", 25, PINERY_PRACTICE},
               {"photons", 2.8, PINERY_FROM_MEMORY},
               {"light_share", 0.519, "2.8 / 5.4"},
               {"upward_share", 0.5, "shines to both sides, as much up as down"},
               {"place", 1, ""}}},
};

const struct pinery_house_presets pinery_house_lamps = {"lamp", lamps, (int)(sizeof lamps / sizeof lamps[0])};
