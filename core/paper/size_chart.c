/* The pump's curve against the site: the band from new to aged pipes and from high to low water, and where they meet.
 */
#include "base/num.h"
#include "paper/plot.h"
#include "paper/size_parts.h"

enum { SERIES = 5 };

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
    const char *a = say_quantity(p->arena, p->units, PW_DIM_FLOW, first->flow_m3s);
    const char *b = say_quantity(p->arena, p->units, PW_DIM_LENGTH, first->head_m);
    const char *c = say_quantity(p->arena, p->units, PW_DIM_FLOW, last->flow_m3s);
    const char *d = say_quantity(p->arena, p->units, PW_DIM_LENGTH, last->head_m);
    if (a == NULL || b == NULL || c == NULL || d == NULL) {
        p->document->failed = true;
        return "";
    }
    return say(p->arena,
               "The pump's curve falls with flow and crosses the band of what the site asks for. Where it is easiest "
               "the pump gives ",
               a, " against ", b, "; where it is hardest, ", c, " against ", d, ".", NULL);
}

void size_put_chart(size_pen *p)
{
    const pw_sizing *sizing = p->sizing;
    pw_series *series = PW_NEW(p->arena, SERIES, pw_series);
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
    } looks[SERIES] = {
        {"system, easiest: new pipes, water as stated, lower pressure", "easiest", 2},
        {"system, hardest: aged pipes, lowest water, upper pressure", "hardest", 3},
        {"system, usual", "usual", 4},
        {"pump", "pump", 0},
        {"duties", "", 1},
    };
    make(p, &sizing->easy, most_m3s, most_m, &series[0]);
    make(p, &sizing->hard, most_m3s, most_m, &series[1]);
    make(p, &sizing->usual, most_m3s, most_m, &series[2]);
    make(p, &sizing->pump_curve, most_m3s, most_m, &series[3]);
    make_duties(p, &series[4]);
    for (int32_t i = 0; i < SERIES; i++) {
        series[i].name = looks[i].name;
        series[i].tag = looks[i].tag;
        series[i].colour = looks[i].colour;
        series[i].line = i != 4;
        series[i].mark = i == 4 ? PW_MARK_DOT : PW_MARK_NONE;
    }
    plot->title = "The pump against the site";
    plot->words = words_of(p);
    plot->x = (pw_axis){"flow", pw_unit_name(p->units, PW_DIM_FLOW), PW_AXIS_LINEAR, 0.0,
                        pw_unit_value(p->units, PW_DIM_FLOW, most_m3s)};
    plot->y = (pw_axis){"head", pw_unit_name(p->units, PW_DIM_LENGTH), PW_AXIS_LINEAR, 0.0,
                        pw_unit_value(p->units, PW_DIM_LENGTH, most_m)};
    plot->series = series;
    plot->series_count = SERIES;
    plot->shading = "";
    plot->hatching = "";
    plot->filled = series[0].count > 1 && series[1].count > 1;
    plot->fill_a = 0;
    plot->fill_b = 1;
    pw_document_plot(p->document, plot);
}
