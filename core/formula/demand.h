/* Who uses water, and how much of it happens together. Where a value is known from is said in demand.c and in data/
 * (the CSV files there are held equal to these tables by tests/unit/study).
 */
#ifndef PW_FORMULA_DEMAND_H
#define PW_FORMULA_DEMAND_H

#include <stdbool.h>
#include <stdint.h>

/* id, key in the sheet. What each one weighs stands in demand.c, in the same order (checked at build). */
#define PW_FIXTURE_LIST(X)                \
    X(BATHROOM_GROUP, "bathroom group")   \
    X(WATER_CLOSET, "water closet")       \
    X(BATHTUB, "bathtub")                 \
    X(SHOWER, "shower")                   \
    X(LAVATORY, "lavatory")               \
    X(BIDET, "bidet")                     \
    X(KITCHEN_SINK, "kitchen sink")       \
    X(DISHWASHER, "dishwasher")           \
    X(WASHING_MACHINE, "washing machine") \
    X(LAUNDRY_TRAY, "laundry tray")

#define PW_LOADING_LIST(X)                \
    X(WASHBASIN, "washbasin")             \
    X(CISTERN, "cistern")                 \
    X(BIDET, "bidet")                     \
    X(KITCHEN_SINK, "kitchen sink")       \
    X(WASHING_MACHINE, "washing machine") \
    X(DISHWASHER, "dishwasher")           \
    X(SHOWER, "shower")                   \
    X(URINAL_VALVE, "urinal valve")       \
    X(BATH, "bath")                       \
    X(GARDEN_TAP, "garden tap")           \
    X(LARGE_SINK, "large sink")           \
    X(FLUSH_VALVE, "flush valve")

#define PW_STOCK_LIST(X)                 \
    X(LACTATING_COW, "lactating cow")    \
    X(COW_WITH_CALF, "cow with calf")    \
    X(DRY_COW, "dry cow, bull or horse") \
    X(GROWING, "growing cattle")         \
    X(FINISHING, "finishing cattle")     \
    X(SHEEP, "sheep")

#define PW_X(id, key) PW_FIXTURE_##id,
typedef enum pw_fixture { PW_FIXTURE_LIST(PW_X) PW_FIXTURE_COUNT } pw_fixture;
#undef PW_X
#define PW_X(id, key) PW_LOADING_##id,
typedef enum pw_loading { PW_LOADING_LIST(PW_X) PW_LOADING_COUNT } pw_loading;
#undef PW_X
#define PW_X(id, key) PW_STOCK_##id,
typedef enum pw_stock { PW_STOCK_LIST(PW_X) PW_STOCK_COUNT } pw_stock;
#undef PW_X

typedef enum pw_flush { PW_FLUSH_TANK, PW_FLUSH_VALVE } pw_flush;

/* Hunter's curve: fixture units to design flow, straight between the points of IPC Table E103.3(3). From 0 to the first
 * point a straight line from 0; beyond 5,000 units the last slope goes on. */
double pw_hunter_m3s(double units, pw_flush flush);
/* One point of the table; false when i is out of range. */
bool pw_hunter_point(pw_flush flush, int32_t i, double *units, double *gpm);
/* Fixture units of one private fixture. */
double pw_fixture_units(pw_fixture fixture, pw_flush flush);
const char *pw_fixture_word(int32_t i); /* NULL when out of range */

/* EN 806-3 loading units; 1 unit is a draw-off of 0.1 L/s. */
typedef struct pw_loading_row {
    const char *word;
    double units, draw_m3s, least_m3s;
} pw_loading_row;
const pw_loading_row *pw_loading_at(int32_t i); /* NULL when out of range */
/* Flow that happens together of a sum of draw-offs, residential: a V^b - c with 1.48, 0.19, 0.94 (L/s; DIN
 * 1988-300:2012, from memory), never above the sum, never below the largest single one. */
double pw_simultaneous_m3s(double sum_m3s, double largest_m3s);

/* Water that one animal needs on a winter and a summer day, m3. */
double pw_stock_m3(pw_stock stock, bool summer);
const char *pw_stock_word(int32_t i);

/* Least m such that more than m of n fixtures are in use at once with a probability of at most `chance`, each in use
 * for the share p of the time (binomial; Hunter, NBS BMS65, method from memory). n 1 .. 10,000. */
int32_t pw_in_use(int32_t n, double p, double chance);

/* Flow of people in their busiest hour, and their water in a day; person_m3s is the mean over the day of each. */
double pw_people_m3s(double people, double person_m3s, double peak_factor);
double pw_people_daily_m3(double people, double person_m3s);

#endif
