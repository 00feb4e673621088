/* Faults: one thing going wrong physically. Each is a change of the physics or of a sensor, never a flag that the
 * controller can see. What each does, its scale and its sources: docs/faults.md.
 */
#ifndef PW_FAULT_FAULT_H
#define PW_FAULT_FAULT_H

#include "base/fact.h"
#include "element/model.h"

typedef enum pw_fault_kind {
#define PW_FAULT(name, change, ...) PW_FAULT_##name,
#include "fault/rows.inc"
#undef PW_FAULT
    PW_FAULT_COUNT
} pw_fault_kind;

#define PW_FAULT_LOWEST_HEAD_M  1.0 /* own choices, see pw_fault_apply */
#define PW_FAULT_LOWEST_DEPTH_M 0.1

typedef struct pw_fault {
    pw_fault_kind kind;
    double severity; /* SI, in the dimension of its row */
    int32_t where; /* place (leak, burst), source, vessel, tank, sensor, pump, line; for a closed valve and a non-return
                      valve a line, or PW_MAX_LINES + pump for the valve at a pump's outlet; 0 for the supply and the
                      order; -1: the usual one for this site */
    int64_t onset_ms; /* since the start of the simulation */
} pw_fault;

/* ---- what a row says ---- */

/* What a fault can befall; where.c has a row for each. */
typedef enum pw_fault_befalls {
    PW_BEFALLS_NOTHING,
    PW_BEFALLS_PLACE,
    PW_BEFALLS_SOURCE,
    PW_BEFALLS_LEVEL_SOURCE, /* bore or open water */
    PW_BEFALLS_VESSEL,
    PW_BEFALLS_FLOAT, /* tank with a float valve */
    PW_BEFALLS_FLOW_SWITCH,
    PW_BEFALLS_PRESSURE_SENSOR,
    PW_BEFALLS_MEASURING_SENSOR, /* of pressure or level */
    PW_BEFALLS_PROBE,
    PW_BEFALLS_PRESSURE_SWITCH,
    PW_BEFALLS_FILTER,
    PW_BEFALLS_VALVE,
    PW_BEFALLS_LINE,
    PW_BEFALLS_NON_RETURN, /* line or pump with a non-return valve */
    PW_BEFALLS_PUMP,
    PW_BEFALLS_SUCTION_PUMP, /* that does not stand under pressure or deep in a bore */
    PW_BEFALLS_BORE_PUMP,
    PW_BEFALLS_LIFTING_PUMP, /* over open water */
    PW_BEFALLS_NON_RETURN_PUMP,
    PW_BEFALLS_THREE_PHASE_PUMP,
    PW_BEFALLS_SUPPLY,
    PW_BEFALLS_THREE_PHASES,  /* supply of at least one three-phase motor */
    PW_BEFALLS_SETTINGS_PAIR, /* a start and a stop on one sensor, or on a pair of probes */
    PW_BEFALLS_SETTINGS_PRESSURE,
    PW_BEFALLS_SETTINGS_SECONDS,
    PW_BEFALLS_COUNT
} pw_fault_befalls;

/* The sort of thing that `where` counts. */
typedef enum pw_fault_thing {
    PW_THING_NONE,
    PW_THING_PLACE,
    PW_THING_SOURCE,
    PW_THING_VESSEL,
    PW_THING_TANK,
    PW_THING_SENSOR,
    PW_THING_VALVE, /* a line, or PW_MAX_LINES + pump */
    PW_THING_LINE,
    PW_THING_PUMP,
    PW_THING_FILTER,
    PW_THING_SUPPLY,
    PW_THING_SETTINGS
} pw_fault_thing;

/* Sentences that can see a fault; core/study writes the one that a site lacks. */
typedef enum pw_fault_seen_by {
    PW_BY_NONE,
    PW_BY_NO_FLOW,
    PW_BY_RUN_LIMIT,
    PW_BY_STARTS_LIMIT,
    PW_BY_HIGH_PRESSURE,
    PW_BY_STANDING, /* the signal does not move */
    PW_BY_TANK_HIGH,
    PW_BY_TANK_LOW,
    PW_BY_LOW_CURRENT,
    PW_BY_HIGH_CURRENT,
    PW_BY_HOT_WINDING,
    PW_BY_LOW_SUPPLY,
    PW_BY_LOST_PHASE,
    PW_BY_CURRENT_AT_REST,
    PW_BY_COUNT
} pw_fault_seen_by;

