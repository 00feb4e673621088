/* Days that differ: a home's draws keep the habits that are given, draw the others with the seed, and the population
 * of homes keeps within what homes were measured to do (docs/demand.md; tools/demand.py makes the table from
 * readings).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "sim/demand.h"
#include "sim/habits.h"
#include "sim/household.h"

#define LPM (1.0e-3 / 60.0)

enum { DAYS = 365, YEARS_DAYS = 3650 };

static pw_field field(double v)
{
    return (pw_field){.v = v, .given = true};
}

static pw_demand household(double people)
{
    pw_demand d = {.kind = PW_DEMAND_HOUSEHOLD, .weekdays = 0x7f};
    d.habits.people = field(people);
    return d;
}

/* A home all of whose habits are known. */
static pw_demand plain_home(void)
{
    pw_demand d = household(3);
    d.habits.daily_m3 = field(0.3);
    d.habits.day_cv = field(0);
    d.habits.weekend = field(1);
    d.habits.season = field(1);
    d.habits.away = field(0);
    d.habits.away_s = field(4 * 86400.0);
    d.habits.long_per_year = field(0);
    d.habits.long_m3s = field(11 * LPM);
    d.habits.long_s = field(1500);
    return d;
}

/* Litres of each hour. */
static double *hours_of(const pw_demand *demand, uint64_t seed, int32_t days)
{
    pw_site *site = calloc(1, sizeof *site);
    pw_demand_state *state = malloc(pw_demand_size());
    double *hours = calloc((size_t)days * 24 + 1, sizeof *hours);
    assert_true(site != NULL && state != NULL && hours != NULL);
    site->outlet_count = 1;
    site->demand_count = 1;
    site->demands[0] = *demand;
    pw_demand_begin(site, seed, state);
    const double end_s = days * 86400.0;
    double from_s = 0, flow_m3s = 0;
    while (from_s < end_s) {
        const double to_s = pw_min((double)pw_demand_next_ms(state) / 1000.0, end_s);
        while (from_s < to_s) {
            const int32_t hour = (int32_t)(from_s / 3600.0);
            const double until_s = pw_min(3600.0 * (hour + 1), to_s);
            hours[hour] += flow_m3s * 1000.0 * (until_s - from_s);
            from_s = until_s;
        }
        if (from_s < end_s) {
            flow_m3s = pw_demand_take(site, state).total_m3s;
        }
    }
    free(state);
    free(site);
    return hours;
}

typedef struct year {
    double daily, cv, weekend, summer, zero, longest, most, over200;
} year;

static year look(const double *hours, int32_t days)
{
    year y = {0};
    double sum = 0, squares = 0, ends = 0, week = 0, summer = 0, winter = 0, run = 0;
    for (int32_t d = 0; d < days; d++) {
        double litres = 0;
        for (int32_t h = 0; h < 24; h++) {
            const double hour = hours[24 * d + h];
            litres += hour;
            y.most = pw_max(y.most, hour);
            y.over200 += hour >= 200.0 ? 1 : 0;
        }
        sum += litres;
        squares += litres * litres;
        *(d % 7 >= 5 ? &ends : &week) += litres;
        const int32_t day = d % 365;
        summer += day >= 155 && day < 245 ? litres : 0;
        winter += day < 62 || day >= 337 ? litres : 0;
        run = litres <= 0.5 ? run + 1 : 0;
        y.zero += litres <= 0.5 ? 1.0 / days : 0;
        y.longest = pw_max(y.longest, run);
    }
    y.daily = sum / days;
    y.cv = pw_sqrt(squares / days - y.daily * y.daily) / y.daily;
    y.weekend = (ends / 2) / (week / 5);
    y.summer = summer / winter;
    return y;
}

static year year_of(const pw_demand *demand, uint64_t seed, int32_t days)
{
    double *hours = hours_of(demand, seed, days);
    const year y = look(hours, days);
    free(hours);
    return y;
}

static void near(double got, double want, double part)
{
    if (!(pw_abs(got - want) <= part * pw_abs(want))) {
        fail_msg("got %.6g, expected %.6g within %g %%", got, want, part * 100.0);
    }
}

static void given_habits_are_kept(void **unused)
{
    (void)unused;
    pw_demand d = plain_home();
    /* besides the daily water a home has a tenth of a long run of some litres a minute each year */
    const year plain = year_of(&d, 5, YEARS_DAYS);
    near(plain.daily, 300, 0.03);
    near(plain.weekend, 1, 0.03);
    near(plain.summer, 1, 0.05);
    assert_true(plain.zero == 0.0);
    d.habits.weekend = field(1.4);
    const year ends = year_of(&d, 5, YEARS_DAYS);
    near(ends.weekend, 1.4, 0.04);
    near(ends.daily, 300, 0.03); /* the week's water stays */
    d.habits.weekend = field(1);
    d.habits.season = field(3);
    near(year_of(&d, 5, YEARS_DAYS).daily, 300, 0.05);
    assert_true(year_of(&d, 5, YEARS_DAYS).summer > 2);
    d.habits.season = field(1);
    d.habits.away = field(0.2);
    const year away = year_of(&d, 5, YEARS_DAYS);
    near(away.zero, 0.2, 0.4); /* long absences are few: their sum spreads widely even in ten years */
    near(away.daily, 300 * (1 - away.zero), 0.04);
    assert_true(away.longest >= 4);
}

