/* A house made ready to integrate: geometry, capacities and light, constant through a run; and what is derived from the
 * unknowns at one moment. */
#ifndef PINERY_YEAR_MODEL_H
#define PINERY_YEAR_MODEL_H

#include "crop/stomata.h"
#include "house/along.h"
#include "house/cloth_air.h"
#include "house/ground.h"
#include "house/longwave.h"
#include "house/roof.h"
#include "house/shortwave.h"
#include "house/vents.h"
#include "pinery/run.h"
#include "sky/curve.h"
#include "year/links.h"
#include "year/streams.h"

#define PINERY_YEAR_WATER_HEAT 4186.0 /* J/(kg K), liquid; ASHRAE Fundamentals */
#define PINERY_YEAR_SUN_PHOTONS 4.57  /* umol per J of PAR from the sun; Thimijan & Heins 1983, HortScience 18:818 */
#define PINERY_YEAR_AIR_DENSITY \
    1.19 /* kg dry air per m3 at 20 degC, 60 % and 101325 Pa; scaled by the site's pressure */

/* The light of every weather record that has come through the cover, W per m2 of floor; made once per run. */
struct pinery_year_light {
    double *beam, *diffuse, *cover, *inner, *wall;
    double *day; /* share of the record in which the sun is up, no light */
};

/* What holds heat E = capacity T + water (latent + heat T) [J/m2]: for air latent and heat are those of vapour, else 0
 * and those of liquid water. */
struct pinery_year_store {
    double capacity;     /* J/(m2 K), without the water it holds */
    double latent;       /* J/kg */
    double heat;         /* J/(kg K), of the water held */
    double air;          /* kg dry air per m2 of floor; 0 when it is not air */
    double per_air;      /* 1/air; 0 when it is not air */
    double per_capacity; /* 1/capacity */
};

/* The stores that hold water side by side, by their rows; 1, 0, 0 where there is none. */
struct pinery_year_wet {
    double capacity[PINERY_YEAR_WET], latent[PINERY_YEAR_WET], heat[PINERY_YEAR_WET];
};

/* Level faces: the two nodes that each is between, and its steepness. */
enum { PINERY_YEAR_LEVELS = 2 + 2 * PINERY_DRIVES };
struct pinery_year_levels {
    int lower[PINERY_YEAR_LEVELS], upper[PINERY_YEAR_LEVELS];
    double steepness[PINERY_YEAR_LEVELS];
};

/* What convection and conduction link in this house, by its numbers among the links; flow_surfaces.c. */
enum { PINERY_YEAR_CONDUCTANCES = PINERY_YEAR_SOIL + 3 + PINERY_LAMPS };
struct pinery_year_surfaces {
    struct pinery_year_links links;
    struct pinery_year_levels levels;
    int floor, cover, gap, wind, wall_out, leaf[2], pipe[2], wall[2], under[PINERY_DRIVES], over[PINERY_DRIVES];
    int n; /* conductances that never change, between the nodes a and b */
    struct pinery_year_conductance {
        int link, a, b;
        double W_m2K;
    } conductance[PINERY_YEAR_CONDUCTANCES];
};

/* Both circuits of pipes, and the slopes of what they take; flow_heating.c. */
struct pinery_year_pipes {
    double most[2]; /* W/m2 a circuit may take; 0: it is not there */
    double pump[2]; /* W of its pump per W of heat */
    double flow[2]; /* kg/(m2 s) of its water */
    int column[PINERY_YEAR_SLOPE_SET];
    struct pinery_year_slope_set heat[2], gas, pumps;
};

