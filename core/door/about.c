/* Requests about the program itself: about, units, schema, reckon. */
#include <string.h>

#include "door/inside.h"
#include "door/reckon.h"
#include "study/advise.h"

#define PW_VERSION "0.1.0" /* the same as in CMakeLists.txt: a test compares */

/* Of a key that takes some of a fixed list: the list, so that whoever asks need not keep one. */
static void put_choices(door *d, const char *verb, const char *key)
{
    if (strcmp(verb, "advise") != 0 || strcmp(key, "able") != 0) {
        return;
    }
    pw_json_open(d->answer, "choices", '[');
    for (int32_t form = 0; form < PW_WATCH_FORMS; form++) {
        pw_json_string(d->answer, NULL, pw_watch_form_id((pw_watch_form)form));
    }
    pw_json_close(d->answer, ']');
}

static void put_keys(door *d, const char *verb, const door_key *keys)
{
    for (; keys && keys->key; keys++) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "key", keys->key);
        pw_json_string(d->answer, "words", keys->words);
        put_choices(d, verb, keys->key);
        pw_json_close(d->answer, '}');
    }
}

pw_status door_about(door *d)
{
    pw_json_string(d->answer, "name", "pumpwright");
    pw_json_string(d->answer, "version", PW_VERSION);
    pw_json_open(d->answer, "requests", '[');
    for (int32_t i = 0; i < door_request_count(); i++) {
        const door_request *request = door_request_at(i);
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "do", request->name);
        pw_json_string(d->answer, "words", request->words);
        pw_json_open(d->answer, "keys", '[');
        put_keys(d, request->name, request->keys);
        put_keys(d, request->name, request->more_keys);
        pw_json_close(d->answer, ']');
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}

typedef struct dimension_row {
    const char *id, *si, *words;
} dimension_row;

static const dimension_row dimensions[PW_DIM_COUNT] = {
#define PW_X(name, id, si, words) {id, si, words},
    PW_DIMENSION_LIST(PW_X)
#undef PW_X
};

const char *door_dimension_id(pw_dimension dimension)
{
    return dimensions[dimension].id;
}

const char *pw_door_si(pw_dimension dimension)
{
    return dimensions[dimension].si;
}

static void put_unit_size(door *d, const pw_unit *unit, const char *name)
{
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "unit", name);
    door_put_number(d, "size", unit->num / unit->den);
    door_put_number(d, "zero", unit->zero);
    pw_json_close(d->answer, '}');
}

/* SI = (reading - zero) * size, for each unit that can be read. Metres and feet of a pressure are those of water. */
static void put_sizes(door *d, pw_dimension dimension)
{
    int32_t count;
    const pw_unit *table = pw_unit_table(&count);
    pw_json_open(d->answer, "sizes", '[');
    for (int32_t j = 0; j < count; j++) {
        if (table[j].dimension != dimension) {
            continue;
        }
        put_unit_size(d, &table[j], table[j].name);
        if (strcmp(table[j].name, "mH2O") == 0) {
            put_unit_size(d, &table[j], "m");
        } else if (strcmp(table[j].name, "ftH2O") == 0) {
            put_unit_size(d, &table[j], "ft");
        }
    }
    if (dimension == PW_DIM_TEMPERATURE_RISE) { /* of the temperatures' units it takes kelvin alone */
        const pw_unit kelvin = {"K", dimension, 1, 1, 0};
        put_unit_size(d, &kelvin, kelvin.name);
    }
    pw_json_close(d->answer, ']');
}

pw_status door_units(door *d)
{
    int32_t count;
    const pw_unit *table = pw_unit_table(&count);
    pw_json_open(d->answer, "dimensions", '[');
    for (int32_t i = 0; i < PW_DIM_COUNT; i++) {
        pw_json_open(d->answer, NULL, '{');
        pw_json_string(d->answer, "dimension", dimensions[i].id);
        pw_json_string(d->answer, "words", dimensions[i].words);
        pw_json_string(d->answer, "si", dimensions[i].si);
        pw_json_string(d->answer, "shown", pw_unit_name(&d->units, (pw_dimension)i));
        pw_json_open(d->answer, "units", '[');
        for (int32_t j = 0; j < count; j++) {
            if (table[j].dimension == (pw_dimension)i) {
                pw_json_string(d->answer, NULL, table[j].name);
            }
        }
        pw_json_close(d->answer, ']');
        put_sizes(d, (pw_dimension)i);
        pw_json_close(d->answer, '}');
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}

pw_status door_schema(door *d)
{
    pw_text text;
    const pw_json *schema;
    pw_text_init(&text, d->arena);
    pw_site_schema(&text);
    if (text.failed) {
        return PW_MEMORY;
    }
    pw_status status = pw_json_read(d->arena, text.data, text.length, &schema, d->problems);
    if (status == PW_OK) {
        pw_json_value(d->answer, "schema", schema);
    }
    return status;
}

pw_status door_reckon(door *d)
{
    return pw_reckon(d->request, &d->voice, d->answer, d->problems);
}
