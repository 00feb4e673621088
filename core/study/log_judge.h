/* The verdict on a log: every hypothesis (nothing wrong, one fault at a severity, more use) is simulated on the site of
 * the sheet, the simulated log goes through the code that took the real one, and the features are compared:
 *
 *   P(hypothesis | log) ~ prior * ( mean over severity, use of  prod over features t4((seen - foretold) / spread) )^T
 *
 * t4: Student's density with four degrees of freedom, whose long tails forgive a feature that the model has wrong.
 * Spread: from stretch to stretch of the simulation, and what instrument and model are good for (log_rows.inc). T
 * below 1, as features are not independent; fitted on generated logs that no test sees (docs/diagnosis.md). The mean
 * over severity and use is the penalty for what fits much (Bayesian evidence; MacKay 2003, ch. 28, from memory).
 */
#ifndef PW_STUDY_LOG_JUDGE_H
#define PW_STUDY_LOG_JUDGE_H

#include "base/random.h"
#include "sim/sim.h"
#include "study/diagnose.h"
#include "study/log.h"

/* From so many spreads on (pw_log_change) the log is taken to be another one than before (own choice). */
#define PW_LOG_ANOTHER 3.0

/* ---- a log of a simulation ---- */

/* Rows from a simulation as a logger would have taken them. */
typedef struct pw_log_sampler {
    pw_observer observer; /* attach it */
    pw_record *record;
    double step_s, next_s, volume_m3, starts, ran_s;
    bool was_on;
    bool at_switch; /* a row of its own where the pump starts or stops */
    bool of_draw;   /* the flow is what is drawn, and not the pump's; a leak may lie before its meter or behind */
    double noise[PW_LOG_SIGNALS], resolution[PW_LOG_SIGNALS];
    pw_random random;
    double end_s; /* of the last step, and the site then */
    struct pw_log_view {
        bool there, on;
        double pressure_pa, flow_m3s, current_a, power_w, level_m;
        bool of_draw;
    } end;
    void (*row)(void *user, const pw_log_row *row); /* or NULL: into the record */
    void *user;
} pw_log_sampler;
void pw_log_sampler_begin(pw_log_sampler *sampler, pw_record *record, double step_s, double first_s, uint64_t seed);

/* ---- what each hypothesis foretells ---- */

enum { PW_LOG_SEVERITIES = 5, PW_LOG_USES = 3, PW_LOG_HYPOTHESES = 32 };

typedef struct pw_log_cell {
    pw_log_features mean; /* value: compared form (pw_log_compared) */
} pw_log_cell;

typedef struct pw_log_supposed {
    pw_fault_kind fault; /* NONE: healthy, or more use */
    bool more_use;
    double prior;
    int32_t severity_count;
    bool has_severity;
    double severity[PW_LOG_SEVERITIES];
    pw_log_cell cell[PW_LOG_SEVERITIES][PW_LOG_USES];
} pw_log_supposed;

typedef struct pw_log_bank {
    int32_t count;
    pw_log_supposed supposed[PW_LOG_HYPOTHESES];
    double variance[PW_LOG_FEATURES]; /* from stretch to stretch */
    int64_t simulated_ms;
} pw_log_bank;

typedef struct pw_log_bank_options {
    double step_s, length_s, first_s; /* of the log: step, stretch that is judged, time of day at which it begins */
    bool of_draw, at_switch;
    pw_log_told_by told_by;
    double noise[PW_LOG_SIGNALS];
    uint64_t seed;
    bool (*cancelled)(void *user, double done);
    void *user;
} pw_log_bank_options;
pw_log_bank_options pw_log_bank_asks(const pw_record *log, int32_t from, uint64_t seed);
pw_status pw_log_bank_fill(pw_arena *arena, const pw_site *site, const pw_log_bank_options *options, pw_log_bank **out,
                           pw_problems *problems);

/* ---- the verdict ---- */

enum { PW_LOG_EVIDENCE = 4, PW_LOG_NEXT = 4 };

typedef struct pw_log_evidence {
    pw_log_feature feature;
    double seen, foretold, healthy; /* SI */
    double weight;                  /* log of how much more likely than under the other one */
} pw_log_evidence;

typedef struct pw_log_hypothesis {
    pw_fault_kind fault;
    bool more_use, has_severity;
    pw_estimate severity;
    double probability, misfit;
    int32_t evidence_count;
    pw_log_evidence evidence[PW_LOG_EVIDENCE]; /* against "nothing wrong"; of that: against the next best */
    bool twin;                                 /* nothing in this log tells it from the first */
} pw_log_hypothesis;

/* Something a person can do on site, and what each hypothesis foretells. */
typedef struct pw_log_next {
    bool measured; /* a feature; else a reading */
    pw_log_feature feature;
    pw_reading reading;
    double bits;
    bool known[PW_LOG_HYPOTHESES];
    pw_estimate outcome[PW_LOG_HYPOTHESES]; /* in the sequence of the verdict */
} pw_log_next;

typedef struct pw_log_verdict {
    int32_t count, next_count;
    pw_log_hypothesis hypotheses[PW_LOG_HYPOTHESES];
    bool explained;
    int32_t from_block, to_block; /* these are judged: before, the log was another one */
    double since_s, until_s, apart;
    pw_log_features features;
    pw_log_next next[PW_LOG_NEXT];
    int64_t simulated_ms;
} pw_log_verdict;

/* The block from which on the log is judged: before, it was another one; and by how much (pw_log_change). */
int32_t pw_log_present(const pw_record *log, double *apart);
/* What a log of that block on speaks for, by a bank for such logs; the whole verdict but for what to read next. */
void pw_log_weigh_present(const pw_log_bank *bank, const pw_record *log, int32_t from, double apart,
                          pw_log_features *seen, pw_log_verdict *out);
/* temperature: 0 the one that was fitted. */
void pw_log_weigh(const pw_log_bank *bank, const pw_log_features *seen, double temperature, pw_log_verdict *out);
pw_status pw_log_judge(pw_arena *arena, const pw_site *site, const pw_record *log, const pw_diagnose_options *options,
                       pw_log_verdict **out, pw_problems *problems);

/* Without a sheet: the log against its own earlier days, by what each possibility makes more or less of. */
void pw_log_judge_alone(const pw_record *log, pw_log_verdict *out);

#endif
