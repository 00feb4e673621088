/* Who is refused, decided from text and addresses alone.
 *
 * A page from elsewhere, open in the same browser, may send requests here. Three things keep it out: a Host that names
 * this server (a foreign name that was made to point here, "DNS rebinding", does not), an Origin and a Sec-Fetch-Site
 * of our own on POST (WHATWG Fetch; W3C Fetch Metadata: from memory), and a Content-Type that a plain form cannot send.
 */
#ifndef PW_SERVER_GUARD_H
#define PW_SERVER_GUARD_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/socket.h>

/* Is this Host header the address that the connection arrived at? local: getsockname of the connection. own_name: a
 * name of this machine that is good too, alone and with ".local" behind; NULL: none. "localhost" is good at a loopback
 * address. secure: a Host without a port means 443, not 80. */
bool serve_host_fits(const char *host, const struct sockaddr_storage *local, const char *own_name, bool secure);

/* Is this Origin header the one of a page from here? host: a Host header that fits; secure: pages come over HTTPS. */
bool serve_origin_fits(const char *origin, const char *host, bool secure);

/* May a POST come from where Sec-Fetch-Site says? */
bool serve_fetch_site_fits(const char *site);

/* Exactly "application/json", with or without charset=utf-8. */
bool serve_type_is_json(const char *type);

/* A path as our files have them: begins with "/", letters, digits and "._-" between single slashes, no part begins with
 * a dot. Anything else (escapes, "..", "//", backslashes) is the name of nothing here. */
bool serve_path_is_plain(const char *path);

/* Does an If-None-Match list hold this tag (with its quotation marks)? */
bool serve_tag_listed(const char *list, const char *tag);

bool serve_is_loopback(const struct sockaddr_storage *address);
int serve_port_of(const struct sockaddr_storage *address);

/* Does this Accept-Encoding name an encoding, without refusing it by q=0 (RFC 9110, 12.5.3)? "*" names none. */
bool serve_encoding_fits(const char *accepts, const char *encoding);

#endif
