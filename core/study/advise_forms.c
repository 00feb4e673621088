/* The plan of advice: which sentences may be chosen, and the settings under which the simulations are done: every watch
 * as a warning, so that it acts on nothing, and a warning for each level that is looked at (a probe).
 *
 * The numbers are those that people type: own choice, dense enough that neighbours are at most a third apart.
 */
#include <string.h>

#include "base/num.h"
#include "study/advise_inside.h"
#include "study/proposal.h"

const uint32_t advise_nights[ADVISE_NIGHTS][2] = {
    {1 * 3600, 4 * 3600}, {0, 5 * 3600}, {23 * 3600, 5 * 3600}}; /* hours in which most homes draw least */
const double advise_slacks[PW_SLACKS] = {1.0, 1.25, 1.5, 2.0, 3.0};

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

static const char *const ids[PW_WATCH_FORMS] = {
    [PW_WATCH_STARTS] = "starts",
    [PW_WATCH_STARTS_NIGHT] = "starts at night",
    [PW_WATCH_STARTS_ROW] = "starts in a row",
    [PW_WATCH_RUN] = "running",
    [PW_WATCH_RUN_NIGHT] = "running at night",
    [PW_WATCH_NO_FLOW] = "no flow",
    [PW_WATCH_LOW_CURRENT] = "current below",
    [PW_WATCH_LOW_PRESSURE] = "pressure below",
    [PW_WATCH_HIGH_PRESSURE] = "pressure above",
    [PW_WATCH_HIGH_CURRENT] = "current above",
};

const char *pw_watch_form_id(pw_watch_form form)
{
    return ids[form];
}

void pw_advise_defaults(pw_advise_options *out)
{
    memset(out, 0, sizeof *out);
    pw_proof_defaults(&out->proof);
    out->proof.margins = false;
    out->proof.sweep_count = 24;
    out->proof.horizon_s = 3.0 * 86400.0;
    out->unseen_s = 14.0 * 86400.0;
    out->at_most = 1;
    out->at_most_s = 2.0 * PW_HEALTHY_YEAR_S;
    out->water_per_m3 = 2.0;
    out->call_out = 200.0;
    out->pump = 1500.0;
    out->sentence = 1.0;
    out->fault_years = 10.0;
    out->uncertain = true;
    out->able = (1u << PW_WATCH_FORMS) - 1u;
}

/* One plan being made. */
typedef struct maker {
    pw_arena *arena;
    pw_advise_plan *plan;
    const char *probes[PW_MAX_PROBES];
    int32_t room; /* for probes */
    bool failed;
} maker;

static const char *done(maker *m, const pw_text *text)
{
    m->failed = m->failed || text->failed;
    return text->failed ? "" : text->data;
}

/* "bore pump: " where there are several and it is for one. */
static void begin(const maker *m, const pw_family *family, pw_text *text, const char *words)
{
    pw_text_init(text, m->arena);
    if (family->pump >= 0 && m->plan->plant->site->pump_count > 1) {
        pw_text_puts(text, m->plan->plant->site->pumps[family->pump].name, ": ", (const char *)NULL);
    }
    pw_text_put(text, words);
}

static pw_limit *add(maker *m)
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

static bool is_able(const maker *m, pw_watch_form form)
{
    return (m->plan->options.able >> form & 1u) != 0 && m->plan->family_count < PW_MAX_FAMILIES;
}

static bool counts(const maker *m, const char *name)
{
    for (int32_t i = 0; i < m->plan->options.no_sensor_count; i++) {
        if (strcmp(m->plan->options.no_sensor[i], name) == 0) {
            return false;
        }
    }
    return true;
}

static pw_family *open_family(maker *m, pw_watch_form form, int32_t pump, int32_t signal)
{
    pw_family *family = &m->plan->families[m->plan->family_count];
    *family = (pw_family){.form = form,
                          .pump = pump,
                          .signal = signal,
                          .first = m->plan->limit_count,
                          .first_probe = m->plan->probe_count};
    return family;
}

static void close_family(maker *m)
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

static void add_starts(maker *m, const pw_family *family, int16_t count, uint32_t window_min, int32_t night)
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
    limit->sentence = done(m, &text);
}

static void starts_family(maker *m)
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

static void night_family(maker *m)
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

static void add_row(maker *m, const pw_family *family, int16_t count, uint32_t window_min, int16_t row)
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
    limit->sentence = done(m, &text);
}

