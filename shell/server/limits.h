/* What one client, and all of them together, may use.
 */
#ifndef PW_SERVER_LIMITS_H
#define PW_SERVER_LIMITS_H

#include <stddef.h>

#define SERVE_BODY_MOST    ((size_t)8 << 20)  /* bytes of one request; more is 413 */
#define SERVE_DISCARD_MOST ((size_t)16 << 20) /* bytes that are read and thrown away so that a refusal arrives */
#define SERVE_HELD_MOST    ((size_t)64 << 20) /* bytes of all requests and answers at once; more is 503 */
#define SERVE_HEAD_MOST    ((size_t)16 << 10) /* bytes of memory for one connection: request line, headers */

#define SERVE_PAGE_FILES_MOST 2000
#define SERVE_PAGE_BYTES_MOST ((size_t)128 << 20)

enum {
    SERVE_CONNECTIONS = 512,
    SERVE_CONNECTIONS_OF_ONE = 256, /* of one address */
    SERVE_POOL = 2,                 /* threads that talk */
    SERVE_WORKERS_LEAST = 2,        /* threads that compute: one for each core within these bounds */
    SERVE_WORKERS_MOST = 4,
    SERVE_WAITING = 64,           /* requests that wait for a worker; more is 503 */
    SERVE_WORK_MOST_S = 600,      /* one request's computing; more is 503 */
    SERVE_GRACE_S = 5,            /* at the end, for what is being computed */
    SERVE_SEND_BUFFER = 128 << 10 /* bytes of an answer that the system is asked to hold; it takes twice that */
};

#endif
