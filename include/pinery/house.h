/* The house, what stands in it and the crop: open structs made from field lists (pinery/field.h).
 *
 * Everything is per square metre of floor unless it says cover, wall, cloth or pipe. Sources of the defaults stand
 * beside the presets in lib/house/presets_*.c, of pipes, boiler and fans in lib/equip; a default with no better source
 * is common practice. */
#ifndef PINERY_HOUSE_H
#define PINERY_HOUSE_H

#include "pinery/devices.h"
#include "pinery/energy.h"
#include "pinery/field.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Roof or wall material. */
#define PINERY_COVER_FIELDS(X)                                                                                     \
    X(TEXT, name, "", 0, 0, 0, "", "what it is called in tables")                                                  \
    X(INT, panes, "", 1, 1, 2, "", "panes or films, one behind the other")                                         \
    X(CHOICE, optics, "", 0, 0, 1, "glass|table", "transmittance by Fresnel's laws or from the five values below") \
    X(REAL, refractive_index, "", 1.526, 1, 2.5, "", "of the pane, optics = glass")                                \
    X(REAL, extinction, "1/m", 4, 0, 500, "", "absorption in the pane, optics = glass; 4 is low-iron glass")       \
    X(REAL, thickness, "m", 0.004, 1e-5, 0.1, "", "of one pane")                                                   \
    X(REAL, transmittance_0, "", 0.90, 0, 1, "", "of the whole cover at 0 deg incidence, optics = table")          \
    X(REAL, transmittance_40, "", 0.89, 0, 1, "", "at 40 deg")                                                     \
    X(REAL, transmittance_55, "", 0.85, 0, 1, "", "at 55 deg")                                                     \
    X(REAL, transmittance_70, "", 0.70, 0, 1, "", "at 70 deg")                                                     \
    X(REAL, transmittance_80, "", 0.44, 0, 1, "", "at 80 deg")                                                     \
    X(REAL, absorptance, "", 0.02, 0, 1, "", "of solar radiation, optics = table")                                 \
    X(REAL, haze, "", 0, 0, 1, "", "share of the transmitted beam that is scattered")                              \
    X(REAL, emissivity_outside, "", 0.837, 0.01, 1, "", "long wave, face to the sky")                              \
    X(REAL, emissivity_inside, "", 0.837, 0.01, 1, "", "long wave, dry face to the crop")                          \
    X(REAL, longwave_transmittance, "", 0, 0, 0.95, "", "of the dry cover")                                        \
    X(REAL, gap, "m", 0.012, 0.001, 1, "", "between two panes")                                                    \
    X(REAL, gap_emissivity, "", 0.837, 0.01, 1, "", "of the two faces in the gap")                                 \
    X(REAL, conductivity, "W/(m K)", 1.0, 0.01, 10, "", "of the pane's material")                                  \
    X(REAL, heat_capacity, "J/(m2 K)", 8400, 100, 200000, "", "of the whole cover per m2 of cover")                \
    X(REAL, film_capacity, "kg/m2", 0.05, 0.001, 1, "",                                                            \
      "water the inside face holds before it runs off, per m2 cover")                                              \
    X(REAL, drip_share, "", 0.1, 0, 1, "", "share of the run-off that drips on crop and floor, not into the gutter")

