/* A log without a sheet: what has changed in it, and what makes such a change. */
#include <string.h>

#include "study/log_inside.h"
#include "study/log_judge.h"

/* Directions: more (+1), less (-1), as it was (0), not known (2). From how each fault works (own derivation); priors
 * and widths are own choices, no source. */
enum { SAME = 0, OPEN = 2, LOOKED_AT = 12 };
static const pw_log_feature looked_at[LOOKED_AT] = {
    PW_FOUND_FLOW,       PW_FOUND_CURRENT,    PW_FOUND_POWER,     PW_FOUND_MIDDLE,
    PW_FOUND_CUT_IN,     PW_FOUND_RUN_USUAL,  PW_FOUND_REST_LONG, PW_FOUND_FALL_QUIET,
    PW_FOUND_FLOW_NIGHT, PW_FOUND_STARTS_DAY, PW_FOUND_SHAKE,     PW_FOUND_WATER,
};
typedef struct direction_row {
    pw_fault_kind fault;
    bool more_use;
    double prior;
    int8_t way[LOOKED_AT];
} direction_row;
static const direction_row rows[] = {
    /* flow, current, power, pressure, cut-in, run, rest, fall, night, starts, vibration, level */
    {PW_FAULT_NONE, false, 0.50, {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}},
    {PW_FAULT_SLOW_LEAK, false, 0.10, {0, 0, 0, 2, 0, 2, -1, 1, 1, 1, 0, 0}},
    {PW_FAULT_LOST_AIR, false, 0.06, {0, 0, 0, 0, 0, -1, -1, 1, 0, 1, 0, 0}},
    {PW_FAULT_WORN, false, 0.05, {-1, 2, 2, -1, 0, 1, 0, 0, 0, 0, 2, 2}},
    {PW_FAULT_BLOCKED_INTAKE, false, 0.05, {-1, -1, -1, -1, 0, 1, 0, 0, 0, 0, 2, 2}},
    {PW_FAULT_VALVE_CLOSED, false, 0.05, {-1, -1, -1, 2, 0, 2, 2, 0, 0, 2, 2, 2}},
    {PW_FAULT_DRY_SOURCE, false, 0.04, {-1, -1, -1, -1, 0, 1, 2, 0, 0, 2, 2, -1}},
    {PW_FAULT_FALLING_LEVEL, false, 0.04, {-1, 2, 2, -1, 0, 1, 0, 0, 0, 0, 0, -1}},
    {PW_FAULT_BROWN_OUT, false, 0.03, {-1, 1, 2, -1, 0, 1, 0, 0, 0, 0, 0, 2}},
    {PW_FAULT_READS_HIGH, false, 0.02, {0, 2, 2, 1, 1, 2, 0, 0, 0, 0, 0, 0}},
    {PW_FAULT_READS_LOW, false, 0.02, {0, 2, 2, -1, -1, 2, 0, 0, 0, 0, 0, 0}},
    {PW_FAULT_NONE, true, 0.08, {0, 0, 0, 2, 0, 0, 2, 0, 0, 1, 0, 2}},
};
enum { ROWS = sizeof rows / sizeof rows[0] };

#define FLOOR       0.4 /* part of the least spread that counts between days of one log */
#define WIDE        6.0 /* spreads that a change in the right direction may be */
#define TEMPERATURE 0.6
#define ANOTHER     5.0 /* spreads from which on it is told as a change (own choice) */

/* Log of the density of a change of z spreads. */
static double log_of(int8_t way, double z)
{
    const double same = -2.5 * pw_log(1.0 + 0.25 * z * z);
    if (way == SAME) {
        return same;
    }
    if (way == OPEN) {
        return pw_log(0.5 * pw_exp(same) + 0.5 * pw_exp(-pw_abs(z) / WIDE) / WIDE);
    }
    const double right = z * (double)way;
    return pw_log(0.2 * pw_exp(same) + (right > 0.0 ? 0.8 * pw_exp(-right / WIDE) / (0.5 * WIDE) : 1e-6));
}

