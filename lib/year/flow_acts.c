/* Positions that follow a law (slits, vents, through-cloth fans): each moves towards what its law asks, at most at the
 * speed of its motor. What is merely told a position is in orders.c.
 *
 *   dp/dt = v s/(1 + s^2)^(1/2),   s = (asked - p)/0.1
 *
 * so that it runs at full speed v until it is a tenth of the way from where it should be, and then creeps up on it with
 * a time constant of 0.1/v (24 s for a motor that needs 240 s): smooth, where a real motor stops short.
 *
 * Heating: the pipes are asked for u kelvin over the air seen, by a proportional and an integral part; the integral is
 * a state with its own back-calculation where u has met a limit: u = clip(gain err + I, 0, most),   dI/dt = gain
 * err/T_i + (u - gain err - I)/600 s,   err = heating - seen */
#include "base/smooth.h"
#include "control/orders.h"
#include "year/flows.h"

static const double per_creep = 1.0 / 0.1, back_time = 600.0, corner_K = 1.0, most_err = 3.0;

/* What a speed goes by: the position, and the air seen; heating by the air under the cover instead of by water. */
enum { BY_POSITION, BY_T_LOWER, BY_T_UPPER, BY_W_LOWER, BY_W_UPPER, BY_ROOF, CAUSES };
_Static_assert((int)CAUSES == (int)PINERY_YEAR_SLOPE_SET, "one set");

void pinery_year_moves_make(const struct pinery_year_model *model, struct pinery_year_slope_set *move) {
    const struct pinery_year_layout *at = &model->at;
    int roof = model->roof_air > NODE_AIR_UPPER ? at->heat[model->roof_air] : at->sink;
    for (int act = 0; act < PINERY_YEAR_N_ACTS; act++) {
        bool heats = act == ACT_HEATING;
        const int column[CAUSES] = {at->act[act],
                                    at->heat[NODE_AIR_LOWER],
                                    at->heat[NODE_AIR_UPPER],
                                    heats ? at->sink : at->water[NODE_AIR_LOWER],
                                    heats ? at->sink : at->water[NODE_AIR_UPPER],
                                    heats ? roof : at->sink};
        for (int k = 0; k < CAUSES; k++)
            move[act].key[k] = net_row_key(at, at->act[act], column[k]);
    }
}

/* Slits, vents and fans follow the mean of the air seen; only heating looks at the coldest place. */
static void move(struct pinery_year_work *work, const struct pinery_year_net *net, int act, const pinery_law *law) {
    const struct pinery_year_state *s = &work->state;
    if (pinery_year_rests(s, act, law))
        return;
    double by_T, by_H, asked = pinery_control_law(law, s->seen, s->seen_humidity, &by_T, &by_H);
    double v = work->model->act_speed[act], off = (asked - s->act[act]) * per_creep,
           inverse = 1.0 / sqrt(1.0 + off * off);
    net_act(net, act, v * off * inverse);
    if (!net->slope)
        return;
    double slope = v * per_creep * inverse * inverse * inverse;
    if (law->by_temperature == 0.0 && law->by_humidity == 0.0) {
        net_act_slope(net, act, net->at->act[act], -slope);
        return; /* by the law, not by the moment: the list of slopes is to stay the same */
    }
    by_T *= slope;
    by_H *= slope;
    const double by[CAUSES] = {-slope,
                               by_T * s->d_seen_lower + by_H * s->d_humidity_lower_T,
                               by_T * s->d_seen_upper + by_H * s->d_humidity_upper_T,
                               by_H * s->d_humidity_lower_W,
                               by_H * s->d_humidity_upper_W,
                               0.0};
    pinery_year_slopes_add_set(net->slope, &work->model->move[act], by);
}

static void heating(struct pinery_year_work *work, const struct pinery_year_net *net) {
    struct pinery_year_state *s = &work->state;
    const pinery_orders *orders = &work->orders;
    double held = s->seen - (orders->hold_coldest ? s->deficit : 0.0), off = (orders->heating - held) / most_err;
    double root = sqrt(1.0 + off * off), err = most_err * off / root, d_err = 1.0 / (root * root * root);
    double integral = s->act[ACT_HEATING], raw = orders->pipe_gain * err + integral;
    double most = orders->pipe_most - orders->heating, d_floor, d_top;
    if (most < 2.0 * corner_K)
        most = 2.0 * corner_K;
    double asked = pinery_base_hinge(raw, corner_K, &d_floor);
    asked = pinery_base_at_most(asked, most, corner_K, &d_top);
    double slope = d_floor * d_top;
    s->heating = (struct pinery_year_heating){.asked = asked, .most = most, .by_integral = slope};
    double d_held[2] = {s->d_seen_lower, s->d_seen_upper}, d_roof = 0.0;
    if (orders->hold_coldest) {
        d_held[0] -= 0.5 * s->d_deficit_crop;
        d_held[1] -= 0.5 * s->d_deficit_crop;
        d_roof = -s->d_deficit_roof;
    }
    for (int i = 0; i < 2; i++)
        s->heating.by_air[i] = -slope * orders->pipe_gain * d_err * d_held[i];
    s->heating.by_roof = -slope * orders->pipe_gain * d_err * d_roof;
    net_act(net, ACT_HEATING, orders->pipe_gain * err / orders->pipe_integral_time + (asked - raw) / back_time);
    if (!net->slope)
        return;
    double by_raw = (slope - 1.0) / back_time,
           by_err = orders->pipe_gain * d_err * (1.0 / orders->pipe_integral_time + by_raw);
    const double by[CAUSES] = {[BY_POSITION] = by_raw,
                               [BY_T_LOWER] = -by_err * d_held[0],
                               [BY_T_UPPER] = -by_err * d_held[1],
                               [BY_ROOF] = -by_err * d_roof};
    pinery_year_slopes_add_set(net->slope, &work->model->move[ACT_HEATING], by);
}

void pinery_year_flow_acts(struct pinery_year_work *work, const struct pinery_year_net *net) {
    const struct pinery_year_layout *at = net->at;
    const pinery_orders *orders = &work->orders;
    for (int d = 0; d < work->model->drives; d++)
        move(work, net, ACT_SLIT + d, &orders->slit[d]);
    move(work, net, ACT_VENT_LEE, &orders->vent_lee);
    move(work, net, ACT_VENT_WIND, &orders->vent_wind);
    if (at->act[ACT_FAN_THROUGH] != at->sink)
        move(work, net, ACT_FAN_THROUGH, &orders->fan_through);
    for (int i = 0; i < PINERY_DRYERS; i++)
        if (at->act[ACT_DRYING + i] != at->sink)
            move(work, net, ACT_DRYING + i, &orders->drying[i]);
    heating(work, net);
}
