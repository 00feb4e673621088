/* What a program remembers beyond its timers: how long a condition held in the parts of a window (share.c), starts in
 * several windows in a row (form_pump.c), and what a power cut leaves (control.c).
 *
 * Structured text has no clock of its own, so spans are added up as TIME: what a TON counts, less what it had counted
 * in the scan before.
 */
#include "control/logic_parts.h"

enum { HOUR_MS = 3600000 };

/* ---- a part of a window ---- */

bool logic_has_share(const logic_pen *p)
{
    for (int32_t n = p->first; n <= p->last; n++) {
        if (p->table->pumps[n].share_count > 0) {
            return true;
        }
    }
    return false;
}

/* How much time went by since the scan before. The timer begins anew now and then, before it is full. */
void logic_put_passed(logic_pen *p)
{
    logic_line(p, "@passed$set@scan$ET - @seen;");
    logic_line(p, "@seen$set@scan$ET;");
    logic_line(p, "$if@scan$ET >= %t$then", (uint32_t)HOUR_MS);
    logic_restart(p, "scan", -1);
    logic_line(p, "@seen$set%t;", 0u);
    logic_line(p, "$end");
}

/* When all parts are alike, whole ones are taken away at once: the largest first. */
static void put_skip(logic_pen *p, int32_t n, int32_t i, uint32_t part_ms)
{
    uint32_t span_ms = part_ms;
    int32_t halves = 0;
    for (; span_ms <= LOGIC_LONG_MS / 2; halves++) {
        span_ms *= 2;
    }
    logic_line(p, "@span$set%t;", span_ms);
    logic_for(p, "i", "0", halves);
    logic_line(p, "$if@into_%d_%d + @rest >= @span$then", n, i);
    logic_line(p, "@rest$set@rest - @span;");
    logic_line(p, "$end");
    logic_line(p, "@span$set@span / 2;");
    logic_line(p, "$done");
}

static void put_close(logic_pen *p, int32_t n, int32_t i, const pw_row *row)
{
    logic_line(p, "$if@into_%d_%d + @rest >= %t$then", n, i, row->part_ms);
    logic_line(p, "$if@held_%d_%d$then", n, i);
    logic_line(p, "@going_%d_%d$set@going_%d_%d + (%t - @into_%d_%d);", n, i, n, i, row->part_ms, n, i);
    logic_line(p, "$end");
    logic_line(p, "@rest$set@rest - (%t - @into_%d_%d);", row->part_ms, n, i);
    logic_line(p, "@into_%d_%d$set%t;", n, i, 0u);
    logic_line(p, "@last_%d_%d$set(@last_%d_%d + 1)$mod%d;", n, i, n, i, (int32_t)row->parts);
    logic_line(p, "@spot$set@last_%d_%d;", n, i);
    logic_line(p, "@sum_%d_%d$set@sum_%d_%d + @going_%d_%d - @part_%d_%d[@spot];", n, i, n, i, n, i, n, i);
    logic_line(p, "@part_%d_%d[@spot]$set@going_%d_%d;", n, i, n, i);
    logic_line(p, "@going_%d_%d$set%t;", n, i, 0u);
    logic_line(p, "$end");
}

void logic_put_pass(logic_pen *p, int32_t n)
{
    for (int32_t i = 0; i < p->table->pumps[n].row_count; i++) {
        const pw_row *row = &p->table->pumps[n].rows[i];
        if (row->share < 0) {
            continue;
        }
        logic_line(p, "@rest$set@passed;");
        logic_for(p, "i", "0", (int32_t)row->parts);
        put_close(p, n, i, row);
        logic_line(p, "$done");
        put_skip(p, n, i, row->part_ms);
        logic_line(p, "$if@held_%d_%d$then", n, i);
        logic_line(p, "@going_%d_%d$set@going_%d_%d + @rest;", n, i, n, i);
        logic_line(p, "$end");
        logic_line(p, "@into_%d_%d$set@into_%d_%d + @rest;", n, i, n, i);
    }
}

void logic_put_forget(logic_pen *p, int32_t n, int32_t i)
{
    logic_line(p, "@held_%d_%d$set$false;", n, i);
    logic_line(p, "@going_%d_%d$set%t;", n, i, 0u);
    logic_line(p, "@sum_%d_%d$set%t;", n, i, 0u);
    logic_for(p, "i", "0", (int32_t)p->table->pumps[n].rows[i].parts - 1);
    logic_line(p, "@part_%d_%d[@i]$set%t;", n, i, 0u);
    logic_line(p, "$done");
}

void logic_put_share_due(logic_pen *p, int32_t n, int32_t i)
{
    const pw_row *row = &p->table->pumps[n].rows[i];
    if (row->role >= 0) {
        logic_put(p, "@role$is%d$and", row->role);
    }
    logic_put(p, "@sum_%d_%d + @going_%d_%d >= %t", n, i, n, i, row->time_ms);
}

/* ---- starts in several windows in a row ---- */

const pw_term *logic_series_of(const logic_pen *p, int32_t pump, int32_t number)
{
    const pw_pump_table *table = &p->table->pumps[pump];
    for (int32_t i = 0; i < table->row_count; i++) {
        for (int32_t k = 0; k < table->rows[i].term_count; k++) {
            const pw_term *term = &table->rows[i].terms[k];
            if (term->kind == PW_TERM_STARTS && term->in_a_row > 1 && number-- == 0) {
                return term;
            }
        }
    }
    return NULL;
}

int32_t logic_series_number(const logic_pen *p, int32_t pump, const pw_term *term)
{
    int32_t number = 0;
    for (const pw_term *at; (at = logic_series_of(p, pump, number)) != NULL && at != term;) {
        number++;
    }
    return number;
}

