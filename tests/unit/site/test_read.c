/* What the reader makes of a sheet that is right: values in SI, references, defaults with reasons, limits of size. */
#include "unit/site/kit.h"
#include "english.h"

/* S2, whatever the kind: no number of a site that was read is a mark of something unknown. */
static void check_numbers(const pw_block *block, const void *item)
{
    for (int32_t i = 0; i < block->row_count; i++) {
        const pw_row *row = &block->rows[i];
        const uint8_t *at = (const uint8_t *)item + row->offset;
        if (row->type == PW_ROW_QUANTITY || row->type == PW_ROW_CLOCK) {
            const pw_field *field = (const pw_field *)at;
            if (!(field->v > -1e30 && field->v < 1e30)) {
                fail_msg("%s: %s is not a number", block->id, row->key);
            }
        } else if (row->type == PW_ROW_GROUP && row->block != &pw_block_trace_file) {
            check_numbers(row->block, at);
        } else if (row->type == PW_ROW_LIST) {
            for (int32_t k = 0; k < pw_int_at(item, row->count_offset); k++) {
                check_numbers(row->block, at + k * row->item_size);
            }
        }
    }
}

static void reads_every_key(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    if (kit_problems.count > 0) {
        kit_print_problems();
    }
    assert_int_equal(kit_problems.count, 0); /* no warning either */
    assert_string_equal(site->name, "full");
    assert_true(site->invented);
    assert_float_equal(site->water_c.v, 16, 1e-12);
    assert_int_equal(site->supply_phases, 3);
    assert_int_equal(site->place_count, 6);
    assert_float_equal(site->places[2].level_m.v, -3, 0);
    assert_true(site->places[3].level_m.given);
    assert_int_equal(site->sources[0].kind, PW_SOURCE_BORE);
    assert_float_equal(site->sources[0].capacity_m2s.v, 14.0 / 60000, 1e-15);
    assert_float_equal(site->sources[0].yield_m3s.v, 70.0 / 60000, 1e-15);
    assert_int_equal(site->sources[1].kind, PW_SOURCE_OPEN);
    assert_int_equal(site->sources[1].place, 2);
    assert_float_equal(site->sources[2].pressure_pa.v, 350e3, 1e-6);
    const pw_pump *pump = &site->pumps[0];
    assert_int_equal(pump->point_count, 3);
    assert_float_equal(pump->curve[2].efficiency.v, 0.5, 0);
    assert_float_equal(pump->curve[1].npsh_m.v, 1.5, 0);
    assert_float_equal(pump->motor.winding_rise_k.v, 70, 0);
    assert_float_equal(pump->motor.heat_time_s.v, 480, 0);
    const pw_demand *demand = site->demands;
    assert_int_equal(demand[0].weekdays, 0x41);
    assert_float_equal(demand[0].at_s.v, 8 * 3600, 0);
    assert_float_equal(demand[0].until_s.v, 18 * 3600, 0);
    assert_true(demand[1].has_pattern);
    assert_int_equal(demand[1].weekdays, 0x7f);
    assert_float_equal(demand[1].duration_cv.v, 1.1, 1e-15);
    assert_float_equal(demand[1].pattern[7], 10, 0);
    assert_int_equal(demand[2].trace_count, 3);
    assert_float_equal(demand[2].trace_s[2], 120.5, 0);
    assert_float_equal(demand[2].trace_m3s[1], 0.2e-3, 1e-18);
    assert_float_equal(demand[2].trace_scale.v, 1.5, 1e-15);
    assert_int_equal(demand[3].kind, PW_DEMAND_HOUSEHOLD);
    assert_int_equal(demand[3].weekdays, 0x7f); /* without it nobody would be there on any day */
    assert_int_equal(site->sentence_count, 2);
    assert_string_equal(site->sentences[1], "stop when pressure above 400 kPa");
    check_numbers(&pw_block_site, site);
}

