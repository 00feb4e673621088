/* A program of your own on the library: a day of a healthy site, then one more day in which a copy has a leak.
 *
 *   cc library.c $(pkg-config --cflags --libs pumpwright) && ./a.out [site.yaml]
 *
 * The farmhouse below is invented. docs/library.md says more. */
#include <pumpwright.h>
#include <stdio.h>
#include <string.h>

static const char farmhouse[] =
    "{site: Farmhouse, invented: yes,\n"
    " places: [{name: dam, level: 0 m}, {name: shed, level: 3 m}],\n"
    " sources: [{name: dam, at: dam, kind: open, standing water level: 0.5 m, intake: 2 m}],\n"
    " pumps: [{name: pump, from: dam, to: shed, motor: {power: 0.75 kW, phases: 1, voltage: 230 V},\n"
    "   curve: [{flow: 0 L/min, head: 52 m, efficiency: 0 %}, {flow: 30 L/min, head: 45 m, efficiency: 45 %},\n"
    "           {flow: 60 L/min, head: 24 m, efficiency: 38 %}]}],\n"
    " vessels: [{name: vessel, at: shed, volume: 60 L, precharge: 180 kPa}],\n"
    " outlets: [{name: taps, at: shed, needs: 100 kPa}],\n"
    " sensors: [{name: pressure, kind: pressure, at: shed, from: 0 kPa, to: 1000 kPa}],\n"
    " demand: [{outlet: taps, flow: 12 L/min, for: 5 min, at: 07:00, every: 2 h, until: 21:00}],\n"
    " settings: [start when pressure below 200 kPa, stop when pressure above 350 kPa,\n"
    "            lock out when running for 20 min]}\n";

static int complain(pumpwright_problems *problems)
{
    pumpwright_problem one;
    for (int32_t i = 0; pumpwright_problems_at(problems, i, &one); i++) {
        fprintf(stderr, "line %d, column %d: %s\n", (int)one.line, (int)one.column, one.words);
    }
    pumpwright_problems_free(problems);
    return 1;
}

static void tell(const char *what, const pumpwright_simulation *simulation)
{
    pumpwright_totals all;
    pumpwright_simulation_totals(simulation, &all);
    printf("%-8s  delivered %.3f m3, leaked %.3f m3, %.2f kWh, %d starts, %d lock outs\n", what, all.delivered_m3,
           all.leaked_m3, all.energy_j / 3.6e6, (int)all.starts, (int)all.lock_outs);
}

int main(int count, char **arguments)
{
    const int64_t hour_ms = 3600000, day_ms = 24 * hour_ms;
    pumpwright_problems *problems = NULL;
    pumpwright_sheet *sheet = count > 1 ? pumpwright_sheet_read(arguments[1], &problems)
                                        : pumpwright_sheet_take(farmhouse, strlen(farmhouse), "farmhouse", &problems);
    pumpwright_site *site = sheet ? pumpwright_site_read(sheet, &problems) : NULL;
    pumpwright_simulation *healthy = site ? pumpwright_simulation_create(site, 1, &problems) : NULL;
    if (!healthy || !pumpwright_simulation_advance(healthy, day_ms, &problems)) {
        return complain(problems);
    }

    pumpwright_simulation *broken = pumpwright_simulation_copy(healthy);
    if (!broken || !pumpwright_simulation_befall(broken, "burst", "20 L/min", NULL, 34 * hour_ms, &problems) ||
        !pumpwright_simulation_advance(broken, 2 * day_ms, &problems) ||
        !pumpwright_simulation_advance(healthy, 2 * day_ms, &problems)) {
        return complain(problems);
    }
    printf("%s, after two days:\n", pumpwright_site_name(site));
    tell("healthy", healthy);
    tell("burst", broken);

    pumpwright_simulation_free(broken);
    pumpwright_simulation_free(healthy);
    pumpwright_site_free(site);
    pumpwright_sheet_free(sheet);
    return 0;
}
