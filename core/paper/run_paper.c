/* The day book as a paper: what the site did, in words, with totals and the plots of the time simulated. */
#include "base/num.h"
#include "paper/paper.h"
#include "paper/plot.h"
#include "paper/say.h"

enum { MOST_ENTRIES = 600 }; /* more lines than that nobody reads on paper */

typedef struct day_pen {
    pw_arena *arena;
    pw_document *document;
    const pw_plant *plant;
    const pw_daybook *book;
    const pw_units *units;
} day_pen;

static const char *q(day_pen *p, pw_dimension dimension, double si)
{
    const char *words = say_quantity(p->arena, p->units, dimension, si);
    if (words == NULL)
        p->document->failed = true;
    return words != NULL ? words : "";
}

static void put_headline(day_pen *p)
{
    const pw_totals *totals = &p->book->totals;
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_puts(&text, "In ", q(p, PW_DIM_TIME, (double)p->book->length_ms / 1000.0), " the pump started ", NULL);
    pw_text_int(&text, totals->starts);
    pw_text_puts(&text, totals->starts == 1 ? " time, ran " : " times, ran ", q(p, PW_DIM_TIME, totals->run_s),
                 " and pumped ", q(p, PW_DIM_VOLUME, totals->pumped_m3), ".", NULL);
    if (p->book->lock_count > 0) {
        pw_text_put(&text, " It was locked out ");
        pw_text_int(&text, p->book->lock_count);
        pw_text_put(&text, p->book->lock_count == 1 ? " time" : " times");
        pw_text_put(&text, p->book->locked_at_end ? " and was still locked out at the end." : ".");
    }
    if (p->book->ending == PW_END_HUNTING)
        pw_text_put(&text, " It began to hunt, more than 60 starts in a minute; the time ends there.");
    pw_document_add(p->document, PW_BLOCK_LEAD, PW_TONE_PLAIN, say_done(&text));
}

static void put_totals(day_pen *p)
{
    const pw_totals *totals = &p->book->totals;
    const char *lines[] = {"Delivered",
                           q(p, PW_DIM_VOLUME, totals->delivered_m3),
                           "Wanted",
                           q(p, PW_DIM_VOLUME, totals->wanted_m3),
                           "Too little at an outlet",
                           q(p, PW_DIM_TIME, totals->short_s),
                           "Leaked",
                           q(p, PW_DIM_VOLUME, totals->leaked_m3),
                           "Spilled",
                           q(p, PW_DIM_VOLUME, totals->spilled_m3),
                           "From the source",
                           q(p, PW_DIM_VOLUME, totals->source_m3),
                           "Most starts in an hour",
                           say_count(p->arena, (double)totals->most_starts_in_hour),
                           "Longest run",
                           q(p, PW_DIM_TIME, totals->longest_run_s),
                           "Ran dry",
                           q(p, PW_DIM_TIME, totals->dry_s),
                           "Ran against a shut valve",
                           q(p, PW_DIM_TIME, totals->deadhead_s),
                           "Hottest winding",
                           q(p, PW_DIM_TEMPERATURE, totals->winding_max_c),
                           "Pressure",
                           say(p->arena, q(p, PW_DIM_PRESSURE, totals->pressure_min_pa), " to ",
                               q(p, PW_DIM_PRESSURE, totals->pressure_max_pa), NULL),
                           "Energy",
                           q(p, PW_DIM_ENERGY, totals->energy_j)};
    pw_document_lines(p->document, PW_BLOCK_FACTS, lines, (int32_t)(sizeof lines / sizeof lines[0]));
}

/* ---- plots ---- */

typedef struct curve {
    const double *x, *y;
    double low, high;
} curve;

enum sampled { PRESSURE, PUMP_FLOW, DRAW_FLOW, LEVEL };

static double sampled(const pw_sample *sample, enum sampled what)
{
    switch (what) {
    case PRESSURE: return (double)sample->pressure_pa;
    case PUMP_FLOW: return (double)sample->pump_m3s;
    case DRAW_FLOW: return (double)sample->draw_m3s;
    case LEVEL: break;
    }
    return (double)sample->level_m;
}

static curve make_curve(day_pen *p, enum sampled what, pw_dimension dimension)
{
    curve made = {NULL, NULL, PW_INF, -PW_INF};
    int32_t count = p->book->sample_count;
    double *x = PW_NEW(p->arena, count, double), *y = PW_NEW(p->arena, count, double);
    if (x == NULL || y == NULL) {
        p->document->failed = true;
        return made;
    }
    for (int32_t i = 0; i < count; i++) {
        x[i] = (double)p->book->samples[i].t_ms / 1000.0;
        y[i] = pw_unit_value(p->units, dimension, sampled(&p->book->samples[i], what));
        made.low = pw_min(made.low, y[i]);
        made.high = pw_max(made.high, y[i]);
    }
    made.x = x;
    made.y = y;
    return made;
}

