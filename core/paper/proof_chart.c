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
    for (int32_t i = 0; i < all->count; i++)
        swept = swept || all->jobs[i].kind == PW_JOB_SWEEP;
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
        double value = pw_unit_value(p->units, PW_DIM_VOLUME, charted_m3(&p->proof->outcomes[s->jobs[i]]));
        if (value > 0.0)
            low = pw_min(low, value);
        high = pw_max(high, value);
    }
    if (!(high > 0.0)) {
        low = 1.0;
        high = 10.0;
    }
    low = pw_max(low, high * 1e-7);
    axis->title = "water lost until a watch fires; if none does: in a day";
    axis->unit = pw_unit_name(p->units, PW_DIM_VOLUME);
    axis->kind = PW_AXIS_LOG;
    axis->low = pw_pow(10.0, pw_floor(pw_log10(low)));
    axis->high = pw_pow(10.0, pw_ceil(pw_log10(high)));
    if (axis->high < axis->low * 9.0)
        axis->high = axis->low * 10.0;
}

/* Which colour and mark a watch gets: its rank among the watches of the order, so that two never share both. */
static int32_t rank_of(const pw_settings *settings, int32_t sentence)
{
    int32_t rank = 0;
    for (int32_t i = 0; i < sentence; i++)
        rank += pw_settings_is_watch(settings, i);
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
        series.name = "seen by no watch: what is lost in a day";
        series.mark = PW_MARK_CROSS;
        series.colour = 4;
        return series;
    }
    int32_t rank = rank_of(p->proof->plant->settings, watch);
    static const int32_t colours[5] = {0, 1, 2, 3, 5}; /* 4 is kept for "seen by no watch" */
    pw_text tag;
    pw_text_init(&tag, p->arena);
    pw_text_put(&tag, "by ");
    pw_text_int(&tag, watch + 1);
    series.tag = say_done(&tag);
    series.name = say_sentence(p->arena, p->proof->plant->settings, watch);
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
        x[i] = pw_unit_value(p->units, PW_DIM_FLOW, p->proof->jobs->jobs[s->jobs[i]].fault.severity);
        y[i] = pw_unit_value(p->units, PW_DIM_VOLUME, charted_m3(outcome));
        if (outcome->caught_by != last || count == 0) {
            if (count == MOST_SERIES)
                return count; /* more changes than anybody could read */
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
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_put(&text, "Leak size across, water lost upwards, both on log scales.");
    for (int32_t i = 0; i < s->count;) {
        int32_t k = i, watch = p->proof->outcomes[s->jobs[i]].caught_by;
        while (k + 1 < s->count && p->proof->outcomes[s->jobs[k + 1]].caught_by == watch)
            k++;
        pw_text_put(&text, " ");
        pw_quantity_put(&text, p->units, PW_DIM_FLOW, p->proof->jobs->jobs[s->jobs[i]].fault.severity);
        if (k > i) {
            pw_text_put(&text, " to ");
            pw_quantity_put(&text, p->units, PW_DIM_FLOW, p->proof->jobs->jobs[s->jobs[k]].fault.severity);
        }
        pw_text_put(&text, watch < 0 ? ": seen by no watch." : ": seen by sentence ");
        if (watch >= 0) {
            pw_text_int(&text, watch + 1);
            pw_text_put(&text, ".");
        }
        i = k + 1;
    }
    return say_done(&text);
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
    plot->title = "Leaks: which watch sees them, and what they cost until then";
    plot->words = chart_words(p, s);
    if (plot->words == NULL) {
        p->document->failed = true;
        return;
    }
    plot->x.title = "leak";
    plot->x.unit = pw_unit_name(p->units, PW_DIM_FLOW);
    plot->x.kind = PW_AXIS_LOG;
    plot->x.low = pw_unit_value(p->units, PW_DIM_FLOW, jobs->jobs[s->jobs[0]].fault.severity) / 1.06;
    plot->x.high = pw_unit_value(p->units, PW_DIM_FLOW, jobs->jobs[s->jobs[s->count - 1]].fault.severity) * 1.06;
    set_y_axis(p, s, &plot->y);
    plot->series = series;
    plot->series_count = make_series(p, s, series);
    plot->spans = spans;
    plot->span_count = p->proof->band_count;
    for (int32_t i = 0; i < p->proof->band_count; i++) {
        const pw_band *band = &p->proof->bands[i];
        spans[i].from = band->below_m3s > 0.0 ? pw_unit_value(p->units, PW_DIM_FLOW, band->from_m3s) : plot->x.low;
        spans[i].to = band->above_m3s > 0.0 ? pw_unit_value(p->units, PW_DIM_FLOW, band->to_m3s) : plot->x.high;
        spans[i].words = "blind band";
        spans[i].hatched = true;
    }
    plot->shading = "";
    plot->hatching = "blind band: no watch fires on these leaks";
    pw_document_plot(p->document, plot);
}

