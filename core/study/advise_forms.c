/* The forms of watches that advice may choose from, a family each: its limits from the loosest to the strictest, and
 * the probes that they are read off from.
 *
 * The numbers are those that people type: own choice, dense enough that neighbours are at most a third apart.
 */
#include <string.h>

#include "base/num.h"
#include "study/advise_inside.h"

const uint32_t advise_nights[ADVISE_NIGHTS][2] = {
    {1 * 3600, 4 * 3600}, {0, 5 * 3600}, {23 * 3600, 5 * 3600}}; /* hours in which most homes draw least */

static const int16_t starts[] = {120, 100, 80, 60, 50, 40, 30, 25, 20, 15, 12, 10, 8, 6, 5, 4, 3};
static const uint32_t windows_min[] = {10, 20, 30, 60, 120, 360, 1440};
static const int16_t night_starts[] = {20, 15, 12, 10, 8, 6, 5, 4, 3, 2};
static const uint32_t night_windows_min[] = {60, 120, 240};
/* A start now and then, again and again: of so many in a window, so many windows in a row. */
static const int16_t row_starts[] = {2, 1};
static const uint32_t row_windows_min[] = {15, 30, 60, 120, 180, 240};
static const int16_t rows[] = {20, 15, 12, 10, 8, 6};
enum { LONGEST_ROW_MIN = 48 * 60 }; /* what takes longer is found by a test before */
static const uint32_t runs_min[] = {1440, 1200, 960, 720, 600, 480, 360, 300, 240, 180, 150, 120, 90, 75, 60,
                                    45,   40,   30,  25,  20,  15,  12,  10,  8,   6,   5,   4,   3,  2};
static const uint32_t night_runs_min[] = {240, 180, 120, 90, 60, 45, 30, 20, 15, 10, 5, 3, 2};
static const uint32_t waits_s[] = {600, 300, 180, 120, 90, 60, 45, 30, 20, 15, 10, 8, 5, 3, 2};
static const uint32_t ignores_s[] = {60, 30, 20, 15, 10, 5};
static const uint32_t low_waits_s[] = {1800, 900, 600, 300, 180, 120, 60, 30, 20, 10};
static const uint32_t short_waits_s[] = {60, 30, 20, 10, 5, 3};
/* parts of what is usual, the loosest first */
static const double low_parts[] = {0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9};
static const double high_parts[] = {1.6, 1.5, 1.4, 1.3, 1.25, 1.2, 1.15, 1.1, 1.05};

#define COUNT(list) ((int32_t)(sizeof(list) / sizeof(list)[0]))

const char *advise_text(advise_planner *m, const pw_text *text)
{
    m->failed = m->failed || text->failed;
    return text->failed ? "" : text->data;
}

/* "bore pump: " where there are several and it is for one. */
static void begin(const advise_planner *m, const pw_family *family, pw_text *text, const char *words)
{
    pw_text_init(text, m->arena);
    if (family->pump >= 0 && m->plan->plant->site->pump_count > 1) {
        pw_text_puts(text, m->plan->plant->site->pumps[family->pump].name, ": ", (const char *)NULL);
    }
    pw_text_put(text, words);
}

static pw_limit *add(advise_planner *m)
{
    pw_advise_plan *plan = m->plan;
    if (plan->limit_count == PW_MAX_LIMITS) {
        m->failed = true;
        return &plan->limits[0];
    }
    pw_limit *limit = &plan->limits[plan->limit_count];
    *limit = (pw_limit){.family = (int16_t)plan->family_count, .probe = -1, .night = -1};
    plan->limit_count++;
    plan->families[plan->family_count].count++;
    return limit;
}

static bool is_able(const advise_planner *m, pw_watch_form form)
{
    return (m->plan->options.able >> form & 1u) != 0 && m->plan->family_count < PW_MAX_FAMILIES;
}

bool advise_counts(const advise_planner *m, const char *name)
{
    for (int32_t i = 0; i < m->plan->options.no_sensor_count; i++) {
        if (strcmp(m->plan->options.no_sensor[i], name) == 0) {
            return false;
        }
    }
    return true;
}

static pw_family *open_family(advise_planner *m, pw_watch_form form, int32_t pump, int32_t signal)
{
    pw_family *family = &m->plan->families[m->plan->family_count];
    *family = (pw_family){.form = form,
                          .pump = pump,
                          .signal = signal,
                          .first = m->plan->limit_count,
                          .first_probe = m->plan->probe_count};
    return family;
}

