/* The program of one pump as a function block of structured text (IEC 61131-3). Timers are TON, starts that are
 * remembered are TOF; each is called with what holds in this scan, some more than once, which changes nothing: the time
 * is the same. It mirrors step.c: look, move, look, perhaps lock out, look. */
#include "control/logic_parts.h"

static void put(const logic_pen *p, const char *text)
{
    pw_text_put(p->out, text);
}

static void put_number(const logic_pen *p, const char *before, int64_t number, const char *behind)
{
    put(p, before);
    pw_text_int(p->out, number);
    put(p, behind);
}

static void put_inputs(const logic_pen *p)
{
    pw_text_puts(p->out, "FUNCTION_BLOCK ", p->name, "\nVAR_INPUT\n", NULL);
    for (int32_t i = 0; i < p->settings->signal_count; i++) {
        if (logic_looks_at(p, i)) {
            put(p, "    ");
            logic_put_input(p, i);
            put(p, logic_is_truth(p->settings->signals[i].kind) ? " : BOOL;\n" : " : LREAL;\n");
        }
    }
    put(p, "    release : BOOL;\nEND_VAR\nVAR_OUTPUT\n    run : BOOL;\n    locked : BOOL;\n    locked_by : INT;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_WARN) {
            put_number(p, "    warn_", p->table->rows[i].sentence + 1, " : BOOL;\n");
        }
    }
    put(p, "END_VAR\n");
}

static void put_variables(const logic_pen *p)
{
    put(p, "VAR\n    state : INT;\n    turn : INT;\n    i : INT;\n    by : INT;\n    running : BOOL;\n    started : "
           "BOOL;\n"
           "    has_stopped : BOOL;\n    wish : BOOL;\n    stop_wanted : BOOL;\n    in_way : BOOL;\n    moves : BOOL;\n"
           "    since_start : TON;\n    since_stop : TON;\n    since_power : TON;\n    since_wish : TON;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        uint32_t window_ms = 0;
        const int32_t count = logic_starts(&p->table->rows[i], &window_ms);
        put_number(p, "    row_", i, " : TON;\n");
        if (count > 0) {
            put_number(p, "    starts_", i, " : ARRAY[0..");
            put_number(p, "", count - 1, "] OF TOF;\n");
            put_number(p, "    counts_", i, " : ARRAY[0..");
            put_number(p, "", count - 1, "] OF BOOL;\n");
            put_number(p, "    next_", i, " : INT;\n");
            put_number(p, "    count_", i, " : INT;\n");
        }
    }
    put(p, "END_VAR\n");
}

/* "starts_3[i](IN := FALSE, PT := T#3600000ms);" */
static void put_start_call(const logic_pen *p, int32_t row, const char *index, const char *in, uint32_t window_ms)
{
    put_number(p, "        starts_", row, "[");
    pw_text_puts(p->out, index, "](IN := ", in, ", PT := ", NULL);
    logic_put_time(p, window_ms);
    put(p, ");\n");
}

static void put_counts(const logic_pen *p, int32_t row)
{
    uint32_t window_ms = 0;
    const int32_t count = logic_starts(&p->table->rows[row], &window_ms);
    if (count == 0) {
        return;
    }
    put_number(p, "    count_", row, " := 0;\n");
    put_number(p, "    FOR i := 0 TO ", count - 1, " DO\n");
    put_start_call(p, row, "i", "FALSE", window_ms);
    put_number(p, "        IF counts_", row, "[i] AND ");
    put_number(p, "starts_", row, "[i].Q THEN\n");
    put_number(p, "            count_", row, " := ");
    put_number(p, "count_", row, " + 1;\n        END_IF;\n    END_FOR;\n");
}

static void put_release(const logic_pen *p)
{
    put(p, "IF release AND state = 2 THEN\n    state := 0;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        uint32_t window_ms = 0;
        const int32_t count = logic_starts(&p->table->rows[i], &window_ms);
        if (p->table->rows[i].kind == PW_SENTENCE_LOCK) {
            put_number(p, "    row_", i, "(IN := FALSE, PT := ");
            logic_put_time(p, p->table->rows[i].time_ms);
            put(p, ");\n");
        }
        if (count > 0) {
            put_number(p, "    FOR i := 0 TO ", count - 1, " DO\n");
            put_number(p, "        counts_", i, "[i] := FALSE;\n    END_FOR;\n");
        }
    }
    put(p, "END_IF;\n");
}

static void put_look(const logic_pen *p)
{
    put(p, "    running := state = 1;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        const pw_row *row = &p->table->rows[i];
        const bool while_running = row->kind == PW_SENTENCE_STOP || row->kind == PW_SENTENCE_HOLD_ON;
        put_counts(p, i);
        put_number(p, "    row_", i, while_running ? "(IN := running AND " : "(IN := ");
        logic_put_row(p, i, false);
        put(p, ", PT := ");
        logic_put_time(p, row->time_ms);
        put(p, ");\n");
    }
}

