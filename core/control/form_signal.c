/* Conditions on what a sensor, a motor or the supply tells. */
#include "control/parts.h"

#include <stddef.h>

/* ---- reading ---- */

static bool read_measured(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    static const char *const below_above[] = {"below", "above", NULL};
    const pw_term_form *form = pw_form_of(term->kind);
    const char *const *words = form->above_only ? &below_above[1] : below_above;
    if (!pw_reader_signal(reader, sentence, term, words, at)) {
        return false;
    }
    if (pw_reader_take(reader, "above")) {
        term->above = true;
    } else if (form->above_only || !pw_reader_take(reader, "below")) {
        return pw_reader_fail_one_of(reader, words);
    }
    return pw_reader_quantity(reader, form, &term->threshold);
}

static bool read_state(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    const pw_term_form *form = pw_form_of(term->kind);
    const char *const words[] = {form->yes, form->no, NULL};
    if (!pw_reader_signal(reader, sentence, term, words, at)) {
        return false;
    }
    if (pw_reader_take(reader, words[0])) {
        term->above = true;
        return true;
    }
    if (pw_reader_take(reader, words[1])) {
        return true;
    }
    return pw_reader_fail_one_of(reader, words);
}

static bool read_flow(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at)
{
    if (!pw_reader_signal(reader, sentence, term, NULL, at)) {
        return false;
    }
    pw_reader_skip(reader);
    if (pw_reader_name(reader, reader->at, "above") > 0 || pw_reader_name(reader, reader->at, "below") > 0) {
        return pw_reader_fail(reader, PW_WORD, reader->at, NULL, pw_fact_of("typed.or-end", pw_named("for, and, or")),
                              pw_fact_of("typed.flow-from-switch"));
    }
    return true;
}

/* ---- printing ---- */

void pw_measured_put(const pw_settings *settings, const pw_term *term, const pw_units *units, pw_text *text)
{
    const pw_term_form *form = pw_form_of(term->kind);
    pw_text_put(text, form->words);
    pw_put_name(settings, term, text);
    pw_text_put(text, term->above ? " above " : " below ");
    if (units != NULL) {
        pw_quantity_put(text, units, form->dimension, term->threshold);
    } else {
        pw_quantity_exact(text, form->dimension, term->threshold);
    }
}

static void put_measured(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    pw_measured_put(settings, term, NULL, text);
}

static void put_yes_no(const pw_settings *settings, const pw_term *term, pw_text *text)
{
    const pw_term_form *form = pw_form_of(term->kind);
    pw_text_put(text, form->words_not == NULL || term->above ? form->words : form->words_not);
    if (term->kind == PW_TERM_PHASES) {
        return;
    }
    pw_put_name(settings, term, text);
    if (form->yes != NULL) {
        pw_text_puts(text, " ", term->above ? form->yes : form->no, (const char *)NULL);
    }
}

/* ---- as facts ---- */

/* Name of the signal where the sentence has to say it. */
static pw_value name_of(const pw_settings *settings, const pw_term *term)
{
    const pw_term_form *form = pw_form_of(term->kind);
    const bool said = form->own || form->bare || !pw_one_of_kind(settings, term->kind);
    return pw_named(term->signal >= 0 && said ? settings->signals[term->signal].name : "");
}

static pw_fact measured_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    const pw_term_form *form = pw_form_of(term->kind);
    (void)arena;
    return pw_fact_of(term->above ? form->told : form->told_not, name_of(settings, term),
                      pw_exactly(form->dimension, term->threshold));
}

static pw_fact yes_no_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    const pw_term_form *form = pw_form_of(term->kind);
    const char *id = term->above ? form->told : form->told_not;
    (void)arena;
    return form->before_name != NULL ? pw_fact_of(id, name_of(settings, term)) : pw_fact_of(id);
}

/* ---- the step ---- */

static inline bool measured_says(const pw_term *term, double value)
{
    return term->above ? value > term->threshold : value < term->threshold;
}

static inline bool yes_no_says(const pw_term *term, double value)
{
    return (value > 0.5) == term->above;
}

bool pw_reading_holds(const pw_term *term, double value)
{
    return pw_form_of(term->kind)->yes_no ? yes_no_says(term, value) : measured_says(term, value);
}

static bool measured_holds(const pw_form_moment *at, const pw_term *term)
{
    return measured_says(term, at->m->inputs[term->signal]);
}

static bool yes_no_holds(const pw_form_moment *at, const pw_term *term)
{
    return yes_no_says(term, at->m->inputs[term->signal]);
}

/* ---- the rows ---- */

/* It goes by the words of its form. */
static const pw_number_form threshold[] = {
    {"", "sentence.number-threshold", offsetof(pw_term, threshold), PW_NUMBER_THRESHOLD}, {NULL, NULL, 0, 0}};

#define MEASURED                                                                                             \
    .signal = true, .numbers = threshold, .read = read_measured, .put = put_measured, .fact = measured_fact, \
    .holds = measured_holds
#define YES_NO .signal = true, .yes_no = true, .put = put_yes_no, .fact = yes_no_fact, .holds = yes_no_holds

const pw_term_form pw_form_PRESSURE = {MEASURED,
                                       .told = "sentence.pressure-above",
                                       .told_not = "sentence.pressure-below",
                                       .words = "pressure",
                                       .noun = "typed.noun-pressure",
                                       .before_name = " at ",
                                       .dimension = PW_DIM_PRESSURE,
                                       .low = 0.0,
                                       .high = 4.0e6,
                                       .range = "typed.pressure-range",
                                       .starts_and_stops = true,
                                       .least_apart = 1000.0,
                                       .usual = {{.threshold = 250e3}, {.threshold = 400e3, .above = true}},
                                       .usual_count = 2,
                                       .started_by = PW_BY_PRESSURE,
                                       .opposite = PW_TERM_PRESSURE,
                                       .advise = pw_advice_pressure};

