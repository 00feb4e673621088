/* Samples of a run as comma-separated values.
 */
#ifndef PW_CLI_TABLE_H
#define PW_CLI_TABLE_H

#include "base/arena.h"
#include "base/json.h"
#include "base/text.h"

/* samples: the object of columns in a run's answer; units as the person asked (NULL: metric). One row for each moment,
 * the unit behind each heading. A value that is not known stays empty. */
void cli_table_samples(pw_arena *arena, const pw_json *samples, const char *units, pw_text *out);

#endif
