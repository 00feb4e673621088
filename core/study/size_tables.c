/* Where the numbers come from:
 *   Hunter's curve   IPC Appendix E, Table E103.3(3): the points at 1 to 6, 8, 10, 15, 20, 30, 40, 50, 70, 100, 140,
 * 200, 300, 500 and 1,000 units (tank) and 5, 10, 20, 30, 40, 80, 100, 200, 225, 300, 500, 1,000 (valve) were read in
 * public copies; the others are from memory fixture units    IPC Table E103.3(2), private: group, bathtub, sink,
 * dishwasher, laundry tray, lavatory read; water closet, shower, bidet, washing machine from memory loading units    EN
 * 806-3:2006, Table 2: read stock            Agriculture and Agri-Food Canada, typical daily water requirement for
 * range livestock: read. Growing cattle 23 to 36 in winter and 36 to 55 in summer: the upper end starts           NEMA
 * MG 10 Table 2-3, as in the EASA Electrical Engineering Handbook: read, copies agree least cycle      US Army EI
 * 11C201 (1997), Table 7-1: read currents         NEC Tables 430.248 (1999), 430.250, 430.251 (2008): read (copies) IE3
 * IEC 60034-30-1:2014: from memory equivalent length  NFPA 13: read (copy) grades           ISO 9906:1999 classes read
 * (copy); ISO 9906:2012 Table 8 from memory
 */
#include "study/size_tables.h"

#include <stddef.h>
#include <string.h>

#include "base/num.h"

#define GPM_M3S (3.785411784e-3 / 60.0)

/* clang-format off */
static const double tank_curve[][2] = {
    {1, 3.0}, {2, 5.0}, {3, 6.5}, {4, 8.0}, {5, 9.4}, {6, 10.7}, {7, 11.8}, {8, 12.8}, {9, 13.7}, {10, 14.6},
    {11, 15.4}, {12, 16.0}, {13, 16.5}, {14, 17.0}, {15, 17.5}, {16, 18.0}, {17, 18.4}, {18, 18.8}, {19, 19.2},
    {20, 19.6}, {25, 21.5}, {30, 23.3}, {35, 24.9}, {40, 26.3}, {45, 27.7}, {50, 29.1}, {60, 32.0}, {70, 35.0},
    {80, 38.0}, {90, 41.0}, {100, 43.5}, {120, 48.0}, {140, 52.5}, {160, 57.0}, {180, 61.0}, {200, 65.0}, {225, 70.0},
    {250, 75.0}, {275, 80.0}, {300, 85.0}, {400, 105.0}, {500, 124.0}, {750, 170.0}, {1000, 208.0}, {1250, 239.0},
    {1500, 269.0}, {1750, 297.0}, {2000, 325.0}, {2500, 380.0}, {3000, 433.0}, {4000, 525.0}, {5000, 593.0},
};
static const double valve_curve[][2] = {
    {5, 15.0}, {6, 17.4}, {7, 19.8}, {8, 22.2}, {9, 24.6}, {10, 27.0}, {11, 27.8}, {12, 28.6}, {13, 29.4}, {14, 30.2},
    {15, 31.0}, {16, 31.8}, {17, 32.6}, {18, 33.4}, {19, 34.2}, {20, 35.0}, {25, 38.0}, {30, 42.0}, {35, 44.0},
    {40, 46.0}, {45, 48.0}, {50, 50.0}, {60, 54.0}, {70, 58.0}, {80, 61.2}, {90, 64.3}, {100, 67.5}, {120, 73.0},
    {140, 77.0}, {160, 81.0}, {180, 85.5}, {200, 90.0}, {225, 95.5}, {250, 101.0}, {275, 104.5}, {300, 108.0},
    {400, 127.0}, {500, 143.0}, {750, 177.0}, {1000, 208.0}, {1250, 239.0}, {1500, 269.0}, {1750, 297.0},
    {2000, 325.0}, {2500, 380.0}, {3000, 433.0}, {4000, 525.0}, {5000, 593.0},
};
/* flush tank, flush valve */
static const double fixture_units[PW_FIXTURE_COUNT][2] = {
    [PW_FIXTURE_BATHROOM_GROUP] = {3.6, 8.0}, [PW_FIXTURE_WATER_CLOSET] = {2.2, 6.0},
    [PW_FIXTURE_BATHTUB] = {1.4, 1.4},        [PW_FIXTURE_SHOWER] = {1.4, 1.4},
    [PW_FIXTURE_LAVATORY] = {0.7, 0.7},       [PW_FIXTURE_BIDET] = {2.0, 2.0},
    [PW_FIXTURE_KITCHEN_SINK] = {1.4, 1.4},   [PW_FIXTURE_DISHWASHER] = {1.4, 1.4},
    [PW_FIXTURE_WASHING_MACHINE] = {1.4, 1.4}, [PW_FIXTURE_LAUNDRY_TRAY] = {1.4, 1.4},
};
#define PW_X(id, key) key,
static const char *const fixture_words[] = {PW_FIXTURE_LIST(PW_X)};
static const char *const stock_words[] = {PW_STOCK_LIST(PW_X)};
#undef PW_X
#define ROW(word, units, draw, least) {word, units, (draw) * 1e-3, (least) * 1e-3}
static const pw_loading_row loading_rows[PW_LOADING_COUNT] = {
    [PW_LOADING_WASHBASIN] = ROW("washbasin", 1, 0.1, 0.1),
    [PW_LOADING_CISTERN] = ROW("cistern", 1, 0.1, 0.1),
    [PW_LOADING_BIDET] = ROW("bidet", 1, 0.1, 0.1),
    [PW_LOADING_KITCHEN_SINK] = ROW("kitchen sink", 2, 0.2, 0.15),
    [PW_LOADING_WASHING_MACHINE] = ROW("washing machine", 2, 0.2, 0.15),
    [PW_LOADING_DISHWASHER] = ROW("dishwasher", 2, 0.2, 0.15),
    [PW_LOADING_SHOWER] = ROW("shower", 2, 0.2, 0.15),
    [PW_LOADING_URINAL_VALVE] = ROW("urinal valve", 3, 0.3, 0.15),
    [PW_LOADING_BATH] = ROW("bath", 4, 0.4, 0.3),
    [PW_LOADING_GARDEN_TAP] = ROW("garden tap", 5, 0.5, 0.4),
    [PW_LOADING_LARGE_SINK] = ROW("large sink", 8, 0.8, 0.8),
    [PW_LOADING_FLUSH_VALVE] = ROW("flush valve", 15, 1.5, 1.0),
};
/* litres a day: winter, summer */
static const double stock_rows[PW_STOCK_COUNT][2] = {
    [PW_STOCK_LACTATING_COW] = {77, 95}, [PW_STOCK_COW_WITH_CALF] = {50, 68}, [PW_STOCK_DRY_COW] = {36, 55},
    [PW_STOCK_GROWING] = {36, 55},       [PW_STOCK_FINISHING] = {55, 86},     [PW_STOCK_SHEEP] = {3.6, 14},
};
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

