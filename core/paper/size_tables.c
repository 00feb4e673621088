/* The tables of the sizing paper, and the calculation sheet. */
#include "base/num.h"
#include "paper/size_parts.h"

static const char *q(const size_pen *p, pw_dimension dimension, double si)
{
    if (si >= PW_INF) {
        return "-";
    }
    const char *words = say_quantity(p->arena, p->units, dimension, si);
    if (words == NULL) {
        p->document->failed = true;
        return "";
    }
    return words;
}

static const char *digits(const size_pen *p, double value, int count)
{
    if (value >= PW_INF) {
        return "-";
    }
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_text_digits(&text, value, count);
    const char *words = say_done(&text);
    if (words == NULL) {
        p->document->failed = true;
        return "";
    }
    return words;
}

const char *size_head_words(const size_pen *p, double head_m)
{
    if (head_m >= PW_INF) {
        return "-";
    }
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_head_put(&text, p->units, head_m);
    const char *words = say_done(&text);
    p->document->failed = p->document->failed || words == NULL;
    return words != NULL ? words : "";
}

/* At the terminals: kW in all units, as meters and plates have it. */
static const char *kilowatt(const size_pen *p, double watts)
{
    static const pw_size_line power = {.electric = true};
    pw_text text;
    pw_text_init(&text, p->arena);
    pw_size_put(&text, p->units, &power, watts, false);
    const char *words = say_done(&text);
    p->document->failed = p->document->failed || words == NULL;
    return words != NULL ? words : "";
}

/* "EUR"; "" where the sheet does not say. */
static const char *money(const size_pen *p)
{
    return p->sizing->site->design.currency;
}

