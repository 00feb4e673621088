/* The door of the core as a WebAssembly module without imports.
 *
 *   p = pw_wasm_alloc(length); write the request's bytes there
 *   a = pw_wasm_answer(p, length); read up to the NUL: the answer as JSON; 0 when there is no memory
 *   pw_wasm_free(a); pw_wasm_free(p)
 * Memory may grow in any of them, so make new views of it after each call. After a trap make a new instance.
 * The whole module has the readers beside it (readers.c); the first one, which is enough for a first verdict in
 * English, has this door alone (tools/wasm.sh).
 */
#include <stdint.h>
#include <stdlib.h>

#include "adapt/doorway.h"

#define EXPORT(name) __attribute__((export_name(name)))

EXPORT("pw_wasm_alloc") void *pw_wasm_alloc(uint32_t length);
EXPORT("pw_wasm_free") void pw_wasm_free(void *block);
EXPORT("pw_wasm_answer") char *pw_wasm_answer(const char *request, uint32_t length);

void *pw_wasm_alloc(uint32_t length)
{
    return malloc(length ? length : 1);
}

void pw_wasm_free(void *block)
{
    free(block);
}

char *pw_wasm_answer(const char *request, uint32_t length)
{
    return pw_doorway(request, length, NULL);
}

/* A broken invariant traps. The C library's own version prints, which would need imports. */
_Noreturn void __assert_fail(const char *expression, const char *file, int line, const char *function);
_Noreturn void __assert_fail(const char *expression, const char *file, int line, const char *function)
{
    (void)expression;
    (void)file;
    (void)line;
    (void)function;
    __builtin_trap();
}
