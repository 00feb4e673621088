/* Proof paper: the blind bands as a chart and in words, and the two limits in closed form next to the simulation. */
#include <string.h>

#include "base/num.h"
#include "paper/plot.h"
#include "paper/proof_parts.h"
#include "paper/say.h"

enum { MOST_SERIES = 64 };

typedef struct sweep {
    int32_t count;
    const int32_t *jobs; /* smallest leak first */
} sweep;

/* Empty when there was no sweep: a handful of faults is no range. */
static sweep find_sweep(proof_pen *p)
{
    const pw_jobs *all = p->proof->jobs;
    sweep found = {0, NULL};
    int32_t *list = PW_NEW(p->arena, PW_MAX_TRIED_LEAKS, int32_t);
    if (list == NULL) {
        p->document->failed = true;
        return found;
    }
    bool swept = false;
    for (int32_t i = 0; i < all->count; i++) {
        swept = swept || all->jobs[i].kind == PW_JOB_SWEEP;
    }
    found.jobs = list;
    found.count = swept ? pw_proof_leaks(all, list, PW_MAX_TRIED_LEAKS) : 0;
    return found;
}

/* What the chart shows of one leak: lost until it was seen, or lost in a day when it never was. */
static double charted_m3(const pw_outcome *outcome)
{
    return outcome->caught_by >= 0 ? outcome->lost_m3 : outcome->lost_per_day_m3;
}

/* Whole decades around the values. */
static void set_y_axis(proof_pen *p, const sweep *s, pw_axis *axis)
{
    double low = PW_INF, high = 0.0;
    for (int32_t i = 0; i < s->count; i++) {
        double value = pw_unit_value(p->voice->units, PW_DIM_VOLUME, charted_m3(&p->proof->outcomes[s->jobs[i]]));
        if (value > 0.0) {
            low = pw_min(low, value);
        }
        high = pw_max(high, value);
    }
    if (!(high > 0.0)) {
        low = 1.0;
        high = 10.0;
    }
    low = pw_max(low, high * 1e-7);
    axis->title = pw_say_word(p->voice, "paper.chart-lost");
    axis->unit = pw_unit_name(p->voice->units, PW_DIM_VOLUME);
    axis->kind = PW_AXIS_LOG;
    axis->low = pw_pow(10.0, pw_floor(pw_log10(low)));
    axis->high = pw_pow(10.0, pw_ceil(pw_log10(high)));
    if (axis->high < axis->low * 9.0) {
        axis->high = axis->low * 10.0;
    }
}

/* Which colour and mark a watch gets: its rank among the watches of the order, so that two never share both. */
static int32_t rank_of(const pw_settings *settings, int32_t sentence)
{
    int32_t rank = 0;
    for (int32_t i = 0; i < sentence; i++) {
        rank += pw_settings_is_watch(settings, i);
    }
    return rank;
}

static pw_series series_of(proof_pen *p, int32_t watch)
{
    static const pw_mark marks[6] = {PW_MARK_DOT,     PW_MARK_SQUARE, PW_MARK_TRIANGLE,
                                     PW_MARK_DIAMOND, PW_MARK_PLUS,   PW_MARK_RING};
    pw_series series;
    memset(&series, 0, sizeof series);
    series.tag = "";
    if (watch < 0) {
        series.name = pw_say_word(p->voice, "paper.chart-seen-by-none");
        series.mark = PW_MARK_CROSS;
        series.colour = 4;
        return series;
    }
    int32_t rank = rank_of(p->proof->plant->settings, watch);
    static const int32_t colours[5] = {0, 1, 2, 3, 5}; /* 4 is kept for "seen by no watch" */
    series.tag = say_fact(p->arena, p->voice, pw_fact_of("paper.glance-by", pw_count(watch + 1)));
    series.name = say_sentence(p->arena, p->voice, p->proof->plant->settings, watch);
    if (series.tag == NULL || series.name == NULL) {
        p->document->failed = true;
        series.tag = "";
        series.name = "";
    }
    series.mark = marks[(rank + rank / 5) % 6];
    series.colour = colours[rank % 5];
    return series;
}

