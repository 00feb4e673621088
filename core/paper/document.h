/* Document: a small tree of headings, words, tables and plots, and its two renderings: text for a terminal and one
 * self-contained HTML page. No I/O: everything is made inside the arena.
 *
 * A document is a list of blocks in reading order. Texts are NUL-terminated UTF-8, plain (never markup), and live in
 * the arena of the document or are static.
 */
#ifndef PW_PAPER_DOCUMENT_H
#define PW_PAPER_DOCUMENT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/status.h"
#include "base/text.h"

/* Tone says what a text means, never only how it looks: each tone has its own sign besides its colour. */
typedef enum pw_tone {
    PW_TONE_PLAIN,
    PW_TONE_GOOD,    /* caught, holds */
    PW_TONE_BAD,     /* never seen, harm done */
    PW_TONE_CAUTION, /* seen but not stopped, read this */
    PW_TONE_MUTED    /* does not matter here */
} pw_tone;

typedef enum pw_block_kind {
    PW_BLOCK_HEADING, /* words; level 2 or 3 */
    PW_BLOCK_WORDS,   /* words: one paragraph */
    PW_BLOCK_LEAD,    /* words: the headline paragraph, large */
    PW_BLOCK_NOTE,    /* words with a tone, set off in a box */
    PW_BLOCK_LIST,    /* lines[line_count] */
    PW_BLOCK_STEPS,   /* lines[line_count], numbered from 1 */
    PW_BLOCK_FACTS,   /* pairs: lines[2 i] name, lines[2 i + 1] value */
    PW_BLOCK_TABLE,
    PW_BLOCK_PLOT,
    PW_BLOCK_DRAWING,
    PW_BLOCK_PHOTO, /* words: what it shows; lines[0]: a JPEG as a data address */
    PW_BLOCK_PAGE   /* what follows begins on a new sheet of paper; words: its name where it must fit on one, else "" */
} pw_block_kind;

typedef struct pw_cell {
    const char *words;
    pw_tone tone;
} pw_cell;

typedef struct pw_column {
    const char *title;
    const char *unit; /* shown under the title; "" when there is none */
    bool number;      /* set flush right */
} pw_column;

typedef struct pw_grid {
    const char *title; /* caption */
    int32_t column_count, row_count;
    const pw_column *columns;
    pw_cell *cells; /* row_count * column_count, row by row */
} pw_grid;

struct pw_plot; /* paper/plot.h */

/* A picture that is no plot. Both drawings are one <svg> element each, as pw_plot_svg makes them. */
typedef struct pw_drawing {
    const char *title, *words; /* what it shows, for those who cannot see it */
    const char *wide, *narrow;
} pw_drawing;

typedef struct pw_block {
    pw_block_kind kind;
    pw_tone tone;
    int32_t level;
    const char *words;
    int32_t line_count;
    const char **lines;
    const pw_grid *grid;
    const struct pw_plot *plot;
    const pw_drawing *drawing;
    struct pw_block *next;
} pw_block;

typedef struct pw_document {
    pw_arena *arena;
    const char *title;    /* what it is: "Proof" */
    const char *subject;  /* of what: the site's name */
    const char *language; /* of its words, as HTML names it: "en" */
    const char *mark;     /* stamp, "" when there is none: "invented" */
    pw_block *first, *last;
    bool failed; /* the arena was used up: rendering returns PW_MEMORY */
} pw_document;

/* Building. All texts are kept by reference except where said; a NULL text counts as "out of memory" and sets failed.
 */
pw_document *pw_document_new(pw_arena *arena, const char *title, const char *subject, const char *mark);
pw_block *pw_document_add(pw_document *document, pw_block_kind kind, pw_tone tone, const char *words);
void pw_document_heading(pw_document *document, int32_t level, const char *words);
/* lines: a list of `count` texts (copied list, texts by reference). */
void pw_document_lines(pw_document *document, pw_block_kind kind, const char *const *lines, int32_t count);
/* A grid whose cells are empty; fill with pw_grid_set. NULL when the arena is used up. */
pw_grid *pw_document_grid(pw_document *document, const char *title, const pw_column *columns, int32_t column_count,
                          int32_t row_count);
void pw_grid_set(pw_grid *grid, int32_t row, int32_t column, const char *words, pw_tone tone);
void pw_document_plot(pw_document *document, const struct pw_plot *plot);
void pw_document_drawing(pw_document *document, const pw_drawing *drawing);
/* picture: "data:image/jpeg;base64," and its letters, nothing else */
void pw_document_photo(pw_document *document, const char *words, const char *picture);

/* Text for a terminal: lines of at most `width` columns (40 .. 200; clamped), tables broken into cards where they do
 * not fit; colour adds ANSI colours besides the signs. */
pw_status pw_document_text(const pw_document *document, int32_t width, bool colour, pw_text *out);
/* A whole HTML page: inline style and inline SVG, no script, no request to anywhere, light and dark, printable. */
pw_status pw_document_html(const pw_document *document, pw_text *out);
/* The document as a JSON value, for whoever sets it on sheets of paper: title, subject, language, mark and blocks, each
 * with its kind; figures as SVG documents that stand by themselves, with their key. */
struct pw_json_writer;
pw_status pw_document_json(const pw_document *document, struct pw_json_writer *writer, const char *key);
/* Only the inside of the page (an <article> with its <style>), for embedding into another page. */
pw_status pw_document_html_part(const pw_document *document, pw_text *out);

#endif
