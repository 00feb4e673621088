#define _GNU_SOURCE /* getifaddrs */
#include "server/certificate.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifdef PW_HAS_TLS

#include <gnutls/crypto.h>
#include <gnutls/gnutls.h>
#include <gnutls/x509.h>
#include <ifaddrs.h>
#include <netinet/in.h>
#include <time.h>

enum { DAYS = 30, SERIAL_SIZE = 16, DIGEST_SIZE = 32, DAY_S = 86400 };

/* All steps so far went well. */
typedef struct making {
    gnutls_x509_crt_t made;
    gnutls_x509_privkey_t key;
    bool failed;
} making;

static void step(making *m, int code)
{
    m->failed = m->failed || code < 0;
}

static void name_host(making *m, const char *name)
{
    step(m, gnutls_x509_crt_set_subject_alt_name(m->made, GNUTLS_SAN_DNSNAME, name, (unsigned)strlen(name),
                                                 GNUTLS_FSAN_APPEND));
}

static void name_address(making *m, const struct sockaddr *address)
{
    const struct sockaddr_in *four = (const void *)address;
    const struct sockaddr_in6 *six = (const void *)address;
    if (address->sa_family == AF_INET && four->sin_addr.s_addr != htonl(INADDR_ANY)) {
        step(m, gnutls_x509_crt_set_subject_alt_name(m->made, GNUTLS_SAN_IPADDRESS, &four->sin_addr,
                                                     sizeof four->sin_addr, GNUTLS_FSAN_APPEND));
    } else if (address->sa_family == AF_INET6 && !IN6_IS_ADDR_UNSPECIFIED(&six->sin6_addr)) {
        step(m, gnutls_x509_crt_set_subject_alt_name(m->made, GNUTLS_SAN_IPADDRESS, &six->sin6_addr,
                                                     sizeof six->sin6_addr, GNUTLS_FSAN_APPEND));
    }
}

static void name_own_addresses(making *m)
{
    struct ifaddrs *list = NULL;
    if (getifaddrs(&list) != 0) {
        return;
    }
    for (const struct ifaddrs *at = list; at; at = at->ifa_next) {
        if (at->ifa_addr) {
            name_address(m, at->ifa_addr);
        }
    }
    freeifaddrs(list);
}

static void name_all(making *m, const serve_listening *listening, const char *own_name)
{
    char local[300];
    name_host(m, "localhost");
    if (own_name && own_name[0]) {
        snprintf(local, sizeof local, "%s.local", own_name);
        name_host(m, own_name);
        name_host(m, local);
    }
    if (serve_listens_to_network(listening)) {
        name_own_addresses(m);
    }
    for (int i = 0; i < listening->count; i++) {
        name_address(m, (const struct sockaddr *)&listening->items[i].address);
    }
}

/* Who trusts it on a phone has to take it as an authority, or the phone refuses it; it vouches for nobody else, since
 * its key is gone with the run (RFC 5280, 4.2.1.9: path length 0). */
static void fill_in(making *m, const serve_listening *listening, const char *own_name)
{
    unsigned char serial[SERIAL_SIZE];
    const time_t now = time(NULL);
    step(m, gnutls_rnd(GNUTLS_RND_NONCE, serial, sizeof serial));
    serial[0] &= 0x7f; /* positive: RFC 5280, 4.1.2.2 */
    step(m, gnutls_x509_crt_set_version(m->made, 3));
    step(m, gnutls_x509_crt_set_serial(m->made, serial, sizeof serial));
    step(m, gnutls_x509_crt_set_dn_by_oid(m->made, GNUTLS_OID_X520_COMMON_NAME, 0, "pumpwright", 10));
    step(m, gnutls_x509_crt_set_activation_time(m->made, now - DAY_S)); /* a phone's clock may be behind */
    step(m, gnutls_x509_crt_set_expiration_time(m->made, now + (time_t)DAYS * DAY_S));
    step(m, gnutls_x509_crt_set_key(m->made, m->key));
    step(m, gnutls_x509_crt_set_basic_constraints(m->made, 1, 0));
    step(m, gnutls_x509_crt_set_key_usage(m->made, GNUTLS_KEY_DIGITAL_SIGNATURE | GNUTLS_KEY_KEY_CERT_SIGN));
    step(m, gnutls_x509_crt_set_key_purpose_oid(m->made, GNUTLS_KP_TLS_WWW_SERVER, 0));
    name_all(m, listening, own_name);
    step(m, gnutls_x509_crt_sign2(m->made, m->made, m->key, GNUTLS_DIG_SHA256, 0));
}

