/* Private to core/study: the weighing of a log's features. */
#ifndef PW_STUDY_LOG_JUDGE_INSIDE_H
#define PW_STUDY_LOG_JUDGE_INSIDE_H

#include "study/log_judge.h"

enum { PW_LOG_STEPS = 4, PW_LOG_FINE = (PW_LOG_SEVERITIES - 1) * PW_LOG_STEPS + 1 }; /* between two severities */

/* Where a hypothesis fits best. */
typedef struct pw_log_place {
    int32_t fine, use;
} pw_log_place;
typedef struct pw_log_ranked {
    const pw_log_supposed *supposed;
    pw_log_place place;
} pw_log_ranked;

double pw_log_spread(const pw_log_bank *bank, int32_t f);
int32_t pw_log_fine_count(const pw_log_supposed *s);
/* A feature in its compared form, between the severities; false: it would not be known. */
bool pw_log_foretold(const pw_log_supposed *s, int32_t fine, int32_t use, int32_t f, double *out);
double pw_log_of_feature(const pw_log_bank *bank, const pw_log_features *seen, const pw_log_supposed *s, int32_t fine,
                         int32_t use, int32_t f, double *square);
/* Probabilities, the most likely first, without evidence; ranked: PW_LOG_HYPOTHESES. */
void pw_log_rank(const pw_log_bank *bank, const pw_log_features *seen, double temperature, pw_log_verdict *out,
                 pw_log_ranked *ranked);
/* log_next.c */
pw_status pw_log_find_next(pw_arena *arena, const pw_site *site, const pw_log_bank *bank, uint64_t seed,
                           const pw_log_ranked *ranked, pw_log_verdict *verdict, pw_problems *problems);

#endif