/* One cloth. up is the face that looks at the sky when the cloth is drawn. */
#define PINERY_CLOTH_FIELDS(X)                                                                         \
    X(TEXT, name, "", 0, 0, 0, "", "what it is called in tables")                                      \
    X(REAL, emissivity_up, "", 0.6, 0.01, 1, "", "long wave, dry upper face")                          \
    X(REAL, emissivity_down, "", 0.6, 0.01, 1, "", "long wave, dry lower face")                        \
    X(REAL, longwave_transmittance, "", 0.2, 0, 0.95, "", "of the dry cloth")                          \
    X(REAL, light_transmittance, "", 0.75, 0, 1, "", "of PAR, hemispherical")                          \
    X(REAL, light_reflectance_up, "", 0.15, 0, 1, "", "of PAR, upper face")                            \
    X(REAL, light_reflectance_down, "", 0.15, 0, 1, "", "of PAR, lower face")                          \
    X(REAL, nir_transmittance, "", NAN, 0, 1, "", "(optional) of near infrared; not given: as PAR")    \
    X(REAL, nir_reflectance_up, "", NAN, 0, 1, "", "(optional) of near infrared; not given: as PAR")   \
    X(REAL, nir_reflectance_down, "", NAN, 0, 1, "", "(optional) of near infrared; not given: as PAR") \
    X(REAL, thermal_flow, "m/(s K^0.66)", 2.5e-4, 0, 1e-2, "",                                         \
      "K_s: air through the fabric by temperature difference")                                         \
    X(REAL, permeability, "m2", 1e-11, 0, 1e-6, "", "K: Darcy permeability of the fabric")             \
    X(REAL, inertial_factor, "", 0.3, 0, 100, "", "Y: Forchheimer's inertial factor of the fabric")    \
    X(REAL, thickness, "m", 2e-4, 1e-6, 0.05, "", "of the fabric")                                     \
    X(REAL, heat_capacity, "J/(m2 K)", 150, 1, 20000, "", "of the dry cloth per m2 of cloth")          \
    X(REAL, water_capacity, "kg/m2", 0.05, 1e-3, 2, "", "water the cloth holds before it drips")       \
    X(BOOL, passes_water, "", 1, 0, 1, "",                                                             \
      "a woven cloth lets held water evaporate from its upper face; a film does not")                  \
    X(REAL, parked_share, "", 0.03, 0, 0.3, "", "share of the floor its package shades when it is open")

/* One drive: a wire bed with one cloth, or two of which only one can be drawn. */
#define PINERY_DRIVE_FIELDS(X)                                                                                \
    X(INT, cloths, "", 1, 1, 2, "", "cloths on the drive; two exclude one another")                           \
    X(REAL, height, "m", NAN, 0.5, 20, "",                                                                    \
      "(optional) above the floor; not given: gutter height less 0.3 m per drive")                            \
    X(REAL, run_time, "s", 240, 5, 3600, "", "for the whole way")                                             \
    X(REAL, edge_gap, "", 0.003, 0, 0.2, "", "share of the floor that stays open round the edges when drawn") \
    X(REAL, pitch, "m", 4.5, 0.5, 50, "", "from truss to truss: a slit is its share of this wide")            \
    X(REAL, gap_width, "m", 0.1, 0.005, 5, "", "width of the gaps along the edges")

/* A heating circuit. */
#define PINERY_PIPE_FIELDS(X)                                                             \
    X(REAL, length, "m/m2", 0, 0, 20, "", "pipe per m2 of floor; 0: no such circuit")     \
    X(REAL, diameter, "m", 0.051, 0.005, 0.3, "", "outside")                              \
    X(REAL, wall, "m", 0.00225, 1e-4, 0.02, "", "thickness of the steel")                 \
    X(REAL, emissivity, "", 0.9, 0.01, 1, "", "of the painted pipe")                      \
    X(REAL, max_temperature, "degC", 70, 10, 110, "", "limit of the circuit")             \
    X(REAL, max_power, "W/m2", 250, 0, 1000, "", "limit of the circuit per m2 of floor")  \
    X(REAL, pump_power, "W/m2", 0.2, 0, 10, "", "electric, while it heats at full power") \
    X(REAL, drop, "K", 20, 1, 60, "", "from flow to return water at full power; a boiler's condenser gets the return")

