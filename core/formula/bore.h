/* Bores: what the aquifer gives at a drawdown, and Theis' solution. */
#ifndef PW_FORMULA_BORE_H
#define PW_FORMULA_BORE_H

/* Inflow from the aquifer at a drawdown below the standing level.
 *   capacity_m2s  inflow per metre; yield_m3s  most it gives for long (both > 0, or 0 for a dry bore)
 * capacity times drawdown up to 0.9 of the yield, the yield from 1.1 on, a parabola between: C1, never falling (own
 * form). A negative drawdown gives outflow into the aquifer. slope (m2/s, may be NULL). */
double pw_bore_inflow_m3s(double drawdown_m, double capacity_m2s, double yield_m3s, double *slope);
/* Steady drawdown for a flow; PW_INF (base/num.h) when the flow is not below the yield or capacity is 0. */
double pw_bore_drawdown_m(double flow_m3s, double capacity_m2s, double yield_m3s);

/* The intake takes in air over the last 0.3 m above it (vortex; common practice, no source): less water than this over
 * an intake is none. */
#define PW_INTAKE_COVER_M 0.3
/* Depth of the water below the place, held so that it still covers the intake; never above the standing level. All
 * depths below the same height. */
double pw_covered_depth_m(double depth_m, double standing_m, double intake_m);
/* Water that may be drawn down over the intake: intake - cover - depth; below 0 it is not covered. */
double pw_intake_room_m(double intake_m, double depth_m);

/* Wetness of an intake: 1 when the water stands band_m or more over it, 0 when at or below it, C1 between. slope may
 * be NULL. */
double pw_intake_wet(double over_m, double band_m, double *slope);

/* Theis' well function W(u) = E1(u), u > 0; error below 1e-14 of the value (series up to 1, continued fraction above).
 * PW_INF for u <= 0. */
double pw_well_function(double u);
/* Drawdown after Theis (1935) with well loss: Q/(4 pi T) W(r^2 S/(4 T t)) + C Q^2. All SI; time_s > 0. */
double pw_theis_drawdown_m(double flow_m3s, double transmissivity_m2s, double storage, double radius_m, double time_s,
                           double well_loss_s2m5);

/* Specific capacity by a pump test: the flow that gave this drawdown after this time, out of a casing of this area
 * whose water went out, too: s = Q/C (1 - exp(-C t / A)) solved for C; Q/s for a long time. The least is 1e-7
 * m2/s, where all came out of the casing. Linear inflow, own derivation. All > 0. */
double pw_tested_capacity_m2s(double flow_m3s, double drawdown_m, double time_s, double casing_m2);

#endif
