#include "element/outlet.h"

#include "base/num.h"
#include "formula/orifice.h"

/* A relief valve is full open at this part above the pressure at which it begins to lift (10 %: common practice). */
#define RELIEF_BAND 0.1

double pw_outlet_needs_m(const pw_outlet *outlet, double pa_per_m)
{
    return pw_max(outlet->needs_pa.v / pa_per_m, PW_FADE_M);
}

double pw_outlet_m3s(const pw_outlet *outlet, double pa_per_m, double wanted_m3s, double over_m, double *slope)
{
    return pw_tap_m3s(wanted_m3s, pw_outlet_needs_m(outlet, pa_per_m), over_m, slope);
}

double pw_leak_m3s(const pw_leak *leak, double pa_per_m, double over_m, double *slope)
{
    if (over_m <= 0.0) {
        *slope = 0.0;
        return 0.0;
    }
    const double flow = pw_orifice_m3s(leak->area_m2, over_m, slope);
    if (leak->opens_pa <= 0.0) {
        return flow;
    }
    const double opens_m = leak->opens_pa / pa_per_m;
    const double band = RELIEF_BAND * opens_m;
    const double t = pw_clamp((over_m - opens_m) / band, 0.0, 1.0);
    const double lift = t * t * (3.0 - 2.0 * t);
    *slope = *slope * lift + flow * 6.0 * t * (1.0 - t) / band;
    return flow * lift;
}
