/* The tables of docs/site-sheet.md, from the same rows as the reader. tests/unit/site holds the page to them. */
#include <string.h>

#include "site/table.h"

static const char *form_words(const pw_row *row)
{
    switch (row->type) {
    case PW_ROW_QUANTITY: {
        /* the page is in English, as the help of the rows is */
        static const char *const words[PW_DIM_COUNT] = {
            [PW_DIM_NONE] = "a plain number",
            [PW_DIM_PRESSURE] = "a pressure",
            [PW_DIM_LENGTH] = "a length",
            [PW_DIM_FLOW] = "a flow",
            [PW_DIM_TIME] = "a time",
            [PW_DIM_VOLUME] = "a volume",
            [PW_DIM_AREA] = "an area",
            [PW_DIM_VELOCITY] = "a velocity",
            [PW_DIM_TEMPERATURE] = "a temperature",
            [PW_DIM_POWER] = "a power",
            [PW_DIM_ENERGY] = "an energy",
            [PW_DIM_VOLTAGE] = "a voltage",
            [PW_DIM_CURRENT] = "a current",
            [PW_DIM_FREQUENCY] = "a frequency",
            [PW_DIM_SPEED] = "a speed of rotation",
            [PW_DIM_SPECIFIC_CAPACITY] = "a specific capacity (flow per length)",
            [PW_DIM_FRACTION] = "a fraction or percentage",
            [PW_DIM_RATE] = "a number per hour",
            [PW_DIM_TEMPERATURE_RISE] = "a temperature difference",
        };
        return words[row->dimension];
    }
    case PW_ROW_CLOCK: return "a time of day";
    case PW_ROW_NAME: return "a name, at most 63 bytes";
    case PW_ROW_TEXT: return "a text, at most 239 bytes";
    case PW_ROW_YES_NO: return "yes or no";
    case PW_ROW_PHASES: return "1, 3 or DC";
    case PW_ROW_CHOICE: return NULL;
    case PW_ROW_REFERENCE: {
        static const char *const targets[PW_TARGET_COUNT] = {"a name from `places`", "a name from `lines`",
                                                             "a name from `pumps`", "a name from `outlets`",
                                                             "a name from `filters`"};
        return targets[row->target];
    }
    case PW_ROW_GROUP: return "keys, see below";
    case PW_ROW_LIST: return "a list, see below";
    case PW_ROW_PIPE: return "a pipe of the pipe table";
    case PW_ROW_FITTINGS: return "fittings with counts";
    case PW_ROW_PATTERN: return "24 numbers";
    case PW_ROW_DAYS: return "a list of weekdays";
    case PW_ROW_WINDOWS: return "one to eight of {from, to}";
    case PW_ROW_TIMES: return "numbers, s";
    case PW_ROW_FLOWS: return "numbers, L/s";
    case PW_ROW_SENTENCES: return "1 to 64 sentences";
    }
    return "";
}

static void put_form(pw_text *text, const pw_row *row)
{
    const char *words = form_words(row);
    if (words != NULL) {
        pw_text_put(text, words);
    }
    for (int32_t i = 0; row->type == PW_ROW_CHOICE && row->words[i] != NULL; i++) {
        pw_text_puts(text, i > 0 ? ", " : "", "`", row->words[i], "`", NULL);
    }
    if (row->type == PW_ROW_QUANTITY) {
        pw_units units = pw_units_metric();
        pw_text_put(text, ", ");
        pw_quantity_put(text, &units, row->dimension, row->low);
        pw_text_put(text, " to ");
        pw_quantity_put(text, &units, row->dimension, row->high);
    }
    if (row->type == PW_ROW_LIST) {
        pw_text_put(text, ", ");
        pw_text_int(text, row->least);
        pw_text_put(text, " to ");
        pw_text_int(text, row->most);
    }
}

static void put_default(pw_text *text, const pw_row *row)
{
    pw_units units = pw_units_metric();
    bool number = row->type == PW_ROW_QUANTITY;
    switch (row->need) {
    case PW_NEEDED: pw_text_put(text, "needed"); break;
    case PW_MAY: pw_text_put(text, "may be left out"); break;
    case PW_DERIVED: pw_text_puts(text, "worked out: ", row->reason, NULL); break;
    case PW_DEFAULT:
        if (number) {
            pw_quantity_put(text, &units, row->dimension, row->value);
            pw_text_put(text, ": ");
        } else if (row->type == PW_ROW_CHOICE) {
            pw_text_puts(text, row->words[(int32_t)row->value], ": ", NULL);
        }
        pw_text_put(text, row->reason[0] != '\0' ? row->reason : "all its keys have defaults");
        break;
    }
}

static void put_kinds(pw_text *text, const pw_block *block, const pw_row *row)
{
    bool any = false;
    for (int32_t kind = 0; row->kinds != 0 && block->kind->words[kind] != NULL; kind++) {
        if (pw_row_applies(row, kind)) {
            pw_text_puts(text, any ? ", " : " (kind ", block->kind->words[kind], NULL);
            any = true;
        }
    }
    pw_text_put(text, any ? ")" : "");
}

static void put_table(pw_text *text, const pw_block *block)
{
    pw_text_puts(text, "### ", block->id, "\n\n", block->help,
                 "\n\n| key | value | when left out | what it is |\n| --- | --- | --- | --- |\n", NULL);
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        pw_text_puts(text, "| `", row->key, "`", NULL);
        put_kinds(text, block, row);
        pw_text_put(text, " | ");
        put_form(text, row);
        pw_text_put(text, " | ");
        put_default(text, row);
        pw_text_puts(text, " | ", row->help, " |\n", NULL);
    }
    pw_text_put(text, "\n");
}

void pw_site_reference(pw_text *text)
{
    static const pw_block *const blocks[] = {
        &pw_block_site,       &pw_block_supply,  &pw_block_supply_point, &pw_block_solar,      &pw_block_solar_point,
        &pw_block_generator,  &pw_block_battery, &pw_block_place,        &pw_block_source,     &pw_block_test,
        &pw_block_pump,       &pw_block_point,   &pw_block_lift,         &pw_block_lift_point, &pw_block_ejector,
        &pw_block_motor,      &pw_block_line,    &pw_block_ground,       &pw_block_vessel,     &pw_block_tank,
        &pw_block_filter,     &pw_block_float,   &pw_block_outlet,       &pw_block_sensor,     &pw_block_demand,
        &pw_block_trace_file, &pw_block_limits,  &pw_block_design,       &pw_block_use,        &pw_block_fixtures,
        &pw_block_loadings,   &pw_block_stock,   &pw_block_price,        &pw_block_suction,    &pw_block_cable};
    for (size_t i = 0; i < sizeof(blocks) / sizeof(blocks)[0]; i++) {
        put_table(text, blocks[i]);
    }
}
