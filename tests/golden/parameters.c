/* Every number of every site of examples/ by its path: listed, found again, set and read back; a site with one number
 * changed is, bit for bit, the site that a sheet with that number in it describes. */
#include "golden/load.h"
#include "sim/numbers.h"
#include "sim/plant.h"
#include "site/table.h"

static const char *const names[] = {"flats",       "hill-tank", "house",    "irrigation", "nursery",
                                    "stock-water", "tap-stand", "transfer", NULL};

/* A pw_site without what points elsewhere: what is left must agree byte for byte. */
static pw_site *plain(const pw_site *site)
{
    pw_site *copy = malloc(sizeof *copy);
    memcpy(copy, site, sizeof *copy);
    copy->sheet = NULL;
    memset(copy->sentences, 0, sizeof copy->sentences);
    for (int32_t i = 0; i < copy->demand_count; i++) {
        copy->demands[i].trace_s = NULL;
        copy->demands[i].trace_m3s = NULL;
    }
    return copy;
}

static bool same_site(const pw_site *a, const pw_site *b)
{
    pw_site *left = plain(a);
    pw_site *right = plain(b);
    bool same = memcmp(left, right, sizeof *left) == 0;
    for (int32_t i = 0; same && i < a->sentence_count; i++) {
        same = strcmp(a->sentences[i], b->sentences[i]) == 0;
    }
    for (int32_t i = 0; same && i < a->demand_count; i++) {
        const size_t size = (size_t)a->demands[i].trace_count * sizeof(double);
        same = size == 0 || (memcmp(a->demands[i].trace_s, b->demands[i].trace_s, size) == 0 &&
                             memcmp(a->demands[i].trace_m3s, b->demands[i].trace_m3s, size) == 0);
    }
    free(left);
    free(right);
    return same;
}

/* ---- the sheet edited as a person would: its JSON text written anew, with the number in its place ---- */

typedef struct editor {
    pw_json_writer writer;
    const char *path;   /* of the number */
    const char *number; /* as it is to stand there */
    bool bare;          /* a JSON number, no text */
    bool put;
} editor;

static void write_number(editor *e, const char *key)
{
    if (e->bare) {
        pw_json_number(&e->writer, key, strtod(e->number, NULL));
    } else {
        pw_json_string(&e->writer, key, e->number);
    }
    e->put = true;
}

static void write_edited(editor *e, const char *key, const pw_json *json, const char *path)
{
    char below[400];
    if (json != NULL && strcmp(path, e->path) == 0) {
        write_number(e, key);
        return;
    }
    const bool object = json->kind == PW_JSON_OBJECT;
    if (!object && json->kind != PW_JSON_ARRAY) {
        pw_json_value(&e->writer, key, json);
        return;
    }
    pw_json_open(&e->writer, key, object ? '{' : '[');
    int index = 0;
    for (const pw_json *member = json->first; member != NULL; member = member->next, index++) {
        if (object) {
            snprintf(below, sizeof below, "%s%s%s", path, path[0] != '\0' ? "." : "", member->key);
        } else {
            snprintf(below, sizeof below, "%s[%d]", path, index);
        }
        write_edited(e, member->key, member, below);
    }
    const char *dot = strrchr(e->path, '.');
    const size_t parent = dot == NULL ? 0 : (size_t)(dot - e->path);
    const char *last = dot == NULL ? e->path : dot + 1;
    if (object && !e->put && strlen(path) == parent && strncmp(path, e->path, parent) == 0) {
        write_number(e, last); /* left out so far */
    }
    pw_json_close(&e->writer, object ? '}' : ']');
}

/* Groups that the sheet leaves out whole, such as `limits`: an empty one does not change a sheet. */
static const pw_json *with_groups(kit *k, const pw_json *sheet)
{
    static const char *const groups[] = {"supply", "limits", "design", NULL};
    static const char *const inner[] = {"suction", "cable", NULL};
    pw_json_writer w;
    pw_text text;
    const pw_json *out = NULL;
    pw_text_init(&text, &k->arena);
    pw_json_writer_init(&w, &text, 0);
    pw_json_open(&w, NULL, '{');
    for (const pw_json *m = sheet->first; m != NULL; m = m->next) {
        if (strcmp(m->key, "design") != 0) {
            pw_json_value(&w, m->key, m);
        }
    }
    for (int g = 0; groups[g] != NULL; g++) {
        const pw_json *group = pw_json_get(sheet, groups[g]);
        if (strcmp(groups[g], "design") == 0) {
            pw_json_open(&w, groups[g], '{');
            for (const pw_json *m = group == NULL ? NULL : group->first; m != NULL; m = m->next) {
                pw_json_value(&w, m->key, m);
            }
            for (int i = 0; inner[i] != NULL; i++) {
                if (pw_json_get(group, inner[i]) == NULL) {
                    pw_json_open(&w, inner[i], '{');
                    pw_json_close(&w, '}');
                }
            }
            pw_json_close(&w, '}');
        } else if (group == NULL) {
            pw_json_open(&w, groups[g], '{');
            pw_json_close(&w, '}');
        }
    }
    pw_json_close(&w, '}');
    assert_int_equal(pw_json_read(&k->arena, text.data, text.length, &out, &k->problems), PW_OK);
    return out;
}