/* "between A (seen) and B (not seen)" */
static void put_edge(proof_pen *p, double seen_m3s, double unseen_m3s, pw_text *text)
{
    if (seen_m3s <= 0.0) {
        pw_text_put(text, "open: the sweep ends at ");
        pw_quantity_put(text, p->units, PW_DIM_FLOW, unseen_m3s);
        return;
    }
    pw_text_put(text, "between ");
    pw_quantity_put(text, p->units, PW_DIM_FLOW, seen_m3s < unseen_m3s ? seen_m3s : unseen_m3s);
    pw_text_put(text, seen_m3s < unseen_m3s ? " (seen) and " : " (not seen) and ");
    pw_quantity_put(text, p->units, PW_DIM_FLOW, seen_m3s < unseen_m3s ? unseen_m3s : seen_m3s);
    pw_text_put(text, seen_m3s < unseen_m3s ? " (not seen)" : " (seen)");
}

static void put_band_words(proof_pen *p, const pw_band *band, int32_t number)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_put(&text, "Blind band ");
    pw_text_int(&text, number);
    pw_text_put(&text, ": ");
    pw_quantity_put(&text, p->units, PW_DIM_FLOW, band->from_m3s);
    pw_text_put(&text, " to ");
    pw_quantity_put(&text, p->units, PW_DIM_FLOW, band->to_m3s);
    pw_text_put(&text, ". Lower edge ");
    put_edge(p, band->below_m3s, band->first_m3s, &text);
    pw_text_put(&text, "; upper edge ");
    put_edge(p, band->above_m3s, band->last_m3s, &text);
    pw_text_put(&text, ". Lost a day: ");
    pw_quantity_put(&text, p->units, PW_DIM_VOLUME, band->lost_from_m3d);
    if (band->tried > 1) {
        pw_text_put(&text, " at its lower end, ");
        pw_quantity_put(&text, p->units, PW_DIM_VOLUME, band->lost_to_m3d);
        pw_text_put(&text, " at its upper end");
    }
    pw_text_put(&text, ".");
    pw_document_add(p->document, PW_BLOCK_NOTE, PW_TONE_BAD, say_done(&text));
}

void proof_put_bands(proof_pen *p)
{
    sweep s = find_sweep(p);
    if (s.count < 2)
        return;
    pw_document_heading(p->document, 2, "Blind bands of leaks");
    put_chart(p, &s);
    for (int32_t i = 0; i < p->proof->band_count; i++)
        put_band_words(p, &p->proof->bands[i], i + 1);
    if (p->proof->band_count == 0) {
        pw_document_add(p->document, PW_BLOCK_NOTE, PW_TONE_GOOD,
                        "No blind band: some watch saw every size of leak tried.");
    }
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_int(&text, s.count);
    pw_text_put(&text,
                " sizes were tried, closest to each other under the pump's full flow. Near the edges of a band a watch "
                "may owe its catch to a "
                "chance in the demand, which added the last starts it needed: the time it took is in the table below.");
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_MUTED, say_done(&text));
}

/* ---- limits ---- */