static void row_family(maker *m)
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

static void add_run(maker *m, const pw_family *family, uint32_t run_min, int32_t night)
{
    pw_text text;
    pw_limit *limit = add(m);
    begin(m, family, &text, "lock out when running for ");
    pw_text_span(&text, run_min * 60000u);
    put_night(&text, night);
    limit->time_ms = run_min * 60000u;
    limit->night = (int16_t)night;
    limit->sentence = done(m, &text);
}

static void run_families(maker *m)
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
static bool is_ignored(const maker *m, pw_term_kind kind, int32_t signal)
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
static bool add_probe(maker *m, pw_family *family, const char *condition)
{
    pw_text text;
    if (m->plan->probe_count >= m->room) {
        return false;
    }
    begin(m, family, &text, "warn when ");
    pw_text_put(&text, condition);
    m->probes[m->plan->probe_count] = done(m, &text);
    m->plan->probe_count++;
    family->probe_count++;
    return true;
}

/* "lock out when CONDITION for TIME", with an "ignore" where one is wanted. */
static void add_wait(maker *m, const pw_family *family, const char *condition, const char *ignored, double level,
                     uint32_t wait_s, uint32_t ignore_s)
{
    pw_text text;
    pw_limit *limit = add(m);
    begin(m, family, &text, "lock out when ");
    pw_text_puts(&text, condition, " for ", (const char *)NULL);
    pw_text_span(&text, wait_s * 1000u);
    limit->sentence = done(m, &text);
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
        limit->ignore = done(m, &ignore);
    }
}

/* The pump of a flow switch: its own, else every pump. */
static void flow_families(maker *m)
{
    const pw_plant *plant = m->plan->plant;
    for (int32_t s = 0; s < plant->site->sensor_count; s++) {
        const pw_sensor *sensor = &plant->site->sensors[s];
        if (sensor->kind != PW_SENSOR_FLOW || !counts(m, sensor->name) || !is_able(m, PW_WATCH_NO_FLOW)) {
            continue;
        }
        pw_text text;
        pw_family *family = open_family(m, PW_WATCH_NO_FLOW, sensor->pump, s);
        pw_text_init(&text, m->arena);
        pw_text_puts(&text, "no flow at ", sensor->name, (const char *)NULL);
        const char *condition = done(m, &text);
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

static void level_family(maker *m, pw_watch_form form, int32_t pump, int32_t signal, const levels *l)
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
        const char *bare = done(m, &text);
        pw_text_init(&text, m->arena);
        pw_text_puts(&text, l->before, bare, (const char *)NULL);
        const char *condition = done(m, &text);
        if (!add_probe(m, family, condition)) {
            break;
        }
        for (int32_t w = 0; w < l->wait_count; w++) {
            add_wait(m, family, condition, bare, level, l->waits[w], l->ignore_s);
        }
    }
    close_family(m);
}

