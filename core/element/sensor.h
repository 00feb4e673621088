/* Sensor: what a fault may change of it. How it reads is part of a simulation (core/sim), which knows the time. */
#ifndef PW_ELEMENT_SENSOR_H
#define PW_ELEMENT_SENSOR_H

#include "element/condition.h"

pw_condition_slots pw_sensor_slots(void);

#endif
