/* Options of a request, read strictly. */
#include <string.h>

#include "door/inside.h"

enum { MOST_KEYS = 64 };

pw_status door_problem(const door *d)
{
    for (int32_t i = 0; i < d->problems->count; i++) {
        if (!d->problems->items[i].warning) {
            return d->problems->items[i].status;
        }
    }
    return d->problems->errors > 0 ? PW_LIMIT : PW_OK; /* all that were kept are warnings */
}

void door_forget_errors(door *d, int32_t count, int32_t lost)
{
    pw_problems *problems = d->problems;
    int32_t kept = count;
    for (int32_t i = count; i < problems->count; i++) {
        if (problems->items[i].warning) {
            problems->items[kept] = problems->items[i];
            kept++;
        }
    }
    problems->count = kept;
    problems->lost = lost;
    problems->errors = 0;
    for (int32_t i = 0; i < kept; i++) {
        problems->errors += problems->items[i].warning ? 0 : 1;
    }
}

/* Add words to a buffer that is cut where it is full. */
static void append(char *buffer, int32_t size, const char *words)
{
    int32_t used = (int32_t)strlen(buffer);
    pw_copy(buffer + used, size - used, words);
}

const char *door_path_key(char *buffer, const char *path, const char *key)
{
    pw_copy(buffer, PW_PATH_SIZE, path);
    if (buffer[0] != '\0') {
        append(buffer, PW_PATH_SIZE, ".");
    }
    append(buffer, PW_PATH_SIZE, key);
    return buffer;
}

const char *door_path_index(char *buffer, const char *path, int32_t index)
{
    char digits[32];
    pw_copy(buffer, PW_PATH_SIZE, path);
    append(buffer, PW_PATH_SIZE, "[");
    pw_num_text((double)index, digits);
    append(buffer, PW_PATH_SIZE, digits);
    append(buffer, PW_PATH_SIZE, "]");
    return buffer;
}

/* Words that requests used before: still read, and told. */
static const struct {
    const char *was, *is;
} old_words[] = {{"order", "settings"}, {"mishaps", "faults"}};

const char *door_present_word(door *d, const char *path, const char *word)
{
    for (size_t i = 0; i < sizeof old_words / sizeof *old_words; i++) {
        if (strcmp(old_words[i].was, word) == 0) {
            pw_warning_tell(d->problems, PW_UNKNOWN_KEY, path, pw_verbatim(word), pw_verbatim(old_words[i].is),
                            pw_fact_of("input.older-name", pw_named(word), pw_named(old_words[i].is)));
            return old_words[i].is;
        }
    }
    return word;
}

const pw_json *door_member(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    for (size_t i = 0; !value && i < sizeof old_words / sizeof *old_words; i++) {
        value = strcmp(old_words[i].is, key) == 0 ? pw_json_get(object, old_words[i].was) : NULL;
    }
    return value;
}

static int32_t add_keys(const char **names, int32_t count, const door_key *keys)
{
    for (; keys && keys->key && count < MOST_KEYS; keys++) {
        names[count] = keys->key;
        count++;
    }
    return count;
}

void door_check_keys(door *d, const pw_json *object, const char *path, const door_key *keys, const door_key *more)
{
    const char *names[MOST_KEYS];
    int32_t count = add_keys(names, 0, keys);
    count = add_keys(names, count, more);
    if (path[0] == '\0') { /* the request itself */
        static const door_key always[] = {{"do", ""}, {"units", ""}, {"language", ""}, {NULL, NULL}};
        count = add_keys(names, count, always);
    }
    for (const pw_json *member = object->first; member; member = member->next) {
        bool known = false;
        for (int32_t i = 0; i < count && !known; i++) {
            known = strcmp(names[i], member->key) == 0;
        }
        const char *present = known ? member->key : door_present_word(d, member->key, member->key);
        for (int32_t i = 0; i < count && !known; i++) {
            known = strcmp(names[i], present) == 0 && !pw_json_get(object, present);
        }
        if (!known) {
            char where[PW_PATH_SIZE];
            pw_problem_tell(d->problems, PW_UNKNOWN_KEY, door_path_key(where, path, member->key),
                            pw_fact_of("door.the-key", pw_named(member->key)), pw_no_fact(),
                            pw_near_fact(member->key, names, count));
        }
    }
}

