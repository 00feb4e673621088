/* What the settings let one pump do: how soon it can start again, and in turn with which others. */
#include "control/parts.h"

/* The shortest run that this stop allows: in each group of conditions that must hold together the longest "running for
 * TIME", and of the groups the shortest. */
static uint32_t run_before_ms(const pw_sentence *stop)
{
    uint32_t least_ms = UINT32_MAX;
    uint32_t group_ms = 0;
    for (int32_t k = 0; k < stop->term_count; k++) {
        const pw_term *term = &stop->terms[k];
        if (k > 0 && term->or_before) {
            least_ms = group_ms < least_ms ? group_ms : least_ms;
            group_ms = 0;
        }
        if (term->kind == PW_TERM_RUNNING && term->time_ms > group_ms) {
            group_ms = term->time_ms;
        }
    }
    return group_ms < least_ms ? group_ms : least_ms;
}

double pw_settings_least_cycle_s(const pw_settings *settings, int32_t pump)
{
    uint32_t stop_ms = UINT32_MAX;
    uint32_t run_ms = 0;
    uint32_t rest_ms = 0;
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        if (!pw_sentence_for(sentence, pump)) {
            continue;
        }
        if (sentence->kind == PW_SENTENCE_STOP) {
            const uint32_t before_ms = run_before_ms(sentence);
            stop_ms = before_ms < stop_ms ? before_ms : stop_ms;
        } else if (sentence->kind == PW_SENTENCE_LEAST_RUN) {
            run_ms = sentence->time_ms > run_ms ? sentence->time_ms : run_ms;
        } else if (sentence->kind == PW_SENTENCE_REST) {
            rest_ms = sentence->time_ms > rest_ms ? sentence->time_ms : rest_ms;
        }
    }
    if (stop_ms != UINT32_MAX && stop_ms > run_ms) {
        run_ms = stop_ms;
    }
    return (run_ms + (double)rest_ms) / 1000.0;
}

int32_t pw_settings_turns(const pw_settings *settings, int32_t pump)
{
    for (int32_t i = 0; i < settings->count; i++) {
        const pw_sentence *sentence = &settings->sentences[i];
        for (int32_t m = 0; sentence->kind == PW_SENTENCE_SHARE && sentence->every_stop && m < sentence->member_count;
             m++) {
            if (sentence->members[m] == pump) {
                return sentence->member_count;
            }
        }
    }
    return 1;
}
