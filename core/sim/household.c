/* The draws of a home, see household.h. */
#include "sim/household.h"

#include <string.h>

#include "base/num.h"
#include "sim/habits.h"

#define DAY_S  86400.0
#define DAY_MS INT64_C(86400000)
#define YEAR_D 365.0
#define TURN   6.283185307179586
#define NEVER  2.0e5 /* s in the day */
#define LITRE  0.001
#define MINUTE 60.0

/* One sort of draw. */
typedef struct sort {
    double share;             /* of the daily water */
    double volume_m3, vol_cv; /* of one draw */
    double flow_m3s, flow_cv;
} sort;

enum { TAP, FLUSH, SHOWER, MACHINE, LARGE, WATERING, RUNS_ON, PLAIN };
enum { FILLS = 4 }; /* of a machine's cycle */
enum { STEPS = 3 }; /* of a regular sort's wait, see wait_of */
#define FILL_GAP_S 900.0

/* Taps, flushes, showers and machines: means and spreads of one house's labelled events of a week (2020), rounded, with
 * smaller cisterns and the shorter showers of the metered homes (docs/demand.md). */
static const sort sorts[] = {
    [TAP] = {0.26, 1.8 * LITRE, 1.1, 3.7 * LITRE / MINUTE, 0.4},
    [FLUSH] = {0.25, 7.5 * LITRE, 0.25, 7.0 * LITRE / MINUTE, 0.2},
    [SHOWER] = {0.31, 45.0 * LITRE, 0.5, 7.4 * LITRE / MINUTE, 0.27},
    [MACHINE] = {0.13, 12.0 * LITRE, 0.1, 9.0 * LITRE / MINUTE, 0.1}, /* of one fill */
    [LARGE] = {0.05, 80.0 * LITRE, 0.5, 11.0 * LITRE / MINUTE, 0.3},
};

/* Share of a day's water by the hour, Monday to Friday and at the weekend: five metered homes, each alike. */
static const double usual_pattern[2][24] = {{0.29, 0.26, 0.16, 0.12, 0.13, 0.26, 1.76, 1.49, 0.87, 0.85, 0.98, 1.33,
                                             1.38, 1.22, 1.23, 1.16, 1.04, 0.93, 1.01, 1.75, 2.06, 1.77, 1.24, 0.73},
                                            {0.43, 0.32, 0.19, 0.12, 0.11, 0.11, 0.29, 0.80, 1.50, 1.55, 1.96, 2.64,
                                             2.04, 1.49, 1.20, 0.91, 0.97, 0.89, 1.02, 1.20, 1.52, 1.17, 0.90, 0.67}};

/* The population of homes: median and standard deviation of the logarithm of each habit. */
#define PERSON_M3      0.140 /* a day; goes with people to the power SIZE_POWER */
#define SIZE_POWER     0.8
#define DAILY_SIGMA    0.35
#define DAY_CV         0.30
#define DAY_SIGMA      0.35
#define WEEKEND        1.05
#define WEEKEND_SIGMA  0.22
#define SEASON_MORE    0.32 /* above 1 */
#define SEASON_SIGMA   0.9
#define AWAY           0.030
#define AWAY_SIGMA     1.5
#define AWAY_DAYS      4.6
#define AWAY_D_SIGMA   0.8
#define AWAY_CV        1.2 /* of the length of an absence after its first day */
#define GARDENS        0.36
#define LONG_A_YEAR    22.0
#define LONG_SIGMA     1.4
#define FEW_A_YEAR     0.3 /* without a garden */
#define LONG_FLOW      (11.0 * LITRE / MINUTE)
#define LONG_F_SIGMA   0.35
#define LONG_S         1500.0
#define LONG_S_SIGMA   0.5
#define LONG_CV        0.5 /* of one draw's length, by hand */
#define PROGRAMS       0.35
#define RUN_ON_A_YEAR  0.1
#define RUN_ON_FLOW    (4.0 * LITRE / MINUTE)
#define RUN_ON_S       18000.0
#define SLOW_SHARE     0.7 /* at most; a home has any part of it */
#define SLOW_DAYS      10.0
#define SLOW_SIGMA     0.9
#define DRY_BEGINS     0.20 /* chance of a dry spell to begin on a wet day, and to end on a dry one */
#define DRY_ENDS       0.12
#define MOST_WATERINGS 1000.0 /* a day */
#define AT_HOME_DAYS   14     /* a simulation begins with somebody at home: what goes wrong on its first days matters */
#define MOST_AWAY      0.6
#define MOST_AWAY_D    120.0