static void close_family(advise_planner *m)
{
    m->plan->family_count += m->plan->families[m->plan->family_count].count > 0 ? 1 : 0;
}

static void put_night(pw_text *text, int32_t night)
{
    for (int32_t i = 0; i < 2 && night >= 0; i++) {
        const uint32_t minute = advise_nights[night][i] / 60;
        pw_text_put(text, i == 0 ? " and time between " : " and ");
        pw_text_put(text, minute / 60 < 10 ? "0" : "");
        pw_text_int(text, minute / 60);
        pw_text_put(text, minute % 60 < 10 ? ":0" : ":");
        pw_text_int(text, minute % 60);
    }
}

static void add_starts(advise_planner *m, const pw_family *family, int16_t count, uint32_t window_min, int32_t night)
{
    const uint32_t window_ms = window_min * 60000u;
    if ((double)count * 10.0 > (double)window_min * 60.0 || count > 60 * (int32_t)window_min) {
        return; /* oftener than each 10 s: nothing on site bears that */
    }
    pw_text text;
    pw_limit *limit = add(m);
    begin(m, family, &text, "lock out when starts reach ");
    pw_text_int(&text, count);
    pw_text_put(&text, " in ");
    pw_text_span(&text, window_ms);
    put_night(&text, night);
    limit->count = count;
    limit->time_ms = window_ms;
    limit->night = (int16_t)night;
    limit->sentence = advise_text(m, &text);
}

static void starts_family(advise_planner *m)
{
    if (!is_able(m, PW_WATCH_STARTS)) {
        return;
    }
    const pw_family *family = open_family(m, PW_WATCH_STARTS, -1, -1);
    for (int32_t i = 0; i < COUNT(starts); i++) {
        for (int32_t w = 0; w < COUNT(windows_min); w++) {
            add_starts(m, family, starts[i], windows_min[w], -1);
        }
    }
    close_family(m);
}

static void night_family(advise_planner *m)
{
    if (!is_able(m, PW_WATCH_STARTS_NIGHT)) {
        return;
    }
    const pw_family *family = open_family(m, PW_WATCH_STARTS_NIGHT, -1, -1);
    for (int32_t i = 0; i < COUNT(night_starts); i++) {
        for (int32_t w = 0; w < COUNT(night_windows_min); w++) {
            for (int32_t night = 0; night < ADVISE_NIGHTS; night++) {
                add_starts(m, family, night_starts[i], night_windows_min[w], night);
            }
        }
    }
    close_family(m);
}

static void add_row(advise_planner *m, const pw_family *family, int16_t count, uint32_t window_min, int16_t row)
{
    pw_text text;
    if (window_min * (uint32_t)row > LONGEST_ROW_MIN) {
        return;
    }
    pw_limit *limit = add(m);
    begin(m, family, &text, "lock out when starts reach ");
    pw_text_int(&text, count);
    pw_text_put(&text, " in ");
    pw_text_span(&text, window_min * 60000u);
    pw_text_put(&text, " ");
    pw_text_int(&text, row);
    pw_text_put(&text, " times in a row");
    limit->count = count;
    limit->row = row;
    limit->time_ms = window_min * 60000u;
    limit->sentence = advise_text(m, &text);
}

static void row_family(advise_planner *m)
{
    if (!is_able(m, PW_WATCH_STARTS_ROW)) {
        return;
    }
    const pw_family *family = open_family(m, PW_WATCH_STARTS_ROW, -1, -1);
    for (int32_t i = 0; i < COUNT(rows); i++) {
        for (int32_t w = 0; w < COUNT(row_windows_min); w++) {
            for (int32_t n = 0; n < COUNT(row_starts); n++) {
                add_row(m, family, row_starts[n], row_windows_min[w], rows[i]);
            }
        }
    }
    close_family(m);
}

static void add_run(advise_planner *m, const pw_family *family, uint32_t run_min, int32_t night)
{
    pw_text text;
    pw_limit *limit = add(m);
    begin(m, family, &text, "lock out when running for ");
    pw_text_span(&text, run_min * 60000u);
    put_night(&text, night);
    limit->time_ms = run_min * 60000u;
    limit->night = (int16_t)night;
    limit->sentence = advise_text(m, &text);
}

