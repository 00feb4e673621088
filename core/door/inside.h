/* Private to core/door: one request being answered, and what the answers share.
 *
 * How an answer is made (door.c): the request is read and its keys are held against the request's row of the table
 * (requests.c); the handler reads its options, works, and writes members into the answer object that is already open.
 * A handler that returns anything but PW_OK has its answer thrown away, and the problems are told instead.
 */
#ifndef PW_DOOR_INSIDE_H
#define PW_DOOR_INSIDE_H

#include "base/json.h"
#include "base/num.h"
#include "base/units.h"
#include "door/door.h"
#include "study/log_judge.h"
#include "study/prove.h"
#include "paper/document.h"
#include "say/say.h"
#include "sim/run.h"

typedef struct door {
    pw_arena *arena;
    const pw_door_host *host; /* may be NULL */
    const pw_json *request;
    pw_json_writer *answer;
    pw_problems *problems;
    pw_units units;
    pw_voice voice;                 /* its units are those above */
    const pw_record *log;           /* that the caller took for this request, or NULL */
    struct pw_door_follow **follow; /* not NULL: the request begins to follow a log with these signals */
    const bool *follow_has;
} door;

typedef struct door_key {
    const char *key;
    const char *words;
} door_key;

typedef struct door_request {
    const char *name;
    const char *words;
    pw_status (*answer)(door *d);
    const door_key *keys;      /* ends with a NULL key */
    const door_key *more_keys; /* a group that several requests share, or NULL */
} door_request;

/* options.c: a word of earlier versions as it is called now, told by a warning at the path; other words as they are. */
const char *door_present_word(door *d, const char *path, const char *word);
/* Member by its key, or by the older name of it; NULL when neither was given. */
const pw_json *door_member(const pw_json *object, const char *key);

/* requests.c: the one table */
int32_t door_request_count(void);
const door_request *door_request_at(int32_t index);
/* NULL when there is none of that name. */
const door_request *door_request_find(const char *name);

/* options.c. Each adds a problem at the option's key when it is there and wrong, and then gives the default; a handler
 * reads all its options and then asks door_problem once. */
pw_status door_problem(const door *d); /* status of the first error, PW_OK when there is none */
/* A simulation that got past a difficulty by smaller steps succeeded: the errors told on the way do not count. Takes
 * out the errors behind the first `count`, and what was lost since then; warnings stay. */
void door_forget_errors(door *d, int32_t count, int32_t lost);
/* Members of an object held against a list of keys; path is that of the object, "" for the request. */
void door_check_keys(door *d, const pw_json *object, const char *path, const door_key *keys, const door_key *more);
/* "path.key", "path[index]" in a buffer of PW_PATH_SIZE; returns it. path may be "". */
const char *door_path_key(char *buffer, const char *path, const char *key);
const char *door_path_index(char *buffer, const char *path, int32_t index);
pw_status door_wrong_type(door *d, const pw_json *value, const char *path, pw_fact expected);
/* A quantity as text with its unit; out of [low, high] is refused. */
double door_quantity(door *d, const pw_json *object, const char *path, const char *key, pw_dimension dimension,
                     double low, double high, double otherwise);
int64_t door_whole(door *d, const pw_json *object, const char *path, const char *key, int64_t low, int64_t high,
                   int64_t otherwise);
double door_plain(door *d, const pw_json *object, const char *path, const char *key, double low, double high,
                  double otherwise);
bool door_truth(door *d, const pw_json *object, const char *path, const char *key, bool otherwise);
const char *door_string(door *d, const pw_json *object, const char *path, const char *key, const char *otherwise);
/* A list, or NULL when it is absent (or no list, then with a problem). */
const pw_json *door_list(door *d, const char *key);
/* A list of texts, `most` at most; returns how many. */
int32_t door_texts(door *d, const char *key, int32_t most, const char **out);
enum { DOOR_MOST_MOMENTS = 32 };
/* Moments within a simulation of length_ms, put in their order; NULL and 0 when there are none, or on an error. */
const int64_t *door_moments(door *d, const char *key, int64_t length_ms, int32_t *out_count);
/* Milliseconds of an option that is a time. */
int64_t door_time_ms(door *d, const pw_json *object, const char *path, const char *key, double low_s, double high_s,
                     double otherwise_s);
/* Milliseconds of an option that is a moment of a run of high_s: a time since the beginning ("10 h"), or a time of day
 * as the day book tells it ("12:10", "day 2 12:10"). */
int64_t door_moment_ms(door *d, const pw_json *object, const char *path, const char *key, double high_s,
                       double otherwise_s);

/* Site of the request, and everything built from it; NULL after problems were added. */
pw_site *door_site(door *d);
pw_plant *door_plant(door *d);
/* parameters.c: the site with the numbers of "set" changed; NULL after problems were added. */
pw_site *door_set(door *d, const pw_site *site, const pw_json *set);

