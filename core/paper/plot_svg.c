/* A plot as SVG. Colours come from classes (paper_style), so that light and dark need one drawing.
 *
 * Labels: every label is a box; a box that would touch another tries its other places and is left out when none is
 * free. Nothing is lost by that: names stand in the key below the figure, values in the words and tables.
 */
#include <string.h>

#include "base/num.h"
#include "paper/plot_sheet.h"
#include "say/say.h"

void plot_px(pw_text *out, double value)
{
    char text[352];
    size_t length = pw_num_fixed(value, 1, text);
    if (length > 2 && text[length - 1] == '0') {
        length -= 2; /* "12.0" is 12 */
    }
    pw_text_put_n(out, text, length);
}

void plot_attribute(pw_text *out, const char *name, double value)
{
    pw_text_puts(out, " ", name, "=\"", NULL);
    plot_px(out, value);
    pw_text_put(out, "\"");
}

void plot_line(pw_text *out, const char *class, double x1, double y1, double x2, double y2)
{
    pw_text_puts(out, "<line class=\"", class, "\"", NULL);
    plot_attribute(out, "x1", x1);
    plot_attribute(out, "y1", y1);
    plot_attribute(out, "x2", x2);
    plot_attribute(out, "y2", y2);
    pw_text_put(out, "/>");
}

void plot_words(pw_text *out, const char *class, const char *anchor, double x, double y, const char *words)
{
    pw_text_puts(out, "<text class=\"", class, "\" text-anchor=\"", anchor, "\"", NULL);
    plot_attribute(out, "x", x);
    plot_attribute(out, "y", y);
    pw_text_put(out, ">");
    pw_text_html(out, words);
    pw_text_put(out, "</text>");
}

void plot_mark_svg(pw_mark mark, int32_t colour, double x, double y, pw_text *out)
{
    static const char *const shapes[PW_MARK_COUNT] = {"",
                                                      "M-4.6 0a4.6 4.6 0 1 0 9.2 0a4.6 4.6 0 1 0-9.2 0z",
                                                      "M-4.4-4.4h8.8v8.8h-8.8z",
                                                      "M0-5.6L5.4 4.2H-5.4z",
                                                      "M0-6L6 0 0 6-6 0z",
                                                      "M-4.4-4.4L4.4 4.4M4.4-4.4L-4.4 4.4",
                                                      "M-4.2 0a4.2 4.2 0 1 0 8.4 0a4.2 4.2 0 1 0-8.4 0z",
                                                      "M0-5.4V5.4M-5.4 0H5.4"};
    bool open = mark == PW_MARK_CROSS || mark == PW_MARK_RING || mark == PW_MARK_PLUS;
    pw_text_put(out, open ? "<path class=\"pw-open pw-c" : "<path class=\"pw-full pw-c");
    pw_text_int(out, colour % PW_PLOT_COLOURS);
    pw_text_put(out, "\" transform=\"translate(");
    plot_px(out, x);
    pw_text_put(out, " ");
    plot_px(out, y);
    pw_text_puts(out, ")\" d=\"", shapes[mark], "\"/>", NULL);
}

double plot_x(const sheet *s, double value)
{
    return s->left + plot_share(&s->plot->x, value) * (s->right - s->left);
}
double plot_y(const sheet *s, double value)
{
    return s->bottom - plot_share(&s->plot->y, value) * (s->bottom - s->top);
}

void plot_take_box(sheet *s, box b)
{
    if (s->box_count == MAX_BOXES) {
        return;
    }
    s->boxes[s->box_count] = b;
    s->box_count++;
}

bool plot_is_free(const sheet *s, box b)
{
    if (b.left < 0.0 || b.top < 0.0 || b.right > s->width || b.bottom > s->height) {
        return false;
    }
    if (s->box_count == MAX_BOXES) {
        return false;
    }
    for (int32_t i = 0; i < s->box_count; i++) {
        const box *o = &s->boxes[i];
        if (b.left < o->right && b.right > o->left && b.top < o->bottom && b.bottom > o->top) {
            return false;
        }
    }
    return true;
}

