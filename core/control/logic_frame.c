/* What stands around the program: the sentences, inputs, outputs and variables; in C also TON and TOF and a function
 * for each pump, in structured text the pumps one after the other. */
#include "control/logic_parts.h"

typedef enum type { TYPE_BOOL, TYPE_INT, TYPE_LREAL, TYPE_UDINT, TYPE_TIME, TYPE_TON, TYPE_TOF } type;
enum { SINGLE = -1 };

/* "    name : BOOL;" or "    bool name;" in two halves, with the name between them. */
static void begin_declaration(logic_pen *p, type kind)
{
    static const char *const c[] = {"bool", "int", "double", "uint32_t", "uint32_t", "timer", "timer"};
    logic_put(p, p->structured ? "    " : "    %s ", c[kind]);
}

static void end_declaration(logic_pen *p, type kind, int32_t size)
{
    static const char *const structured[] = {"BOOL", "INT", "LREAL", "UDINT", "TIME", "TON", "TOF"};
    if (!p->structured) {
        logic_put(p, size != SINGLE ? "[%d];\n" : ";\n", size);
    } else if (size != SINGLE) {
        logic_put(p, " : ARRAY[0..%d] OF %s;\n", size - 1, structured[kind]);
    } else {
        logic_put(p, " : %s;\n", structured[kind]);
    }
}

/* name: with up to two numbers in it. */
static void declare(logic_pen *p, type kind, int32_t size, const char *name, int32_t one, int32_t other)
{
    begin_declaration(p, kind);
    logic_put(p, name, one, other);
    end_declaration(p, kind, size);
}

static bool several(const logic_pen *p)
{
    return p->first < p->last;
}

/* What there is of each pump; with one pump its name needs no number. */
static void put_own(logic_pen *p, const char *name, int32_t n)
{
    logic_put(p, several(p) ? "%s_%d" : "%s", name, n);
}

static void declare_own(logic_pen *p, type kind, const char *name)
{
    for (int32_t n = p->first; n <= p->last; n++) {
        begin_declaration(p, kind);
        put_own(p, name, n);
        end_declaration(p, kind, SINGLE);
    }
}

static void put_sentences(logic_pen *p)
{
    for (int32_t i = 0; i < p->settings->count; i++) {
        bool ours = false;
        for (int32_t n = p->first; n <= p->last; n++) {
            ours = ours || pw_sentence_for(&p->settings->sentences[i], n);
        }
        if (ours) {
            logic_put(p, p->structured ? "(* %d: " : "/* %d: ", i + 1);
            pw_settings_put(p->settings, i, p->out);
            logic_put(p, p->structured ? " *)\n" : " */\n");
        }
    }
    for (int32_t n = p->first; n <= p->last && several(p); n++) {
        logic_put(p, p->structured ? "(* pump %d: %s *)\n" : "/* pump %d: %s */\n", n, p->settings->pumps[n]);
    }
}

static void put_inputs(logic_pen *p)
{
    for (int32_t i = 0; i < p->settings->signal_count; i++) {
        if (logic_looks_at(p, i)) {
            const type kind = pw_form_of((uint8_t)p->settings->signals[i].kind)->yes_no ? TYPE_BOOL : TYPE_LREAL;
            begin_declaration(p, kind);
            logic_put_input_name(p, i);
            end_declaration(p, kind, SINGLE);
        }
    }
    if (logic_looks_at_clock(p)) {
        declare(p, TYPE_UDINT, SINGLE, "week", 0, 0);
    }
    declare_own(p, TYPE_BOOL, "release");
}

/* ---- outputs ---- */

/* "out := row_0_3.Q OR row_1_2.Q": of the warnings of this sentence, or of those that close this relay; the other is
 * -1. False: there are none, and nothing was written. before: what stands before the first; NULL: only asked. */
static bool put_warned(logic_pen *p, int32_t sentence, int32_t relay, const char *before, int32_t number)
{
    bool any = false;
    for (int32_t n = p->first; n <= p->last; n++) {
        const pw_pump_table *table = &p->table->pumps[n];
        for (int32_t i = 0; i < table->row_count; i++) {
            const pw_row *row = &table->rows[i];
            const bool fits =
                row->kind == PW_SENTENCE_WARN && (relay >= 0 ? row->relay == relay : row->sentence == sentence);
            if (fits && before != NULL && !any) {
                logic_indent(p);
                logic_put(p, before, number);
            }
            if (fits && before != NULL) {
                logic_put(p, any ? "$or@row_%d_%d$Q" : "@row_%d_%d$Q", n, i);
            }
            any = any || fits;
        }
    }
    logic_put(p, any && before != NULL ? ";\n" : "");
    return any;
}

