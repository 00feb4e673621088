/* The insides of an order: shared by the files of this folder and its tests, by nobody else.
 *
 * A condition is a row of terms; "and" binds tighter than "or", so the row is read as groups: a term that has or_before
 * set begins a new group, the condition holds when all terms of one group hold.
 */
#ifndef PW_CONTROL_PARTS_H
#define PW_CONTROL_PARTS_H

#include "control/table.h"

enum {
    PW_MAX_TERMS = 8,           /* terms of one condition */
    PW_MAX_WAITS = 8,           /* times of one retry sentence */
    PW_MAX_RETRIES = 1000,      /* largest "up to N times" */
    PW_MAX_IN_A_ROW = 20,       /* windows of a limit of starts */
    PW_MAX_SHARES = 8,          /* sentences for one pump with "for TIME in TIME" */
    PW_SHARE_PARTS = 64,        /* parts in which such a window is remembered */
    PW_MAX_SENTENCE_SIZE = 1024 /* bytes of one sentence */
};

/* Times of sentences. The range stands here and nowhere else; own choice, wider than any one device's. */
#define PW_SHORTEST_MS 1u
#define PW_LONGEST_MS  2592000000u /* 30 days */
#define PW_LONG_AGO_MS 2600000000u /* an age from here up is just "long ago": over every time of a sentence */
#define PW_STEP_MS     1468800000u /* 17 days: a step is due at the latest then. PW_STEP_MS + PW_LONG_AGO_MS < 2^32 */

_Static_assert((uint64_t)PW_STEP_MS + PW_LONG_AGO_MS < 4294967296u, "ages must stay clear of the clock's wrap");
_Static_assert(PW_LONG_AGO_MS > PW_LONGEST_MS, "every time of a sentence must be tellable from long ago");
_Static_assert(PW_MAX_SENTENCES <= 64, "sentences are bits of a uint64_t");
_Static_assert(PW_MAX_TERMS <= 8, "terms are bits of a uint8_t");

/* One term. All bytes are set, so that two terms can be compared field by field. */
typedef struct pw_term {
    uint8_t kind;
    bool
        above; /* above, flow, wet, closed, complete, between; false: below, no flow, dry, open, missing, not between */
    bool or_before;
    bool needs_run;   /* table: tells of a running pump only, so it does not hold while the pump is stopped */
    int16_t signal;   /* -1: none, or the signal of the pump the sentence is applied to (current, winding) */
    int16_t count;    /* of starts */
    int8_t of_pump;   /* running, stopped, locked out: which; -1 the pump the sentence is applied to */
    int16_t in_a_row; /* windows of starts, 1 and up */
    uint8_t days;     /* of the clock: bit per day, Monday 1 */
    uint32_t time_ms;
    uint32_t from_s, to_s; /* of the clock, in the day; to before from: past midnight */
    uint32_t ignore_ms;    /* table: does not hold until this long after a start */
    double threshold;      /* SI */
} pw_term;

typedef struct pw_sentence {
    uint8_t kind;         /* pw_sentence_kind */
    int8_t pump;          /* -1: every pump, or those that share the work when role is 0 or more */
    int8_t role;          /* 0 duty, 1 assist ...; -1: none named */
    uint8_t pumps;        /* bit per pump that it is for */
    bool new_call;        /* of rest: a start that is wanted already does not count */
    int8_t relay;         /* of warn; -1 none */
    uint8_t member_count; /* of share */
    int8_t members[PW_MAX_PUMPS];
    bool every_stop;    /* of share: changes over at every stop, or after time_ms when that is not 0 */
    uint8_t term_count; /* of ignore and retry: one term, the condition meant; of retry also none */
    uint8_t wait_count;
    int16_t times;      /* of retry; 0: without limit ("release by itself") */
    uint32_t time_ms;   /* "for TIME", or the time of the sentence */
    uint32_t within_ms; /* "for TIME in TIME"; 0: without a break */
    uint32_t waits_ms[PW_MAX_WAITS];
    pw_term terms[PW_MAX_TERMS];
} pw_sentence;

/* How a number lies in a sentence or in one of its terms. */
typedef enum pw_number_type {
    PW_NUMBER_TIME,     /* uint32_t, ms */
    PW_NUMBER_CLOCK,    /* uint32_t, s after midnight */
    PW_NUMBER_COUNT,    /* int16_t */
    PW_NUMBER_THRESHOLD /* double, SI, of the form's dimension */
} pw_number_type;

