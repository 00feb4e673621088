/* Small words that any area may need, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"base.and", " and "},       {"base.friday", "Friday"},
    {"base.hour", "hour"},       {"base.monday", "Monday"},
    {"base.no", "no"},           {"base.or", " or "},
    {"base.per", "per"},         {"base.saturday", "Saturday"},
    {"base.sunday", "Sunday"},   {"base.thursday", "Thursday"},
    {"base.tuesday", "Tuesday"}, {"base.unknown", "unknown"},
    {"base.value", "{0}"},       {"base.wednesday", "Wednesday"},
    {"base.yes", "yes"},
};
/* clang-format on */

SAY_CATALOGUE(say_en_base)
