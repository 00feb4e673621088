#include "element/pump.h"

#include "base/num.h"
#include "element/motor.h"
#include "element/valve.h"
#include "formula/pump.h"

/* Slope of a choked intake, in shut-off heads per largest flow: steep enough to hold the flow. */
#define CHOKED 3000.0
/* A pump full of air loses a millimetre at 1 m3/s: else no head would say what passes it. */
#define LEAST_S_M2 1e-3
/* A curve may say that nothing is required; a ratio needs something (own choice). */
#define LEAST_NPSH_M 0.1
/* A tenth of air binds a pump through which nothing flows; a twentieth of its last flow flushes it (own choice). */
#define BINDING_AIR 0.1
#define FLUSHING    0.05

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

/* NPSH at the curve's speed: held before its first point, in a straight line beyond its last. */
static double npsh_at(const pw_curve *curve, double flow_m3s, double *slope)
{
    if (flow_m3s <= curve->x[0]) {
        *slope = 0.0;
        return curve->y[0];
    }
    return pw_max(pw_curve_at(curve, flow_m3s, slope), 0.0);
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

/* Head over the pump plus the lift, by the lift: in straight lines between those of the table and beyond the last; less
 * than the first costs no more than it gains. Below nothing nothing is left. */
static double jet_head(const pw_pump_law *law, const pw_pump_now *now, double flow, double *slope)
{
    const double speed = law->speed * now->speed;
    const double lift = now->lift_m;
    int32_t i = 0;
    double s0;
    double s1 = 0.0;
    while (i + 2 < law->lift_count && lift > law->lift_m[i + 1]) {
        i++;
    }
    const double first = pw_pump_head(&law->by_lift[i], speed, flow, &s0);
    if (law->lift_count == 1 || lift <= law->lift_m[0]) {
        *slope = s0;
        return first + law->lift_m[i];
    }
    const double second = pw_pump_head(&law->by_lift[i + 1], speed, flow, &s1);
    const double wide = law->lift_m[i + 1] - law->lift_m[i];
    const double part = (lift - law->lift_m[i]) / wide;
    const double head = first + part * (second - first) + lift;
    *slope = s0 + part * (s1 - s0) + ((second - first) / wide + 1.0) * now->lift_slope;
    if (!(head > 0.0)) {
        *slope = 0.0;
    }
    return pw_max(head, 0.0);
}

double pw_pump_keeps(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s, double *slope)
{
    double rises = 0.0;
    double falls;
    double needs_m = now->assumed_m;
    const double speed = law->speed * now->speed;
    if (slope != NULL) {
        *slope = 0.0;
    }
    if (!now->tight || law->lift_count > 0 || !(speed > 0.0)) {
        return 1.0;
    }
    if (law->needs.n > 0) {
        needs_m = pw_affinity_head_m(npsh_at(&law->needs, pw_max(flow_m3s, 0.0) / now->flow / speed, &rises), speed);
        rises *= speed / now->flow;
    }
    needs_m = pw_max(needs_m, LEAST_NPSH_M);
    const double keeps = pw_cavitating_part(now->available_m / needs_m, &falls);
    if (slope != NULL && flow_m3s > 0.0) {
        *slope = falls * (now->available_slope * needs_m - now->available_m * rises) / (needs_m * needs_m);
        *slope = pw_min(*slope, 0.0);
    }
    return keeps;
}

/* All heads of the curve times now->head, the wetness and what cavitation leaves, all flows times now->flow, at the
 * speed of now. */
static void running(const pw_pump_law *law, const pw_pump_now *now, double flow, double *loss, double *slope)
{
    double head_slope;
    double keeps_slope;
    const double keeps = pw_pump_keeps(law, now, flow, &keeps_slope);
    const double share = now->wet * now->head;
    const double head = law->lift_count > 0
                            ? jet_head(law, now, flow / now->flow, &head_slope)
                            : pw_pump_head(&law->head, law->speed * now->speed, flow / now->flow, &head_slope);
    if (head < 0.0) { /* driven on beyond its curve it throttles, however little it could still give */
        *loss = -head;
        *slope = -head_slope / now->flow;
    } else {
        *loss = -share * keeps * head;
        *slope = -share * (keeps * head_slope / now->flow + keeps_slope * head);
    }
    const double empty = LEAST_S_M2 * (1.0 - pw_min(share, 1.0));
    *loss += empty * flow;
    *slope = pw_max(*slope + empty, LEAST_S_M2);
    const double beyond = flow / now->flow - pw_affinity_flow_m3s(law->most_m3s, now->speed);
    if (law->lift_count > 0 && beyond > 0.0) { /* a jet's table says nothing of that */
        pw_add_square(law->through_k, beyond, loss, slope);
    }
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

/* Head that it makes while nothing flows: where the running pump begins, so that its valve meets no step in the law. */
static double against_shut_m(const pw_pump_law *law, const pw_pump_now *now)
{
    double slope;
    if (law->lift_count > 0) {
        return now->wet * now->head * jet_head(law, now, 0.0, &slope);
    }
    return pw_affinity_head_m(now->wet * law->zero_head_m * now->head, now->speed) * pw_pump_keeps(law, now, 0.0, NULL);
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
        *loss_m -= now->turns ? against_shut_m(law, now) : 0.0;
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
    const double flow = pw_max(flow_m3s, 0.0) / now->flow;
    double slope;
    return now->head * (law->lift_count > 0 ? jet_head(law, now, flow, &slope)
                                            : pw_pump_head(&law->head, law->speed * now->speed, flow, NULL));
}

double pw_pump_filled(const pw_pump_law *law, const pw_pump_now *now, double flow_m3s)
{
    const double flushed = pw_clamp(flow_m3s / (FLUSHING * law->most_m3s), 0.0, 1.0);
    const double bound = (1.0 - now->wet) / BINDING_AIR;
    return pw_max(now->wet - (1.0 - flushed) * pw_min(bound, 1.0) * now->wet, 0.0);
}

double pw_pump_load_w(const pw_pump_law *law, const pw_pump_now *now, double load, double flow_m3s)
{
    const double part = (law->dry + (1.0 - law->dry) * pw_pump_filled(law, now, flow_m3s)) * load;
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

double pw_pump_rated_efficiency(const pw_pump_law *law, double flow_m3s, double pa_per_m)
{
    return pw_pump_efficiency(pa_per_m, flow_m3s, pw_pump_rated_head_m(law, flow_m3s), pw_pump_rated_w(law, flow_m3s));
}

double pw_pump_best_m3s(const pw_pump_law *law, double pa_per_m, double *efficiency)
{
    enum { PARTS = 64 };
    double best = 0.0;
    double most = 0.0;
    for (int32_t i = 1; i <= PARTS; i++) {
        const double flow = law->most_m3s * i / PARTS;
        const double at = pw_pump_rated_efficiency(law, flow, pa_per_m);
        if (at > most) {
            most = at;
            best = flow;
        }
    }
    /* the peak between the neighbours, by thirds: the curve is smooth and has one top there */
    double low = best - law->most_m3s / PARTS;
    double high = pw_min(best + law->most_m3s / PARTS, law->most_m3s);
    for (int32_t i = 0; i < 30; i++) {
        const double a = low + (high - low) / 3.0;
        const double b = high - (high - low) / 3.0;
        if (pw_pump_rated_efficiency(law, a, pa_per_m) < pw_pump_rated_efficiency(law, b, pa_per_m)) {
            low = a;
        } else {
            high = b;
        }
    }
    *efficiency = pw_pump_rated_efficiency(law, 0.5 * (low + high), pa_per_m);
    return 0.5 * (low + high);
}

double pw_pump_npsh_m(const pw_pump_law *law, double flow_m3s)
{
    double slope;
    return law->npsh.n > 0 ? pw_affinity_head_m(npsh_at(&law->npsh, flow_m3s / law->speed, &slope), law->speed) : -1.0;
}