/* Writes words around x (anchor) with the baseline at y when the place is free. */
bool plot_try_words(sheet *s, const char *class, const char *anchor, double x, double y, const char *words)
{
    double wide = (double)paper_columns(words) * LETTER_PX;
    double left = anchor[0] == 's' ? x : (anchor[0] == 'e' ? x - wide : x - 0.5 * wide);
    box b = {left - 2.0, y - 13.0, left + wide + 2.0, y + 4.0};
    if (!plot_is_free(s, b)) {
        return false;
    }
    plot_take_box(s, b);
    plot_words(s->out, class, anchor, x, y, words);
    return true;
}

static const char *tick_words(sheet *s, const pw_plot *plot, const pw_axis *axis, double value, double step)
{
    pw_text words;
    pw_text_init(&words, s->out->arena);
    plot_tick_words(plot, axis, value, step, &words);
    if (words.failed) {
        s->out->failed = true;
    }
    return words.failed ? "" : words.data;
}

/* title with its unit: "lost water, L" */
static const char *axis_words(sheet *s, const pw_axis *axis)
{
    pw_text words;
    pw_text_init(&words, s->out->arena);
    pw_text_put(&words, axis->title);
    if (axis->unit[0] != '\0') {
        pw_text_puts(&words, ", ", axis->unit, NULL);
    }
    if (words.failed) {
        s->out->failed = true;
    }
    return words.failed ? "" : words.data;
}

/* Title of an axis in as many lines as the width asks for; returns how many. draw false: only count. */
static int32_t put_title(sheet *s, const char *words, double x, double y, bool draw)
{
    int32_t columns = (int32_t)((s->width - x) / LETTER_PX);
    int32_t lines = 0;
    while (*words != '\0' && lines < MAX_TITLE_LINES) {
        size_t skip = 0;
        size_t length = paper_fit(words, columns, &skip);
        char *line = pw_strdup(s->out->arena, words, length);
        if (line == NULL) {
            s->out->failed = true;
            return lines;
        }
        double base = y + LINE_PX * (double)lines;
        if (draw) {
            plot_words(s->out, "pw-axis", "start", x, base, line);
        }
        if (draw) {
            plot_take_box(s, (box){x, base - 14.0, x + (double)paper_columns(line) * LETTER_PX, base + 5.0});
        }
        words += skip;
        lines++;
    }
    return lines;
}

static void set_field(sheet *s, int32_t width, const double *y_ticks, int32_t y_count)
{
    const pw_plot *plot = s->plot;
    s->width = (double)width;
    double step = plot_tick_step(y_ticks, y_count);
    double widest = 0.0;
    for (int32_t i = 0; i < y_count; i++) {
        widest = pw_max(widest, (double)paper_columns(tick_words(s, plot, &plot->y, y_ticks[i], step)) * LETTER_PX);
    }
    /* Strips stand under each other: the same field in all of them, so that times stand under times. */
    s->left = pw_max(widest, plot->small ? 5.0 * LETTER_PX : 0.0) + 12.0;
    s->right = s->width - 14.0;
    s->top = LINE_PX * (double)put_title(s, axis_words(s, &plot->y), 0.0, 0.0, false) + 16.0;
    double field = plot->small ? 130.0 : (width < 500 ? 270.0 : 330.0);
    s->bottom = s->top + (plot->row_count > 0 ? ROW_PX * (double)plot->row_count : field);
    s->height = s->bottom + 28.0 + LINE_PX * (double)put_title(s, axis_words(s, &plot->x), s->left, 0.0, false) + 2.0;
}