static double spread_of(pw_random *random, double median, double sigma)
{
    return median * pw_exp(sigma * pw_random_normal(random));
}

static double chosen(pw_field given, double otherwise)
{
    return given.given ? given.v : otherwise;
}

/* Everything is drawn, whatever is given: one habit that becomes known leaves the others as they were. */
static void draw_home(double people, pw_random *random, pw_home *out)
{
    out->daily_m3 = spread_of(random, PERSON_M3 * pw_pow(people, SIZE_POWER), DAILY_SIGMA);
    out->day_cv = spread_of(random, DAY_CV, DAY_SIGMA);
    out->slow_share = SLOW_SHARE * pw_random_unit(random);
    out->slow_days = spread_of(random, SLOW_DAYS, SLOW_SIGMA);
    out->weekend = spread_of(random, WEEKEND, WEEKEND_SIGMA);
    out->season = 1.0 + spread_of(random, SEASON_MORE, SEASON_SIGMA);
    out->peak_day = 200.0 + 20.0 * pw_random_normal(random);
    out->away = pw_min(spread_of(random, AWAY, AWAY_SIGMA), MOST_AWAY);
    out->away_days = spread_of(random, AWAY_DAYS, AWAY_D_SIGMA);
    const bool garden = pw_random_unit(random) < GARDENS;
    const double many = spread_of(random, LONG_A_YEAR, LONG_SIGMA);
    out->long_per_day = (garden ? many : FEW_A_YEAR) / YEAR_D;
    out->long_m3s = spread_of(random, LONG_FLOW, LONG_F_SIGMA);
    out->long_s = spread_of(random, LONG_S, LONG_S_SIGMA);
    out->shift_h = pw_random_normal(random);
    out->sharp = 0.8 + 0.4 * pw_random_unit(random);
    const bool program = pw_random_unit(random) < PROGRAMS;
    const double program_h = pw_floor(24.0 * pw_random_unit(random));
    out->program_h = garden && program ? program_h : -1.0;
}

bool pw_habits_known(const pw_habits *h)
{
    return h->day_cv.given || h->weekend.given || h->season.given || h->away.given;
}

void pw_home_of(const pw_demand *demand, pw_random *random, pw_home *out)
{
    const pw_habits *h = &demand->habits;
    draw_home(h->people.given ? pw_max(h->people.v, 1.0) : 1.0, random, out);
    if (demand->kind == PW_DEMAND_RANDOM) {
        *out = (pw_home){.weekend = 1.0,
                         .season = 1.0,
                         .away_days = 4.0,
                         .sharp = 1.0,
                         .program_h = -1.0,
                         .slow_share = 0.5 * SLOW_SHARE,
                         .slow_days = SLOW_DAYS,
                         .peak_day = 200.0};
    }
    out->daily_m3 = chosen(h->daily_m3, out->daily_m3);
    out->day_cv = chosen(h->day_cv, out->day_cv);
    out->weekend = chosen(h->weekend, out->weekend);
    out->season = pw_max(chosen(h->season, out->season), 1.0);
    out->away = chosen(h->away, out->away);
    out->away_days = pw_max(chosen(h->away_s, out->away_days * DAY_S) / DAY_S, 1.0);
    out->long_per_day = chosen(h->long_per_year, out->long_per_day * YEAR_D) / YEAR_D;
    out->long_m3s = chosen(h->long_m3s, out->long_m3s);
    out->long_s = chosen(h->long_s, out->long_s);
}

/* Who showers daily, or washes on three days a week, does it not by chance. */
static bool is_regular(int32_t which)
{
    return which == SHOWER || which == MACHINE;
}

double pw_home_draw_variance(double daily_m3)
{
    double variance_m6 = 0.0;
    for (int32_t i = TAP; i <= LARGE; i++) {
        const double m3 = sorts[i].volume_m3 * (i == MACHINE ? FILLS : 1);
        const double of_number = is_regular(i) ? 1.0 / STEPS : 1.0;
        variance_m6 += daily_m3 * sorts[i].share * m3 * (of_number + sorts[i].vol_cv * sorts[i].vol_cv);
    }
    return variance_m6;
}

