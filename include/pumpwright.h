/* Pumpwright as a library: small pumping systems, described once in a site sheet, then checked, sized, simulated and
 * proved. This header is all that another program includes; docs/library.md has runnable samples.
 *
 *   pkg-config --cflags --libs pumpwright                link with the shared library
 *   pkg-config --cflags --libs --static pumpwright       link with the static one
 *
 * Rules that hold for every function
 *   units      SI: m, m3, m3/s, Pa (gauge), W, J, s. Time within a simulation is int64_t milliseconds since its begin.
 *   text       UTF-8 with a NUL behind. A text that goes in is copied; one that comes out belongs to the handle that it
 *              was asked of, and is good until that handle is freed, unless its function says that the caller frees it.
 *   handles    what made a pumpwright_X is freed by pumpwright_X_free; NULL may be freed.
 *   errors     nothing is printed, and no input ends the program (a broken invariant of the library is an assert). What
 *              failed returns NULL or false; what was wrong with the input is told as a list of problems, all of them
 *              and not only the first.
 *   threads    there is no global state: different handles may be used in different threads at the same time, one
 *              handle in one thread at a time.
 *   sameness   the same input gives the same bytes, on every machine.
 */
#ifndef PW_INCLUDE_PUMPWRIGHT_H
#define PW_INCLUDE_PUMPWRIGHT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define PUMPWRIGHT_API __attribute__((visibility("default")))
#else
#define PUMPWRIGHT_API
#endif

/* Of this header. While the first number is 0 a new second number may change anything; the third never does. */
#define PUMPWRIGHT_VERSION "0.1.0"

/* Of the library that is linked, in the same form: "0.1.0". */
PUMPWRIGHT_API const char *pumpwright_version(void);

/* ---- Problems: what is wrong with an input ---- */

typedef struct pumpwright_problems pumpwright_problems;

/* One thing that is wrong. No text is NULL; "" means that there is nothing to say.
 *   status     syntax, type, unknown-key, missing, duplicate, unit, range, reference, conflict, word, limit, memory,
 *              no-solution, cancelled, unsupported; or file: it cannot be read
 *   warning    true: the input could still be used
 *   path       where in the input: "pumps[0].curve[2].head" of a sheet, "seed" of a request
 *   line, column   of the sheet's text, from 1, the column in characters; 0 and 0: not known, or not in the sheet
 *   found      what stood there
 *   expected   what would be right
 *   hint       a near match, or advice
 *   words      all of it as a sentence */
typedef struct pumpwright_problem {
    const char *status;
    bool warning;
    int32_t line, column;
    const char *path, *found, *expected, *hint, *words;
} pumpwright_problem;

/* How many are kept (0 for NULL), and how many more there were. */
PUMPWRIGHT_API int32_t pumpwright_problems_count(const pumpwright_problems *problems);
PUMPWRIGHT_API int32_t pumpwright_problems_lost(const pumpwright_problems *problems);
/* Number index of them, from 0; its texts live as long as the list. false and an empty problem: there is none. */
PUMPWRIGHT_API bool pumpwright_problems_at(const pumpwright_problems *problems, int32_t index, pumpwright_problem *out);
/* The same in a language: "en", as above, or "de"; false for any other. Problems of an answer are in the language that
 * its request asked for ("language"), whatever is asked here. */
PUMPWRIGHT_API bool pumpwright_problems_in(const pumpwright_problems *problems, const char *language, int32_t index,
                                           pumpwright_problem *out);
PUMPWRIGHT_API void pumpwright_problems_free(pumpwright_problems *problems);

/* ---- The door: a request as JSON in, an answer as JSON out ----
 *
 * Everything that the program can do is a request; docs/door.md describes each. An answer is
 * {"ok":true,"do":...,...,"warnings":[...]} or {"ok":false,"problems":[...],"lost":0}. */