static void declare_outputs(logic_pen *p)
{
    declare_own(p, TYPE_BOOL, "run");
    declare_own(p, TYPE_BOOL, "locked");
    declare_own(p, TYPE_INT, "locked_by");
    for (int32_t i = 0; i < p->settings->count; i++) {
        if (put_warned(p, i, -1, NULL, 0)) {
            declare(p, TYPE_BOOL, SINGLE, "warn_%d", i + 1, 0);
        }
    }
    for (int32_t i = 0; i < p->settings->relay_count; i++) {
        if (put_warned(p, -1, i, NULL, 0)) {
            begin_declaration(p, TYPE_BOOL);
            logic_put(p, "relay_%d_", i);
            logic_put_name(p->out, p->settings->relays[i]);
            end_declaration(p, TYPE_BOOL, SINGLE);
        }
    }
}

static void put_output(logic_pen *p, const char *name, int32_t n, const char *value)
{
    logic_indent(p);
    logic_put(p, "$out");
    put_own(p, name, n);
    logic_put(p, "$set");
    logic_put(p, value, n, n);
    logic_put(p, ";\n");
}

static void put_outputs(logic_pen *p)
{
    for (int32_t n = p->first; n <= p->last; n++) {
        put_output(p, "run", n, "@state[%d]$is1");
        put_output(p, "locked", n, "@state[%d]$is2");
        put_output(p, "locked_by", n, "0");
        logic_line(p, "$if@state[%d]$is2$then", n);
        put_output(p, "locked_by", n, "@locked_for_%d");
        logic_line(p, "$end");
    }
    for (int32_t i = 0; i < p->settings->count; i++) {
        put_warned(p, i, -1, "$outwarn_%d$set", i + 1);
    }
    for (int32_t i = 0; i < p->settings->relay_count; i++) {
        pw_text before;
        pw_text_init(&before, p->out->arena);
        pw_text_put(&before, "$outrelay_%d_");
        logic_put_name(&before, p->settings->relays[i]);
        pw_text_put(&before, "$set");
        put_warned(p, -1, i, before.failed ? "" : before.data, i);
    }
}

/* ---- variables ---- */

static void declare_share(logic_pen *p, int32_t n, int32_t i)
{
    declare(p, TYPE_BOOL, SINGLE, "held_%d_%d", n, i);
    declare(p, TYPE_TIME, SINGLE, "into_%d_%d", n, i);
    declare(p, TYPE_TIME, SINGLE, "going_%d_%d", n, i);
    declare(p, TYPE_TIME, SINGLE, "sum_%d_%d", n, i);
    declare(p, TYPE_TIME, (int32_t)p->table->pumps[n].rows[i].parts, "part_%d_%d", n, i);
    declare(p, TYPE_INT, SINGLE, "last_%d_%d", n, i);
}

static void declare_series(logic_pen *p, int32_t n)
{
    for (int32_t r = 0; logic_series_of(p, n, r) != NULL; r++) {
        declare(p, TYPE_BOOL, SINGLE, "many_%d_%d", n, r);
    }
    if (logic_series_of(p, n, 0) != NULL) {
        declare(p, TYPE_TIME, PW_MAX_STARTS, "gaps_%d", n, 0);
        declare(p, TYPE_INT, SINGLE, "kept_%d", n, 0);
        declare(p, TYPE_INT, SINGLE, "newest_%d", n, 0);
    }
}

