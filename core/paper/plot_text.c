/* A plot in characters: for terminals, and for those who read documents as text. */
#include <string.h>

#include "base/num.h"
#include "paper/inside.h"

enum { MAX_TICKS = 24 };

typedef struct field {
    char *cells;
    int32_t columns, rows;
} field;

static int32_t cell_column(const field *f, const pw_plot *plot, double x)
{
    return (int32_t)(plot_share(&plot->x, x) * (double)(f->columns - 1) + 0.5);
}

static int32_t cell_row(const field *f, const pw_plot *plot, double y)
{
    return f->rows - 1 - (int32_t)(plot_share(&plot->y, y) * (double)(f->rows - 1) + 0.5);
}

static void set_cell(field *f, int32_t column, int32_t row, char letter)
{
    f->cells[row * f->columns + column] = letter;
}

static void fill_spans(field *f, const pw_plot *plot)
{
    for (int32_t i = 0; i < plot->span_count; i++) {
        const pw_span *span = &plot->spans[i];
        if (span->to < plot->x.low || span->from > plot->x.high) {
            continue;
        }
        int32_t from = cell_column(f, plot, span->from), to = cell_column(f, plot, span->to);
        for (int32_t c = from; c <= to && plot->row_count > 0 && !span->hatched; c++) {
            set_cell(f, c, 2 * span->row + 1, '#');
        }
        for (int32_t c = from; c <= to && (plot->row_count == 0 || span->hatched); c++) {
            for (int32_t r = 0; r < f->rows; r++) {
                if (span->hatched && (c + r) % 3 == 0) {
                    set_cell(f, c, r, '/');
                }
                if (!span->hatched && r == f->rows - 1) {
                    set_cell(f, c, r, ':');
                }
            }
        }
    }
}

/* The name over each row of bars. */
static void fill_names(field *f, const pw_plot *plot)
{
    for (int32_t row = 0; row < plot->row_count; row++) {
        size_t skip = 0;
        const size_t length = paper_fit(plot->rows[row], f->columns / 4, &skip);
        memcpy(f->cells + (int64_t)2 * row * f->columns, plot->rows[row], length);
    }
}

static void fill_levels(field *f, const pw_plot *plot)
{
    for (int32_t i = 0; i < plot->level_count; i++) {
        int32_t row = cell_row(f, plot, plot->levels[i].y);
        for (int32_t c = 0; c < f->columns; c += 2) {
            set_cell(f, c, row, '-');
        }
    }
}

static void fill_series(field *f, const pw_plot *plot)
{
    for (int32_t i = 0; i < plot->series_count; i++) {
        const pw_series *series = &plot->series[i];
        char letter = plot_mark_letter(plot, i);
        int32_t last_column = -1, last_row = 0;
        for (int32_t k = 0; k < series->count && (series->line || series->mark != PW_MARK_NONE); k++) {
            int32_t column = cell_column(f, plot, series->x[k]), row = cell_row(f, plot, series->y[k]);
            /* join lines across empty columns; what lies between is on the straight line */
            for (int32_t c = last_column + 1; series->line && last_column >= 0 && c < column; c++) {
                int32_t between = last_row;
                if (!series->step) {
                    between += (row - last_row) * (c - last_column) / (column - last_column);
                }
                set_cell(f, c, between, letter);
            }
            set_cell(f, column, row, letter);
            last_column = column;
            last_row = row;
        }
    }
}

static void put_spaces(pw_text *out, int32_t count)
{
    for (int32_t i = 0; i < count; i++) {
        pw_text_put(out, " ");
    }
}

static void put_rows(const field *f, const pw_plot *plot, pw_arena *arena, int32_t margin, pw_text *out)
{
    double ticks[MAX_TICKS];
    int32_t count = plot->row_count > 0 ? 0 : pw_plot_ticks(&plot->y, plot->small ? 3 : 6, ticks, MAX_TICKS);
    double step = plot_tick_step(ticks, count);
    for (int32_t r = 0; r < f->rows; r++) {
        pw_text label;
        pw_text_init(&label, arena);
        for (int32_t i = 0; i < count && label.length == 0; i++) {
            if (cell_row(f, plot, ticks[i]) == r) {
                plot_tick_words(plot, &plot->y, ticks[i], step, &label);
            }
        }
        const char *words = label.length > 0 ? label.data : "";
        put_spaces(out, margin - paper_columns(words));
        pw_text_puts(out, words, " |", NULL);
        int32_t used = f->columns;
        while (used > 0 && f->cells[r * f->columns + used - 1] == ' ') {
            used--;
        }
        pw_text_put_n(out, f->cells + r * f->columns, (size_t)used);
        pw_text_put(out, "\n");
    }
}

