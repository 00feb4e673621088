/* Pressure vessel: an air cell with water beside it. Pressures are gauge unless the name says absolute.
 * Gas law p V^n = constant (n = 1 Boyle, slow; 1.2 a common value for filling in a minute or so; 1.4 adiabatic).
 */
#ifndef PW_FORMULA_VESSEL_H
#define PW_FORMULA_VESSEL_H

#include <stdbool.h>

/* A vessel that lost all its air still has this share: what shell, hoses and dissolved air give (common practice, no
 * source). Without it the pressure of a full vessel would have no value. */
#define PW_VESSEL_LEAST_AIR 0.002

/* Gauge pressure for a volume of water.
 *   volume_m3 > 0   precharge_pa gauge, > -atmosphere   polytropic 1 .. 1.4
 *   air_fraction    of the charge still there, 1 healthy, 0 waterlogged (held within PW_VESSEL_LEAST_AIR .. 1):
 *                   p_abs = (precharge + atmosphere) (air volume / (volume - water))^n
 *   water_m3        any. Below 0 the cell lies against the shell: the pressure falls by the whole absolute
 *                   precharge within 0.2 % of the volume (own form, only to keep the solver on its feet).
 *                   Above the point of 1000 times the charge the pressure goes on in a straight line.
 *   slope_pa_per_m3 may be NULL; > 0; the pressure is C1 and rises strictly. */
double pw_vessel_pa(double volume_m3, double precharge_pa, double polytropic, double air_fraction, double atmosphere_pa,
                    double water_m3, double *slope_pa_per_m3);
/* The inverse: water in the vessel at a gauge pressure. */
double pw_vessel_water_m3(double volume_m3, double precharge_pa, double polytropic, double air_fraction,
                          double atmosphere_pa, double pressure_pa);

/* By how much all absolute pressures of a cell change that holds this part of its air (0 .. 1) and is charged extra_pa
 * above charge_pa (absolute, > 0): air^n (charge + extra) / charge, by the gas law. */
double pw_vessel_pressure_part(double air_fraction, double polytropic, double charge_pa, double extra_pa);

/* Water given between cut-out and cut-in as a fraction of the vessel's volume. When the precharge is above the
 * cut-in only the water down to the precharge counts. 0 when off <= on. */
double pw_vessel_drawdown(double precharge_pa, double on_pa, double off_pa, double polytropic, double atmosphere_pa);
/* Acceptance: from the precharge (empty) to cut-out, Boyle: another number than the drawdown. */
double pw_vessel_acceptance(double precharge_pa, double off_pa, double atmosphere_pa);

/* A pump of constant flow filling a usable volume while a constant draw runs: own derivation of V/q + V/(Q - q). */
/* Starts per second; 0 when the draw is 0 or not below the pump's flow (then it never stops). */
double pw_cycle_starts_hz(double usable_m3, double pump_m3s, double draw_m3s);
/* Most starts per second at any draw: Q/(4V), reached at half the pump's flow. */
double pw_cycle_most_hz(double usable_m3, double pump_m3s);
/* Length of one run: V/(Q - q); PW_INF when the draw is not below the pump's flow. */
double pw_cycle_run_s(double usable_m3, double pump_m3s, double draw_m3s);
/* Draws from .. to between which there are at least starts_hz: both roots of q(Q - q) = Q V s. False when no draw makes
 * so many. */
bool pw_cycle_draws(double usable_m3, double pump_m3s, double starts_hz, double *from_m3s, double *to_m3s);
/* Draw from which on each run takes run_s or longer: Q - V/t, never below 0. */
double pw_cycle_long_run_m3s(double usable_m3, double pump_m3s, double run_s);
/* Volume needed so that there are never more starts than starts_hz: Q/(4 starts). */
double pw_cycle_volume_m3(double pump_m3s, double starts_hz);

/* From counters read after a time in which nothing was drawn (own derivation, balance of mass): what leaves,
 *   pumped ran / over   (pumped_m3s: mean flow while the pump runs; over_s > 0),
 * and what the vessel gives between a stop and the next start,
 *   (pumped - leak) ran / starts; PW_INF without a start. */
double pw_cycle_leak_m3s(double pumped_m3s, double ran_s, double over_s);
double pw_cycle_drawdown_m3(double pumped_m3s, double ran_s, double over_s, double starts);

/* Time for a hole (cd_area_m2) to take an isothermal healthy vessel from high to low (both >= precharge and > 0), s;
 * Simpson on a smooth integrand, error below 1e-6. */
double pw_vessel_leak_time_s(double volume_m3, double precharge_pa, double atmosphere_pa, double density_kgm3,
                             double cd_area_m2, double high_pa, double low_pa);

/* ---- hydropneumatic tanks by the manuals ---- */
/* Tank without an air cell: V = (P1 + Pa)/(P1 - P2) x 15 Q/N x MF with N starts an hour (Washington State DOH, Water
 * System Design Manual 2009, Eq. 11-1): 15 min Q/N is Q/(4 n). off > on, gauge. */
double pw_plain_tank_m3(double off_pa, double on_pa, double atmosphere_pa, double flow_m3s, double starts_hz,
                        double factor);
/* Bladder tanks of volume each_m3: number (not rounded) R Q/(N V), R = 15 (P1+Pa)(P2+Pa)/((P1-P2)(P2 - gap + Pa)) min
 * (same manual, formula from memory; gap 5 psi there). ratio: R in seconds. */
double pw_bladder_tanks(double off_pa, double on_pa, double gap_pa, double atmosphere_pa, double flow_m3s,
                        double starts_hz, double each_m3, double *ratio_s);

#endif
