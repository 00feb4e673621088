/* Motor: what a pump's motor draws from the supply, turning or stalled, and when it no longer carries its load. The
 * laws of part load and voltage are those of core/formula/motor.h.
 */
#ifndef PW_ELEMENT_MOTOR_H
#define PW_ELEMENT_MOTOR_H

#include "element/condition.h"
#include "formula/motor.h"
#include "site/site.h"

/* Its cable, as one conductor at the design's temperature; length 0: none is followed. */
typedef struct pw_motor_cable {
    double length_m, ohm_m, reactance_ohm_m;
} pw_motor_cable;
/* Of the pump's own keys, or (first pump) a section stated in the design. */
pw_motor_cable pw_motor_cable_of(const pw_site *site, int32_t pump);
/* Part of the supply's voltage at a motor that stands and starts. */
double pw_motor_start_part(const pw_motor_data *motor, const pw_motor_cable *cable);

pw_motor_data pw_motor_of(const pw_motor *motor);
/* Input power (with what the cable loses) and current at a shaft power (ignored when it is stalled); supply_v healthy,
 * the condition has the rest. A motor that is stalled is a short circuit: its starting current at the power factor of
 * one that starts. */
void pw_motor_draw(const pw_motor_data *motor, const pw_motor_cable *cable, const pw_condition *condition, int32_t item,
                   double supply_v, double shaft_w, double *input_w, double *current_a);
/* Does it no longer carry its load at this part of the supply voltage? */
bool pw_motor_stalls(const pw_motor_data *motor, double supply_v, double part);

pw_condition_slots pw_motor_slots(void);

#endif
