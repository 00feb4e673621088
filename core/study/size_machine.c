/* A pump by itself: its curves, its best point, and where it meets a system. */
#include "study/size_inside.h"

/* Shaft power where efficiencies are given: the rule of core/element/build.c. */
static bool power_curve(const pw_pump *pump, double pa_per_m, pw_curve *out)
{
    double flow[PW_MAX_CURVE + 1];
    double power[PW_MAX_CURVE + 1];
    int32_t n = 0;
    int32_t known = 0;
    double largest = 0.0;
    for (int32_t i = 0; i < pump->point_count; i++) {
        known += pump->curve[i].power_w.given ? 1 : 0;
    }
    if (known == pump->point_count) {
        for (int32_t i = 0; i < pump->point_count; i++) {
            flow[i] = pump->curve[i].flow_m3s.v;
            power[i] = pump->curve[i].power_w.v;
        }
        return pw_curve_build(pump->point_count, flow, power, out);
    }
    for (int32_t i = 0; i < pump->point_count; i++) {
        const pw_curve_point *point = &pump->curve[i];
        if (point->flow_m3s.v > 0.0 && point->efficiency.v > 0.01) {
            n++;
            flow[n] = point->flow_m3s.v;
            power[n] = pa_per_m * point->flow_m3s.v * point->head_m.v / point->efficiency.v;
            largest = pw_max(largest, power[n]);
        }
    }
    if (n < 2) {
        return false;
    }
    if (n >= PW_MAX_CURVE) {
        return pw_curve_build(n, flow + 1, power + 1, out);
    }
    const double slope = (power[2] - power[1]) / (flow[2] - flow[1]);
    flow[0] = 0.0;
    power[0] = pw_clamp(power[1] - slope * flow[1], 0.35 * largest, largest);
    return pw_curve_build(n + 1, flow, power, out);
}

bool size_machine_of(const pw_pump *pump, double pa_per_m, size_machine *out)
{
    double flow[PW_MAX_CURVE];
    double head[PW_MAX_CURVE];
    double npsh[PW_MAX_CURVE];
    int32_t npshs = 0;
    for (int32_t i = 0; i < pump->point_count; i++) {
        flow[i] = pump->curve[i].flow_m3s.v;
        head[i] = pump->curve[i].head_m.v;
        npsh[i] = pump->curve[i].npsh_m.v;
        npshs += pump->curve[i].npsh_m.given ? 1 : 0;
    }
    out->npsh.n = 0;
    if (!pw_curve_build_head(pump->point_count, flow, head, &out->head) || !power_curve(pump, pa_per_m, &out->power)) {
        return false;
    }
    if (npshs == pump->point_count && !pw_curve_build(pump->point_count, flow, npsh, &out->npsh)) {
        return false;
    }
    out->speed = pump->speed.v;
    out->most_m3s = out->speed * flow[pump->point_count - 1];
    out->motor.power_w = pump->motor.power_w.v;
    out->motor.voltage_v = pump->motor.voltage_v.v;
    out->motor.phases = pump->motor.phases;
    out->motor.full_load_a = pump->motor.full_load_a.v;
    out->motor.locked_rotor_a = pump->motor.locked_rotor_a.v;
    out->motor.efficiency = pump->motor.efficiency.v;
    out->motor.power_factor = pump->motor.power_factor.v;
    return true;
}

double size_machine_head(const size_machine *m, double flow_m3s)
{
    return pw_pump_head(&m->head, m->speed, flow_m3s, NULL);
}

double size_machine_shaft_w(const size_machine *m, double flow_m3s)
{
    const double speed = m->speed;
    const double flow = pw_clamp(flow_m3s / speed, 0.0, 1.3 * m->most_m3s / speed);
    return pw_max(speed * speed * speed * pw_curve_at(&m->power, flow, NULL), 0.0);
}

double size_machine_efficiency(const size_machine *m, double flow_m3s, double pa_per_m)
{
    const double shaft = size_machine_shaft_w(m, flow_m3s);
    return shaft > 0.0 ? pa_per_m * flow_m3s * pw_max(size_machine_head(m, flow_m3s), 0.0) / shaft : 0.0;
}

double size_machine_npsh_m(const size_machine *m, double flow_m3s)
{
    return m->npsh.n > 0 ? pw_curve_within(&m->npsh, flow_m3s) : -1.0;
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