static char *text_of(making *m, const gnutls_datum_t *from)
{
    char *text = m->failed ? NULL : malloc((size_t)from->size + 1);
    if (!text) {
        m->failed = true;
        return NULL;
    }
    memcpy(text, from->data, from->size);
    text[from->size] = 0;
    return text;
}

static void write_out(making *m, serve_certificate *out)
{
    gnutls_datum_t key = {0}, certificate = {0}, der = {0};
    unsigned char digest[DIGEST_SIZE];
    size_t size = sizeof digest;
    step(m, gnutls_x509_privkey_export2(m->key, GNUTLS_X509_FMT_PEM, &key));
    step(m, gnutls_x509_crt_export2(m->made, GNUTLS_X509_FMT_PEM, &certificate));
    step(m, gnutls_x509_crt_export2(m->made, GNUTLS_X509_FMT_DER, &der));
    step(m, gnutls_x509_crt_get_fingerprint(m->made, GNUTLS_DIG_SHA256, digest, &size));
    out->key = text_of(m, &key);
    out->certificate = text_of(m, &certificate);
    out->der = (unsigned char *)text_of(m, &der);
    out->der_length = der.size;
    for (size_t i = 0; i < sizeof digest && !m->failed; i++) {
        snprintf(out->fingerprint + 3 * i, 4, i + 1 < sizeof digest ? "%02X:" : "%02X", digest[i]);
    }
    if (key.data) {
        gnutls_memset(key.data, 0, key.size);
    }
    gnutls_free(key.data);
    gnutls_free(certificate.data);
    gnutls_free(der.data);
}

bool serve_certificate_make(const serve_listening *listening, const char *own_name, serve_certificate *out)
{
    making m = {0};
    *out = (serve_certificate){0};
    step(&m, gnutls_x509_privkey_init(&m.key));
    if (m.failed) {
        return false;
    }
    step(&m, gnutls_x509_crt_init(&m.made));
    if (!m.failed) {
        step(&m,
             gnutls_x509_privkey_generate(m.key, GNUTLS_PK_ECDSA, GNUTLS_CURVE_TO_BITS(GNUTLS_ECC_CURVE_SECP256R1), 0));
        fill_in(&m, listening, own_name);
        write_out(&m, out);
        gnutls_x509_crt_deinit(m.made);
    }
    gnutls_x509_privkey_deinit(m.key);
    if (m.failed) {
        serve_certificate_free(out);
    }
    return !m.failed;
}

void serve_certificate_free(serve_certificate *certificate)
{
    if (certificate->key) {
        gnutls_memset(certificate->key, 0, strlen(certificate->key));
    }
    free(certificate->key);
    free(certificate->certificate);
    free(certificate->der);
    *certificate = (serve_certificate){0};
}

#else

bool serve_certificate_make(const serve_listening *listening, const char *own_name, serve_certificate *out)
{
    (void)listening;
    (void)own_name;
    *out = (serve_certificate){0};
    return false;
}

void serve_certificate_free(serve_certificate *certificate)
{
    *certificate = (serve_certificate){0};
}

#endif

#ifdef PW_HAS_CODE

#include <qrencode.h>

enum { RIM = 4 }; /* modules around the code (ISO/IEC 18004, from memory) */

static bool is_dark(const QRcode *code, int x, int y)
{
    return x >= 0 && y >= 0 && x < code->width && y < code->width && (code->data[y * code->width + x] & 1);
}

/* Two rows in one line. Drawn light: what is dark in the code stays as the terminal's ground, which is dark in most;
 * readers of codes take either. */
void serve_code_print(const char *words)
{
    static const char *const blocks[] = {"\xE2\x96\x88", "\xE2\x96\x80", "\xE2\x96\x84", " "};
    QRcode *code = QRcode_encodeString(words, 0, QR_ECLEVEL_L, QR_MODE_8, 1);
    if (!code) {
        return;
    }
    for (int y = -RIM; y < code->width + RIM; y += 2) {
        for (int x = -RIM; x < code->width + RIM; x++) {
            fputs(blocks[(is_dark(code, x, y) ? 2 : 0) + (is_dark(code, x, y + 1) ? 1 : 0)], stdout);
        }
        putchar('\n');
    }
    QRcode_free(code);
}

#else

void serve_code_print(const char *words)
{
    (void)words;
}

#endif