/* What the caller lends while a request is worked at; every pointer may be NULL.
 *   user       handed back to both functions
 *   progress   told now and then: part done, 0 to 1, and of what
 *   cancelled  asked now and then; true ends the work, and the answer is the problem "cancelled"
 * Both are called in the thread of the caller. */
typedef struct pumpwright_host {
    void *user;
    void (*progress)(void *user, double done, const char *words);
    bool (*cancelled)(void *user);
} pumpwright_host;

/* Answer a request: length bytes of JSON, any bytes at all. Memory comes from the system, 32 MB at first and up to 512
 * MB when the work needs it, and is given back before this returns. host may be NULL. The answer is the caller's:
 * pumpwright_text_free. NULL only when the system has no memory.
 *
 *   char *answer = pumpwright_ask("{\"do\":\"about\"}", 14, NULL);
 *   puts(answer);
 *   pumpwright_text_free(answer); */
PUMPWRIGHT_API char *pumpwright_ask(const char *request, size_t length, const pumpwright_host *host);

/* The same within memory that the caller lends: size bytes at block, any alignment, and nothing is taken from the
 * system. The answer lies in the block. When the block is too small the answer is the problem "memory"; NULL when it
 * cannot even hold that. 32 MB are enough for most requests. *answer_length (may be NULL): bytes without the NUL. */
PUMPWRIGHT_API const char *pumpwright_ask_within(void *block, size_t size, const char *request, size_t length,
                                                 const pumpwright_host *host, size_t *answer_length);

/* Was the request granted? NULL was not. */
PUMPWRIGHT_API bool pumpwright_granted(const char *answer);

PUMPWRIGHT_API void pumpwright_text_free(char *text);

/* ---- Site sheets: YAML or JSON ---- */

typedef struct pumpwright_sheet pumpwright_sheet;

/* Read the sheet in a file ("-": standard input), and the measured traces that it names. At most 32 MB. *problems
 * (problems may be NULL) is set to what is wrong, for the caller to free, or to NULL when that is nothing. NULL is
 * returned, with at least one problem that is no warning, when it cannot be read as YAML or JSON. Whether it makes
 * sense as a site is seen when a request or pumpwright_site_read takes it up. */
PUMPWRIGHT_API pumpwright_sheet *pumpwright_sheet_read(const char *path, pumpwright_problems **problems);
/* The same for a text of length bytes. name (NULL: "sheet"): what it is called; traces are seen from its folder. */
PUMPWRIGHT_API pumpwright_sheet *pumpwright_sheet_take(const char *text, size_t length, const char *name,
                                                       pumpwright_problems **problems);
PUMPWRIGHT_API void pumpwright_sheet_free(pumpwright_sheet *sheet);

/* As JSON: the value of "site" in a request. */
PUMPWRIGHT_API const char *pumpwright_sheet_json(const pumpwright_sheet *sheet);

/* Line and column (from 1, in characters) of what a path of the sheet names, or of the nearest thing around it:
 * "vessels[0].precharge". false: not known; both are 0 then. */
PUMPWRIGHT_API bool pumpwright_sheet_where(const pumpwright_sheet *sheet, const char *path, int32_t *line,
                                           int32_t *column);

/* Ask one request about a sheet. what: "check", "duty", "size", "run", "prove", ... options: the other keys of the
 * request as a JSON object, or NULL. Otherwise as pumpwright_ask.
 *
 *   char *answer = pumpwright_sheet_ask(sheet, "prove", "{\"years\": 3, \"horizon\": \"7 d\"}", NULL); */
PUMPWRIGHT_API char *pumpwright_sheet_ask(const pumpwright_sheet *sheet, const char *what, const char *options,
                                          const pumpwright_host *host);

/* The problems or warnings of an answer as a list, for the caller to free; NULL when there are none, or no memory.
 * With the sheet (may be NULL) that was asked about, those of the site have its lines and columns and paths without
 * "site.". */
PUMPWRIGHT_API pumpwright_problems *pumpwright_answer_problems(const char *answer, const pumpwright_sheet *sheet);

