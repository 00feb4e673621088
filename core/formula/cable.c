#include "formula/cable.h"

#include "base/num.h"
#include "formula/motor.h"

#define SQRT_3            1.73205080756887729353
#define ANNEX_G_OHM_MM2_M 0.0225

/* IEC 60228 Table 2 (class 2, plain annealed copper), mm2 and ohm/km at 20 C: read, copies of the standard agree. */
static const struct {
    double section_mm2, ohm_km;
} conductors[] = {
    {0.5, 36.0},   {0.75, 24.5},  {1.0, 18.1},   {1.5, 12.1},   {2.5, 7.41},
    {4.0, 4.61},   {6.0, 3.08},   {10.0, 1.83},  {16.0, 1.15},  {25.0, 0.727},
    {35.0, 0.524}, {50.0, 0.387}, {70.0, 0.268}, {95.0, 0.193}, {120.0, 0.153},
};

enum { CONDUCTORS = (int)(sizeof conductors / sizeof conductors[0]) };

int32_t pw_cable_count(void)
{
    return CONDUCTORS;
}

double pw_cable_section_mm2(int32_t i)
{
    return i >= 0 && i < CONDUCTORS ? conductors[i].section_mm2 : 0.0;
}

double pw_cable_ohm_m(double section_mm2)
{
    for (int32_t i = 0; i < CONDUCTORS; i++) {
        if (pw_abs(section_mm2 - conductors[i].section_mm2) < 1e-9) {
            return conductors[i].ohm_km * 1e-3;
        }
    }
    return 0.0;
}

double pw_copper_factor(double temperature_c)
{
    return (234.5 + temperature_c) / 254.5;
}

double pw_copper_correction(double temperature_c)
{
    return 250.0 / (230.0 + temperature_c);
}

double pw_cable_drop_v(int32_t phases, double current_a, double length_m, double ohm_m, double reactance_ohm_m,
                       double power_factor)
{
    if (phases == 0) {
        return 2.0 * current_a * length_m * ohm_m;
    }
    const double cosine = pw_clamp(power_factor, 0.0, 1.0);
    const double sine = pw_sqrt(1.0 - cosine * cosine);
    const double times = phases == 3 ? SQRT_3 : 2.0;
    return times * current_a * length_m * (ohm_m * cosine + reactance_ohm_m * sine);
}

double pw_fault_section_mm2(double fault_a, double fault_s, double k)
{
    return fault_a * pw_sqrt(fault_s) / k;
}

double pw_annex_g_drop_v(int32_t phases, double current_a, double length_m, double section_mm2, double power_factor)
{
    const double ohm_m = ANNEX_G_OHM_MM2_M / section_mm2;
    return pw_phase_v(phases, pw_cable_drop_v(phases, current_a, length_m, ohm_m, PW_CABLE_OHM_M, power_factor));
}

double pw_end_fault_a(double phase_v, double fault_a, double loop_ohm)
{
    return phase_v / (phase_v / fault_a + loop_ohm);
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
