#include "formula/pump.h"

#include <stddef.h>

#include "base/num.h"
#include "formula/friction.h"
#include "formula/water.h"

#define LEAST_EFFICIENCY 0.01 /* a point below it says nothing about the power */
#define MOST_AT_NO_FLOW  3.0
#define LEAST_AT_NO_FLOW 0.35 /* of the largest power */
#define BEYOND           1.3  /* of the largest flow: the power curve is followed no further */
#define J_PER_KWH        3.6e6

double pw_affinity_flow_m3s(double flow_m3s, double ratio)
{
    return ratio * flow_m3s;
}

double pw_affinity_head_m(double head_m, double ratio)
{
    return ratio * ratio * head_m;
}

double pw_affinity_power_w(double power_w, double ratio)
{
    return ratio * ratio * ratio * power_w;
}

double pw_pump_head(const pw_curve *curve, double speed, double flow_m3s, double *slope)
{
    double curve_slope = 0.0;
    double head = 0.0;
    if (speed > 0.0) {
        head = pw_affinity_head_m(pw_curve_at(curve, flow_m3s / speed, &curve_slope), speed);
    }
    if (slope != NULL) {
        *slope = pw_max(speed, 0.0) * curve_slope;
    }
    return head;
}

double pw_hydraulic_w(double pa_per_m, double flow_m3s, double head_m)
{
    return pa_per_m * flow_m3s * head_m;
}

double pw_pump_efficiency(double pa_per_m, double flow_m3s, double head_m, double shaft_w)
{
    return shaft_w > 0.0 && head_m > 0.0 ? pw_hydraulic_w(pa_per_m, flow_m3s, head_m) / shaft_w : 0.0;
}

double pw_energy_kwh_m3(double input_w, double flow_m3s)
{
    return input_w / flow_m3s / J_PER_KWH;
}

double pw_pump_dry_part(int32_t kind, double stages)
{
    static const double alone[] = {0.15, 0.25, 0.15, 0.6, 0.15};
    const int32_t kinds = (int32_t)(sizeof alone / sizeof alone[0]);
    const double part = alone[kind >= 0 && kind < kinds ? kind : 0];
    return pw_max(part, pw_min(part + 0.01 * (stages - 1.0), 0.35));
}

bool pw_pump_power_curve(int32_t n, const double *flow_m3s, const double *head_m, const double *efficiency,
                         double pa_per_m, bool may_rise, pw_curve *out)
{
    double flow[PW_MAX_CURVE + 1]; /* the first place is kept for no flow */
    double power[PW_MAX_CURVE + 1];
    double largest = 0.0;
    int32_t known = 0;
    for (int32_t i = 0; i < n && i < PW_MAX_CURVE; i++) {
        if (flow_m3s[i] > 0.0 && efficiency[i] > LEAST_EFFICIENCY) {
            known++;
            flow[known] = flow_m3s[i];
            power[known] = pw_hydraulic_w(pa_per_m, flow_m3s[i], head_m[i]) / efficiency[i];
            largest = pw_max(largest, power[known]);
        }
    }
    if (known < 2) {
        return false;
    }
    if (known >= PW_MAX_CURVE) {
        return pw_curve_build(known, flow + 1, power + 1, out);
    }
    const double slope = (power[2] - power[1]) / (flow[2] - flow[1]);
    flow[0] = 0.0;
    power[0] = pw_clamp(power[1] - slope * flow[1], LEAST_AT_NO_FLOW * largest,
                        may_rise ? MOST_AT_NO_FLOW * largest : largest);
    return pw_curve_build(known + 1, flow, power, out);
}

double pw_pump_shaft_w(const pw_curve *power, double speed, double flow_m3s, double most_m3s)
{
    const double flow = pw_clamp(flow_m3s / speed, 0.0, BEYOND * most_m3s / speed);
    return pw_max(pw_affinity_power_w(pw_curve_at(power, flow, NULL), speed), 0.0);
}

