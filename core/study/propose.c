/* Sentences that an order lacks for one trial. Each is proposed only when the site has the sensor for it, when what the
 * trial reached stands out from the healthy years, and when the order's own reader takes it. Times and margins without
 * another word: own choices from common practice.
 */
#include <string.h>

#include "base/num.h"
#include "study/propose_watch.h"

/* ---- what the order has ---- */

/* A watch, or any sentence, that looks so at such a signal of this pump; at_rest: of a pump that is stopped. */
bool prove_looks(const prove_trial *t, pw_term_kind kind, bool above, bool at_rest, bool any, int32_t signal)
{
    pw_look look;
    for (int32_t i = 0; i < pw_settings_count(t->plant->settings); i++) {
        for (int32_t k = 0;
             (any || pw_settings_is_watch(t->plant->settings, i)) && pw_settings_look(t->plant->settings, i, k, &look);
             k++) {
            if (look.kind == kind && look.above == above && look.at_rest == at_rest &&
                (signal < 0 || look.signal == signal)) {
                return true;
            }
        }
    }
    return false;
}

/* ---- a sentence that the reader takes ---- */

/* The last of them as its reader took it, as a value; what it stands in stays in the arena. False: it is not taken. */
static bool reads(const prove_trial *t, const char *const *more, int32_t count, pw_value *last)
{
    const pw_site *site = t->plant->site;
    const char *sentences[PW_MAX_SENTENCES];
    if (site->sentence_count + count > PW_MAX_SENTENCES) {
        return false;
    }
    for (int32_t i = 0; i < site->sentence_count; i++) {
        sentences[i] = site->sentences[i];
    }
    for (int32_t i = 0; i < count; i++) {
        sentences[site->sentence_count + i] = more[i];
    }
    const size_t mark = pw_arena_mark(t->arena);
    pw_problems *before = PW_NEW(t->arena, 2, pw_problems);
    pw_settings *settings = NULL;
    bool good =
        before != NULL &&
        pw_plant_read(t->arena, t->plant, sentences, site->sentence_count, &settings, &before[0]) == PW_OK &&
        pw_plant_read(t->arena, t->plant, sentences, site->sentence_count + count, &settings, &before[1]) == PW_OK &&
        before[0].count == before[1].count;
    pw_arena_back(t->arena, mark);
    /* once more without what it took to compare: these settings stay, the value stands on them */
    if (!good || pw_plant_read(t->arena, t->plant, sentences, site->sentence_count + count, &settings, NULL) != PW_OK) {
        return false;
    }
    *last = pw_sentence_value(t->arena, settings, site->sentence_count + count - 1);
    return true;
}

void prove_put(char *out, size_t size, const char *words)
{
    const size_t length = strlen(out);
    pw_copy(out + length, (int32_t)(size - length), words);
}

void prove_put_quantity(const prove_trial *t, char *out, size_t size, pw_dimension dimension, double si)
{
    const size_t mark = pw_arena_mark(t->arena);
    const pw_units units = pw_units_metric();
    pw_text text;
    pw_text_init(&text, t->arena);
    pw_quantity_put(&text, &units, dimension, si);
    prove_put(out, size, text.failed ? "" : text.data);
    pw_arena_back(t->arena, mark);
}

void prove_put_number(char *out, size_t size, double value)
{
    char digits[32];
    pw_num_text(value, digits);
    prove_put(out, size, digits);
}

bool prove_locks(const prove_trial *t)
{
    const bool heeds = pw_fault_heeds_stop(t->job->fault.kind) && pw_fault_heeds_stop(t->job->second.kind);
    return heeds && prove_harms(t);
}

/* ---- signals ---- */

int32_t prove_sensors(const pw_site *site, pw_sensor_kind kind)
{
    int32_t count = 0;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        count += site->sensors[i].kind == kind ? 1 : 0;
    }
    return count;
}

bool prove_by_pressure(const pw_plant *plant)
{
    return plant->cut_in_pa > 0.0 && plant->cut_out_pa > plant->cut_in_pa;
}

