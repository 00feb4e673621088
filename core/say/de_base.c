/* Small words that any area may need, in German. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"base.and", " und "},        {"base.friday", "Freitag"},
    {"base.hour", "Stunde"},      {"base.monday", "Montag"},
    {"base.no", "nein"},          {"base.or", " oder "},
    {"base.per", "je"},           {"base.saturday", "Samstag"},
    {"base.sunday", "Sonntag"},   {"base.thursday", "Donnerstag"},
    {"base.tuesday", "Dienstag"}, {"base.unknown", "unbekannt"},
    {"base.value", "{0}"},        {"base.wednesday", "Mittwoch"},
    {"base.yes", "ja"},
};
/* clang-format on */

SAY_CATALOGUE(say_de_base)
