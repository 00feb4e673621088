/* The program of one pump in C99: no library, no allocation, a clock in milliseconds that may wrap. It mirrors step.c;
 * what is constant for these settings stands in the text. */
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

/* Most starts that any row counts. */
static int32_t most_starts(const logic_pen *p)
{
    int32_t most = 1;
    uint32_t window_ms = 0;
    for (int32_t i = 0; i < p->table->row_count; i++) {
        const int32_t count = logic_starts(&p->table->rows[i], &window_ms);
        most = count > most ? count : most;
    }
    return most;
}

static void put_types(const logic_pen *p)
{
    put(p, "typedef struct inputs {\n");
    for (int32_t i = 0; i < p->settings->signal_count; i++) {
        if (logic_looks_at(p, i)) {
            put(p, logic_is_truth(p->settings->signals[i].kind) ? "    bool " : "    double ");
            logic_put_input(p, i);
            put(p, ";\n");
        }
    }
    put(p, "    bool release;\n} inputs;\n\ntypedef struct outputs {\n    bool run, locked;\n    int locked_by;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_WARN) {
            put_number(p, "    bool warn_", p->table->rows[i].sentence + 1, ";\n");
        }
    }
    put_number(p, "} outputs;\n\nenum { STOPPED, RUNNING, LOCKED, ROWS = ", p->table->row_count, ", MOST_STARTS = ");
    put_number(p, "", most_starts(p),
               " };\n\n"
               "typedef struct moment {\n    uint32_t at;\n    bool long_ago;\n} moment;\n\n"
               "typedef struct control {\n    int state, locked_by;\n    bool has_stopped, stop_wanted;\n"
               "    moment start, stop, power;\n    uint32_t wish, since[ROWS], starts[MOST_STARTS];\n"
               "    bool holds[ROWS], due[ROWS];\n    int newest, start_count;\n} control;\n\n");
}

static void put_helpers(const logic_pen *p)
{
    uint32_t window_ms = 0;
    bool counts = false;
    for (int32_t i = 0; i < p->table->row_count; i++) {
        counts = counts || logic_starts(&p->table->rows[i], &window_ms) > 0;
    }
    put(p,
        "static uint32_t age(moment then, uint32_t now)\n{\n    const uint32_t ms = now - then.at;\n"
        "    return then.long_ago || ms > 2600000000u ? 2600000000u : ms;\n}\n\n"
        "static void freeze(moment *then, uint32_t now)\n{\n    then->long_ago = age(*then, now) == 2600000000u;\n}\n\n"
        "static bool over(uint32_t ms, uint32_t limit)\n{\n    return ms >= limit;\n}\n\n");
    if (counts) {
        put(p, "static bool starts(const control *c, int count, uint32_t window, uint32_t now)\n{\n"
               "    const int at = (c->newest + MOST_STARTS - (count - 1)) % MOST_STARTS;\n"
               "    return c->start_count >= count && now - c->starts[at] < window;\n}\n\n");
    }
    put(p, "static void hold(control *c, int row, bool holds, uint32_t time, uint32_t now)\n{\n"
           "    if (!holds) {\n        c->holds[row] = c->due[row] = false;\n        return;\n    }\n"
           "    if (!c->holds[row]) {\n        c->since[row] = now;\n        c->holds[row] = true;\n    }\n"
           "    c->due[row] = c->due[row] || now - c->since[row] >= time;\n}\n\n");
}

static void put_look(const logic_pen *p)
{
    put(p, "static void look(control *c, const inputs *in, uint32_t now)\n{\n"
           "    const bool running = c->state == RUNNING;\n    (void)in, (void)running;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        const pw_row *row = &p->table->rows[i];
        const bool while_running = row->kind == PW_SENTENCE_STOP || row->kind == PW_SENTENCE_HOLD_ON;
        put_number(p, "    hold(c, ", i, while_running ? ", running && " : ", ");
        logic_put_row(p, i, false);
        put(p, ", ");
        logic_put_time(p, row->time_ms);
        put(p, ", now);\n");
    }
    put(p, "}\n\n");
}

/* "c->due[2] || c->due[5]" of all rows of a kind; what stands there when there is none. */
static void put_any_due(const logic_pen *p, uint8_t kind)
{
    bool any = false;
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == kind) {
            put_number(p, any ? " || c->due[" : "c->due[", i, "]");
            any = true;
        }
    }
    put(p, any ? "" : "false");
}

static void put_in_the_way(const logic_pen *p)
{
    put(p, "static bool in_the_way(const control *c, const inputs *in, uint32_t now)\n{\n"
           "    (void)c, (void)in, (void)now;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_HOLD_ON) {
            put(p, "    if (");
            logic_put_row(p, i, true);
            put(p, ") {\n        return false;\n    }\n");
        }
    }
    put(p, "    return false");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_STOP && p->table->rows[i].time_ms == 0) {
            put(p, " || ");
            logic_put_row(p, i, true);
        }
    }
    put(p, ";\n}\n\n");
}

