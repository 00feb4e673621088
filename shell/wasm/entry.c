/* The core as a WebAssembly module: five functions and no imports.
 *
 *   p = pw_wasm_alloc(length); write the request's bytes there
 *   a = pw_wasm_answer(p, length); read up to the NUL: the answer as JSON; 0 when there is no memory
 *   pw_wasm_free(a); pw_wasm_free(p)
 * pw_wasm_trace answers in the same way what a file of measured flows holds (adapt/csv_door.h).
 * pw_wasm_log answers about the bytes of a logger's file (adapt/log_door.h).
 * Memory may grow in any of them, so make new views of it after each call. After a trap make a new instance.
 */
#include <stdint.h>
#include <stdlib.h>

#include "adapt/csv_door.h"
#include "adapt/doorway.h"
#include "adapt/log_door.h"

#define EXPORT(name) __attribute__((export_name(name)))

EXPORT("pw_wasm_alloc") void *pw_wasm_alloc(uint32_t length);
EXPORT("pw_wasm_free") void pw_wasm_free(void *block);
EXPORT("pw_wasm_answer") char *pw_wasm_answer(const char *request, uint32_t length);
EXPORT("pw_wasm_trace") char *pw_wasm_trace(const char *request, uint32_t length);
EXPORT("pw_wasm_log") char *pw_wasm_log(const char *request, uint32_t length, const char *bytes, uint32_t count);

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

char *pw_wasm_trace(const char *request, uint32_t length)
{
    return pw_csv_door(request, length);
}

char *pw_wasm_log(const char *request, uint32_t length, const char *bytes, uint32_t count)
{
    return pw_log_door(request, length, bytes, count);
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
