/* Curves through points that never invent a bump.
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

#endif