double pw_home_people(double daily_m3)
{
    const double people = pw_pow(pw_max(daily_m3, 1e-6) / PERSON_M3, 1.0 / SIZE_POWER);
    return pw_clamp(pw_floor(people + 0.5), 1.0, 100.0);
}

double pw_home_long_m3s(void)
{
    return LONG_FLOW;
}

/* ---- pattern of the day ---- */

static void fill_pattern(const pw_demand *demand, pw_household *w)
{
    for (int32_t sort_of_day = 0; sort_of_day < 2; sort_of_day++) {
        const double *from = demand->has_pattern ? demand->pattern : usual_pattern[sort_of_day];
        const bool plain = demand->has_pattern || demand->kind == PW_DEMAND_RANDOM;
        double *to = w->pattern[sort_of_day], sum = 0.0;
        for (int32_t hour = 0; hour < 24; hour++) {
            const double at = plain ? hour : hour - w->home.shift_h + 48.0;
            const double whole = pw_floor(at), part = at - whole;
            const int32_t i = (int32_t)whole % 24;
            const double value = from[i] * (1.0 - part) + from[(i + 1) % 24] * part;
            const bool flat = demand->kind == PW_DEMAND_RANDOM && !demand->has_pattern;
            to[hour] = flat ? 1.0 : plain ? value : pw_pow(value, w->home.sharp);
            sum += to[hour];
        }
        for (int32_t hour = 0; hour < 24; hour++) {
            to[hour] /= sum;
        }
    }
}

static const double *pattern_of(const pw_household *w)
{
    return w->pattern[w->day % 7 >= 5];
}

/* ---- days ---- */

static double season_of(const pw_home *home, int64_t day)
{
    const double swing = (home->season - 1.0) / (home->season + 1.0);
    return 1.0 + swing * pw_cos(TURN * ((double)(day % 365) - home->peak_day) / YEAR_D);
}

/* Somebody leaves with a chance that makes `away` of the days in the long run; an absence has a long tail. */
static bool away_today(pw_household *w)
{
    const double chance = pw_random_unit(&w->days);
    const double length = 1.0 + pw_random_lognormal(&w->days, w->home.away_days - 1.0, AWAY_CV);
    if (w->away_left > 0) {
        w->away_left--;
        return true;
    }
    const double leaves = w->home.away / pw_max((1.0 - w->home.away) * w->home.away_days, 1e-9);
    if (w->day >= AT_HOME_DAYS && chance < leaves) {
        w->away_left = (int32_t)pw_floor(pw_min(length, MOST_AWAY_D) + 0.5) - 1;
        return true;
    }
    return false;
}

/* The moment after from_s at which as much has passed as is left, of `rate` a day in the pattern of the day (NULL: all
 * hours alike). What the day does not hold stays left. */
static double walk_day(const double *pattern, double rate, double from_s, double *left)
{
    if (!(rate > 0.0)) {
        return NEVER;
    }
    int32_t hour = (int32_t)(from_s / 3600.0);
    double at_s = from_s;
    for (; hour < 24; hour++) {
        const double a_second = rate * (pattern != NULL ? pattern[hour] : 1.0 / 24.0) / 3600.0;
        const double here = a_second * (3600.0 * (hour + 1) - at_s);
        if (*left < here) {
            return at_s + *left / a_second;
        }
        *left -= here;
        at_s = 3600.0 * (hour + 1);
    }
    return NEVER;
}

static double rate_of(const pw_household *w, int32_t which)
{
    return w->sort_rate[which] * (which == RUNS_ON ? 1.0 : w->level);
}

static const double *hours_of(const pw_household *w, int32_t which)
{
    return which == RUNS_ON ? NULL : pattern_of(w);
}

/* Of a regular sort: the wait from one draw to the next, of mean 1, in that many steps of a Poisson process: its number
 * in many days has a variance of 1 / STEPS of its mean. */
static double wait_of(pw_random *random, int32_t steps)
{
    double rest = 1.0;
    for (int32_t i = 0; i < steps; i++) {
        const double turn = pw_random_unit(random);
        rest *= 1.0 - turn;
    }
    return -pw_log(rest) / STEPS;
}