static const char *closed_verdict(const pw_limits_check *check, double leak_m3s)
{
    bool starts = check->has_starts && leak_m3s >= check->starts_from_m3s && leak_m3s <= check->starts_to_m3s;
    bool run = check->has_run && leak_m3s >= check->run_from_m3s;
    if (starts && run)
        return "both";
    if (starts)
        return "starts";
    if (run)
        return "run time";
    return "neither";
}

static void put_limit_words(proof_pen *p, const pw_limits_check *check)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_put(&text, "The pump gives ");
    pw_quantity_put(&text, p->units, PW_DIM_FLOW, check->pump_m3s);
    pw_text_put(&text, " at the reference pressure, and the vessel holds ");
    pw_quantity_put(&text, p->units, PW_DIM_VOLUME, check->drawdown_m3);
    pw_text_put(&text, " between cut-in and cut-out, so no leak alone can cause more than ");
    pw_text_digits(&text, check->most_starts_per_hour, 3);
    pw_text_put(&text, " starts an hour. ");
    if (check->has_starts) {
        pw_text_int(&text, check->starts_count);
        pw_text_put(&text, " starts in ");
        pw_quantity_put(&text, p->units, PW_DIM_TIME, check->starts_window_s);
        pw_text_put(&text, " need ");
        pw_text_digits(&text, check->starts_needed_per_hour, 3);
        pw_text_put(&text, " an hour: ");
        if (check->starts_from_m3s > check->starts_to_m3s) {
            pw_text_put(&text, "no leak alone ever reaches that. ");
        } else {
            pw_text_put(&text, "leaks from ");
            pw_quantity_put(&text, p->units, PW_DIM_FLOW, check->starts_from_m3s);
            pw_text_put(&text, " to ");
            pw_quantity_put(&text, p->units, PW_DIM_FLOW, check->starts_to_m3s);
            pw_text_put(&text, " do. ");
        }
    }
    if (check->has_run) {
        pw_text_put(&text, "A run of ");
        pw_quantity_put(&text, p->units, PW_DIM_TIME, check->run_s);
        pw_text_put(&text, " needs a leak of at least ");
        pw_quantity_put(&text, p->units, PW_DIM_FLOW, check->run_from_m3s);
        pw_text_put(&text, ".");
    }
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, say_done(&text));
}

static void put_gap_note(proof_pen *p, const pw_limits_check *check)
{
    if (!check->has_starts || !check->has_run) {
        pw_document_add(
            p->document, PW_BLOCK_NOTE, PW_TONE_CAUTION,
            check->has_starts
                ? "There is no limit of run time beside the limit of starts: a leak near the pump's full flow "
                  "keeps it running without any start to count."
                : "There is no limit of starts beside the limit of run time: every leak that lets the pump "
                  "reach cut-out goes unseen.");
        return;
    }
    pw_text text;
    pw_text_init(&text, p->arena);
    if (check->gap) {
        bool none = check->starts_from_m3s > check->starts_to_m3s;
        pw_text_put(&text, none ? "The limits leave everything below " : "The limits leave a gap: leaks from ");
        if (!none) {
            pw_quantity_put(&text, p->units, PW_DIM_FLOW, check->starts_to_m3s);
            pw_text_put(&text, " to ");
        }
        pw_quantity_put(&text, p->units, PW_DIM_FLOW, check->run_from_m3s);
        pw_text_put(&text, none ? " unseen." : " are too large for the one and too small for the other.");
    } else {
        pw_text_put(&text, "The limits meet: every leak from ");
        pw_quantity_put(&text, p->units, PW_DIM_FLOW, pw_min(check->starts_from_m3s, check->run_from_m3s));
        pw_text_put(&text, " up is seen by one of them.");
    }
    double blind_to = pw_min(check->starts_from_m3s, check->run_from_m3s);
    if (check->starts_from_m3s <= check->starts_to_m3s && blind_to > 0.0) {
        pw_text_put(&text, " Neither sees a leak below ");
        pw_quantity_put(&text, p->units, PW_DIM_FLOW, blind_to);
        pw_text_put(&text, ".");
    }
    pw_text_put(&text,
                " That is the formula's, for a leak alone, with the pump's flow and the leak as they are at each "
                "pressure from cut-in to cut-out. Users who draw beside it, a rest or a least run change it, as the "
                "trials in the table below show.");
    pw_document_add(p->document, PW_BLOCK_NOTE, check->gap ? PW_TONE_BAD : PW_TONE_CAUTION, say_done(&text));
}

