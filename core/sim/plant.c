/* Site to plant: model, the signals its sensors give, and the order read against them. */
#include "base/num.h"
#include "sim/run_impl.h"

static pw_signal_kind signal_of(pw_sensor_kind kind)
{
    switch (kind) {
    case PW_SENSOR_PRESSURE: return PW_SIGNAL_PRESSURE;
    case PW_SENSOR_FLOW: return PW_SIGNAL_FLOW;
    case PW_SENSOR_LEVEL: return PW_SIGNAL_LEVEL;
    case PW_SENSOR_PROBE: return PW_SIGNAL_PROBE;
    case PW_SENSOR_DROP: return PW_SIGNAL_DROP;
    case PW_SENSOR_SWITCH:
    case PW_SENSOR_CONTACT: break;
    }
    return PW_SIGNAL_CONTACT;
}

/* Signals in this order: sensors, then current of each pump, then winding of each pump, then the supply. */
static void list_signals(pw_plant *plant)
{
    const pw_site *site = plant->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        pw_copy(plant->signals[i].name, PW_NAME_SIZE, site->sensors[i].name);
        plant->signals[i].kind = signal_of(site->sensors[i].kind);
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        pw_signal *current = &plant->signals[site->sensor_count + p];
        pw_signal *winding = &plant->signals[site->sensor_count + site->pump_count + p];
        pw_copy(current->name, PW_NAME_SIZE, site->pumps[p].name);
        pw_copy(winding->name, PW_NAME_SIZE, site->pumps[p].name);
        current->kind = PW_SIGNAL_CURRENT;
        winding->kind = PW_SIGNAL_WINDING;
    }
    pw_signal *supply = &plant->signals[site->sensor_count + 2 * site->pump_count];
    pw_copy(supply[0].name, PW_NAME_SIZE, "supply");
    supply[0].kind = PW_SIGNAL_SUPPLY;
    pw_copy(supply[1].name, PW_NAME_SIZE, "phases");
    supply[1].kind = PW_SIGNAL_PHASES;
    plant->signal_count = site->sensor_count + 2 * site->pump_count + 2;
}

pw_status pw_plant_read(pw_arena *arena, const pw_plant *plant, const char *const *sentences, int32_t count,
                        pw_settings **out, pw_problems *problems)
{
    const char *pumps[PW_MAX_PUMPS];
    for (int32_t p = 0; p < plant->site->pump_count; p++) {
        pumps[p] = plant->site->pumps[p].name;
    }
    return pw_settings_read(arena, sentences, count, plant->signals, plant->signal_count, pumps,
                            plant->site->pump_count, "site.settings", out, problems);
}

pw_status pw_site_settings(pw_arena *arena, const pw_site *site, pw_settings **out, pw_problems *problems)
{
    *out = NULL;
    pw_plant *plant = PW_NEW(arena, 1, pw_plant);
    if (plant == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    plant->site = site;
    list_signals(plant);
    return pw_plant_read(arena, plant, site->sentences, site->sentence_count, out, problems);
}

pw_status pw_site_examples(pw_arena *arena, const pw_site *site, const pw_units *units, pw_condition_example **out,
                           int32_t *count)
{
    pw_plant *plant = PW_NEW(arena, 1, pw_plant);
    if (plant == NULL) {
        return PW_MEMORY;
    }
    plant->site = site;
    list_signals(plant);
    return pw_settings_examples(arena, plant->signals, plant->signal_count, units, out, count);
}

static bool of_wording(pw_status status)
{
    return status == PW_WORD || status == PW_SYNTAX || status == PW_UNIT;
}

void pw_plant_proofread(pw_arena *arena, const pw_site *part, pw_problems *problems)
{
    const size_t mark = pw_arena_mark(arena);
    pw_plant *plant = PW_NEW(arena, 1, pw_plant);
    pw_problems *own = PW_NEW(arena, 1, pw_problems);
    pw_settings *settings = NULL;
    if (plant != NULL && own != NULL && problems != NULL) {
        plant->site = part;
        list_signals(plant);
        (void)pw_plant_read(arena, plant, part->sentences, part->sentence_count, &settings, own);
        for (int32_t i = 0; i < own->count; i++) {
            const bool room = problems->count < PW_MAX_PROBLEMS;
            if (!of_wording(own->items[i].status) || own->items[i].warning) {
                continue;
            }
            if (room) {
                problems->items[problems->count] = own->items[i];
            }
            problems->count += room ? 1 : 0;
            problems->lost += room ? 0 : 1;
            problems->errors++;
        }
    }
    pw_arena_back(arena, mark);
}

/* The pressure that a condition waits for: the threshold of a pressure sensor, or what a pressure switch is set to. */
static bool waits_for(const pw_site *site, const pw_look *look, double *pa, bool *above)
{
    if (look->signal < 0 || look->signal >= site->sensor_count) {
        return false;
    }
    const pw_sensor *sensor = &site->sensors[look->signal];
    const bool by_switch = look->kind == PW_TERM_CONTACT && sensor->kind == PW_SENSOR_SWITCH;
    const bool falling = sensor->closes_pa.v < sensor->opens_pa.v;
    *above = by_switch ? look->above != falling : look->above;
    *pa = !by_switch ? look->threshold : look->above ? sensor->closes_pa.v : sensor->opens_pa.v;
    return by_switch || look->kind == PW_TERM_PRESSURE;
}

bool pw_plant_acts_at(const pw_plant *plant, pw_sentence_kind kind, int32_t pump, pw_acts_at *out)
{
    const pw_settings *settings = plant->settings;
    for (int32_t i = 0; i < pw_settings_count(settings); i++) {
        pw_look look;
        const bool about = pw_settings_kind(settings, i) == kind && (pump < 0 || pw_settings_is_for(settings, i, pump));
        for (int32_t k = 0; about && pw_settings_look(settings, i, k, &look); k++) {
            double pa;
            bool above;
            if (waits_for(plant->site, &look, &pa, &above) && pw_sentence_acts(kind, above)) {
                *out = (pw_acts_at){.sentence = i, .sensor = look.signal, .pa = pa};
                return true;
            }
        }
    }
    return false;
}

double pw_plant_acts_m(const pw_plant *plant, const pw_acts_at *acts)
{
    const pw_sensor *sensor = &plant->site->sensors[acts->sensor];
    return plant->site->places[sensor->place].level_m.v + sensor->over_m.v;
}

pw_status pw_plant_build(pw_arena *arena, const pw_site *site, bool exact, pw_plant **out, pw_problems *problems)
{
    *out = NULL;
    pw_plant *plant = PW_NEW(arena, 1, pw_plant);
    if (plant == NULL) {
        return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
    }
    plant->site = site;
    list_signals(plant);
    pw_site_facts_of(site, &plant->facts);
    pw_model *model = NULL;
    pw_settings *settings = NULL;
    const pw_status built = pw_model_build(arena, site, exact, &model, problems);
    const pw_status read = pw_plant_read(arena, plant, site->sentences, site->sentence_count, &settings, problems);
    if (built != PW_OK || read != PW_OK) {
        return built != PW_OK ? built : read;
    }
    plant->model = model;
    plant->settings = settings;
    pw_acts_at acts;
    plant->cut_in_pa = pw_plant_acts_at(plant, PW_SENTENCE_START, -1, &acts) ? acts.pa : 0.0;
    plant->cut_out_pa = pw_plant_acts_at(plant, PW_SENTENCE_STOP, -1, &acts) ? acts.pa : 0.0;
    if (pw_plant_reference(arena, plant) != PW_OK) {
        return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
    }
    *out = plant;
    return PW_OK;
}
