/* Motor, cable and what feeds them. Licensed work: the papers say so beside each of these results. */
#include "formula/cable.h"
#include "formula/tables.h"
#include "formula/thermal.h"
#include "study/size_inside.h"

static double ohm_m(const size_work *w, double section_mm2)
{
    return pw_cable_ohm_m(section_mm2) * pw_copper_factor(w->site->design.cable.conductor_c.v);
}

/* Far more copper than the current asks for: a higher voltage is the cure (own choice). */
#define OUT_OF_PROPORTION 5.0

/* One section judged by ampacity, drop, starting drop and short circuit. */
static void prove_cable(const size_work *w, const pw_motor *motor, double section, double run_a, double factor,
                        pw_size_cable *out)
{
    const pw_supply_cable *cable = &w->site->design.cable;
    const double volts = w->site->supply_v.v;
    const double reactance = motor->phases == 0 ? 0.0 : PW_CABLE_OHM_M;
    out->section_mm2 = section;
    out->drop = pw_cable_drop_v(motor->phases, run_a, cable->length_m.v, ohm_m(w, section), reactance, factor) / volts;
    out->start_drop = pw_cable_drop_v(motor->phases, motor->locked_rotor_a.v, cable->length_m.v, ohm_m(w, section),
                                      reactance, pw_motor_start_factor(motor->phases, motor->power_w.v)) /
                      volts;
    out->fault_ok = section >= pw_fault_section_mm2(cable->fault_a.v, cable->fault_s.v, PW_COPPER_PVC_K);
    out->ampacity_a = pw_cable_ampacity_a(cable->laying, motor->phases == 3 ? 3 : 2, section) *
                      pw_cable_warmth_factor(cable->laying, cable->around_c.v);
    out->fits = out->ampacity_a >= PW_CONDUCTOR_FACTOR * motor->full_load_a.v && out->drop <= cable->drop.v &&
                out->start_drop <= cable->start_drop.v && out->fault_ok;
}

/* All sections as they are judged; the place of the smallest that fits, -1 when there is none. */
static int32_t try_sections(size_work *w, const pw_motor *motor, double run, double factor)
{
    pw_sizing *out = w->out;
    const pw_supply_cable *cable = &w->site->design.cable;
    int32_t chosen = -1;
    for (int32_t i = 0; i < pw_cable_count() && out->cable_count < PW_SIZE_CABLES; i++) {
        const double section = pw_cable_section_mm2(i);
        if (section < 1.5) {
            continue; /* not laid as a motor's cable */
        }
        pw_size_cable *row = &out->cables[out->cable_count];
        prove_cable(w, motor, section, run, factor, row);
        row->present = pw_abs(section - cable->section_mm2.v) < 1e-9;
        if (row->fits && chosen < 0) {
            chosen = out->cable_count;
            row->chosen = true;
        }
        out->cable_count++;
    }
    return chosen;
}

/* What the cable carries, and whether its drop asks for copper out of all proportion to its current. */
static void check_current(size_work *w, const pw_motor *motor, const pw_size_cable *own, pw_value which)
{
    const double needs_a = PW_CONDUCTOR_FACTOR * motor->full_load_a.v;
    size_add(w, PW_SIZE_ELECTRIC, "ampacity", pw_fact_of("size.ampacity"), PW_DIM_CURRENT, own->ampacity_a,
             pw_fact_of("size.ampacity-how", size_q(w, PW_DIM_TEMPERATURE, w->site->design.cable.around_c.v)),
             pw_fact_of("size.ampacity-source"));
    size_check(w, "ampacity", own->ampacity_a / needs_a - 1.0,
               pw_fact_of("size.check-ampacity", which, size_q(w, PW_DIM_CURRENT, own->ampacity_a),
                          size_q(w, PW_DIM_CURRENT, needs_a)));
    if (own->ampacity_a > OUT_OF_PROPORTION * needs_a) {
        size_check(w, "cable proportion", OUT_OF_PROPORTION * needs_a / own->ampacity_a - 1.0,
                   pw_fact_of("size.check-proportion", which, size_q(w, PW_DIM_CURRENT, motor->full_load_a.v)));
    }
}

