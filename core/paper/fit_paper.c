#include "paper/fit_paper.h"

#include <string.h>

#include "base/num.h"
#include "paper/log_parts.h"
#include "paper/say.h"

typedef struct pen {
    pw_arena *arena;
    const pw_fit *fit;
    const pw_voice *voice;
    pw_document *document;
} pen;

pw_fact pw_fit_unknown_fact(const pw_fit_unknown *u)
{
    return u->path[0] != '\0' && !u->leak ? pw_fact_of("fit.number", pw_named(u->path)) : pw_fact_of(u->words);
}

static pw_value span(pw_arena *arena, const pw_fit_unknown *u)
{
    const pw_estimate *e = &u->factor;
    return pw_fact_inside(arena, u->leak ? pw_fact_of("diagnose.span", pw_quantity(PW_DIM_FLOW, e->low),
                                                      pw_quantity(PW_DIM_FLOW, e->high))
                                         : pw_fact_of("diagnose.span", pw_number(e->low, 2), pw_number(e->high, 2)));
}

static const char *measure_id(pw_log_signal signal)
{
    switch (signal) {
    case PW_LOG_PRESSURE: return "fit.log-pressure";
    case PW_LOG_FLOW: return "fit.log-flow";
    case PW_LOG_POWER: return "fit.log-power";
    case PW_LOG_CURRENT: return "fit.log-current";
    default: return "fit.log-level";
    }
}

pw_fact pw_fit_refusal_fact(pw_arena *arena, const pw_fit *fit, const pw_fit_unknown *u)
{
    const pw_value name = pw_fact_inside(arena, pw_fit_unknown_fact(u)), between = span(arena, u);
    if (u->finer) {
        return pw_fact_of("fit.refused-finer", name, between);
    }
    if (u->measure) {
        return pw_fact_of("fit.refused-measure", name, between, pw_word(measure_id(u->signal)));
    }
    if (u->longer) {
        return pw_fact_of("fit.refused-longer", name, between);
    }
    if (u->beside >= 0) {
        return pw_fact_of("fit.refused-beside", name, between,
                          pw_fact_inside(arena, pw_fit_unknown_fact(&fit->unknowns[u->beside])));
    }
    return pw_fact_of("fit.refused", name, between);
}

static const char *shown(const pen *p, const pw_param *param, double si)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_param_show(&text, param, p->voice->units, si);
    return text.failed ? NULL : text.data;
}

static void put_lead(const pen *p)
{
    int32_t told = 0;
    for (int32_t i = 0; i < p->fit->unknown_count; i++) {
        told += p->fit->unknowns[i].told ? 1 : 0;
    }
    say_block(p->document, p->voice, PW_BLOCK_LEAD, PW_TONE_PLAIN,
              pw_fact_of("fit.lead", pw_count(told), pw_count(p->fit->unknown_count)));
    if (!p->fit->explained) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("fit.unexplained"));
    }
}

/* Each unknown: times what the sheet says; a leak as a flow. */
static void put_unknowns(const pen *p)
{
    static const char *const ids[] = {"fit.what", "fit.factor", "fit.interval", "fit.told"};
    pw_grid *grid = say_grid(p->arena, p->document, p->voice, ids, 4, p->fit->unknown_count);
    for (int32_t i = 0; grid != NULL && i < p->fit->unknown_count; i++) {
        const pw_fit_unknown *u = &p->fit->unknowns[i];
        const pw_value best = u->leak ? pw_quantity(PW_DIM_FLOW, u->factor.best) : pw_number(u->factor.best, 3);
        pw_grid_set(grid, i, 0, say_fact(p->arena, p->voice, pw_fit_unknown_fact(u)), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, say_fact(p->arena, p->voice, pw_fact_of("base.value", best)), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, say_fact(p->arena, p->voice, pw_fact_of("base.value", span(p->arena, u))),
                    PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3,
                    pw_say_word(p->voice, !u->told ? "fit.no"
                                          : u->off ? "fit.off"
                                                   : "fit.stands"),
                    u->told ? PW_TONE_GOOD : PW_TONE_CAUTION);
    }
}

