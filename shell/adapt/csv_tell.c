/* What is said of a file: why it is refused, what it was read as, and what looks wrong. */
#include <string.h>

#include "adapt/csv_inside.h"
#include "base/num.h"

#define HIDES_PEAKS_S 600.0 /* a step as long as this knows the mean of many draws, not their flow */
enum { A_LOG = 20 };        /* rows: fewer show nothing of their kind */
#define HOLE_STEPS 3.0      /* a gap of more steps is a hole */

/* What rows that were passed over are called; NULL: there is nothing odd about them. */
static const char *const odd_rows[PW_CSV_SKIP_COUNT] = {
#define PW_X(name, rows) rows,
    PW_CSV_SKIP_LIST(PW_X)
#undef PW_X
};

/* The most frequent reason why rows were of no use, -1: none was; and how many were. */
static int32_t worst_skip(const pw_csv_reader *r, int64_t *odd)
{
    int32_t worst = -1;
    *odd = 0;
    for (int32_t i = 0; i < PW_CSV_SKIP_COUNT; i++) {
        const int64_t count = odd_rows[i] != NULL ? r->out->skipped[i] : 0;
        *odd += count;
        worst = count > 0 && (worst < 0 || count > r->out->skipped[worst]) ? i : worst;
    }
    return worst;
}

/* The problem that comes next gets this place in the file, if there is room for it. */
static int32_t next_problem(const pw_csv_reader *r)
{
    return r->problems != NULL ? r->problems->count : 0;
}
static void place_problem(pw_csv_reader *r, int32_t at, int32_t line, int32_t column)
{
    if (r->problems != NULL && r->problems->count > at) {
        r->problems->items[at].line = line;
        r->problems->items[at].column = column;
    }
}

/* Why no row was of use: the most frequent reason, at its first place. */
pw_status pw_csv_no_rows(pw_csv_reader *r)
{
    int64_t odd;
    const int32_t worst = worst_skip(r, &odd);
    if (worst < 0) {
        return pw_csv_complain(r, PW_MISSING, r->data_line, 1, pw_fact_of("input.csv-no-rows"),
                               pw_fact_of("input.csv-rows-needed"), pw_no_fact());
    }
    return pw_csv_complain(r, PW_SYNTAX, r->out->skipped_line[worst], r->out->skipped_column[worst],
                           pw_fact_of("input.csv-only-rows", pw_word(odd_rows[worst])),
                           pw_fact_of("input.csv-rows-needed"), pw_no_fact());
}

/* ---- most rows of no use ---- */

pw_status pw_csv_refuse_most(pw_csv_reader *r)
{
    int64_t odd;
    const int32_t worst = worst_skip(r, &odd);
    if (odd <= r->out->rows) {
        return PW_OK;
    }
    const bool mixed = worst == PW_CSV_BACK || worst == PW_CSV_SAME;
    const int32_t at = next_problem(r);
    pw_problem_tell(
        r->problems, PW_SYNTAX, r->file,
        pw_fact_of("input.csv-most-rows", pw_count(odd), pw_count(odd + r->out->rows), pw_word(odd_rows[worst])),
        pw_fact_of("input.csv-a-log"),
        mixed ? pw_fact_of("input.csv-several") : pw_fact_of("input.csv-look-at-columns"));
    place_problem(r, at, r->out->skipped_line[worst], r->out->skipped_column[worst]);
    return PW_SYNTAX;
}

/* ---- what was read ---- */

static void warn_at(pw_csv_reader *r, int32_t line, int32_t column, pw_fact found, pw_fact hint)
{
    const int32_t at = next_problem(r);
    pw_warning_tell(r->problems, PW_SYNTAX, r->file, found, pw_no_fact(), hint);
    place_problem(r, at, line, column);
}

static void warn(pw_csv_reader *r, pw_fact found, pw_fact hint)
{
    warn_at(r, r->data_line, 1, found, hint);
}

static void warn_of_skips(pw_csv_reader *r)
{
    for (int32_t i = 0; i < PW_CSV_SKIP_COUNT; i++) {
        if (odd_rows[i] != NULL && r->out->skipped[i] > 0) {
            const pw_value count = pw_count(r->out->skipped[i]);
            warn_at(r, r->out->skipped_line[i], r->out->skipped_column[i],
                    pw_fact_of("input.csv-skipped", count, pw_word(odd_rows[i])),
                    pw_fact_of("input.csv-passed-over", count));
        }
    }
    if (r->out->guessed_settings) {
        warn(r, pw_fact_of("input.csv-dates-either-way"),
             pw_fact_of(r->settings == PW_CSV_MONTH_FIRST ? "input.csv-month-closer" : "input.csv-day-first"));
    }
}

/* Values that climb for long, and fall seldom and then to near nothing, are a counter's readings and no amounts. */
bool pw_csv_rises(const pw_csv_reader *r)
{
    int64_t rises = 0, falls = 0;
    for (int64_t i = 1; i < r->count; i++) {
        rises += r->value[i] > r->value[i - 1] ? 1 : 0;
        falls += r->value[i] < r->value[i - 1] ? 1 : 0;
        if (r->value[i] < r->value[i - 1] && r->value[i] > 0.1 * r->value[i - 1]) {
            return false;
        }
    }
    return r->out->taken == PW_CSV_AMOUNT && r->count >= A_LOG && rises > 0 && rises >= 10 * falls;
}

