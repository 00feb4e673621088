/* Where a fault can happen on a site, and where it usually does. */
#include <string.h>

#include "fault/inside.h"

static bool vessel_at(const pw_site *site, int32_t place)
{
    for (int32_t i = 0; i < site->vessel_count; i++) {
        if (site->vessels[i].place == place) {
            return true;
        }
    }
    return false;
}

static bool outlet_at(const pw_site *site, int32_t place)
{
    for (int32_t i = 0; i < site->outlet_count; i++) {
        if (site->outlets[i].place == place) {
            return true;
        }
    }
    return false;
}

static int32_t source_at(const pw_site *site, int32_t place)
{
    for (int32_t i = 0; i < site->source_count; i++) {
        if (site->sources[i].place == place) {
            return i;
        }
    }
    return -1;
}

int32_t fault_usual_leak_place(const pw_site *site)
{
    if (site->vessel_count > 0) {
        return site->vessels[0].place;
    }
    return site->pump_count > 0 ? site->pumps[0].to : -1;
}

/* A bore first, since it is the one that runs dry; then an open water; the mains last: there it is the pressure that
 * fails. */
static int32_t usual_source(const pw_site *site)
{
    static const pw_source_kind settings[] = {PW_SOURCE_BORE, PW_SOURCE_OPEN, PW_SOURCE_MAINS};
    for (int32_t k = 0; k < 3; k++) {
        for (int32_t i = 0; i < site->source_count; i++) {
            if (site->sources[i].kind == settings[k]) {
                return i;
            }
        }
    }
    return -1;
}

/* The delivery valve is the one that shuts the first pump off from everything. That is the valve of the only line that
 * goes on from the pump's delivery place, when nothing else sits there; otherwise it is the valve at the pump's own
 * outlet. */
static int32_t usual_valve(const pw_site *site)
{
    if (site->pump_count == 0) {
        return -1;
    }
    int32_t place = site->pumps[0].to;
    int32_t at_pump = PW_MAX_LINES;
    int32_t lines_here = 0, line = -1;
    for (int32_t i = 0; i < site->line_count; i++) {
        if (site->lines[i].from == place || site->lines[i].to == place) {
            line = i;
            lines_here++;
        }
    }
    for (int32_t i = 1; i < site->pump_count; i++) {
        if (site->pumps[i].to == place || site->pumps[i].from == place) {
            return at_pump;
        }
    }
    bool bare = !vessel_at(site, place) && pw_site_tank_at(site, place) < 0 && !outlet_at(site, place);
    return lines_here == 1 && bare ? line : at_pump;
}

/* Scale shows most where the water has the longest way. */
static int32_t usual_line(const pw_site *site)
{
    int32_t longest = site->line_count > 0 ? 0 : -1;
    for (int32_t i = 1; i < site->line_count; i++) {
        if (site->lines[i].length_m.v > site->lines[longest].length_m.v) {
            longest = i;
        }
    }
    return longest;
}

/* ---- pumps ---- */

static bool pump_fits(const pw_site *site, fault_befalls befalls, int32_t pump)
{
    if (pump < 0 || pump >= site->pump_count) {
        return false;
    }
    const pw_pump *made = &site->pumps[pump];
    const int32_t at = source_at(site, made->from);
    const pw_source *source = at >= 0 ? &site->sources[at] : NULL;
    switch (befalls) {
    case BEFALLS_SUCTION_PUMP: return source == NULL || source->kind == PW_SOURCE_OPEN;
    case BEFALLS_BORE_PUMP: return source != NULL && source->kind == PW_SOURCE_BORE;
    case BEFALLS_LIFTING_PUMP: return source != NULL && source->kind == PW_SOURCE_OPEN && source->standing_m.v > 0.0;
    case BEFALLS_NON_RETURN_PUMP: return made->non_return;
    case BEFALLS_THREE_PHASE_PUMP: return made->motor.phases == 3;
    default: return true;
    }
}

/* ---- sentences: what the words tell without reading them in full ---- */

/* Where `word` stands in `text` from `from` on, whatever the case; NULL when it does not. */
static const char *find(const char *from, const char *word)
{
    for (; *from != '\0'; from++) {
        if (pw_begins(from, word)) {
            return from;
        }
    }
    return NULL;
}