/* A group of lamps. What is neither light, near infrared nor long wave leaves by convection. */
#define PINERY_LAMP_FIELDS(X)                                                                             \
    X(TEXT, name, "", 0, 0, 0, "", "what it is called in tables")                                         \
    X(REAL, power, "W/m2", 0, 0, 500, "", "electric at full output, ballast or driver included; 0: none") \
    X(REAL, photons, "umol/J", 1.8, 0, 5, "", "PAR photons per joule of that power")                      \
    X(REAL, light_share, "", 0.37, 0, 1, "", "of the power that leaves as PAR")                           \
    X(REAL, nir_share, "", 0.22, 0, 1, "", "of the power that leaves as near infrared")                   \
    X(REAL, longwave_share, "", 0.18, 0, 1, "", "of the power that the hot lamp radiates as long wave")   \
    X(REAL, upward_share, "", 0.0, 0, 1, "", "of light and near infrared sent upward")                    \
    X(CHOICE, place, "", 0, 0, 1, "top|rows", "above the crop or between the rows")                       \
    X(REAL, run_time, "s", 60, 5, 3600, "", "from off to full output")

/* Fans of one kind, evenly spread. */
#define PINERY_FAN_FIELDS(X)                                                            \
    X(REAL, flow, "m3/s", 0, 0, 20, "", "air moved by one unit at full speed; 0: none") \
    X(REAL, area, "m2", 250, 1, 10000, "", "floor served by one unit")                  \
    X(REAL, power, "W", 250, 0, 20000, "", "electric, one unit at full speed")          \
    X(REAL, run_time, "s", 30, 5, 600, "", "from standstill to full speed")             \
    X(REAL, lower_share, "", 0.5, 0, 1, "", "of the air it brings that arrives in the lower air")

/* The boiler. */
#define PINERY_BOILER_FIELDS(X)                                                                              \
    X(REAL, efficiency, "", 0.95, 0.3, 1.1, "", "heat to the pipes per heat in the gas, on the basis below") \
    X(CHOICE, basis, "", 0, 0, 1, "net|gross", "heating value that efficiency and gas are stated on")        \
    X(REAL, heating_value, "J/m3", 31.65e6, 1e7, 6e7, "", "of the gas on that basis")                        \
    X(REAL, max_power, "W/m2", 300, 0, 2000, "", "heat to all circuits")                                     \
    X(BOOL, condenser, "", 0, 0, 1, "",                                                                      \
      "1: one in the return water adds to the efficiency; its water is no part of the house's")              \
    X(REAL, approach, "K", 10, 0, 60, "",                                                                    \
      "condenser: flue gas over the return at full load; less in proportion at part load")                   \
    X(REAL, excess_air, "", 0.15, 0, 1, "", "condenser: share of air over what burning needs")               \
    X(REAL, case_loss, "", 0, 0, 0.1, "", "of max_power, lost while it burns at any load; not in the efficiency")

