#include <string.h>

#include "base/num.h"
#include "element/ejector.h"
#include "element/motor.h"
#include "element/pump.h"
#include "formula/pump.h"

/* A full-bore valve beside the pump loses this part of what the pump itself would, stopped (own choice). */
#define VALVE_PART 0.01
/* What an ejector asks for at least (own choice). */
#define JET_NPSH_M 0.5

/* NPSH over the range that the sheet gives it. One point alone holds for all flows. */
static bool npsh_of(const pw_pump *pump, pw_pump_law *law)
{
    double flow[PW_MAX_CURVE];
    double npsh[PW_MAX_CURVE];
    double least[PW_MAX_CURVE];
    int32_t n = 0;
    for (int32_t i = 0; i < pump->point_count; i++) {
        if (pump->curve[i].npsh_m.given) {
            flow[n] = pump->curve[i].flow_m3s.v;
            npsh[n] = pump->curve[i].npsh_m.v;
            n++;
        }
    }
    if (n == 1) {
        flow[1] = flow[0] + 1e-3;
        npsh[1] = npsh[0];
        n = 2;
    }
    for (int32_t i = n - 1; i >= 0; i--) {
        least[i] = i == n - 1 ? npsh[i] : pw_min(npsh[i], least[i + 1]);
    }
    return n == 0 || (pw_curve_build(n, flow, npsh, &law->npsh) && pw_curve_build(n, flow, least, &law->needs));
}

static bool curves_of(const pw_pump *pump, double pa_per_m, pw_pump_law *law)
{
    double flow[PW_MAX_CURVE];
    double head[PW_MAX_CURVE];
    double power[PW_MAX_CURVE];
    double efficiency[PW_MAX_CURVE];
    const int32_t n = pump->point_count;
    const bool may_rise = pump->kind != PW_PUMP_CENTRIFUGAL && pump->kind != PW_PUMP_JET;
    int32_t powers = 0;
    for (int32_t i = 0; i < n; i++) {
        flow[i] = pump->curve[i].flow_m3s.v;
        head[i] = pump->curve[i].head_m.v;
        power[i] = pump->curve[i].power_w.v;
        efficiency[i] = pump->curve[i].efficiency.v;
        powers += pump->curve[i].power_w.given ? 1 : 0;
    }
    return n > 0 && pw_curve_build_head(n, flow, head, &law->head) &&
           (powers == n ? pw_curve_build(n, flow, power, &law->power)
                        : pw_pump_power_curve(n, flow, head, efficiency, pa_per_m, may_rise, &law->power)) &&
           npsh_of(pump, law);
}

/* What a jet pump delivers at its lifts. */
static bool lifts_of(const pw_pump *pump, pw_pump_law *law)
{
    double flow[PW_MAX_LIFT_POINTS];
    double head[PW_MAX_LIFT_POINTS];
    law->lift_count = pump->lift_count;
    for (int32_t i = 0; i < pump->lift_count; i++) {
        const pw_jet_lift *at = &pump->lifts[i];
        for (int32_t k = 0; k < at->point_count; k++) {
            flow[k] = at->points[k].flow_m3s.v;
            head[k] = at->points[k].head_m.v;
        }
        law->lift_m[i] = at->lift_m.v;
        if (!pw_curve_build_head(at->point_count, flow, head, &law->by_lift[i]) ||
            (i > 0 && !(law->lift_m[i] > law->lift_m[i - 1]))) {
            return false;
        }
    }
    if (pump->lift_count > 0) { /* what is asked of it without a lift: head over the water at the smallest */
        const pw_jet_lift *first = &pump->lifts[0];
        for (int32_t k = 0; k < first->point_count; k++) {
            flow[k] = first->points[k].flow_m3s.v;
            head[k] = first->points[k].head_m.v + first->lift_m.v;
        }
        return pw_curve_build_head(first->point_count, flow, head, &law->head);
    }
    return true;
}

/* A jet pump's suction is in its lifts: what the largest of them leaves of the air's push is what it requires. */
static bool jet_npsh(pw_pump_law *law, double barometer_m)
{
    const double left_m = pw_max(barometer_m - law->lift_m[law->lift_count - 1], JET_NPSH_M);
    const double flow[2] = {0.0, 1e-3};
    const double npsh[2] = {left_m, left_m};
    return pw_curve_build(2, flow, npsh, &law->npsh) && pw_curve_build(2, flow, npsh, &law->needs);
}

bool pw_pump_law_of(const pw_pump *pump, double pa_per_m, double barometer_m, pw_pump_law *out)
{
    memset(out, 0, sizeof *out);
    if (!curves_of(pump, pa_per_m, out) || !lifts_of(pump, out)) {
        return false;
    }
    out->speed = pump->speed.v;
    out->most_m3s = pw_affinity_flow_m3s(out->head.x[out->head.n - 1], out->speed);
    if (pump->ejector.nozzle_m.given && pump->lift_count == 0 && !pw_ejector_fit(pump, barometer_m, out)) {
        return false;
    }
    if (out->lift_count > 0 && !jet_npsh(out, barometer_m)) {
        return false;
    }
    out->zero_head_m = pw_pump_head(&out->head, out->speed, 0.0, NULL);
    out->through_k = out->zero_head_m / (out->most_m3s * out->most_m3s);
    out->throttle_k = VALVE_PART * out->through_k;
    out->dry = pw_pump_dry_part((int32_t)pump->kind, pump->stages.given ? pump->stages.v : 1.0);
    out->non_return = pump->non_return;
    out->motor = pw_motor_of(&pump->motor);
    return true;
}
