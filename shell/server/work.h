/* The threads that compute. A proof takes minutes: it must not keep the threads that talk from talking.
 */
#ifndef PW_SERVER_WORK_H
#define PW_SERVER_WORK_H

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "server/limits.h"

typedef enum serve_fate {
    SERVE_ANSWERED,
    SERVE_TOO_LONG, /* SERVE_WORK_MOST_S were up */
    SERVE_STOPPED,  /* the server ends */
    SERVE_GONE,     /* the client hung up */
    SERVE_NO_MEMORY
} serve_fate;

/* One question for the door. The caller keeps it until done has been called. */
typedef struct serve_job {
    const char *request;
    size_t length;
    int socket;                           /* of the client, to see whether it is still there */
    void (*done)(struct serve_job *self); /* called once, on a worker; the job may be gone when it returns */
    void *user;
    /* filled in before done */
    char *answer; /* malloc'd, one line break behind it like "pumpwright door" prints; NULL unless ANSWERED */
    size_t answer_length;
    serve_fate fate;
    /* the workers' own */
    struct serve_work *work;
    int64_t until_ms, looked_ms;
    struct serve_job *next;
} serve_job;

typedef struct serve_work {
    pthread_mutex_t lock;
    pthread_cond_t changed;
    serve_job *first, *last;
    int waiting, running;
    bool closed;
    atomic_bool stop;
    pthread_t threads[SERVE_WORKERS_MOST];
    int thread_count;
} serve_work;

/* false: no threads; nothing must be ended then. */
bool serve_work_begin(serve_work *work);
/* false: too many wait already, or the server ends; done will not be called. */
bool serve_work_add(serve_work *work, serve_job *job);
/* Jobs that wait or run. */
int serve_work_open(serve_work *work);
/* Give up what still waits and runs, call done for all of it, end the threads. */
void serve_work_end(serve_work *work);

#endif