/* The house proper. */
#define PINERY_HOUSE_FIELDS(X)                                                                                         \
    X(TEXT, name, "", 0, 0, 0, "", "what it is called in tables")                                                      \
    X(REAL, length, "m", 100, 3, 2000, "", "along the ridges")                                                         \
    X(REAL, width, "m", 96, 3, 2000, "", "across the ridges")                                                          \
    X(REAL, gutter_height, "m", 5.5, 1.5, 15, "", "above the floor")                                                   \
    X(REAL, span, "m", 4.0, 1, 40, "", "width of one ridge")                                                           \
    X(REAL, roof_slope, "deg", 22, 1, 60, "", "of the roof planes")                                                    \
    X(REAL, ridge_azimuth, "deg", 0, -180, 360, "", "direction of the ridges, clockwise from north")                   \
    X(REAL, split_height, "m", 1.2, 0.2, 5, "", "between the lower air and the upper air")                             \
    X(BOOL, walls, "", 1, 0, 1, "", "0: a piece out of the middle of a large house, no gables, sides or slab edge")    \
    X(REAL, wall_cloth_resistance, "m2 K/W", 0, 0, 5, "", "of a cloth that hangs before the walls at night; 0: none")  \
    X(REAL, inner_wall_share, "", 0, 0, 1, "", "of gables and sides, what stands between this house and heated rooms") \
    X(REAL, inner_wall_u, "W/(m2 K)", 3.8, 0, 10, "", "of such a wall, from air to air; 3.8 is a single pane")         \
    X(REAL, neighbour, "degC", 18, -20, 50, "", "air in those rooms, in the dark")                                     \
    X(REAL, neighbour_sun, "K", 0, 0, 30, "", "what it is warmer at 1000 W/m2 of global radiation, in proportion")     \
    X(REAL, neighbour_day, "K", 0, -10, 10, "", "what it is warmer by day, while the sun is up")                       \
    X(REAL, structure_shade, "", 0.08, 0, 0.6, "", "share of the light that bars, gutters and trusses take")           \
    X(REAL, structure_heat, "", 0.5, 0, 1, "",                                                                         \
      "share of that light which warms the air under the cover; the rest is thrown back or lost outside")              \
    X(REAL, vent_area, "m2/m2", 0.10, 0, 1, "",                                                                        \
      "flaps of one side of the ridges per m2 of floor; lee and wind side are alike")                                  \
    X(REAL, vent_angle, "deg", 44, 5, 90, "", "of a fully open flap")                                                  \
    X(REAL, vent_flap, "m", 1.0, 0.1, 5, "", "from the hinge to the free edge of a flap")                              \
    X(REAL, vent_discharge, "", 0.644, 0.1, 1, "", "discharge coefficient C_d of the vents")                           \
    X(REAL, vent_wind_lee, "", 0.03, 0, 0.5, "", "wind effect coefficient C_w of vents on the lee side")               \
    X(REAL, vent_wind_windward, "", 0.09, 0, 0.5, "", "wind effect coefficient C_w of vents on the wind side")         \
    X(REAL, vent_run_time, "s", 300, 5, 3600, "", "for the whole way")                                                 \
    X(REAL, leakage, "m3/(m2 s) per m/s", 1e-4, 0, 5e-3, "", "air that leaks through the cover per wind speed")        \
    X(REAL, slit_fall_share, "", 0.5, 0, 1, "",                                                                        \
      "of the cold air that falls through a slit, what reaches the lower air; no source")                              \
    X(REAL, wind_factor, "", 0.9, 0.1, 1.5, "", "wind at the cover over wind at the station")                          \
    X(CHOICE, outside_convection, "", 0, 0, 3, "bot|mcadams|watmuff|papadakis", "law of heat loss to the wind")        \
    X(REAL, cover_convection, "", 1, 0.2, 5, "",                                                                       \
      "multiplies the convection between air and cover, and condensation with it; 1 is still air, for calibration")    \
    X(REAL, pressure_span, "", 0.4, 0, 2, "", "pressure-coefficient difference from end to end of the roof")           \
    X(REAL, floor_reflectance, "", 0.3, 0, 1, "", "of solar radiation")                                                \
    X(REAL, floor_emissivity, "", 0.93, 0.1, 1, "", "long wave")                                                       \
    X(REAL, soil_conductivity, "W/(m K)", 1.5, 0.05, 10, "", "of the ground")                                          \
    X(REAL, soil_capacity, "J/(m3 K)", 3.0e6, 1e5, 1e7, "", "of the ground")                                           \
    X(REAL, soil_depth, "m", 4, 0.5, 20, "", "at which the ground keeps its yearly mean")                              \
    X(INT, soil_layers, "", 10, 6, 16, "", "fine at the top")                                                          \
    X(REAL, water_temperature, "degC", 12, 1, 40, "", "of the irrigation water")                                       \
    X(REAL, co2, "ppm", 450, 200, 5000, "", "carbon dioxide in the house air, where it is not worked out")             \
    X(REAL, interior_capacity, "J/(m2 K)", 10000, 0, 500000, "",                                                       \
      "of benches, frame and pots, with the air below the drives")

