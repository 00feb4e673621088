#define _XOPEN_SOURCE 700
#include "server/watch.h"

#include <stdlib.h>

#include "server/clock.h"

static const int64_t never_ms = INT64_MAX;

static int64_t end_of(const serve_watch *watch, serve_phase phase, size_t bytes)
{
    int64_t now_ms = serve_now_ms();
    switch (phase) {
    case SERVE_PHASE_HEAD: return now_ms + 2 * watch->timeout_ms;
    case SERVE_PHASE_BODY: return now_ms + 3 * watch->timeout_ms;
    case SERVE_PHASE_WORK: return never_ms;
    case SERVE_PHASE_SEND: return now_ms + 6 * watch->timeout_ms + (int64_t)(bytes / 64);
    }
    return now_ms;
}

void serve_watch_begin(serve_watch *watch, int timeout_s)
{
    *watch = (serve_watch){.timeout_ms = (int64_t)timeout_s * 1000};
    pthread_mutex_init(&watch->lock, NULL);
}

void serve_watch_end(serve_watch *watch)
{
    while (watch->first) {
        serve_watch_remove(watch, watch->first);
    }
    pthread_mutex_destroy(&watch->lock);
}

serve_peer *serve_watch_add(serve_watch *watch, int socket)
{
    serve_peer *peer = calloc(1, sizeof *peer);
    if (!peer) {
        return NULL;
    }
    socklen_t size = sizeof peer->local;
    getsockname(socket, (struct sockaddr *)&peer->local, &size); /* on failure it stays 0: fits no Host */
    peer->socket = socket;
    peer->phase = SERVE_PHASE_HEAD;
    peer->until_ms = end_of(watch, peer->phase, 0);
    pthread_mutex_lock(&watch->lock);
    peer->behind = watch->first;
    if (watch->first) {
        watch->first->before = peer;
    }
    watch->first = peer;
    pthread_mutex_unlock(&watch->lock);
    return peer;
}

void serve_watch_remove(serve_watch *watch, serve_peer *peer)
{
    pthread_mutex_lock(&watch->lock);
    if (peer->before) {
        peer->before->behind = peer->behind;
    } else {
        watch->first = peer->behind;
    }
    if (peer->behind) {
        peer->behind->before = peer->before;
    }
    pthread_mutex_unlock(&watch->lock);
    free(peer);
}

void serve_watch_phase(serve_watch *watch, serve_peer *peer, serve_phase phase, size_t bytes)
{
    int64_t until_ms = end_of(watch, phase, bytes);
    pthread_mutex_lock(&watch->lock);
    peer->phase = phase;
    peer->until_ms = until_ms;
    pthread_mutex_unlock(&watch->lock);
}

void serve_watch_sweep(serve_watch *watch, int64_t now_ms)
{
    pthread_mutex_lock(&watch->lock);
    for (serve_peer *peer = watch->first; peer; peer = peer->behind) {
        if (peer->until_ms <= now_ms) {
            /* The thread that talks sees the end of the connection and closes it: the number cannot be another's yet.
             */
            shutdown(peer->socket, SHUT_RDWR);
            peer->until_ms = never_ms;
        }
    }
    pthread_mutex_unlock(&watch->lock);
}

int serve_watch_busy(serve_watch *watch)
{
    int busy = 0;
    pthread_mutex_lock(&watch->lock);
    for (const serve_peer *peer = watch->first; peer; peer = peer->behind) {
        busy += peer->phase == SERVE_PHASE_WORK || peer->phase == SERVE_PHASE_SEND;
    }
    pthread_mutex_unlock(&watch->lock);
    return busy;
}