static void put_cable(size_work *w, const pw_motor *motor)
{
    pw_sizing *out = w->out;
    const pw_supply_cable *cable = &w->site->design.cable;
    const double run = motor->full_load_a.v;
    const double factor = motor->phases == 0 ? 1.0 : motor->power_factor.v;
    const int32_t chosen = try_sections(w, motor, run, factor);
    size_add_in(w, PW_SIZE_ELECTRIC, "cable section", pw_fact_of("size.cable-size"), "mm2",
                chosen >= 0 ? out->cables[chosen].section_mm2 : PW_INF,
                pw_fact_of("size.cable-size-how", size_q(w, PW_DIM_FRACTION, cable->drop.v),
                           size_q(w, PW_DIM_FRACTION, cable->start_drop.v), size_q(w, PW_DIM_CURRENT, cable->fault_a.v),
                           size_q(w, PW_DIM_TIME, cable->fault_s.v)),
                pw_fact_of("size.cable-size-source"));
    if (chosen < 0) {
        size_check(w, "cable", -1.0, pw_fact_of("size.no-cable"));
        return;
    }
    pw_size_cable own = out->cables[chosen];
    if (cable->section_mm2.v > 0.0 && pw_cable_ohm_m(cable->section_mm2.v) > 0.0) {
        prove_cable(w, motor, cable->section_mm2.v, run, factor, &own);
    }
    const pw_value which = size_nested(
        w, pw_fact_of("size.cable-which", size_n(w, own.section_mm2), size_q(w, PW_DIM_LENGTH, cable->length_m.v)));
    size_add(w, PW_SIZE_ELECTRIC, "drop", pw_fact_of("size.drop"), PW_DIM_FRACTION, own.drop,
             pw_fact_of("size.drop-how", pw_truth(motor->phases == 3), size_q(w, PW_DIM_CURRENT, run), which),
             pw_fact_of("size.drop-source"));
    size_add(w, PW_SIZE_ELECTRIC, "starting drop", pw_fact_of("size.start-drop"), PW_DIM_FRACTION, own.start_drop,
             pw_fact_of("size.start-drop-how", size_q(w, PW_DIM_CURRENT, motor->locked_rotor_a.v)),
             pw_fact_of("size.start-drop-source"));
    if (motor->phases != 0) {
        const double soft_a = pw_min(cable->soft_start.v * motor->full_load_a.v, motor->locked_rotor_a.v);
        const double part = soft_a / motor->locked_rotor_a.v;
        size_add(w, PW_SIZE_ELECTRIC, "starting drop, soft start", pw_fact_of("size.soft-drop"), PW_DIM_FRACTION,
                 part * own.start_drop,
                 pw_fact_of("size.soft-drop-how", size_q(w, PW_DIM_CURRENT, soft_a),
                            size_q(w, PW_DIM_CURRENT, motor->locked_rotor_a.v)),
                 pw_fact_of("size.soft-drop-source"));
    }
    size_add_in(w, PW_SIZE_ELECTRIC, "fault section", pw_fact_of("size.fault-section"), "mm2",
                pw_fault_section_mm2(cable->fault_a.v, cable->fault_s.v, PW_COPPER_PVC_K),
                pw_fact_of("size.fault-section-how"), pw_fact_of("size.fault-section-source"));
    const double loop = 2.0 * cable->length_m.v * ohm_m(w, own.section_mm2);
    const double phase_v = pw_phase_v(motor->phases, w->site->supply_v.v);
    size_add(w, PW_SIZE_ELECTRIC, "fault current", pw_fact_of("size.fault-current"), PW_DIM_CURRENT,
             pw_end_fault_a(phase_v, cable->fault_a.v, loop), pw_fact_of("size.fault-current-how"),
             pw_fact_of("size.fault-current-source"));
    size_check(w, "cable",
               pw_min(cable->drop.v / pw_max(own.drop, 1e-9), cable->start_drop.v / pw_max(own.start_drop, 1e-9)) - 1.0,
               pw_fact_of("size.check-cable", which, size_q(w, PW_DIM_FRACTION, own.drop),
                          size_q(w, PW_DIM_FRACTION, own.start_drop)));
    check_current(w, motor, &own, which);
}

static bool shares_work(const pw_settings *settings)
{
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        if (pw_settings_kind(settings, i) == PW_SENTENCE_SHARE) {
            return true;
        }
    }
    return false;
}

/* NEMA MG 10 against what the vessel and the order let happen. It is a guide of the trade, not a limit of this motor,
 * and never the weakest point; and it is made for three-phase motors, which the words tell for others. */
