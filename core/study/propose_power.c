/* Watches on current, winding and supply that an order may lack. Times and margins without another word: own choices
 * from common practice.
 */
#include "base/num.h"
#include "element/pump.h"
#include "study/propose_watch.h"
#include "formula/motor.h"

/* Between what the motor takes without water and what it takes at the least load of a healthy run, the highest pressure
 * it works at; nearer to that, since an intake that only begins to suck air takes almost as much. */
bool prove_watch_low_current(const prove_trial *t, prove_proposal *p)
{
    const pw_plant *plant = t->plant;
    const pw_site *site = plant->site;
    const bool seen = t->outcome->dry_s > RATHER_DRY_S || pw_fault_row_of(t->job->fault.kind)->stays_off;
    const bool by_pressure = prove_by_pressure(plant);
    const pw_pump_facts *facts = &plant->facts.pumps[t->pump];
    /* what a pump takes whose outlets open and shut as they like is not known beforehand */
    if (!seen || (!by_pressure && (facts->serves || !facts->fills)) ||
        prove_looks(t, PW_TERM_CURRENT, false, false, false, -1)) {
        return false;
    }
    const double pa = by_pressure ? plant->cut_out_pa : t->usual->reference_pa;
    pw_duty duty;
    const size_t mark = pw_arena_mark(t->arena);
    const pw_status status = pw_model_duty(plant->model, t->arena, t->pump, pa, &duty, NULL);
    pw_arena_back(t->arena, mark);
    double dry_a = 0.0;
    if (status != PW_OK || !(duty.current_a > 0.0)) {
        return false;
    }
    pw_motor_load(pw_model_motor(plant->model, t->pump), pw_model_dry_w(plant->model, t->pump), site->supply_v.v, NULL,
                  &dry_a, NULL, NULL);
    if (duty.current_a < A_FIFTH * dry_a) {
        return false;
    }
    const double step_a = duty.current_a < 3.0 ? 0.05 : 0.1;
    const double limit_a = step_a * pw_floor((0.25 * dry_a + 0.75 * duty.current_a) / step_a + 0.5);
    p->locks = true;
    SAY(when, "current below ");
    SAY_QUANTITY(when, PW_DIM_CURRENT, limit_a);
    SAY(when, " for 5 s");
    SAY(first, "ignore current below ");
    SAY_QUANTITY(first, PW_DIM_CURRENT, limit_a);
    SAY(first, " for 3 s after start");
    p->why = pw_fact_of("propose.why-low-current", pw_quantity(PW_DIM_CURRENT, duty.current_a),
                        pw_quantity(PW_DIM_CURRENT, dry_a));
    return true;
}

bool prove_watch_high_current(const prove_trial *t, prove_proposal *p)
{
    const pw_motor *motor = &t->plant->site->pumps[t->pump].motor;
    const bool seen = t->outcome->winding_max_c > t->usual->winding_max_c + 10.0 || t->outcome->burnt_s > 0.0;
    if (!seen || prove_looks(t, PW_TERM_CURRENT, true, false, false, -1)) {
        return false;
    }
    p->locks = true;
    SAY(when, "current above ");
    SAY_QUANTITY(when, PW_DIM_CURRENT, 0.1 * pw_floor(11.0 * motor->full_load_a.v + 0.999));
    SAY(when, " for 30 s");
    p->why = pw_fact_of("propose.why-high-current");
    return true;
}

bool prove_watch_hot_winding(const prove_trial *t, prove_proposal *p)
{
    const double limit_c = pw_outcome_winding_limit_c(t->plant->site);
    const double least_c = t->usual->years > 0 ? t->usual->winding_max_c + 10.0 : 0.0;
    const double at_c = 5.0 * pw_floor(pw_max(limit_c - 30.0, least_c) / 5.0 + 0.999);
    if (at_c >= limit_c || t->outcome->winding_max_c <= at_c + 1.0 ||
        prove_looks(t, PW_TERM_WINDING, true, false, false, -1)) {
        return false;
    }
    p->locks = true;
    SAY(when, "winding above ");
    SAY_NUMBER(when, at_c);
    SAY(when, " degC");
    p->why = pw_fact_of("propose.why-winding", pw_quantity(PW_DIM_TEMPERATURE, limit_c));
    return true;
}

/* Part of the supply's voltage that this fault leaves. */
static double supply_of(const prove_trial *t)
{
    pw_condition condition;
    pw_condition_healthy(t->plant->model, &condition);
    pw_fault_apply(t->plant->model, &t->job->fault, 1.0, t->usual->reference_pa, &condition);
    return condition.supply;
}

bool prove_watch_low_supply(const prove_trial *t, prove_proposal *p)
{
    if (supply_of(t) > 0.84 || prove_looks(t, PW_TERM_SUPPLY, false, false, false, -1)) {
        return false;
    }
    const double rated_v = t->plant->site->supply_v.v, step_v = rated_v < 60.0 ? 0.1 : 5.0;
    p->locks = true;
    SAY(when, "supply below ");
    SAY_QUANTITY(when, PW_DIM_VOLTAGE, step_v * pw_floor(0.85 * rated_v / step_v + 0.5));
    SAY(when, " for 10 s");
    return true;
}

bool prove_watch_lost_phase(const prove_trial *t, prove_proposal *p)
{
    if (prove_looks(t, PW_TERM_PHASES, false, false, false, -1)) {
        return false;
    }
    p->locks = true;
    SAY(when, "phase missing for 2 s");
    return true;
}

bool prove_watch_current_at_rest(const prove_trial *t, prove_proposal *p)
{
    const int32_t flow = prove_flow_switch(t);
    if (prove_looks(t, PW_TERM_CURRENT, true, true, false, -1) ||
        (flow >= 0 && prove_looks(t, PW_TERM_FLOW, true, true, false, flow))) {
        return false;
    }
    const double amps = t->plant->site->pumps[t->pump].motor.full_load_a.v;
    SAY(when, "stopped and current above ");
    SAY_QUANTITY(when, PW_DIM_CURRENT, 0.1 * pw_floor(1.5 * amps + 0.999));
    SAY(when, " for 1 min");
    p->why = pw_fact_of("propose.why-at-rest");
    return true;
}
