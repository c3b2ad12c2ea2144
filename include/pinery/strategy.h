/* A strategy: set-points, schedules and thresholds that say what the house is asked to do, and the orders they become.
 *
 * lib/control turns a strategy and what is seen into orders, once every control interval. An order is a fixed position,
 * or a law that the integration follows smoothly between two orders. A script may replace any order by its own. */
#ifndef PINERY_STRATEGY_H
#define PINERY_STRATEGY_H

#include "pinery/house.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One period of the day. It lasts until the next one begins. */
#define PINERY_PERIOD_FIELDS(X)                                                                             \
    X(CHOICE, from, "", 0, 0, 2, "clock|sunrise|sunset", "what `at` counts from")                           \
    X(REAL, at, "h", 0, -12, 24, "", "hour of the clock (standard time), or hours after sunrise or sunset") \
    X(REAL, heating, "degC", 18, 0, 40, "", "heating temperature")                                          \
    X(REAL, ventilation, "degC", 22, 0, 50, "", "ventilation temperature")

/* How one drive is used. */
#define PINERY_SCREEN_FIELDS(X)                                                                                      \
    X(BOOL, use, "", 1, 0, 1, "", "0: the cloth stays parked")                                                       \
    X(REAL, close_below_light, "W/m2", 5, 0, 1500, "", "night: drawn when global radiation is below this")           \
    X(REAL, close_below_outside, "degC", 14, -60, 60, "", "and the outside air is colder than this")                 \
    X(REAL, day_light, "W/m2", 0, 0, 1500, "", "day: kept drawn up to this radiation when it is cold; 0: never")     \
    X(REAL, day_outside, "degC", 0, -60, 60, "", "day: when the outside air is colder than this")                    \
    X(REAL, shade_above_light, "W/m2", 1500, 0, 1500, "", "drawn for shade above this radiation")                    \
    X(REAL, dark_from, "h", NAN, 0, 24, "", "(optional) blackout: drawn from this hour whatever the weather")        \
    X(REAL, dark_until, "h", NAN, 0, 24, "", "(optional) blackout: to this hour")                                    \
    X(INT, dark_first_day, "d", 1, 1, 366, "", "blackout: first day of the year on whose evening it begins")         \
    X(INT, dark_last_day, "d", 366, 1, 366, "",                                                                      \
      "blackout: last of these days; smaller than `dark_first_day`: over the New Year")                              \
    X(REAL, light_band, "W/m2", 5, 0, 200, "", "the radiation must pass a threshold by this much to reverse a move") \
    X(REAL, outside_band, "K", 0.5, 0, 10, "", "so must the outside temperature")                                    \
    X(REAL, pause, "s", 900, 0, 14400, "", "least time between two moves")                                           \
    X(REAL, drawn, "", 1, 0, 1, "", "share of the way it is drawn")                                                  \
    X(REAL, open_step, "", 1, 0.01, 1, "", "share of the way opened at a time; 1: all at once")                      \
    X(REAL, open_wait, "s", 600, 0, 7200, "", "wait between two steps")                                              \
    X(BOOL, open_in_snow, "", 1, 0, 1, "", "park it while snow falls, so that the roof is heated")                   \
    X(INT, night_cloth, "", 1, 1, 2, "", "cloth of the drive that is used at night")                                 \
    X(INT, day_cloth, "", 1, 1, 2, "", "cloth of the drive that is used by day")                                     \
    X(REAL, slit_humidity_max, "", 0, 0, 1, "", "widest slit pulled for humidity; 0: none")                          \
    X(REAL, slit_humidity_start, "%", 85, 0, 100, "", "relative humidity at which the slit begins")                  \
    X(REAL, slit_humidity_full, "%", 93, 0, 100, "", "and at which it is widest")                                    \
    X(REAL, slit_least_outside, "degC", -60, -60, 60, "", "no humidity slit when it is colder outside")              \
    X(REAL, slit_temperature_max, "", 0, 0, 1, "", "widest slit pulled against heat; 0: none")                       \
    X(REAL, slit_temperature_start, "K", 1, 0, 20, "", "above the ventilation temperature, where it begins")         \
    X(REAL, slit_temperature_full, "K", 3, 0.1, 30, "", "and where it is widest")

