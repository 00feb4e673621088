/* Duty of the pumps as a paper: where each works against this site, and what that costs. */
#include "base/num.h"
#include "paper/paper.h"
#include "paper/say.h"
#include "study/verdict.h"

enum { COLUMNS = 11 };

static const char *number(pw_document *document, double value, int32_t digits)
{
    pw_text text;
    pw_text_init(&text, document->arena);
    pw_text_digits(&text, value, digits);
    const char *words = say_done(&text);
    if (words == NULL)
        document->failed = true;
    return words;
}

static bool is_short(const pw_site *site, const pw_duty *duty)
{
    return pw_npsh_judge(duty->npsh_available_m, duty->npsh_required_m, site->design.suction.margin_m.v) ==
           PW_NPSH_SHORT;
}

static void put_row(pw_document *document, pw_grid *grid, int32_t i, const pw_site *site, const pw_duty_row *row,
                    const pw_units *units)
{
    const pw_duty *duty = &row->duty;
    pw_arena *arena = document->arena;
    const bool npsh_short = is_short(site, duty);
    const double energy = duty->kwh_per_m3 * (units->us ? PW_M3_IN_1000_GAL : 1.0);
    const char *words[COLUMNS] = {
        say(arena, site->pumps[row->pump].name, row->words[0] != '\0' ? ", " : "", row->words, NULL),
        number(document, pw_unit_value(units, PW_DIM_PRESSURE, row->pressure_pa), 3),
        number(document, pw_unit_value(units, PW_DIM_FLOW, duty->flow_m3s), 3),
        number(document, pw_unit_value(units, PW_DIM_LENGTH, duty->head_m), 3),
        number(document, pw_unit_value(units, PW_DIM_LENGTH, duty->static_m), 3),
        number(document, pw_unit_value(units, PW_DIM_LENGTH, duty->drawdown_m), 3),
        duty->efficiency > 0.0 ? number(document, pw_unit_value(units, PW_DIM_FRACTION, duty->efficiency), 3) : "-",
        number(document, duty->input_w * 1e-3, 3),
        number(document, duty->current_a, 3),
        number(document, energy, 3),
        number(document, pw_unit_value(units, PW_DIM_LENGTH, duty->npsh_available_m), 3)};
    for (int32_t c = 0; c < COLUMNS; c++) {
        if (words[c] == NULL)
            document->failed = true;
        pw_grid_set(grid, i, c, words[c], c == COLUMNS - 1 && npsh_short ? PW_TONE_BAD : PW_TONE_PLAIN);
    }
}

static void put_remarks(pw_document *document, const pw_site *site, const pw_duty_row *row, const pw_units *units)
{
    const pw_duty *duty = &row->duty;
    pw_arena *arena = document->arena;
    const char *who = say(arena, site->pumps[row->pump].name, row->words[0] != '\0' ? " " : "", row->words, NULL);
    const char *need = say_quantity(arena, units, PW_DIM_LENGTH, duty->npsh_required_m);
    const char *have = say_quantity(arena, units, PW_DIM_LENGTH, duty->npsh_available_m);
    const char *down = say_quantity(arena, units, PW_DIM_LENGTH, duty->drawdown_m);
    if (who == NULL || need == NULL || have == NULL || down == NULL) {
        document->failed = true;
        return;
    }
    if (is_short(site, duty)) {
        pw_document_add(document, PW_BLOCK_NOTE, PW_TONE_BAD,
                        say(arena, who, ": the pump asks for ", need, " of NPSH and has ", have,
                            ". It will cavitate: less flow, a shorter or wider suction, or a deeper intake.", NULL));
    }
    const pw_pump *pump = &site->pumps[row->pump];
    if (duty->flow_m3s > 1.0001 * pump->speed.v * pump->curve[pump->point_count - 1].flow_m3s.v) {
        pw_document_add(document, PW_BLOCK_NOTE, PW_TONE_CAUTION,
                        say(arena, who,
                            ": beyond the last point of the pump's curve, drawn on from there: only a hint. A pump "
                            "that runs there wears out and may overload its motor.",
                            NULL));
    }
    if (duty->flow_m3s <= 0.0 && site->vessel_count == 0 && site->tank_count == 0) {
        pw_document_add(document, PW_BLOCK_NOTE, PW_TONE_PLAIN,
                        say(arena, who,
                            ": every outlet is shut in this table, and no vessel or tank takes water. \"pumpwright "
                            "size\" finds the duty with the outlets open.",
                            NULL));
    } else if (duty->flow_m3s <= 0.0) {
        pw_document_add(document, PW_BLOCK_NOTE, PW_TONE_BAD,
                        say(arena, who,
                            ": the pump delivers nothing here; its shut-off head is below what the site asks for.",
                            NULL));
    }
    if (duty->drawdown_m > 0.0) {
        pw_document_add(document, PW_BLOCK_WORDS, PW_TONE_PLAIN,
                        say(arena, who, ": the water level in the bore falls by ", down, " at this flow.", NULL));
    }
}

pw_status pw_paper_duty(pw_arena *arena, const pw_plant *plant, const pw_duty_row *rows, int32_t row_count,
                        const pw_voice *voice, pw_document **out)
{
    *out = NULL;
    const pw_units *units = voice->units;
    const pw_site *site = plant->site;
    pw_document *document = pw_document_new(arena, "Duty", site->name, site->invented ? "INVENTED" : "");
    if (document == NULL)
        return PW_MEMORY;
    (void)say_invented(document, voice, site);
    const char *pressure = pw_unit_name(units, PW_DIM_PRESSURE);
    const char *length = pw_unit_name(units, PW_DIM_LENGTH);
    const pw_column columns[COLUMNS] = {{"Pump", "", false},
                                        {"Held at", pressure, true},
                                        {"Flow", pw_unit_name(units, PW_DIM_FLOW), true},
                                        {"Head", length, true},
                                        {"Static", length, true},
                                        {"Bore falls", length, true},
                                        {"Pump eff.", "%", true},
                                        {"Power in", "kW", true},
                                        {"Current", "A", true},
                                        {"Energy", units->us ? "kWh per 1,000 gal" : "kWh per m3", true},
                                        {"NPSH there", length, true}};
    pw_grid *grid = pw_document_grid(document, "Where the pump's curve meets the site, at rest levels", columns,
                                     COLUMNS, row_count);
    for (int32_t i = 0; i < row_count; i++)
        put_row(document, grid, i, site, &rows[i], units);
    for (int32_t i = 0; i < row_count; i++)
        put_remarks(document, site, &rows[i], units);
    pw_document_heading(document, 2, "The site");
    say_site(document, voice, site);
    say_defaults(document, voice, site);
    if (document->failed)
        return PW_MEMORY;
    *out = document;
    return PW_OK;
}
