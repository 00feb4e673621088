/* "run": one simulation, as a day book. What it answers stands in run_answer.c. */
#include <string.h>

#include "door/inside.h"
#include "study/prove_words.h"
#include "paper/paper.h"

/* What an answer holds at most, so that whoever asked can read it: for many pumps, tanks and places fewer samples. */
enum { MOST_ENTRIES = 100000, ENTRIES = 10000, MOST_SAMPLES = 200000, MOST_VALUES = 1600000 };
enum { VALUE_BYTES = 15, ENTRY_BYTES = 400 }; /* "-1.234567e-05", its comma and one to spare; what one entry needs */
_Static_assert(MOST_VALUES *VALUE_BYTES + ENTRIES * ENTRY_BYTES < PW_MAX_INPUT,
               "whoever asks for samples and says nothing about entries gets what can be read back");
_Static_assert(DOOR_MOST_MOMENTS == (int)PW_MAX_STATES_ASKED && DOOR_MOST_MOMENTS == (int)PW_MAX_RESETS,
               "what the door reads a run must take");

static const door_key fault_keys[] = {{"what", ""}, {"severity", ""}, {"at", ""}, {"onset", ""}, {NULL, NULL}};

static pw_fault_kind read_kind(door *d, const pw_site *site, const pw_json *json, const char *path)
{
    char where[PW_PATH_SIZE];
    const char *what = door_string(d, json, path, "what", NULL);
    door_path_key(where, path, "what");
    if (!what) {
        if (!pw_json_get(json, "what")) {
            pw_problem_tell(d->problems, PW_MISSING, where, pw_fact_of("door.nothing"), pw_fact_of("door.fault-name"),
                            pw_fact_of("input.for-instance", pw_named("slow leak")));
        }
        return PW_FAULT_NONE;
    }
    pw_fault fault = {.kind = PW_FAULT_NONE};
    (void)pw_fault_take_kind(site, what, where, &fault, d->problems);
    return fault.kind;
}

static void read_severity(door *d, const pw_json *json, const char *path, pw_fault *fault)
{
    char where[PW_PATH_SIZE];
    pw_dimension dimension = pw_fault_dimension(fault->kind);
    const pw_json *value = pw_json_get(json, "severity");
    door_path_key(where, path, "severity");
    if (dimension == PW_DIM_NONE) {
        if (value) {
            pw_problem_tell(d->problems, PW_CONFLICT, where, pw_fact_of(pw_json_kind_message(value->kind)),
                            pw_fact_of("door.nothing"), pw_fact_of("door.no-severity"));
        }
        return;
    }
    if (!value) {
        pw_problem_tell(d->problems, PW_MISSING, where, pw_fact_of("door.nothing"),
                        pw_fact_of(pw_fault_severity_words(fault->kind)),
                        pw_fact_of("door.fault-instance", pw_named(pw_fault_id(fault->kind)),
                                   pw_quantity(dimension, pw_fault_example(fault->kind))));
        return;
    }
    fault->severity = door_quantity(d, json, path, "severity", dimension, 0.0, pw_fault_most(fault->kind), 0.0);
}

static void read_fault(door *d, const pw_site *site, const pw_json *json, const char *path, int64_t length_ms,
                       pw_fault *fault)
{
    char where[PW_PATH_SIZE];
    double length_s = (double)length_ms / 1000.0;
    memset(fault, 0, sizeof *fault);
    fault->where = -1;
    if (json->kind != PW_JSON_OBJECT) {
        door_wrong_type(d, json, path, pw_fact_of("door.fault-object"));
        return;
    }
    door_check_keys(d, json, path, fault_keys, NULL);
    fault->kind = read_kind(d, site, json, path);
    fault->onset_ms = door_moment_ms(d, json, path, "onset", length_s, pw_min(36000.0, 0.5 * length_s));
    if (fault->kind == PW_FAULT_NONE) {
        return;
    }
    read_severity(d, json, path, fault);
    const char *at = door_string(d, json, path, "at", NULL);
    (void)pw_fault_take_place(site, at, door_path_key(where, path, "at"), fault, d->problems);
}

static void read_faults(door *d, const pw_site *site, pw_run_options *options)
{
    char path[PW_PATH_SIZE];
    const pw_json *list = door_list(d, "faults");
    if (list && list->count > 2) {
        pw_problem_tell(d->problems, PW_LIMIT, "faults", pw_fact_of("door.more-than-two"),
                        pw_fact_of("door.two-faults"), pw_no_fact());
        return;
    }
    const pw_json *json = list ? list->first : NULL;
    for (int32_t i = 0; json; i++) {
        read_fault(d, site, json, door_path_index(path, "faults", i), options->length_ms, &options->faults[i]);
        options->fault_count = i + 1;
        json = json->next;
    }
}

/* keep[i] for each sentence; NULL when all are kept. */
static const bool *read_without(door *d, const pw_site *site)
{
    char path[PW_PATH_SIZE];
    const pw_json *list = door_list(d, "without");
    if (!list || list->count == 0) {
        return NULL;
    }
    bool *keep = PW_NEW(d->arena, PW_MAX_SENTENCES, bool);
    if (!keep) {
        pw_problem_add(d->problems, PW_MEMORY, "", "", "", "");
        return NULL;
    }
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        keep[i] = true;
    }
    int32_t at = 0;
    for (const pw_json *item = list->first; item; item = item->next) {
        door_path_index(path, "without", at);
        at++;
        bool whole = item->kind == PW_JSON_NUMBER && item->number == pw_floor(item->number);
        if (!whole) {
            door_wrong_type(d, item, path, pw_fact_of("door.sentence-number"));
        } else if (!(item->number >= 0.0 && item->number < (double)site->sentence_count)) {
            pw_problem_tell(d->problems, PW_REFERENCE, path, pw_verbatim(item->string),
                            pw_fact_of("door.sentence-number"), pw_no_fact());
        } else {
            keep[(int32_t)item->number] = false;
        }
    }
    return keep;
}

