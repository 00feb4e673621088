/* The tables of the sizing paper, and the calculation sheet. */
#include <string.h>

#include "base/num.h"
#include "paper/size_parts.h"

static const char *q(const size_pen *p, pw_dimension dimension, double si)
{
    return si >= PW_INF ? "-" : size_amount(p, dimension, si);
}

static const char *digits(const size_pen *p, double value, int count)
{
    return value >= PW_INF ? "-" : size_words(p, pw_fact_of("size.value", pw_number(value, count)));
}

const char *size_head_words(const size_pen *p, double head_m)
{
    return head_m >= PW_INF ? "-" : size_words(p, pw_fact_of("size.value", pw_head(head_m)));
}

/* At the terminals: kW in all units, as meters and plates have it. */
static const char *kilowatt(const size_pen *p, double watts)
{
    static const pw_size_line power = {.electric = true};
    return size_words(p, pw_size_value(&power, watts, false));
}

/* "EUR"; "" where the sheet does not say. */
static const char *money(const size_pen *p)
{
    return p->sizing->site->design.currency;
}

/* A size with what it is here: "1.5 (fits, and is there)". */
static const char *marked(const size_pen *p, const char *size, bool chosen, bool present)
{
    return size_words(p, pw_fact_of("size.paper-mark", pw_named(size), pw_truth(chosen && present),
                                    pw_truth(chosen && !present), pw_truth(!chosen && present)));
}

static void put_pipe(size_pen *p, const pw_size_run_of_pipe *run)
{
    const pw_column columns[7] = {{word(p, "size.paper-c-pipe"), "", false},
                                  {word(p, "size.paper-c-bore"), "", true},
                                  {word(p, "size.paper-c-velocity"), "", true},
                                  {word(p, "size.paper-c-friction"), word(p, "size.paper-c-of-length"), true},
                                  {word(p, "size.paper-c-lost-new"), "", true},
                                  {word(p, "size.paper-c-lost-aged"), "", true},
                                  {word(p, "size.paper-c-cost"), money(p), true}};
    const bool priced = p->sizing->site->design.price_count > 0;
    const char *name = p->sizing->site->lines[run->line].name;
    pw_grid *grid =
        pw_document_grid(p->document,
                         size_words(p, pw_fact_of("size.paper-pipe-caption", pw_named(name),
                                                  pw_quantity(PW_DIM_FLOW, run->flow_m3s), pw_truth(run->falls))),
                         columns, priced ? 7 : 6, run->count);
    for (int32_t i = 0; i < run->count; i++) {
        const pw_size_pipe *pipe = &run->choices[i];
        const bool own = strcmp(pipe->name, PW_SIZE_OWN_PIPE) == 0;
        const char *called = own ? word(p, "size.own-pipe") : pipe->name;
        const pw_tone tone = pipe->fits ? PW_TONE_PLAIN : PW_TONE_CAUTION;
        pw_grid_set(grid, i, 0, marked(p, called, i == run->chosen, pipe->present),
                    i == run->chosen ? PW_TONE_GOOD : PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, q(p, PW_DIM_LENGTH, pipe->bore_m), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, q(p, PW_DIM_VELOCITY, pipe->velocity_ms), tone);
        pw_grid_set(grid, i, 3, digits(p, pipe->gradient_new * 100.0, 3), tone);
        pw_grid_set(grid, i, 4, size_head_words(p, pipe->loss_new_m), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 5, size_head_words(p, pipe->loss_aged_m), PW_TONE_PLAIN);
        if (priced) {
            pw_grid_set(grid, i, 6, digits(p, pipe->cost, 4), PW_TONE_PLAIN);
        }
    }
}