/* What to look at on site where the words follow the site; core/study has them. */
typedef enum pw_fault_look {
    PW_LOOK_NONE, /* the row has the words */
    PW_LOOK_TIGHT,
    PW_LOOK_SOURCE,
    PW_LOOK_PRECHARGE,
    PW_LOOK_OVERFLOW,
    PW_LOOK_FLOAT_SHUT,
    PW_LOOK_GAS,
    PW_LOOK_WELDED,
    PW_LOOK_STRAINER,
    PW_LOOK_NON_RETURN,
    PW_LOOK_FLOW,
    PW_LOOK_SCALE,
    PW_LOOK_READING,
    PW_LOOK_READS_HIGH,
    PW_LOOK_TAPPING,
    PW_LOOK_FROST,
    PW_LOOK_PROBE_WET,
    PW_LOOK_PROBE_DRY,
    PW_LOOK_NO_SUPPLY,
    PW_LOOK_GENERATOR,
    PW_LOOK_COUNT
} pw_fault_look;

/* What the numbers of `tried` are. */
typedef enum pw_fault_scale {
    PW_SCALE_FIXED,      /* severities, SI */
    PW_SCALE_OF_PUMP,    /* two ends as parts of the pump's flow, 0 a leak that drips; between them equal ratios */
    PW_SCALE_OF_SHUT_OFF /* parts of the first pump's shut-off pressure */
} pw_fault_scale;

/* How it comes about: in `parts` equal parts, part_ms apart, the first at the onset (1: at once); over after lasts_ms
 * (0: it stays). */
typedef struct pw_fault_course {
    int32_t parts;
    int64_t part_ms, lasts_ms;
} pw_fault_course;

/* What a change may ask (rows.inc). */
typedef struct pw_fault_with {
    const pw_model *model;
    const pw_site *site;
    int32_t at;
    double severity, part; /* so far; part: the same within 0 .. 1 */
    double done;           /* how much of it has come about, above 0 .. 1 */
    double reference_pa;
} pw_fault_with;

typedef struct pw_fault_row {
    const char *id, *title; /* title and all other words: ids of messages (core/say) */
    const char *severity;   /* id of a message, "" it has none */
    pw_dimension dimension;
    double most; /* largest severity that can be meant, SI */
    pw_fault_scale scale;
    double tried[7];            /* mild to severe; none: it has no severity */
    int32_t tried_count, steps; /* steps: of PW_SCALE_OF_PUMP */
    pw_fault_befalls befalls;
    struct {
        int32_t parts; /* 0 at once */
        int64_t part_ms;
        bool over_severity; /* its severity is the time that all parts take */
        bool ends;          /* its severity is how long it lasts */
    } course;
    void (*change)(const pw_fault_with *with, pw_condition *condition);
    bool hole;                      /* lets water out where none should come */
    bool runs_on;                   /* stopping by the settings stops nothing */
    bool stays_off;                 /* the pump does not run although the settings say so */
    bool swapped;                   /* start and stop of the settings change places */
    const char *unit_was, *unit_is; /* this unit is typed for that one (lower case); NULL none */
    uint8_t seen_by[6];             /* pw_fault_seen_by, the most telling first; PW_BY_NONE ends it */
    const char *look;               /* what to look at on site; NULL: look_at says */
    pw_fault_look look_at;
} pw_fault_row;

/* The row of "nothing wrong" for what is not a kind. */
const pw_fault_row *pw_fault_row_of(pw_fault_kind kind);
pw_fault_thing pw_fault_thing_of(pw_fault_kind kind);

const char *pw_fault_id(pw_fault_kind kind);
const char *pw_fault_title(pw_fault_kind kind);
const char *pw_fault_severity_words(pw_fault_kind kind);
pw_dimension pw_fault_dimension(pw_fault_kind kind);
/* For lists: the id of fault i + 1. room: not used. */
const char *pw_fault_name_at(int32_t i, char room[64]);
/* A severity to show how one is written, SI: one that is tried. */
double pw_fault_example(pw_fault_kind kind);
/* -1 when the words are not a fault. */
int32_t pw_fault_find(const char *id);

