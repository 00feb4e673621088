/* What can be written as a program, and what both languages share: names, inputs and conditions. */
#include "control/logic_parts.h"

#include <string.h>

#include "base/json.h"

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

void logic_put_name(pw_text *out, const char *name)
{
    bool low = false;
    pw_text_put(out, is_letter(name[0]) ? "" : "x_");
    for (const char *at = name; *at != '\0'; at++) {
        const bool plain = is_letter(*at) || (*at >= '0' && *at <= '9');
        const char one[2] = {plain ? pw_lower(*at) : '_', '\0'};
        if (plain || !low) {
            pw_text_put(out, one);
        }
        low = !plain;
    }
    pw_text_put(out, low ? "x" : "");
}

bool logic_is_truth(pw_signal_kind kind)
{
    return pw_form_of((uint8_t)kind)->yes_no;
}

/* "in_3_pressure": the number keeps names apart that are spelt alike. */
void logic_put_input(const logic_pen *p, int32_t signal)
{
    pw_text_put(p->out, "in_");
    pw_text_int(p->out, signal);
    pw_text_put(p->out, "_");
    logic_put_name(p->out, p->settings->signals[signal].name);
}

bool logic_looks_at(const logic_pen *p, int32_t signal)
{
    for (int32_t i = 0; i < p->table->row_count; i++) {
        for (int32_t k = 0; k < p->table->rows[i].term_count; k++) {
            const pw_term *term = &p->table->rows[i].terms[k];
            if (pw_form_of(term->kind)->signal && term->signal == signal) {
                return true;
            }
        }
    }
    return false;
}

int32_t logic_starts(const pw_row *row, uint32_t *window_ms)
{
    for (int32_t k = 0; k < row->term_count; k++) {
        if (row->terms[k].kind == PW_TERM_STARTS) {
            *window_ms = row->terms[k].time_ms;
            return row->terms[k].count;
        }
    }
    return 0;
}

void logic_put_time(const logic_pen *p, uint32_t time_ms)
{
    pw_text_put(p->out, p->structured ? "T#" : "");
    pw_text_int(p->out, time_ms);
    pw_text_put(p->out, p->structured ? "ms" : "u");
}

void logic_put_sentences(const logic_pen *p)
{
    for (int32_t i = 0; i < p->settings->count; i++) {
        if (pw_sentence_for(&p->settings->sentences[i], p->pump)) {
            pw_text_put(p->out, p->structured ? "(* " : "/* ");
            pw_text_int(p->out, i + 1);
            pw_text_put(p->out, ": ");
            pw_settings_put(p->settings, i, p->out);
            pw_text_put(p->out, p->structured ? " *)\n" : " */\n");
        }
    }
}

static void put_word(const logic_pen *p, const char *c, const char *structured)
{
    pw_text_put(p->out, p->structured ? structured : c);
}

/* "c->start age is so long": time since the last start or stop. */
static void put_age(const logic_pen *p, const char *what, uint32_t time_ms)
{
    put_word(p, "age(c->", "since_");
    pw_text_put(p->out, what);
    put_word(p, ", now) >= ", ".ET >= ");
    logic_put_time(p, time_ms);
}

static void put_signal(const logic_pen *p, const pw_term *term)
{
    const bool truth = pw_form_of(term->kind)->yes_no;
    if (truth && !term->above) {
        put_word(p, "!", "NOT ");
    }
    put_word(p, "in->", "");
    logic_put_input(p, term->signal);
    if (!truth) {
        pw_text_put(p->out, term->above ? " > " : " < ");
        pw_text_number(p->out, term->threshold);
        const bool whole = term->threshold == (double)(int64_t)term->threshold;
        pw_text_put(p->out, whole ? ".0" : "");
    }
}

static void put_body(const logic_pen *p, const pw_term *term, int32_t row, bool fresh)
{
    if (pw_form_of(term->kind)->signal) {
        put_signal(p, term);
    } else if (term->kind == PW_TERM_STARTS) {
        put_word(p, "starts(c, ", "count_");
        pw_text_int(p->out, p->structured ? row : term->count);
        if (!p->structured) {
            pw_text_put(p->out, ", ");
            logic_put_time(p, term->time_ms);
            pw_text_put(p->out, ", now)");
        } else {
            pw_text_put(p->out, " >= ");
            pw_text_int(p->out, term->count);
        }
    } else if (fresh) {
        const bool holds = term->kind == PW_TERM_RUNNING && term->time_ms == 0;
        put_word(p, holds ? "true" : "false", holds ? "TRUE" : "FALSE");
    } else {
        put_word(p, term->kind == PW_TERM_RUNNING ? "running" : "!running",
                 term->kind == PW_TERM_RUNNING ? "running" : "NOT running");
        if (term->time_ms > 0) {
            put_word(p, " && ", " AND ");
            put_age(p, term->kind == PW_TERM_RUNNING ? "start" : "stop", term->time_ms);
        }
    }
}

