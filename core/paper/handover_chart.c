/* Duty of the pumps and their suction, as charts: the pump's curve with the points at which it works, and the NPSH that
 * it asks for with that which the site gives. */
#include "base/num.h"
#include "paper/handover_parts.h"
#include "paper/plot.h"
#include "paper/say.h"
#include "study/verdict.h"

enum { SERIES = 3 };

typedef enum quantity { HEAD, NPSH } quantity;

static double of_point(const pw_curve_point *point, quantity which)
{
    return which == HEAD ? point->head_m.v : point->npsh_m.v;
}

static double of_duty(const pw_duty *duty, quantity which)
{
    return which == HEAD ? duty->head_m : duty->npsh_available_m;
}

/* The pump's curve, or of it what it tells of NPSH. */
static bool make_curve(handover_pen *p, const pw_pump *pump, quantity which, pw_series *out)
{
    double *x = PW_NEW(p->arena, PW_MAX_CURVE, double), *y = PW_NEW(p->arena, PW_MAX_CURVE, double);
    if (x == NULL || y == NULL) {
        p->document->failed = true;
        return false;
    }
    for (int32_t i = 0; i < pump->point_count; i++) {
        if (which == HEAD || pump->curve[i].npsh_m.given) {
            x[out->count] = pw_unit_value(p->voice->units, PW_DIM_FLOW, pump->curve[i].flow_m3s.v);
            y[out->count] = pw_unit_value(p->voice->units, PW_DIM_LENGTH, of_point(&pump->curve[i], which));
            out->count++;
        }
    }
    out->x = x;
    out->y = y;
    return true;
}

static bool make_duties(handover_pen *p, int32_t pump, quantity which, pw_series *out)
{
    double *x = PW_NEW(p->arena, p->job->duty_count + 1, double), *y = PW_NEW(p->arena, p->job->duty_count + 1, double);
    if (x == NULL || y == NULL) {
        p->document->failed = true;
        return false;
    }
    for (int32_t i = 0; i < p->job->duty_count; i++) {
        const pw_duty_row *row = &p->job->duties[i];
        if (row->pump == pump && row->duty.flow_m3s > 0.0 && of_duty(&row->duty, which) < PW_INF) {
            x[out->count] = pw_unit_value(p->voice->units, PW_DIM_FLOW, row->duty.flow_m3s);
            y[out->count] = pw_unit_value(p->voice->units, PW_DIM_LENGTH, of_duty(&row->duty, which));
            out->count++;
        }
    }
    out->x = x;
    out->y = y;
    return true;
}

static double highest(const pw_series *series, const double *values)
{
    double most = 0.0;
    for (int32_t i = 0; i < series->count; i++) {
        most = pw_max(most, values[i]);
    }
    return most;
}