/* Waterings of a day: by a program one after the other from its hour on; by hand at any hours of the day, the earliest
 * of those that are left. */
static double next_watering(pw_household *w, double from_s)
{
    const pw_home *home = &w->home;
    const int32_t left = w->waterings;
    if (left == 0) {
        return NEVER;
    }
    w->waterings--;
    if (home->program_h >= 0.0) {
        const double begins_s = pw_min(3600.0 * home->program_h, DAY_S - 1.0 - left * home->long_s);
        return from_s > 0.0 ? pw_min(from_s + home->long_s, DAY_S - 1.0) : pw_max(begins_s, 0.0);
    }
    const double *pattern = pattern_of(w);
    const double turn = pw_random_unit(&w->draws);
    double rest = 0.0;
    for (int32_t hour = (int32_t)(from_s / 3600.0); hour < 24; hour++) {
        const double until_s = 3600.0 * (hour + 1);
        rest += pattern[hour] * pw_min(until_s - from_s, 3600.0) / 3600.0;
    }
    double share = rest * (left == 1 ? turn : 1.0 - pw_pow(1.0 - turn, 1.0 / left));
    return walk_day(pattern, 1.0, from_s, &share);
}

/* The next draw of a sort after from_s. taken: one was just made. */
static double next_of(pw_household *w, int32_t which, double from_s, bool taken)
{
    if (which == WATERING) {
        return next_watering(w, from_s);
    }
    const double rate = rate_of(w, which);
    if (!(rate > 0.0)) {
        return NEVER;
    }
    if (!is_regular(which)) {
        w->due[which] = pw_random_exponential(&w->draws, 1.0);
    } else if (taken) {
        w->due[which] = wait_of(&w->draws, STEPS);
    }
    return walk_day(hours_of(w, which), rate, from_s, &w->due[which]);
}

/* From spring to autumn; by a program whatever the weather, by hand on days of dry spells with somebody at home. Each
 * day has the whole number of waterings that is next to its mean: a garden is not watered twice by chance. */
static void begin_waterings(pw_household *w, bool at_home)
{
    const pw_home *home = &w->home;
    const double warm = pw_max(pw_cos(TURN * ((double)(w->day % 365) - home->peak_day) / YEAR_D), 0.0) * 0.5 * TURN;
    const double dry_part = DRY_BEGINS / (DRY_BEGINS + DRY_ENDS);
    const double by_weather = home->program_h >= 0.0 ? 1.0 : w->dry && at_home ? 1.0 / dry_part : 0.0;
    const double mean = pw_min(home->long_per_day * warm * by_weather, MOST_WATERINGS);
    const double turn = pw_random_unit(&w->draws);
    w->waterings = (int32_t)pw_floor(mean + turn);
}

static void begin_day(const pw_demand *demand, pw_household *w)
{
    const pw_home *home = &w->home;
    const double variance = pw_log(1.0 + home->day_cv * home->day_cv);
    const double keep = pw_exp(-1.0 / home->slow_days);
    const double slow_n = pw_random_normal(&w->days), quick_n = pw_random_normal(&w->days);
    w->slow = w->day == 0 ? slow_n : keep * w->slow + pw_sqrt(1.0 - keep * keep) * slow_n;
    const bool away = away_today(w);
    const double turn = pw_random_unit(&w->days);
    w->dry = w->dry ? turn >= DRY_ENDS : turn < DRY_BEGINS;
    const double own = pw_sqrt(variance * home->slow_share) * w->slow +
                       pw_sqrt(variance * (1.0 - home->slow_share)) * quick_n - 0.5 * variance;
    /* the week's mean stays 1: five days of a and two of weekend * a */
    const bool weekend = w->day % 7 >= 5;
    const double weekday = 7.0 / (5.0 + 2.0 * home->weekend);
    const bool on = (demand->weekdays >> (w->day % 7) & 1) != 0;
    w->level = !on || away ? 0.0 : season_of(home, w->day) * weekday * (weekend ? home->weekend : 1.0) * pw_exp(own);
    begin_waterings(w, on && !away);
    for (int32_t i = 0; i < PW_HOME_SORTS; i++) {
        w->next_s[i] = next_of(w, i, 0.0, false);
    }
}

