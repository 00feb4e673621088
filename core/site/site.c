/* Telling what a site took as given. */
#include "site/site.h"

void pw_default_put(const pw_default *taken, const pw_units *units, pw_text *text)
{
    if (taken->truth) {
        pw_text_put(text, taken->si != 0.0 ? "yes" : "no");
    } else if (taken->clock) {
        pw_time_of_day_put(text, (uint32_t)taken->si);
    } else {
        pw_quantity_put(text, units, taken->dimension, taken->si);
    }
}
