/* A catalogue of pumps in a request: read strictly, ranked, and written into the answer. */
#include <string.h>

#include "door/size_inside.h"

enum { MOST_PUMPS = 100000, MOST_RANKED = 200 };

static const door_key pump_keys[] = {
    {"name", "of the pump"},
    {"curve", "points: flow, head, and efficiency or power, and NPSH"},
    {"motor", "power, and what is known of phases, voltage, efficiency, power factor, currents"},
    {"price", "in the currency of the sheet"},
    {"diameter", "outer diameter, to go into a casing"},
    {"note", "a remark, not read"},
    {NULL, NULL}};
static const door_key point_keys[] = {{"flow", ""},  {"head", ""}, {"efficiency", ""},
                                      {"power", ""}, {"NPSH", ""}, {NULL, NULL}};
static const door_key motor_keys[] = {{"power", ""},
                                      {"phases", ""},
                                      {"voltage", ""},
                                      {"efficiency", ""},
                                      {"power factor", ""},
                                      {"full-load current", ""},
                                      {"locked-rotor current", ""},
                                      {"service factor", ""},
                                      {NULL, NULL}};

const char *door_si_unit(pw_dimension dimension)
{
    static const char *const units[PW_DIM_COUNT] = {
#define PW_X(name, id, si, words) si,
        PW_DIMENSION_LIST(PW_X)
#undef PW_X
    };
    return units[dimension];
}

/* A field that may be absent: given says whether it was there. */
static pw_field field(door *d, const pw_json *object, const char *path, const char *key, pw_dimension dimension,
                      double low, double high)
{
    pw_field out = {0.0, false};
    const pw_json *value = pw_json_get(object, key);
    if (value != NULL && value->kind != PW_JSON_NULL) {
        out.v = door_quantity(d, object, path, key, dimension, low, high, 0.0);
        out.given = true;
    }
    return out;
}

static pw_field needed(door *d, const pw_json *object, const char *path, const char *key, pw_dimension dimension,
                       double low, double high)
{
    const pw_field out = field(d, object, path, key, dimension, low, high);
    if (!out.given) {
        char where[PW_PATH_SIZE];
        pw_problem_tell(d->problems, PW_MISSING, door_path_key(where, path, key), pw_fact_of("door.nothing"),
                        pw_fact_of("door.value-with-unit"), pw_no_fact());
    }
    return out;
}

static void read_point(door *d, const pw_json *json, const char *path, pw_curve_point *out)
{
    door_check_keys(d, json, path, point_keys, NULL);
    out->flow_m3s = needed(d, json, path, "flow", PW_DIM_FLOW, 0.0, 1.0);
    out->head_m = needed(d, json, path, "head", PW_DIM_LENGTH, 0.0, 1000.0);
    out->efficiency = field(d, json, path, "efficiency", PW_DIM_FRACTION, 0.0, 0.95);
    out->power_w = field(d, json, path, "power", PW_DIM_POWER, 0.0, 500e3);
    out->npsh_m = field(d, json, path, "NPSH", PW_DIM_LENGTH, 0.0, 50.0);
}

static int32_t phases_of(door *d, const pw_json *motor, const char *path)
{
    char where[PW_PATH_SIZE];
    const pw_json *value = pw_json_get(motor, "phases");
    if (value == NULL || value->kind == PW_JSON_NULL) {
        return -1;
    }
    const char *word = value->kind == PW_JSON_STRING || value->kind == PW_JSON_NUMBER ? value->string : "";
    if (strcmp(word, "1") == 0 || strcmp(word, "3") == 0) {
        return word[0] - '0';
    }
    if (strcmp(word, "DC") != 0 && strcmp(word, "dc") != 0) {
        pw_problem_tell(d->problems, PW_RANGE, door_path_key(where, path, "phases"), pw_verbatim(word),
                        pw_fact_of("door.phases"), pw_no_fact());
    }
    return 0;
}

static void read_motor(door *d, const pw_site *site, const pw_json *json, const char *path, pw_motor *out)
{
    if (json == NULL || json->kind != PW_JSON_OBJECT) {
        pw_problem_tell(d->problems, PW_MISSING, path, pw_fact_of("door.nothing"), pw_fact_of("door.motor"),
                        pw_no_fact());
        return;
    }
    door_check_keys(d, json, path, motor_keys, NULL);
    out->power_w = needed(d, json, path, "power", PW_DIM_POWER, 10.0, 200e3);
    out->phases = phases_of(d, json, path);
    out->voltage_v = field(d, json, path, "voltage", PW_DIM_VOLTAGE, 6.0, 1000.0);
    out->efficiency = field(d, json, path, "efficiency", PW_DIM_FRACTION, 0.1, 0.99);
    out->power_factor = field(d, json, path, "power factor", PW_DIM_FRACTION, 0.2, 1.0);
    out->full_load_a = field(d, json, path, "full-load current", PW_DIM_CURRENT, 0.05, 2000.0);
    out->locked_rotor_a = field(d, json, path, "locked-rotor current", PW_DIM_CURRENT, 0.05, 20000.0);
    out->service_factor = field(d, json, path, "service factor", PW_DIM_NONE, 1.0, 1.5);
    if (out->power_w.given && out->power_w.v > 0.0) {
        pw_motor_defaults(site, out);
    }
}