/* The flow switch that the pump's water passes: its own, else the only one in a line. */
int32_t prove_flow_switch(const prove_trial *t)
{
    const pw_site *site = t->plant->site;
    int32_t found = -1;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        const pw_sensor *sensor = &site->sensors[i];
        if (sensor->kind == PW_SENSOR_FLOW && i != t->sensor && i != t->other &&
            (sensor->pump == t->pump || (sensor->line >= 0 && found < 0))) {
            found = i;
        }
    }
    return found;
}

/* ---- the watches ---- */

typedef bool (*watch)(const prove_trial *t, prove_proposal *p);

static const watch watches[PW_BY_COUNT] = {
    [PW_BY_NO_FLOW] = prove_watch_no_flow,
    [PW_BY_RUN_LIMIT] = prove_watch_run_limit,
    [PW_BY_STARTS_LIMIT] = prove_watch_starts_limit,
    [PW_BY_HIGH_PRESSURE] = prove_watch_high_pressure,
    [PW_BY_STANDING] = prove_watch_standing,
    [PW_BY_TANK_HIGH] = prove_watch_tank_high,
    [PW_BY_TANK_LOW] = prove_watch_tank_low,
    [PW_BY_LOW_CURRENT] = prove_watch_low_current,
    [PW_BY_HIGH_CURRENT] = prove_watch_high_current,
    [PW_BY_HOT_WINDING] = prove_watch_hot_winding,
    [PW_BY_LOW_SUPPLY] = prove_watch_low_supply,
    [PW_BY_LOST_PHASE] = prove_watch_lost_phase,
    [PW_BY_CURRENT_AT_REST] = prove_watch_current_at_rest,
};

/* "Add ...", "Shorten sentence 6: ..." */
static void tell(const prove_proposal *p, pw_value sentence, pw_value first, bool more, pw_facts *out)
{
    const pw_value why = pw_fact_inside(out->arena, p->why);
    if (p->instead_of > 0) {
        pw_tell(out, "propose.shorten", pw_truth(more), pw_count(p->instead_of), sentence, why);
    } else {
        pw_tell(out, "propose.add", pw_truth(more), sentence, first, why);
    }
}

/* Does the reader take it; the sentences as it told them back, of the other one "" when there is none. */
static bool taken(const prove_trial *t, const prove_proposal *p, pw_value *sentence, pw_value *first)
{
    const bool two = p->first[0] != '\0';
    const char *both[2] = {p->first, p->sentence};
    const char *alone[2] = {p->sentence, p->first}; /* the last one is told back in its own words */
    *first = pw_named("");
    return reads(t, two ? both : both + 1, two ? 2 : 1, sentence) && (!two || reads(t, alone, 2, first));
}

/* The sentence of its parts. */
static void compose(prove_proposal *p)
{
    SAY(sentence, p->locks ? "lock out when " : "warn when ");
    SAY(sentence, p->when);
}

int32_t prove_candidates(const prove_trial *t, prove_proposal *out)
{
    int32_t count = 0;
    const pw_fault_row *row = pw_fault_row_of(t->job->fault.kind);
    const int32_t most = (int32_t)(sizeof row->seen_by / sizeof row->seen_by[0]);
    for (int32_t i = 0; t->outcome != NULL && i < most && row->seen_by[i] != PW_BY_NONE && count < PROVE_CANDIDATES;
         i++) {
        prove_proposal *p = &out[count];
        pw_value sentence, first;
        memset(p, 0, sizeof *p);
        p->by = row->seen_by[i];
        if (!watches[p->by](t, p)) {
            continue;
        }
        compose(p);
        count += taken(t, p, &sentence, &first) ? 1 : 0;
    }
    return count;
}

bool prove_propose(const prove_trial *t, pw_facts *out)
{
    prove_proposal list[PROVE_CANDIDATES];
    const int32_t count = prove_candidates(t, list);
    for (int32_t i = 0; i < count; i++) {
        pw_value sentence, first;
        if (taken(t, &list[i], &sentence, &first)) {
            tell(&list[i], sentence, first, i > 0, out);
        }
    }
    return count > 0;
}
