/* Forms of action: what a sentence does. Each is a row beside its code; nothing else asks which there are.
 *
 * Two sorts: those that act by a condition become rows of the table, which the step looks at in their order; the others
 * set something for a pump (pw_set) or for all of them, and may keep a start waiting.
 */
#ifndef PW_CONTROL_ACTION_H
#define PW_CONTROL_ACTION_H

#include "control/parts.h"

typedef struct pw_action {
    const char *name;      /* in the answers of the door: "lock out" */
    const char *begins[3]; /* first words, in this order; of several `begun` says which; NULL behind the last */
    /* How a whole sentence is typed, one for each of them: "ignore {condition} for {time} after start". Places:
     * {condition}; {time}, which " for {time}" is left out with when usual_ms is 0; {pumps}, all of a site. */
    const char *shapes[3];
    uint32_t usual_ms; /* the time of an example, ms; 0: none is needed */
    bool of_signals;   /* its condition is about a signal, not about a pump or the clock */
    bool shown_above;  /* of the examples of a condition the second one suits it: "stop when pressure above" */

    /* Behind the first words: read what belongs to it, up to the end of the sentence. false: a problem was reported. */
    bool (*read)(pw_reader *reader, pw_sentence *sentence, int32_t begun);
    /* The one canonical form, without what stands before it for which pump it is. */
    void (*put)(const pw_settings *settings, const pw_sentence *sentence, pw_text *text);
    /* The same as a fact. */
    pw_fact (*fact)(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence);
    const pw_number_form *numbers; /* that it reads, by their place in pw_sentence; a list's stand first; NULL: none */
    const char *id;                /* of that fact */
    const char *after;             /* what follows the time of those that have nothing else: "apart"; NULL: nothing */

    /* in the table */
    bool row;        /* acts by a condition, so it becomes rows of the table */
    bool turned;     /* acts when its condition does not hold, as a stop: "run only while" */
    bool sets_whole; /* is about several pumps: no pump and no role stands before it */
    /* What it sets beyond its time (pw_set), for each pump that it is for; NULL: nothing. */
    void (*build)(const pw_sentence *sentence, pw_table *table, pw_pump_table *pump);

    /* in checks */
    bool one_time;     /* a pump needs one such sentence; of several the longest time counts */
    bool within_run;   /* its time should be shorter than the longest run that is allowed */
    uint32_t meant_in; /* bit per kind: it serves sentences of these kinds, by their very condition if it has one */
    const char *meant, *meant_hint; /* ids of the warning when there are none */

    /* How long this keeps a stopped pump from starting, ms; 0 not at all. NULL: never. No allocation, bounded. */
    uint32_t (*start_left)(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms);
    const char *held, *waits; /* ids of facts: a start was held back; what it still waits for */
} pw_action;

#define PW_ACTION(name) extern const pw_action pw_action_##name;
#include "control/actions.inc"
#undef PW_ACTION
const pw_action *pw_action_of(uint8_t kind);

/* Reading: the end of the sentence, else one of these words is asked for (ends with NULL); one phrase. */
/* before: the words that may stand here besides the end, "" for none. */
bool pw_reader_finish(pw_reader *reader, const char *before, const char *const *words);
bool pw_reader_need(pw_reader *reader, const char *phrase);
/* "," where one may stand. */
bool pw_reader_comma(pw_reader *reader);
/* The longest name of a pump that stands here; -1 none. */
int32_t pw_reader_pump(pw_reader *reader);

#endif
