/* What the heating controller is given: gains, limits, and the least temperature of the lower pipes.
 *
 * A minimum pipe temperature falls in proportion to the radiation, from the full minimum in the dark to the heating
 * temperature (where a pipe gives nothing) at `minimum_pipe_light`, in steps of 1 K, and is then taken away. */
#include <math.h>

#include "control/rules.h"

static const double pipe_step = 1.0; /* K */

void pinery_control_heating(const pinery_strategy *strategy, struct pinery_control_memory *memory,
                            const pinery_seen *seen, pinery_orders *orders) {
    double least = strategy->minimum_pipe;
    if (least > 0.0) {
        double share = seen->reading[PINERY_READING_outside_global] / strategy->minimum_pipe_light;
        double wanted = share >= 1.0 ? 0.0 : least - share * fmax(0.0, least - orders->heating);
        memory->why[PINERY_ACTUATOR_pipe_least] =
            pinery_control_because(PINERY_CAUSE_minimum_pipe, strategy->minimum_pipe_light, NAN);
        memory->pipe_least = pinery_control_step(memory->pipe_least, wanted, pipe_step, least);
    }
    orders->hold_coldest = strategy->hold_coldest;
    orders->pipe_gain = strategy->pipe_gain;
    orders->pipe_integral_time = strategy->pipe_integral_time;
    orders->upper_start = strategy->upper_start;
    orders->pipe_least = memory->pipe_least;
    orders->pipe_most = strategy->maximum_pipe;
    orders->pipe_lower = orders->pipe_upper = NAN;
}