static void number_text(kit *k, const pw_param *param, double si, char out[64], bool *bare)
{
    pw_text text;
    pw_text_init(&text, &k->arena);
    *bare = param->form == PW_PARAM_COUNT || param->form == PW_PARAM_PATTERN;
    const int seconds = (int)si;
    if (*bare) {
        snprintf(out, 64, "%.17g", si);
    } else if (param->form == PW_PARAM_PHASES) {
        snprintf(out, 64, si == 0 ? "DC" : "%d", (int)si);
    } else if (param->form == PW_PARAM_CLOCK || param->form == PW_PARAM_WINDOW) {
        snprintf(out, 64, "%02d:%02d:%02d", seconds / 3600, seconds / 60 % 60, seconds % 60);
    } else {
        pw_quantity_exact(&text, param->dimension, si);
        snprintf(out, 64, "%s", text.data);
    }
}

/* A number near the present one, within bounds, that a sheet may well refuse because of another number. */
static double another(const pw_param *param, int32_t which)
{
    static const double factors[] = {1.013, 0.991, 0.5};
    if (param->form == PW_PARAM_PHASES) {
        return param->si == 3 ? 1 : 3;
    }
    double si = param->si * factors[which];
    if (si == param->si) {
        si = param->si + (param->high - param->low) * 1e-3;
    }
    if (param->whole) {
        si = param->form == PW_PARAM_COUNT ? param->si + 1 + which : pw_floor(si / 60) * 60;
    }
    return pw_clamp(si, param->low, param->high);
}

/* Set one number in both ways; 1 when it was taken, 0 when both refused it alike. */
static int set_both_ways(kit *k, const pw_json *sheet, const pw_param *param, double si)
{
    pw_problems one = {0};
    pw_problems two = {0};
    pw_site *changed = NULL;
    pw_site *edited = NULL;
    const pw_json *read = NULL;
    pw_text text;
    char number[64];
    editor e = {.path = param->path};
    const pw_param_change change = {.param = param, .si = si};
    const pw_status status = pw_site_change(&k->arena, k->site, &change, 1, "site", &changed, &one);
    number_text(k, param, si, number, &e.bare);
    e.number = number;
    pw_text_init(&text, &k->arena);
    pw_json_writer_init(&e.writer, &text, 0);
    write_edited(&e, NULL, sheet, "");
    assert_true(e.put);
    assert_int_equal(pw_json_read(&k->arena, text.data, text.length, &read, &two), PW_OK);
    const pw_status other = pw_site_read(&k->arena, read, "site", &edited, &two);
    if (status != other || one.count != two.count) {
        fail_msg("%s = %s: changed %s, edited %s, %d and %d problems", param->path, number, pw_status_id(status),
                 pw_status_id(other), (int)one.count, (int)two.count);
    }
    for (int32_t i = 0; i < one.count; i++) {
        assert_string_equal(one.items[i].path, two.items[i].path);
        char found[PW_WORDS_SIZE];
        snprintf(found, sizeof found, "%s", english(&one.items[i].found));
        assert_string_equal(found, english(&two.items[i].found));
        snprintf(found, sizeof found, "%s", english(&one.items[i].expected));
        assert_string_equal(found, english(&two.items[i].expected));
    }
    if (status != PW_OK) {
        assert_true(one.errors > 0);
        return 0;
    }
    if (!same_site(changed, edited)) {
        fail_msg("%s = %s: not the site of the edited sheet", param->path, number);
    }
    pw_param again;
    assert_int_equal(pw_param_find(&k->arena, changed, param->path, "site", &again, NULL), PW_OK);
    if (!(pw_param_get(changed, &again) == si) || again.origin != PW_ORIGIN_GIVEN) {
        fail_msg("%s: set to %.17g, is %.17g", param->path, si, pw_param_get(changed, &again));
    }
    return 1;
}

