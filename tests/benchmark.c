/* What a year costs, and where the time goes: build/tests/benchmark [days]. Not a test: times depend on the machine, so
 * everything is printed as processor time scaled to a year, the quickest of three, and as ratios measured in this one
 * run, ours and the other in turn: a machine's speed may change within it. Two more words:
 *   benchmark rates         are the rates of octave/year.m ours?
 *   benchmark count [days]  that span alone, for count_instructions.sh, which counts instead of timing
 *
 * The house is that of scenarios/demo.lua with a second cloth. `plain` is the same right-hand side through CVODE's own
 * dense solver with difference quotients, begun anew at every control instant; a few days of it are scaled. */
#include <lauxlib.h>
#include <lualib.h>
#include <malloc.h>
#include <pthread.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

#include "binding.h"
#include "control/orders.h"
#include "octave/case.h"
#include "year/linear.h"
#include "year/orders.h"
#include "year/solver.h"

static const char setting[] =
    "local pinery = require 'pinery'\n"
    "local house = pinery.house { length = 100, width = 64, wall_cloth_resistance = 0.3, crop = 'cut rose',\n"
    "    drives = { { cloth = 'energy cloth' }, { cloth = 'energy cloth' } }, lower_pipes = { length = 2 },\n"
    "    upper_pipes = { length = 1 }, lamps = { { 'sodium top lamps', power = 80 } },\n"
    "    through_fans = { flow = 2500 / 3600, area = 250, power = 200 },\n"
    "    circulation_fans = { flow = 5000 / 3600, area = 250, power = 200 } }\n"
    "local strategy = pinery.strategy { pinery.day_night { sun = true, day = 18.5, night = 17 },\n"
    "    pinery.lamp_hours { from = 3, to = 19 }, hold_coldest = true, vent_over_screen = 0.03,\n"
    "    pinery.humidity_slit { most = 0.2, start = 80, full = 88 }, fan_most = 0 }\n"
    "local script = strategy:with { control = function(seen, orders)\n"
    "    if seen.humidity_upper > 92 then orders.vent_lee = 0.05 end end }\n"
    "return house, strategy, pinery.weather { typical = 'Denver', seed = 1 }, script\n";

