#include "element/sensor.h"

#include "base/num.h"

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(chatter_hz, PW_SLOT_NUMBER, "1/s", 0.0, 0.0, PW_INF),
    PW_SLOT_EACH(sensor_bias, PW_SLOT_NUMBER, "Pa or m", 0.0, -PW_INF, PW_INF),
    PW_SLOT_EACH(sensor_lag_s, PW_SLOT_NUMBER, "s", 0.0, 0.0, PW_INF),
    PW_SLOT_EACH(sensor_hold, PW_SLOT_HOLD, "", PW_HOLD_FREE, PW_HOLD_FREE, PW_HOLD_OFF),
};

pw_condition_slots pw_sensor_slots(void)
{
    return (pw_condition_slots){"sensor", slots, sizeof slots / sizeof slots[0]};
}