static void each_example(void (*look)(kit *k, const char *name))
{
    for (int32_t i = 0; names[i] != NULL; i++) {
        kit k;
        golden_load(&k, names[i]);
        look(&k, names[i]);
        kit_close(&k);
    }
}

static void set_all(kit *k, const char *name)
{
    pw_param *list = NULL;
    int32_t count = 0;
    int32_t taken = 0;
    int32_t tried = 0;
    assert_int_equal(pw_params_list(&k->arena, k->site, &list, &count), PW_OK);
    const pw_json *sheet = with_groups(k, k->site->sheet);
    for (int32_t i = 0; i < count; i++) {
        for (int32_t which = 0; which < 3; which++) {
            const size_t mark = pw_arena_mark(&k->arena);
            taken += set_both_ways(k, sheet, &list[i], another(&list[i], which));
            tried++;
            pw_arena_back(&k->arena, mark);
        }
    }
    print_message("%s: %d numbers, %d of %d changes taken\n", name, (int)count, (int)taken, (int)tried);
    assert_true(count > 80);
    assert_true(taken > tried * 8 / 10);
}

static void a_change_is_an_edited_sheet(void **state)
{
    (void)state;
    each_example(set_all);
}

/* Both bounds may be stated, or another number forbids it; one step beyond is refused, and at its path. */
static void refuse_all(kit *k, const char *name)
{
    (void)name;
    pw_param *list = NULL;
    int32_t count = 0;
    assert_int_equal(pw_params_list(&k->arena, k->site, &list, &count), PW_OK);
    for (int32_t i = 0; i < count; i++) {
        for (int32_t end = 0; end < 2; end++) {
            const size_t mark = pw_arena_mark(&k->arena);
            pw_problems problems = {0};
            pw_site *changed = NULL;
            char path[PW_PATH_SIZE + 8];
            const double bound = end == 0 ? list[i].low : list[i].high;
            const double beyond = bound + (end == 0 ? -1.0 : 1.0) * pw_max(1.0, pw_abs(bound) * 0.01);
            pw_param_change change = {.param = &list[i], .si = beyond};
            snprintf(path, sizeof path, "site.%s", list[i].path);
            const pw_status status = pw_site_change(&k->arena, k->site, &change, 1, "site", &changed, &problems);
            if (status != PW_RANGE || changed != NULL || problems.errors == 0) {
                fail_msg("%s = %g was not refused: %s", list[i].path, beyond, pw_status_id(status));
            }
            assert_string_equal(problems.items[0].path, path);
            assert_true(problems.items[0].found.id != NULL && problems.items[0].expected.id != NULL);
            memset(&problems, 0, sizeof problems);
            change.si = bound;
            pw_site_change(&k->arena, k->site, &change, 1, "site", &changed, &problems);
            for (int32_t p = 0; p < problems.count; p++) { /* its own range takes it */
                const bool own = strcmp(problems.items[p].path, path) == 0 && list[i].form != PW_PARAM_PHASES;
                assert_false(own && problems.items[p].status == PW_RANGE);
            }
            pw_arena_back(&k->arena, mark);
        }
    }
}

static void beyond_its_bounds_a_number_is_refused(void **state)
{
    (void)state;
    each_example(refuse_all);
}

/* Numbers that stand in the sheet, counted without the table: all of them are listed, and all defaults are. */
static int32_t numbers_in(const pw_json *json, const char *key)
{
    static const char *const others[] = {"site",   "name",  "note",     "at",       "from",  "to",       "kind",
                                         "pipe",   "times", "flows",    "trace",    "days",  "invented", "settings",
                                         "outlet", "line",  "currency", "friction", "flush", NULL};
    double si;
    pw_dimension dimension;
    for (int32_t i = 0; key != NULL && others[i] != NULL; i++) {
        const bool words = strcmp(key, others[i]) == 0;
        const bool number = json->kind == PW_JSON_STRING && pw_quantity_scan(json->string, &si, &dimension) > 0;
        const bool clock = json->kind == PW_JSON_STRING && pw_clock_read(json->string, &si);
        const bool both = strcmp(key, "at") == 0 || strcmp(key, "from") == 0 || strcmp(key, "to") == 0 ||
                          strcmp(key, "friction") == 0;
        if (words && !(both && (number || clock))) {
            return 0;
        }
    }
    if (json->kind == PW_JSON_NUMBER) {
        return 1;
    }
    if (json->kind == PW_JSON_STRING) {
        return pw_quantity_scan(json->string, &si, &dimension) > 0 || pw_clock_read(json->string, &si) ||
               strcmp(json->string, "DC") == 0;
    }
    int32_t count = 0;
    for (const pw_json *member = json->first; member != NULL; member = member->next) {
        count += numbers_in(member, member->key);
    }
    return count;
}

