/* The worst that control settings allow, whatever the sensors do: most starts of a pump in any hour, its longest run,
 * its longest run while a sensor says that it runs dry, and standstills from which nothing natural calls it again.
 *
 * Method: reachability over the clocks of the control step. Every reading of every sensor is allowed at every
 * millisecond, once a millisecond at most, from the first step on; nobody releases a lock out and the supply of the
 * controller stays. The ages that the step compares (of the run, the stop, the lock out, the timer of each sentence,
 * the last starts) are the clocks; sets of them are held as zones, that is as bounds on their differences in whole
 * milliseconds (worst_zone.c), which is exact for a step that counts in milliseconds. The step is mirrored in
 * worst_step.c and shown equal to the real one on long random input (tests/unit/control/test_worst.c). What is left
 * out of account (the clock of the week, other pumps, roles, conditions for a part of a window, starts in windows in a
 * row or together with another condition) may be as it likes, so a bound always holds; that it is reached is shown by a
 * day book, which the real step has been driven through.
 *
 * Sources: D. L. Dill, "Timing assumptions and verification of finite-state concurrent systems" (1989), for zones as
 * difference bounds; G. Behrmann, P. Bouyer, K. G. Larsen, R. Pelanek, "Lower and upper bounds in zone based
 * abstractions of timed automata" (2004), for why the search ends. Both from memory.
 */
#ifndef PW_CONTROL_WORST_H
#define PW_CONTROL_WORST_H

#include "control/table.h"

enum {
    PW_WORST_STARTS = 120, /* more starts in an hour than this are not counted further */
    PW_WORST_EVENTS = 48   /* lines of a day book that are kept: the last ones */
};
#define PW_WORST_HOUR_MS 3600000

/* How much work one question may take: ways of one step of the settings that are looked at (its other limits go in
 * proportion). All of it where somebody asks for the worst; a quarter where a proof or a hand-over tells it besides. A
 * search that ends within less gives the same answer with either. */
enum { PW_WORST_WAYS = 400000, PW_WORST_WAYS_BESIDES = 100000 };

typedef enum pw_worst_end {
    PW_WORST_BOUND,     /* never more than `value`; `reached` tells whether a day book shows it */
    PW_WORST_UNLIMITED, /* nothing limits it: `reached` means that a day book shows PW_WORST_STARTS, or 30 days */
    PW_WORST_TOO_LARGE  /* the search did not end within its memory: nothing is known */
} pw_worst_end;

/* One line of a day book: what a sensor says from then on, or what the controller did. */
typedef struct pw_worst_line {
    int64_t at_ms;
    bool reading;
    int16_t signal; /* of a reading; the first readings of all signals stand at 0 */
    double value;
    pw_control_event event; /* else */
} pw_worst_line;

typedef struct pw_worst_book {
    int32_t count, left_out; /* lines; earlier ones that are not kept */
    pw_worst_line lines[PW_WORST_EVENTS];
} pw_worst_book;

typedef struct pw_worst_answer {
    pw_worst_end end;
    int64_t value; /* starts; ms of runs */
    int64_t shown; /* what the day book reaches; of UNLIMITED starts or 30 days; 0 nothing */
    bool reached;  /* that is all of it */
    bool cut;      /* of starts: a search of the two was not ended, so the bound may be looser than with more work */
    int32_t zones; /* looked at */
    pw_worst_book book;
} pw_worst_answer;

enum { PW_WORST_SENSES = 8 };
/* One way in which a sensor says that the pump runs dry: no flow, a dry probe, a current or a level below its limit, as
 * stop, lock out and "run only while" sentences look for it. */
typedef struct pw_worst_sense {
    int16_t sentence, term;
    pw_worst_answer longest;
} pw_worst_sense;

typedef struct pw_worst {
    int32_t pump;
    pw_worst_answer starts, run;
    int32_t sense_count;
    pw_worst_sense senses[PW_WORST_SENSES];
    /* A standstill from which nothing natural starts the pump again, though water is called for: `end` is
     * PW_WORST_BOUND and value the number of kinds of such standstills, 0 none; the day book leads into the first. */
    pw_worst_answer stuck;
    int16_t stuck_by;      /* the sentence that keeps it from starting there; -1: no start condition can hold */
    uint64_t waits_person; /* bit per lock out sentence that no sentence releases */
    uint64_t left_out;     /* bit per sentence of which a part may be as it likes, see above */
} pw_worst;

/* facts: of the site, for what a pump alone can raise (the pressure behind it, the level of a tank that it fills) and
 * what recovers by itself; NULL: every pressure and level is taken for such. ways: 1 to PW_WORST_WAYS. Scratch lies in
 * the arena and is given back. PW_MEMORY when not even the beginning fits. */
pw_status pw_worst_of(pw_arena *arena, const pw_settings *settings, const pw_table *table, const pw_site_facts *facts,
                      int32_t pump, int32_t ways, pw_worst *out);

/* ---- in words (worst_words.c) ---- */

pw_fact pw_worst_starts_fact(const pw_worst *worst);
pw_fact pw_worst_run_fact(const pw_worst *worst);
pw_fact pw_worst_sense_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst, int32_t sense);
/* What that sensor says: "no flow". */
pw_fact pw_worst_says_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst, int32_t sense);
pw_fact pw_worst_stuck_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst);
/* Lock outs that only a person ends; what was left out of account. No fact: there is none. */
pw_fact pw_worst_person_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst);
pw_fact pw_worst_left_out_fact(pw_arena *arena, const pw_settings *settings, const pw_worst *worst);
/* What a line of a day book tells, without its time. */
pw_fact pw_worst_line_fact(pw_arena *arena, const pw_settings *settings, const pw_worst_line *line);

#endif
