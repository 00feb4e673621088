/* Memory: one block that the caller owns, given out from the front.
 * The core never calls malloc. Marks allow scratch use: take a mark, work, go back.
 */
#ifndef PW_BASE_ARENA_H
#define PW_BASE_ARENA_H

#include <stddef.h>
#include <stdint.h>

typedef struct pw_arena {
    uint8_t *base;
    size_t size, used, peak;
} pw_arena;

/* block: size bytes, any alignment. */
void pw_arena_init(pw_arena *arena, void *block, size_t size);

/* count objects of size bytes, zeroed, aligned to 16. NULL when the block is used up or the product overflows. */
void *pw_alloc(pw_arena *arena, size_t count, size_t size);
#define PW_NEW(arena, count, type) ((type *)pw_alloc((arena), (size_t)(count), sizeof(type)))

/* Copy of length bytes of text with a NUL behind. NULL when full. */
char *pw_strdup(pw_arena *arena, const char *text, size_t length);

size_t pw_arena_mark(const pw_arena *arena);
void pw_arena_back(pw_arena *arena, size_t mark);

#endif
