#define _GNU_SOURCE
#include "cli/workers.h"

#include <errno.h>
#include <poll.h>
#include <sched.h>
#include <signal.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>
#ifdef __linux__
#include <sys/prctl.h>
#endif

#include "adapt/doorway.h"

/* On the pipe: frames of a kind and a length, then that many bytes. */
typedef struct frame {
    uint32_t kind, length;
} frame;

enum { FRAME_PROGRESS = 1, FRAME_ANSWER = 2 };

typedef struct worker {
    pid_t process;
    int pipe; /* the parent's end; -1 when closed */
    double done;
    frame head;
    size_t have; /* bytes of head and body together that have come */
    char *body;
} worker;

static bool send_all(int handle, const void *bytes, size_t length)
{
    const char *at = bytes;
    while (length > 0) {
        ssize_t written = write(handle, at, length);
        if (written < 0 && errno != EINTR) {
            return false;
        }
        if (written > 0) {
            at += written;
            length -= (size_t)written;
        }
    }
    return true;
}

static bool send_frame(int handle, uint32_t kind, const void *bytes, size_t length)
{
    frame head = {kind, (uint32_t)length};
    return send_all(handle, &head, sizeof head) && send_all(handle, bytes, length);
}

typedef struct errand {
    int pipe;
    pid_t parent;
} errand;

static void tell_progress(void *user, double done, const char *words)
{
    (void)words;
    const errand *self = user;
    send_frame(self->pipe, FRAME_PROGRESS, &done, sizeof done);
}

/* Nobody waits for the answer any more: the parent was killed. */
static bool is_orphan(void *user)
{
    const errand *self = user;
    return getppid() != self->parent;
}

/* The parent's flag is no worker's; what the caller had ignored stays ignored. */
static void unwatch(int signal_number)
{
    if (signal(signal_number, SIG_DFL) == SIG_IGN) {
        signal(signal_number, SIG_IGN);
    }
}

/* The whole life of a worker. It ends when its parent has gone: at once where the system tells it, else when it is next
 * asked whether to go on, or by SIGPIPE. */
static _Noreturn void work(int handle, const char *request, pid_t parent)
{
    errand self = {handle, parent};
#ifdef __linux__
    prctl(PR_SET_PDEATHSIG, SIGKILL);
#endif
    if (is_orphan(&self)) { /* it went before that was asked for */
        _exit(1);
    }
    unwatch(SIGINT);
    unwatch(SIGTERM);
    unwatch(SIGHUP);
    signal(SIGPIPE, SIG_DFL);
    pw_door_host host = {&self, tell_progress, is_orphan};
    char *answer = pw_doorway(request, strlen(request), &host);
    bool sent = answer && send_frame(handle, FRAME_ANSWER, answer, strlen(answer));
    free(answer);
    close(handle);
    _exit(sent ? 0 : 1);
}

static bool begin(worker *workers, int index, const char *request)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return false;
    }
    pid_t parent = getpid();
    pid_t process = fork();
    if (process == 0) {
        close(ends[0]);
        for (int i = 0; i < index; i++) {
            close(workers[i].pipe);
        }
        work(ends[1], request, parent);
    }
    close(ends[1]);
    if (process < 0) {
        close(ends[0]);
        return false;
    }
    workers[index].process = process;
    workers[index].pipe = ends[0];
    return true;
}

/* A whole frame has come. */
static bool take_frame(worker *one, char **answer)
{
    bool good = false;
    if (one->head.kind == FRAME_PROGRESS && one->head.length == sizeof one->done) {
        memcpy(&one->done, one->body, sizeof one->done);
        free(one->body);
        good = true;
    } else if (one->head.kind == FRAME_ANSWER && !*answer) {
        *answer = one->body;
        good = true;
    } else {
        free(one->body);
    }
    one->body = NULL;
    one->have = 0;
    return good;
}

