/* The diagnosis as a paper: what was read, what it speaks for, what to read next. */
#include "paper/diagnose_paper.h"

#include "base/num.h"
#include "paper/say.h"

/* Rivals that are worth naming (own choice). */
static const double worth_telling = 0.02;
static const double all_but_sure = 0.9;

static pw_value span(pw_arena *arena, pw_dimension dimension, const pw_estimate *estimate)
{
    return pw_fact_inside(arena, pw_fact_of("diagnose.span", pw_quantity(dimension, estimate->low),
                                            pw_quantity(dimension, estimate->high)));
}

static pw_value counts(pw_arena *arena, const pw_estimate *estimate)
{
    return pw_fact_inside(arena, pw_fact_of("diagnose.span", pw_count((int64_t)pw_floor(estimate->low + 0.5)),
                                            pw_count((int64_t)pw_floor(estimate->high + 0.5))));
}

pw_fact pw_hypothesis_fact(pw_arena *arena, const pw_hypothesis *hypothesis)
{
    if (hypothesis->more_use) {
        return pw_fact_of("diagnose.more-use",
                          pw_fact_inside(arena, pw_fact_of("diagnose.span", pw_number(hypothesis->severity.low, 2),
                                                           pw_number(hypothesis->severity.high, 2))));
    }
    if (hypothesis->fault == PW_FAULT_NONE) {
        return pw_fact_of("diagnose.healthy");
    }
    if (!hypothesis->has_severity) {
        return pw_fact_of("diagnose.fault", pw_word(pw_fault_title(hypothesis->fault)));
    }
    return pw_fact_of("diagnose.fault-of", pw_word(pw_fault_title(hypothesis->fault)),
                      span(arena, pw_fault_dimension(hypothesis->fault), &hypothesis->severity),
                      pw_word(pw_fault_severity_words(hypothesis->fault)));
}

static pw_value pump_name(const pw_plant *plant, const pw_reading *reading)
{
    return pw_named(plant->site->pumps[reading->pump].name);
}

pw_fact pw_next_reading_fact(pw_arena *arena, const pw_plant *plant, const pw_next_reading *next)
{
    const pw_reading *reading = &next->reading;
    (void)arena;
    if (pw_reading_is_gauge(reading->kind)) {
        return pw_fact_of(reading->kind == PW_READING_REST ? "diagnose.next-rest" : "diagnose.next-isolated",
                          pw_quantity(PW_DIM_PRESSURE, reading->from_pa), pw_quantity(PW_DIM_TIME, reading->over_s));
    }
    return pw_fact_of("diagnose.next-quiet", pw_quantity(PW_DIM_TIME, reading->over_s), pump_name(plant, reading));
}

static pw_fact reading_fact(const pw_plant *plant, const pw_reading *reading)
{
    if (pw_reading_is_gauge(reading->kind)) {
        return pw_fact_of(reading->kind == PW_READING_REST ? "diagnose.read-rest" : "diagnose.read-isolated",
                          pw_quantity(PW_DIM_PRESSURE, reading->from_pa), pw_quantity(PW_DIM_PRESSURE, reading->to_pa),
                          pw_quantity(PW_DIM_TIME, reading->over_s));
    }
    return pw_fact_of(reading->kind == PW_READING_QUIET ? "diagnose.read-quiet" : "diagnose.read-counters",
                      pump_name(plant, reading), pw_count(reading->starts), pw_quantity(PW_DIM_TIME, reading->ran_s),
                      pw_quantity(PW_DIM_TIME, reading->over_s));
}

/* What a healthy site would have shown beside what was read. */
static pw_fact healthy_fact(pw_arena *arena, const pw_diagnosis *found, int32_t reading)
{
    for (int32_t i = 0; i < found->hypothesis_count; i++) {
        const pw_hypothesis *h = &found->hypotheses[i];
        if (h->fault != PW_FAULT_NONE || h->more_use) {
            continue;
        }
        if (pw_reading_is_gauge(found->readings[reading].kind)) {
            return pw_fact_of("diagnose.healthy-rest", span(arena, PW_DIM_PRESSURE, &h->foretold[reading].first));
        }
        return pw_fact_of("diagnose.healthy-counters", counts(arena, &h->foretold[reading].first),
                          span(arena, PW_DIM_TIME, &h->foretold[reading].second));
    }
    return pw_no_fact();
}

typedef struct pen {
    pw_arena *arena;
    const pw_plant *plant;
    const pw_diagnosis *found;
    const pw_voice *voice;
    pw_document *document;
} pen;

static void put_lead(const pen *p)
{
    const pw_hypothesis *best = &p->found->hypotheses[0];
    const pw_value percent = pw_quantity(PW_DIM_FRACTION, best->probability);
    const char *id = best->probability >= all_but_sure ? "diagnose.lead-sure" : "diagnose.lead";
    say_block(p->document, p->voice, PW_BLOCK_LEAD, PW_TONE_PLAIN,
              pw_fact_of(id, pw_fact_inside(p->arena, pw_hypothesis_fact(p->arena, best)), percent));
    if (!p->found->explained) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("diagnose.unexplained"));
    }
}