pw_status door_wrong_type(door *d, const pw_json *value, const char *path, pw_fact expected)
{
    return pw_problem_tell(d->problems, PW_TYPE, path, pw_fact_of(pw_json_kind_message(value->kind)), expected,
                           pw_no_fact());
}

/* Member that was given; null counts as absent. */
static const pw_json *given(const pw_json *object, const char *key)
{
    const pw_json *value = door_member(object, key);
    return value && value->kind != PW_JSON_NULL ? value : NULL;
}

static pw_fact range_fact(pw_dimension dimension, double low, double high)
{
    return pw_fact_of("door.range", pw_quantity(dimension, low), pw_quantity(dimension, high));
}

double door_quantity(door *d, const pw_json *object, const char *path, const char *key, pw_dimension dimension,
                     double low, double high, double otherwise)
{
    char where[PW_PATH_SIZE];
    const pw_json *value = given(object, key);
    if (!value) {
        return otherwise;
    }
    door_path_key(where, path, key);
    bool plain = dimension == PW_DIM_FRACTION || dimension == PW_DIM_NONE;
    double si = 0.0;
    if (value->kind == PW_JSON_STRING) {
        if (pw_quantity_read(value->string, dimension, &si, d->problems, where) != PW_OK) {
            return otherwise;
        }
    } else if (value->kind == PW_JSON_NUMBER && (plain || (value->number == 0.0 && dimension != PW_DIM_TEMPERATURE))) {
        si = value->number;
    } else if (value->kind == PW_JSON_NUMBER) {
        pw_problem_tell(d->problems, PW_UNIT, where, pw_verbatim(value->string), pw_fact_of("door.quantity-as-text"),
                        pw_no_fact());
        return otherwise;
    } else {
        door_wrong_type(d, value, where, pw_fact_of("door.quantity-as-text"));
        return otherwise;
    }
    if (!(si >= low && si <= high)) {
        pw_problem_tell(d->problems, PW_RANGE, where, pw_verbatim(value->string), range_fact(dimension, low, high),
                        pw_no_fact());
        return otherwise;
    }
    return si;
}

int64_t door_time_ms(door *d, const pw_json *object, const char *path, const char *key, double low_s, double high_s,
                     double otherwise_s)
{
    double seconds = door_quantity(d, object, path, key, PW_DIM_TIME, low_s, high_s, otherwise_s);
    return (int64_t)pw_floor(seconds * 1000.0 + 0.5);
}

/* "12:10", "day 2 12:10", "day 2, 12:10:05": seconds since the beginning. False: it is none. */
static bool read_moment(const char *text, double *out_s)
{
    double clock_s = 0.0;
    int32_t day = 1;
    if (strncmp(text, "day ", 4) == 0) {
        const char *number = text + 4;
        for (day = 0; *number >= '0' && *number <= '9' && day < 100000; number++) {
            day = day * 10 + (*number - '0');
        }
        text = number + (*number == ',' ? 1 : 0);
        if (day == 0 || *text != ' ') {
            return false;
        }
        text += strspn(text, " ");
    }
    if (!pw_clock_read(text, &clock_s)) {
        return false;
    }
    *out_s = (day - 1) * 86400.0 + clock_s;
    return true;
}

