/* Catalogues that the first module does without: all of German, and the English of what it is never asked. */
#include "say/catalogue.h"

#define SAY_X(area) const say_catalogue say_de_##area = {NULL, 0};
SAY_AREAS(SAY_X)
#undef SAY_X
const say_catalogue say_german_rows = {NULL, 0};
const say_catalogue say_german_help = {NULL, 0};
const say_catalogue say_german_formulas = {NULL, 0};
const say_catalogue say_german_inputs = {NULL, 0};

const say_catalogue say_en_book = {NULL, 0};
const say_catalogue say_en_cli = {NULL, 0};
const say_catalogue say_en_fit = {NULL, 0};
const say_catalogue say_en_handover = {NULL, 0};
const say_catalogue say_en_log = {NULL, 0};
const say_catalogue say_en_server = {NULL, 0};
