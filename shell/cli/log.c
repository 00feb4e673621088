#define _POSIX_C_SOURCE 200809L /* dup */
#include "cli/log.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#include "adapt/files.h"
#include "adapt/log_file.h"
#include "cli/ask.h"
#include "cli/complain.h"
#include "cli/terminal.h"
#include "cli/voice.h"

static int64_t unpack(void *user, char *out, size_t most)
{
    const int got = gzread((gzFile)user, out, (unsigned)most);
    int why = Z_OK;
    (void)gzerror((gzFile)user, &why);
    return got == 0 && why != Z_OK && why != Z_STREAM_END ? -1 : got;
}

static gzFile open_log(const char *path)
{
    const int handle = strcmp(path, "-") == 0 ? dup(STDIN_FILENO) : open(path, O_RDONLY);
    gzFile file = handle >= 0 ? gzdopen(handle, "rb") : NULL;
    if (file == NULL) {
        const char *why = pw_file_why(errno);
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(cli_name(path)), pw_word(why)));
        if (handle >= 0) {
            close(handle);
        }
        return NULL;
    }
    (void)gzbuffer(file, 1 << 17);
    return file;
}

/* ---- how it was understood ---- */

static const char *separator_id(char separator)
{
    switch (separator) {
    case ';': return "cli.log-semicolon";
    case '\t': return "cli.log-tab";
    case '|': return "cli.log-bar";
    case ' ': return "cli.log-blank";
    default: return "cli.log-comma";
    }
}

static void tell_plan(const char *name, const pw_log_plan *plan)
{
    fprintf(
        stderr, "%s: %s\n", name,
        cli_words(pw_fact_of("cli.log-plan", pw_word(separator_id(plan->separator)),
                             pw_word(plan->decimal_comma ? "cli.log-decimal-comma" : "cli.log-decimal-point"),
                             pw_count(plan->heading_line), pw_count(plan->columns_seen), pw_named(plan->time_name))));
    for (int32_t i = 0; i < plan->count; i++) {
        const pw_log_column *column = &plan->column[i];
        const pw_dimension dimension = pw_log_signal_dimension(column->signal);
        fprintf(stderr, "  %s\n",
                cli_words(pw_fact_of(
                    column->unit_guessed ? "cli.log-column-guessed" : "cli.log-column", pw_named(column->name),
                    pw_named(pw_log_signal_id(column->signal)), pw_named(column->unit),
                    dimension == PW_DIM_NONE ? pw_number(column->first, 3) : pw_quantity(dimension, column->first))));
    }
    if (plan->unused_count > 0) {
        pw_choices unused = {{0}, 0, 0};
        for (int32_t i = 0; i < plan->unused_count && i < 6; i++) {
            pw_choices_add(&unused, plan->unused[i]);
        }
        fprintf(stderr, "  %s\n",
                cli_words(pw_fact_of("cli.log-unused", pw_count(plan->unused_count), pw_named(unused.names))));
    }
    if (plan->either_order) {
        fprintf(stderr, "  %s\n", cli_words(pw_fact_of("cli.log-either-order")));
    }
}

/* The same as options, to be given again. */
static void tell_options(const pw_log_plan *plan)
{
    fprintf(stderr, "  %s", cli_words(pw_fact_of("cli.log-again")));
    for (int32_t i = 0; i < plan->count; i++) {
        const pw_log_column *column = &plan->column[i];
        fprintf(stderr, " --column '%s=%s%s%s'", column->name, pw_log_signal_id(column->signal),
                column->unit[0] ? " " : "", column->unit);
    }
    fputc('\n', stderr);
}

static void tell_lines(const char *name, const pw_log_lines *lines)
{
    if (lines->bad_time > 0) {
        fprintf(stderr, "%s:%lld: %s\n", name, (long long)lines->first_bad_line,
                cli_words(pw_fact_of("cli.log-bad-time", pw_count(lines->bad_time))));
    }
    if (lines->broken) {
        fprintf(stderr, "%s: %s\n", name, cli_words(pw_fact_of("cli.log-broken", pw_count(lines->read))));
    }
}

/* ---- rows ---- */

