#define _XOPEN_SOURCE 700
#include "server/guard.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <string.h>
#include <strings.h>

bool serve_is_loopback(const struct sockaddr_storage *address)
{
    if (address->ss_family == AF_INET) {
        const struct sockaddr_in *four = (const void *)address;
        return (ntohl(four->sin_addr.s_addr) >> 24) == 127;
    }
    const struct sockaddr_in6 *six = (const void *)address;
    return address->ss_family == AF_INET6 && IN6_IS_ADDR_LOOPBACK(&six->sin6_addr);
}

int serve_port_of(const struct sockaddr_storage *address)
{
    const struct sockaddr_in *four = (const void *)address;
    const struct sockaddr_in6 *six = (const void *)address;
    return ntohs(address->ss_family == AF_INET6 ? six->sin6_port : four->sin_port);
}

enum { HTTP_PORT = 80, HTTPS_PORT = 443 };

/* ":8640", or nothing when the port is the usual one. */
static bool port_fits(const char *text, int port, int usual)
{
    if (text[0] == 0) {
        return port == usual;
    }
    int number = 0;
    size_t digits = text[0] == ':' ? strspn(text + 1, "0123456789") : 0;
    if (digits == 0 || digits > 5 || text[1 + digits] != 0) {
        return false;
    }
    for (size_t i = 1; i <= digits; i++) {
        number = number * 10 + (text[i] - '0');
    }
    return number == port;
}

static bool is_local_name(const char *name, const char *own_name)
{
    size_t length = own_name ? strlen(own_name) : 0;
    if (length == 0 || strncasecmp(name, own_name, length) != 0) {
        return false;
    }
    return name[length] == 0 || strcasecmp(name + length, ".local") == 0;
}

bool serve_host_fits(const char *host, const struct sockaddr_storage *local, const char *own_name, bool secure)
{
    char name[256];
    bool bracket = host[0] == '[';
    size_t length = bracket ? strcspn(host, "]") : strcspn(host, ":");
    size_t from = bracket ? 1 : 0;
    if (length <= from || length - from >= sizeof name || (bracket && host[length] != ']')) {
        return false;
    }
    memcpy(name, host + from, length - from);
    name[length - from] = 0;
    if (!port_fits(host + length + from, serve_port_of(local), secure ? HTTPS_PORT : HTTP_PORT)) {
        return false;
    }
    struct in6_addr six;
    struct in_addr four;
    if (bracket) {
        const struct sockaddr_in6 *here = (const void *)local;
        return local->ss_family == AF_INET6 && inet_pton(AF_INET6, name, &six) == 1 &&
               memcmp(&six, &here->sin6_addr, sizeof six) == 0;
    }
    if (inet_pton(AF_INET, name, &four) == 1) {
        const struct sockaddr_in *here = (const void *)local;
        return local->ss_family == AF_INET && four.s_addr == here->sin_addr.s_addr;
    }
    return (strcasecmp(name, "localhost") == 0 && serve_is_loopback(local)) || is_local_name(name, own_name);
}

bool serve_origin_fits(const char *origin, const char *host, bool secure)
{
    const char *scheme = secure ? "https://" : "http://";
    const size_t length = strlen(scheme);
    return strncmp(origin, scheme, length) == 0 && strcasecmp(origin + length, host) == 0;
}

bool serve_fetch_site_fits(const char *site)
{
    return strcmp(site, "same-origin") == 0 || strcmp(site, "none") == 0;
}

bool serve_type_is_json(const char *type)
{
    static const char json[] = "application/json";
    if (strncasecmp(type, json, sizeof json - 1) != 0) {
        return false;
    }
    const char *rest = type + sizeof json - 1;
    rest += strspn(rest, " \t");
    if (rest[0] == 0) {
        return true;
    }
    if (rest[0] != ';') {
        return false;
    }
    rest++;
    rest += strspn(rest, " \t");
    return strcasecmp(rest, "charset=utf-8") == 0 || strcasecmp(rest, "charset=\"utf-8\"") == 0;
}

static bool is_plain_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' || c == '_' ||
           c == '-';
}

bool serve_path_is_plain(const char *path)
{
    if (path[0] != '/') {
        return false;
    }
    for (const char *at = path; at[0] != 0; at++) {
        if (at[0] == '/') {
            bool part_is_bad = at[1] == '/' || at[1] == '.';
            if (part_is_bad) {
                return false;
            }
        } else if (!is_plain_letter(at[0])) {
            return false;
        }
    }
    return true;
}

bool serve_tag_listed(const char *list, const char *tag)
{
    size_t length = strlen(tag);
    const char *at = list + strspn(list, " \t,");
    while (at[0] != 0) {
        if (at[0] == '*') {
            return true;
        }
        if (strncmp(at, "W/", 2) == 0) { /* comparing for a GET is weak: RFC 9110, 13.1.2 (from memory) */
            at += 2;
        }
        if (strncmp(at, tag, length) == 0) {
            return true;
        }
        at += strcspn(at, ",");
        at += strspn(at, " \t,");
    }
    return false;
}

/* q=0, q=0. or q=0.000 behind a ";". */
static bool refuses(const char *at, size_t length)
{
    const char *end = at + length;
    while (at < end && (*at == ' ' || *at == '\t' || *at == ';')) {
        at++;
    }
    if (end - at < 3 || (*at != 'q' && *at != 'Q') || at[1] != '=' || at[2] != '0') {
        return false;
    }
    for (at += 3; at < end; at++) {
        if (*at >= '1' && *at <= '9') {
            return false;
        }
    }
    return true;
}

bool serve_encoding_fits(const char *accepts, const char *encoding)
{
    const size_t wanted = strlen(encoding);
    for (const char *at = accepts; *at != 0;) {
        at += strspn(at, " \t,");
        const size_t length = strcspn(at, ",");
        const size_t name = strcspn(at, " \t;,");
        if (name == wanted && strncasecmp(at, encoding, wanted) == 0) {
            return !refuses(at + name, length - name);
        }
        at += length;
    }
    return false;
}
