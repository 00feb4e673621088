/* What the site sheet says for the sizing of a site (section `design`): who uses the water, and the limits that pipes,
 * cables and the pressure vessel must keep. Of this a simulation takes the suction and the water in the pump, nothing
 * else.
 */
#ifndef PW_SITE_DESIGN_H
#define PW_SITE_DESIGN_H

#include <stdbool.h>
#include <stdint.h>

#include "base/limits.h"
#include "formula/cable.h"
#include "formula/demand.h"

/* A number that knows whether the user wrote it. */
typedef struct pw_field {
    double v; /* SI */
    bool given;
} pw_field;

/* Who uses the water of one outlet. Numbers that were not given are 0. */
typedef struct pw_use {
    int32_t outlet;
    pw_flush flush;
    pw_field fixtures[PW_FIXTURE_COUNT]; /* how many */
    pw_field loadings[PW_LOADING_COUNT];
    pw_field stock[PW_STOCK_COUNT];
    pw_field people;
    pw_field person_m3s;  /* mean over the day, each */
    pw_field peak_factor; /* busiest hour over mean hour */
    pw_field drinking_s;  /* time of the day in which stock drinks its day's water */
    pw_field zones;       /* irrigation zones ... */
    pw_field zone_m3s;    /* ... of this flow each ... */
    pw_field zone_s;      /* ... watered so long a day each ... */
    pw_field zones_at_once;
    pw_field flow_m3s; /* stated: counts besides the others */
} pw_use;

typedef struct pw_pipe_price {
    char pipe[PW_NAME_SIZE];
    pw_field per_m; /* money for each metre */
} pw_pipe_price;

typedef enum pw_pump_stand { PW_STAND_SUBMERGED, PW_STAND_SURFACE } pw_pump_stand;

typedef struct pw_suction {
    pw_pump_stand stand;
    pw_field height_m; /* of the pump over the source's place (surface) */
    pw_field bore_m;   /* of the suction pipe */
    pw_field length_m; /* of the suction pipe */
    bool foot_valve, strainer;
    pw_field velocity_ms;    /* most in the suction pipe */
    pw_field margin_m;       /* NPSH available must be this much over what is required */
    pw_field unknown_npsh_m; /* required, where the curve does not say */
} pw_suction;

typedef struct pw_supply_cable {
    pw_field length_m;
    pw_field section_mm2; /* 0: to be chosen */
    pw_field conductor_c; /* temperature when loaded */
    pw_laying laying;
    pw_field around_c;   /* air or ground that it lies in */
    pw_field drop;       /* most while running, of the supply */
    pw_field start_drop; /* most while starting */
    pw_field fault_a;    /* short-circuit current where the cable begins */
    pw_field fault_s;    /* time until the protection opens */
    pw_field dip;        /* of a generator's voltage while the pump starts */
    pw_field reactance;  /* transient, of the generator, per unit */
    pw_field soft_start; /* current limit of a soft starter, times full-load current */
} pw_supply_cable;

enum { PW_MAX_USES = 32, PW_MAX_PIPE_PRICES = 64, PW_MAX_DESIGN_DEFAULTS = 384 };

typedef struct pw_design {
    int32_t use_count, price_count;
    pw_use uses[PW_MAX_USES];
    pw_pipe_price prices[PW_MAX_PIPE_PRICES];
    pw_field flow_m3s;     /* stated design flow, 0: worked out */
    pw_field pumping_s;    /* hours a day that the pump may run */
    pw_field velocity_ms;  /* most in a line */
    pw_field gradient;     /* most friction: metres of head for each metre of line */
    pw_field season_m;     /* how much further down the standing level is at its lowest */
    pw_field mains_low;    /* lowest pressure of a mains supply, of the stated */
    pw_field aged_rough_m; /* 0: by material */
    pw_field energy_price; /* money for each kWh, 0: not known */
    char currency[PW_NAME_SIZE];
    pw_field starts_per_hour; /* most that the vessel must keep */
    pw_field charge_gap_pa;   /* precharge below cut-in */
    pw_field poles;           /* of the motor */
    pw_field inertia_kgm2;    /* of what the motor turns, 0: not known */
    pw_field casing_m3;       /* water inside the pump */
    pw_field heat_loss_wk;    /* of the casing to its surroundings */
    pw_field rise_k;          /* most that the water may warm in the pump at least flow */
    pw_suction suction;
    pw_supply_cable cable;
} pw_design;

#endif
