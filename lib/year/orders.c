/* Orders change at control instants; what they move does not jump.
 *
 * Motors of cloths, lamps and circulation fans, and sources of heat, are told a position and nothing else, so where
 * they are is a plain function of time: p = p0 + (p1 - p0) r((t - t0)/(|p1 - p0| run time)), r the ramp of smooth.h,
 * which starts and stops softly and takes the motor's own time over the way. The solver sees a force that changes with
 * time, not an unknown.
 *
 * Numbers that a law or the heating controller follows (temperatures, limits) move evenly over the control interval to
 * what is newly asked, when they change little: at most 1 K, or 0.05 of a position or humidity. The integration goes on
 * through such a change. Anything more, and any motor that is sent on its way, begins the integration anew. */
#include "year/orders.h"

#include <math.h>
#include <string.h>

#include "base/smooth.h"

static const double little_K = 1.0, little_share = 0.05;

/* ---- motors ---- */

static double motor_at(const struct pinery_year_motor *motor, double time_s) {
    double slope, done = motor->run > 0.0 ? (time_s - motor->begin) / motor->run : 1.0;
    return motor->from + (motor->to - motor->from) * pinery_base_ramp(done, &slope);
}

/* A drive asked for its other cloth parks the one it has first. */
static double asked_of(const struct pinery_year_work *work, int act, const pinery_orders *orders) {
    if (act < ACT_SLIT)
        return orders->which[act - ACT_CLOTH] == work->which[act - ACT_CLOTH] ? orders->cloth[act - ACT_CLOTH] : 0.0;
    if (act >= ACT_SOURCE && act < ACT_SOURCE + PINERY_SOURCES)
        return orders->source[act - ACT_SOURCE];
    return act == ACT_FAN_CIRCULATION ? orders->fan_circulation : orders->lamp[act - ACT_LAMP];
}

static bool send_motors(struct pinery_year_work *work, const pinery_orders *orders, double time_s) {
    bool sent = false;
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++) {
        double speed = work->model->act_speed[act];
        if (!pinery_year_is_motor(act) || !(speed > 0.0))
            continue;
        struct pinery_year_motor *motor = &work->motor[act];
        double asked = asked_of(work, act, orders);
        if (asked == motor->to)
            continue;
        double from = motor_at(motor, time_s);
        *motor = (struct pinery_year_motor){from, asked, time_s, fabs(asked - from) / speed};
        work->arrived = fmax(work->arrived, time_s + motor->run);
        work->standing = false;
        sent = true;
    }
    return sent;
}

/* ---- numbers that move evenly ---- */

/* All that may move so: X(member, what counts as little). */
#define LAW_LIMITS(X, law) X(law.low, little_share) X(law.high, little_share)
#define LAW_TEMPERATURE(X, law) \
    X(law.by_temperature, little_share) X(law.temperature_start, little_K) X(law.temperature_full, little_K)
#define LAW_HUMIDITY(X, law) \
    X(law.by_humidity, little_share) X(law.humidity_start, little_share) X(law.humidity_full, little_share)
#define LAW(X, law) LAW_LIMITS(X, law) LAW_TEMPERATURE(X, law) LAW_HUMIDITY(X, law)
#define TEMPERATURES(X) X(heating, little_K) X(ventilation, little_K) X(pipe_least, little_K) X(pipe_most, little_K)
#define SLITS(X) LAW(X, slit[0]) LAW(X, slit[1]) LAW(X, slit[2])
#define DRYING(X) LAW(X, drying[0]) LAW(X, drying[1]) LAW(X, drying[2]) LAW(X, drying[3])
#define MOVING(X) TEMPERATURES(X) SLITS(X) LAW(X, vent_lee) LAW(X, vent_wind) LAW(X, fan_through) DRYING(X)

/* `orders` but for what may move evenly, which is as in `before`; false when that has moved too far. */
static bool holds_still(const pinery_orders *before, const pinery_orders *orders) {
    pinery_orders rest = *orders;
#define X(member, little)                                   \
    if (!(fabs(orders->member - before->member) <= little)) \
        return false;                                       \
    rest.member = before->member;
    MOVING(X)
#undef X
    return memcmp(&rest, before, sizeof rest) == 0;
}

static void move_evenly(const pinery_orders *before, const pinery_orders *after, double share, pinery_orders *now) {
#define X(member, little) now->member = before->member + share * (after->member - before->member);
    MOVING(X)
#undef X
}

/* ---- taking them ---- */

void pinery_year_rest_rules(const struct pinery_year_model *model, pinery_strategy *strategy) {
    for (int d = model->drives; d < PINERY_DRIVES; d++)
        strategy->screen[d].use = false;
    for (int g = 0; g < PINERY_LAMPS; g++)
        strategy->lighting[g].use = strategy->lighting[g].use && model->house.lamp[g].power > 0.0;
    for (int i = 0; i < PINERY_DRYERS; i++)
        if (!(model->act_speed[ACT_DRYING + i] > 0.0))
            strategy->drying[i].least = strategy->drying[i].most = 0.0;
}

