/* Many runs of which only numbers are kept: each is read and freed as soon as it is done, so that a study of a thousand
 * runs holds but a few of them at a time. Runs without a script are on threads, one on each processor; a script's are
 * on the calling thread, meanwhile. */
#include <pthread.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "binding.h"

enum { MOST_THREADS = 64, AHEAD = 4 }; /* runs made ahead for each thread */

/* HERE: made, and waits for the calling thread. */
enum place { FREE, WAITING, HERE, BUSY, DONE };

struct slot {
    enum place place;
    int number; /* of the run, from 1 */
    struct pinery_lua_case *one;
    bool drives; /* the house has any */
    double result[PINERY_N_RESULTS], heat[PINERY_N_HEADINGS], water[PINERY_N_HEADINGS], stored;
};

struct batch {
    pthread_mutex_t lock;
    pthread_cond_t work, done;
    atomic_bool cancel;
    bool over; /* no more runs come */
    int runs, made, finished, slots, threads;
    double shown; /* when progress was last shown */
    double since; /* time from here on goes into runs, which no limit on the script counts */
    pthread_t thread[MOST_THREADS];
    struct slot slot[];
};

/* Stack of the work: how to make a run, its progress or nil, batch, cases by slot, numbers by run. */
enum { MAKE = 1, PROGRESS, BATCH, CASES, NUMBERS };

/* --- one run --- */

static void read_numbers(struct slot *slot) {
    const pinery_ledger *ledger = pinery_run_ledger(slot->one->run);
    for (int i = 0; i < PINERY_N_RESULTS; i++) {
        slot->result[i] = pinery_ledger_result(ledger, (pinery_result)i);
    }
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        slot->heat[i] = pinery_ledger_heat(ledger, (pinery_heading)i);
        slot->water[i] = pinery_ledger_water(ledger, (pinery_heading)i);
    }
    slot->stored = pinery_ledger_stored_heat(ledger);
    slot->drives = slot->one->house.drives > 0;
}

static void run(struct batch *batch, struct slot *slot) {
    pinery_lua_case_run(slot->one, &batch->cancel);
    if (slot->one->status == PINERY_OK && pinery_run_done(slot->one->run)) {
        read_numbers(slot);
    }
    pinery_run_free(slot->one->run);
    slot->one->run = NULL;
}

static struct slot *find(struct batch *batch, enum place place) {
    struct slot *first = NULL;
    for (int i = 0; i < batch->slots; i++) {
        struct slot *slot = &batch->slot[i];
        if (slot->place == place && (!first || slot->number < first->number)) {
            first = slot;
        }
    }
    return first;
}

static void *work(void *argument) {
    struct batch *batch = argument;
    pthread_mutex_lock(&batch->lock);
    for (;;) {
        struct slot *slot = find(batch, WAITING);
        if (slot) {
            slot->place = BUSY;
            pthread_mutex_unlock(&batch->lock);
            run(batch, slot);
            pthread_mutex_lock(&batch->lock);
            slot->place = DONE;
            pthread_cond_signal(&batch->done);
        } else if (batch->over) {
            break;
        } else {
            pthread_cond_wait(&batch->work, &batch->lock);
        }
    }
    pthread_mutex_unlock(&batch->lock);
    return NULL;
}

/* --- numbers for the script --- */

static void set_number(lua_State *L, const char *key, double value) {
    lua_pushnumber(L, value);
    lua_setfield(L, -2, key);
}

/* Put the numbers of a run, or { error = text }, into the list. */
static void push_numbers(lua_State *L, const struct slot *slot, const char *message) {
    lua_newtable(L);
    if (message) {
        lua_pushstring(L, message);
        lua_setfield(L, -2, "error");
    }
    for (int i = 0; !message && i < PINERY_N_RESULTS; i++) {
        set_number(L, pinery_result_name((pinery_result)i)->key, slot->result[i]);
    }
    if (!message) {
        double path[PINERY_STUDY_N_PATHS];
        pinery_study_paths(slot->heat, slot->water, slot->stored, path);
        lua_createtable(L, 0, PINERY_STUDY_N_PATHS);
        for (int i = 0; i < PINERY_STUDY_N_PATHS; i++) {
            set_number(L, pinery_study_path_name((pinery_study_path)i)->key, 1e-6 * path[i]);
        }
        lua_setfield(L, -2, "paths");
        double way[PINERY_STUDY_N_WAYS];
        pinery_study_ways(slot->heat, slot->water, slot->drives, way);
        lua_createtable(L, 0, PINERY_STUDY_N_WAYS);
        for (int i = 0; i < PINERY_STUDY_N_WAYS; i++) {
            set_number(L, pinery_study_way_name((pinery_study_way)i)->key, 1e-6 * way[i]);
        }
        lua_setfield(L, -2, "ways");
    }
    lua_rawseti(L, NUMBERS, slot->number);
}

