/* A document as JSON, for whoever sets it on sheets of paper. */
#include "base/json.h"
#include "paper/inside.h"

static const char *const kinds[] = {
    [PW_BLOCK_HEADING] = "heading", [PW_BLOCK_WORDS] = "words", [PW_BLOCK_LEAD] = "lead",
    [PW_BLOCK_NOTE] = "note",       [PW_BLOCK_LIST] = "list",   [PW_BLOCK_STEPS] = "steps",
    [PW_BLOCK_FACTS] = "facts",     [PW_BLOCK_TABLE] = "table", [PW_BLOCK_PLOT] = "figure",
    [PW_BLOCK_DRAWING] = "figure",  [PW_BLOCK_PHOTO] = "photo", [PW_BLOCK_PAGE] = "page"};
static const char *const tones[] = {[PW_TONE_PLAIN] = "plain",
                                    [PW_TONE_GOOD] = "good",
                                    [PW_TONE_BAD] = "bad",
                                    [PW_TONE_CAUTION] = "caution",
                                    [PW_TONE_MUTED] = "muted"};

static void put_grid(pw_json_writer *writer, const pw_grid *grid)
{
    pw_json_string(writer, "title", grid->title);
    pw_json_open(writer, "columns", '[');
    for (int32_t c = 0; c < grid->column_count; c++) {
        pw_json_open(writer, NULL, '{');
        pw_json_string(writer, "title", grid->columns[c].title);
        pw_json_string(writer, "unit", grid->columns[c].unit);
        pw_json_bool(writer, "number", grid->columns[c].number);
        pw_json_close(writer, '}');
    }
    pw_json_close(writer, ']');
    pw_json_open(writer, "rows", '[');
    for (int32_t r = 0; r < grid->row_count; r++) {
        pw_json_open(writer, NULL, '[');
        for (int32_t c = 0; c < grid->column_count; c++) {
            const pw_cell *cell = &grid->cells[r * grid->column_count + c];
            pw_json_open(writer, NULL, '{');
            pw_json_string(writer, "words", cell->words);
            pw_json_string(writer, "tone", tones[cell->tone]);
            pw_json_close(writer, '}');
        }
        pw_json_close(writer, ']');
    }
    pw_json_close(writer, ']');
}

static bool put_picture(pw_json_writer *writer, pw_arena *arena, const char *drawing, double width)
{
    pw_text text;
    pw_text_init(&text, arena);
    svg_put_alone(&text, drawing, width);
    if (!text.failed) {
        pw_json_string(writer, "svg", text.data);
    }
    return !text.failed;
}

static bool put_plot(pw_json_writer *writer, pw_arena *arena, const pw_plot *plot)
{
    pw_text text;
    plot_key_entry entries[PLOT_KEYS];
    pw_text_init(&text, arena);
    pw_json_string(writer, "title", plot->title);
    pw_json_string(writer, "words", plot->words);
    pw_plot_svg(plot, 1, PW_PLOT_WIDE, &text);
    bool good = !text.failed && put_picture(writer, arena, text.data, PW_PLOT_WIDE);
    const int32_t count = plot_keys(plot, arena, entries);
    pw_json_open(writer, "key", '[');
    for (int32_t i = 0; i < count && good; i++) {
        pw_text_init(&text, arena);
        pw_text_puts(&text, "<svg viewBox=\"0 0 30.0 24.0\">", entries[i].sign, "</svg>", NULL);
        pw_json_open(writer, NULL, '{');
        good = entries[i].sign != NULL && !text.failed && put_picture(writer, arena, text.data, 30.0);
        pw_json_string(writer, "words", entries[i].words);
        pw_json_close(writer, '}');
    }
    pw_json_close(writer, ']');
    return good;
}

static bool put_block(pw_json_writer *writer, pw_arena *arena, const pw_block *block)
{
    bool good = true;
    pw_json_open(writer, NULL, '{');
    pw_json_string(writer, "kind", kinds[block->kind]);
    if (block->kind == PW_BLOCK_TABLE) {
        put_grid(writer, block->grid);
    } else if (block->kind == PW_BLOCK_PLOT) {
        good = put_plot(writer, arena, block->plot);
    } else if (block->kind == PW_BLOCK_DRAWING) {
        pw_json_string(writer, "title", block->drawing->title);
        pw_json_string(writer, "words", block->drawing->words);
        good = put_picture(writer, arena, block->drawing->wide, PW_PLOT_WIDE);
    } else if (block->kind == PW_BLOCK_PHOTO) {
        pw_json_string(writer, "words", block->words);
        pw_json_string(writer, "picture", block->lines[0]);
    } else if (block->line_count > 0) {
        pw_json_open(writer, "lines", '[');
        for (int32_t i = 0; i < block->line_count; i++) {
            pw_json_string(writer, NULL, block->lines[i]);
        }
        pw_json_close(writer, ']');
    } else {
        pw_json_string(writer, "tone", tones[block->tone]);
        pw_json_int(writer, "level", block->level);
        pw_json_string(writer, "words", block->words);
    }
    pw_json_close(writer, '}');
    return good;
}

pw_status pw_document_json(const pw_document *document, pw_json_writer *writer, const char *key)
{
    if (document->failed) {
        return PW_MEMORY;
    }
    bool good = true;
    pw_json_open(writer, key, '{');
    pw_json_string(writer, "title", document->title);
    pw_json_string(writer, "subject", document->subject);
    pw_json_string(writer, "language", document->language);
    pw_json_string(writer, "mark", document->mark);
    pw_json_open(writer, "blocks", '[');
    for (const pw_block *block = document->first; block != NULL && good; block = block->next) {
        good = put_block(writer, document->arena, block);
    }
    pw_json_close(writer, ']');
    pw_json_close(writer, '}');
    return good ? PW_OK : PW_MEMORY;
}
