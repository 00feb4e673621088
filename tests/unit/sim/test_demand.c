/* Demand: explicit draws against a slow twin, the random year against its own parameters, the trace row by row. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "base/num.h"
#include "sim/demand.h"

#define LPM  (1.0e-3 / 60.0)
#define HOUR INT64_C(3600000)
#define DAY  INT64_C(86400000)

static pw_field field(double v)
{
    pw_field f = {.v = v, .given = true};
    return f;
}

static pw_demand draw(int32_t outlet, double flow_lpm, double for_s, double at_s)
{
    pw_demand d = {.kind = PW_DEMAND_DRAW, .outlet = outlet, .weekdays = 0x7f};
    d.flow_m3s = field(flow_lpm * LPM);
    d.duration_s = field(for_s);
    d.at_s = field(at_s);
    return d;
}

static pw_demand random_draws(int32_t outlet, double per_day, double flow_lpm, double flow_cv, double for_s,
                              double for_cv)
{
    pw_demand d = {.kind = PW_DEMAND_RANDOM, .outlet = outlet, .weekdays = 0x7f};
    d.per_day = field(per_day);
    d.flow_m3s = field(flow_lpm * LPM);
    d.flow_cv = field(flow_cv);
    d.duration_s = field(for_s);
    d.duration_cv = field(for_cv);
    return d;
}

static pw_demand trace(int32_t outlet, int32_t count, const double *s, const double *m3s, double scale)
{
    pw_demand d = {.kind = PW_DEMAND_TRACE, .outlet = outlet, .weekdays = 0x7f};
    d.trace_count = count;
    d.trace_s = s;
    d.trace_m3s = m3s;
    d.trace_scale = field(scale);
    return d;
}

static pw_site *site_with(int32_t count, const pw_demand *demands)
{
    pw_site *site = calloc(1, sizeof *site);
    assert_non_null(site);
    site->outlet_count = 4;
    site->demand_count = count;
    memcpy(site->demands, demands, sizeof *demands * (size_t)count);
    return site;
}

static pw_demand_state *begin(const pw_site *site, uint64_t seed)
{
    pw_demand_state *state = malloc(pw_demand_size());
    assert_non_null(state);
    memset(state, 0xa5, pw_demand_size());
    pw_demand_begin(site, seed, state);
    return state;
}

static void expect(const pw_site *site, pw_demand_state *state, int64_t t_ms, bool begins, double flow_lpm,
                   double total_lpm)
{
    assert_int_equal(pw_demand_next_ms(state), t_ms);
    pw_demand_change change = pw_demand_take(site, state);
    assert_int_equal(change.t_ms, t_ms);
    assert_int_equal(change.begins, begins);
    assert_true(pw_abs(change.flow_m3s - flow_lpm * LPM) < 1e-15);
    assert_true(pw_abs(change.total_m3s - total_lpm * LPM) < 1e-15);
}

static void one_draw_a_day(void **unused)
{
    (void)unused;
    pw_demand d = draw(0, 12, 600, 6.5 * 3600);
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 1);
    for (int64_t day = 0; day < 400; day++) {
        expect(site, state, day * DAY + 6 * HOUR + HOUR / 2, true, 12, 12);
        expect(site, state, day * DAY + 6 * HOUR + HOUR / 2 + 600000, false, 12, 0);
    }
    free(state);
    free(site);
}

static void repeats_until_inclusive(void **unused)
{
    (void)unused;
    pw_demand d = draw(0, 24, 20, 8 * 3600);
    d.every_s = field(720);
    d.until_s = field(18 * 3600);
    d.weekdays = 0x11; /* Monday and Friday */
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 1);
    static const int64_t days[] = {0, 4, 7, 11, 14};
    for (int32_t i = 0; i < 5; i++) {
        for (int64_t k = 0; k <= 50; k++) { /* 08:00, 08:12 .. 18:00 */
            expect(site, state, days[i] * DAY + 8 * HOUR + k * 720000, true, 24, 24);
            expect(site, state, days[i] * DAY + 8 * HOUR + k * 720000 + 20000, false, 24, 0);
        }
    }
    free(state);
    free(site);
}

