/* A document as text for a terminal. Signs and words carry the meaning; ANSI colours only add to them. */
#include <string.h>

#include "base/num.h"
#include "paper/inside.h"

enum { MAX_COLUMNS = 16, GAP = 2 };

typedef struct pen {
    pw_text *out;
    pw_arena *arena;
    int32_t width;
    bool colour;
} pen;

int32_t paper_columns(const char *words)
{
    int32_t columns = 0;
    for (const char *c = words; *c != '\0'; c++) {
        columns += ((unsigned char)*c & 0xC0) != 0x80;
    }
    return columns;
}

size_t paper_fit(const char *words, int32_t columns, size_t *skip)
{
    size_t best = 0, at = 0;
    int32_t taken = 0;
    for (;;) {
        if (words[at] == '\0' || words[at] == ' ') {
            best = at;
        }
        if (words[at] == '\0' || words[at] == '\n') {
            best = at;
            break;
        }
        if (taken == columns) {
            break;
        }
        at++;
        while (((unsigned char)words[at] & 0xC0) == 0x80) {
            at++;
        }
        taken++;
    }
    if (best == 0) {
        best = at; /* one word longer than the line: cut it */
    }
    *skip = best;
    while (words[*skip] == ' ') {
        (*skip)++;
    }
    if (words[*skip] == '\n') {
        (*skip)++;
    }
    return best;
}

static const char *colour_of(pw_tone tone)
{
    switch (tone) {
    case PW_TONE_GOOD: return "\033[32m";
    case PW_TONE_BAD: return "\033[1;31m";
    case PW_TONE_CAUTION: return "\033[33m";
    case PW_TONE_MUTED: return "\033[2m";
    case PW_TONE_PLAIN: break;
    }
    return "";
}

static void put_toned(pen *p, pw_tone tone, const char *bytes, size_t length)
{
    bool coloured = p->colour && tone != PW_TONE_PLAIN && length > 0;
    if (coloured) {
        pw_text_put(p->out, colour_of(tone));
    }
    pw_text_put_n(p->out, bytes, length);
    if (coloured) {
        pw_text_put(p->out, "\033[0m");
    }
}

static void put_spaces(pw_text *out, int32_t count)
{
    for (int32_t i = 0; i < count; i++) {
        pw_text_put_n(out, " ", 1);
    }
}

static void put_rule(pen *p, char mark, int32_t count)
{
    for (int32_t i = 0; i < count; i++) {
        pw_text_put_n(p->out, &mark, 1);
    }
    pw_text_put(p->out, "\n");
}

/* Words in lines; the first begins with `lead`, the others with as many spaces. */
static void put_wrapped(pen *p, const char *lead, const char *words, pw_tone tone)
{
    int32_t indent = paper_columns(lead);
    int32_t room = p->width - indent > 10 ? p->width - indent : 10;
    bool first = true;
    do {
        size_t skip = 0;
        size_t length = paper_fit(words, room, &skip);
        if (first) {
            pw_text_put(p->out, lead);
        } else {
            put_spaces(p->out, indent);
        }
        put_toned(p, tone, words, length);
        pw_text_put(p->out, "\n");
        words += skip;
        first = false;
    } while (*words != '\0');
}

static int32_t longest_word(const char *words)
{
    int32_t longest = 0, now = 0;
    for (const char *c = words;; c++) {
        if (*c == ' ' || *c == '\n' || *c == '\0') {
            longest = now > longest ? now : longest;
            now = 0;
        } else {
            now += ((unsigned char)*c & 0xC0) != 0x80;
        }
        if (*c == '\0') {
            return longest;
        }
    }
}

/* columns of the longest line */
static int32_t widest_line(const char *words)
{
    int32_t widest = 0, now = 0;
    for (const char *c = words; *c != '\0'; c++) {
        now = *c == '\n' ? 0 : now + (((unsigned char)*c & 0xC0) != 0x80);
        widest = now > widest ? now : widest;
    }
    return widest;
}

static int32_t larger(int32_t a, int32_t b)
{
    return a > b ? a : b;
}

