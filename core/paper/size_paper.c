/* Sizing as a paper: the weakest point first, then each part with what moves it most. */
#include "paper/size_paper.h"

#include "base/num.h"
#include "paper/size_parts.h"

const char *size_words(const size_pen *p, pw_fact fact)
{
    const char *words = say_fact(p->arena, p->voice, fact);
    p->document->failed = p->document->failed || words == NULL;
    return words != NULL ? words : "";
}

const char *size_amount(const size_pen *p, pw_dimension dimension, double si)
{
    return size_words(p, pw_fact_of("size.value", pw_quantity(dimension, si)));
}

const char *size_value(const size_pen *p, const pw_size_line *line)
{
    return line->value >= PW_INF ? word(p, "size.no-limit") : size_words(p, pw_size_value(line, line->value, false));
}

const char *size_most(const size_pen *p, const pw_size_line *line)
{
    if (line->most == NULL) {
        return "";
    }
    const pw_fact size = pw_size_value(line, pw_abs(line->moved), true);
    const bool points = line->unit == NULL && line->dimension == PW_DIM_FRACTION;
    return size_words(p, pw_fact_of("size.paper-change", pw_word(line->most), pw_truth(line->moved < 0.0),
                                    pw_nested(&size), pw_truth(points)));
}

static void put_head(size_pen *p)
{
    const pw_sizing *sizing = p->sizing;
    const pw_value head =
        sizing->design_head_m < PW_INF ? pw_head(sizing->design_head_m) : pw_word("size.paper-no-head");
    pw_document_add(p->document, PW_BLOCK_LEAD, PW_TONE_PLAIN,
                    size_words(p, pw_fact_of("size.paper-lead", pw_quantity(PW_DIM_FLOW, sizing->design_flow_m3s), head,
                                             pw_nested(&sizing->weakest))));
}

/* "8 %", "142 %", "1.9 %": a margin needs no more digits. */
static const char *margin(const size_pen *p, double share)
{
    const double tenths = pw_floor(pw_abs(share) * 1000.0 + 0.5) * 0.1; /* as shown where there is one */
    const double whole = pw_floor(pw_abs(share) * 100.0 + 0.5);
    const double shown = pw_abs(share) < 0.0995 ? tenths : whole;
    return size_words(p, pw_fact_of("size.paper-percent", pw_number(share < 0.0 ? -shown : shown, 7)));
}

/* Ten times what is needed is not. */
static bool is_worth_a_line(const pw_size_check *check)
{
    return check->margin <= 9.0;
}

static void put_checks(size_pen *p)
{
    const pw_column columns[3] = {{word(p, "size.paper-c-margin"), "", true},
                                  {word(p, "size.paper-c-kept"), "", false},
                                  {word(p, "size.paper-c-what"), "", false}};
    const pw_sizing *sizing = p->sizing;
    int32_t count = 0;
    for (int32_t i = 0; i < sizing->check_count; i++) {
        count += is_worth_a_line(&sizing->checks[i]) ? 1 : 0;
    }
    int32_t row = 0;
    pw_document_heading(p->document, 2, word(p, "size.paper-h-limits"));
    pw_grid *grid = pw_document_grid(p->document, word(p, "size.paper-limits-caption"), columns, 3, count);
    for (int32_t i = 0; i < sizing->check_count; i++) {
        if (!is_worth_a_line(&sizing->checks[i])) {
            continue;
        }
        const bool kept = sizing->checks[i].margin >= 0.0;
        const bool guide = sizing->checks[i].guide;
        const pw_tone tone = !kept && guide                   ? PW_TONE_CAUTION
                             : !kept                          ? PW_TONE_BAD
                             : sizing->checks[i].margin < 0.1 ? PW_TONE_CAUTION
                                                              : PW_TONE_GOOD;
        pw_grid_set(grid, row, 0, margin(p, sizing->checks[i].margin), PW_TONE_PLAIN);
        pw_grid_set(grid, row, 1,
                    kept    ? word(p, "size.paper-yes")
                    : guide ? word(p, "size.paper-guide")
                            : word(p, "size.paper-exceeded"),
                    tone);
        pw_grid_set(grid, row, 2, size_words(p, sizing->checks[i].words), PW_TONE_PLAIN);
        row++;
    }
}