/* One series for each run of neighbours that the same watch caught, so that each run gets its own label. */
static int32_t make_series(proof_pen *p, const sweep *s, pw_series *series)
{
    double *x = PW_NEW(p->arena, s->count, double), *y = PW_NEW(p->arena, s->count, double);
    if (x == NULL || y == NULL) {
        p->document->failed = true;
        return 0;
    }
    int32_t count = 0, last = -2;
    for (int32_t i = 0; i < s->count; i++) {
        const pw_outcome *outcome = &p->proof->outcomes[s->jobs[i]];
        x[i] = pw_unit_value(p->voice->units, PW_DIM_FLOW, p->proof->jobs->jobs[s->jobs[i]].fault.severity);
        y[i] = pw_unit_value(p->voice->units, PW_DIM_VOLUME, charted_m3(outcome));
        if (outcome->caught_by != last || count == 0) {
            if (count == MOST_SERIES) {
                return count; /* more changes than anybody could read */
            }
            series[count] = series_of(p, outcome->caught_by);
            series[count].x = x + i;
            series[count].y = y + i;
            count++;
            last = outcome->caught_by;
        }
        series[count - 1].count++;
    }
    return count;
}

/* The chart in words, for those who cannot see it: each run of neighbours in one sentence. */
static const char *chart_words(proof_pen *p, const sweep *s)
{
    pw_facts list;
    pw_facts_init(&list, p->arena);
    pw_tell(&list, "paper.chart-axes");
    for (int32_t i = 0; i < s->count;) {
        int32_t k = i, watch = p->proof->outcomes[s->jobs[i]].caught_by;
        while (k + 1 < s->count && p->proof->outcomes[s->jobs[k + 1]].caught_by == watch) {
            k++;
        }
        const pw_value last = pw_quantity(PW_DIM_FLOW, p->proof->jobs->jobs[s->jobs[k]].fault.severity);
        pw_tell(&list, "paper.chart-run", pw_quantity(PW_DIM_FLOW, p->proof->jobs->jobs[s->jobs[i]].fault.severity),
                k > i ? last : pw_named(""), pw_count(watch + 1));
        i = k + 1;
    }
    return say_facts(p->arena, p->voice, &list);
}

static void put_chart(proof_pen *p, const sweep *s)
{
    pw_plot *plot = PW_NEW(p->arena, 1, pw_plot);
    pw_series *series = PW_NEW(p->arena, MOST_SERIES, pw_series);
    pw_span *spans = PW_NEW(p->arena, PW_MAX_BANDS, pw_span);
    if (plot == NULL || series == NULL || spans == NULL) {
        p->document->failed = true;
        return;
    }
    const pw_jobs *jobs = p->proof->jobs;
    plot->title = pw_say_word(p->voice, "paper.chart-title");
    plot->voice = p->voice;
    plot->words = chart_words(p, s);
    if (plot->words == NULL) {
        p->document->failed = true;
        return;
    }
    plot->x.title = pw_say_word(p->voice, "paper.chart-leak");
    plot->x.unit = pw_unit_name(p->voice->units, PW_DIM_FLOW);
    plot->x.kind = PW_AXIS_LOG;
    plot->x.low = pw_unit_value(p->voice->units, PW_DIM_FLOW, jobs->jobs[s->jobs[0]].fault.severity) / 1.06;
    plot->x.high = pw_unit_value(p->voice->units, PW_DIM_FLOW, jobs->jobs[s->jobs[s->count - 1]].fault.severity) * 1.06;
    set_y_axis(p, s, &plot->y);
    plot->series = series;
    plot->series_count = make_series(p, s, series);
    plot->spans = spans;
    plot->span_count = p->proof->band_count;
    for (int32_t i = 0; i < p->proof->band_count; i++) {
        const pw_band *band = &p->proof->bands[i];
        spans[i].from =
            band->below_m3s > 0.0 ? pw_unit_value(p->voice->units, PW_DIM_FLOW, band->from_m3s) : plot->x.low;
        spans[i].to = band->above_m3s > 0.0 ? pw_unit_value(p->voice->units, PW_DIM_FLOW, band->to_m3s) : plot->x.high;
        spans[i].words = pw_say_word(p->voice, "paper.blind-band");
        spans[i].hatched = true;
    }
    plot->shading = "";
    plot->hatching = pw_say_word(p->voice, "paper.chart-hatching");
    pw_document_plot(p->document, plot);
}