static void reads_lines_storages_and_sensors(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    const pw_line *line = site->lines;
    assert_string_equal(line[0].name, "shed-house");
    assert_true(line[0].bore_m.v > 0.024 && line[0].bore_m.v < 0.028);
    assert_int_equal(line[0].fitting_count, 1);
    assert_int_equal(line[0].fittings[0].count, 5);
    assert_float_equal(line[0].rough_m.v, 1e-5, 1e-18);
    assert_int_equal(line[1].friction, PW_FRICTION_HAZEN);
    assert_true(line[1].non_return);
    assert_float_equal(line[1].modulus_pa.v, 3e9, 1);
    assert_float_equal(line[1].open.v, 0.8, 1e-15);
    assert_float_equal(site->vessels[0].volume_m3.v, 0.1, 1e-15);
    assert_true(site->tanks[0].float_valve);
    assert_float_equal(site->tanks[0].band_m.v, 0.15, 1e-15);
    const pw_sensor *sensor = site->sensors;
    assert_int_equal(sensor[0].place, 1);
    assert_int_equal(sensor[0].line, -1);
    assert_int_equal(sensor[1].pump, 0);
    assert_int_equal(sensor[1].place, -1);
    assert_int_equal(sensor[2].line, 0);
    assert_float_equal(sensor[3].error.v, 0.02, 1e-15);
    assert_float_equal(sensor[4].probe_m.v, 2, 0);
    assert_int_equal(sensor[5].window_count, 2);
    assert_int_equal(sensor[5].window_to_s[0], 86400);
    assert_int_equal(sensor[5].window_to_s[1], 6 * 3600 + 1800);
}

/* A sheet that states everything has no defaults left but those of kinds of pipe that matter. */
static void full_sheet_has_no_defaults(void **state)
{
    (void)state;
    const pw_site *site = kit_read_ok(full_sheet);
    for (int32_t i = 0; i < site->default_count; i++) {
        print_message("default at %s\n", site->defaults[i].path);
    }
    assert_int_equal(site->default_count, 0);
}

typedef struct wanted {
    const char *path;
    double si;
} wanted;

static void lists_every_default(void **state)
{
    (void)state;
    const double amps = 1100 / (230 * 0.9 * 0.68); /* P / (V pf eff) */
    const wanted list[] = {
        {"invented", 0},
        {"water", 15},
        {"altitude", 0},
        {"supply.voltage", 230},
        {"supply.phases", 1},
        {"supply.frequency", 50},
        {"sources[0].yield", 14.0 / 60000 * 24},
        {"sources[0].casing", 0.1},
        {"pumps[0].speed", 1},
        {"pumps[0].non-return valve", 1},
        {"pumps[0].motor.voltage", 230},
        {"pumps[0].motor.phases", 1},
        {"pumps[0].motor.efficiency", 0.68},
        {"pumps[0].motor.power factor", 0.9},
        {"pumps[0].motor.full-load current", amps},
        {"pumps[0].motor.locked-rotor current", 5 * amps},
        {"pumps[0].motor.service factor", 1.05},
        {"pumps[0].motor.heating time", 600},
        {"pumps[0].motor.cooling time", 1200},
        {"pumps[0].motor.starting time", 0.5},
        {"pumps[0].motor.winding limit", 155},
        {"pumps[0].motor.winding rise", 80},
        {"outlets[0].needs", 1e5},
        {"limits.starts per hour", 20},
        {"limits.dry running", 60},
        {"limits.highest pressure", 1e6},
        {"limits.lowest pressure", 5e4},
    };
    const int32_t count = sizeof list / sizeof list[0];
    const pw_site *site = kit_read_ok(least_sheet);
    assert_int_equal(kit_problems.count, 0);
    assert_int_equal(site->default_count, count);
    check_numbers(&pw_block_site, site);
    for (int32_t i = 0; i < count; i++) {
        assert_string_equal(site->defaults[i].path, list[i].path);
        assert_float_equal(site->defaults[i].si, list[i].si, 1e-9 * (1 + list[i].si));
        assert_non_null(site->defaults[i].reason);
        assert_true(strlen(site->defaults[i].reason) > 10);
    }
    assert_false(site->pumps[0].motor.full_load_a.given);
    assert_float_equal(site->pumps[0].motor.full_load_a.v, amps, 1e-9);
    assert_true(site->pumps[0].non_return);
}

