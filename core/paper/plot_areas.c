/* Areas of a plot as SVG: shaded and hatched spans, rows of bars, the space between two lines. */
#include "base/num.h"
#include "paper/plot_sheet.h"

/* A rectangle of a path, over a span; however short it is, it can be seen. */
static void put_area(sheet *s, const pw_span *span, double top, double bottom)
{
    const double from = plot_x(s, span->from), wide = pw_max(plot_x(s, span->to) - from, 0.6);
    pw_text_put(s->out, "M");
    plot_px(s->out, from);
    pw_text_put(s->out, " ");
    plot_px(s->out, top);
    pw_text_put(s->out, "h");
    plot_px(s->out, wide);
    pw_text_put(s->out, "v");
    plot_px(s->out, bottom - top);
    pw_text_put(s->out, "h");
    plot_px(s->out, -wide);
    pw_text_put(s->out, "z");
}

void plot_put_shading(sheet *s)
{
    pw_text *out = s->out;
    if (!plot_has_shading(s->plot) || s->plot->row_count > 0) {
        return;
    }
    pw_text_put(out, "<path class=\"pw-shade\" d=\"");
    for (int32_t i = 0; i < s->plot->span_count; i++) {
        const pw_span *span = &s->plot->spans[i];
        if (span->hatched || span->to <= s->plot->x.low || span->from >= s->plot->x.high) {
            continue;
        }
        put_area(s, span, s->top, s->bottom);
    }
    pw_text_put(out, "\"/>");
}

/* Rows of bars, each under its name, in its colour. */
void plot_put_rows(sheet *s)
{
    for (int32_t row = 0; row < s->plot->row_count; row++) {
        const double top = s->top + ROW_PX * (double)row;
        plot_words(s->out, "pw-tick", "start", s->left + 4.0, top + 17.0, s->plot->rows[row]);
        plot_line(s->out, "pw-grid", s->left, top + ROW_PX - 3.0, s->right, top + ROW_PX - 3.0);
        pw_text_put(s->out, "<path class=\"pw-bar pw-c");
        pw_text_int(s->out, row % PW_PLOT_COLOURS);
        pw_text_put(s->out, "\" d=\"");
        double drawn_to =
            -1.0; /* bars nearer than a fifth of a pixel are one: the picture is the same and stays small */
        for (int32_t i = 0; i < s->plot->span_count; i++) {
            const pw_span *span = &s->plot->spans[i];
            if (span->hatched || span->row != row || plot_x(s, span->to) < drawn_to + 0.2) {
                continue;
            }
            put_area(s, span, top + 23.0, top + ROW_PX - 3.0);
            drawn_to = plot_x(s, span->to);
        }
        pw_text_put(s->out, "\"/>");
    }
}

/* Between two lines: along the one and back along the other. */
void plot_put_fill(sheet *s)
{
    if (!s->plot->filled) {
        return;
    }
    const pw_series *a = &s->plot->series[s->plot->fill_a], *b = &s->plot->series[s->plot->fill_b];
    pw_text_put(s->out, "<path class=\"pw-shade\" d=\"");
    for (int32_t i = 0; i < a->count + b->count; i++) {
        bool back = i >= a->count;
        const pw_series *at = back ? b : a;
        int32_t k = back ? b->count - 1 - (i - a->count) : i;
        pw_text_put(s->out, i == 0 ? "M" : "L");
        plot_px(s->out, plot_x(s, at->x[k]));
        pw_text_put(s->out, " ");
        plot_px(s->out, plot_y(s, at->y[k]));
    }
    pw_text_put(s->out, "z\"/>");
}

void plot_put_hatching(sheet *s)
{
    for (int32_t i = 0; i < s->plot->span_count; i++) {
        const pw_span *span = &s->plot->spans[i];
        if (!span->hatched) {
            continue;
        }
        double from = plot_x(s, span->from), to = pw_max(plot_x(s, span->to), from + 2.0);
        pw_text_put(s->out, "<rect class=\"pw-band\"");
        plot_attribute(s->out, "x", from);
        plot_attribute(s->out, "y", s->top);
        plot_attribute(s->out, "width", to - from);
        plot_attribute(s->out, "height", s->bottom - s->top);
        pw_text_put(s->out, " fill=\"url(#pw-h");
        pw_text_int(s->out, s->number);
        pw_text_put(s->out, ")\"/>");
    }
}

/* The words of a hatched band: level if they fit inside, else upright if the band is wide enough for a line. */
void plot_put_band_words(sheet *s)
{
    for (int32_t i = 0; i < s->plot->span_count; i++) {
        const pw_span *span = &s->plot->spans[i];
        if (!span->hatched || span->words[0] == '\0') {
            continue;
        }
        double from = plot_x(s, span->from), to = plot_x(s, span->to);
        double wide = (double)paper_columns(span->words) * LETTER_PX;
        double middle = 0.5 * (from + to);
        if (to - from >= wide + 6.0) {
            if (plot_try_words(s, "pw-tag pw-strong", "middle", middle, s->top + 22.0, span->words)) {
                continue;
            }
            if (plot_try_words(s, "pw-tag pw-strong", "middle", middle, s->bottom - 12.0, span->words)) {
                continue;
            }
        }
        box upright[2] = {{middle - 10.0, s->top + 4.0, middle + 10.0, s->top + 8.0 + wide},
                          {middle - 10.0, s->bottom - 8.0 - wide, middle + 10.0, s->bottom - 4.0}};
        for (int32_t k = 0; k < 2; k++) {
            if (to - from < 14.0 || wide > s->bottom - s->top - 10.0 || !plot_is_free(s, upright[k])) {
                continue;
            }
            plot_take_box(s, upright[k]);
            pw_text_put(s->out, "<text class=\"pw-tag pw-strong\" text-anchor=\"end\" transform=\"translate(");
            plot_px(s->out, middle + 5.5);
            pw_text_put(s->out, " ");
            plot_px(s->out, upright[k].top + 2.0);
            pw_text_put(s->out, ") rotate(-90)\">");
            pw_text_html(s->out, span->words);
            pw_text_put(s->out, "</text>");
            break;
        }
    }
}
