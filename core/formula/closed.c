#include "formula/closed.h"

#include "base/num.h"
#include "formula/vessel.h"

int32_t pw_in_use(int32_t n, double p, double chance)
{
    if (n < 1 || !(p > 0.0)) {
        return 0;
    }
    if (p >= 1.0) {
        return n;
    }
    /* log of (1 - p)^n may be far below the least double: scale the terms by the largest, which is near n p */
    const double odds = p / (1.0 - p);
    const int32_t top = (int32_t)pw_clamp(pw_floor((double)(n + 1) * p), 0.0, (double)n);
    double sum = 1.0;
    double term = 1.0;
    for (int32_t m = top; m > 0; m--) {
        term *= (double)m / ((double)(n - m + 1) * odds);
        sum += term;
    }
    term = 1.0;
    for (int32_t m = top; m < n; m++) {
        term *= odds * (double)(n - m) / (double)(m + 1);
        sum += term;
    }
    /* from the far end down, until the tail is more than the chance */
    int32_t most = n;
    double tail = 0.0;
    double at = term; /* of m = n */
    while (most > 0 && (tail + at) / sum <= chance) {
        tail += at;
        at *= (double)most / ((double)(n - most + 1) * odds);
        most--;
    }
    return most;
}

double pw_plain_tank_m3(double off_pa, double on_pa, double atmosphere_pa, double flow_m3s, double starts_hz,
                        double factor)
{
    return (off_pa + atmosphere_pa) / (off_pa - on_pa) * pw_cycle_volume_m3(flow_m3s, starts_hz) * factor;
}

double pw_bladder_tanks(double off_pa, double on_pa, double gap_pa, double atmosphere_pa, double flow_m3s,
                        double starts_hz, double each_m3, double *ratio_s)
{
    const double charge = on_pa - gap_pa + atmosphere_pa;
    const double ratio = 900.0 * (off_pa + atmosphere_pa) * (on_pa + atmosphere_pa) / ((off_pa - on_pa) * charge);
    *ratio_s = ratio;
    return ratio * flow_m3s / (starts_hz * 3600.0 * each_m3);
}

double pw_cycle_s(double volume_m3, double pump_m3s, double draw_m3s)
{
    const double hz = pw_cycle_starts_hz(volume_m3, pump_m3s, draw_m3s);
    return hz > 0.0 && hz < PW_INF ? 1.0 / hz : PW_INF;
}

double pw_fault_section_mm2(double fault_a, double fault_s, double k)
{
    return fault_a * pw_sqrt(fault_s) / k;
}

double pw_generator_start_va(double start_va, double reactance, double dip)
{
    return start_va * reactance * (1.0 / dip - 1.0);
}

double pw_annex_g_drop_v(int32_t phases, double current_a, double length_m, double section_mm2, double power_factor)
{
    const double b = phases == 3 ? 1.0 : 2.0;
    const double factor = phases == 0 ? 1.0 : power_factor;
    const double sine = pw_sqrt(pw_max(1.0 - factor * factor, 0.0));
    const double reactance = phases == 0 ? 0.0 : 0.08e-3;
    return b * current_a * length_m * (0.0225 / section_mm2 * factor + reactance * sine);
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

double pw_flexible_ohm_m(double section_mm2)
{
    static const double rows[][2] = {{1.5, 13.3}, {2.5, 7.98}, {4, 4.95}, {6, 3.30}, {10, 1.91}};
    for (int32_t i = 0; i < (int32_t)(sizeof rows / sizeof rows[0]); i++) {
        if (rows[i][0] == section_mm2) {
            return rows[i][1] * 1e-3;
        }
    }
    return 0.0;
}

double pw_k_of_kv(double kv_m3h, double bore_m)
{
    const double area = 0.25 * PW_PI * bore_m * bore_m;
    const double velocity = kv_m3h / 3600.0 / area;
    return 2.0 * 1e5 / (1000.0 * velocity * velocity);
}

double pw_pipe_rating_pa(double sdr, double strength_pa, double safety)
{
    return 2.0 * strength_pa / safety / (sdr - 1.0);
}
