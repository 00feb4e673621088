/* Who is connected, and until when each may take: a client that sends or reads one byte now and then would never be
 * silent long enough, so each phase has an end as well.
 */
#ifndef PW_SERVER_WATCH_H
#define PW_SERVER_WATCH_H

#include <pthread.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/socket.h>

typedef enum serve_phase {
    SERVE_PHASE_HEAD, /* until the request line and all headers are there: twice the timeout */
    SERVE_PHASE_BODY, /* until the body is there: three times */
    SERVE_PHASE_WORK, /* the server's own time, no end here */
    SERVE_PHASE_SEND  /* until the answer is taken: six times, and a second for each 64 KiB */
} serve_phase;

typedef struct serve_peer {
    int socket;
    struct sockaddr_storage local; /* where it arrived */
    serve_phase phase;
    int64_t until_ms;
    struct serve_peer *before, *behind;
} serve_peer;

typedef struct serve_watch {
    pthread_mutex_t lock;
    serve_peer *first;
    int64_t timeout_ms;
} serve_watch;

void serve_watch_begin(serve_watch *watch, int timeout_s);
void serve_watch_end(serve_watch *watch);

/* NULL when there is no memory. */
serve_peer *serve_watch_add(serve_watch *watch, int socket);
/* Before the socket is closed. */
void serve_watch_remove(serve_watch *watch, serve_peer *peer);

/* bytes: of the answer, in SERVE_PHASE_SEND. */
void serve_watch_phase(serve_watch *watch, serve_peer *peer, serve_phase phase, size_t bytes);

/* Cut off everyone who took too long. */
void serve_watch_sweep(serve_watch *watch, int64_t now_ms);

/* How many wait for an answer or are reading it. */
int serve_watch_busy(serve_watch *watch);

#endif
