/* The registry as one list, names, and the tables of the documents. */
#include "formula/registry.h"

#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "formula/rows.h"

static const pw_formula_table *const tables[] = {&pw_rows_water, &pw_rows_pipe,   &pw_rows_pump,
                                                 &pw_rows_store, &pw_rows_filter, &pw_rows_demand,
                                                 &pw_rows_motor, &pw_rows_cable,  &pw_rows_supply};

enum { TABLES = (int)(sizeof tables / sizeof tables[0]) };

const pw_formula_table *pw_formula_table_at(int32_t i)
{
    return i >= 0 && i < TABLES ? tables[i] : NULL;
}

const pw_formula *pw_formula_at(int32_t i)
{
    int32_t left = i;
    for (int32_t t = 0; t < TABLES && left >= 0; t++) {
        if (left < tables[t]->count) {
            return &tables[t]->rows[left];
        }
        left -= tables[t]->count;
    }
    return NULL;
}

/* ---- names ---- */

/* Equal but for capitals, hyphens and blanks at such places. */
static bool alike(const char *a, const char *b)
{
    for (; *a != '\0' || *b != '\0'; a++, b++) {
        const char x = *a == '-' ? ' ' : pw_lower(*a);
        const char y = *b == '-' ? ' ' : pw_lower(*b);
        if (x != y) {
            return false;
        }
    }
    return true;
}

/* Other names that the trade has for them. */
static const char *const other_names[][2] = {
    {"NPSH", "suction head available"},
    {"NPSH available", "suction head available"},
    {"Darcy-Weisbach", "pipe loss"},
    {"friction loss", "pipe loss"},
    {"Hazen-Williams", "pipe loss, Hazen and Williams"},
    {"Colebrook-White", "friction factor"},
    {"Hunter", "flow of fixture units"},
    {"Hunter's curve", "flow of fixture units"},
    {"affinity laws", "affinity"},
    {"Joukowsky", "water hammer"},
    {"surge", "water hammer"},
    {"drawdown", "vessel drawdown"},
    {"acceptance", "vessel acceptance"},
    {"starts per hour", "starts"},
    {"voltage drop", "cable drop"},
    {"NEMA MG 10", "motor starts"},
    {"generator", "generator for a start"},
    {"suction lift", "largest suction lift"},
    {"barometric pressure", "air pressure"},
    {"saturation pressure", "vapour pressure"},
    {"vapor pressure", "vapour pressure"},
    {"minimum flow", "least flow"},
    {"energy", "energy of pumping"},
    {"Theis", "well drawdown"},
    {"Garwood", "bound of rare events"},
    {"rule of three", "bound of rare events"},
    {"single phasing", "one phase gone"},
    {"phase loss", "one phase gone"},
    {"brown-out", "motor at a voltage"},
    {"Torricelli", "orifice"},
    {"thermal replica", "thermal trip"},
};

const pw_formula *pw_formula_find(const char *name)
{
    for (int32_t i = 0; i < (int32_t)(sizeof other_names / sizeof other_names[0]); i++) {
        name = alike(other_names[i][0], name) ? other_names[i][1] : name;
    }
    for (int32_t i = 0; pw_formula_at(i) != NULL; i++) {
        if (alike(pw_formula_at(i)->id, name)) {
            return pw_formula_at(i);
        }
    }
    return NULL;
}

/* ---- units ---- */

const char *pw_formula_unit(pw_dimension dimension, const char *unit)
{
    static const char *const units[PW_DIM_COUNT] = {
#define PW_X(name, id, si, words) si,
        PW_DIMENSION_LIST(PW_X)
#undef PW_X
    };
    return unit != NULL ? unit : units[dimension];
}

pw_fact pw_formula_expects(const pw_formula_input *input)
{
    if (input->need == PW_FORMULA_WORDS || input->need == PW_FORMULA_MAYBE_WORDS) {
        return pw_fact_of("input.words");
    }
    return input->unit != NULL ? pw_verbatim(input->unit) : pw_fact_of(pw_dimension_message(input->dimension));
}

/* ---- what several rows need ---- */

static pw_fact row_fact(const char *text)
{
    return text != NULL ? pw_fact_of("input.verbatim", pw_row_text(text)) : pw_no_fact();
}