static void run_families(advise_planner *m)
{
    if (is_able(m, PW_WATCH_RUN)) {
        const pw_family *family = open_family(m, PW_WATCH_RUN, -1, -1);
        for (int32_t i = 0; i < COUNT(runs_min); i++) {
            add_run(m, family, runs_min[i], -1);
        }
        close_family(m);
    }
    if (is_able(m, PW_WATCH_RUN_NIGHT)) {
        const pw_family *family = open_family(m, PW_WATCH_RUN_NIGHT, -1, -1);
        for (int32_t i = 0; i < COUNT(night_runs_min); i++) {
            for (int32_t night = 0; night < ADVISE_NIGHTS; night++) {
                add_run(m, family, night_runs_min[i], night);
            }
        }
        close_family(m);
    }
}

/* ---- levels ---- */

/* The settings ignore this very condition after a start already. */
static bool is_ignored(const advise_planner *m, pw_term_kind kind, int32_t signal)
{
    const pw_settings *settings = m->plan->plant->settings;
    pw_look look;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        for (int32_t k = 0;
             pw_settings_kind(settings, i) == PW_SENTENCE_IGNORE && pw_settings_look(settings, i, k, &look); k++) {
            if (look.kind == kind && (look.signal == signal || look.signal < 0)) {
                return true;
            }
        }
    }
    return false;
}

/* A probe for this condition; false: there is no room. */
static bool add_probe(advise_planner *m, pw_family *family, const char *condition)
{
    pw_text text;
    if (m->plan->probe_count >= m->room) {
        return false;
    }
    begin(m, family, &text, "warn when ");
    pw_text_put(&text, condition);
    m->probes[m->plan->probe_count] = advise_text(m, &text);
    m->plan->probe_count++;
    family->probe_count++;
    return true;
}

/* "lock out when CONDITION for TIME", with an "ignore" where one is wanted. */
static void add_wait(advise_planner *m, const pw_family *family, const char *condition, const char *ignored,
                     double level, uint32_t wait_s, uint32_t ignore_s)
{
    pw_text text;
    pw_limit *limit = add(m);
    begin(m, family, &text, "lock out when ");
    pw_text_puts(&text, condition, " for ", (const char *)NULL);
    pw_text_span(&text, wait_s * 1000u);
    limit->sentence = advise_text(m, &text);
    limit->time_ms = wait_s * 1000u;
    limit->probe = (int16_t)(m->plan->probe_count - 1);
    limit->level = level;
    limit->ignore_ms = ignore_s * 1000u;
    if (ignore_s > 0) {
        pw_text ignore;
        begin(m, family, &ignore, "ignore ");
        pw_text_puts(&ignore, ignored, " for ", (const char *)NULL);
        pw_text_span(&ignore, ignore_s * 1000u);
        pw_text_put(&ignore, " after start");
        limit->ignore = advise_text(m, &ignore);
    }
}

/* The pump of a flow switch: its own, else every pump. */
static void flow_families(advise_planner *m)
{
    const pw_plant *plant = m->plan->plant;
    for (int32_t s = 0; s < plant->site->sensor_count; s++) {
        const pw_sensor *sensor = &plant->site->sensors[s];
        if (sensor->kind != PW_SENSOR_FLOW || !advise_counts(m, sensor->name) || !is_able(m, PW_WATCH_NO_FLOW)) {
            continue;
        }
        pw_text text;
        pw_family *family = open_family(m, PW_WATCH_NO_FLOW, sensor->pump, s);
        pw_text_init(&text, m->arena);
        pw_text_puts(&text, "no flow at ", sensor->name, (const char *)NULL);
        const char *condition = advise_text(m, &text);
        const bool ignored = is_ignored(m, PW_TERM_FLOW, s);
        if (!add_probe(m, family, condition)) {
            continue;
        }
        for (int32_t i = 0; i < COUNT(waits_s); i++) {
            for (int32_t g = 0; g < (ignored ? 1 : COUNT(ignores_s)); g++) {
                add_wait(m, family, condition, condition, 0.0, waits_s[i], ignored ? 0 : ignores_s[g]);
            }
        }
        close_family(m);
    }
}

static double round_to(double value, double step)
{
    return step * pw_floor(value / step + 0.5);
}

/* Levels of one quantity, and sentences with each of these times. before: what stands before the condition. */
typedef struct levels {
    const char *before, *what, *name;
    pw_dimension dimension;
    double usual, step;
    const double *parts;
    int32_t part_count;
    const uint32_t *waits;
    int32_t wait_count;
    uint32_t ignore_s;
} levels;

