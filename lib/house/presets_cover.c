/* Covers. Values that are not named here are the defaults of PINERY_COVER_FIELDS: one pane of 4 mm low-iron glass
 * (Fresnel with n = 1.526 and 4/m gives 0.90 at right angles and 0.83 hemispherical; horticultural glass measured 0.90
 * and 0.82, Kempkes et al. about 2014), emissivity 0.837 (EN 673), 2500 kg/m3 and 840 J/(kg K) (handbook values;
 * EN 572-1 has 720). */
#include "house/presets.h"

#define EN673 "EN 673"
#define DUFFIE "Duffie and Beckman: 4 (water white) to 32 per m (greenish edge); 16 between"
#define PE_LW "Rafiq et al. 2019, Prot. Hort. Plant Factory 28(4): emissivity of PE film 0.439"
#define PE_TAU "handbooks give 0.5 to 0.8; kept below 1 - 0.44 - reflection; from memory, unverified"
#define THERMAL_TAU "thermal PE and EVA 0.2 to 0.3, handbooks, from memory, unverified"
#define BY_WEIGHT "thickness x density x specific heat of the material, from memory, unverified"
#define TWO_FILMS "two films of 0.5, one behind the other"
#define TABLE "0.90 at right angles, falling with the angle as glass does; from memory, unverified"
#define LOWE                                                                                                       \
    "0.88 at right angles and 0.79 hemispherical read in Kempkes et al. about 2014; the angles between chosen to " \
    "give both"
#define LOWE_E "one face 0.05, the other 0.837 (EN 673): as two faces of 0.094"
#define DROPS "drops hang on untreated plastic; from memory, unverified"
#define SHEET "maker-independent orientation values for double-walled sheet, from memory, unverified"
#define SHEET_E "plastic sheet passes no long wave, emissivity 0.9; handbooks, from memory, unverified"

static const struct pinery_house_preset covers[] = {
    {.name = "low-iron glass"},
    {.name = "single glass", .like = "low-iron glass", .value = {{"extinction", 16, DUFFIE}}},
    {.name = "diffuse glass",
     .like = "low-iron glass",
     .value = {{"haze", 0.7, "matt glass 0.5 to 0.75; " PINERY_FROM_MEMORY}}},
    {.name = "double glass",
     .like = "low-iron glass",
     .value = {{"panes", 2, ""}, {"gap", 0.012, EN673}, {"heat_capacity", 16800, "two panes"}}},
    {.name = "double low-e glass",
     .like = "double glass",
     .value = {{"optics", 1, ""},
               {"transmittance_0", 0.88, LOWE},
               {"transmittance_40", 0.865, LOWE},
               {"transmittance_55", 0.82, LOWE},
               {"transmittance_70", 0.66, LOWE},
               {"transmittance_80", 0.40, LOWE},
               {"absorptance", 0.04, PINERY_FROM_MEMORY},
               {"gap", 0.015, PINERY_FROM_MEMORY},
               {"gap_emissivity", 0.094, LOWE_E}}},
    {.name = "single film",
     .value = {{"optics", 1, ""},
               {"thickness", 0.0002, PINERY_PRACTICE},
               {"transmittance_0", 0.90, TABLE},
               {"transmittance_40", 0.89, TABLE},
               {"transmittance_55", 0.85, TABLE},
               {"transmittance_70", 0.70, TABLE},
               {"transmittance_80", 0.44, TABLE},
               {"absorptance", 0.03, PINERY_FROM_MEMORY},
               {"haze", 0.3, PINERY_FROM_MEMORY},
               {"emissivity_outside", 0.44, PE_LW},
               {"emissivity_inside", 0.44, PE_LW},
               {"longwave_transmittance", 0.5, PE_TAU},
               {"gap_emissivity", 0.44, PE_LW},
               {"conductivity", 0.35, PINERY_FROM_MEMORY},
               {"heat_capacity", 420, BY_WEIGHT},
               {"drip_share", 0.5, DROPS}}},
    {.name = "thermal film",
     .like = "single film",
     .value = {{"emissivity_outside", 0.65, THERMAL_TAU},
               {"emissivity_inside", 0.65, THERMAL_TAU},
               {"longwave_transmittance", 0.25, THERMAL_TAU},
               {"gap_emissivity", 0.65, THERMAL_TAU},
               {"haze", 0.4, PINERY_FROM_MEMORY},
               {"drip_share", 0.2, "with an anti-drip finish; " PINERY_FROM_MEMORY}}},
    {.name = "inflated double film",
     .like = "single film",
     .value = {{"panes", 2, ""},
               {"transmittance_0", 0.82, "two films; " PINERY_FROM_MEMORY},
               {"transmittance_40", 0.80, "two films; " PINERY_FROM_MEMORY},
               {"transmittance_55", 0.75, "two films; " PINERY_FROM_MEMORY},
               {"transmittance_70", 0.57, "two films; " PINERY_FROM_MEMORY},
               {"transmittance_80", 0.31, "two films; " PINERY_FROM_MEMORY},
               {"absorptance", 0.06, "two films"},
               {"haze", 0.5, PINERY_FROM_MEMORY},
               {"longwave_transmittance", 0.25, TWO_FILMS},
               {"gap", 0.1, "mean of an inflated cushion; " PINERY_FROM_MEMORY},
               {"heat_capacity", 840, "two films"}}},
    {.name = "inflated double thermal film",
     .like = "inflated double film",
     .value = {{"emissivity_outside", 0.65, THERMAL_TAU},
               {"emissivity_inside", 0.65, THERMAL_TAU},
               {"longwave_transmittance", 0.0625, "two films of 0.25, one behind the other"},
               {"gap_emissivity", 0.65, THERMAL_TAU},
               {"drip_share", 0.2, "with an anti-drip finish; " PINERY_FROM_MEMORY}}},
    {.name = "structured sheet 8 mm",
     .value = {{"panes", 2, ""},
               {"optics", 1, ""},
               {"thickness", 0.0005, SHEET},
               {"transmittance_0", 0.80, SHEET},
               {"transmittance_40", 0.78, SHEET},
               {"transmittance_55", 0.73, SHEET},
               {"transmittance_70", 0.57, SHEET},
               {"transmittance_80", 0.33, SHEET},
               {"absorptance", 0.06, SHEET},
               {"haze", 0.2, SHEET},
               {"emissivity_outside", 0.9, SHEET_E},
               {"emissivity_inside", 0.9, SHEET_E},
               {"gap", 0.007, "8 mm less two walls"},
               {"gap_emissivity", 0.9, SHEET_E},
               {"conductivity", 0.2, PINERY_FROM_MEMORY},
               {"heat_capacity", 1800, BY_WEIGHT ": 1.5 kg/m2, 1200 J/(kg K)"},
               {"drip_share", 0.3, DROPS}}},
    {.name = "structured sheet 16 mm",
     .like = "structured sheet 8 mm",
     .value = {{"thickness", 0.0015, SHEET},
               {"transmittance_0", 0.86, SHEET},
               {"transmittance_40", 0.84, SHEET},
               {"transmittance_55", 0.78, SHEET},
               {"transmittance_70", 0.62, SHEET},
               {"transmittance_80", 0.38, SHEET},
               {"absorptance", 0.04, SHEET},
               {"gap", 0.013, "16 mm less two walls"},
               {"heat_capacity", 7400, BY_WEIGHT ": acrylic, 5 kg/m2, 1470 J/(kg K)"}}},
};

const struct pinery_house_presets pinery_house_covers = {"cover", covers, (int)(sizeof covers / sizeof covers[0])};
