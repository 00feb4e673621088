#include "element/elastic.h"

#include "base/num.h"
#include "formula/friction.h"
#include "formula/surge.h"

pw_elastic pw_elastic_of(const pw_site *site, const pw_water *water, double torn_pa)
{
    pw_elastic whole = {.torn_pa = torn_pa};
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
    return (pw_elastic){.give_m3pa = pw_max(whole->give_m3pa / parts, 1e-9),
                        .holds_m3 = pw_max(whole->holds_m3 / parts, 1e-3),
                        .torn_pa = whole->torn_pa};
}

/* The column at a filling below full: between two of its steps, in proportion. */
static double column_pa(const pw_elastic *main, double volume_m3)
{
    const double step_pa = main->column.top_pa / PW_COLUMN_PARTS;
    double below_m3 = -main->column.out_m3[0];
    if (volume_m3 <= below_m3) { /* empty: no more comes out */
        return (volume_m3 - below_m3) / main->give_m3pa;
    }
    for (int32_t i = 1; i <= PW_COLUMN_PARTS; i++) {
        const double above_m3 = main->give_m3pa * step_pa * (double)i - main->column.out_m3[i];
        if (volume_m3 <= above_m3) {
            return step_pa * ((double)(i - 1) + (volume_m3 - below_m3) / (above_m3 - below_m3));
        }
        below_m3 = above_m3;
    }
    return volume_m3 / main->give_m3pa;
}

bool pw_elastic_drained(const pw_elastic *main, double volume_m3)
{
    return main->column.top_pa > 0.0 && volume_m3 < main->give_m3pa * main->column.top_pa;
}

/* Torn, the last millionth of the pressure of vapour is reached as the pipes have run empty: a pressure still belongs
 * to one content (own choice). */
#define TORN_REST 1e-6

/* In proportion above 0; below, the column tears and the pressure nears that of vapour while its pipes run empty; once
 * they are, it falls on, so that no more comes out of nothing. */
double pw_elastic_pa(const pw_elastic *main, double volume_m3)
{
    if (pw_elastic_drained(main, volume_m3)) {
        return column_pa(main, volume_m3);
    }
    if (volume_m3 >= 0.0) {
        return volume_m3 / main->give_m3pa;
    }
    const double beyond = pw_min(volume_m3 + main->holds_m3, 0.0);
    const double emptied = pw_min(-volume_m3 / main->holds_m3, 1.0);
    return main->torn_pa * ((1.0 - TORN_REST) * (1.0 - pw_exp(volume_m3 / (main->give_m3pa * -main->torn_pa))) +
                            TORN_REST * emptied) +
           beyond / main->give_m3pa;
}

double pw_elastic_m3(const pw_elastic *main, double gauge_pa)
{
    const double stretch_m3 = main->give_m3pa * gauge_pa;
    if (!(main->column.top_pa > 0.0) || gauge_pa >= main->column.top_pa) {
        return stretch_m3;
    }
    const double steps = pw_max(gauge_pa, 0.0) / main->column.top_pa * PW_COLUMN_PARTS;
    const int32_t i = (int32_t)pw_min(steps, PW_COLUMN_PARTS - 1);
    const double *out = &main->column.out_m3[i];
    return stretch_m3 - (out[0] + (out[1] - out[0]) * (steps - (double)i));
}

/* A torn column by Newton: its pressure falls ever more slowly as it empties, so that each step from the full end falls
 * short and none leads beyond. */
static double torn_m3(const pw_elastic *main, double gauge_pa, double *rises)
{
    enum { STEPS = 200 };
    const double soft_m3 = main->give_m3pa * -main->torn_pa;
    double volume_m3 = 0.0;
    for (int32_t i = 0; i < STEPS; i++) {
        const double slope =
            -main->torn_pa * ((1.0 - TORN_REST) * pw_exp(volume_m3 / soft_m3) / soft_m3 + TORN_REST / main->holds_m3);
        const double step_m3 = (pw_elastic_pa(main, volume_m3) - gauge_pa) / slope;
        *rises = 1.0 / slope;
        volume_m3 -= step_m3;
        if (step_m3 <= 1e-15 * -volume_m3) {
            break;
        }
    }
    return volume_m3;
}

double pw_elastic_filled_m3(const pw_elastic *main, double gauge_pa, double *rises)
{
    const double top_pa = main->column.top_pa;
    const double emptied_pa =
        main->torn_pa * (1.0 - (1.0 - TORN_REST) * pw_exp(-main->holds_m3 / (main->give_m3pa * -main->torn_pa)));
    *rises = main->give_m3pa;
    if (top_pa > 0.0) {
        if (gauge_pa >= 0.0 && gauge_pa < top_pa) {
            const int32_t i = (int32_t)pw_min(gauge_pa / top_pa * PW_COLUMN_PARTS, PW_COLUMN_PARTS - 1);
            *rises += (main->column.out_m3[i] - main->column.out_m3[i + 1]) / (top_pa / PW_COLUMN_PARTS);
        }
        return pw_elastic_m3(main, gauge_pa);
    }
    if (gauge_pa >= 0.0) {
        return main->give_m3pa * gauge_pa;
    }
    if (gauge_pa <= emptied_pa) {
        return main->give_m3pa * (gauge_pa - emptied_pa) - main->holds_m3;
    }
    return torn_m3(main, gauge_pa, rises);
}
