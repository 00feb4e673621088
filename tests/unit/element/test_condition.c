/* The slots: every byte of a condition but its holes and the gaps between fields belongs to exactly one slot. */
#include "kit.h"

static void every_field_has_one_slot(void **state)
{
    (void)state;
    static uint8_t owners[sizeof(pw_condition)];
    size_t owned = 0;
    memset(owners, 0, sizeof owners);
    for (int32_t i = 0; pw_condition_slots_of(i).rows != NULL; i++) {
        const pw_condition_slots slots = pw_condition_slots_of(i);
        for (int32_t k = 0; k < slots.count; k++) {
            const pw_condition_slot *slot = &slots.rows[k];
            const size_t size = pw_slot_size(slot) * (size_t)slot->count;
            assert_true(slot->offset + size <= sizeof(pw_condition));
            for (size_t byte = slot->offset; byte < slot->offset + size; byte++) {
                assert_int_equal(owners[byte], 0); /* nobody else's */
                owners[byte] = 1;
                owned++;
            }
            assert_true(slot->least <= slot->healthy && slot->healthy <= slot->most);
        }
    }
    /* what is left are the holes and less than one double for each of at most six gaps */
    const size_t holes = offsetof(pw_condition, source_yield);
    for (size_t byte = 0; byte < holes; byte++) {
        assert_int_equal(owners[byte], 0);
    }
    size_t run = 0;
    for (size_t byte = holes; byte < sizeof(pw_condition); byte++) {
        run = owners[byte] ? 0 : run + 1;
        assert_true(run < sizeof(double));
    }
    assert_true(sizeof(pw_condition) - holes - owned < 6 * sizeof(double));
}

static void as_built_is_as_the_rows_say(void **state)
{
    (void)state;
    pw_condition condition;
    memset(&condition, 0xff, sizeof condition);
    pw_condition_as_built(&condition);
    assert_int_equal(condition.leak_count, 0);
    assert_true(condition.source_yield[PW_MAX_SOURCES - 1] == 1.0);
    assert_true(condition.line_open[PW_MAX_LINES - 1] == 1.0);
    assert_true(condition.line_back[0] == 0.0);
    assert_true(condition.float_most[0] == 1.0 && condition.float_passing[0] == 0.0);
    assert_true(condition.pump_speed[0] == 1.0 && condition.supply == 1.0 && condition.sag[PW_MAX_PUMPS - 1] == 1.0);
    assert_false(condition.stalled[0] || condition.phase_lost || condition.pump_empty[0]);
    assert_int_equal(condition.sensor_hold[0], PW_HOLD_FREE);
}

static void set_and_read_back(void **state)
{
    (void)state;
    pw_condition condition;
    int32_t found = 0;
    pw_condition_as_built(&condition);
    for (int32_t i = 0; pw_condition_slots_of(i).rows != NULL; i++) {
        const pw_condition_slots slots = pw_condition_slots_of(i);
        for (int32_t k = 0; k < slots.count; k++) {
            const pw_condition_slot *slot = &slots.rows[k];
            const double value = slot->type == PW_SLOT_HOLD ? PW_HOLD_OFF : slot->type == PW_SLOT_FLAG ? 1.0 : 0.5;
            pw_slot_set(&condition, slot, slot->count - 1, value);
            assert_true(pw_slot_get(&condition, slot, slot->count - 1) == value);
            found += strcmp(slot->id, "pump_head") == 0 || strcmp(slot->id, "sensor_hold") == 0 ? 1 : 0;
        }
    }
    assert_int_equal(found, 2);
    assert_true(condition.pump_head[PW_MAX_PUMPS - 1] == 0.5);
    assert_int_equal(condition.sensor_hold[PW_MAX_SENSORS - 1], PW_HOLD_OFF);
    assert_true(condition.welded[PW_MAX_PUMPS - 1] && condition.supply_lost);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_field_has_one_slot),
        cmocka_unit_test(as_built_is_as_the_rows_say),
        cmocka_unit_test(set_and_read_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
