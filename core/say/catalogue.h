/* The catalogues, inside core/say only. */
#ifndef PW_SAY_CATALOGUE_H
#define PW_SAY_CATALOGUE_H

#include "say/say.h"

typedef struct say_row {
    const char *id, *words;
} say_row;

typedef struct say_catalogue {
    const say_row *rows; /* sorted by id */
    int32_t count;
} say_catalogue;

/* Fill one template, whatever its id. */
void say_template_put(pw_text *text, const pw_voice *voice, const pw_fact *fact, const char *words);

/* A file of a catalogue holds `static const say_row rows[]` and this line. */
#define SAY_CATALOGUE(name) const say_catalogue name = {rows, (int32_t)(sizeof rows / sizeof rows[0])};

/* One line for each area: the beginning of its ids, up to the point. */
#define SAY_AREAS(X) \
    X(adapt)         \
    X(base)          \
    X(advice)        \
    X(book)          \
    X(advise)        \
    X(check)         \
    X(cli)           \
    X(control)       \
    X(day)           \
    X(diagnose)      \
    X(door)          \
    X(faults)        \
    X(fit)           \
    X(handover)      \
    X(input)         \
    X(log)           \
    X(look)          \
    X(paper)         \
    X(propose)       \
    X(prove)         \
    X(sentence)      \
    X(server)        \
    X(sheet)         \
    X(size)          \
    X(typed)         \
    X(worst)

#define SAY_X(area) extern const say_catalogue say_en_##area, say_de_##area;
SAY_AREAS(SAY_X)
#undef SAY_X
/* by the English text */
extern const say_catalogue say_german_rows, say_german_help, say_german_formulas, say_german_inputs;

#endif