static void put_x_axis(const field *f, const pw_plot *plot, pw_arena *arena, int32_t margin, pw_text *out)
{
    double ticks[MAX_TICKS];
    int32_t count = pw_plot_ticks(&plot->x, f->columns / 8, ticks, MAX_TICKS);
    double step = plot_tick_step(ticks, count);
    put_spaces(out, margin + 1);
    pw_text_put(out, "+");
    for (int32_t c = 0; c < f->columns; c++) {
        bool tick = false;
        for (int32_t i = 0; i < count; i++) {
            tick = tick || cell_column(f, plot, ticks[i]) == c;
        }
        pw_text_put(out, tick ? "+" : "-");
    }
    pw_text_put(out, "\n");
    int32_t at = 0;
    for (int32_t i = 0; i < count; i++) {
        pw_text label;
        pw_text_init(&label, arena);
        plot_tick_words(plot, &plot->x, ticks[i], step, &label);
        if (label.failed) {
            break;
        }
        int32_t width = paper_columns(label.data);
        int32_t begin = margin + 2 + cell_column(f, plot, ticks[i]) - width / 2;
        int32_t end = margin + 2 + f->columns;
        if (begin + width > end) {
            begin = end - width;
        }
        if (begin < at + (i > 0 ? 1 : 0)) {
            continue;
        }
        put_spaces(out, begin - at);
        pw_text_put(out, label.data);
        at = begin + width;
    }
    pw_text_put(out, "\n");
}

/* words in lines of at most width columns, each begun with indent spaces */
static void put_lines(const char *words, int32_t indent, int32_t width, pw_text *out)
{
    while (*words != '\0') {
        size_t skip = 0;
        size_t length = paper_fit(words, width - indent, &skip);
        put_spaces(out, indent);
        pw_text_put_n(out, words, length);
        pw_text_put(out, "\n");
        words += skip;
    }
}

static void put_title(const pw_axis *axis, pw_arena *arena, int32_t indent, int32_t width, pw_text *out)
{
    pw_text words;
    pw_text_init(&words, arena);
    pw_text_put(&words, axis->title);
    if (axis->unit[0] != '\0') {
        pw_text_puts(&words, ", ", axis->unit, NULL);
    }
    if (words.failed) {
        out->failed = true;
    } else {
        put_lines(words.data, indent, width, out);
    }
}

/* "o  name" in lines of at most width columns */
static void put_key(char letter, const char *words, int32_t width, pw_text *out)
{
    bool first = true;
    while (*words != '\0') {
        size_t skip = 0;
        size_t length = paper_fit(words, width - 5, &skip);
        pw_text_put(out, "  ");
        pw_text_put_n(out, first ? &letter : " ", 1);
        pw_text_put(out, "  ");
        pw_text_put_n(out, words, length);
        pw_text_put(out, "\n");
        words += skip;
        first = false;
    }
}

static void put_keys(const pw_plot *plot, int32_t width, pw_text *out)
{
    for (int32_t i = 0; i < plot->series_count; i++) {
        const pw_series *series = &plot->series[i];
        if (!plot_name_seen(plot, i)) {
            put_key(plot_mark_letter(plot, i), series->name, width, out);
        }
    }
    if (plot_has_hatching(plot) && plot->hatching[0] != '\0') {
        put_key('/', plot->hatching, width, out);
    }
    if (plot_has_shading(plot) && plot->shading[0] != '\0') {
        put_key(':', plot->shading, width, out);
    }
    for (int32_t i = 0; i < plot->level_count; i++) {
        put_key('-', plot->levels[i].words, width, out);
    }
}

void pw_plot_text(const pw_plot *plot, pw_arena *arena, int32_t width, pw_text *out)
{
    enum { MARGIN = 8 };
    field f = {NULL, width - MARGIN - 3, plot->row_count > 0 ? 2 * plot->row_count : plot->small ? 7 : 15};
    f.cells = PW_NEW(arena, (size_t)f.columns * (size_t)f.rows, char);
    if (f.cells == NULL) {
        out->failed = true;
        return;
    }
    memset(f.cells, ' ', (size_t)f.columns * (size_t)f.rows);
    fill_spans(&f, plot);
    fill_names(&f, plot);
    fill_levels(&f, plot);
    fill_series(&f, plot);
    put_lines(plot->title, 0, width, out);
    put_title(&plot->y, arena, 0, width, out);
    put_rows(&f, plot, arena, MARGIN, out);
    put_x_axis(&f, plot, arena, MARGIN, out);
    put_title(&plot->x, arena, MARGIN + 2, width, out);
    put_keys(plot, width, out);
}
