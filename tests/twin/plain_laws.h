/* The plain simulation's own laws, written from the publications and not from core/formula: what water weighs, what a
 * pipe, a fitting, a pump, a motor, a vessel, an outlet, a hole, a bore and an overflow do, how a winding warms. At
 * moments of a run each flow, pressure, power and current that the core's model gives is held against them, so that an
 * error of physics in the core shows here, too.
 */
#ifndef PW_TEST_TWIN_PLAIN_LAWS_H
#define PW_TEST_TWIN_PLAIN_LAWS_H

#include "plain_impl.h"

/* What is wrong at this moment: adds to p->out->law_checks and law_breaches, and keeps the worst. */
void plain_laws(plain *p);

/* Thermal replica of IEC 60255-149: heat after h_s at a current, from heat; 1 is the limit. */
double plain_heat(const pw_motor *motor, double heat, double current_a, bool running, double h_s);
/* Winding temperature for it. */
double plain_winding_c(const plain *p, const pw_motor *motor, double heat);
/* Heat of a start: locked-rotor current for the starting time. */
double plain_start_heat(const pw_motor *motor);
/* Starting time at a part of the rated voltage: torque 1.5 v^2 of the rated over a load of 0.3; INFINITY: never. */
double plain_start_s(const pw_motor *motor, double v);
/* Part of its voltage that a starting motor gets over its cable: both are impedances in a row. */
double plain_start_part(const plain *p, int32_t pump);
/* Water at the site's temperature. */
double plain_density_kgm3(double temperature_c);

#endif
