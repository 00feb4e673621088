/* The table of requests: everything else about them (near matches, "about", docs/door.md) follows from it. */
#include <string.h>

#include "door/inside.h"

static const door_request requests[] = {
#define PW_VERB(name, words, more, ...) \
    {#name, words, door_##name, (const door_key[]){__VA_ARGS__, {NULL, NULL}}, more},
#include "door/verbs.inc"
#undef PW_VERB
};

int32_t door_request_count(void)
{
    return (int32_t)(sizeof requests / sizeof requests[0]);
}

const door_request *door_request_at(int32_t index)
{
    return &requests[index];
}

const door_request *door_request_find(const char *name)
{
    for (int32_t i = 0; i < door_request_count(); i++) {
        if (strcmp(requests[i].name, name) == 0) {
            return &requests[i];
        }
    }
    return NULL;
}
