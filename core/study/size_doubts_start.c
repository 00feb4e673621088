/* Motors that do not run up: what cable and generator leave of the voltage while they draw their starting current, as a
 * simulation's start takes it. */
#include "study/doubts_inside.h"

#include "base/num.h"
#include "element/motor.h"
#include "element/supply.h"

/* Where the sheet says the cable of a pump. */
static const char *cable_path(doubt *d, int32_t pump)
{
    const pw_pump *made = &d->site->pumps[pump];
    return made->cable_m.given && made->cable_mm2.given ? doubt_path(d, "pumps", pump, "cable section")
                                                        : "site.design.cable.section";
}

void doubt_starts(doubt *d)
{
    pw_condition healthy;
    pw_condition_healthy(d->plant->model, &healthy);
    for (int32_t p = 0; p < d->site->pump_count && !pw_supply_drives(d->site); p++) {
        const pw_motor *motor = &d->site->pumps[p].motor;
        const double rated = d->site->supply_v.v / motor->voltage_v.v;
        const double cable = pw_model_start_part(d->plant->model, p);
        const double supply = pw_supply_start_part(d->plant->model, &healthy, p);
        const bool alone = pw_motor_start_s(1.0, rated * supply) < PW_INF; /* on no cable it would */
        if (cable < 1.0 && alone && !(pw_motor_start_s(1.0, rated * supply * cable) < PW_INF)) {
            pw_warning_tell(
                d->problems, PW_CONFLICT, cable_path(d, p),
                pw_fact_of("check.starts-with", pw_quantity(PW_DIM_FRACTION, rated * supply * cable)),
                pw_fact_of("check.larger-section", pw_quantity(PW_DIM_LENGTH, pw_motor_cable_of(d->site, p).length_m)),
                pw_fact_of("check.never-runs-up", pw_named(d->site->pumps[p].name)));
        }
    }
}