static void read_options(door *d, pw_run_options *options)
{
    memset(options, 0, sizeof *options);
    options->length_ms = door_time_ms(d, d->request, "", "length", 1.0, 3660.0 * 86400.0, 86400.0);
    options->seed = (uint64_t)door_whole(d, d->request, "", "seed", 0, (int64_t)1 << 53, 1);
    options->sample_ms = door_time_ms(d, d->request, "", "samples", 0.1, 366.0 * 86400.0, 0.0);
    options->release_after_ms = door_time_ms(d, d->request, "", "release after", 1.0, 3660.0 * 86400.0, 0.0);
    options->entry_capacity = (int32_t)door_whole(d, d->request, "", "entries", 0, MOST_ENTRIES, ENTRIES);
    options->sample_places = door_truth(d, d->request, "", "pressures", false);
    options->sample_flows = door_truth(d, d->request, "", "flows", false);
    options->tell_locks = options->entry_capacity > 0;
    options->state_ms = door_moments(d, "states", options->length_ms, &options->state_count);
    options->reset_ms = door_moments(d, "reset counters", options->length_ms, &options->reset_count);
    options->cancelled = door_simulating;
    options->user = d;
}

/* Events bring samples of their own, so there is room for three times the regular ones. */
static void make_room_for_samples(const pw_plant *plant, pw_run_options *options)
{
    if (options->sample_ms > 0) {
        const int32_t values = 3 + pw_column_count(plant, options->sample_places,
                                                   options->sample_flows); /* and time, pressure, draw-off */
        const int64_t wanted = 3 * (options->length_ms / options->sample_ms) + 20000;
        const int64_t most = MOST_VALUES / values < MOST_SAMPLES ? MOST_VALUES / values : MOST_SAMPLES;
        options->sample_capacity = (int32_t)(wanted < most ? wanted : most);
    }
}

/* "Burst, 60 L/min, at shed"; "" for a healthy run */
static void put_title(const pw_plant *plant, const pw_run_options *options, const pw_voice *voice, pw_text *title)
{
    pw_facts faults;
    pw_facts_init(&faults, title->arena);
    for (int32_t i = 0; i < options->fault_count; i++) {
        pw_job job;
        memset(&job, 0, sizeof job);
        job.kind = PW_JOB_FAULT;
        job.fault = options->faults[i];
        pw_facts_add(&faults, pw_job_fact(title->arena, plant, &job));
    }
    pw_say_list(title, voice, &faults, PW_JOIN_AND);
}

/* Whoever asked for samples a minute apart is told where a long time made them lie farther apart. */
static void tell_thinned(door *d, const pw_daybook *book)
{
    if (book->samples_lost == 0) {
        return;
    }
    pw_warning_tell(
        d->problems, PW_LIMIT, "samples", pw_fact_of("door.more-samples"),
        pw_fact_of("door.between-samples", pw_quantity(PW_DIM_TIME, (double)book->sample_every_ms / 1000.0)),
        pw_fact_of("door.samples-thinned"));
}

/* Whoever asked for entries is told in words that some are not there, and which. */
static void tell_left_out(door *d, const pw_run_options *options, const pw_daybook *book)
{
    if (book->entries_lost == 0 || options->entry_capacity == 0) {
        return;
    }
    pw_warning_tell(d->problems, PW_LIMIT, "entries",
                    pw_fact_of("door.more-entries", pw_count((int64_t)book->entry_count + book->entries_lost)),
                    pw_fact_of("door.room-for-entries"), pw_fact_of("door.entries-kept", pw_count(book->entry_count)));
}

pw_status door_run(door *d)
{
    pw_run_options options;
    door_papers wanted = door_papers_wanted(d, true, false);
    read_options(d, &options);
    bool svg = door_truth(d, d->request, "", "svg", false);
    pw_plant *plant = door_plant(d);
    if (!plant) {
        return door_problem(d);
    }
    make_room_for_samples(plant, &options);
    read_faults(d, plant->site, &options);
    options.keep = read_without(d, plant->site);
    if (door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    pw_daybook *book;
    door_at_work(d, 0.0, "door.simulating");
    int32_t told = d->problems->count, lost = d->problems->lost;
    pw_status status = pw_run(d->arena, plant, &options, &book, d->problems);
    if (status != PW_OK) {
        return status;
    }
    door_forget_errors(d, told, lost);
    tell_thinned(d, book);
    tell_left_out(d, &options, book);
    door_at_work(d, 1.0, "door.writing-day-book");
    door_put_daybook(d, plant, &options, book);
    if (svg) {
        pw_text picture, title;
        pw_text_init(&picture, d->arena);
        pw_text_init(&title, d->arena);
        put_title(plant, &options, &d->voice, &title);
        status = title.failed ? PW_MEMORY : pw_paper_day_svg(d->arena, plant, book, title.data, &d->voice, &picture);
        if (status != PW_OK || door_put_text(d, "svg", &picture) != PW_OK) {
            return PW_MEMORY;
        }
    }
    if (wanted.text || wanted.html) {
        pw_document *document;
        status = pw_paper_day(d->arena, plant, book, &d->voice, &document);
        return status == PW_OK ? door_put_papers(d, &wanted, document) : status;
    }
    return PW_OK;
}
