/* Curves through points that never invent a bump, and pump curves.
 * Method: piecewise cubic Hermite, slopes after Fritsch and Carlson (SIAM J. Numer. Anal. 17, 1980) in the weighted
 * harmonic form of Fritsch and Butland (SIAM J. Sci. Stat. Comput. 5, 1984), end slopes by the limited three-point
 * formula.
 */
#ifndef PW_FORMULA_CURVE_H
#define PW_FORMULA_CURVE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/limits.h"

typedef struct pw_curve {
    int32_t n;
    double x[PW_MAX_CURVE], y[PW_MAX_CURVE], slope[PW_MAX_CURVE];
} pw_curve;

/* n 2 .. PW_MAX_CURVE points, x strictly rising, all finite; false otherwise. Between two points the curve is
 * monotone. */
bool pw_curve_build(int32_t n, const double *x, const double *y, pw_curve *out);
/* A head curve: y must never rise. The last slope is made at least as steep as the last chord, so that beyond the
 * last point the head goes on falling in a straight line. When the first slope is 0 it stays 0. */
bool pw_curve_build_head(int32_t n, const double *x, const double *y, pw_curve *out);

/* Value at x; slope (may be NULL) is dy/dx. C1 everywhere; beyond the ends a straight line with the end's slope. */
double pw_curve_at(const pw_curve *curve, double x, double *slope);
/* Value at x held within the ends: for efficiency and NPSH, which must not run away. */
double pw_curve_within(const pw_curve *curve, double x);
/* x where a falling curve has the value y, within the ends or on the straight continuation of the last one; x[0]
 * when y is above. */
double pw_curve_inverse(const pw_curve *curve, double y);

/* Head of a pump at a speed (fraction of the curve's) and a flow, by the affinity laws H = s^2 h(Q/s).
 * slope (may be NULL) dH/dQ. speed <= 0 gives 0. */
double pw_pump_head(const pw_curve *curve, double speed, double flow_m3s, double *slope);
/* count equal pumps side by side (flow shared) or one after another (head added). count >= 1. */
double pw_pump_head_parallel(const pw_curve *curve, int32_t count, double speed, double flow_m3s, double *slope);
double pw_pump_head_series(const pw_curve *curve, int32_t count, double speed, double flow_m3s, double *slope);

/* Flow where parallel x series equal pumps meet a system static_m + k_s2m5 Q |Q|: Newton within a bracket, to 1e-13
 * of the flow. 0 when the pumps cannot reach the static head. */
double pw_pump_duty_m3s(const pw_curve *curve, int32_t parallel, int32_t series, double speed, double static_m,
                        double k_s2m5);

/* Specific speed n sqrt(Q) / H^0.75 in rpm, m3/s, m. */
double pw_specific_speed(double rpm, double flow_m3s, double head_m);
/* Temperature rise of the water through the pump, K: g H (1/efficiency - 1) / cp, own derivation from the energy
 * balance. */
double pw_pump_rise_k(double head_m, double efficiency, double cp_jkgk);
/* NPSH available: (air - vapour) / (rho g) + height of the water over the pump - suction loss. */
double pw_npsh_available_m(double air_pa, double vapour_pa, double density_kgm3, double over_m, double suction_loss_m);

#endif
