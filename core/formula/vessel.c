/* Gas law with ends that a solver can lean on. With charge c = (precharge + atmosphere) a^n, whole volume V, gas V - w:
 *   w < 0        p = c - ... falls by a parabola: slope at 0 as the gas law's, c + P0 lost within 0.2 % of V
 *   0 .. edge    p = c (V/(V - w))^n
 *   beyond edge  straight line with the slope at the edge, where p is 1000 times the charge P0
 */
#include "formula/vessel.h"

#include <stddef.h>
#include <stdint.h>

#include "base/num.h"

#define SHELL_SHARE 0.002  /* of the volume: how far below empty the pressure is gone */
#define EDGE_RATIO  1000.0 /* absolute pressure over absolute precharge where the gas law is left */

typedef struct cell {
    double volume, n, charge, empty_abs, empty_slope, bend, edge_m3, edge_abs, edge_slope;
} cell;

static cell cell_of(double volume_m3, double precharge_pa, double polytropic, double air_fraction, double atmosphere_pa)
{
    cell c;
    const double air = pw_clamp(air_fraction, PW_VESSEL_LEAST_AIR, 1.0);
    c.volume = volume_m3;
    c.n = pw_clamp(polytropic, 1.0, 1.4);
    c.charge = pw_max(precharge_pa + atmosphere_pa, 1.0);
    c.empty_abs = c.charge * pw_pow(air, c.n);
    c.empty_slope = c.n * c.empty_abs / volume_m3;
    const double shell = SHELL_SHARE * volume_m3;
    c.bend = c.charge / (shell * shell);
    const double gas = volume_m3 * air * pw_pow(EDGE_RATIO, -1.0 / c.n);
    c.edge_m3 = volume_m3 - gas;
    c.edge_abs = EDGE_RATIO * c.charge;
    c.edge_slope = c.n * c.edge_abs / gas;
    return c;
}

double pw_vessel_pa(double volume_m3, double precharge_pa, double polytropic, double air_fraction, double atmosphere_pa,
                    double water_m3, double *slope_pa_per_m3)
{
    const cell c = cell_of(volume_m3, precharge_pa, polytropic, air_fraction, atmosphere_pa);
    double absolute;
    double slope;
    if (water_m3 < 0.0) {
        absolute = c.empty_abs + water_m3 * (c.empty_slope - c.bend * water_m3);
        slope = c.empty_slope - 2.0 * c.bend * water_m3;
    } else if (water_m3 > c.edge_m3) {
        absolute = c.edge_abs + c.edge_slope * (water_m3 - c.edge_m3);
        slope = c.edge_slope;
    } else {
        const double gas = volume_m3 - water_m3;
        absolute = c.empty_abs * pw_pow(volume_m3 / gas, c.n);
        slope = c.n * absolute / gas;
    }
    if (slope_pa_per_m3 != NULL) {
        *slope_pa_per_m3 = slope;
    }
    return absolute - atmosphere_pa;
}

double pw_vessel_water_m3(double volume_m3, double precharge_pa, double polytropic, double air_fraction,
                          double atmosphere_pa, double pressure_pa)
{
    const cell c = cell_of(volume_m3, precharge_pa, polytropic, air_fraction, atmosphere_pa);
    const double absolute = pressure_pa + atmosphere_pa;
    if (absolute < c.empty_abs) {
        /* bend w^2 - slope w - (empty - absolute) = 0, the negative root, written without cancellation */
        const double missing = c.empty_abs - absolute;
        return -2.0 * missing / (c.empty_slope + pw_sqrt(c.empty_slope * c.empty_slope + 4.0 * c.bend * missing));
    }
    if (absolute > c.edge_abs) {
        return c.edge_m3 + (absolute - c.edge_abs) / c.edge_slope;
    }
    return volume_m3 * (1.0 - pw_pow(c.empty_abs / absolute, 1.0 / c.n));
}

double pw_vessel_pressure_part(double air_fraction, double polytropic, double charge_pa, double extra_pa)
{
    const double left = air_fraction < 1.0 ? pw_pow(air_fraction, polytropic) : 1.0;
    return extra_pa != 0.0 ? left * ((charge_pa + extra_pa) / charge_pa) : left;
}

