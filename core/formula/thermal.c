#include "formula/thermal.h"

#include "base/num.h"

double pw_thermal_settled(const pw_thermal *thermal, double current_a)
{
    const double ratio = current_a / (thermal->k * thermal->basic_a);
    return ratio * ratio;
}

double pw_thermal_step(const pw_thermal *thermal, double theta, double current_a, bool running, double dt_s)
{
    const double tau = running ? thermal->heat_time_s : thermal->cool_time_s;
    const double settled = pw_thermal_settled(thermal, current_a);
    return settled + (theta - settled) * pw_exp(-pw_max(dt_s, 0.0) / tau);
}

double pw_thermal_trip_s(const pw_thermal *thermal, double theta, double current_a)
{
    const double settled = pw_thermal_settled(thermal, current_a);
    if (theta >= 1.0) {
        return 0.0;
    }
    if (!(settled > 1.0)) {
        return PW_INF;
    }
    return thermal->heat_time_s * pw_log((settled - theta) / (settled - 1.0));
}

double pw_thermal_cool_s(const pw_thermal *thermal, double theta, double to)
{
    if (theta <= to) {
        return 0.0;
    }
    return to > 0.0 ? thermal->cool_time_s * pw_log(theta / to) : PW_INF;
}

double pw_winding_c(const pw_thermal *thermal, double theta, double around_c, double rise_k)
{
    return around_c + rise_k * theta * thermal->k * thermal->k;
}

double pw_thermal_start(const pw_thermal *thermal, double start_a, double start_time_s)
{
    return pw_thermal_step(thermal, 0.0, start_a, true, start_time_s);
}

double pw_heating_c(double power_w, double mass_kg, double cp_jkgk, double ua_wk, double around_c, double start_c,
                    double time_s)
{
    const double capacity = mass_kg * cp_jkgk;
    if (!(ua_wk > 0.0)) {
        return start_c + power_w * time_s / capacity;
    }
    const double settled = around_c + power_w / ua_wk;
    return settled + (start_c - settled) * pw_exp(-ua_wk * time_s / capacity);
}

double pw_heating_time_s(double power_w, double mass_kg, double cp_jkgk, double ua_wk, double around_c, double start_c,
                         double to_c)
{
    const double capacity = mass_kg * cp_jkgk;
    if (to_c <= start_c) {
        return 0.0;
    }
    if (!(ua_wk > 0.0)) {
        return power_w > 0.0 ? capacity * (to_c - start_c) / power_w : PW_INF;
    }
    const double settled = around_c + power_w / ua_wk;
    if (!(settled > to_c)) {
        return PW_INF;
    }
    return capacity / ua_wk * pw_log((settled - start_c) / (settled - to_c));
}
