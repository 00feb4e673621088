#include "cli/table.h"

#include "base/num.h"
#include "base/units.h"

typedef struct column {
    const char *key, *heading;
    pw_dimension dimension;
} column;

static const column columns[] = {
    {"pressure_pa", "pressure", PW_DIM_PRESSURE},
    {"pump_m3s", "pump flow", PW_DIM_FLOW},
    {"draw_m3s", "draw-off", PW_DIM_FLOW},
    {"level_m", "water in the first tank", PW_DIM_LENGTH},
    {"bore_m", "water over the first intake", PW_DIM_LENGTH},
    {"winding_c", "winding", PW_DIM_TEMPERATURE},
    {"current_a", "current", PW_DIM_CURRENT},
    {"running", "running", PW_DIM_NONE},
};

enum { COLUMNS = sizeof columns / sizeof columns[0] };

static void put_value(pw_text *out, const pw_units *units, pw_dimension dimension, const pw_json *item)
{
    if (!item || item->kind != PW_JSON_NUMBER) {
        return;
    }
    double shown = dimension == PW_DIM_NONE ? item->number : pw_unit_value(units, dimension, item->number);
    pw_text_digits(out, pw_floor(shown * 1e5 + 0.5) * 1e-5, 7); /* what the solver leaves of nothing is nothing */
}

void cli_table_samples(pw_arena *arena, const pw_json *samples, const char *units, pw_text *out)
{
    pw_units shown = pw_units_metric();
    const pw_json *items[COLUMNS];
    pw_units_read(units ? units : "metric", &shown, NULL);
    pw_text_init(out, arena);
    pw_text_put(out, "time (s)");
    for (int i = 0; i < COLUMNS; i++) {
        const pw_json *list = pw_json_get(samples, columns[i].key);
        items[i] = list ? list->first : NULL;
        pw_text_puts(out, ",", columns[i].heading, NULL);
        if (columns[i].dimension != PW_DIM_NONE) {
            pw_text_puts(out, " (", pw_unit_name(&shown, columns[i].dimension), ")", NULL);
        }
    }
    pw_text_put(out, "\n");
    const pw_json *times = pw_json_get(samples, "t_ms");
    for (const pw_json *time = times ? times->first : NULL; time; time = time->next) {
        pw_text_number(out, time->number / 1000);
        for (int i = 0; i < COLUMNS; i++) {
            pw_text_put(out, ",");
            put_value(out, &shown, columns[i].dimension, items[i]);
            items[i] = items[i] ? items[i]->next : NULL;
        }
        pw_text_put(out, "\n");
    }
}