/* A number that a form reads: a row of these belongs to each form (numbers.c for the forms of sentences). */
typedef struct pw_number_form {
    const char *name; /* its path behind the sentence's: settings[2].window; NULL ends the rows */
    const char *what; /* what it is: id of the words */
    uint16_t offset;  /* in pw_term; of the forms of sentences in pw_sentence */
    uint8_t type;     /* pw_number_type */
} pw_number_form;

/* A number as it was read. */
typedef struct pw_number_place {
    int16_t sentence;
    uint16_t offset;    /* in pw_sentence */
    int32_t at, length; /* in the sentence's text, with its unit, in bytes */
    double low, high;   /* both allowed, SI */
} pw_number_place;

/* 8 conditions of at most 3 numbers, or 8 times of a retry; and those of the sentence */
enum { PW_MAX_NUMBERS = 3 * PW_MAX_TERMS + 4 };

struct pw_settings {
    int32_t count, signal_count, pump_count;
    int32_t number_count;
    pw_number_place *numbers; /* in the order of the texts */
    pw_sentence *sentences;
    pw_signal *signals;
    char (*pumps)[PW_NAME_SIZE];
    int32_t relay_count;
    char relays[PW_MAX_RELAYS][PW_NAME_SIZE];
};

/* One sentence applied to one pump. */
typedef struct pw_row {
    int16_t sentence;
    uint8_t kind, term_count;
    int8_t role;  /* of the pump it is looked at for; -1 any */
    bool turned;  /* holds when its condition does not: "run only while" */
    int8_t share; /* which of the pump's shares; -1: the condition must hold without a break */
    int8_t relay;
    bool of_pump; /* speaks of this pump itself, so another pump's same row is another matter */
    uint32_t time_ms;
    uint32_t part_ms, parts; /* of a share: its window is this many parts, and the part that goes on */
    const pw_term *terms;    /* resolved: own copy */
} pw_row;

typedef struct pw_retry {
    int16_t sentence; /* -1: none */
    int16_t times;    /* 0: without limit */
    uint8_t wait_count;
    uint32_t waits_ms[PW_MAX_WAITS];
} pw_retry;

/* What the sentences of one kind set for a pump: the longest time, and the count of the sentence that has it. */
typedef struct pw_set {
    bool there;
    int16_t times;
    uint32_t ms;
} pw_set;

typedef struct pw_pump_table {
    int32_t row_count;
    pw_row *rows; /* START, STOP, LOCK, WARN, HOLD_ON in the order of the sentences */
    pw_set set[PW_SENTENCE_COUNT];
    uint32_t new_call_ms; /* what is wanted in this time after a stop must be wanted anew */
    int32_t share_count;
    int16_t retry_count;
    pw_retry retries[PW_MAX_SENTENCES];
    int16_t retry_of[PW_MAX_SENTENCES]; /* lock sentence to retry; -1 none */
} pw_pump_table;

struct pw_table {
    int32_t signal_count, pump_count, crossing_count;
    bool coupled;         /* a pump's state bears on other pumps */
    uint8_t member_count; /* of the pumps that share the work, in their first sequence */
    int8_t members[PW_MAX_PUMPS];
    bool every_stop;
    uint32_t change_ms; /* change over when this old; 0 never */
    pw_pump_table *pumps;
    pw_crossing *crossings;
};

/* A moment that may lie too far back for the clock. */
typedef struct pw_moment {
    uint32_t at_ms;
    bool long_ago;
} pw_moment;

typedef enum pw_over_cut { PW_CUT_NO_LOCK, PW_CUT_LOCK_KEPT, PW_CUT_LOCK_FORGOTTEN } pw_over_cut;
typedef enum pw_unlocked { PW_UNLOCKED_NOT, PW_UNLOCKED_BY_PERSON, PW_UNLOCKED_BY_SETTINGS } pw_unlocked;

typedef enum pw_pump_state { PW_PUMP_STOPPED, PW_PUMP_RUNNING, PW_PUMP_LOCKED } pw_pump_state;

/* How long a condition held in each part of its window: newest first. Own derivation; docs/settings.md, "in". */
typedef struct pw_share {
    uint32_t at_ms;      /* known up to here */
    uint32_t part_at_ms; /* when the part that goes on began */
    uint32_t going_ms;   /* held in it */
    uint32_t sum_ms;     /* of all parts that are over */
    int32_t newest;
    uint32_t held_ms[PW_SHARE_PARTS];
} pw_share;

