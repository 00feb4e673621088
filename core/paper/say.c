/* Words that several papers share. */
#include <stdarg.h>

#include "paper/say.h"

const char *say_done(const pw_text *text)
{
    if (text->failed) {
        return NULL;
    }
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

const char *say_fact(pw_arena *arena, const pw_voice *voice, pw_fact fact)
{
    return pw_say_words(arena, voice, &fact);
}

const char *say_facts(pw_arena *arena, const pw_voice *voice, const pw_facts *facts)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_say_list(&text, voice, facts, PW_JOIN_SPACE);
    return say_done(&text);
}

const char *say_amount(pw_arena *arena, const pw_voice *voice, pw_dimension dimension, double si)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_say_amount(&text, voice, dimension, si);
    return say_done(&text);
}

const char *say_digits(pw_arena *arena, const pw_voice *voice, double value, int32_t digits)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_say_number(&text, voice, value, digits);
    return say_done(&text);
}

pw_grid *say_grid(pw_arena *arena, pw_document *document, const pw_voice *voice, const char *const *ids, int32_t count,
                  int32_t rows)
{
    pw_column *columns = PW_NEW(arena, count, pw_column);
    pw_grid *grid = NULL;
    for (int32_t i = 0; columns != NULL && i < count; i++) {
        columns[i] = (pw_column){pw_say_word(voice, ids[i]), "", i > 0};
    }
    if (columns != NULL) {
        grid = pw_document_grid(document, "", columns, count, rows);
    }
    document->failed = document->failed || grid == NULL;
    return grid;
}

void say_block(pw_document *document, const pw_voice *voice, pw_block_kind kind, pw_tone tone, pw_fact fact)
{
    pw_document_add(document, kind, tone, say_fact(document->arena, voice, fact));
}

void say_heading(pw_document *document, const pw_voice *voice, int32_t level, const char *id)
{
    pw_document_heading(document, level, pw_say_word(voice, id));
}

const char *say_sentence(pw_arena *arena, const pw_voice *voice, const pw_settings *settings, int32_t sentence)
{
    if (sentence < 0) {
        return "";
    }
    return say_fact(arena, voice,
                    pw_fact_of("paper.numbered", pw_count(sentence + 1), pw_sentence_value(arena, settings, sentence)));
}

void say_settings(pw_document *document, const pw_voice *voice, const pw_settings *settings)
{
    const char *lines[PW_MAX_SENTENCES];
    int32_t count = pw_settings_count(settings);
    for (int32_t i = 0; i < count; i++) {
        lines[i] = say_fact(document->arena, voice, pw_settings_fact(document->arena, settings, i));
    }
    pw_document_lines(document, PW_BLOCK_STEPS, lines, count);
}

const char *say_default(pw_arena *arena, const pw_voice *voice, const pw_default *taken)
{
    return say_fact(arena, voice, pw_default_fact(taken));
}

void say_defaults(pw_document *document, const pw_voice *voice, const pw_site *site)
{
    say_heading(document, voice, 2, "paper.defaults");
    if (site->default_count == 0) {
        say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("paper.no-defaults"));
        return;
    }
    say_block(document, voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("paper.defaults-measure"));
    pw_column *columns = PW_NEW(document->arena, 3, pw_column);
    if (columns == NULL) {
        document->failed = true;
        return;
    }
    columns[0] = (pw_column){pw_say_word(voice, "paper.where"), "", false};
    columns[1] = (pw_column){pw_say_word(voice, "paper.value"), "", true};
    columns[2] = (pw_column){pw_say_word(voice, "paper.why-this-value"), "", false};
    pw_grid *grid =
        pw_document_grid(document, pw_say_word(voice, "paper.defaults-caption"), columns, 3, site->default_count);
    for (int32_t i = 0; i < site->default_count; i++) {
        const pw_default *taken = &site->defaults[i];
        pw_grid_set(grid, i, 0, taken->path, PW_TONE_PLAIN);
        const char *value = say_default(document->arena, voice, taken);
        if (value == NULL) {
            document->failed = true;
        }
        pw_grid_set(grid, i, 1, value, PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, taken->reason != NULL ? pw_say_row(voice, taken->reason) : "", PW_TONE_PLAIN);
    }
}

typedef struct facts {
    pw_arena *arena;
    const pw_voice *voice;
    const char *lines[2 * (PW_MAX_SOURCES + PW_MAX_PUMPS + PW_MAX_VESSELS + PW_MAX_TANKS + 8)];
    int32_t count;
} facts;