/* Read what is there, at most to the end of one frame. false: end of the pipe, or a fault. */
static bool take_bytes(worker *one, char **answer)
{
    char *target = (char *)&one->head + one->have;
    size_t wanted = sizeof one->head - one->have;
    if (one->have >= sizeof one->head) {
        size_t got = one->have - sizeof one->head;
        target = one->body + got;
        wanted = one->head.length - got;
    }
    ssize_t count = read(one->pipe, target, wanted);
    if (count < 0 && errno == EINTR) {
        return true;
    }
    if (count <= 0) {
        return false;
    }
    one->have += (size_t)count;
    if (one->have == sizeof one->head) {
        one->body = calloc((size_t)one->head.length + 1, 1);
        if (!one->body) {
            return false;
        }
    }
    if (one->have >= sizeof one->head && one->have == sizeof one->head + one->head.length) {
        return take_frame(one, answer);
    }
    return true;
}

static int wait_for_bytes(worker *workers, int count, struct pollfd *waits)
{
    int open = 0;
    for (int i = 0; i < count; i++) {
        waits[i] = (struct pollfd){.fd = workers[i].pipe, .events = POLLIN};
        open += workers[i].pipe >= 0;
    }
    if (open > 0) {
        poll(waits, (nfds_t)count,
             200); /* not for ever: an interrupt may come between the test of the flag and this call */
    }
    return open;
}

static void collect(worker *workers, int count, char **answers, cli_progress *progress)
{
    struct pollfd waits[CLI_MAX_JOBS];
    bool whole = true;
    while (whole && !cli_interrupted() && wait_for_bytes(workers, count, waits) > 0) {
        double done = 0;
        for (int i = 0; i < count; i++) {
            bool ready = whole && workers[i].pipe >= 0 && (waits[i].revents & (POLLIN | POLLHUP | POLLERR));
            if (ready && !take_bytes(&workers[i], &answers[i])) {
                close(workers[i].pipe);
                workers[i].pipe = -1;
                workers[i].done = 1;
                whole = answers[i] != NULL; /* one that died takes the others along */
            }
            done += workers[i].done / count;
        }
        cli_progress_show(progress, done, NULL);
    }
}

/* Everyone goes home, whatever happened. */
static bool end_all(worker *workers, int count)
{
    bool good = true;
    for (int i = 0; i < count; i++) {
        if (workers[i].pipe >= 0) {
            close(workers[i].pipe);
            kill(workers[i].process, SIGTERM);
        }
        free(workers[i].body);
    }
    for (int i = 0; i < count; i++) {
        int state = 0;
        while (waitpid(workers[i].process, &state, 0) < 0 && errno == EINTR) {
        }
        good = good && WIFEXITED(state) && WEXITSTATUS(state) == 0;
    }
    return good;
}

cli_work cli_workers_ask(int count, char *const *requests, char **answers, cli_progress *progress)
{
    worker workers[CLI_MAX_JOBS] = {0};
    int begun = 0;
    fflush(NULL); /* or a worker would print the parent's pending output again */
    for (int i = 0; i < count; i++) {
        answers[i] = NULL;
    }
    while (begun < count && begin(workers, begun, requests[begun])) {
        begun++;
    }
    if (begun == count) {
        collect(workers, count, answers, progress);
    }
    bool good = end_all(workers, begun);
    if (cli_interrupted()) {
        return CLI_WORK_INTERRUPTED;
    }
    for (int i = 0; i < count; i++) {
        good = good && answers[i];
    }
    return good && begun == count ? CLI_WORK_DONE : CLI_WORK_FAILED;
}

int cli_cores(void)
{
    cpu_set_t set;
    CPU_ZERO(&set);
    int cores = sched_getaffinity(0, sizeof set, &set) == 0 ? CPU_COUNT(&set) : (int)sysconf(_SC_NPROCESSORS_ONLN);
    return cores < 1 ? 1 : cores > CLI_MAX_JOBS ? CLI_MAX_JOBS : cores;
}