static void defaults_follow_what_is_given(void **state)
{
    (void)state;
    /* three-phase motor: the supply follows the motor, the other motor figures follow both */
    const char *three = kit_edit(least_sheet, "\"power\":\"1.1 kW\"", "\"power\":\"4 kW\",\"phases\":3");
    const pw_site *site = kit_read_ok(three);
    assert_int_equal(site->supply_phases, 3);
    assert_float_equal(site->supply_v.v, 400, 0);
    assert_float_equal(site->pumps[0].motor.voltage_v.v, 400, 0);
    assert_float_equal(site->pumps[0].motor.efficiency.v, 0.80, 1e-12);
    assert_float_equal(site->pumps[0].motor.full_load_a.v, 4000 / (1.7320508075688772 * 400 * 0.8 * 0.8), 1e-9);
    assert_float_equal(site->pumps[0].motor.locked_rotor_a.v, 6 * site->pumps[0].motor.full_load_a.v, 1e-9);
    /* DC needs its voltage stated */
    assert_null(kit_read(kit_edit(least_sheet, "\"power\":\"1.1 kW\"", "\"power\":\"1.1 kW\",\"phases\":\"DC\"")));
    assert_non_null(kit_problem_at("supply.voltage"));
    site = kit_read_ok(
        kit_edit(least_sheet, "\"power\":\"1.1 kW\"", "\"power\":\"1.1 kW\",\"phases\":\"DC\",\"voltage\":\"96 V\""));
    assert_float_equal(site->supply_v.v, 96, 0);
    assert_float_equal(site->pumps[0].motor.power_factor.v, 1, 0);
    /* a cooling time follows a stated heating time */
    site =
        kit_read_ok(kit_edit(least_sheet, "\"power\":\"1.1 kW\"", "\"power\":\"1.1 kW\",\"heating time\":\"3 min\""));
    assert_float_equal(site->pumps[0].motor.cool_time_s.v, 360, 0);
}

/* What was worked out must be possible as well; figures of motors hold their ends outside the table. */
static void worked_out_values_are_checked(void **state)
{
    (void)state;
    assert_null(kit_read(kit_edit(least_sheet, "14 L/min per m", "1 m2/s")));
    assert_int_equal(kit_problem_at("sources[0].yield")->status, PW_RANGE);
    assert_non_null(strstr(english(&kit_problem_at("sources[0].yield")->found), "worked out"));
    assert_int_equal(kit_problems.errors, 1);
    const pw_site *site = kit_read_ok(
        kit_edit(least_sheet, "\"power\":\"1.1 kW\"", "\"power\":\"50 W\",\"phases\":\"DC\",\"voltage\":\"24 V\""));
    assert_float_equal(site->pumps[0].motor.efficiency.v, 0.70, 0);
    site = kit_read_ok(kit_edit(least_sheet, "\"power\":\"1.1 kW\"", "\"power\":\"90 kW\",\"phases\":3"));
    assert_float_equal(site->pumps[0].motor.efficiency.v, 0.88, 0);
    /* between two rows of the table, straight in the logarithm of power: sqrt(1100 * 1500) is half way */
    site = kit_read_ok(kit_edit(least_sheet, "\"power\":\"1.1 kW\"", "\"power\":\"1284.5232578665129 W\""));
    assert_float_equal(site->pumps[0].motor.efficiency.v, 0.695, 1e-12);
}

static void tank_defaults_follow(void **state)
{
    (void)state;
    const char *tank = kit_edit(least_sheet, "\"outlets\":",
                                "\"tanks\":[{\"name\":\"t\",\"at\":\"shed\",\"area\":\"1 m2\",\"depth\":\"2 m\","
                                "\"float valve\":{\"bore\":\"12 mm\"}}],\"outlets\":");
    const pw_site *site = kit_read_ok(tank);
    assert_float_equal(site->tanks[0].closes_m.v, 1.9, 1e-12);
    assert_float_equal(site->tanks[0].start_m.v, 1.9, 1e-12);
    assert_float_equal(site->tanks[0].inlet_m.v, 2, 0);
    assert_non_null(kit_default(site, "tanks[0].float valve.closes at"));
    site = kit_read_ok(kit_edit(tank, "\"depth\":\"2 m\",\"float valve\":{\"bore\":\"12 mm\"}", "\"depth\":\"2 m\""));
    assert_false(site->tanks[0].float_valve);
    assert_float_equal(site->tanks[0].start_m.v, 2, 0);
    check_numbers(&pw_block_site, site);
    assert_null(kit_default(site, "tanks[0].float valve.closes at"));
}