static void chain_over_midnight(void **unused)
{
    (void)unused;
    pw_demand d = draw(0, 6, 60, 22 * 3600);
    d.every_s = field(3600);
    d.until_s = field(2 * 3600);
    d.weekdays = 0x40; /* begins on Sunday, runs on into Monday */
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 1);
    for (int64_t week = 0; week < 3; week++) {
        for (int64_t k = 0; k < 5; k++) { /* 22, 23, 0, 1, 2 h */
            expect(site, state, week * 7 * DAY + 6 * DAY + (22 + k) * HOUR, true, 6, 6);
            expect(site, state, week * 7 * DAY + 6 * DAY + (22 + k) * HOUR + 60000, false, 6, 0);
        }
    }
    free(state);
    free(site);
}

static void round_the_clock_has_no_double(void **unused)
{
    (void)unused;
    pw_demand d = draw(0, 6, 60, 0);
    d.every_s = field(7200);
    d.until_s = field(86400); /* 24:00 is the next day's 00:00 */
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 1);
    for (int64_t k = 0; k < 100; k++) {
        expect(site, state, k * 2 * HOUR, true, 6, 6);
        expect(site, state, k * 2 * HOUR + 60000, false, 6, 0);
    }
    free(state);
    free(site);
}

static void draw_over_midnight_and_overlap(void **unused)
{
    (void)unused;
    pw_demand d[2] = {draw(1, 5, 3600, 23.5 * 3600), draw(1, 3, 3600, 0)};
    pw_site *site = site_with(2, d);
    pw_demand_state *state = begin(site, 1);
    expect(site, state, 0, true, 3, 3);
    expect(site, state, HOUR, false, 3, 0);
    expect(site, state, 23 * HOUR + HOUR / 2, true, 5, 5);
    expect(site, state, DAY, true, 3, 8);
    expect(site, state, DAY + HOUR / 2, false, 5, 3);
    expect(site, state, DAY + HOUR, false, 3, 0);
    free(state);
    free(site);
}

static void ends_come_before_begins(void **unused)
{
    (void)unused;
    /* listed so that list order alone would put the begin first */
    pw_demand d[3] = {draw(0, 2, 60, 660), draw(0, 4, 60, 600), draw(0, 8, 60, 660)};
    pw_site *site = site_with(3, d);
    pw_demand_state *state = begin(site, 1);
    expect(site, state, 600000, true, 4, 4);
    expect(site, state, 660000, false, 4, 0);
    expect(site, state, 660000, true, 2, 2);
    expect(site, state, 660000, true, 8, 10);
    expect(site, state, 720000, false, 2, 8);
    expect(site, state, 720000, false, 8, 0);
    free(state);
    free(site);
}

static void nothing_to_draw(void **unused)
{
    (void)unused;
    static const double s[] = {0, 0}, flow[] = {1, 1};
    pw_demand d[7] = {draw(0, 0, 60, 600),
                      draw(0, 4, 0, 600),
                      draw(0, 8, 60, 660),
                      random_draws(0, 0, 7, 1, 60, 1),
                      trace(0, 1, s, flow, 1),
                      trace(0, 2, s, flow, 1),
                      random_draws(0, 5, 7, 1, 60, 1)};
    d[2].weekdays = 0;
    d[6].has_pattern = true; /* of zeros */
    pw_site *site = site_with(7, d);
    pw_demand_state *state = begin(site, 1);
    assert_true(pw_demand_next_ms(state) == INT64_MAX);
    free(state);
    site->demand_count = 0;
    state = begin(site, 1);
    assert_true(pw_demand_next_ms(state) == INT64_MAX);
    free(state);
    free(site);
}

/* ---- the slow twin of explicit draws: asks every draw of every day whether it is open at a moment ---- */

static double slow_total(const pw_demand *demands, int32_t count, int32_t outlet, int64_t t_ms)
{
    double total = 0.0;
    for (int32_t i = 0; i < count; i++) {
        const pw_demand *d = &demands[i];
        int64_t until = (int64_t)d->until_s.v * 1000, at = (int64_t)d->at_s.v * 1000,
                every = (int64_t)d->every_s.v * 1000;
        if (d->outlet != outlet) {
            continue;
        }
        for (int64_t day = 0; day <= t_ms / DAY; day++) {
            if (!((d->weekdays >> (day % 7)) & 1)) {
                continue;
            }
            for (int64_t k = 0; k == 0 || every > 0; k++) {
                int64_t after = at + k * every;
                int64_t last = until > at ? until : until + DAY;
                if (k > 0 && (after > last || after >= at + DAY)) {
                    break;
                }
                int64_t from = day * DAY + after;
                if (from <= t_ms && t_ms < from + (int64_t)d->duration_s.v * 1000) {
                    total += d->flow_m3s.v;
                }
            }
        }
    }
    return total;
}

