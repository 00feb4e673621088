/* Where the numbers come from:
 *   starts             NEMA MG 10 Table 2-3, as in the EASA Electrical Engineering Handbook: read, copies agree
 *   least cycle        US Army EI 11C201 (1997), Table 7-1: read
 *   currents           NEC Tables 430.248 (1999), 430.250, 430.251 (2008): read (copies)
 *   IE3                IEC 60034-30-1:2014: from memory
 *   equivalent length  NFPA 13: read (copy)
 *   grades             ISO 9906:1999 classes read (copy); ISO 9906:2012 Table 8 from memory
 */
#include "formula/tables.h"

#include <stddef.h>
#include <string.h>

#include "base/num.h"

/* clang-format off */
/* hp; 2 poles A, B, C; 4 poles A, B, C */
static const double start_rows[][7] = {
    {1, 15, 1.2, 75, 30, 5.8, 38},    {2, 11.5, 2.4, 77, 23, 11, 39},    {3, 9.9, 3.5, 80, 19.8, 17, 40},
    {5, 8.1, 5.7, 83, 16.3, 27, 42},  {7.5, 7.0, 8.3, 88, 13.9, 39, 44}, {10, 6.2, 11, 92, 12.5, 51, 46},
    {15, 5.4, 16, 100, 10.7, 75, 50}, {20, 4.8, 21, 110, 9.6, 99, 55},
};
/* hp; one phase 115, 230 V; three phases 230, 460 V; locked rotor at 230 V: one phase, three phases (design B) */
static const double nec_rows[][7] = {
    {0.5, 9.8, 4.9, 2.2, 1.1, 29.4, 20}, {0.75, 13.8, 6.9, 3.2, 1.6, 0, 0}, {1, 16, 8.0, 4.2, 2.1, 48, 30},
    {1.5, 20, 10, 6.0, 3.0, 0, 0},       {2, 24, 12, 6.8, 3.4, 72, 50},     {3, 34, 17, 9.6, 4.8, 102, 64},
    {5, 56, 28, 15.2, 7.6, 168, 92},     {7.5, 80, 40, 22, 11, 0, 127},     {10, 100, 50, 28, 14, 0, 162},
    {15, 0, 0, 42, 21, 0, 0},            {20, 0, 0, 54, 27, 0, 290},
};
/* kW; 2 poles, 4 poles */
static const double ie3_rows[][3] = {
    {0.75, 0.807, 0.825}, {1.5, 0.842, 0.853}, {2.2, 0.859, 0.867}, {4, 0.881, 0.886}, {7.5, 0.901, 0.904},
};
static const pw_rough_row rough_rows[] = {
    {"PE100", 0.0015e-3, 0.01e-3,
     "new: drawn tubing, Moody 1944; aged: slime and scale on smooth plastic, common practice, no source"},
    {"copper", 0.0015e-3, 0.01e-3, "new: drawn tubing, Moody 1944; aged: common practice, no source"},
    {"PVC", 0.0015e-3, 0.01e-3, "new: drawn tubing, Moody 1944; aged: common practice, no source"},
    {"steel", 0.045e-3, 0.5e-3,
     "new: commercial steel, Moody 1944; aged: lightly rusted, Idelchik's handbook, from memory"},
    {"galvanised", 0.15e-3, 0.5e-3, "new: galvanised iron, Moody 1944; aged: Idelchik's handbook, from memory"},
};
/* NFPA 13, Table 23.4.3.1.1: feet of schedule 40 steel with C 120, by nominal size; 0: not in the table. The fittings
 * go by the names of core/formula/fitting.c: its non-return valve is a swing check valve. */
static const double equivalent_in[] = {0.75, 1, 1.25, 1.5, 2, 2.5, 3, 3.5, 4, 5, 6};
static const struct { const char *fitting; double feet[11]; } equivalent_rows[] = {
    {"elbow 45", {1, 1, 1, 2, 2, 3, 3, 3, 4, 5, 7}},
    {"elbow 90", {2, 2, 3, 4, 5, 6, 7, 8, 10, 12, 14}},
    {"elbow 90 long", {1, 2, 2, 2, 3, 4, 5, 5, 6, 8, 9}},
    {"tee branch", {4, 5, 6, 8, 10, 12, 15, 17, 20, 25, 30}},
    {"butterfly valve", {0, 0, 0, 0, 6, 7, 10, 0, 12, 9, 10}},
    {"gate valve", {0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 3}},
    {"non-return valve", {0, 5, 7, 9, 11, 14, 16, 19, 22, 27, 32}},
};
static const pw_grade grades[] = {
    {"class 1", -0.045, 0.045, -0.03, 0.03, 0.0, -0.03}, {"class 2", -0.08, 0.08, -0.05, 0.05, 0.0, -0.05},
    {"1B", -0.05, 0.05, -0.03, 0.03, 0.04, -0.03}, {"1E", -0.05, 0.05, -0.03, 0.03, 0.04, 0.0},
    {"1U", 0.0, 0.10, 0.0, 0.06, 0.10, 0.0},       {"2B", -0.08, 0.08, -0.05, 0.05, 0.08, -0.05},
    {"2U", 0.0, 0.16, 0.0, 0.10, 0.16, -0.05},     {"3B", -0.09, 0.09, -0.07, 0.07, 0.09, -0.07},
};
/* clang-format on */
#define COUNT_OF(array) ((int32_t)(sizeof(array) / sizeof(array)[0]))

