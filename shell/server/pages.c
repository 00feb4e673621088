#define _XOPEN_SOURCE 700
#include "server/pages.h"

#include <dirent.h>
#include <errno.h>
#include <inttypes.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "adapt/files.h"
#include "server/guard.h"
#include "server/limits.h"

enum { DEPTH_MOST = 8, PATH_SIZE = 4096 };

static const char *type_of(const char *path)
{
    static const char *const types[][2] = {
        {".html", "text/html; charset=utf-8"},
        {".js", "text/javascript; charset=utf-8"},
        {".mjs", "text/javascript; charset=utf-8"},
        {".css", "text/css; charset=utf-8"},
        {".wasm", "application/wasm"},
        {".json", "application/json"},
        {".map", "application/json"},
        {".webmanifest", "application/manifest+json"},
        {".svg", "image/svg+xml"},
        {".png", "image/png"},
        {".jpg", "image/jpeg"},
        {".webp", "image/webp"},
        {".ico", "image/x-icon"},
        {".woff2", "font/woff2"},
        {".txt", "text/plain; charset=utf-8"},
        {".md", "text/plain; charset=utf-8"},
        {".yaml", "text/plain; charset=utf-8"},
        {".yml", "text/plain; charset=utf-8"},
        {".csv", "text/csv; charset=utf-8"},
    };
    const char *ending = strrchr(path, '.');
    for (size_t i = 0; ending && i < sizeof types / sizeof types[0]; i++) {
        if (strcmp(ending, types[i][0]) == 0) {
            return types[i][1];
        }
    }
    return "application/octet-stream";
}

/* FNV-1a, 64 bits (Fowler, Noll, Vo: from memory), with the length beside it: tells versions of a file apart. */
void serve_tag(const char *bytes, size_t length, char *out, size_t size)
{
    uint64_t hash = UINT64_C(14695981039346656037);
    for (size_t i = 0; i < length; i++) {
        hash ^= (unsigned char)bytes[i];
        hash *= UINT64_C(1099511628211);
    }
    snprintf(out, size, "\"%zx-%016" PRIx64 "\"", length, hash);
}

static serve_file *next_file(serve_pages *out)
{
    if (out->count == out->capacity) {
        size_t capacity = out->capacity ? 2 * out->capacity : 64;
        serve_file *more = realloc(out->files, capacity * sizeof *more);
        if (!more) {
            return NULL;
        }
        out->files = more;
        out->capacity = capacity;
    }
    return &out->files[out->count];
}

static bool add_file(const char *place, const char *path, serve_pages *out, const char **why)
{
    size_t left = SERVE_PAGE_BYTES_MOST - out->bytes;
    serve_file *file = next_file(out);
    if (!file || out->count == SERVE_PAGE_FILES_MOST) {
        *why = file ? "server.too-many-files" : "adapt.no-memory";
        return false;
    }
    *file = (serve_file){.type = type_of(path)};
    file->bytes = pw_file_read(place, left, &file->length, why);
    if (!file->bytes) {
        return false;
    }
    file->path = strdup(path);
    if (!file->path || file->length > left) {
        *why = file->path ? "server.files-too-large" : "adapt.no-memory";
        free(file->path);
        free(file->bytes);
        return false;
    }
    serve_tag(file->bytes, file->length, file->tag, sizeof file->tag);
    out->bytes += file->length;
    out->count++;
    return true;
}

/* folder: on disk; path: as it is asked for, "" at the top. */
static bool add_folder(const char *folder, const char *path, int depth, serve_pages *out, const char **why)
{
    DIR *open_folder = opendir(folder);
    if (!open_folder) {
        *why = pw_file_why(errno);
        return false;
    }
    bool good = true;
    for (struct dirent *entry = readdir(open_folder); good && entry; entry = readdir(open_folder)) {
        char place[PATH_SIZE];
        char inside[PATH_SIZE];
        struct stat about;
        int place_length = snprintf(place, sizeof place, "%s/%s", folder, entry->d_name);
        int inside_length = snprintf(inside, sizeof inside, "%s/%s", path, entry->d_name);
        bool fits = place_length < PATH_SIZE && inside_length < PATH_SIZE;
        if (!fits || !serve_path_is_plain(inside) || lstat(place, &about) != 0) {
            continue;
        }
        if (S_ISREG(about.st_mode)) {
            good = add_file(place, inside, out, why);
        } else if (S_ISDIR(about.st_mode) && depth < DEPTH_MOST) {
            good = add_folder(place, inside, depth + 1, out, why);
        }
    }
    closedir(open_folder);
    return good;
}

