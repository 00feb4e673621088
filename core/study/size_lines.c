/* Lines, words and checks: what every part of the calculation writes. */
#include <stdarg.h>
#include <string.h>

#include "study/size_inside.h"

pw_size_line *size_add(size_work *w, pw_size_part part, const char *id, const char *words, pw_dimension dimension,
                       double value, const char *how, const char *source)
{
    pw_sizing *out = w->out;
    if (out->line_count >= PW_SIZE_LINES) {
        return NULL;
    }
    pw_size_line *line = &out->lines[out->line_count];
    out->line_count++;
    memset(line, 0, sizeof *line);
    line->part = part;
    line->id = id;
    line->words = words;
    line->dimension = dimension;
    line->value = pw_is_finite(value) ? value : PW_INF;
    line->how = how;
    line->source = source;
    line->formula = size_formula_of(part, id);
    line->most = "";
    return line;
}

pw_size_line *size_add_in(size_work *w, pw_size_part part, const char *id, const char *words, const char *unit,
                          double value, const char *how, const char *source)
{
    pw_size_line *line = size_add(w, part, id, words, PW_DIM_NONE, value, how, source);
    if (line != NULL) {
        line->unit = unit;
    }
    return line;
}

static const char *finished(size_work *w, const pw_text *text)
{
    if (text->failed) {
        w->failed = true;
        return "";
    }
    return text->data != NULL ? text->data : "";
}

const char *size_say(size_work *w, ...)
{
    pw_text text;
    pw_text_init(&text, w->arena);
    va_list pieces;
    va_start(pieces, w);
    pw_text_put_all(&text, pieces);
    va_end(pieces);
    return finished(w, &text);
}

const char *size_q(size_work *w, pw_dimension dimension, double si)
{
    if (si >= PW_INF || !pw_is_finite(si)) {
        return "no limit";
    }
    pw_text text;
    pw_text_init(&text, w->arena);
    pw_quantity_put(&text, &w->options->units, dimension, si);
    return finished(w, &text);
}

const char *size_n(size_work *w, double number)
{
    if (number >= PW_INF || !pw_is_finite(number)) {
        return "no limit";
    }
    pw_text text;
    pw_text_init(&text, w->arena);
    pw_text_digits(&text, number, pw_abs(number) < 1000.0 ? 3 : 5);
    return finished(w, &text);
}

const char *size_h(size_work *w, double head_m)
{
    if (head_m >= PW_INF || !pw_is_finite(head_m)) {
        return "no limit";
    }
    pw_text text;
    pw_text_init(&text, w->arena);
    pw_head_put(&text, &w->options->units, head_m);
    return finished(w, &text);
}

const char *size_money(size_work *w)
{
    return w->site->design.currency[0] != '\0' ? w->site->design.currency : "money";
}

static void add_check(size_work *w, const char *id, double margin, const char *words, bool guide)
{
    pw_sizing *out = w->out;
    if (out->check_count >= PW_SIZE_CHECKS) {
        return;
    }
    /* kept in order, weakest first: the list is short */
    int32_t at = out->check_count;
    const double value = pw_is_finite(margin) ? pw_clamp(margin, -1.0, 1e6) : 1e6;
    while (at > 0 && out->checks[at - 1].margin > value) {
        out->checks[at] = out->checks[at - 1];
        at--;
    }
    out->checks[at].id = id;
    out->checks[at].words = words;
    out->checks[at].margin = value;
    out->checks[at].guide = guide;
    out->check_count++;
}

void size_check(size_work *w, const char *id, double margin, const char *words)
{
    add_check(w, id, margin, words, false);
}

void size_guide(size_work *w, const char *id, double margin, const char *words)
{
    add_check(w, id, margin, words, true);
}

void size_weakest(size_work *w)
{
    pw_sizing *out = w->out;
    const pw_size_check *first = NULL;
    int32_t failing = 0;
    for (int32_t i = 0; i < out->check_count; i++) {
        const pw_size_check *check = &out->checks[i];
        first = first == NULL && !check->guide ? check : first;
        failing += !check->guide && check->margin < 0.0 ? 1 : 0;
    }
    if (first == NULL) {
        out->weakest = "Nothing could be checked.";
        return;
    }
    if (failing == 0) {
        out->weakest = size_say(w, "Everything keeps its limit. The least margin, ",
                                size_q(w, PW_DIM_FRACTION, first->margin), ": ", first->words, NULL);
        return;
    }
    out->weakest =
        size_say(w, first->words, failing > 1 ? " And " : "", failing > 1 ? size_n(w, (double)(failing - 1)) : "",
                 failing > 2   ? " more limits are not kept."
                 : failing > 1 ? " more limit is not kept."
                               : "",
                 NULL);
}

/* Three digits, four when the first is a 1, as quantities are written. */
static void put_digits(pw_text *text, double value)
{
    double lead = pw_abs(value);
    if (lead >= 999.5) {
        pw_text_fixed(text, value, 0);
        return;
    }
    while (lead >= 10.0) {
        lead /= 10.0;
    }
    while (lead > 1e-12 && lead < 1.0) {
        lead *= 10.0;
    }
    pw_text_digits(text, value, lead < 2.0 ? 4 : 3);
}

void pw_head_put(pw_text *text, const pw_units *units, double head_m)
{
    put_digits(text, pw_unit_value(units, PW_DIM_LENGTH, head_m));
    pw_text_puts(text, " ", pw_unit_name(units, PW_DIM_LENGTH), NULL);
}

void pw_size_put(pw_text *text, const pw_units *units, const pw_size_line *line, double value, bool change)
{
    const bool each_m3 = line->unit != NULL && strcmp(line->unit, "kWh/m3") == 0;
    if (line->electric) {
        put_digits(text, value * 1e-3);
        pw_text_put(text, " kW");
    } else if (each_m3 && units->us) {
        put_digits(text, value * PW_M3_IN_1000_GAL);
        pw_text_put(text, " kWh per 1,000 gal");
    } else if (line->unit != NULL) {
        pw_text_digits(text, value, 3);
        pw_text_puts(text, " ", line->unit, NULL);
    } else if (line->dimension == PW_DIM_LENGTH) {
        pw_head_put(text, units, value);
    } else {
        const bool warmth = change && line->dimension == PW_DIM_TEMPERATURE; /* a difference is not shifted */
        pw_quantity_put(text, units, warmth ? PW_DIM_TEMPERATURE_RISE : line->dimension, value);
    }
}

const pw_size_line *pw_size_find(const pw_sizing *sizing, pw_size_part part, const char *id)
{
    for (int32_t i = 0; i < sizing->line_count; i++) {
        if (sizing->lines[i].part == part && strcmp(sizing->lines[i].id, id) == 0) {
            return &sizing->lines[i];
        }
    }
    return NULL;
}

static const char *const part_names[PW_SIZE_PART_COUNT][2] = {
    {"demand", "Demand"},
    {"head", "Head"},
    {"pipes", "Pipes"},
    {"duty", "Duty"},
    {"suction", "Suction"},
    {"standstill", "Pump against a closed valve"},
    {"vessel", "Pressure vessel"},
    {"electric", "Electrical"},
    {"energy", "Energy"},
};

const char *pw_size_part_id(pw_size_part part)
{
    return part_names[part][0];
}

const char *pw_size_part_words(pw_size_part part)
{
    return part_names[part][1];
}
