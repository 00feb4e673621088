/* The program itself: it mirrors step.c and team.c. Timers are TON, starts that are remembered are TOF; each is called
 * with what holds in this scan, some more than once, which changes nothing: the time is the same. A pump's step is:
 * perhaps a retry, then look, move, look, perhaps lock out, look. */
#include "control/logic_parts.h"

static const pw_pump_table *table_of(const logic_pen *p, int32_t n)
{
    return &p->table->pumps[n];
}

bool logic_ring_of(const logic_pen *p, int32_t pump, int32_t number, logic_ring *out)
{
    const pw_pump_table *table = table_of(p, pump);
    for (int32_t i = 0; i < table->row_count; i++) {
        for (int32_t k = 0; k < table->rows[i].term_count; k++) {
            const pw_term *term = &table->rows[i].terms[k];
            if (term->kind == PW_TERM_STARTS && term->in_a_row == 1 && number-- == 0) {
                *out = (logic_ring){i, k, term->count, term->time_ms};
                return true;
            }
        }
    }
    const pw_set *most = &table->set[PW_SENTENCE_AT_MOST];
    *out = (logic_ring){-1, -1, most->times, most->ms};
    return most->there && number == 0;
}

int32_t logic_ring_number(const logic_pen *p, int32_t pump, int32_t row, int32_t term)
{
    logic_ring ring;
    int32_t number = 0;
    while (logic_ring_of(p, pump, number, &ring) && (ring.row != row || ring.term != term)) {
        number++;
    }
    return number;
}

bool logic_shares(const logic_pen *p, int32_t pump)
{
    for (int32_t i = 0; i < p->table->member_count; i++) {
        if (p->table->members[i] == pump) {
            return true;
        }
    }
    return false;
}

/* The pump at this place of the queue goes to its end; place: a variable. */
static void put_to_the_end(logic_pen *p, const char *place)
{
    const int32_t last = p->table->member_count - 1;
    logic_line(p, "@moved$set@queue[@%s];", place);
    logic_for(p, "i", place[0] == 's' ? "@spot" : "@duty", last - 1);
    logic_line(p, "@queue[@i]$set@queue[@i + 1];");
    logic_line(p, "$done");
    logic_line(p, "@queue[%d]$set@moved;", last);
}

uint32_t logic_row_ms(const pw_row *row)
{
    return row->share >= 0 ? 0 : row->time_ms;
}

void logic_put_no_starts(logic_pen *p, int32_t n)
{
    logic_ring ring;
    for (int32_t r = 0; logic_ring_of(p, n, r, &ring); r++) {
        logic_for(p, "i", "0", ring.count - 1);
        logic_line(p, "@counts_%d_%d[@i]$set$false;", n, r);
        logic_line(p, "$done");
    }
    if (logic_series_of(p, n, 0) != NULL) {
        logic_line(p, "@kept_%d$set0;", n);
    }
}

/* From locked out to stopped: its starts and the timers of its lock outs begin anew, and it goes to the queue's end. */
static void put_unlock(logic_pen *p, int32_t n)
{
    const pw_pump_table *table = table_of(p, n);
    logic_line(p, "@state[%d]$set0;", n);
    logic_line(p, "@retry_%d$set0;", n);
    logic_put_no_starts(p, n);
    for (int32_t i = 0; i < table->row_count; i++) {
        if (table->rows[i].kind == PW_SENTENCE_LOCK) {
            logic_call(p, "ton", "@row_%d_%d", n, i);
            logic_put(p, "$false");
            logic_called(p, logic_row_ms(&table->rows[i]));
            if (table->rows[i].share >= 0) {
                logic_put_forget(p, n, i);
            }
        } else if (table->rows[i].kind == PW_SENTENCE_START && table->new_call_ms > 0) {
            logic_line(p, "@stale_%d_%d$set$false;", n, i);
        }
    }
    if (logic_shares(p, n)) {
        logic_for(p, "i", "0", p->table->member_count - 1);
        logic_line(p, "$if@queue[@i]$is%d$then", n);
        logic_line(p, "@spot$set@i;");
        logic_line(p, "$end");
        logic_line(p, "$done");
        put_to_the_end(p, "spot");
    }
}