/* What a day asks for spreads by its own spread and by that of the draws, which add as variances. */
static void spread_of_days(void **unused)
{
    (void)unused;
    pw_demand d = plain_home();
    const double of_draws = year_of(&d, 9, YEARS_DAYS).cv;
    assert_true(of_draws > 0.15 && of_draws < 0.4);
    near(of_draws, pw_sqrt(pw_home_draw_variance(0.3)) / 0.3, 0.08); /* regular draws spread less than others */
    d.habits.day_cv = field(0.5);
    near(year_of(&d, 9, 10 * YEARS_DAYS).cv, pw_sqrt(of_draws * of_draws + 0.25), 0.12);
}

/* Somebody is at home on the first days, however much the home is away; and on its days of the week only. */
static void somebody_is_at_home(void **unused)
{
    (void)unused;
    pw_demand d = plain_home();
    d.habits.away = field(0.9);
    for (uint64_t seed = 1; seed < 6; seed++) {
        double *hours = hours_of(&d, seed, 14);
        for (int32_t day = 0; day < 14; day++) {
            double litres = 0;
            for (int32_t h = 0; h < 24; h++) {
                litres += hours[24 * day + h];
            }
            assert_true(litres > 20);
        }
        free(hours);
    }
    assert_true(year_of(&d, 1, DAYS).zero > 0.5);
    d.habits.away = field(0);
    d.weekdays = 0x60; /* a home of weekends */
    const year y = year_of(&d, 4, DAYS);
    assert_true(y.zero > 0.68 && y.zero < 0.75 && y.weekend > 100);
}

static void long_draws_are_long(void **unused)
{
    (void)unused;
    pw_demand d = plain_home();
    const double before = year_of(&d, 3, YEARS_DAYS).daily;
    d.habits.long_per_year = field(50);
    d.habits.long_m3s = field(15 * LPM);
    d.habits.long_s = field(2400); /* 600 L, 50 of them */
    const year y = year_of(&d, 3, YEARS_DAYS);
    near(y.daily - before, 50 * 600 / 365.0, 0.15);
    assert_true(y.over200 / 10 > 40);
    assert_true(y.most > 500);
}

/* Flow and length: a home's long draws are not its weak ones. The mean flow of draws over five minutes against that of
 * draws under one. */
static void flow_goes_with_length(void **unused)
{
    (void)unused;
    const pw_demand d = plain_home();
    pw_household *home = malloc(sizeof *home);
    pw_home_draw draw;
    double sum[2] = {0, 0}, n[2] = {0, 0};
    int64_t before_ms = 0;
    assert_true(pw_household_begin(&d, 4, 0, home));
    for (int32_t i = 0; i < 20000; i++) {
        assert_true(pw_household_next(&d, home, &draw));
        assert_true(draw.t_ms >= before_ms && draw.length_ms >= 1 && draw.flow_m3s > 0.0);
        before_ms = draw.t_ms;
        const int32_t which = draw.length_ms > 300000 ? 1 : 0;
        if (which == 1 || draw.length_ms < 60000) {
            sum[which] += draw.flow_m3s;
            n[which] += 1;
        }
    }
    free(home);
    assert_true(n[1] > 100);
    assert_true(sum[1] / n[1] > 1.2 * sum[0] / n[0]);
}

static void same_seed_same_home(void **unused)
{
    (void)unused;
    const pw_demand d = household(4);
    double *a = hours_of(&d, 7, DAYS), *b = hours_of(&d, 7, DAYS), *c = hours_of(&d, 8, DAYS);
    assert_memory_equal(a, b, sizeof *a * DAYS * 24);
    assert_memory_not_equal(a, c, sizeof *a * DAYS * 24);
    free(a);
    free(b);
    free(c);
}