/* ---- Sites: a sheet understood, ready to be simulated ---- */

typedef struct pumpwright_site pumpwright_site;

/* Take up a sheet: every slip in it is told with its place, and warnings, too. *problems as in pumpwright_sheet_read;
 * the sheet may be freed afterwards. NULL when the sheet cannot be used as it is, or there is no memory. */
PUMPWRIGHT_API pumpwright_site *pumpwright_site_read(const pumpwright_sheet *sheet, pumpwright_problems **problems);
/* What was made from a site (simulations) keeps what it needs of it. */
PUMPWRIGHT_API void pumpwright_site_free(pumpwright_site *site);

/* As the sheet calls it. */
PUMPWRIGHT_API const char *pumpwright_site_name(const pumpwright_site *site);

/* Lists of the sheet that have names. */
typedef enum pumpwright_list {
    PUMPWRIGHT_PLACES,
    PUMPWRIGHT_SOURCES,
    PUMPWRIGHT_PUMPS,
    PUMPWRIGHT_LINES,
    PUMPWRIGHT_VESSELS,
    PUMPWRIGHT_TANKS,
    PUMPWRIGHT_OUTLETS,
    PUMPWRIGHT_SENSORS
} pumpwright_list;

/* How many a list has; 0 for a list that there is none of. */
PUMPWRIGHT_API int32_t pumpwright_site_count(const pumpwright_site *site, pumpwright_list list);
/* Name of number index, from 0 in the sheet's sequence; NULL: there is none. */
PUMPWRIGHT_API const char *pumpwright_site_item(const pumpwright_site *site, pumpwright_list list, int32_t index);

/* ---- Parameters: the numbers of a site by their path ---- */

enum { PUMPWRIGHT_PATH_SIZE = 160 }; /* bytes of a path with its NUL */

/* One number of a site.
 *   path       as the sheet is written, items by number: "vessels[0].precharge"; numbers of sentences, too:
 *              "settings[2].pressure"
 *   origin     "given", "pipe" (the pipe's name says it), "default", or "left out": value is 0 then, and may be set
 *   unit       of SI: "Pa", "m3/s", ...; "1" for counts and fractions
 *   value, low, high   in that unit: now, least, most
 *   whole      only whole numbers
 *   what, reason   what it is; why a default was taken, else "" */
typedef struct pumpwright_parameter {
    char path[PUMPWRIGHT_PATH_SIZE];
    const char *origin, *unit, *what, *reason;
    double value, low, high;
    bool whole;
} pumpwright_parameter;

/* How many numbers a site has, without those that were left out, and number index of them, from 0; false: there is
 * none. */
PUMPWRIGHT_API int32_t pumpwright_site_parameter_count(const pumpwright_site *site);
PUMPWRIGHT_API bool pumpwright_site_parameter_at(const pumpwright_site *site, int32_t index, pumpwright_parameter *out);
/* The number at a path, items by number or by name: "vessels[shed vessel].precharge". false with *problems when it
 * leads nowhere. */
PUMPWRIGHT_API bool pumpwright_site_parameter(const pumpwright_site *site, const char *path, pumpwright_parameter *out,
                                              pumpwright_problems **problems);

/* What the number at a path is, and why a default was taken, in "en" (as above) or "de"; good for ever. false, and "":
 * another language, or the path leads nowhere. */
PUMPWRIGHT_API bool pumpwright_site_parameter_words(const pumpwright_site *site, const char *path, const char *language,
                                                    const char **what, const char **reason);

/* A number to be changed, value in SI. */
typedef struct pumpwright_change {
    const char *path;
    double value;
} pumpwright_change;

/* The site that a sheet with these numbers in it describes, bit for bit: ranges and what must agree are checked,
 * defaults that follow from a number follow. Each path once, 256 at most. The site itself stays as it was, and either
 * may be freed first. NULL with *problems when it cannot be so.
 *
 *   pumpwright_change softer = {"vessels[0].precharge", 150e3};
 *   pumpwright_site *other = pumpwright_site_with(site, &softer, 1, NULL); */
