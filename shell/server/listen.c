#define _GNU_SOURCE /* SOCK_CLOEXEC, getifaddrs */
#include "server/listen.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "server/certificate.h"
#include "server/guard.h"
#include "server/limits.h"

enum { PORT_TRIES = 20, BACKLOG = 128, ADDRESS_SIZE = INET6_ADDRSTRLEN + 16 };

static struct sockaddr_storage address_of(int family, const void *digits, int port)
{
    struct sockaddr_storage out = {.ss_family = (sa_family_t)family};
    if (family == AF_INET) {
        struct sockaddr_in *four = (void *)&out;
        memcpy(&four->sin_addr, digits, sizeof four->sin_addr);
        four->sin_port = htons((uint16_t)port);
    } else {
        struct sockaddr_in6 *six = (void *)&out;
        memcpy(&six->sin6_addr, digits, sizeof six->sin6_addr);
        six->sin6_port = htons((uint16_t)port);
    }
    return out;
}

/* "192.168.1.5:8640" or "[::1]:8640" */
static void put_address(const struct sockaddr_storage *address, int port, char *out, size_t size)
{
    char digits[INET6_ADDRSTRLEN] = "?";
    const struct sockaddr_in *four = (const void *)address;
    const struct sockaddr_in6 *six = (const void *)address;
    if (address->ss_family == AF_INET) {
        inet_ntop(AF_INET, &four->sin_addr, digits, sizeof digits);
        snprintf(out, size, "%s:%d", digits, port);
    } else {
        inet_ntop(AF_INET6, &six->sin6_addr, digits, sizeof digits);
        snprintf(out, size, "[%s]:%d", digits, port);
    }
}

/* The addresses that are asked for. 0: not understood. */
static int wanted_addresses(const serve_options *options, int port, struct sockaddr_storage *out)
{
    struct in_addr four = {htonl(INADDR_LOOPBACK)};
    struct in6_addr six = IN6ADDR_LOOPBACK_INIT;
    const char *words = options->address;
    if (!words && options->open_to_network) {
        four.s_addr = htonl(INADDR_ANY);
        six = (struct in6_addr)IN6ADDR_ANY_INIT;
    } else if (words && strcmp(words, "localhost") != 0) {
        if (inet_pton(AF_INET, words, &four) == 1) {
            out[0] = address_of(AF_INET, &four, port);
            return 1;
        }
        if (inet_pton(AF_INET6, words, &six) == 1) {
            out[0] = address_of(AF_INET6, &six, port);
            return 1;
        }
        return 0;
    }
    out[0] = address_of(AF_INET, &four, port);
    out[1] = address_of(AF_INET6, &six, port);
    return 2;
}

