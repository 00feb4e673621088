/* Duty of the pumps as a paper: where each works against this site, and what that costs. */
#include "base/num.h"
#include "paper/paper.h"
#include "paper/say.h"
#include "study/verdict.h"

enum { COLUMNS = 11 };

/* Water in a bore is measured to the centimetre: own choice. */
#define LEAST_FALL_M 0.005

pw_fact pw_duty_at_fact(const pw_duty_row *row)
{
    static const char *const ids[] = {[PW_DUTY_CUT_IN] = "paper.duty-at-cut-in",
                                      [PW_DUTY_CUT_OUT] = "paper.duty-at-cut-out",
                                      [PW_DUTY_FREE] = "paper.duty-at-free-flow",
                                      [PW_DUTY_HELD] = "paper.duty-at",
                                      [PW_DUTY_WORK] = "paper.duty-at-work"};
    return pw_fact_of(ids[row->at], pw_quantity(PW_DIM_PRESSURE, row->pressure_pa));
}

static bool is_short(const pw_site *site, const pw_duty *duty)
{
    return pw_npsh_judge(duty->npsh_available_m, duty->npsh_required_m, site->design.suction.margin_m.v) ==
           PW_NPSH_SHORT;
}

static void put_row(pw_document *document, pw_grid *grid, int32_t i, const pw_site *site, const pw_duty_row *row,
                    const pw_voice *voice)
{
    const pw_duty *duty = &row->duty;
    const pw_units *units = voice->units;
    pw_arena *arena = document->arena;
    const bool npsh_short = is_short(site, duty);
    const double energy = duty->kwh_per_m3 * (units->us ? PW_M3_IN_1000_GAL : 1.0);
    const pw_fact at = pw_duty_at_fact(row);
    const char *words[COLUMNS] = {
        say_fact(arena, voice, pw_fact_of("paper.duty-pump", pw_named(site->pumps[row->pump].name), pw_nested(&at))),
        duty->vessel ? say_digits(arena, voice, pw_unit_value(units, PW_DIM_PRESSURE, row->pressure_pa), 3) : "-",
        say_digits(arena, voice, pw_unit_value(units, PW_DIM_FLOW, duty->flow_m3s), 3),
        say_digits(arena, voice, pw_unit_value(units, PW_DIM_LENGTH, duty->head_m), 3),
        say_digits(arena, voice, pw_unit_value(units, PW_DIM_LENGTH, duty->static_m), 3),
        say_digits(arena, voice,
                   duty->drawdown_m < LEAST_FALL_M ? 0.0 : pw_unit_value(units, PW_DIM_LENGTH, duty->drawdown_m), 3),
        duty->efficiency > 0.0 ? say_digits(arena, voice, pw_unit_value(units, PW_DIM_FRACTION, duty->efficiency), 3)
                               : "-",
        say_digits(arena, voice, duty->input_w * 1e-3, 3),
        say_digits(arena, voice, duty->current_a, 3),
        duty->flow_m3s > 0.0 ? say_digits(arena, voice, energy, 3) : "-",
        say_digits(arena, voice, pw_unit_value(units, PW_DIM_LENGTH, duty->npsh_available_m), 3)};
    for (int32_t c = 0; c < COLUMNS; c++) {
        if (words[c] == NULL) {
            document->failed = true;
        }
        pw_grid_set(grid, i, c, words[c], c == COLUMNS - 1 && npsh_short ? PW_TONE_BAD : PW_TONE_PLAIN);
    }
}

/* "bore pump at cut-in: ..." */
static void remark(pw_document *document, const pw_voice *voice, const pw_site *site, const pw_duty_row *row,
                   pw_block_kind kind, pw_tone tone, pw_fact what)
{
    const pw_fact at = pw_duty_at_fact(row);
    say_block(document, voice, kind, tone,
              pw_fact_of("paper.duty-remark", pw_named(site->pumps[row->pump].name), pw_nested(&at), pw_nested(&what)));
}