static void put_head(sheet *s)
{
    pw_text *out = s->out;
    pw_text_put(out, "<svg class=\"");
    pw_text_put(out, s->width < 500.0 ? "pw-narrow" : "pw-wide");
    pw_text_put(out, "\" viewBox=\"0 0 ");
    plot_px(out, s->width);
    pw_text_put(out, " ");
    plot_px(out, s->height);
    pw_text_put(out, "\" role=\"img\" aria-labelledby=\"pw-t");
    pw_text_int(out, s->number);
    pw_text_put(out, " pw-d");
    pw_text_int(out, s->number);
    pw_text_put(out, "\"><title id=\"pw-t");
    pw_text_int(out, s->number);
    pw_text_put(out, "\">");
    pw_text_html(out, s->plot->title);
    pw_text_put(out, "</title><desc id=\"pw-d");
    pw_text_int(out, s->number);
    pw_text_put(out, "\">");
    pw_text_html(out, s->plot->words);
    pw_text_put(out, "</desc>");
    if (plot_has_hatching(s->plot)) {
        pw_text_put(out, "<defs><pattern id=\"pw-h");
        pw_text_int(out, s->number);
        pw_text_put(out, "\" width=\"9\" height=\"9\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">"
                         "<rect class=\"pw-hatch-ground\" width=\"9\" height=\"9\"/>"
                         "<line class=\"pw-hatch\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"9\"/></pattern></defs>");
    }
}

static void put_axes(sheet *s, const double *y_ticks, int32_t y_count)
{
    const pw_plot *plot = s->plot;
    put_title(s, axis_words(s, &plot->y), 0.0, 16.0, true);
    put_title(s, axis_words(s, &plot->x), s->left, s->bottom + 45.0, true);
    double step = plot_tick_step(y_ticks, y_count);
    for (int32_t i = 0; i < y_count; i++) {
        double y = plot_y(s, y_ticks[i]);
        plot_line(s->out, "pw-grid", s->left, y, s->right, y);
        plot_try_words(s, "pw-tick", "end", s->left - 8.0, y + 5.5, tick_words(s, plot, &plot->y, y_ticks[i], step));
    }
    double ticks[MAX_TICKS];
    int32_t most = (int32_t)((s->right - s->left) / (plot->x.kind == PW_AXIS_LOG ? 44.0 : 62.0));
    int32_t count = pw_plot_ticks(&plot->x, most, ticks, MAX_TICKS);
    step = plot_tick_step(ticks, count);
    for (int32_t i = 0; i < count; i++) {
        double x = plot_x(s, ticks[i]);
        plot_line(s->out, "pw-rule", x, s->bottom, x, s->bottom + 5.0);
        const char *words = tick_words(s, plot, &plot->x, ticks[i], step);
        double half = 0.5 * LETTER_PX * (double)paper_columns(words);
        plot_try_words(s, "pw-tick", "middle", pw_min(x, s->width - half - 3.0), s->bottom + 23.0, words);
    }
    plot_line(s->out, "pw-rule", s->left, s->bottom, s->right, s->bottom);
}

/* One point of a path, after the first. */
static void put_point(sheet *s, bool first, double x, double y)
{
    pw_text_put(s->out, first ? "M" : "L");
    plot_px(s->out, x);
    pw_text_put(s->out, " ");
    plot_px(s->out, y);
}

/* All points of a line that fall on one pixel column. */
typedef struct column {
    double x, begin, end, low, high; /* y of the first and last point, least and largest y */
    bool low_first;                  /* of the last change of either */
    int32_t count;
} column;

/* The column that begins with point i; returns the first point behind it. */
static int32_t take_column(const sheet *s, const pw_series *series, int32_t i, column *out)
{
    const double y = plot_y(s, series->y[i]);
    *out = (column){plot_x(s, series->x[i]), y, y, y, y, true, 0};
    const double pixel = pw_floor(out->x);
    for (; i < series->count && pw_floor(plot_x(s, series->x[i])) <= pixel; i++) {
        out->end = plot_y(s, series->y[i]);
        out->low_first = out->end > out->high || (out->low_first && !(out->end < out->low));
        out->low = pw_min(out->low, out->end);
        out->high = pw_max(out->high, out->end);
        out->count++;
    }
    return i;
}

