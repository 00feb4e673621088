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

double pw_cable_start_part(int32_t phases, double volts, double locked_rotor_a, double start_factor, double length_m,
                           double ohm_m, double reactance_ohm_m)
{
    if (!(locked_rotor_a > 0.0)) {
        return 1.0;
    }
    const double motor_ohm = pw_phase_v(phases, volts) / locked_rotor_a;
    const double way_m = phases == 3 ? length_m : 2.0 * length_m;
    const double resistance = motor_ohm * start_factor + ohm_m * way_m;
    const double reactance =
        motor_ohm * pw_sqrt(pw_max(1.0 - start_factor * start_factor, 0.0)) + reactance_ohm_m * way_m;
    return motor_ohm / pw_sqrt(resistance * resistance + reactance * reactance);
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

double pw_cable_ampacity_a(pw_laying laying, int32_t loaded, double section_mm2)
{
    enum { SECTIONS = 8 };
    static const double sections[SECTIONS] = {1.5, 2.5, 4, 6, 10, 16, 25, 35};
    static const double two[PW_LAYINGS][SECTIONS] = {
        {14.5, 19.5, 26, 34, 46, 61, 80, 99}, {14, 18.5, 25, 32, 43, 57, 75, 92},
        {17.5, 24, 32, 41, 57, 76, 101, 125}, {16.5, 23, 30, 38, 52, 69, 90, 111},
        {19.5, 27, 36, 46, 63, 85, 112, 138}, {22, 29, 37, 46, 60, 78, 99, 119},
        {22, 28, 38, 48, 64, 83, 110, 132}};
    static const double three[PW_LAYINGS][SECTIONS] = {
        {13.5, 18, 24, 31, 42, 56, 73, 89}, {13, 17.5, 23, 29, 39, 52, 68, 83},  {15.5, 21, 28, 36, 50, 68, 89, 110},
        {15, 20, 27, 34, 46, 62, 80, 99},   {17.5, 24, 32, 41, 57, 76, 96, 119}, {18, 24, 30, 38, 50, 64, 82, 98},
        {19, 24, 33, 41, 54, 70, 92, 110}};
    const double *row = (loaded == 3 ? three : two)[laying];
    int32_t i = 1;
    if (section_mm2 < 1.0) {
        return 0.0;
    }
    while (i < SECTIONS - 1 && section_mm2 > sections[i]) {
        i++;
    }
    if (section_mm2 == sections[i] || section_mm2 == sections[i - 1]) {
        return section_mm2 == sections[i] ? row[i] : row[i - 1];
    }
    const double part = pw_log(section_mm2 / sections[i - 1]) / pw_log(sections[i] / sections[i - 1]);
    return row[i - 1] * pw_exp(part * pw_log(row[i] / row[i - 1]));
}

double pw_laying_around_c(pw_laying laying)
{
    return laying >= PW_LAID_D1 ? 20.0 : 30.0;
}

double pw_cable_warmth_factor(pw_laying laying, double around_c)
{
    return pw_sqrt(pw_max(70.0 - around_c, 0.0) / (70.0 - pw_laying_around_c(laying)));
}