pw_status pw_rows_complain(pw_reckoning *r, pw_status status, const char *path, const char *found, const char *expected,
                           const char *hint)
{
    return pw_problem_tell(r->problems, status, path, pw_verbatim(found), row_fact(expected), row_fact(hint));
}

pw_status pw_rows_refuse(pw_reckoning *r, const char *path, const char *expected)
{
    return pw_rows_complain(r, PW_RANGE, path, NULL, expected, NULL);
}

pw_status pw_rows_phases(pw_reckoning *r, double phases)
{
    const bool known = phases == 0.0 || phases == 1.0 || phases == 3.0;
    return known ? PW_OK : pw_rows_refuse(r, "given.phases", "0 (DC), 1 or 3");
}

pw_status pw_rows_pipe_named(pw_reckoning *r, const char *name, pw_pipe_size *out)
{
    return pw_pipe_find(name, out) ? PW_OK
                                   : pw_rows_complain(r, PW_REFERENCE, "given.pipe", name, "a pipe of the pipe table",
                                                      "for instance PE100 40 SDR 11, steel DN40, copper 22 x 0.9");
}

/* ---- the tables of docs/water.md and docs/power.md ---- */

/* A number with its unit as a person writes it; dimensions go through the metric units. */
static void put_value(pw_text *text, pw_dimension dimension, const char *unit, double value)
{
    const pw_units units = pw_units_metric();
    if (unit != NULL || dimension == PW_DIM_NONE) {
        pw_text_digits(text, value, 5);
        pw_text_puts(text, unit != NULL ? " " : "", unit != NULL ? unit : "", NULL);
    } else {
        pw_quantity_put(text, &units, dimension, value);
    }
}

static void put_input(pw_text *text, const pw_formula_input *in)
{
    const bool list = in->need == PW_FORMULA_LIST;
    pw_text_puts(text, "`", in->name, "` (", NULL);
    switch (in->need) {
    case PW_FORMULA_WORDS: pw_text_put(text, "a word"); break;
    case PW_FORMULA_MAYBE_WORDS: pw_text_put(text, "a word or nothing"); break;
    default:
        pw_text_put(text, list ? "a list, each " : "");
        put_value(text, in->dimension, in->unit, in->low);
        pw_text_put(text, " to ");
        put_value(text, in->dimension, in->unit, in->high);
        break;
    }
    if (in->need == PW_FORMULA_DEFAULT) {
        pw_text_put(text, "; else ");
        put_value(text, in->dimension, in->unit, in->value);
    }
    pw_text_puts(text, "): ", in->help, NULL);
}

static void put_formula(pw_text *text, const pw_formula *formula)
{
    pw_text_puts(text, "| `", formula->id, "` | ", formula->title, ". ", formula->says, NULL);
    pw_text_puts(text, formula->hand != NULL ? " *Hand calculation: " : "", formula->hand != NULL ? formula->hand : "",
                 formula->hand != NULL ? ".*" : "", " | ", NULL);
    for (const pw_formula_input *in = formula->in; in->need != PW_FORMULA_END; in++) {
        pw_text_put(text, in > formula->in ? "<br>" : "");
        put_input(text, in);
    }
    pw_text_put(text, " | ");
    for (const pw_formula_output *out = formula->out; out->name != NULL; out++) {
        const char *unit = pw_formula_unit(out->dimension, out->unit);
        const bool plain = strcmp(unit, "1") == 0;
        pw_text_puts(text, out > formula->out ? "<br>" : "", "`", out->name, plain ? "`" : "` (", plain ? "" : unit,
                     plain ? ": " : "): ", out->help, NULL);
    }
    pw_text_puts(text, " | ", formula->source, " |\n", NULL);
}

void pw_formula_reference(pw_text *text, const char *page)
{
    for (int32_t t = 0; t < TABLES; t++) {
        if (strcmp(tables[t]->page, page) != 0) {
            continue;
        }
        pw_text_puts(text, "### ", tables[t]->title,
                     "\n\n| formula | what it says | from | gives | source |\n| --- | --- | --- | --- | --- |\n", NULL);
        for (int32_t i = 0; i < tables[t]->count; i++) {
            put_formula(text, &tables[t]->rows[i]);
        }
        pw_text_put(text, "\n");
    }
}