/* Widths of the columns; false when the table does not fit even with its words broken into lines. */
static bool set_widths(const pw_grid *grid, int32_t width, int32_t *out)
{
    int32_t least[MAX_COLUMNS], sum = GAP * (grid->column_count - 1);
    for (int32_t c = 0; c < grid->column_count; c++) {
        const pw_column *column = &grid->columns[c];
        least[c] = larger(longest_word(column->title), paper_columns(column->unit));
        out[c] = least[c];
        for (int32_t r = 0; r < grid->row_count; r++) {
            const char *words = grid->cells[r * grid->column_count + c].words;
            /* numbers with their units stay on one line */
            least[c] = larger(least[c], column->number ? widest_line(words) : longest_word(words));
            out[c] = larger(out[c], widest_line(words));
        }
        sum += out[c];
    }
    while (sum > width) {
        int32_t widest = -1;
        for (int32_t c = 0; c < grid->column_count; c++) {
            if (out[c] > least[c] && (widest < 0 || out[c] > out[widest])) {
                widest = c;
            }
        }
        if (widest < 0) {
            return false;
        }
        out[widest]--;
        sum--;
    }
    return true;
}

/* One row of cells, each broken into lines at its width. cells NULL: no tones. */
static void put_row(pen *p, const pw_grid *grid, const int32_t *widths, const char *const *words, const pw_cell *cells)
{
    const char *rest[MAX_COLUMNS];
    for (int32_t c = 0; c < grid->column_count; c++) {
        rest[c] = words[c];
    }
    bool more = true;
    while (more) {
        more = false;
        int32_t owed = 0; /* spaces not yet written, so that no line ends with them */
        for (int32_t c = 0; c < grid->column_count; c++) {
            size_t skip = 0;
            size_t length = paper_fit(rest[c], widths[c], &skip);
            char piece[4 * 200 + 1]; /* the widest terminal, in the longest characters */
            size_t kept = length < sizeof piece ? length : sizeof piece - 1;
            memcpy(piece, rest[c], kept);
            piece[kept] = '\0';
            int32_t free_columns = widths[c] - paper_columns(piece);
            bool right = grid->columns[c].number;
            owed += right ? free_columns : 0;
            if (kept > 0) {
                put_spaces(p->out, owed);
                owed = 0;
                put_toned(p, cells != NULL ? cells[c].tone : PW_TONE_PLAIN, piece, kept);
            }
            owed += GAP + (right ? 0 : free_columns);
            rest[c] += skip;
            more = more || *rest[c] != '\0';
        }
        pw_text_put(p->out, "\n");
    }
}

static void put_table(pen *p, const pw_grid *grid, const int32_t *widths)
{
    const char *words[MAX_COLUMNS];
    int32_t sum = GAP * (grid->column_count - 1);
    bool has_units = false;
    for (int32_t c = 0; c < grid->column_count; c++) {
        sum += widths[c];
        words[c] = grid->columns[c].title;
        has_units = has_units || grid->columns[c].unit[0] != '\0';
    }
    put_row(p, grid, widths, words, NULL);
    if (has_units) {
        for (int32_t c = 0; c < grid->column_count; c++) {
            words[c] = grid->columns[c].unit;
        }
        put_row(p, grid, widths, words, NULL);
    }
    put_rule(p, '-', sum);
    for (int32_t r = 0; r < grid->row_count; r++) {
        const pw_cell *cells = &grid->cells[r * grid->column_count];
        for (int32_t c = 0; c < grid->column_count; c++) {
            words[c] = cells[c].words;
        }
        put_row(p, grid, widths, words, cells);
    }
}

/* The same table as cards: for narrow terminals. */
static void put_cards(pen *p, const pw_grid *grid)
{
    for (int32_t r = 0; r < grid->row_count; r++) {
        const pw_cell *cells = &grid->cells[r * grid->column_count];
        put_wrapped(p, "", cells[0].words, cells[0].tone);
        for (int32_t c = 1; c < grid->column_count; c++) {
            if (cells[c].words[0] == '\0') {
                continue;
            }
            pw_text lead;
            pw_text_init(&lead, p->arena);
            pw_text_puts(&lead, "  ", grid->columns[c].title, NULL);
            if (grid->columns[c].unit[0] != '\0') {
                pw_text_puts(&lead, " (", grid->columns[c].unit, ")", NULL);
            }
            pw_text_put(&lead, ": ");
            put_wrapped(p, lead.failed ? "  " : lead.data, cells[c].words, cells[c].tone);
        }
    }
}