static bool holds(const char *text, const char *word)
{
    const size_t length = strlen(word);
    for (; *text != '\0'; text++) {
        size_t same = 0;
        while (same < length && (text[same] | 0x20) == word[same]) {
            same++;
        }
        if (same == length) {
            return true;
        }
    }
    return false;
}

/* A heading that speaks of an end or a length: then a row may be a draw and not a moment. Empty: none does. */
static void heading_of_end(const pw_csv_reader *r, char *out)
{
    static const char *const words[] = {"end", "stop", "duration", "length", "ende", "dauer"};
    pw_csv csv;
    pw_csv_row row;
    out[0] = '\0';
    pw_csv_begin(&csv, r->bytes, r->length, r->out->separator);
    csv.at = r->heading_at;
    if (r->out->heading_line == 0 || r->out->taken == PW_CSV_DRAW || !pw_csv_next(&csv, &row)) {
        return;
    }
    for (int32_t i = 0; i < pw_csv_kept(&row); i++) {
        if (i == r->time_at || i == r->flow_at) {
            continue;
        }
        char heading[PW_CSV_WORD];
        pw_csv_text(&row.fields[i], heading, sizeof heading);
        for (size_t w = 0; w < sizeof words / sizeof words[0]; w++) {
            if (holds(heading, words[w])) {
                pw_copy(out, PW_CSV_WORD, heading);
                return;
            }
        }
    }
}

static void warn_of_looks(pw_csv_reader *r)
{
    const pw_csv_trace *out = r->out;
    char heading[PW_CSV_WORD];
    heading_of_end(r, heading);
    if (heading[0] != '\0') {
        warn(r, pw_fact_of("input.csv-looks-draws", pw_named(heading)), pw_fact_of("input.csv-say-draws"));
    }
    if (r->rising) {
        warn(r, pw_fact_of("input.csv-looks-register"), pw_fact_of("input.csv-say-register"));
    }
    const bool log = out->taken != PW_CSV_DRAW && out->rows >= A_LOG;
    if (log && out->usual_s >= HIDES_PEAKS_S) {
        warn(r, pw_fact_of("input.csv-hides-peaks", pw_quantity(PW_DIM_TIME, out->usual_s)),
             pw_fact_of("input.csv-finer"));
    }
    if (log && out->longest_gap_s > HOLE_STEPS * pw_max(out->usual_s, r->ask->step_s) && !(r->ask->step_s > 0.0)) {
        const pw_value gap = pw_quantity(PW_DIM_TIME, out->longest_gap_s);
        warn(r, pw_fact_of("input.csv-holes", gap),
             out->taken == PW_CSV_AMOUNT ? pw_fact_of("input.csv-hole-none")
             : out->taken == PW_CSV_FLOW ? pw_fact_of("input.csv-hole-held")
                                         : pw_fact_of("input.csv-hole-spread"));
    }
    if (out->epoch && out->rows >= A_LOG) {
        warn(r, pw_fact_of("input.csv-epoch"), pw_fact_of("input.csv-say-zone"));
    }
    if (out->resets > 0 || out->jumps > 0) {
        warn(r, pw_fact_of("input.csv-resets", pw_count(out->resets), pw_count(out->jumps)),
             pw_fact_of("input.csv-reset-none"));
    }
}

void pw_csv_tell(pw_csv_reader *r)
{
    warn_of_skips(r);
    warn_of_looks(r);
}

static const char *taken_for(const pw_csv_trace *trace)
{
    switch (trace->taken) {
    case PW_CSV_FLOW: break;
    case PW_CSV_AMOUNT: return trace->stamps_end ? "input.csv-amounts-before" : "input.csv-amounts";
    case PW_CSV_REGISTER: return "input.csv-register";
    case PW_CSV_DRAW: return "input.csv-draws";
    }
    return trace->stamps_end ? "input.csv-flows-before" : "input.csv-flows";
}

pw_fact pw_csv_echo(const pw_csv_trace *trace)
{
    int64_t passed = 0;
    for (int32_t i = 0; i < PW_CSV_SKIP_COUNT; i++) {
        passed += trace->skipped[i];
    }
    const double length_s = trace->times_s[trace->count - 1], days = length_s / 86400.0;
    return pw_fact_of("input.csv-echo", pw_word(taken_for(trace)), pw_count(trace->rows), pw_count(passed),
                      pw_quantity(PW_DIM_TIME, length_s), pw_quantity(PW_DIM_VOLUME, trace->volume_m3 / days));
}

pw_fact pw_csv_echo_more(const pw_csv_trace *trace)
{
    const pw_value most = pw_quantity(PW_DIM_FLOW, trace->peak_m3s);
    if (trace->taken == PW_CSV_DRAW) {
        return pw_fact_of("input.csv-echo-draws", most);
    }
    return pw_fact_of("input.csv-echo-steps", most, pw_quantity(PW_DIM_TIME, trace->usual_s),
                      pw_quantity(PW_DIM_TIME, trace->longest_gap_s));
}