static int by_path(const void *left, const void *right)
{
    const serve_file *a = left;
    const serve_file *b = right;
    return strcmp(a->path, b->path);
}

const char *serve_packing_id(serve_packing packing)
{
    static const char *const ids[SERVE_PACKINGS] = {NULL, "br", "gzip"};
    return ids[packing];
}

static serve_file *file_at(serve_pages *pages, const char *path)
{
    const serve_file wanted = {.path = (char *)(uintptr_t)path};
    return bsearch(&wanted, pages->files, pages->count, sizeof pages->files[0], by_path);
}

/* NAME.br and NAME.gz are NAME packed, where there is NAME. */
static void find_packed(serve_pages *pages)
{
    static const char *const endings[SERVE_PACKINGS] = {NULL, ".br", ".gz"};
    char name[PATH_SIZE];
    for (size_t i = 0; i < pages->count; i++) {
        for (int p = SERVE_BROTLI; p < SERVE_PACKINGS; p++) {
            const int written = snprintf(name, sizeof name, "%s%s", pages->files[i].path, endings[p]);
            serve_file *packed = written > 0 && written < PATH_SIZE ? file_at(pages, name) : NULL;
            if (packed) {
                packed->is_packed = true;
                pages->files[i].packed[p] = packed;
            }
        }
    }
}

serve_packing serve_pages_choose(const serve_file *file, const char *accepts)
{
    for (int p = SERVE_BROTLI; accepts && p < SERVE_PACKINGS; p++) {
        if (file->packed[p] && serve_encoding_fits(accepts, serve_packing_id((serve_packing)p))) {
            return (serve_packing)p;
        }
    }
    return SERVE_PLAIN;
}

bool serve_pages_read(const char *folder, serve_pages *out, const char **why)
{
    *out = (serve_pages){0};
    if (!add_folder(folder, "", 0, out, why)) {
        return false;
    }
    if (out->count > 0) {
        qsort(out->files, out->count, sizeof out->files[0], by_path);
        find_packed(out);
    }
    if (!serve_pages_find(out, "/")) {
        *why = "server.no-index";
        return false;
    }
    return true;
}

void serve_pages_free(serve_pages *pages)
{
    for (size_t i = 0; i < pages->count; i++) {
        free(pages->files[i].path);
        free(pages->files[i].bytes);
    }
    free(pages->files);
    *pages = (serve_pages){0};
}

const serve_file *serve_pages_find(const serve_pages *pages, const char *path)
{
    const char *wanted = strcmp(path, "/") == 0 ? "/index.html" : path;
    size_t low = 0;
    size_t high = pages->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        int settings = strcmp(pages->files[middle].path, wanted);
        if (settings == 0) {
            return pages->files[middle].is_packed ? NULL : &pages->files[middle];
        }
        if (settings < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return NULL;
}

bool serve_pages_place(char *out, size_t size)
{
    static const char *const places[] = {"/../share/pumpwright/page", "/page"};
    char program[PATH_SIZE];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length <= 0) {
        return false;
    }
    program[length] = 0;
    char *end = strrchr(program, '/');
    if (end) {
        *end = 0;
    }
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        char index[PATH_SIZE + 64];
        snprintf(index, sizeof index, "%s%s/index.html", program, places[i]);
        if (access(index, R_OK) == 0) {
            int written = snprintf(out, size, "%s%s", program, places[i]);
            return written > 0 && (size_t)written < size;
        }
    }
    return false;
}