static void put_duties(size_pen *p)
{
    const pw_column columns[7] = {{word(p, "size.paper-c-duty"), "", false},
                                  {word(p, "size.paper-c-flow"), "", true},
                                  {word(p, "size.paper-c-head"), "", true},
                                  {word(p, "size.paper-c-efficiency"), word(p, "size.paper-c-pump"), true},
                                  {word(p, "size.paper-c-power-in"), "", true},
                                  {word(p, "size.paper-c-current"), "", true},
                                  {word(p, "size.paper-c-npsh"), "", true}};
    const pw_sizing *sizing = p->sizing;
    pw_document_heading(p->document, 2, word(p, "size.paper-h-duties"));
    pw_grid *grid = pw_document_grid(p->document, word(p, "size.paper-duties-caption"), columns, 7, sizing->duty_count);
    for (int32_t i = 0; i < sizing->duty_count; i++) {
        const pw_size_duty *duty = &sizing->duties[i];
        pw_grid_set(grid, i, 0, word(p, duty->words), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, q(p, PW_DIM_FLOW, duty->flow_m3s), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, size_head_words(p, duty->head_m), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, q(p, PW_DIM_FRACTION, duty->efficiency), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 4, kilowatt(p, duty->input_w), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 5, q(p, PW_DIM_CURRENT, duty->current_a), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 6, size_head_words(p, duty->npsh_available_m), PW_TONE_PLAIN);
    }
}

static void put_npsh(size_pen *p)
{
    const pw_sizing *sizing = p->sizing;
    pw_column columns[PW_SIZE_ALTITUDES + 1] = {{word(p, "size.paper-c-water-at"), "", false}};
    for (int32_t a = 0; a < PW_SIZE_ALTITUDES; a++) {
        columns[a + 1] =
            (pw_column){q(p, PW_DIM_LENGTH, sizing->altitudes_m[a]), word(p, "size.paper-c-above-sea"), true};
    }
    const double required = sizing->npsh_required_m;
    const char *title = required >= 0.0 ? size_words(p, pw_fact_of("size.paper-npsh-caption", pw_head(required)))
                                        : word(p, "size.paper-npsh-unknown");
    pw_grid *grid = pw_document_grid(p->document, title, columns, PW_SIZE_ALTITUDES + 1, PW_SIZE_TEMPERATURES);
    for (int32_t t = 0; t < PW_SIZE_TEMPERATURES; t++) {
        pw_grid_set(grid, t, 0, q(p, PW_DIM_TEMPERATURE, sizing->temperatures_c[t]), PW_TONE_PLAIN);
        for (int32_t a = 0; a < PW_SIZE_ALTITUDES; a++) {
            const double have = sizing->npsh_m[t][a];
            pw_grid_set(grid, t, a + 1, size_head_words(p, have),
                        required >= 0.0 && have < required ? PW_TONE_BAD : PW_TONE_PLAIN);
        }
    }
}

static void put_charge(size_pen *p)
{
    const pw_column columns[4] = {{word(p, "size.paper-c-charge"), "", false},
                                  {word(p, "size.paper-c-precharge"), "", true},
                                  {word(p, "size.paper-c-drawdown"), "", true},
                                  {word(p, "size.paper-c-starts"), word(p, "size.paper-c-an-hour"), true}};
    const pw_sizing *sizing = p->sizing;
    if (sizing->effect_count == 0) {
        return;
    }
    pw_grid *grid =
        pw_document_grid(p->document, word(p, "size.paper-charge-caption"), columns, 4, sizing->effect_count);
    for (int32_t i = 0; i < sizing->effect_count; i++) {
        const pw_size_effect *effect = &sizing->effects[i];
        const bool many = effect->starts_h > sizing->site->design.starts_per_hour.v;
        pw_grid_set(grid, i, 0, word(p, effect->words), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, q(p, PW_DIM_PRESSURE, effect->precharge_pa), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, q(p, PW_DIM_VOLUME, effect->drawdown_m3), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, digits(p, effect->starts_h, 3), many ? PW_TONE_BAD : PW_TONE_PLAIN);
    }
}

