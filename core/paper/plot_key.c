/* The key of a plot: for each sort of line, mark, hatching and shading a small drawing of 30 by 24 and its words. */
#include "paper/inside.h"

static const char *done(const pw_text *text)
{
    return text->failed ? NULL : text->data;
}

static const char *sign_of_series(const pw_series *series, pw_arena *arena)
{
    pw_text text;
    pw_text_init(&text, arena);
    pw_text_put(&text, "");
    if (series->line) {
        pw_text_put(&text, "<path class=\"pw-line pw-c");
        pw_text_int(&text, series->colour % PW_PLOT_COLOURS);
        pw_text_put(&text, "\" d=\"M2 12H28\"/>");
    }
    if (series->mark != PW_MARK_NONE) {
        plot_mark_svg(series->mark, series->colour, 15.0, 12.0, &text);
    }
    return done(&text);
}

static const char *words_of_levels(const pw_plot *plot, pw_arena *arena)
{
    pw_text text;
    pw_text_init(&text, arena);
    for (int32_t i = 0; i < plot->level_count; i++) {
        pw_text_puts(&text, i > 0 ? "; " : "", plot->levels[i].words, NULL);
    }
    return done(&text);
}

int32_t plot_keys(const pw_plot *plot, pw_arena *arena, plot_key_entry *out)
{
    int32_t count = 0;
    for (int32_t i = 0; i < plot->series_count && count < PLOT_KEYS - 3; i++) {
        if (!plot_name_seen(plot, i)) {
            out[count++] = (plot_key_entry){sign_of_series(&plot->series[i], arena), plot->series[i].name};
        }
    }
    if (plot_has_hatching(plot) && plot->hatching[0] != '\0') {
        out[count++] =
            (plot_key_entry){"<rect class=\"pw-hatch-ground pw-band\" x=\"2\" y=\"3\" width=\"26\" height=\"18\"/>"
                             "<path class=\"pw-hatch\" d=\"M4 19L18 5M12 19L26 5\"/>",
                             plot->hatching};
    }
    if (plot_has_shading(plot) && plot->shading[0] != '\0') {
        out[count++] =
            (plot_key_entry){"<rect class=\"pw-shade\" x=\"2\" y=\"3\" width=\"26\" height=\"18\"/>", plot->shading};
    }
    if (plot->level_count > 0) {
        out[count++] = (plot_key_entry){"<path class=\"pw-level\" d=\"M1 12H29\"/>", words_of_levels(plot, arena)};
    }
    return count;
}
