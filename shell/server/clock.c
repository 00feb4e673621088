#define _XOPEN_SOURCE 700
#include "server/clock.h"

#include <time.h>

int64_t serve_now_ms(void)
{
    struct timespec now = {0};
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}
