/* The answer of pinery.money as a table and as a page. */
#include <math.h>
#include <string.h>

#include "money.h"

static void set_number(lua_State *L, const char *key, double value) {
    if (isfinite(value)) {
        lua_pushnumber(L, value);
        lua_setfield(L, -2, key);
    }
}

static void push_items(lua_State *L, const pinery_bill *bill, const pinery_bill *was) {
    lua_createtable(L, 0, PINERY_N_BILL_ITEMS + 1);
    for (int i = 0; i < PINERY_N_BILL_ITEMS; i++) {
        set_number(L, pinery_bill_name((pinery_bill_item)i)->key, was ? was->item[i] - bill->item[i] : bill->item[i]);
    }
    set_number(L, "total", was ? was->total - bill->total : bill->total);
}

static void push_even(lua_State *L, const pinery_money_case *one) {
    const struct {
        const char *key;
        double value;
    } even[] = {{"gas_price", one->even_gas},
                {"power_price", one->even_power},
                {"investment", one->even_invest},
                {"light_value", one->even_light}};
    lua_createtable(L, 0, 4);
    for (size_t i = 0; i < sizeof even / sizeof *even; i++) {
        set_number(L, even[i].key, even[i].value > 0.0 ? even[i].value : NAN); /* nobody looks for one below 0 */
    }
}

static void push_case(lua_State *L, const struct pinery_lua_bill *q, int i) {
    const pinery_money_case *one = &q->cases[i];
    const pinery_bill *bill = &one->bill, *was = &q->cases[q->reference].bill;
    lua_createtable(L, 0, 20);
    lua_pushstring(L, q->name[i]);
    lua_setfield(L, -2, "name");
    push_items(L, bill, NULL);
    lua_setfield(L, -2, "cost_per_m2");
    push_items(L, bill, was);
    lua_setfield(L, -2, "saving_by_item");
    lua_createtable(L, 0, PINERY_N_METERS);
    for (int meter = 0; meter < PINERY_N_METERS; meter++) {
        if (strncmp(pinery_meter_name((pinery_meter)meter)->key, "power_", 6) == 0) {
            set_number(L, pinery_meter_name((pinery_meter)meter)->key, bill->use[meter]);
        }
    }
    lua_setfield(L, -2, "power_by_use");
    set_number(L, "saving_per_m2", one->saving);
    set_number(L, "saving_percent", one->saving_percent);
    lua_pushfstring(L, "all that is paid in %s", q->name[q->reference]);
    lua_setfield(L, -2, "saving_of");
    set_number(L, "gas_per_m2", bill->gas);
    set_number(L, "power_kWh_per_m2", bill->power);
    set_number(L, "gas_dosing_cost_per_m2", bill->gas_dosing);
    set_number(L, "gas_peak_per_m2", bill->gas_peak);
    set_number(L, "power_peak_kW_per_m2", bill->power_peak);
    set_number(L, "co2_kg_per_m2", bill->co2);
    set_number(L, "co2_gas_kg_per_m2", bill->co2_gas);
    set_number(L, "co2_power_kg_per_m2", bill->co2_power);
    set_number(L, "power_made_kWh_per_m2", bill->power_made);
    set_number(L, "power_sold_kWh_per_m2", bill->power_sold);
    if (i != q->reference) {
        set_number(L, "payback_years", one->payback);
        set_number(L, "npv_per_m2", one->npv);
        set_number(L, "probability", one->probability);
        push_even(L, one);
        lua_setfield(L, -2, "break_even");
    }
}

static void set_unit(lua_State *L, const char *key, const char *money, const char *per) {
    lua_pushfstring(L, "%s/%s", money, per);
    lua_setfield(L, -2, key);
}

/* What the numbers are in, and what the items of a bill are called, in their order. */
static void push_words(lua_State *L, const struct pinery_lua_bill *q, const char *money) {
    pinery_text gas;
    pinery_money_gas_unit_name(&q->tariff, gas);
    lua_createtable(L, 0, 4);
    set_unit(L, "gas_price", money, gas);
    set_unit(L, "power_price", money, "kWh");
    set_unit(L, "investment", money, "m2");
    set_unit(L, "light_value", money, "mol");
    lua_setfield(L, -2, "units");
    lua_pushstring(L, gas);
    lua_setfield(L, -2, "gas_unit");
    lua_createtable(L, PINERY_N_BILL_ITEMS, 0);
    for (int i = 0; i < PINERY_N_BILL_ITEMS; i++) {
        const pinery_name *name = pinery_bill_name((pinery_bill_item)i);
        lua_createtable(L, 0, 2);
        lua_pushstring(L, name->key);
        lua_setfield(L, -2, "key");
        lua_pushstring(L, name->doc);
        lua_setfield(L, -2, "name");
        lua_rawseti(L, -2, i + 1);
    }
    lua_setfield(L, -2, "items");
}

static pinery_status write_page(FILE *out, const void *context, pinery_error *error) {
    const struct pinery_lua_bill *q = context;
    return pinery_report_money(out,
                               &(pinery_report_money_page){.tariff = &q->tariff,
                                                           .n = q->n,
                                                           .reference = q->reference,
                                                           .cases = q->cases,
                                                           .name = (const char *const *)q->name,
                                                           .invest = q->invest,
                                                           .draws = q->draw_count},
                               error);
}

void pinery_lua_bill_push(lua_State *L, const struct pinery_lua_bill *q) {
    lua_createtable(L, 0, 6);
    const char *money = q->tariff.show_currency[0] != '\0' ? q->tariff.show_currency : q->tariff.currency;
    lua_pushstring(L, money);
    lua_setfield(L, -2, "currency");
    push_words(L, q, money);
    lua_pushstring(L, q->name[q->reference]);
    lua_setfield(L, -2, "reference");
    lua_createtable(L, q->n, q->n);
    lua_createtable(L, 0, q->n);
    for (int i = 0; i < q->n; i++) {
        push_case(L, q, i);
        if (lua_getfield(L, -1, "break_even") != LUA_TNIL) {
            lua_setfield(L, -3, q->name[i]);
        } else {
            lua_pop(L, 1);
        }
        lua_pushvalue(L, -1);
        lua_setfield(L, -4, q->name[i]);
        lua_rawseti(L, -3, i + 1);
    }
    lua_setfield(L, -3, "break_even");
    lua_setfield(L, -2, "cases");
    pinery_lua_page(L, write_page, q);
}