/* Times at which the pump ran, from the samples; the two samples at each switching make the edges sharp. */
static int32_t running_spans(day_pen *p, const pw_span **out)
{
    const pw_daybook *book = p->book;
    int32_t count = 0;
    pw_span *spans = PW_NEW(p->arena, book->sample_count / 2 + 1, pw_span);
    if (spans == NULL) {
        p->document->failed = true;
        return 0;
    }
    bool ran = false;
    for (int32_t i = 0; i < book->sample_count; i++) {
        bool runs = book->samples[i].running > 0.5f;
        double t_s = (double)book->samples[i].t_ms / 1000.0;
        if (runs && !ran) {
            if (count == book->sample_count / 2 + 1)
                break;
            spans[count].from = t_s;
            spans[count].words = "";
            count++;
        }
        if (runs || ran)
            spans[count - 1].to = t_s;
        ran = runs;
    }
    *out = spans;
    return count;
}

static pw_plot *new_plot(day_pen *p, const char *title, const char *words, const char *y_title, pw_dimension dimension,
                         double low, double high)
{
    pw_plot *plot = PW_NEW(p->arena, 1, pw_plot);
    pw_series *series = PW_NEW(p->arena, 2, pw_series);
    if (plot == NULL || series == NULL || words == NULL) {
        p->document->failed = true;
        return NULL;
    }
    const pw_daybook *book = p->book;
    plot->title = title;
    plot->words = words;
    plot->x = (pw_axis){"time of day", "", PW_AXIS_CLOCK, (double)book->samples[0].t_ms / 1000.0,
                        (double)book->samples[book->sample_count - 1].t_ms / 1000.0};
    if (plot->x.high <= plot->x.low)
        plot->x.high = plot->x.low + 1.0;
    double room = 0.1 * pw_max(high - low, 1e-9 + 1e-3 * pw_abs(high));
    plot->y = (pw_axis){y_title, pw_unit_name(p->units, dimension), PW_AXIS_LINEAR,
                        low >= 0.0 && low < high * 0.4 ? 0.0 : low - room, high + room};
    if (plot->y.high <= plot->y.low)
        plot->y.high = plot->y.low + 1.0;
    plot->series = series;
    plot->shading = "pump runs";
    plot->hatching = "";
    plot->span_count = running_spans(p, &plot->spans);
    plot->small = true;
    return plot;
}

static pw_series line_of(const curve *c, int32_t count, const char *name, int32_t colour, bool step)
{
    pw_series series = {name, "", count, c->x, c->y, true, step, PW_MARK_NONE, colour};
    return series;
}

static void put_pressure(day_pen *p)
{
    curve c = make_curve(p, PRESSURE, PW_DIM_PRESSURE);
    if (c.x == NULL)
        return;
    const pw_totals *totals = &p->book->totals;
    double in = pw_unit_value(p->units, PW_DIM_PRESSURE, p->plant->cut_in_pa);
    double out = pw_unit_value(p->units, PW_DIM_PRESSURE, p->plant->cut_out_pa);
    bool has = p->plant->cut_out_pa > p->plant->cut_in_pa && p->plant->cut_in_pa > 0.0;
    const char *words = say(p->arena, "Pressure between ", q(p, PW_DIM_PRESSURE, totals->pressure_min_pa), " and ",
                            q(p, PW_DIM_PRESSURE, totals->pressure_max_pa), ".", NULL);
    pw_plot *plot = new_plot(p, "Pressure", words, "pressure", PW_DIM_PRESSURE, has ? pw_min(c.low, in) : c.low,
                             has ? pw_max(c.high, out) : c.high);
    pw_level *levels = PW_NEW(p->arena, 2, pw_level);
    pw_series *series = PW_NEW(p->arena, 1, pw_series);
    if (plot == NULL || levels == NULL || series == NULL) {
        p->document->failed = true;
        return;
    }
    series[0] = line_of(&c, p->book->sample_count, "pressure", 0, false);
    plot->series = series;
    plot->series_count = 1;
    if (has) {
        levels[0] = (pw_level){out, say(p->arena, "cut-out ", q(p, PW_DIM_PRESSURE, p->plant->cut_out_pa), NULL)};
        levels[1] = (pw_level){in, say(p->arena, "cut-in ", q(p, PW_DIM_PRESSURE, p->plant->cut_in_pa), NULL)};
        if (levels[0].words == NULL || levels[1].words == NULL) {
            p->document->failed = true;
            return;
        }
        plot->levels = levels;
        plot->level_count = 2;
    }
    pw_document_plot(p->document, plot);
}

static void put_flow(day_pen *p)
{
    curve pump = make_curve(p, PUMP_FLOW, PW_DIM_FLOW), draw = make_curve(p, DRAW_FLOW, PW_DIM_FLOW);
    pw_series *series = PW_NEW(p->arena, 2, pw_series);
    if (pump.x == NULL || draw.x == NULL || series == NULL) {
        p->document->failed = true;
        return;
    }
    const char *words = say(p->arena, "Flow of the pump, and flow at the outlets together. ",
                            q(p, PW_DIM_VOLUME, p->book->totals.pumped_m3), " pumped, ",
                            q(p, PW_DIM_VOLUME, p->book->totals.delivered_m3), " delivered.", NULL);
    pw_plot *plot = new_plot(p, "Flow", words, "flow", PW_DIM_FLOW, 0.0, pw_max(pump.high, draw.high));
    if (plot == NULL)
        return;
    series[0] = line_of(&pump, p->book->sample_count, "pump", 0, true);
    series[1] = line_of(&draw, p->book->sample_count, "drawn at the outlets", 1, true);
    plot->series = series;
    plot->series_count = 2;
    pw_document_plot(p->document, plot);
}

