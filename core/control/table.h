/* Order: control in sentences, compiled to a table, driven by one step function.
 *
 * The order knows signals by name and never the site's model: the same table can drive a real output. The step
 * allocates nothing and takes bounded time and memory. Time is a 32-bit count of milliseconds that may wrap; timers
 * reach 30 days, comparisons are by difference. The step must be called when an input crosses a threshold of
 * the table, and at the latest after next_due_ms.
 */
#ifndef PW_CONTROL_TABLE_H
#define PW_CONTROL_TABLE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/fact.h"
#include "base/limits.h"
#include "base/status.h"
#include "base/text.h"
#include "base/units.h"
#include "control/facts.h"

/* What a sentence can speak of. Value in SI; for the yes/no kinds 0 or 1. */
typedef enum pw_signal_kind {
    PW_SIGNAL_PRESSURE, /* Pa gauge, as the sensor reads it */
    PW_SIGNAL_FLOW,     /* flow switch: 1 made ("flow"), 0 broken ("no flow") */
    PW_SIGNAL_LEVEL,    /* m */
    PW_SIGNAL_PROBE,    /* 1 wet, 0 dry */
    PW_SIGNAL_CONTACT,  /* 1 closed, 0 open */
    PW_SIGNAL_CURRENT,  /* A, of a pump's motor */
    PW_SIGNAL_WINDING,  /* degC, of a pump's motor */
    PW_SIGNAL_SUPPLY,   /* V, of the electrical supply */
    PW_SIGNAL_PHASES,   /* 1 all phases there, 0 one is missing */
    PW_SIGNAL_DROP      /* Pa, across a filter */
} pw_signal_kind;

typedef struct pw_signal {
    char name[PW_NAME_SIZE]; /* of the sensor; of the pump for current and winding */
    pw_signal_kind kind;
} pw_signal;

enum {
    PW_MAX_COUNTED = PW_MAX_SENTENCES, /* sentences that count starts */
    PW_MAX_RELAYS = 16
};
#define PW_WEEK_MS  604800000u
#define PW_NEVER_MS UINT32_MAX /* more than any next_due_ms */

/* What a condition is about: the list of forms.inc, the signal kinds first, in their order. */
typedef enum pw_term_kind {
#define PW_FORM(name) PW_TERM_##name,
#include "control/forms.inc"
#undef PW_FORM
    PW_TERM_COUNT
} pw_term_kind;

typedef struct pw_settings pw_settings; /* parsed sentences; printable */
typedef struct pw_table pw_table;       /* compiled; constant while it runs */
typedef struct pw_control pw_control;   /* state of one controller; plain data, copyable */

/* Read sentences (grammar: docs/settings.md). Every sentence is read, all problems are reported with path
 * base_path[i] and the column of the word. */
pw_status pw_settings_read(pw_arena *arena, const char *const *sentences, int32_t count, const pw_signal *signals,
                           int32_t signal_count, const char *const *pumps, int32_t pump_count, const char *base_path,
                           pw_settings **out, pw_problems *problems);
/* One sentence back in words, in the one canonical form; reading it again gives the same sentence. */
void pw_settings_put(const pw_settings *settings, int32_t sentence, pw_text *text);
/* The same as a fact, to be told in any language; as a value of another fact. */
pw_fact pw_settings_fact(pw_arena *arena, const pw_settings *settings, int32_t sentence);
pw_value pw_sentence_value(pw_arena *arena, const pw_settings *settings, int32_t sentence);
/* A warning as the lock out with the same condition: as it is typed, and as a fact. */
void pw_settings_put_lock(const pw_settings *settings, int32_t warning, pw_text *text);
pw_fact pw_settings_lock_fact(pw_arena *arena, const pw_settings *settings, int32_t warning);
int32_t pw_settings_count(const pw_settings *settings);

/* What a sentence does, for proofs and documents. */
typedef enum pw_sentence_kind {
#define PW_ACTION(name) PW_SENTENCE_##name,
#include "control/actions.inc"
#undef PW_ACTION
    PW_SENTENCE_COUNT
} pw_sentence_kind;
const char *pw_control_kind_name(pw_sentence_kind kind); /* "lock out": fixed, whatever the language */
pw_sentence_kind pw_settings_kind(const pw_settings *settings, int32_t sentence);
/* Is a pressure that this kind of sentence waits for one that it acts at? A start acts below it, a stop above it; of
 * other kinds either is. */
