/* Sizing as a paper: the weakest point first, then each part with what moves it most. */
#include "paper/size_paper.h"

#include "base/num.h"
#include "paper/size_parts.h"

static const char *put(const size_pen *p, const pw_size_line *line, double value, bool change)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_size_put(&text, p->units, line, value, change);
    return say_done(&text);
}

const char *size_value(const size_pen *p, const pw_size_line *line)
{
    if (line->value >= PW_INF) {
        return "no limit";
    }
    return put(p, line, line->value, false);
}

const char *size_signed(const size_pen *p, const pw_size_line *line)
{
    const double moved = line->moved;
    const char *size = put(p, line, pw_abs(moved), true);
    const bool share = line->unit == NULL && line->dimension == PW_DIM_FRACTION;
    return size == NULL ? NULL : say(p->arena, moved < 0.0 ? "-" : "+", size, share ? " points" : "", NULL);
}

const char *size_most(const size_pen *p, const pw_size_line *line)
{
    if (line->most[0] == '\0') {
        return "";
    }
    const char *moved = size_signed(p, line);
    return moved == NULL ? NULL : say(p->arena, line->most, ": ", moved, NULL);
}

static const char *q(const size_pen *p, pw_dimension dimension, double si)
{
    const char *words = say_quantity(p->arena, p->units, dimension, si);
    if (words == NULL) {
        p->document->failed = true;
        return "";
    }
    return words;
}

static void put_head(size_pen *p)
{
    const pw_sizing *sizing = p->sizing;
    pw_document_add(p->document, PW_BLOCK_LEAD, PW_TONE_PLAIN,
                    say(p->arena, "Design flow ", q(p, PW_DIM_FLOW, sizing->design_flow_m3s), " at ",
                        sizing->design_head_m < PW_INF ? size_head_words(p, sizing->design_head_m)
                                                       : "more head than the source allows",
                        " of head. The weakest point: ", sizing->weakest, NULL));
}

/* "8 %", "142 %", "1.9 %": a margin needs no more digits. */
static const char *margin(const size_pen *p, double share)
{
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_fixed(&text, 100.0 * share, pw_abs(share) < 0.0995 ? 1 : 0);
    pw_text_put(&text, " %");
    const char *words = say_done(&text);
    p->document->failed = p->document->failed || words == NULL;
    return words != NULL ? words : "";
}

static void put_checks(size_pen *p)
{
    static const pw_column columns[3] = {{"Margin", "", true}, {"Kept", "", false}, {"What", "", false}};
    const pw_sizing *sizing = p->sizing;
    int32_t count = sizing->check_count;
    while (count > 0 && sizing->checks[count - 1].margin > 9.0) {
        count--; /* ten times what is needed: not worth a line */
    }
    pw_document_heading(p->document, 2, "Limits, the weakest first");
    pw_grid *grid = pw_document_grid(p->document, "How far each limit is kept", columns, 3, count);
    for (int32_t i = 0; i < count; i++) {
        const bool kept = sizing->checks[i].margin >= 0.0;
        const bool guide = sizing->checks[i].guide;
        const pw_tone tone = !kept && guide                   ? PW_TONE_CAUTION
                             : !kept                          ? PW_TONE_BAD
                             : sizing->checks[i].margin < 0.1 ? PW_TONE_CAUTION
                                                              : PW_TONE_GOOD;
        pw_grid_set(grid, i, 0, margin(p, sizing->checks[i].margin), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, kept ? "yes" : guide ? "guide" : "no", tone);
        pw_grid_set(grid, i, 2, sizing->checks[i].words, PW_TONE_PLAIN);
    }
}

static void put_part(size_pen *p, pw_size_part part)
{
    static const pw_column columns[3] = {{"What", "", false}, {"Value", "", true}, {"What moves it most", "", false}};
    const pw_sizing *sizing = p->sizing;
    int32_t count = 0;
    bool moved = false;
    for (int32_t i = 0; i < sizing->line_count; i++) {
        count += sizing->lines[i].part == part ? 1 : 0;
        moved = moved || (sizing->lines[i].part == part && sizing->lines[i].most[0] != '\0');
    }
    if (count == 0) {
        return;
    }
    pw_document_heading(p->document, 2, pw_size_part_words(part));
    pw_grid *grid = pw_document_grid(p->document, moved ? "Values, and the assumption that moves each most" : "Values",
                                     columns, moved ? 3 : 2, count);
    int32_t row = 0;
    for (int32_t i = 0; i < sizing->line_count; i++) {
        const pw_size_line *line = &sizing->lines[i];
        if (line->part == part) {
            const char *value = size_value(p, line);
            const char *most = size_most(p, line);
            p->document->failed = p->document->failed || value == NULL || most == NULL;
            pw_grid_set(grid, row, 0, line->words, PW_TONE_PLAIN);
            pw_grid_set(grid, row, 1, value != NULL ? value : "", PW_TONE_PLAIN);
            if (moved) {
                pw_grid_set(grid, row, 2, most != NULL ? most : "", PW_TONE_PLAIN);
            }
            row++;
        }
    }
    if (part == PW_SIZE_ELECTRIC) {
        pw_document_add(p->document, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                        "Each of these electrical results is a check of the arithmetic, not a design: electrical work "
                        "is licensed work "
                        "in most places, and the local code decides on cable, protection, earthing and generator.");
    }
}

static void put_defaults(size_pen *p)
{
    static const pw_column columns[3] = {{"Where", "", false}, {"Value", "", true}, {"Why this value", "", false}};
    const pw_site *site = p->sizing->site;
    pw_document_heading(p->document, 2, "Assumed for the sizing");
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                    "These values were not in the section design of the site sheet. Where one of them matters, measure "
                    "it and write it down.");
    pw_grid *grid = pw_document_grid(p->document, "Values taken by default", columns, 3, site->design_default_count);
    for (int32_t i = 0; i < site->design_default_count; i++) {
        const pw_default *taken = &site->design_defaults[i];
        pw_grid_set(grid, i, 0, taken->path, PW_TONE_PLAIN);
        const char *value = say_default(p->arena, p->units, taken);
        p->document->failed = p->document->failed || value == NULL;
        pw_grid_set(grid, i, 1, value, PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, taken->reason != NULL ? taken->reason : "", PW_TONE_PLAIN);
    }
}

pw_status pw_paper_size(pw_arena *arena, const pw_sizing *sizing, const pw_choice *choice, bool explain,
                        const pw_units *units, pw_document **out)
{
    *out = NULL;
    const pw_site *site = sizing->site;
    pw_document *document =
        pw_document_new(arena, explain ? "Calculation sheet" : "Sizing", site->name, site->invented ? "INVENTED" : "");
    if (document == NULL) {
        return PW_MEMORY;
    }
    const pw_voice voice = {PW_ENGLISH, units};
    size_pen pen = {arena, document, sizing, choice, units};
    (void)say_invented(document, &voice, site);
    put_head(&pen);
    put_checks(&pen);
    size_put_chart(&pen);
    if (explain) {
        size_put_sheet(&pen);
    } else {
        for (int32_t part = 0; part < PW_SIZE_PART_COUNT; part++) {
            put_part(&pen, (pw_size_part)part);
        }
    }
    size_put_tables(&pen);
    size_put_choice(&pen);
    pw_document_heading(document, 2, "The site");
    say_site(document, &voice, site);
    put_defaults(&pen);
    say_cautions(document, &voice);
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
