/* Private to the diagnosis: how a reading is repeated in a simulation, and the hypotheses while they are weighed. */
#ifndef PW_STUDY_DIAGNOSE_INSIDE_H
#define PW_STUDY_DIAGNOSE_INSIDE_H

#include "study/diagnose.h"

enum { PW_USES = 3 }; /* factors on what people draw */
extern const double pw_use_factor[PW_USES], pw_use_weight[PW_USES];

/* A reading on the scale on which its spread is about the same everywhere:
 *   counters  ln(starts + 1/2), ln(seconds of running + 5)
 *   gauge     fall in Pa, 0 */
typedef struct pw_outcome_of_reading {
    double y[2];
} pw_outcome_of_reading;

/* The windows of one simulation: their mean, and sums of squares around it with the windows that they came from. */
typedef struct pw_windows {
    double mean[2], square[3]; /* 00, 01, 11 */
    int32_t count;
} pw_windows;

/* What the experiments need. Plants: the site with its draws scaled, and without any. */
typedef struct pw_bench {
    const pw_site *site;
    const pw_plant *usual[PW_USES], *quiet;
    bool *keep;    /* all sentences but watches: readings are of a site that ran */
    bool *none;    /* no sentence: the pump is switched off */
    bool by_clock; /* supply or settings follow the time of day, draws aside */
    uint64_t seed;
    const pw_diagnose_options *options;
    int64_t simulated_ms;
    int64_t planned, made; /* experiments, for progress */
} pw_bench;

/* use: 0 .. PW_USES - 1. factor: more use than the sheet says, 1 for all others; fault kind NONE: healthy. */
typedef struct pw_supposed {
    pw_fault fault;
    double more_use;
} pw_supposed;

pw_status pw_bench_make(pw_arena *arena, const pw_site *site, const pw_diagnose_options *options, pw_bench *out,
                        pw_problems *problems);
/* The site with its draws so many times as often; 0 without any. */
pw_status pw_bench_plant(pw_arena *arena, const pw_site *site, double factor, const pw_plant **out,
                         pw_problems *problems);
/* One experiment. Scratch of the arena is given back. */
pw_status pw_bench_repeat(pw_bench *bench, pw_arena *arena, const pw_reading *reading, const pw_supposed *supposed,
                          int32_t use, pw_windows *out, pw_problems *problems);
/* Water that leaves in one turn of the pump, from stop to stop, when little leaves: what the vessel gives; 0: the pump
 * never turned. */
pw_status pw_bench_drawdown(pw_bench *bench, pw_arena *arena, int32_t pump, double *out_m3, pw_problems *problems);

pw_outcome_of_reading pw_reading_outcome(const pw_reading *reading);
/* Variance of a reading that comes from instrument, counting and pump curve: 00 and 11. */
void pw_reading_error(const pw_reading *reading, const double foretold[2], double out[2]);

/* A hypothesis is weighed at the severities of its scale, at some between, and finely between those. */
enum {
    PW_MOST_ON_SCALE = 12,
    PW_REFINED = 3,
    PW_STEPS_BETWEEN = 16,
    PW_FINE = (PW_MOST_ON_SCALE - 1) * PW_STEPS_BETWEEN + 1
};
_Static_assert(PW_MOST_ON_SCALE + 2 * PW_REFINED <= PW_MAX_SEVERITIES_TRIED, "what is tried between has room");

/* One hypothesis while it is worked on. */
typedef struct pw_trial {
    double prior;
    int32_t severity_count;
    double severity[PW_MAX_SEVERITIES_TRIED]; /* rising places; the severities of the scale at whole ones */
    double place[PW_MAX_SEVERITIES_TRIED];
    double mean[PW_MAX_READINGS][PW_USES][PW_MAX_SEVERITIES_TRIED][2];
    double square[PW_MAX_READINGS][3],
        spread[PW_MAX_READINGS][3]; /* of windows, over uses and severities: 00, 01, 11 */
    int32_t freedom[PW_MAX_READINGS];
    int32_t fine_count;
    double fine_likelihood[PW_FINE],
        fine_misfit[PW_FINE]; /* log of the likelihood, and the distance of the likeliest use */
    double log_evidence;
    pw_supposed supposed; /* at a severity of 0 */
} pw_trial;

typedef struct pw_diagnosing {
    pw_arena *arena;
    pw_bench bench;
    pw_diagnosis *out;
    pw_trial *trials;
    pw_problems *problems;
} pw_diagnosing;

/* ---- weighing (diagnose_weigh.c) ---- */

/* How many factors on what people draw bear on it: of a gauge on a shut site one. */
int32_t pw_reading_uses(const pw_reading *reading);
/* The severity tried next below a place. */
int32_t pw_trial_below(const pw_trial *t, double place);
/* Mean of what is foretold at a place between two severities that were tried. */
void pw_trial_mean(const pw_trial *t, int32_t reading, int32_t use, double place, double out[2]);
/* Severities lie in equal ratios where they can. */
double pw_trial_severity(const pw_trial *t, double place);
/* Fills the fine likelihoods and the evidence. */
void pw_trial_weigh(pw_diagnosing *w, pw_trial *t);
/* Place below which this share of a hypothesis' probability lies; where it is likeliest. */
double pw_trial_quantile(const pw_trial *t, double share);
double pw_trial_likeliest(const pw_trial *t);
/* ln(exp(a) + exp(b)) */
double pw_trial_log_sum(double a, double b);

/* ---- the rest ---- */

/* What is supposed of the site at a severity, or a factor on what people draw. */
pw_supposed pw_trial_suppose(const pw_trial *trial, bool more_use, double severity);
/* From the scale of an outcome to what a person reads; part 0 or 1. */
double pw_reading_back(pw_reading_kind kind, int32_t part, double y);
/* Fills out->next, the one that tells most first (diagnose_next.c). */
pw_status pw_diagnose_next(pw_diagnosing *w);

#endif
