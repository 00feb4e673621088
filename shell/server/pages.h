/* The page's files, read once at the start: a request never reaches the file system.
 */
#ifndef PW_SERVER_PAGES_H
#define PW_SERVER_PAGES_H

#include <stdbool.h>
#include <stddef.h>

typedef struct serve_file {
    char *path; /* "/assets/main.js" */
    char *bytes;
    size_t length;
    const char *type; /* Content-Type */
    char tag[40];     /* ETag with its quotation marks: from the content */
} serve_file;

typedef struct serve_pages {
    serve_file *files; /* sorted by path */
    size_t count, capacity, bytes;
} serve_pages;

/* Read a folder and those in it. Left out: hidden files, links, names with letters that serve_path_is_plain does not
 * know. false: *why says what is wrong; what was read must still be freed. */
bool serve_pages_read(const char *folder, serve_pages *out, const char **why);
void serve_pages_free(serve_pages *pages);

/* "/" is "/index.html"; NULL when there is none. */
const serve_file *serve_pages_find(const serve_pages *pages, const char *path);

/* Where the page would be: beside the program as it is installed, or as it is built. false when it is in neither place.
 */
bool serve_pages_place(char *out, size_t size);

/* An ETag for these bytes. */
void serve_tag(const char *bytes, size_t length, char *out, size_t size);

#endif
