/* The registry: every published formula of this folder once, with its inputs, ranges, outputs and source. What a person
 * can reckon, the tables of docs/water.md and docs/power.md and the sources on the calculation sheet are read from it;
 * the functions that its rows call are the ones that the simulation, sizing and the checks of the sheet call
 * (tools/tidy holds that).
 */
#ifndef PW_FORMULA_REGISTRY_H
#define PW_FORMULA_REGISTRY_H

#include <stdint.h>

#include "base/limits.h"
#include "base/status.h"
#include "base/text.h"
#include "base/units.h"

enum { PW_FORMULA_INPUTS = 14, PW_FORMULA_OUTPUTS = 10 };

typedef enum pw_formula_need {
    PW_FORMULA_END,
    PW_FORMULA_NEEDED,
    PW_FORMULA_DEFAULT, /* `value` when not given */
    PW_FORMULA_WORDS,
    PW_FORMULA_MAYBE_WORDS, /* NULL when not given */
    PW_FORMULA_LIST         /* of quantities, at most PW_MAX_CURVE */
} pw_formula_need;

typedef struct pw_formula_input {
    const char *name;
    pw_formula_need need;
    pw_dimension dimension;
    const char *unit; /* a unit without a dimension of its own ("kg/m3"); NULL: that of the dimension */
    double low, high; /* allowed, both included, SI */
    double value;     /* default */
    const char *help;
} pw_formula_input;

typedef struct pw_formula_output {
    const char *name;
    pw_dimension dimension;
    const char *unit; /* as above */
    const char *help;
} pw_formula_output;

/* One calculation. Arrays go by the place of the input or output in its row. */
typedef struct pw_reckoning {
    double in[PW_FORMULA_INPUTS]; /* SI, within the ranges of the row */
    const char *text[PW_FORMULA_INPUTS];
    int32_t list_count[PW_FORMULA_INPUTS];
    double list[PW_FORMULA_INPUTS][PW_MAX_CURVE];
    double out[PW_FORMULA_OUTPUTS];     /* SI; PW_INF and above: unlimited. Never NaN */
    char words[PW_FORMULA_OUTPUTS][64]; /* when not "": instead of the number */
    pw_problems *problems;
} pw_reckoning;

typedef struct pw_formula {
    const char *id; /* the name it is asked by: "pipe loss" */
    const char *title;
    const char *says;                              /* one sentence */
    pw_formula_input in[PW_FORMULA_INPUTS + 1];    /* ends with a need of PW_FORMULA_END */
    pw_formula_output out[PW_FORMULA_OUTPUTS + 1]; /* ends with a name of NULL */
    const char *source;
    const char *hand; /* hand calculation: why nothing else here needs it. NULL: the product calls it */
    /* Fills out and words; on failure adds its problem, with a path of given or given.<name>. */
    pw_status (*work)(pw_reckoning *reckoning);
} pw_formula;

typedef struct pw_formula_table {
    const char *title;
    const char *page; /* of docs/ that shows it: "water" */
    const pw_formula *rows;
    int32_t count;
} pw_formula_table;

const pw_formula_table *pw_formula_table_at(int32_t i); /* NULL behind the last */
const pw_formula *pw_formula_at(int32_t i);             /* of all tables, in their order; NULL behind the last */
/* By its id or another name that the trade has for it; capitals, hyphens and blanks do not matter. NULL: none. */
const pw_formula *pw_formula_find(const char *name);

/* SI unit, and what is written ("a pressure, such as 2.5 bar"), of an input or output. */
const char *pw_formula_unit(pw_dimension dimension, const char *unit);
pw_fact pw_formula_expects(const pw_formula_input *input);

/* The tables of docs/<page>.md, in Markdown. */
void pw_formula_reference(pw_text *text, const char *page);

#endif
