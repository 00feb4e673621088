/* The forms of conditions, by kind. */
#include "control/parts.h"

static const pw_term_form *const forms[PW_TERM_COUNT] = {
#define PW_FORM(name) &pw_form_##name,
#include "control/forms.inc"
#undef PW_FORM
};

_Static_assert((int)PW_TERM_PRESSURE == (int)PW_SIGNAL_PRESSURE && (int)PW_TERM_DROP == (int)PW_SIGNAL_DROP,
               "the first forms are the kinds of signals");

const pw_term_form *pw_form_of(uint8_t kind)
{
    return forms[kind];
}
