#include "element/valve.h"

#include "base/num.h"
#include "formula/friction.h"
#include "formula/tank.h"

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(line_open, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
    PW_SLOT_EACH(line_back, PW_SLOT_NUMBER, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(pump_open, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
    PW_SLOT_EACH(pump_back, PW_SLOT_NUMBER, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(float_passing, PW_SLOT_NUMBER, "", 0.0, 0.0, 1.0),
    PW_SLOT_EACH(float_most, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
};

pw_condition_slots pw_valve_slots(void)
{
    return (pw_condition_slots){"valve", slots, sizeof slots / sizeof slots[0]};
}

bool pw_valve_shut(double open)
{
    return open < 1e-6;
}

void pw_shut_loss(double flow_m3s, double *loss_m, double *slope)
{
    *loss_m = PW_CLOSED_S_M2 * flow_m3s;
    *slope = PW_CLOSED_S_M2;
}

void pw_add_square(double k_s2m5, double flow_m3s, double *loss_m, double *slope)
{
    *loss_m += k_s2m5 * flow_m3s * pw_abs(flow_m3s);
    *slope += 2.0 * k_s2m5 * pw_abs(flow_m3s);
}

void pw_pocket_loss(double pocket_m, double creep_m3s, double flow_m3s, double *loss_m, double *slope)
{
    const double root = pw_sqrt(flow_m3s * flow_m3s + creep_m3s * creep_m3s);
    *loss_m += pocket_m * flow_m3s / root;
    const double bent = creep_m3s / root;
    *slope += pocket_m * bent * bent / root;
}

double pw_gate_k_s2m5(double k_s2m5, double open)
{
    return k_s2m5 * (1.0 / (open * open) - 1.0);
}

void pw_gate_loss(double k_s2m5, double open, double flow_m3s, double *loss_m, double *slope)
{
    if (open < 1.0) {
        pw_add_square(pw_gate_k_s2m5(k_s2m5, open), flow_m3s, loss_m, slope);
    }
}

bool pw_non_return_holds(bool there, double back, double flow_m3s)
{
    return there && back <= 0.0 && flow_m3s < 0.0;
}

void pw_non_return_loss(double k_s2m5, double back, double flow_m3s, double *loss_m, double *slope)
{
    if (flow_m3s < 0.0) {
        pw_add_square(k_s2m5 / (back * back), flow_m3s, loss_m, slope);
    }
}

double pw_float_k_s2m5(const pw_tank *tank)
{
    return tank->float_valve ? pw_square_loss_s2m5(PW_FLOAT_VALVE_K, pw_bore_area_m2(tank->valve_bore_m.v)) : 0.0;
}

double pw_float_open(const pw_tank *tank, const pw_condition *condition, int32_t item, double depth_m)
{
    const double open = tank->float_valve ? pw_float_opening(depth_m, tank->closes_m.v, tank->band_m.v,
                                                             condition->float_passing[item], NULL)
                                          : 1.0;
    return pw_min(open, condition->float_most[item]);
}