static void declare_pump(logic_pen *p, int32_t n)
{
    static const char *const numbers[] = {"locked_for_%d", "retry_%d", "retries_%d"};
    static const char *const truths[] = {"started_%d", "has_stopped_%d", "stop_wanted_%d"};
    static const char *const timers[] = {"since_start_%d", "since_stop_%d", "since_lock_%d", "since_wish_%d"};
    const pw_pump_table *table = &p->table->pumps[n];
    logic_ring ring;
    for (int32_t i = 0; i < 3; i++) {
        declare(p, TYPE_INT, SINGLE, numbers[i], n, 0);
        declare(p, TYPE_BOOL, SINGLE, truths[i], n, 0);
    }
    for (int32_t i = 0; i < 4; i++) {
        declare(p, TYPE_TON, SINGLE, timers[i], n, 0);
    }
    for (int32_t i = 0; i < table->row_count; i++) {
        declare(p, TYPE_TON, SINGLE, "row_%d_%d", n, i);
        if (table->rows[i].kind == PW_SENTENCE_START && table->new_call_ms > 0) {
            declare(p, TYPE_BOOL, SINGLE, "stale_%d_%d", n, i);
        }
        if (table->rows[i].share >= 0) {
            declare_share(p, n, i);
        }
    }
    for (int32_t r = 0; logic_ring_of(p, n, r, &ring); r++) {
        declare(p, TYPE_TOF, ring.count, "starts_%d_%d", n, r);
        declare(p, TYPE_BOOL, ring.count, "counts_%d_%d", n, r);
        declare(p, TYPE_INT, SINGLE, "next_%d_%d", n, r);
        declare(p, TYPE_INT, SINGLE, "count_%d_%d", n, r);
    }
    declare_series(p, n);
}

static bool any_series(const logic_pen *p)
{
    for (int32_t n = p->first; n <= p->last; n++) {
        if (logic_series_of(p, n, 0) != NULL) {
            return true;
        }
    }
    return false;
}

static void declare_variables(logic_pen *p)
{
    static const char *const numbers[] = {"turn", "i", "cause", "again", "spot"};
    static const char *const truths[] = {"wish", "in_way", "moves", "holds", "waited"};
    static const char *const of_share[] = {"seen", "passed", "rest", "span"};
    static const char *const of_team[] = {"place", "pump", "role", "ahead", "duty", "moved"};
    declare(p, TYPE_INT, p->last + 1, "state", 0, 0);
    declare(p, TYPE_TON, SINGLE, "since_power", 0, 0);
    for (int32_t i = 0; i < 5; i++) {
        declare(p, TYPE_INT, SINGLE, numbers[i], 0, 0);
        declare(p, TYPE_BOOL, SINGLE, truths[i], 0, 0);
    }
    if (logic_has_share(p)) {
        declare(p, TYPE_TON, SINGLE, "scan", 0, 0);
        for (int32_t i = 0; i < 4; i++) {
            declare(p, TYPE_TIME, SINGLE, of_share[i], 0, 0);
        }
    }
    if (any_series(p)) {
        declare(p, TYPE_TIME, SINGLE, "older", 0, 0);
        declare(p, TYPE_TIME, SINGLE, "edge", 0, 0);
        declare(p, TYPE_INT, SINGLE, "windows", 0, 0);
        declare(p, TYPE_INT, SINGLE, "found", 0, 0);
        declare(p, TYPE_BOOL, SINGLE, "broken", 0, 0);
    }
    if (p->table->member_count > 0) {
        for (int32_t i = 0; i < 6; i++) {
            declare(p, TYPE_INT, SINGLE, of_team[i], 0, 0);
        }
        declare(p, TYPE_BOOL, SINGLE, "begun", 0, 0);
        declare(p, TYPE_BOOL, SINGLE, "change_wanted", 0, 0);
        declare(p, TYPE_TON, SINGLE, "since_change", 0, 0);
        declare(p, TYPE_INT, p->table->member_count, "queue", 0, 0);
        declare(p, TYPE_INT, p->last + 1, "sequence", 0, 0);
    }
    for (int32_t n = p->first; n <= p->last; n++) {
        declare_pump(p, n);
    }
}

/* ---- the two frames ---- */

static void put_pump_here(logic_pen *p, int32_t n)
{
    if (p->structured) {
        logic_put_pump(p, n);
    } else {
        logic_line(p, "step_%d(c, in, now);", n);
    }
}

