/* A log as a paper. */
#include "paper/log_paper.h"

#include <string.h>

#include "base/num.h"
#include "paper/log_parts.h"
#include "paper/say.h"

static const double all_but_sure = 0.9, leak_told = 0.5;

/* Ends that would read alike are one figure. */
static pw_value span(pw_arena *arena, pw_dimension dimension, const pw_estimate *estimate)
{
    if (estimate->high - estimate->low <= 0.005 * pw_abs(estimate->high)) {
        return pw_quantity(dimension, estimate->best);
    }
    return pw_fact_inside(arena, pw_fact_of("diagnose.span", pw_quantity(dimension, estimate->low),
                                            pw_quantity(dimension, estimate->high)));
}

static pw_value numbers(pw_arena *arena, const pw_estimate *estimate)
{
    return pw_fact_inside(arena,
                          pw_fact_of("diagnose.span", pw_number(estimate->low, 2), pw_number(estimate->high, 2)));
}

pw_fact pw_log_hypothesis_fact(pw_arena *arena, const pw_log_hypothesis *h)
{
    if (h->more_use && h->has_severity) {
        return pw_fact_of("diagnose.more-use", numbers(arena, &h->severity));
    }
    if (h->more_use) {
        return pw_fact_of("log.more-use");
    }
    if (h->fault == PW_FAULT_NONE) {
        return pw_fact_of("diagnose.healthy");
    }
    if (!h->has_severity) {
        return pw_fact_of("diagnose.fault", pw_word(pw_fault_title(h->fault)));
    }
    return pw_fact_of("diagnose.fault-of", pw_word(pw_fault_title(h->fault)),
                      span(arena, pw_fault_dimension(h->fault), &h->severity),
                      pw_word(pw_fault_severity_words(h->fault)));
}

pw_fact pw_log_next_fact(const pw_log_next *next)
{
    if (next->measured) {
        switch (next->feature) {
        case PW_FOUND_CURRENT: return pw_fact_of("log.measure-current");
        case PW_FOUND_FLOW: return pw_fact_of("log.measure-flow");
        case PW_FOUND_WATER: return pw_fact_of("log.measure-level");
        default: return pw_fact_of("log.measure-pressure");
        }
    }
    const pw_reading *reading = &next->reading;
    if (pw_reading_is_gauge(reading->kind)) {
        return pw_fact_of(reading->kind == PW_READING_REST ? "diagnose.next-rest" : "diagnose.next-isolated",
                          pw_quantity(PW_DIM_PRESSURE, reading->from_pa), pw_quantity(PW_DIM_TIME, reading->over_s));
    }
    return pw_fact_of("log.next-quiet", pw_quantity(PW_DIM_TIME, reading->over_s));
}

/* ---- moments ---- */

static char *digits(char *at, int64_t value, int32_t count)
{
    for (int32_t i = count - 1; i >= 0; i--) {
        at[i] = (char)('0' + value % 10);
        value /= 10;
    }
    return at + count;
}

/* Gregorian date of a day since 1970-01-01, counted from March 1st of year 0: own derivation by cycles of 400, 100, 4
 * and 1 years. */
static void civil(int64_t day, int64_t *year, int64_t *month, int64_t *of_month)
{
    day += 719468;
    const int64_t cycle = (day >= 0 ? day : day - 146096) / 146097, in_cycle = day - cycle * 146097;
    const int64_t y = (in_cycle - in_cycle / 1460 + in_cycle / 36524 - in_cycle / 146096) / 365;
    const int64_t in_year = in_cycle - (365 * y + y / 4 - y / 100), m = (5 * in_year + 2) / 153;
    *of_month = in_year - (153 * m + 2) / 5 + 1;
    *month = m < 10 ? m + 3 : m - 9;
    *year = y + cycle * 400 + (*month <= 2 ? 1 : 0);
}

