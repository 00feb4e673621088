/* Facts: what the core found, before it is put into words. A fact is the id of a message ("prove.never-seen") and up to
 * eight values, each with its kind, so that it can be told in any language and in any units (core/say). Nothing is ever
 * read back out of words: whoever needs a number takes it from where the fact got it.
 *
 * Ids are literals, area.what-it-says; the area is the catalogue that holds it (core/say/en_AREA.c, de_AREA.c), and
 * tools/tidy compares both with the sources. Texts and facts are kept by reference and must outlive the fact.
 */
#ifndef PW_BASE_FACT_H
#define PW_BASE_FACT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/dimension.h"

typedef enum pw_value_kind {
    PW_VALUE_END, /* there is no value: the list of values ends here */
    PW_VALUE_QUANTITY,
    PW_VALUE_HEAD,
    PW_VALUE_EXACT,
    PW_VALUE_SPAN,
    PW_VALUE_COUNT,
    PW_VALUE_NUMBER,
    PW_VALUE_NAME,
    PW_VALUE_WORD,
    PW_VALUE_ROW,
    PW_VALUE_FACT,
    PW_VALUE_LIST,
    PW_VALUE_CLOCK,
    PW_VALUE_CLOCK_SECONDS,
    PW_VALUE_WEEKDAY,
    PW_VALUE_TRUTH,
    PW_VALUE_IN_US_UNITS
} pw_value_kind;

/* How the facts of a list are joined. */
typedef enum pw_join {
    PW_JOIN_AND,   /* a, b and c */
    PW_JOIN_OR,    /* a, b or c */
    PW_JOIN_COMMA, /* a, b, c */
    PW_JOIN_SPACE, /* sentences of one paragraph */
    PW_JOIN_NOTHING
} pw_join;

typedef struct pw_value {
    uint8_t kind; /* pw_value_kind */
    uint8_t join; /* pw_join of a list; digits of a number */
    int16_t dimension;
    int32_t count; /* facts of a list */
    union {
        double si;
        int64_t whole;
        const char *text;
        const struct pw_fact *facts;
    };
} pw_value;

enum { PW_FACT_VALUES = 8 };

typedef struct pw_fact {
    const char *id; /* NULL: nothing is said */
    pw_value values[PW_FACT_VALUES];
} pw_fact;

/* A growing list of facts in an arena. After the memory ran out `failed` stays set: check once at the end. */
typedef struct pw_facts {
    pw_arena *arena;
    pw_fact *items;
    int32_t count, capacity;
    bool failed;
} pw_facts;

/* ---- values ---- */

pw_value pw_quantity(pw_dimension dimension, double si); /* rounded, in the reader's units */
pw_value pw_head(double head_m);                         /* of water: m or ft however small, rounded */
pw_value pw_exactly(pw_dimension dimension, double si);  /* as it was set: pw_quantity_exact */
pw_value pw_duration(uint32_t span_ms);                  /* as a sentence names it: pw_text_span */
pw_value pw_count(int64_t count);                        /* a whole number of things; chooses singular or plural */
pw_value pw_number(double value, int32_t digits);        /* a plain number of so many significant digits */
pw_value pw_named(const char *name);     /* the user's own text, never translated; "" when there is none */
pw_value pw_word(const char *id);        /* another message without values of its own */
pw_value pw_row_text(const char *text);  /* English that stands in a row of a table; say has it in the others */
pw_value pw_nested(const pw_fact *fact); /* NULL: the memory ran out; the text will say so (failed) */
pw_value pw_list(const pw_facts *list, pw_join join);
pw_value pw_clock(int64_t seconds);         /* time of day, seconds after midnight */
pw_value pw_clock_seconds(int64_t seconds); /* always with its seconds: 06:30:00 */
pw_value pw_weekday(int64_t weekday);       /* 0 Monday .. 6 Sunday */
pw_value pw_truth(bool truth);              /* chooses between two wordings, says nothing itself */
pw_value pw_in_us_units(void);              /* chooses by the units of the reader, says nothing itself */
pw_value pw_no_value(void);                 /* ends a list of values */

/* ---- facts ---- */

/* pw_fact_of("prove.never-seen", pw_named(name), pw_quantity(PW_DIM_TIME, 60.0)); at most eight values. */
#define pw_fact_of(...) pw_fact_of_all(__VA_ARGS__, pw_no_value())
pw_fact pw_fact_of_all(const char *id, ...);
pw_fact pw_no_fact(void);
/* A copy in the arena, for nesting; NULL when it is used up. */
const pw_fact *pw_fact_keep(pw_arena *arena, pw_fact fact);
/* That copy as a value of another fact. */
pw_value pw_fact_inside(pw_arena *arena, pw_fact fact);

void pw_facts_init(pw_facts *list, pw_arena *arena);
void pw_facts_add(pw_facts *list, pw_fact fact);
/* pw_tell(&list, "id", values...): adds a fact. */
#define pw_tell(list, ...) pw_facts_add((list), pw_fact_of(__VA_ARGS__))

#endif