static void put_any(const logic_pen *p, uint8_t kind)
{
    bool any = false;
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == kind) {
            put_number(p, any ? " OR row_" : "row_", i, ".Q");
            any = true;
        }
    }
    put(p, any ? "" : "FALSE");
}

/* What stands in the way of a start, and the wish to stop with its timer. */
static void put_wishes(const logic_pen *p)
{
    put(p, "    in_way := FALSE");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_STOP && p->table->rows[i].time_ms == 0) {
            put(p, " OR ");
            logic_put_row(p, i, true);
        }
    }
    put(p, ";\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_HOLD_ON) {
            put(p, "    in_way := in_way AND NOT ");
            logic_put_row(p, i, true);
            put(p, ";\n");
        }
    }
    put(p, "    wish := running AND NOT (");
    put_any(p, PW_SENTENCE_HOLD_ON);
    put(p, ") AND (");
    put_any(p, PW_SENTENCE_STOP);
    put(p, ");\n    IF wish AND NOT stop_wanted THEN\n        since_wish(IN := FALSE, PT := T#30d);\n    END_IF;\n"
           "    since_wish(IN := TRUE, PT := T#30d);\n    stop_wanted := wish;\n");
}

static void put_lock(const logic_pen *p)
{
    put(p, "    by := 0;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_LOCK) {
            put_number(p, "    IF by = 0 AND row_", i, ".Q THEN\n");
            put_number(p, "        by := ", p->table->rows[i].sentence + 1, ";\n    END_IF;\n");
        }
    }
    put(p, "    moves := turn = 1;\n    IF turn < 3 AND state <> 2 AND by > 0 THEN\n        IF running THEN\n"
           "            since_stop(IN := FALSE, PT := T#30d);\n            since_stop(IN := TRUE, PT := T#30d);\n"
           "            has_stopped := TRUE;\n        END_IF;\n        state := 2;\n        locked_by := by;\n"
           "        moves := FALSE;\n    END_IF;\n");
}

static void put_move(const logic_pen *p)
{
    put(p, "    IF moves AND wish AND since_start.ET >= ");
    logic_put_time(p, p->table->set[PW_SENTENCE_LEAST_RUN].ms);
    put(p, " AND since_wish.ET >= ");
    logic_put_time(p, p->table->set[PW_SENTENCE_RUN_ON].ms);
    put(p, " THEN\n        state := 0;\n        stop_wanted := FALSE;\n        has_stopped := TRUE;\n"
           "        since_stop(IN := FALSE, PT := T#30d);\n        since_stop(IN := TRUE, PT := T#30d);\n"
           "    ELSIF moves AND state = 0 AND (");
    put_any(p, PW_SENTENCE_START);
    put(p, ") AND NOT in_way AND (NOT has_stopped OR since_stop.ET >= ");
    logic_put_time(p, p->table->set[PW_SENTENCE_REST].ms);
    put(p, ") AND since_power.ET >= ");
    logic_put_time(p, p->table->set[PW_SENTENCE_POWER_ON].ms);
    put(p, " THEN\n        state := 1;\n        started := TRUE;\n        since_start(IN := FALSE, PT := T#30d);\n"
           "        since_start(IN := TRUE, PT := T#30d);\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        uint32_t window_ms = 0;
        const int32_t count = logic_starts(&p->table->rows[i], &window_ms);
        if (count > 0) {
            pw_text index;
            pw_text_init(&index, p->out->arena);
            pw_text_put(&index, "next_");
            pw_text_int(&index, i);
            put_start_call(p, i, index.failed ? "" : index.data, "TRUE", window_ms);
            put_start_call(p, i, index.failed ? "" : index.data, "FALSE", window_ms);
            put_number(p, "        counts_", i, "[");
            put_number(p, "next_", i, "] := TRUE;\n");
            put_number(p, "        next_", i, " := (");
            put_number(p, "next_", i, " + 1) MOD ");
            put_number(p, "", count, ";\n");
        }
    }
    put(p, "    END_IF;\n");
}

void logic_st_put(const logic_pen *p)
{
    logic_put_sentences(p);
    put_inputs(p);
    put_variables(p);
    put(p, "since_start(IN := started, PT := T#30d);\nsince_stop(IN := TRUE, PT := T#30d);\n"
           "since_power(IN := TRUE, PT := T#30d);\nsince_wish(IN := TRUE, PT := T#30d);\n");
    put_release(p);
    put(p, "FOR turn := 1 TO 3 DO\n");
    put_look(p);
    put_wishes(p);
    put_lock(p);
    put_move(p);
    put(p, "END_FOR;\nrun := state = 1;\nlocked := state = 2;\nIF NOT locked THEN\n    locked_by := 0;\nEND_IF;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_WARN) {
            put_number(p, "warn_", p->table->rows[i].sentence + 1, " := row_");
            put_number(p, "", i, ".Q;\n");
        }
    }
    put(p, "END_FUNCTION_BLOCK\n");
}
