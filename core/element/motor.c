#include "element/motor.h"

#include "base/num.h"

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(pump_amps, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(stalled, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_ONE(supply, PW_SLOT_NUMBER, "", 1.0, 0.0, 2.0),
    PW_SLOT_EACH(welded, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(not_closing, PW_SLOT_NUMBER, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(sag, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
    PW_SLOT_ONE(phase_lost, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_ONE(supply_lost, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
};

pw_condition_slots pw_motor_slots(void)
{
    return (pw_condition_slots){"motor", slots, sizeof slots / sizeof slots[0]};
}

pw_motor_data pw_motor_of(const pw_motor *motor)
{
    return (pw_motor_data){
        .power_w = motor->power_w.v,
        .voltage_v = motor->voltage_v.v,
        .phases = motor->phases,
        .full_load_a = motor->full_load_a.v,
        .locked_rotor_a = motor->locked_rotor_a.v,
        .efficiency = motor->efficiency.v,
        .power_factor = motor->power_factor.v,
    };
}

void pw_motor_draw(const pw_motor_data *motor, const pw_condition *condition, int32_t item, double supply_v,
                   double shaft_w, double *input_w, double *current_a)
{
    const double volts = supply_v * condition->supply;
    if (condition->stalled[item]) {
        const double factor = pw_motor_start_factor(motor->phases, motor->power_w);
        const double part = condition->phase_lost ? pw_motor_single_phased_standing() : 1.0;
        *current_a = pw_motor_start_a(motor, volts) * part;
        *input_w = pw_apparent_va(motor->phases, volts, *current_a) * factor;
        return;
    }
    pw_motor_load(motor, shaft_w, volts, input_w, current_a, NULL, NULL);
    *current_a *= condition->pump_amps[item];
}

bool pw_motor_stalls(const pw_motor_data *motor, double supply_v, double part)
{
    const double rated = supply_v / motor->voltage_v;
    return !(pw_motor_speed(motor->phases, rated * part) > 0.0);
}
