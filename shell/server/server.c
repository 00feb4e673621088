#define _GNU_SOURCE /* accept4 */
#include "server/server.h"

#include <errno.h>
#include <poll.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include "adapt/doorway.h"
#include "server/clock.h"
#include "server/limits.h"
#include "server/listen.h"
#include "server/reply.h"

enum { TICK_MS = 250, FLUSH_MS = 2000 };

/* From now on signals arrive as bytes to read, in this thread only: threads inherit the mask. -1 on failure. */
static int watch_signals(void)
{
    sigset_t set;
    struct sigaction ignore = {.sa_handler = SIG_IGN};
    sigemptyset(&set);
    sigaddset(&set, SIGINT);
    sigaddset(&set, SIGTERM);
    sigaddset(&set, SIGHUP);
    if (pthread_sigmask(SIG_BLOCK, &set, NULL) != 0 || sigaction(SIGPIPE, &ignore, NULL) != 0) {
        return -1;
    }
    return signalfd(-1, &set, SFD_CLOEXEC | SFD_NONBLOCK);
}

static bool signal_came(int signals)
{
    struct signalfd_siginfo about;
    return read(signals, &about, sizeof about) == (ssize_t)sizeof about;
}

void serve_tell(const pw_voice *voice, FILE *stream, pw_fact fact)
{
    static _Alignas(16) unsigned char block[8192];
    pw_arena arena;
    pw_text text;
    pw_arena_init(&arena, block, sizeof block);
    pw_text_init(&text, &arena);
    pw_say_put(&text, voice, &fact);
    fprintf(stream, "%s\n", text.failed ? fact.id : text.data);
}

static serve_end load_page(const serve_options *options, serve_pages *out)
{
    char found[4096];
    const char *folder = options->page;
    const char *why = "";
    if (!folder) {
        if (!serve_pages_place(found, sizeof found)) {
            serve_tell(options->voice, stderr, pw_fact_of("server.page-not-found"));
            return SERVE_ENDED;
        }
        folder = found;
    }
    if (!serve_pages_read(folder, out, &why)) {
        serve_tell(options->voice, stderr, pw_fact_of("server.cannot-take-page", pw_named(folder), pw_word(why)));
        return SERVE_NOT_OPENED;
    }
    return SERVE_ENDED;
}

static bool load_about(serve_state *state)
{
    static const char request[] = "{\"do\":\"about\"}";
    char *answer = pw_doorway(request, sizeof request - 1, NULL);
    size_t length = answer ? strlen(answer) : 0;
    char *line = answer ? realloc(answer, length + 2) : NULL;
    if (!line) {
        free(answer);
        return false;
    }
    line[length] = '\n';
    line[length + 1] = 0;
    state->about = line;
    state->about_length = length + 1;
    serve_tag(line, length + 1, state->about_tag, sizeof state->about_tag);
    return true;
}

static struct MHD_Daemon *start_daemon(serve_state *state, int timeout_s)
{
    /* This thread takes the connections and hands them over: one daemon then serves several addresses with one set of
     * limits. poll, not epoll: with epoll, MHD 0.9.75 sleeps on when exactly 128 connections have news at once
     * (measured: half of 256 that hung up stayed open until the timeout). */
    const unsigned flags =
        MHD_USE_POLL_INTERNAL_THREAD | MHD_USE_NO_LISTEN_SOCKET | MHD_USE_ITC | MHD_ALLOW_SUSPEND_RESUME;
    const bool secure = state->certificate.key != NULL;
    const struct MHD_OptionItem tls[] = {{MHD_OPTION_HTTPS_MEM_KEY, 0, state->certificate.key},
                                         {MHD_OPTION_HTTPS_MEM_CERT, 0, state->certificate.certificate},
                                         {MHD_OPTION_END, 0, NULL}};
    const struct MHD_OptionItem none = {MHD_OPTION_END, 0, NULL};
    return MHD_start_daemon(flags | (secure ? MHD_USE_TLS : 0), 0, NULL, NULL, serve_reply, state,
                            MHD_OPTION_THREAD_POOL_SIZE, (unsigned)SERVE_POOL, MHD_OPTION_CONNECTION_LIMIT,
                            (unsigned)SERVE_CONNECTIONS, MHD_OPTION_PER_IP_CONNECTION_LIMIT,
                            (unsigned)SERVE_CONNECTIONS_OF_ONE, MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)timeout_s,
                            MHD_OPTION_CONNECTION_MEMORY_LIMIT, SERVE_HEAD_MOST, MHD_OPTION_STRICT_FOR_CLIENT, 1,
                            MHD_OPTION_NOTIFY_COMPLETED, serve_reply_completed, state, MHD_OPTION_NOTIFY_CONNECTION,
                            serve_reply_connection, state, MHD_OPTION_UNESCAPE_CALLBACK, serve_reply_keep_escapes,
                            state, MHD_OPTION_ARRAY, secure ? tls : &none, MHD_OPTION_END);
}

/* Take all that wait at this door. */
static void take_connections(int listener, struct MHD_Daemon *daemon)
{
    for (;;) {
        struct sockaddr_storage from;
        socklen_t size = sizeof from;
        int client = accept4(listener, (struct sockaddr *)&from, &size, SOCK_CLOEXEC | SOCK_NONBLOCK);
        if (client >= 0) {
            MHD_add_connection(daemon, client, (struct sockaddr *)&from, size); /* closes it when there are too many */
            continue;
        }
        if (errno == EMFILE || errno == ENFILE || errno == ENOMEM || errno == ENOBUFS) {
            poll(NULL, 0, TICK_MS); /* those that wait would wake us at once, again and again */
            return;
        }
        if (errno != EINTR && errno != ECONNABORTED) {
            return;
        }
    }
}

