#define _XOPEN_SOURCE 700
#include "server/reply.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "server/guard.h"
#include "server/limits.h"

/* Scripts, styles and data from here only; WebAssembly may be compiled; nobody may show this page inside theirs. */
#define POLICY                                                                                                   \
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; "            \
    "img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; " \
    "frame-ancestors 'none'"

/* A refusal, decided from the head: the body is read and thrown away, so that the client gets to see it. */
typedef struct refusal {
    unsigned status;
    const char *words;
    const char *allow; /* 405: the methods that are right */
} refusal;

typedef struct serve_request {
    serve_state *state;
    struct MHD_Connection *connection;
    serve_peer *peer;
    refusal refused; /* status 0: not refused */
    bool is_door;
    const char *tag, *type; /* of a document */
    const char *document;
    size_t document_length;
    const char *packing; /* Content-Encoding; NULL: plain */
    bool may_be_packed;  /* another client might get it in another form */
    char *body;
    size_t length, capacity, discarded;
    size_t held; /* part of state->held */
    bool asked;
    serve_job job;
} serve_request;

static const char *header_of(struct MHD_Connection *connection, const char *name)
{
    return MHD_lookup_connection_value(connection, MHD_HEADER_KIND, name);
}

/* Counted: headers that decide something must not be there twice, or two readers could see two different ones. */
typedef struct header_count {
    int host, length, other;
    bool has_encoding;
} header_count;

static enum MHD_Result count_header(void *user, enum MHD_ValueKind kind, const char *name, const char *value)
{
    static const char *const single[] = {"Origin", "Sec-Fetch-Site", "Content-Type"};
    header_count *count = user;
    (void)kind;
    (void)value;
    count->host += strcasecmp(name, "Host") == 0;
    count->length += strcasecmp(name, "Content-Length") == 0;
    count->has_encoding = count->has_encoding || strcasecmp(name, "Transfer-Encoding") == 0;
    for (size_t i = 0; i < sizeof single / sizeof single[0]; i++) {
        int seen = (count->other >> (8 * i)) & 0xff;
        if (strcasecmp(name, single[i]) == 0 && seen < 2) {
            count->other += 1 << (8 * i);
        }
    }
    return MHD_YES;
}

static bool headers_are_clear(struct MHD_Connection *connection)
{
    header_count count = {0};
    MHD_get_connection_values(connection, MHD_HEADER_KIND, count_header, &count);
    return count.host <= 1 && count.length <= 1 && !(count.length && count.has_encoding) &&
           (count.other & 0x020202) == 0;
}

static bool is_reading(const char *method)
{
    return strcmp(method, MHD_HTTP_METHOD_GET) == 0 || strcmp(method, MHD_HTTP_METHOD_HEAD) == 0;
}

/* Declared length of the body; 0 when there is none or it comes in chunks. */
static uint64_t declared_length(struct MHD_Connection *connection)
{
    const char *words = header_of(connection, MHD_HTTP_HEADER_CONTENT_LENGTH);
    return words ? strtoull(words, NULL, 10) : 0;
}

static refusal prove_door(struct MHD_Connection *connection, const char *host, bool secure)
{
    const char *origin = header_of(connection, MHD_HTTP_HEADER_ORIGIN);
    const char *site = header_of(connection, "Sec-Fetch-Site");
    const char *type = header_of(connection, MHD_HTTP_HEADER_CONTENT_TYPE);
    const char *encoding = header_of(connection, MHD_HTTP_HEADER_CONTENT_ENCODING);
    if ((origin && !serve_origin_fits(origin, host, secure)) || (site && !serve_fetch_site_fits(site))) {
        return (refusal){MHD_HTTP_FORBIDDEN, "server.only-own-page", NULL};
    }
    if (!type || !serve_type_is_json(type) || (encoding && strcasecmp(encoding, "identity") != 0)) {
        return (refusal){MHD_HTTP_UNSUPPORTED_MEDIA_TYPE, "server.content-type", NULL};
    }
    if (declared_length(connection) > SERVE_BODY_MOST) {
        return (refusal){MHD_HTTP_CONTENT_TOO_LARGE, "server.body-most", NULL};
    }
    return (refusal){0};
}

/* Where who connects finds the certificate of this run, to have his phone trust it. */
static const char certificate_path[] = "/certificate.crt";