/* The crop. */
#define PINERY_CROP_FIELDS(X)                                                                                    \
    X(TEXT, name, "", 0, 0, 0, "", "what it is called in tables")                                                \
    X(REAL, leaf_area, "m2/m2", 3, 0.01, 12, "", "leaf area index, one-sided, where the calendar has no points") \
    X(REAL, lower_share, "", 0.4, 0.02, 0.98, "", "of the leaf area that stands in the lower air")               \
    X(REAL, extinction_diffuse, "", 0.72, 0.1, 1.5, "", "of diffuse light, black leaves")                        \
    X(REAL, leaf_light_reflectance, "", 0.07, 0, 0.5, "", "of a leaf, PAR")                                      \
    X(REAL, leaf_light_transmittance, "", 0.05, 0, 0.5, "", "of a leaf, PAR")                                    \
    X(REAL, leaf_nir_reflectance, "", 0.42, 0, 0.8, "", "of a leaf, near infrared")                              \
    X(REAL, leaf_nir_transmittance, "", 0.40, 0, 0.8, "", "of a leaf, near infrared")                            \
    X(REAL, leaf_emissivity, "", 0.96, 0.5, 1, "", "long wave")                                                  \
    X(REAL, extinction_longwave, "", 0.94, 0.1, 1.5, "", "of long wave through the leaves")                      \
    X(REAL, leaf_width, "m", 0.05, 0.001, 1, "", "length scale of the leaf's boundary layer")                    \
    X(REAL, resistance_min, "s/m", 82, 10, 2000, "", "of the stomata, wide open")                                \
    X(REAL, resistance_night, "s/m", 1500, 50, 50000, "", "of the stomata in the dark")                          \
    X(REAL, transpiration_factor, "", 1, 0, 5, "", "multiplies the conductance of the stomata; for calibration") \
    X(REAL, leaf_mass, "kg/m2", 0.35, 0.01, 3, "", "fresh leaf and stem per m2 of leaf")                         \
    X(REAL, film_capacity, "kg/m2", 0.1, 0.001, 1, "", "water a leaf holds, per m2 of leaf")                     \
    X(REAL, leaf_uptake, "kg/(m2 s)", 1e-6, 1e-8, 1e-5, "",                                                      \
      "most carbon dioxide that a leaf takes up in full light; for the growth index alone")

#define PINERY_CROP_POINTS 24
#define PINERY_DRIVES 3
#define PINERY_LAMPS 2

typedef struct pinery_cover {
    PINERY_COVER_FIELDS(PINERY_MEMBER)
} pinery_cover;

typedef struct pinery_cloth {
    PINERY_CLOTH_FIELDS(PINERY_MEMBER)
} pinery_cloth;

typedef struct pinery_drive {
    PINERY_DRIVE_FIELDS(PINERY_MEMBER)
    pinery_cloth cloth[2];
} pinery_drive;

typedef struct pinery_pipe {
    PINERY_PIPE_FIELDS(PINERY_MEMBER)
} pinery_pipe;

typedef struct pinery_lamp {
    PINERY_LAMP_FIELDS(PINERY_MEMBER)
} pinery_lamp;

typedef struct pinery_fan {
    PINERY_FAN_FIELDS(PINERY_MEMBER)
} pinery_fan;

typedef struct pinery_boiler {
    PINERY_BOILER_FIELDS(PINERY_MEMBER)
} pinery_boiler;

/* The crop on a day of the year; straight between points, round the year of 365 or 366 days. Leaf area 0 is an empty
 * house. */
typedef struct pinery_crop_point {
    double day; /* 1 .. 366 */
    double leaf_area;
    double height; /* m above the floor; 0 in all points: not told, and the leaves are split by lower_share */
} pinery_crop_point;

typedef struct pinery_crop {
    PINERY_CROP_FIELDS(PINERY_MEMBER)
    int points; /* used in calendar */
    pinery_crop_point calendar[PINERY_CROP_POINTS];
} pinery_crop;