const pw_term_form pw_form_FLOW = {YES_NO,
                                   .told = "sentence.flow",
                                   .told_not = "sentence.no-flow",
                                   .words = "flow",
                                   .words_not = "no flow",
                                   .noun = "typed.noun-flow",
                                   .before_name = " at ",
                                   .tells_of_running = true,
                                   .opposite = PW_TERM_FLOW,
                                   .read = read_flow,
                                   .advise = pw_advice_flow};

const pw_term_form pw_form_LEVEL = {MEASURED,
                                    .told = "sentence.level-above",
                                    .told_not = "sentence.level-below",
                                    .words = "level",
                                    .noun = "typed.noun-level",
                                    .before_name = " of ",
                                    .dimension = PW_DIM_LENGTH,
                                    .low = -500.0,
                                    .high = 500.0,
                                    .range = "typed.level-range",
                                    .usual = {{.threshold = 1.0}, {.threshold = 2.0, .above = true}},
                                    .usual_count = 2,
                                    .starts_and_stops = true,
                                    .started_by = PW_BY_LEVEL,
                                    .opposite = PW_TERM_LEVEL,
                                    .advise = pw_advice_level};

const pw_term_form pw_form_PROBE = {YES_NO,
                                    .told = "sentence.probe-wet",
                                    .told_not = "sentence.probe-dry",
                                    .words = "probe",
                                    .noun = "typed.noun-probe",
                                    .before_name = " ",
                                    .bare = true,
                                    .yes = "wet",
                                    .no = "dry",
                                    .started_by = PW_BY_LEVEL,
                                    .opposite = PW_TERM_PROBE,
                                    .read = read_state,
                                    .advise = pw_advice_level};

const pw_term_form pw_form_CONTACT = {YES_NO,
                                      .told = "sentence.contact-closed",
                                      .told_not = "sentence.contact-open",
                                      .words = "contact",
                                      .noun = "typed.noun-contact",
                                      .before_name = " ",
                                      .bare = true,
                                      .yes = "closed",
                                      .no = "open",
                                      .started_by = PW_BY_CONTACT,
                                      .opposite = PW_TERM_CONTACT,
                                      .read = read_state,
                                      .advise = pw_advice_contact};

const pw_term_form pw_form_CURRENT = {MEASURED,
                                      .told = "sentence.current-above",
                                      .told_not = "sentence.current-below",
                                      .words = "current",
                                      .noun = "typed.noun-current",
                                      .before_name = " of ",
                                      .own = true,
                                      .dimension = PW_DIM_CURRENT,
                                      .low = 0.01,
                                      .high = 1000.0,
                                      .range = "typed.current-range",
                                      .usual = {{.threshold = 3.0}, {.threshold = 9.0, .above = true}},
                                      .usual_count = 2,
                                      .tells_of_running = true,
                                      .opposite = PW_TERM_CURRENT,
                                      .advise = pw_advice_current};

const pw_term_form pw_form_WINDING = {MEASURED,
                                      .told = "sentence.winding-above",
                                      .told_not = "sentence.winding-below",
                                      .words = "winding",
                                      .noun = "typed.noun-winding",
                                      .before_name = " of ",
                                      .own = true,
                                      .above_only = true,
                                      .dimension = PW_DIM_TEMPERATURE,
                                      .low = 0.0,
                                      .high = 300.0,
                                      .range = "typed.winding-range",
                                      .usual = {{.threshold = 120.0, .above = true}},
                                      .usual_count = 1,
                                      .opposite = PW_TERM_WINDING,
                                      .advise = pw_advice_winding};

const pw_term_form pw_form_SUPPLY = {MEASURED,
                                     .told = "sentence.supply-above",
                                     .told_not = "sentence.supply-below",
                                     .words = "supply",
                                     .noun = "typed.noun-supply",
                                     .before_name = " of ",
                                     .dimension = PW_DIM_VOLTAGE,
                                     .low = 1.0,
                                     .high = 1000.0,
                                     .range = "typed.supply-range",
                                     .usual = {{.threshold = 200.0}, {.threshold = 255.0, .above = true}},
                                     .usual_count = 2,
                                     .opposite = PW_TERM_SUPPLY,
                                     .advise = pw_advice_supply};

const pw_term_form pw_form_PHASES = {YES_NO,
                                     .told = "sentence.phases-complete",
                                     .told_not = "sentence.phase-missing",
                                     .words = "phases complete",
                                     .words_not = "phase missing",
                                     .noun = "typed.noun-phases",
                                     .opposite = PW_TERM_PHASES,
                                     .read = pw_reader_only_signal,
                                     .advise = pw_advice_phases};

const pw_term_form pw_form_DROP = {MEASURED,
                                   .told = "sentence.drop-above",
                                   .told_not = "sentence.drop-below",
                                   .words = "filter drop",
                                   .noun = "typed.noun-drop",
                                   .before_name = " of ",
                                   .dimension = PW_DIM_PRESSURE,
                                   .low = 100.0,
                                   .high = 2.0e6,
                                   .range = "typed.drop-range",
                                   .opposite = PW_TERM_DROP,
                                   .usual = {{.threshold = 60e3, .above = true}},
                                   .usual_count = 1,
                                   .advise = pw_advice_drop};
