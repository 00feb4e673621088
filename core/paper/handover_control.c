/* The control as it was left: each number with its tolerance and how to read it, the sentences told as a narrative, and
 * causes and effects. */
#include "base/num.h"
#include "paper/handover_parts.h"
#include "paper/say.h"

/* How far the real thing may lie from a number, and how to see it. */
typedef struct told_number {
    pw_fact value, tolerance, how;
} told_number;

static void tell_threshold(const handover_pen *p, int32_t signal, pw_signal_kind kind, told_number *out)
{
    static const char *const hows[] = {
        [PW_SIGNAL_PRESSURE] = "handover.read-pressure", [PW_SIGNAL_FLOW] = "handover.read-watch",
        [PW_SIGNAL_LEVEL] = "handover.read-level",       [PW_SIGNAL_PROBE] = "handover.read-watch",
        [PW_SIGNAL_CONTACT] = "handover.read-watch",     [PW_SIGNAL_CURRENT] = "handover.read-current",
        [PW_SIGNAL_WINDING] = "handover.read-winding",   [PW_SIGNAL_SUPPLY] = "handover.read-voltage",
        [PW_SIGNAL_PHASES] = "handover.read-watch",      [PW_SIGNAL_DROP] = "handover.read-drop"};
    const pw_site *site = p->plant->site;
    const bool sensor = signal >= 0 && signal < site->sensor_count;
    const bool pressure = kind == PW_SIGNAL_PRESSURE && sensor && site->sensors[signal].place >= 0;
    const char *place = pressure ? site->places[site->sensors[signal].place].name : "";
    out->how =
        pw_fact_of(hows[kind], pw_named(place), pw_quantity(PW_DIM_PRESSURE, pw_model_pa_per_m(p->plant->model)));
    out->tolerance = pw_fact_of("handover.as-instrument");
    if (pressure) {
        const pw_sensor *from = &site->sensors[signal];
        /* study/margins.h: common practice */
        const double error = 0.01 * (from->high_pa.v - from->low_pa.v) + 0.5 * from->resolution.v;
        out->tolerance = pw_fact_of("handover.plus-minus", pw_quantity(PW_DIM_PRESSURE, error));
    }
}

static told_number tell_number(const handover_pen *p, const pw_sentence_number *number, int32_t index)
{
    told_number out;
    int32_t signal = -1;
    pw_signal_kind kind = PW_SIGNAL_PRESSURE;
    out.value =
        pw_fact_of("base.value", number->clock                      ? pw_clock((int64_t)number->si)
                                 : number->dimension == PW_DIM_NONE ? pw_count((int64_t)number->si)
                                 : number->dimension == PW_DIM_TIME ? pw_duration((uint32_t)(number->si * 1000.0 + 0.5))
                                                                    : pw_exactly(number->dimension, number->si));
    if (number->clock) {
        out.tolerance = pw_fact_of("handover.plus-minus", pw_quantity(PW_DIM_TIME, 60.0));
        out.how = pw_fact_of("handover.read-clock");
    } else if (number->dimension == PW_DIM_NONE) {
        out.tolerance = pw_fact_of("handover.exact");
        out.how = pw_fact_of("handover.read-count");
    } else if (number->dimension == PW_DIM_TIME) {
        /* a timer keeps 1 %, a person with a watch 1 s: common practice, no source */
        out.tolerance = pw_fact_of("handover.plus-minus", pw_quantity(PW_DIM_TIME, pw_max(1.0, 0.01 * number->si)));
        out.how = pw_fact_of("handover.read-watch");
    } else if (pw_settings_number_signal(p->plant->settings, index, &signal, &kind)) {
        tell_threshold(p, signal, kind, &out);
    } else {
        out.tolerance = pw_fact_of("handover.as-instrument");
        out.how = pw_fact_of("handover.read-watch");
    }
    return out;
}

void handover_put_settings(handover_pen *p)
{
    static const handover_column columns[] = {{"handover.sentence", true}, {"handover.what", false},
                                              {"paper.value", true},       {"handover.tolerance", true},
                                              {"handover.how", false},     {NULL, false}};
    const pw_settings *settings = p->plant->settings;
    const int32_t count = pw_settings_number_count(settings);
    say_heading(p->document, p->voice, 2, "handover.settings");
    if (p->job->found_count > 0) {
        say_heading(p->document, p->voice, 3, "handover.found");
        pw_document_lines(p->document, PW_BLOCK_STEPS, p->job->found, p->job->found_count);
    }
    say_heading(p->document, p->voice, 3, "handover.left");
    say_settings(p->document, p->voice, settings);
    if (p->job->is_short) {
        return;
    }
    pw_grid *grid = handover_grid(p, "handover.settings-caption", columns, count);
    for (int32_t i = 0; i < count; i++) {
        pw_sentence_number number;
        pw_settings_number(settings, i, &number);
        const told_number told = tell_number(p, &number, i);
        handover_cell(p, grid, i, 0, say_count(p->arena, number.sentence + 1));
        handover_cell(p, grid, i, 1, handover_word(p, number.what));
        handover_cell(p, grid, i, 2, handover_say(p, told.value));
        handover_cell(p, grid, i, 3, handover_say(p, told.tolerance));
        handover_cell(p, grid, i, 4, handover_say(p, told.how));
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("handover.tolerances"));
}

/* ---- the narrative ---- */

static pw_value condition(const handover_pen *p, int32_t sentence)
{
    return pw_fact_inside(p->arena, pw_settings_condition(p->arena, p->plant->settings, sentence));
}

