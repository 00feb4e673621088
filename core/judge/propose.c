/* Sentences that an order lacks for one trial. Each is proposed only when the site has the sensor for it, when what the
 * trial reached stands out from the healthy years, and when the order's own reader takes it. Times and margins without
 * another word: own choices from common practice.
 */
#include <string.h>

#include "base/num.h"
#include "judge/watch.h"

/* ---- what the order has ---- */

/* A watch, or any sentence, that looks so at such a signal of this pump; at_rest: of a pump that is stopped. */
bool judge_looks(const judge_trial *t, pw_term_kind kind, bool above, bool at_rest, bool any, int32_t signal)
{
    pw_look look;
    for (int32_t i = 0; i < pw_order_count(t->plant->order); i++) {
        for (int32_t k = 0;
             (any || pw_order_is_watch(t->plant->order, i)) && pw_order_look(t->plant->order, i, k, &look); k++) {
            if (look.kind == kind && look.above == above && look.at_rest == at_rest &&
                (signal < 0 || look.signal == signal))
                return true;
        }
    }
    return false;
}

/* ---- a sentence that the reader takes ---- */

static bool reads(const judge_trial *t, const char *const *more, int32_t count, char *last, size_t last_size)
{
    const pw_site *site = t->plant->site;
    const char *sentences[PW_MAX_SENTENCES];
    if (site->sentence_count + count > PW_MAX_SENTENCES)
        return false;
    for (int32_t i = 0; i < site->sentence_count; i++)
        sentences[i] = site->sentences[i];
    for (int32_t i = 0; i < count; i++)
        sentences[site->sentence_count + i] = more[i];
    const size_t mark = pw_arena_mark(t->arena);
    pw_problems *before = PW_NEW(t->arena, 2, pw_problems);
    pw_order *order = NULL;
    bool good =
        before != NULL &&
        pw_plant_read(t->arena, t->plant, sentences, site->sentence_count, &order, &before[0]) == PW_OK &&
        pw_plant_read(t->arena, t->plant, sentences, site->sentence_count + count, &order, &before[1]) == PW_OK &&
        before[0].count == before[1].count;
    if (good) { /* back in its one canonical form */
        pw_text words;
        pw_text_init(&words, t->arena);
        pw_order_put(order, site->sentence_count + count - 1, &words);
        good = !words.failed && words.length < last_size;
        if (good)
            pw_copy(last, (int32_t)last_size, words.data);
    }
    pw_arena_back(t->arena, mark);
    return good;
}

void judge_put(char *out, size_t size, const char *words)
{
    const size_t length = strlen(out);
    pw_copy(out + length, (int32_t)(size - length), words);
}

void judge_put_quantity(const judge_trial *t, char *out, size_t size, pw_dimension dimension, double si)
{
    const size_t mark = pw_arena_mark(t->arena);
    const pw_units units = pw_units_metric();
    pw_text text;
    pw_text_init(&text, t->arena);
    pw_quantity_put(&text, &units, dimension, si);
    judge_put(out, size, text.failed ? "" : text.data);
    pw_arena_back(t->arena, mark);
}

void judge_put_number(char *out, size_t size, double value)
{
    char digits[32];
    pw_num_text(value, digits);
    judge_put(out, size, digits);
}

const char *judge_verb(const judge_trial *t)
{
    const bool heeds = pw_mishap_heeds_stop(t->job->mishap.kind) && pw_mishap_heeds_stop(t->job->second.kind);
    return heeds && judge_harms(t) ? "lock out when " : "warn when ";
}

/* ---- signals ---- */

int32_t judge_sensors(const pw_site *site, pw_sensor_kind kind)
{
    int32_t count = 0;
    for (int32_t i = 0; i < site->sensor_count; i++)
        count += site->sensors[i].kind == kind ? 1 : 0;
    return count;
}

bool judge_by_pressure(const pw_plant *plant)
{
    return plant->cut_in_pa > 0.0 && plant->cut_out_pa > plant->cut_in_pa;
}

/* The flow switch that the pump's water passes: its own, else the only one in a line. */
int32_t judge_flow_switch(const judge_trial *t)
{
    const pw_site *site = t->plant->site;
    int32_t found = -1;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        const pw_sensor *sensor = &site->sensors[i];
        if (sensor->kind == PW_SENSOR_FLOW && i != t->sensor && i != t->other &&
            (sensor->pump == t->pump || (sensor->line >= 0 && found < 0)))
            found = i;
    }
    return found;
}

/* ---- the watches ---- */

/* ---- which watch for which mishap, the most telling first ---- */

typedef bool (*watch)(const judge_trial *t, judge_proposal *p);
enum { MOST_WATCHES = 6 };

