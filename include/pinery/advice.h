/* A strategy and a house looked at before they are run: rules that contradict each other or are dangerous, with the
 * hours in which it would happen, and the cautions that belong to what the house has.
 *
 * The cloths follow the weather alone, so their rules are walked along all of it. What depends on the air in the house
 * is seen in short runs of two days in every twelve; hours are scaled from them to the whole. */
#ifndef PINERY_ADVICE_H
#define PINERY_ADVICE_H

#include "pinery/run.h"

#ifdef __cplusplus
extern "C" {
#endif

/* X(key, is a warning, title, caution): a warning is of rules, a caution of what stands in the house. */
#define PINERY_WARNINGS(X)                                                                                            \
    X(lamps_under_cloth, true, "lamps lit under a shut cloth, and no way out for the heat",                           \
      "The house overheats, and so may lamps, wiring and cloth. Give the heat a way out or the lamps a limit; keep "  \
      "the clearances that your fire code, your electrician and your insurer ask for.")                               \
    X(cloth_in_snow, true, "cloth shut while snow falls",                                                             \
      "A roof over a shut cloth does not melt snow, and loads have broken houses. Park the cloth before or when it "  \
      "falls, start the heating early, and ask the builder of the house what it carries.")                            \
    X(slit_against_fan, true, "slit open and through-cloth fans running at once",                                     \
      "The slit lets in the cold air that the fans are there to bring down slowly, and takes their pressure.")        \
    X(both_cloths, true, "both cloths of one drive asked for",                                                        \
      "Only one can be drawn: the other rule is not obeyed in these hours.")                                          \
    X(heating_and_venting, true, "heating and venting at once",                                                       \
      "Hot pipes under open vents: heat is paid for and let out. Part of it may be meant, against humidity.")         \
    X(carbon_under_vents, true, "carbon dioxide dosed under open vents",                                              \
      "Most of it leaves with the air, and what was burnt or bought for it with it.")                                 \
    X(structure, false, "load on the frame",                                                                          \
      "Each cloth, fan or duct hangs on the frame and pulls at gutters and gables. Have the builder or a licensed "   \
      "structural engineer recalculate before one is added.")                                                         \
    X(fire, false, "lamps below a cloth",                                                                             \
      "Cloth burns and drips. Keep it clear of lamps and wiring as your code and insurer say, and ask for the fire "  \
      "class of the cloth; openings for fans are part of that question. No clearances are computed here.")            \
    X(carbon, false, "carbon dioxide in a closed house",                                                              \
      "Dosed carbon dioxide and flue gas stay long in a tight house. Have detectors and keep limits as your code "    \
      "says; never burn fuel in a closed house without a flue. No exposure is computed here.")                        \
    X(power_failure, false, "fans needed while a cloth is shut",                                                      \
      "Know what happens when the power fails and the fans stand still under a shut cloth; have the installation "    \
      "designed and inspected by a licensed electrician.")                                                            \
    X(moving_parts, false, "fans where people work",                                                                  \
      "Guards, a lock while someone works at them or on a trolley above, what holds them up, and noise are for the "  \
      "builder and your rules of safety at work; air must find its way out again, and openings weaken a cloth.")      \
    X(machines, false, "hot water, refrigerants, engines",                                                            \
      "Tanks, hot pipes and machines under pressure, refrigerants, exhaust and brine have laws and licensed trades "  \
      "of "                                                                                                           \
      "their own. Warm standing water and condensate that is used again ask for a look at water quality, Legionella " \
      "included.")                                                                                                    \
    X(light_at_night, false, "light that leaves a lit house",                                                         \
      "Rules on it differ by place, hour and season. Check your own; the hours of pinery.light_emission are an "      \
      "example.")                                                                                                     \
    X(people, false, "people under a blackout",                                                                       \
      "A blacked-out house in summer can be unfit to work in. Temperature and humidity are given, no judgement of "   \
      "health; after spraying, it airs slowly.")

typedef enum pinery_warning_kind {
#define X(key, warning, title, caution) PINERY_WARNING_##key,
    PINERY_WARNINGS(X)
#undef X
        PINERY_N_WARNINGS
} pinery_warning_kind;

typedef struct pinery_warning {
    pinery_warning_kind kind;
    bool is_warning;
    const char *key, *title, *caution;
    char rule[400];  /* the fields that do it, with their values; of a caution what stands in the house */
    double hours;    /* in the days of the run; NaN for a caution, and when the weather holds no snow to tell by */
    double error_h;  /* standard error of `hours`, from how the spells differ; 0 when all was looked at */
    double days;     /* of the run */
    double looked_d; /* days that were looked at; fewer than `days`: the hours are scaled */
    double first_s;  /* when it is first seen, since 1 January 00:00; NaN for a caution */
} pinery_warning;

typedef struct pinery_watch pinery_watch; /* opaque */

/* Everything at once: what there is to say of a run before it is run. *out is the caller's to free. */
PINERY_API pinery_status pinery_advise(const pinery_weather *weather, const pinery_house *house,
                                       const pinery_strategy *strategy, const pinery_options *options,
                                       pinery_watch **out, pinery_error *error);
PINERY_API int pinery_watch_count(const pinery_watch *watch);
PINERY_API pinery_warning pinery_watch_warning(const pinery_watch *watch, int i);
PINERY_API void pinery_watch_free(pinery_watch *watch); /* NULL is fine */

/* The same by hand, for a driver that changes orders between pinery_run_orders and pinery_run_advance:
 *
 *     pinery_watch_create(weather, &house, &strategy, &options, scripted, &watch, &error);
 *     for (int i = 0; pinery_watch_spell(watch, i, &spell); i++)
 *         ... a run with the options `spell`, and before each pinery_run_advance pinery_watch_note(watch, run, &orders)
 * ... pinery_watch_finish(watch);
 *
 * `scripted`: a script changes orders, so that the cloths too are only known from the runs. It cannot ask for both
 * cloths of a drive at once. */
PINERY_API pinery_status pinery_watch_create(const pinery_weather *weather, const pinery_house *house,
                                             const pinery_strategy *strategy, const pinery_options *options,
                                             bool scripted, pinery_watch **out, pinery_error *error);
PINERY_API bool pinery_watch_spell(pinery_watch *watch, int i, pinery_options *spell);
PINERY_API void pinery_watch_note(pinery_watch *watch, const pinery_run *run, const pinery_orders *orders);
PINERY_API void pinery_watch_finish(pinery_watch *watch);

#ifdef __cplusplus
}
#endif
#endif