static void level_family(advise_planner *m, pw_watch_form form, int32_t pump, int32_t signal, const levels *l)
{
    const pw_units units = pw_units_metric();
    if (!is_able(m, form) || !(l->usual > 0.0) || m->plan->probe_count + l->part_count > m->room) {
        return;
    }
    pw_family *family = open_family(m, form, pump, signal);
    double last = 0.0;
    for (int32_t i = 0; i < l->part_count; i++) {
        const double level = round_to(l->usual * l->parts[i], l->step);
        if (!(level > 0.0) || (level >= last && level <= last)) {
            continue;
        }
        last = level;
        pw_text text;
        pw_text_init(&text, m->arena);
        pw_text_puts(&text, l->what, l->name, l->parts[i] > 1.0 ? " above " : " below ", (const char *)NULL);
        pw_quantity_put(&text, &units, l->dimension, level);
        const char *bare = advise_text(m, &text);
        pw_text_init(&text, m->arena);
        pw_text_puts(&text, l->before, bare, (const char *)NULL);
        const char *condition = advise_text(m, &text);
        if (!add_probe(m, family, condition)) {
            break;
        }
        for (int32_t w = 0; w < l->wait_count; w++) {
            add_wait(m, family, condition, bare, level, l->waits[w], l->ignore_s);
        }
    }
    close_family(m);
}

static void current_families(advise_planner *m, pw_watch_form form)
{
    const pw_plant *plant = m->plan->plant;
    const bool low = form == PW_WATCH_LOW_CURRENT;
    for (int32_t s = 0; s < plant->signal_count; s++) {
        int32_t pump = 0;
        while (pump < plant->site->pump_count && strcmp(plant->site->pumps[pump].name, plant->signals[s].name) != 0) {
            pump++;
        }
        if (plant->signals[s].kind != PW_SIGNAL_CURRENT || pump == plant->site->pump_count ||
            !advise_counts(m, plant->signals[s].name)) {
            continue;
        }
        const double usual = plant->site->pumps[pump].motor.full_load_a.v;
        const levels l = {.before = "",
                          .what = "current",
                          .name = "",
                          .dimension = PW_DIM_CURRENT,
                          .usual = usual,
                          .step = usual < 3.0 ? 0.05 : 0.1,
                          .parts = low ? low_parts : high_parts,
                          .part_count = low ? COUNT(low_parts) : COUNT(high_parts),
                          .waits = short_waits_s,
                          .wait_count = COUNT(short_waits_s),
                          .ignore_s = 5};
        level_family(m, form, pump, s, &l);
    }
}

static void pressure_family(advise_planner *m, pw_watch_form form)
{
    const pw_plant *plant = m->plan->plant;
    const bool low = form == PW_WATCH_LOW_PRESSURE;
    int32_t signal = -1;
    for (int32_t s = plant->signal_count - 1; s >= 0; s--) {
        signal = plant->signals[s].kind == PW_SIGNAL_PRESSURE && advise_counts(m, plant->signals[s].name) ? s : signal;
    }
    if (signal < 0) {
        return;
    }
    const double end_pa = low ? plant->cut_in_pa : plant->cut_out_pa;
    pw_text name;
    pw_text_init(&name, m->arena);
    pw_text_puts(&name, " at ", plant->signals[signal].name, (const char *)NULL);
    const levels l = {.before = low ? "running and " : "",
                      .what = "pressure",
                      .name = advise_text(m, &name),
                      .dimension = PW_DIM_PRESSURE,
                      .usual = end_pa > 0.0 ? end_pa : plant->reference_pa,
                      .step = 1e4,
                      .parts = low ? low_parts : high_parts,
                      .part_count = low ? COUNT(low_parts) : COUNT(high_parts),
                      .waits = low ? low_waits_s : short_waits_s,
                      .wait_count = low ? COUNT(low_waits_s) : COUNT(short_waits_s),
                      .ignore_s = 0};
    level_family(m, form, -1, signal, &l);
}

void advise_families(advise_planner *m)
{
    starts_family(m);
    night_family(m);
    row_family(m);
    run_families(m);
    flow_families(m);
    current_families(m, PW_WATCH_LOW_CURRENT);
    pressure_family(m, PW_WATCH_LOW_PRESSURE);
    pressure_family(m, PW_WATCH_HIGH_PRESSURE);
    current_families(m, PW_WATCH_HIGH_CURRENT);
}