static bool has_seconds(const char *sentence)
{
    for (const char *at = sentence; *at != '\0'; at++) {
        const bool digit = *at >= '0' && *at <= '9';
        const char *unit = at[1] == ' ' ? at + 2 : at + 1;
        const char after = unit[0] == 's' ? pw_lower(unit[1]) : 'x';
        if (digit && !(after >= 'a' && after <= 'z')) {
            return true;
        }
    }
    return false;
}

static bool settings_fits(const pw_site *site, fault_befalls befalls)
{
    bool kilopascals = false, seconds = false;
    pw_fault_swap swap;
    if (befalls == BEFALLS_SETTINGS_PAIR) {
        return pw_fault_swap_find(site, &swap);
    }
    for (int32_t i = 0; i < site->sentence_count; i++) {
        const char *sentence = site->sentences[i];
        kilopascals = kilopascals || find(sentence, "kpa") != NULL;
        seconds = seconds || has_seconds(sentence);
    }
    return befalls == BEFALLS_SETTINGS_PRESSURE ? kilopascals : seconds;
}

/* ---- everything ---- */

static bool sensor_fits(const pw_site *site, fault_befalls befalls, int32_t sensor)
{
    if (sensor < 0 || sensor >= site->sensor_count) {
        return false;
    }
    const pw_sensor_kind kind = site->sensors[sensor].kind;
    switch (befalls) {
    case BEFALLS_FLOW_SWITCH: return kind == PW_SENSOR_FLOW;
    case BEFALLS_PRESSURE_SENSOR: return kind == PW_SENSOR_PRESSURE;
    case BEFALLS_PROBE: return kind == PW_SENSOR_PROBE;
    default: return kind == PW_SENSOR_PRESSURE || kind == PW_SENSOR_LEVEL;
    }
}

/* The place of a bore or an open water is its surface: no pressure stands there that could drive water out. */
static bool bears_pressure(const pw_site *site, int32_t place)
{
    const int32_t source = source_at(site, place);
    return source < 0 || site->sources[source].kind == PW_SOURCE_MAINS;
}

/* Does the thing that `where` points at exist, and can this happen to it? */
static bool fits(const pw_site *site, fault_befalls befalls, int32_t where)
{
    if (where < 0) {
        return false;
    }
    const int32_t pump = where - PW_MAX_LINES; /* of a valve */
    switch (befalls) {
    case BEFALLS_NOTHING: return false;
    case BEFALLS_PLACE: return where < site->place_count && bears_pressure(site, where);
    case BEFALLS_SOURCE: return where < site->source_count;
    case BEFALLS_LEVEL_SOURCE: return where < site->source_count && site->sources[where].kind != PW_SOURCE_MAINS;
    case BEFALLS_VESSEL: return where < site->vessel_count;
    case BEFALLS_FLOAT: return where < site->tank_count && site->tanks[where].float_valve;
    case BEFALLS_FLOW_SWITCH:
    case BEFALLS_PRESSURE_SENSOR:
    case BEFALLS_MEASURING_SENSOR:
    case BEFALLS_PROBE: return sensor_fits(site, befalls, where);
    case BEFALLS_VALVE: return where < site->line_count || (pump >= 0 && pump < site->pump_count);
    case BEFALLS_LINE: return where < site->line_count;
    case BEFALLS_NON_RETURN:
        return where < site->line_count ? site->lines[where].non_return
                                        : pump_fits(site, BEFALLS_NON_RETURN_PUMP, pump);
    case BEFALLS_SUPPLY: return where == 0 && site->pump_count > 0;
    case BEFALLS_THREE_PHASES:
        for (int32_t i = 0; where == 0 && i < site->pump_count; i++) {
            if (pump_fits(site, BEFALLS_THREE_PHASE_PUMP, i)) {
                return true;
            }
        }
        return false;
    case BEFALLS_SETTINGS_PAIR:
    case BEFALLS_SETTINGS_PRESSURE:
    case BEFALLS_SETTINGS_SECONDS: return where == 0 && settings_fits(site, befalls);
    default: return pump_fits(site, befalls, where);
    }
}

enum { MOST_WHERE = PW_MAX_LINES + PW_MAX_PUMPS };

static int32_t first_fit(const pw_site *site, fault_befalls befalls)
{
    for (int32_t where = 0; where < MOST_WHERE; where++) {
        if (fits(site, befalls, where)) {
            return where;
        }
    }
    return -1;
}