static void put_grid(pen *p, const pw_grid *grid)
{
    int32_t widths[MAX_COLUMNS];
    if (grid->title[0] != '\0') {
        put_wrapped(p, "", grid->title, PW_TONE_MUTED);
    }
    bool fits = grid->column_count <= MAX_COLUMNS && set_widths(grid, p->width, widths);
    if (fits) {
        put_table(p, grid, widths);
    } else {
        put_cards(p, grid);
    }
}

static void put_facts(pen *p, const pw_block *block)
{
    int32_t name_columns = 0;
    for (int32_t i = 0; i + 1 < block->line_count; i += 2) {
        name_columns = larger(name_columns, paper_columns(block->lines[i]));
    }
    if (name_columns > p->width / 2) {
        name_columns = p->width / 2;
    }
    for (int32_t i = 0; i + 1 < block->line_count; i += 2) {
        pw_text lead;
        pw_text_init(&lead, p->arena);
        pw_text_put(&lead, block->lines[i]);
        put_spaces(&lead, name_columns - paper_columns(block->lines[i]) + GAP);
        put_wrapped(p, lead.failed ? "" : lead.data, block->lines[i + 1], PW_TONE_PLAIN);
    }
}

static const char *note_lead(pw_tone tone)
{
    switch (tone) {
    case PW_TONE_GOOD: return "+ ";
    case PW_TONE_BAD: return "! ";
    case PW_TONE_CAUTION: return "! ";
    case PW_TONE_PLAIN:
    case PW_TONE_MUTED: break;
    }
    return "| ";
}

static void put_lines(pen *p, const pw_block *block)
{
    for (int32_t i = 0; i < block->line_count; i++) {
        pw_text lead;
        pw_text_init(&lead, p->arena);
        if (block->kind == PW_BLOCK_STEPS) {
            put_spaces(&lead, i + 1 < 10 && block->line_count >= 10 ? 1 : 0);
            pw_text_int(&lead, i + 1);
            pw_text_put(&lead, ". ");
        } else {
            pw_text_put(&lead, "- ");
        }
        put_wrapped(p, lead.failed ? "- " : lead.data, block->lines[i], PW_TONE_PLAIN);
    }
}

static void put_block(pen *p, const pw_block *block)
{
    switch (block->kind) {
    case PW_BLOCK_HEADING:
        if (p->colour) {
            pw_text_put(p->out, "\033[1m");
        }
        put_wrapped(p, "", block->words, PW_TONE_PLAIN);
        if (p->colour) {
            pw_text_put(p->out, "\033[0m");
        }
        if (block->level <= 2) {
            int32_t columns = paper_columns(block->words);
            put_rule(p, '=', columns < p->width ? columns : p->width);
        }
        break;
    case PW_BLOCK_WORDS:
    case PW_BLOCK_LEAD: put_wrapped(p, "", block->words, block->tone); break;
    case PW_BLOCK_NOTE: put_wrapped(p, note_lead(block->tone), block->words, block->tone); break;
    case PW_BLOCK_LIST:
    case PW_BLOCK_STEPS: put_lines(p, block); break;
    case PW_BLOCK_FACTS: put_facts(p, block); break;
    case PW_BLOCK_TABLE: put_grid(p, block->grid); break;
    case PW_BLOCK_PLOT: pw_plot_text(block->plot, p->arena, p->width, p->out); break;
    case PW_BLOCK_DRAWING: put_wrapped(p, "", block->drawing->words, PW_TONE_PLAIN); break;
    case PW_BLOCK_PHOTO: put_wrapped(p, "", block->words, PW_TONE_PLAIN); break;
    case PW_BLOCK_PAGE: put_rule(p, '-', p->width); break;
    }
}

pw_status pw_document_text(const pw_document *document, int32_t width, bool colour, pw_text *out)
{
    if (document->failed) {
        return PW_MEMORY;
    }
    pen p = {out, document->arena, width < 40 ? 40 : (width > 200 ? 200 : width), colour};
    pw_text title;
    pw_text_init(&title, p.arena);
    pw_text_puts(&title, document->title, ": ", document->subject, NULL);
    if (document->mark[0] != '\0') {
        pw_text_puts(&title, "   [", document->mark, "]", NULL);
    }
    if (title.failed) {
        return PW_MEMORY;
    }
    put_wrapped(&p, "", title.data, PW_TONE_PLAIN);
    put_rule(&p, '=', p.width);
    for (const pw_block *block = document->first; block != NULL; block = block->next) {
        pw_text_put(out, "\n");
        put_block(&p, block);
    }
    return out->failed ? PW_MEMORY : PW_OK;
}