/* Head of the group minus head of the system: falls with flow. */
typedef struct duty_question {
    const pw_curve *curve;
    double parallel, series, speed, static_m, k_s2m5;
} duty_question;

static double surplus(const duty_question *q, double flow_m3s, double *slope)
{
    double pump_slope;
    const double head = q->series * pw_pump_head(q->curve, q->speed, flow_m3s / q->parallel, &pump_slope);
    *slope = q->series * pump_slope / q->parallel - 2.0 * q->k_s2m5 * pw_abs(flow_m3s);
    return head - q->static_m - q->k_s2m5 * flow_m3s * pw_abs(flow_m3s);
}

double pw_pump_duty_m3s(const pw_curve *curve, int32_t parallel, int32_t series, double speed, double static_m,
                        double k_s2m5)
{
    const duty_question q = {curve,
                             (double)(parallel < 1 ? 1 : parallel),
                             (double)(series < 1 ? 1 : series),
                             speed,
                             static_m,
                             pw_max(k_s2m5, 0.0)};
    double slope;
    double low = 0.0;
    double high = pw_affinity_flow_m3s(curve->x[curve->n - 1] * q.parallel, pw_max(speed, 0.0));
    if (!(speed > 0.0) || !(surplus(&q, 0.0, &slope) > 0.0)) {
        return 0.0;
    }
    for (int32_t step = 0; step < 60 && surplus(&q, high, &slope) > 0.0; step++) {
        low = high;
        high *= 2.0;
    }
    double flow = 0.5 * (low + high);
    for (int32_t step = 0; step < 200; step++) {
        const double value = surplus(&q, flow, &slope);
        if (value > 0.0) {
            low = flow;
        } else {
            high = flow;
        }
        double next = slope < 0.0 ? flow - value / slope : low - 1.0;
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
        }
        const double change = pw_abs(next - flow);
        flow = next;
        if (!(change > 1e-14 * flow)) {
            break;
        }
    }
    return flow;
}

double pw_specific_speed(double rpm, double flow_m3s, double head_m)
{
    return rpm * pw_sqrt(flow_m3s) / pw_pow(head_m, 0.75);
}

double pw_npsh_available_m(double air_pa, double vapour_pa, double density_kgm3, double over_m, double suction_loss_m)
{
    return (air_pa - vapour_pa) / pw_pa_per_m(density_kgm3) + over_m - suction_loss_m;
}

double pw_cavitating_part(double ratio, double *slope)
{
    const double whole = 1.2094885; /* 1 / (1 - sqrt(0.03)) */
    const double part = pw_clamp(ratio / whole, 0.0, 1.0);
    if (slope != NULL) {
        *slope = part > 0.0 && part < 1.0 ? 2.0 * (1.0 - part) / whole : 0.0;
    }
    return part * (2.0 - part);
}

double pw_usual_suction_bore_m(double most_m3s)
{
    return pw_clamp(pw_bore_for_m(most_m3s, 1.5), 0.025, 1.0);
}

double pw_largest_lift_m(double air_pa, double vapour_pa, double density_kgm3, double required_m, double margin_m,
                         double losses_m)
{
    return pw_npsh_available_m(air_pa, vapour_pa, density_kgm3, 0.0, 0.0) - required_m - margin_m - losses_m;
}

double pw_pump_rise_k(double head_m, double efficiency, double cp_jkgk)
{
    return PW_G * head_m * (1.0 / efficiency - 1.0) / cp_jkgk;
}

double pw_loss_rise_k(double power_w, double efficiency, double mass_kgs, double cp_jkgk)
{
    return power_w * (1.0 - efficiency) / (mass_kgs * cp_jkgk);
}

double pw_least_flow_m3s(double power_w, double density_kgm3, double cp_jkgk, double rise_k)
{
    return power_w / (density_kgm3 * cp_jkgk * rise_k);
}
