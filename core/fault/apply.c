/* What each fault changes in the physical condition. Sources and reasons: docs/faults.md. */
#include "base/num.h"
#include "fault/inside.h"
#include "formula/orifice.h"
#include "formula/pump.h"

/* ---- leaks ---- */

static int32_t reference_place(const pw_site *site)
{
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].kind == PW_SENSOR_PRESSURE && site->sensors[i].place >= 0) {
            return site->sensors[i].place;
        }
    }
    return fault_usual_leak_place(site);
}

/* Head at the leak's place that its severity is meant at. */
static double leak_head_m(const pw_model *model, int32_t place, double reference_pa)
{
    const pw_site *site = pw_model_site(model);
    int32_t tank = pw_site_tank_at(site, place);
    if (tank >= 0) {
        return pw_max(site->tanks[tank].start_m.v, PW_FAULT_LOWEST_DEPTH_M);
    }
    int32_t reference = reference_place(site);
    double fall_m = reference < 0 ? 0.0 : site->places[reference].level_m.v - site->places[place].level_m.v;
    return pw_max(reference_pa / pw_model_pa_per_m(model) + fall_m, PW_FAULT_LOWEST_HEAD_M);
}

static void add_leak(pw_condition *condition, int32_t place, double area_m2, double opens_pa)
{
    int32_t at = condition->leak_count;
    if (at >= PW_MAX_LEAKS) { /* more holes than the model holds: the last one grows */
        condition->leaks[PW_MAX_LEAKS - 1].area_m2 += area_m2;
        return;
    }
    condition->leaks[at].place = place;
    condition->leaks[at].area_m2 = area_m2;
    condition->leaks[at].opens_pa = opens_pa;
    condition->leak_count++;
}

/* A relief valve is chosen to pass the pump's whole flow: the end of its curve at 10 % over the lifting pressure. */
static void add_relief(const pw_model *model, int32_t pump, double opens_pa, pw_condition *condition)
{
    const pw_pump *made = &pw_model_site(model)->pumps[pump];
    const double opens = pw_max(opens_pa, 1e3);
    const double most_m3s = pw_affinity_flow_m3s(made->curve[made->point_count - 1].flow_m3s.v, made->speed.v);
    const double head_m = 1.1 * opens / pw_model_pa_per_m(model);
    add_leak(condition, made->to, pw_orifice_cd_area_m2(most_m3s, head_m), opens);
}

/* ---- pumps ---- */

/* Gas in a centrifugal pump: head lost in proportion to the square of the gas share, all of it at 15 % and above.
 * Handbooks give little effect to 2 or 3 %, a fifth of the head lost near 7 % and the flow breaking off at 7 to 15 %
 * for ordinary impellers (from memory); the form is our own. Of what the pump moves, the gas share is not water. */
static void gas(int32_t pump, double share, pw_condition *condition)
{
    const double most = 0.15;
    const double part = pw_min(share / most, 1.0);
    const double water = 1.0 - pw_min(share, 0.5);
    condition->pump_head[pump] *= 1.0 - part * part;
    condition->pump_flow[pump] *= water;
    condition->pump_load[pump] *= water * (1.0 - 0.5 * part * part);
}

/* Gas bubbles shake the flow switches that the pump's water passes: from 0.5 changes a second at a trace to 10 at 10 %
 * (common practice; the range is what call-outs report). */
static void bubbles(const pw_site *site, int32_t pump, double share, pw_condition *condition)
{
    for (int32_t s = 0; s < site->sensor_count; s++) {
        if (site->sensors[s].kind == PW_SENSOR_FLOW && (site->sensors[s].pump == pump || site->sensors[s].pump < 0)) {
            condition->chatter_hz[s] = pw_max(condition->chatter_hz[s], pw_clamp(100.0 * share, 0.5, 10.0));
        }
    }
}

/* Part of the passages left: the curve's flows shrink with it, and with them the power that follows the flow; half of
 * the power at no flow stays (own choice). */