static int compare(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

enum { HOMES = 120 };

static double middle(double *values, double part)
{
    qsort(values, HOMES, sizeof *values, compare);
    return values[(int32_t)(part * (HOMES - 1))];
}

/* A hundred and twenty homes against the figures of 38 that they were not fitted on; bounds of 30 %. */
static void population_is_like_homes(void **unused)
{
    (void)unused;
    static double cv[HOMES], over[HOMES], weekend[HOMES], daily[HOMES];
    double quiet = 0, zero = 0;
    for (int32_t i = 0; i < HOMES; i++) {
        const pw_demand d = household(1 + i % 4);
        const year y = year_of(&d, 100 + (uint64_t)i, DAYS);
        cv[i] = y.cv;
        over[i] = y.over200;
        weekend[i] = y.weekend;
        daily[i] = y.daily;
        quiet += y.most < 300 ? 1.0 / HOMES : 0;
        zero += y.zero / HOMES;
    }
    near(quiet, 23.0 / 38, 0.3);
    near(zero, 0.07, 0.5); /* a few absences of months carry it: 0.05 to 0.1 by seed */
    near(middle(cv, 0.5), 0.60, 0.3);
    near(middle(weekend, 0.1), 0.78, 0.3);
    near(middle(weekend, 0.9), 1.46, 0.3);
    assert_true(middle(over, 0.5) <= 8);
    assert_true(middle(daily, 0.9) > 2 * middle(daily, 0.1)); /* homes differ more than years of one home */
}

/* Random draws stay what they were unless a habit is given; then only that habit works. */
static void random_draws_with_habits(void **unused)
{
    (void)unused;
    pw_demand d = {.kind = PW_DEMAND_RANDOM, .weekdays = 0x7f};
    d.per_day = field(60);
    d.flow_m3s = field(6 * LPM);
    d.flow_cv = field(0.3);
    d.duration_s = field(50);
    d.duration_cv = field(1);
    const double plain = year_of(&d, 2, YEARS_DAYS).daily;
    near(plain, 300, 0.03);
    d.habits.away = field(0.1);
    const year y = year_of(&d, 2, YEARS_DAYS);
    assert_true(y.zero > 0.04 && y.zero < 0.2);
    near(y.daily, 300 * (1 - y.zero), 0.03);
    d.weekdays = 0x1f; /* closed at the weekend */
    assert_true(year_of(&d, 2, 700).weekend < 0.01);
}

/* Ten years of a home with known habits, seen by an hourly meter, give the habits back. */
static void there_and_back(void **unused)
{
    (void)unused;
    pw_demand d = plain_home(), back = {.outlet = 2};
    d.habits.day_cv = field(0.35);
    d.habits.weekend = field(1.3);
    d.habits.season = field(1.8);
    d.habits.away = field(0.1);
    d.habits.long_per_year = field(30);
    d.habits.long_m3s = field(14 * LPM);
    d.habits.long_s = field(2700);
    double *hours = hours_of(&d, 12, YEARS_DAYS);
    pw_flow_record *record = malloc(sizeof *record);
    assert_non_null(record);
    pw_record_begin(0, 3600, record);
    for (int32_t h = 0; h < YEARS_DAYS * 24; h++) {
        pw_record_add(record, 3600.0 * h, 3600.0 * (h + 1), hours[h] / 3.6e6);
    }
    assert_true(pw_habits_fit(record, &back));
    const pw_habits *h = &back.habits;
    assert_int_equal(back.kind, PW_DEMAND_HOUSEHOLD);
    assert_int_equal(back.outlet, 2);
    near(h->daily_m3.v, 0.3, 0.06);
    near(h->people.v, 3, 0.01);
    near(h->day_cv.v, 0.35, 0.2);
    near(h->weekend.v, 1.3, 0.05);
    near(h->season.v, 1.8, 0.15);
    near(h->away.v, 0.1, 0.4);
    near(h->away_s.v, 4 * 86400.0, 0.4);
    near(h->long_per_year.v, 30, 0.25);
    near(h->long_m3s.v * h->long_s.v, 0.63, 0.2);
    free(hours);
    free(record);
}

/* What a short record cannot say stays open; a day that the meter did not cover counts for nothing. */
static void short_records(void **unused)
{
    (void)unused;
    pw_flow_record *record = malloc(sizeof *record);
    pw_demand back = {0};
    assert_non_null(record);
    pw_record_begin(0, 0, record);
    assert_false(pw_habits_fit(record, &back));
    pw_record_add(record, 0, 4 * 86400.0, 0.2 / 86400);
    record->unseen[3] = true;
    record->day_m3[3] = 99;
    assert_true(pw_habits_fit(record, &back));
    near(back.habits.daily_m3.v, 0.2, 1e-9);
    assert_false(back.habits.day_cv.given || back.habits.away.given || back.habits.season.given);
    pw_record_begin(-1, 0, record);
    for (int32_t day = 0; day < 60; day++) {
        pw_record_add(record, day * 86400.0, (day + 1) * 86400.0, day % 10 < 2 ? 0.0 : 0.2 / 86400);
    }
    assert_true(pw_habits_fit(record, &back));
    /* six absences in 48 days at home, and 0.6 in 60 of any home; 2 days each, and twice 5 of any home */
    const double leaves = 6.6 / (48 + 60), length = (12 + 2 * 5) / 8.0;
    near(back.habits.away.v, leaves * length / (1 + leaves * length), 1e-9);
    near(back.habits.away_s.v, length * 86400.0, 1e-9);
    assert_false(back.habits.weekend.given || back.habits.season.given);
    near(back.habits.long_per_year.v, 365 * 0.3 / 90, 1e-9); /* none in two months is not never */
    free(record);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(given_habits_are_kept),    cmocka_unit_test(spread_of_days),
        cmocka_unit_test(somebody_is_at_home),      cmocka_unit_test(long_draws_are_long),
        cmocka_unit_test(flow_goes_with_length),    cmocka_unit_test(same_seed_same_home),
        cmocka_unit_test(population_is_like_homes), cmocka_unit_test(random_draws_with_habits),
        cmocka_unit_test(there_and_back),           cmocka_unit_test(short_records),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
