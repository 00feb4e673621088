/* The page's files, read once at the start: a request never reaches the file system.
 */
#ifndef PW_SERVER_PAGES_H
#define PW_SERVER_PAGES_H

#include <stdbool.h>
#include <stddef.h>

/* How a document is sent. */
typedef enum serve_packing { SERVE_PLAIN, SERVE_BROTLI, SERVE_GZIP, SERVE_PACKINGS } serve_packing;
/* Content-Encoding: "br", "gzip"; NULL for plain. */
const char *serve_packing_id(serve_packing packing);

typedef struct serve_file {
    char *path; /* "/assets/main.js" */
    char *bytes;
    size_t length;
    const char *type; /* Content-Type */
    char tag[40];     /* ETag with its quotation marks: from the content */
    bool is_packed;   /* it is another one's packed form, and not asked for by its name */
    const struct serve_file *packed[SERVE_PACKINGS]; /* the same packed: NAME.br, NAME.gz; NULL none */
} serve_file;

typedef struct serve_pages {
    serve_file *files; /* sorted by path */
    size_t count, capacity, bytes;
} serve_pages;

/* Read a folder and those in it. Left out: hidden files, links, names with letters that serve_path_is_plain does not
 * know. false: *why says what is wrong; what was read must still be freed. */
bool serve_pages_read(const char *folder, serve_pages *out, const char **why);
void serve_pages_free(serve_pages *pages);

/* The form to send to one who takes these encodings (the header Accept-Encoding; NULL: plain). */
serve_packing serve_pages_choose(const serve_file *file, const char *accepts);

/* "/" is "/index.html"; NULL when there is none. */
const serve_file *serve_pages_find(const serve_pages *pages, const char *path);

/* Where the page would be: beside the program as it is installed, or as it is built. false when it is in neither place.
 */
bool serve_pages_place(char *out, size_t size);

/* An ETag for these bytes. */
void serve_tag(const char *bytes, size_t length, char *out, size_t size);

#endif
