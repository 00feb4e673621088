/* Advice as a paper: what to type, why, what it costs, what stays blind. */
#include "paper/advise_paper.h"

#include "base/num.h"
#include "paper/plot.h"
#include "paper/say.h"

typedef struct pen {
    pw_arena *arena;
    const pw_advice *advice;
    const pw_voice *voice;
    pw_document *document;
} pen;

static const char *words(const pen *p, pw_fact fact)
{
    return say_fact(p->arena, p->voice, fact);
}

static void block(const pen *p, pw_block_kind kind, pw_tone tone, pw_fact fact)
{
    say_block(p->document, p->voice, kind, tone, fact);
}

/* ---- what to type ---- */

static int32_t gone(const pw_advice *advice)
{
    int32_t kept = 0;
    for (int32_t i = 0; i < advice->count; i++) {
        kept += advice->was[i] >= 0 ? 1 : 0;
    }
    return pw_settings_count(advice->plan->plant->settings) - kept;
}

static void put_headline(const pen *p)
{
    const pw_advice *advice = p->advice;
    int32_t differ = 0;
    for (int32_t i = 0; i < advice->count; i++) {
        differ += advice->differs[i] ? 1 : 0;
    }
    if (!advice->changes) {
        block(p, PW_BLOCK_LEAD, PW_TONE_GOOD, pw_fact_of("advise.keep"));
    } else {
        block(p, PW_BLOCK_LEAD, PW_TONE_PLAIN,
              pw_fact_of("advise.type", pw_count(differ), pw_count(gone(advice)), pw_count(advice->count)));
    }
}

static void put_list(const pen *p)
{
    const pw_advice *advice = p->advice;
    const char **lines = PW_NEW(p->arena, advice->count, const char *);
    for (int32_t i = 0; lines != NULL && i < advice->count; i++) {
        lines[i] =
            advice->differs[i]
                ? words(p, pw_fact_of("advise.new-line", pw_named(advice->sentences[i]), pw_truth(advice->was[i] < 0)))
                : advice->sentences[i];
    }
    say_heading(p->document, p->voice, 2, "advise.list");
    if (lines == NULL) {
        p->document->failed = true;
        return;
    }
    pw_document_lines(p->document, PW_BLOCK_STEPS, lines, advice->count);
    for (int32_t i = 0; i < pw_settings_count(advice->plan->plant->settings); i++) {
        bool there = false;
        for (int32_t k = 0; k < advice->count; k++) {
            there = there || advice->was[k] == i;
        }
        if (!there) {
            pw_text text;
            pw_text_init(&text, p->arena);
            pw_settings_put(advice->plan->plant->settings, i, &text);
            block(
                p, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                pw_fact_of("advise.goes", pw_named(text.failed ? "" : text.data), pw_truth(advice->plan->dropped[i])));
        }
    }
}

static void put_reasons(const pen *p)
{
    const pw_advice *advice = p->advice;
    const char **lines = PW_NEW(p->arena, PW_MAX_FAMILIES, const char *);
    int32_t count = 0;
    for (int32_t i = 0; lines != NULL && i < advice->count; i++) {
        const int32_t family = advice->family[i];
        if (family < 0) {
            continue;
        }
        pw_facts all;
        pw_facts_init(&all, p->arena);
        pw_facts_add(&all, pw_advise_why(advice, family));
        pw_facts_add(&all, pw_advise_sees(p->arena, advice, family));
        pw_facts_add(&all, pw_advise_to_stop(advice, family));
        pw_facts_add(&all, pw_advise_to_miss(advice, family));
        pw_tell(&all, "advise.earns", pw_number(advice->chosen[family].earns_a, 2));
        lines[count] =
            say(p->arena, advice->sentences[i], ": ", say_facts(p->arena, p->voice, &all), (const char *)NULL);
        count++;
    }
    if (count > 0) {
        say_heading(p->document, p->voice, 2, "advise.why");
        pw_document_lines(p->document, PW_BLOCK_LIST, lines, count);
    }
}

static void put_left(const pen *p)
{
    pw_facts all;
    pw_advise_left(p->arena, p->advice, &all);
    say_heading(p->document, p->voice, 2, "advise.left");
    for (int32_t i = 0; i < all.count; i++) {
        block(p, PW_BLOCK_WORDS, PW_TONE_PLAIN, all.items[i]);
    }
    p->document->failed = p->document->failed || all.failed;
}

/* ---- what it costs ---- */

