/* Statistics of draws: by hand, there and back, and the random year against two measured records (docs/demand.md holds
 * the table). The files are read here by a few lines of their own, so that this test does not lean on the CSV adapter.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "sim/demand_stats.h"

#define LPM (1.0e-3 / 60.0)

static void near(double got, double want, double part)
{
    if (!(pw_abs(got - want) <= part * pw_abs(want))) {
        fail_msg("got %.12g, expected %.12g within %g %%", got, want, part * 100.0);
    }
}

static void by_hand(void **unused)
{
    (void)unused;
    /* 2 L in 20 s with a pause of 5 s inside; 0.05 L of dribble; 12 L in 120 s at 13:00; a pause of 11 s parts */
    static const double s[] = {0, 3600, 3610, 3615, 3625, 7200, 7201, 46800, 46860, 46920, 46931, 46941, 86400};
    static const double q[] = {0, 0.1e-3, 0, 0.1e-3, 0, 0.05e-3, 0, 0.15e-3, 0.05e-3, 0, 0.3e-3, 0, 0};
    pw_demand_meter meter = {.gap_s = 10, .least_m3 = 0.1e-3};
    pw_demand_stats stats;
    pw_demand_meter_trace(&meter, s, q, 13);
    pw_demand_meter_finish(&meter, &stats);
    assert_int_equal(stats.events, 3);
    near(stats.days, 1, 0);
    near(stats.m3_per_day, 17.05e-3, 1e-12);
    near(stats.event_m3_per_day, 17e-3, 1e-12);
    near(stats.volume_m3, 17e-3 / 3, 1e-12);
    near(stats.duration_s, (25 + 120 + 10) / 3.0, 1e-12);
    near(stats.flow_m3s, (2e-3 / 25 + 12e-3 / 120 + 3e-3 / 10) / 3, 1e-12);
    near(stats.volume_cv, pw_sqrt((4 + 144 + 9) / 3.0 - 289.0 / 9) / (17.0 / 3), 1e-9);
    near(stats.busy, (35 + 130 + 20) / 86400.0, 1e-12);
    near(stats.hour_share[1], 1.0 / 3, 1e-12);
    near(stats.hour_share[13], 2.0 / 3, 1e-12);
    pw_demand_meter small = {.gap_s = 10, .least_m3 = 0.1e-3, .most_m3 = 3e-3 * (1 - 1e-9)};
    pw_demand_meter_trace(&small, s, q, 13);
    pw_demand_meter_finish(&small, &stats);
    assert_int_equal(stats.events, 1);
}

static void nothing_gives_zeros(void **unused)
{
    (void)unused;
    static const double s[] = {0, 86400}, q[] = {0, 0};
    pw_demand_stats stats;
    pw_demand_meter meter = {.gap_s = 10};
    pw_demand_meter_finish(&meter, &stats);
    assert_int_equal(stats.events, 0);
    assert_true(stats.days == 0.0 && stats.per_day == 0.0);
    pw_demand_meter_trace(&meter, s, q, 2);
    pw_demand_meter_finish(&meter, &stats);
    assert_true(stats.days == 1.0 && stats.volume_m3 == 0.0 && stats.duration_cv == 0.0);
    pw_demand d = {.outlet = 3};
    pw_demand_fit(&stats, &d);
    assert_int_equal(d.outlet, 3);
    assert_true(d.per_day.v == 0.0); /* which never draws */
}

static pw_site *site_with(int32_t count, const pw_demand *demands)
{
    pw_site *site = calloc(1, sizeof *site);
    site->outlet_count = 1;
    site->demand_count = count;
    memcpy(site->demands, demands, sizeof *demands * (size_t)count);
    return site;
}

static void year_of(const pw_site *site, int32_t days, pw_demand_meter *meter, pw_demand_stats *out)
{
    pw_demand_state *state = malloc(pw_demand_size());
    pw_demand_meter_year(meter, site, 0, 11, days, state);
    pw_demand_meter_finish(meter, out);
    free(state);
}

