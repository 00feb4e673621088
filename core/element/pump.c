#include "element/pump.h"

#include <string.h>

#include "base/num.h"
#include "element/motor.h"
#include "element/valve.h"
#include "formula/pump.h"

/* Where a curve has no NPSH, and the part of its last flow at which it is looked up: common practice for small pumps,
 * no source. */
#define USUAL_NPSH_M 2.0
#define BEST_PART    0.6
/* Slope of a choked intake, in shut-off heads per largest flow: steep enough to hold the flow. */
#define CHOKED 3000.0
/* A full-bore valve beside the pump loses this part of what the pump itself would, stopped (own choice). */
#define VALVE_PART 0.01

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(pump_intake, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
    PW_SLOT_EACH(pump_head, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(pump_flow, PW_SLOT_NUMBER, "", 1.0, 1e-6, PW_INF),
    PW_SLOT_EACH(pump_load, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(pump_speed, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(pump_empty, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(drains_s, PW_SLOT_NUMBER, "s", 0.0, 0.0, PW_INF),
    PW_SLOT_EACH(slam_pa, PW_SLOT_NUMBER, "Pa", 0.0, 0.0, PW_INF),
    PW_SLOT_EACH(slam_half_s, PW_SLOT_NUMBER, "s", 0.0, 0.0, PW_INF),
};

pw_condition_slots pw_pump_slots(void)
{
    return (pw_condition_slots){"pump", slots, sizeof slots / sizeof slots[0]};
}

static bool curves_of(const pw_pump *pump, double pa_per_m, pw_pump_law *law)
{
    double flow[PW_MAX_CURVE];
    double head[PW_MAX_CURVE];
    double power[PW_MAX_CURVE];
    double efficiency[PW_MAX_CURVE];
    double npsh[PW_MAX_CURVE];
    const int32_t n = pump->point_count;
    int32_t powers = 0;
    int32_t npshs = 0;
    for (int32_t i = 0; i < n; i++) {
        flow[i] = pump->curve[i].flow_m3s.v;
        head[i] = pump->curve[i].head_m.v;
        power[i] = pump->curve[i].power_w.v;
        efficiency[i] = pump->curve[i].efficiency.v;
        npsh[i] = pump->curve[i].npsh_m.v;
        powers += pump->curve[i].power_w.given ? 1 : 0;
        npshs += pump->curve[i].npsh_m.given ? 1 : 0;
    }
    return n > 0 && pw_curve_build_head(n, flow, head, &law->head) &&
           (powers == n ? pw_curve_build(n, flow, power, &law->power)
                        : pw_pump_power_curve(n, flow, head, efficiency, pa_per_m, &law->power)) &&
           (npshs != n || pw_curve_build(n, flow, npsh, &law->npsh));
}

bool pw_pump_law_of(const pw_pump *pump, double pa_per_m, pw_pump_law *out)
{
    memset(out, 0, sizeof *out);
    if (!curves_of(pump, pa_per_m, out)) {
        return false;
    }
    out->speed = pump->speed.v;
    out->zero_head_m = pw_pump_head(&out->head, out->speed, 0.0, NULL);
    out->most_m3s = pw_affinity_flow_m3s(pump->curve[pump->point_count - 1].flow_m3s.v, out->speed);
    out->through_k = out->zero_head_m / (out->most_m3s * out->most_m3s);
    out->throttle_k = VALVE_PART * out->through_k;
    out->needs_m = out->npsh.n > 0 ? pw_curve_within(&out->npsh, BEST_PART * out->most_m3s) : USUAL_NPSH_M;
    out->non_return = pump->non_return;
    out->motor = pw_motor_of(&pump->motor);
    return true;
}

pw_pump_now pw_pump_now_of(const pw_condition *condition, int32_t item, double drive_speed, double wet, bool falls)
{
    const double covered = condition->pump_empty[item] ? 0.0 : wet;
    return (pw_pump_now){
        .turns = drive_speed > 0.0 && !condition->stalled[item] && !condition->pump_empty[item],
        .speed = condition->pump_speed[item] * drive_speed,
        .wet = covered,
        .falls_wet = falls ? covered : 1.0,
        .open = condition->pump_open[item],
        .back = condition->pump_back[item],
        .intake = condition->pump_intake[item],
        .head = condition->pump_head[item],
        .flow = condition->pump_flow[item],
    };
}

/* All heads of the curve times now->head and the wetness, all flows times now->flow, at the speed of now. */
static void running(const pw_pump_law *law, const pw_pump_now *now, double flow, double *loss, double *slope)
{
    double head_slope;
    const double share = now->wet * now->head;
    const double head = pw_pump_head(&law->head, law->speed * now->speed, flow / now->flow, &head_slope);
    *loss = -share * head;
    *slope = pw_max(-share * head_slope / now->flow, 1e-3);
}

/* Water driven through a pump that stands still. */
static void standing(const pw_pump_law *law, const pw_pump_now *now, double flow, double *loss, double *slope)
{
    const double still = 0.01 * law->through_k * law->most_m3s; /* keeps the slope above zero at rest */
    *loss = 0.0;
    *slope = 0.0;
    pw_add_square(law->through_k, flow, loss, slope);
    *loss += still * flow;
    *slope += still;
    if (law->non_return) {
        pw_non_return_loss(law->throttle_k, now->back, flow, loss, slope);
    }
}

/* A blocked intake loses head as the square of one over its free area, like a valve. What air and water above it push
 * through is all that can pass: there the pump cavitates, and its flow no longer follows the head. */
static void suck(const pw_pump_law *law, const pw_pump_now *now, double flow, double *loss, double *slope)
{
    const double k = pw_gate_k_s2m5(law->throttle_k, now->intake);
    const double most = pw_sqrt(now->suction_m / k);
    pw_add_square(k, flow, loss, slope);
    if (flow > most) {
        const double steep = CHOKED * law->zero_head_m / law->most_m3s;
        *loss += steep * (flow - most);
        *slope += steep;
    }
}

void pw_pump_loss(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s, double *loss_m, double *slope)
{
    if (now->asks) { /* as stiff as what is shut, but about another flow than none */
        pw_shut_loss(flow_m3s - now->asks_m3s, loss_m, slope);
        return;
    }
    /* A store that is empty gives nothing, however far the water could fall through the pump. */
    const bool dry = pw_valve_shut(now->falls_wet) && flow_m3s > 0.0;
    const bool held = (now->turns && flow_m3s < 0.0) || pw_non_return_holds(law->non_return, now->back, flow_m3s);
    if (pw_valve_shut(now->open) || dry || pw_valve_shut(now->intake) || held) {
        pw_shut_loss(flow_m3s, loss_m, slope);
        *loss_m -= now->turns ? pw_affinity_head_m(now->wet * law->zero_head_m * now->head, now->speed) : 0.0;
        return;
    }
    if (now->turns) {
        running(law, now, flow_m3s, loss_m, slope);
    } else {
        standing(law, now, flow_m3s, loss_m, slope);
    }
    pw_gate_loss(law->throttle_k, now->open, flow_m3s, loss_m, slope);
    if (flow_m3s > 0.0) {
        pw_gate_loss(law->throttle_k, now->falls_wet, flow_m3s, loss_m, slope);
    }
    if (now->intake < 1.0) {
        suck(law, now, flow_m3s, loss_m, slope);
    }
}

double pw_pump_inside_m(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s)
{
    return now->head * pw_pump_head(&law->head, law->speed * now->speed, pw_max(flow_m3s, 0.0) / now->flow, NULL);
}

double pw_pump_load_w(const pw_pump_law *law, const pw_pump_now *now, double load, double flow_m3s)
{
    const double part = (PW_DRY_POWER + (1.0 - PW_DRY_POWER) * now->wet) * load;
    const double most_m3s = pw_affinity_flow_m3s(law->most_m3s, now->speed);
    return part * pw_pump_shaft_w(&law->power, law->speed * now->speed, flow_m3s / now->flow, most_m3s);
}

double pw_pump_rated_head_m(const pw_pump_law *law, double flow_m3s)
{
    return pw_pump_head(&law->head, law->speed, flow_m3s, NULL);
}

double pw_pump_rated_w(const pw_pump_law *law, double flow_m3s)
{
    return pw_pump_shaft_w(&law->power, law->speed, flow_m3s, law->most_m3s);
}

double pw_pump_npsh_m(const pw_pump_law *law, double flow_m3s)
{
    return law->npsh.n > 0 ? pw_curve_within(&law->npsh, flow_m3s) : -1.0;
}
