/* Looking things up in a site. */
#include "sheet/site.h"

int32_t pw_site_tank_at(const pw_site *site, int32_t place)
{
    for (int32_t t = 0; t < site->tank_count; t++) {
        if (site->tanks[t].place == place) {
            return t;
        }
    }
    return -1;
}
