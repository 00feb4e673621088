/* Where the pump works against this site, from easy to hard, and how far that is from its best point. */
#include "study/size_inside.h"

static pw_status add_duty(size_work *w, const char *words, size_case which, double pressure_pa)
{
    pw_size_duty *duty = &w->out->duties[w->out->duty_count];
    duty->words = words;
    const pw_status status = size_duty_at(w, which, pressure_pa, duty);
    w->out->duty_count++;
    w->most_flow_m3s = pw_max(w->most_flow_m3s, duty->flow_m3s);
    return status;
}

static pw_status add_duties(size_work *w)
{
    const double low = size_low_pa(w);
    const double high = size_high_pa(w);
    const double mid = 0.5 * (low + high);
    if (w->out->kind == PW_SIZE_WITH_VESSEL) {
        pw_status status = add_duty(w, "size.at-low-new", SIZE_EASY, low);
        status = status == PW_OK ? add_duty(w, "size.midway-new", SIZE_USUAL, mid) : status;
        status = status == PW_OK ? add_duty(w, "size.at-high-new", SIZE_USUAL, high) : status;
        status = status == PW_OK ? add_duty(w, "size.at-low-aged", SIZE_HARD, low) : status;
        return status == PW_OK ? add_duty(w, "size.at-high-aged", SIZE_HARD, high) : status;
    }
    pw_status status = add_duty(w, "size.new-pipes", SIZE_EASY, 0.0);
    return status == PW_OK ? add_duty(w, "size.aged-pipes", SIZE_HARD, 0.0) : status;
}

static const pw_size_duty *usual_duty(const size_work *w)
{
    return &w->out->duties[w->out->kind == PW_SIZE_WITH_VESSEL ? 1 : 0];
}

static void put_numbers(size_work *w)
{
    const pw_size_duty *duty = usual_duty(w);
    const pw_size_duty *hard = &w->out->duties[w->out->duty_count - 1];
    const bool vessel = w->out->kind == PW_SIZE_WITH_VESSEL;
    const pw_size_duty *serve = vessel ? &w->out->duties[3] : hard;
    size_add(w, PW_SIZE_DUTY, "flow", pw_fact_of("size.duty-flow"), PW_DIM_FLOW, duty->flow_m3s,
             pw_fact_of("size.duty-flow-how", pw_word(duty->words)), pw_fact_of("size.docs-water"));
    size_add(w, PW_SIZE_DUTY, "head", pw_fact_of("size.duty-head"), PW_DIM_LENGTH, duty->head_m,
             pw_fact_of("size.duty-head-how"), pw_fact_of("size.docs-water"));
    size_add(w, PW_SIZE_DUTY, "hard flow", pw_fact_of("size.hard-flow"), PW_DIM_FLOW, serve->flow_m3s,
             pw_fact_of(serve->words), pw_fact_of("size.docs-water"));
    size_check(w, "flow", serve->flow_m3s / w->out->design_flow_m3s - 1.0,
               pw_fact_of("size.check-flow", size_q(w, PW_DIM_FLOW, serve->flow_m3s), pw_truth(vessel),
                          size_q(w, PW_DIM_FLOW, w->out->design_flow_m3s)));
    if (vessel) {
        const double shut_off = size_machine_head(&w->machine, 0.0);
        double still = 0.0;
        if (size_system_head(w, SIZE_HARD, 1e-9, size_high_pa(w), &still) == PW_OK && still > 0.0) {
            size_check(w, "stop", shut_off / still - 1.0,
                       pw_fact_of("size.check-stop", size_h(w, shut_off), size_h(w, still)));
        }
    }
}

static void put_efficiency(size_work *w)
{
    const pw_size_duty *duty = usual_duty(w);
    double best = 0.0;
    const double at = size_machine_best_m3s(&w->machine, w->pa_per_m, &best);
    size_add(w, PW_SIZE_DUTY, "efficiency", pw_fact_of("size.efficiency"), PW_DIM_FRACTION, duty->efficiency,
             pw_fact_of("size.efficiency-how"), pw_fact_of("size.definition"));
    size_add(w, PW_SIZE_DUTY, "best flow", pw_fact_of("size.best-flow"), PW_DIM_FLOW, at,
             pw_fact_of("size.best-flow-how", size_q(w, PW_DIM_FRACTION, best)), pw_fact_of("size.pumps-curve"));
    const double part = at > 0.0 ? duty->flow_m3s / at : 0.0;
    size_add(w, PW_SIZE_DUTY, "part of best", pw_fact_of("size.part-of-best"), PW_DIM_FRACTION, part,
             pw_fact_of("size.a-over-b", size_q(w, PW_DIM_FLOW, duty->flow_m3s), size_q(w, PW_DIM_FLOW, at)),
             pw_fact_of("size.definition"));
    size_check(w, "best point", part > 1.0 ? 1.2 / part - 1.0 : part / 0.7 - 1.0,
               pw_fact_of("size.check-best", size_q(w, PW_DIM_FRACTION, part)));
}