static void list_all(kit *k, const char *name)
{
    pw_param *list = NULL;
    int32_t count = 0;
    int32_t given = 0;
    int32_t defaults = 0;
    assert_int_equal(pw_params_list(&k->arena, k->site, &list, &count), PW_OK);
    for (int32_t i = 0; i < count; i++) {
        pw_param found;
        given += list[i].origin == PW_ORIGIN_GIVEN;
        defaults += list[i].origin == PW_ORIGIN_DEFAULT;
        assert_int_equal(pw_param_find(&k->arena, k->site, list[i].path, "site", &found, &k->problems), PW_OK);
        assert_memory_equal(&found, &list[i], sizeof found);
        assert_true(list[i].low < list[i].high);
        assert_true(list[i].si >= list[i].low && list[i].si <= list[i].high);
        assert_true(list[i].si == pw_param_get(k->site, &list[i]));
        assert_true(list[i].help != NULL && list[i].help[0] != '\0');
        assert_int_equal(list[i].origin == PW_ORIGIN_DEFAULT, list[i].reason[0] != '\0');
    }
    int32_t told = 0;
    for (int32_t i = 0; i < k->site->default_count + k->site->design_default_count; i++) {
        const pw_default *taken =
            i < k->site->default_count ? &k->site->defaults[i] : &k->site->design_defaults[i - k->site->default_count];
        pw_param found;
        if (!taken->truth) {
            assert_int_equal(pw_param_find(&k->arena, k->site, taken->path + 5, "site", &found, &k->problems), PW_OK);
            assert_int_equal(found.origin, PW_ORIGIN_DEFAULT);
            assert_true(found.si == taken->si);
            told++;
        }
    }
    const int32_t stated = numbers_in(k->site->sheet, NULL);
    if (given != stated || defaults != told) {
        for (int32_t i = 0; i < count; i++) {
            print_message("%s %d\n", list[i].path, (int)list[i].origin);
        }
        fail_msg("%s: the sheet states %d numbers, %d are listed; %d defaults are told, %d are listed", name,
                 (int)stated, (int)given, (int)told, (int)defaults);
    }
}

static void every_number_is_listed(void **state)
{
    (void)state;
    each_example(list_all);
}

/* ---- numbers within sentences ---- */

static const char *sentence_words(kit *k, const pw_settings *settings, int32_t i)
{
    pw_text text;
    pw_text_init(&text, &k->arena);
    pw_settings_put(settings, i, &text);
    return text.data;
}

/* The sentence as a person would edit it: the number cut out of its text, another in its place. */
static void edit_sentence(kit *k, const pw_param *param, double si, char out[PW_WORDS_SIZE])
{
    const char *text = k->site->sentences[param->sentence];
    char number[64];
    const int seconds = (int)si;
    if (param->clock) {
        snprintf(number, sizeof number, "%02d:%02d:%02d", seconds / 3600, seconds / 60 % 60, seconds % 60);
    } else if (param->dimension == PW_DIM_NONE) {
        snprintf(number, sizeof number, "%d", (int)si);
    } else if (param->dimension == PW_DIM_TIME) {
        snprintf(number, sizeof number, "%.3f s", si);
    } else {
        pw_text exact;
        pw_text_init(&exact, &k->arena);
        pw_quantity_exact(&exact, param->dimension, si);
        snprintf(number, sizeof number, "%s", exact.data);
    }
    snprintf(out, PW_WORDS_SIZE, "%.*s%s%s", (int)param->at, text, number, text + param->at + param->length);
}

/* All three ways to the same settings, or to a refusal by all: the sheet changed by path, the sentence edited, the read
 * settings changed. 1 when they were taken. */