/* Known draws, seen as events with a gap, must come back as the same draws: overlaps undone. */
static void there_and_back(void **unused)
{
    (void)unused;
    static const double per_day[] = {20, 100, 300};
    for (int32_t i = 0; i < 3; i++) {
        pw_demand d = {.kind = PW_DEMAND_RANDOM, .weekdays = 0x7f};
        d.per_day.v = per_day[i];
        d.flow_m3s.v = 8 * LPM;
        d.flow_cv.v = 0.3;
        d.duration_s.v = 90;
        d.duration_cv.v = 0.8;
        pw_site *site = site_with(1, &d);
        pw_demand_meter meter = {.gap_s = 20};
        pw_demand_stats stats;
        year_of(site, 3000, &meter, &stats);
        pw_demand back = {0};
        pw_demand_fit(&stats, &back);
        near(back.per_day.v, per_day[i], 0.02);
        near(back.duration_s.v, 90, 0.02);
        near(back.flow_m3s.v, 8 * LPM, 0.02);
        if (i == 2) { /* overlaps matter: three in ten draws run into another */
            assert_true(stats.per_day < 0.75 * per_day[i]);
        }
        free(site);
    }
}

/* ---- the measured records ---- */

typedef struct record {
    const char *name, *file;
    bool pulses; /* "yy-m-d H:M:S",n,pulses; else s,ml */
    double days, split_m3;
} record;

static const record records[2] = {
    {"house", "data/measured/house_pulses/two_days.csv", true, 2, 8e-3},
    {"apartment", "data/measured/apartment_week/week.csv", false, 7, 8e-3},
};

static void add_record(const record *r, pw_demand_meter *meter)
{
    char path[400], line[200];
    snprintf(path, sizeof path, "%s/%s", PW_SOURCE_DIR, r->file);
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    double before_s = 0.0;
    int rows = 0;
    while (fgets(line, sizeof line, file) != NULL) {
        int day, hour, minute, second, number, amount;
        double at_s, step_s = r->pulses ? 4.0 : 1.0, unit_m3 = r->pulses ? 0.15754e-3 : 1e-6;
        if (r->pulses &&
            sscanf(line, "\"19-10-%d %d:%d:%d\",%d,%d", &day, &hour, &minute, &second, &number, &amount) == 6) {
            at_s = (day - 5) * 86400.0 + hour * 3600.0 + minute * 60.0 + second;
        } else if (!r->pulses && sscanf(line, "%d,%d", &number, &amount) == 2) {
            at_s = number;
        } else {
            continue;
        }
        pw_demand_meter_add(meter, before_s, at_s, 0.0);
        pw_demand_meter_add(meter, at_s, at_s + step_s, amount * unit_m3 / step_s);
        before_s = at_s + step_s;
        rows++;
    }
    assert_true(rows > 2000);
    pw_demand_meter_add(meter, before_s, r->days * 86400.0, 0.0);
    fclose(file);
}

static char *doc;

static void read_doc(void)
{
    FILE *file = fopen(PW_SOURCE_DIR "/docs/demand.md", "r");
    assert_non_null(file);
    doc = calloc(1, 100000);
    size_t length = fread(doc, 1, 99999, file);
    assert_true(length > 1000 && length < 99999);
    fclose(file);
}

/* One line of the table: checked against its bound, and the same text must stand in the page. */
static void compare(const record *r, const char *what, double data, double year, double bound, int decimals)
{
    char line[200];
    snprintf(line, sizeof line, "| %s | %s | %.*f | %.*f | %.0f %% |\n", r->name, what, decimals, data, decimals, year,
             bound * 100.0);
    fputs(line, stdout);
    near(year, data, bound);
    if (strstr(doc, line) == NULL) {
        fail_msg("docs/demand.md does not hold this line: %s", line);
    }
}