static void current_families(maker *m, pw_watch_form form)
{
    const pw_plant *plant = m->plan->plant;
    const bool low = form == PW_WATCH_LOW_CURRENT;
    for (int32_t s = 0; s < plant->signal_count; s++) {
        int32_t pump = 0;
        while (pump < plant->site->pump_count && strcmp(plant->site->pumps[pump].name, plant->signals[s].name) != 0) {
            pump++;
        }
        if (plant->signals[s].kind != PW_SIGNAL_CURRENT || pump == plant->site->pump_count ||
            !counts(m, plant->signals[s].name)) {
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

static void pressure_family(maker *m, pw_watch_form form)
{
    const pw_plant *plant = m->plan->plant;
    const bool low = form == PW_WATCH_LOW_PRESSURE;
    int32_t signal = -1;
    for (int32_t s = plant->signal_count - 1; s >= 0; s--) {
        signal = plant->signals[s].kind == PW_SIGNAL_PRESSURE && counts(m, plant->signals[s].name) ? s : signal;
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
                      .name = done(m, &name),
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

/* ---- the settings as they are ---- */

/* A limit for one pump takes the place of no sentence that is for another one, too; pump -1: every pump. */
static bool only_for(const pw_plant *plant, int32_t sentence, int32_t pump)
{
    bool only = true;
    for (int32_t p = 0; p < plant->site->pump_count && pump >= 0; p++) {
        only = only && pw_settings_is_for(plant->settings, sentence, p) == (p == pump);
    }
    return only;
}

/* The family whose limit this watch is; -1: none, it stays as it is. */
static int16_t family_of(const pw_advise_plan *plan, int32_t sentence)
{
    pw_look one, two;
    const pw_settings *settings = plan->plant->settings;
    if (pw_settings_kind(settings, sentence) != PW_SENTENCE_LOCK || !pw_settings_look(settings, sentence, 0, &one)) {
        return -1;
    }
    const bool more = pw_settings_look(settings, sentence, 1, &two),
               third = pw_settings_look(settings, sentence, 2, &two);
    (void)pw_settings_look(settings, sentence, 1, &two);
    const bool night = more && two.kind == PW_TERM_CLOCK;
    const bool runs = more && (one.kind == PW_TERM_RUNNING || two.kind == PW_TERM_RUNNING);
    if (third || one.at_rest || (more && (!pw_settings_needs_all(settings, sentence) || !(night || runs)))) {
        return -1;
    }
    const pw_look *look = runs && one.kind == PW_TERM_RUNNING && !night ? &two : &one;
    /* what is added up within a window ("for 5 h in 24 h") sees what no single stretch shows: another form */
    const bool at_a_stretch = look->time_s > 0.0;
    int32_t starts_reach = 0;
    double window_s = 0.0, running_s = 0.0;
    const bool one_window =
        pw_settings_limit(settings, sentence, &starts_reach, &window_s, &running_s) && starts_reach > 0;
    for (int16_t f = 0; f < plan->family_count; f++) {
        const pw_family *family = &plan->families[f];
        bool is = false;
        if (!only_for(plan->plant, sentence, family->pump)) {
            continue;
        }
        switch (family->form) {
        case PW_WATCH_STARTS: is = look->kind == PW_TERM_STARTS && !more && one_window; break;
        case PW_WATCH_STARTS_NIGHT: is = look->kind == PW_TERM_STARTS && night && one_window; break;
        case PW_WATCH_STARTS_ROW: is = look->kind == PW_TERM_STARTS && !more && !one_window; break;
        case PW_WATCH_RUN: is = look->kind == PW_TERM_RUNNING && !more && at_a_stretch; break;
        case PW_WATCH_RUN_NIGHT: is = look->kind == PW_TERM_RUNNING && night && at_a_stretch; break;
        case PW_WATCH_NO_FLOW:
            is = look->kind == PW_TERM_FLOW && !look->above && look->signal == family->signal && at_a_stretch;
            break;
        case PW_WATCH_LOW_CURRENT: is = look->kind == PW_TERM_CURRENT && !look->above; break;
        case PW_WATCH_HIGH_CURRENT: is = look->kind == PW_TERM_CURRENT && look->above; break;
        case PW_WATCH_LOW_PRESSURE:
            is = look->kind == PW_TERM_PRESSURE && !look->above && look->signal == family->signal && runs;
            break;
        case PW_WATCH_HIGH_PRESSURE:
            is = look->kind == PW_TERM_PRESSURE && look->above && look->signal == family->signal && !more;
            break;
        case PW_WATCH_FORMS: break;
        }
        if (is) {
            return f;
        }
    }
    return -1;
}

static bool is_kept(const pw_advise_plan *plan, const char *words)
{
    for (int32_t i = 0; i < plan->options.keep_count; i++) {
        if (strncmp(words, plan->options.keep[i], strlen(plan->options.keep[i])) == 0) {
            return true;
        }
    }
    return false;
}

/* It looks at a sensor that is not to count. */
static bool is_dropped(const maker *m, int32_t sentence)
{
    pw_look look;
    const pw_plant *plant = m->plan->plant;
    for (int32_t k = 0;
         pw_settings_is_watch(plant->settings, sentence) && pw_settings_look(plant->settings, sentence, k, &look);
         k++) {
        if (look.signal >= 0 && !counts(m, plant->signals[look.signal].name)) {
            return true;
        }
        for (int32_t p = 0; look.kind == PW_TERM_CURRENT && p < plant->site->pump_count; p++) {
            if (!counts(m, plant->site->pumps[p].name)) {
                return true;
            }
        }
    }
    return false;
}

/* A watch as the warning that it would be: acts on nothing. */
static const char *as_warning(maker *m, const char *words)
{
    const char *at = strstr(words, "lock out when ");
    pw_text text;
    if (at == NULL) {
        return words;
    }
    pw_text_init(&text, m->arena);
    pw_text_put_n(&text, words, (size_t)(at - words));
    pw_text_puts(&text, "warn when ", at + strlen("lock out when "), (const char *)NULL);
    return done(m, &text);
}

static void look_at_present(maker *m)
{
    pw_advise_plan *plan = m->plan;
    for (int32_t i = 0; i < pw_settings_count(plan->plant->settings); i++) {
        pw_text text;
        pw_text_init(&text, m->arena);
        pw_settings_put(plan->plant->settings, i, &text);
        plan->dropped[i] = is_dropped(m, i);
        plan->family_of[i] = is_kept(plan, done(m, &text)) || plan->dropped[i] ? -1 : family_of(plan, i);
        plan->keeps_starts = plan->keeps_starts || pw_settings_kind(plan->plant->settings, i) == PW_SENTENCE_KEEP_LOCKS;
    }
}

/* Under what the simulations are done. */
static pw_status build_trial(maker *m, pw_problems *problems)
{
    pw_advise_plan *plan = m->plan;
    const pw_settings *settings = plan->plant->settings;
    pw_proposal *list = PW_NEW(m->arena, 1, pw_proposal);
    pw_plant *trial = NULL;
    if (list == NULL) {
        return PW_MEMORY;
    }
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        const bool watch = pw_settings_is_watch(settings, i);
        const pw_sentence_kind kind = pw_settings_kind(settings, i);
        plan->trial_of[i] = -1;
        if (kind == PW_SENTENCE_RETRY || kind == PW_SENTENCE_KEEP_LOCKS) {
            continue; /* nothing is locked out */
        }
        pw_text text;
        pw_text_init(&text, m->arena);
        pw_settings_put(settings, i, &text);
        plan->trial_of[i] = (int16_t)(watch ? list->count : -1);
        list->sentences[list->count] = watch ? as_warning(m, done(m, &text)) : done(m, &text);
        list->count++;
    }
    plan->first_probe = list->count;
    for (int32_t i = 0; i < plan->probe_count; i++) {
        list->sentences[list->count] = m->probes[i];
        list->count++;
    }
    list->sentences[list->count] = "warn when running"; /* the last probe */
    list->count++;
    const pw_status status = pw_proposal_plant(m->arena, plan->plant, list, &trial, problems);
    plan->trial = trial;
    return status;
}

pw_status pw_advise_plan_of(pw_arena *arena, const pw_plant *plant, const pw_advise_options *options,
                            pw_advise_plan **out, pw_problems *problems)
{
    pw_jobs *jobs = NULL;
    pw_advise_plan *plan = PW_NEW(arena, 1, pw_advise_plan);
    maker *m = PW_NEW(arena, 1, maker);
    *out = plan;
    if (plan == NULL || m == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    plan->plant = plant;
    plan->options = *options;
    plan->limits = PW_NEW(arena, PW_MAX_LIMITS, pw_limit);
    const int32_t room = PW_MAX_SENTENCES - 1 - pw_settings_count(plant->settings);
    *m = (maker){.arena = arena, .plan = plan, .room = room < PW_MAX_PROBES ? room : PW_MAX_PROBES};
    if (plan->limits == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    pw_status status = pw_proof_plan(arena, plant, &options->proof, &jobs, problems);
    if (status != PW_OK) {
        return status;
    }
    plan->jobs = jobs;
    const pw_demand_basis basis = pw_demand_basis_of(plant->site);
    if (pw_demand_seen_briefly(&basis)) { /* it shows neither how long a hose may run nor how busy a day can be */
        plan->options.able &= ~(1u << PW_WATCH_STARTS | 1u << PW_WATCH_STARTS_NIGHT | 1u << PW_WATCH_STARTS_ROW |
                                1u << PW_WATCH_RUN | 1u << PW_WATCH_RUN_NIGHT);
    }
    starts_family(m);
    night_family(m);
    row_family(m);
    run_families(m);
    flow_families(m);
    current_families(m, PW_WATCH_LOW_CURRENT);
    pressure_family(m, PW_WATCH_LOW_PRESSURE);
    pressure_family(m, PW_WATCH_HIGH_PRESSURE);
    current_families(m, PW_WATCH_HIGH_CURRENT);
    look_at_present(m);
    status = m->failed ? PW_MEMORY : build_trial(m, problems);
    return status == PW_OK && !m->failed ? PW_OK : pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
}