static void agrees_with_slow_twin(void **unused)
{
    (void)unused;
    pw_random random;
    pw_random_seed(&random, 77, 5);
    for (int32_t round = 0; round < 40; round++) {
        pw_demand d[6];
        for (int32_t i = 0; i < 6; i++) {
            d[i] = draw((int32_t)(pw_random_u32(&random) % 2), 1 + pw_random_u32(&random) % 30,
                        1 + pw_random_u32(&random) % 9000, 60 * (pw_random_u32(&random) % 1440));
            d[i].weekdays = (uint8_t)(pw_random_u32(&random) & 0x7f);
            if (pw_random_u32(&random) % 2) {
                d[i].every_s = field(60 * (1 + pw_random_u32(&random) % 300));
                d[i].until_s = field(60 * (pw_random_u32(&random) % 1440));
            }
        }
        pw_site *site = site_with(6, d);
        pw_demand_state *state = begin(site, 1);
        double total[2] = {0, 0};
        for (int64_t t = 0; t < 16 * DAY; t += 1000 * (1 + pw_random_u32(&random) % 20000)) {
            while (pw_demand_next_ms(state) <= t) {
                pw_demand_change change = pw_demand_take(site, state);
                total[change.outlet] = change.total_m3s;
            }
            for (int32_t outlet = 0; outlet < 2; outlet++) {
                assert_true(pw_abs(total[outlet] - slow_total(d, 6, outlet, t)) < 1e-12);
            }
        }
        free(state);
        free(site);
    }
}

static void thirty_years(void **unused)
{
    (void)unused;
    pw_demand d = draw(0, 6, 60, 43200);
    d.weekdays = 0x08; /* Thursdays */
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 1);
    for (int64_t week = 0; week < 30 * 52; week++) {
        expect(site, state, week * 7 * DAY + 3 * DAY + 12 * HOUR, true, 6, 6);
        expect(site, state, week * 7 * DAY + 3 * DAY + 12 * HOUR + 60000, false, 6, 0);
    }
    free(state);
    free(site);
}

static void state_is_plain_data(void **unused)
{
    (void)unused;
    pw_demand d[2] = {random_draws(0, 60, 7, 0.5, 300, 1.2), draw(0, 3, 5000, 100)};
    d[1].every_s = field(900);
    pw_site *site = site_with(2, d);
    pw_demand_state *state = begin(site, 9);
    for (int32_t i = 0; i < 500; i++) {
        pw_demand_take(site, state);
    }
    pw_demand_state *copy = malloc(pw_demand_size());
    memcpy(copy, state, pw_demand_size());
    for (int32_t i = 0; i < 1000; i++) {
        pw_demand_change a = pw_demand_take(site, state);
        pw_demand_change b = pw_demand_take(site, copy);
        assert_int_equal(a.t_ms, b.t_ms);
        assert_true(a.total_m3s == b.total_m3s && a.flow_m3s == b.flow_m3s && a.begins == b.begins);
    }
    free(copy);
    free(state);
    free(site);
}

/* Volumes are kept when more draws overlap than are held. */
static void merged_draws_keep_their_volume(void **unused)
{
    (void)unused;
    pw_demand d = draw(0, 1, 86000, 0);
    d.every_s = field(10);
    d.until_s = field(9000);
    d.weekdays = 0x01;
    pw_demand few = draw(1, 2, 100, 5000); /* another outlet while the heap is full */
    few.weekdays = 0x01;
    pw_demand both[2] = {d, few};
    pw_site *site = site_with(2, both);
    pw_demand_state *state = begin(site, 1);
    double volume[2] = {0, 0}, total[2] = {0, 0};
    int64_t before = 0;
    while (pw_demand_next_ms(state) < 7 * DAY) {
        pw_demand_change c = pw_demand_take(site, state);
        for (int32_t o = 0; o < 2; o++) {
            volume[o] += total[o] * (double)(c.t_ms - before) / 1000.0;
        }
        before = c.t_ms;
        total[c.outlet] = c.total_m3s;
        assert_true(c.total_m3s <= 901.0001 * LPM);
    }
    assert_true(total[0] == 0.0 && total[1] == 0.0);
    assert_true(pw_abs(volume[0] / (901 * 86000.0 * LPM) - 1.0) < 1e-9);
    assert_true(pw_abs(volume[1] / (100 * 2 * LPM) - 1.0) < 1e-9);
    assert_int_equal(pw_demand_merged(state), 901 - 256);
    free(state);
    free(site);
}

