/* Cloths, as they leave the maker: dry, clean, up being the face to the sky. Values that are not named here are the
 * defaults of PINERY_CLOTH_FIELDS. Makers measure light and "saving" by methods of their own, so none of theirs is
 * used. Permeability matters under pressure only; where a cloth has open squares it is Miguel's fit for the open share
 * phi, K = 3.44e-9 phi^1.6, Y = 0.043 phi^-2.13 (Miguel et al. 1997, J. agric. Engng Res.; from memory, unverified). */
#include "house/presets.h"

#define STRIP \
    "clear polyester strips: emissivity 0.60 to 0.75, long wave passed 0.15 to 0.25; handbooks, " PINERY_FROM_MEMORY
#define ALU "aluminium strip 0.04 to 0.15 new, 0.2 to 0.4 dusty; handbooks, " PINERY_FROM_MEMORY
#define BLACK "black face of a blackout cloth 0.9; handbooks, " PINERY_FROM_MEMORY
#define BALEMANS "between 0.05e-3 (tight film) and 0.5e-3 (knitted), Balemans 1989, thesis Ghent; " PINERY_FROM_MEMORY
#define HALF "mean of aluminium and clear strips"
#define PE "PE film: emissivity 0.439, Rafiq et al. 2019, Prot. Hort. Plant Factory 28(4); passed: " PINERY_FROM_MEMORY
#define WEIGHT "weight x specific heat of polyester or PE, " PINERY_FROM_MEMORY
#define OPEN40 "Miguel's fit for 40 % open squares; " PINERY_FROM_MEMORY
#define OPEN25 "Miguel's fit for 25 % open squares; " PINERY_FROM_MEMORY
#define STOPPED "longwave stopped by the strips, passed by the open squares; emissivity of the strips by their share"

