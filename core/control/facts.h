/* What the words about a lock out must know of the site: plain facts, filled in by whoever knows it (core/sim). An
 * order never acts by them. All zero: nothing is known, and the words stay general.
 */
#ifndef PW_CONTROL_FACTS_H
#define PW_CONTROL_FACTS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/limits.h"

enum { PW_MAX_SIGNALS = PW_MAX_SENSORS + 2 * PW_MAX_PUMPS + 2 };

/* What a pump takes its water from. */
typedef enum pw_fact_source { PW_FROM_UNKNOWN, PW_FROM_BORE, PW_FROM_OPEN, PW_FROM_MAINS, PW_FROM_TANK } pw_fact_source;

/* What drives its motor. */
typedef enum pw_fact_feed { PW_FED_UNKNOWN, PW_FED_DC, PW_FED_SINGLE, PW_FED_THREE } pw_fact_feed;

/* Where a signal looks, seen from one pump. */
typedef enum pw_fact_at {
    PW_AT_UNKNOWN,
    PW_AT_SUCTION,    /* pressure before it */
    PW_AT_DELIVERY,   /* pressure behind it */
    PW_AT_SOURCE,     /* level of the bore or open water that it takes from */
    PW_AT_TANK_TAKEN, /* level of the tank that it takes from */
    PW_AT_TANK_FILLED /* level of a tank that it fills */
} pw_fact_at;

typedef struct pw_pump_facts {
    uint8_t source; /* pw_fact_source */
    uint8_t feed;   /* pw_fact_feed */
    bool lifts;     /* stands above open water */
    bool non_return;
    bool vessel;                       /* a pressure vessel behind it */
    bool serves;                       /* outlets stand under its pressure */
    bool fills;                        /* a tank */
    bool float_fills;                  /* through a float valve */
    bool float_feeds;                  /* the tank that it takes from has a float valve */
    uint8_t signal_at[PW_MAX_SIGNALS]; /* pw_fact_at */
} pw_pump_facts;

typedef struct pw_site_facts {
    pw_pump_facts pumps[PW_MAX_PUMPS];
} pw_site_facts;

#endif