/* ---- random year ---- */

enum { MOST = 400000 };
typedef struct events {
    int32_t count;
    int64_t begin_ms[MOST];
    double flow[MOST];
} events;

static void collect(const pw_site *site, uint64_t seed, int64_t length_ms, int32_t outlet, events *out)
{
    pw_demand_state *state = begin(site, seed);
    out->count = 0;
    int64_t before = 0;
    while (pw_demand_next_ms(state) < length_ms) {
        pw_demand_change c = pw_demand_take(site, state);
        assert_true(c.t_ms >= before);
        before = c.t_ms;
        if (c.begins && c.outlet == outlet && out->count < MOST) {
            out->begin_ms[out->count] = c.t_ms;
            out->flow[out->count] = c.flow_m3s;
            out->count++;
        }
    }
    free(state);
}

static void random_year_keeps_its_parameters(void **unused)
{
    (void)unused;
    static const double pattern[24] = {1, 0, 0.5, 0.5, 1, 3, 8, 10, 7, 5, 4, 4, 6, 4, 3, 3, 4, 6, 9, 8, 6, 5, 3, 2};
    pw_demand d = random_draws(0, 100, 7, 0.45, 50, 1.1);
    d.has_pattern = true;
    memcpy(d.pattern, pattern, sizeof pattern);
    pw_site *site = site_with(1, &d);
    events *e = malloc(sizeof *e);
    const int64_t days = 3652;
    collect(site, 20, days * DAY, 0, e);
    double n = e->count, expected = 100.0 * (double)days;
    assert_true(pw_abs(n - expected) < 4.0 * pw_sqrt(expected)); /* Poisson */
    double sum = 0, squares = 0, pattern_sum = 0;
    int64_t by_hour[24] = {0};
    double *daily = calloc((size_t)days, sizeof *daily);
    for (int32_t i = 0; i < e->count; i++) {
        sum += e->flow[i];
        squares += e->flow[i] * e->flow[i];
        by_hour[e->begin_ms[i] / HOUR % 24]++;
        daily[e->begin_ms[i] / DAY] += 1.0;
    }
    double mean = sum / n, cv = pw_sqrt(squares / n / (mean * mean) - 1.0);
    assert_true(pw_abs(mean / (7 * LPM) - 1.0) < 4.0 * 0.45 / pw_sqrt(n));
    assert_true(pw_abs(cv / 0.45 - 1.0) < 0.01);
    for (int32_t h = 0; h < 24; h++) {
        pattern_sum += pattern[h];
    }
    double chi2 = 0.0;
    for (int32_t h = 0; h < 24; h++) {
        double want = expected * pattern[h] / pattern_sum;
        if (want == 0.0) {
            assert_int_equal(by_hour[h], 0);
        } else {
            chi2 += ((double)by_hour[h] - want) * ((double)by_hour[h] - want) / want;
        }
    }
    assert_true(chi2 < 52.0); /* 23 degrees of freedom: 99.95 % is 52 (tables of chi squared, from memory) */
    double spread = 0.0;
    for (int64_t i = 0; i < days; i++) {
        spread += (daily[i] - n / (double)days) * (daily[i] - n / (double)days);
    }
    double dispersion = spread / (double)(days - 1) / (n / (double)days);
    assert_true(pw_abs(dispersion - 1.0) < 4.0 * pw_sqrt(2.0 / (double)days)); /* Poisson: variance is the mean */
    printf("random: %.0f events, flow mean %.4f L/min, cv %.4f, chi2 %.1f, dispersion %.3f\n", n, mean / LPM, cv, chi2,
           dispersion);
    free(daily);
    free(e);
    free(site);
}