/* "(since_lock_0.ET >= T#5m)", or one for each retry that was used up. */
static void put_waited(logic_pen *p, int32_t n, const pw_retry *retry)
{
    for (int32_t w = 0; w < retry->wait_count; w++) {
        const char *count = w + 1 < retry->wait_count ? "(@retries_%d$is%d$and" : "(@retries_%d >= %d$and";
        logic_put(p, w > 0 ? "$or" : "");
        logic_put(p, retry->wait_count > 1 ? count : "(", n, w);
        logic_put(p, "@since_lock_%d$ET >= %t)", n, retry->waits_ms[w]);
    }
}

static void put_retries(logic_pen *p, int32_t n)
{
    const pw_pump_table *table = table_of(p, n);
    for (int32_t r = 0; r < table->retry_count; r++) {
        logic_line(p, "@waited$set$false;");
        logic_line(p, "$if@state[%d]$is2$and@retry_%d$is%d$then", n, n, r + 1);
        logic_indent(p);
        logic_put(p, "@waited$set");
        put_waited(p, n, &table->retries[r]);
        logic_put(p, ";\n");
        logic_line(p, "$end");
        logic_line(p, "$if@waited$then");
        logic_line(p, "$if@retries_%d < %d$then", n, PW_MAX_RETRIES);
        logic_line(p, "@retries_%d$set@retries_%d + 1;", n, n);
        logic_line(p, "$end");
        put_unlock(p, n);
        logic_line(p, "$end");
    }
}

/* Its role: how many before it in the queue are not locked out; -1 when it is itself. */
static void put_role(logic_pen *p, int32_t n)
{
    logic_line(p, "@role$set-1;");
    logic_line(p, "@ahead$set0;");
    logic_for(p, "i", "0", p->table->member_count - 1);
    logic_line(p, "$if@state[@queue[@i]]$isnt2$then");
    logic_line(p, "$if@queue[@i]$is%d$then", n);
    logic_line(p, "@role$set@ahead;");
    logic_line(p, "$end");
    logic_line(p, "@ahead$set@ahead + 1;");
    logic_line(p, "$end");
    logic_line(p, "$done");
}

static void put_ring_call(logic_pen *p, int32_t n, int32_t r, const char *index, const char *in, uint32_t window_ms)
{
    logic_call(p, "tof", "@starts_%d_%d[@%s]", n, r, index);
    logic_put(p, in);
    logic_called(p, window_ms);
}

static void put_counts(logic_pen *p, int32_t n)
{
    logic_ring ring;
    for (int32_t r = 0; logic_ring_of(p, n, r, &ring); r++) {
        logic_line(p, "@count_%d_%d$set0;", n, r);
        logic_for(p, "i", "0", ring.count - 1);
        put_ring_call(p, n, r, "i", "$false", ring.window_ms);
        logic_line(p, "$if@counts_%d_%d[@i]$and@starts_%d_%d[@i]$Q$then", n, r, n, r);
        logic_line(p, "@count_%d_%d$set@count_%d_%d + 1;", n, r, n, r);
        logic_line(p, "$end");
        logic_line(p, "$done");
    }
}

/* "variable := condition;" as a line. */
static void put_row_line(logic_pen *p, const char *before, int32_t n, int32_t i, bool fresh)
{
    logic_indent(p);
    logic_put(p, before);
    logic_put(p, "(");
    logic_put_row(p, n, i, fresh);
    logic_put(p, ");\n");
}

/* What holds in a rest after which it must begin anew does not count. */
static void put_stale(logic_pen *p, int32_t n, int32_t i)
{
    if (table_of(p, n)->rows[i].share >= 0) {
        logic_indent(p);
        logic_put(p, "@holds$set");
        logic_put_share_due(p, n, i);
        logic_put(p, ";\n");
    } else {
        put_row_line(p, "@holds$set", n, i, false);
    }
    logic_line(p, "$if$not@holds$then");
    logic_line(p, "@stale_%d_%d$set$false;", n, i);
    logic_line(p, "$elsif@has_stopped_%d$and@since_stop_%d$ET < %t$then", n, n, table_of(p, n)->new_call_ms);
    logic_line(p, "@stale_%d_%d$set$true;", n, i);
    logic_line(p, "$end");
}

