/* Centrifugal pumps: affinity, head, power, duty, suction, warming. Heads in metres of the water itself, pressures
 * absolute where the name says so.
 */
#ifndef PW_FORMULA_PUMP_H
#define PW_FORMULA_PUMP_H

#include <stdbool.h>
#include <stdint.h>

#include "formula/curve.h"

/* Affinity laws: at `ratio` times the speed (>= 0) a pump moves ratio times the flow against ratio^2 times the head
 * with ratio^3 times the shaft power, at the same efficiency (similarity; any handbook). Far below the rated speed the
 * efficiency falls in truth. */
double pw_affinity_flow_m3s(double flow_m3s, double ratio);
double pw_affinity_head_m(double head_m, double ratio);
double pw_affinity_power_w(double power_w, double ratio);

/* Head of a pump at a speed (fraction of the curve's) and a flow, by the affinity laws H = s^2 h(Q/s).
 * slope (may be NULL) dH/dQ. speed <= 0 gives 0. */
double pw_pump_head(const pw_curve *curve, double speed, double flow_m3s, double *slope);

/* Power in the water, W: rho g Q H. pa_per_m: density times g (pw_pa_per_m in water.h). */
double pw_hydraulic_w(double pa_per_m, double flow_m3s, double head_m);
/* Efficiency of a pump: power in the water over shaft_w; 0 for no shaft power or no head. */
double pw_pump_efficiency(double pa_per_m, double flow_m3s, double head_m, double shaft_w);
/* Energy for each cubic metre, kWh/m3; flow_m3s > 0. */
double pw_energy_kwh_m3(double input_w, double flow_m3s);

/* Part of its shaft power that a pump takes without water: bearings, seals and, of a positive displacement pump, the
 * rub of rotor on rubber. kind: as in a site sheet (0 centrifugal, 1 regenerative, 2 axial, 3 positive displacement, 4
 * jet); each stage more turns in one more bearing. 0.15 centrifugal and jet, 0.25 regenerative, 0.15 axial, 0.6
 * positive displacement, and 0.01 for each further stage, no more than 0.35 (own choice, from mechanical losses of
 * small pumps of 5 to 15 % and what is told of dry helical rotors; from memory). */
double pw_pump_dry_part(int32_t kind, double stages);

/* Curve of shaft power from efficiencies: rho g Q H / eta at the points with a flow and an efficiency above 1 %. At no
 * flow the curve goes on in a straight line from the next two points, but not below 35 % of the largest power (common
 * practice for radial and mixed-flow stages, no source) no source) nor above it, unless may_rise: regenerative, axial
 * and displacement pumps take most against a shut valve (up to 3 times the largest, own choice). False with fewer than
 * two such points. n 2 .. PW_MAX_CURVE; flow strictly rising, efficiency 0 .. 1 */
bool pw_pump_power_curve(int32_t n, const double *flow_m3s, const double *head_m, const double *efficiency,
                         double pa_per_m, bool may_rise, pw_curve *out);
/* Shaft power at a speed (> 0) and a flow: s^3 p(Q/s), never below 0. Below no flow the power is that at no flow;
 * beyond 1.3 times the largest flow of the curve, most_m3s at this speed, it stays as it is there (own choice). */
double pw_pump_shaft_w(const pw_curve *power, double speed, double flow_m3s, double most_m3s);

/* Flow where parallel x series equal pumps meet a system static_m + k_s2m5 Q |Q|: Newton within a bracket, to 1e-13
 * of the flow. 0 when the pumps cannot reach the static head. */
double pw_pump_duty_m3s(const pw_curve *curve, int32_t parallel, int32_t series, double speed, double static_m,
                        double k_s2m5);

/* Specific speed n sqrt(Q) / H^0.75 in rpm, m3/s, m. */
double pw_specific_speed(double rpm, double flow_m3s, double head_m);

/* NPSH available: (air - vapour) / (rho g) + height of the water over the pump - suction loss. Definition. */
double pw_npsh_available_m(double air_pa, double vapour_pa, double density_kgm3, double over_m, double suction_loss_m);
/* Part of its head that a pump keeps when `ratio` = NPSH available / required: the parabola that is 0 at the vapour
 * limit (ratio 0), 0.97 at 1, which is how NPSH required is defined (3 % of the head lost), and meets the whole head
 * without a bend at 1.2095. slope (may be NULL) d part / d ratio. Own derivation; many pumps fall off more sharply
 * below 1. */
double pw_cavitating_part(double ratio, double *slope);
/* Bore of a suction pipe of which nothing is said: 1.5 m/s at the largest flow, 25 mm at least and 1 m at most (common
 * practice). */
double pw_usual_suction_bore_m(double most_m3s);
/* Largest height of a pump over the water: (air - vapour)/(rho g) - required - margin - losses; may be negative. */
double pw_largest_lift_m(double air_pa, double vapour_pa, double density_kgm3, double required_m, double margin_m,
                         double losses_m);

/* Temperature rise of the water through the pump, K: g H (1/efficiency - 1) / cp, own derivation from the energy
 * balance. */
double pw_pump_rise_k(double head_m, double efficiency, double cp_jkgk);
/* The same from powers: of power_w put in, what the efficiency loses warms mass_kgs: P (1 - eta)/(m c). */
double pw_loss_rise_k(double power_w, double efficiency, double mass_kgs, double cp_jkgk);
/* Least flow so that all shaft power warms the water by no more than rise_k: P/(rho c dT). */
double pw_least_flow_m3s(double power_w, double density_kgm3, double cp_jkgk, double rise_k);

#endif