/* Starts older than this matter to no condition. */
static uint32_t horizon(const logic_pen *p, int32_t n)
{
    uint32_t longest_ms = 0;
    const pw_term *term;
    for (int32_t r = 0; (term = logic_series_of(p, n, r)) != NULL; r++) {
        const uint32_t span_ms = (uint32_t)term->in_a_row * term->time_ms;
        longest_ms = span_ms > longest_ms ? span_ms : longest_ms;
    }
    return longest_ms;
}

/* One start, from the newest back: `older` is its age, `edge` the end of the window it should lie in. */
static void put_one_start(logic_pen *p, int32_t n, int32_t r, const pw_term *term)
{
    logic_line(p, "$if@older >= @edge$then");
    logic_line(p, "$if@found < %d$or@windows$is%d$then", term->count, term->in_a_row);
    logic_line(p, "@broken$set$true;");
    logic_line(p, "$else");
    logic_line(p, "@windows$set@windows + 1;");
    logic_line(p, "@found$set0;");
    logic_line(p, "@edge$set@edge + %t;", term->time_ms);
    logic_line(p, "@broken$set@broken$or@older >= @edge;");
    logic_line(p, "$end");
    logic_line(p, "$end");
    logic_line(p, "@found$set@found + 1;");
    logic_line(p, "$if$not@broken$and@windows$is%d$and@found >= %d$then", term->in_a_row, term->count);
    logic_line(p, "@many_%d_%d$set$true;", n, r);
    logic_line(p, "$end");
}

void logic_put_series(logic_pen *p, int32_t n)
{
    const pw_term *term;
    for (int32_t r = 0; (term = logic_series_of(p, n, r)) != NULL; r++) {
        logic_line(p, "@many_%d_%d$set$false;", n, r);
        logic_line(p, "@older$set@since_start_%d$ET;", n);
        logic_line(p, "@edge$set%t;", term->time_ms);
        logic_line(p, "@windows$set1;");
        logic_line(p, "@found$set0;");
        logic_line(p, "@broken$set$false;");
        logic_line(p, "@spot$set@newest_%d;", n);
        logic_for_below(p, "i", "@kept_%d", n);
        logic_line(p, "$if$not@broken$then");
        put_one_start(p, n, r, term);
        logic_line(p, "$if@older >= %t$or@gaps_%d[@spot] >= %t - @older$then", horizon(p, n), n, horizon(p, n));
        logic_line(p, "@kept_%d$set@i + 1;", n);
        logic_line(p, "@broken$set$true;");
        logic_line(p, "$else");
        logic_line(p, "@older$set@older + @gaps_%d[@spot];", n);
        logic_line(p, "@spot$set(@spot + %d)$mod%d;", PW_MAX_STARTS - 1, PW_MAX_STARTS);
        logic_line(p, "$end");
        logic_line(p, "$end");
        logic_line(p, "$done");
    }
}

/* Before the timer since the start begins anew: what it shows is how long after the last one this start comes. */
void logic_put_series_start(logic_pen *p, int32_t n)
{
    if (logic_series_of(p, n, 0) == NULL) {
        return;
    }
    logic_line(p, "@newest_%d$set(@newest_%d + 1)$mod%d;", n, n, PW_MAX_STARTS);
    logic_line(p, "@spot$set@newest_%d;", n);
    logic_line(p, "@gaps_%d[@spot]$set@since_start_%d$ET;", n, n);
    logic_line(p, "$if@kept_%d < %d$then", n, PW_MAX_STARTS);
    logic_line(p, "@kept_%d$set@kept_%d + 1;", n, n);
    logic_line(p, "$end");
}

/* ---- a power cut ---- */

bool logic_keeps(const logic_pen *p)
{
    for (int32_t n = p->first; n <= p->last; n++) {
        if (p->table->pumps[n].set[PW_SENTENCE_KEEP_LOCKS].there) {
            return true;
        }
    }
    return false;
}

static void put_power_of_pump(logic_pen *p, int32_t n)
{
    const pw_pump_table *table = &p->table->pumps[n];
    logic_line(p, "$if@state[%d]$is1$then", n);
    logic_line(p, "@state[%d]$set0;", n);
    logic_put_stopped(p, n);
    logic_line(p, "$end");
    logic_line(p, "@stop_wanted_%d$set$false;", n);
    for (int32_t i = 0; i < table->row_count; i++) {
        logic_call(p, "ton", "@row_%d_%d", n, i);
        logic_put(p, "$false");
        logic_called(p, logic_row_ms(&table->rows[i]));
        if (table->rows[i].kind == PW_SENTENCE_START && table->new_call_ms > 0) {
            logic_line(p, "@stale_%d_%d$set$false;", n, i);
        }
        if (table->rows[i].share >= 0) {
            logic_put_forget(p, n, i);
            logic_line(p, "@into_%d_%d$set%t;", n, i, 0u);
        }
    }
    if (!table->set[PW_SENTENCE_KEEP_LOCKS].there) {
        logic_line(p, "@state[%d]$set0;", n);
        logic_line(p, "@retries_%d$set0;", n);
        logic_line(p, "@retry_%d$set0;", n);
        logic_put_no_starts(p, n);
    }
}

void logic_put_power(logic_pen *p)
{
    logic_restart(p, "since_power", -1);
    if (logic_has_share(p)) {
        logic_restart(p, "scan", -1);
        logic_line(p, "@seen$set%t;", 0u);
    }
    for (int32_t n = p->first; n <= p->last; n++) {
        put_power_of_pump(p, n);
    }
}