/* Does it hold now? What is due follows from how long it held in its window. */
static void put_held(logic_pen *p, int32_t n, int32_t i, bool while_running)
{
    logic_indent(p);
    logic_put(p, "@held_%d_%d$set", n, i);
    logic_put(p, while_running ? "@state[%d]$is1$and(" : "(", n);
    logic_put_row(p, n, i, false);
    logic_put(p, ");\n");
}

static void put_look(logic_pen *p, int32_t n)
{
    put_counts(p, n);
    logic_put_series(p, n);
    for (int32_t i = 0; i < table_of(p, n)->row_count; i++) {
        const pw_row *row = &table_of(p, n)->rows[i];
        const bool while_running = row->kind == PW_SENTENCE_STOP || row->kind == PW_SENTENCE_HOLD_ON;
        const bool anew = row->kind == PW_SENTENCE_START && table_of(p, n)->new_call_ms > 0;
        if (row->share >= 0) {
            put_held(p, n, i, while_running);
        }
        if (anew) {
            put_stale(p, n, i);
        }
        logic_call(p, "ton", "@row_%d_%d", n, i);
        if (anew) {
            logic_put(p, "@holds$and$not@stale_%d_%d", n, i);
        } else if (row->share >= 0) {
            logic_put_share_due(p, n, i);
        } else {
            logic_put(p, while_running ? "@state[%d]$is1$and" : "", n);
            logic_put_row(p, n, i, false);
        }
        logic_called(p, logic_row_ms(row));
    }
}

/* "row_0_2.Q OR row_0_5.Q" of all rows of a kind; FALSE when there is none. */
static void put_any(logic_pen *p, int32_t n, uint8_t kind)
{
    bool any = false;
    for (int32_t i = 0; i < table_of(p, n)->row_count; i++) {
        if (table_of(p, n)->rows[i].kind == kind) {
            logic_put(p, any ? "$or@row_%d_%d$Q" : "@row_%d_%d$Q", n, i);
            any = true;
        }
    }
    logic_put(p, any ? "" : "$false");
}

/* "running AND NOT (...)" of some kinds as the rest of a line. */
static void put_wish(logic_pen *p, int32_t n)
{
    logic_indent(p);
    logic_put(p, "@wish$set@state[%d]$is1$and$not(", n);
    put_any(p, n, PW_SENTENCE_HOLD_ON);
    logic_put(p, ")$and(");
    put_any(p, n, PW_SENTENCE_STOP);
    logic_put(p, ");\n");
}

/* What stands in the way of a start, and the wish to stop with its timer. */
static void put_wishes(logic_pen *p, int32_t n)
{
    const pw_pump_table *table = table_of(p, n);
    logic_line(p, "@in_way$set$false;");
    for (int32_t i = 0; i < table->row_count; i++) {
        if (table->rows[i].kind == PW_SENTENCE_STOP && table->rows[i].share >= 0) {
            logic_line(p, "@in_way$set@in_way$or@row_%d_%d$Q;", n, i);
        } else if (table->rows[i].kind == PW_SENTENCE_STOP && table->rows[i].time_ms == 0) {
            put_row_line(p, "@in_way$set@in_way$or", n, i, true);
        }
    }
    for (int32_t i = 0; i < table->row_count; i++) {
        if (table->rows[i].kind == PW_SENTENCE_HOLD_ON) {
            put_row_line(p, "@in_way$set@in_way$and$not", n, i, true);
        }
    }
    put_wish(p, n);
    logic_line(p, "$if@wish$and$not@stop_wanted_%d$then", n);
    logic_restart(p, "since_wish", n);
    logic_line(p, "$end");
    logic_line(p, "@stop_wanted_%d$set@wish;", n);
}

void logic_put_stopped(logic_pen *p, int32_t n)
{
    logic_restart(p, "since_stop", n);
    logic_line(p, "@has_stopped_%d$set$true;", n);
}