static void put_readings(const pen *p)
{
    const char *lines[2 * PW_MAX_READINGS];
    int32_t count = 0;
    say_heading(p->document, p->voice, 2, "diagnose.readings-heading");
    for (int32_t r = 0; r < p->found->reading_count; r++) {
        lines[count++] = say_fact(p->arena, p->voice, reading_fact(p->plant, &p->found->readings[r]));
        lines[count++] = say_fact(p->arena, p->voice, healthy_fact(p->arena, p->found, r));
    }
    pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
}

static void put_balance(const pen *p)
{
    for (int32_t r = 0; r < p->found->reading_count; r++) {
        const pw_quiet_balance *quiet = &p->found->quiet[r];
        if (!quiet->known) {
            continue;
        }
        const bool small = quiet->drawdown_m3.high<quiet->sheet_m3, large = quiet->drawdown_m3.low> quiet->sheet_m3;
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                  pw_fact_of("diagnose.balance", span(p->arena, PW_DIM_FLOW, &quiet->leak_m3s),
                             span(p->arena, PW_DIM_VOLUME, &quiet->drawdown_m3),
                             pw_quantity(PW_DIM_FLOW, quiet->pumped_m3s)));
        if (quiet->sheet_m3 > 0.0) {
            say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                      pw_fact_of(small   ? "diagnose.balance-small"
                                 : large ? "diagnose.balance-large"
                                         : "diagnose.balance-agrees",
                                 pw_quantity(PW_DIM_VOLUME, quiet->sheet_m3)));
        }
    }
}

static int32_t told_count(const pw_diagnosis *found)
{
    int32_t count = 0;
    while (count < found->hypothesis_count && found->hypotheses[count].probability >= worth_telling) {
        count++;
    }
    return count;
}

static void put_rivals(const pen *p)
{
    enum { COLUMNS = 2 };
    const pw_column columns[COLUMNS] = {{pw_say_word(p->voice, "diagnose.what"), "", false},
                                        {pw_say_word(p->voice, "diagnose.probability"), "", true}};
    pw_column *kept = PW_NEW(p->arena, COLUMNS, pw_column);
    const int32_t count = told_count(p->found);
    say_heading(p->document, p->voice, 2, "diagnose.rivals-heading");
    pw_grid *grid = NULL;
    if (kept != NULL) {
        for (int32_t i = 0; i < COLUMNS; i++) {
            kept[i] = columns[i];
        }
        grid = pw_document_grid(p->document, "", kept, COLUMNS, count);
    }
    if (grid == NULL) {
        p->document->failed = true;
        return;
    }
    for (int32_t i = 0; i < count; i++) {
        const pw_hypothesis *h = &p->found->hypotheses[i];
        pw_grid_set(grid, i, 0, say_fact(p->arena, p->voice, pw_hypothesis_fact(p->arena, h)), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, say_amount(p->arena, p->voice, PW_DIM_FRACTION, h->probability), PW_TONE_PLAIN);
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("diagnose.how"));
}

static void put_next(const pen *p)
{
    const pw_diagnosis *found = p->found;
    say_heading(p->document, p->voice, 2, "diagnose.next-heading");
    if (found->next_count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("diagnose.no-next"));
        return;
    }
    for (int32_t n = 0; n < found->next_count; n++) {
        const pw_next_reading *next = &found->next[n];
        const char *lines[PW_MAX_HYPOTHESES];
        int32_t count = 0;
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_next_reading_fact(p->arena, p->plant, next));
        for (int32_t i = 0; i < told_count(found); i++) {
            const pw_value means = pw_fact_inside(p->arena, pw_hypothesis_fact(p->arena, &found->hypotheses[i]));
            lines[count++] = say_fact(
                p->arena, p->voice,
                pw_reading_is_gauge(next->reading.kind)
                    ? pw_fact_of("diagnose.falls-by", means, span(p->arena, PW_DIM_PRESSURE, &next->outcome[i]))
                    : pw_fact_of("diagnose.starts-so", means, counts(p->arena, &next->outcome[i])));
        }
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
    }
}

pw_status pw_paper_diagnosis(pw_arena *arena, const pw_plant *plant, const pw_diagnosis *found, const pw_voice *voice,
                             pw_document **out)
{
    const pw_site *site = plant->site;
    pw_document *document = say_new_paper(arena, voice, "diagnose.title", site->name, site->invented);
    *out = document;
    if (document == NULL) {
        return PW_MEMORY;
    }
    const pen p = {.arena = arena, .plant = plant, .found = found, .voice = voice, .document = document};
    put_lead(&p);
    put_readings(&p);
    put_balance(&p);
    put_rivals(&p);
    put_next(&p);
    say_cautions(document, voice);
    if (document->failed) {
        *out = NULL;
    }
    return document->failed ? PW_MEMORY : PW_OK;
}