static void put_row(const pen *p, pw_grid *grid, int32_t row, const char *name, const pw_trade *trade)
{
    pw_grid_set(grid, row, 0, pw_say_word(p->voice, name), PW_TONE_PLAIN);
    pw_grid_set(grid, row, 1, words(p, pw_fact_of("advise.of", pw_count(trade->stopped), pw_count(p->advice->years))),
                trade->stopped > 0 ? PW_TONE_BAD : PW_TONE_GOOD);
    pw_grid_set(grid, row, 2, words(p, pw_fact_of("advise.of", pw_count(trade->unseen), pw_count(p->advice->faults))),
                PW_TONE_PLAIN);
    pw_grid_set(grid, row, 3, say_amount(p->arena, p->voice, PW_DIM_VOLUME, trade->lost_m3_a), PW_TONE_PLAIN);
    pw_grid_set(grid, row, 4, say_digits(p->arena, p->voice, trade->cost_a, 3), PW_TONE_PLAIN);
}

static void put_costs(const pen *p)
{
    const pw_advice *advice = p->advice;
    const pw_column columns[] = {{pw_say_word(p->voice, "advise.column-settings"), "", false},
                                 {pw_say_word(p->voice, "advise.column-stopped"), "", true},
                                 {pw_say_word(p->voice, "advise.column-unseen"), "", true},
                                 {pw_say_word(p->voice, "advise.column-lost"), "", true},
                                 {pw_say_word(p->voice, "advise.column-cost"), "", true}};
    say_heading(p->document, p->voice, 2, "advise.costs");
    pw_grid *grid = pw_document_grid(p->document, pw_say_word(p->voice, "advise.costs-caption"), columns, 5, 3);
    if (grid == NULL) {
        return;
    }
    put_row(p, grid, 0, "advise.row-present", &advice->present);
    put_row(p, grid, 1, "advise.row-advised", &advice->advised);
    put_row(p, grid, 2, "advise.row-nothing", &advice->nothing);
    block(p, PW_BLOCK_WORDS, PW_TONE_PLAIN,
          pw_advise_stops(p->arena, advice, advice->advised.stopped, advice->upper_a));
    if (pw_demand_seen_briefly(&advice->basis)) {
        block(p, PW_BLOCK_NOTE, PW_TONE_CAUTION,
              pw_fact_of("advise.seen-briefly", pw_quantity(PW_DIM_TIME, 86400.0 * advice->basis.days)));
    } else if (!advice->shown) {
        block(p, PW_BLOCK_NOTE, PW_TONE_CAUTION,
              pw_fact_of("advise.not-shown", pw_count(advice->plan->options.at_most),
                         pw_number(advice->plan->options.at_most_s / PW_HEALTHY_YEAR_S, 3)));
    }
}

/* ---- the trade-off ---- */

static pw_series point(const pen *p, const char *name, const pw_trade *trade, pw_mark mark, int32_t colour)
{
    double *at = PW_NEW(p->arena, 2, double);
    pw_series out = {.name = pw_say_word(p->voice, name), .tag = "", .mark = mark, .colour = colour};
    if (at == NULL) {
        p->document->failed = true;
        return out;
    }
    at[0] = (double)trade->stopped / pw_max((double)p->advice->years, 1.0);
    at[1] = pw_unit_value(p->voice->units, PW_DIM_VOLUME, trade->lost_m3_a);
    out.count = 1;
    out.x = &at[0];
    out.y = &at[1];
    return out;
}

static void put_chart(const pen *p)
{
    const pw_advice *advice = p->advice;
    enum { SERIES = 3 };
    pw_series *series = PW_NEW(p->arena, SERIES, pw_series);
    pw_plot *plot = PW_NEW(p->arena, 1, pw_plot);
    double *x = PW_NEW(p->arena, PW_MAX_TRADES, double), *y = PW_NEW(p->arena, PW_MAX_TRADES, double);
    if (series == NULL || plot == NULL || x == NULL || y == NULL) {
        p->document->failed = true;
        return;
    }
    double most = 1e-9, right = 0.1;
    for (int32_t i = 0; i < advice->trade_count; i++) {
        x[i] = (double)advice->trades[i].stopped / pw_max((double)advice->years, 1.0);
        y[i] = pw_unit_value(p->voice->units, PW_DIM_VOLUME, advice->trades[i].lost_m3_a);
        most = pw_max(most, y[i]);
        right = pw_max(right, x[i]);
    }
    series[0] = (pw_series){.name = pw_say_word(p->voice, "advise.chart-best"),
                            .tag = "",
                            .count = advice->trade_count,
                            .x = x,
                            .y = y,
                            .line = true,
                            .step = true,
                            .mark = PW_MARK_DOT};
    series[1] = point(p, "advise.row-present", &advice->present, PW_MARK_CROSS, 3);
    series[2] = point(p, "advise.row-advised", &advice->advised, PW_MARK_SQUARE, 1);
    for (int32_t i = 1; i < SERIES; i++) {
        most = series[i].count > 0 ? pw_max(most, series[i].y[0]) : most;
        right = series[i].count > 0 ? pw_max(right, series[i].x[0]) : right;
    }
    plot->title = pw_say_word(p->voice, "advise.chart");
    plot->words = words(p, pw_fact_of("advise.chart-words", pw_quantity(PW_DIM_VOLUME, advice->present.lost_m3_a),
                                      pw_quantity(PW_DIM_VOLUME, advice->advised.lost_m3_a)));
    plot->x = (pw_axis){pw_say_word(p->voice, "advise.axis-stops"), "", PW_AXIS_LINEAR, 0.0, 1.05 * right};
    plot->y = (pw_axis){pw_say_word(p->voice, "advise.axis-lost"), pw_unit_name(p->voice->units, PW_DIM_VOLUME),
                        PW_AXIS_LINEAR, 0.0, 1.1 * most};
    plot->series = series;
    plot->series_count = SERIES;
    plot->shading = "";
    plot->hatching = "";
    plot->voice = p->voice;
    pw_document_plot(p->document, plot);
}