PUMPWRIGHT_API pumpwright_site *pumpwright_site_with(const pumpwright_site *site, const pumpwright_change *changes,
                                                     int32_t count, pumpwright_problems **problems);

/* ---- Simulations: a running site as a value ----
 *
 * A simulation begins on a Monday at 00:00, at rest, and is advanced to one time after another. A copy goes on byte
 * for byte as the original would, whatever becomes of the original: let a fault happen in the copy, and compare.
 *
 * An advance ends exactly at its time, and cuts the step of the integrator there: a simulation that was advanced to
 * 10:00 and then to 12:00 differs in its last digits from one that was advanced to 12:00 at once. */

typedef struct pumpwright_simulation pumpwright_simulation;

/* seed: of random demands. Takes some megabytes of memory. NULL with *problems as above. */
PUMPWRIGHT_API pumpwright_simulation *pumpwright_simulation_create(const pumpwright_site *site, uint64_t seed,
                                                                   pumpwright_problems **problems);
PUMPWRIGHT_API void pumpwright_simulation_free(pumpwright_simulation *simulation);
/* The same simulation once more, totals so far and faults included, without whoever watches. NULL: no memory. */
PUMPWRIGHT_API pumpwright_simulation *pumpwright_simulation_copy(const pumpwright_simulation *simulation);

/* On to until_ms, or to the moment at which a pump has started more often within an hour than anything can want
 * (pumpwright_simulation_hunts) or a pumpwright_passages stops it: it can be advanced further from there. false when it
 * cannot go on: until_ms lies in the past, or the equations have no solution; after the latter it can only be asked and
 * freed. */
PUMPWRIGHT_API bool pumpwright_simulation_advance(pumpwright_simulation *simulation, int64_t until_ms,
                                                  pumpwright_problems **problems);

/* Let a fault happen from onset_ms (now or later) on; two at once at most. false with *problems when it cannot be so.
 *   what      its name: the request "faults" lists them, with what their severity means
 *   severity  with its unit: "40 L/min", "60 %"; NULL for a fault that has none
 *   at        the name of what it befalls; NULL: the usual one
 *
 *   pumpwright_simulation_befall(copy, "burst", "40 L/min", NULL, hour_ms, NULL); */
PUMPWRIGHT_API bool pumpwright_simulation_befall(pumpwright_simulation *simulation, const char *what,
                                                 const char *severity, const char *at, int64_t onset_ms,
                                                 pumpwright_problems **problems);

PUMPWRIGHT_API int64_t pumpwright_simulation_time_ms(const pumpwright_simulation *simulation);
/* Did a pump start more often within an hour than any limit of starts could want? */
PUMPWRIGHT_API bool pumpwright_simulation_hunts(const pumpwright_simulation *simulation);
/* Is the state of both the same, byte for byte? For copies of one simulation (others are never the same); whoever
 * watches does not count. */
PUMPWRIGHT_API bool pumpwright_simulation_same(const pumpwright_simulation *a, const pumpwright_simulation *b);

/* From the begin to now.
 *   pumped_m3      by pumps that are on
 *   wanted_m3, delivered_m3, missing_m3   at the outlets; missing: wanted and not delivered
 *   leaked_m3, spilled_m3    through holes; over the top of tanks
 *   source_m3, stored_m3     out of the sources; more in vessels, tanks and bores than at the begin (may be negative)
 *   balance_m3     source - delivered - leaked - spilled - stored: what the arithmetic leaves over
 *   energy_j       electrical
 *   run_s, dry_s, deadhead_s   of all pumps: running; sucking air; running with next to no flow
 *   short_s        with an outlet under 80 % of what it wants
 *   pressure_min_pa, pressure_max_pa   at the first pressure sensor, else behind the first pump
 *   winding_max_c, water_max_c         degrees Celsius, of any pump
 *   starts, most_starts_in_hour        of all pumps; of one pump
 *   lock_outs      how often a pump was locked out */
