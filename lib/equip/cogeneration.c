/* Engine and generator: gas by a straight line in the load (Willans' line), what the engine burns for nothing and what
 * goes with its power:
 *
 *   fuel = power/electric ((1 - idle_share) load + idle_share on),   heat = heat_share fuel
 *
 * `on` runs smoothly from 0 at standstill to 1 at the least load, where the engine starts. Gas engines of 0.5 to 2 MW
 * reach 0.40 to 0.44 on the net value and lose about 0.03 of it at half load, which an idle share of 0.07 gives; heat
 * 0.45 to 0.55 with a condenser (data sheets and practice, from memory, unverified). */
#include "equip/sources.h"

struct pinery_equip_engine pinery_equip_engine(const pinery_cogeneration *engine, double load) {
    double n = load > 0.0 ? load : 0.0, d_on, on = pinery_base_ramp(n / engine->least_load, &d_on);
    double most = engine->power / engine->electric;
    struct pinery_equip_engine run = {.power = engine->power * n, .d_power = engine->power};
    run.fuel = most * ((1.0 - engine->idle_share) * n + engine->idle_share * on);
    run.d_fuel = most * (1.0 - engine->idle_share + engine->idle_share * d_on / engine->least_load);
    run.heat = engine->heat * run.fuel;
    run.d_heat = engine->heat * run.d_fuel;
    return run;
}

double pinery_equip_engine_earns(const pinery_cogeneration *engine, double power_price, double gas_price,
                                 double heat_worth) {
    struct pinery_equip_engine full = pinery_equip_engine(engine, 1.0);
    return full.power * power_price + full.heat * heat_worth - full.fuel * gas_price;
}