static void switch_bore_follows_the_line(void **state)
{
    (void)state;
    const char *at_line = kit_edit(full_sheet, "\"line\":\"shed-house\",\"bore\":\"26 mm\"", "\"line\":\"shed-house\"");
    const pw_site *site = kit_read_ok(at_line);
    assert_float_equal(site->sensors[2].bore_m.v, site->lines[0].bore_m.v, 0);
    assert_int_equal(site->default_count, 1);
    /* two lines leave the pump's outlet: which of them is not known */
    assert_null(kit_read(kit_edit(full_sheet, "\"pump\":\"pump\",\"bore\":\"32 mm\"", "\"pump\":\"pump\"")));
    assert_int_equal(kit_problem_at("sensors[1].bore")->status, PW_MISSING);
}

/* body with its first %d made a, its second b, its third c. */
static void put_numbers(char *out, size_t size, const char *body, int32_t a, int32_t b, int32_t c)
{
    const int32_t numbers[3] = {a, b, c};
    int32_t used = 0;
    size_t length = 0;
    while (*body != '\0' && length + 16 < size) {
        if (body[0] == '%' && body[1] == 'd') {
            length += (size_t)snprintf(out + length, size - length, "%d", (int)numbers[used++ % 3]);
            body += 2;
        } else {
            out[length++] = *body++;
        }
    }
    out[length] = '\0';
}

static void put_many(pw_json_writer *w, const char *list, int32_t count, const char *body)
{
    char item[1024];
    pw_json_open(w, list, '[');
    for (int32_t i = 0; i < count; i++) {
        put_numbers(item, sizeof item, body, i, i % PW_MAX_PLACES, (i + 1) % PW_MAX_PLACES);
        pw_json_value(w, NULL, kit_json(item));
    }
    pw_json_close(w, ']');
}

/* The largest site fits, with all its defaults listed; one more of anything is refused. */
static void largest_site_fits(void **state)
{
    (void)state;
    kit_begin();
    pw_text text;
    pw_text_init(&text, &kit_arena);
    pw_json_writer w;
    pw_json_writer_init(&w, &text, 0);
    pw_json_open(&w, NULL, '{');
    pw_json_string(&w, "site", "largest");
    put_many(&w, "places", PW_MAX_PLACES, "{\"name\":\"p%d\",\"level\":\"1 m\"}");
    put_many(&w, "sources", PW_MAX_SOURCES,
             "{\"name\":\"s%d\",\"at\":\"p%d\",\"kind\":\"bore\",\"standing water level\":\"5 m\","
             "\"specific capacity\":\"10 L/min per m\",\"intake\":\"20 m\"}");
    put_many(&w, "pumps", PW_MAX_PUMPS,
             "{\"name\":\"u%d\",\"from\":\"p%d\",\"to\":\"p%d\",\"curve\":[{\"flow\":0,\"head\":\"80 m\"},"
             "{\"flow\":\"30 L/min\",\"head\":\"70 m\",\"efficiency\":0.4},{\"flow\":\"60 L/min\",\"head\":\"40 m\","
             "\"efficiency\":0.4}],\"motor\":{\"power\":\"1.1 kW\"}}");
    put_many(&w, "lines", PW_MAX_LINES,
             "{\"name\":\"l%d\",\"from\":\"p%d\",\"to\":\"p%d\",\"bore\":\"40 mm\",\"friction\":\"Hazen-Williams\","
             "\"length\":\"9 m\"}");
    pw_json_open(&w, "vessels", '[');
    for (int32_t i = 0; i < PW_MAX_VESSELS; i++) {
        char item[256];
        snprintf(item, sizeof item, "{\"name\":\"v%d\",\"at\":\"p%d\",\"volume\":\"100 L\",\"precharge\":\"1 bar\"}",
                 (int)i, (int)i + 10);
        pw_json_value(&w, NULL, kit_json(item));
    }
    pw_json_close(&w, ']');
    pw_json_open(&w, "tanks", '[');
    for (int32_t i = 0; i < PW_MAX_TANKS; i++) {
        char item[256];
        snprintf(item, sizeof item,
                 "{\"name\":\"t%d\",\"at\":\"p%d\",\"area\":\"1 m2\",\"depth\":\"1 m\",\"float valve\":{\"bore\":\"12 "
                 "mm\"}}",
                 (int)i, (int)i + 20);
        pw_json_value(&w, NULL, kit_json(item));
    }
    pw_json_close(&w, ']');
    put_many(&w, "outlets", PW_MAX_OUTLETS, "{\"name\":\"o%d\",\"at\":\"p%d\"}");
    put_many(&w, "sensors", PW_MAX_SENSORS, "{\"name\":\"x%d\",\"kind\":\"pressure\",\"at\":\"p%d\"}");
    put_many(&w, "demand", PW_MAX_DEMANDS,
             "{\"outlet\":\"o1\",\"kind\":\"random\",\"flow\":\"9%d L/h\",\"for\":\"9 s\",\"per day\":9}");
    put_many(&w, "settings", PW_MAX_SENTENCES, "\"sentence %d\"");
    pw_json_close(&w, '}');
    assert_false(text.failed);
    pw_site *site = NULL;
    pw_status status = pw_site_read(&kit_arena, kit_json(text.data), "", &site, &kit_problems);
    kit_print_problems();
    assert_int_equal(status, PW_OK);
    print_message("defaults of the largest site: %d of %d\n", (int)site->default_count, PW_MAX_DEFAULTS);
    check_numbers(&pw_block_site, site);
    assert_in_range(site->default_count, 900, PW_MAX_DEFAULTS - 100);
}

