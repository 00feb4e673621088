/* A pump by itself: its curves, its best point, and where it meets a system. */
#include "study/size_inside.h"

bool size_machine_of(const pw_pump *pump, double pa_per_m, double barometer_m, size_machine *out)
{
    return pw_pump_law_of(pump, pa_per_m, barometer_m, out);
}

double size_machine_head(const size_machine *m, double flow_m3s)
{
    return pw_pump_rated_head_m(m, flow_m3s);
}

double size_machine_shaft_w(const size_machine *m, double flow_m3s)
{
    return pw_pump_rated_w(m, flow_m3s);
}

double size_machine_efficiency(const size_machine *m, double flow_m3s, double pa_per_m)
{
    return pw_pump_efficiency(pa_per_m, flow_m3s, size_machine_head(m, flow_m3s), size_machine_shaft_w(m, flow_m3s));
}

double size_machine_npsh_m(const size_machine *m, double flow_m3s)
{
    return pw_pump_npsh_m(m, flow_m3s);
}

double size_machine_best_m3s(const size_machine *m, double pa_per_m, double *efficiency)
{
    enum { PARTS = 64 };
    double best = 0.0;
    double most = 0.0;
    for (int32_t i = 1; i <= PARTS; i++) {
        const double flow = m->most_m3s * i / PARTS;
        const double at = size_machine_efficiency(m, flow, pa_per_m);
        if (at > most) {
            most = at;
            best = flow;
        }
    }
    /* the peak between the neighbours, by thirds: the curve is smooth and has one top there */
    double low = best - m->most_m3s / PARTS;
    double high = pw_min(best + m->most_m3s / PARTS, m->most_m3s);
    for (int32_t i = 0; i < 30; i++) {
        const double a = low + (high - low) / 3.0;
        const double b = high - (high - low) / 3.0;
        if (size_machine_efficiency(m, a, pa_per_m) < size_machine_efficiency(m, b, pa_per_m)) {
            low = a;
        } else {
            high = b;
        }
    }
    *efficiency = size_machine_efficiency(m, 0.5 * (low + high), pa_per_m);
    return 0.5 * (low + high);
}

double size_machine_meet(const size_machine *m, const pw_curve *system)
{
    double low = 0.0;
    double high = pw_min(m->most_m3s, system->x[system->n - 1]);
    if (size_machine_head(m, 0.0) <= pw_curve_at(system, 0.0, NULL)) {
        return 0.0;
    }
    if (size_machine_head(m, high) >= pw_curve_at(system, high, NULL)) {
        return high; /* the end of the pump's curve, or of what the source gives */
    }
    for (int32_t i = 0; i < 44; i++) {
        const double mid = 0.5 * (low + high);
        if (size_machine_head(m, mid) > pw_curve_at(system, mid, NULL)) {
            low = mid;
        } else {
            high = mid;
        }
    }
    return 0.5 * (low + high);
}