static void put_pipe(size_pen *p, const pw_size_run_of_pipe *run)
{
    const pw_column columns[7] = {
        {"Pipe", "", false},     {"Bore", "", true},       {"Velocity", "", true},  {"Friction", "% of length", true},
        {"Lost, new", "", true}, {"Lost, aged", "", true}, {"Cost", money(p), true}};
    const bool priced = p->sizing->site->design.price_count > 0;
    const char *name = p->sizing->site->lines[run->line].name;
    pw_grid *grid =
        pw_document_grid(p->document,
                         say(p->arena, name, " at ", q(p, PW_DIM_FLOW, run->flow_m3s),
                             run->falls ? ", by its own pressure: a wider pipe only fills faster" : "", NULL),
                         columns, priced ? 7 : 6, run->count);
    for (int32_t i = 0; i < run->count; i++) {
        const pw_size_pipe *pipe = &run->choices[i];
        const char *mark = i == run->chosen && pipe->present ? " (fits, and is there)"
                           : i == run->chosen                ? " (fits)"
                           : pipe->present                   ? " (is there)"
                                                             : "";
        const pw_tone tone = pipe->fits ? PW_TONE_PLAIN : PW_TONE_CAUTION;
        pw_grid_set(grid, i, 0, say(p->arena, pipe->name, mark, NULL), i == run->chosen ? PW_TONE_GOOD : PW_TONE_PLAIN);
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
    static const pw_column columns[7] = {{"Duty", "", false},          {"Flow", "", true},     {"Head", "", true},
                                         {"Efficiency", "pump", true}, {"Power in", "", true}, {"Current", "", true},
                                         {"NPSH available", "", true}};
    const pw_sizing *sizing = p->sizing;
    pw_document_heading(p->document, 2, "Duties");
    pw_grid *grid =
        pw_document_grid(p->document, "Where the pump works, from easy to hard", columns, 7, sizing->duty_count);
    for (int32_t i = 0; i < sizing->duty_count; i++) {
        const pw_size_duty *duty = &sizing->duties[i];
        pw_grid_set(grid, i, 0, duty->words, PW_TONE_PLAIN);
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
    pw_column columns[PW_SIZE_ALTITUDES + 1] = {{"Water at", "", false}};
    for (int32_t a = 0; a < PW_SIZE_ALTITUDES; a++) {
        columns[a + 1] = (pw_column){q(p, PW_DIM_LENGTH, sizing->altitudes_m[a]), "above the sea", true};
    }
    const double required = sizing->npsh_required_m;
    const char *title =
        required >= 0.0 ? say(p->arena, "NPSH available by temperature and altitude; ", size_head_words(p, required),
                              " is required", NULL)
                        : "NPSH available by temperature and altitude; the pump's curve does not say what is required";
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
    static const pw_column columns[4] = {
        {"Charge", "", false}, {"Precharge", "", true}, {"Drawdown", "", true}, {"Most starts", "an hour", true}};
    const pw_sizing *sizing = p->sizing;
    if (sizing->effect_count == 0) {
        return;
    }
    pw_grid *grid =
        pw_document_grid(p->document, "What a wrong charge does to the vessel", columns, 4, sizing->effect_count);
    for (int32_t i = 0; i < sizing->effect_count; i++) {
        const pw_size_effect *effect = &sizing->effects[i];
        const bool many = effect->starts_h > sizing->site->design.starts_per_hour.v;
        pw_grid_set(grid, i, 0, effect->words, PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, q(p, PW_DIM_PRESSURE, effect->precharge_pa), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, q(p, PW_DIM_VOLUME, effect->drawdown_m3), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, digits(p, effect->starts_h, 3), many ? PW_TONE_BAD : PW_TONE_PLAIN);
    }
}

static void put_cables(size_pen *p)
{
    static const pw_column columns[4] = {{"Section", "mm2", true},
                                         {"Drop, running", "", true},
                                         {"Drop, starting", "", true},
                                         {"Short circuit", "", false}};
    const pw_sizing *sizing = p->sizing;
    int32_t count = sizing->cable_count;
    for (int32_t i = 0; i < sizing->cable_count; i++) {
        count = sizing->cables[i].chosen && i + 2 < count ? i + 2 : count; /* one larger than the chosen one will do */
    }
    pw_grid *grid =
        pw_document_grid(p->document, "Sections of the motor's cable (ampacity by the local code)", columns, 4, count);
    for (int32_t i = 0; i < count; i++) {
        const pw_size_cable *cable = &sizing->cables[i];
        const char *mark = cable->chosen && cable->present ? " (fits, and is there)"
                           : cable->chosen                 ? " (fits)"
                           : cable->present                ? " (is there)"
                                                           : "";
        pw_grid_set(grid, i, 0, say(p->arena, digits(p, cable->section_mm2, 4), mark, NULL),
                    cable->chosen ? PW_TONE_GOOD : PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, q(p, PW_DIM_FRACTION, cable->drop), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, q(p, PW_DIM_FRACTION, cable->start_drop), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, cable->fault_ok ? "stands it" : "too thin",
                    cable->fault_ok ? PW_TONE_PLAIN : PW_TONE_BAD);
    }
}

void size_put_tables(size_pen *p)
{
    put_duties(p);
    put_npsh(p);
    if (p->sizing->pipe_count > 0) {
        pw_document_heading(p->document, 2, "Pipe sizes: one smaller, the one that fits, one larger");
    }
    for (int32_t i = 0; i < p->sizing->pipe_count; i++) {
        put_pipe(p, &p->sizing->pipes[i]);
    }
    if (p->sizing->effect_count > 0) {
        pw_document_heading(p->document, 2, "Charge of the vessel");
    }
    put_charge(p);
    pw_document_heading(p->document, 2, "Cable");
    put_cables(p);
}

static void put_ranked(size_pen *p)
{
    const bool us = p->units->us;
    const char *unit = say(p->arena, money(p), money(p)[0] != '\0' ? " a year" : "a year", NULL);
    const char *cost = unit != NULL ? unit : "";
    const double each = us ? PW_M3_IN_1000_GAL : 1.0;
    const pw_column columns[8] = {{"Pump", "", false},
                                  {"Flow", "", true},
                                  {"Head", "", true},
                                  {"Efficiency", "pump", true},
                                  {"Of best flow", "", true},
                                  {"Energy", us ? "kWh per 1,000 gal" : "kWh per m3", true},
                                  {"Energy", "kWh a year", true},
                                  {"Cost", cost, true}};
    const pw_choice *choice = p->choice;
    const int32_t count = choice->fitting < 12 ? choice->fitting : 12;
    pw_grid *grid = pw_document_grid(p->document,
                                     choice->by_cost ? "Pumps that fit, the cheapest year first"
                                                     : "Pumps that fit, the least energy first",
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
    static const pw_column columns[4] = {
        {"Pump", "", false}, {"Why not", "", false}, {"There is", "", true}, {"Asked for", "", true}};
    const pw_choice *choice = p->choice;
    const int32_t refused = choice->count - choice->fitting;
    const int32_t count = refused < 40 ? refused : 40;
    if (count == 0) {
        return;
    }
    pw_grid *grid = pw_document_grid(p->document, "Pumps that do not fit", columns, 4, count);
    for (int32_t i = 0; i < count; i++) {
        const pw_judged *one = &choice->ranked[choice->fitting + i];
        const pw_dimension dimension = pw_refusal_dimension(one->refusal);
        pw_grid_set(grid, i, 0, choice->candidates[one->candidate].name, PW_TONE_PLAIN);
        pw_grid_set(grid, i, 1, pw_refusal_words(one->refusal), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 2, refusal_words(p, dimension, one->have), PW_TONE_PLAIN);
        pw_grid_set(grid, i, 3, refusal_words(p, dimension, one->need), PW_TONE_PLAIN);
    }
}

void size_put_choice(size_pen *p)
{
    if (p->choice == NULL) {
        return;
    }
    pw_document_heading(p->document, 2, "Pumps of the catalogue");
    pw_document_add(p->document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                    say(p->arena, digits(p, p->choice->count, 6), " pumps were tried over the whole range of duties, ",
                        digits(p, p->choice->fitting, 6), " fit. Energy is that of ",
                        q(p, PW_DIM_VOLUME, p->choice->yearly_m3), " a year, each pressure by the water pumped at it",
                        p->choice->by_cost ? "; the pump's price counts over ten years." : ".", NULL));
    if (p->choice->fitting > 0) {
        put_ranked(p);
    }
    put_refused(p);
}

void size_put_sheet(size_pen *p)
{
    static const pw_column columns[3] = {{"What", "", false}, {"Value", "", true}, {"How, and from where", "", false}};
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
        pw_document_heading(p->document, 2, pw_size_part_words((pw_size_part)part));
        pw_grid *grid = pw_document_grid(p->document, "Line by line", columns, 3, count);
        for (int32_t i = 0; i < sizing->line_count; i++) {
            const pw_size_line *line = &sizing->lines[i];
            if (line->part != (pw_size_part)part) {
                continue;
            }
            const char *value = size_value(p, line);
            const char *most = size_most(p, line);
            p->document->failed = p->document->failed || value == NULL || most == NULL;
            const bool moved = most != NULL && most[0] != '\0';
            const bool named = line->formula[0] != '\0';
            const char *how = say(p->arena, line->how, moved ? ". Most: " : "", moved ? most : "",
                                  ". Source: ", line->source, named ? ". Formula: " : "", line->formula, NULL);
            p->document->failed = p->document->failed || how == NULL;
            pw_grid_set(grid, row, 0, line->words, PW_TONE_PLAIN);
            pw_grid_set(grid, row, 1, value != NULL ? value : "", PW_TONE_PLAIN);
            pw_grid_set(grid, row, 2, how != NULL ? how : "", PW_TONE_PLAIN);
            row++;
        }
        if (part == PW_SIZE_ELECTRIC) {
            pw_document_add(
                p->document, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                "Each of these electrical results is a check of the arithmetic, not a design: electrical work is "
                "licensed work in most places, and the local code decides on cable, protection, earthing and "
                "generator.");
        }
    }
}