static void put_wishes(const logic_pen *p)
{
    put(p, "static bool wish_to_stop(control *c, uint32_t now)\n{\n    const bool wish = c->state == RUNNING && !(");
    put_any_due(p, PW_SENTENCE_HOLD_ON);
    put(p, ") && (");
    put_any_due(p, PW_SENTENCE_STOP);
    put(p, ");\n    if (wish && !c->stop_wanted) {\n        c->wish = now;\n    }\n    c->stop_wanted = wish;\n"
           "    return wish;\n}\n\n"
           "static void stop(control *c, uint32_t now)\n{\n    c->state = STOPPED;\n"
           "    c->stop = (moment){now, false};\n    c->has_stopped = true;\n}\n\n"
           "static bool lock_if_due(control *c, uint32_t now)\n{\n    int by = 0;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_LOCK) {
            put_number(p, "    by = by == 0 && c->due[", i, "] ? ");
            put_number(p, "", p->table->rows[i].sentence + 1, " : by;\n");
        }
    }
    put(p, "    if (c->state == LOCKED || by == 0) {\n        return false;\n    }\n"
           "    if (c->state == RUNNING) {\n        stop(c, now);\n    }\n"
           "    c->state = LOCKED;\n    c->locked_by = by;\n    return true;\n}\n\n");
}

static void put_move(const logic_pen *p)
{
    put(p, "static bool start_or_stop(control *c, const inputs *in, uint32_t now)\n{\n"
           "    if (wish_to_stop(c, now) && over(age(c->start, now), ");
    logic_put_time(p, p->table->set[PW_SENTENCE_LEAST_RUN].ms);
    put(p, ") && over(now - c->wish, ");
    logic_put_time(p, p->table->set[PW_SENTENCE_RUN_ON].ms);
    put(p, ")) {\n        stop(c, now);\n        c->stop_wanted = false;\n        return true;\n    }\n"
           "    if (c->state == STOPPED && (");
    put_any_due(p, PW_SENTENCE_START);
    put(p, ") && !in_the_way(c, in, now) &&\n        (!c->has_stopped || over(age(c->stop, now), ");
    logic_put_time(p, p->table->set[PW_SENTENCE_REST].ms);
    put(p, ")) && over(age(c->power, now), ");
    logic_put_time(p, p->table->set[PW_SENTENCE_POWER_ON].ms);
    put(p, ")) {\n        c->state = RUNNING;\n        c->start = (moment){now, false};\n"
           "        c->newest = (c->newest + 1) % MOST_STARTS;\n        c->starts[c->newest] = now;\n"
           "        c->start_count += c->start_count < MOST_STARTS ? 1 : 0;\n        return true;\n    }\n"
           "    return false;\n}\n\n");
}

static void put_step(const logic_pen *p)
{
    pw_text_puts(p->out, "void ", p->name, "_begin(control *c, uint32_t now)\n{\n    *c = (control){0};\n", NULL);
    put(p, "    c->power = c->stop = (moment){now, false};\n    c->start = (moment){now, true};\n}\n\n");
    pw_text_puts(p->out, "void ", p->name, "_step(control *c, const inputs *in, uint32_t now, outputs *out)\n{\n",
                 NULL);
    put(p,
        "    freeze(&c->start, now);\n    freeze(&c->stop, now);\n    freeze(&c->power, now);\n"
        "    while (c->start_count > 0 &&\n"
        "           now - c->starts[(c->newest + MOST_STARTS - (c->start_count - 1)) % MOST_STARTS] >= 2600000000u) {\n"
        "        c->start_count--;\n    }\n"
        "    if (in->release && c->state == LOCKED) {\n        c->state = STOPPED;\n        c->start_count = 0;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_LOCK) {
            put_number(p, "        c->holds[", i, "] = c->due[");
            put_number(p, "", i, "] = false;\n");
        }
    }
    put(p, "    }\n    look(c, in, now);\n    if (lock_if_due(c, now)) {\n        look(c, in, now);\n"
           "    } else if (start_or_stop(c, in, now)) {\n        look(c, in, now);\n"
           "        if (lock_if_due(c, now)) {\n            look(c, in, now);\n        }\n    }\n"
           "    wish_to_stop(c, now);\n    out->run = c->state == RUNNING;\n    out->locked = c->state == LOCKED;\n"
           "    out->locked_by = out->locked ? c->locked_by : 0;\n");
    for (int32_t i = 0; i < p->table->row_count; i++) {
        if (p->table->rows[i].kind == PW_SENTENCE_WARN) {
            put_number(p, "    out->warn_", p->table->rows[i].sentence + 1, " = c->due[");
            put_number(p, "", i, "];\n");
        }
    }
    put(p, "}\n");
}

void logic_c_put(const logic_pen *p)
{
    logic_put_sentences(p);
    put(p, "#include <stdbool.h>\n#include <stdint.h>\n\n");
    put_types(p);
    put_helpers(p);
    put_look(p);
    put_in_the_way(p);
    put_wishes(p);
    put_move(p);
    put_step(p);
}