static void put_level(day_pen *p)
{
    if (p->plant->site->tank_count == 0)
        return;
    curve c = make_curve(p, LEVEL, PW_DIM_LENGTH);
    pw_series *series = PW_NEW(p->arena, 1, pw_series);
    if (c.x == NULL || series == NULL) {
        p->document->failed = true;
        return;
    }
    const char *name = p->plant->site->tanks[0].name;
    const char *title = say(p->arena, "Water depth, ", name, NULL);
    const char *words = say(p->arena, "Depth of water in ", name, " over the same time.", NULL);
    pw_plot *plot = new_plot(p, title != NULL ? title : "", words, "depth", PW_DIM_LENGTH, c.low, c.high);
    if (plot == NULL)
        return;
    series[0] = line_of(&c, p->book->sample_count, name, 2, false);
    plot->series = series;
    plot->series_count = 1;
    pw_document_plot(p->document, plot);
}

/* ---- entries ---- */

static pw_tone tone_of(int32_t kind)
{
    switch (kind) {
    case PW_ENTRY_LOCK:
    case PW_ENTRY_HUNTING: return PW_TONE_BAD;
    case PW_ENTRY_WARN:
    case PW_ENTRY_DRY:
    case PW_ENTRY_SHORT:
    case PW_ENTRY_SPILL:
    case PW_ENTRY_MISHAP: return PW_TONE_CAUTION;
    case PW_ENTRY_DRAW:
    case PW_ENTRY_DRAW_END:
    case PW_ENTRY_FLOW:
    case PW_ENTRY_NO_FLOW: return PW_TONE_MUTED;
    default: return PW_TONE_PLAIN;
    }
}

/* An entry is "day 1  06:12:04  words": its time and its words go to their own columns. */
static void put_entry(day_pen *p, pw_grid *grid, int32_t row, const pw_entry *entry)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_entry_put(p->plant, entry, p->units, &text);
    if (text.failed || text.data == NULL) {
        p->document->failed = true;
        return;
    }
    size_t second = 0;
    int32_t gaps = 0;
    for (size_t i = 0; i + 1 < text.length && gaps < 2; i++) {
        if (text.data[i] != ' ' || text.data[i + 1] != ' ')
            continue;
        gaps++;
        if (gaps == 2)
            second = i;
        i++;
    }
    const char *time = pw_strdup(p->arena, text.data, second);
    if (time == NULL)
        p->document->failed = true;
    pw_grid_set(grid, row, 0, time, PW_TONE_PLAIN);
    pw_grid_set(grid, row, 1, second > 0 ? text.data + second + 2 : text.data, tone_of(entry->kind));
}

static void put_entries(day_pen *p)
{
    const pw_daybook *book = p->book;
    pw_document_heading(p->document, 2, "Day book");
    if (book->entry_count == 0) {
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, "No entries were kept.");
        return;
    }
    static const pw_column columns[2] = {{"When", "", false}, {"What", "", false}};
    int32_t rows = book->entry_count < MOST_ENTRIES ? book->entry_count : MOST_ENTRIES;
    pw_grid *grid = pw_document_grid(p->document, "", columns, 2, rows);
    for (int32_t i = 0; i < rows && grid != NULL; i++)
        put_entry(p, grid, i, &book->entries[i]);
    int32_t left = book->entry_count - rows + book->entries_lost;
    if (left > 0) {
        pw_text text;
        pw_text_init(&text, p->arena);
        pw_text_int(&text, left);
        pw_text_put(&text, left == 1 ? " further entry is not shown." : " further entries are not shown.");
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_MUTED, say_done(&text));
    }
}

pw_status pw_paper_day(pw_arena *arena, const pw_plant *plant, const pw_daybook *daybook, const pw_units *units,
                       pw_document **out)
{
    *out = NULL;
    const pw_site *site = plant->site;
    pw_document *document = pw_document_new(arena, "Day book", site->name, site->invented ? "INVENTED" : "");
    if (document == NULL)
        return PW_MEMORY;
    day_pen p = {arena, document, plant, daybook, units};
    put_headline(&p);
    (void)say_invented(document, site);
    pw_document_heading(document, 2, "Totals");
    put_totals(&p);
    if (daybook->sample_count > 1) {
        pw_document_heading(document, 2, "Over time");
        put_pressure(&p);
        put_flow(&p);
        put_level(&p);
    }
    pw_document_heading(document, 2, "The order");
    say_order(document, plant->order);
    put_entries(&p);
    if (document->failed)
        return PW_MEMORY;
    *out = document;
    return PW_OK;
}
