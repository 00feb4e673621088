/* Friction in pipes running full. Method, blend and proofs: docs/water.md, "Friction".
 * Heads are metres of the water itself; positive flow gives positive loss.
 */
#ifndef PW_FORMULA_FRICTION_H
#define PW_FORMULA_FRICTION_H

#include "formula/water.h"

#define PW_RE_LAMINAR   2300.0 /* laminar below */
#define PW_RE_TURBULENT 4000.0 /* Colebrook-White above */

/* Darcy friction factor.
 *   reynolds            > 0 (values below 1e-12 are held there)
 *   relative_roughness  roughness / bore, 0 .. 0.1 (held within)
 * 64/Re below 2300; Colebrook and White (1939) above 4000, solved by Newton to 1e-12; between them f Re^2 (which is
 * the loss) follows a cubic with the values and slopes of both sides, so the loss is C1 and rises strictly with flow
 * (own derivation). df_dre: its derivative, may be NULL. */
double pw_friction_factor(double reynolds, double relative_roughness, double *df_dre);
/* Explicit approximations to Colebrook-White, as checks: Swamee and Jain 1976, Haaland 1983. */
double pw_friction_swamee_jain(double reynolds, double relative_roughness);
double pw_friction_haaland(double reynolds, double relative_roughness);

/* Head lost in one line, Darcy-Weisbach plus fittings.
 *   bore_m > 0, length_m >= 0 (below 1 mm counts as 1 mm, so that the slope is never 0), rough_m >= 0
 *   k_sum  >= 0, sum of loss coefficients on the line's own velocity; its |v| is sqrt(v^2 + (0.1 mm/s)^2), so slope > 0
 *   flow_m3s  any sign
 *   loss_m, dloss_dflow (s/m2)  odd and C1 in flow, slope > 0 everywhere, also at 0; dloss_dflow may be NULL */
void pw_pipe_loss(double bore_m, double length_m, double rough_m, double k_sum, const pw_water *water, double flow_m3s,
                  double *loss_m, double *dloss_dflow);

/* The same with Hazen-Williams friction, SI form h = 10.67 L Q^1.852 / (C^1.852 d^4.8704), hazen_c 20..200 (held
 * within). Below 1 cm/s (where the formula has no meaning) an odd cubic with the same value and slope, own derivation.
 * For cold water only: the formula knows no viscosity. */
void pw_hazen_loss(double bore_m, double length_m, double hazen_c, double k_sum, double flow_m3s, double *loss_m,
                   double *dloss_dflow);

double pw_bore_area_m2(double bore_m);
/* Bore that carries a flow at a mean velocity > 0: sqrt(4 Q / (pi v)). */
double pw_bore_for_m(double flow_m3s, double velocity_ms);
/* Head lost for the square of the flow by a loss coefficient K on the velocity in an area: K/(2 g A^2). */
double pw_square_loss_s2m5(double k, double area_m2);
/* What a bore of this part of the whole one (0 < part) carries off: head lost at the same flow and friction factor is
 * that of the whole bore divided by part^5 (Darcy and Weisbach: h ~ f Q^2 / d^5). */
double pw_narrowed_divides(double part);
double pw_reynolds(double bore_m, const pw_water *water, double flow_m3s); /* >= 0 */

#endif