/* A line that swings over a tenth of the height in more than every third column of pixels would be one solid block. */
static bool is_block(const sheet *s, const pw_series *series)
{
    const double swing = 0.1 * (s->bottom - s->top);
    double wide = 0.0;
    column at;
    for (int32_t i = 0; i < series->count;) {
        i = take_column(s, series, i, &at);
        wide += at.count > 2 && at.high - at.low > swing ? 1.0 : 0.0;
    }
    return 3.0 * wide > s->right - s->left;
}

/* Such a line is drawn as the area between its least and largest values, light enough for others to be seen through. */
static void put_swing(sheet *s, const pw_series *series)
{
    enum { MOST_COLUMNS = 1024 };
    double x[MOST_COLUMNS], low[MOST_COLUMNS], high[MOST_COLUMNS], last_y = 0.0;
    int32_t count = 0;
    column at;
    for (int32_t i = 0; i < series->count && count < MOST_COLUMNS;) {
        i = take_column(s, series, i, &at);
        const bool holds = series->step && count > 0; /* the value before goes on into this column */
        x[count] = at.x;
        low[count] = holds ? pw_min(at.low, last_y) : at.low;
        high[count] = holds ? pw_max(at.high, last_y) : at.high;
        last_y = at.end;
        count++;
    }
    pw_text_put(s->out, "<path class=\"pw-swing pw-c");
    pw_text_int(s->out, series->colour % PW_PLOT_COLOURS);
    pw_text_put(s->out, "\" d=\"");
    for (int32_t i = 0; i < count; i++) {
        put_point(s, i == 0, x[i], low[i]);
    }
    for (int32_t i = count - 1; i >= 0; i--) {
        put_point(s, false, x[i], high[i]);
    }
    pw_text_put(s->out, "z\"/>");
}

/* All points that fall on one pixel column are drawn as their lowest and highest, in the order they come: the picture
 * is the same and the page stays small. */
static void put_curve(sheet *s, const pw_series *series)
{
    if (is_block(s, series)) {
        put_swing(s, series);
        return;
    }
    pw_text_put(s->out, "<path class=\"pw-line pw-c");
    pw_text_int(s->out, series->colour % PW_PLOT_COLOURS);
    pw_text_put(s->out, "\" d=\"");
    double last_y = 0.0;
    bool first = true;
    column at;
    for (int32_t i = 0; i < series->count;) {
        i = take_column(s, series, i, &at);
        if (series->step && !first) {
            put_point(s, false, at.x, last_y);
        }
        put_point(s, first, at.x, at.begin);
        const double second = at.low_first ? at.low : at.high, third = at.low_first ? at.high : at.low;
        if (second != at.begin) {
            put_point(s, false, at.x, second);
        }
        if (third != second) {
            put_point(s, false, at.x, third);
        }
        if (at.end != third) {
            put_point(s, false, at.x, at.end);
        }
        last_y = at.end;
        first = false;
    }
    pw_text_put(s->out, "\"/>");
}

static void put_marks(sheet *s, const pw_series *series)
{
    for (int32_t i = 0; i < series->count; i++) {
        double x = plot_x(s, series->x[i]), y = plot_y(s, series->y[i]);
        plot_mark_svg(series->mark, series->colour, x, y, s->out);
        if (series->count <= MAX_BOXES / 4) {
            plot_take_box(s, (box){x - 6.0, y - 6.0, x + 6.0, y + 6.0});
        }
    }
}

/* true: a line of the plot goes through the box. */
static bool is_crossed(const sheet *s, box b)
{
    for (int32_t i = 0; i < s->plot->series_count; i++) {
        const pw_series *series = &s->plot->series[i];
        for (int32_t k = 1; series->line && k < series->count; k++) {
            const double x0 = plot_x(s, series->x[k - 1]), x1 = plot_x(s, series->x[k]);
            const double y0 = plot_y(s, series->y[k - 1]), y1 = plot_y(s, series->y[k]);
            if (x1 >= b.left && x0 <= b.right && pw_max(y0, y1) >= b.top && pw_min(y0, y1) <= b.bottom) {
                return true;
            }
        }
    }
    return false;
}

