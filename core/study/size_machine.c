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
    return pw_pump_rated_efficiency(m, flow_m3s, pa_per_m);
}

double size_machine_npsh_m(const size_machine *m, double flow_m3s)
{
    return pw_pump_npsh_m(m, flow_m3s);
}

double size_machine_best_m3s(const size_machine *m, double pa_per_m, double *efficiency)
{
    return pw_pump_best_m3s(m, pa_per_m, efficiency);
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
