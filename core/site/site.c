/* Telling what a site took as given. */
#include "site/site.h"

pw_fact pw_default_fact(const pw_default *taken)
{
    if (taken->truth) {
        return pw_fact_of(taken->si != 0.0 ? "base.yes" : "base.no");
    }
    return pw_fact_of("base.value",
                      taken->clock ? pw_clock((int64_t)taken->si) : pw_quantity(taken->dimension, taken->si));
}
