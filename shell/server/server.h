/* The same program for a browser: a small HTTP server with two doors (POST /door, GET /about) and the files of the
 * page. It listens on this machine alone unless told otherwise, keeps nothing, logs nothing. docs/server.md says what
 * it answers to whom.
 *
 * Read in this order: server.c (start, loop, end), reply.c (one request), guard.h (who is refused), work.h (who
 * computes), watch.h (who is cut off), certificate.h (HTTPS).
 */
#ifndef PW_SERVER_SERVER_H
#define PW_SERVER_SERVER_H

#include <stdbool.h>
#include <stdio.h>

#include "say/say.h"

enum { SERVE_DEFAULT_PORT = 8640, SERVE_DEFAULT_TIMEOUT_S = 10, SERVE_MAX_TIMEOUT_S = 3600 };

typedef struct serve_options {
    const char *address;  /* an address in digits, or "localhost"; NULL: this machine, or all when open_to_network */
    int port;             /* 0: any free one; -1: SERVE_DEFAULT_PORT */
    const char *page;     /* folder with the page's files; NULL: look where it is installed or built */
    int timeout_s;        /* a silent client is cut off after this time; -1: SERVE_DEFAULT_TIMEOUT_S */
    bool open_to_network; /* may other machines ask? */
    bool secure;          /* HTTPS, with a certificate made for this run */
    bool quiet;           /* print the address, with secure its fingerprint, and nothing else */
    const pw_voice *voice;
} serve_options;

typedef enum serve_end {
    SERVE_ENDED,      /* was asked to end, and did */
    SERVE_BAD_USAGE,  /* address and open_to_network do not fit */
    SERVE_NOT_OPENED, /* the port is taken or forbidden, the folder cannot be read */
    SERVE_FAULT       /* no memory, no threads */
} serve_end;

/* Serve until SIGINT, SIGTERM or SIGHUP. What is wrong is printed on stderr. */
serve_end serve(const serve_options *options);
/* A message, with the name of the program before it where it is one of trouble; and its line break. */
void serve_tell(const pw_voice *voice, FILE *stream, pw_fact fact);

#endif