static void the_random_year_resembles_the_record(void **state)
{
    const record *r = *state;
    pw_demand_meter whole = {.gap_s = 20, .least_m3 = 0.1e-3};
    pw_demand_meter small = {.gap_s = 20, .least_m3 = 0.1e-3, .most_m3 = r->split_m3};
    pw_demand_meter large = {.gap_s = 20, .least_m3 = r->split_m3};
    pw_demand_stats data, of_small, of_large, year;
    add_record(r, &whole);
    add_record(r, &small);
    add_record(r, &large);
    pw_demand_meter_finish(&whole, &data);
    pw_demand_meter_finish(&small, &of_small);
    pw_demand_meter_finish(&large, &of_large);
    pw_demand fitted[2] = {{0}, {0}};
    pw_demand_fit(&of_small, &fitted[0]);
    pw_demand_fit(&of_large, &fitted[1]);
    pw_site *site = site_with(2, fitted);
    pw_demand_meter meter = {.gap_s = 20, .least_m3 = 0.1e-3};
    year_of(site, 3650, &meter, &year);
    compare(r, "water a day, L", data.m3_per_day * 1e3, year.m3_per_day * 1e3, 0.03, 0);
    compare(r, "events a day", data.per_day, year.per_day, 0.15, 1);
    compare(r, "volume of an event, L", data.volume_m3 * 1e3, year.volume_m3 * 1e3, 0.2, 2);
    compare(r, "spread of the volume", data.volume_cv, year.volume_cv, 0.6, 2);
    compare(r, "length of an event, s", data.duration_s, year.duration_s, 0.15, 1);
    compare(r, "spread of the length", data.duration_cv, year.duration_cv, 0.1, 2);
    compare(r, "flow of an event, L/min", data.flow_m3s / LPM, year.flow_m3s / LPM, 0.15, 2);
    compare(r, "spread of the flow", data.flow_cv, year.flow_cv, 0.15, 2);
    compare(r, "part of the time with an event, %", data.busy * 100, year.busy * 100, 0.1, 2);
    double apart = 0.0;
    for (int32_t hour = 0; hour < 24; hour++) {
        apart += pw_abs(data.hour_share[hour] - year.hour_share[hour]) / 2.0;
    }
    printf("hours of the day: %.1f %% of the events would have to move\n", apart * 100.0);
    assert_true(apart < 0.05);
    free(site);
}

/* The sheet in the page is the fit, printed. */
static void the_sheet_in_the_page(void **state)
{
    const record *r = *state;
    for (int32_t part = 0; part < 2; part++) {
        pw_demand_meter meter = {
            .gap_s = 20, .least_m3 = part == 0 ? 0.1e-3 : r->split_m3, .most_m3 = part == 0 ? r->split_m3 : 0};
        pw_demand_stats stats;
        pw_demand d = {0};
        char line[300];
        add_record(r, &meter);
        pw_demand_meter_finish(&meter, &stats);
        pw_demand_fit(&stats, &d);
        snprintf(line, sizeof line, "| %s, %s | %.1f | %.2f L/min | %.0f %% | %.1f s | %.0f %% |\n", r->name,
                 part == 0 ? "small" : "large", d.per_day.v, d.flow_m3s.v / LPM, d.flow_cv.v * 100, d.duration_s.v,
                 d.duration_cv.v * 100);
        fputs(line, stdout);
        if (strstr(doc, line) == NULL) {
            fail_msg("docs/demand.md does not hold this line: %s", line);
        }
    }
}

int main(void)
{
    read_doc();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_hand),
        cmocka_unit_test(nothing_gives_zeros),
        cmocka_unit_test(there_and_back),
        {"house", the_random_year_resembles_the_record, NULL, NULL, (void *)(uintptr_t)&records[0]},
        {"apartment", the_random_year_resembles_the_record, NULL, NULL, (void *)(uintptr_t)&records[1]},
        {"sheet, house", the_sheet_in_the_page, NULL, NULL, (void *)(uintptr_t)&records[0]},
        {"sheet, apartment", the_sheet_in_the_page, NULL, NULL, (void *)(uintptr_t)&records[1]},
    };
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    free(doc);
    return failed;
}