int64_t door_moment_ms(door *d, const pw_json *object, const char *path, const char *key, double high_s,
                       double otherwise_s)
{
    char where[PW_PATH_SIZE];
    double moment_s = 0.0;
    const pw_json *value = given(object, key);
    const int32_t told = d->problems->count;
    if (value && value->kind == PW_JSON_STRING && read_moment(value->string, &moment_s)) {
        if (moment_s > high_s) {
            pw_problem_tell(d->problems, PW_RANGE, door_path_key(where, path, key), pw_verbatim(value->string),
                            pw_fact_of("door.moment-within"), pw_no_fact());
            moment_s = otherwise_s;
        }
        return (int64_t)pw_floor(moment_s * 1000.0 + 0.5);
    }
    const int64_t ms = door_time_ms(d, object, path, key, 0.0, high_s, otherwise_s);
    if (d->problems->count > told && d->problems->items[told].status != PW_RANGE) {
        const pw_fact moment = pw_fact_of("door.moment");
        d->problems->items[told].expected = pw_remark_of(&moment);
    }
    return ms;
}

double door_plain(door *d, const pw_json *object, const char *path, const char *key, double low, double high,
                  double otherwise)
{
    char where[PW_PATH_SIZE];
    const pw_json *value = given(object, key);
    if (!value) {
        return otherwise;
    }
    door_path_key(where, path, key);
    if (value->kind != PW_JSON_NUMBER) {
        door_wrong_type(d, value, where, pw_fact_of("input.kind-number"));
        return otherwise;
    }
    if (!(value->number >= low && value->number <= high)) {
        pw_problem_tell(d->problems, PW_RANGE, where, pw_verbatim(value->string), range_fact(PW_DIM_NONE, low, high),
                        pw_no_fact());
        return otherwise;
    }
    return value->number;
}

int64_t door_whole(door *d, const pw_json *object, const char *path, const char *key, int64_t low, int64_t high,
                   int64_t otherwise)
{
    char where[PW_PATH_SIZE];
    int32_t errors = d->problems->errors;
    double value = door_plain(d, object, path, key, (double)low, (double)high, (double)otherwise);
    if (d->problems->errors == errors && value != pw_floor(value)) {
        pw_problem_tell(d->problems, PW_TYPE, door_path_key(where, path, key),
                        pw_verbatim(pw_json_get(object, key)->string), pw_fact_of("door.whole-number"), pw_no_fact());
        return otherwise;
    }
    return (int64_t)value;
}

bool door_truth(door *d, const pw_json *object, const char *path, const char *key, bool otherwise)
{
    char where[PW_PATH_SIZE];
    const pw_json *value = given(object, key);
    if (!value) {
        return otherwise;
    }
    if (value->kind != PW_JSON_BOOL) {
        door_wrong_type(d, value, door_path_key(where, path, key), pw_fact_of("input.kind-truth"));
        return otherwise;
    }
    return value->truth;
}

const char *door_string(door *d, const pw_json *object, const char *path, const char *key, const char *otherwise)
{
    char where[PW_PATH_SIZE];
    const pw_json *value = given(object, key);
    if (!value) {
        return otherwise;
    }
    if (value->kind != PW_JSON_STRING) {
        door_wrong_type(d, value, door_path_key(where, path, key), pw_fact_of("input.kind-text"));
        return otherwise;
    }
    return value->string;
}

const pw_json *door_list(door *d, const char *key)
{
    const pw_json *value = given(d->request, key);
    if (value && value->kind != PW_JSON_ARRAY) {
        door_wrong_type(d, value, key, pw_fact_of("input.kind-list"));
        return NULL;
    }
    return value;
}

int32_t door_texts(door *d, const char *key, int32_t most, const char **out)
{
    const pw_json *list = door_list(d, key);
    int32_t count = 0;
    for (const pw_json *item = list != NULL ? list->first : NULL; item != NULL; item = item->next) {
        char path[PW_PATH_SIZE];
        if (item->kind != PW_JSON_STRING || item->length == 0 || count == most) {
            door_wrong_type(d, item, door_path_index(path, key, count), pw_fact_of("door.texts"));
            return count;
        }
        out[count] = item->string;
        count++;
    }
    return count;
}