typedef struct pumpwright_totals {
    double pumped_m3, wanted_m3, delivered_m3, missing_m3, leaked_m3, spilled_m3, source_m3, stored_m3, balance_m3;
    double energy_j, run_s, dry_s, deadhead_s, short_s, pressure_min_pa, pressure_max_pa, winding_max_c, water_max_c;
    int64_t starts, lock_outs;
    int32_t most_starts_in_hour;
} pumpwright_totals;
PUMPWRIGHT_API void pumpwright_simulation_totals(const pumpwright_simulation *simulation, pumpwright_totals *out);

/* What has a value at every moment, and of which list it is one's. */
typedef enum pumpwright_quantity {
    PUMPWRIGHT_PRESSURE,    /* Pa, of a place */
    PUMPWRIGHT_PUMP_FLOW,   /* m3/s, through a pump, on or off */
    PUMPWRIGHT_LINE_FLOW,   /* m3/s, of a line, positive from its `from` to its `to` */
    PUMPWRIGHT_OUTLET_FLOW, /* m3/s, of an outlet */
    PUMPWRIGHT_TANK_DEPTH,  /* m, of a tank */
    PUMPWRIGHT_BORE_WATER,  /* m over the intake, of a source that is a bore */
    PUMPWRIGHT_CURRENT,     /* A, of a pump */
    PUMPWRIGHT_POWER,       /* W, electrical, of a pump */
    PUMPWRIGHT_WINDING,     /* degrees Celsius, of a pump's motor */
    PUMPWRIGHT_WATER,       /* degrees Celsius, inside a pump */
    PUMPWRIGHT_RUNNING,     /* 1 on, 0 off, of a pump */
    PUMPWRIGHT_READING      /* what a sensor tells: Pa, m, or 0 and 1 */
} pumpwright_quantity;
/* The value now, of the item of that name (NULL: the first of its list). false, and 0: there is no such one. */
PUMPWRIGHT_API bool pumpwright_simulation_value(const pumpwright_simulation *simulation, pumpwright_quantity quantity,
                                                const char *name, double *out);

/* Something that happened.
 *   kind      "start", "stop", "lock out", "warn", "draw", "fault", ...: the kinds of the entries of the request "run"
 *   item      what it befell, a number in the list that the kind speaks of; -1: none
 *   sentence  the sentence of the settings that is the reason, from 0; -1: none
 *   value, other   what goes with it, 0 where nothing does: of a "stop" how long the pump ran (s) and what it pumped
 *             (m3); of a "draw" the flow wanted (m3/s); of a "cavitates" NPSH available and required (m); of a "slam"
 *             its surge (Pa) and half its period (s); of "short end" how long it was (s); of "hot", "boils" and "burnt
 *             out" degrees Celsius; of "air in", "column separates" and "siphon" the pressure there (Pa) */
typedef struct pumpwright_event {
    int64_t t_ms;
    const char *kind;
    int32_t item, sentence;
    double value, other;
} pumpwright_event;

/* Be told of all that happens from now on, in its sequence, in the thread that advances. One watcher for each
 * simulation; NULL ends it. It changes nothing of the simulation, and must not advance or free it. */
PUMPWRIGHT_API void pumpwright_simulation_watch(pumpwright_simulation *simulation,
                                                void (*watch)(void *user, const pumpwright_event *event), void *user);
/* Only while it is told of an event: that event as a line of the day book, with its time and its reason, in "en" or
 * "de" and metric units, for the caller to give to pumpwright_text_free. NULL at any other time, for another language,
 * or without memory. */
PUMPWRIGHT_API char *pumpwright_simulation_words(const pumpwright_simulation *simulation, const char *language);

