#include "formula/filter.h"

#include <stddef.h>

#include "base/num.h"

double pw_filter_rise(pw_clogging clogs, double m, double x)
{
    double rise;
    switch (clogs) {
    case PW_CLOG_GROWING: rise = x * pw_log(m) < pw_log(PW_FILTER_SHUT) ? pw_pow(m, x) : PW_FILTER_SHUT; break;
    case PW_CLOG_CLOSING: {
        const double left = 1.0 - (1.0 - 1.0 / m) * x;
        rise = left > 1.0 / PW_FILTER_SHUT ? 1.0 / left : PW_FILTER_SHUT;
        break;
    }
    default: rise = 1.0 + (m - 1.0) * x; break;
    }
    return pw_min(rise, PW_FILTER_SHUT);
}

double pw_filter_loss(double at_loss, double at_m3s, double exponent, double flow_m3s, double *slope)
{
    const double part = pw_abs(flow_m3s) / at_m3s;
    double loss = at_loss * part;
    double rises = at_loss / at_m3s;
    if (exponent == 2.0) {
        rises *= 2.0 * part;
        loss *= part;
    } else if (exponent != 1.0) {
        const double power = part > 0.0 ? pw_pow(part, exponent - 1.0) : 0.0;
        rises *= exponent * power;
        loss *= power;
    }
    if (slope != NULL) {
        *slope = rises;
    }
    return flow_m3s < 0.0 ? -loss : loss;
}

double pw_screen_k(double open, double clogged)
{
    const double free = open * (1.0 - clogged);
    const double shut = 1.0 / free - 1.0;
    return 1.3 * (1.0 - free) + shut * shut;
}