const int64_t *door_moments(door *d, const char *key, int64_t length_ms, int32_t *out_count)
{
    char path[PW_PATH_SIZE];
    const pw_json *list = door_list(d, key);
    int64_t *moments = list ? PW_NEW(d->arena, DOOR_MOST_MOMENTS, int64_t) : NULL;
    *out_count = 0;
    if (!list || !moments) {
        return NULL;
    }
    if (list->count > DOOR_MOST_MOMENTS) {
        pw_problem_tell(d->problems, PW_LIMIT, key, pw_fact_of("door.more"),
                        pw_fact_of("door.most-moments", pw_count(DOOR_MOST_MOMENTS)), pw_no_fact());
        return NULL;
    }
    int32_t count = 0;
    for (const pw_json *item = list->first; item; item = item->next) {
        double seconds = 0.0;
        door_path_index(path, key, count);
        if (item->kind != PW_JSON_STRING) {
            door_wrong_type(d, item, path, pw_fact_of("door.time-as-text"));
            return NULL;
        }
        if (pw_quantity_read(item->string, PW_DIM_TIME, &seconds, d->problems, path) != PW_OK) {
            return NULL;
        }
        if (!(seconds >= 0.0 && seconds * 1000.0 < (double)length_ms)) {
            pw_problem_tell(d->problems, PW_RANGE, path, pw_verbatim(item->string), pw_fact_of("door.time-within"),
                            pw_no_fact());
            return NULL;
        }
        int32_t at = count;
        int64_t moment = (int64_t)pw_floor(seconds * 1000.0 + 0.5);
        for (; at > 0 && moments[at - 1] > moment; at--) {
            moments[at] = moments[at - 1];
        }
        moments[at] = moment;
        count++;
    }
    *out_count = count;
    return moments;
}

pw_site *door_site(door *d)
{
    const pw_json *json = given(d->request, "site");
    pw_site *site = NULL;
    if (!json) {
        pw_problem_tell(d->problems, PW_MISSING, "site", pw_fact_of("door.nothing"), pw_fact_of("door.sheet-object"),
                        pw_no_fact());
        return NULL;
    }
    const pw_json *set = given(d->request, "set");
    const int32_t count = d->problems->count;
    const int32_t lost = d->problems->lost;
    pw_site *part = NULL;
    pw_status status = pw_site_read_part(d->arena, json, "site", &site, &part, d->problems);
    if (status != PW_OK && part != NULL) {
        pw_plant_proofread(d->arena, part, d->problems);
    }
    if (status == PW_OK &&
        set) { /* doubts about the site as it was do not count: it is read again with its new numbers */
        d->problems->count = count;
        d->problems->lost = lost;
        return door_set(d, site, set);
    }
    if (status != PW_OK && d->problems->errors == 0) {
        pw_problem_add(d->problems, status, "site", "", "", "");
    }
    return status == PW_OK ? site : NULL;
}

pw_plant *door_plant(door *d)
{
    pw_plant *plant = NULL;
    pw_site *site = door_site(d);
    if (!site) {
        return NULL;
    }
    pw_status status = pw_plant_build(d->arena, site, false, &plant, d->problems);
    if (status != PW_OK && d->problems->errors == 0) {
        pw_problem_add(d->problems, status, "site", "", "", "");
    }
    return status == PW_OK ? plant : NULL;
}

bool door_cancelled(const door *d)
{
    return d->host && d->host->cancelled && d->host->cancelled(d->host->user);
}

bool door_stop_asked(void *user, double done)
{
    (void)done;
    return door_cancelled((const door *)user);
}

bool door_simulating(void *user, double done)
{
    const door *d = (const door *)user;
    door_at_work(d, done, "door.simulating");
    return door_cancelled(d);
}

void door_at_work(const door *d, double done, const char *id)
{
    door_progress(d, done, pw_say_word(&d->voice, id));
}

void door_progress(const door *d, double done, const char *words)
{
    if (d->host && d->host->progress) {
        d->host->progress(d->host->user, done, words);
    }
}