/* How the water goes over high ground, or why none comes. */
static void put_way(pw_document *document, const pw_site *site, const pw_duty_row *row, const pw_voice *voice)
{
    const pw_duty *duty = &row->duty;
    switch (duty->way) {
    case PW_DUTY_FLOWS: return;
    case PW_DUTY_OVER:
        remark(document, voice, site, row, PW_BLOCK_WORDS, PW_TONE_PLAIN,
               pw_fact_of("paper.duty-over", pw_named(pw_spot_name(site, duty->summit)), pw_head(duty->summit_m)));
        return;
    case PW_DUTY_SIPHON:
        remark(document, voice, site, row, PW_BLOCK_WORDS, PW_TONE_PLAIN,
               pw_fact_of("paper.duty-siphon", pw_named(pw_spot_name(site, duty->summit)), pw_head(duty->summit_m),
                          pw_quantity(PW_DIM_PRESSURE, duty->summit_pa)));
        return;
    case PW_DUTY_TORN:
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_CAUTION,
               pw_fact_of("paper.duty-torn", pw_named(pw_spot_name(site, duty->summit)), pw_head(duty->summit_m),
                          pw_quantity(PW_DIM_PRESSURE, duty->summit_pa)));
        return;
    case PW_DUTY_SHUT:
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_PLAIN, pw_fact_of("paper.duty-all-shut"));
        return;
    case PW_DUTY_FULL:
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_PLAIN,
               pw_fact_of("paper.duty-full", pw_named(site->tanks[duty->tank].name)));
        return;
    case PW_DUTY_BLOCKED:
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_BAD,
               pw_fact_of("paper.duty-blocked", pw_named(pw_spot_name(site, duty->summit)), pw_head(duty->summit_m),
                          pw_head(duty->reach_m)));
        return;
    case PW_DUTY_DRY:
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_BAD, pw_fact_of("paper.duty-dry"));
        return;
    case PW_DUTY_LOW: break;
    }
    remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_BAD, pw_fact_of("paper.duty-nothing"));
}

static void put_remarks(pw_document *document, const pw_site *site, const pw_duty_row *row, const pw_voice *voice)
{
    const pw_duty *duty = &row->duty;
    const pw_pump *pump = &site->pumps[row->pump];
    if (duty->way != PW_DUTY_DRY && is_short(site, duty)) {
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_BAD,
               pw_fact_of("paper.duty-npsh-short", pw_head(duty->npsh_required_m), pw_head(duty->npsh_available_m)));
    }
    if (duty->flow_m3s > 1.0001 * pump->speed.v * pump->curve[pump->point_count - 1].flow_m3s.v) {
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_CAUTION, pw_fact_of("paper.duty-beyond-curve"));
    }
    put_way(document, site, row, voice);
    if (pw_duty_at_intake(site, row->pump, duty)) {
        remark(document, voice, site, row, PW_BLOCK_NOTE, PW_TONE_BAD,
               pw_fact_of("paper.duty-at-intake", pw_quantity(PW_DIM_FLOW, duty->flow_m3s)));
    } else if (duty->drawdown_m >= LEAST_FALL_M) {
        remark(document, voice, site, row, PW_BLOCK_WORDS, PW_TONE_PLAIN,
               pw_fact_of("paper.duty-falls", pw_head(duty->drawdown_m)));
    }
}

pw_status pw_paper_duty(pw_arena *arena, const pw_plant *plant, const pw_duty_row *rows, int32_t row_count,
                        const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    const pw_units *units = voice->units;
    const pw_site *site = plant->site;
    pw_document *document = say_new_paper(arena, voice, "paper.duty", site->name, site->invented);
    if (document == NULL) {
        return PW_MEMORY;
    }
    (void)say_invented(document, voice, site);
    const char *pressure = pw_unit_name(units, PW_DIM_PRESSURE);
    const char *length = pw_unit_name(units, PW_DIM_LENGTH);
    const pw_column columns[COLUMNS] = {{pw_say_word(voice, "paper.pump"), "", false},
                                        {pw_say_word(voice, "paper.duty-held-at"), pressure, true},
                                        {pw_say_word(voice, "paper.duty-flow"), pw_unit_name(units, PW_DIM_FLOW), true},
                                        {pw_say_word(voice, "paper.duty-head"), length, true},
                                        {pw_say_word(voice, "paper.duty-static"), length, true},
                                        {pw_say_word(voice, "paper.duty-bore-falls"), length, true},
                                        {pw_say_word(voice, "paper.duty-pump-efficiency"), "%", true},
                                        {pw_say_word(voice, "paper.duty-power-in"), "kW", true},
                                        {pw_say_word(voice, "paper.duty-current"), "A", true},
                                        {pw_say_word(voice, "paper.duty-energy"),
                                         pw_say_word(voice, units->us ? "paper.duty-kwh-gal" : "paper.duty-kwh-m3"),
                                         true},
                                        {pw_say_word(voice, "paper.duty-npsh-there"), length, true}};
    pw_grid *grid = pw_document_grid(document, pw_say_word(voice, "paper.duty-caption"), columns, COLUMNS, row_count);
    for (int32_t i = 0; i < row_count; i++) {
        put_row(document, grid, i, site, &rows[i], voice);
    }
    for (int32_t i = 0; i < row_count; i++) {
        put_remarks(document, site, &rows[i], voice);
    }
    say_heading(document, voice, 2, "paper.the-site");
    say_site(document, voice, site);
    say_defaults(document, voice, site);
    if (document->failed) {
        return PW_MEMORY;
    }
    *out = document;
    return PW_OK;
}