static void add_fact(facts *f, const char *name, pw_fact value)
{
    f->lines[f->count] = pw_say_word(f->voice, name);
    f->lines[f->count + 1] = say_fact(f->arena, f->voice, value);
    f->count += 2;
}

static pw_fact source_fact(const pw_source *source)
{
    switch (source->kind) {
    case PW_SOURCE_BORE:
        return pw_fact_of("paper.source-bore", pw_named(source->name), pw_quantity(PW_DIM_LENGTH, source->standing_m.v),
                          pw_quantity(PW_DIM_LENGTH, source->intake_m.v),
                          pw_quantity(PW_DIM_FLOW, source->yield_m3s.v));
    case PW_SOURCE_OPEN: return pw_fact_of("paper.source-open", pw_named(source->name));
    case PW_SOURCE_MAINS: break;
    }
    return pw_fact_of("paper.source-mains", pw_named(source->name),
                      pw_quantity(PW_DIM_PRESSURE, source->pressure_pa.v));
}

static pw_fact pump_fact(const pw_site *site, const pw_pump *pump)
{
    const pw_curve_point *first = &pump->curve[0], *last = &pump->curve[pump->point_count - 1];
    return pw_fact_of("paper.pump-is", pw_named(pump->name), pw_named(site->places[pump->from].name),
                      pw_named(site->places[pump->to].name), pw_quantity(PW_DIM_POWER, pump->motor.power_w.v),
                      pw_quantity(PW_DIM_LENGTH, first->head_m.v), pw_quantity(PW_DIM_FLOW, last->flow_m3s.v));
}

static pw_fact tank_fact(const pw_tank *tank)
{
    return pw_fact_of("paper.tank-is", pw_named(tank->name),
                      pw_quantity(PW_DIM_VOLUME, tank->area_m2.v * tank->depth_m.v),
                      tank->float_valve ? pw_quantity(PW_DIM_LENGTH, tank->closes_m.v) : pw_named(""));
}

void say_site(pw_document *document, const pw_voice *voice, const pw_site *site)
{
    facts f = {document->arena, voice, {NULL}, 0};
    if (site->note[0] != '\0') {
        add_fact(&f, "paper.note", pw_fact_of("base.value", pw_named(site->note)));
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        add_fact(&f, "paper.source", source_fact(&site->sources[i]));
    }
    for (int32_t i = 0; i < site->pump_count; i++) {
        add_fact(&f, "paper.pump", pump_fact(site, &site->pumps[i]));
    }
    for (int32_t i = 0; i < site->vessel_count; i++) {
        const pw_vessel *vessel = &site->vessels[i];
        add_fact(&f, "paper.vessel",
                 pw_fact_of("paper.vessel-is", pw_named(vessel->name), pw_quantity(PW_DIM_VOLUME, vessel->volume_m3.v),
                            pw_quantity(PW_DIM_PRESSURE, vessel->precharge_pa.v)));
    }
    for (int32_t i = 0; i < site->tank_count; i++) {
        add_fact(&f, "paper.tank", tank_fact(&site->tanks[i]));
    }
    add_fact(&f, "paper.limits",
             pw_fact_of("paper.limits-are", pw_number(site->limits.starts_per_hour.v, 6),
                        pw_quantity(PW_DIM_TIME, site->limits.dry_run_s.v),
                        pw_quantity(PW_DIM_PRESSURE, site->limits.highest_pa.v)));
    pw_document_lines(document, PW_BLOCK_FACTS, f.lines, f.count);
}

void say_cautions(pw_document *document, const pw_voice *voice)
{
    static const char *const ids[] = {"paper.caution-mains", "paper.caution-starts",   "paper.caution-pressure",
                                      "paper.caution-wells", "paper.caution-licensed", "paper.caution-computed"};
    enum { COUNT = sizeof ids / sizeof ids[0] };
    const char *lines[COUNT];
    for (int32_t i = 0; i < COUNT; i++) {
        lines[i] = pw_say_word(voice, ids[i]);
    }
    say_heading(document, voice, 2, "paper.cautions");
    pw_document_lines(document, PW_BLOCK_LIST, lines, COUNT);
}

bool say_invented(pw_document *document, const pw_voice *voice, const pw_site *site)
{
    if (!site->invented) {
        return false;
    }
    say_block(document, voice, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("paper.invented"));
    return true;
}

pw_document *say_new_paper(pw_arena *arena, const pw_voice *voice, const char *title, const char *subject,
                           bool invented)
{
    pw_document *document = pw_document_new(arena, pw_say_word(voice, title), subject,
                                            invented ? pw_say_word(voice, "paper.invented-stamp") : "");
    if (document != NULL) {
        document->language = pw_language_id(voice->language);
    }
    return document;
}