static inline bool pw_sentence_acts(pw_sentence_kind kind, bool above)
{
    return kind == PW_SENTENCE_START ? !above : kind != PW_SENTENCE_STOP || above;
}
/* true for the watches: lock out and warn sentences */
bool pw_settings_is_watch(const pw_settings *settings, int32_t sentence);

/* Relays that warnings close ("warn by relay horn when ..."), numbered in the order in which sentences name them. */
int32_t pw_settings_relay_count(const pw_settings *settings);
const char *pw_settings_relay(const pw_settings *settings, int32_t relay);
/* The one that a sentence closes; -1 none. */
int32_t pw_settings_closes(const pw_settings *settings, int32_t sentence);

/* Shortest time from one start of this pump to its next: its least run ("run at least", and what every stop asks of its
 * running) and its rest. 0: the settings hold it back by nothing. */
double pw_settings_least_cycle_s(const pw_settings *settings, int32_t pump);
/* Pumps that take turns with this one at every stop, itself counted: each gets that part of the starts. */
int32_t pw_settings_turns(const pw_settings *settings, int32_t pump);
/* The pressure conditions of one sentence, from 0. false: there is no such one; *signal, *pa and *above are untouched.
 */
bool pw_settings_pressure(const pw_settings *settings, int32_t sentence, int32_t number, int32_t *signal, double *pa,
                          bool *above);
/* What a watch limits: "starts reach N in TIME" (starts, window_s) and "running for TIME" (running_s); 0 for what it
 * does not speak of. false: it is no watch, or it limits neither. A limit in several windows in a row, and run time
 * within a window, are not told here. */
bool pw_settings_limit(const pw_settings *settings, int32_t sentence, int32_t *starts, double *window_s,
                       double *running_s);

/* Has it several conditions that must hold together ("and")? */
bool pw_settings_needs_all(const pw_settings *settings, int32_t sentence);

/* The strictest "lock out when starts reach N in TIME" with a TIME of 10 min or more: starts an hour; PW_INF when there
 * is none, then *starts and *window_s are untouched. */
double pw_settings_starts_limit_h(const pw_settings *settings, int32_t *starts, double *window_s);

/* The conditions of one sentence, from 0. false: there is no such one; *out is untouched. */
typedef struct pw_look {
    pw_term_kind kind;
    bool above;       /* or flow, wet, closed, complete, between */
    bool at_rest;     /* the sentence speaks of a pump that is stopped */
    int32_t signal;   /* -1: none, or the pump's own (current, winding) */
    double threshold; /* SI */
    double time_s;    /* of starts and running: their time, or that of the sentence; 0 in a window of the sentence */
} pw_look;
bool pw_settings_look(const pw_settings *settings, int32_t sentence, int32_t number, pw_look *out);

/* A number of a sentence, as its form reads it. */
typedef struct pw_sentence_number {
    int32_t sentence;
    char name[PW_NAME_SIZE]; /* "window"; once more in the same sentence: "window 2". Behind the sentence: its path */
    const char *what;        /* what it is: id of the words */
    pw_dimension dimension;  /* PW_DIM_NONE: a count; PW_DIM_TIME of a time of day, too */
    bool clock;              /* s after midnight */
    bool whole;
    bool cut_in, cut_out; /* the first pressure below which a pump starts, above which it stops */
    double si, low, high;
    int32_t at, length; /* in the text that was read, with its unit, in bytes */
} pw_sentence_number;

/* The numbers of all sentences, from 0, in the order of the texts. */
int32_t pw_settings_number_count(const pw_settings *settings);
void pw_settings_number(const pw_settings *settings, int32_t number, pw_sentence_number *out);

/* The settings with one number changed: the same as reading all texts with that number in its place, and checked like
 * it, but only that sentence is read. si is held within the number's bounds, times to the millisecond, counts and times
 * of day to whole ones. The changed settings live in the arena and share the rest with the first; where numbers stand
 * in the text stays as it was. On failure *out is NULL and problems tell why, with path base_path[i]. */
pw_status pw_settings_with(pw_arena *arena, const pw_settings *settings, int32_t number, double si,
                           const char *base_path, pw_settings **out, pw_problems *problems);

