/* Words that several papers share. */
#include <stdarg.h>

#include "paper/say.h"

const char *say_done(const pw_text *text)
{
    if (text->failed)
        return NULL;
    return text->data != NULL ? text->data : "";
}

const char *say_quantity(pw_arena *arena, const pw_units *units, pw_dimension dimension, double si)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_quantity_put(&text, units, dimension, si);
    return say_done(&text);
}

const char *say_count(pw_arena *arena, double count)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_text_digits(&text, count, 6);
    return say_done(&text);
}

const char *say(pw_arena *arena, ...)
{
    pw_text text;
    pw_text_init(&text, arena);
    va_list pieces;
    va_start(pieces, arena);
    pw_text_put_all(&text, pieces);
    va_end(pieces);
    return say_done(&text);
}

const char *say_sentence(pw_arena *arena, const pw_settings *settings, int32_t sentence)
{
    if (sentence < 0)
        return "";
    pw_text text;
    pw_text_init(&text, arena);
    pw_text_int(&text, sentence + 1);
    pw_text_put(&text, ": ");
    pw_settings_put(settings, sentence, &text);
    return say_done(&text);
}

void say_settings(pw_document *document, const pw_settings *settings)
{
    const char *lines[PW_MAX_SENTENCES];
    int32_t count = pw_settings_count(settings);
    for (int32_t i = 0; i < count; i++) {
        pw_text text;
        pw_text_init(&text, document->arena);
        pw_settings_put(settings, i, &text);
        lines[i] = say_done(&text);
    }
    pw_document_lines(document, PW_BLOCK_STEPS, lines, count);
}

const char *say_default(pw_arena *arena, const pw_units *units, const pw_default *taken)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_default_put(taken, units, &text);
    return say_done(&text);
}

void say_defaults(pw_document *document, const pw_site *site, const pw_units *units)
{
    pw_document_heading(document, 2, "Defaults used");
    if (site->default_count == 0) {
        pw_document_add(document, PW_BLOCK_WORDS, PW_TONE_PLAIN, "None: every value stands in the site sheet.");
        return;
    }
    pw_document_add(
        document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
        "These values were not in the site sheet. Where one of them matters here, measure it and write it down.");
    static const pw_column columns[3] = {{"Where", "", false}, {"Value", "", true}, {"Why this value", "", false}};
    pw_grid *grid = pw_document_grid(document, "Values taken by default", columns, 3, site->default_count);
    for (int32_t i = 0; i < site->default_count; i++) {
        const pw_default *taken = &site->defaults[i];
        pw_grid_set(grid, i, 0, taken->path, PW_TONE_PLAIN);
        const char *value = say_default(document->arena, units, taken);
        if (value == NULL)
            document->failed = true;
        pw_grid_set(grid, i, 1, value, PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, taken->reason != NULL ? taken->reason : "", PW_TONE_PLAIN);
    }
}

typedef struct facts {
    pw_arena *arena;
    const pw_units *units;
    const char *lines[2 * (PW_MAX_SOURCES + PW_MAX_PUMPS + PW_MAX_VESSELS + PW_MAX_TANKS + 8)];
    int32_t count;
} facts;

static void add_fact(facts *f, const char *name, const char *value)
{
    f->lines[f->count] = name;
    f->lines[f->count + 1] = value;
    f->count += 2;
}

static const char *q(const facts *f, pw_dimension dimension, double si)
{
    return say_quantity(f->arena, f->units, dimension, si);
}

/* NULL ends the list of say too early instead of failing, so pieces that can be NULL are turned into "" by this; the
 * arena's own failure is seen by the text that follows. */
static const char *or_empty(const char *words)
{
    return words != NULL ? words : "";
}

static void add_source(facts *f, const pw_source *source)
{
    const char *value = "";
    switch (source->kind) {
    case PW_SOURCE_BORE:
        value = say(f->arena, source->name, ": bore, standing water level ",
                    or_empty(q(f, PW_DIM_LENGTH, source->standing_m.v)), " down, intake ",
                    or_empty(q(f, PW_DIM_LENGTH, source->intake_m.v)), " down, yield ",
                    or_empty(q(f, PW_DIM_FLOW, source->yield_m3s.v)), NULL);
        break;
    case PW_SOURCE_OPEN: value = say(f->arena, source->name, ": open water", NULL); break;
    case PW_SOURCE_MAINS:
        value =
            say(f->arena, source->name, ": mains at ", or_empty(q(f, PW_DIM_PRESSURE, source->pressure_pa.v)), NULL);
        break;
    }
    add_fact(f, "Source", value);
}