static cli_loaded read_rows(const cli_options *options, pw_log_file *file, const pw_record **out)
{
    const pw_log_plan *plan = pw_log_plan_of(file);
    bool has[PW_LOG_SIGNALS] = {false};
    pw_log_row row;
    int64_t rows = 0;
    for (int32_t i = 0; i < plan->count; i++) {
        has[plan->column[i].signal] = true;
    }
    void *memory = cli_keep(aligned_alloc(16, (pw_door_log_size() + 15) / 16 * 16));
    if (memory == NULL) {
        cli_tell(pw_fact_of("cli.no-memory"));
        exit(CLI_EXIT_INTERNAL);
    }
    pw_record *record = pw_door_log_begin(memory, has);
    while (pw_log_file_next(file, &row)) {
        pw_door_log_take(record, &row);
        rows++;
        if ((rows & 0xffff) == 0 && cli_interrupted()) {
            return CLI_NOT_UNDERSTOOD;
        }
    }
    pw_door_log_end(record);
    const pw_log_lines lines = pw_log_lines_of(file);
    tell_lines(cli_name(options->log), &lines);
    if (rows < 3) {
        cli_tell(pw_fact_of("cli.log-no-rows", pw_named(cli_name(options->log)), pw_count(rows)));
        return CLI_NOT_UNDERSTOOD;
    }
    *out = record;
    return CLI_LOADED;
}

/* ---- columns as a file ---- */

/* Lines of a file as if each were given by --column; "#" begins a comment. */
static bool read_columns(const cli_options *options, pw_log_ask *ask)
{
    size_t length = 0;
    const char *why = "";
    char *text = options->columns_file ? cli_keep(pw_file_read(options->columns_file, 1 << 20, &length, &why)) : NULL;
    if (options->columns_file && text == NULL) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(options->columns_file), pw_word(why)));
        return false;
    }
    for (char *at = text; at != NULL && *at != 0;) {
        char *stop = at + strcspn(at, "\r\n");
        char *next = stop + strspn(stop, "\r\n");
        *stop = 0;
        if (*at != '#' && *at != 0) {
            if (ask->count == PW_LOG_MOST_ASKED) {
                cli_tell(pw_fact_of("cli.too-many-columns", pw_count(PW_LOG_MOST_ASKED)));
                return false;
            }
            ask->columns[ask->count++] = at;
        }
        at = next;
    }
    return true;
}

/* As it was understood, to be given again: also the time, and its unit where it is a plain number. */
static bool save_columns(const cli_options *options, const pw_log_plan *plan)
{
    char *text = NULL;
    size_t length = 0;
    const char *why = "";
    FILE *file = options->save_columns ? open_memstream(&text, &length) : NULL;
    if (file == NULL) {
        return options->save_columns == NULL;
    }
    fprintf(file, "# %s\n", cli_words(pw_fact_of("cli.log-columns-of", pw_named(cli_name(options->log)))));
    fprintf(file, "%s=time%s%s\n", plan->time_name, plan->time_unit[0] ? " " : "", plan->time_unit);
    for (int32_t i = 0; i < plan->count; i++) {
        const pw_log_column *column = &plan->column[i];
        fprintf(file, "%s=%s%s%s\n", column->name, pw_log_signal_id(column->signal), column->unit[0] ? " " : "",
                column->unit);
    }
    fclose(file);
    const bool good = pw_file_write(options->save_columns, text, length, &why);
    if (!good) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(options->save_columns), pw_word(why)));
    }
    free(text);
    return good;
}

/* ---- the whole ---- */

cli_loaded cli_log_open(const cli_options *options, const pw_log_source *source, bool colour, pw_log_file **out)
{
    const char *name = cli_name(options->log);
    pw_log_ask ask = {.count = options->column_count, .only = options->only};
    pw_problems problems = {0};
    memcpy(ask.columns, options->columns, sizeof options->columns);
    *out = NULL;
    if (!read_columns(options, &ask)) {
        return CLI_NOT_READ;
    }
    *out = pw_log_open(name, source, &ask, &problems);
    const cli_sheet none = {.name = name};
    for (int32_t i = 0; i < problems.count; i++) {
        const pw_problem *one = &problems.items[i];
        cli_complain_at(&none, one->line, one->column, "", cli_found(one), cli_words(pw_remark_fact(&one->expected)),
                        cli_words(pw_remark_fact(&one->hint)), false, colour);
    }
    if (*out == NULL) {
        return CLI_NOT_UNDERSTOOD;
    }
    if (!options->quiet) {
        tell_plan(name, pw_log_plan_of(*out));
        tell_options(pw_log_plan_of(*out));
    }
    if (!save_columns(options, pw_log_plan_of(*out))) {
        pw_log_close(*out);
        *out = NULL;
        return CLI_NOT_READ;
    }
    return CLI_LOADED;
}

cli_loaded cli_log_load(const cli_options *options, bool colour, const pw_record **out)
{
    gzFile packed = open_log(options->log);
    if (packed == NULL) {
        return CLI_NOT_READ;
    }
    const pw_log_source source = {.read = unpack, .user = packed};
    pw_log_file *file = NULL;
    cli_loaded loaded = cli_log_open(options, &source, colour, &file);
    if (loaded == CLI_LOADED) {
        loaded = read_rows(options, file, out);
    }
    pw_log_close(file);
    (void)gzclose(packed);
    return loaded;
}