/* ---- what can be typed (examples.c) ---- */

/* One way to type a sentence. The places {condition}, {time} and {pumps} stand for what the site has. */
typedef struct pw_sentence_shape {
    pw_sentence_kind kind;
    const char *words;     /* "ignore {condition} for {time} after start" */
    uint32_t usual_ms;     /* of {time}; 0: " for {time}" may be left out, or there is none */
    bool of_signals;       /* {condition} is about a signal; not: about anything */
    bool of_several_pumps; /* makes sense for two pumps and more only */
} pw_sentence_shape;
/* Shape number index, from 0, in the order of actions.inc. false: there is none. */
bool pw_settings_shape(int32_t index, pw_sentence_shape *out);

/* Conditions as they are typed for these signals, in the order of forms.inc, with usual numbers in these units. Each
 * reads back. *out lies in the arena. PW_MEMORY when that is used up. */
typedef struct pw_condition_example {
    pw_term_kind kind;
    const char *about; /* the first words of its form: "pressure" */
    const char *words; /* "pressure at shed below 250 kPa" */
    bool of_signal;
} pw_condition_example;
pw_status pw_settings_examples(pw_arena *arena, const pw_signal *signals, int32_t signal_count, const pw_units *units,
                               pw_condition_example **out, int32_t *count);
/* A whole sentence of this shape, with the first condition of these that suits it. pumps: their names, for {pumps}. */
void pw_settings_example(const pw_sentence_shape *shape, const pw_condition_example *conditions, int32_t count,
                         const char *const *pumps, int32_t pump_count, pw_text *text);

/* Longest "rest TIME after stop"; 0 when there is none. */
double pw_settings_rest_s(const pw_settings *settings);

/* The order without one or more watches: keep[i] false leaves sentence i out (for "what would happen without"). NULL
 * keeps all. */
pw_status pw_table_build(pw_arena *arena, const pw_settings *settings, const bool *keep, pw_table **out,
                         pw_problems *problems);

/* Thresholds whose crossing needs a step: the simulator locates them. Each is listed once. The yes/no kinds stand at
 * 0.5: their condition holds above it ("flow", "wet", "closed") or below it. */
typedef struct pw_crossing {
    int32_t signal;
    double threshold; /* SI */
    bool above;       /* the condition holds strictly above (true) or strictly below (false) */
} pw_crossing;
int32_t pw_table_crossings(const pw_table *table, pw_crossing *out, int32_t capacity); /* number there are */

typedef enum pw_control_event_kind {
    PW_CONTROL_STARTED,
    PW_CONTROL_STOPPED, /* also by a lock out: then right behind PW_CONTROL_LOCKED, with the same sentence */
    PW_CONTROL_LOCKED,  /* the start that reaches a limit of starts is told as STARTED, LOCKED, STOPPED in one step; run
                           stays false */
    PW_CONTROL_WARNED,  /* told once when the condition begins to hold for its time */
    PW_CONTROL_HELD,    /* a start waits, as `held_by` says: told once in each rest */
    PW_CONTROL_RELEASED, /* by a person, sentence -1; told by the first step after it */
    PW_CONTROL_RETRIED   /* released by the order itself: the retry sentence */
} pw_control_event_kind;

typedef struct pw_control_event {
    pw_control_event_kind kind;
    int16_t pump, sentence;   /* sentence that caused it; -1 a person */
    pw_sentence_kind held_by; /* of PW_CONTROL_HELD: what it waits for; of several what lasts longest */
} pw_control_event;

/* Id of the fact that a start was held back by a sentence of this kind; NULL: none of this kind holds one back. */
const char *pw_control_held_id(pw_sentence_kind kind);

enum { PW_MAX_CONTROL_EVENTS = 32 };

typedef struct pw_outputs {
    bool run[PW_MAX_PUMPS];
    bool locked[PW_MAX_PUMPS];
    int16_t locked_by[PW_MAX_PUMPS]; /* sentence, -1 none */
    uint64_t warned;                 /* bit per sentence that warns now */
    uint32_t relays;                 /* bit per relay that a warning closes now */
    uint32_t next_due_ms; /* step again after this long at the latest: 1 ms to 17 days, so that the clock may wrap */
    int32_t event_count;
    pw_control_event events[PW_MAX_CONTROL_EVENTS];
} pw_outputs;

