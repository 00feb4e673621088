/* Where the server listens.
 */
#ifndef PW_SERVER_LISTEN_H
#define PW_SERVER_LISTEN_H

#include <stdbool.h>
#include <sys/socket.h>

#include "server/server.h"

enum { SERVE_LISTENERS = 2 };

typedef struct serve_listener {
    int socket;
    struct sockaddr_storage address;
} serve_listener;

typedef struct serve_listening {
    serve_listener items[SERVE_LISTENERS];
    int count;
    int port;
} serve_listening;

/* Open what the options ask for; says on stderr what is wrong. A port that is taken is never exchanged for another. */
serve_end serve_listen(const serve_options *options, serve_listening *out);
void serve_listen_close(serve_listening *listening);

/* Print the addresses to open, one on a line. */
void serve_listen_print(const serve_options *options, const serve_listening *listening);

bool serve_listens_to_network(const serve_listening *listening);

#endif
