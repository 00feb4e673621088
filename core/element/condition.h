/* Condition: what is wrong with the site, in terms of physics. As built, unless a fault changes it; the controller
 * never looks at it. Each element says which slots of it are its own, what they are when all is well and within what
 * range its law stands them (pw_condition_slot, in the element's file); a test holds that no field is without a row.
 */
#ifndef PW_ELEMENT_CONDITION_H
#define PW_ELEMENT_CONDITION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/limits.h"

enum { PW_MAX_LEAKS = 4 };

/* One hole: flow = Cd A sqrt(2 g head) at its place. With opens_pa above 0 it is a relief valve: shut up to that gauge
 * pressure at its place, full open a tenth above it. */
typedef struct pw_leak {
    int32_t place;
    double area_m2; /* Cd times area */
    double opens_pa;
} pw_leak;

/* What a sensor or contact is held at, whatever is true. */
typedef enum pw_hold { PW_HOLD_FREE, PW_HOLD_AS_IT_IS, PW_HOLD_ON, PW_HOLD_OFF } pw_hold;

/* The first part is what the laws need, the second what a simulation (core/sim) does with it. */
typedef struct pw_condition {
    int32_t leak_count;
    pw_leak leaks[PW_MAX_LEAKS];
    double source_yield[PW_MAX_SOURCES];    /* factor on yield and specific capacity, 1 healthy, 0 dry */
    double source_fall_m[PW_MAX_SOURCES];   /* the standing water level is lower than the sheet says by this much */
    double vessel_air[PW_MAX_VESSELS];      /* fraction of the gas charge still there, 1 .. 0 */
    double vessel_extra_pa[PW_MAX_VESSELS]; /* precharge above that of the sheet */
    double float_passing[PW_MAX_TANKS];     /* smallest opening of the float valve, 0 healthy .. 1 stuck open */
    double float_most[PW_MAX_TANKS];        /* largest opening of the float valve, 1 healthy .. 0 stuck shut */
    double line_open[PW_MAX_LINES];         /* opening of the line's valve, 1 .. 0 shut */
    double line_friction[PW_MAX_LINES];     /* factor on the head lost in the line, 1 as built */
    double line_pocket_m[PW_MAX_LINES];     /* height of an air pocket behind the line's high point, m of water lost */
    bool line_air[PW_MAX_LINES];            /* air stands at the high points of the line: no water hangs over them */
    bool place_air[PW_MAX_PLACES];          /* likewise at a place */
    double line_back[PW_MAX_LINES];     /* opening of the line's non-return valve to water that flows back, 0 tight */
    double filter_rise[PW_MAX_FILTERS]; /* drop of a filter over that of the clean one, by the water that passed */
    double filter_clogged[PW_MAX_FILTERS]; /* factor on it, by a fault, 1 as built */
    /* opening of the valve at the pump's outlet, before its delivery place, 1 .. 0 shut */
    double pump_open[PW_MAX_PUMPS];
    double pump_back[PW_MAX_PUMPS];   /* opening of the pump's non-return valve to water that flows back, 0 tight */
    double pump_intake[PW_MAX_PUMPS]; /* free part of the intake's area, 1 .. 0 blocked */
    double pump_head[PW_MAX_PUMPS];   /* factor on the head of the curve */
    double pump_flow[PW_MAX_PUMPS];   /* factor on the flows of the curve, above 0 */
    double pump_load[PW_MAX_PUMPS];   /* factor on the shaft power */
    double pump_speed[PW_MAX_PUMPS];  /* factor on the speed, by the supply */
    double pump_amps[PW_MAX_PUMPS];   /* factor on the current, by the supply (a phase lost) */
    bool pump_empty[PW_MAX_PUMPS];    /* no water in the pump: it lost its prime */
    bool stalled[PW_MAX_PUMPS];       /* switched on and not turning: locked-rotor current, no head */
    double supply;                    /* factor on the supply voltage */
    double charge;                    /* of a battery, 0 .. 1 */
    double power_w; /* most that the pumps get together; a drive slows them down to it. PW_INF: whatever they take */

    bool welded[PW_MAX_PUMPS];        /* contactor welded: runs whatever the output says, once it was pulled in */
    double not_closing[PW_MAX_PUMPS]; /* part of the orders to start that the contactor does not follow */
    double drains_s[PW_MAX_PUMPS];    /* at rest the pump loses its prime in this time; 0 never */
    /* surge when the non-return valve shuts after a stop, on both sides of the pressure */
    double slam_pa[PW_MAX_PUMPS];
    double slam_half_s[PW_MAX_PUMPS]; /* half its period */
    double sag[PW_MAX_PUMPS];         /* factor on the voltage while a motor starts */
    bool phase_lost, supply_lost;
    double chatter_hz[PW_MAX_SENSORS];  /* flow switch: changes per second while its pump runs, 0 none */
    double sensor_bias[PW_MAX_SENSORS]; /* added to what the sensor tells, Pa or m */
    /* time constant of a pressure sensor behind a nearly blocked tapping, 0 none */
    double sensor_lag_s[PW_MAX_SENSORS];
    uint8_t sensor_hold[PW_MAX_SENSORS]; /* pw_hold */
} pw_condition;

typedef enum pw_slot_type { PW_SLOT_NUMBER, PW_SLOT_FLAG, PW_SLOT_HOLD } pw_slot_type; /* double, bool, pw_hold */

/* One row: what a fault may change of one kind of element. */
typedef struct pw_condition_slot {
    const char *id; /* name of the field in pw_condition */
    size_t offset;
    int32_t count; /* one for each element of the kind, or 1 for the whole site */
    pw_slot_type type;
    const char *unit;            /* SI, "" for a bare number */
    double healthy, least, most; /* as built; range, PW_INF without end. Flags and holds: 0 */
} pw_condition_slot;

/* For the tables: a slot for each element, and one of the site. */
#define PW_SLOT_EACH(field, type_, unit_, healthy_, least_, most_)                                                     \
    {                                                                                                                  \
#field, offsetof(pw_condition, field),                                                                         \
            (int32_t)(sizeof((pw_condition *)0)->field / sizeof((pw_condition *)0)->field[0]), type_, unit_, healthy_, \
            least_, most_                                                                                              \
    }
#define PW_SLOT_ONE(field, type_, unit_, healthy_, least_, most_)                       \
    {                                                                                   \
#field, offsetof(pw_condition, field), 1, type_, unit_, healthy_, least_, most_ \
    }

typedef struct pw_condition_slots {
    const char *element; /* "pump" */
    const pw_condition_slot *rows;
    int32_t count;
} pw_condition_slots;

/* All slots, element by element; i from 0 until rows is NULL. Holes (leaks) are a list and not among them. */
pw_condition_slots pw_condition_slots_of(int32_t i);
/* Bytes that one value of the slot takes, and one value in a condition. */
size_t pw_slot_size(const pw_condition_slot *slot);
double pw_slot_get(const pw_condition *condition, const pw_condition_slot *slot, int32_t item);
void pw_slot_set(pw_condition *condition, const pw_condition_slot *slot, int32_t item, double value);

/* All slots healthy, no hole. */
void pw_condition_as_built(pw_condition *out);

#endif