struct pinery_year_model {
    const pinery_weather *weather;
    pinery_house house; /* resolved: heights and near infrared given */
    struct pinery_year_layout at;
    struct pinery_year_surfaces surfaces;
    struct pinery_year_streams streams;
    struct pinery_year_pipes pipes;
    struct pinery_year_slope_set move[PINERY_YEAR_N_ACTS]; /* of speeds; flow_acts.c */
    struct pinery_year_store store[PINERY_YEAR_N_NODES];
    int drives;
    int roof_air;                       /* the air node under the cover */
    int faces, face[PINERY_YEAR_FACES]; /* nodes whose faces get wet */
    int acts, act[PINERY_YEAR_N_ACTS];  /* positions that are unknowns */
    struct pinery_year_wet wet;
    bool two_panes;
    double pressure;                       /* Pa, mean of the weather */
    double density;                        /* kg dry air per m3 */
    double deep;                           /* degC, yearly mean outside, of the deep ground */
    double area;                           /* m2 */
    double cover_area;                     /* m2 of cover per m2 of floor */
    double wall_area;                      /* m2 of gables and sides to the outside per m2 of floor; 0: none */
    double inner_wall_area;                /* m2 of those to rooms next door per m2 of floor */
    double wall_low;                       /* share of the walls along the lower air */
    double tilt;                           /* rad, of the roof */
    double steepness;                      /* cos(tilt)^(1/3) */
    double structure_sun;                  /* share of the global radiation that warms the air by way of the frame */
    double wall_reach;                     /* share of what a bare wall would take up from inside */
    double crop_height;                    /* m, of the air from the floor to the lowest drive */
    double leak_area;                      /* m2 of cracks per m2 of floor */
    double edge;                           /* W/(m2 K), through the slab edge to the outside air */
    double pipe_area[2];                   /* m2 of surface per m2 of floor, lower and upper */
    double lamp_loss[2];                   /* W/(m2 K), from the lamp's body to the air */
    double soil_between[PINERY_YEAR_SOIL]; /* W/(m2 K), from layer i to i + 1, the last to the deep ground */
    double act_speed[PINERY_YEAR_N_ACTS];  /* 1/s; 0: not there */
    struct pinery_house_fabric drag[PINERY_DRIVES][2]; /* of the cloths of every drive */
    struct pinery_house_vents vents;
    struct pinery_house_roof roof;
    struct pinery_year_light light;
    bool sources;          /* of heat besides the boiler, or its efficiency changes: all heat is first one demand */
    bool by_return;        /* the boiler's efficiency goes by the water that comes back, and by its load */
    bool limited;          /* the contract limits gas */
    double gas_limit;      /* W/m2, heat in the most gas that may be drawn; infinite: no limit */
    double tank_loss;      /* W/(m2 K) */
    double vapour_by_heat; /* kg/(m2 s) per W/(m2 K) and Pa (moisture.h) */
    struct pinery_crop_stomata stomata;
    double per_ppm;  /* kg of carbon dioxide in the air of a m2 of floor, per ppm */
    double unbooked; /* W/m2 put into the upper air behind the books' back; 0 but in the test that closure must fail */
};

/* Weather at one moment. */
struct pinery_year_outside {
    double time_s;
    double temperature, vapour_pressure, infrared, wind, wind_station;  /* degC, Pa, W/m2, m/s */
    double global, beam, diffuse, cover_light, inner_light, wall_light; /* W/m2; beam .. below the cover */
    double day;                                                         /* 0 .. 1, is the sun up? */
};

/* The curves of the present record, kept from one evaluation to the next: coefficients of the powers 0 .. 3, curve
 * beside curve. */
enum { PINERY_YEAR_INSTANTS = 4, PINERY_YEAR_MEANS = 8 };
struct pinery_year_curves {
    long instant, mean; /* records they belong to; -1: none yet */
    double instants[4][PINERY_YEAR_INSTANTS], means[3][PINERY_YEAR_MEANS];
    double sun_elevation; /* rad, of the record */
};

/* Two of its ends, by number, their place in a table of all by all, and what they exchange: W/m2 by the difference of
 * black emissions. */
struct pinery_year_longwave {
    short a, b;
    int at;
    double factor;
};

/* Light and long wave of the present stack, kept until the stack changes. */
enum {
    STACK_SW = 3 + PINERY_DRIVES + 1,
    STACK_LW = 6 + PINERY_DRIVES + 3,
    STACK_ENDS = STACK_LW + 2,
    STACK_LIGHTS = 2 + PINERY_LAMPS
};
_Static_assert(STACK_ENDS *(STACK_ENDS - 1) / 2 <= PINERY_YEAR_LINKS, "all ends may see each other");
_Static_assert((int)STACK_LIGHTS == (int)PINERY_HOUSE_SW_LIGHTS, "beam, diffuse and lamps side by side");
struct pinery_year_stack {
    bool valid;
    double time_s;
    /* what they were worked out for: leaves and sun, cloths, faces by long wave */
    double leaf_key[3], cloth_key[3 * PINERY_DRIVES], face_key[1 + 3 * PINERY_DRIVES], area_key[2];
    double elevation;                        /* rad, of the sun when the light was worked out */
    struct pinery_house_sw_layer leaf[2][2]; /* the leaf layers in near infrared, PAR */
    int n_sw, sw_node[STACK_SW];
    double taken[STACK_SW][STACK_LIGHTS];  /* absorbed per W/m2 of beam and diffuse sun below the cover, and per W of
                                            * light and near infrared together of each lamp group */
    double beam_par, diffuse_par;          /* PAR on top of the crop per W/m2 of beam, diffuse */
    double lamp_par[PINERY_LAMPS];         /* PAR on the crop per W of lamp PAR */
    int n_lw, n_ends, lw_node[STACK_ENDS]; /* the layers, and then walls and outside air */
    int lw_leaf[2], lw_cloth, lw_cover;    /* numbers of layers */
    struct pinery_house_lw_layer lw_layer[STACK_LW];
    double lw_through;               /* transmittance of a pane */
    int lw_drawn;                    /* cloths that are drawn at all, a bit each */
    double wall_leaf[2], wall_floor; /* what the wall sees inside, as the factor of a pair */
    int n_pairs;
    struct pinery_year_longwave pair[STACK_ENDS * (STACK_ENDS - 1) / 2]; /* that see each other */
    struct pinery_year_links links;                                      /* of the pairs, by the same numbers */
    double lamp_longwave[PINERY_LAMPS][STACK_LW];
};