/* ---- Observers: what is recorded while a simulation runs ----
 *
 * Attached to one simulation they record from then on, and change nothing of it: its path is the same to the last bit.
 * A copy of the simulation has none of them. An observer is taken off by freeing it, before or after the simulation is
 * freed. What cannot be observed gives NULL with *problems. */

/* A quantity of the item of that name; NULL: the first of its list. */
typedef struct pumpwright_observed {
    pumpwright_quantity quantity;
    const char *name;
} pumpwright_observed;

typedef struct pumpwright_samples pumpwright_samples;

/* The values of count (1 to 64) quantities now and every every_ms (1 or more) from now on, each looked up on the
 * integrator's curve at that very moment; at an event, the value after it. A moment counts as passed when the
 * simulation goes on from it. Memory grows with the time that is simulated. */
PUMPWRIGHT_API pumpwright_samples *pumpwright_samples_attach(pumpwright_simulation *simulation,
                                                             const pumpwright_observed *what, int32_t count,
                                                             int64_t every_ms, pumpwright_problems **problems);
PUMPWRIGHT_API int64_t pumpwright_samples_count(const pumpwright_samples *samples);
/* Moments that could not be kept: no memory, or no solution there. */
PUMPWRIGHT_API int64_t pumpwright_samples_lost(const pumpwright_samples *samples);
/* Number index of them, from 0: one value for each quantity, in SI, good until the simulation is advanced. NULL, and 0
 * ms: there is none. */
PUMPWRIGHT_API const double *pumpwright_samples_row(const pumpwright_samples *samples, int64_t index, int64_t *t_ms);
PUMPWRIGHT_API void pumpwright_samples_free(pumpwright_samples *samples);

typedef struct pumpwright_passages pumpwright_passages;

/* The first moment at which a quantity stands beyond each of count (1 to 16) levels, SI: above it when it stands at or
 * below it now, else below it. Located to the millisecond on the integrator's curve; a level that is passed and left
 * again within one step is found only when one of four equal parts of the step shows it. stop: end an advance when the
 * last of them is passed. */
PUMPWRIGHT_API pumpwright_passages *pumpwright_passages_attach(pumpwright_simulation *simulation,
                                                               pumpwright_observed what, const double *levels,
                                                               int32_t count, bool stop,
                                                               pumpwright_problems **problems);
/* When level number index was passed, and the value then. false, -1 and 0: it was not, or there is no such level. */
PUMPWRIGHT_API bool pumpwright_passages_at(const pumpwright_passages *passages, int32_t index, int64_t *t_ms,
                                           double *value);
PUMPWRIGHT_API void pumpwright_passages_free(pumpwright_passages *passages);

typedef struct pumpwright_residuals pumpwright_residuals;
enum { PUMPWRIGHT_LOG_MOST = 10000000 };

/* A log held against the simulation: measured minus simulated at each of count (1 to PUMPWRIGHT_LOG_MOST) moments,
 * which rise; those before now are passed over. Both series are copied. */
PUMPWRIGHT_API pumpwright_residuals *pumpwright_residuals_attach(pumpwright_simulation *simulation,
                                                                 pumpwright_observed what, const int64_t *t_ms,
                                                                 const double *measured, int32_t count,
                                                                 pumpwright_problems **problems);
/* Of those compared so far, in SI; largest is a size, without its sign. All 0 while there are none. */
typedef struct pumpwright_deviation {
    int32_t compared;
    double mean, root_mean_square, largest;
} pumpwright_deviation;
PUMPWRIGHT_API void pumpwright_residuals_sum(const pumpwright_residuals *residuals, pumpwright_deviation *out);
/* One for each moment of the log, 0 until it is there; good until the residuals are freed. */
PUMPWRIGHT_API const double *pumpwright_residuals_each(const pumpwright_residuals *residuals);
PUMPWRIGHT_API void pumpwright_residuals_free(pumpwright_residuals *residuals);

#ifdef __cplusplus
}
#endif

#endif