/* The first lock out that is due, and the retry that belongs to it while it has any left. */
static void put_lock(logic_pen *p, int32_t n)
{
    const pw_pump_table *table = table_of(p, n);
    logic_line(p, "@cause$set0;");
    for (int32_t i = 0; i < table->row_count; i++) {
        const int32_t sentence = table->rows[i].sentence;
        if (table->rows[i].kind == PW_SENTENCE_LOCK) {
            logic_line(p, "$if@cause$is0$and@row_%d_%d$Q$then", n, i);
            logic_line(p, "@cause$set%d;", sentence + 1);
            logic_line(p, "@again$set%d;", table->retry_of[sentence] + 1);
            logic_line(p, "$end");
        }
    }
    logic_line(p, "@moves$set@turn$is1;");
    logic_line(p, "$if@turn < 3$and@state[%d]$isnt2$and@cause > 0$then", n);
    logic_line(p, "$if@state[%d]$is1$then", n);
    logic_put_stopped(p, n);
    logic_line(p, "$end");
    logic_line(p, "@state[%d]$set2;", n);
    logic_line(p, "@locked_for_%d$set@cause;", n);
    logic_restart(p, "since_lock", n);
    logic_line(p, "@retry_%d$set@again;", n);
    for (int32_t r = 0; r < table->retry_count; r++) {
        if (table->retries[r].times > 0) {
            logic_line(p, "$if@again$is%d$and@retries_%d >= %d$then", r + 1, n, table->retries[r].times);
            logic_line(p, "@retry_%d$set0;", n);
            logic_line(p, "$end");
        }
    }
    logic_line(p, "@moves$set$false;");
    logic_line(p, "$end");
}

/* " AND since_stop_0.ET >= T#10s"; nothing without a time. */
static void put_after(logic_pen *p, const char *form, int32_t n, uint32_t time_ms)
{
    if (time_ms > 0) {
        logic_put(p, form, n, time_ms);
    }
}

/* What a start waits for. */
static void put_may_start(logic_pen *p, int32_t n)
{
    const pw_set *set = table_of(p, n)->set;
    logic_put(p, "$and$not@in_way");
    if (set[PW_SENTENCE_REST].ms > 0) {
        logic_put(p, "$and($not@has_stopped_%d", n);
        put_after(p, "$or@since_stop_%d$ET >= %t)", n, set[PW_SENTENCE_REST].ms);
    }
    if (set[PW_SENTENCE_POWER_ON].ms > 0) {
        logic_put(p, "$and@since_power$ET >= %t", set[PW_SENTENCE_POWER_ON].ms);
    }
    for (int32_t other = p->first; other <= p->last && set[PW_SENTENCE_APART].ms > 0; other++) {
        if (other != n) {
            logic_put(p, "$and($not@started_%d$or@since_start_%d$ET >= %t)", other, other, set[PW_SENTENCE_APART].ms);
        }
    }
    if (set[PW_SENTENCE_AT_MOST].there) {
        logic_put(p, "$and@count_%d_%d < %d", n, logic_ring_number(p, n, -1, -1), set[PW_SENTENCE_AT_MOST].times);
    }
}

static void put_started(logic_pen *p, int32_t n)
{
    logic_ring ring;
    logic_line(p, "@state[%d]$set1;", n);
    logic_line(p, "@started_%d$set$true;", n);
    logic_put_series_start(p, n);
    logic_restart(p, "since_start", n);
    for (int32_t r = 0; logic_ring_of(p, n, r, &ring); r++) {
        logic_line(p, "@spot$set@next_%d_%d;", n, r);
        put_ring_call(p, n, r, "spot", "$true", ring.window_ms);
        put_ring_call(p, n, r, "spot", "$false", ring.window_ms);
        logic_line(p, "@counts_%d_%d[@spot]$set$true;", n, r);
        logic_line(p, "@next_%d_%d$set(@spot + 1)$mod%d;", n, r, ring.count);
    }
}

static void put_move(logic_pen *p, int32_t n)
{
    const pw_set *set = table_of(p, n)->set;
    logic_indent(p);
    logic_put(p, "$if@moves$and@wish");
    put_after(p, "$and@since_start_%d$ET >= %t", n, set[PW_SENTENCE_LEAST_RUN].ms);
    put_after(p, "$and@since_wish_%d$ET >= %t", n, set[PW_SENTENCE_RUN_ON].ms);
    logic_put(p, "$then\n");
    p->depth++;
    logic_line(p, "@state[%d]$set0;", n);
    logic_line(p, "@stop_wanted_%d$set$false;", n);
    logic_line(p, "@retries_%d$set0;", n);
    logic_put_stopped(p, n);
    if (logic_shares(p, n) && p->table->every_stop) {
        logic_line(p, "$if@role$is0$then");
        logic_line(p, "@change_wanted$set$true;");
        logic_line(p, "$end");
    }
    p->depth--;
    logic_indent(p);
    logic_put(p, "$elsif@moves$and@state[%d]$is0$and(", n);
    put_any(p, n, PW_SENTENCE_START);
    logic_put(p, ")");
    put_may_start(p, n);
    logic_put(p, "$then\n");
    p->depth++;
    put_started(p, n);
    logic_line(p, "$end");
}

