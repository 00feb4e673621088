/* One request and its answer.
 */
#ifndef PW_SERVER_REPLY_H
#define PW_SERVER_REPLY_H

#include <stdatomic.h>
#include <stddef.h>

#include <microhttpd.h>

#include "server/certificate.h"
#include "server/pages.h"
#include "say/say.h"
#include "server/watch.h"
#include "server/work.h"

/* What all requests share. Set up before the first, read only from then on, but for what has a lock of its own. */
typedef struct serve_state {
    serve_pages pages;
    char *about; /* the door's answer, one line */
    size_t about_length;
    char about_tag[40];
    const pw_voice *voice;
    const char *own_name;          /* of this machine, when the network may ask; else NULL */
    serve_certificate certificate; /* empty: plain HTTP */
    char certificate_tag[40];
    serve_watch watch;
    serve_work work;
    atomic_size_t held; /* bytes of requests and answers in memory */
} serve_state;

/* For MHD_start_daemon; user is the serve_state. */
enum MHD_Result serve_reply(void *user, struct MHD_Connection *connection, const char *path, const char *method,
                            const char *version, const char *upload, size_t *upload_size, void **request);
void serve_reply_completed(void *user, struct MHD_Connection *connection, void **request,
                           enum MHD_RequestTerminationCode code);
void serve_reply_connection(void *user, struct MHD_Connection *connection, void **peer,
                            enum MHD_ConnectionNotificationCode code);
/* Escapes are left as they are: no file of ours has one in its name. */
size_t serve_reply_keep_escapes(void *user, struct MHD_Connection *connection, char *text);

#endif
