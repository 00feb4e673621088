/* The plots of a day: strips under each other over the same time, in the paper and as one picture. */
#include "base/num.h"
#include "paper/day_parts.h"
#include "paper/paper.h"
#include "paper/plot.h"
#include "paper/say.h"

const char *day_words(day_pen *p, pw_dimension dimension, double si)
{
    const char *words = say_quantity(p->arena, p->units, dimension, si);
    if (words == NULL)
        p->document->failed = true;
    return words != NULL ? words : "";
}

typedef struct curve {
    const double *x, *y;
    double low, high;
} curve;

enum sampled { PRESSURE, PUMP_FLOW, DRAW_FLOW, LEVEL, BORE, WINDING, WATER };

static double sampled(const pw_sample *sample, enum sampled what)
{
    switch (what) {
    case PRESSURE: return (double)sample->pressure_pa;
    case PUMP_FLOW: return (double)sample->pump_m3s;
    case DRAW_FLOW: return (double)sample->draw_m3s;
    case BORE: return (double)sample->bore_m;
    case WINDING: return (double)sample->winding_c;
    case WATER: return (double)sample->water_c;
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

enum { MOST_MARKS = 4 };

/* Where a mishap begins or ends: a span without width, drawn as a line. */
static int32_t mark_mishaps(const pw_daybook *book, pw_span *out)
{
    int32_t count = 0;
    for (int32_t i = 0; i < book->entry_count && count < MOST_MARKS; i++) {
        const pw_entry *entry = &book->entries[i];
        if (entry->kind == PW_ENTRY_MISHAP || entry->kind == PW_ENTRY_MISHAP_END) {
            const double t_s = (double)entry->t_ms / 1000.0;
            out[count] = (pw_span){t_s, t_s, "", true};
            count++;
        }
    }
    return count;
}

/* Times at which the pump ran, from the samples; the two samples at each switching make the edges sharp. */
static int32_t running_spans(day_pen *p, const pw_span **out)
{
    const pw_daybook *book = p->book;
    int32_t count = 0;
    pw_span *spans = PW_NEW(p->arena, book->sample_count / 2 + 1 + MOST_MARKS, pw_span);
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
    return count + mark_mishaps(book, spans + count);
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
    plot->hatching = "a mishap begins or ends";
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
    const char *words = say(p->arena, "Pressure between ", day_words(p, PW_DIM_PRESSURE, totals->pressure_min_pa),
                            " and ", day_words(p, PW_DIM_PRESSURE, totals->pressure_max_pa), ".", NULL);
    /* A surge of milliseconds falls between the samples: it gets a line of its own. */
    const double most = pw_unit_value(p->units, PW_DIM_PRESSURE, totals->pressure_max_pa);
    const double high = has ? pw_max(c.high, out) : c.high;
    const bool surge = most > 1.05 * high;
    pw_plot *plot = new_plot(p, "Pressure", words, "pressure", PW_DIM_PRESSURE, has ? pw_min(c.low, in) : c.low,
                             surge ? most : high);
    pw_level *levels = PW_NEW(p->arena, 3, pw_level);
    pw_series *series = PW_NEW(p->arena, 1, pw_series);
    if (plot == NULL || levels == NULL || series == NULL) {
        p->document->failed = true;
        return;
    }
    series[0] = line_of(&c, p->book->sample_count, "pressure", 0, false);
    plot->series = series;
    plot->series_count = 1;
    if (has) {
        levels[0] =
            (pw_level){out, say(p->arena, "cut-out ", day_words(p, PW_DIM_PRESSURE, p->plant->cut_out_pa), NULL)};
        levels[1] = (pw_level){in, say(p->arena, "cut-in ", day_words(p, PW_DIM_PRESSURE, p->plant->cut_in_pa), NULL)};
        plot->level_count = 2;
    }
    if (surge) {
        levels[plot->level_count] = (pw_level){
            most, say(p->arena, "for moments ", day_words(p, PW_DIM_PRESSURE, totals->pressure_max_pa), NULL)};
        plot->level_count++;
    }
    plot->levels = levels;
    for (int32_t i = 0; i < plot->level_count; i++)
        p->document->failed = p->document->failed || levels[i].words == NULL;
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
                            day_words(p, PW_DIM_VOLUME, p->book->totals.pumped_m3), " pumped, ",
                            day_words(p, PW_DIM_VOLUME, p->book->totals.delivered_m3), " delivered.", NULL);
    pw_plot *plot = new_plot(p, "Flow", words, "flow", PW_DIM_FLOW, 0.0, pw_max(pump.high, draw.high));
    if (plot == NULL)
        return;
    series[0] = line_of(&pump, p->book->sample_count, "pump", 0, true);
    series[1] = line_of(&draw, p->book->sample_count, "drawn at the outlets", 1, true);
    plot->series = series;
    plot->series_count = 2;
    pw_document_plot(p->document, plot);
}

/* One strip with one line. */
static void put_strip(day_pen *p, enum sampled what, pw_dimension dimension, const char *title, const char *words,
                      const char *axis, const char *name, int32_t colour)
{
    curve c = make_curve(p, what, dimension);
    pw_series *series = PW_NEW(p->arena, 1, pw_series);
    if (c.x == NULL || series == NULL || title == NULL) {
        p->document->failed = true;
        return;
    }
    pw_plot *plot = new_plot(p, title, words, axis, dimension, c.low, c.high);
    if (plot == NULL)
        return;
    series[0] = line_of(&c, p->book->sample_count, name, colour, false);
    plot->series = series;
    plot->series_count = 1;
    pw_document_plot(p->document, plot);
}

static void put_levels(day_pen *p)
{
    const pw_site *site = p->plant->site;
    if (site->tank_count > 0) {
        const char *name = site->tanks[0].name;
        put_strip(p, LEVEL, PW_DIM_LENGTH, say(p->arena, "Water depth, ", name, NULL),
                  say(p->arena, "Depth of water in ", name, " over the same time.", NULL), "depth", name, 2);
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        const char *name = site->sources[i].name;
        if (site->sources[i].kind == PW_SOURCE_BORE) {
            put_strip(p, BORE, PW_DIM_LENGTH, say(p->arena, "Water over the intake, ", name, NULL),
                      say(p->arena, "Height of the water over the intake in ", name, ".", NULL), "height", name, 3);
            return; /* the samples know the first */
        }
    }
}

static void put_winding(day_pen *p)
{
    const char *words = say(p->arena, "Temperature of the hottest winding, up to ",
                            day_words(p, PW_DIM_TEMPERATURE, p->book->totals.winding_max_c), ".", NULL);
    put_strip(p, WINDING, PW_DIM_TEMPERATURE, "Winding", words, "temperature", "winding", 4);
}

/* Where it warmed enough to matter: a pump against a shut valve. */
static void put_water(day_pen *p)
{
    if (!(p->book->totals.water_max_c > p->plant->site->water_c.v + 20.0))
        return;
    const char *words = say(p->arena, "Temperature of the warmest water inside a pump, up to ",
                            day_words(p, PW_DIM_TEMPERATURE, p->book->totals.water_max_c), ".", NULL);
    put_strip(p, WATER, PW_DIM_TEMPERATURE, "Water inside the pump", words, "temperature", "water", 1);
}

void day_put_plots(day_pen *p)
{
    put_pressure(p);
    put_flow(p);
    put_levels(p);
    put_winding(p);
    put_water(p);
}