static void put_guide(size_work *w, const pw_motor *motor, double allowed, double rest_s)
{
    const pw_value binds = pw_truth(motor->phases == 3);
    const pw_settings *settings = w->plant->settings;
    if (w->vessel_starts_h > 0.0) {
        size_guide(w, "motor starts", allowed / w->vessel_starts_h - 1.0,
                   pw_fact_of("size.guide-starts", size_n(w, allowed), size_n(w, w->vessel_starts_h), binds));
    }
    int32_t count;
    double window_s;
    const double limit_h = pw_settings_starts_limit_h(settings, &count, &window_s);
    if (limit_h < PW_INF) {
        size_guide(w, "starts of the settings", allowed / limit_h - 1.0,
                   pw_fact_of("size.guide-lock", size_n(w, allowed), size_n(w, count), size_q(w, PW_DIM_TIME, window_s),
                              binds));
    }
    if (!shares_work(settings)) { /* pumps that take turns rest while the others run */
        const double given_s = pw_settings_rest_s(settings);
        size_guide(w, "rest of the settings", given_s / rest_s - 1.0,
                   pw_fact_of("size.guide-rest", size_n(w, rest_s), pw_truth(given_s > 0.0),
                              size_q(w, PW_DIM_TIME, given_s), binds));
    }
}

static void put_heat(size_work *w, const pw_motor *motor)
{
    const pw_sizing *out = w->out;
    const pw_thermal thermal = {motor->full_load_a.v, motor->service_factor.v, motor->heat_time_s.v,
                                motor->cool_time_s.v};
    double run = 0.0;
    double most = 0.0;
    double inertia = 0.0;
    double rest = 0.0;
    for (int32_t i = 0; i < out->duty_count; i++) {
        run = pw_max(run, out->duties[i].current_a);
    }
    const double settled = pw_thermal_settled(&thermal, run);
    const double around = w->site->water_c.v;
    size_add(w, PW_SIZE_ELECTRIC, "winding", pw_fact_of("size.winding"), PW_DIM_TEMPERATURE,
             pw_winding_c(&thermal, settled, around, motor->winding_rise_k.v),
             pw_fact_of("size.winding-how", size_q(w, PW_DIM_TEMPERATURE, around),
                        size_q(w, PW_DIM_TEMPERATURE_RISE, motor->winding_rise_k.v), size_q(w, PW_DIM_CURRENT, run)),
             pw_fact_of("size.thermal-replica"));
    const double own = pw_thermal_starts(&thermal, motor->locked_rotor_a.v, motor->start_time_s.v, run, 0.5);
    size_add(w, PW_SIZE_ELECTRIC, "starts by heat", pw_fact_of("size.starts-by-heat"), PW_DIM_RATE,
             own < 1800.0 ? own : PW_INF,
             pw_fact_of("size.starts-by-heat-how", size_q(w, PW_DIM_CURRENT, motor->locked_rotor_a.v),
                        size_q(w, PW_DIM_TIME, motor->start_time_s.v)),
             pw_fact_of("size.thermal-replica"));
    const double seldom = pw_min(w->vessel_starts_h > 0.0 ? w->vessel_starts_h : 1.0, 1800.0);
    const double theta =
        pw_thermal_cycle(&thermal, pw_max(seldom, 0.1), motor->locked_rotor_a.v, motor->start_time_s.v, run, 0.5);
    size_add(w, PW_SIZE_ELECTRIC, "winding, cycling",
             w->vessel_starts_h > 0.0 ? pw_fact_of("size.winding-vessel") : pw_fact_of("size.winding-once"),
             PW_DIM_TEMPERATURE, pw_winding_c(&thermal, theta, around, motor->winding_rise_k.v),
             pw_fact_of("size.winding-cycling-how", size_n(w, seldom)), pw_fact_of("size.thermal-replica"));
    size_check(
        w, "winding",
        (motor->winding_limit_c.v - around) /
                pw_max(pw_winding_c(&thermal, pw_max(settled, theta), around, motor->winding_rise_k.v) - around, 1.0) -
            1.0,
        pw_fact_of("size.check-winding",
                   size_q(w, PW_DIM_TEMPERATURE,
                          pw_winding_c(&thermal, pw_max(settled, theta), around, motor->winding_rise_k.v)),
                   size_q(w, PW_DIM_TEMPERATURE, motor->winding_limit_c.v)));
    if (motor->phases != 0 &&
        pw_motor_starts(motor->power_w.v, (int32_t)w->site->design.poles.v, &most, &inertia, &rest)) {
        const double allowed = pw_allowed_starts(most, inertia, w->site->design.inertia_kgm2.v);
        size_add(w, PW_SIZE_ELECTRIC, "starts by table", pw_fact_of("size.starts-by-table"), PW_DIM_RATE, allowed,
                 pw_fact_of("size.starts-by-table-how", size_n(w, most), size_n(w, inertia), size_n(w, rest),
                            pw_truth(w->site->design.inertia_kgm2.v > 0.0)),
                 motor->phases == 3 ? pw_fact_of("size.nema-next") : pw_fact_of("size.nema-single"));
        put_guide(w, motor, allowed, rest);
    }
}

