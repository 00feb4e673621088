/* Small builders of words for papers: each returns a text in the arena, NULL when the arena is used up (documents take
 * that as "failed"). Shared inside core/paper only.
 */
#ifndef PW_PAPER_SAY_H
#define PW_PAPER_SAY_H

#include "base/units.h"
#include "control/table.h"
#include "paper/document.h"
#include "say/say.h"
#include "site/site.h"

const char *say_done(const pw_text *text);
const char *say_quantity(pw_arena *arena, const pw_units *units, pw_dimension dimension, double si);
const char *say_count(pw_arena *arena, double count);
const char *say_default(pw_arena *arena, const pw_voice *voice, const pw_default *taken); /* its value */
/* pieces in a row, the list ends with NULL */
const char *say(pw_arena *arena, ...);
/* facts in the reader's language; several make one paragraph */
const char *say_fact(pw_arena *arena, const pw_voice *voice, pw_fact fact);
const char *say_facts(pw_arena *arena, const pw_voice *voice, const pw_facts *facts);
const char *say_amount(pw_arena *arena, const pw_voice *voice, pw_dimension dimension, double si);
const char *say_digits(pw_arena *arena, const pw_voice *voice, double value, int32_t digits);
/* A grid whose first column is words and whose others are numbers; ids: the headings, messages. NULL: the memory is
 * used up (the document is marked as failed). */
pw_grid *say_grid(pw_arena *arena, pw_document *document, const pw_voice *voice, const char *const *ids, int32_t count,
                  int32_t rows);
void say_block(pw_document *document, const pw_voice *voice, pw_block_kind kind, pw_tone tone, pw_fact fact);
void say_heading(pw_document *document, const pw_voice *voice, int32_t level, const char *id);
/* title: id; NULL without memory */
pw_document *say_new_paper(pw_arena *arena, const pw_voice *voice, const char *title, const char *subject,
                           bool invented);
/* "6: lock out when starts reach 15 in 1 h" (numbered from 1); "" for -1 */
const char *say_sentence(pw_arena *arena, const pw_voice *voice, const pw_settings *settings, int32_t sentence);
/* settings as numbered sentences */
void say_settings(pw_document *document, const pw_voice *voice, const pw_settings *settings);
/* what was not given in the sheet, with its reason */
void say_defaults(pw_document *document, const pw_voice *voice, const pw_site *site);
/* what stands on the site: sources, pumps, storages, limits; as facts */
void say_site(pw_document *document, const pw_voice *voice, const pw_site *site);
/* mains power, automatic starts, stored energy, wells, licensed work */
void say_cautions(pw_document *document, const pw_voice *voice);
/* true for an invented site: adds the note */
bool say_invented(pw_document *document, const pw_voice *voice, const pw_site *site);

#endif
