/* "habits": the home behind each measured trace of a site, as a demand of kind household that a sheet takes. */
#include "door/inside.h"
#include "sim/habits.h"

/* A record of fine steps has many short ones between its changes; a coarse one only where its clock slipped. */
static double step_of(const pw_demand *demand)
{
    int32_t fine = 0;
    for (int32_t i = 0; i + 1 < demand->trace_count; i++) {
        fine += demand->trace_s[i + 1] - demand->trace_s[i] <= PW_FINE_STEP_S ? 1 : 0;
    }
    return 4 * fine >= demand->trace_count ? 0.0 : 2.0 * PW_FINE_STEP_S;
}

static void put_known(door *d, const char *key, pw_dimension dimension, pw_field field)
{
    if (field.given) {
        door_put_quantity(d, key, dimension, field.v);
    }
}

static void put_household(door *d, const pw_site *site, const pw_demand *home)
{
    const pw_habits *h = &home->habits;
    pw_json_open(d->answer, "household", '{');
    pw_json_string(d->answer, "outlet", site->outlets[home->outlet].name);
    pw_json_string(d->answer, "kind", "household");
    door_put_number(d, "people", h->people.v);
    put_known(d, "daily", PW_DIM_VOLUME, h->daily_m3);
    put_known(d, "day spread", PW_DIM_FRACTION, h->day_cv);
    put_known(d, "weekend", PW_DIM_FRACTION, h->weekend);
    put_known(d, "season", PW_DIM_FRACTION, h->season);
    put_known(d, "away", PW_DIM_FRACTION, h->away);
    put_known(d, "away for", PW_DIM_TIME, h->away_s);
    if (h->long_per_year.given) {
        door_put_number(d, "long draws", h->long_per_year.v);
    }
    put_known(d, "long flow", PW_DIM_FLOW, h->long_m3s);
    put_known(d, "long for", PW_DIM_TIME, h->long_s);
    pw_json_close(d->answer, '}');
}

pw_status door_habits(door *d)
{
    const pw_site *site = door_site(d);
    if (site == NULL || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_flow_record *record = PW_NEW(d->arena, 1, pw_flow_record);
    if (record == NULL) {
        return PW_MEMORY;
    }
    pw_json_string(d->answer, "name", site->name);
    pw_json_open(d->answer, "homes", '[');
    int32_t homes = 0;
    for (int32_t i = 0; i < site->demand_count; i++) {
        const pw_demand *demand = &site->demands[i];
        pw_demand home = {.outlet = demand->outlet};
        if (demand->kind != PW_DEMAND_TRACE || demand->trace_count < 2) {
            continue;
        }
        pw_record_begin(-1, step_of(demand), record);
        pw_record_trace(record, demand->trace_s, demand->trace_m3s, demand->trace_count);
        if (pw_habits_fit(record, &home)) {
            homes++;
            pw_json_open(d->answer, NULL, '{');
            pw_json_int(d->answer, "demand", i);
            pw_json_int(d->answer, "days", record->days);
            put_household(d, site, &home);
            pw_json_close(d->answer, '}');
        }
    }
    pw_json_close(d->answer, ']');
    if (homes == 0) {
        pw_warning_tell(d->problems, PW_MISSING, "site.demands", pw_fact_of("door.no-trace"),
                        pw_fact_of("door.wants-trace"), pw_no_fact());
    }
    return PW_OK;
}
