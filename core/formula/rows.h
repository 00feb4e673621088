/* How a formula is put into the registry: a row with its inputs, outputs and a small function. Private to rows_*.c and
 * registry.c.
 */
#ifndef PW_FORMULA_ROWS_H
#define PW_FORMULA_ROWS_H

#include "formula/pipe.h"
#include "formula/registry.h"

/* name, dimension (or unit without one), lowest, highest, default, help */
#define PW_NEED(name, dimension, low, high, help)                               \
    {                                                                           \
        name, PW_FORMULA_NEEDED, PW_DIM_##dimension, NULL, low, high, 0.0, help \
    }
#define PW_NEED_IN(name, unit, low, high, help)                          \
    {                                                                    \
        name, PW_FORMULA_NEEDED, PW_DIM_NONE, unit, low, high, 0.0, help \
    }
#define PW_MAY(name, dimension, low, high, value, help)                            \
    {                                                                              \
        name, PW_FORMULA_DEFAULT, PW_DIM_##dimension, NULL, low, high, value, help \
    }
#define PW_MAY_IN(name, unit, low, high, value, help)                       \
    {                                                                       \
        name, PW_FORMULA_DEFAULT, PW_DIM_NONE, unit, low, high, value, help \
    }
#define PW_WORDS(name, help)                                           \
    {                                                                  \
        name, PW_FORMULA_WORDS, PW_DIM_NONE, NULL, 0.0, 0.0, 0.0, help \
    }
#define PW_MAYBE_WORDS(name, help)                                           \
    {                                                                        \
        name, PW_FORMULA_MAYBE_WORDS, PW_DIM_NONE, NULL, 0.0, 0.0, 0.0, help \
    }
#define PW_LIST(name, dimension, low, high, help)                             \
    {                                                                         \
        name, PW_FORMULA_LIST, PW_DIM_##dimension, NULL, low, high, 0.0, help \
    }
#define PW_GIVE(name, dimension, help)       \
    {                                        \
        name, PW_DIM_##dimension, NULL, help \
    }
#define PW_GIVE_IN(name, unit, help)  \
    {                                 \
        name, PW_DIM_NONE, unit, help \
    }

/* One for each file rows_*.c. */
extern const pw_formula_table pw_rows_water, pw_rows_pipe, pw_rows_pump, pw_rows_store, pw_rows_demand, pw_rows_motor,
    pw_rows_cable, pw_rows_filter, pw_rows_supply;

/* Checks that more than one file needs; each adds its problem. */
pw_status pw_rows_phases(pw_reckoning *reckoning, double phases); /* 0 (DC), 1 or 3 */
pw_status pw_rows_pipe_named(pw_reckoning *reckoning, const char *name, pw_pipe_size *out);
pw_status pw_rows_refuse(pw_reckoning *reckoning, const char *path, const char *expected); /* PW_RANGE */
/* found: what was typed; expected and hint as rows have their texts. Each may be NULL. */
pw_status pw_rows_complain(pw_reckoning *reckoning, pw_status status, const char *path, const char *found,
                           const char *expected, const char *hint);

#endif
