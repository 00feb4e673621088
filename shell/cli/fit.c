#include "cli/fit.h"

#include <stdio.h>
#include <string.h>

#include "adapt/sheet_edit.h"
#include "cli/ask.h"
#include "cli/complain.h"
#include "cli/diff.h"
#include "cli/voice.h"

enum { MOST_EDITS = 128 };

static int32_t edits_of(const pw_json *answer, pw_sheet_edit *out)
{
    const pw_json *list = pw_json_get(answer, "unknowns");
    int32_t count = 0;
    for (const pw_json *unknown = list ? list->first : NULL; unknown; unknown = unknown->next) {
        const pw_json *numbers = pw_json_get(unknown, "numbers");
        for (const pw_json *one = numbers ? numbers->first : NULL; one && count < MOST_EDITS; one = one->next) {
            const pw_json *was = pw_json_get(one, "was si"), *is = pw_json_get(one, "si");
            if (was && is && was->number != is->number) {
                out[count] =
                    (pw_sheet_edit){pw_json_get(one, "path")->string, pw_json_get(one, "exact")->string, false};
                count++;
            }
        }
    }
    return count;
}

const char *cli_fit_text(pw_arena *arena, const cli_sheet *sheet, const pw_json *answer)
{
    pw_sheet_edit *edits = PW_NEW(arena, MOST_EDITS, pw_sheet_edit);
    const int32_t count = edits ? edits_of(answer, edits) : 0;
    const char *text = count > 0 ? cli_keep(pw_sheet_edited(sheet, edits, count)) : NULL;
    for (int32_t i = 0; text && i < count; i++) {
        if (!edits[i].done) {
            cli_tell(pw_fact_of("cli.no-place", pw_named(edits[i].path), pw_named(edits[i].words)));
        }
    }
    return text;
}

void cli_fit_show(const cli_sheet *sheet, const char *text, bool colour)
{
    putchar('\n');
    (void)cli_diff(stdout, sheet->name, sheet->text, text, colour);
}
