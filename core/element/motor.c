#include "element/motor.h"

#include "base/num.h"
#include "formula/cable.h"

/* A motor that gets less than this part of its supply has long stalled (own choice): no voltage below is followed. */
#define LEAST_PART 0.3

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(pump_amps, PW_SLOT_NUMBER, "", 1.0, 0.0, PW_INF),
    PW_SLOT_EACH(stalled, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(welded, PW_SLOT_FLAG, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(not_closing, PW_SLOT_NUMBER, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(sag, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
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

pw_motor_cable pw_motor_cable_of(const pw_site *site, int32_t pump)
{
    const pw_pump *made = &site->pumps[pump];
    const pw_supply_cable *design = &site->design.cable;
    const bool own = made->cable_m.given && made->cable_mm2.given;
    if (!own && !(pump == 0 && design->section_mm2.given && design->section_mm2.v > 0.0)) {
        return (pw_motor_cable){0};
    }
    const double ohm_m = pw_cable_ohm_m(own ? made->cable_mm2.v : design->section_mm2.v);
    return (pw_motor_cable){ohm_m > 0.0 ? (own ? made->cable_m.v : design->length_m.v) : 0.0,
                            ohm_m * pw_copper_factor(design->conductor_c.v),
                            made->motor.phases == 0 ? 0.0 : PW_CABLE_OHM_M};
}

double pw_motor_start_part(const pw_motor_data *motor, const pw_motor_cable *cable)
{
    return cable->length_m > 0.0 ? pw_cable_start_part(motor->phases, motor->voltage_v, motor->locked_rotor_a,
                                                       pw_motor_start_factor(motor->phases, motor->power_w),
                                                       cable->length_m, cable->ohm_m, cable->reactance_ohm_m)
                                 : 1.0;
}

/* The same load at less voltage takes more current, which costs more voltage: a few rounds settle it. */
static double running_v(const pw_motor_data *motor, const pw_motor_cable *cable, double shaft_w, double volts)
{
    enum { ROUNDS = 8 };
    double at_motor_v = volts;
    for (int32_t i = 0; i < ROUNDS && cable->length_m > 0.0; i++) {
        double input_w;
        double current_a;
        double factor;
        pw_motor_load(motor, shaft_w, at_motor_v, &input_w, &current_a, NULL, &factor);
        const double drop_v = pw_cable_drop_v(motor->phases, current_a, cable->length_m, cable->ohm_m,
                                              cable->reactance_ohm_m, pw_clamp(factor, 0.0, 1.0));
        at_motor_v = pw_max(volts - drop_v, LEAST_PART * volts);
    }
    return at_motor_v;
}

void pw_motor_draw(const pw_motor_data *motor, const pw_motor_cable *cable, const pw_condition *condition, int32_t item,
                   double supply_v, double shaft_w, double *input_w, double *current_a)
{
    const double volts = supply_v * condition->supply;
    if (condition->stalled[item]) {
        const double factor = pw_motor_start_factor(motor->phases, motor->power_w);
        const double part = condition->phase_lost ? pw_motor_single_phased_standing() : 1.0;
        *current_a = pw_motor_start_a(motor, volts * pw_motor_start_part(motor, cable)) * part;
        *input_w = pw_apparent_va(motor->phases, volts, *current_a) * factor;
        return;
    }
    const double at_motor_v = running_v(motor, cable, shaft_w, volts);
    pw_motor_load(motor, shaft_w, at_motor_v, input_w, current_a, NULL, NULL);
    if (cable->length_m > 0.0) { /* what warms the copper */
        const double wires = motor->phases == 3 ? 3.0 : 2.0;
        *input_w += wires * *current_a * *current_a * cable->ohm_m * cable->length_m;
    }
    *current_a *= condition->pump_amps[item];
}

bool pw_motor_stalls(const pw_motor_data *motor, double supply_v, double part)
{
    const double rated = supply_v / motor->voltage_v;
    return !(pw_motor_speed(motor->phases, rated * part) > 0.0);
}
