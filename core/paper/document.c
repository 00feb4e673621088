/* Building a document: blocks in a list. After the arena ran out everything is ignored and `failed` stays set. */
#include <assert.h>

#include "paper/document.h"

pw_document *pw_document_new(pw_arena *arena, const char *title, const char *subject, const char *mark)
{
    pw_document *document = PW_NEW(arena, 1, pw_document);
    if (document == NULL) {
        return NULL;
    }
    document->arena = arena;
    document->title = title;
    document->subject = subject;
    document->mark = mark;
    document->language = "en";
    return document;
}

pw_block *pw_document_add(pw_document *document, pw_block_kind kind, pw_tone tone, const char *words)
{
    pw_block *block = PW_NEW(document->arena, 1, pw_block);
    if (block == NULL || words == NULL) {
        document->failed = true;
        return NULL;
    }
    block->kind = kind;
    block->tone = tone;
    block->words = words;
    if (document->last != NULL) {
        document->last->next = block;
    } else {
        document->first = block;
    }
    document->last = block;
    return block;
}

void pw_document_heading(pw_document *document, int32_t level, const char *words)
{
    pw_block *block = pw_document_add(document, PW_BLOCK_HEADING, PW_TONE_PLAIN, words);
    if (block != NULL) {
        block->level = level;
    }
}

void pw_document_lines(pw_document *document, pw_block_kind kind, const char *const *lines, int32_t count)
{
    assert(kind == PW_BLOCK_LIST || kind == PW_BLOCK_STEPS || kind == PW_BLOCK_FACTS);
    if (count <= 0) {
        return;
    }
    pw_block *block = pw_document_add(document, kind, PW_TONE_PLAIN, "");
    const char **copy = PW_NEW(document->arena, count, const char *);
    if (block == NULL || copy == NULL) {
        document->failed = true;
        return;
    }
    for (int32_t i = 0; i < count; i++) {
        if (lines[i] == NULL) {
            document->failed = true;
        }
        copy[i] = lines[i] != NULL ? lines[i] : "";
    }
    block->lines = copy;
    block->line_count = count;
}

pw_grid *pw_document_grid(pw_document *document, const char *title, const pw_column *columns, int32_t column_count,
                          int32_t row_count)
{
    pw_block *block = pw_document_add(document, PW_BLOCK_TABLE, PW_TONE_PLAIN, "");
    pw_grid *grid = PW_NEW(document->arena, 1, pw_grid);
    pw_column *copy = PW_NEW(document->arena, column_count, pw_column);
    pw_cell *cells = PW_NEW(document->arena, (size_t)row_count * (size_t)column_count + 1, pw_cell);
    if (block == NULL || grid == NULL || copy == NULL || cells == NULL) {
        document->failed = true;
        return NULL;
    }
    for (int32_t i = 0; i < column_count; i++) {
        copy[i] = columns[i];
    }
    for (int32_t i = 0; i < row_count * column_count; i++) {
        cells[i].words = "";
    }
    grid->title = title;
    grid->columns = copy;
    grid->column_count = column_count;
    grid->row_count = row_count;
    grid->cells = cells;
    block->grid = grid;
    return grid;
}

void pw_grid_set(pw_grid *grid, int32_t row, int32_t column, const char *words, pw_tone tone)
{
    if (grid == NULL) {
        return; /* the document has failed already */
    }
    assert(row >= 0 && row < grid->row_count);
    assert(column >= 0 && column < grid->column_count);
    pw_cell *cell = &grid->cells[row * grid->column_count + column];
    cell->words = words;
    cell->tone = tone;
}

void pw_document_plot(pw_document *document, const struct pw_plot *plot)
{
    pw_block *block = pw_document_add(document, PW_BLOCK_PLOT, PW_TONE_PLAIN, "");
    if (block != NULL) {
        block->plot = plot;
    }
}

void pw_document_drawing(pw_document *document, const pw_drawing *drawing)
{
    pw_block *block = pw_document_add(document, PW_BLOCK_DRAWING, PW_TONE_PLAIN, "");
    if (block != NULL) {
        block->drawing = drawing;
    }
}

void pw_document_photo(pw_document *document, const char *words, const char *picture)
{
    const char **lines = PW_NEW(document->arena, 1, const char *);
    pw_block *block = pw_document_add(document, PW_BLOCK_PHOTO, PW_TONE_PLAIN, words);
    if (block == NULL || lines == NULL) {
        document->failed = true;
        return;
    }
    lines[0] = picture;
    block->lines = lines;
    block->line_count = 1;
}
