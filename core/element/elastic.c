#include "element/elastic.h"

#include "base/num.h"
#include "formula/friction.h"
#include "formula/surge.h"

pw_elastic pw_elastic_of(const pw_site *site, const pw_water *water)
{
    pw_elastic whole = {0.0, 0.0};
    for (int32_t i = 0; i < site->line_count; i++) {
        const pw_line *line = &site->lines[i];
        const double wave = pw_wave_speed_ms(water, line->bore_m.v, line->wall_m.v, line->modulus_pa.v, 1.0);
        const double volume = pw_bore_area_m2(line->bore_m.v) * line->length_m.v;
        whole.holds_m3 += volume;
        whole.give_m3pa += volume / (water->density_kgm3 * wave * wave);
    }
    return whole;
}

pw_elastic pw_elastic_part(const pw_elastic *whole, int32_t parts)
{
    return (pw_elastic){pw_max(whole->give_m3pa / parts, 1e-9), pw_max(whole->holds_m3 / parts, 1e-3)};
}

/* In proportion above 0; below, the column tears and the pressure nears PW_TORN_PA while its pipes run empty; once they
 * are, it falls on, so that no more comes out of nothing. */
double pw_elastic_pa(const pw_elastic *main, double volume_m3)
{
    if (volume_m3 >= 0.0) {
        return volume_m3 / main->give_m3pa;
    }
    const double beyond = pw_min(volume_m3 + main->holds_m3, 0.0);
    return PW_TORN_PA * (1.0 - pw_exp(volume_m3 / (main->give_m3pa * -PW_TORN_PA))) + beyond / main->give_m3pa;
}

double pw_elastic_m3(const pw_elastic *main, double gauge_pa)
{
    return main->give_m3pa * gauge_pa;
}
