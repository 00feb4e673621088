/* Closed formulas of sizing: each one function, SI in and out, source beside it. What stands in core/formula and
 * core/formula already is used from there.
 */
#ifndef PW_FORMULA_CLOSED_H
#define PW_FORMULA_CLOSED_H

#include <stdint.h>

#include "formula/thermal.h"

/* ---- demand ---- */
/* Least m such that more than m of n fixtures are in use at once with a probability of at most `chance`, each in use
 * for the share p of the time (binomial; Hunter, NBS BMS65, method from memory). n 1 .. 10,000. */
int32_t pw_in_use(int32_t n, double p, double chance);

/* ---- hydropneumatic tanks ---- */
/* Tank without an air cell: V = (P1 + Pa)/(P1 - P2) x 15 Q/N x MF with N starts an hour (Washington State DOH, Water
 * System Design Manual 2009, Eq. 11-1): 15 min Q/N is Q/(4 n). off > on, gauge. */
double pw_plain_tank_m3(double off_pa, double on_pa, double atmosphere_pa, double flow_m3s, double starts_hz,
                        double factor);
/* Bladder tanks of volume each_m3: number (not rounded) R Q/(N V), R = 15 (P1+Pa)(P2+Pa)/((P1-P2)(P2 - gap + Pa)) min
 * (same manual, formula from memory; gap 5 psi there). ratio: R in seconds. */
double pw_bladder_tanks(double off_pa, double on_pa, double gap_pa, double atmosphere_pa, double flow_m3s,
                        double starts_hz, double each_m3, double *ratio_s);
/* Cycle time of a store V between start and stop with inflow Q of a pump D: V/D (1/(1 - Q/D) + D/Q) (MIL-HDBK-1005/9A,
 * Eq. 1). PW_INF when Q is 0 or not below D. */
double pw_cycle_s(double volume_m3, double pump_m3s, double draw_m3s);

/* ---- electrics ---- */
/* Least section by a short circuit, adiabatic: I sqrt(t)/k; k of copper 115 (PVC), 143 (EPR, XLPE) A s^0.5/mm2, IEC
 * 60364-4-43 Table 43A (from memory). */
double pw_fault_section_mm2(double fault_a, double fault_s, double k);
/* Rating of a generator so that a start of this apparent power dips its voltage by no more than `dip`: S_start X'
 * (1/dip - 1) (voltage divider, own derivation); VA. */
double pw_generator_start_va(double start_va, double reactance, double dip);
/* IEC 60364-5-52 Annex G drop of one phase: b (rho1 L/S cos + lambda L sin) I, b 1 for three phases (line to neutral),
 * 2 otherwise; rho1 0.0225 ohm mm2/m, lambda 0.08 mohm/m (constants from memory). */
double pw_annex_g_drop_v(int32_t phases, double current_a, double length_m, double section_mm2, double power_factor);
/* Starts of a motor by its thermal replica: hottest theta of the settled cycle of `starts_h` starts an hour, each
 * start_s at start_a and then running at run_a for the share `busy` of the cycle. */
double pw_thermal_cycle(const pw_thermal *thermal, double starts_h, double start_a, double start_s, double run_a,
                        double busy);
/* Most whole starts an hour with theta below 1, up to 1,800; 0 when even running is too much. */
double pw_thermal_starts(const pw_thermal *thermal, double start_a, double start_s, double run_a, double busy);
/* Resistance of a class 5 (flexible) copper conductor at 20 C, ohm/m: IEC 60228, 1.5 .. 10 mm2; 0 when not in the
 * table. */
double pw_flexible_ohm_m(double section_mm2);

/* K from the flow coefficient Kv (m3/h at 1 bar): K = 2 dp/(rho v^2) = 1.5992e-3 d_mm^4/Kv^2 (IEC 60534 definition with
 * 1000 kg/m3, own derivation). */
double pw_k_of_kv(double kv_m3h, double bore_m);
/* Nominal pressure of a plastic pipe, PN = 20 sigma/(SDR - 1), Pa (ISO 4427). */
double pw_pipe_rating_pa(double sdr, double strength_pa, double safety);

#endif