/* Lengths, from begin and end of draws that cannot overlap. */
static void random_lengths_keep_their_parameters(void **unused)
{
    (void)unused;
    pw_demand d = random_draws(0, 5, 7, 0, 50, 1.1);
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 3);
    double sum = 0, squares = 0, n = 0;
    int64_t from = 0;
    int32_t open = 0;
    while (pw_demand_next_ms(state) < 8000 * DAY) {
        pw_demand_change c = pw_demand_take(site, state);
        assert_true(pw_abs(c.flow_m3s / (7 * LPM) - 1.0) < 1e-12); /* no spread */
        open += c.begins ? 1 : -1;
        if (c.begins) {
            from = c.t_ms;
        } else if (open == 0) {
            double s = (double)(c.t_ms - from) / 1000.0;
            sum += s;
            squares += s * s;
            n += 1.0;
        }
    }
    double mean = sum / n, cv = pw_sqrt(squares / n / mean / mean - 1.0);
    printf("lengths: %.0f, mean %.3f s, cv %.4f\n", n, mean, cv);
    assert_true(pw_abs(mean / 50.0 - 1.0) < 0.025);
    assert_true(pw_abs(cv / 1.1 - 1.0) < 0.05);
    free(state);
    free(site);
}

static void own_stream_and_seed(void **unused)
{
    (void)unused;
    pw_demand d[2] = {random_draws(0, 30, 7, 0.5, 60, 1), random_draws(1, 20, 9, 0.5, 60, 1)};
    events *a = malloc(sizeof *a), *b = malloc(sizeof *b);
    pw_site *site = site_with(2, d);
    collect(site, 5, 200 * DAY, 1, a);
    collect(site, 5, 200 * DAY, 1, b);
    assert_int_equal(a->count, b->count);
    assert_memory_equal(a->begin_ms, b->begin_ms, sizeof(int64_t) * (size_t)a->count);
    site->demands[0].per_day.v = 90; /* another demand changes: this one stays */
    collect(site, 5, 200 * DAY, 1, b);
    assert_int_equal(a->count, b->count);
    assert_memory_equal(a->begin_ms, b->begin_ms, sizeof(int64_t) * (size_t)a->count);
    assert_memory_equal(a->flow, b->flow, sizeof(double) * (size_t)a->count);
    collect(site, 6, 200 * DAY, 1, b); /* another seed: another year */
    assert_true(a->begin_ms[0] != b->begin_ms[0] && a->begin_ms[1] != b->begin_ms[1]);
    free(a);
    free(b);
    free(site);
}

static void random_weekdays(void **unused)
{
    (void)unused;
    pw_demand d = random_draws(0, 40, 7, 0.5, 60, 1);
    d.weekdays = 0x60; /* weekend */
    pw_site *site = site_with(1, &d);
    events *e = malloc(sizeof *e);
    collect(site, 5, 700 * DAY, 0, e);
    for (int32_t i = 0; i < e->count; i++) {
        assert_true(e->begin_ms[i] / DAY % 7 >= 5);
    }
    assert_true(pw_abs(e->count - 200 * 40.0) < 4 * pw_sqrt(200 * 40.0));
    free(e);
    free(site);
}

static void very_rare_and_very_often(void **unused)
{
    (void)unused;
    pw_demand rare = random_draws(0, 1e-12, 7, 0.5, 60, 1);
    pw_site *site = site_with(1, &rare);
    pw_demand_state *state = begin(site, 1);
    assert_true(pw_demand_next_ms(state) > 1000 * 365 * DAY);
    free(state);
    site->demands[0] = random_draws(0, 1.0 / 1000.0, 7, 0.5, 60, 1);
    events *e = malloc(sizeof *e);
    collect(site, 5, INT64_C(1000000) * DAY, 0, e); /* one in a thousand days, for a million days */
    assert_true(pw_abs(e->count - 1000.0) < 130);
    site->demands[0] = random_draws(0, 2e8, 7, 0.5, 0.001, 0); /* 2.3 in each millisecond */
    collect(site, 5, 20000, 0, e);
    assert_true(pw_abs(e->count - 2e8 / 86400.0 * 20.0) < 4 * 215);
    free(e);
    free(site);
}

/* ---- trace ---- */

