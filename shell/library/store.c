#include <stdatomic.h>
#include <stdlib.h>

#include "library/inside.h"

struct library_store {
    atomic_int held; /* handles of several threads may hold it */
    library_store *under;
    pw_arena arena;
};

library_store *library_store_new(size_t size, library_store *under, pw_arena **arena)
{
    char *block = malloc(sizeof(library_store) + size);
    if (!block) {
        return NULL;
    }
    library_store *store = (library_store *)(void *)block;
    atomic_init(&store->held, 1);
    store->under = under;
    if (under) {
        library_store_hold(under);
    }
    pw_arena_init(&store->arena, block + sizeof(library_store), size);
    *arena = &store->arena;
    return store;
}

void library_store_hold(library_store *store)
{
    atomic_fetch_add(&store->held, 1);
}

void library_store_release(library_store *store)
{
    while (store && atomic_fetch_sub(&store->held, 1) == 1) {
        library_store *under = store->under;
        free(store);
        store = under;
    }
}