void logic_put_pump(logic_pen *p, int32_t n)
{
    logic_put_pass(p, n);
    put_retries(p, n);
    logic_for(p, "turn", "1", 3);
    if (logic_shares(p, n)) {
        put_role(p, n);
    }
    put_look(p, n);
    put_wishes(p, n);
    put_lock(p, n);
    put_move(p, n);
    logic_line(p, "$done");
}

/* ---- around the pumps ---- */

static void put_timer(logic_pen *p, const char *form, int32_t n)
{
    logic_call(p, "ton", form, n);
    logic_put(p, "$true");
    logic_called(p, LOGIC_LONG_MS);
}

void logic_put_timers(logic_pen *p)
{
    put_timer(p, "@since_power", 0);
    if (logic_has_share(p)) {
        put_timer(p, "@scan", 0);
    }
    for (int32_t n = p->first; n <= p->last; n++) {
        put_timer(p, "@since_start_%d", n);
        put_timer(p, "@since_stop_%d", n);
        put_timer(p, "@since_lock_%d", n);
        put_timer(p, "@since_wish_%d", n);
    }
    if (p->table->member_count > 0) {
        put_timer(p, "@since_change", 0);
    }
}

void logic_put_before(logic_pen *p)
{
    const int32_t members = p->table->member_count;
    logic_put_timers(p);
    if (p->structured && logic_keeps(p)) {
        logic_line(p, "$if$not@awake$then");
        logic_put_power(p);
        logic_line(p, "@awake$set$true;");
        logic_line(p, "$end");
    }
    if (logic_has_share(p)) {
        logic_put_passed(p);
    }
    if (members > 0) {
        logic_line(p, "$if$not@begun$then");
        for (int32_t i = 0; i < members; i++) {
            logic_line(p, "@queue[%d]$set%d;", i, p->table->members[i]);
        }
        logic_line(p, "@begun$set$true;");
        logic_line(p, "$end");
    }
    for (int32_t n = p->first; n <= p->last; n++) {
        logic_line(
            p, p->first < p->last ? "$if$inrelease_%d$and@state[%d]$is2$then" : "$if$inrelease$and@state[%d]$is2$then",
            n, n);
        put_unlock(p, n);
        logic_line(p, "@retries_%d$set0;", n);
        logic_line(p, "$end");
    }
    int32_t next = 0;
    for (int32_t n = p->first; n <= p->last && members > 0; n++) {
        if (logic_shares(p, n)) {
            logic_line(p, "@sequence[%d]$set@queue[%d];", n, next);
            next++;
        } else {
            logic_line(p, "@sequence[%d]$set%d;", n, n);
        }
    }
}

/* The first of the queue that is not locked out goes to its end, while none of them runs. */
static void put_change(logic_pen *p)
{
    const pw_table *table = p->table;
    logic_indent(p);
    logic_put(p, "$if(@change_wanted");
    if (table->change_ms > 0) {
        logic_put(p, "$or@since_change$ET >= %t", table->change_ms);
    }
    logic_put(p, ")");
    for (int32_t i = 0; i < table->member_count; i++) {
        logic_put(p, "$and@state[%d]$isnt1", table->members[i]);
    }
    logic_put(p, "$then\n");
    p->depth++;
    logic_line(p, "@duty$set-1;");
    logic_for(p, "i", "0", table->member_count - 1);
    logic_line(p, "$if@duty < 0$and@state[@queue[@i]]$isnt2$then");
    logic_line(p, "@duty$set@i;");
    logic_line(p, "$end");
    logic_line(p, "$done");
    logic_line(p, "$if@duty >= 0$then");
    put_to_the_end(p, "duty");
    logic_line(p, "$end");
    logic_line(p, "@change_wanted$set$false;");
    logic_restart(p, "since_change", -1);
    logic_line(p, "$end");
}

void logic_put_behind(logic_pen *p)
{
    if (p->table->member_count > 0) {
        put_change(p);
    }
}
