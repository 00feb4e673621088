/* What is measured and counted: readings, cut-in and cut-out, counters. */
#include "control/teller.h"

/* Of one that stands by or is locked out those of the pump on duty are told. */
static bool tells_pressure(const pw_state_teller *t, const pw_row *row)
{
    return pw_tell_applies(t, row) || (row->role == 0 && !pw_tell_has_start(t));
}

/* "pressure now 420 kPa"; the name of the sensor when there are several. */
static pw_fact reading(const pw_state_teller *t, int32_t signal)
{
    const pw_signal *seen = &t->settings->signals[signal];
    const pw_value name = pw_named(pw_one_of_kind(t->settings, (uint8_t)seen->kind) ? "" : seen->name);
    const double value = t->control->seen[signal];
    switch (seen->kind) {
    case PW_SIGNAL_PROBE: return pw_fact_of("control.probe-now", name, pw_truth(value > 0.5));
    case PW_SIGNAL_DROP: return pw_fact_of("control.drop-now", name, pw_quantity(PW_DIM_PRESSURE, value));
    case PW_SIGNAL_LEVEL: return pw_fact_of("control.level-now", name, pw_quantity(PW_DIM_LENGTH, value));
    default: return pw_fact_of("control.pressure-now", name, pw_quantity(PW_DIM_PRESSURE, value));
    }
}

static void add_reading(const pw_state_teller *t, int32_t signal, pw_facts *list)
{
    pw_tell(list, list->count == 0 ? "base.value" : "control.next-reading", pw_tell_keep(t, reading(t, signal)));
}

/* All of them in one statement. */
static void put_readings(const pw_state_teller *t, const pw_facts *list)
{
    if (list->count > 0 || list->failed) {
        pw_tell(t->out, "control.readings", pw_list(list, PW_JOIN_NOTHING));
    }
}

static bool is_at(const pw_state_teller *t, int32_t signal, pw_fact_at at)
{
    return t->facts != NULL && t->facts->pumps[t->number].signal_at[signal] == at;
}

/* Of a pump that no sentence runs by pressure: the first sensor behind it, else the first; on a site without one what
 * stands in the tanks that it fills. */
static void put_other_readings(const pw_state_teller *t)
{
    int32_t pressure = -1;
    for (int32_t i = t->settings->signal_count - 1; i >= 0; i--) {
        const bool better = pressure < 0 || is_at(t, i, PW_AT_DELIVERY) || !is_at(t, pressure, PW_AT_DELIVERY);
        pressure = t->settings->signals[i].kind == PW_SIGNAL_PRESSURE && better ? i : pressure;
    }
    pw_facts list;
    pw_facts_init(&list, t->out->arena);
    if (pressure >= 0) {
        add_reading(t, pressure, &list);
    }
    for (int32_t i = 0; pressure < 0 && i < t->settings->signal_count; i++) {
        const pw_signal_kind kind = t->settings->signals[i].kind;
        if ((kind == PW_SIGNAL_LEVEL || kind == PW_SIGNAL_PROBE) && is_at(t, i, PW_AT_TANK_FILLED)) {
            add_reading(t, i, &list);
        }
    }
    put_readings(t, &list);
}

/* Where it starts and stops by pressure, and what the pressure is. */
void pw_tell_readings(const pw_state_teller *t)
{
    static const uint8_t kinds[] = {PW_SENTENCE_START, PW_SENTENCE_STOP};
    static const char *const ids[] = {"control.cut-in", "control.cut-out"};
    bool told[PW_MAX_SIGNALS] = {false};
    pw_facts list;
    pw_facts_init(&list, t->out->arena);
    for (int32_t i = 0; i < 2; i++) {
        for (int32_t k = 0; k < t->table->row_count; k++) {
            const pw_row *row = &t->table->rows[k];
            const pw_term *term = &row->terms[0];
            bool fits = row->kind == kinds[i] && !row->turned && tells_pressure(t, row) &&
                        term->kind == PW_TERM_PRESSURE && term->above == (i == 1);
            if (!fits) {
                continue;
            }
            if (!told[term->signal]) {
                told[term->signal] = true;
                add_reading(t, term->signal, &list);
            }
            pw_tell(&list, ids[i], pw_quantity(PW_DIM_PRESSURE, term->threshold));
        }
    }
    if (list.count == 0) {
        put_other_readings(t);
    } else {
        put_readings(t, &list);
    }
}

/* "26 h 3 min 7 s": to the second. */
static pw_value to_the_second(const pw_state_teller *t, uint32_t span_s)
{
    return pw_tell_keep(t, pw_fact_of("control.to-the-second", pw_count(span_s / 3600), pw_count(span_s / 60 % 60),
                                      pw_count(span_s % 60)));
}

void pw_tell_counts(const pw_state_teller *t)
{
    uint32_t starts = 0, run_s = 0;
    pw_control_counts(t->control, t->number, t->now_ms, &starts, &run_s);
    const uint64_t over_ms = t->pump->counted_over_ms + (t->now_ms - t->pump->counted_at_ms);
    pw_tell(t->out, "control.counters", pw_count(starts), to_the_second(t, run_s),
            t->pump->counted_anew ? to_the_second(t, (uint32_t)(over_ms / 1000)) : pw_named(""));
}