typedef struct pw_pump_control {
    uint8_t state;
    bool has_stopped; /* a rest is owed only after a stop */
    bool held_told, released, stop_wanted;
    bool cut;             /* its last stop was the loss of the supply; `stop` is the moment of the return (for words) */
    bool waits_since_cut; /* it has not started since the supply came back (for words) */
    uint8_t over_cut;     /* pw_over_cut: what the last power cut did to its lock out (for words) */
    uint32_t cut_ms;      /* of that cut, up to PW_LONG_AGO_MS; 0 not known */
    int16_t started_by, stopped_by, locked_by;
    uint8_t locked_terms; /* bit per term of that lock out that held then, 0 not known (for words) */
    uint8_t unlocked;     /* pw_unlocked: who released its last lock out, until it starts (for words) */
    int16_t retries;      /* used up since the last good run or a person's release */
    int16_t retry;        /* index of the retry that waits, -1 none */
    int16_t in_the_way;   /* stop sentence that keeps it from starting, as of the last step; -1 none (for words) */
    pw_moment start, stop, lock, unlock;
    uint32_t wish_ms;     /* since when stop_wanted; never older than run on and run at least, so it cannot wrap */
    uint64_t holds, told; /* bit per sentence: the condition holds now; the warning was told */
    uint64_t due;         /* the condition has held for its time */
    uint64_t stale;       /* start sentences that held in a rest after which they must begin anew */
    pw_share shares[PW_MAX_SHARES];
    uint32_t counted_at_ms, counted_starts;   /* counters, for people */
    uint64_t counted_run_ms, counted_over_ms; /* over_ms: up to counted_at_ms, running or not */
    bool counted_anew;                        /* they were reset */
    uint32_t since_ms[PW_MAX_SENTENCES];
    int32_t newest, start_count; /* ring of the last starts */
    uint32_t starts_ms[PW_MAX_STARTS];
} pw_pump_control;

struct pw_control {
    pw_pump_control pumps[PW_MAX_PUMPS];
    uint32_t clock_at_ms, week_ms; /* the clock of the week stood at week_ms then */
    pw_moment power, change;       /* the power came on; the work changed hands */
    bool was_cut;                  /* it came back after a cut; not: the controller began */
    bool lost;                     /* the supply is away, since lost_ms */
    uint32_t lost_ms, cut_ms;      /* how long it was away the last time; 0 not known or never, up to PW_LONG_AGO_MS */
    int8_t queue[PW_MAX_PUMPS];    /* of those that share the work: duty first */
    bool change_wanted;
    double seen[PW_MAX_SIGNALS]; /* inputs of the last step, for words */
};

/* One form of a condition: a row of these stands beside the code of each (forms.inc has the list). */
typedef struct pw_term_form pw_term_form;
typedef struct pw_advised pw_advised;
typedef struct pw_settings_advice pw_settings_advice;
typedef struct pw_form_moment pw_form_moment;
typedef struct pw_reader pw_reader;

/* What starts a pump, of several the most telling (for advice). */
typedef enum pw_started_by { PW_BY_OTHER, PW_BY_CONTACT, PW_BY_PRESSURE, PW_BY_LEVEL } pw_started_by;

struct pw_term_form {
    const char *words;     /* that it begins with, "no flow" */
    const char *words_not; /* that it begins with when it is turned round; NULL: what follows tells, if anything */
    const char *noun;      /* id of what must be there: a pressure sensor */

    /* of signals */
    bool signal;             /* looks at a signal of its kind; the simulation stops where its threshold is crossed */
    bool yes_no;             /* the signal is 1 or 0; else it is compared with a threshold */
    bool bare;               /* the name stands without "at" or "of", and always */
    const char *before_name; /* " at " */
    bool own;                /* every pump has its own, as its current; else of a sensor */
    const char *yes, *no;    /* behind the name: "wet", "dry" */
    bool above_only;
    pw_dimension dimension;
    double low, high;      /* range of the threshold, SI; our own, wider than any one device's */
    const char *range;     /* id: the range in words */
    double least_apart;    /* of a start and a stop by it, SI */
    bool starts_and_stops; /* a start and a stop by it belong together */
    bool tells_of_running; /* a pump at rest has none of it */

    /* of pumps */
    bool of_pump; /* may stand behind the name of a pump and "is" */
    bool side;    /* not the cause when the sentence names another one */

    uint8_t started_by;            /* pw_started_by */
    const pw_number_form *numbers; /* that it reads; NULL: none */