static int32_t usual_where(const pw_site *site, fault_befalls befalls)
{
    switch (befalls) {
    case BEFALLS_PLACE: return fault_usual_leak_place(site);
    case BEFALLS_SOURCE: return usual_source(site);
    case BEFALLS_VALVE: return usual_valve(site);
    case BEFALLS_LINE: return usual_line(site);
    case BEFALLS_NON_RETURN: {
        const int32_t pump = first_fit(site, BEFALLS_NON_RETURN_PUMP);
        return pump >= 0 ? PW_MAX_LINES + pump : first_fit(site, befalls);
    }
    default: return first_fit(site, befalls);
    }
}

bool pw_fault_possible(const pw_site *site, pw_fault_kind kind)
{
    return kind == PW_FAULT_NONE || (fault_is_kind(kind) && usual_where(site, fault_befalls_of(kind)) >= 0);
}

int32_t pw_fault_where(const pw_site *site, pw_fault_kind kind, int32_t where)
{
    const fault_befalls befalls = fault_befalls_of(kind);
    int32_t chosen = where >= 0 ? where : usual_where(site, befalls);
    return fits(site, befalls, chosen) ? chosen : -1;
}

int32_t pw_fault_wheres(const pw_site *site, pw_fault_kind kind, int32_t *out, int32_t capacity)
{
    const fault_befalls befalls = fault_befalls_of(kind);
    const int32_t usual = usual_where(site, befalls);
    int32_t count = 0;
    if (usual < 0 || capacity <= 0) {
        return 0;
    }
    out[count++] = usual;
    for (int32_t where = 0; where < MOST_WHERE && count < capacity; where++) {
        if (where != usual && fits(site, befalls, where)) {
            out[count++] = where;
        }
    }
    return count;
}

/* Name of the thing that `where` points at, "" when it has none; `where` fits. */
static const char *where_name(const pw_site *site, fault_befalls befalls, int32_t where)
{
    switch (befalls) {
    case BEFALLS_PLACE: return site->places[where].name;
    case BEFALLS_SOURCE:
    case BEFALLS_LEVEL_SOURCE: return site->sources[where].name;
    case BEFALLS_VESSEL: return site->vessels[where].name;
    case BEFALLS_FLOAT: return site->tanks[where].name;
    case BEFALLS_FLOW_SWITCH:
    case BEFALLS_PRESSURE_SENSOR:
    case BEFALLS_MEASURING_SENSOR:
    case BEFALLS_PROBE: return site->sensors[where].name;
    case BEFALLS_VALVE:
    case BEFALLS_LINE:
    case BEFALLS_NON_RETURN:
        return where >= PW_MAX_LINES ? site->pumps[where - PW_MAX_LINES].name : site->lines[where].name;
    case BEFALLS_NOTHING:
    case BEFALLS_SUPPLY:
    case BEFALLS_THREE_PHASES:
    case BEFALLS_SETTINGS_PAIR:
    case BEFALLS_SETTINGS_PRESSURE:
    case BEFALLS_SETTINGS_SECONDS: return "";
    default: return site->pumps[where].name;
    }
}

int32_t pw_fault_where_find(const pw_site *site, pw_fault_kind kind, const char *name)
{
    const fault_befalls befalls = fault_befalls_of(kind);
    for (int32_t where = 0; where < MOST_WHERE && name[0] != '\0'; where++) {
        if (fits(site, befalls, where) && strcmp(where_name(site, befalls, where), name) == 0) {
            return where;
        }
    }
    return -1;
}

void pw_fault_where_words(const pw_site *site, pw_fault_kind kind, int32_t where, pw_text *text)
{
    const fault_befalls befalls = fault_befalls_of(kind);
    int32_t chosen = pw_fault_where(site, kind, where);
    if (chosen < 0 || where_name(site, befalls, chosen)[0] == '\0') {
        return;
    }
    const char *before = "";
    if (befalls == BEFALLS_PLACE) {
        before = "at ";
    } else if (befalls == BEFALLS_VALVE || befalls == BEFALLS_NON_RETURN) {
        before = chosen >= PW_MAX_LINES ? "at the outlet of " : "in ";
    }
    pw_text_puts(text, before, where_name(site, befalls, chosen), NULL);
}
