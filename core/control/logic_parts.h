/* Shared by the files that write programs (logic*.c), and by nobody else. */
#ifndef PW_CONTROL_LOGIC_PARTS_H
#define PW_CONTROL_LOGIC_PARTS_H

#include "control/logic.h"
#include "control/parts.h"

typedef struct logic_pen {
    const pw_settings *settings;
    const pw_pump_table *table;
    pw_text *out;
    int32_t pump;
    bool structured;  /* structured text; else C */
    const char *name; /* of the pump, as a program spells it */
} logic_pen;

/* Name of a thing as both languages allow it: letters, digits and single low lines, a letter first. */
void logic_put_name(pw_text *out, const char *name);
void logic_put_input(const logic_pen *p, int32_t signal);
/* The condition of a row as an expression; fresh: as it would stand in the first moment of a run. */
void logic_put_row(const logic_pen *p, int32_t row, bool fresh);
/* Every signal that a row of the pump looks at. */
bool logic_looks_at(const logic_pen *p, int32_t signal);
bool logic_is_truth(pw_signal_kind kind);
/* Largest N of "starts reach N in T" of a row's terms, its window; 0: it counts none. */
int32_t logic_starts(const pw_row *row, uint32_t *window_ms);
void logic_put_time(const logic_pen *p, uint32_t time_ms);
void logic_put_sentences(const logic_pen *p); /* as a comment */

void logic_c_put(const logic_pen *p);  /* logic_c.c */
void logic_st_put(const logic_pen *p); /* logic_st.c */

#endif