static double along(const double (*points)[2], int32_t n, double x)
{
    if (x <= points[0][0]) {
        return pw_max(x, 0.0) * points[0][1] / points[0][0];
    }
    int32_t i = 1;
    while (i < n - 1 && points[i][0] < x) {
        i++;
    }
    const double part = (x - points[i - 1][0]) / (points[i][0] - points[i - 1][0]);
    return points[i - 1][1] + part * (points[i][1] - points[i - 1][1]);
}

double pw_hunter_m3s(double units, pw_flush flush)
{
    const double gpm = flush == PW_FLUSH_VALVE ? along(valve_curve, COUNT_OF(valve_curve), units)
                                               : along(tank_curve, COUNT_OF(tank_curve), units);
    return gpm * GPM_M3S;
}

bool pw_hunter_point(pw_flush flush, int32_t i, double *units, double *gpm)
{
    const bool valve = flush == PW_FLUSH_VALVE;
    if (i < 0 || i >= (valve ? COUNT_OF(valve_curve) : COUNT_OF(tank_curve))) {
        return false;
    }
    *units = valve ? valve_curve[i][0] : tank_curve[i][0];
    *gpm = valve ? valve_curve[i][1] : tank_curve[i][1];
    return true;
}

double pw_fixture_units(pw_fixture fixture, pw_flush flush)
{
    return fixture_units[fixture][flush == PW_FLUSH_VALVE ? 1 : 0];
}

const char *pw_fixture_word(int32_t i)
{
    return i >= 0 && i < PW_FIXTURE_COUNT ? fixture_words[i] : NULL;
}

const pw_loading_row *pw_loading_at(int32_t i)
{
    return i >= 0 && i < PW_LOADING_COUNT ? &loading_rows[i] : NULL;
}

double pw_simultaneous_m3s(double sum_m3s, double largest_m3s)
{
    const double sum = sum_m3s * 1e3;
    if (!(sum > 0.0)) {
        return 0.0;
    }
    const double together = (1.48 * pw_pow(sum, 0.19) - 0.94) * 1e-3;
    return pw_min(sum_m3s, pw_max(together, largest_m3s));
}

double pw_stock_m3(pw_stock stock, bool summer)
{
    return stock_rows[stock][summer ? 1 : 0] * 1e-3;
}

const char *pw_stock_word(int32_t i)
{
    return i >= 0 && i < PW_STOCK_COUNT ? stock_words[i] : NULL;
}

bool pw_motor_starts(double power_w, int32_t poles, double *most, double *inertia_lbft2, double *rest_s)
{
    const double hp = power_w / 745.69987158227022 - 1e-3; /* 746 W count as 1 hp */
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