/* Orders to devices that are not there change nothing, and so begin nothing anew. */
static void leave_out(const struct pinery_year_model *model, pinery_orders *orders) {
    const double *speed = model->act_speed;
    const pinery_law none = {.low = 0.0};
    for (int d = model->drives; d < PINERY_DRIVES; d++) {
        orders->cloth[d] = 0.0;
        orders->which[d] = 0;
        orders->slit[d] = none;
    }
    for (int g = 0; g < PINERY_LAMPS; g++)
        orders->lamp[g] = speed[ACT_LAMP + g] > 0.0 ? orders->lamp[g] : 0.0;
    for (int i = 0; i < PINERY_DRYERS; i++)
        orders->drying[i] = speed[ACT_DRYING + i] > 0.0 ? orders->drying[i] : none;
    for (int i = 0; i < PINERY_SOURCES; i++)
        orders->source[i] = speed[ACT_SOURCE + i] > 0.0 ? orders->source[i] : 0.0;
    if (!model->sources)
        orders->tank_fill = 0.0;
    if (!model->house.carbon.balance)
        orders->carbon_target = orders->carbon_band = 0.0;
}

void pinery_year_orders_settle(struct pinery_year_work *work, const pinery_orders *given) {
    pinery_orders own = *given;
    const pinery_orders *orders = &own;
    leave_out(work->model, &own);
    work->orders = work->before = work->after = *orders;
    work->moving = work->standing = false;
    work->arrived = -INFINITY;
    for (int d = 0; d < work->model->drives; d++)
        work->which[d] = orders->which[d];
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++)
        if (pinery_year_is_motor(act)) {
            double asked = work->model->act_speed[act] > 0.0 ? asked_of(work, act, orders) : 0.0;
            work->motor[act] = (struct pinery_year_motor){asked, asked, 0.0, 0.0};
        }
}

bool pinery_year_orders_same(const struct pinery_year_work *work, const pinery_orders *given) {
    for (int d = 0; d < work->model->drives; d++)
        if (work->which[d] != given->which[d]) /* a cloth is being parked for the other */
            return false;
    return memcmp(&work->given, given, sizeof *given) == 0;
}

void pinery_year_orders_hold(struct pinery_year_work *work) {
    if (work->moving)
        work->orders = work->before = work->after;
    work->moving = false;
}

bool pinery_year_orders_take(struct pinery_year_work *work, const pinery_orders *given, double time_s,
                             double interval) {
    pinery_year_orders_hold(work);
    pinery_orders *orders = &work->after;
    *orders = work->given = *given;
    leave_out(work->model, orders);
    bool jump = false;
    for (int d = 0; d < work->model->drives; d++)
        if (work->which[d] != orders->which[d] && motor_at(&work->motor[ACT_CLOTH + d], time_s) < 0.02) {
            work->which[d] = orders->which[d];
            jump = true;
        }
    jump = send_motors(work, orders, time_s) || jump || !holds_still(&work->before, orders);
    if (jump)
        work->orders = work->before = *orders;
    work->moving = !jump && memcmp(&work->before, orders, sizeof *orders) != 0;
    work->since = time_s;
    work->over = interval;
    if (jump) { /* the same moment is another from now on */
        work->stack.valid = false;
        work->state.out.time_s = work->state.along_time = NAN;
    }
    return jump;
}

static void motors_at(struct pinery_year_work *work, double time_s) {
    double *act = work->state.act;
    for (int d = 0; d < work->model->drives; d++)
        act[ACT_CLOTH + d] = motor_at(&work->motor[ACT_CLOTH + d], time_s);
    for (int g = 0; g < PINERY_LAMPS; g++)
        act[ACT_LAMP + g] = motor_at(&work->motor[ACT_LAMP + g], time_s);
    act[ACT_FAN_CIRCULATION] = motor_at(&work->motor[ACT_FAN_CIRCULATION], time_s);
    for (int i = 0; i < PINERY_SOURCES; i++)
        act[ACT_SOURCE + i] = motor_at(&work->motor[ACT_SOURCE + i], time_s);
}

void pinery_year_orders_at(struct pinery_year_work *work, double time_s) {
    bool arrived = time_s >= work->arrived;
    if (!arrived || !work->standing)
        motors_at(work, time_s);
    work->standing = arrived;
    if (!work->moving)
        return;
    double share = (time_s - work->since) / work->over;
    move_evenly(&work->before, &work->after, share < 0.0 ? 0.0 : share > 1.0 ? 1.0 : share, &work->orders);
}
