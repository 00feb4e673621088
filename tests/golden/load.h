/* What the tests of this folder share: a site of examples/ read and built, in an arena of its own. */
#ifndef PW_TESTS_GOLDEN_LOAD_H
#define PW_TESTS_GOLDEN_LOAD_H

#include "adapt/csv_sheet.h"
#include "adapt/files.h"
#include "adapt/yaml.h"
#include "run_kit.h"
#include "english.h"

/* The sheet of examples/NAME.yaml, with its measured traces. */
static inline void golden_load(kit *k, const char *name)
{
    char path[512];
    size_t length = 0;
    const char *why = "";
    const pw_json *tree = NULL;
    pw_yaml_map map;
    pw_text json, filled;
    snprintf(path, sizeof path, "%s/examples/%s.yaml", PW_SOURCE_DIR, name);
    char *text = pw_file_read(path, PW_MAX_INPUT, &length, &why);
    assert_non_null(text);
    kit_open(k, (size_t)192 << 20);
    assert_int_equal(pw_yaml_to_json(&k->arena, text, length, &json, &map, &k->problems), PW_OK);
    assert_int_equal(pw_json_read(&k->arena, json.data, strlen(json.data), &tree, &k->problems), PW_OK);
    if (pw_csv_sheet_needs(tree)) {
        assert_int_equal(pw_csv_sheet_fill(&k->arena, tree, path, &filled, &k->problems), PW_OK);
        assert_int_equal(pw_json_read(&k->arena, filled.data, strlen(filled.data), &tree, &k->problems), PW_OK);
    }
    free(text);
    const pw_status status = pw_site_read(&k->arena, tree, "site", &k->site, &k->problems);
    if (status != PW_OK) {
        kit_say(k);
    }
    assert_int_equal(status, PW_OK);
    assert_true(k->site->invented);
}

/* Its plant, with so many warnings; what was read of a trace is told, and is no warning. */
static inline void golden_build_warned(kit *k, const char *name, int32_t warnings)
{
    const pw_status status = pw_plant_build(&k->arena, k->site, false, &k->plant, &k->problems);
    int32_t told = 0;
    for (int32_t i = 0; i < k->problems.count; i++) {
        const pw_problem *p = &k->problems.items[i];
        told += p->status == PW_OK ? 0 : 1;
        if (p->status != PW_OK && warnings == 0) {
            print_error("%s: %s: %s; expected %s (%s)\n", name, p->path, english(&p->found), english(&p->expected),
                        english(&p->hint));
        }
    }
    assert_int_equal(status, PW_OK);
    assert_int_equal(told, warnings);
}

static inline void golden_build(kit *k, const char *name)
{
    golden_build_warned(k, name, 0);
}

#endif