static void give_file(serve_request *request, const serve_file *file)
{
    const serve_packing packing =
        serve_pages_choose(file, header_of(request->connection, MHD_HTTP_HEADER_ACCEPT_ENCODING));
    const serve_file *sent = packing == SERVE_PLAIN ? file : file->packed[packing];
    request->document = sent->bytes;
    request->document_length = sent->length;
    request->type = file->type;
    request->tag = sent->tag;
    request->packing = serve_packing_id(packing);
    request->may_be_packed = file->packed[SERVE_BROTLI] || file->packed[SERVE_GZIP];
}

/* Fills in what is asked for; returns why not. */
static refusal judge(serve_request *request, const char *path, const char *method)
{
    serve_state *state = request->state;
    const bool secure = state->certificate.key != NULL;
    const char *host = header_of(request->connection, MHD_HTTP_HEADER_HOST);
    if (!headers_are_clear(request->connection)) {
        return (refusal){MHD_HTTP_BAD_REQUEST, "server.header-twice", NULL};
    }
    if (!host || !serve_host_fits(host, &request->peer->local, state->own_name, secure)) {
        return (refusal){MHD_HTTP_MISDIRECTED_REQUEST, "server.wrong-host", NULL};
    }
    const serve_file *file = serve_path_is_plain(path) ? serve_pages_find(&state->pages, path) : NULL;
    if (strcmp(path, "/door") == 0) {
        request->is_door = true;
        return strcmp(method, MHD_HTTP_METHOD_POST) == 0
                   ? prove_door(request->connection, host, secure)
                   : (refusal){MHD_HTTP_METHOD_NOT_ALLOWED, "server.post", "POST"};
    }
    if (strcmp(path, "/about") == 0) {
        request->document = state->about;
        request->document_length = state->about_length;
        request->type = "application/json";
        request->tag = state->about_tag;
    } else if (secure && strcmp(path, certificate_path) == 0) {
        request->document = (const char *)state->certificate.der;
        request->document_length = state->certificate.der_length;
        request->type = "application/x-x509-ca-cert";
        request->tag = state->certificate_tag;
    } else if (file) {
        give_file(request, file);
    } else if (state->pages.count == 0 && strcmp(path, "/") == 0) {
        return (refusal){MHD_HTTP_NOT_FOUND, "server.no-page", NULL};
    } else {
        return (refusal){MHD_HTTP_NOT_FOUND, "server.nothing-here", NULL};
    }
    if (!is_reading(method)) {
        return (refusal){MHD_HTTP_METHOD_NOT_ALLOWED, "server.get", "GET, HEAD"};
    }
    return (refusal){0};
}

/* Headers that every answer carries. */
static bool add_headers(struct MHD_Response *response, const char *type, const char *cache)
{
    const char *const headers[][2] = {
        {MHD_HTTP_HEADER_CONTENT_TYPE, type},
        {MHD_HTTP_HEADER_CACHE_CONTROL, cache},
        {"Content-Security-Policy", POLICY},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "no-referrer"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
    };
    for (size_t i = 0; i < sizeof headers / sizeof headers[0]; i++) {
        if (headers[i][1] && MHD_add_response_header(response, headers[i][0], headers[i][1]) != MHD_YES) {
            return false;
        }
    }
    return true;
}

/* Send it; takes the response over. MHD_NO closes the connection. */
static enum MHD_Result send_off(serve_request *request, unsigned status, struct MHD_Response *response, size_t length,
                                bool good)
{
    if (!response) {
        return MHD_NO;
    }
    enum MHD_Result sent = MHD_NO;
    if (good) {
        serve_watch_phase(&request->state->watch, request->peer, SERVE_PHASE_SEND, length);
        sent = MHD_queue_response(request->connection, status, response);
    }
    MHD_destroy_response(response);
    return sent;
}

