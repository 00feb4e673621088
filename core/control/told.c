/* Sentences as facts, for telling them in any language. The sheet's own language is that of put.c; the English words of
 * these facts are the same (tests/unit/say).
 */
#include "control/parts.h"

static pw_value keep(pw_arena *arena, pw_fact fact)
{
    return pw_nested(pw_fact_keep(arena, fact));
}

/* Name of the signal where the sentence has to say it. */
static pw_value name_of(const pw_settings *settings, const pw_term *term)
{
    const bool of_pump = term->kind == PW_TERM_CURRENT || term->kind == PW_TERM_WINDING;
    const bool named = term->signal >= 0 && (of_pump || !pw_one_of_kind(settings, term->kind));
    return pw_named(named ? settings->signals[term->signal].name : "");
}

static pw_value span_or_none(uint32_t span_ms)
{
    return span_ms > 0 ? pw_duration(span_ms) : pw_named("");
}

static pw_fact state_fact(const pw_settings *settings, const pw_term *term, const char *id)
{
    return pw_fact_of(id, span_or_none(term->time_ms),
                      pw_named(term->of_pump >= 0 ? settings->pumps[term->of_pump] : ""));
}

pw_fact pw_term_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term)
{
    static const struct {
        const char *below, *above;
        pw_dimension dimension;
    } measured[PW_TERM_COUNT] = {
        [PW_TERM_PRESSURE] = {"sentence.pressure-below", "sentence.pressure-above", PW_DIM_PRESSURE},
        [PW_TERM_LEVEL] = {"sentence.level-below", "sentence.level-above", PW_DIM_LENGTH},
        [PW_TERM_CURRENT] = {"sentence.current-below", "sentence.current-above", PW_DIM_CURRENT},
        [PW_TERM_WINDING] = {"sentence.winding-below", "sentence.winding-above", PW_DIM_TEMPERATURE},
        [PW_TERM_SUPPLY] = {"sentence.supply-below", "sentence.supply-above", PW_DIM_VOLTAGE},
        [PW_TERM_FLOW] = {"sentence.no-flow", "sentence.flow", PW_DIM_NONE},
        [PW_TERM_PROBE] = {"sentence.probe-dry", "sentence.probe-wet", PW_DIM_NONE},
        [PW_TERM_CONTACT] = {"sentence.contact-open", "sentence.contact-closed", PW_DIM_NONE},
        [PW_TERM_PHASES] = {"sentence.phase-missing", "sentence.phases-complete", PW_DIM_NONE}};
    switch (term->kind) {
    case PW_TERM_STARTS:
        return term->in_a_row > 1 ? pw_fact_of("sentence.starts-in-a-row", pw_count(term->count),
                                               pw_duration(term->time_ms), pw_count(term->in_a_row))
                                  : pw_fact_of("sentence.starts", pw_count(term->count), pw_duration(term->time_ms));
    case PW_TERM_RETRIES: return pw_fact_of("sentence.retries", pw_count(term->count));
    case PW_TERM_CLOCK: return pw_clock_fact(arena, term);
    case PW_TERM_RUNNING: return state_fact(settings, term, "sentence.running");
    case PW_TERM_LOCKED: return state_fact(settings, term, "sentence.locked-out");
    case PW_TERM_STOPPED: return state_fact(settings, term, "sentence.stopped");
    case PW_TERM_PROBE:
    case PW_TERM_CONTACT:
        return pw_fact_of(term->above ? measured[term->kind].above : measured[term->kind].below,
                          pw_named(settings->signals[term->signal].name));
    case PW_TERM_PHASES: return pw_fact_of(term->above ? measured[term->kind].above : measured[term->kind].below);
    case PW_TERM_FLOW:
        return pw_fact_of(term->above ? measured[term->kind].above : measured[term->kind].below,
                          name_of(settings, term));
    default:
        return pw_fact_of(term->above ? measured[term->kind].above : measured[term->kind].below,
                          name_of(settings, term), pw_exactly(measured[term->kind].dimension, term->threshold));
    }
}

pw_fact pw_condition_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    pw_facts terms;
    pw_facts_init(&terms, arena);
    for (int32_t i = 0; i < sentence->term_count; i++) {
        const char *id = i == 0 ? "base.value" : sentence->terms[i].or_before ? "sentence.or" : "sentence.and";
        pw_tell(&terms, id, keep(arena, pw_term_fact(arena, settings, &sentence->terms[i])));
    }
    return pw_fact_of("sentence.condition", pw_list(&terms, PW_JOIN_NOTHING), span_or_none(sentence->time_ms),
                      span_or_none(sentence->within_ms));
}

