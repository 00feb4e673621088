/* What is measured and counted, in words: readings, cut-in and cut-out, counters. */
#include "control/teller.h"

/* Of one that stands by or is locked out those of the pump on duty are told. */
static bool tells_pressure(const pw_teller *t, const pw_row *row)
{
    return pw_tell_applies(t, row) || (row->role == 0 && !pw_tell_has_start(t));
}

/* "Pressure now 420 kPa"; the name of the sensor when there are several. */
static void put_reading(const pw_teller *t, int32_t signal, bool first)
{
    static const char *const words[][2] = {[PW_SIGNAL_PRESSURE] = {"Pressure", "pressure"},
                                           [PW_SIGNAL_LEVEL] = {"Level", "level"},
                                           [PW_SIGNAL_PROBE] = {"Probe", "probe"}};
    const pw_signal *seen = &t->settings->signals[signal];
    const bool only = pw_one_of_kind(t->settings, (uint8_t)seen->kind);
    const char *joint = seen->kind == PW_SIGNAL_PRESSURE ? " at " : seen->kind == PW_SIGNAL_LEVEL ? " of " : " ";
    pw_text_puts(t->text, first ? "" : "; ", words[seen->kind][first ? 0 : 1], only ? "" : joint,
                 only ? "" : seen->name, " now ", (const char *)NULL);
    if (seen->kind == PW_SIGNAL_PROBE) {
        pw_text_put(t->text, t->control->seen[signal] > 0.5 ? "wet" : "dry");
    } else {
        pw_quantity_put(t->text, t->units, seen->kind == PW_SIGNAL_LEVEL ? PW_DIM_LENGTH : PW_DIM_PRESSURE,
                        t->control->seen[signal]);
    }
}

static bool is_at(const pw_teller *t, int32_t signal, pw_fact_at at)
{
    return t->facts != NULL && t->facts->pumps[t->number].signal_at[signal] == at;
}

/* Of a pump that no sentence runs by pressure: the first sensor behind it, else the first; on a site without one what
 * stands in the tanks that it fills. */
static void put_other_readings(const pw_teller *t)
{
    int32_t pressure = -1;
    for (int32_t i = t->settings->signal_count - 1; i >= 0; i--) {
        const bool better = pressure < 0 || is_at(t, i, PW_AT_DELIVERY) || !is_at(t, pressure, PW_AT_DELIVERY);
        pressure = t->settings->signals[i].kind == PW_SIGNAL_PRESSURE && better ? i : pressure;
    }
    if (pressure >= 0) {
        put_reading(t, pressure, true);
        pw_text_put(t->text, ".\n");
        return;
    }
    bool first = true;
    for (int32_t i = 0; i < t->settings->signal_count; i++) {
        const pw_signal_kind kind = t->settings->signals[i].kind;
        if ((kind == PW_SIGNAL_LEVEL || kind == PW_SIGNAL_PROBE) && is_at(t, i, PW_AT_TANK_FILLED)) {
            put_reading(t, i, first);
            first = false;
        }
    }
    pw_text_put(t->text, first ? "" : ".\n");
}

/* Where it starts and stops by pressure, and what the pressure is. */
void pw_tell_readings(const pw_teller *t)
{
    static const uint8_t kinds[] = {PW_SENTENCE_START, PW_SENTENCE_STOP};
    static const char *const words[] = {"cut-in ", "cut-out "};
    bool told[PW_MAX_SIGNALS] = {false};
    int32_t last = -1;
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
                put_reading(t, term->signal, last < 0);
            }
            pw_text_puts(t->text, ", ", words[i], (const char *)NULL);
            pw_quantity_put(t->text, t->units, PW_DIM_PRESSURE, term->threshold);
            last = term->signal;
        }
    }
    if (last < 0) {
        put_other_readings(t);
    } else {
        pw_text_put(t->text, ".\n");
    }
}

/* "26 h 3 min 7 s": to the second. */
static void put_exact(const pw_teller *t, uint32_t span_s)
{
    pw_text_int(t->text, span_s / 3600);
    pw_text_put(t->text, " h ");
    pw_text_int(t->text, span_s / 60 % 60);
    pw_text_put(t->text, " min ");
    pw_text_int(t->text, span_s % 60);
    pw_text_put(t->text, " s");
}

void pw_tell_counts(const pw_teller *t)
{
    uint32_t starts = 0, run_s = 0;
    pw_control_counts(t->control, t->number, t->now_ms, &starts, &run_s);
    pw_text_put(t->text, "Its counters stand at ");
    pw_text_int(t->text, starts);
    pw_text_put(t->text, starts == 1 ? " start and " : " starts and ");
    put_exact(t, run_s);
    pw_text_put(t->text, " of running");
    if (t->pump->counted_anew) {
        const uint64_t over_ms = t->pump->counted_over_ms + (t->now_ms - t->pump->counted_at_ms);
        pw_text_put(t->text, ", since they were reset ");
        put_exact(t, (uint32_t)(over_ms / 1000));
        pw_text_put(t->text, " ago");
    }
    pw_text_put(t->text, ".\n");
}
