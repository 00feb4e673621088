/* Ejector: what a jet pump's impeller and its ejector deliver together, at several lifts.
 *
 * Part of what the impeller throws goes back through the nozzle (core/formula/jet.h) and pushes the drawn water into
 * the impeller's eye. With the heads of water Hs before the throat, Hd behind it, f1 lost in the pressure pipe, f2 in
 * the rising pipe and H made by the impeller at both flows together:
 *
 *     Hd = Hs + N (H - f1 - f2)          delivered = Hs + (1 + N)(H - f1 - f2) + f1
 *     Hs + (1 + N)(H - f1 - f2) - Hs = Z (1 + Kn - entry part)     gives the nozzle's flow, Z its velocity head
 *
 * so that head delivered plus lift is the same at every lift, up to the flow at which the throat cavitates. Own
 * derivation from the two laws.
 */
#ifndef PW_ELEMENT_EJECTOR_H
#define PW_ELEMENT_EJECTOR_H

#include "element/pump.h"

/* Fill the lifts of the law, its head (over the water, at each flow drawn) and its power by that flow. barometer_m: the
 * air's push less vapour pressure, m of the water. False when nozzle and throat leave no flow. */
bool pw_ejector_fit(const pw_pump *pump, double barometer_m, pw_pump_law *law);

#endif