/* --- the calling thread --- */

static void show(lua_State *L, void *context) {
    struct batch *batch = context;
    double now = pinery_lua_clock();
    if (!lua_isfunction(L, PROGRESS) || now - batch->shown < 0.1) {
        return;
    }
    batch->shown = now;
    lua_pushvalue(L, PROGRESS);
    lua_pushnumber(L, (double)batch->finished / batch->runs);
    lua_call(L, 1, 0);
}

/* make(number): a case, in a protected call; a text when it fails. */
static int make(lua_State *L) {
    lua_pushvalue(L, 1);
    lua_pushvalue(L, 2);
    lua_call(L, 1, 1);
    pinery_lua_case_push(L, -1, (int)lua_tointeger(L, 2), (struct pinery_lua_common){0}, "");
    return 1;
}

static void set_place(struct batch *batch, struct slot *slot, enum place place) {
    pthread_mutex_lock(&batch->lock);
    slot->place = place;
    pthread_cond_signal(&batch->work);
    pthread_mutex_unlock(&batch->lock);
}

/* Let go of the run of a slot, with its numbers or the message on top. */
static void finish(lua_State *L, struct batch *batch, struct slot *slot, const char *message) {
    push_numbers(L, slot, message);
    lua_settop(L, NUMBERS);
    if (slot->one) {
        pinery_lua_case_close(slot->one);
    }
    lua_pushnil(L);
    lua_rawseti(L, CASES, (int)(slot - batch->slot) + 1);
    slot->one = NULL;
    batch->finished++;
    set_place(batch, slot, FREE);
}

/* The message of a run that failed by itself, or NULL. */
static const char *failure(lua_State *L, const struct pinery_lua_case *one) {
    return one->status == PINERY_OK ? NULL : lua_pushfstring(L, "%s: %s", one->label, one->error.text);
}

static void leave_out(lua_State *L, struct batch *batch) {
    double now = pinery_lua_clock();
    pinery_lua_guard_pause(L, now - batch->since);
    batch->since = now;
}

/* Make the next run and put it into a free slot. */
static void next(lua_State *L, struct batch *batch, struct slot *slot) {
    leave_out(L, batch);
    slot->number = ++batch->made;
    lua_pushcfunction(L, make);
    lua_pushvalue(L, MAKE);
    lua_pushinteger(L, slot->number);
    int status = lua_pcall(L, 2, 1, 0);
    batch->since = pinery_lua_clock();
    if (status != LUA_OK) {
        finish(L, batch, slot, luaL_tolstring(L, -1, NULL));
        return;
    }
    slot->one = lua_touserdata(L, -1);
    pinery_lua_case_begin(L, lua_gettop(L));
    bool here = batch->threads == 0 || pinery_lua_case_has_control(L, -1);
    lua_rawseti(L, CASES, (int)(slot - batch->slot) + 1);
    if (slot->one->status != PINERY_OK) {
        finish(L, batch, slot, failure(L, slot->one));
    } else {
        set_place(batch, slot, here ? HERE : WAITING);
    }
}

/* A run on this thread. */
static void run_here(lua_State *L, struct batch *batch, struct slot *slot) {
    lua_rawgeti(L, CASES, (int)(slot - batch->slot) + 1);
    if (pinery_lua_case_drive(L, lua_gettop(L), show, batch)) {
        read_numbers(slot);
        finish(L, batch, slot, NULL);
    } else {
        finish(L, batch, slot, lua_pushfstring(L, "%s: %s", slot->one->label, lua_tostring(L, -1)));
    }
}