static void put_cables(size_pen *p)
{
    const pw_column columns[4] = {{word(p, "size.paper-c-section"), "mm2", true},
                                  {word(p, "size.paper-c-drop"), "", true},
                                  {word(p, "size.paper-c-start-drop"), "", true},
                                  {word(p, "size.paper-c-short"), "", false}};
    const pw_sizing *sizing = p->sizing;
    int32_t count = sizing->cable_count;
    for (int32_t i = 0; i < sizing->cable_count; i++) {
        count = sizing->cables[i].chosen && i + 2 < count ? i + 2 : count; /* one larger than the chosen one will do */
    }
    pw_grid *grid = pw_document_grid(p->document, word(p, "size.paper-cables-caption"), columns, 4, count);
    for (int32_t i = 0; i < count; i++) {
        const pw_size_cable *cable = &sizing->cables[i];
        pw_grid_set(grid, i, 0, marked(p, digits(p, cable->section_mm2, 4), cable->chosen, cable->present),
                    cable->chosen ? PW_TONE_GOOD : PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, q(p, PW_DIM_FRACTION, cable->drop), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, q(p, PW_DIM_FRACTION, cable->start_drop), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, word(p, cable->fault_ok ? "size.paper-withstands" : "size.paper-too-thin"),
                    cable->fault_ok ? PW_TONE_PLAIN : PW_TONE_BAD);
    }
}

void size_put_tables(size_pen *p)
{
    put_duties(p);
    put_npsh(p);
    if (p->sizing->pipe_count > 0) {
        pw_document_heading(p->document, 2, word(p, "size.paper-h-pipes"));
    }
    for (int32_t i = 0; i < p->sizing->pipe_count; i++) {
        put_pipe(p, &p->sizing->pipes[i]);
    }
    if (p->sizing->effect_count > 0) {
        pw_document_heading(p->document, 2, word(p, "size.paper-h-charge"));
    }
    put_charge(p);
    pw_document_heading(p->document, 2, word(p, "size.paper-h-cable"));
    put_cables(p);
}

static void put_ranked(size_pen *p)
{
    const bool us = p->units->us;
    const char *cost = size_words(p, pw_fact_of("size.paper-c-money-year", pw_named(money(p))));
    const char *each_unit = size_words(p, pw_fact_of("size.paper-c-kwh-each", pw_in_us_units()));
    const double each = us ? PW_M3_IN_1000_GAL : 1.0;
    const pw_column columns[8] = {{word(p, "size.paper-c-pump-name"), "", false},
                                  {word(p, "size.paper-c-flow"), "", true},
                                  {word(p, "size.paper-c-head"), "", true},
                                  {word(p, "size.paper-c-efficiency"), word(p, "size.paper-c-pump"), true},
                                  {word(p, "size.paper-c-of-best"), "", true},
                                  {word(p, "size.paper-c-energy"), each_unit, true},
                                  {word(p, "size.paper-c-energy"), word(p, "size.paper-c-kwh-year"), true},
                                  {word(p, "size.paper-c-cost"), cost, true}};
    const pw_choice *choice = p->choice;
    const int32_t count = choice->fitting < 12 ? choice->fitting : 12;
    pw_grid *grid =
        pw_document_grid(p->document, word(p, choice->by_cost ? "size.paper-ranked-cost" : "size.paper-ranked-energy"),
                         columns, 8, count);
    for (int32_t i = 0; i < count; i++) {
        const pw_judged *one = &choice->ranked[i];
        pw_grid_set(grid, i, 0, choice->candidates[one->candidate].name, i == 0 ? PW_TONE_GOOD : PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, q(p, PW_DIM_FLOW, one->flow_m3s), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, size_head_words(p, one->head_m), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, q(p, PW_DIM_FRACTION, one->efficiency), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 4, q(p, PW_DIM_FRACTION, one->part_of_best), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 5, digits(p, one->kwh_m3 * each, 3), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 6, digits(p, one->kwh_year, 3), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 7, digits(p, one->cost_year, 3), PW_TONE_PLAIN);
    }
}

