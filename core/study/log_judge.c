/* A log from its rows to the verdict. */
#include "study/log_judge.h"

#include <string.h>

#include "study/log_judge_inside.h"

int32_t pw_log_present(const pw_record *log, double *apart)
{
    const int32_t at = pw_log_change(log, apart);
    return *apart >= PW_LOG_ANOTHER ? at : 0;
}

void pw_log_weigh_present(const pw_log_bank *bank, const pw_record *log, int32_t from, double apart,
                          pw_log_features *seen, pw_log_verdict *out)
{
    memset(out, 0, sizeof *out);
    pw_log_features_of(log, from, log->block_count, seen);
    pw_log_weigh(bank, seen, 0.0, out);
    out->apart = apart;
    out->from_block = from;
    out->to_block = log->block_count;
    out->since_s = pw_log_block_begin_s(log, from);
    out->until_s = log->last_s;
}

pw_status pw_log_judge(pw_arena *arena, const pw_site *site, const pw_record *log, const pw_diagnose_options *options,
                       pw_log_verdict **out, pw_problems *problems)
{
    pw_log_verdict *v = *out = PW_NEW(arena, 1, pw_log_verdict);
    pw_log_ranked ranked[PW_LOG_HYPOTHESES];
    pw_log_verdict *plain = PW_NEW(arena, 1, pw_log_verdict);
    pw_log_features seen;
    pw_log_bank *bank = NULL;
    double apart;
    if (v == NULL || plain == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    const int32_t from = pw_log_present(log, &apart);
    pw_log_bank_options asks = pw_log_bank_asks(log, from, options->seed);
    asks.cancelled = options->cancelled;
    asks.user = options->user;
    pw_status status = pw_log_bank_fill(arena, site, &asks, &bank, problems);
    if (status != PW_OK) {
        return status;
    }
    pw_log_weigh_present(bank, log, from, apart, &seen, v);
    v->simulated_ms = bank->simulated_ms;
    pw_log_rank(bank, &seen, 0.0, plain, ranked); /* the same sequence, and where each fits best */
    return pw_log_find_next(arena, site, bank, options->seed, ranked, v, problems);
}
