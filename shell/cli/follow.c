#define _POSIX_C_SOURCE 200809L /* nanosleep, fileno */
#include "cli/follow.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "adapt/doorway.h"
#include "adapt/files.h"
#include "cli/complain.h"
#include "cli/log.h"
#include "cli/terminal.h"
#include "cli/voice.h"
#include "door/follow.h"

/* Room for what each hypothesis foretells, and for one simulation; pages that are not touched cost nothing. */
#define WATCH_ROOM ((size_t)192 << 20)

/* ---- the growing file ---- */

typedef struct feed {
    const char *path;
    int handle;
    bool standard; /* input: it ends */
} feed;

static bool wait_a_little(void)
{
    const struct timespec pause = {0, 250 * 1000 * 1000};
    return !cli_interrupted() && (nanosleep(&pause, NULL) == 0 || !cli_interrupted());
}

/* A file that was cut short or exchanged begins anew: loggers turn their files over. */
static void turned_over(feed *f)
{
    struct stat now, open_one;
    if (stat(f->path, &now) != 0 || fstat(f->handle, &open_one) != 0) {
        return;
    }
    if (now.st_ino != open_one.st_ino || now.st_dev != open_one.st_dev) {
        const int handle = open(f->path, O_RDONLY);
        if (handle >= 0) {
            close(f->handle);
            f->handle = handle;
        }
    } else if (open_one.st_size < lseek(f->handle, 0, SEEK_CUR)) {
        (void)lseek(f->handle, 0, SEEK_SET);
    }
}

static int64_t next_bytes(void *user, char *out, size_t most)
{
    feed *f = (feed *)user;
    for (;;) {
        const ssize_t got = read(f->handle, out, most);
        if (got > 0) {
            return got;
        }
        if (got < 0 && errno != EINTR) {
            return -1;
        }
        if ((f->standard && got == 0) || cli_interrupted()) {
            return 0;
        }
        if (got == 0) {
            if (!wait_a_little()) {
                return 0;
            }
            turned_over(f);
        }
    }
}

/* ---- news ---- */

/* The moment by the log's own clock; without dates as a time since its begin. */
static void print_moment(double t_s, double first_s)
{
    const time_t seconds = (time_t)t_s;
    struct tm date;
    if (first_s > 1e8 && first_s < 7e9 && gmtime_r(&seconds, &date) != NULL) {
        printf("%04d-%02d-%02d %02d:%02d  ", date.tm_year + 1900, date.tm_mon + 1, date.tm_mday, date.tm_hour,
               date.tm_min);
    } else {
        printf("%s  ", cli_words(pw_fact_of("base.value", pw_quantity(PW_DIM_TIME, t_s - first_s))));
    }
}

static void show(const cli_options *options, const char *news, double first_s)
{
    cli_answer answer;
    if (news == NULL) {
        return;
    }
    if (options->json != CLI_JSON_NO) {
        puts(news);
    } else {
        const size_t size = strlen(news) + 1;
        char *copy = malloc(size);
        if (copy == NULL) {
            return;
        }
        memcpy(copy, news, size);
        if (cli_take_answer(copy, &answer) != CLI_EXIT_FINE) {
            return;
        }
        const pw_json *at = pw_json_get(answer.tree, "at_s"), *words = pw_json_get(answer.tree, "words");
        print_moment(at->number, first_s);
        puts(words->string);
    }
    fflush(stdout);
}

static cli_exit follow(const cli_options *options, pw_door_follow *log, pw_log_file *file)
{
    pw_log_row row;
    double first_s = 0.0;
    int64_t rows = 0;
    while (pw_log_file_next(file, &row)) {
        first_s = rows == 0 ? row.t_s : first_s;
        rows++;
        show(options, pw_door_follow_take(log, &row), first_s);
        if (cli_interrupted()) {
            break;
        }
    }
    show(options, pw_door_follow_now(log), first_s);
    return rows > 0 ? CLI_EXIT_FINE : CLI_EXIT_PROBLEMS;
}

static cli_exit begin(const cli_options *options, const char *request, pw_log_file *file)
{
    const pw_log_plan *plan = pw_log_plan_of(file);
    bool has[PW_LOG_SIGNALS] = {false};
    void *block = malloc(WATCH_ROOM);
    pw_door_follow *log = NULL;
    pw_arena arena;
    if (block == NULL) {
        cli_tell(pw_fact_of("cli.no-memory"));
        return CLI_EXIT_INTERNAL;
    }
    for (int32_t i = 0; i < plan->count; i++) {
        has[plan->column[i].signal] = true;
    }
    pw_arena_init(&arena, block, WATCH_ROOM);
    const char *answer = pw_door_follow_begin(&arena, request, strlen(request), NULL, has, &log);
    cli_exit code = CLI_EXIT_PROBLEMS;
    if (log != NULL) {
        code = follow(options, log, file);
    } else {
        fprintf(stderr, "%s\n", answer);
    }
    free(block);
    return code;
}

cli_exit cli_follow(const cli_options *options, const char *request, bool colour)
{
    feed f = {options->log, STDIN_FILENO, strcmp(options->log, "-") == 0};
    pw_log_file *file = NULL;
    if (!f.standard) {
        f.handle = open(f.path, O_RDONLY);
    }
    if (f.handle < 0) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(f.path), pw_word(pw_file_why(errno))));
        return CLI_EXIT_FILE;
    }
    const pw_log_source source = {.read = next_bytes, .user = &f, .live = true};
    cli_exit code = CLI_EXIT_PROBLEMS;
    if (cli_log_open(options, &source, colour, &file) == CLI_LOADED) {
        code = begin(options, request, file);
    }
    pw_log_close(file);
    if (!f.standard) {
        close(f.handle);
    }
    return code;
}
