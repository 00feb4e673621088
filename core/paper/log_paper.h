/* The paper of a log: what was logged and found, drawn; what it speaks for; what to do next. */
#ifndef PW_PAPER_LOG_PAPER_H
#define PW_PAPER_LOG_PAPER_H

#include "paper/paper.h"
#include "study/log_judge.h"

#define PW_LOG_WORTH_TELLING 0.02 /* rivals below are not told (own choice) */

/* "slow leak, 0.8 to 1.4 L/min"; what to do: "measure the current while running" */
pw_fact pw_log_hypothesis_fact(pw_arena *arena, const pw_log_hypothesis *hypothesis);
pw_fact pw_log_next_fact(const pw_log_next *next);

/* plant: NULL without a sheet. */
pw_status pw_paper_log(pw_arena *arena, const pw_plant *plant, const pw_record *log, const pw_log_verdict *verdict,
                       const pw_voice *voice, pw_document **out);

#endif