/* How one lamp group is used. */
#define PINERY_LIGHTING_FIELDS(X)                                                                            \
    X(BOOL, use, "", 1, 0, 1, "", "0: never lit")                                                            \
    X(REAL, from, "h", 0, -12, 24, "", "lit from this hour of the clock")                                    \
    X(REAL, to, "h", 18, -12, 24, "", "to this hour; earlier than `from`: over midnight")                    \
    X(CHOICE, from_of, "", 0, 0, 2, "clock|sunrise|sunset", "what `from` counts from, before it if below 0") \
    X(CHOICE, to_of, "", 0, 0, 2, "clock|sunrise|sunset", "what `to` counts from")                           \
    X(INT, first_day, "d", 258, 1, 366, "", "first day of the lighting season")                              \
    X(INT, last_day, "d", 120, 1, 366, "", "last day of it; smaller than `first_day`: over the New Year")    \
    X(REAL, off_above_light, "W/m2", 200, 0, 1500, "", "off when global radiation is above this")            \
    X(REAL, on_below_light, "W/m2", 150, 0, 1500, "", "on again below this")                                 \
    X(REAL, delay, "s", 0, 0, 7200, "", "the sun must be past either for so long before they follow")        \
    X(REAL, pause, "s", 1200, 0, 14400, "", "least time between two switchings")                             \
    X(REAL, off_above_air, "degC", 50, 0, 60, "", "off when the house is warmer")                            \
    X(REAL, day_sum, "mol/m2", 100, 0, 100, "", "no more once the crop has had this light today")            \
    X(REAL, output, "", 1, 0, 1, "", "share of full output")

/* How something that takes moisture out of the air is run: the duct, recovery of heat, the dehumidifier, the brine. */
#define PINERY_DRYING_FIELDS(X)                                                                        \
    X(REAL, humidity_start, "%", 85, 0, 100, "", "relative humidity at which it begins")               \
    X(REAL, humidity_full, "%", 92, 0, 100, "", "and at which it runs fully")                          \
    X(REAL, least, "", 0, 0, 1, "", "least share of full speed or duty")                               \
    X(REAL, most, "", 1, 0, 1, "", "highest; 0: never")                                                \
    X(REAL, vent_most, "", 0.1, 0, 1, "", "stands still while the lee vents are open wider than this") \
    X(BOOL, only_drawn, "", 0, 0, 1, "", "1: runs under a drawn cloth only")

/* How sources of heat besides the boiler are run. */
#define PINERY_SUPPLY_FIELDS(X)                                                                               \
    X(REAL, tank_fill, "", 1, 0, 1, "", "share of the tank's power with which sources fill it")               \
    X(REAL, bought_heat, "", 1, 0, 1, "", "share of the contracted heat that may be used")                    \
    X(REAL, heat_pump, "", 1, 0, 1, "", "share of the heat pump's heat that may be used")                     \
    X(REAL, electric_boiler, "", 1, 0, 1, "", "share of the electric boiler's heat that may be used")         \
    X(REAL, heat_pump_least_outside, "degC", -10, -60, 30, "", "it stands still when it is colder outside")   \
    X(CHOICE, cogeneration, "", 0, 0, 2, "heat|clock|never", "what the engine runs by")                       \
    X(REAL, load, "", 1, 0.05, 1, "", "at which it runs")                                                     \
    X(REAL, tank_start, "", 0.4, 0, 1, "", "by heat: it starts when the tank is emptier than this")           \
    X(REAL, tank_stop, "", 0.95, 0, 1, "", "it stops when the tank is fuller than this, whatever it runs by") \
    X(REAL, from, "h", 7, 0, 24, "", "by clock: it runs from this hour")                                      \
    X(REAL, to, "h", 22, 0, 24, "", "to this hour; earlier than `from`: over midnight")                       \
    X(REAL, pause, "s", 1800, 0, 14400, "", "least time between a start and a stop of the engine")

