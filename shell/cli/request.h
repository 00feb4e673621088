/* A request for the door, from options and a sheet.
 */
#ifndef PW_CLI_REQUEST_H
#define PW_CLI_REQUEST_H

#include "base/arena.h"
#include "base/text.h"
#include "cli/options.h"
#include "cli/sheet.h"

typedef enum cli_part { CLI_PART_ALL, CLI_PART_ONE, CLI_PART_ASSEMBLE } cli_part;

/* What a request asks for besides its options. */
typedef struct cli_wish {
    const char *what; /* "check", "prove", ... */
    bool papers;      /* this request makes papers at all */
    bool text, html;  /* which of them are wanted */
    bool colour;
    int width;
    cli_part part;
    int part_index, part_count;
    const char *outcomes;  /* the list as JSON: to assemble, or for a part of the second time; NULL: none yet */
    const char *again;     /* outcomes again, likewise */
    const char *readings;  /* commission: the list of readings as JSON; NULL when there is none */
    bool document;         /* handover: the paper as a tree, too */
    const char *given;     /* handover: members as JSON, each with a comma before it; NULL when there are none */
    const char *catalogue; /* size: the list of pumps as JSON; NULL when there is none */
} cli_wish;

/* NULL when the arena is used up; NUL-terminated. sheet may be NULL. */
char *cli_request(pw_arena *arena, const cli_options *options, const cli_sheet *sheet, const cli_wish *wish);

/* A fault in words, split: "slow leak 2 L/min at shed from 10 h" is what, severity, at, onset; absent parts are "". */
/* The words behind --gauge and --gauge-pump-shut: "380 kPa to 330 kPa in 6 min". */
typedef struct cli_gauge {
    char from[64], to[64], over[64];
} cli_gauge;
/* false: they are not of that form */
bool cli_gauge_split(const char *words, cli_gauge *out);

typedef struct cli_fault {
    char what[64], severity[64], at[64], onset[64];
} cli_fault;
/* false: a part is too long, or there is nothing before the severity. */
bool cli_fault_split(const char *words, cli_fault *out);

#endif