/* Standard ratings of both systems pair up within this part: 0.75 kW and 1 hp, 7.5 kW and 10 hp, 15 kW and 20 hp
 * (0.5 %), 2.2 kW and 3 hp (1.7 %), 3.7 kW and 5 hp (0.8 %). */
#define NEAR_RATING 0.02

bool pw_motor_starts(double power_w, int32_t poles, double *most, double *inertia_lbft2, double *rest_s)
{
    const double hp = power_w / PW_HORSEPOWER_W / (1.0 + NEAR_RATING);
    if (poles != 2 && poles != 4) {
        return false;
    }
    for (int32_t i = 0; i < COUNT_OF(start_rows); i++) {
        if (start_rows[i][0] >= hp) {
            const double *row = &start_rows[i][poles == 2 ? 1 : 4];
            *most = row[0];
            *inertia_lbft2 = row[1];
            *rest_s = row[2];
            return true;
        }
    }
    return false;
}

bool pw_motor_starts_row(int32_t i, double *hp, double row[6])
{
    if (i < 0 || i >= COUNT_OF(start_rows)) {
        return false;
    }
    *hp = start_rows[i][0];
    memcpy(row, &start_rows[i][1], 6 * sizeof row[0]);
    return true;
}

double pw_allowed_starts(double most, double inertia_lbft2, double load_kgm2)
{
    const double load = load_kgm2 / PW_LBFT2_KGM2;
    return load > 0.0 ? pw_min(most, inertia_lbft2 / load) : most;
}

double pw_least_cycle_s(double power_w, double *upper_s)
{
    static const double bands[][3] = {{15e3, 10, 15}, {75e3, 15, 20}, {185e3, 20, 30}};
    for (int32_t i = 0; i < COUNT_OF(bands); i++) {
        if (power_w < bands[i][0] || (i == COUNT_OF(bands) - 1 && power_w <= bands[i][0])) {
            *upper_s = bands[i][2] * 60.0;
            return bands[i][1] * 60.0;
        }
    }
    *upper_s = 0.0;
    return 0.0;
}

double pw_nec_current_a(double hp, int32_t phases, double volts)
{
    for (int32_t i = 0; i < COUNT_OF(nec_rows); i++) {
        if (pw_abs(nec_rows[i][0] - hp) < 1e-9) {
            const bool low = volts == (phases == 3 ? 230.0 : 115.0);
            const bool high = volts == (phases == 3 ? 460.0 : 230.0);
            const int32_t first = phases == 3 ? 3 : 1;
            return (phases == 1 || phases == 3) && (low || high) ? nec_rows[i][first + (high ? 1 : 0)] : 0.0;
        }
    }
    return 0.0;
}

double pw_nec_locked_a(double hp, int32_t phases)
{
    for (int32_t i = 0; i < COUNT_OF(nec_rows); i++) {
        if (pw_abs(nec_rows[i][0] - hp) < 1e-9) {
            return phases == 1 ? nec_rows[i][5] : phases == 3 ? nec_rows[i][6] : 0.0;
        }
    }
    return 0.0;
}

double pw_ie3_efficiency(double power_w, int32_t poles)
{
    for (int32_t i = 0; i < COUNT_OF(ie3_rows); i++) {
        if (pw_abs(ie3_rows[i][0] * 1e3 - power_w) < 1e-6) {
            return poles == 2 ? ie3_rows[i][1] : poles == 4 ? ie3_rows[i][2] : 0.0;
        }
    }
    return 0.0;
}

const pw_rough_row *pw_rough_at(int32_t i)
{
    return i >= 0 && i < COUNT_OF(rough_rows) ? &rough_rows[i] : NULL;
}

double pw_aged_rough_m(const char *pipe, double new_m)
{
    for (int32_t i = 0; i < COUNT_OF(rough_rows); i++) {
        if (strstr(pipe, rough_rows[i].material) != NULL) {
            return pw_max(rough_rows[i].aged_m, new_m);
        }
    }
    /* no name: rough pipe is taken to be metal */
    return pw_max(new_m > 0.02e-3 ? 0.5e-3 : 0.01e-3, new_m);
}

double pw_equivalent_m(const char *fitting, double nominal_in)
{
    for (int32_t i = 0; i < COUNT_OF(equivalent_rows); i++) {
        for (int32_t k = 0; k < COUNT_OF(equivalent_in) && strcmp(equivalent_rows[i].fitting, fitting) == 0; k++) {
            if (pw_abs(equivalent_in[k] - nominal_in) < 1e-6) {
                return equivalent_rows[i].feet[k] * 0.3048;
            }
        }
    }
    return 0.0;
}

const pw_grade *pw_grade_find(const char *name)
{
    for (int32_t i = 0; i < COUNT_OF(grades); i++) {
        if (strcmp(grades[i].name, name) == 0) {
            return &grades[i];
        }
    }
    return NULL;
}

const char *pw_equivalent_fitting(int32_t i)
{
    return i >= 0 && i < COUNT_OF(equivalent_rows) ? equivalent_rows[i].fitting : NULL;
}

double pw_equivalent_in(int32_t i)
{
    return i >= 0 && i < COUNT_OF(equivalent_in) ? equivalent_in[i] : 0.0;
}
