/* Looking things up in a site, and telling them. */
#include "site/site.h"

int32_t pw_site_tank_at(const pw_site *site, int32_t place)
{
    for (int32_t t = 0; t < site->tank_count; t++) {
        if (site->tanks[t].place == place) {
            return t;
        }
    }
    return -1;
}

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
