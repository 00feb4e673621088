/* Sites: a sheet understood. */
#include <string.h>

#include "adapt/doorway.h"
#include "library/inside.h"
#include "sim/numbers.h"

/* Problems of the site, placed in the sheet as it was typed. */
static void place(const pumpwright_sheet *sheet, pw_problems *problems)
{
    for (int32_t i = 0; i < problems->count; i++) {
        pw_problem *one = &problems->items[i];
        int32_t inside = one->line == 0 ? one->column : 0; /* counted within a sentence */
        pw_copy(one->path, PW_PATH_SIZE, library_path_in_sheet(one->path));
        one->line = 0;
        one->column = 0;
        if (pw_sheet_place(&sheet->sheet, one->path, &one->line, &one->column) && inside > 0) {
            one->column = pw_sheet_column_in_sentence(&sheet->sheet, one->line, one->column, inside);
        }
    }
}

pw_status library_site_ready(pw_arena *arena, const pw_site *site, pumpwright_site *out, pw_problems *problems)
{
    pw_plant *plant = NULL;
    pw_status status = pw_plant_build(arena, site, false, &plant, problems);
    if (status == PW_OK) {
        status = pw_numbers_list(arena, site, &out->params, &out->param_count);
    }
    out->site = site;
    out->plant = plant;
    return status;
}

static pw_status understand(pw_arena *arena, const pumpwright_sheet *sheet, pumpwright_site **out,
                            pw_problems *problems)
{
    const char *text = sheet->sheet.json;
    const pw_json *json = NULL;
    pw_site *site = NULL;
    *out = PW_NEW(arena, 1, pumpwright_site);
    if (!*out) {
        return PW_MEMORY;
    }
    pw_status status = pw_json_read(arena, text, strlen(text), &json, problems);
    if (status == PW_OK) {
        status = pw_site_read(arena, json, "site", &site, problems);
    }
    return status == PW_OK ? library_site_ready(arena, site, *out, problems) : status;
}

pumpwright_site *pumpwright_site_read(const pumpwright_sheet *sheet, pumpwright_problems **problems)
{
    pumpwright_site *site = NULL;
    pw_status status = PW_MEMORY;
    pw_problems found = {0};
    for (size_t size = PW_DOORWAY_FIRST; status == PW_MEMORY && size <= PW_DOORWAY_MOST; size *= 4) {
        pw_arena *arena = NULL;
        library_store *store = library_store_new(size, NULL, &arena);
        if (!store) {
            break;
        }
        memset(&found, 0, sizeof found);
        status = understand(arena, sheet, &site, &found);
        if (status == PW_OK) {
            site->store = store;
        } else {
            library_store_release(store);
        }
    }
    if (status != PW_OK && found.errors == 0) {
        pw_problem_add(&found, status, "", "", "", "");
    }
    place(sheet, &found);
    library_tell(&found, NULL, problems);
    return status == PW_OK ? site : NULL;
}

void pumpwright_site_free(pumpwright_site *site)
{
    library_store_release(site ? site->store : NULL);
}

const char *pumpwright_site_name(const pumpwright_site *site)
{
    return site->site->name;
}

/* First name of a list, and how far the next one is. */
typedef struct names {
    const char *first;
    size_t stride;
    int32_t count;
} names;

static names names_of(const pw_site *site, pumpwright_list list)
{
#define LIST(items, many) ((names){site->items[0].name, sizeof site->items[0], site->many})
    switch (list) {
    case PUMPWRIGHT_PLACES: return LIST(places, place_count);
    case PUMPWRIGHT_SOURCES: return LIST(sources, source_count);
    case PUMPWRIGHT_PUMPS: return LIST(pumps, pump_count);
    case PUMPWRIGHT_LINES: return LIST(lines, line_count);
    case PUMPWRIGHT_VESSELS: return LIST(vessels, vessel_count);
    case PUMPWRIGHT_TANKS: return LIST(tanks, tank_count);
    case PUMPWRIGHT_OUTLETS: return LIST(outlets, outlet_count);
    case PUMPWRIGHT_SENSORS: return LIST(sensors, sensor_count);
    }
#undef LIST
    return (names){"", 0, 0};
}

int32_t pumpwright_site_count(const pumpwright_site *site, pumpwright_list list)
{
    return names_of(site->site, list).count;
}

const char *pumpwright_site_item(const pumpwright_site *site, pumpwright_list list, int32_t index)
{
    const names all = names_of(site->site, list);
    return index >= 0 && index < all.count ? all.first + (size_t)index * all.stride : NULL;
}

int32_t library_find(const pw_site *site, pumpwright_list list, const char *name)
{
    const names all = names_of(site, list);
    for (int32_t i = 0; i < all.count; i++) {
        if (!name || strcmp(all.first + (size_t)i * all.stride, name) == 0) {
            return i;
        }
    }
    return -1;
}