static int change_sentence(kit *k, const pw_param *param, int32_t number, const pw_settings *settings, double si)
{
    pw_problems problems[3] = {{0}};
    pw_site edited = *k->site;
    pw_site *changed = NULL;
    pw_settings *by_path = NULL, *by_hand = NULL, *in_place = NULL;
    char words[PW_WORDS_SIZE];
    const pw_param_change change = {.param = param, .si = si};
    edit_sentence(k, param, si, words);
    edited.sentences[param->sentence] = words;
    assert_int_equal(pw_site_change(&k->arena, k->site, &change, 1, "site", &changed, &problems[0]), PW_OK);
    const pw_status path = pw_site_settings(&k->arena, changed, &by_path, &problems[0]);
    const pw_status hand = pw_site_settings(&k->arena, &edited, &by_hand, &problems[1]);
    const pw_status place = pw_settings_with(&k->arena, settings, number, si, "site.settings", &in_place, &problems[2]);
    if (path != hand || place != hand || problems[0].count != problems[1].count ||
        problems[2].count != problems[1].count) {
        fail_msg("%s = %.17g (%s): by path %s, by hand %s, in place %s", param->path, si, words, pw_status_id(path),
                 pw_status_id(hand), pw_status_id(place));
    }
    if (hand != PW_OK) {
        return 0;
    }
    for (int32_t i = 0; i < pw_settings_count(by_hand); i++) {
        const char *wanted = sentence_words(k, by_hand, i);
        assert_string_equal(sentence_words(k, by_path, i), wanted);
        assert_string_equal(sentence_words(k, in_place, i), wanted);
    }
    pw_param again;
    assert_int_equal(pw_number_find(&k->arena, changed, param->path, "site", &again, NULL), PW_OK);
    assert_true(again.si == si);
    return 1;
}

/* Another one that words can say: to the millisecond, whole. */
static double another_of_sentence(const pw_param *param, int32_t which)
{
    static const double factors[] = {1.013, 0.97, 0.5};
    double si = param->si * factors[which];
    if (param->whole) {
        si = param->si + (which == 0 ? 1 : which == 1 ? -1 : 60);
    } else if (param->dimension == PW_DIM_TIME) {
        si = pw_floor(si * 1000.0 + 0.5) / 1000.0;
    }
    return pw_clamp(si, param->low, param->high);
}

static int32_t sentence_numbers;

static void change_sentences(kit *k, const char *name)
{
    pw_settings *settings = NULL;
    pw_param *list = NULL;
    int32_t fields = 0, count = 0, taken = 0, tried = 0;
    assert_int_equal(pw_site_settings(&k->arena, k->site, &settings, &k->problems), PW_OK);
    assert_int_equal(pw_params_list(&k->arena, k->site, &list, &fields), PW_OK);
    assert_int_equal(pw_numbers_list(&k->arena, k->site, &list, &count), PW_OK);
    assert_int_equal(count - fields, pw_settings_number_count(settings));
    for (int32_t i = fields; i < count; i++) {
        pw_param found;
        assert_int_equal(pw_number_find(&k->arena, k->site, list[i].path, "site", &found, &k->problems), PW_OK);
        assert_memory_equal(&found, &list[i], sizeof found);
        assert_true(list[i].si >= list[i].low && list[i].si <= list[i].high);
        assert_true(list[i].help[0] != '\0' && list[i].origin == PW_ORIGIN_GIVEN);
        for (int32_t which = 0; which < 3; which++) {
            const size_t mark = pw_arena_mark(&k->arena);
            taken += change_sentence(k, &list[i], i - fields, settings, another_of_sentence(&list[i], which));
            tried++;
            pw_arena_back(&k->arena, mark);
        }
        for (int32_t end = 0; end < 2; end++) { /* one step beyond its bounds is refused at its path */
            const double beyond = end == 0 ? list[i].low - 1 : list[i].high + 1;
            const pw_param_change change = {.param = &list[i], .si = beyond};
            pw_problems problems = {0};
            pw_site *changed = NULL;
            const size_t mark = pw_arena_mark(&k->arena);
            assert_int_equal(pw_site_change(&k->arena, k->site, &change, 1, "site", &changed, &problems), PW_RANGE);
            assert_string_equal(problems.items[0].path + 5, list[i].path);
            pw_arena_back(&k->arena, mark);
        }
    }
    sentence_numbers += count - fields;
    print_message("%s: %d numbers in sentences, %d of %d changes taken\n", name, (int)(count - fields), (int)taken,
                  (int)tried);
    assert_true(taken * 10 > tried * 7);
}

static void numbers_of_sentences_change_like_edited_ones(void **state)
{
    (void)state;
    sentence_numbers = 0;
    each_example(change_sentences);
    assert_true(sentence_numbers > 40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_number_is_listed),
        cmocka_unit_test(a_change_is_an_edited_sheet),
        cmocka_unit_test(beyond_its_bounds_a_number_is_refused),
        cmocka_unit_test(numbers_of_sentences_change_like_edited_ones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