static void wait_for_one(struct batch *batch) {
    struct timespec until;
    clock_gettime(CLOCK_REALTIME, &until);
    until.tv_nsec += 50000000;
    if (until.tv_nsec >= 1000000000) {
        until.tv_nsec -= 1000000000;
        until.tv_sec++;
    }
    pthread_mutex_lock(&batch->lock);
    if (!find(batch, DONE)) {
        pthread_cond_timedwait(&batch->done, &batch->lock, &until);
    }
    pthread_mutex_unlock(&batch->lock);
}

/* Places change hands under the lock. What is FREE, HERE or DONE is the calling thread's alone. */
static struct slot *take(struct batch *batch, enum place place) {
    pthread_mutex_lock(&batch->lock);
    struct slot *slot = find(batch, place);
    pthread_mutex_unlock(&batch->lock);
    return slot;
}

static int all(lua_State *L) {
    struct batch *batch = lua_touserdata(L, BATCH);
    luaL_checkstack(L, 40, NULL);
    while (batch->finished < batch->runs) {
        struct slot *slot;
        show(L, batch);
        if ((slot = take(batch, DONE)) != NULL) {
            finish(L, batch, slot, failure(L, slot->one));
        } else if (batch->made < batch->runs && (slot = take(batch, FREE)) != NULL) {
            next(L, batch, slot);
        } else if ((slot = take(batch, HERE)) != NULL) {
            run_here(L, batch, slot);
        } else {
            wait_for_one(batch);
        }
    }
    return 0;
}

static void start(struct batch *batch, long most) {
    while (batch->threads < most && pthread_create(&batch->thread[batch->threads], NULL, work, batch) == 0) {
        batch->threads++;
    }
}

static void join(struct batch *batch) {
    pthread_mutex_lock(&batch->lock);
    batch->over = true;
    for (int i = 0; i < batch->slots; i++) {
        if (batch->slot[i].place == WAITING) {
            batch->slot[i].place = DONE;
        }
    }
    pthread_cond_broadcast(&batch->work);
    pthread_mutex_unlock(&batch->lock);
    for (; batch->threads > 0; batch->threads--) {
        pthread_join(batch->thread[batch->threads - 1], NULL);
    }
    pthread_mutex_destroy(&batch->lock);
    pthread_cond_destroy(&batch->work);
    pthread_cond_destroy(&batch->done);
}

/* batch(runs, make, progress): a list of what each run gave, results by name, paths and ways in MJ/m2, or { error =
 * text }. make(i) gives the case of run i as a table; progress may be nil: then the one the command has set, if any. */
int pinery_lua_batch(lua_State *L) {
    lua_settop(L, 3);
    int runs = (int)luaL_checkinteger(L, 1);
    if (lua_isnil(L, 3)) {
        lua_getfield(L, LUA_REGISTRYINDEX, PINERY_LUA_PROGRESS);
        lua_replace(L, 3);
    }
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    long threads = processors < 1 ? 1 : processors > MOST_THREADS ? MOST_THREADS : processors;
    long slots = AHEAD * threads;
    struct batch *batch = lua_newuserdatauv(L, sizeof *batch + (size_t)slots * sizeof *batch->slot, 0);
    memset(batch, 0, sizeof *batch + (size_t)slots * sizeof *batch->slot);
    batch->runs = runs;
    batch->slots = (int)slots;
    lua_createtable(L, (int)slots, 0);
    lua_createtable(L, runs, 0);
    luaL_checkstack(L, 10, NULL);
    lua_pushcfunction(L, all);
    for (int i = 2; i <= 6; i++) {
        lua_pushvalue(L, i);
    }
    pthread_mutex_init(&batch->lock, NULL);
    pthread_cond_init(&batch->work, NULL);
    pthread_cond_init(&batch->done, NULL);
    batch->since = pinery_lua_clock();
    start(batch, threads < runs ? threads : runs);
    int status = lua_pcall(L, 5, 0, 0);
    if (status != LUA_OK) {
        atomic_store(&batch->cancel, true);
    }
    join(batch);
    leave_out(L, batch);
    if (status != LUA_OK) {
        return lua_error(L);
    }
    lua_settop(L, 6);
    return 1;
}