size_t pw_control_size(void);
/* Begin stopped, no rest owed, nothing locked, all timers and counters at zero; the clock stands at Monday 00:00. */
void pw_control_begin(const pw_table *table, pw_control *control, uint32_t now_ms);
/* One step. inputs: signal_count values, all finite. Never runs a pump while it is locked out. */
void pw_control_step(const pw_table *table, pw_control *control, const double *inputs, uint32_t now_ms,
                     pw_outputs *out);
/* Does the condition of this sentence hold for this pump, as of the last step? Whatever its time. */
bool pw_control_holds(const pw_control *control, int32_t pump, int32_t sentence);
/* A person releases the lock out of one pump (-1 all): its count of starts and the timers of its lock out sentences
 * begin anew. Step at once afterwards. A pump that is not locked is left alone. */
void pw_control_release(const pw_table *table, pw_control *control, int32_t pump, uint32_t now_ms);
/* Set the clock of the week: milliseconds since Monday 00:00 (less than PW_WEEK_MS) at now_ms. Step at once afterwards.
 */
void pw_control_clock(pw_control *control, uint32_t now_ms, uint32_t week_ms);
/* The supply goes at now_ms: what ran until then is counted. Nothing steps until pw_control_power. */
void pw_control_lost(const pw_table *table, pw_control *control, uint32_t now_ms);
/* The power is back after a cut: every pump is stopped, every timer at zero, the clock and the counters have gone on.
 * Lock outs, the retries used up and the starts counted are forgotten unless the order keeps them. now_ms counts on
 * over the cut when its length is known, else from where it stood. Step at once afterwards. */
void pw_control_power(const pw_table *table, pw_control *control, uint32_t now_ms);
/* Starts of a pump and the seconds that it has run, since begin or the last reset; full seconds. Any time. A start that
 * a lock out ended in its own step is none here, though a limit of starts counts it: the motor never ran. */
void pw_control_counts(const pw_control *control, int32_t pump, uint32_t now_ms, uint32_t *starts, uint32_t *run_s);
void pw_control_counts_reset(pw_control *control, int32_t pump, uint32_t now_ms);
/* Place of a pump among those that share the work: 0 duty, 1 assist, 2 second assist ...; -1: it does not share, or it
 * is locked out. */
int32_t pw_control_role(const pw_table *table, const pw_control *control, int32_t pump);
/* Starts of this pump within the last window_ms, as the table counts them. */
int32_t pw_control_starts(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms,
                          uint32_t window_ms);
/* Is it about this pump, too: no pump is named, or this one is? */
bool pw_settings_is_for(const pw_settings *settings, int32_t sentence, int32_t pump);
/* Causes and effects, for documents (effects.c). Does the sentence act by a condition; the condition, with its time. */
bool pw_settings_has_condition(const pw_settings *settings, int32_t sentence);
pw_fact pw_settings_condition(pw_arena *arena, const pw_settings *settings, int32_t sentence);
/* The sentence that releases a lock out by this one by itself; -1: a person does. */
int32_t pw_settings_released_by(const pw_settings *settings, int32_t sentence, int32_t pump);
/* Is this number the limit of a signal? Which one (-1: the pump's own) and of what kind; false: untouched. */
bool pw_settings_number_signal(const pw_settings *settings, int32_t number, int32_t *signal, pw_signal_kind *kind);
/* What a lock out by this sentence tells of a pump: what went wrong, and what to check first, second and third, as it
 * suits the site; one fact for each statement. facts NULL: none are known. held: bit for each condition of the sentence
 * that held, the first one lowest; others are not spoken of; 0: which held is not known, so all are. */
void pw_settings_advise(const pw_settings *settings, const pw_site_facts *facts, int32_t sentence, int32_t pump,
                        uint8_t held, pw_facts *out);
/* Present state: what the pump does, why, what it waits for and how long; without power what outlasts the cut; one fact
 * for each statement. facts: of the site, for what to check after a lock out and for tanks that a pump fills; NULL:
 * none are known. */
void pw_control_tell(const pw_settings *settings, const pw_site_facts *facts, const pw_table *table,
                     const pw_control *control, int32_t pump, uint32_t now_ms, pw_facts *out);

#endif