    /* Usual numbers for examples, own choice; none: yes and no of a signal, else the words alone. */
    pw_term usual[2];
    int32_t usual_count;

    uint8_t opposite; /* pw_term_kind that never holds at the same moment; its own kind: none but itself turned round */

    /* Behind the words: read what belongs to it. at: where its words began. */
    bool (*read)(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at);
    /* The one canonical form, with its words. */
    void (*put)(const pw_settings *settings, const pw_term *term, pw_text *text);
    /* The same as a fact, with the ids of its two directions. */
    pw_fact (*fact)(pw_arena *arena, const pw_settings *settings, const pw_term *term);
    const char *told, *told_not;
    /* Step: does it hold; when does time alone change it (NULL: never)? No allocation, bounded. */
    bool (*holds)(const pw_form_moment *at, const pw_term *term);
    void (*due)(const pw_form_moment *at, const pw_term *term, uint32_t *due_ms);
    /* What a lock out by it tells, and what to check. */
    void (*advise)(const pw_advised *a, pw_settings_advice *advice);
};

#define PW_FORM(name) extern const pw_term_form pw_form_##name;
#include "control/forms.inc"
#undef PW_FORM
const pw_term_form *pw_form_of(uint8_t kind);
/* Does a term of a signal hold at this reading of it? */
bool pw_reading_holds(const pw_term *term, double value);