static void put_feed(size_work *w, const pw_motor *motor)
{
    const pw_supply_cable *cable = &w->site->design.cable;
    const double volts = w->site->supply_v.v;
    const double run_va = pw_apparent_va(motor->phases, volts, motor->full_load_a.v);
    const double start_va = pw_apparent_va(motor->phases, volts, motor->locked_rotor_a.v);
    const double by_dip = pw_generator_start_va(start_va, cable->reactance.v, cable->dip.v);
    const double soft_a = pw_min(cable->soft_start.v * motor->full_load_a.v, motor->locked_rotor_a.v);
    if (motor->phases != 0) {
        size_add_in(w, PW_SIZE_ELECTRIC, "generator", pw_fact_of("size.generator"), "kVA",
                    pw_max(by_dip, PW_GENERATOR_SPARE * run_va) * 1e-3,
                    pw_fact_of("size.generator-how", size_n(w, start_va * 1e-3), size_n(w, cable->reactance.v),
                               size_q(w, PW_DIM_FRACTION, cable->dip.v)),
                    pw_fact_of("size.generator-source"));
        const double soft_va = pw_apparent_va(motor->phases, volts, soft_a);
        size_add_in(
            w, PW_SIZE_ELECTRIC, "generator, soft start", pw_fact_of("size.generator-soft"), "kVA",
            pw_max(pw_generator_start_va(soft_va, cable->reactance.v, cable->dip.v), PW_GENERATOR_SPARE * run_va) *
                1e-3,
            pw_fact_of("size.generator-soft-how", size_q(w, PW_DIM_CURRENT, soft_a)), pw_fact_of("size.as-above"));
        const double part = soft_a / motor->locked_rotor_a.v;
        size_add(w, PW_SIZE_ELECTRIC, "soft start torque", pw_fact_of("size.soft-torque"), PW_DIM_FRACTION,
                 pw_motor_torque(part), pw_fact_of("size.soft-torque-how"), pw_fact_of("size.motor-theory"));
    }
    size_add_in(w, PW_SIZE_ELECTRIC, "running load",
                motor->phases != 0 ? pw_fact_of("size.apparent-power") : pw_fact_of("size.running-power"),
                motor->phases != 0 ? "kVA" : "kW", run_va * 1e-3,
                motor->phases == 3 ? pw_fact_of("size.running-three") : pw_fact_of("size.running-one"),
                pw_fact_of("size.definition"));
}

pw_status size_electric(size_work *w)
{
    const pw_motor *motor = &w->site->pumps[w->out->pump].motor;
    size_add(w, PW_SIZE_ELECTRIC, "full-load current", pw_fact_of("size.full-load"), PW_DIM_CURRENT,
             motor->full_load_a.v,
             motor->full_load_a.given ? pw_fact_of("size.stated") : pw_fact_of("size.full-load-how"),
             motor->full_load_a.given ? pw_fact_of("size.the-sheet") : pw_fact_of("size.full-load-source"));
    const double start_a = motor->locked_rotor_a.v;
    size_add(w, PW_SIZE_ELECTRIC, "starting current", pw_fact_of("size.starting-current"), PW_DIM_CURRENT, start_a,
             motor->locked_rotor_a.given ? pw_fact_of("size.stated") : pw_fact_of("size.starting-current-how"),
             motor->locked_rotor_a.given ? pw_fact_of("size.the-sheet") : pw_fact_of("size.common-practice"));
    if (motor->phases != 0) {
        const double kva = pw_locked_rotor_kva_per_hp(motor->phases, motor->power_w.v, motor->voltage_v.v, start_a);
        size_add_in(w, PW_SIZE_ELECTRIC, "starting power", pw_fact_of("size.starting-power"), "kVA/hp", kva,
                    pw_fact_of("size.starting-power-how"), pw_fact_of("size.code-letters"));
    }
    size_add(w, PW_SIZE_ELECTRIC, "conductor current", pw_fact_of("size.conductor-current"), PW_DIM_CURRENT,
             PW_CONDUCTOR_FACTOR * motor->full_load_a.v, pw_fact_of("size.conductor-current-how"),
             pw_fact_of("size.nec"));
    put_cable(w, motor);
    put_heat(w, motor);
    put_feed(w, motor);
    return PW_OK;
}