static void put_refused(const pen *p)
{
    const char *lines[PW_FIT_UNKNOWNS];
    int32_t count = 0;
    for (int32_t i = 0; i < p->fit->unknown_count; i++) {
        const pw_fit_unknown *u = &p->fit->unknowns[i];
        if (!u->told) {
            lines[count++] = say_fact(p->arena, p->voice, pw_fit_refusal_fact(p->arena, p->fit, u));
        }
    }
    if (count > 0) {
        say_heading(p->document, p->voice, 2, "fit.refused-heading");
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
    }
}

static void put_leak(const pen *p)
{
    for (int32_t i = 0; i < p->fit->unknown_count; i++) {
        const pw_fit_unknown *u = &p->fit->unknowns[i];
        if (u->leak && u->told && u->factor.low > 0.0) {
            say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                      pw_fact_of("fit.leak-flows", pw_quantity(PW_DIM_FLOW, u->factor.best), span(p->arena, u)));
        }
    }
}

/* The numbers that change, as they stand in the sheet. */
static void put_values(const pen *p)
{
    static const char *const ids[] = {"fit.path", "fit.was", "fit.is"};
    int32_t rows = 0, row = 0;
    for (int32_t i = 0; i < p->fit->value_count; i++) {
        rows += p->fit->values[i].is != p->fit->values[i].param.si ? 1 : 0;
    }
    if (rows == 0) {
        return;
    }
    say_heading(p->document, p->voice, 2, "fit.values-heading");
    pw_grid *grid = say_grid(p->arena, p->document, p->voice, ids, 3, rows);
    for (int32_t i = 0; grid != NULL && i < p->fit->value_count; i++) {
        const pw_fit_value *value = &p->fit->values[i];
        if (value->is != value->param.si) {
            pw_grid_set(grid, row, 0, value->param.path, PW_TONE_PLAIN);
            pw_grid_set(grid, row, 1, shown(p, &value->param, value->param.si), PW_TONE_PLAIN);
            pw_grid_set(grid, row, 2, shown(p, &value->param, value->is), PW_TONE_PLAIN);
            row++;
        }
    }
}

static const char *feature_cell(const pen *p, const pw_log_features *of, int32_t f)
{
    return of->known[f]
               ? say_fact(p->arena, p->voice, pw_fact_of("base.value", log_value((pw_log_feature)f, of->value[f])))
               : "";
}

static void put_features(const pen *p)
{
    static const char *const ids[] = {"log.feature", "log.seen", "fit.before", "fit.after"};
    int32_t rows = 0, row = 0;
    for (int32_t f = 0; f < PW_LOG_FEATURES; f++) {
        rows += p->fit->seen.known[f] ? 1 : 0;
    }
    say_heading(p->document, p->voice, 2, "fit.compare-heading");
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN,
              pw_fact_of("fit.misfit", pw_number(pw_sqrt(p->fit->misfit_before), 2),
                         pw_number(pw_sqrt(p->fit->misfit_after), 2)));
    pw_grid *grid = rows > 0 ? say_grid(p->arena, p->document, p->voice, ids, 4, rows) : NULL;
    for (int32_t f = 0; grid != NULL && f < PW_LOG_FEATURES; f++) {
        if (p->fit->seen.known[f]) {
            pw_grid_set(grid, row, 0, pw_say_word(p->voice, pw_log_feature_of((pw_log_feature)f)->words),
                        PW_TONE_PLAIN);
            pw_grid_set(grid, row, 1, feature_cell(p, &p->fit->seen, f), PW_TONE_PLAIN);
            pw_grid_set(grid, row, 2, feature_cell(p, &p->fit->before, f), PW_TONE_PLAIN);
            pw_grid_set(grid, row, 3, feature_cell(p, &p->fit->after, f), PW_TONE_PLAIN);
            row++;
        }
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("fit.how"));
}

pw_status pw_paper_fit(pw_arena *arena, const pw_site *site, const pw_fit *fit, const pw_voice *voice,
                       pw_document **out)
{
    pw_document *document = say_new_paper(arena, voice, "fit.title", site->name, site->invented);
    *out = document;
    if (document == NULL) {
        return PW_MEMORY;
    }
    const pen p = {arena, fit, voice, document};
    put_lead(&p);
    put_unknowns(&p);
    put_leak(&p);
    put_refused(&p);
    put_values(&p);
    put_features(&p);
    say_cautions(document, voice);
    if (document->failed) {
        *out = NULL;
    }
    return document->failed ? PW_MEMORY : PW_OK;
}
