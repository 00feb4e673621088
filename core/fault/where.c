/* Where a fault can happen on a site, and where it usually does. */
#include <string.h>

#include "fault/inside.h"
#include "site/topology.h"

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
    static const pw_source_kind kinds[] = {PW_SOURCE_BORE, PW_SOURCE_OPEN, PW_SOURCE_MAINS};
    for (int32_t k = 0; k < 3; k++) {
        for (int32_t i = 0; i < site->source_count; i++) {
            if (site->sources[i].kind == kinds[k]) {
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
    int32_t lines[PW_MAX_LINES];
    const int32_t lines_here = pw_lines_at(site, place, lines);
    for (int32_t i = 1; i < site->pump_count; i++) {
        if (site->pumps[i].to == place || site->pumps[i].from == place) {
            return at_pump;
        }
    }
    bool bare =
        pw_site_vessel_at(site, place) < 0 && pw_site_tank_at(site, place) < 0 && pw_site_outlet_at(site, place) < 0;
    return lines_here == 1 && bare ? lines[0] : at_pump;
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

/* ---- what fits: does the thing with this number, which exists, befit the fault? ---- */

static bool any_fits(const pw_site *site, int32_t at)
{
    (void)site, (void)at;
    return true;
}

/* The place of a bore or an open water is its surface: no pressure stands there that could drive water out. */
static bool place_fits(const pw_site *site, int32_t place)
{
    const int32_t source = pw_site_source_at(site, place);
    return source < 0 || site->sources[source].kind == PW_SOURCE_MAINS;
}

static bool level_source_fits(const pw_site *site, int32_t source)
{
    return site->sources[source].kind != PW_SOURCE_MAINS;
}

static bool float_fits(const pw_site *site, int32_t tank)
{
    return site->tanks[tank].float_valve;
}

static bool flow_switch_fits(const pw_site *site, int32_t sensor)
{
    return site->sensors[sensor].kind == PW_SENSOR_FLOW;
}

static bool pressure_sensor_fits(const pw_site *site, int32_t sensor)
{
    return site->sensors[sensor].kind == PW_SENSOR_PRESSURE;
}

static bool measuring_sensor_fits(const pw_site *site, int32_t sensor)
{
    return site->sensors[sensor].kind == PW_SENSOR_PRESSURE || site->sensors[sensor].kind == PW_SENSOR_LEVEL;
}

static bool probe_fits(const pw_site *site, int32_t sensor)
{
    return site->sensors[sensor].kind == PW_SENSOR_PROBE;
}

static bool pressure_switch_fits(const pw_site *site, int32_t sensor)
{
    return site->sensors[sensor].kind == PW_SENSOR_SWITCH;
}

static const pw_source *source_of_pump(const pw_site *site, int32_t pump)
{
    const int32_t at = pw_site_source_at(site, site->pumps[pump].from);
    return at >= 0 ? &site->sources[at] : NULL;
}

static bool suction_pump_fits(const pw_site *site, int32_t pump)
{
    const pw_source *source = source_of_pump(site, pump);
    return source == NULL || source->kind == PW_SOURCE_OPEN;
}

static bool bore_pump_fits(const pw_site *site, int32_t pump)
{
    const pw_source *source = source_of_pump(site, pump);
    return source != NULL && source->kind == PW_SOURCE_BORE;
}

static bool lifting_pump_fits(const pw_site *site, int32_t pump)
{
    const pw_source *source = source_of_pump(site, pump);
    return source != NULL && source->kind == PW_SOURCE_OPEN && source->standing_m.v > 0.0;
}

static bool non_return_pump_fits(const pw_site *site, int32_t pump)
{
    return site->pumps[pump].non_return;
}

static bool three_phase_pump_fits(const pw_site *site, int32_t pump)
{
    return site->pumps[pump].motor.phases == 3;
}

static bool non_return_fits(const pw_site *site, int32_t valve)
{
    return valve < PW_MAX_LINES ? site->lines[valve].non_return : non_return_pump_fits(site, valve - PW_MAX_LINES);
}

static bool three_phases_fit(const pw_site *site, int32_t at)
{
    (void)at;
    for (int32_t i = 0; i < site->pump_count; i++) {
        if (three_phase_pump_fits(site, i)) {
            return true;
        }
    }
    return false;
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

static bool pair_fits(const pw_site *site, int32_t at)
{
    pw_fault_swap swap;
    (void)at;
    return pw_fault_swap_find(site, &swap);
}

static bool kilopascals_fit(const pw_site *site, int32_t at)
{
    (void)at;
    for (int32_t i = 0; i < site->sentence_count; i++) {
        if (find(site->sentences[i], "kpa") != NULL) {
            return true;
        }
    }
    return false;
}

static bool seconds_fit(const pw_site *site, int32_t at)
{
    (void)at;
    for (int32_t i = 0; i < site->sentence_count; i++) {
        if (has_seconds(site->sentences[i])) {
            return true;
        }
    }
    return false;
}

/* ---- everything ---- */

static int32_t first_non_return(const pw_site *site);

/* What can be befallen: the sort of thing, which of them, the usual one (NULL: the first), and in words: what a site
 * must have, and which is the usual one. */
typedef struct befalls_row {
    pw_fault_thing thing;
    bool (*fits)(const pw_site *site, int32_t at);
    int32_t (*usual)(const pw_site *site);
    const char *needs, *usual_words;
} befalls_row;

static const befalls_row rows[PW_BEFALLS_COUNT] = {
    [PW_BEFALLS_NOTHING] = {PW_THING_NONE, any_fits, NULL, "", ""},
    [PW_BEFALLS_PLACE] = {PW_THING_PLACE, place_fits, fault_usual_leak_place, "faults.n-place", "faults.u-place"},
    [PW_BEFALLS_SOURCE] = {PW_THING_SOURCE, any_fits, usual_source, "faults.n-source", "faults.u-source"},
    [PW_BEFALLS_LEVEL_SOURCE] = {PW_THING_SOURCE, level_source_fits, NULL, "faults.n-level-source",
                                 "faults.u-level-source"},
    [PW_BEFALLS_VESSEL] = {PW_THING_VESSEL, any_fits, NULL, "faults.n-vessel", "faults.u-vessel"},
    [PW_BEFALLS_FLOAT] = {PW_THING_TANK, float_fits, NULL, "faults.n-float", "faults.u-float"},
    [PW_BEFALLS_FLOW_SWITCH] = {PW_THING_SENSOR, flow_switch_fits, NULL, "faults.n-flow-switch",
                                "faults.u-flow-switch"},
    [PW_BEFALLS_PRESSURE_SENSOR] = {PW_THING_SENSOR, pressure_sensor_fits, NULL, "faults.n-pressure-sensor",
                                    "faults.u-pressure-sensor"},
    [PW_BEFALLS_MEASURING_SENSOR] = {PW_THING_SENSOR, measuring_sensor_fits, NULL, "faults.n-measuring",
                                     "faults.u-measuring"},
    [PW_BEFALLS_PROBE] = {PW_THING_SENSOR, probe_fits, NULL, "faults.n-probe", "faults.u-probe"},
    [PW_BEFALLS_PRESSURE_SWITCH] = {PW_THING_SENSOR, pressure_switch_fits, NULL, "faults.n-pressure-switch",
                                    "faults.u-pressure-switch"},
    [PW_BEFALLS_FILTER] = {PW_THING_FILTER, any_fits, NULL, "faults.n-filter", "faults.u-filter"},
    [PW_BEFALLS_VALVE] = {PW_THING_VALVE, any_fits, usual_valve, "faults.n-valve", "faults.u-valve"},
    [PW_BEFALLS_LINE] = {PW_THING_LINE, any_fits, usual_line, "faults.n-line", "faults.u-line"},
    [PW_BEFALLS_NON_RETURN] = {PW_THING_VALVE, non_return_fits, first_non_return, "faults.n-non-return",
                               "faults.u-non-return"},
    [PW_BEFALLS_PUMP] = {PW_THING_PUMP, any_fits, NULL, "faults.n-pump", "faults.u-pump"},
    [PW_BEFALLS_SUCTION_PUMP] = {PW_THING_PUMP, suction_pump_fits, NULL, "faults.n-suction-pump",
                                 "faults.u-suction-pump"},
    [PW_BEFALLS_BORE_PUMP] = {PW_THING_PUMP, bore_pump_fits, NULL, "faults.n-bore-pump", "faults.u-bore-pump"},
    [PW_BEFALLS_LIFTING_PUMP] = {PW_THING_PUMP, lifting_pump_fits, NULL, "faults.n-lifting-pump",
                                 "faults.u-lifting-pump"},
    [PW_BEFALLS_NON_RETURN_PUMP] = {PW_THING_PUMP, non_return_pump_fits, NULL, "faults.n-nrv-pump",
                                    "faults.u-nrv-pump"},
    [PW_BEFALLS_THREE_PHASE_PUMP] = {PW_THING_PUMP, three_phase_pump_fits, NULL, "faults.n-three-phase-pump",
                                     "faults.u-three-phase-pump"},
    [PW_BEFALLS_SUPPLY] = {PW_THING_SUPPLY, any_fits, NULL, "faults.n-supply", "faults.u-supply"},
    [PW_BEFALLS_THREE_PHASES] = {PW_THING_SUPPLY, three_phases_fit, NULL, "faults.n-three-phases",
                                 "faults.u-three-phases"},
    [PW_BEFALLS_SETTINGS_PAIR] = {PW_THING_SETTINGS, pair_fits, NULL, "faults.n-pair", "faults.u-settings"},
    [PW_BEFALLS_SETTINGS_PRESSURE] = {PW_THING_SETTINGS, kilopascals_fit, NULL, "faults.n-pressure",
                                      "faults.u-settings"},
    [PW_BEFALLS_SETTINGS_SECONDS] = {PW_THING_SETTINGS, seconds_fit, NULL, "faults.n-seconds", "faults.u-settings"},
};

static const befalls_row *row_of(pw_fault_kind kind)
{
    return &rows[pw_fault_row_of(kind)->befalls];
}

pw_fault_thing pw_fault_thing_of(pw_fault_kind kind)
{
    return row_of(kind)->thing;
}

const char *pw_fault_needs(pw_fault_kind kind)
{
    return row_of(kind)->needs;
}

const char *pw_fault_usual_words(pw_fault_kind kind)
{
    return row_of(kind)->usual_words;
}

/* Name of the thing with this number, "" where such a thing has none; NULL when the site has no such thing. */
static const char *name_of(const pw_site *site, pw_fault_thing thing, int32_t at)
{
    const int32_t pump = thing == PW_THING_VALVE ? at - PW_MAX_LINES : at;
    if (at < 0) {
        return NULL;
    }
    switch (thing) {
    case PW_THING_PLACE: return at < site->place_count ? site->places[at].name : NULL;
    case PW_THING_SOURCE: return at < site->source_count ? site->sources[at].name : NULL;
    case PW_THING_VESSEL: return at < site->vessel_count ? site->vessels[at].name : NULL;
    case PW_THING_TANK: return at < site->tank_count ? site->tanks[at].name : NULL;
    case PW_THING_SENSOR: return at < site->sensor_count ? site->sensors[at].name : NULL;
    case PW_THING_VALVE:
    case PW_THING_LINE:
        if (at < PW_MAX_LINES) {
            return at < site->line_count ? site->lines[at].name : NULL;
        }
        return thing == PW_THING_VALVE && pump < site->pump_count ? site->pumps[pump].name : NULL;
    case PW_THING_PUMP: return pump < site->pump_count ? site->pumps[pump].name : NULL;
    case PW_THING_FILTER: return at < site->filter_count ? site->filters[at].name : NULL;
    case PW_THING_SUPPLY: return at == 0 && site->pump_count > 0 ? "" : NULL;
    case PW_THING_SETTINGS: return at == 0 ? "" : NULL;
    case PW_THING_NONE: break;
    }
    return NULL;
}

static bool fits(const pw_site *site, const befalls_row *row, int32_t at)
{
    return name_of(site, row->thing, at) != NULL && row->fits(site, at);
}

enum { MOST_WHERE = PW_MAX_LINES + PW_MAX_PUMPS };

static int32_t first_fit(const pw_site *site, const befalls_row *row)
{
    for (int32_t where = 0; where < MOST_WHERE; where++) {
        if (fits(site, row, where)) {
            return where;
        }
    }
    return -1;
}

/* A pump's own comes before those of lines. */
static int32_t first_non_return(const pw_site *site)
{
    const int32_t pump = first_fit(site, &rows[PW_BEFALLS_NON_RETURN_PUMP]);
    return pump >= 0 ? PW_MAX_LINES + pump : first_fit(site, &rows[PW_BEFALLS_NON_RETURN]);
}

static int32_t usual_where(const pw_site *site, const befalls_row *row)
{
    return row->usual != NULL ? row->usual(site) : first_fit(site, row);
}

bool pw_fault_possible(const pw_site *site, pw_fault_kind kind)
{
    return kind == PW_FAULT_NONE || (fault_is_kind(kind) && usual_where(site, row_of(kind)) >= 0);
}

int32_t pw_fault_where(const pw_site *site, pw_fault_kind kind, int32_t where)
{
    const befalls_row *row = row_of(kind);
    int32_t chosen = where >= 0 ? where : usual_where(site, row);
    return fits(site, row, chosen) ? chosen : -1;
}

int32_t pw_fault_wheres(const pw_site *site, pw_fault_kind kind, int32_t *out, int32_t capacity)
{
    const befalls_row *row = row_of(kind);
    const int32_t usual = usual_where(site, row);
    int32_t count = 0;
    if (usual < 0 || capacity <= 0) {
        return 0;
    }
    out[count++] = usual;
    for (int32_t where = 0; where < MOST_WHERE && count < capacity; where++) {
        if (where != usual && fits(site, row, where)) {
            out[count++] = where;
        }
    }
    return count;
}

int32_t pw_fault_where_find(const pw_site *site, pw_fault_kind kind, const char *name)
{
    const befalls_row *row = row_of(kind);
    for (int32_t where = 0; where < MOST_WHERE && name[0] != '\0'; where++) {
        if (fits(site, row, where) && strcmp(name_of(site, row->thing, where), name) == 0) {
            return where;
        }
    }
    return -1;
}

pw_fact pw_fault_where_fact(const pw_site *site, pw_fault_kind kind, int32_t where)
{
    const pw_fault_thing thing = pw_fault_thing_of(kind);
    const int32_t chosen = pw_fault_where(site, kind, where);
    const char *name = chosen >= 0 ? name_of(site, thing, chosen) : "";
    if (name[0] == '\0') {
        return pw_no_fact();
    }
    if (thing == PW_THING_PLACE) {
        return pw_fact_of("faults.at-place", pw_named(name));
    }
    if (thing == PW_THING_VALVE) {
        return pw_fact_of(chosen >= PW_MAX_LINES ? "faults.at-outlet" : "faults.in-line", pw_named(name));
    }
    return pw_fact_of("base.value", pw_named(name));
}