static enum MHD_Result send_refusal(serve_request *request)
{
    char words[160];
    const refusal *why = &request->refused;
    int length = snprintf(words, sizeof words, "%s\n", pw_say_word(request->state->voice, why->words));
    struct MHD_Response *response = MHD_create_response_from_buffer((size_t)length, words, MHD_RESPMEM_MUST_COPY);
    bool good = response && add_headers(response, "text/plain; charset=utf-8", "no-store");
    if (good && why->allow) {
        good = MHD_add_response_header(response, MHD_HTTP_HEADER_ALLOW, why->allow) == MHD_YES;
    }
    if (good && why->status == MHD_HTTP_SERVICE_UNAVAILABLE) {
        good = MHD_add_response_header(response, MHD_HTTP_HEADER_RETRY_AFTER, "5") == MHD_YES;
    }
    return send_off(request, why->status, response, (size_t)length, good);
}

static enum MHD_Result refuse(serve_request *request, unsigned status, const char *words)
{
    request->refused = (refusal){status, words, NULL};
    return send_refusal(request);
}

static enum MHD_Result send_document(serve_request *request)
{
    const char *wanted = header_of(request->connection, MHD_HTTP_HEADER_IF_NONE_MATCH);
    bool is_same = wanted && serve_tag_listed(wanted, request->tag);
    size_t length = is_same ? 0 : request->document_length;
    union {
        const char *given;
        void *lent; /* never written to: persistent */
    } bytes = {request->document};
    struct MHD_Response *response = MHD_create_response_from_buffer(length, bytes.lent, MHD_RESPMEM_PERSISTENT);
    bool good = response && add_headers(response, is_same ? NULL : request->type, "no-cache") &&
                MHD_add_response_header(response, MHD_HTTP_HEADER_ETAG, request->tag) == MHD_YES;
    if (good && request->may_be_packed) {
        good = MHD_add_response_header(response, MHD_HTTP_HEADER_VARY, MHD_HTTP_HEADER_ACCEPT_ENCODING) == MHD_YES;
    }
    if (good && request->packing && !is_same) {
        good = MHD_add_response_header(response, MHD_HTTP_HEADER_CONTENT_ENCODING, request->packing) == MHD_YES;
    }
    return send_off(request, is_same ? MHD_HTTP_NOT_MODIFIED : MHD_HTTP_OK, response, length, good);
}

/* Count bytes as held; false when that would be too much for all requests together. */
static bool hold(serve_request *request, size_t bytes)
{
    size_t before = atomic_fetch_add(&request->state->held, bytes);
    if (before + bytes > SERVE_HELD_MOST) {
        atomic_fetch_sub(&request->state->held, bytes);
        return false;
    }
    request->held += bytes;
    return true;
}

static refusal take_body(serve_request *request, const char *bytes, size_t length)
{
    size_t wanted = request->length + length;
    size_t capacity = request->capacity ? request->capacity : 65536;
    if (wanted > SERVE_BODY_MOST) {
        return (refusal){MHD_HTTP_CONTENT_TOO_LARGE, "server.body-most", NULL};
    }
    while (capacity < wanted) {
        capacity *= 2;
    }
    if (capacity > request->capacity) {
        if (!hold(request, capacity - request->capacity)) {
            return (refusal){MHD_HTTP_SERVICE_UNAVAILABLE, "server.too-much", NULL};
        }
        char *more = realloc(request->body, capacity);
        if (!more) {
            return (refusal){MHD_HTTP_SERVICE_UNAVAILABLE, "server.no-memory-now", NULL};
        }
        request->body = more;
        request->capacity = capacity;
    }
    memcpy(request->body + request->length, bytes, length);
    request->length = wanted;
    return (refusal){0};
}

static void job_done(serve_job *job)
{
    serve_request *request = job->user;
    MHD_resume_connection(request->connection); /* from here on the request may be gone */
}