static void put_motor(size_work *w)
{
    const pw_sizing *out = w->out;
    const pw_pump *pump = &w->site->pumps[out->pump];
    double most = 0.0;
    const pw_size_duty *worst = &out->duties[0];
    for (int32_t i = 0; i < out->duty_count; i++) {
        if (out->duties[i].shaft_w > most) {
            most = out->duties[i].shaft_w;
            worst = &out->duties[i];
        }
    }
    const pw_size_duty *duty = usual_duty(w);
    size_add(w, PW_SIZE_DUTY, "shaft power", pw_fact_of("size.shaft-power"), PW_DIM_POWER, most,
             pw_fact_of("size.largest-duty", pw_word(worst->words)), pw_fact_of("size.pumps-curve"));
    pw_size_line *input = size_add(
        w, PW_SIZE_DUTY, "input power", pw_fact_of("size.input-power"), PW_DIM_POWER, duty->input_w,
        pw_fact_of("size.input-power-how", size_q(w, PW_DIM_POWER, duty->shaft_w)), pw_fact_of("size.docs-motor"));
    if (input != NULL) {
        input->electric = true;
    }
    size_add(w, PW_SIZE_DUTY, "current", pw_fact_of("size.duty-current"), PW_DIM_CURRENT, duty->current_a,
             pw_fact_of("size.duty-current-how", size_q(w, PW_DIM_VOLTAGE, w->site->supply_v.v),
                        size_n(w, duty->power_factor)),
             pw_fact_of("size.docs-motor"));
    size_add(w, PW_SIZE_DUTY, "power factor", pw_fact_of("size.duty-power-factor"), PW_DIM_FRACTION, duty->power_factor,
             pw_fact_of("size.power-factor-how"), pw_fact_of("size.docs-motor"));
    const double kwh = duty->flow_m3s > 1e-9 ? pw_energy_kwh_m3(duty->input_w, duty->flow_m3s) : PW_INF;
    size_add_in(w, PW_SIZE_DUTY, "energy of a cubic metre", pw_fact_of("size.duty-energy", pw_in_us_units()), "kWh/m3",
                kwh, pw_fact_of("size.duty-energy-how"), pw_fact_of("size.definition"));
    size_check(
        w, "motor", pump->motor.power_w.v / pw_max(most, 1e-9) - 1.0,
        pw_fact_of("size.check-motor", size_q(w, PW_DIM_POWER, pump->motor.power_w.v), size_q(w, PW_DIM_POWER, most)));
    const double rated = w->site->limits.highest_pa.v;
    const double level = w->source >= 0 ? w->site->places[w->site->sources[w->source].place].level_m.v
                                        : w->site->places[pump->from].level_m.v;
    const double shut_pa = (size_machine_head(&w->machine, 0.0) - size_water_depth_m(w, SIZE_EASY) -
                            w->site->places[pump->to].level_m.v + level) *
                           w->pa_per_m;
    size_add(w, PW_SIZE_DUTY, "shut-off pressure", pw_fact_of("size.shut-off-pressure"), PW_DIM_PRESSURE, shut_pa,
             pw_fact_of("size.shut-off-how"), pw_fact_of("size.pumps-curve"));
    size_check(w, "rating", rated / pw_max(shut_pa, 1.0) - 1.0,
               pw_fact_of("size.check-rating", size_q(w, PW_DIM_PRESSURE, rated), size_q(w, PW_DIM_PRESSURE, shut_pa)));
}

static pw_status put_curves(size_work *w)
{
    pw_sizing *out = w->out;
    for (int32_t i = 0; i < PW_SIZE_CURVE; i++) {
        const double flow = w->machine.most_m3s * i / (PW_SIZE_CURVE - 1);
        out->pump_curve.flow_m3s[i] = flow;
        out->pump_curve.head_m[i] = size_machine_head(&w->machine, flow);
        out->efficiency_curve.flow_m3s[i] = flow;
        out->efficiency_curve.head_m[i] = size_machine_efficiency(&w->machine, flow, w->pa_per_m);
    }
    out->pump_curve.count = PW_SIZE_CURVE;
    out->efficiency_curve.count = PW_SIZE_CURVE;
    const double most = 1.1 * w->machine.most_m3s;
    pw_status status = size_system_curve(w, SIZE_EASY, size_low_pa(w), most, 16, &out->easy);
    status = status == PW_OK
                 ? size_system_curve(w, SIZE_USUAL, 0.5 * (size_low_pa(w) + size_high_pa(w)), most, 16, &out->usual)
                 : status;
    return status == PW_OK ? size_system_curve(w, SIZE_HARD, size_high_pa(w), most, 16, &out->hard) : status;
}

pw_status size_duty(size_work *w)
{
    pw_status status = add_duties(w);
    if (status != PW_OK) {
        return status;
    }
    put_numbers(w);
    put_efficiency(w);
    put_motor(w);
    return put_curves(w);
}
