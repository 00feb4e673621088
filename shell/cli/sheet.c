#include "cli/sheet.h"

#include <stdio.h>

#include "cli/ask.h"
#include "cli/complain.h"
#include "cli/voice.h"

static void complain_of_text(const cli_sheet *sheet, const pw_problems *problems, bool colour)
{
    for (int32_t i = 0; i < problems->count; i++) {
        const pw_problem *one = &problems->items[i];
        if (one->warning && one->status == PW_OK) { /* what was read of a file */
            cli_note_at(sheet, one->path, cli_found(one), cli_words(pw_remark_fact(&one->hint)));
            continue;
        }
        const char *where = one->path[0] ? one->path : cli_words(pw_fact_of(pw_status_message(one->status)));
        cli_complain_at(sheet, one->line, one->column, where, cli_found(one), cli_words(pw_remark_fact(&one->expected)),
                        cli_words(pw_remark_fact(&one->hint)), one->warning, colour);
    }
}

cli_loaded cli_sheet_load(const char *path, bool colour, cli_sheet *out)
{
    const char *why = "";
    pw_problems problems = {0};
    pw_sheet_end end = pw_sheet_load(path, out, &problems, &why);
    cli_keep(out->text);
    cli_keep(out->block);
    if (end == PW_SHEET_NO_FILE) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(cli_name(out->name)), pw_word(why)));
        return CLI_NOT_READ;
    }
    complain_of_text(out, &problems, colour);
    return end == PW_SHEET_READ ? CLI_LOADED : CLI_NOT_UNDERSTOOD;
}
