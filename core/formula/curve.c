#include "formula/curve.h"

#include <stddef.h>

#include "base/num.h"

/* Slope at an end from three points, limited so that the curve stays monotone there. h0, d0 belong to the end's own
 * chord. */
static double end_slope(double h0, double h1, double d0, double d1)
{
    const double slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if (slope * d0 <= 0.0) {
        return 0.0;
    }
    if (d0 * d1 <= 0.0 && pw_abs(slope) > 3.0 * pw_abs(d0)) {
        return 3.0 * d0;
    }
    return slope;
}

bool pw_curve_build(int32_t n, const double *x, const double *y, pw_curve *out)
{
    double h[PW_MAX_CURVE];
    double d[PW_MAX_CURVE];
    if (n < 2 || n > PW_MAX_CURVE) {
        return false;
    }
    for (int32_t i = 0; i < n; i++) {
        if (!pw_is_finite(x[i]) || !pw_is_finite(y[i]) || (i > 0 && !(x[i] > x[i - 1]))) {
            return false;
        }
        out->x[i] = x[i];
        out->y[i] = y[i];
    }
    out->n = n;
    for (int32_t i = 0; i + 1 < n; i++) {
        h[i] = x[i + 1] - x[i];
        d[i] = (y[i + 1] - y[i]) / h[i];
        if (!pw_is_finite(d[i])) {
            return false;
        }
    }
    if (n == 2) {
        out->slope[0] = d[0];
        out->slope[1] = d[0];
        return true;
    }
    out->slope[0] = end_slope(h[0], h[1], d[0], d[1]);
    out->slope[n - 1] = end_slope(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
    for (int32_t i = 1; i + 1 < n; i++) {
        out->slope[i] = 0.0;
        if (d[i - 1] * d[i] > 0.0) {
            const double before = 2.0 * h[i] + h[i - 1];
            const double after = h[i] + 2.0 * h[i - 1];
            out->slope[i] = (before + after) / (before / d[i - 1] + after / d[i]);
        }
    }
    return true;
}

bool pw_curve_build_head(int32_t n, const double *x, const double *y, pw_curve *out)
{
    if (!pw_curve_build(n, x, y, out)) {
        return false;
    }
    for (int32_t i = 0; i + 1 < n; i++) {
        if (y[i + 1] > y[i]) {
            return false;
        }
    }
    const double chord = (y[n - 1] - y[n - 2]) / (x[n - 1] - x[n - 2]);
    out->slope[n - 1] = pw_min(out->slope[n - 1], chord);
    return true;
}

double pw_curve_at(const pw_curve *curve, double x, double *slope)
{
    const int32_t last = curve->n - 1;
    int32_t low = 0;
    int32_t high = last;
    if (!(x > curve->x[0]) || x >= curve->x[last]) {
        const int32_t end = x >= curve->x[last] ? last : 0;
        if (slope != NULL) {
            *slope = curve->slope[end];
        }
        return curve->y[end] + curve->slope[end] * (x - curve->x[end]);
    }
    while (high - low > 1) {
        const int32_t middle = (low + high) / 2;
        if (x >= curve->x[middle]) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const double h = curve->x[high] - curve->x[low];
    const double t = (x - curve->x[low]) / h;
    const double chord = (curve->y[high] - curve->y[low]) / h;
    const double c2 = 3.0 * chord - 2.0 * curve->slope[low] - curve->slope[high];
    const double c3 = curve->slope[low] + curve->slope[high] - 2.0 * chord;
    if (slope != NULL) {
        *slope = curve->slope[low] + t * (2.0 * c2 + 3.0 * t * c3);
    }
    return curve->y[low] + h * t * (curve->slope[low] + t * (c2 + t * c3));
}

double pw_curve_within(const pw_curve *curve, double x)
{
    return pw_curve_at(curve, pw_clamp(x, curve->x[0], curve->x[curve->n - 1]), NULL);
}

double pw_curve_inverse(const pw_curve *curve, double y)
{
    const int32_t last = curve->n - 1;
    if (y >= curve->y[0]) {
        return curve->x[0];
    }
    if (y <= curve->y[last]) {
        const double slope = curve->slope[last];
        return slope < 0.0 ? curve->x[last] + (y - curve->y[last]) / slope : curve->x[last];
    }
    double low = curve->x[0];
    double high = curve->x[last];
    for (int32_t step = 0; step < 200 && high - low > 1e-15 * high; step++) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) {
            break;
        }
        if (pw_curve_at(curve, middle, NULL) >= y) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}