static void add_pump(facts *f, const pw_site *site, const pw_pump *pump)
{
    const pw_curve_point *first = &pump->curve[0], *last = &pump->curve[pump->point_count - 1];
    add_fact(f, "Pump",
             say(f->arena, pump->name, ", ", site->places[pump->from].name, " to ", site->places[pump->to].name, ": ",
                 or_empty(q(f, PW_DIM_POWER, pump->motor.power_w.v)), ", shut-off head ",
                 or_empty(q(f, PW_DIM_LENGTH, first->head_m.v)), ", curve to ",
                 or_empty(q(f, PW_DIM_FLOW, last->flow_m3s.v)), NULL));
}

static void add_tank(facts *f, const pw_tank *tank)
{
    double volume_m3 = tank->area_m2.v * tank->depth_m.v;
    add_fact(f, "Tank",
             say(f->arena, tank->name, ": ", or_empty(q(f, PW_DIM_VOLUME, volume_m3)),
                 tank->float_valve ? " to the overflow, float valve shut at " : " to the overflow",
                 tank->float_valve ? or_empty(q(f, PW_DIM_LENGTH, tank->closes_m.v)) : "", NULL));
}

void say_site(pw_document *document, const pw_site *site, const pw_units *units)
{
    facts f = {document->arena, units, {NULL}, 0};
    if (site->note[0] != '\0')
        add_fact(&f, "Note", site->note);
    for (int32_t i = 0; i < site->source_count; i++)
        add_source(&f, &site->sources[i]);
    for (int32_t i = 0; i < site->pump_count; i++)
        add_pump(&f, site, &site->pumps[i]);
    for (int32_t i = 0; i < site->vessel_count; i++) {
        const pw_vessel *vessel = &site->vessels[i];
        add_fact(&f, "Pressure vessel",
                 say(f.arena, vessel->name, ": ", or_empty(q(&f, PW_DIM_VOLUME, vessel->volume_m3.v)), ", gas charge ",
                     or_empty(q(&f, PW_DIM_PRESSURE, vessel->precharge_pa.v)), NULL));
    }
    for (int32_t i = 0; i < site->tank_count; i++)
        add_tank(&f, &site->tanks[i]);
    add_fact(&f, "Limits of the site",
             say(f.arena, or_empty(say_count(f.arena, site->limits.starts_per_hour.v)), " starts an hour, ",
                 or_empty(q(&f, PW_DIM_TIME, site->limits.dry_run_s.v)), " of dry running, ",
                 or_empty(q(&f, PW_DIM_PRESSURE, site->limits.highest_pa.v)), " at the weakest part", NULL));
    pw_document_lines(document, PW_BLOCK_FACTS, f.lines, f.count);
}

void say_cautions(pw_document *document)
{
    static const char *const lines[] = {
        "Mains power and water are next to each other here. Isolate, lock off and prove dead before opening a cover.",
        "A controller starts its pump by itself, without warning, also after a release or when power returns.",
        "Pressure vessels and pipes hold energy when the pump is off. Let the pressure down before loosening anything.",
        "Bores and tanks: mind falls and bad air, and keep dirt and germs out of the water.",
        "Electrical work, vessels, drinking water and bores are licensed work in many places: local codes come first.",
        "This paper is computed from the site sheet and only as right as that. It does not replace a test on site.",
    };
    pw_document_heading(document, 2, "Cautions");
    pw_document_lines(document, PW_BLOCK_LIST, lines, (int32_t)(sizeof lines / sizeof lines[0]));
}

bool say_invented(pw_document *document, const pw_site *site)
{
    if (!site->invented)
        return false;
    pw_document_add(document, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                    "Invented site: no real place, person, product or measurement stands behind it.");
    return true;
}