static const struct pinery_house_preset cloths[] = {
    /* Strips of clear film held by yarn. */
    {.name = "energy cloth",
     .value = {{"emissivity_up", 0.65, STRIP},
               {"emissivity_down", 0.65, STRIP},
               {"longwave_transmittance", 0.2, STRIP},
               {"light_transmittance", 0.75, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.15, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.15, PINERY_FROM_MEMORY},
               {"thermal_flow", 2.5e-4, BALEMANS},
               {"heat_capacity", 80, WEIGHT},
               {"parked_share", 0.03, PINERY_FROM_MEMORY}}},
    /* The same of the clearest film, for keeping shut by day. */
    {.name = "clear energy cloth",
     .like = "energy cloth",
     .value = {{"light_transmittance", 0.82, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.12, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.12, PINERY_FROM_MEMORY},
               {"thermal_flow", 2.0e-4, BALEMANS},
               {"parked_share", 0.02, PINERY_FROM_MEMORY}}},
    /* Plain film, no yarn: neither air nor water passes. */
    {.name = "film screen",
     .value = {{"emissivity_up", 0.44, PE},
               {"emissivity_down", 0.44, PE},
               {"longwave_transmittance", 0.5, PE},
               {"light_transmittance", 0.85, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.12, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.12, PINERY_FROM_MEMORY},
               {"thermal_flow", 5e-6, PINERY_FROM_MEMORY},
               {"permeability", 0, "a film"},
               {"thickness", 5e-5, PINERY_PRACTICE},
               {"heat_capacity", 105, WEIGHT},
               {"water_capacity", 0.03, PINERY_FROM_MEMORY},
               {"passes_water", 0, "a film"},
               {"parked_share", 0.02, PINERY_FROM_MEMORY}}},
    /* Closed, every strip aluminium above; the polyester that carries it looks down. */
    {.name = "metallised night cloth",
     .value = {{"emissivity_up", 0.1, ALU},
               {"emissivity_down", 0.5, PINERY_FROM_MEMORY},
               {"longwave_transmittance", 0.02, PINERY_FROM_MEMORY},
               {"light_transmittance", 0.02, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.8, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.7, PINERY_FROM_MEMORY},
               {"thermal_flow", 2.0e-4, BALEMANS},
               {"heat_capacity", 80, WEIGHT},
               {"parked_share", 0.04, PINERY_FROM_MEMORY}}},
    /* Closed, every second strip aluminium, the others clear. */
    {.name = "half metallised cloth",
     .value = {{"emissivity_up", 0.38, HALF},
               {"emissivity_down", 0.58, HALF},
               {"longwave_transmittance", 0.11, HALF},
               {"light_transmittance", 0.4, HALF},
               {"light_reflectance_up", 0.45, HALF},
               {"light_reflectance_down", 0.42, HALF},
               {"thermal_flow", 2.2e-4, BALEMANS},
               {"heat_capacity", 80, WEIGHT},
               {"parked_share", 0.035, PINERY_FROM_MEMORY}}},
    /* Open squares between white strips: shades and lets air through. */
    {.name = "open shade cloth",
     .value = {{"emissivity_up", 0.5, STOPPED},
               {"emissivity_down", 0.5, STOPPED},
               {"longwave_transmittance", 0.45, STOPPED},
               {"light_transmittance", 0.55, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.35, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.35, PINERY_FROM_MEMORY},
               {"thermal_flow", 5e-3, "far above the closed fabrics, " PINERY_FROM_MEMORY},
               {"permeability", 7.9e-10, OPEN40},
               {"inertial_factor", 0.3, OPEN40},
               {"heat_capacity", 70, WEIGHT},
               {"parked_share", 0.04, PINERY_FROM_MEMORY}}},
    /* Closed, white strips in clear ones: spreads the light and holds some heat. */
    {.name = "diffuse shade cloth",
     .like = "energy cloth",
     .value = {{"light_transmittance", 0.6, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.3, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.3, PINERY_FROM_MEMORY},
               {"parked_share", 0.04, PINERY_FROM_MEMORY}}},
    /* White to the sky, black to the crop: day length. */
    {.name = "blackout cloth",
     .value = {{"emissivity_up", 0.85, PINERY_FROM_MEMORY},
               {"emissivity_down", 0.9, BLACK},
               {"longwave_transmittance", 0.01, PINERY_FROM_MEMORY},
               {"light_transmittance", 0.001, "99.9 % dark is the trade's class; " PINERY_PRACTICE},
               {"light_reflectance_up", 0.6, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.05, PINERY_FROM_MEMORY},
               {"thermal_flow", 1.5e-4, BALEMANS},
               {"heat_capacity", 290, WEIGHT},
               {"water_capacity", 0.1, PINERY_FROM_MEMORY},
               {"parked_share", 0.05, PINERY_FROM_MEMORY}}},
    /* White to the crop, to keep lamp light in the house and out of the sky. */
    {.name = "blackout cloth, white below",
     .like = "blackout cloth",
     .value = {{"emissivity_up", 0.9, BLACK},
               {"emissivity_down", 0.85, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.05, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.6, PINERY_FROM_MEMORY}}},
    /* Aluminium to the sky, black to the crop: day length and night insulation in one. */
    {.name = "metallised blackout cloth",
     .like = "blackout cloth",
     .value = {{"emissivity_up", 0.15, ALU}, {"light_reflectance_up", 0.75, PINERY_FROM_MEMORY}}},
    /* Knitted HDPE mesh. */
    {.name = "insect or shade net",
     .value = {{"emissivity_up", 0.6, "HDPE nets absorb 0.41 to 0.82, Abdel-Ghany et al. 2014"},
               {"emissivity_down", 0.6, "as above"},
               {"longwave_transmittance", 0.35, "HDPE nets pass 0.16 to 0.55, Abdel-Ghany et al. 2014"},
               {"light_transmittance", 0.6, PINERY_FROM_MEMORY},
               {"light_reflectance_up", 0.1, PINERY_FROM_MEMORY},
               {"light_reflectance_down", 0.1, PINERY_FROM_MEMORY},
               {"thermal_flow", 4e-3, "far above the closed fabrics, " PINERY_FROM_MEMORY},
               {"permeability", 3.74e-10, OPEN25},
               {"inertial_factor", 0.82, OPEN25},
               {"thickness", 4e-4, PINERY_FROM_MEMORY},
               {"heat_capacity", 150, WEIGHT}}},
};

const struct pinery_house_presets pinery_house_cloths = {"cloth", cloths, (int)(sizeof cloths / sizeof cloths[0])};