/* The pumps in their order; those that share the work by their place in the queue. */
static void put_pumps(logic_pen *p)
{
    if (p->table->member_count == 0) {
        for (int32_t n = p->first; n <= p->last; n++) {
            put_pump_here(p, n);
        }
        return;
    }
    logic_for(p, "place", "0", p->last);
    logic_line(p, "@pump$set@sequence[@place];");
    for (int32_t n = p->first; n <= p->last; n++) {
        logic_line(p, n == p->first ? "$if@pump$is%d$then" : "$elsif@pump$is%d$then", n);
        put_pump_here(p, n);
    }
    logic_line(p, "$end");
    logic_line(p, "$done");
}

static bool any_ring(const logic_pen *p)
{
    logic_ring ring;
    for (int32_t n = p->first; n <= p->last; n++) {
        if (logic_ring_of(p, n, 0, &ring)) {
            return true;
        }
    }
    return false;
}

static void put_c_head(logic_pen *p)
{
    logic_put(p, "#include <stdbool.h>\n#include <stdint.h>\n\ntypedef struct inputs {\n");
    put_inputs(p);
    logic_put(p, "} inputs;\n\ntypedef struct outputs {\n");
    declare_outputs(p);
    logic_put(p, "} outputs;\n\n"
                 "typedef struct timer {\n    bool on, q;\n    uint32_t at, et;\n} timer;\n\n"
                 "typedef struct control {\n");
    declare_variables(p);
    logic_put(p, "} control;\n\n"
                 "static void ton(timer *t, bool in, uint32_t pt, uint32_t now)\n{\n"
                 "    if (!in) {\n        t->on = t->q = false;\n        t->et = 0;\n        return;\n    }\n"
                 "    if (!t->on) {\n        t->on = true;\n        t->at = now;\n    }\n"
                 "    t->et = t->q || now - t->at > pt ? pt : now - t->at;\n    t->q = t->et >= pt;\n}\n\n");
    if (any_ring(p)) {
        logic_put(
            p,
            "static void tof(timer *t, bool in, uint32_t pt, uint32_t now)\n{\n"
            "    if (in) {\n        t->q = true;\n        t->on = false;\n        t->et = 0;\n        return;\n    }\n"
            "    if (!t->q) {\n        return;\n    }\n"
            "    if (!t->on) {\n        t->on = true;\n        t->at = now;\n    }\n"
            "    t->et = now - t->at > pt ? pt : now - t->at;\n    t->q = t->et < pt;\n}\n\n");
    }
}

static void put_c(logic_pen *p)
{
    put_c_head(p);
    for (int32_t n = p->first; n <= p->last; n++) {
        logic_put(p, "static void step_%d(control *c, const inputs *in, uint32_t now)\n{\n    (void)in;\n", n);
        p->depth = 1;
        logic_put_pump(p, n);
        logic_put(p, "}\n\n");
    }
    logic_put(p, "void %s_begin(control *c, uint32_t now)\n{\n    *c = (control){0};\n", p->name);
    p->depth = 1;
    logic_put_timers(p);
    if (logic_keeps(p)) {
        /* instead of begin, when the power comes back and what the caller kept outlasted the cut */
        logic_put(p, "}\n\nvoid %s_power(control *c, uint32_t now)\n{\n", p->name);
        logic_put_timers(p);
        logic_put_power(p);
    }
    logic_put(p, "}\n\nvoid %s_step(control *c, const inputs *in, uint32_t now, outputs *out)\n{\n", p->name);
    logic_put_before(p);
    put_pumps(p);
    logic_put_behind(p);
    put_outputs(p);
    logic_put(p, "}\n");
}

static void put_structured(logic_pen *p)
{
    logic_put(p, "FUNCTION_BLOCK %s\nVAR_INPUT\n", p->name);
    put_inputs(p);
    logic_put(p, "END_VAR\nVAR_OUTPUT\n");
    declare_outputs(p);
    logic_put(p, "END_VAR\nVAR");
    logic_put(p, logic_keeps(p) ? " RETAIN\n" : "\n");
    declare_variables(p);
    logic_put(p, logic_keeps(p) ? "END_VAR\nVAR\n    awake : BOOL;\nEND_VAR\n" : "END_VAR\n");
    p->depth = 0;
    logic_put_before(p);
    put_pumps(p);
    logic_put_behind(p);
    put_outputs(p);
    logic_put(p, "END_FUNCTION_BLOCK\n");
}

void logic_put_program(logic_pen *p)
{
    put_sentences(p);
    if (p->structured) {
        put_structured(p);
    } else {
        put_c(p);
    }
}
