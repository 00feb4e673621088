/* Where the numbers come from:
 *   Hunter's curve  IPC Appendix E, Table E103.3(3): the points at 1 to 6, 8, 10, 15, 20, 30, 40, 50, 70, 100, 140,
 *                   200, 300, 500 and 1,000 units (tank) and 5, 10, 20, 30, 40, 80, 100, 200, 225, 300, 500, 1,000
 *                   (valve) were read in public copies; the others are from memory
 *   fixture units   IPC Table E103.3(2), private: group, bathtub, sink, dishwasher, laundry tray, lavatory read; water
 *                   closet, shower, bidet, washing machine from memory
 *   loading units   EN 806-3:2006, Table 2: read
 *   stock           Agriculture and Agri-Food Canada, typical daily water requirement for range livestock: read.
 *                   Growing cattle 23 to 36 in winter and 36 to 55 in summer: the upper end
 */
#include "formula/demand.h"

#include <stddef.h>

#include "base/num.h"

#define GPM_M3S (3.785411784e-3 / 60.0)
#define DAY_S   86400.0

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

double pw_people_m3s(double people, double person_m3s, double peak_factor)
{
    return people * person_m3s * peak_factor;
}

double pw_people_daily_m3(double people, double person_m3s)
{
    return people * person_m3s * DAY_S;
}