typedef struct pinery_house {
    PINERY_HOUSE_FIELDS(PINERY_MEMBER)
    pinery_cover cover;
    pinery_cover wall;
    int drives;                        /* 0 .. PINERY_DRIVES, the lowest first */
    pinery_drive drive[PINERY_DRIVES]; /* drive[0] hangs lowest */
    pinery_pipe pipe_lower, pipe_upper;
    pinery_lamp lamp[PINERY_LAMPS];
    pinery_fan fan_through;     /* brings the air above the drives down through the cloths */
    pinery_fan fan_circulation; /* mixes lower and upper air */
    pinery_duct duct;           /* what takes moisture out */
    pinery_recovery recovery;
    pinery_dehumidifier dehumidifier;
    pinery_desiccant desiccant;
    pinery_tank tank; /* where heat comes from, besides the boiler */
    pinery_cogeneration cogeneration;
    pinery_bought bought_heat;
    pinery_heat_pump heat_pump;
    pinery_electric electric_boiler;
    pinery_carbon carbon; /* carbon dioxide of the air */
    pinery_boiler boiler;
    pinery_contract contract;
    pinery_crop crop;
} pinery_house;

PINERY_API extern const pinery_fields pinery_cover_fields, pinery_cloth_fields, pinery_drive_fields, pinery_pipe_fields,
    pinery_lamp_fields, pinery_fan_fields, pinery_boiler_fields, pinery_house_fields, pinery_crop_fields;

/* A house with every default: single glass, no drives, lower pipes, no lamps, no fans, nothing that dries, the default
 * crop. */
PINERY_API void pinery_house_default(pinery_house *house);

/* Check every field and the rules that span fields (shares that add up, drive heights in order, a cloth named twice).
 */
PINERY_API pinery_status pinery_house_check(const pinery_house *house, pinery_error *error);

/* X(key, kind): what there are presets of; kind is what it is called. */
#define PINERY_PRESET_KINDS(X)      \
    X(cover, "cover")               \
    X(cloth, "cloth")               \
    X(lamp, "lamp")                 \
    X(crop, "crop")                 \
    X(fan, "fan")                   \
    X(duct, "duct")                 \
    X(recovery, "recovery")         \
    X(dehumidifier, "dehumidifier") \
    X(desiccant, "desiccant")       \
    X(boiler, "boiler")             \
    X(tank, "tank")                 \
    X(cogeneration, "cogeneration") \
    X(heat_pump, "heat pump")

/* Presets of generic materials and units by name, as pinery_cover_preset(name, &cover, &error): each gives a filled
 * struct, or BAD_INPUT with the known names. */
PINERY_API pinery_status pinery_cover_preset(const char *name, pinery_cover *cover, pinery_error *error);
PINERY_API pinery_status pinery_cloth_preset(const char *name, pinery_cloth *cloth, pinery_error *error);
PINERY_API pinery_status pinery_lamp_preset(const char *name, pinery_lamp *lamp, pinery_error *error);
PINERY_API pinery_status pinery_crop_preset(const char *name, pinery_crop *crop, pinery_error *error);
PINERY_API pinery_status pinery_fan_preset(const char *name, pinery_fan *fan, pinery_error *error);
PINERY_API pinery_status pinery_duct_preset(const char *name, pinery_duct *duct, pinery_error *error);
PINERY_API pinery_status pinery_recovery_preset(const char *name, pinery_recovery *recovery, pinery_error *error);
PINERY_API pinery_status pinery_dehumidifier_preset(const char *name, pinery_dehumidifier *dehumidifier,
                                                    pinery_error *error);
PINERY_API pinery_status pinery_desiccant_preset(const char *name, pinery_desiccant *desiccant, pinery_error *error);
PINERY_API pinery_status pinery_boiler_preset(const char *name, pinery_boiler *boiler, pinery_error *error);
PINERY_API pinery_status pinery_tank_preset(const char *name, pinery_tank *tank, pinery_error *error);
PINERY_API pinery_status pinery_cogeneration_preset(const char *name, pinery_cogeneration *cogeneration,
                                                    pinery_error *error);
PINERY_API pinery_status pinery_heat_pump_preset(const char *name, pinery_heat_pump *heat_pump, pinery_error *error);
/* Their number and names, for listings; NULL past the end. */
PINERY_API const char *pinery_preset_name(const char *kind, int i);

#ifdef __cplusplus
}
#endif
#endif