static void changes(const pw_record *log, int32_t at, const pw_log_features *before, const pw_log_features *after,
                    double z[LOOKED_AT])
{
    pw_log_features each[PW_LOG_BLOCKS];
    for (int32_t b = 0; b < log->block_count; b++) {
        pw_log_features_of(log, b, b + 1, &each[b]);
    }
    for (int32_t i = 0; i < LOOKED_AT; i++) {
        const pw_log_feature f = looked_at[i];
        z[i] = PW_LOG_MISSING;
        if (at > 0 && before->known[f] && after->known[f]) {
            const double step = pw_log_compared(f, after->value[f]) - pw_log_compared(f, before->value[f]);
            const double spread = pw_log_own_spread(each, log->block_count, f, FLOOR);
            z[i] = step / pw_sqrt(spread * spread + pw_log_count_variance(before, after, f));
        }
    }
}

static void weigh(const double z[LOOKED_AT], const pw_log_features *before, const pw_log_features *after,
                  pw_log_verdict *out)
{
    double weight[ROWS], sum = 0.0;
    for (int32_t i = 0; i < ROWS; i++) {
        double log_sum = 0.0;
        pw_log_hypothesis *h = &out->hypotheses[i];
        memset(h, 0, sizeof *h);
        h->fault = rows[i].fault;
        h->more_use = rows[i].more_use;
        for (int32_t k = 0; k < LOOKED_AT; k++) {
            if (!pw_log_there(z[k])) {
                continue;
            }
            log_sum += log_of(rows[i].way[k], z[k]);
            const bool told = rows[i].way[k] == 1 || rows[i].way[k] == -1;
            if (told && z[k] * (double)rows[i].way[k] > 2.0 && h->evidence_count < PW_LOG_EVIDENCE) {
                const pw_log_feature f = looked_at[k];
                h->evidence[h->evidence_count] =
                    (pw_log_evidence){f, after->value[f], after->value[f], before->value[f], pw_abs(z[k])};
                h->evidence_count++;
            }
        }
        weight[i] = rows[i].prior * pw_exp(TEMPERATURE * log_sum);
        sum += weight[i];
    }
    for (int32_t i = 0; i < ROWS; i++) {
        out->hypotheses[i].probability = sum > 0.0 ? weight[i] / sum : rows[i].prior;
    }
    out->count = ROWS;
}

/* A flow that never ended is a leak by itself, whatever changed or not. */
static void weigh_standing(const pw_record *log, pw_log_verdict *out)
{
    const pw_log_standing *surest = NULL;
    for (int32_t i = 0; i < log->meter.count; i++) {
        const pw_log_standing *one = &log->meter.list[i];
        surest = surest == NULL || one->probability >= surest->probability ? one : surest;
    }
    for (int32_t i = 0; surest != NULL && i < out->count; i++) {
        pw_log_hypothesis *h = &out->hypotheses[i];
        const bool leak = h->fault == PW_FAULT_SLOW_LEAK;
        h->probability = (1.0 - surest->probability) * h->probability + (leak ? surest->probability : 0.0);
        if (leak && surest->probability >= 0.5) {
            h->has_severity = true;
            h->severity = (pw_estimate){surest->low_m3s, surest->size_m3s, surest->high_m3s};
        }
    }
}

void pw_log_judge_alone(const pw_record *log, pw_log_verdict *out)
{
    pw_log_features before, after;
    double z[LOOKED_AT];
    memset(out, 0, sizeof *out);
    bool only[PW_LOG_FEATURES] = {false};
    int32_t at, to;
    for (int32_t i = 0; i < LOOKED_AT; i++) {
        only[looked_at[i]] = true;
    }
    pw_log_change_among(log, FLOOR, only, &at, &to, &out->apart);
    pw_log_features_of(log, 0, at > 0 ? at : log->block_count, &before);
    pw_log_features_of(log, at, to, &after);
    changes(log, at, &before, &after, z);
    const bool another = out->apart >= ANOTHER;
    out->from_block = another ? at : 0;
    out->to_block = another ? to : log->block_count;
    out->until_s = pw_min(pw_log_block_begin_s(log, out->to_block), log->last_s);
    out->since_s = pw_log_block_begin_s(log, out->from_block);
    out->features = after;
    out->explained = true;
    weigh(z, &before, &after, out);
    weigh_standing(log, out);
    for (int32_t i = 1; i < out->count; i++) {
        for (int32_t k = i; k > 0 && out->hypotheses[k].probability > out->hypotheses[k - 1].probability; k--) {
            const pw_log_hypothesis h = out->hypotheses[k];
            out->hypotheses[k] = out->hypotheses[k - 1];
            out->hypotheses[k - 1] = h;
        }
    }
}
