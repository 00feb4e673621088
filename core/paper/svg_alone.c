/* Pictures that stand by themselves: the paper's light colours (style.c), written out because such a picture cannot
 * look them up, and one drawing as a whole SVG document. */
#include <string.h>

#include "base/num.h"
#include "paper/inside.h"

const char *const svg_colours[PW_PLOT_COLOURS] = {"#134f86", "#9a4a00", "#11633f", "#6a2f94", "#9c1f4b", "#3d5257"};

static const char style[] = "text{fill:#1d2322;font:16px 'DejaVu Sans','Noto Sans',system-ui,sans-serif}"
                            ".pw-tick,.pw-axis{fill:#434a47}.pw-grid{stroke:#d9d8cd;stroke-width:1}"
                            ".pw-rule{stroke:#8b8f86;stroke-width:1.2}.pw-shade{fill:#dde7ea}"
                            ".pw-level{stroke:#434a47;stroke-width:1.2;stroke-dasharray:5 4}"
                            ".pw-band{stroke:#8c1515;stroke-width:.6}.pw-hatch{stroke:#b8615a;stroke-width:2.2}"
                            ".pw-hatch-ground{fill:#fbeeea}"
                            ".pw-tag{paint-order:stroke;stroke:#fbfaf5;stroke-width:5px}"
                            ".pw-line{fill:none;stroke-width:1.8;stroke-linejoin:round}"
                            ".pw-swing{fill-opacity:.3;stroke-width:.8;stroke-linejoin:round}";

void svg_put_style(pw_text *out)
{
    pw_text_puts(out, "<style>", style, NULL);
    for (int32_t i = 0; i < PW_PLOT_COLOURS; i++) {
        pw_text_put(out, ".pw-line.pw-c");
        pw_text_int(out, i);
        pw_text_puts(out, "{stroke:", svg_colours[i], "}.pw-bar.pw-c", NULL);
        pw_text_int(out, i);
        pw_text_puts(out, "{fill:", svg_colours[i], "}.pw-swing.pw-c", NULL);
        pw_text_int(out, i);
        pw_text_puts(out, "{fill:", svg_colours[i], ";stroke:", svg_colours[i], "}", NULL);
    }
    pw_text_put(out, "</style>\n");
}

/* Marks, and numbers on them, which the plots of a day have none of. */
static void put_marks_style(pw_text *out)
{
    pw_text_put(out, "<style>.pw-on{fill:#fff;font-weight:700}");
    for (int32_t i = 0; i < PW_PLOT_COLOURS; i++) {
        pw_text_put(out, ".pw-full.pw-c");
        pw_text_int(out, i);
        pw_text_puts(out, "{fill:", svg_colours[i], "}.pw-open.pw-c", NULL);
        pw_text_int(out, i);
        pw_text_puts(out, "{fill:none;stroke-width:2.4;stroke:", svg_colours[i], "}", NULL);
    }
    pw_text_put(out, "</style>\n");
}

/* The second pair of numbers of its own view box. */
double svg_height(const char *drawing)
{
    static const char before[] = "viewBox=\"0 0 ";
    const char *at = strstr(drawing, before);
    double width = 0.0, height = 0.0;
    if (at == NULL) {
        return 0.0;
    }
    at += sizeof before - 1;
    size_t used = pw_num_read(at, strcspn(at, " \""), &width);
    if (used == 0 || at[used] != ' ') {
        return 0.0;
    }
    at += used + 1;
    return pw_num_read(at, strcspn(at, "\""), &height) > 0 ? height : 0.0;
}

static void put_length(pw_text *out, const char *name, double value)
{
    char text[352];
    pw_text_puts(out, " ", name, "=\"", NULL);
    pw_text_put_n(out, text, pw_num_fixed(value, 1, text));
    pw_text_put(out, "\"");
}

void svg_put_alone(pw_text *out, const char *drawing, double width)
{
    const char *inside = strchr(drawing, '>');
    if (inside == NULL) {
        out->failed = true;
        return;
    }
    pw_text_put(out, "<svg xmlns=\"http://www.w3.org/2000/svg\"");
    put_length(out, "width", width);
    put_length(out, "height", svg_height(drawing));
    pw_text_put_n(out, drawing + 4, (size_t)(inside - drawing) - 3);
    svg_put_style(out);
    put_marks_style(out);
    pw_text_puts(out, inside + 1, NULL);
}