/* The socket; -1 with errno. */
static int open_one(struct sockaddr_storage *address)
{
    int on = 1;
    int handle = socket(address->ss_family, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (handle < 0) {
        return -1;
    }
    socklen_t size = address->ss_family == AF_INET ? sizeof(struct sockaddr_in) : sizeof(struct sockaddr_in6);
    bool good = setsockopt(handle, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on) == 0; /* restart while old ones linger */
    /* Connections inherit this. Left alone, the system takes up to 4 MB of an answer before it tells that nobody reads,
     * and takes the next part only when a third of that is gone: a slow reader then looks like a silent one. */
    int size_wanted = SERVE_SEND_BUFFER;
    good = good && setsockopt(handle, SOL_SOCKET, SO_SNDBUF, &size_wanted, sizeof size_wanted) == 0;
    if (address->ss_family == AF_INET6) {
        good = good && setsockopt(handle, IPPROTO_IPV6, IPV6_V6ONLY, &on, sizeof on) == 0;
    }
    good = good && bind(handle, (struct sockaddr *)address, size) == 0;
    good = good && listen(handle, BACKLOG) == 0;
    good = good && getsockname(handle, (struct sockaddr *)address, &size) == 0;
    if (!good) {
        int error = errno;
        close(handle);
        errno = error;
        return -1;
    }
    return handle;
}

static bool is_absent(int error)
{
    return error == EAFNOSUPPORT || error == EADDRNOTAVAIL || error == EPROTONOSUPPORT;
}

/* All addresses on one port. 0, or errno with the address that failed in *failed. */
static int open_all(const struct sockaddr_storage *wanted, int count, int port, serve_listening *out,
                    struct sockaddr_storage *failed)
{
    *out = (serve_listening){.port = port};
    *failed = wanted[0];
    for (int i = 0; i < count; i++) {
        struct sockaddr_storage address = wanted[i];
        if (address.ss_family == AF_INET6) {
            ((struct sockaddr_in6 *)&address)->sin6_port = htons((uint16_t)out->port);
        } else {
            ((struct sockaddr_in *)&address)->sin_port = htons((uint16_t)out->port);
        }
        int handle = open_one(&address);
        int error = errno;
        bool is_missing = handle < 0 && count > 1 && is_absent(error); /* a machine without IPv6 */
        if (handle < 0 && !is_missing) {
            *failed = wanted[i];
            serve_listen_close(out);
            return error;
        }
        if (handle >= 0) {
            out->items[out->count] = (serve_listener){handle, address};
            out->count++;
            out->port = serve_port_of(&address);
        }
    }
    return out->count > 0 ? 0 : EADDRNOTAVAIL;
}

static void say_why(const pw_voice *voice, const struct sockaddr_storage *address, int port, int error)
{
    char where[ADDRESS_SIZE];
    put_address(address, port, where, sizeof where);
    const char *id = error == EADDRINUSE      ? "server.port-taken"
                     : error == EACCES        ? "server.port-of-system"
                     : error == EADDRNOTAVAIL ? "server.not-this-machine"
                                              : "server.cannot-listen";
    serve_tell(voice, stderr, pw_fact_of(id, pw_named(where)));
}

serve_end serve_listen(const serve_options *options, serve_listening *out)
{
    struct sockaddr_storage wanted[SERVE_LISTENERS];
    struct sockaddr_storage failed = {0};
    int port = options->port < 0 ? SERVE_DEFAULT_PORT : options->port;
    int count = wanted_addresses(options, port, wanted);
    *out = (serve_listening){0};
    if (count == 0) {
        serve_tell(options->voice, stderr, pw_fact_of("server.bad-address", pw_named(options->address)));
        return SERVE_BAD_USAGE;
    }
    if (!serve_is_loopback(&wanted[0]) && !options->open_to_network) {
        serve_tell(options->voice, stderr, pw_fact_of("server.lets-in", pw_named(options->address)));
        return SERVE_BAD_USAGE;
    }
    int error = open_all(wanted, count, port, out, &failed);
    for (int i = 0; port == 0 && error == EADDRINUSE && i < PORT_TRIES;
         i++) { /* free at one address, taken at the other */
        error = open_all(wanted, count, port, out, &failed);
    }
    if (error != 0) {
        say_why(options->voice, &failed, port, error);
        return SERVE_NOT_OPENED;
    }
    return SERVE_ENDED;
}

void serve_listen_close(serve_listening *listening)
{
    for (int i = 0; i < listening->count; i++) {
        close(listening->items[i].socket);
    }
    listening->count = 0;
}

bool serve_listens_to_network(const serve_listening *listening)
{
    for (int i = 0; i < listening->count; i++) {
        if (!serve_is_loopback(&listening->items[i].address)) {
            return true;
        }
    }
    return false;
}

static bool is_any(const struct sockaddr_storage *address)
{
    const struct sockaddr_in *four = (const void *)address;
    const struct sockaddr_in6 *six = (const void *)address;
    return address->ss_family == AF_INET ? four->sin_addr.s_addr == htonl(INADDR_ANY)
                                         : IN6_IS_ADDR_UNSPECIFIED(&six->sin6_addr);
}

/* For a phone over HTTPS, the address as a code to be read by its camera. */
static void print_one(const serve_options *options, const struct sockaddr_storage *address, int port)
{
    char where[ADDRESS_SIZE], whole[ADDRESS_SIZE + 16];
    put_address(address, port, where, sizeof where);
    snprintf(whole, sizeof whole, "%s://%s/", options->secure ? "https" : "http", where);
    if (options->quiet) {
        printf("%s\n", whole);
        return;
    }
    serve_tell(options->voice, stdout, pw_fact_of("server.open-at", pw_named(whole)));
    if (options->secure && address->ss_family == AF_INET && !serve_is_loopback(address)) {
        serve_code_print(whole);
    }
}

/* Every address that this machine has now; those that only hold on one cable (fe80::) cannot be typed into a browser.
 */
static void print_all(const serve_options *options, int family, int port)
{
    struct ifaddrs *list = NULL;
    if (getifaddrs(&list) != 0) {
        return;
    }
    for (const struct ifaddrs *at = list; at; at = at->ifa_next) {
        struct sockaddr_storage address = {0};
        if (!at->ifa_addr || at->ifa_addr->sa_family != family || !(at->ifa_flags & IFF_UP)) {
            continue;
        }
        memcpy(&address, at->ifa_addr, family == AF_INET ? sizeof(struct sockaddr_in) : sizeof(struct sockaddr_in6));
        const struct sockaddr_in6 *six = (const void *)&address;
        if (family == AF_INET || !IN6_IS_ADDR_LINKLOCAL(&six->sin6_addr)) {
            print_one(options, &address, port);
        }
    }
    freeifaddrs(list);
}

void serve_listen_print(const serve_options *options, const serve_listening *listening)
{
    for (int i = 0; i < listening->count; i++) {
        const struct sockaddr_storage *address = &listening->items[i].address;
        bool is_second_loopback = i > 0 && serve_is_loopback(address);
        if (is_any(address)) {
            print_all(options, address->ss_family, listening->port);
        } else if (!is_second_loopback) {
            print_one(options, address, listening->port);
        }
    }
    fflush(stdout);
}