/* "2016-03-20 05:12"; of a log without dates the time since its begin. */
pw_value log_moment(const log_pen *p, double t_s)
{
    char text[20], *at = text;
    int64_t year, month, day;
    if (p->log->first_s < 1e8 || p->log->last_s > 7e9) {
        return pw_fact_inside(p->arena, pw_fact_of("log.after", pw_quantity(PW_DIM_TIME, t_s - p->log->first_s)));
    }
    const double days = pw_floor(t_s / 86400.0);
    const int64_t minutes = (int64_t)((t_s - 86400.0 * days) / 60.0);
    civil((int64_t)days, &year, &month, &day);
    at = digits(at, year, 4);
    *at++ = '-';
    at = digits(at, month, 2);
    *at++ = '-';
    at = digits(at, day, 2);
    *at++ = ' ';
    at = digits(at, minutes / 60, 2);
    *at++ = ':';
    at = digits(at, minutes % 60, 2);
    const char *kept = pw_strdup(p->arena, text, (size_t)(at - text));
    return pw_named(kept != NULL ? kept : "");
}

pw_value log_value(pw_log_feature feature, double value)
{
    const pw_log_feature_row *row = pw_log_feature_of(feature);
    return row->dimension == PW_DIM_NONE ? pw_number(value, 2) : pw_quantity(row->dimension, value);
}

/* ---- parts ---- */

static void put_lead(const log_pen *p)
{
    const pw_log_hypothesis *best = &p->verdict->hypotheses[0];
    const pw_value percent = pw_quantity(PW_DIM_FRACTION, best->probability);
    const pw_log_meter *meter = &p->log->meter;
    /* what nothing foretells has no most likely cause, only a nearest one */
    const char *id = !p->verdict->explained              ? "log.unexplained"
                     : best->probability >= all_but_sure ? "log.lead-sure"
                                                         : "log.lead";
    say_block(p->document, p->voice, PW_BLOCK_LEAD, PW_TONE_PLAIN,
              pw_fact_of(id, pw_fact_inside(p->arena, pw_log_hypothesis_fact(p->arena, best)), percent));
    for (int32_t i = meter->count - 1; i >= 0; i--) {
        const pw_log_standing *one = &meter->list[i];
        if (one->probability >= leak_told) {
            say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                      pw_fact_of("log.never-ends", pw_quantity(PW_DIM_FLOW, one->size_m3s), log_moment(p, one->begin_s),
                                 log_moment(p, one->end_s)));
            break;
        }
    }
    if (p->plant == NULL) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("log.alone"));
    }
}

static void put_bad(const log_pen *p)
{
    const pw_log_bad *bad = &p->log->bad;
    const struct {
        const char *id;
        int64_t count;
    } kinds[] = {{"log.bad-missing", bad->missing},     {"log.bad-back", bad->back},
                 {"log.bad-jumps", bad->jumps},         {"log.bad-resets", bad->resets},
                 {"log.bad-stuck", bad->stuck},         {"log.bad-range", bad->out_of_range},
                 {"log.bad-time-back", bad->time_back}, {"log.bad-time-same", bad->time_same}};
    pw_facts list;
    pw_facts_init(&list, p->arena);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (kinds[i].count > 0) {
            pw_tell(&list, kinds[i].id, pw_count(kinds[i].count));
        }
    }
    if (bad->gaps > 0) {
        pw_tell(&list, "log.bad-gaps", pw_count(bad->gaps), pw_quantity(PW_DIM_TIME, bad->gap_s));
    }
    if (list.count > 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                  pw_fact_of("log.bad", pw_list(&list, PW_JOIN_COMMA)));
    }
}

static void put_log(const log_pen *p)
{
    const pw_record *log = p->log;
    say_heading(p->document, p->voice, 2, "log.log-heading");
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
              pw_fact_of("log.rows", pw_count(log->rows), log_moment(p, log->first_s), log_moment(p, log->last_s),
                         pw_quantity(PW_DIM_TIME, log->step_s)));
    put_bad(p);
    if (p->verdict->from_block > 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_CAUTION,
                  pw_fact_of("log.another", log_moment(p, p->verdict->since_s), log_moment(p, p->verdict->until_s)));
    }
    log_put_plots(p);
}