static pw_status read_pump(door *d, const pw_site *site, const pw_json *json, int32_t index, pw_candidate *out)
{
    char path[PW_PATH_SIZE];
    char part[PW_PATH_SIZE];
    char one[PW_PATH_SIZE];
    door_path_index(path, "catalogue", index);
    if (json->kind != PW_JSON_OBJECT) {
        return door_wrong_type(d, json, path, pw_fact_of("door.pump-object"));
    }
    door_check_keys(d, json, path, pump_keys, NULL);
    out->name = door_string(d, json, path, "name", "");
    out->price = door_plain(d, json, path, "price", 0.0, 1e9, 0.0);
    out->diameter_m = door_quantity(d, json, path, "diameter", PW_DIM_LENGTH, 0.0, 3.0, 0.0);
    if (out->name[0] == '\0') {
        pw_problem_tell(d->problems, PW_MISSING, door_path_key(part, path, "name"), pw_fact_of("door.nothing"),
                        pw_fact_of("door.name"), pw_no_fact());
    }
    read_motor(d, site, pw_json_get(json, "motor"), door_path_key(part, path, "motor"), &out->motor);
    const pw_json *curve = pw_json_get(json, "curve");
    door_path_key(part, path, "curve");
    if (curve == NULL || curve->kind != PW_JSON_ARRAY || curve->count < 3 || curve->count > PW_MAX_CURVE) {
        return pw_problem_tell(d->problems, PW_MISSING, part, pw_fact_of("door.no-such-list"), pw_fact_of("door.curve"),
                               pw_no_fact());
    }
    pw_curve_point *points = PW_NEW(d->arena, curve->count, pw_curve_point);
    if (points == NULL) {
        return PW_MEMORY;
    }
    int32_t i = 0;
    for (const pw_json *point = curve->first; point != NULL; point = point->next) {
        read_point(d, point, door_path_index(one, part, i), &points[i]);
        i++;
    }
    out->curve = points;
    out->point_count = curve->count;
    return PW_OK;
}

pw_status door_size_choose(door *d, const pw_plant *plant, const pw_sizing *sizing, const pw_json *catalogue,
                           pw_choice **out)
{
    if (catalogue->count > MOST_PUMPS || catalogue->count < 1) {
        return pw_problem_tell(d->problems, PW_LIMIT, "catalogue", pw_fact_of("door.catalogue-count"),
                               pw_fact_of("door.catalogue-limit"), pw_no_fact());
    }
    pw_candidate *list = PW_NEW(d->arena, catalogue->count, pw_candidate);
    if (list == NULL) {
        return PW_MEMORY;
    }
    int32_t i = 0;
    for (const pw_json *pump = catalogue->first; pump != NULL; pump = pump->next) {
        if (read_pump(d, plant->site, pump, i, &list[i]) == PW_MEMORY) {
            return PW_MEMORY;
        }
        i++;
    }
    const pw_status wrong = door_problem(d);
    return wrong == PW_OK ? pw_choose(d->arena, plant, sizing, list, i, out, d->problems) : wrong;
}

static void put_judged(door *d, const pw_choice *choice, const pw_judged *one)
{
    pw_json_open(d->answer, NULL, '{');
    pw_json_string(d->answer, "pump", choice->candidates[one->candidate].name);
    if (one->refusal == PW_FITS) {
        door_put_number(d, "flow_m3s", one->flow_m3s);
        door_put_number(d, "head_m", one->head_m);
        door_put_number(d, "hard_flow_m3s", one->hard_flow_m3s);
        door_put_number(d, "efficiency", one->efficiency);
        door_put_number(d, "part_of_best", one->part_of_best);
        door_put_number(d, "kwh_per_m3", one->kwh_m3);
        door_put_number(d, "kwh_per_year", one->kwh_year);
        door_put_number(d, "cost_per_year", one->cost_year);
        door_put_number(d, "starts_per_hour", one->starts_h);
    } else {
        pw_json_string(d->answer, "reason", pw_refusal_id(one->refusal));
        pw_json_string(d->answer, "words", pw_say_word(&d->voice, pw_refusal_message(one->refusal)));
        door_put_number(d, "have", one->have);
        door_put_number(d, "need", one->need);
        pw_json_string(d->answer, "unit", door_si_unit(pw_refusal_dimension(one->refusal)));
    }
    pw_json_close(d->answer, '}');
}

void door_size_put_choice(door *d, const pw_choice *choice)
{
    pw_json_open(d->answer, "choice", '{');
    pw_json_int(d->answer, "pumps", choice->count);
    pw_json_int(d->answer, "fitting", choice->fitting);
    pw_json_string(d->answer, "ranked_by", choice->by_cost ? "cost of a year" : "energy of a year");
    door_put_number(d, "yearly_m3", choice->yearly_m3);
    pw_json_open(d->answer, "ranked", '[');
    for (int32_t i = 0; i < choice->fitting && i < MOST_RANKED; i++) {
        put_judged(d, choice, &choice->ranked[i]);
    }
    pw_json_close(d->answer, ']');
    pw_json_open(d->answer, "refused", '[');
    for (int32_t i = choice->fitting; i < choice->count && i < choice->fitting + MOST_RANKED; i++) {
        put_judged(d, choice, &choice->ranked[i]);
    }
    pw_json_close(d->answer, ']');
    pw_json_close(d->answer, '}');
}
