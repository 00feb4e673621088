/* Lines, words and checks: what every part of the calculation writes. */
#include <string.h>

#include "study/size_inside.h"

pw_size_line *size_add(size_work *w, pw_size_part part, const char *id, pw_fact what, pw_dimension dimension,
                       double value, pw_fact how, pw_fact source)
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
    line->what = what;
    line->dimension = dimension;
    line->value = pw_is_finite(value) ? value : PW_INF;
    line->how = how;
    line->source = source;
    line->formula = size_formula_of(part, id);
    return line;
}

pw_size_line *size_add_in(size_work *w, pw_size_part part, const char *id, pw_fact what, const char *unit, double value,
                          pw_fact how, pw_fact source)
{
    pw_size_line *line = size_add(w, part, id, what, PW_DIM_NONE, value, how, source);
    if (line != NULL) {
        line->unit = unit;
    }
    return line;
}

const char *size_id(size_work *w, const char *kind, const char *name)
{
    pw_text text;
    pw_text_init(&text, w->arena);
    pw_text_puts(&text, kind, name, NULL);
    w->failed = w->failed || text.failed;
    return text.failed ? "" : text.data;
}

static bool has_limit(double value)
{
    return value < PW_INF && pw_is_finite(value);
}

pw_value size_q(size_work *w, pw_dimension dimension, double si)
{
    (void)w;
    return has_limit(si) ? pw_quantity(dimension, si) : pw_word("size.no-limit");
}

pw_value size_n(size_work *w, double number)
{
    (void)w;
    return has_limit(number) ? pw_number(number, pw_abs(number) < 1000.0 ? 3 : 5) : pw_word("size.no-limit");
}

pw_value size_h(size_work *w, double head_m)
{
    (void)w;
    return has_limit(head_m) ? pw_head(head_m) : pw_word("size.no-limit");
}

pw_value size_nested(size_work *w, pw_fact fact)
{
    const pw_fact *kept = pw_fact_keep(w->arena, fact);
    w->failed = w->failed || kept == NULL;
    return pw_nested(kept);
}

const char *size_money(size_work *w)
{
    return w->site->design.currency[0] != '\0' ? w->site->design.currency : "money";
}

static void add_check(size_work *w, const char *id, double margin, pw_fact words, bool guide)
{
    pw_sizing *out = w->out;
    if (out->check_count >= PW_SIZE_CHECKS) {
        return;
    }
    /* kept in order, weakest first and guides behind the limits: the list is short */
    int32_t at = out->check_count;
    const double value = pw_is_finite(margin) ? pw_clamp(margin, -1.0, 1e6) : 1e6;
    while (at > 0 &&
           (out->checks[at - 1].guide != guide ? out->checks[at - 1].guide : out->checks[at - 1].margin > value)) {
        out->checks[at] = out->checks[at - 1];
        at--;
    }
    out->checks[at].id = id;
    out->checks[at].words = words;
    out->checks[at].margin = value;
    out->checks[at].guide = guide;
    out->check_count++;
}

void size_check(size_work *w, const char *id, double margin, pw_fact words)
{
    add_check(w, id, margin, words, false);
}

void size_guide(size_work *w, const char *id, double margin, pw_fact words)
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
        out->weakest = pw_fact_of("size.nothing-checked");
    } else if (failing == 0) {
        out->weakest = pw_fact_of("size.all-kept", size_q(w, PW_DIM_FRACTION, first->margin), pw_nested(&first->words));
    } else {
        out->weakest = pw_fact_of("size.weakest", pw_nested(&first->words), pw_count(failing - 1));
    }
}

/* Three digits, four when the first is a 1, all before the point, as quantities are written. */
static pw_value rounded(double value)
{
    double lead = pw_abs(value);
    int32_t before = 1;
    while (lead >= 10.0) {
        lead /= 10.0;
        before++;
    }
    while (lead > 1e-12 && lead < 1.0) {
        lead *= 10.0;
    }
    return pw_number(value, pw_abs(value) >= 999.5 ? before : lead < 2.0 ? 4 : 3);
}

pw_fact pw_size_value(const pw_size_line *line, double value, bool change)
{
    if (line->electric) {
        return pw_fact_of("size.value-unit", rounded(value * 1e-3), pw_named("kW"));
    }
    if (line->unit != NULL && strcmp(line->unit, "kWh/m3") == 0) {
        return pw_fact_of("size.energy-value", pw_number(value, 3), pw_in_us_units(),
                          rounded(value * PW_M3_IN_1000_GAL));
    }
    if (line->unit != NULL) {
        return pw_fact_of("size.value-unit", pw_number(value, 3), pw_named(line->unit));
    }
    if (line->dimension == PW_DIM_LENGTH) {
        return pw_fact_of("size.value", pw_head(value));
    }
    const bool warmth = change && line->dimension == PW_DIM_TEMPERATURE; /* a difference is not shifted */
    return pw_fact_of("size.value", pw_quantity(warmth ? PW_DIM_TEMPERATURE_RISE : line->dimension, value));
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
    {"demand", "size.part-demand"}, {"head", "size.part-head"},         {"pipes", "size.part-pipes"},
    {"duty", "size.part-duty"},     {"suction", "size.part-suction"},   {"standstill", "size.part-standstill"},
    {"vessel", "size.part-vessel"}, {"electric", "size.part-electric"}, {"energy", "size.part-energy"},
};

const char *pw_size_part_id(pw_size_part part)
{
    return part_names[part][0];
}

const char *pw_size_part_message(pw_size_part part)
{
    return part_names[part][1];
}
