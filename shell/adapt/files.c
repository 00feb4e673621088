#define _XOPEN_SOURCE 700
#include "adapt/files.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

const char *pw_file_why(int error)
{
    switch (error) {
    case ENOENT: return "adapt.no-such-file";
    case ENOTDIR: return "adapt.no-such-folder";
    case EACCES:
    case EPERM: return "adapt.not-allowed";
    case EROFS: return "adapt.read-only";
    case ENOSPC: return "adapt.disk-full";
    case EDQUOT: return "adapt.disk-full";
    case EISDIR: return "adapt.is-folder";
    case ENAMETOOLONG: return "adapt.name-too-long";
    case ELOOP: return "adapt.links-in-circle";
    case EFBIG: return "adapt.too-large-here";
    case ENOMEM: return "adapt.no-memory";
    case EMFILE:
    case ENFILE: return "adapt.too-many-open";
    case EPIPE: return "adapt.nobody-reads";
    default: return "adapt.system-refuses";
    }
}

static char *read_stream(FILE *stream, size_t most_bytes, size_t *length, const char **why)
{
    size_t capacity = 65536;
    char *bytes = malloc(capacity);
    *length = 0;
    while (bytes) {
        *length += fread(bytes + *length, 1, capacity - 1 - *length, stream);
        if (ferror(stream)) {
            *why = pw_file_why(errno);
            break;
        }
        if (*length < capacity - 1) {
            bytes[*length] = 0;
            return bytes;
        }
        if (*length > most_bytes) {
            *why = "adapt.too-large";
            break;
        }
        char *more = realloc(bytes, capacity * 2);
        if (!more) {
            *why = "adapt.no-memory";
            break;
        }
        bytes = more;
        capacity *= 2;
    }
    if (!bytes) {
        *why = "adapt.no-memory";
    }
    free(bytes);
    return NULL;
}

char *pw_file_read(const char *path, size_t most_bytes, size_t *length, const char **why)
{
    if (strcmp(path, "-") == 0) {
        return read_stream(stdin, most_bytes, length, why);
    }
    struct stat about;
    if (stat(path, &about) != 0) {
        *why = pw_file_why(errno);
        return NULL;
    }
    if (S_ISDIR(about.st_mode)) {
        *why = "adapt.is-folder";
        return NULL;
    }
    FILE *stream = fopen(path, "rb");
    if (!stream) {
        *why = pw_file_why(errno);
        return NULL;
    }
    char *bytes = read_stream(stream, most_bytes, length, why);
    fclose(stream);
    return bytes;
}

bool pw_file_plain(const char *path)
{
    struct stat about;
    return strncmp(path, "/dev/", 5) != 0 && (stat(path, &about) != 0 || S_ISREG(about.st_mode));
}

bool pw_file_same(const char *one, const char *other)
{
    struct stat about_one, about_other;
    const bool there = stat(one, &about_one) == 0, other_there = stat(other, &about_other) == 0;
    if (there != other_there || strcmp(one, "-") == 0 || strcmp(other, "-") == 0) {
        return false;
    }
    if (!there) {
        return strcmp(one, other) == 0;
    }
    return S_ISREG(about_one.st_mode) && about_one.st_dev == about_other.st_dev &&
           about_one.st_ino == about_other.st_ino;
}

static bool write_all(int handle, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t written = write(handle, bytes, length);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written < 0) {
            return false;
        }
        bytes += written;
        length -= (size_t)written;
    }
    return true;
}

/* A device or a pipe has no "beside". */
static bool write_straight(const char *path, const char *bytes, size_t length, const char **why)
{
    FILE *stream = fopen(path, "wb");
    if (!stream) {
        *why = pw_file_why(errno);
        return false;
    }
    bool good = fwrite(bytes, 1, length, stream) == length;
    if (fclose(stream) != 0) {
        good = false;
    }
    if (!good) {
        *why = pw_file_why(errno);
    }
    return good;
}

/* Fill the temporary file and put it in the target's place. */
static bool fill_and_rename(int handle, const char *temporary, const char *target, mode_t mode, const char *bytes,
                            size_t length)
{
    bool good = write_all(handle, bytes, length);
    good = good && fchmod(handle, mode) == 0;
    good = good && fsync(handle) == 0;
    int error = errno;
    if (close(handle) != 0 && good) {
        good = false;
        error = errno;
    }
    if (good && rename(temporary, target) != 0) {
        good = false;
        error = errno;
    }
    if (!good) {
        unlink(temporary);
        errno = error;
    }
    return good;
}

bool pw_file_write(const char *path, const char *bytes, size_t length, const char **why)
{
    mode_t mask = umask(0);
    umask(mask);
    mode_t mode = 0666 & ~mask;
    struct stat about;
    char *resolved = NULL; /* a symbolic link stays a link: its target is what gets replaced */
    if (stat(path, &about) == 0) {
        if (S_ISDIR(about.st_mode)) {
            *why = "adapt.is-folder";
            return false;
        }
        if (!S_ISREG(about.st_mode)) {
            return write_straight(path, bytes, length, why);
        }
        mode = about.st_mode & 07777;
        resolved = realpath(path, NULL);
    }
    const char *target = resolved ? resolved : path;
    size_t size = strlen(target) + sizeof ".XXXXXX";
    char *temporary = malloc(size);
    bool good = false;
    if (!temporary) {
        *why = "adapt.no-memory";
    } else {
        snprintf(temporary, size, "%s.XXXXXX", target);
        int handle = mkstemp(temporary);
        good = handle >= 0 && fill_and_rename(handle, temporary, target, mode, bytes, length);
        if (!good) {
            *why = pw_file_why(errno);
        }
    }
    free(temporary);
    free(resolved);
    return good;
}