static const char *refusal_words(const size_pen *p, pw_dimension dimension, double value)
{
    return dimension == PW_DIM_NONE ? "" : q(p, dimension, value);
}

static void put_refused(size_pen *p)
{
    const pw_column columns[4] = {{word(p, "size.paper-c-pump-name"), "", false},
                                  {word(p, "size.paper-c-why-not"), "", false},
                                  {word(p, "size.paper-c-there-is"), "", true},
                                  {word(p, "size.paper-c-asked"), "", true}};
    const pw_choice *choice = p->choice;
    const int32_t refused = choice->count - choice->fitting;
    const int32_t count = refused < 40 ? refused : 40;
    if (count == 0) {
        return;
    }
    pw_grid *grid = pw_document_grid(p->document, word(p, "size.paper-refused-caption"), columns, 4, count);
    for (int32_t i = 0; i < count; i++) {
        const pw_judged *one = &choice->ranked[choice->fitting + i];
        const pw_dimension dimension = pw_refusal_dimension(one->refusal);
        pw_grid_set(grid, i, 0, choice->candidates[one->candidate].name, PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, word(p, pw_refusal_message(one->refusal)), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, refusal_words(p, dimension, one->have), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, refusal_words(p, dimension, one->need), PW_TONE_PLAIN);
    }
}

void size_put_choice(size_pen *p)
{
    if (p->choice == NULL) {
        return;
    }
    pw_document_heading(p->document, 2, word(p, "size.paper-h-catalogue"));
    pw_document_add(
        p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
        size_words(p, pw_fact_of("size.paper-tried", pw_count(p->choice->count), pw_count(p->choice->fitting),
                                 pw_quantity(PW_DIM_VOLUME, p->choice->yearly_m3), pw_truth(p->choice->by_cost))));
    if (p->choice->fitting > 0) {
        put_ranked(p);
    }
    put_refused(p);
}

void size_put_sheet(size_pen *p)
{
    const pw_column columns[3] = {{word(p, "size.paper-c-what"), "", false},
                                  {word(p, "size.paper-c-value"), "", true},
                                  {word(p, "size.paper-c-how"), "", false}};
    const pw_sizing *sizing = p->sizing;
    for (int32_t part = 0; part < PW_SIZE_PART_COUNT; part++) {
        int32_t count = 0;
        int32_t row = 0;
        for (int32_t i = 0; i < sizing->line_count; i++) {
            count += sizing->lines[i].part == (pw_size_part)part ? 1 : 0;
        }
        if (count == 0) {
            continue;
        }
        pw_document_heading(p->document, 2, word(p, pw_size_part_message((pw_size_part)part)));
        pw_grid *grid = pw_document_grid(p->document, word(p, "size.paper-line-by-line"), columns, 3, count);
        for (int32_t i = 0; i < sizing->line_count; i++) {
            const pw_size_line *line = &sizing->lines[i];
            if (line->part != (pw_size_part)part) {
                continue;
            }
            const char *value = size_value(p, line);
            const char *most = size_most(p, line);
            const char *how =
                size_words(p, pw_fact_of("size.paper-how", pw_nested(&line->how), pw_truth(line->most != NULL),
                                         pw_named(most), pw_nested(&line->source), pw_named(line->formula)));
            pw_grid_set(grid, row, 0, size_words(p, line->what), PW_TONE_PLAIN);
            pw_grid_set(grid, row, 1, value, PW_TONE_PLAIN);
            pw_grid_set(grid, row, 2, how, PW_TONE_PLAIN);
            row++;
        }
        if (part == PW_SIZE_ELECTRIC) {
            pw_document_add(p->document, PW_BLOCK_NOTE, PW_TONE_CAUTION, word(p, "size.paper-licensed"));
        }
    }
}