static void foul(int32_t pump, double left, pw_condition *condition)
{
    const double part = pw_max(left, 0.01);
    condition->pump_flow[pump] *= part;
    condition->pump_load[pump] *= 0.5 + 0.5 * part;
}

/* Turning the wrong way a radial pump still pumps, with about half its head and a bit more than half its flow
 * (handbooks: 50 to 60 % and 30 to 50 %, from memory; common practice), and takes about as much power at the same flow
 * as the right way round. */
static void backwards(int32_t pump, pw_condition *condition)
{
    condition->pump_head[pump] *= 0.5;
    condition->pump_flow[pump] *= 0.5;
    condition->pump_load[pump] *= 0.7;
}

/* ---- supply ---- */

/* Where the motor stalls (pw_model_stalls) the speed has no meaning; it only must not be 0. */
#define LEAST_SPEED 0.05

static void brown_out(const pw_model *model, double left, pw_condition *condition)
{
    const pw_site *site = pw_model_site(model);
    condition->supply *= left;
    for (int32_t p = 0; p < site->pump_count; p++) {
        const pw_motor_data *motor = pw_model_motor(model, p);
        const double rated = site->supply_v.v / motor->voltage_v;
        const double healthy = pw_motor_speed(motor->phases, rated);
        const double now = pw_motor_speed(motor->phases, rated * condition->supply);
        condition->pump_speed[p] = healthy > 0.0 ? pw_max(now / healthy, LEAST_SPEED) : 1.0;
    }
}

/* With a phase gone a three-phase motor that turns goes on with more current. */
static void lose_phase(const pw_site *site, pw_condition *condition)
{
    condition->phase_lost = true;
    for (int32_t p = 0; p < site->pump_count; p++) {
        if (site->pumps[p].motor.phases == 3) {
            condition->pump_amps[p] = pw_motor_single_phased_turning();
        }
    }
}

/* ---- all ---- */

static void apply_water(const pw_model *model, const pw_fault *fault, int32_t where, double part, double reference_pa,
                        pw_condition *condition)
{
    const double severity = pw_max(fault->severity, 0.0);
    switch (fault->kind) {
    case PW_FAULT_SLOW_LEAK:
    case PW_FAULT_BURST:
        add_leak(condition, where, pw_orifice_cd_area_m2(severity, leak_head_m(model, where, reference_pa)), 0.0);
        break;
    case PW_FAULT_DRY_SOURCE: condition->source_yield[where] *= part; break;
    case PW_FAULT_FALLING_LEVEL: condition->source_fall_m[where] += severity; break;
    case PW_FAULT_LOST_AIR: condition->vessel_air[where] *= 1.0 - part; break;
    case PW_FAULT_HIGH_PRECHARGE: condition->vessel_extra_pa[where] += severity; break;
    case PW_FAULT_FLOAT_PASSING: condition->float_passing[where] = pw_max(condition->float_passing[where], part); break;
    case PW_FAULT_FLOAT_OPEN: condition->float_passing[where] = 1.0; break;
    case PW_FAULT_FLOAT_SHUT: condition->float_most[where] = part; break;
    case PW_FAULT_VALVE_CLOSED:
        if (where >= PW_MAX_LINES) {
            condition->pump_open[where - PW_MAX_LINES] *= part;
        } else {
            condition->line_open[where] *= part;
        }
        break;
    case PW_FAULT_BACKFLOW:
        if (where >= PW_MAX_LINES) {
            condition->pump_back[where - PW_MAX_LINES] = part;
        } else {
            condition->line_back[where] = part;
        }
        break;
    case PW_FAULT_SCALED: { /* Darcy-Weisbach at a given friction factor: head lost as one over the bore to the fifth
                             */
        const double bore = 1.0 - pw_min(part, 0.9);
        condition->line_friction[where] /= bore * bore * bore * bore * bore;
        break;
    }
    case PW_FAULT_RELIEF: add_relief(model, where, severity, condition); break;
    default: break;
    }
}

