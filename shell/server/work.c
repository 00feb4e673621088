#define _GNU_SOURCE /* POLLRDHUP, sched_getaffinity */
#include "server/work.h"

#include <poll.h>
#include <sched.h>
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "server/clock.h"

enum { LOOK_EVERY_MS = 200 };

/* A browser that navigates away closes the connection; then nobody waits for the answer. A client that closes only its
 * own half looks the same, and MHD too takes it for gone. */
static bool hung_up(int socket)
{
    struct pollfd look = {.fd = socket, .events = POLLRDHUP};
    return poll(&look, 1, 0) > 0 && (look.revents & (POLLRDHUP | POLLHUP | POLLERR));
}

static bool should_stop(void *user)
{
    serve_job *job = user;
    if (job->fate != SERVE_ANSWERED) {
        return true;
    }
    if (atomic_load(&job->work->stop)) {
        job->fate = SERVE_STOPPED;
        return true;
    }
    int64_t now_ms = serve_now_ms();
    if (now_ms - job->looked_ms < LOOK_EVERY_MS) {
        return false;
    }
    job->looked_ms = now_ms;
    if (now_ms >= job->until_ms) {
        job->fate = SERVE_TOO_LONG;
    } else if (hung_up(job->socket)) {
        job->fate = SERVE_GONE;
    }
    return job->fate != SERVE_ANSWERED;
}

static void ask_door(serve_job *job)
{
    const pw_door_host host = {.user = job, .cancelled = should_stop};
    job->fate = SERVE_ANSWERED;
    job->until_ms = serve_now_ms() + (int64_t)SERVE_WORK_MOST_S * 1000;
    job->looked_ms = 0; /* so the first look is at once */
    if (should_stop(job)) {
        return;
    }
    char *answer = pw_doorway(job->request, job->length, &host);
    if (job->fate != SERVE_ANSWERED) {
        free(answer); /* it says "cancelled" */
        return;
    }
    size_t length = answer ? strlen(answer) : 0;
    char *line = answer ? realloc(answer, length + 2) : NULL;
    if (!line) {
        free(answer);
        job->fate = SERVE_NO_MEMORY;
        return;
    }
    line[length] = '\n';
    line[length + 1] = 0;
    job->answer = line;
    job->answer_length = length + 1;
}

/* The next job; NULL when all is over. */
static serve_job *take(serve_work *work)
{
    pthread_mutex_lock(&work->lock);
    while (!work->first && !work->closed) {
        pthread_cond_wait(&work->changed, &work->lock);
    }
    serve_job *job = work->first;
    if (job) {
        work->first = job->next;
        work->waiting--;
        work->running++;
    }
    if (!work->first) {
        work->last = NULL;
    }
    pthread_mutex_unlock(&work->lock);
    return job;
}

static void *compute(void *user)
{
    serve_work *work = user;
    for (serve_job *job = take(work); job; job = take(work)) {
        ask_door(job);
        job->done(job);
        pthread_mutex_lock(&work->lock);
        work->running--;
        pthread_mutex_unlock(&work->lock);
    }
    return NULL;
}

static int cores(void)
{
    cpu_set_t set;
    CPU_ZERO(&set);
    int count = sched_getaffinity(0, sizeof set, &set) == 0 ? CPU_COUNT(&set) : SERVE_WORKERS_LEAST;
    return count < SERVE_WORKERS_LEAST ? SERVE_WORKERS_LEAST : count > SERVE_WORKERS_MOST ? SERVE_WORKERS_MOST : count;
}

bool serve_work_begin(serve_work *work)
{
    int wanted = cores();
    *work = (serve_work){0};
    atomic_init(&work->stop, false);
    pthread_mutex_init(&work->lock, NULL);
    pthread_cond_init(&work->changed, NULL);
    while (work->thread_count < wanted &&
           pthread_create(&work->threads[work->thread_count], NULL, compute, work) == 0) {
        work->thread_count++;
    }
    if (work->thread_count == 0) {
        serve_work_end(work);
        return false;
    }
    return true;
}

bool serve_work_add(serve_work *work, serve_job *job)
{
    pthread_mutex_lock(&work->lock);
    bool good = !work->closed && work->waiting < SERVE_WAITING;
    if (good) {
        job->work = work;
        job->next = NULL;
        if (work->last) {
            work->last->next = job;
        } else {
            work->first = job;
        }
        work->last = job;
        work->waiting++;
        pthread_cond_signal(&work->changed);
    }
    pthread_mutex_unlock(&work->lock);
    return good;
}

int serve_work_open(serve_work *work)
{
    pthread_mutex_lock(&work->lock);
    int open = work->waiting + work->running;
    pthread_mutex_unlock(&work->lock);
    return open;
}

void serve_work_end(serve_work *work)
{
    atomic_store(&work->stop, true);
    pthread_mutex_lock(&work->lock);
    work->closed = true; /* what waits is still taken, and given up at the first look */
    pthread_cond_broadcast(&work->changed);
    pthread_mutex_unlock(&work->lock);
    for (int i = 0; i < work->thread_count; i++) {
        pthread_join(work->threads[i], NULL);
    }
    pthread_cond_destroy(&work->changed);
    pthread_mutex_destroy(&work->lock);
}
