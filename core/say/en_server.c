/* What the server says, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"server.bad-address",
     "pumpwright: --address: found \"{0}\"; an address in digits would be right, for instance 127.0.0.1 or "
     "::1, or localhost."},
    {"server.body-most", "A request may have 8 MiB."},
    {"server.busy", "The server is busy or about to end; try again."},
    {"server.cannot-listen", "pumpwright: cannot listen on {0}: the system refuses it."},
    {"server.cannot-start", "pumpwright: cannot start: there are not enough threads or memory."},
    {"server.cannot-take-page", "pumpwright: cannot take the page from {0}: {1}."},
    {"server.caution",
     "Caution: every machine in the network can open this and use this computer's time, and whoever is on the "
     "way can\nread along (plain HTTP, no password). End it when it is no longer needed."},
    {"server.caution-secure",
     "Caution: everyone in this network can use this server, there is no password. What is sent is encrypted."},
    {"server.content-type", "Content-Type: application/json would be right."},
    {"server.ctrl-c", "Ctrl-C ends it."},
    {"server.files-too-large", "its files are larger than 128 MB"},
    {"server.fingerprint", "Certificate of this run, fingerprint (SHA-256), also as a code:\n{0}"},
    {"server.fingerprint-how",
     "The browser warns, because nobody has vouched for this certificate. Compare the fingerprint that it "
     "shows with this one, and go on only when they are the same. A phone keeps the page offline only when it "
     "trusts the certificate: take it from /certificate.crt at this address, let the phone trust it (in its "
     "settings, as an authority), open the page again. Take the trust away again when the page is kept; the "
     "key is gone when the server ends."},
    {"server.get", "GET would be right."},
    {"server.header-twice", "A header stands there twice."},
    {"server.lets-in",
     "pumpwright: --address {0} would let other machines in. If that is meant, add --open-to-network."},
    {"server.no-index", "there is no index.html in it"},
    {"server.no-memory-now", "There is not enough memory now; try again."},
    {"server.no-page", "The page was not built (make page); POST /door and GET /about are here."},
    {"server.no-tls",
     "pumpwright: there is no HTTPS in this program: it was built without GnuTLS, or there is no memory."},
    {"server.not-this-machine", "pumpwright: cannot listen on {0}: this machine does not have that address."},
    {"server.nothing-here", "There is nothing here."},
    {"server.only-own-page", "Only the page that comes from here may ask."},
    {"server.open-at", "Open in a browser: {0}"},
    {"server.page-not-found",
     "pumpwright: the page was not found beside the program (\"make page\" builds it, --page DIR names it); "
     "only POST /door and GET /about are answered."},
    {"server.port-of-system",
     "pumpwright: cannot listen on {0}: this port is only for the system; --port with 1024 or more would be "
     "right."},
    {"server.port-taken",
     "pumpwright: cannot listen on {0}: the port is taken, perhaps by a pumpwright that runs "
     "already.\nAnother port is chosen with --port N, any free one with --port 0."},
    {"server.post", "POST would be right."},
    {"server.too-long", "This takes longer than 10 minutes; ask for less, or for parts."},
    {"server.too-many-files", "it has more than 2000 files"},
    {"server.too-much", "Too much is being asked at once; try again."},
    {"server.wrong-host", "The Host is not the address of this server."},
};
/* clang-format on */

SAY_CATALOGUE(say_en_server)
