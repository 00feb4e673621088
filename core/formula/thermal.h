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

/* d theta/dt at a current, 1/s. */
double pw_thermal_rate(const pw_thermal *thermal, double theta, double current_a, bool running);
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

/* Starts of a motor by its thermal replica: hottest theta of the settled cycle of `starts_h` starts an hour, each
 * start_s at start_a and then running at run_a for the share `busy` of the cycle. */
double pw_thermal_cycle(const pw_thermal *thermal, double starts_h, double start_a, double start_s, double run_a,
                        double busy);
/* Most whole starts an hour with theta below 1, up to 1,800; 0 when even running is too much. */
double pw_thermal_starts(const pw_thermal *thermal, double start_a, double start_s, double run_a, double busy);

/* ---- water in a pump's casing ----
 *
 *   m c dT/dt = P - (UA + m c x) (T - T0)
 *
 * with P what the shaft gives and the water does not carry off as pressure, x the changes of the water a second (flow
 * over content), UA the heat loss and T0 both the surroundings and the water that comes in. Energy balance, own
 * derivation. */
typedef struct pw_casing {
    double mass_kg, cp_jkgk, ua_wk, around_c; /* > 0, > 0, >= 0 */
} pw_casing;
/* What a pump holds by its motor: half a litre, and 1.3 L for each kW (own choice). */
double pw_casing_holds_m3(double motor_w);
/* Heat that a pump of this content gives off for each kelvin, W/K: a surface of 10 V^(2/3), ribs and feet included, at
 * 10 W/(m2 K) in air that stands and 200 in water that stands around it, both films and the wall (own choice within
 * what handbooks give for free convection, from memory). */
double pw_casing_loss_wk(double holds_m3, bool in_water);
/* Towards what the water goes, and at which rate; a loss that fades in 30 years (1e-9 1/s) is none, so that the rise
 * without any is a straight line. */
double pw_casing_settles_c(const pw_casing *casing, double power_w, double changes_hz, double *rate_hz);
/* What settles by itself: to + (from - to) e^(-rate t), and when it passes `at`: PW_INF when it never does, 0 when it
 * has. */
double pw_settling(double from, double to, double rate_hz, double time_s);
double pw_settling_time_s(double from, double to, double rate_hz, double at);

/* Still water (x = 0): temperature after time_s from start_c. No loss: a straight line. */
double pw_heating_c(const pw_casing *casing, double power_w, double start_c, double time_s);
/* Time until it reaches `to_c`; PW_INF when it never does. */
double pw_heating_time_s(const pw_casing *casing, double power_w, double start_c, double to_c);

#endif