static void refuses_one_too_many(void **state)
{
    (void)state;
    char outlets[8192] = "\"outlets\":[";
    for (int i = 0; i <= PW_MAX_OUTLETS; i++) {
        char item[64];
        snprintf(item, sizeof item, "%s{\"name\":\"o%d\",\"at\":\"shed\"}", i > 0 ? "," : "", i);
        strcat(outlets, item);
    }
    strcat(outlets, "]");
    assert_null(kit_read(kit_edit(least_sheet, "\"outlets\":[{\"name\":\"tap\",\"at\":\"shed\"}]", outlets)));
    assert_int_equal(kit_problem_at("outlets")->status, PW_LIMIT);
}

/* Any lack of memory ends with a status: an arena of every size up to what is needed. */
static void survives_small_arenas(void **state)
{
    (void)state;
    kit_begin();
    const pw_json *json = kit_json(full_sheet);
    static uint8_t block[2u << 20];
    int32_t refused = 0;
    bool done = false;
    for (size_t size = 0; size < sizeof block && !done;
         size = size + 9973 < sizeof(pw_site) ? size + 9973 : size + 16) {
        pw_arena arena;
        pw_arena_init(&arena, block, size);
        pw_site *site = NULL;
        pw_problems problems = {0};
        pw_status status = pw_site_read(&arena, json, "site", &site, &problems);
        assert_true(status == PW_OK || status == PW_MEMORY);
        assert_int_equal(status == PW_OK, site != NULL);
        refused += status != PW_OK;
        done = status == PW_OK;
    }
    assert_true(done);
    assert_true(refused > 10);
}

static void works_without_a_problem_list(void **state)
{
    (void)state;
    kit_begin();
    pw_site *site = NULL;
    assert_int_equal(pw_site_read(&kit_arena, kit_json("{}"), NULL, &site, NULL), PW_MISSING);
    assert_null(site);
    assert_int_equal(pw_site_read(&kit_arena, NULL, "site", &site, NULL), PW_MISSING);
    assert_int_equal(pw_site_read(&kit_arena, kit_json("[]"), "site", &site, NULL), PW_TYPE);
    assert_int_equal(pw_site_read(&kit_arena, kit_json(least_sheet), "site", &site, NULL), PW_OK);
    assert_non_null(kit_default(site, "site.water")); /* the base path stands before every path */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_every_key),
        cmocka_unit_test(reads_lines_storages_and_sensors),
        cmocka_unit_test(full_sheet_has_no_defaults),
        cmocka_unit_test(lists_every_default),
        cmocka_unit_test(defaults_follow_what_is_given),
        cmocka_unit_test(worked_out_values_are_checked),
        cmocka_unit_test(tank_defaults_follow),
        cmocka_unit_test(switch_bore_follows_the_line),
        cmocka_unit_test(largest_site_fits),
        cmocka_unit_test(refuses_one_too_many),
        cmocka_unit_test(survives_small_arenas),
        cmocka_unit_test(works_without_a_problem_list),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
