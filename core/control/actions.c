/* The forms of action, by kind. */
#include "control/action.h"

static const pw_action *const actions[PW_SENTENCE_COUNT] = {
#define PW_ACTION(name) &pw_action_##name,
#include "control/actions.inc"
#undef PW_ACTION
};

const pw_action *pw_action_of(uint8_t kind)
{
    return actions[kind];
}

const char *pw_control_kind_name(pw_sentence_kind kind)
{
    return actions[kind]->name;
}

const char *pw_control_held_id(pw_sentence_kind kind)
{
    return actions[kind]->held;
}

/* What a pump that is to start waits for: of several what lasts longest, of equals the last in the list. */
uint32_t pw_start_left(const pw_table *table, const pw_control *control, int32_t pump, uint32_t now_ms,
                       pw_sentence_kind *by)
{
    uint32_t longest_ms = 0;
    *by = PW_SENTENCE_COUNT;
    for (int32_t kind = 0; kind < PW_SENTENCE_COUNT; kind++) {
        if (actions[kind]->start_left != NULL) {
            const uint32_t left_ms = actions[kind]->start_left(table, control, pump, now_ms);
            if (left_ms > 0 && left_ms >= longest_ms) {
                longest_ms = left_ms;
                *by = (pw_sentence_kind)kind;
            }
        }
    }
    return longest_ms;
}
