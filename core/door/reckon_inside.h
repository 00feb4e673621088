/* How a formula is put into the list of pw_reckon: a row with its inputs, outputs and a small function.
 * Private to reckon*.c.
 */
#ifndef PW_DOOR_RECKON_INSIDE_H
#define PW_DOOR_RECKON_INSIDE_H

#include <stdint.h>

#include "base/limits.h"
#include "base/status.h"
#include "base/units.h"
#include "formula/pipe.h"

enum { PW_RECKON_INPUTS = 14, PW_RECKON_OUTPUTS = 10 };

typedef enum pw_slot_kind {
    PW_SLOT_END,
    PW_SLOT_NEEDED,
    PW_SLOT_DEFAULT, /* `value` when not given */
    PW_SLOT_TEXT,
    PW_SLOT_MAYBE_TEXT, /* NULL when not given */
    PW_SLOT_LIST        /* of quantities, at most PW_MAX_CURVE */
} pw_slot_kind;

typedef struct pw_slot {
    const char *name;
    pw_slot_kind kind;
    pw_dimension dimension;
    const char *unit; /* a unit without a dimension of its own ("kg/m3"); NULL: that of the dimension */
    double low, high; /* allowed, both included, SI */
    double value;     /* default */
} pw_slot;

typedef struct pw_result {
    const char *name;
    pw_dimension dimension;
    const char *unit;
} pw_result;

/* One calculation. Arrays go by the place of the slot or result in its row. */
typedef struct pw_reckoning {
    double in[PW_RECKON_INPUTS];
    const char *text[PW_RECKON_INPUTS];
    int32_t list_count[PW_RECKON_INPUTS];
    double list[PW_RECKON_INPUTS][PW_MAX_CURVE];
    double out[PW_RECKON_OUTPUTS];     /* PW_INF and above: unlimited, written as null */
    char words[PW_RECKON_OUTPUTS][64]; /* when not "": written instead of the number */
    pw_problems *problems;
} pw_reckoning;

typedef struct pw_formula {
    const char *name;
    pw_slot in[PW_RECKON_INPUTS + 1];     /* ends with a slot of kind PW_SLOT_END */
    pw_result out[PW_RECKON_OUTPUTS + 1]; /* ends with a name of NULL */
    pw_status (*work)(pw_reckoning *reckoning);
} pw_formula;

#define PW_NEED(name, dimension, low, high)                            \
    {                                                                  \
        name, PW_SLOT_NEEDED, PW_DIM_##dimension, NULL, low, high, 0.0 \
    }
#define PW_NEED_IN(name, unit, low, high)                       \
    {                                                           \
        name, PW_SLOT_NEEDED, PW_DIM_NONE, unit, low, high, 0.0 \
    }
#define PW_MAY(name, dimension, low, high, value)                         \
    {                                                                     \
        name, PW_SLOT_DEFAULT, PW_DIM_##dimension, NULL, low, high, value \
    }
#define PW_MAY_IN(name, unit, low, high, value)                    \
    {                                                              \
        name, PW_SLOT_DEFAULT, PW_DIM_NONE, unit, low, high, value \
    }
#define PW_WORDS(name)                                       \
    {                                                        \
        name, PW_SLOT_TEXT, PW_DIM_NONE, NULL, 0.0, 0.0, 0.0 \
    }
#define PW_MAYBE_WORDS(name)                                       \
    {                                                              \
        name, PW_SLOT_MAYBE_TEXT, PW_DIM_NONE, NULL, 0.0, 0.0, 0.0 \
    }
#define PW_LIST(name, dimension, low, high)                          \
    {                                                                \
        name, PW_SLOT_LIST, PW_DIM_##dimension, NULL, low, high, 0.0 \
    }
#define PW_GIVE(name, dimension)       \
    {                                  \
        name, PW_DIM_##dimension, NULL \
    }
#define PW_GIVE_IN(name, unit)  \
    {                           \
        name, PW_DIM_NONE, unit \
    }

extern const pw_formula pw_formulas_water[];
extern const int32_t pw_formulas_water_count;
extern const pw_formula pw_formulas_store[];
extern const int32_t pw_formulas_store_count;
extern const pw_formula pw_formulas_power[];
extern const int32_t pw_formulas_power_count;
extern const pw_formula pw_formulas_size[];
extern const int32_t pw_formulas_size_count;
extern const pw_formula pw_formulas_size_pump[];
extern const int32_t pw_formulas_size_pump_count;
extern const pw_formula pw_formulas_fault[];
extern const int32_t pw_formulas_fault_count;

/* Checks that more than one file needs; each adds its problem. */
pw_status pw_reckon_phases(pw_reckoning *reckoning, double phases); /* 0 (DC), 1 or 3 */
pw_status pw_reckon_pipe(pw_reckoning *reckoning, const char *name, pw_pipe_size *out);

#endif
