/* Private to core/sim: extremes within a step.
 *
 * Between its ends a quantity may turn, and how high it stood then must not depend on where the steps happen to end.
 * Its values on the way (pw_observer.on_the_way) tell for nothing whether it turns: they are the stages of the step,
 * good to second order, which is enough for the sign of a slope. Only then, and only where it may beat what is known,
 * it is looked up on the integrator's curve (pw_sim_look) until the turn is found.
 */
#ifndef PW_SIM_EXTREMES_H
#define PW_SIM_EXTREMES_H

#include "sim/observers.h"
#include "sim/run_impl.h"

enum { PW_MOST_TURNING = 2 + PW_MAX_PUMPS, PW_MOST_ON_THE_WAY = 4 };

/* Values of some quantities on the way through a step. */
struct pw_on_the_way {
    int32_t count;
    double part[PW_MOST_ON_THE_WAY];
    double value[PW_MOST_ON_THE_WAY][PW_MOST_TURNING];
};

/* Room for the values at this part of the step; NULL: it is the beginning of the step. */
double *pw_on_the_way_at(pw_on_the_way *way, double part);

/* A quantity by number, of a simulation at the moment it stands at. */
typedef double (*pw_quantity_now)(const pw_sim *sim, int32_t number);

/* From pw_observer.within: the highest value of quantity `number` times `sign` (1 or -1) strictly within a step of h_ms
 * that begins and ends at these values, if it turns there and may be above `beat`; else the higher one of its ends.
 * Located to a 64th of the step and from there by the parabola through three looks. */
double pw_extreme_within(pw_sim *sim, int64_t h_ms, const pw_on_the_way *way, pw_quantity_now of, int32_t number,
                         double sign, double begin, double end, double beat);

#endif