/* Can it happen on this site at all? (No float valve, no float valve passing.) */
bool pw_fault_possible(const pw_site *site, pw_fault_kind kind);
/* What a site must have for it: "a tank with a float valve". */
const char *pw_fault_needs(pw_fault_kind kind);
/* Where it happens: `where` itself when it is 0 or more, else the usual one; -1 when it is not possible here.
 * And the fact of it ("at shed", "header tank", "at the outlet of bore pump"); none for the supply and the settings. */
int32_t pw_fault_where(const pw_site *site, pw_fault_kind kind, int32_t where);
/* Index for `where` from the name of a place, source, vessel, tank, sensor, line or pump, as the kind needs it; -1: no
 * such name. */
int32_t pw_fault_where_find(const pw_site *site, pw_fault_kind kind, const char *name);

/* Which faults a word may have meant; the names are kept in words (PW_WORDS_SIZE bytes). */
pw_fact pw_fault_near(const char *what, char *words);
/* A fault by its words: its kind, which must be possible on this site, and what it befalls (NULL: the usual).
 * false: a problem is told with this path. */
bool pw_fault_take_kind(const pw_site *site, const char *what, const char *path, pw_fault *fault,
                        pw_problems *problems);
bool pw_fault_take_place(const pw_site *site, const char *at, const char *path, pw_fault *fault, pw_problems *problems);
pw_fact pw_fault_where_fact(const pw_site *site, pw_fault_kind kind, int32_t where);
/* Every place where it can happen, the usual one first; returns how many were written. */
int32_t pw_fault_wheres(const pw_site *site, pw_fault_kind kind, int32_t *out, int32_t capacity);
/* Where it usually happens, in general: "the first vessel". */
const char *pw_fault_usual_words(pw_fault_kind kind);
/* The mild or severe end of its scale in general: "0.3 of the pump's flow"; nothing where it has no severity. */
pw_fact pw_fault_end_fact(pw_fault_kind kind, bool severe);
/* Severities tried by default, mild to severe; returns how many (at most capacity). pump_m3s: largest flow the pump can
 * give. */
int32_t pw_fault_severities(const pw_site *site, pw_fault_kind kind, double pump_m3s, double *out, int32_t capacity);
/* Largest severity that can be meant, SI. */
double pw_fault_most(pw_fault_kind kind);

pw_fault_course pw_fault_course_of(const pw_fault *fault);

/* A fault of the settings changes the order and not the condition (core/sim reads it anew as it would be typed). */
bool pw_fault_of_settings(pw_fault_kind kind);

/* Words of a sentence: first byte and number of bytes. */
typedef struct pw_fault_words {
    size_t at, length;
} pw_fault_words;

/* What "settings swapped" exchanges: words of a start sentence and of a stop sentence (numbers in the sheet's order).
 */
typedef struct pw_fault_swap {
    int32_t start, stop;
    pw_fault_words in, out;
} pw_fault_swap;

/* The first start and stop that belong together: by two pressures, else by two levels of one sensor, else by a pair of
 * probes. False when the order has none. */
bool pw_fault_swap_find(const pw_site *site, pw_fault_swap *out);
/* False where stopping by the order stops nothing (runs_on). */
bool pw_fault_heeds_stop(pw_fault_kind kind);

/* Change the condition. done: how much of it has come about, 0 .. 1 (pw_fault_course). reference_pa: gauge pressure at
 * which a leak's severity is meant (middle of cut-in and cut-out), at the reference place: that of the first pressure
 * sensor, else of the first vessel, else the first pump's delivery place. At a leak's place the pressure differs from
 * it by the levels; there Cd A sqrt(2 g h) = severity (orifice, Torricelli 1644). h is at least
 * PW_FAULT_LOWEST_HEAD_M: a leak that stands too high for the reference pressure gets the hole that this head would
 * need. At a tank, h is the depth at the start (at least PW_FAULT_LOWEST_DEPTH_M). A fault that is not possible here,
 * or of kind NONE, changes nothing. Severities outside their scale count as its end. Two faults work together: factors
 * multiply. */
void pw_fault_apply(const pw_model *model, const pw_fault *fault, double done, double reference_pa,
                    pw_condition *condition);

/* Faults that come together in practice, with the reason. */
typedef struct pw_fault_pair {
    pw_fault_kind first, second;
    const char *reason;
} pw_fault_pair;
int32_t pw_fault_pair_count(void);
const pw_fault_pair *pw_fault_pair_at(int32_t index); /* NULL when out of range */

#endif
