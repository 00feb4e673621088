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

/* Heat at the end of one cycle that begins with theta; *hottest within it. */
typedef struct heat_cycle {
    const pw_thermal *thermal;
    double start_a, start_s, run_a, run_s, rest_s;
} heat_cycle;

static double through(const heat_cycle *c, double theta, double *hottest)
{
    const double started = pw_thermal_step(c->thermal, theta, c->start_a, true, c->start_s);
    const double ran = pw_thermal_step(c->thermal, started, c->run_a, true, c->run_s);
    *hottest = pw_max(theta, pw_max(started, ran));
    return pw_thermal_step(c->thermal, ran, 0.0, false, c->rest_s);
}

double pw_thermal_cycle(const pw_thermal *thermal, double starts_h, double start_a, double start_s, double run_a,
                        double busy)
{
    const double cycle = 3600.0 / starts_h;
    const double on = pw_max(cycle * pw_clamp(busy, 0.0, 1.0), pw_min(start_s, cycle));
    const double start = pw_min(start_s, on);
    const heat_cycle c = {thermal, start_a, start, run_a, on - start, cycle - on};
    double hottest = 0.0;
    /* each step is linear in theta, so the cycle that repeats itself follows from two of them */
    const double from_cold = through(&c, 0.0, &hottest);
    const double from_one = through(&c, 1.0, &hottest);
    const double settled = from_cold / pw_max(1.0 - (from_one - from_cold), 1e-12);
    (void)through(&c, settled, &hottest);
    return hottest;
}

double pw_thermal_starts(const pw_thermal *thermal, double start_a, double start_s, double run_a, double busy)
{
    int32_t low = 0;
    int32_t high = 1801;
    while (high - low > 1) {
        const int32_t mid = (low + high) / 2;
        if (pw_thermal_cycle(thermal, (double)mid, start_a, start_s, run_a, busy) < 1.0) {
            low = mid;
        } else {
            high = mid;
        }
    }
    return (double)low;
}

double pw_casing_holds_m3(double motor_w)
{
    return 0.5e-3 + 1.3e-6 * motor_w;
}

double pw_casing_loss_wk(double holds_m3, bool in_water)
{
    return (in_water ? 200.0 : 10.0) * 10.0 * pw_pow(holds_m3, 2.0 / 3.0);
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
