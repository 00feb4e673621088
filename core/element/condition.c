/* The slots of all elements, and the condition of a site as built. */
#include "element/condition.h"

#include <string.h>

#include "element/bore.h"
#include "element/motor.h"
#include "element/pipe.h"
#include "element/pump.h"
#include "element/sensor.h"
#include "element/supply.h"
#include "element/valve.h"
#include "element/vessel.h"

pw_condition_slots pw_condition_slots_of(int32_t i)
{
    switch (i) {
    case 0: return pw_bore_slots();
    case 1: return pw_vessel_slots();
    case 2: return pw_pipe_slots();
    case 3: return pw_valve_slots();
    case 4: return pw_pump_slots();
    case 5: return pw_motor_slots();
    case 6: return pw_supply_slots();
    case 7: return pw_sensor_slots();
    default: return (pw_condition_slots){NULL, NULL, 0};
    }
}

size_t pw_slot_size(const pw_condition_slot *slot)
{
    return slot->type == PW_SLOT_NUMBER ? sizeof(double) : slot->type == PW_SLOT_FLAG ? sizeof(bool) : sizeof(uint8_t);
}

double pw_slot_get(const pw_condition *condition, const pw_condition_slot *slot, int32_t item)
{
    const uint8_t *at = (const uint8_t *)condition + slot->offset + (size_t)item * pw_slot_size(slot);
    double value;
    if (slot->type == PW_SLOT_NUMBER) {
        memcpy(&value, at, sizeof value);
        return value;
    }
    return *at;
}

void pw_slot_set(pw_condition *condition, const pw_condition_slot *slot, int32_t item, double value)
{
    uint8_t *at = (uint8_t *)condition + slot->offset + (size_t)item * pw_slot_size(slot);
    if (slot->type == PW_SLOT_NUMBER) {
        memcpy(at, &value, sizeof value);
    } else {
        *at = (uint8_t)value;
    }
}

void pw_condition_as_built(pw_condition *out)
{
    memset(out, 0, sizeof *out);
    for (int32_t i = 0; pw_condition_slots_of(i).rows != NULL; i++) {
        const pw_condition_slots slots = pw_condition_slots_of(i);
        for (int32_t k = 0; k < slots.count; k++) {
            for (int32_t item = 0; item < slots.rows[k].count; item++) {
                pw_slot_set(out, &slots.rows[k], item, slots.rows[k].healthy);
            }
        }
    }
}