/* "between A (seen) and B (not seen)" */
static pw_value edge(proof_pen *p, double seen_m3s, double unseen_m3s)
{
    const pw_value seen = pw_quantity(PW_DIM_FLOW, seen_m3s), unseen = pw_quantity(PW_DIM_FLOW, unseen_m3s);
    const pw_fact fact = seen_m3s <= 0.0         ? pw_fact_of("paper.edge-open", unseen)
                         : seen_m3s < unseen_m3s ? pw_fact_of("paper.edge-seen-below", seen, unseen)
                                                 : pw_fact_of("paper.edge-seen-above", unseen, seen);
    return pw_fact_inside(p->arena, fact);
}

static void put_band_words(proof_pen *p, const pw_band *band, int32_t number)
{
    say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_BAD,
              pw_fact_of("paper.band", pw_count(number), pw_quantity(PW_DIM_FLOW, band->from_m3s),
                         pw_quantity(PW_DIM_FLOW, band->to_m3s), edge(p, band->below_m3s, band->first_m3s),
                         edge(p, band->above_m3s, band->last_m3s), pw_quantity(PW_DIM_VOLUME, band->lost_from_m3d),
                         band->tried > 1 ? pw_quantity(PW_DIM_VOLUME, band->lost_to_m3d) : pw_named("")));
}

void proof_put_bands(proof_pen *p)
{
    sweep s = find_sweep(p);
    if (s.count < 2) {
        return;
    }
    say_heading(p->document, p->voice, 2, "paper.blind-bands");
    put_chart(p, &s);
    for (int32_t i = 0; i < p->proof->band_count; i++) {
        put_band_words(p, &p->proof->bands[i], i + 1);
    }
    if (p->proof->band_count == 0) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_GOOD, pw_fact_of("paper.no-blind-band"));
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("paper.sizes-tried", pw_count(s.count)));
}

/* ---- limits ---- */

/* Id of the words. */
static const char *closed_verdict(const pw_limits_check *check, double leak_m3s)
{
    bool starts = check->has_starts && leak_m3s >= check->starts_from_m3s && leak_m3s <= check->starts_to_m3s;
    bool run = check->has_run && leak_m3s >= check->run_from_m3s;
    if (starts && run) {
        return "paper.by-both";
    }
    if (starts) {
        return "paper.by-starts";
    }
    return run ? "paper.by-run-time" : "paper.by-neither";
}

static void put_limit_words(proof_pen *p, const pw_limits_check *check)
{
    pw_facts list;
    pw_facts_init(&list, p->arena);
    pw_tell(&list, "paper.limit-most-starts", pw_quantity(PW_DIM_FLOW, check->pump_m3s),
            pw_quantity(PW_DIM_VOLUME, check->drawdown_m3), pw_number(check->most_starts_per_hour, 3));
    if (check->has_starts) {
        const pw_value count = pw_count(check->starts_count), window = pw_quantity(PW_DIM_TIME, check->starts_window_s);
        const pw_value need = pw_number(check->starts_needed_per_hour, 3);
        if (check->starts_from_m3s > check->starts_to_m3s) {
            pw_tell(&list, "paper.limit-no-leak", count, window, need);
        } else {
            pw_tell(&list, "paper.limit-leaks", count, window, need, pw_quantity(PW_DIM_FLOW, check->starts_from_m3s),
                    pw_quantity(PW_DIM_FLOW, check->starts_to_m3s));
        }
    }
    if (check->has_run) {
        pw_tell(&list, "paper.limit-run", pw_quantity(PW_DIM_TIME, check->run_s),
                pw_quantity(PW_DIM_FLOW, check->run_from_m3s));
    }
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, say_facts(p->arena, p->voice, &list));
}

static void put_gap_note(proof_pen *p, const pw_limits_check *check)
{
    if (!check->has_starts || !check->has_run) {
        say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                  pw_fact_of(check->has_starts ? "paper.no-run-limit" : "paper.no-starts-limit"));
        return;
    }
    const bool none = check->starts_from_m3s > check->starts_to_m3s;
    const double blind_to = pw_min(check->starts_from_m3s, check->run_from_m3s);
    const pw_value run_from = pw_quantity(PW_DIM_FLOW, check->run_from_m3s);
    pw_facts list;
    pw_facts_init(&list, p->arena);
    if (check->gap && none) {
        pw_tell(&list, "paper.limits-leave-below", run_from);
    } else if (check->gap) {
        pw_tell(&list, "paper.limits-gap", pw_quantity(PW_DIM_FLOW, check->starts_to_m3s), run_from);
    } else {
        pw_tell(&list, "paper.limits-meet", pw_quantity(PW_DIM_FLOW, blind_to));
    }
    if (!none && blind_to > 0.0) {
        pw_tell(&list, "paper.limits-neither-below", pw_quantity(PW_DIM_FLOW, blind_to));
    }
    pw_tell(&list, "paper.limits-formula-only");
    pw_document_add(p->document, PW_BLOCK_NOTE, check->gap ? PW_TONE_BAD : PW_TONE_CAUTION,
                    say_facts(p->arena, p->voice, &list));
}

