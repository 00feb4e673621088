/* What the files that tell a state share (words*.c), and nobody else: whom they tell of, and small values. */
#ifndef PW_CONTROL_TELLER_H
#define PW_CONTROL_TELLER_H

#include "control/parts.h"

typedef struct pw_state_teller {
    const pw_settings *settings;
    const pw_site_facts *facts;
    const pw_table *whole;
    const pw_control *control;
    const pw_pump_table *table;
    const pw_pump_control *pump;
    int32_t number;
    uint32_t now_ms;
    pw_facts *out; /* one statement each */
} pw_state_teller;

/* words.c */
pw_value pw_tell_keep(const pw_state_teller *t, pw_fact fact);
pw_value pw_tell_span(uint32_t span_ms);
pw_value pw_tell_age_ms(const pw_state_teller *t, uint32_t age_ms); /* "more than" from PW_LONG_AGO_MS on */
pw_value pw_tell_age(const pw_state_teller *t, pw_moment since);
pw_value pw_tell_sentence(const pw_state_teller *t, int16_t sentence); /* -1: none */
bool pw_tell_applies(const pw_state_teller *t, const pw_row *row);
bool pw_tell_has_start(const pw_state_teller *t); /* false: its role has no start sentence */

/* What was before (words_past.c). */
void pw_tell_lost(const pw_state_teller *t);    /* all that is told while the supply is away */
void pw_tell_supply(const pw_state_teller *t);  /* the last power cut, while it matters */
void pw_tell_release(const pw_state_teller *t); /* of a stopped pump that was locked out and has not started since */

/* What is measured and counted (words_seen.c). */
void pw_tell_readings(const pw_state_teller *t);
void pw_tell_counts(const pw_state_teller *t);

#endif
