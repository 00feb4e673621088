/* The readers of files beside the door: pw_wasm_trace answers in the same way what a file of measured flows holds
 * (adapt/csv_door.h), pw_wasm_log about the bytes of a logger's file (adapt/log_door.h). */
#include <stdint.h>

#include "adapt/csv_door.h"
#include "adapt/log_door.h"

#define EXPORT(name) __attribute__((export_name(name)))

EXPORT("pw_wasm_trace") char *pw_wasm_trace(const char *request, uint32_t length);
EXPORT("pw_wasm_log") char *pw_wasm_log(const char *request, uint32_t length, const char *bytes, uint32_t count);

char *pw_wasm_trace(const char *request, uint32_t length)
{
    return pw_csv_door(request, length);
}

char *pw_wasm_log(const char *request, uint32_t length, const char *bytes, uint32_t count)
{
    return pw_log_door(request, length, bytes, count);
}