static void put_part(size_pen *p, pw_size_part part)
{
    const pw_column columns[3] = {{word(p, "size.paper-c-what"), "", false},
                                  {word(p, "size.paper-c-value"), "", true},
                                  {word(p, "size.paper-c-most"), "", false}};
    const pw_sizing *sizing = p->sizing;
    int32_t count = 0;
    bool moved = false;
    for (int32_t i = 0; i < sizing->line_count; i++) {
        count += sizing->lines[i].part == part ? 1 : 0;
        moved = moved || (sizing->lines[i].part == part && sizing->lines[i].most != NULL);
    }
    if (count == 0) {
        return;
    }
    pw_document_heading(p->document, 2, word(p, pw_size_part_message(part)));
    pw_grid *grid =
        pw_document_grid(p->document, moved ? word(p, "size.paper-values-most") : word(p, "size.paper-values"), columns,
                         moved ? 3 : 2, count);
    int32_t row = 0;
    for (int32_t i = 0; i < sizing->line_count; i++) {
        const pw_size_line *line = &sizing->lines[i];
        if (line->part == part) {
            const char *value = size_value(p, line);
            const char *most = size_most(p, line);
            pw_grid_set(grid, row, 0, size_words(p, line->what), PW_TONE_PLAIN);
            pw_grid_set(grid, row, 1, value, PW_TONE_PLAIN);
            if (moved) {
                pw_grid_set(grid, row, 2, most, PW_TONE_PLAIN);
            }
            row++;
        }
    }
    if (part == PW_SIZE_ELECTRIC) {
        pw_document_add(p->document, PW_BLOCK_NOTE, PW_TONE_CAUTION, word(p, "size.paper-licensed"));
    }
}

static void put_defaults(size_pen *p)
{
    const pw_column columns[3] = {{word(p, "paper.where"), "", false},
                                  {word(p, "paper.value"), "", true},
                                  {word(p, "paper.why-this-value"), "", false}};
    const pw_site *site = p->sizing->site;
    pw_document_heading(p->document, 2, word(p, "size.paper-h-assumed"));
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, word(p, "size.paper-assumed"));
    pw_grid *grid =
        pw_document_grid(p->document, word(p, "paper.defaults-caption"), columns, 3, site->design_default_count);
    for (int32_t i = 0; i < site->design_default_count; i++) {
        const pw_default *taken = &site->design_defaults[i];
        pw_grid_set(grid, i, 0, taken->path, PW_TONE_PLAIN);
        const char *value = say_default(p->arena, p->voice, taken);
        p->document->failed = p->document->failed || value == NULL;
        pw_grid_set(grid, i, 1, value, PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, taken->reason != NULL ? pw_say_row(p->voice, taken->reason) : "", PW_TONE_PLAIN);
    }
}

/* Does another pump deliver to the same place? */
static bool helped(const pw_site *site, int32_t pump)
{
    for (int32_t i = 0; i < site->pump_count; i++) {
        if (i != pump && site->pumps[i].to == site->pumps[pump].to) {
            return true;
        }
    }
    return false;
}

/* "main pump": whose part begins, and which others are like it; nothing where the site has one pump. */
static void put_pump(size_pen *p, const pw_sizings *all, int32_t which)
{
    const pw_site *site = p->sizing->site;
    if (site->pump_count == 1) {
        return;
    }
    pw_document_heading(p->document, 2,
                        size_words(p, pw_fact_of("size.paper-h-pump", pw_named(site->pumps[p->sizing->pump].name))));
    for (int32_t i = 0; i < site->pump_count; i++) {
        if (all->like[i] == which && i != p->sizing->pump) {
            pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                            size_words(p, pw_fact_of("size.paper-alike", pw_named(site->pumps[i].name))));
        }
    }
    if (helped(site, p->sizing->pump)) {
        pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN, word(p, "size.paper-each-alone"));
    }
}

static void put_sizing(size_pen *p, bool explain)
{
    put_head(p);
    put_checks(p);
    size_put_chart(p);
    if (explain) {
        size_put_sheet(p);
    } else {
        for (int32_t part = 0; part < PW_SIZE_PART_COUNT; part++) {
            put_part(p, (pw_size_part)part);
        }
    }
    size_put_tables(p);
}

pw_status pw_paper_size(pw_arena *arena, const pw_sizings *all, const pw_choice *choice, bool explain,
                        const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    const pw_site *site = all->of[0]->site;
    pw_document *document = say_new_paper(arena, voice, explain ? "size.paper-sheet-title" : "size.paper-title",
                                          site->name, site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    size_pen pen = {arena, document, all->of[0], choice, voice, voice->units};
    (void)say_invented(document, voice, site);
    for (int32_t i = 0; i < all->count; i++) {
        pen.sizing = all->of[i];
        put_pump(&pen, all, i);
        put_sizing(&pen, explain);
        if (i == 0) {
            size_put_choice(&pen);
        }
    }
    pw_document_heading(document, 2, word(&pen, "size.paper-h-site"));
    say_site(document, voice, site);
    put_defaults(&pen);
    say_cautions(document, voice);
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
