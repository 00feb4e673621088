/* The worst that settings allow, as facts. */
#include "control/parts.h"
#include "control/worst.h"

static pw_value ms_value(int64_t ms)
{
    return pw_quantity(PW_DIM_TIME, (double)ms / 1000.0);
}

static pw_fact length_fact(const pw_worst_answer *answer, pw_value of)
{
    if (answer->end == PW_WORST_BOUND && answer->value == 0) {
        return pw_fact_of("worst.never", of);
    }
    switch (answer->end) {
    case PW_WORST_BOUND: return pw_fact_of("worst.most", of, ms_value(answer->value), pw_truth(answer->reached));
    case PW_WORST_UNLIMITED: return pw_fact_of("worst.endless", of, pw_truth(answer->reached));
    default: return pw_fact_of("worst.unknown", of);
    }
}

pw_fact pw_worst_starts_fact(const pw_worst *worst)
{
    const pw_worst_answer *answer = &worst->starts;
    switch (answer->end) {
    case PW_WORST_BOUND:
        return pw_fact_of("worst.starts-most", pw_count(answer->value), pw_truth(answer->reached),
                          pw_count(answer->shown));
    case PW_WORST_UNLIMITED:
        return pw_fact_of("worst.starts-endless", pw_count(PW_WORST_STARTS), pw_truth(answer->reached),
                          pw_count(answer->shown));
    default: return pw_fact_of("worst.unknown", pw_word("worst.of-starts"));
    }
}

pw_fact pw_worst_run_fact(const pw_worst *worst)
{
    return length_fact(&worst->run, pw_word("worst.of-run"));
}

pw_fact pw_worst_says_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst, int32_t sense)
{
    const pw_worst_sense *one = &worst->senses[sense];
    pw_term term = settings->sentences[one->sentence].terms[one->term];
    term.above = false;
    return pw_term_fact(arena, settings, &term);
}

pw_fact pw_worst_sense_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst, int32_t sense)
{
    const pw_fact says = pw_worst_says_fact(arena, settings, worst, sense);
    return length_fact(&worst->senses[sense].longest,
                       pw_fact_inside(arena, pw_fact_of("worst.of-dry", pw_fact_inside(arena, says))));
}

pw_fact pw_worst_stuck_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst)
{
    if (worst->stuck.end != PW_WORST_BOUND) {
        return pw_fact_of("worst.unknown", pw_word("worst.of-stuck"));
    }
    if (worst->stuck.value == 0) {
        return pw_fact_of("worst.stuck-none");
    }
    return pw_fact_of("worst.stuck",
                      worst->stuck_by >= 0 ? pw_sentence_value(arena, settings, worst->stuck_by) : pw_named(""));
}

/* Sentences of a set of bits as a list. */
static pw_value sentences_value(pw_arena *arena, const pw_settings *settings, uint64_t which)
{
    pw_facts list;
    pw_facts_init(&list, arena);
    for (int32_t i = 0; i < settings->count; i++) {
        if ((which >> i & 1u) != 0) {
            pw_tell(&list, "worst.sentence", pw_count(i + 1), pw_sentence_value(arena, settings, i));
        }
    }
    return pw_list(&list, PW_JOIN_AND);
}

pw_fact pw_worst_person_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst)
{
    return worst->waits_person == 0 ? pw_no_fact()
                                    : pw_fact_of("worst.person", sentences_value(arena, settings, worst->waits_person));
}

pw_fact pw_worst_left_out_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst)
{
    return worst->left_out == 0 ? pw_no_fact()
                                : pw_fact_of("worst.left-out", sentences_value(arena, settings, worst->left_out));
}

static pw_fact reading_fact(pw_arena *arena, const pw_settings *settings, const pw_worst_line *line)
{
    const pw_signal *signal = &settings->signals[line->signal];
    const pw_term_form *form = pw_form_of((uint8_t)signal->kind);
    if (!form->yes_no) {
        return pw_fact_of("worst.reads", pw_named(signal->name), pw_quantity(form->dimension, line->value));
    }
    const pw_term term = {
        .kind = (uint8_t)signal->kind, .above = line->value > 0.5, .signal = line->signal, .of_pump = -1};
    return pw_term_fact(arena, settings, &term);
}

static pw_fact event_fact(pw_arena *arena, const pw_settings *settings, const pw_worst_line *line)
{
    static const char *const ids[] = {[PW_CONTROL_STARTED] = "worst.starts",  [PW_CONTROL_STOPPED] = "worst.stops",
                                      [PW_CONTROL_LOCKED] = "worst.locks",    [PW_CONTROL_WARNED] = "worst.warns",
                                      [PW_CONTROL_HELD] = "worst.warns",      [PW_CONTROL_RELEASED] = "worst.releases",
                                      [PW_CONTROL_RETRIED] = "worst.releases"};
    const int16_t by = line->event.sentence;
    return pw_fact_of(ids[line->event.kind], pw_named(settings->pumps[line->event.pump]),
                      by >= 0 ? pw_sentence_value(arena, settings, by) : pw_named(""));
}

pw_fact pw_worst_line_fact(pw_arena *arena, const pw_settings *settings, const pw_worst_line *line)
{
    return line->reading ? reading_fact(arena, settings, line) : event_fact(arena, settings, line);
}