/* What the rows advise (advice.c, advice_water.c, advice_power.c). */
void pw_advice_pressure(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_flow(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_level(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_contact(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_current(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_winding(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_supply(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_drop(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_phases(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_starts(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_running(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_stopped(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_locked(const pw_advised *a, pw_settings_advice *advice);
void pw_advice_clock(const pw_advised *a, pw_settings_advice *advice);

/* Reading (read.c: sentences, condition.c: conditions, scan.c: words, names and quantities). */
struct pw_reader {
    const pw_settings *settings; /* signals and pumps */
    pw_settings *relays;         /* the same order: relays are added while reading */
    const char *text;
    size_t at, length;
    const char *path; /* base_path[i] */
    pw_problems *problems;
    pw_status status;            /* PW_OK until something was reported */
    const pw_sentence *sentence; /* that is read: where its numbers lie */
    pw_number_place *numbers;    /* PW_MAX_NUMBERS; NULL: they are not wanted */
    int32_t number_count;
};

void pw_reader_skip(pw_reader *reader);
/* Take the words of a phrase ("lock out when") when they stand here, in any case and spacing. */
bool pw_reader_take(pw_reader *reader, const char *phrase);
bool pw_reader_end(pw_reader *reader);
/* Copy the word that stands here, "" at the end of the sentence. */
void pw_reader_word(const pw_reader *reader, size_t at, char *out, int32_t out_size);
/* Report what stands at `at` (NULL: the word there) and stop reading this sentence. Returns false. */
bool pw_reader_fail(pw_reader *reader, pw_status status, size_t at, const char *found, pw_fact expected, pw_fact hint);
/* Report that the word here is none of the words (list ends with NULL), with the near match. Returns false. */
bool pw_reader_fail_words(pw_reader *reader, pw_fact expected, const char *const *words);
/* One of these words should stand here: "below or above". The list ends with NULL. */
bool pw_reader_fail_one_of(pw_reader *reader, const char *const *words);
/* That as a fact, whose words stand in the buffer. */
pw_fact pw_one_of_fact(const char *const *words, char list[PW_WORDS_SIZE]);
/* The name here is none of these. id: the message, with the names but the last, the last, and what they name. */
bool pw_reader_fail_name(pw_reader *reader, const char *const *names, int32_t count, const char *id, const char *noun);
void pw_append(char *out, size_t out_size, const char *words);
/* Words to choose from: all but the last with commas between them, in a buffer; the last. */
const char *pw_list_words(const char *const *names, int32_t count, char *out, size_t out_size);
/* Bytes of `name` as it stands at `at`, 0 when it does not. Case and spacing do not matter. */
size_t pw_reader_name(const pw_reader *reader, size_t at, const char *name);
/* Numbers are read to where they lie in the sentence, and their place in the text is kept. */
bool pw_reader_time(pw_reader *reader, uint32_t *out_ms);
bool pw_reader_quantity(pw_reader *reader, const pw_term_form *form, double *out); /* within the form's range */
bool pw_reader_whole(pw_reader *reader, int32_t low, int32_t high, const char *range, int16_t *out);
/* A number was read to *out: `length` bytes of the text at `at`. For what reads numbers of its own (clock.c). */
void pw_reader_number(pw_reader *reader, const void *out, size_t at, size_t length, double low, double high);
/* [at NAME] or [of NAME], for bare forms NAME: sets the signal. then: words of which one must follow; at: the word that
 * asks for the signal. */
bool pw_reader_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, const char *const *then,
                      size_t at);
/* A name left out: right when there is just one signal of the kind. */
bool pw_reader_only_signal(pw_reader *reader, const pw_sentence *sentence, pw_term *term, size_t at);
bool pw_reader_condition(pw_reader *reader, pw_sentence *sentence);
bool pw_reader_term(pw_reader *reader, pw_sentence *sentence, pw_term *term);
bool pw_reader_sentence(pw_reader *reader, pw_sentence *sentence, bool *kind_known);

/* What contradicts itself over several sentences (check.c). all_known: each sentence was
 * understood at least in its first words. all_read: and in all others. */
void pw_settings_check(const pw_settings *settings, bool all_known, const char *base_path, bool all_read,
                       pw_arena *scratch, pw_problems *problems, pw_status *status);
/* What works, but not as its words promise (check_calls.c): warnings alone. Only for settings that were read whole. */
void pw_settings_check_calls(const pw_settings *settings, const char *base_path, pw_arena *scratch,
                             pw_problems *problems);
void pw_settings_path(const char *base_path, int32_t sentence, char *out);

/* What a lock out by a term of this sentence tells, for one pump: what went wrong and what to check (advice.c). */
struct pw_settings_advice {
    const char *wrong; /* ids of messages */
    int32_t count;
    const char *checks[3]; /* in the order in which to do them */
};
struct pw_advised {
    const pw_settings *settings;
    const pw_sentence *sentence;
    const pw_term *term;
    const pw_pump_facts *facts; /* of the pump; never NULL */
    int32_t pump;
};
/* facts NULL: none are known */
pw_settings_advice pw_term_advice(const pw_settings *settings, const pw_site_facts *facts, const pw_sentence *sentence,
                                  const pw_term *term, int32_t pump);
/* One more check; after the third they are let go, NULL is none. */
void pw_advice_check(pw_settings_advice *advice, const char *check);
const char *pw_advice_source(const pw_pump_facts *facts); /* see that there is water to pump */
extern const char pw_advice_turns[];                      /* see that it runs when it is told to */
bool pw_advice_at_rest(const pw_advised *a);              /* the sentence speaks of a pump that is stopped */

/* The first pressure condition among the sentences of that kind: of START the first "below", of STOP the first "above",
 * of other kinds the first of either; NULL: none (settings.c). */
const pw_term *pw_first_pressure(const pw_settings *settings, pw_sentence_kind kind);

/* Small common things (put.c and order.c). */
const char *pw_term_noun(pw_term_kind kind); /* id of "pressure sensor" */
void pw_put_name(const pw_settings *settings, const pw_term *term, pw_text *text);
bool pw_one_of_kind(const pw_settings *settings, uint8_t kind);
void pw_term_put(const pw_settings *settings, const pw_term *term, pw_text *text);
void pw_condition_put(const pw_settings *settings, const pw_sentence *sentence, pw_text *text);
/* A term with a threshold, rounded in these units; NULL: exactly. */
void pw_measured_put(const pw_settings *settings, const pw_term *term, const pw_units *units, pw_text *text);
/* The same as facts (told.c). */
pw_fact pw_term_fact(pw_arena *arena, const pw_settings *settings, const pw_term *term);
pw_fact pw_condition_fact(pw_arena *arena, const pw_settings *settings, const pw_sentence *sentence);
pw_fact pw_role_fact(int32_t role);
pw_value pw_span_or_none(uint32_t span_ms); /* no value for 0 */
/* The signal a term means for one pump; -1 none. */
int32_t pw_term_signal(const pw_settings *settings, const pw_term *term, int32_t pump);
/* Same condition for this pump, whatever stands before it. */
bool pw_term_same(const pw_settings *settings, const pw_term *a, const pw_term *b, int32_t pump);
bool pw_sentence_for(const pw_sentence *sentence, int32_t pump);
/* Longest ignore window that covers this term for this pump; 0 none. keep as in pw_table_build. */
uint32_t pw_term_ignore_ms(const pw_settings *settings, const bool *keep, const pw_term *term, int32_t pump);

/* One pump at one moment (terms.c, step.c). */
typedef struct pw_moment_view {
    const pw_table *whole;
    pw_control *control;
    const pw_pump_table *table;
    pw_pump_control *pump;
    const double *inputs;
    uint32_t now_ms;
    int16_t number;
    pw_outputs *out;
} pw_moment_view;

/* What a form may look at in a step: the pump it speaks of. fresh: as it would stand in the first moment of a run. */
struct pw_form_moment {
    const pw_moment_view *m;
    const pw_pump_control *pump;
    bool running, fresh;
};

/* The start that lies `back` starts before the newest (0: the newest itself). */
uint32_t pw_start_before(const pw_pump_control *pump, int32_t back);
void pw_start_push(pw_pump_control *pump, uint32_t now_ms);
/* Forget the starts that lie too far back for any window, before their clock could come again. */
void pw_starts_drop_old(pw_pump_control *pump, uint32_t now_ms);
/* The terms, a bit each, of those groups of a row that hold now; 0 when its condition does not hold. */
uint8_t pw_row_terms(const pw_moment_view *m, const pw_row *row);
/* fresh: as it would stand in the first moment of a run (invariant 6). */
bool pw_row_holds(const pw_moment_view *m, const pw_row *row, bool fresh);
/* Make due_ms earlier when time alone changes this term before. */
void pw_term_due(const pw_moment_view *m, const pw_term *term, uint32_t *due_ms);
void pw_sooner(uint32_t *due_ms, uint32_t left_ms);

/* The clock of the week (clock.c). */
extern const char *const pw_day_names[7];
bool pw_clock_inside(const pw_term *term, uint32_t week_ms);
uint32_t pw_clock_left(const pw_term *term, uint32_t week_ms); /* ms until its next edge */
void pw_clock_put(const pw_term *term, pw_text *text);

/* Conditions that hold for a part of a window (share.c). */
void pw_share_clear(pw_share *share);
void pw_share_pass(pw_share *share, const pw_row *row, bool held, uint32_t now_ms);
uint32_t pw_share_held(const pw_share *share);
/* Time until it turns from due to not due or back, when the condition stays as it is; PW_NEVER_MS: never. */
uint32_t pw_share_left(const pw_share *share, const pw_row *row, bool holds, uint32_t now_ms);

/* Pumps that share the work, and what keeps a start waiting (team.c). */
const char *pw_role_name(int32_t role);
bool pw_row_is_for(const pw_moment_view *m, const pw_row *row);
void pw_team_begin(const pw_table *table, pw_control *control, uint32_t now_ms);
void pw_team_unlocked(const pw_table *table, pw_control *control, int32_t pump);
void pw_team_stopped(const pw_moment_view *m); /* in the ordinary way */
/* In which pumps are looked at: as in the sheet, but those that share the work stand in each other's places by role, so
 * that of several that wait for the same moment the lowest role goes first. PW_MAX_PUMPS places, the first pump_count
 * are filled. */
void pw_team_sequence(const pw_table *table, const pw_control *control, int16_t *sequence);
/* At the end of a step; true when the work changed hands. */
bool pw_team_change(const pw_table *table, pw_control *control, uint32_t now_ms);
uint32_t pw_team_due(const pw_table *table, const pw_control *control, uint32_t now_ms);

/* What keeps a stopped pump from starting, ms, and the kind of sentence that does; 0 nothing (actions.c). */
uint32_t pw_start_left(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms,
                       pw_sentence_kind *by);

/* From locked out to stopped (control.c). */
void pw_unlock(const pw_table *whole, pw_control *control, int32_t p, pw_unlocked by, uint32_t now_ms);
/* What "run on" leaves to go of a stop that is wanted; 0 none (step.c). */
uint32_t pw_run_on_left(const pw_pump_table *table, const pw_pump_control *pump, uint32_t now_ms);
/* What "run at least" leaves to go of this run; 0 none. */
uint32_t pw_least_run_left(const pw_pump_table *table, const pw_pump_control *pump, uint32_t now_ms);
pw_moment pw_moment_now(uint32_t now_ms);
/* Age in ms, PW_LONG_AGO_MS at most. */
uint32_t pw_moment_age(pw_moment moment, uint32_t now_ms);
/* Counts the run up to now. */
void pw_count_run(pw_pump_control *pump, uint32_t now_ms);
/* Time until the retry that waits; a retry must wait. */
uint32_t pw_retry_left(const pw_pump_table *table, const pw_pump_control *pump, uint32_t now_ms);

#endif
