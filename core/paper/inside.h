/* Shared inside core/paper only. */
#ifndef PW_PAPER_INSIDE_H
#define PW_PAPER_INSIDE_H

#include <stddef.h>

#include "paper/document.h"
#include "paper/plot.h"

/* columns a text takes: one for each UTF-8 character (none of ours is wide) */
int32_t paper_columns(const char *words);
/* Bytes of the longest piece of words that fits `columns` and ends at a space or at the end; the first word alone when
 * even that is too long, cut at `columns`. *skip: bytes to go on (piece and spaces). */
size_t paper_fit(const char *words, int32_t columns, size_t *skip);

/* tick as text: number, or day and time of day for clocks; step is the distance of the ticks */
void plot_tick_words(const pw_plot *plot, const pw_axis *axis, double value, double step, pw_text *out);
double plot_tick_step(const double *ticks, int32_t count);
/* where a value stands on its axis, 0 at low .. 1 at high, clamped */
double plot_share(const pw_axis *axis, double value);
/* does the series' name stand in an earlier one? Then its key is not repeated. */
bool plot_name_seen(const pw_plot *plot, int32_t series);
/* character of a mark in text plots */
char plot_mark_letter(const pw_plot *plot, int32_t series);
bool plot_has_hatching(const pw_plot *plot);
bool plot_has_shading(const pw_plot *plot);
/* one mark around (x, y) as SVG, with its colour's class */
void plot_mark_svg(pw_mark mark, int32_t colour, double x, double y, pw_text *out);

/* plot_key.c: the key of a plot; returns how many entries. NULL in one: the memory ran out. */
enum { PLOT_KEYS = 40 };
typedef struct plot_key_entry {
    const char *sign, *words; /* inside of an <svg> of 30 by 24 */
} plot_key_entry;
int32_t plot_keys(const pw_plot *plot, pw_arena *arena, plot_key_entry *out);

/* svg_alone.c: colours of a picture that stands by itself; one <svg> element as such a document; its height, 0 none. */
extern const char *const svg_colours[PW_PLOT_COLOURS];
void svg_put_style(pw_text *out);
void svg_put_alone(pw_text *out, const char *drawing, double width);
double svg_height(const char *drawing);

extern const char *const paper_style[]; /* pieces, the last is NULL */

#endif