/* The light without cloths, kept until what it hangs on changes (growth.c): PAR on the crop per W/m2 of beam and
 * diffuse, with the packages of the cloths alone, and without any. */
struct pinery_year_open {
    bool valid;
    double key[2 + 2 * PINERY_DRIVES];
    double packages[2], none[2];
};

/* A motor on its way: begun at `begin`, there after `run` seconds. */
struct pinery_year_motor {
    double from, to, begin, run;
};

/* What the heating controller asks: K over the air seen, the most it may, and slopes. */
struct pinery_year_heating {
    double asked, most, by_integral, by_air[2], by_roof;
};

/* What follows from the unknowns at one moment. */
struct pinery_year_state {
    double T[PINERY_YEAR_N_ENDS];
    double water[PINERY_YEAR_N_NODES];                     /* kg/m2 */
    double x[PINERY_YEAR_N_ENDS], e[PINERY_YEAR_N_ENDS];   /* of air nodes and the outside: kg/kg, Pa */
    double h[PINERY_YEAR_N_ENDS], d_h[PINERY_YEAR_N_ENDS]; /* of the same: enthalpy, J per kg dry air, and by T */
    double e_sat[PINERY_YEAR_N_NODES], d_e_sat[PINERY_YEAR_N_NODES]; /* of faces that get wet: Pa, Pa/K */
    double d_e[PINERY_YEAR_N_AIRS];                                  /* de/dW of the air's water, Pa/(kg/m2) */
    double act[PINERY_YEAR_N_ACTS];
    double drawn[PINERY_DRIVES]; /* share of the floor that the cloth covers, slits and edges taken off */
    double leaf[2];              /* leaf area of the lower and upper layer, 0.01 together in an empty house */
    double leaf_area;            /* of both, 0 in an empty house */
    double cover_wind;           /* W/(m2 K), convection outside per m2 of cover */
    struct pinery_year_outside out;
    /* of use to more than one flow, and to whoever reads the house off */
    double seen, seen_e, seen_humidity; /* degC, Pa, 0 .. 1: what the controller sees */
    double d_seen_lower, d_seen_upper;  /* slopes of seen by the two air temperatures */
    double d_humidity_lower_T, d_humidity_upper_T, d_humidity_lower_W, d_humidity_upper_W;
    double end_to_end, along; /* K, m3/(m2 s) */
    double deficit, d_deficit_crop,
        d_deficit_roof; /* K, mean over the coldest end, and slopes by the crop and roof air */
    double along_time;  /* of which along and this are */
    struct pinery_house_ends ends_per_K;
    double fan_circulation; /* m3/(m2 s) */
    double leaf_wind;       /* m/s */
    struct pinery_year_heating heating;
    double co2;        /* ppm */
    double fresh;      /* m3/(m2 s) of outside air, by all ways */
    double light_crop; /* W/m2 PAR from the sun at the top of the crop */
};

/* Heat that pipes, coils and brine take in this moment [W/m2], with slopes by columns, which may stand twice. */
enum { PINERY_YEAR_DEMANDS = 96 };
struct pinery_year_demand {
    double value, back; /* back: times the temperature at which its water comes back, W degC/m2 */
    int n, column[PINERY_YEAR_DEMANDS];
    double slope[PINERY_YEAR_DEMANDS], back_slope[PINERY_YEAR_DEMANDS];
    double flue, d_flue; /* W/m2 of heat from gas burnt for carbon dioxide, without a condenser, and by ACT_CARBON */
};

/* Everything an evaluation needs to write to; one per run. */
struct pinery_year_work {
    const struct pinery_year_model *model;
    pinery_orders orders;        /* as they stand at the moment of the state */
    pinery_orders given;         /* as they were taken last */
    pinery_orders before, after; /* moving evenly from these to those, over so many seconds since (orders.c) */
    double since, over;
    bool moving;
    struct pinery_year_motor motor[PINERY_YEAR_N_ACTS];
    double arrived; /* when the last of them is there */
    bool standing;  /* and whether all are in the state so */
    struct pinery_year_curves curves;
    struct pinery_year_stack stack;
    struct pinery_year_open open;
    struct pinery_year_state state;
    struct pinery_year_demand demand; /* where model->sources */
    int which[PINERY_DRIVES];         /* the cloth of each drive that is on the wires now */
    bool exact;                       /* nothing is held for a moment: all is worked out anew in every evaluation */
    int fault;                        /* node that left physics in the last evaluation, or -1 */
    double fault_value;
};

