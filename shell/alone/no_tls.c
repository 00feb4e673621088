/* For the program that is linked statically, alone: Debian's static libmicrohttpd wants a TLS library, of which Debian
 * has no complete static form. The program never serves over TLS (it listens on this machine), so these stand in for
 * the functions that are wanted, and refuse. Linked into nothing else.
 */
#include <stddef.h>

/* Whatever it is given, its answer is a failure. */
#define REFUSE(name)         \
    int gnutls_##name(void); \
    int gnutls_##name(void)  \
    {                        \
        return -1;           \
    }                        \
    extern int gnutls_##name(void)

REFUSE(alpn_set_protocols);
REFUSE(bye);
REFUSE(certificate_allocate_credentials);
REFUSE(certificate_free_credentials);
REFUSE(certificate_server_set_request);
REFUSE(certificate_set_dh_params);
REFUSE(certificate_set_retrieve_function2);
REFUSE(certificate_set_retrieve_function3);
REFUSE(certificate_set_x509_key_mem);
REFUSE(certificate_set_x509_key_mem2);
REFUSE(certificate_set_x509_trust_mem);
REFUSE(cipher_get);
REFUSE(credentials_set);
REFUSE(deinit);
REFUSE(dh_params_deinit);
REFUSE(dh_params_import_pkcs3);
REFUSE(dh_params_init);
REFUSE(handshake);
REFUSE(init);
REFUSE(priority_deinit);
REFUSE(priority_init);
REFUSE(priority_set);
REFUSE(protocol_get_version);
REFUSE(psk_allocate_server_credentials);
REFUSE(psk_free_server_credentials);
REFUSE(psk_set_server_credentials_function);
REFUSE(record_check_pending);
REFUSE(record_get_direction);
REFUSE(record_recv);
REFUSE(record_send);
REFUSE(session_set_ptr);
REFUSE(transport_set_int2);

int gnutls_global_init(void);
void gnutls_global_deinit(void);
void *gnutls_session_get_ptr(void);
const char *gnutls_strerror(void);
extern void *(*gnutls_malloc)(size_t size);
void *(*gnutls_malloc)(size_t size) = NULL;

/* The server's library begins and ends the TLS one whether it serves over it or not. */
int gnutls_global_init(void)
{
    return 0;
}

void gnutls_global_deinit(void)
{
}

void *gnutls_session_get_ptr(void)
{
    return NULL;
}

const char *gnutls_strerror(void)
{
    return "this program has no TLS";
}
