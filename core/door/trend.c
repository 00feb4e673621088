/* "trend": readings of a site over the years, and when each will cross the limit that a sound site keeps. */
#include <string.h>

#include "door/inside.h"
#include "paper/handover.h"
#include "study/log.h"
#include "study/trend.h"

enum { MOST_READINGS = 20000, MOST_THINGS = 256 };
static const door_key reading_keys[] = {{"what", ""}, {"day", ""}, {"si", ""}, {NULL, NULL}};

typedef struct thing {
    const char *what;
    int32_t count;
} thing;

/* The reading's own numbers; false after a problem was added. */
static bool read_one(door *d, const pw_json *item, int32_t index, const char **what, double *day, double *si)
{
    char path[PW_PATH_SIZE];
    door_path_index(path, "readings", index);
    if (item->kind != PW_JSON_OBJECT) {
        door_wrong_type(d, item, path, pw_fact_of("door.trend-object"));
        return false;
    }
    door_check_keys(d, item, path, reading_keys, NULL);
    *what = door_string(d, item, path, "what", "");
    *day = door_plain(d, item, path, "day", -1e6, 1e6, 0.0);
    *si = door_plain(d, item, path, "si", -1e15, 1e15, 0.0);
    return true;
}

/* Nobody needs the hours; what never comes is counted as far as it goes. */
static pw_value whole_days(double days)
{
    return pw_count((int64_t)pw_min(days + 0.5, 1e9));
}

static pw_fact fact_of(const pw_trend *trend, pw_dimension dimension)
{
    const pw_value year = pw_quantity(dimension, trend->slope * 365.25);
    const pw_value now = pw_quantity(dimension, trend->now);
    switch (trend->finding) {
    case PW_TREND_FEW: return pw_fact_of("handover.trend-few", pw_count(trend->count));
    case PW_TREND_STEADY: return pw_fact_of("handover.trend-steady", now, pw_count(trend->count));
    case PW_TREND_DRIFTS: return pw_fact_of("handover.trend-drifts", now, year);
    case PW_TREND_CROSSES: break;
    }
    if (trend->days <= 0.0) {
        return pw_fact_of("handover.trend-over", now, year, pw_quantity(dimension, trend->limit));
    }
    return pw_fact_of("handover.trend-crosses", now, year, pw_quantity(dimension, trend->limit),
                      whole_days(trend->days), whole_days(trend->soonest_days),
                      trend->latest_days < PW_INF ? whole_days(trend->latest_days) : pw_named(""));
}

/* Of a number that commissioning measures, or that was read off a log (its name is the feature's). */
static pw_dimension dimension_of(const char *what, const pw_expect *expect)
{
    for (int32_t f = 0; expect == NULL && f < PW_LOG_FEATURES; f++) {
        const pw_log_feature_row *row = pw_log_feature_of((pw_log_feature)f);
        if (strcmp(row->id, what) == 0) {
            return row->dimension;
        }
    }
    return expect != NULL ? expect->dimension : PW_DIM_NONE;
}

static void put_trend(door *d, const char *what, const pw_expect *expect, const pw_trend *trend)
{
    static const char *const findings[] = {[PW_TREND_FEW] = "too few",
                                           [PW_TREND_STEADY] = "steady",
                                           [PW_TREND_DRIFTS] = "drifts",
                                           [PW_TREND_CROSSES] = "crosses"};
    const pw_fact words = fact_of(trend, dimension_of(what, expect));
    const bool crosses = trend->finding == PW_TREND_CROSSES;
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "what", what);
    pw_json_string(d->answer, "finding", findings[trend->finding]);
    pw_json_int(d->answer, "count", trend->count);
    door_put_number(d, "slope_per_day", trend->slope);
    door_put_number(d, "slope_error", trend->error);
    door_put_number(d, "now", trend->now);
    door_put_number(d, "limit", crosses ? trend->limit : PW_INF);
    door_put_number(d, "days", crosses ? trend->days : PW_INF);
    door_put_number(d, "soonest_days", crosses ? trend->soonest_days : PW_INF);
    door_put_number(d, "latest_days", crosses ? trend->latest_days : PW_INF);
    door_put_fact(d, "words", &words);
    pw_json_close(d->answer, '}');
}

static const pw_expect *expect_of(const pw_expects *list, const char *what)
{
    for (int32_t i = 0; i < list->count; i++) {
        if (strcmp(list->items[i].what, what) == 0) {
            return &list->items[i];
        }
    }
    return NULL;
}

/* The names that stand in the readings, each once, in their order. */
static int32_t list_things(const char *const *what, int32_t count, thing *out)
{
    int32_t things = 0;
    for (int32_t i = 0; i < count; i++) {
        int32_t k = 0;
        while (k < things && strcmp(out[k].what, what[i]) != 0) {
            k++;
        }
        if (k == things && things < MOST_THINGS) {
            out[things++] = (thing){what[i], 0};
        }
        out[k < MOST_THINGS ? k : MOST_THINGS - 1].count++;
    }
    return things;
}

pw_status door_trend(door *d)
{
    const pw_json *list = door_list(d, "readings");
    const pw_grade *grade = door_grade(d);
    pw_plant *plant = door_plant(d);
    if (!plant || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    const int32_t room = list != NULL && list->count < MOST_READINGS ? list->count : MOST_READINGS;
    const char **what = PW_NEW(d->arena, room + 1, const char *);
    thing *things = PW_NEW(d->arena, MOST_THINGS, thing);
    double *numbers = pw_alloc(d->arena, 4 * ((size_t)room + 1), sizeof(double));
    pw_expects *expects = NULL;
    if (what == NULL || things == NULL || numbers == NULL) {
        return PW_MEMORY;
    }
    double *day = numbers, *si = numbers + room + 1, *own_day = si + room + 1, *own = own_day + room + 1;
    int32_t count = 0;
    for (const pw_json *item = list ? list->first : NULL; item && count < room; item = item->next) {
        count += read_one(d, item, count, &what[count], &day[count], &si[count]) ? 1 : 0;
    }
    pw_status status = door_problem(d);
    status = status == PW_OK ? pw_expect_list(d->arena, plant, grade, &expects, d->problems) : status;
    if (status != PW_OK) {
        return status;
    }
    pw_json_open(d->answer, "trends", '[');
    const int32_t all = list_things(what, count, things);
    for (int32_t t = 0; t < all; t++) {
        const pw_expect *expect = expect_of(expects, things[t].what);
        int32_t have = 0;
        for (int32_t i = 0; i < count; i++) {
            if (strcmp(what[i], things[t].what) == 0) {
                own_day[have] = day[i];
                own[have] = si[i];
                have++;
            }
        }
        pw_trend trend;
        pw_trend_of(own_day, own, have, expect != NULL ? expect->low : -PW_INF, expect != NULL ? expect->high : PW_INF,
                    &trend);
        put_trend(d, things[t].what, expect, &trend);
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}
