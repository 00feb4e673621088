/* Sizing, in English. */
#include "say/catalogue.h"

static const say_row rows[] = {
    {"size.curve-with-power", "a curve that says the pump's power"},
    {"size.cut-in-for-vessel", "a cut-in for the pressure vessel"},
    {"size.no-cut-in-sentence", "no sentence that starts at a pressure"},
};

SAY_CATALOGUE(say_en_size)