/* How carbon dioxide is dosed, where the house has it worked out. */
#define PINERY_DOSING_FIELDS(X)                                                                   \
    X(REAL, target, "ppm", 800, 0, 5000, "", "held while the vents are shut; 0: never dosed")     \
    X(REAL, target_open, "ppm", 450, 0, 5000, "", "held while they are open")                     \
    X(REAL, open_at, "", 0.1, 0, 1, "", "opening of the lee vents from which they count as open") \
    X(REAL, band, "ppm", 100, 10, 2000, "", "under the target at which it is dosed at full rate") \
    X(REAL, least_light, "W/m2", 40, 0, 1500, "",                                                 \
      "global radiation, or that of lamps, under which the crop gets none")                       \
    X(REAL, tank_stop, "", 0.95, 0, 1, "", "flue gas: none while the tank is fuller than this")

/* The rest of a strategy. */
#define PINERY_STRATEGY_FIELDS(X)                                                                                      \
    X(TEXT, name, "", 0, 0, 0, "", "what it is called in tables")                                                      \
    X(REAL, ramp, "K/h", 1, 0.05, 100, "", "fastest change of a set-point")                                            \
    X(REAL, light_raise, "K", 0, 0, 10, "", "heating and ventilation temperature raised by light")                     \
    X(REAL, light_raise_start, "W/m2", 100, 0, 1500, "", "radiation at which the raise begins")                        \
    X(REAL, light_raise_full, "W/m2", 400, 1, 1500, "", "and at which it is full")                                     \
    X(BOOL, hold_coldest, "", 0, 0, 1, "", "1: hold the coldest place at the heating temperature, not the mean")       \
    X(REAL, pipe_gain, "K/K", 12, 0.1, 100, "", "pipe temperature asked per kelvin below the heating temperature")     \
    X(REAL, pipe_integral_time, "s", 5400, 300, 86400, "", "in which the heating controller makes up what is missing") \
    X(REAL, upper_start, "", 0.5, 0, 1, "", "share of the heating demand at which the upper pipes begin")              \
    X(REAL, minimum_pipe, "degC", 0, 0, 80, "", "least temperature of the lower pipes; 0: none")                       \
    X(REAL, minimum_pipe_light, "W/m2", 200, 1, 1500, "", "radiation at which that minimum has gone")                  \
    X(REAL, maximum_pipe, "degC", 70, 10, 110, "", "highest temperature of either circuit")                            \
    X(REAL, vent_band, "K", 6, 0.5, 40, "", "lee vents go from shut to open over this band")                           \
    X(REAL, vent_wind_lag, "K", 2, 0, 20, "", "wind-side vents begin this much later")                                 \
    X(REAL, vent_wind_max, "", 0.5, 0, 1, "", "widest wind-side opening")                                              \
    X(REAL, vent_humidity_max, "", 0.05, 0, 1, "", "widest lee opening asked by humidity")                             \
    X(REAL, vent_humidity_start, "%", 88, 0, 100, "", "relative humidity at which it begins")                          \
    X(REAL, vent_humidity_full, "%", 95, 0, 100, "", "and at which it is widest")                                      \
    X(REAL, vent_over_screen, "", 0, 0, 1, "", "least opening of both sides over a drawn cloth")                       \
    X(REAL, vent_storm, "m/s", 15, 1, 60, "", "wind that shuts the wind side and limits the lee side to 0.1")          \
    X(REAL, vent_rain_max, "", 0.1, 0, 1, "", "widest opening in rain")                                                \
    X(REAL, vent_frost, "degC", -5, -60, 20, "",                                                                       \
      "colder: vents open no wider than they lately were, and stay shut once shut, since they may be frozen")          \
    X(REAL, fan_humidity_start, "%", 85, 0, 100, "", "relative humidity at which the through-cloth fans begin")        \
    X(REAL, fan_humidity_full, "%", 92, 0, 100, "", "and at which they run at full speed")                             \
    X(REAL, fan_least, "", 0, 0, 1, "", "least speed of the through-cloth fans while a cloth is drawn")                \
    X(REAL, fan_most, "", 1, 0, 1, "", "highest speed")                                                                \
    X(REAL, circulation_shut, "", 0, 0, 1, "", "speed of the circulation fans while a cloth is drawn")                 \
    X(REAL, circulation_open, "", 0, 0, 1, "", "speed otherwise")

