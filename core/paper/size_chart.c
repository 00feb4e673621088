/* The pump's curve against the site: the band from new to aged pipes and from high to low water, and where they meet.
 */
#include "base/num.h"
#include "paper/plot.h"
#include "paper/size_parts.h"

enum { SERIES = 5, LABELS = 4 };

/* A curve in the units shown, cut where it leaves the field, with its last point on the edge. */
static void make(const size_pen *p, const pw_size_curve *curve, double most_m3s, double most_m, pw_series *out)
{
    double *x = PW_NEW(p->arena, PW_SIZE_CURVE, double);
    double *y = PW_NEW(p->arena, PW_SIZE_CURVE, double);
    out->count = 0;
    if (x == NULL || y == NULL) {
        p->document->failed = true;
        return;
    }
    for (int32_t i = 0; i < curve->count; i++) {
        double flow = curve->flow_m3s[i];
        double head = curve->head_m[i];
        const bool outside = flow > most_m3s || head > most_m;
        if (outside && i > 0) {
            const double last_flow = curve->flow_m3s[i - 1];
            const double last_head = curve->head_m[i - 1];
            double part = flow > most_m3s ? (most_m3s - last_flow) / (flow - last_flow) : 1.0;
            part = head > most_m ? pw_min(part, (most_m - last_head) / (head - last_head)) : part;
            flow = last_flow + pw_clamp(part, 0.0, 1.0) * (flow - last_flow);
            head = last_head + pw_clamp(part, 0.0, 1.0) * (head - last_head);
        }
        if (outside && i == 0) {
            return;
        }
        x[out->count] = pw_unit_value(p->units, PW_DIM_FLOW, flow);
        y[out->count] = pw_unit_value(p->units, PW_DIM_LENGTH, pw_max(head, 0.0));
        out->count++;
        if (outside) {
            break;
        }
    }
    out->x = x;
    out->y = y;
}

static void make_duties(const size_pen *p, pw_series *out)
{
    const pw_sizing *sizing = p->sizing;
    double *x = PW_NEW(p->arena, PW_SIZE_DUTIES, double);
    double *y = PW_NEW(p->arena, PW_SIZE_DUTIES, double);
    if (x == NULL || y == NULL) {
        p->document->failed = true;
        return;
    }
    for (int32_t i = 0; i < sizing->duty_count; i++) {
        x[i] = pw_unit_value(p->units, PW_DIM_FLOW, sizing->duties[i].flow_m3s);
        y[i] = pw_unit_value(p->units, PW_DIM_LENGTH, sizing->duties[i].head_m);
    }
    out->x = x;
    out->y = y;
    out->count = sizing->duty_count;
}

static const char *words_of(const size_pen *p)
{
    const pw_sizing *sizing = p->sizing;
    const pw_size_duty *first = &sizing->duties[0];
    const pw_size_duty *last = &sizing->duties[sizing->duty_count - 1];
    return size_words(p, pw_fact_of("size.paper-chart-words", pw_quantity(PW_DIM_FLOW, first->flow_m3s),
                                    pw_head(first->head_m), pw_quantity(PW_DIM_FLOW, last->flow_m3s),
                                    pw_head(last->head_m)));
}

/* Head of a curve at a flow, both in the units shown. */
static double height(const pw_series *curve, double x)
{
    for (int32_t i = 1; i < curve->count; i++) {
        if (curve->x[i] >= x) {
            const double part = (x - curve->x[i - 1]) / (curve->x[i] - curve->x[i - 1]);
            return curve->y[i - 1] + part * (curve->y[i] - curve->y[i - 1]);
        }
    }
    return curve->count > 0 ? curve->y[curve->count - 1] : 0.0;
}

/* A label stands over its point: a series of one point without a mark, of the same name, so that the key has it once.
 */
static void label(const size_pen *p, const pw_series *line, const char *tag, double share, double drop,
                  const pw_plot *plot, pw_series *out)
{
    double *at = PW_NEW(p->arena, 2, double);
    if (at == NULL || line->count < 2) {
        p->document->failed = p->document->failed || at == NULL;
        out->name = line->name;
        out->tag = "";
        return;
    }
    at[0] = plot->x.high * share;
    at[1] = pw_max(height(line, at[0]) - drop * plot->y.high, 0.0);
    *out = *line;
    out->tag = tag;
    out->count = 1;
    out->x = &at[0];
    out->y = &at[1];
    out->line = false;
}

void size_put_chart(size_pen *p)
{
    const pw_sizing *sizing = p->sizing;
    pw_series *series = PW_NEW(p->arena, SERIES + LABELS, pw_series);
    pw_plot *plot = PW_NEW(p->arena, 1, pw_plot);
    if (series == NULL || plot == NULL) {
        p->document->failed = true;
        return;
    }
    const double most_m = 1.15 * sizing->pump_curve.head_m[0];
    const double most_m3s = 1.05 * sizing->pump_curve.flow_m3s[sizing->pump_curve.count - 1];
    static const struct {
        const char *name, *tag;
        int32_t colour;
        double share, drop; /* of the label: along the flow, and under the line */
    } looks[SERIES] = {
        {"size.paper-chart-easy", "size.paper-tag-easy", 2, 0.12, 0.105},
        {"size.paper-chart-hard", "size.paper-tag-hard", 3, 0.12, 0.0},
        {"size.paper-chart-usual", "size.paper-tag-usual", 4, 0.30, 0.0},
        {"size.paper-chart-pump", "size.paper-tag-pump", 0, 0.45, 0.0},
        {"size.paper-chart-works", "", 1, 0.0, 0.0},
    };
    make(p, &sizing->easy, most_m3s, most_m, &series[0]);
    make(p, &sizing->hard, most_m3s, most_m, &series[1]);
    make(p, &sizing->usual, most_m3s, most_m, &series[2]);
    make(p, &sizing->pump_curve, most_m3s, most_m, &series[3]);
    make_duties(p, &series[4]);
    for (int32_t i = 0; i < SERIES; i++) {
        series[i].name = word(p, looks[i].name);
        series[i].tag = "";
        series[i].colour = looks[i].colour;
        series[i].line = i != 4;
        series[i].mark = i == 4 ? PW_MARK_SQUARE : PW_MARK_NONE;
    }
    plot->title = word(p, "size.paper-chart-title");
    plot->words = words_of(p);
    plot->x = (pw_axis){word(p, "size.paper-axis-flow"), pw_unit_name(p->units, PW_DIM_FLOW), PW_AXIS_LINEAR, 0.0,
                        pw_unit_value(p->units, PW_DIM_FLOW, most_m3s)};
    plot->y = (pw_axis){word(p, "size.paper-axis-head"), pw_unit_name(p->units, PW_DIM_LENGTH), PW_AXIS_LINEAR, 0.0,
                        pw_unit_value(p->units, PW_DIM_LENGTH, most_m)};
    for (int32_t i = 0; i < LABELS; i++) {
        label(p, &series[i], word(p, looks[i].tag), looks[i].share, looks[i].drop, plot, &series[SERIES + i]);
    }
    plot->series = series;
    plot->series_count = SERIES + LABELS;
    plot->shading = "";
    plot->hatching = "";
    plot->filled = series[0].count > 1 && series[1].count > 1;
    plot->fill_a = 0;
    plot->fill_b = 1;
    pw_document_plot(p->document, plot);
}
