/* Time that only goes forward.
 */
#ifndef PW_SERVER_CLOCK_H
#define PW_SERVER_CLOCK_H

#include <stdint.h>

/* Milliseconds since some moment. */
int64_t serve_now_ms(void);

#endif