/* Words of a level over or under its line, where no curve goes; none when there is no such place, the key has them. */
static void put_level_words(sheet *s, double y, const char *words)
{
    enum { PLACES = 9 };
    const double wide = (double)paper_columns(words) * LETTER_PX;
    static const double away[2] = {-6.0, 18.0};
    for (int32_t i = 0; i < 2 * PLACES; i++) {
        const double room = s->right - 4.0 - wide - (s->left + 6.0);
        const double x = s->right - 4.0 - room * (double)(i / 2) / (double)(PLACES - 1);
        const double base = y + away[i % 2];
        const box b = {x - wide, base - 13.0, x, base + 4.0};
        if (room >= 0.0 && base + 4.0 < s->bottom && !is_crossed(s, b) &&
            plot_try_words(s, "pw-tag", "end", x, base, words)) {
            return;
        }
    }
}

static void put_levels(sheet *s)
{
    for (int32_t i = 0; i < s->plot->level_count; i++) {
        const pw_level *level = &s->plot->levels[i];
        double y = plot_y(s, level->y);
        plot_line(s->out, "pw-level", s->left, y, s->right, y);
    }
    for (int32_t i = 0; i < s->plot->level_count; i++) {
        const pw_level *level = &s->plot->levels[i];
        double y = plot_y(s, level->y);
        put_level_words(s, y, level->words);
    }
}

/* A tag next to the middle of its points. */
static void put_tags(sheet *s)
{
    static const double away[6] = {-13.0, 25.0, -30.0, 42.0, -50.0, 62.0};
    static const int32_t share[3] = {2, 4, 1}; /* middle, quarter, end */
    for (int32_t i = 0; i < s->plot->series_count; i++) {
        const pw_series *series = &s->plot->series[i];
        if (series->tag[0] == '\0' || series->count == 0) {
            continue;
        }
        bool placed = false;
        for (int32_t k = 0; k < 18 && !placed; k++) {
            int32_t point = (series->count - 1) / share[k / 6];
            double x = plot_x(s, series->x[point]), y = plot_y(s, series->y[point]);
            placed = plot_try_words(s, "pw-tag", "middle", x, y + away[k % 6], series->tag);
        }
    }
}

static const char *plot_word(const pw_plot *plot, const char *id)
{
    const pw_voice english = {PW_ENGLISH, NULL};
    return pw_say_word(plot->voice != NULL ? plot->voice : &english, id);
}

void pw_plot_svg(const pw_plot *plot, int32_t number, int32_t width, pw_text *out)
{
    sheet s;
    memset(&s, 0, sizeof s);
    s.plot = plot;
    s.out = out;
    s.number = number;
    double y_ticks[MAX_TICKS] = {0.0};
    int32_t y_count = plot->row_count > 0 ? 0 : pw_plot_ticks(&plot->y, plot->small ? 4 : 8, y_ticks, MAX_TICKS);
    set_field(&s, width, y_ticks, y_count);
    put_head(&s);
    plot_put_shading(&s);
    plot_put_fill(&s);
    plot_put_hatching(&s);
    put_axes(&s, y_ticks, y_count);
    bool block = false;
    for (int32_t i = 0; i < plot->series_count; i++) {
        block = block || (plot->series[i].line && is_block(&s, &plot->series[i]));
    }
    if (block) {
        plot_try_words(&s, "pw-axis", "end", s.right, s.bottom + 45.0, plot_word(plot, "paper.plot-area"));
    }
    plot_put_rows(&s);
    for (int32_t i = 0; i < plot->series_count; i++) {
        if (plot->series[i].line) {
            put_curve(&s, &plot->series[i]);
        }
    }
    for (int32_t i = 0; i < plot->series_count; i++) {
        if (plot->series[i].mark != PW_MARK_NONE) {
            put_marks(&s, &plot->series[i]);
        }
    }
    put_levels(&s);
    plot_put_band_words(&s);
    put_tags(&s);
    pw_text_put(out, "</svg>");
}