/* What the log shows, beside what a healthy site would, where a sheet says so. */
static void put_features(const log_pen *p)
{
    static const char *const ids[] = {"log.feature", "log.seen"};
    const pw_log_features *found = &p->verdict->features;
    int32_t rows = 0, row = 0;
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        rows += found->known[f] ? 1 : 0;
    }
    if (rows == 0) {
        return;
    }
    say_heading(p->document, p->voice, 2, "log.found-heading");
    pw_grid *grid = say_grid(p->arena, p->document, p->voice, ids, 2, rows);
    for (int32_t f = 0; grid != NULL && f < PW_LOG_FEATURES; f++) {
        if (found->known[f]) {
            const pw_fact value = pw_fact_of("base.value", log_value((pw_log_feature)f, found->value[f]));
            pw_grid_set(grid, row, 0, pw_say_word(p->voice, pw_log_feature_of((pw_log_feature)f)->words),
                        PW_TONE_PLAIN);
            pw_grid_set(grid, row, 1, say_fact(p->arena, p->voice, value), PW_TONE_PLAIN);
            row++;
        }
    }
}

static void put_standing(const log_pen *p)
{
    static const char *const ids[] = {"log.from", "log.until", "log.size", "log.probability"};
    const pw_log_meter *meter = &p->log->meter;
    if (meter->count == 0) {
        return;
    }
    say_heading(p->document, p->voice, 2, "log.standing-heading");
    pw_grid *grid = say_grid(p->arena, p->document, p->voice, ids, 4, meter->count);
    for (int32_t i = 0; grid != NULL && i < meter->count; i++) {
        const pw_log_standing *one = &meter->list[i];
        const pw_estimate size = {one->low_m3s, one->size_m3s, one->high_m3s};
        const char *const cells[] = {
            say_fact(p->arena, p->voice, pw_fact_of("base.value", log_moment(p, one->begin_s))),
            say_fact(p->arena, p->voice,
                     one->ended ? pw_fact_of("base.value", log_moment(p, one->end_s)) : pw_fact_of("log.goes-on")),
            say_fact(p->arena, p->voice, pw_fact_of("base.value", span(p->arena, PW_DIM_FLOW, &size))),
            say_amount(p->arena, p->voice, PW_DIM_FRACTION, one->probability)};
        for (int32_t k = 0; k < 4; k++) {
            pw_grid_set(grid, i, k, cells[k], PW_TONE_PLAIN);
        }
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("log.standing-how"));
}

static int32_t told_count(const pw_log_verdict *v)
{
    int32_t count = 0;
    while (count < v->count && v->hypotheses[count].probability >= PW_LOG_WORTH_TELLING) {
        count++;
    }
    return count;
}

static void put_evidence(const log_pen *p, const pw_log_hypothesis *h)
{
    const char *lines[PW_LOG_EVIDENCE];
    int32_t count = 0;
    for (int32_t i = 0; i < h->evidence_count; i++) {
        const pw_log_evidence *e = &h->evidence[i];
        const pw_value name = pw_word(pw_log_feature_of(e->feature)->words);
        const pw_value seen = log_value(e->feature, e->seen), other = log_value(e->feature, e->healthy);
        const char *const id = p->plant == NULL                            ? "log.evidence-change"
                               : h->fault == PW_FAULT_NONE && !h->more_use ? "log.evidence-healthy"
                                                                           : "log.evidence";
        lines[count++] =
            say_fact(p->arena, p->voice,
                     p->plant == NULL ? pw_fact_of(id, name, seen, other)
                                      : pw_fact_of(id, name, seen, log_value(e->feature, e->foretold), other));
    }
    if (count > 0) {
        say_heading(p->document, p->voice, 3, "log.evidence-heading");
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
    }
}

