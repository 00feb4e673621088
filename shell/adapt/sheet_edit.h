/* Numbers of a sheet changed in its text: only the changed values move, every comment and blank stays.
 */
#ifndef PW_ADAPT_SHEET_EDIT_H
#define PW_ADAPT_SHEET_EDIT_H

#include "adapt/sheet.h"

typedef struct pw_sheet_edit {
    const char *path;  /* "vessels[0].precharge" */
    const char *words; /* "183 kPa" */
    bool done;         /* out: it found its place */
} pw_sheet_edit;

/* The text of the sheet with these values; from the system, NUL behind. A key that is not there yet is added before the
 * first one of its mapping; a mapping that is not there is none to add to: done stays false. NULL: no memory. */
char *pw_sheet_edited(const pw_sheet *sheet, pw_sheet_edit *edits, int32_t count);

#endif