static const char *run_words(proof_pen *p, double run_s)
{
    return run_s >= 0.5 * PW_INF ? pw_say_word(p->voice, "paper.without-end")
                                 : say_amount(p->arena, p->voice, PW_DIM_TIME, run_s);
}

static pw_column column(proof_pen *p, const char *title, const char *below, bool number)
{
    return (pw_column){pw_say_word(p->voice, title), below[0] != '\0' ? pw_say_word(p->voice, below) : "", number};
}

static void put_limit_table(proof_pen *p, const pw_limits_check *check, const sweep *s)
{
    const pw_column columns[8] = {column(p, "paper.leak", "", true),
                                  column(p, "paper.starts", "paper.an-hour-formula", true),
                                  column(p, "paper.one-run", "paper.formula", true),
                                  column(p, "paper.seen-by", "paper.formula", false),
                                  column(p, "paper.starts", "paper.an-hour-trial", true),
                                  column(p, "paper.longest-run", "paper.in-trial", true),
                                  column(p, "paper.seen-by", "paper.in-trial", false),
                                  column(p, "paper.after", "paper.in-trial", true)};
    /* The table shows all that was swept up to 24 sizes; of more, evenly chosen ones with both ends. */
    int32_t rows = s->count < 24 ? s->count : 24;
    pw_grid *grid = proof_grid(p, "paper.closed-form-caption", columns, 8, rows);
    for (int32_t r = 0; r < rows; r++) {
        int32_t i = s->jobs[rows > 1 ? r * (s->count - 1) / (rows - 1) : 0];
        const pw_outcome *outcome = &p->proof->outcomes[i];
        double leak_m3s = p->proof->jobs->jobs[i].fault.severity;
        const bool caught = outcome->caught_by >= 0;
        const char *verdict = closed_verdict(check, leak_m3s);
        /* the sentence's number alone: whole sentences make the table too wide to be one */
        const char *by = say_fact(p->arena, p->voice, pw_fact_of("paper.glance-by", pw_count(outcome->caught_by + 1)));
        const char *words[8] = {say_amount(p->arena, p->voice, PW_DIM_FLOW, leak_m3s),
                                say_digits(p->arena, p->voice, pw_limits_starts_per_hour(check, leak_m3s), 3),
                                run_words(p, pw_limits_run_s(check, leak_m3s)),
                                pw_say_word(p->voice, verdict),
                                say_digits(p->arena, p->voice, outcome->starts_per_hour, 3),
                                say_amount(p->arena, p->voice, PW_DIM_TIME, outcome->longest_run_s),
                                caught ? by : pw_say_word(p->voice, "paper.none"),
                                caught ? say_amount(p->arena, p->voice, PW_DIM_TIME, outcome->seconds)
                                       : pw_say_word(p->voice, "paper.never")};
        for (int32_t c = 0; c < 8; c++) {
            p->document->failed = p->document->failed || words[c] == NULL;
            const bool neither = c == 3 && strcmp(verdict, "paper.by-neither") == 0;
            pw_grid_set(grid, r, c, words[c], neither || (c >= 6 && !caught) ? PW_TONE_BAD : PW_TONE_PLAIN);
        }
    }
}

void proof_put_limits(proof_pen *p)
{
    const pw_limits_check *check = &p->proof->check;
    if (!check->has_starts && !check->has_run) {
        return;
    }
    say_heading(p->document, p->voice, 2, "paper.two-limits");
    if (!check->known) {
        say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_PLAIN, pw_fact_of("paper.closed-form-not"));
        return;
    }
    put_limit_words(p, check);
    put_gap_note(p, check);
    sweep s = find_sweep(p);
    if (s.count > 0) {
        put_limit_table(p, check, &s);
    }
    say_block(p->document, p->voice, PW_BLOCK_WORDS, PW_TONE_MUTED, pw_fact_of("paper.closed-form-source"));
}