static const char *const tells[PW_SENTENCE_COUNT] = {
    [PW_SENTENCE_START] = "handover.tell-start", [PW_SENTENCE_STOP] = "handover.tell-stop",
    [PW_SENTENCE_LOCK] = "handover.tell-lock",   [PW_SENTENCE_WARN] = "handover.tell-warn",
    [PW_SENTENCE_ONLY] = "handover.tell-only",   [PW_SENTENCE_HOLD_ON] = "handover.tell-hold"};

static pw_fact tell_sentence(const handover_pen *p, int32_t sentence, int32_t pump)
{
    const pw_settings *settings = p->plant->settings;
    const pw_sentence_kind kind = pw_settings_kind(settings, sentence);
    if (!pw_settings_has_condition(settings, sentence)) {
        return pw_fact_of("handover.tell-other", pw_sentence_value(p->arena, settings, sentence),
                          pw_count(sentence + 1));
    }
    const int32_t retry = kind == PW_SENTENCE_LOCK ? pw_settings_released_by(settings, sentence, pump) : -1;
    return pw_fact_of(tells[kind], condition(p, sentence), pw_count(sentence + 1),
                      retry >= 0 ? pw_sentence_value(p->arena, settings, retry) : pw_named(""));
}

void handover_put_narrative(handover_pen *p)
{
    const pw_settings *settings = p->plant->settings;
    const pw_site *site = p->plant->site;
    say_heading(p->document, p->voice, 2, "handover.narrative");
    for (int32_t pump = 0; pump < site->pump_count; pump++) {
        const char *lines[PW_MAX_SENTENCES];
        int32_t count = 0;
        for (int32_t i = 0; i < pw_settings_count(settings); i++) {
            if (pw_settings_is_for(settings, i, pump)) {
                lines[count++] = handover_say(p, tell_sentence(p, i, pump));
            }
        }
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                  pw_fact_of("handover.control-of", pw_named(site->pumps[pump].name)));
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("handover.after-cut"));
}

/* ---- causes and effects ---- */

static const char *effect_of(const handover_pen *p, int32_t sentence, int32_t pump)
{
    static const char *const effects[PW_SENTENCE_COUNT] = {
        [PW_SENTENCE_START] = "handover.effect-start", [PW_SENTENCE_STOP] = "handover.effect-stop",
        [PW_SENTENCE_LOCK] = "handover.effect-lock",   [PW_SENTENCE_WARN] = "handover.effect-none",
        [PW_SENTENCE_ONLY] = "handover.effect-only",   [PW_SENTENCE_HOLD_ON] = "handover.effect-hold"};
    if (!pw_settings_is_for(p->plant->settings, sentence, pump)) {
        return "\xE2\x80\x93";
    }
    return handover_word(p, effects[pw_settings_kind(p->plant->settings, sentence)]);
}

static const char *alarm_of(const handover_pen *p, int32_t sentence)
{
    const pw_settings *settings = p->plant->settings;
    const int32_t relay = pw_settings_closes(settings, sentence);
    if (pw_settings_kind(settings, sentence) != PW_SENTENCE_WARN) {
        return "\xE2\x80\x93";
    }
    return handover_say(p, pw_fact_of("handover.effect-warn",
                                      relay >= 0 ? pw_named(pw_settings_relay(settings, relay)) : pw_named("")));
}

static const char *ends_how(const handover_pen *p, int32_t sentence)
{
    const pw_settings *settings = p->plant->settings;
    if (pw_settings_kind(settings, sentence) != PW_SENTENCE_LOCK) {
        return handover_word(p, "handover.ends-itself");
    }
    int32_t retry = -1;
    for (int32_t pump = 0; pump < p->plant->site->pump_count && retry < 0; pump++) {
        if (pw_settings_is_for(settings, sentence, pump)) {
            retry = pw_settings_released_by(settings, sentence, pump);
        }
    }
    return retry >= 0 ? handover_say(p, pw_fact_of("handover.ends-retry", pw_sentence_value(p->arena, settings, retry)))
                      : handover_word(p, "handover.ends-person");
}

void handover_put_matrix(handover_pen *p)
{
    const pw_settings *settings = p->plant->settings;
    const pw_site *site = p->plant->site;
    int32_t rows = 0;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        rows += pw_settings_has_condition(settings, i) ? 1 : 0;
    }
    pw_column columns[PW_MAX_PUMPS + 4] = {{handover_word(p, "handover.sentence"), "", true},
                                           {handover_word(p, "handover.cause"), "", false}};
    int32_t count = 2;
    for (int32_t pump = 0; pump < site->pump_count; pump++) {
        columns[count++] = (pw_column){site->pumps[pump].name, "", false};
    }
    columns[count++] = (pw_column){handover_word(p, "handover.alarm"), "", false};
    columns[count++] = (pw_column){handover_word(p, "handover.ends"), "", false};
    say_heading(p->document, p->voice, 2, "handover.matrix");
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("handover.matrix-how"));
    pw_grid *grid = pw_document_grid(p->document, handover_word(p, "handover.matrix-caption"), columns, count, rows);
    int32_t row = 0;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        if (!pw_settings_has_condition(settings, i)) {
            continue;
        }
        handover_cell(p, grid, row, 0, say_count(p->arena, i + 1));
        handover_cell(p, grid, row, 1, handover_say(p, pw_settings_condition(p->arena, settings, i)));
        for (int32_t pump = 0; pump < site->pump_count; pump++) {
            handover_cell(p, grid, row, 2 + pump, effect_of(p, i, pump));
        }
        handover_cell(p, grid, row, count - 2, alarm_of(p, i));
        handover_cell(p, grid, row, count - 1, ends_how(p, i));
        row++;
    }
}
