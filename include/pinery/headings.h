/* The headings of the books: every flow of heat or water is booked under exactly one of these. The same list serves the
 * integration, the ledger, the CSV header and the report.
 *
 * X(key, side, water, doc): side is IN (into the house), OUT (out of it) or WITHIN (between two places in it); water is
 * 1 when the flow carries water. Totals are per m2 of floor: heat J/m2, water kg/m2, positive in the direction named.
 */
#ifndef PINERY_HEADINGS_H
#define PINERY_HEADINGS_H

#ifdef __cplusplus
extern "C" {
#endif

#define PINERY_HEADINGS(X)                                                                           \
    X(sun_cover, IN, 0, "sun taken up by the cover")                                                 \
    X(sun_cloths, IN, 0, "sun taken up by the cloths")                                               \
    X(sun_structure, IN, 0, "sun taken up by bars, gutters and trusses, to the air under the cover") \
    X(sun_canopy, IN, 0, "sun taken up by the leaves")                                               \
    X(sun_floor, IN, 0, "sun taken up by the floor")                                                 \
    X(lamp_body, IN, 0, "lamp power that heats the lamps themselves")                                \
    X(lamp_light, IN, 0, "lamp light and near infrared taken up in the house")                       \
    X(heat_lower, IN, 0, "boiler heat into the lower pipes")                                         \
    X(heat_upper, IN, 0, "boiler heat into the upper pipes")                                         \
    X(fan_heat, IN, 0, "fan power that heats the air")                                               \
    X(duct_coil, IN, 0, "boiler heat into outside air by duct")                                      \
    X(drying_power, IN, 0, "power of dehumidifiers and brine, warming the air")                      \
    X(desiccant_heat, IN, 0, "heat won back from boiling down brine")                                \
    X(tank_in, IN, 0, "heat into the tank")                                                          \
    X(water_supply, IN, 1, "water taken up by the roots")                                            \
    X(cover_sky, OUT, 0, "long wave from the cover to the sky")                                      \
    X(through_sky, OUT, 0, "long wave from the crop through the cover to the sky")                   \
    X(cloths_sky, OUT, 0, "long wave from cloths through the cover to the sky")                      \
    X(cover_wind, OUT, 0, "convection from the cover to the outside air")                            \
    X(wall_out, OUT, 0, "heat through gables and sides")                                             \
    X(neighbours, OUT, 0, "heat through inner walls to the rooms next door")                         \
    X(vents, OUT, 1, "air through the vents")                                                        \
    X(leakage, OUT, 1, "air that leaks through the cover")                                           \
    X(duct_air, OUT, 1, "roof air that leaves for outside air by duct")                              \
    X(recovery_air, OUT, 1, "air that leaves through the recovery of heat")                          \
    X(dehumidifier_water, OUT, 1, "water condensed by dehumidifiers")                                \
    X(desiccant_water, OUT, 1, "water taken up by brine")                                            \
    X(tank_out, OUT, 0, "heat out of the tank, to pipes, coils and brine")                           \
    X(tank_loss, OUT, 0, "heat that the tank loses")                                                 \
    X(ground, OUT, 0, "heat into the deep ground")                                                   \
    X(slab_edge, OUT, 0, "heat out under the edge of the floor")                                     \
    X(run_off, OUT, 1, "condensate that runs off into the gutters")                                  \
    X(drain, OUT, 1, "water that drips to the floor and drains")                                     \
    X(longwave_within, WITHIN, 0, "long wave between surfaces inside")                               \
    X(longwave_up, WITHIN, 0, "long wave from the crop to cloths and cover")                         \
    X(under_cloth, WITHIN, 1, "crop air to the lowest cloth: convection and vapour")                 \
    X(convection_cover, WITHIN, 0, "convection from the air to the cover")                           \
    X(convection_walls, WITHIN, 0, "convection from the air to gables and sides")                    \
    X(convection_cloths, WITHIN, 0, "convection between air and cloths")                             \
    X(convection_canopy, WITHIN, 0, "convection from leaves to air")                                 \
    X(convection_floor, WITHIN, 0, "convection from floor to air")                                   \
    X(convection_pipes, WITHIN, 0, "convection from pipes to air")                                   \
    X(convection_lamps, WITHIN, 0, "convection from lamps to air")                                   \
    X(conduction_within, WITHIN, 0, "conduction in soil and between panes")                          \
    X(air_mixing, WITHIN, 1, "air between lower and upper air")                                      \
    X(air_fabric, WITHIN, 1, "air through the fabric of the lowest cloth")                           \
    X(air_slit, WITHIN, 1, "air through slits and edges of drawn cloths, upward")                    \
    X(air_open, WITHIN, 1, "air past cloths that are not drawn, upward")                             \
    X(air_upper, WITHIN, 1, "air between the spaces over the lowest cloth, upward")                  \
    X(air_along, WITHIN, 1, "air the wind draws along the house through slits, upward")              \
    X(air_fan, WITHIN, 1, "air exchanged by through-cloth fans, upward")                             \
    X(duct_push, WITHIN, 1, "crop air pushed up by outside air by duct")                             \
    X(dehumidifier_tank, WITHIN, 0, "heat of the air by dehumidifiers to the tank")                  \
    X(transpiration, WITHIN, 1, "vapour from leaves to air")                                         \
    X(condensation_canopy, WITHIN, 1, "vapour from air to wet leaves")                               \
    X(condensation_cloths, WITHIN, 1, "vapour from air to cloths")                                   \
    X(condensation_cover, WITHIN, 1, "vapour from air to the cover")                                 \
    X(condensation_walls, WITHIN, 1, "vapour from air to gables and sides")

typedef enum pinery_side { PINERY_SIDE_IN, PINERY_SIDE_OUT, PINERY_SIDE_WITHIN } pinery_side;

typedef enum pinery_heading {
#define X(key, side, water, doc) PINERY_HEADING_##key,
    PINERY_HEADINGS(X)
#undef X
        PINERY_N_HEADINGS
} pinery_heading;

#ifdef __cplusplus
}
#endif
#endif