static void put_plot(handover_pen *p, int32_t number, quantity which)
{
    const pw_pump *pump = &p->plant->site->pumps[number];
    pw_plot *plot = PW_NEW(p->arena, 1, pw_plot);
    pw_series *series = PW_NEW(p->arena, SERIES, pw_series);
    if (plot == NULL || series == NULL || !make_curve(p, pump, which, &series[0]) ||
        !make_duties(p, number, which, &series[1])) {
        p->document->failed = true;
        return;
    }
    series[0].name = handover_word(p, which == HEAD ? "handover.curve" : "handover.npsh-asked");
    series[1].name = handover_word(p, which == HEAD ? "handover.works" : "handover.npsh-there");
    series[0].tag = series[1].tag = "";
    series[0].line = series[0].count > 1;
    series[0].mark = series[0].count > 1 ? PW_MARK_NONE : PW_MARK_DOT;
    series[1].mark = PW_MARK_SQUARE;
    series[1].colour = 1;
    const double most_x =
        pw_max(pw_unit_value(p->voice->units, PW_DIM_FLOW, pump->curve[pump->point_count - 1].flow_m3s.v),
               highest(&series[1], series[1].x));
    const double most_y = pw_max(highest(&series[0], series[0].y), highest(&series[1], series[1].y));
    plot->title =
        handover_say(p, pw_fact_of(which == HEAD ? "handover.duty-of" : "handover.npsh-of", pw_named(pump->name)));
    plot->words = plot->title;
    plot->x = (pw_axis){handover_word(p, "paper.duty-flow"), pw_unit_name(p->voice->units, PW_DIM_FLOW), PW_AXIS_LINEAR,
                        0.0, 1.05 * pw_max(most_x, 1e-9)};
    plot->y = (pw_axis){which == HEAD ? handover_word(p, "paper.duty-head") : "NPSH",
                        pw_unit_name(p->voice->units, PW_DIM_LENGTH), PW_AXIS_LINEAR, 0.0, 1.1 * pw_max(most_y, 1e-9)};
    const bool asked = series[0].count > 0;
    plot->series = asked ? series : series + 1;
    plot->series_count = asked ? 2 : 1;
    plot->shading = plot->hatching = "";
    plot->voice = p->voice;
    pw_document_plot(p->document, plot);
}

static void put_table(handover_pen *p)
{
    static const handover_column columns[] = {{"paper.pump", false},
                                              {"paper.duty-flow", true},
                                              {"paper.duty-head", true},
                                              {"handover.pressure", true},
                                              {"paper.duty-current", true},
                                              {"handover.npsh-available", true},
                                              {"handover.npsh-required", true},
                                              {NULL, false}};
    const pw_duty_row *rows = p->job->duties;
    pw_grid *grid = handover_grid(p, "paper.duty-caption", columns, p->job->duty_count);
    for (int32_t i = 0; i < p->job->duty_count; i++) {
        const pw_duty *duty = &rows[i].duty;
        const pw_fact at = pw_duty_at_fact(&rows[i]);
        const pw_fact values[] = {
            pw_fact_of("paper.duty-pump", pw_named(p->plant->site->pumps[rows[i].pump].name), pw_nested(&at)),
            pw_fact_of("base.value", pw_quantity(PW_DIM_FLOW, duty->flow_m3s)),
            pw_fact_of("base.value", pw_head(duty->head_m)),
            pw_fact_of("base.value", pw_quantity(PW_DIM_PRESSURE, duty->pressure_pa)),
            pw_fact_of("base.value", pw_quantity(PW_DIM_CURRENT, duty->current_a)),
            pw_fact_of("base.value", pw_head(duty->npsh_available_m)),
            duty->npsh_required_m >= 0.0 ? pw_fact_of("base.value", pw_head(duty->npsh_required_m))
                                         : pw_fact_of("handover.not-stated")};
        for (int32_t c = 0; c < 7; c++) {
            handover_cell(p, grid, i, c, handover_say(p, values[c]));
        }
        const pw_npsh_verdict verdict =
            pw_npsh_judge(duty->npsh_available_m, duty->npsh_required_m, p->plant->site->design.suction.margin_m.v);
        if (verdict == PW_NPSH_SHORT && grid != NULL) {
            grid->cells[i * grid->column_count + 5].tone = PW_TONE_BAD;
        }
    }
}

void handover_put_chart(handover_pen *p)
{
    const pw_site *site = p->plant->site;
    say_heading(p->document, p->voice, 2, "handover.duty");
    put_table(p);
    for (int32_t i = 0; i < site->pump_count; i++) {
        bool states = false;
        for (int32_t k = 0; k < site->pumps[i].point_count; k++) {
            states = states || site->pumps[i].curve[k].npsh_m.given;
        }
        put_plot(p, i, HEAD);
        put_plot(p, i, NPSH);
        if (!states) {
            say_block(p->document, p->voice, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                      pw_fact_of("handover.npsh-unknown", pw_named(site->pumps[i].name)));
        }
    }
}