static double now(clockid_t clock) {
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void stop(const char *text) {
    fprintf(stderr, "benchmark: %s\n", text);
    exit(EXIT_FAILURE);
}

struct setting {
    const pinery_weather *weather;
    pinery_house house;
    pinery_strategy strategy;
    pinery_options options;
};

struct timing {
    double seconds; /* of processor time a year */
    double gas, years;
    pinery_cost cost;
};

static struct timing timed_once(const struct setting *s) {
    struct timing t = {.years = (s->options.days + s->options.spin_up) / 365.0};
    pinery_run *run;
    pinery_error error = {0};
    double from = now(CLOCK_THREAD_CPUTIME_ID);
    if (pinery_run_create(s->weather, &s->house, &s->strategy, &s->options, &run, &error) ||
        pinery_run_all(run, &error))
        stop(error.text);
    t.seconds = (now(CLOCK_THREAD_CPUTIME_ID) - from) / t.years;
    t.gas = pinery_ledger_result(pinery_run_ledger(run), PINERY_RESULT_gas_m3_per_m2);
    t.cost = pinery_run_cost(run);
    pinery_run_free(run);
    return t;
}

/* The quickest of some: what else the machine does only makes it slower. */
enum { TIMES = 3 };

static struct timing quicker(const struct timing *least, const struct timing *t) {
    return least->years > 0.0 && least->seconds <= t->seconds ? *least : *t;
}

/* Ours and another set-up in turn, and how much longer the other takes. The quickest of ours so far is in `ever`. */
struct beside {
    struct timing other;
    double ratio;
};

static struct beside timed(const struct setting *ours, const struct setting *other, struct timing *ever) {
    struct timing least = {.years = 0.0}, others = least;
    for (int i = 0; i < TIMES; i++) {
        struct timing t = timed_once(ours);
        least = quicker(&least, &t);
        t = timed_once(other);
        others = quicker(&others, &t);
    }
    *ever = quicker(ever, &least);
    return (struct beside){others, others.seconds / least.seconds};
}

static void row(const char *what, const struct beside *beside) {
    const struct timing *t = &beside->other;
    const pinery_cost *c = &t->cost;
    printf("%-34s %8.3f %7.2f %8.0f %8.0f %8.0f %8.0f %7.0f %7.0f %7.0f\n", what, t->seconds, beside->ratio,
           (double)c->steps / t->years, (double)c->evaluations / t->years, (double)c->jacobians / t->years,
           (double)c->factorizations / t->years, (double)c->error_test_failures / t->years,
           (double)c->convergence_failures / t->years, (double)c->restarts / t->years);
}

static void head(const char *what) {
    printf("\n%-34s %8s %7s %8s %8s %8s %8s %7s %7s %7s\n", what, "s/year", "ratio", "steps", "evals", "slopes",
           "factors", "err.f.", "Newt.f.", "begun");
}

/* Microseconds of the parts of an evaluation, at a state of a day in January. */
static void parts(const struct setting *s, const struct timing *ours) {
    static struct pinery_year_model model;
    static struct pinery_year_work work;
    pinery_error error = {0};
    if (pinery_year_build(s->weather, &s->house, &model, &error))
        stop(error.text);
    work = (struct pinery_year_work){
        .model = &model, .curves = {.instant = -1000000, .mean = -1000000}, .state = {.out = {.time_s = NAN}}};
    struct pinery_control_memory memory;
    pinery_seen seen = {.hour = 6.0, .day = 10.0, .sunrise = 8.0, .sunset = 17.0};
    pinery_orders orders;
    pinery_control_start(&s->strategy, &memory);
    pinery_control_orders(&s->strategy, &memory, &seen, &orders);
    pinery_year_orders_settle(&work, &orders);
    size_t all = (size_t)model.at.all;
    double *y = malloc(all * sizeof *y), *rate = malloc((all + 1) * sizeof *rate), *b = calloc(all, sizeof *b);
    struct pinery_year_linear *lu = pinery_year_linear_create(&model);
    struct pinery_year_solver *solver = pinery_year_solver_create(&work, 0.03, false);
    if (!y || !rate || !b || !lu || !solver)
        stop("no memory");
    pinery_year_start(&model, 18.0, y);
    double time_s = 9.0 * 86400.0;
    if (pinery_year_solver_start(solver, time_s, time_s + 86400.0, y, &error) ||
        pinery_year_solver_to(solver, time_s + 36000.0, y, &error))
        stop(error.text);
    pinery_year_solver_free(solver);
    struct pinery_year_net plain = {&model.at, rate, NULL}, full = {&model.at, rate, pinery_year_linear_slopes(lu)};
    enum { CALLS = 20000 };
    double us[4], from = now(CLOCK_THREAD_CPUTIME_ID);
#define PER_CALL(i, statement)           \
    for (int k = 0; k < CALLS; k++) {    \
        double t = time_s + 36000.0 + k; \
        (void)t;                         \
        statement;                       \
    }                                    \
    us[i] = (now(CLOCK_THREAD_CPUTIME_ID) - from) * 1e6 / CALLS, from += us[i] * 1e-6 * CALLS
    PER_CALL(0, pinery_year_rates(&work, t, y, &plain));
    PER_CALL(1, pinery_year_rates(&work, t, y, &full));
    PER_CALL(2, pinery_year_linear_solve(lu, 60.0 + 1e-9 * t, &work.state, b, b));
    PER_CALL(3, pinery_year_linear_solve_again(lu, b, b));
#undef PER_CALL
    const pinery_cost *c = &ours->cost;
    const struct {
        const char *what;
        double us, times;
    } part[] = {{"evaluating all flows", us[0], (double)(c->evaluations - c->jacobians)},
                {"evaluating them with slopes", us[1], (double)c->jacobians},
                {"eliminating and solving", us[2], (double)c->factorizations},
                {"solving by the same factors", us[3], (double)(c->evaluations - c->factorizations)}};
    double sum = 0.0;
    printf("\n%-34s %8s %12s %8s\n", "where the time goes", "us each", "times/year", "s/year");
    for (size_t i = 0; i < sizeof part / sizeof *part; i++) {
        double seconds = part[i].us * 1e-6 * part[i].times / ours->years;
        sum += seconds;
        printf("%-34s %8.2f %12.0f %8.3f\n", part[i].what, part[i].us, part[i].times / ours->years, seconds);
    }
    printf("%-34s %8s %12s %8.3f\n", "CVODE, control, readings, ledger", "", "", ours->seconds - sum);
    printf("%d unknowns and %d running totals\n", model.at.n, model.at.all - model.at.n);
    pinery_year_linear_free(lu);
    pinery_year_unbuild(&model);
    free(y), free(rate), free(b);
}

static void *one_run(void *setting_) {
    timed_once(setting_);
    return NULL;
}

/* Seconds that so many threads take, a run each. */
static double side_by_side(const struct setting *s, int threads) {
    pthread_t thread[64];
    double from = now(CLOCK_MONOTONIC);
    for (int i = 0; i < threads; i++)
        if (pthread_create(&thread[i], NULL, one_run, (void *)(size_t)s))
            stop("no thread");
    for (int i = 0; i < threads; i++)
        pthread_join(thread[i], NULL);
    return now(CLOCK_MONOTONIC) - from;
}

static void threads(const struct setting *s, int most) {
    double single = 0.0;
    printf("\n%-34s %8s %12s\n", "threads, a run each", "s", "efficiency");
    for (int n = 1; n <= most; n++) {
        double seconds = side_by_side(s, n);
        for (int k = 1; k < TIMES; k++)
            seconds = fmin(seconds, side_by_side(s, n));
        single = n == 1 ? seconds : single;
        printf("%-34d %8.3f %11.0f%%\n", n, seconds, 100.0 * single / seconds);
    }
}

/* The same equations in GNU Octave (octave/year.m): its first line of output, for a week in March; false without it. */
enum { OCTAVE_DAYS = 7 };

static bool octave(const struct setting *s, const char *what, char *line, int size, int *status) {
    char path[] = "/tmp/pinery-octave-XXXXXX", command[512];
    pinery_error error = {0};
    if (system("command -v octave-cli >/dev/null 2>&1"))
        return false;
    int file = mkstemp(path);
    FILE *out = file < 0 ? NULL : fdopen(file, "w");
    if (!out || octave_case(out, s->weather, &s->house, &s->strategy, 74.0, OCTAVE_DAYS, &error))
        stop(out ? error.text : "no temporary file");
    fclose(out);
    snprintf(command, sizeof command, "octave-cli --norc '%s/octave/year.m' '%s' %s", PINERY_TESTS_DIR, path, what);
    FILE *answer = popen(command, "r");
    if (!answer || !fgets(line, size, answer))
        line[0] = '\0';
    *status = answer ? pclose(answer) : -1;
    remove(path);
    return true;
}

static void octave_line(const struct setting *s, const struct timing *ours) {
    char line[256];
    int status;
    double seconds, steps, evaluations, heat, own_heat, apart;
    if (!octave(s, "days", line, sizeof line, &status)) {
        printf("no octave-cli on the PATH: nothing to say of ode15s\n");
        return;
    }
    if (status ||
        sscanf(line, "%lf %lf %lf %lf %lf %lf", &seconds, &steps, &evaluations, &heat, &own_heat, &apart) != 6) {
        printf("octave-cli has failed; its ode15s wants an Octave that was built with SUNDIALS\n");
        return;
    }
    const double years = OCTAVE_DAYS / 365.0;
    printf("%-34s %8.0f %7.0f %8.0f %8.0f\n", "Octave's ode15s, a week scaled", seconds / years,
           seconds / years / ours->seconds, steps / years, evaluations / years);
    printf("    its pipes' heat %+.2f %%, its air %.3f K (root mean square) from ours under the same orders\n",
           100.0 * (heat / own_heat - 1.0), apart);
}

/* A span to be counted, from the middle of March. The call is by a pointer so that it stays one by its name. */
static void count(const struct setting *s, double days) {
    pinery_status (*volatile advance)(pinery_run *, const pinery_orders *, pinery_error *) = pinery_run_advance;
    pinery_options options = s->options;
    pinery_run *run;
    pinery_orders orders;
    pinery_error error = {0};
    options.first_day = 74.0;
    options.days = days;
    options.spin_up = 1.0;
    if (pinery_run_create(s->weather, &s->house, &s->strategy, &options, &run, &error))
        stop(error.text);
    while (!pinery_run_done(run)) {
        pinery_run_orders(run, &orders);
        if (advance(run, &orders, &error))
            stop(error.text);
    }
    pinery_cost cost = pinery_run_cost(run);
    printf("%ld steps %ld evaluations %ld intervals\n", cost.steps, cost.evaluations, cost.intervals);
    pinery_run_free(run);
}

static double script_seconds(lua_State *L, double days) {
    lua_getglobal(L, "pinery");
    lua_getfield(L, -1, "run");
    lua_newtable(L);
    for (int i = 1; i <= 2; i++) {
        lua_pushvalue(L, i == 1 ? 1 : 4);
        lua_setfield(L, -2, i == 1 ? "house" : "strategy");
    }
    lua_pushvalue(L, 3);
    lua_setfield(L, -2, "weather");
    lua_newtable(L);
    lua_pushnumber(L, days);
    lua_setfield(L, -2, "days");
    lua_setfield(L, -2, "options");
    double from = now(CLOCK_THREAD_CPUTIME_ID);
    if (lua_pcall(L, 1, 1, 0))
        stop(lua_tostring(L, -1));
    double seconds = now(CLOCK_THREAD_CPUTIME_ID) - from;
    lua_settop(L, 4);
    return seconds * 365.0 / (days + 20.0);
}

/* Whether Octave's rates are ours: 0 yes, 1 no, 77 there is no Octave. */
static int octave_rates(const struct setting *s) {
    char line[256];
    int status;
    if (!octave(s, "rates", line, sizeof line, &status)) {
        printf("SKIPPED: no octave-cli on the PATH\n");
        return 77;
    }
    printf("%s", line);
    return status ? EXIT_FAILURE : EXIT_SUCCESS;
}

int main(int argc, char **argv) {
    const char *word = argc > 1 ? argv[1] : "";
    bool counting = !strcmp(word, "count"), comparing = !strcmp(word, "rates");
    double days = comparing ? 1.0 : counting ? (argc > 2 ? atof(argv[2]) : 10.0) : argc > 1 ? atof(word) : 345.0;
    lua_State *L = luaL_newstate();
    if (!L || !(days >= 1.0 && days <= 345.0))
        stop(L ? "days go from 1 to 345" : "no memory");
    luaL_openlibs(L);
    luaL_requiref(L, "pinery", luaopen_pinery, 1);
    lua_settop(L, 0);
    if (luaL_dostring(L, setting))
        stop(lua_tostring(L, -1));
    struct setting s = {.weather = pinery_lua_weather(L, 3, "")->weather,
                        .house = *pinery_lua_house(L, 1, ""),
                        .strategy = *pinery_lua_strategy(L, 2, "")};
    pinery_options_default(&s.options);
    s.options.days = days;
    if (counting || comparing) {
        int status = EXIT_SUCCESS;
        if (counting)
            count(&s, days);
        else
            status = octave_rates(&s);
        lua_close(L);
        return status;
    }

    struct mallinfo2 before = mallinfo2();
    pinery_run *run;
    pinery_error error = {0};
    if (pinery_run_create(s.weather, &s.house, &s.strategy, &s.options, &run, &error))
        stop(error.text);
    double kB = (double)(mallinfo2().uordblks + mallinfo2().hblkhd - before.uordblks - before.hblkhd) / 1e3;
    pinery_run_free(run);
    struct timing ours = {.years = 0.0};
    struct setting other = s;
    struct beside beside = timed(&s, &s, &ours);
    head("set-up");
    row("ours", &beside);
    double script = INFINITY, alone = INFINITY;
    for (int i = 0; i < TIMES; i++) {
        script = fmin(script, script_seconds(L, days));
        alone = fmin(alone, timed_once(&s).seconds);
    }
    printf("%-34s %8.3f %7.2f\n", "ours, with a Lua function", script, script / alone);
    other.options.restart_always = true;
    beside = timed(&s, &other, &ours);
    row("ours, begun anew every 5 minutes", &beside);
    other.options.solver = 1;
    other.options.days = 2.0;
    other.options.spin_up = 1.0;
    beside = timed(&s, &other, &ours);
    row("plain, 3 days scaled", &beside);
    octave_line(&s, &ours);
    printf("memory of a run beside the weather: %.0f kB\n", kB);
    parts(&s, &ours);

    char what[64];
    head("against");
    for (int drives = 0; drives <= 3; drives++) {
        other = s;
        other.house.drives = drives;
        if (drives == 3)
            other.house.drive[2] = other.house.drive[1];
        other.house.fan_through.flow = drives ? s.house.fan_through.flow : 0.0;
        beside = timed(&s, &other, &ours);
        snprintf(what, sizeof what, "%d cloths", drives);
        row(what, &beside);
    }
    for (int layers = 6; layers <= 14; layers += 4) { /* 10 as shipped */
        other = s;
        other.house.soil_layers = layers;
        beside = timed(&s, &other, &ours);
        snprintf(what, sizeof what, "%d soil layers", layers);
        row(what, &beside);
    }
    for (double interval = 75.0; interval <= 1200.0; interval *= 2.0) {
        other = s;
        other.options.control_interval = interval;
        beside = timed(&s, &other, &ours);
        snprintf(what, sizeof what, "control every %g s: gas %.4f", interval, beside.other.gas);
        row(what, &beside);
    }
    for (double tolerance = 0.3; tolerance > 5e-4; tolerance *= 0.316227766) {
        other = s;
        other.options.tolerance = tolerance;
        beside = timed(&s, &other, &ours);
        snprintf(what, sizeof what, "tolerance %.2g K: gas %.4f", tolerance, beside.other.gas);
        row(what, &beside);
    }
    printf("\n%-34s %8.3f\n", "ours, the quickest of all above", ours.seconds);
    threads(&s, (int)sysconf(_SC_NPROCESSORS_ONLN));
    lua_close(L);
    return EXIT_SUCCESS;
}