#define PINERY_PERIODS 8

typedef struct pinery_period {
    PINERY_PERIOD_FIELDS(PINERY_MEMBER)
} pinery_period;

typedef struct pinery_screen {
    PINERY_SCREEN_FIELDS(PINERY_MEMBER)
} pinery_screen;

typedef struct pinery_lighting {
    PINERY_LIGHTING_FIELDS(PINERY_MEMBER)
} pinery_lighting;

typedef struct pinery_drying {
    PINERY_DRYING_FIELDS(PINERY_MEMBER)
} pinery_drying;

typedef struct pinery_dosing {
    PINERY_DOSING_FIELDS(PINERY_MEMBER)
} pinery_dosing;

typedef struct pinery_supply {
    PINERY_SUPPLY_FIELDS(PINERY_MEMBER)
} pinery_supply;

/* Places in the list of them. */
enum pinery_dryer { PINERY_DUCT, PINERY_RECOVERY, PINERY_DEHUMIDIFIER, PINERY_DESICCANT, PINERY_DRYERS };

typedef struct pinery_strategy {
    PINERY_STRATEGY_FIELDS(PINERY_MEMBER)
    int periods; /* 1 .. PINERY_PERIODS */
    pinery_period period[PINERY_PERIODS];
    pinery_screen screen[PINERY_DRIVES];
    pinery_lighting lighting[PINERY_LAMPS];
    pinery_drying drying[PINERY_DRYERS];
    pinery_supply supply;
    pinery_dosing dosing;
} pinery_strategy;

PINERY_API extern const pinery_fields pinery_period_fields, pinery_screen_fields, pinery_lighting_fields,
    pinery_drying_fields, pinery_supply_fields, pinery_dosing_fields, pinery_strategy_fields;

/* Every default: one period at 18/22 degC. */
PINERY_API void pinery_strategy_default(pinery_strategy *strategy);
PINERY_API pinery_status pinery_strategy_check(const pinery_strategy *strategy, pinery_error *error);

/* A position between 0 and 1 that follows the air: 1 - (1 - low)(1 - by_temperature r_T)(1 - by_humidity r_H), where
 * r_T and r_H are smooth ramps from 0 to 1 between start and full. A fixed position is {low = p}, the rest 0. */
typedef struct pinery_law {
    double low;
    double by_temperature, temperature_start, temperature_full; /* -, degC, degC */
    double by_humidity, humidity_start, humidity_full;          /* -, relative humidity 0 .. 1 */
    double high;                                                /* never above this; 1 in a fixed position */
} pinery_law;

/* What the house is asked to do until the next order. */
typedef struct pinery_orders {
    double heating;     /* degC, what the air seen is held at */
    double ventilation; /* degC, for information; it is inside the vent laws */
    bool hold_coldest;
    double pipe_gain, pipe_integral_time, upper_start; /* K/K, s, - */
    double pipe_least, pipe_most;   /* degC, limits of what heating asks of the lower pipes; most: of both */
    double pipe_lower, pipe_upper;  /* degC; not NaN: that temperature whatever the air is */
    double cloth[PINERY_DRIVES];    /* share drawn, 0 .. 1 */
    int which[PINERY_DRIVES];       /* cloth of the drive, 0 or 1 */
    pinery_law slit[PINERY_DRIVES]; /* share of the drawn cloth that is pulled back */
    pinery_law vent_lee, vent_wind;
    double lamp[PINERY_LAMPS];         /* output, 0 .. 1 */
    pinery_law fan_through;            /* speed */
    double fan_circulation;            /* speed, 0 .. 1 */
    pinery_law drying[PINERY_DRYERS];  /* speed or duty */
    double source[PINERY_SOURCES];     /* share of what it can give that may be used; the engine: its load */
    double tank_fill;                  /* share of the tank's power with which sources fill it */
    double carbon_target, carbon_band; /* ppm, held by dosing carbon dioxide; target 0: none */
} pinery_orders;

#ifdef __cplusplus
}
#endif
#endif
