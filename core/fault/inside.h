/* Shared inside core/fault only. */
#ifndef PW_FAULT_INSIDE_H
#define PW_FAULT_INSIDE_H

#include "fault/fault.h"

/* What a fault can befall. */
typedef enum fault_befalls {
    BEFALLS_NOTHING,
    BEFALLS_PLACE,
    BEFALLS_SOURCE,
    BEFALLS_LEVEL_SOURCE, /* bore or open water */
    BEFALLS_VESSEL,
    BEFALLS_FLOAT, /* tank with a float valve */
    BEFALLS_FLOW_SWITCH,
    BEFALLS_PRESSURE_SENSOR,
    BEFALLS_MEASURING_SENSOR, /* of pressure or level */
    BEFALLS_PROBE,
    BEFALLS_VALVE,
    BEFALLS_LINE,
    BEFALLS_NON_RETURN, /* line or pump with a non-return valve */
    BEFALLS_PUMP,
    BEFALLS_SUCTION_PUMP, /* that does not stand under pressure or deep in a bore */
    BEFALLS_BORE_PUMP,
    BEFALLS_LIFTING_PUMP, /* over open water */
    BEFALLS_NON_RETURN_PUMP,
    BEFALLS_THREE_PHASE_PUMP,
    BEFALLS_SUPPLY,
    BEFALLS_THREE_PHASES,  /* supply of at least one three-phase motor */
    BEFALLS_SETTINGS_PAIR, /* an order with a start and a stop on one sensor, or on a pair of probes */
    BEFALLS_SETTINGS_PRESSURE,
    BEFALLS_SETTINGS_SECONDS
} fault_befalls;

bool fault_is_kind(pw_fault_kind kind);
fault_befalls fault_befalls_of(pw_fault_kind kind);
int32_t fault_usual_leak_place(const pw_site *site);

#endif