/* Until a signal comes. */
static void serve_all(serve_state *state, struct MHD_Daemon *daemon, const serve_listening *listening, int signals)
{
    struct pollfd waits[SERVE_LISTENERS + 1];
    int count = listening->count;
    int64_t swept_ms = serve_now_ms();
    for (int i = 0; i < count; i++) {
        waits[i] = (struct pollfd){.fd = listening->items[i].socket, .events = POLLIN};
    }
    waits[count] = (struct pollfd){.fd = signals, .events = POLLIN};
    for (;;) {
        int ready = poll(waits, (nfds_t)count + 1, TICK_MS);
        int64_t now_ms = serve_now_ms();
        if (ready > 0 && waits[count].revents && signal_came(signals)) {
            return;
        }
        for (int i = 0; ready > 0 && i < count; i++) {
            if (waits[i].revents) {
                take_connections(waits[i].fd, daemon);
            }
        }
        if (now_ms - swept_ms >= TICK_MS) {
            serve_watch_sweep(&state->watch, now_ms);
            swept_ms = now_ms;
        }
    }
}

/* What is being computed may finish within the grace; a second signal ends that. Then what is finished may be sent. */
static void wind_down(serve_state *state, int signals)
{
    int64_t end_ms = serve_now_ms() + (int64_t)SERVE_GRACE_S * 1000;
    while (serve_work_open(&state->work) > 0 && serve_now_ms() < end_ms && !signal_came(signals)) {
        poll(NULL, 0, 20);
    }
    serve_work_end(&state->work);
    end_ms = serve_now_ms() + FLUSH_MS;
    while (serve_watch_busy(&state->watch) > 0 && serve_now_ms() < end_ms && !signal_came(signals)) {
        poll(NULL, 0, 20);
    }
}

/* What to compare, and how a phone comes to keep the page. */
static void print_certificate(const serve_options *options, const serve_certificate *certificate)
{
    if (options->quiet) {
        printf("%s\n", certificate->fingerprint);
        return;
    }
    serve_tell(options->voice, stdout, pw_fact_of("server.fingerprint", pw_named(certificate->fingerprint)));
    serve_code_print(certificate->fingerprint);
    serve_tell(options->voice, stdout, pw_fact_of("server.fingerprint-how"));
}

static void print_start(const serve_options *options, const serve_listening *listening,
                        const serve_certificate *certificate)
{
    if (serve_listens_to_network(listening)) {
        serve_tell(options->voice, stderr, pw_fact_of(options->secure ? "server.caution-secure" : "server.caution"));
    }
    serve_listen_print(options, listening);
    if (options->secure) {
        print_certificate(options, certificate);
    }
    if (!options->quiet) {
        serve_tell(options->voice, stdout, pw_fact_of("server.ctrl-c"));
        fflush(stdout);
    }
}

static serve_end serve_listening_here(const serve_options *options, serve_state *state, serve_listening *listening,
                                      int signals)
{
    const pw_fact why = pw_fact_of("server.cannot-start");
    int timeout_s = options->timeout_s < 0 ? SERVE_DEFAULT_TIMEOUT_S : options->timeout_s;
    if (!load_about(state) || !serve_work_begin(&state->work)) {
        serve_tell(options->voice, stderr, why);
        return SERVE_FAULT;
    }
    serve_watch_begin(&state->watch, timeout_s);
    struct MHD_Daemon *daemon = start_daemon(state, timeout_s);
    if (!daemon) {
        serve_tell(options->voice, stderr, why);
        serve_work_end(&state->work);
        serve_watch_end(&state->watch);
        return SERVE_FAULT;
    }
    print_start(options, listening, &state->certificate);
    serve_all(state, daemon, listening, signals);
    serve_listen_close(listening);
    wind_down(state, signals);
    MHD_stop_daemon(daemon);
    serve_watch_end(&state->watch);
    return SERVE_ENDED;
}

static serve_end secure_it(const serve_options *options, const serve_listening *listening, serve_state *state)
{
    if (MHD_is_feature_supported(MHD_FEATURE_TLS) != MHD_YES ||
        !serve_certificate_make(listening, state->own_name, &state->certificate)) {
        serve_tell(options->voice, stderr, pw_fact_of("server.no-tls"));
        return SERVE_FAULT;
    }
    serve_tag((const char *)state->certificate.der, state->certificate.der_length, state->certificate_tag,
              sizeof state->certificate_tag);
    return SERVE_ENDED;
}

serve_end serve(const serve_options *options)
{
    static serve_state state;
    state.voice = options->voice;
    char own_name[256] = "";
    serve_listening listening = {0};
    serve_end end = serve_listen(options, &listening);
    if (end != SERVE_ENDED) {
        return end;
    }
    end = load_page(options, &state.pages);
    if (end == SERVE_ENDED) {
        int signals = watch_signals();
        if (serve_listens_to_network(&listening) && gethostname(own_name, sizeof own_name - 1) == 0) {
            state.own_name = own_name;
        }
        end = signals < 0 ? SERVE_FAULT : options->secure ? secure_it(options, &listening, &state) : SERVE_ENDED;
        end = end == SERVE_ENDED ? serve_listening_here(options, &state, &listening, signals) : end;
        if (signals >= 0) {
            close(signals);
        }
    }
    serve_listen_close(&listening);
    serve_pages_free(&state.pages);
    serve_certificate_free(&state.certificate);
    free(state.about);
    return end;
}
