/* Thermal replica of a motor after IEC 60255-149 (formerly 60255-8): one exponential body.
 * State theta: heat in per unit of that which (k I_B) holds for ever; the relay trips at 1.
 *   d theta/dt = (I/(k I_B))^2 / tau - theta / tau, stepped exactly for constant current.
 */
#ifndef PW_FORMULA_THERMAL_H
#define PW_FORMULA_THERMAL_H

#include <stdbool.h>

typedef struct pw_thermal {
    double basic_a;     /* I_B, full-load current, > 0 */
    double k;           /* service factor, >= 1 */
    double heat_time_s; /* tau while running, > 0 */
    double cool_time_s; /* tau at rest, > 0 */
} pw_thermal;

/* theta after dt_s (>= 0) at a current; running chooses the time constant. */
double pw_thermal_step(const pw_thermal *thermal, double theta, double current_a, bool running, double dt_s);
/* Time until theta reaches 1 at a constant current; 0 when it is there; PW_INF (base/num.h) when it never gets
 * there. */
double pw_thermal_trip_s(const pw_thermal *thermal, double theta, double current_a);
/* Time at rest until theta has fallen to `to`; 0 when it is below. */
double pw_thermal_cool_s(const pw_thermal *thermal, double theta, double to);
/* Settled theta of a current: (I/(k I_B))^2. */
double pw_thermal_settled(const pw_thermal *thermal, double current_a);
/* Winding temperature: surroundings plus rise at full-load current times (theta k^2). */
double pw_winding_c(const pw_thermal *thermal, double theta, double around_c, double rise_k);
/* theta added by one start from cold: start_time_s at the starting current. */
double pw_thermal_start(const pw_thermal *thermal, double start_a, double start_time_s);

/* Still water in a dead-headed or dry pump casing: temperature after time_s with power_w going into mass_kg, loss
 * ua_wk to around_c. ua_wk 0: adiabatic. Energy balance, own derivation. */
double pw_heating_c(double power_w, double mass_kg, double cp_jkgk, double ua_wk, double around_c, double start_c,
                    double time_s);
/* Time until it reaches `to_c`; PW_INF when it never does. */
double pw_heating_time_s(double power_w, double mass_kg, double cp_jkgk, double ua_wk, double around_c, double start_c,
                         double to_c);

#endif
