/* The caller's block of memory, given out from the front. */
#include "base/arena.h"

#include <assert.h>
#include <string.h>

enum { ALIGN = 16 };

void pw_arena_init(pw_arena *arena, void *block, size_t size)
{
    size_t off = (size_t)((uintptr_t)block % ALIGN);
    size_t skip = off == 0 ? 0 : ALIGN - off;
    arena->base = (uint8_t *)block;
    arena->size = 0;
    if (block && size > skip) {
        arena->base += skip;
        arena->size = size - skip;
    }
    arena->used = 0;
    arena->peak = 0;
}

void *pw_alloc(pw_arena *arena, size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / size) {
        return NULL;
    }
    size_t bytes = count * size;
    size_t room = arena->size - arena->used;
    if (bytes > room) {
        return NULL;
    }
    size_t padded = bytes + (ALIGN - bytes % ALIGN) % ALIGN;
    if (bytes == 0) {
        padded = ALIGN; /* so that two empty objects differ */
    }
    if (padded > room || padded < bytes) {
        return NULL;
    }
    uint8_t *out = arena->base + arena->used;
    arena->used += padded;
    if (arena->used > arena->peak) {
        arena->peak = arena->used;
    }
    memset(out, 0, padded);
    return out;
}

char *pw_strdup(pw_arena *arena, const char *text, size_t length)
{
    if (length == SIZE_MAX) {
        return NULL;
    }
    char *out = (char *)pw_alloc(arena, length + 1, 1);
    if (out && length > 0) {
        memcpy(out, text, length);
    }
    return out;
}

size_t pw_arena_mark(const pw_arena *arena)
{
    return arena->used;
}

void pw_arena_back(pw_arena *arena, size_t mark)
{
    assert(mark <= arena->used);
    arena->used = mark;
}