static void trace_row_by_row(void **unused)
{
    (void)unused;
    static const double s[] = {0, 10, 20, 30, 30, 40, 50, 60};
    static const double flow[] = {0, 3 * LPM, 3 * LPM, 5 * LPM, 4 * LPM, 0, 0, 99};
    pw_demand d[2] = {trace(0, 8, s, flow, 2.0), draw(0, 1, 5, 10)};
    pw_site *site = site_with(2, d);
    pw_demand_state *state = begin(site, 1);
    expect(site, state, 10000, true, 6, 6);
    expect(site, state, 10000, true, 1, 7);
    expect(site, state, 15000, false, 1, 6);
    expect(site, state, 30000, true, 8, 8); /* the row of no length is passed over */
    expect(site, state, 40000, false, 8, 0);
    for (int64_t round = 1; round < 1000; round++) {
        expect(site, state, round * 60000 + 10000, true, 6, 6);
        expect(site, state, round * 60000 + 30000, true, 8, 8);
        expect(site, state, round * 60000 + 40000, false, 8, 0);
    }
    free(state);
    free(site);
}

static void trace_begins_late_and_wraps(void **unused)
{
    (void)unused;
    static const double s[] = {5, 8, 10};
    static const double flow[] = {1 * LPM, 2 * LPM, 0};
    pw_demand d = trace(0, 3, s, flow, 1.0);
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 1);
    for (int64_t round = 0; round < 10; round++) {
        expect(site, state, round * 10000 + 5000, true, 1, 1);
        expect(site, state, round * 10000 + 8000, true, 2, 2);
        expect(site, state, round * 10000 + 10000, false, 2, 0);
    }
    free(state);
    free(site);
}

static void constant_trace_changes_once(void **unused)
{
    (void)unused;
    static const double s[] = {0, 8, 10};
    static const double flow[] = {LPM, LPM, 0};
    pw_demand d = trace(0, 3, s, flow, 1.0);
    pw_site *site = site_with(1, &d);
    pw_demand_state *state = begin(site, 1);
    expect(site, state, 0, true, 1, 1);
    assert_true(pw_demand_next_ms(state) == INT64_MAX);
    free(state);
    free(site);
}

static void a_year_is_quick(void **unused)
{
    (void)unused;
    pw_demand d[4] = {random_draws(0, 40, 7, 0.45, 50, 1.1), random_draws(1, 40, 7, 0.45, 50, 1.1),
                      random_draws(2, 20, 7, 0.45, 300, 1.1), draw(0, 3, 50, 100)};
    d[0].has_pattern = true;
    d[0].pattern[7] = 1; /* the worst: one hour of the day */
    d[1].weekdays = 0x01;
    pw_site *site = site_with(4, d);
    pw_demand_state *state = begin(site, 1);
    clock_t from = clock();
    int64_t draws = 0;
    double sum = 0;
    while (pw_demand_next_ms(state) < 365 * DAY) {
        pw_demand_change c = pw_demand_take(site, state);
        draws += c.begins;
        sum += c.total_m3s;
    }
    double ms = (double)(clock() - from) / CLOCKS_PER_SEC * 1000.0;
    printf("a year: %d draws in %.2f ms, %.3f ms per thousand (%g)\n", (int)draws, ms, ms / (double)draws * 1000.0,
           sum);
    assert_true(ms / (double)draws * 1000.0 < 5.0); /* wide, for sanitizers and busy machines; measured 0.2 */
    free(state);
    free(site);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_draw_a_day),
        cmocka_unit_test(repeats_until_inclusive),
        cmocka_unit_test(chain_over_midnight),
        cmocka_unit_test(round_the_clock_has_no_double),
        cmocka_unit_test(draw_over_midnight_and_overlap),
        cmocka_unit_test(ends_come_before_begins),
        cmocka_unit_test(nothing_to_draw),
        cmocka_unit_test(agrees_with_slow_twin),
        cmocka_unit_test(thirty_years),
        cmocka_unit_test(state_is_plain_data),
        cmocka_unit_test(merged_draws_keep_their_volume),
        cmocka_unit_test(random_year_keeps_its_parameters),
        cmocka_unit_test(random_lengths_keep_their_parameters),
        cmocka_unit_test(own_stream_and_seed),
        cmocka_unit_test(random_weekdays),
        cmocka_unit_test(very_rare_and_very_often),
        cmocka_unit_test(trace_row_by_row),
        cmocka_unit_test(trace_begins_late_and_wraps),
        cmocka_unit_test(constant_trace_changes_once),
        cmocka_unit_test(a_year_is_quick),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
