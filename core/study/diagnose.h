/* Diagnosis from readings: two counters and a gauge, and what they say has gone wrong.
 *
 * Each reading is an experiment that the simulation can repeat: "nothing was drawn for a night, how often did the
 * pump start?" Every hypothesis (nothing wrong; one fault at a severity; people simply draw more) is simulated through
 * the same experiment by the very core that proves a site, and what it foretells is held against what was read:
 *
 *   P(hypothesis | readings) ~ prior * mean over severity of  sum over use of  weight * N(reading; foretold, spread)
 *
 * The mean over the severity is what a hypothesis pays for being able to fit much (Bayesian evidence; MacKay,
 * Information Theory, Inference, and Learning Algorithms, 2003, ch. 28, from memory). Spread: of the windows simulated,
 * of the pump's curve, of the instrument. What people draw is known roughly only: three factors scale it, with the
 * weights of Gauss and Hermite (Abramowitz and Stegun 25.4.46, for the normal distribution).
 *
 * What holds
 *  - Probabilities are 0 .. 1 and add up to 1 over the hypotheses that are possible on the site.
 *  - The same site, readings and seed: the same bits.
 *  - A reading that no hypothesis foretells is said to be so (`explained`), whatever the probabilities are.
 */
#ifndef PW_STUDY_DIAGNOSE_H
#define PW_STUDY_DIAGNOSE_H

#include "sim/run.h"

typedef enum pw_reading_kind {
    PW_READING_COUNTERS, /* starts and running time of one pump since a reset, water drawn as usual */
    PW_READING_QUIET,    /* the same while nothing was drawn, for instance overnight */
    PW_READING_REST,     /* pump switched off, all taps shut: the gauge falls */
    PW_READING_ISOLATED, /* the same with the valve behind the pump shut, too */
    PW_READING_COUNT
} pw_reading_kind;

typedef struct pw_reading {
    pw_reading_kind kind;
    int32_t pump;          /* all but REST */
    int64_t starts;        /* 0 or more */
    double ran_s;          /* 0 .. over_s */
    double over_s;         /* all kinds: how long it took, above 0 */
    double from_pa, to_pa; /* gauge: at the first pressure sensor's place, from_pa >= to_pa */
} pw_reading;

enum { PW_MAX_READINGS = 8, PW_MAX_SEVERITIES_TRIED = 20, PW_MAX_HYPOTHESES = 24, PW_MAX_NEXT = 4 };

bool pw_reading_is_gauge(pw_reading_kind kind);

/* A value with the interval that holds it with 90 %. */
typedef struct pw_estimate {
    double low, best, high;
} pw_estimate;

/* What a hypothesis foretells for one reading: starts and seconds of running, or the fall of a gauge in Pa. */
typedef struct pw_foretold {
    pw_estimate first;  /* starts; or fall_pa */
    pw_estimate second; /* ran_s; 0 for a gauge */
} pw_foretold;

typedef struct pw_hypothesis {
    pw_fault_kind fault; /* NONE: nothing is wrong, or more is drawn */
    bool more_use;       /* people draw more than the sheet says: severity is how many times as much */
    bool has_severity;
    pw_estimate severity; /* SI, in the fault's dimension */
    double probability;
    double misfit; /* squared distance of the readings from the best of it, in spreads */
    pw_foretold foretold[PW_MAX_READINGS];
} pw_hypothesis;

/* An experiment that was not made yet, and what it is worth. */
typedef struct pw_next_reading {
    pw_reading reading;                     /* what to do: kind, pump, over_s, from_pa */
    double bits;                            /* expected gain of information about which hypothesis is right */
    pw_estimate outcome[PW_MAX_HYPOTHESES]; /* of each hypothesis: starts, or fall_pa */
} pw_next_reading;

/* What QUIET counters say by themselves: the water lost, and what the vessel gives between stop and start. */
typedef struct pw_quiet_balance {
    bool known;
    double pumped_m3s;    /* mean flow of the pump while it runs between cut-in and cut-out */
    pw_estimate leak_m3s; /* water that leaves while nothing is drawn */
    pw_estimate drawdown_m3;
    double sheet_m3; /* drawdown of the site as its sheet says */
} pw_quiet_balance;

typedef struct pw_diagnosis {
    int32_t reading_count, hypothesis_count, next_count;
    pw_reading readings[PW_MAX_READINGS];
    pw_hypothesis hypotheses[PW_MAX_HYPOTHESES]; /* the most probable first */
    bool explained; /* the best one lies within the spread: misfit below the 99.9 % point of chi-squared */
    pw_next_reading next[PW_MAX_NEXT]; /* the most telling first */
    pw_quiet_balance quiet[PW_MAX_READINGS];
    int64_t simulated_ms; /* time on site that was simulated */
} pw_diagnosis;

typedef struct pw_diagnose_options {
    uint64_t seed;
    bool (*cancelled)(void *user, double done); /* true ends it with PW_CANCELLED; may be NULL */
    void *user;
} pw_diagnose_options;

/* site: as it should be; it was read and can be built. readings: 1 .. PW_MAX_READINGS, within their ranges (else
 * PW_RANGE). The diagnosis lies in the arena. */
pw_status pw_diagnose(pw_arena *arena, const pw_site *site, const pw_reading *readings, int32_t count,
                      const pw_diagnose_options *options, pw_diagnosis **out, pw_problems *problems);

#endif
