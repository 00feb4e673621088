#define _DEFAULT_SOURCE
#include "cli/terminal.h"

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

int cli_width(void)
{
    struct winsize size = {0};
    if (isatty(STDOUT_FILENO) != 1 || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) {
        return 100;
    }
    return size.ws_col < 60 ? 60 : size.ws_col > 120 ? 120 : size.ws_col;
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
        fprintf(stderr, "about %.0f min left", left_s / 60);
    } else {
        fprintf(stderr, "about %.0f s left", left_s < 1 ? 1 : left_s);
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

void cli_watch_interrupt(void)
{
    struct sigaction action = {0};
    action.sa_handler = note_interrupt;
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
    sigaction(SIGHUP, &action, NULL);
}

bool cli_interrupted(void)
{
    return interrupted != 0;
}