double pw_vessel_drawdown(double precharge_pa, double on_pa, double off_pa, double polytropic, double atmosphere_pa)
{
    const double charge = precharge_pa + atmosphere_pa;
    const double on = pw_max(on_pa + atmosphere_pa, charge);
    const double off = off_pa + atmosphere_pa;
    if (!(off > on) || !(charge > 0.0)) {
        return 0.0;
    }
    const double power = 1.0 / pw_clamp(polytropic, 1.0, 1.4);
    return pw_pow(charge / on, power) - pw_pow(charge / off, power);
}

double pw_vessel_acceptance(double precharge_pa, double off_pa, double atmosphere_pa)
{
    return pw_vessel_drawdown(precharge_pa, precharge_pa, off_pa, 1.0, atmosphere_pa);
}

double pw_cycle_starts_hz(double usable_m3, double pump_m3s, double draw_m3s)
{
    if (!(draw_m3s > 0.0) || !(draw_m3s < pump_m3s)) {
        return 0.0;
    }
    if (!(usable_m3 > 0.0)) {
        return PW_INF;
    }
    return draw_m3s * (pump_m3s - draw_m3s) / (pump_m3s * usable_m3);
}

double pw_cycle_most_hz(double usable_m3, double pump_m3s)
{
    return pw_cycle_starts_hz(usable_m3, pump_m3s, 0.5 * pump_m3s);
}

double pw_cycle_run_s(double usable_m3, double pump_m3s, double draw_m3s)
{
    const double rest = pump_m3s - draw_m3s;
    return rest > usable_m3 / PW_INF ? usable_m3 / rest : PW_INF;
}

bool pw_cycle_draws(double usable_m3, double pump_m3s, double starts_hz, double *from_m3s, double *to_m3s)
{
    const double share = starts_hz / pw_cycle_most_hz(usable_m3, pump_m3s);
    if (!(share <= 1.0 + 1e-12)) { /* the very most is still reached, whatever its last digit */
        return false;
    }
    *to_m3s = 0.5 * pump_m3s * (1.0 + pw_sqrt(pw_max(1.0 - share, 0.0)));
    /* the small root without cancellation: product of the roots over the large one */
    *from_m3s = 0.25 * pump_m3s * pump_m3s * share / *to_m3s;
    return true;
}

double pw_cycle_long_run_m3s(double usable_m3, double pump_m3s, double run_s)
{
    return pw_max(0.0, pump_m3s - usable_m3 / run_s);
}

double pw_cycle_volume_m3(double pump_m3s, double starts_hz)
{
    return starts_hz > 0.0 ? pump_m3s / (4.0 * starts_hz) : PW_INF;
}

double pw_cycle_leak_m3s(double pumped_m3s, double ran_s, double over_s)
{
    return pumped_m3s * ran_s / over_s;
}

double pw_cycle_drawdown_m3(double pumped_m3s, double ran_s, double over_s, double starts)
{
    const double leak_m3s = pw_cycle_leak_m3s(pumped_m3s, ran_s, over_s);
    return starts > 0.0 ? (pumped_m3s - leak_m3s) * ran_s / starts : PW_INF;
}

double pw_vessel_leak_time_s(double volume_m3, double precharge_pa, double atmosphere_pa, double density_kgm3,
                             double cd_area_m2, double high_pa, double low_pa)
{
    enum { PARTS = 200 };
    const double charge = (precharge_pa + atmosphere_pa) * volume_m3;
    if (!(low_pa > 0.0) || !(high_pa > low_pa) || low_pa < precharge_pa) {
        return 0.0;
    }
    if (!(cd_area_m2 > 0.0)) {
        return PW_INF;
    }
    /* dt = charge dp / (p_abs^2 q(p)); with p = s^2 the 1/sqrt(p) of the hole's law goes away: dp / sqrt(p) = 2 ds */
    const double from = pw_sqrt(low_pa);
    const double step = (pw_sqrt(high_pa) - from) / PARTS;
    double sum = 0.0;
    for (int32_t i = 0; i <= PARTS; i++) {
        const double s = from + step * i;
        const double absolute = s * s + atmosphere_pa;
        const double weight = i == 0 || i == PARTS ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0);
        sum += weight / (absolute * absolute);
    }
    return charge * 2.0 * (sum * step / 3.0) / (cd_area_m2 * pw_sqrt(2.0 / density_kgm3));
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