static void put_rivals(const log_pen *p)
{
    static const char *const ids[] = {"diagnose.what", "diagnose.probability"};
    const pw_log_verdict *v = p->verdict;
    const int32_t count = told_count(v);
    say_heading(p->document, p->voice, 2, "diagnose.rivals-heading");
    pw_grid *grid = say_grid(p->arena, p->document, p->voice, ids, 2, count);
    for (int32_t i = 0; grid != NULL && i < count; i++) {
        const pw_log_hypothesis *h = &v->hypotheses[i];
        pw_grid_set(grid, i, 0, say_fact(p->arena, p->voice, pw_log_hypothesis_fact(p->arena, h)), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, say_amount(p->arena, p->voice, PW_DIM_FRACTION, h->probability), PW_TONE_PLAIN);
    }
    put_evidence(p, &v->hypotheses[0]);
    pw_facts twins;
    pw_facts_init(&twins, p->arena);
    for (int32_t i = 1; i < v->count; i++) {
        if (v->hypotheses[i].twin) {
            pw_facts_add(&twins, pw_log_hypothesis_fact(p->arena, &v->hypotheses[i]));
        }
    }
    if (twins.count > 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_CAUTION,
                  pw_fact_of("log.twins", pw_list(&twins, PW_JOIN_AND)));
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
              pw_fact_of(p->plant != NULL ? "log.how" : "log.how-alone"));
}

/* What the log cannot tell for want of a signal. */
static void put_blind(const log_pen *p)
{
    const bool *has = p->log->has;
    pw_facts list;
    pw_facts_init(&list, p->arena);
    if (!has[PW_LOG_PRESSURE]) {
        pw_tell(&list, "log.blind-pressure");
    }
    if (!has[PW_LOG_FLOW] && !has[PW_LOG_VOLUME]) {
        pw_tell(&list, "log.blind-flow");
    }
    if (!has[PW_LOG_CURRENT] && !has[PW_LOG_POWER]) {
        pw_tell(&list, "log.blind-current");
    }
    if (!has[PW_LOG_LEVEL]) {
        pw_tell(&list, "log.blind-level");
    }
    if (list.count > 0) {
        say_heading(p->document, p->voice, 2, "log.blind-heading");
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                  pw_fact_of("log.blind", pw_list(&list, PW_JOIN_SPACE)));
    }
}

static void put_outcomes(const log_pen *p, const pw_log_next *next)
{
    const char *lines[PW_LOG_HYPOTHESES];
    int32_t count = 0;
    for (int32_t i = 0; i < told_count(p->verdict); i++) {
        if (!next->known[i]) {
            continue;
        }
        const pw_value means = pw_fact_inside(p->arena, pw_log_hypothesis_fact(p->arena, &p->verdict->hypotheses[i]));
        const pw_estimate *o = &next->outcome[i];
        const pw_dimension dimension = pw_log_feature_of(next->feature)->dimension;
        lines[count++] = say_fact(p->arena, p->voice,
                                  next->measured ? pw_fact_of("log.reads", means, span(p->arena, dimension, o))
                                  : pw_reading_is_gauge(next->reading.kind)
                                      ? pw_fact_of("diagnose.falls-by", means, span(p->arena, PW_DIM_PRESSURE, o))
                                      : pw_fact_of("diagnose.starts-so", means, numbers(p->arena, o)));
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

static void put_next(const log_pen *p)
{
    if (p->plant == NULL) {
        say_heading(p->document, p->voice, 2, "diagnose.next-heading");
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("log.next-alone"));
        return;
    }
    say_heading(p->document, p->voice, 2, "diagnose.next-heading");
    if (p->verdict->next_count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("diagnose.no-next"));
    }
    for (int32_t n = 0; n < p->verdict->next_count; n++) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_log_next_fact(&p->verdict->next[n]));
        put_outcomes(p, &p->verdict->next[n]);
    }
}

pw_status pw_paper_log(pw_arena *arena, const pw_plant *plant, const pw_record *log, const pw_log_verdict *verdict,
                       const pw_voice *voice, pw_document **out)
{
    const bool invented = plant != NULL && plant->site->invented;
    pw_document *document = say_new_paper(
        arena, voice, "log.title", plant != NULL ? plant->site->name : pw_say_word(voice, "log.no-sheet"), invented);
    *out = document;
    if (document == NULL) {
        return PW_MEMORY;
    }
    const log_pen p = {arena, plant, log, verdict, voice, document};
    put_lead(&p);
    put_rivals(&p);
    put_next(&p);
    put_blind(&p);
    put_log(&p);
    put_features(&p);
    put_standing(&p);
    say_cautions(document, voice);
    if (document->failed) {
        *out = NULL;
    }
    return document->failed ? PW_MEMORY : PW_OK;
}
