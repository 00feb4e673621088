/* Pumps that share the work.
 *
 * The queue has the pump on duty first. Roles count the pumps that are not locked out from its front, so when one locks
 * out those behind it move up: the standby becomes assist, the assist becomes duty. A pump that is released goes to the
 * end of the queue, and the work changes hands (the first one goes to the end) only while none of them runs: so no
 * running pump ever changes to a lower role.
 */
#include "control/parts.h"

static const char *const roles[PW_MAX_PUMPS] = {"duty",         "assist",        "second assist",
                                                "third assist", "fourth assist", "fifth assist"};

const char *pw_role_name(int32_t role)
{
    return roles[role];
}

int32_t pw_control_role(const pw_table *table, const pw_control *control, int32_t pump)
{
    int32_t role = 0;
    for (int32_t i = 0; i < table->member_count; i++) {
        int32_t one = control->queue[i];
        bool locked = control->pumps[one].state == PW_PUMP_LOCKED;
        if (one == pump) {
            return locked ? -1 : role;
        }
        role += locked ? 0 : 1;
    }
    return -1;
}

bool pw_row_is_for(const pw_moment_view *m, const pw_row *row)
{
    return row->role < 0 || pw_control_role(m->whole, m->control, m->number) == row->role;
}

void pw_team_begin(const pw_table *table, pw_control *control, uint32_t now_ms)
{
    for (int32_t i = 0; i < table->member_count; i++) {
        control->queue[i] = table->members[i];
    }
    control->change = (pw_moment){.at_ms = now_ms, .long_ago = false};
}

/* Where a pump stands in the queue; the end when it does not share. */
static int32_t place_of(const pw_table *table, const pw_control *control, int32_t pump)
{
    int32_t at = 0;
    while (at < table->member_count && control->queue[at] != pump) {
        at++;
    }
    return at;
}

static void to_the_end(const pw_table *table, pw_control *control, int32_t at)
{
    int8_t pump = control->queue[at];
    for (int32_t i = at; i + 1 < table->member_count; i++) {
        control->queue[i] = control->queue[i + 1];
    }
    control->queue[table->member_count - 1] = pump;
}

void pw_team_unlocked(const pw_table *table, pw_control *control, int32_t pump)
{
    int32_t at = place_of(table, control, pump);
    if (at < table->member_count) {
        to_the_end(table, control, at);
    }
}

void pw_team_stopped(const pw_moment_view *m)
{
    bool duty = pw_control_role(m->whole, m->control, m->number) == 0;
    m->control->change_wanted = m->control->change_wanted || (duty && m->whole->every_stop);
}

void pw_team_sequence(const pw_table *table, const pw_control *control, int16_t *sequence)
{
    bool shares[PW_MAX_PUMPS] = {false};
    int32_t next = 0;
    for (int32_t i = 0; i < table->member_count; i++) {
        shares[table->members[i]] = true;
    }
    for (int32_t p = 0; p < table->pump_count; p++) {
        sequence[p] = shares[p] ? control->queue[next] : (int16_t)p;
        next += shares[p] ? 1 : 0;
    }
}

static bool old_enough(const pw_table *table, const pw_control *control, uint32_t now_ms)
{
    return table->change_ms > 0 && pw_moment_age(control->change, now_ms) >= table->change_ms;
}

bool pw_team_change(const pw_table *table, pw_control *control, uint32_t now_ms)
{
    if (table->member_count == 0 || !(control->change_wanted || old_enough(table, control, now_ms))) {
        return false;
    }
    for (int32_t i = 0; i < table->member_count; i++) {
        if (control->pumps[table->members[i]].state == PW_PUMP_RUNNING) {
            return false;
        }
    }
    int32_t duty = 0;
    while (duty < table->member_count && control->pumps[control->queue[duty]].state == PW_PUMP_LOCKED) {
        duty++;
    }
    if (duty < table->member_count) {
        to_the_end(table, control, duty);
    }
    control->change_wanted = false;
    control->change = (pw_moment){.at_ms = now_ms, .long_ago = false};
    return true;
}

uint32_t pw_team_due(const pw_table *table, const pw_control *control, uint32_t now_ms)
{
    uint32_t age_ms = pw_moment_age(control->change, now_ms);
    return table->member_count > 0 && age_ms < table->change_ms ? table->change_ms - age_ms : PW_NEVER_MS;
}
