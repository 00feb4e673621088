/* The door: any bytes as a request. */
#include "fuzz_door.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *request = malloc(size ? size : 1); /* exactly so many bytes */
    MUST(request != NULL);
    memcpy(request, data, size);
    fuzz_ask(request, size);
    free(request);
    return 0;
}