bool pw_household_begin(const pw_demand *demand, uint64_t seed, int32_t index, pw_household *w)
{
    memset(w, 0, sizeof *w);
    pw_random habits;
    pw_random_seed(&habits, seed, UINT64_C(1000) + (uint64_t)index);
    pw_random_seed(&w->days, seed, UINT64_C(2000) + (uint64_t)index);
    pw_random_seed(&w->draws, seed, (uint64_t)index + 1);
    pw_home_of(demand, &habits, &w->home);
    fill_pattern(demand, w);
    if (demand->kind == PW_DEMAND_RANDOM) {
        w->sort_rate[PLAIN] = demand->per_day.v;
        w->home.long_per_day = 0.0;
    } else {
        for (int32_t i = TAP; i <= LARGE; i++) {
            const double cycle_m3 = sorts[i].volume_m3 * (i == MACHINE ? FILLS : 1);
            w->sort_rate[i] = w->home.daily_m3 * sorts[i].share / cycle_m3;
            /* in the middle of a wait: any of its steps may be the next */
            const double turn = pw_random_unit(&w->draws);
            w->due[i] = wait_of(&w->draws, 1 + (int32_t)(turn * STEPS));
        }
        w->sort_rate[RUNS_ON] = RUN_ON_A_YEAR / YEAR_D;
    }
    begin_day(demand, w);
    return true;
}

/* ---- draws ---- */

static int64_t whole_ms(double seconds)
{
    const int64_t ms = (int64_t)pw_floor(pw_min(seconds, YEAR_D * DAY_S) * 1000.0 + 0.5);
    return ms < 1 ? 1 : ms;
}

static void shape(const pw_demand *demand, pw_household *w, int32_t which, pw_home_draw *out)
{
    const pw_home *home = &w->home;
    pw_random *random = &w->draws;
    double flow_m3s, length_s;
    if (which == PLAIN) {
        flow_m3s = pw_random_lognormal(random, demand->flow_m3s.v, demand->flow_cv.v);
        length_s = pw_random_lognormal(random, demand->duration_s.v, demand->duration_cv.v);
    } else if (which == WATERING) {
        flow_m3s = home->program_h >= 0.0 ? home->long_m3s : pw_random_lognormal(random, home->long_m3s, 0.15);
        length_s = home->program_h >= 0.0 ? home->long_s : pw_random_lognormal(random, home->long_s, LONG_CV);
    } else if (which == RUNS_ON) {
        flow_m3s = pw_random_lognormal(random, RUN_ON_FLOW, 0.5);
        length_s = pw_random_lognormal(random, RUN_ON_S, 1.0);
    } else {
        const sort *s = &sorts[which];
        flow_m3s = pw_random_lognormal(random, s->flow_m3s, s->flow_cv);
        length_s = pw_random_lognormal(random, s->volume_m3, s->vol_cv) / flow_m3s;
    }
    out->flow_m3s = flow_m3s;
    out->length_ms = whole_ms(length_s);
}

bool pw_household_next(const pw_demand *demand, pw_household *w, pw_home_draw *out)
{
    for (int64_t looked = 0; looked < 40000; looked++) { /* a century without a draw: never */
        int32_t first = 0;
        for (int32_t i = 1; i < PW_HOME_SORTS; i++) {
            first = w->next_s[i] < w->next_s[first] ? i : first;
        }
        const int64_t at_ms = w->day * DAY_MS + (int64_t)pw_floor(w->next_s[first] * 1000.0);
        if (w->fills_left > 0 && (w->next_s[first] >= DAY_S || w->fill_ms <= at_ms) &&
            w->fill_ms < (w->day + 1) * DAY_MS) {
            out->t_ms = w->fill_ms;
            shape(demand, w, MACHINE, out);
            w->fills_left--;
            w->fill_ms += whole_ms(FILL_GAP_S);
            return true;
        }
        if (w->next_s[first] < DAY_S) {
            out->t_ms = at_ms;
            shape(demand, w, first, out);
            if (first == MACHINE) { /* one machine: a cycle that begins while another fills comes instead of its rest */
                w->fills_left = FILLS - 1;
                w->fill_ms = at_ms + whole_ms(FILL_GAP_S);
            }
            w->next_s[first] = next_of(w, first, w->next_s[first], true);
            return true;
        }
        w->day++;
        begin_day(demand, w);
    }
    return false;
}
