/* What the strips of a day are made of: curves and spans out of the samples, an empty strip. */
#include "base/num.h"
#include "paper/day_parts.h"
#include "paper/say.h"

const char *day_words(day_pen *p, pw_dimension dimension, double si)
{
    const char *words = say_amount(p->arena, p->voice, dimension, si);
    if (words == NULL) {
        p->document->failed = true;
    }
    return words != NULL ? words : "";
}

double day_value(const day_pen *p, int32_t sample, int32_t what)
{
    const pw_daybook *book = p->book;
    double sum = 0.0;
    switch (what) {
    case DAY_PRESSURE: return (double)book->samples[sample].pressure_pa;
    case DAY_DRAWN: return (double)book->samples[sample].draw_m3s;
    case DAY_PUMPED:
        for (int32_t pump = 0; pump < p->plant->site->pump_count; pump++) {
            sum += (double)pw_sample_value(book, sample, pw_column_pump(pump, PW_PUMP_FLOW));
        }
        return sum;
    default: return (double)pw_sample_value(book, sample, what);
    }
}

day_curve day_make_curve(day_pen *p, int32_t what, pw_dimension dimension)
{
    day_curve made = {NULL, NULL, PW_INF, -PW_INF};
    int32_t count = p->book->sample_count;
    double *x = PW_NEW(p->arena, count, double), *y = PW_NEW(p->arena, count, double);
    if (x == NULL || y == NULL) {
        p->document->failed = true;
        return made;
    }
    for (int32_t i = 0; i < count; i++) {
        x[i] = (double)p->book->samples[i].t_ms / 1000.0;
        y[i] = pw_unit_value(p->units, dimension, day_value(p, i, what));
        made.low = pw_min(made.low, y[i]);
        made.high = pw_max(made.high, y[i]);
    }
    made.x = x;
    made.y = y;
    return made;
}

pw_series day_line(const day_pen *p, const day_curve *c, const char *name, int32_t colour, bool step)
{
    pw_series series = {name, "", p->book->sample_count, c->x, c->y, true, step, PW_MARK_NONE, colour};
    return series;
}

/* ---- spans ---- */

enum { MOST_MARKS = 4 };

/* Where a fault begins or ends: a span without width, drawn as a line. */
static int32_t mark_faults(const pw_daybook *book, pw_span *out)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count && count < MOST_MARKS; i++) {
        const pw_entry *entry = &book->entries[i];
        if (entry->kind == PW_ENTRY_FAULT || entry->kind == PW_ENTRY_FAULT_END) {
            const double t_s = (double)entry->t_ms / 1000.0;
            out[count] = (pw_span){t_s, t_s, "", true, 0};
            count++;
        }
    }
    return count;
}

static bool runs(const day_pen *p, int32_t sample, int32_t pump)
{
    bool any = false;
    for (int32_t i = 0; i < p->plant->site->pump_count; i++) {
        any = any ||
              ((pump < 0 || i == pump) && pw_sample_value(p->book, sample, pw_column_pump(i, PW_PUMP_RUNS)) > 0.5f);
    }
    return any;
}

/* Times at which a pump (-1: any) ran; the two samples at each switching make the edges sharp. */
static int32_t running_spans(const day_pen *p, int32_t pump, pw_span *out)
{
    const pw_daybook *book = p->book;
    int32_t count = 0;
    bool ran = false;
    for (int32_t i = 0; i < book->sample_count; i++) {
        const bool now = runs(p, i, pump);
        const double t_s = (double)book->samples[i].t_ms / 1000.0;
        if (now && !ran) {
            out[count] = (pw_span){t_s, t_s, "", false, pump < 0 ? 0 : pump};
            count++;
        }
        if (now || ran) {
            out[count - 1].to = t_s;
        }
        ran = now;
    }
    return count;
}

const char *day_shading(day_pen *p)
{
    const char *words =
        say_fact(p->arena, p->voice, pw_fact_of("day.shading", pw_truth(p->plant->site->pump_count > 1)));
    p->document->failed = p->document->failed || words == NULL;
    return words != NULL ? words : "";
}

static void put_spans(day_pen *p, pw_plot *plot)
{
    const int32_t rows = plot->row_count > 0 ? plot->row_count : 1;
    pw_span *spans = PW_NEW(p->arena, (int64_t)rows * (p->book->sample_count / 2 + 1) + MOST_MARKS, pw_span);
    if (spans == NULL) {
        p->document->failed = true;
        return;
    }
    for (int32_t row = 0; row < rows; row++) {
        plot->span_count += running_spans(p, plot->row_count > 0 ? row : -1, spans + plot->span_count);
    }
    plot->span_count += mark_faults(p->book, spans + plot->span_count);
    plot->spans = spans;
    plot->shading = plot->row_count > 0 ? "" : day_shading(p);
    plot->hatching = pw_say_word(p->voice, "day.hatching");
}

/* ---- an empty strip ---- */

pw_plot *day_new_strip(day_pen *p, const char *title, const char *words, pw_axis y, int32_t series_count)
{
    pw_plot *plot = PW_NEW(p->arena, 1, pw_plot);
    pw_series *series = PW_NEW(p->arena, series_count + 1, pw_series);
    if (plot == NULL || series == NULL || title == NULL || words == NULL) {
        p->document->failed = true;
        return NULL;
    }
    const pw_daybook *book = p->book;
    const double from = (double)book->samples[0].t_ms / 1000.0;
    const double to = (double)book->samples[book->sample_count - 1].t_ms / 1000.0;
    plot->voice = p->voice;
    plot->title = title;
    plot->words = words;
    plot->x = (pw_axis){pw_say_word(p->voice, to - from > 86400.0 ? "day.axis-day" : "day.axis-time"), "",
                        PW_AXIS_CLOCK, from, to};
    if (plot->x.high <= plot->x.low) {
        plot->x.high = plot->x.low + 1.0;
    }
    const double low = y.low, high = y.high;
    const double room = 0.1 * pw_max(high - low, 1e-9 + 1e-3 * pw_abs(high));
    plot->y = y;
    plot->y.low = low >= 0.0 && low < high * 0.4 ? 0.0 : low - room;
    plot->y.high = high + room;
    if (plot->y.high <= plot->y.low) {
        plot->y.high = plot->y.low + 1.0;
    }
    plot->series = series;
    plot->series_count = series_count;
    plot->small = true;
    return plot;
}

void day_put_strip(day_pen *p, pw_plot *plot, const pw_series *series)
{
    plot->series = series;
    put_spans(p, plot);
    pw_document_plot(p->document, plot);
}
