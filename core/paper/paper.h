/* Papers: the documents for people, made from results. Language and units as the person chose.
 * Every function: PW_OK, or PW_MEMORY when the arena is used up (then *out is NULL). Inputs must outlive the document.
 */
#ifndef PW_PAPER_PAPER_H
#define PW_PAPER_PAPER_H

#include "base/units.h"
#include "study/prove.h"
#include "paper/document.h"
#include "sim/run.h"
#include "say/say.h"

/* The proof: headline, site, order, faults, false stops, blind bands, limits in numbers, what the order cannot see,
 * defaults, cautions. */
pw_status pw_paper_proof(pw_arena *arena, const pw_proof *proof, const pw_voice *voice, pw_document **out);

/* The verdict alone: what stands first in the proof, for one screen. */
pw_status pw_paper_brief(pw_arena *arena, const pw_proof *proof, const pw_voice *voice, pw_document **out);

/* The day book of one run in words, with totals and plots (when the run kept samples). */
pw_status pw_paper_day(pw_arena *arena, const pw_plant *plant, const pw_daybook *daybook, const pw_voice *voice,
                       pw_document **out);

/* Those plots as one picture that stands by itself, under the site's name and what happens ("": nothing): an SVG
 * document. Without samples it is only those. */
pw_status pw_paper_day_svg(pw_arena *arena, const pw_plant *plant, const pw_daybook *daybook, const char *what,
                           const pw_voice *voice, pw_text *out);

/* Where a duty was looked for: at a pressure of the pump's settings, with no back pressure, at one asked for, or,
 * where no vessel hangs on the pump, as it works. */
typedef enum pw_duty_at { PW_DUTY_CUT_IN, PW_DUTY_CUT_OUT, PW_DUTY_FREE, PW_DUTY_HELD, PW_DUTY_WORK } pw_duty_at;

/* Duty of pumps: one row for each. pressure_pa: at which the vessel is held (see pw_model_duty). */
typedef struct pw_duty_row {
    int32_t pump;
    double pressure_pa;
    pw_duty_at at;
    pw_duty duty;
} pw_duty_row;
/* "at cut-in", "at 300 kPa" */
pw_fact pw_duty_at_fact(const pw_duty_row *row);
pw_status pw_paper_duty(pw_arena *arena, const pw_plant *plant, const pw_duty_row *rows, int32_t row_count,
                        const pw_voice *voice, pw_document **out);

/* What reading a site sheet found. site NULL: it could not be read; order NULL likewise. name: of the sheet, for the
 * title. */
pw_status pw_paper_check(pw_arena *arena, const char *name, const pw_site *site, const pw_settings *settings,
                         const pw_problems *problems, const pw_voice *voice, pw_document **out);

#endif