/* Make the model; on failure it is safe to free. */
pinery_status pinery_year_build(const pinery_weather *weather, const pinery_house *house,
                                struct pinery_year_model *model, pinery_error *error);
void pinery_year_unbuild(struct pinery_year_model *model);

/* With all else of the model made. */
void pinery_year_surfaces_make(const struct pinery_year_model *model, struct pinery_year_surfaces *surfaces);
void pinery_year_levels_make(const struct pinery_year_model *model, struct pinery_year_levels *levels);
void pinery_year_streams_make(const struct pinery_year_model *model, struct pinery_year_streams *streams);
void pinery_year_moves_make(const struct pinery_year_model *model, struct pinery_year_slope_set *move);
void pinery_year_pipes_make(const struct pinery_year_model *model, struct pinery_year_pipes *pipes);

/* A settled guess: everything at the heating temperature, the soil between it and the deep ground. */
void pinery_year_start(const struct pinery_year_model *model, double temperature, double *y);

/* Record k of a column: a whole year wraps round, a part of one repeats its ends. */
double pinery_year_record(const pinery_weather *weather, const double *values, long k);

/* Weather at a time; false outside the weather. */
bool pinery_year_outside_at(const struct pinery_year_model *model, struct pinery_year_curves *curves, double time_s,
                            struct pinery_year_outside *out);

/* The crop at a time: leaf area, height [m], 0 where the calendar has none, and the leaf area of the two layers, which
 * is never quite 0. */
struct pinery_year_crop {
    double area, height, leaf[2];
};
void pinery_year_crop_at(const pinery_house *house, double year_days, double time_s, struct pinery_year_crop *now);
/* When its calendar has its next point after a time, s; INFINITY where the crop is always the same. */
double pinery_year_crop_bend(const pinery_house *house, double year_days, double time_s);

/* What a node takes to be a kelvin warmer, with its water, J/(m2 K), and the heat of its water, J/kg: dT/dE is 1 over
 * the one, dT/dW the other over it, with the other sign. */
static inline double pinery_year_capacity(const struct pinery_year_model *model, const struct pinery_year_state *state,
                                          int node) {
    return model->store[node].capacity + state->water[node] * model->store[node].heat;
}

static inline double pinery_year_heat_of_water(const struct pinery_year_model *model,
                                               const struct pinery_year_state *state, int node) {
    return model->store[node].latent + model->store[node].heat * state->T[node];
}

/* Unknowns to state; false when something has left physics, and then work->fault says what. */
bool pinery_year_state_of(struct pinery_year_work *work, double time_s, const double *y);
/* As much of it as is read off the house at a control instant. That lies inside a step of the solver and is none of its
 * own: no moment is left behind, and whoever evaluates there works out all of it. */
bool pinery_year_state_read_off(struct pinery_year_work *work, double time_s, const double *y);

/* Bring the stack up to date with the state; the light on top of the crop with it. */
void pinery_year_stack_update(struct pinery_year_work *work);
void pinery_year_stack_light(struct pinery_year_work *work); /* that light alone, with the stack as it is */

/* PAR on top of the crop per W/m2 of beam and of diffuse sun, were no cloth drawn: with the packages of the cloths as
 * they are, or without them too. */
void pinery_year_stack_open(const struct pinery_year_work *work, bool packages, double par[2]);

/* Rates of all unknowns and, when net->slope is set, their slopes. False as above. */
bool pinery_year_rates(struct pinery_year_work *work, double time_s, const double *y,
                       const struct pinery_year_net *net);

/* As much of it as reading the house off needs: state, light on the crop, and the difference along the house. */
bool pinery_year_observe(struct pinery_year_work *work, double time_s, const double *y,
                         const struct pinery_year_net *net);

/* Heat and water held by all nodes. */
void pinery_year_stored(const struct pinery_year_model *model, const double *y, double *heat, double *water);

/* The air node under and over a drive. */
static inline int pinery_year_air_below(int drive) {
    return drive == 0 ? NODE_AIR_UPPER : NODE_AIR_ABOVE + drive - 1;
}

static inline int pinery_year_air_above(int drive) {
    return NODE_AIR_ABOVE + drive;
}

/* The cloth a drive has on its wires. */
static inline const pinery_cloth *pinery_year_cloth(const struct pinery_year_work *work, int drive) {
    return &work->model->house.drive[drive].cloth[work->which[drive]];
}

#endif