static void apply_pump(const pw_model *model, const pw_fault *fault, int32_t where, double part,
                       pw_condition *condition)
{
    const pw_site *site = pw_model_site(model);
    switch (fault->kind) {
    case PW_FAULT_BLOCKED_INTAKE: condition->pump_intake[where] *= part; break;
    case PW_FAULT_AIR_DRAWN_IN: gas(where, part, condition); break;
    case PW_FAULT_ENTRAINED_GAS:
        gas(where, part, condition);
        bubbles(site, where, part, condition);
        break;
    case PW_FAULT_LOST_PRIME: condition->drains_s[where] = pw_max(fault->severity, 1e-3); break;
    case PW_FAULT_SLAM:
        pw_model_surge(model, where, fault->severity, &condition->slam_pa[where], &condition->slam_half_s[where]);
        break;
    case PW_FAULT_WORN: condition->pump_head[where] *= 1.0 - pw_min(part, 0.95); break;
    case PW_FAULT_CLOGGED: foul(where, part, condition); break;
    case PW_FAULT_BACKWARDS: backwards(where, condition); break;
    case PW_FAULT_OVERLOAD: condition->pump_load[where] *= 1.0 + part; break;
    case PW_FAULT_WELDED: condition->welded[where] = true; break;
    case PW_FAULT_NOT_CLOSING: condition->not_closing[where] = part; break;
    case PW_FAULT_SUPPLY_LOST: condition->supply_lost = true; break;
    case PW_FAULT_BROWN_OUT: brown_out(model, part, condition); break;
    case PW_FAULT_PHASE_LOSS: lose_phase(site, condition); break;
    case PW_FAULT_GENERATOR_SAG:
        for (int32_t p = 0; p < site->pump_count; p++) {
            condition->sag[p] = part;
        }
        break;
    default: break;
    }
}

static void apply_sensor(const pw_fault *fault, int32_t where, double done, pw_condition *condition)
{
    const double severity = pw_max(fault->severity, 0.0);
    switch (fault->kind) {
    case PW_FAULT_CHATTER: condition->chatter_hz[where] = severity; break;
    case PW_FAULT_FLOW_ON:
    case PW_FAULT_PROBE_WET: condition->sensor_hold[where] = PW_HOLD_ON; break;
    case PW_FAULT_FLOW_OFF:
    case PW_FAULT_PROBE_DRY: condition->sensor_hold[where] = PW_HOLD_OFF; break;
    case PW_FAULT_SENSOR_STUCK:
    case PW_FAULT_FROZEN: condition->sensor_hold[where] = PW_HOLD_AS_IT_IS; break;
    case PW_FAULT_READS_HIGH: condition->sensor_bias[where] += done * severity; break;
    case PW_FAULT_READS_LOW: condition->sensor_bias[where] -= done * severity; break;
    case PW_FAULT_TAPPING: condition->sensor_lag_s[where] = pw_max(severity, 1e-3); break;
    default: break;
    }
}

void pw_fault_apply(const pw_model *model, const pw_fault *fault, double done, double reference_pa,
                    pw_condition *condition)
{
    int32_t where = pw_fault_where(pw_model_site(model), fault->kind, fault->where);
    if (where < 0 || done <= 0.0) {
        return;
    }
    pw_fault so_far = *fault;
    so_far.severity = done * fault->severity;
    double part = pw_clamp(so_far.severity, 0.0, 1.0);
    if (fault->kind == PW_FAULT_RUPTURED_CELL) { /* its severity is the time it takes */
        condition->vessel_air[where] *= 1.0 - done;
    }
    apply_water(model, &so_far, where, part, reference_pa, condition);
    apply_pump(model, &so_far, where, part, condition);
    apply_sensor(fault, where, done, condition);
}