bool door_cancelled(const door *d);
bool door_stop_asked(void *user, double done); /* the same, as a simulation asks it; user: the door */
void door_progress(const door *d, double done, const char *words);
void door_at_work(const door *d, double done, const char *id); /* the same, with a message without values */
bool door_simulating(void *user, double done); /* as a simulation tells how far it is, and asks whether to stop */

/* write.c */
void door_put_problems(pw_json_writer *answer, const pw_voice *voice, const char *key, const pw_problems *problems,
                       const pw_json *request, bool errors_too);
/* A number; null when it stands for "for ever" or "not known". */
void door_put_number(door *d, const char *key, double value);
/* {"low", "best", "high"}, SI. */
void door_put_estimate(door *d, const char *key, const pw_estimate *estimate);
void door_put_count(door *d, const char *key, int32_t value); /* null when negative: an index that points nowhere */
void door_put_quantity(door *d, const char *key, pw_dimension dimension, double si);
/* A text that was built in the arena; PW_MEMORY when it failed. */
pw_status door_put_text(door *d, const char *key, const pw_text *text);
/* Facts in the words of the request's language; several make one paragraph. */
void door_put_fact(door *d, const char *key, const pw_fact *fact);
void door_put_facts(door *d, const char *key, const pw_facts *facts);
void door_put_fact_list(door *d, const char *key, const pw_facts *facts); /* each a text of its own */
void door_put_settings(door *d, const char *key, const pw_settings *settings);
/* "defaults": what was taken where the sheet is silent. */
void door_put_defaults(door *d, const pw_default *list, int32_t count);
const char *door_dimension_id(pw_dimension dimension); /* "pressure" */

/* diagnose_log.c: a diagnosis from a log. */
pw_status door_diagnose_log(door *d);
pw_status door_begin_follow(door *d);
void door_put_log_hypotheses(door *d, const pw_log_verdict *verdict);
/* The log of the request: the caller's, or the one in it; NULL after problems were added. */
const pw_record *door_log(door *d);

/* Which papers are wanted. */
typedef struct door_papers {
    bool text, html, colour;
    int32_t width;
} door_papers;
extern const door_key door_paper_keys[];
door_papers door_papers_wanted(door *d, bool text, bool html);
pw_status door_put_papers(door *d, const door_papers *wanted, const pw_document *document);

/* outcome.c: outcomes of a proof's jobs as JSON and back, exactly */
void door_put_outcome(door *d, const char *key, const pw_plant *plant, const pw_jobs *jobs, const pw_outcome *outcome);
/* All outcomes, one for each job in any order; NULL after problems were added. */
pw_outcome *door_read_outcomes(door *d, const pw_json *list, const pw_plant *plant, const pw_jobs *jobs);

/* parts.c: what requests about the jobs of a proof have in common. Options from the request, those that it does not
 * have stay as they are. */
void door_read_proof(door *d, int32_t least_years, int32_t most_years, int32_t most_sweep, pw_proof_options *options);
/* "part": [i, n]: the jobs whose number divided by n leaves i; not given: all of them. */
typedef struct door_part {
    bool given;
    int32_t index, count;
} door_part;
static inline door_part door_all_jobs(void)
{
    return (door_part){false, 0, 1};
}
door_part door_read_part(door *d);
/* As many outcomes as jobs, else a problem at this key. */
bool door_one_outcome_each(door *d, const char *key, const pw_json *list, const pw_jobs *jobs);
/* Tells how far the work is before a job; PW_CANCELLED when it is not wanted any more. */
pw_status door_begin_job(door *d, const pw_plant *plant, const pw_jobs *jobs, int32_t job);

/* prove.c: a whole proof, from the outcomes that are given, or done here where they are NULL. */
pw_status door_prove_here(door *d, const pw_plant *plant, const pw_proof_options *options, const pw_json *given,
                          pw_proof **out);
/* Adds what would be typed. again: outcomes under that list, from parts; NULL or none: they are done here. */
pw_status door_find_proposal(door *d, pw_proof *proof, const pw_json *again);
/* prove_answer.c: the members of a proof, then the papers that are wanted. */
pw_status door_put_proof(door *d, const pw_proof *proof, const door_papers *wanted);

struct pw_duty_row; /* paper/paper.h */
struct pw_expects;  /* study/expect.h */

/* duty.c: where each pump works, DOOR_DUTY_ROWS at most; pressure_pa below 0: at the pressures of the settings. */
enum { DOOR_DUTY_ROWS = 3 * PW_MAX_PUMPS };
pw_status door_duty_rows(door *d, const pw_plant *plant, double pressure_pa, struct pw_duty_row *rows, int32_t *count);

/* handover.c: the grade that was asked for; NULL after a problem was added. */
const struct pw_grade *door_grade(door *d);
void door_put_expects(door *d, const struct pw_expects *list);

/* The handlers, one file each, by their rows. */
#define PW_VERB(name, ...) pw_status door_##name(door *d);
#include "door/verbs.inc"
#undef PW_VERB

/* What a run found, into the answer: everything but papers and pictures. */
void door_put_daybook(door *d, const pw_plant *plant, const pw_run_options *options, const pw_daybook *book);

#endif
