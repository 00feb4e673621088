/* What a proof found, as facts to be told: what happened, who caught it, what it cost, what to do next.
 * No number that is not in the outcome or follows from it by arithmetic shown here.
 */
#ifndef PW_STUDY_PROVE_WORDS_H
#define PW_STUDY_PROVE_WORDS_H

#include "study/prove.h"

/* How an outcome is to be judged. */
typedef enum pw_finding {
    PW_FINDING_STOPPED,  /* a watch locked out and that ended it */
    PW_FINDING_TOLD,     /* a watch fired, but the pump or the water goes on */
    PW_FINDING_TOO_LATE, /* locked out, after a limit of the site (dry running, hot water, winding, pressure) had been
                            passed */
    PW_FINDING_UNSEEN,   /* no watch fired, and it does cost something */
    PW_FINDING_REFUSED,  /* a fault of the settings: the order's reader refused it as it was typed */
    PW_FINDING_WARNED,   /* likewise: it took it, with a warning of that very sentence */
    PW_FINDING_UNPROTECTED, /* no watch fired and nothing came of it, but a watch is blind or powerless from now on */
    PW_FINDING_OUTLASTED,   /* likewise, since tanks and vessels last longer than the time tried */
    PW_FINDING_HARMLESS     /* no watch fired; no water lost, no dry running or dead-heading, outlets served, no limit
                            passed */
} pw_finding;
pw_finding pw_outcome_finding(const pw_plant *plant, const pw_job *job, const pw_outcome *outcome);
/* A fault of the settings that the order's reader refused or warned of as it was typed: no watch had to see it. */
bool pw_outcome_typed(const pw_outcome *outcome);
/* Least limit of the site's motors, degC. */
double pw_outcome_winding_limit_c(const pw_site *site);
/* "stopped", "never seen": for machines, the same in every language. */
const char *pw_finding_id(pw_finding finding);
const char *pw_finding_word(pw_finding finding); /* id of the message */

/* "Slow leak, 5 L/min at shed": kind, severity, place. */
pw_fact pw_job_fact(pw_arena *arena, const pw_plant *plant, const pw_job *job);
/* What happened, who caught it, what it cost: one to three sentences. */
pw_fact pw_outcome_fact(pw_arena *arena, const pw_plant *plant, const pw_job *job, const pw_outcome *outcome);
/* What the healthy years of a proof reached, and the healthy site with each move of its margins, against which a fault
 * stands out. years 0: nothing is known. */
typedef struct pw_usual {
    int32_t years;
    bool random;       /* the years differ: some demand is random */
    bool seen_briefly; /* a trace of fewer days than show how people draw (PW_SEEN_DAYS) */
    double longest_run_s, most_starts_in_hour, pressure_max_pa, winding_max_c;
    double starts_per_day; /* of all pumps */
    double reference_pa;   /* pressure at which a pump works; pw_jobs */
} pw_usual;
pw_usual pw_proof_usual(const pw_proof *proof);

/* What to do next on site: facts are added, none when there is nothing to do.
 *   sentences  tell, too, which sentences would see this one trial: each is one that the reader takes on this site.
 *              Papers leave that to the one proposal (study/proposal.h), which is proved
 *   usual      NULL: not known */
void pw_outcome_next(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                     const pw_outcome *outcome, bool sentences, pw_facts *out);

/* What this order cannot see: one entry for each blind band, each sort of fault that no watch caught at some severity,
 * each sort that it misses at another place or time, and two at once that it misses. */
typedef struct pw_unseen {
    pw_fact what;
    pw_facts next; /* what to do about it */
} pw_unseen;
enum { PW_MAX_UNSEEN = PW_MAX_BANDS + 2 * PW_FAULT_COUNT + 64 };
/* Fills out[] and returns how many. */
int32_t pw_proof_unseen(pw_arena *arena, const pw_proof *proof, pw_unseen *out, int32_t capacity);

/* How many faults (jobs of the kind FAULT) were tried, stopped, only told, not seen. caught: by a watch; refused and
 * warned: by the order's reader. */
typedef struct pw_count_of_faults {
    int32_t tried, caught, stopped, told, too_late, refused, warned, unseen, harmless, unprotected, outlasted;
} pw_count_of_faults;
pw_count_of_faults pw_proof_counts(const pw_proof *proof);

#endif