static enum MHD_Result ask(serve_request *request)
{
    static const char nothing[] = "";
    const union MHD_ConnectionInfo *about =
        MHD_get_connection_info(request->connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    request->asked = true;
    request->job = (serve_job){
        .request = request->body ? request->body : nothing,
        .length = request->length,
        .socket = about ? about->connect_fd : -1,
        .done = job_done,
        .user = request,
    };
    serve_watch_phase(&request->state->watch, request->peer, SERVE_PHASE_WORK, 0);
    MHD_suspend_connection(request->connection); /* before a worker can resume it */
    if (!serve_work_add(&request->state->work, &request->job)) {
        request->job.fate = SERVE_STOPPED;
        MHD_resume_connection(request->connection);
    }
    return MHD_YES;
}

static enum MHD_Result send_answer(serve_request *request)
{
    serve_job *job = &request->job;
    if (!job->answer) {
        const char *words = job->fate == SERVE_TOO_LONG    ? "server.too-long"
                            : job->fate == SERVE_NO_MEMORY ? "server.no-memory-now"
                                                           : "server.busy";
        return refuse(request, MHD_HTTP_SERVICE_UNAVAILABLE, words);
    }
    /* Answers are held whatever their size: but the next request may find that too much is held. */
    atomic_fetch_add(&request->state->held, job->answer_length);
    request->held += job->answer_length;
    char *answer = job->answer;
    job->answer = NULL;
    struct MHD_Response *response = MHD_create_response_from_buffer(job->answer_length, answer, MHD_RESPMEM_MUST_FREE);
    if (!response) {
        free(answer);
    }
    bool good = response && add_headers(response, "application/json", "no-store");
    return send_off(request, MHD_HTTP_OK, response, job->answer_length, good);
}

/* What a refused request had brought so far is not kept until its end. */
static void let_go(serve_request *request)
{
    atomic_fetch_sub(&request->state->held, request->held);
    request->held = 0;
    free(request->body);
    request->body = NULL;
    request->length = 0;
    request->capacity = 0;
}

/* The head is there. */
static enum MHD_Result begin(serve_state *state, struct MHD_Connection *connection, const char *path,
                             const char *method, void **out)
{
    const union MHD_ConnectionInfo *context = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    serve_request *request = calloc(1, sizeof *request);
    if (!request || !context || !context->socket_context) {
        free(request);
        return MHD_NO;
    }
    *out = request;
    request->state = state;
    request->connection = connection;
    request->peer = context->socket_context;
    request->refused = judge(request, path, method);
    serve_watch_phase(&state->watch, request->peer, SERVE_PHASE_BODY, 0);
    bool may_wait = !header_of(connection, MHD_HTTP_HEADER_EXPECT) && declared_length(connection) <= SERVE_DISCARD_MOST;
    return request->refused.status != 0 && !may_wait ? send_refusal(request) : MHD_YES;
}

enum MHD_Result serve_reply(void *user, struct MHD_Connection *connection, const char *path, const char *method,
                            const char *version, const char *upload, size_t *upload_size, void **context)
{
    (void)version;
    if (!*context) {
        return begin(user, connection, path, method, context);
    }
    serve_request *request = *context;
    if (*upload_size > 0) {
        if (request->is_door && request->refused.status == 0) {
            request->refused = take_body(request, upload, *upload_size);
            if (request->refused.status != 0) {
                let_go(request);
            }
        }
        request->discarded += request->refused.status != 0 || !request->is_door ? *upload_size : 0;
        *upload_size = 0;
        return request->discarded > SERVE_DISCARD_MOST ? MHD_NO : MHD_YES;
    }
    if (request->refused.status != 0) {
        return send_refusal(request);
    }
    if (!request->is_door) {
        return send_document(request);
    }
    return request->asked ? send_answer(request) : ask(request);
}

void serve_reply_completed(void *user, struct MHD_Connection *connection, void **context,
                           enum MHD_RequestTerminationCode code)
{
    serve_state *state = user;
    serve_request *request = *context;
    (void)connection;
    (void)code;
    if (!request) {
        return;
    }
    serve_watch_phase(&state->watch, request->peer, SERVE_PHASE_HEAD, 0); /* of the next request */
    atomic_fetch_sub(&state->held, request->held);
    free(request->job.answer);
    free(request->body);
    free(request);
    *context = NULL;
}

void serve_reply_connection(void *user, struct MHD_Connection *connection, void **peer,
                            enum MHD_ConnectionNotificationCode code)
{
    serve_state *state = user;
    if (code == MHD_CONNECTION_NOTIFY_STARTED) {
        const union MHD_ConnectionInfo *about = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
        *peer = about ? serve_watch_add(&state->watch, about->connect_fd) : NULL; /* without: its requests are closed */
    } else if (*peer) {
        serve_watch_remove(&state->watch, *peer);
        *peer = NULL;
    }
}

size_t serve_reply_keep_escapes(void *user, struct MHD_Connection *connection, char *text)
{
    (void)user;
    (void)connection;
    return strlen(text);
}
