/* A certificate for one run of the server, made on the spot by GnuTLS, so that a phone can be served over HTTPS from
 * this machine without anybody else. Nobody has vouched for it: who connects compares its fingerprint. Its key is in
 * memory only and dies with the run; nothing is written.
 */
#ifndef PW_SERVER_CERTIFICATE_H
#define PW_SERVER_CERTIFICATE_H

#include <stdbool.h>
#include <stddef.h>

#include "server/listen.h"

enum { SERVE_FINGERPRINT_SIZE = 32 * 3 };

typedef struct serve_certificate {
    char *key, *certificate;                  /* PEM; NULL: there is none */
    unsigned char *der;                       /* the certificate for who wants to trust it */
    size_t der_length;                        /* bytes */
    char fingerprint[SERVE_FINGERPRINT_SIZE]; /* SHA-256, "AB:CD:..." as browsers show it */
} serve_certificate;

/* A key of P-256, and a certificate by itself, for 30 days, that names where the server listens, this machine's
 * addresses when it listens on all, localhost, and own_name (NULL: none) alone and with ".local". False: the program
 * was built without GnuTLS, or there is no memory or no randomness. */
bool serve_certificate_make(const serve_listening *listening, const char *own_name, serve_certificate *out);
void serve_certificate_free(serve_certificate *certificate);

/* The words as a code (ISO/IEC 18004) in half blocks, for a terminal; nothing when the program was built without
 * libqrencode. */
void serve_code_print(const char *words);

#endif