static const char *run_words(proof_pen *p, double run_s)
{
    return run_s >= 0.5 * PW_INF ? "without end" : say_quantity(p->arena, p->units, PW_DIM_TIME, run_s);
}

static void put_limit_table(proof_pen *p, const pw_limits_check *check, const sweep *s)
{
    static const pw_column columns[8] = {{"Leak", "", true},
                                         {"Starts", "an hour, formula", true},
                                         {"One run", "formula", true},
                                         {"Seen by", "formula", false},
                                         {"Starts", "an hour, trial", true},
                                         {"Longest run", "trial", true},
                                         {"Seen by", "trial", false},
                                         {"After", "trial", true}};
    /* The table shows all that was swept up to 24 sizes; of more, evenly chosen ones with both ends. */
    int32_t rows = s->count < 24 ? s->count : 24;
    pw_grid *grid = pw_document_grid(p->document, "Closed form next to the trial", columns, 8, rows);
    for (int32_t r = 0; r < rows; r++) {
        int32_t i = s->jobs[rows > 1 ? r * (s->count - 1) / (rows - 1) : 0];
        const pw_outcome *outcome = &p->proof->outcomes[i];
        double leak_m3s = p->proof->jobs->jobs[i].fault.severity;
        bool caught = outcome->caught_by >= 0;
        pw_text starts;
        pw_text_init(&starts, p->arena);
        pw_text_digits(&starts, pw_limits_starts_per_hour(check, leak_m3s), 3);
        pw_text seen;
        pw_text_init(&seen, p->arena);
        pw_text_digits(&seen, outcome->starts_per_hour, 3);
        pw_text by; /* the sentence's number alone: whole sentences make the table too wide to be one */
        pw_text_init(&by, p->arena);
        pw_text_put(&by, "by ");
        pw_text_int(&by, outcome->caught_by + 1);
        const char *words[8] = {say_quantity(p->arena, p->units, PW_DIM_FLOW, leak_m3s),
                                say_done(&starts),
                                run_words(p, pw_limits_run_s(check, leak_m3s)),
                                closed_verdict(check, leak_m3s),
                                say_done(&seen),
                                say_quantity(p->arena, p->units, PW_DIM_TIME, outcome->longest_run_s),
                                caught ? say_done(&by) : "none",
                                caught ? say_quantity(p->arena, p->units, PW_DIM_TIME, outcome->seconds) : "never"};
        for (int32_t c = 0; c < 8; c++) {
            if (words[c] == NULL)
                p->document->failed = true;
            bool neither = c == 3 && strcmp(words[c], "neither") == 0;
            bool never = c >= 6 && !caught;
            pw_grid_set(grid, r, c, words[c], neither || never ? PW_TONE_BAD : PW_TONE_PLAIN);
        }
    }
}

void proof_put_limits(proof_pen *p)
{
    const pw_limits_check *check = &p->proof->check;
    if (!check->has_starts && !check->has_run)
        return;
    pw_document_heading(p->document, 2, "A limit of starts with a limit of run time");
    if (!check->known) {
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                        "This site has no pressure vessel between a cut-in and a cut-out pressure, so the closed form "
                        "does not apply; the "
                        "trials above still do.");
        return;
    }
    put_limit_words(p, check);
    put_gap_note(p, check);
    sweep s = find_sweep(p);
    if (s.count > 0)
        put_limit_table(p, check, &s);
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_MUTED,
                    "Formula for a steady leak q and no other draw, with the pump's flow Q and the vessel's drawdown "
                    "V: it empties in "
                    "V/q and fills in V/(Q-q), so starts an hour are q(Q-q)/(QV) and one run lasts V/(Q-q). The trial "
                    "has the demand as "
                    "well, which adds starts, and a pump whose flow changes with pressure.");
}