/* ---- what stays blind ---- */

/* What is worth naming: it would earn at least what a sentence must. */
static void put_extras(const pen *p)
{
    static const char *const says[PW_EXTRAS] = {
        [PW_EXTRA_TEST] = "advise.extra-test",       [PW_EXTRA_FLOW] = "advise.extra-flow",
        [PW_EXTRA_CURRENT] = "advise.extra-current", [PW_EXTRA_PRESSURE] = "advise.extra-pressure",
        [PW_EXTRA_LEVEL] = "advise.extra-level",     [PW_EXTRA_WINDING] = "advise.extra-winding",
        [PW_EXTRA_SUPPLY] = "advise.extra-supply",
    };
    for (int32_t i = 0; i < PW_EXTRAS; i++) {
        const double earns_a = pw_advise_extra_a(p->advice, (pw_extra)i);
        if (earns_a >= p->advice->plan->options.sentence) {
            block(p, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of(says[i], pw_number(earns_a, 2)));
        }
    }
}

static void put_blind(const pen *p)
{
    const pw_advice *advice = p->advice;
    say_heading(p->document, p->voice, 2, "advise.blind");
    for (int32_t i = 0; i < advice->band_count; i++) {
        const pw_leak_band *band = &advice->bands[i];
        block(p, PW_BLOCK_NOTE, PW_TONE_BAD,
              pw_fact_of(band->open_below ? "advise.blind-up-to" : "advise.blind-from-to",
                         pw_quantity(PW_DIM_FLOW, band->from_m3s), pw_quantity(PW_DIM_FLOW, band->to_m3s),
                         pw_quantity(PW_DIM_VOLUME, band->lost_m3d)));
    }
    if (advice->band_count > 0) {
        block(p, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("advise.blind-test"));
    } else {
        block(p, PW_BLOCK_WORDS, PW_TONE_GOOD,
              pw_fact_of(advice->sizes > 0 ? "advise.blind-none" : "advise.blind-unknown"));
    }
    put_extras(p);
}

static void put_basis(const pen *p)
{
    const pw_advice *advice = p->advice;
    const pw_advise_options *options = &advice->plan->options;
    say_heading(p->document, p->voice, 2, "advise.basis");
    block(p, PW_BLOCK_WORDS, PW_TONE_PLAIN,
          pw_fact_of("advise.prices", pw_number(options->water_per_m3, 4), pw_number(options->call_out, 6),
                     pw_number(options->pump, 6), pw_number(options->fault_years, 3),
                     pw_quantity(PW_DIM_TIME, options->unseen_s)));
    block(p, PW_BLOCK_WORDS, PW_TONE_PLAIN,
          pw_fact_of("advise.method", pw_count(advice->plan->limit_count), pw_count(advice->years),
                     pw_count(advice->faults), pw_count(advice->sizes)));
    block(p, PW_BLOCK_WORDS, PW_TONE_PLAIN,
          pw_fact_of("advise.slack", pw_number(pw_advise_slack(advice->slack), 3), pw_truth(advice->gap_a > 0.0),
                     pw_number(advice->gap_a, 2)));
    if (advice->checked) {
        const bool same = advice->checked_same == advice->checked_jobs;
        block(p, PW_BLOCK_WORDS, same ? PW_TONE_GOOD : PW_TONE_CAUTION,
              pw_fact_of("advise.checked", pw_count(advice->checked_same), pw_count(advice->checked_jobs)));
    }
    block(p, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("advise.prove-it"));
}

pw_status pw_paper_advice(pw_arena *arena, const pw_advice *advice, const pw_voice *voice, pw_document **out)
{
    const pw_site *site = advice->plan->plant->site;
    pw_document *document = say_new_paper(arena, voice, "advise.title", site->name, site->invented);
    *out = document;
    if (document == NULL) {
        return PW_MEMORY;
    }
    const pen p = {arena, advice, voice, document};
    say_invented(document, voice, site);
    put_headline(&p);
    put_list(&p);
    put_reasons(&p);
    put_left(&p);
    put_costs(&p);
    put_blind(&p);
    put_chart(&p);
    put_basis(&p);
    say_cautions(document, voice);
    return document->failed ? PW_MEMORY : PW_OK;
}
