/* A log foretold: a plant, healthy or with a fault, simulated for some days and taken by the code that takes real logs.
 */
#ifndef PW_STUDY_LOG_FORETELL_H
#define PW_STUDY_LOG_FORETELL_H

#include "study/log_judge.h"

enum { PW_LOG_MOST_PARTS = 4 };

/* What stays the same from one plant to the next; features are of equal parts of a simulation, one a day. */
typedef struct pw_log_rig {
    pw_arena *arena;
    const pw_log_bank_options *options;
    pw_record *record;
    int32_t parts;         /* days that are simulated */
    double part_s, step_s; /* of a part: its length, and from row to row */
    double square[PW_LOG_FEATURES], freedom[PW_LOG_FEATURES];
    int64_t simulated_ms;
    bool (*stop)(void *user, double done); /* asked while it simulates; may be NULL */
    void *user;
    pw_problems *problems;
} pw_log_rig;

/* options must outlive the rig. parts: 2 .. PW_LOG_MOST_PARTS. PW_OK or PW_MEMORY. */
pw_status pw_log_rig_make(pw_log_rig *rig, pw_arena *arena, const pw_log_bank_options *options, int32_t parts,
                          pw_problems *problems);
/* Features in their compared form, the mean of the parts. Scratch of the arena is given back. A site that starts its
 * pump without end is followed until there is enough to tell. */
pw_status pw_log_foretell(pw_log_rig *rig, const pw_plant *plant, const pw_fault *fault, pw_log_features *out);
/* Variance of a feature from part to part, over all that was foretold so far. */
double pw_log_rig_variance(const pw_log_rig *rig, int32_t feature);

#endif