static const watch watches[PW_MISHAP_COUNT][MOST_WATCHES] = {
    [PW_MISHAP_SLOW_LEAK] = {judge_watch_starts_limit, judge_watch_run_limit},
    [PW_MISHAP_BURST] = {judge_watch_run_limit, judge_watch_starts_limit},
    [PW_MISHAP_DRY_SOURCE] = {judge_watch_no_flow, judge_watch_low_current, judge_watch_run_limit,
                              judge_watch_starts_limit},
    [PW_MISHAP_LOST_AIR] = {judge_watch_starts_limit},
    [PW_MISHAP_FLOAT_PASSING] = {judge_watch_tank_high, judge_watch_starts_limit, judge_watch_run_limit},
    [PW_MISHAP_VALVE_CLOSED] = {judge_watch_no_flow, judge_watch_high_pressure, judge_watch_run_limit},
    [PW_MISHAP_WELDED] = {judge_watch_current_at_rest, judge_watch_high_pressure, judge_watch_tank_high},
    [PW_MISHAP_FALLING_LEVEL] = {judge_watch_no_flow, judge_watch_low_current, judge_watch_run_limit},
    [PW_MISHAP_BLOCKED_INTAKE] = {judge_watch_no_flow, judge_watch_low_current, judge_watch_run_limit},
    [PW_MISHAP_AIR_DRAWN_IN] = {judge_watch_low_current, judge_watch_no_flow, judge_watch_run_limit},
    [PW_MISHAP_ENTRAINED_GAS] = {judge_watch_low_current, judge_watch_run_limit},
    [PW_MISHAP_LOST_PRIME] = {judge_watch_no_flow, judge_watch_low_current},
    [PW_MISHAP_RUPTURED_CELL] = {judge_watch_starts_limit},
    [PW_MISHAP_HIGH_PRECHARGE] = {judge_watch_starts_limit},
    [PW_MISHAP_BACKFLOW] = {judge_watch_starts_limit},
    [PW_MISHAP_FLOAT_OPEN] = {judge_watch_tank_high, judge_watch_run_limit, judge_watch_starts_limit},
    [PW_MISHAP_FLOAT_SHUT] = {judge_watch_tank_low},
    [PW_MISHAP_WORN] = {judge_watch_run_limit, judge_watch_no_flow},
    [PW_MISHAP_CLOGGED] = {judge_watch_no_flow, judge_watch_run_limit},
    [PW_MISHAP_SCALED] = {judge_watch_run_limit},
    [PW_MISHAP_BACKWARDS] = {judge_watch_no_flow, judge_watch_run_limit},
    [PW_MISHAP_OVERLOAD] = {judge_watch_high_current, judge_watch_hot_winding},
    [PW_MISHAP_FLOW_ON] = {judge_watch_low_current, judge_watch_run_limit},
    [PW_MISHAP_READS_HIGH] = {judge_watch_standing, judge_watch_tank_low},
    [PW_MISHAP_READS_LOW] = {judge_watch_run_limit, judge_watch_no_flow},
    [PW_MISHAP_SENSOR_STUCK] = {judge_watch_standing, judge_watch_tank_high, judge_watch_run_limit,
                                judge_watch_no_flow},
    [PW_MISHAP_TAPPING] = {judge_watch_standing, judge_watch_run_limit, judge_watch_no_flow},
    [PW_MISHAP_FROZEN] = {judge_watch_standing, judge_watch_run_limit, judge_watch_no_flow},
    [PW_MISHAP_PROBE_WET] = {judge_watch_standing, judge_watch_no_flow, judge_watch_low_current, judge_watch_tank_high,
                             judge_watch_run_limit},
    [PW_MISHAP_PROBE_DRY] = {judge_watch_standing, judge_watch_tank_high, judge_watch_run_limit, judge_watch_no_flow},
    [PW_MISHAP_NOT_CLOSING] = {judge_watch_low_current, judge_watch_no_flow, judge_watch_tank_low},
    [PW_MISHAP_BROWN_OUT] = {judge_watch_low_supply, judge_watch_high_current, judge_watch_hot_winding},
    [PW_MISHAP_PHASE_LOSS] = {judge_watch_lost_phase, judge_watch_high_current, judge_watch_hot_winding},
    [PW_MISHAP_GENERATOR_SAG] = {judge_watch_high_current, judge_watch_hot_winding},
    [PW_MISHAP_RELIEF] = {judge_watch_run_limit},
    [PW_MISHAP_MINUTES_TYPED] = {judge_watch_no_flow, judge_watch_run_limit, judge_watch_high_pressure},
};

bool judge_propose(const judge_trial *t, pw_text *text)
{
    int32_t said = 0;
    const pw_mishap_kind kind = t->job->mishap.kind;
    for (int32_t i = 0; t->outcome != NULL && i < MOST_WATCHES && watches[kind][i] != NULL && said < 2; i++) {
        judge_proposal p;
        memset(&p, 0, sizeof p);
        if (!watches[kind][i](t, &p))
            continue;
        const bool two = p.first[0] != '\0';
        const char *both[2] = {p.first, p.sentence};
        char words[512], first[512] = "";
        if (!reads(t, two ? both : both + 1, two ? 2 : 1, words, sizeof words))
            continue;
        const char *alone[2] = {p.sentence, p.first}; /* the last one is told back in its own words */
        if (two && !reads(t, alone, 2, first, sizeof first))
            continue;
        if (p.instead_of > 0) {
            pw_text_put(text, said > 0 ? " Or shorten sentence " : "Shorten sentence ");
            pw_text_int(text, p.instead_of);
            pw_text_puts(text, ": \"", words, "\"", NULL);
        } else {
            pw_text_puts(text, said > 0 ? " Or add \"" : "Add \"", words, "\"", NULL);
        }
        if (two)
            pw_text_puts(text, " with \"", first, "\"", NULL);
        pw_text_puts(text, p.why[0] != '\0' ? ": " : "", p.why, ".", NULL);
        said++;
    }
    return said > 0;
}