static pw_fact retry_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    pw_facts waits;
    pw_facts_init(&waits, arena);
    for (int32_t i = 0; i < sentence->wait_count; i++) {
        pw_tell(&waits, i > 0 ? "sentence.then" : "base.value", pw_duration(sentence->waits_ms[i]));
    }
    const pw_value by =
        sentence->term_count > 0 ? keep(arena, pw_term_fact(arena, settings, &sentence->terms[0])) : pw_named("");
    const pw_value list = pw_list(&waits, PW_JOIN_NOTHING);
    return sentence->times > 0 ? pw_fact_of("sentence.retry", list, pw_count(sentence->times), by)
                               : pw_fact_of("sentence.release", list, by);
}

static pw_fact sharing_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence)
{
    pw_facts pumps;
    pw_facts_init(&pumps, arena);
    for (int32_t i = 0; i < sentence->member_count; i++) {
        pw_tell(&pumps, "base.value", pw_named(settings->pumps[sentence->members[i]]));
    }
    return pw_fact_of("sentence.share", pw_list(&pumps, PW_JOIN_AND), pw_truth(sentence->every_stop),
                      sentence->every_stop ? pw_named("") : span_or_none(sentence->time_ms));
}

static pw_fact body_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence, bool locks)
{
    const pw_value time = pw_duration(sentence->time_ms);
    const char *id = "";
    if (locks) {
        return pw_fact_of("sentence.lock-out", keep(arena, pw_condition_fact(arena, settings, sentence)));
    }
    switch (sentence->kind) {
    case PW_SENTENCE_SHARE: return sharing_fact(arena, settings, sentence);
    case PW_SENTENCE_APART: return pw_fact_of("sentence.apart", time);
    case PW_SENTENCE_POWER_ON: return pw_fact_of("sentence.power-on", time);
    case PW_SENTENCE_KEEP_LOCKS: return pw_fact_of("sentence.keep-locks");
    case PW_SENTENCE_IGNORE:
        return pw_fact_of("sentence.ignore", keep(arena, pw_term_fact(arena, settings, &sentence->terms[0])), time);
    case PW_SENTENCE_REST: return pw_fact_of("sentence.rest", time, pw_truth(sentence->new_call));
    case PW_SENTENCE_LEAST_RUN: return pw_fact_of("sentence.least-run", time);
    case PW_SENTENCE_RUN_ON: return pw_fact_of("sentence.run-on", time);
    case PW_SENTENCE_RETRY: return retry_fact(arena, settings, sentence);
    case PW_SENTENCE_WARN:
        return pw_fact_of("sentence.warn", keep(arena, pw_condition_fact(arena, settings, sentence)),
                          pw_named(sentence->relay >= 0 ? settings->relays[sentence->relay] : ""));
    case PW_SENTENCE_START: id = "sentence.start"; break;
    case PW_SENTENCE_STOP: id = "sentence.stop"; break;
    case PW_SENTENCE_LOCK: id = "sentence.lock-out"; break;
    case PW_SENTENCE_ONLY: id = "sentence.run-only"; break;
    default: id = "sentence.hold-on"; break;
    }
    return pw_fact_of(id, keep(arena, pw_condition_fact(arena, settings, sentence)));
}

pw_fact pw_role_fact(int32_t role)
{
    static const char *const ids[PW_MAX_PUMPS] = {"sentence.duty",          "sentence.assist",
                                                  "sentence.second-assist", "sentence.third-assist",
                                                  "sentence.fourth-assist", "sentence.fifth-assist"};
    return pw_fact_of(ids[role]);
}

static pw_fact sentence_fact(pw_arena *arena, const pw_settings *settings, int32_t i, bool locks)
{
    const pw_sentence *sentence = &settings->sentences[i];
    const pw_fact body = body_fact(arena, settings, sentence, locks);
    if (sentence->pump < 0 && sentence->role < 0) {
        return body;
    }
    return pw_fact_of("sentence.for", pw_named(sentence->pump >= 0 ? settings->pumps[sentence->pump] : ""),
                      sentence->role >= 0 ? keep(arena, pw_role_fact(sentence->role)) : pw_named(""),
                      keep(arena, body));
}

pw_fact pw_settings_fact(pw_arena *arena, const pw_settings *settings, int32_t sentence)
{
    return sentence_fact(arena, settings, sentence, false);
}

pw_fact pw_settings_lock_fact(pw_arena *arena, const pw_settings *settings, int32_t warning)
{
    return sentence_fact(arena, settings, warning, true);
}

pw_value pw_sentence_value(pw_arena *arena, const pw_settings *settings, int32_t sentence)
{
    return keep(arena, pw_settings_fact(arena, settings, sentence));
}
