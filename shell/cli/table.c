#include "cli/table.h"

#include <string.h>

#include "base/num.h"
#include "base/units.h"

typedef struct column_kind {
    const char *key, *heading; /* behind the name of the pump, tank or bore where it is one's */
    pw_dimension dimension;
} column_kind;

static const column_kind site_kinds[] = {{"pressure_pa", "pressure", PW_DIM_PRESSURE},
                                         {"draw_m3s", "draw-off", PW_DIM_FLOW}};
static const column_kind pump_kinds[] = {{"running", "running", PW_DIM_NONE},
                                         {"flow_m3s", "flow", PW_DIM_FLOW},
                                         {"current_a", "current", PW_DIM_CURRENT},
                                         {"winding_c", "winding", PW_DIM_TEMPERATURE},
                                         {"water_c", "water inside", PW_DIM_TEMPERATURE}};
static const column_kind tank_kinds[] = {{"level_m", "depth of water", PW_DIM_LENGTH}};
static const column_kind bore_kinds[] = {{"over_intake_m", "water over the intake", PW_DIM_LENGTH}};

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

typedef struct column {
    const column_kind *kind;
    const char *name;    /* NULL: the site's */
    const pw_json *item; /* next value */
} column;

typedef struct columns {
    int count;
    column *list;
} columns;

static void add(columns *all, const pw_json *from, const char *name, const column_kind *kinds, int count)
{
    for (int i = 0; i < count; i++) {
        const pw_json *values = pw_json_get(from, kinds[i].key);
        all->list[all->count] = (column){&kinds[i], name, values ? values->first : NULL};
        all->count++;
    }
}

static void add_each(columns *all, const pw_json *samples, const char *key, const column_kind *kinds, int count)
{
    const pw_json *list = pw_json_get(samples, key);
    for (const pw_json *one = list ? list->first : NULL; one; one = one->next) {
        const pw_json *name = pw_json_get(one, "name");
        add(all, one, name && name->kind == PW_JSON_STRING ? name->string : "", kinds, count);
    }
}

static int32_t count_of(const pw_json *samples, const char *key)
{
    const pw_json *list = pw_json_get(samples, key);
    return list ? list->count : 0;
}

/* A spreadsheet would take a name that begins so for a formula and compute it, whatever it says; behind an apostrophe
 * it is a name (OWASP, CSV injection). */
static bool looks_like_formula(const char *name)
{
    return name[0] != 0 && strchr("=+-@", name[0]) != NULL;
}

/* A heading with a comma or a quotation mark stands in quotation marks (RFC 4180). */
static void put_heading(pw_text *out, const column *at, const pw_units *units)
{
    const bool quoted = at->name && strpbrk(at->name, ",\"\n\r");
    pw_text_put(out, quoted ? ",\"" : ",");
    pw_text_put(out, at->name && looks_like_formula(at->name) ? "'" : "");
    for (const char *c = at->name ? at->name : ""; *c; c++) {
        pw_text_put_n(out, *c == '"' ? "\"\"" : c, *c == '"' ? 2 : 1);
    }
    pw_text_puts(out, at->name ? " " : "", at->kind->heading, NULL);
    if (at->kind->dimension != PW_DIM_NONE) {
        pw_text_puts(out, " (", pw_unit_name(units, at->kind->dimension), ")", NULL);
    }
    pw_text_put(out, quoted ? "\"" : "");
}

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
    columns all = {0, NULL};
    pw_units_read(units ? units : "metric", &shown, NULL);
    pw_text_init(out, arena);
    const int32_t most = COUNT(site_kinds) + COUNT(pump_kinds) * count_of(samples, "pumps") +
                         count_of(samples, "tanks") + count_of(samples, "bores");
    all.list = PW_NEW(arena, most, column);
    if (!all.list) {
        out->failed = true;
        return;
    }
    add(&all, samples, NULL, site_kinds, COUNT(site_kinds));
    add_each(&all, samples, "pumps", pump_kinds, COUNT(pump_kinds));
    add_each(&all, samples, "tanks", tank_kinds, COUNT(tank_kinds));
    add_each(&all, samples, "bores", bore_kinds, COUNT(bore_kinds));
    pw_text_put(out, "time (s)");
    for (int i = 0; i < all.count; i++) {
        put_heading(out, &all.list[i], &shown);
    }
    pw_text_put(out, "\n");
    const pw_json *times = pw_json_get(samples, "t_ms");
    for (const pw_json *time = times ? times->first : NULL; time; time = time->next) {
        pw_text_number(out, time->number / 1000);
        for (int i = 0; i < all.count; i++) {
            column *at = &all.list[i];
            pw_text_put(out, ",");
            put_value(out, &shown, at->kind->dimension, at->item);
            at->item = at->item ? at->item->next : NULL;
        }
        pw_text_put(out, "\n");
    }
}
