#include "formula/thermal.h"

#include "base/num.h"

#define LEAST_RATE_HZ 1e-9
#define GONE          40.0 /* e^-40 is below the last digit */

double pw_thermal_settled(const pw_thermal *thermal, double current_a)
{
    const double ratio = current_a / (thermal->k * thermal->basic_a);
    return ratio * ratio;
}

double pw_thermal_rate(const pw_thermal *thermal, double theta, double current_a, bool running)
{
    return (pw_thermal_settled(thermal, current_a) - theta) / (running ? thermal->heat_time_s : thermal->cool_time_s);
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

double pw_casing_settles_c(const pw_casing *casing, double power_w, double changes_hz, double *rate_hz)
{
    const double capacity = casing->mass_kg * casing->cp_jkgk;
    *rate_hz = pw_max(changes_hz + casing->ua_wk / capacity, LEAST_RATE_HZ);
    return casing->around_c + power_w / (capacity * *rate_hz);
}

double pw_settling(double from, double to, double rate_hz, double time_s)
{
    const double left = rate_hz * time_s < GONE ? pw_exp(-rate_hz * time_s) : 0.0;
    return to + (from - to) * left;
}

double pw_settling_time_s(double from, double to, double rate_hz, double at)
{
    if (!((to - from) * (to - at) > 0.0)) {
        return (to - from) * (at - from) > 0.0 ? PW_INF : 0.0;
    }
    return pw_max(pw_log((to - from) / (to - at)) / rate_hz, 0.0);
}

double pw_heating_c(const pw_casing *casing, double power_w, double start_c, double time_s)
{
    double rate_hz;
    if (!(casing->ua_wk > 0.0)) {
        return start_c + power_w * time_s / (casing->mass_kg * casing->cp_jkgk);
    }
    const double settled = pw_casing_settles_c(casing, power_w, 0.0, &rate_hz);
    return pw_settling(start_c, settled, rate_hz, time_s);
}

double pw_heating_time_s(const pw_casing *casing, double power_w, double start_c, double to_c)
{
    double rate_hz;
    if (to_c <= start_c) {
        return 0.0;
    }
    if (!(casing->ua_wk > 0.0)) {
        return power_w > 0.0 ? casing->mass_kg * casing->cp_jkgk * (to_c - start_c) / power_w : PW_INF;
    }
    const double settled = pw_casing_settles_c(casing, power_w, 0.0, &rate_hz);
    return settled > to_c ? pw_settling_time_s(start_c, settled, rate_hz, to_c) : PW_INF;
}
