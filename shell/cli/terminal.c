#define _DEFAULT_SOURCE
#include "cli/terminal.h"

#include "cli/voice.h"
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

bool cli_colour_on(cli_colour choice, FILE *stream)
{
    if (choice != CLI_COLOUR_AUTO) {
        return choice == CLI_COLOUR_ALWAYS;
    }
    const char *refused = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");
    if ((refused && refused[0]) || (terminal && strcmp(terminal, "dumb") == 0)) {
        return false;
    }
    return isatty(fileno(stream)) == 1;
}

/* COLUMNS as the caller set it; 0: not, or no number of columns. */
static int columns_asked(void)
{
    const char *text = getenv("COLUMNS");
    char *end = NULL;
    const long columns = text ? strtol(text, &end, 10) : 0;
    return text && end != text && *end == 0 && columns > 0 && columns < 10000 ? (int)columns : 0;
}

static int within(int columns)
{
    return columns < 60 ? 60 : columns > 120 ? 120 : columns;
}

int cli_width(void)
{
    struct winsize size = {0};
    const int asked = columns_asked();
    if (asked > 0) {
        return within(asked);
    }
    if (isatty(STDOUT_FILENO) != 1 || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) {
        return 80;
    }
    return within(size.ws_col);
}

static double now_s(void)
{
    struct timespec now = {0};
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void cli_progress_begin(cli_progress *progress, bool quiet)
{
    progress->on = !quiet && isatty(STDERR_FILENO) == 1;
    progress->shown = false;
    progress->began_s = now_s();
    progress->drawn_s = progress->began_s;
}

void cli_progress_show(cli_progress *progress, double done, const char *words)
{
    if (!progress->on || done <= 0) {
        return;
    }
    double now = now_s();
    double spent_s = now - progress->began_s;
    if (spent_s < 1 || now - progress->drawn_s < 0.1) {
        return;
    }
    double left_s = spent_s * (1 - done) / done;
    fprintf(stderr, "\r\033[K%3.0f %%  ", 100 * done);
    if (left_s >= 90) {
        fputs(cli_words(pw_fact_of("cli.minutes-left", pw_count((int64_t)(left_s / 60 + 0.5)))), stderr);
    } else {
        fputs(cli_words(pw_fact_of("cli.seconds-left", pw_count(left_s < 1 ? 1 : (int64_t)(left_s + 0.5)))), stderr);
    }
    fprintf(stderr, "%s%.50s", words && words[0] ? "  " : "", words ? words : "");
    fflush(stderr);
    progress->drawn_s = now;
    progress->shown = true;
}

void cli_progress_end(cli_progress *progress)
{
    if (progress->shown) {
        fprintf(stderr, "\r\033[K");
        fflush(stderr);
        progress->shown = false;
    }
}

static volatile sig_atomic_t interrupted;

static void note_interrupt(int signal_number)
{
    (void)signal_number;
    interrupted = 1;
}

/* A signal that the caller had ignored (nohup, a background job) stays ignored. */
static void watch(int signal_number)
{
    struct sigaction action = {0};
    if (sigaction(signal_number, NULL, &action) != 0 || action.sa_handler == SIG_IGN) {
        return;
    }
    action = (struct sigaction){.sa_handler = note_interrupt};
    sigemptyset(&action.sa_mask);
    sigaction(signal_number, &action, NULL);
}

void cli_watch_interrupt(void)
{
    watch(SIGINT);
    watch(SIGTERM);
    watch(SIGHUP);
}

bool cli_interrupted(void)
{
    return interrupted != 0;
}