static void put_term(const logic_pen *p, const pw_term *term, int32_t row, bool fresh)
{
    if (fresh && (term->needs_run || term->ignore_ms > 0)) {
        put_word(p, "false", "FALSE");
        return;
    }
    pw_text_put(p->out, "(");
    if (term->needs_run) {
        put_word(p, "running && ", "running AND ");
    }
    if (term->ignore_ms > 0) {
        put_word(p, "", "(NOT started OR ");
        put_age(p, "start", term->ignore_ms);
        put_word(p, " && ", ") AND ");
    }
    put_body(p, term, row, fresh);
    pw_text_put(p->out, ")");
}

void logic_put_row(const logic_pen *p, int32_t number, bool fresh)
{
    const pw_row *row = &p->table->rows[number];
    put_word(p, row->turned ? "!((" : "((", row->turned ? "NOT ((" : "((");
    for (int32_t k = 0; k < row->term_count; k++) {
        if (k > 0 && row->terms[k].or_before) {
            put_word(p, ") || (", ") OR (");
        } else if (k > 0) {
            put_word(p, " && ", " AND ");
        }
        put_term(p, &row->terms[k], number, fresh);
    }
    pw_text_put(p->out, "))");
}

/* ---- what can be written ---- */

static bool can_write(const pw_settings *settings, int32_t number, int32_t pump)
{
    static const uint32_t kinds = 1u << PW_SENTENCE_START | 1u << PW_SENTENCE_STOP | 1u << PW_SENTENCE_LOCK |
                                  1u << PW_SENTENCE_WARN | 1u << PW_SENTENCE_ONLY | 1u << PW_SENTENCE_HOLD_ON |
                                  1u << PW_SENTENCE_IGNORE | 1u << PW_SENTENCE_REST | 1u << PW_SENTENCE_LEAST_RUN |
                                  1u << PW_SENTENCE_RUN_ON | 1u << PW_SENTENCE_POWER_ON;
    const pw_sentence *sentence = &settings->sentences[number];
    bool good =
        (kinds >> sentence->kind & 1u) != 0 && sentence->role < 0 && sentence->within_ms == 0 && !sentence->new_call;
    for (int32_t k = 0; k < sentence->term_count; k++) {
        const pw_term *term = &sentence->terms[k];
        const bool own = term->of_pump < 0 || term->of_pump == pump;
        const bool known = pw_form_of(term->kind)->signal || term->kind == PW_TERM_RUNNING ||
                           term->kind == PW_TERM_STOPPED || (term->kind == PW_TERM_STARTS && term->in_a_row == 1);
        good = good && own && known;
    }
    return good;
}

static pw_status refuse_others(const pw_settings *settings, int32_t pump, const char *base_path, pw_arena *arena,
                               pw_problems *problems)
{
    pw_status status = PW_OK;
    for (int32_t i = 0; i < settings->count; i++) {
        if (pw_sentence_for(&settings->sentences[i], pump) && !can_write(settings, i, pump)) {
            char path[PW_PATH_SIZE];
            pw_text words;
            pw_text_init(&words, arena);
            pw_settings_put(settings, i, &words);
            pw_settings_path(base_path, i, path);
            status = pw_problem_tell(problems, PW_UNSUPPORTED, path, pw_verbatim(words.failed ? "" : words.data),
                                     pw_fact_of("control.writable"), pw_fact_of("control.writable-not"));
        }
    }
    return status;
}

pw_status pw_logic_put(pw_arena *arena, const pw_settings *settings, const pw_table *table, int32_t pump,
                       pw_logic_language language, const char *base_path, pw_text *out, pw_problems *problems)
{
    const pw_status status = refuse_others(settings, pump, base_path, arena, problems);
    if (status != PW_OK) {
        return status;
    }
    pw_text name;
    pw_text_init(&name, arena);
    logic_put_name(&name, settings->pumps[pump]);
    if (name.failed) {
        return PW_MEMORY;
    }
    const logic_pen pen = {settings, &table->pumps[pump], out, pump, language == PW_LOGIC_ST, name.data};
    if (language == PW_LOGIC_ST) {
        logic_st_put(&pen);
    } else {
        logic_c_put(&pen);
    }
    return out->failed ? PW_MEMORY : PW_OK;
}
