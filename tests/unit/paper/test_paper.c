/* Papers from a made-up proof: golden text, well-formed HTML, contrast, widths, memory. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "paper/inside.h"
#include "paper/paper.h"
#include "study/guarantee.h"
#include "unit/study/sheet.h"

#define LPM    (1e-3 / 60.0)
#define GOLDEN PW_SOURCE_DIR "/tests/unit/paper/proof.txt"

typedef struct kit {
    void *block;
    pw_arena arena;
    pw_plant *plant;
    pw_proof *proof;
    pw_outcome *outcomes;
    pw_units units;
    pw_voice voice;
} kit;

/* Outcomes by rule: leaks of 6 to 40 L/min are seen by sentence 3, from 48 L/min by sentence 4; lost air over 50 % is
 * warned of; dry sources are stopped too late when nothing is left; everything else is never seen. */
static void make_up(kit *k, const pw_jobs *jobs)
{
    for (int32_t i = 0; i < jobs->count; i++) {
        const pw_fault *fault = &jobs->jobs[i].fault;
        pw_outcome *out = &k->outcomes[i];
        out->job = i;
        out->caught_by = -1;
        out->seconds = jobs->jobs[i].kind == PW_JOB_HEALTHY ? 365.0 * 86400.0 : 14.0 * 86400.0;
        out->winding_max_c = 41.5;
        double leak = fault->severity / LPM;
        bool leaks = fault->kind == PW_FAULT_SLOW_LEAK || fault->kind == PW_FAULT_BURST;
        if (jobs->jobs[i].kind == PW_JOB_HEALTHY) {
            out->false_stops = jobs->jobs[i].year == 2;
            out->false_by[3] = out->false_stops;
            continue;
        }
        if (leaks && leak >= 6.0 && leak <= 40.0) {
            out->caught_by = 2;
        }
        if (leaks && leak >= 48.0) {
            out->caught_by = 3;
        }
        if (fault->kind == PW_FAULT_LOST_AIR && fault->severity > 0.5) {
            out->caught_by = 4;
        }
        if (fault->kind == PW_FAULT_DRY_SOURCE && fault->severity == 0.0) {
            out->caught_by = 3;
        }
        out->stopped = out->caught_by == 2 || out->caught_by == 3;
        if (out->caught_by >= 0) {
            out->seconds = out->caught_by == 3 ? 5400.0 : 3210.0;
        }
        if (fault->kind == PW_FAULT_DRY_SOURCE && fault->severity == 0.0) {
            out->dry_s = 4000.0;
        }
        out->lost_m3 = leaks ? fault->severity * out->seconds : 0.0;
        out->lost_per_day_m3 = leaks ? fault->severity * 86400.0 : 0.0;
        out->starts = floor(out->seconds / 300.0);
        out->starts_per_hour = 12.0;
        out->longest_run_s = 77.0;
    }
}

static int set_up(void **state)
{
    kit *k = calloc(1, sizeof *k);
    size_t size = (size_t)64 << 20;
    k->block = malloc(size);
    pw_arena_init(&k->arena, k->block, size);
    k->plant = test_plant(&k->arena);
    assert_non_null(k->plant);
    k->units = pw_units_metric();
    k->voice = (pw_voice){PW_ENGLISH, &k->units};
    pw_proof_options options;
    pw_proof_defaults(&options);
    options.sweep_count = 24;
    pw_jobs *jobs = NULL;
    assert_int_equal(pw_proof_plan(&k->arena, k->plant, &options, &jobs, NULL), PW_OK);
    k->outcomes = calloc((size_t)jobs->count, sizeof *k->outcomes);
    make_up(k, jobs);
    assert_int_equal(pw_proof_assemble(&k->arena, k->plant, &options, jobs, k->outcomes, &k->proof, NULL), PW_OK);
    pw_guarantees *guarantees = NULL;
    assert_int_equal(pw_guarantees_of(&k->arena, k->plant, &guarantees, NULL), PW_OK);
    k->proof->guarantees = guarantees;
    *state = k;
    return 0;
}

static int tear_down(void **state)
{
    kit *k = *state;
    free(k->outcomes);
    free(k->block);
    free(k);
    return 0;
}

static const char *text_of(kit *k, const pw_document *document, int32_t width, bool colour)
{
    pw_text text;
    pw_text_init(&text, &k->arena);
    assert_int_equal(pw_document_text(document, width, colour, &text), PW_OK);
    return text.data;
}

static const char *html_of(kit *k, const pw_document *document)
{
    pw_text text;
    pw_text_init(&text, &k->arena);
    assert_int_equal(pw_document_html(document, &text), PW_OK);
    return text.data;
}

static pw_document *proof_of(kit *k)
{
    pw_document *document = NULL;
    assert_int_equal(pw_paper_proof(&k->arena, k->proof, &k->voice, &document), PW_OK);
    return document;
}

/* PW_WRITE_GOLDEN=1 writes the file anew; look at the difference before keeping it. */
static void test_golden(void **state)
{
    kit *k = *state;
    const char *got = text_of(k, proof_of(k), 80, false);
    if (getenv("PW_WRITE_GOLDEN") != NULL) {
        FILE *file = fopen(GOLDEN, "wb");
        assert_non_null(file);
        fputs(got, file);
        fclose(file);
    }
    FILE *file = fopen(GOLDEN, "rb");
    assert_non_null(file);
    static char expected[1 << 17];
    size_t length = fread(expected, 1, sizeof expected - 1, file);
    fclose(file);
    expected[length] = '\0';
    if (strcmp(got, expected) != 0) {
        size_t i = 0;
        while (got[i] == expected[i]) {
            i++;
        }
        size_t from = i > 60 ? i - 60 : 0;
        fail_msg("differs from %s at byte %zu:\ngot      <%.120s>\nexpected <%.120s>", GOLDEN, i, got + from,
                 expected + from);
    }
}

/* Numbers that the paper must say, worked out from the rules above. */
static void test_says(void **state)
{
    kit *k = *state;
    const char *text = text_of(k, proof_of(k), 200, false);
    static const char *const needed[] = {
        "In 10 healthy years of the same days the settings stopped the site 1 time for nothing: 0.1 a year.",
        "no bound follows", /* its draws repeat */
        "1 stop by 4: lock out when running for 90 min",
        "0.05 L/min",
        "72 L at its lower end", /* 0.05 L/min is 72 L a day */
        "53 min 30 s",           /* 3210 s */
        "1 h 30 min",
        "1 h 7 min", /* 4000 s dry */
        "stopped too late",
        "detected, not stopped",
        "15 starts in 1 h need 14 an hour",
        "Invented site",
        "local codes come first"};
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        if (strstr(text, needed[i]) == NULL) {
            fail_msg("missing: %s", needed[i]);
        }
    }
    assert_null(strstr(text, "nan"));
    assert_null(strstr(text, "null"));
}

static void check_width(const char *text, int32_t width)
{
    for (const char *line = text; *line != '\0';) {
        const char *end = strchr(line, '\n');
        assert_non_null(end);
        int32_t columns = 0;
        for (const char *c = line; c < end; c++) {
            columns += ((unsigned char)*c & 0xC0) != 0x80;
        }
        if (columns > width) {
            fail_msg("%d columns, not %d: %.*s", columns, width, (int)(end - line), line);
        }
        if (end > line && end[-1] == ' ') {
            fail_msg("space at the end: %.*s", (int)(end - line), line);
        }
        line = end + 1;
    }
}

static void test_width(void **state)
{
    kit *k = *state;
    pw_document *document = proof_of(k);
    for (int32_t width = 40; width <= 200; width += 7) {
        check_width(text_of(k, document, width, false), width);
    }
    check_width(text_of(k, document, 80, false), 80);
}

/* Colour only adds escape sequences: taking them out gives the same text, and each is ended. */
static void test_colour(void **state)
{
    kit *k = *state;
    pw_document *document = proof_of(k);
    const char *plain = text_of(k, document, 80, false), *coloured = text_of(k, document, 80, true);
    int32_t open = 0;
    const char *p = plain;
    for (const char *c = coloured; *c != '\0'; c++) {
        if (*c == '\033') {
            open = strncmp(c, "\033[0m", 4) == 0 ? 0 : 1;
            while (*c != 'm') {
                c++;
            }
            continue;
        }
        assert_int_equal(*p, *c);
        p++;
    }
    assert_int_equal(*p, '\0');
    assert_int_equal(open, 0);
}

/* Tags are balanced, attributes quoted, nothing is fetched, nothing runs. */
static void check_html(const char *html)
{
    static const char *const alone[] = {"meta", "!DOCTYPE"};
    const char *stack[64];
    size_t lengths[64];
    int32_t depth = 0;
    for (const char *at = strchr(html, '<'); at != NULL; at = strchr(at + 1, '<')) {
        const char *end = strchr(at, '>');
        assert_non_null(end);
        bool closes = at[1] == '/';
        const char *name = at + 1 + closes;
        size_t length = strcspn(name, " >/");
        bool single = end[-1] == '/';
        for (size_t i = 0; i < 2; i++) {
            single = single || strncmp(name, alone[i], length) == 0;
        }
        int32_t quotes = 0;
        for (const char *c = at; c < end; c++) {
            quotes += *c == '"';
        }
        assert_int_equal(quotes % 2, 0);
        if (closes) {
            assert_true(depth > 0);
            depth--;
            if (lengths[depth] != length || strncmp(stack[depth], name, length) != 0) {
                fail_msg("wrong end: %.80s", at);
            }
        } else if (!single) {
            assert_true(depth < 64);
            stack[depth] = name;
            lengths[depth] = length;
            depth++;
        }
    }
    assert_int_equal(depth, 0);
    static const char *const never[] = {"<script",    "http:", "https:", "url(//", "@import", "src=",  "href=",
                                        "javascript", "NaN",   "nan\"",  "null",   "onload",  "<yard>"};
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        if (strstr(html, never[i]) != NULL) {
            fail_msg("must not be in a paper: %s: %.60s", never[i], strstr(html, never[i]));
        }
    }
}

/* Every id stands once. */
static void check_ids(const char *html)
{
    static const char *ids[512];
    int32_t count = 0;
    for (const char *at = strstr(html, " id=\""); at != NULL; at = strstr(at + 1, " id=\"")) {
        for (int32_t i = 0; i < count; i++) {
            size_t length = strcspn(at + 5, "\"") + 1;
            if (strncmp(ids[i], at + 5, length) == 0) {
                fail_msg("twice: %.20s", at + 5);
            }
        }
        assert_true(count < 512);
        ids[count] = at + 5;
        count++;
    }
    assert_true(count > 0);
}

static void test_html(void **state)
{
    kit *k = *state;
    const char *html = html_of(k, proof_of(k));
    check_html(html);
    check_ids(html);
    assert_non_null(strstr(html, "Test &amp; &lt;yard&gt;"));
    assert_non_null(strstr(html, "INVENTED"));
    assert_non_null(strstr(html, "role=\"img\""));
    assert_non_null(strstr(html, "scope=\"col\""));
    assert_non_null(strstr(html, "prefers-color-scheme:dark"));
}

/* ---- contrast, WCAG 2.2: relative luminance and ratio (from memory) ---- */

static double luminance(const char *hex)
{
    double sum = 0.0;
    static const double part[3] = {0.2126, 0.7152, 0.0722};
    size_t digits = strspn(hex, "0123456789abcdef") >= 6 ? 2 : 1;
    for (size_t i = 0; i < 3; i++) {
        char two[3] = {hex[i * digits], digits == 2 ? hex[i * 2 + 1] : hex[i], '\0'};
        double c = (double)strtol(two, NULL, 16) / 255.0;
        sum += part[i] * (c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4));
    }
    return sum;
}

static double contrast(const char *style, const char *a, const char *b)
{
    char key[40];
    snprintf(key, sizeof key, "--%s:#", a);
    const char *first = strstr(style, key);
    snprintf(key, sizeof key, "--%s:#", b);
    const char *second = strstr(style, key);
    assert_non_null(first);
    assert_non_null(second);
    double one = luminance(strchr(first, '#') + 1), two = luminance(strchr(second, '#') + 1);
    double high = one > two ? one : two, low = one > two ? two : one;
    return (high + 0.05) / (low + 0.05);
}

static void test_contrast(void **state)
{
    (void)state;
    static char style[1 << 15];
    style[0] = '\0';
    for (int32_t i = 0; paper_style[i] != NULL; i++) {
        strcat(style, paper_style[i]);
    }
    const char *grounds[3] = {style, strstr(style, "prefers-color-scheme:dark"), strstr(style, "@media print")};
    static const char *const words[] = {"ink", "soft", "good", "bad", "caution"};
    static const char *const marks[] = {"c0", "c1", "c2", "c3", "c4", "c5", "rule"};
    for (size_t g = 0; g < 3; g++) {
        assert_non_null(grounds[g]);
        for (size_t i = 0; i < 5; i++) {
            if (contrast(grounds[g], words[i], "ground") < 7.0) {
                fail_msg("%s on ground %zu: %g", words[i], g, contrast(grounds[g], words[i], "ground"));
            }
        }
        if (contrast(grounds[g], "ink", "card") < 7.0) {
            fail_msg("ink on card %zu", g);
        }
        if (contrast(grounds[g], "bad", "hatch-ground") < 7.0) {
            fail_msg("bad on hatching %zu: %g", g, contrast(grounds[g], "bad", "hatch-ground"));
        }
        for (size_t i = 0; i < 7; i++) {
            if (contrast(grounds[g], marks[i], "ground") < 3.0) {
                fail_msg("%s on ground %zu: %g", marks[i], g, contrast(grounds[g], marks[i], "ground"));
            }
        }
    }
}

/* ---- the other papers ---- */

static void test_day(void **state)
{
    kit *k = *state;
    pw_run_options options;
    memset(&options, 0, sizeof options);
    options.length_ms = (int64_t)86400 * 1000;
    options.sample_ms = 60000;
    options.sample_capacity = 4000;
    options.entry_capacity = 2000;
    pw_daybook *book = NULL;
    assert_int_equal(pw_run(&k->arena, k->plant, &options, &book, NULL), PW_OK);
    pw_document *document = NULL;
    assert_int_equal(pw_paper_day(&k->arena, k->plant, book, &k->voice, &document), PW_OK);
    const char *html = html_of(k, document), *text = text_of(k, document, 80, false);
    check_html(html);
    check_ids(html);
    check_width(text, 80);
    assert_non_null(strstr(text, "cut-in 250 kPa"));
    assert_non_null(strstr(text, "06:30:00"));
    assert_non_null(strstr(text, "bore pump starts"));
    /* with more entries than were kept, and none at all */
    options.entry_capacity = 3;
    options.sample_ms = 0;
    assert_int_equal(pw_run(&k->arena, k->plant, &options, &book, NULL), PW_OK);
    assert_int_equal(pw_paper_day(&k->arena, k->plant, book, &k->voice, &document), PW_OK);
    assert_non_null(strstr(text_of(k, document, 80, false), "left out ..."));
    assert_non_null(strstr(text_of(k, document, 200, false), "of draws, flow switches and the like are left out"));
    assert_true(book->entry_count == 2 || book->entry_count == 3);
    assert_int_equal(book->entries[book->entry_count - 1].kind, PW_ENTRY_END);
    assert_int_equal(book->entries[1].left_out + (book->entry_count == 3 ? book->entries[2].left_out : 0),
                     book->entries_lost);
    book->burnt_ms = 676000;
    assert_int_equal(pw_paper_day(&k->arena, k->plant, book, &k->voice, &document), PW_OK);
    assert_non_null(
        strstr(text_of(k, document, 200, false), "bore pump burnt out after 11 min 16 s and does not turn"));
    options.entry_capacity = 0;
    assert_int_equal(pw_run(&k->arena, k->plant, &options, &book, NULL), PW_OK);
    assert_int_equal(pw_paper_day(&k->arena, k->plant, book, &k->voice, &document), PW_OK);
    assert_non_null(strstr(text_of(k, document, 80, false), "No entries were kept."));
}

static void test_duty(void **state)
{
    kit *k = *state;
    pw_duty_row rows[2];
    memset(rows, 0, sizeof rows);
    rows[0].pressure_pa = 250e3;
    rows[0].at = PW_DUTY_CUT_IN;
    rows[0].duty = (pw_duty){
        .flow_m3s = 60.0 * LPM, .head_m = 45.0, .npsh_available_m = 2.0, .npsh_required_m = 3.5, .drawdown_m = 1.25};
    rows[1] = rows[0];
    rows[1].at = PW_DUTY_CUT_OUT;
    rows[1].duty.flow_m3s = 0.0;
    rows[1].duty.way = PW_DUTY_LOW;
    rows[1].duty.vessel = true;
    rows[1].duty.npsh_required_m = -1.0;
    pw_document *document = NULL;
    assert_int_equal(pw_paper_duty(&k->arena, k->plant, rows, 2, &k->voice, &document), PW_OK);
    const char *text = text_of(k, document, 80, false);
    check_html(html_of(k, document));
    check_width(text, 80);
    assert_non_null(strstr(text, "asks for 3.5 m of NPSH and has 2 m"));
    assert_non_null(strstr(text, "delivers nothing"));
    assert_non_null(strstr(text, "falls by 1.25 m"));
    rows[1].duty.way = PW_DUTY_BLOCKED;
    rows[1].duty.summit = 0;
    rows[1].duty.summit_m = 75.0;
    rows[1].duty.reach_m = 40.0;
    assert_int_equal(pw_paper_duty(&k->arena, k->plant, rows, 2, &k->voice, &document), PW_OK);
    text = text_of(k, document, 80, false);
    assert_null(strstr(text, "delivers nothing"));
    assert_non_null(strstr(text, "lifts it to 40 m"));
}

static void test_check(void **state)
{
    kit *k = *state;
    pw_problems *problems = calloc(1, sizeof *problems);
    pw_document *document = NULL;
    assert_int_equal(
        pw_paper_check(&k->arena, "sheet.yaml", k->plant->site, k->plant->settings, problems, &k->voice, &document),
        PW_OK);
    assert_non_null(strstr(text_of(k, document, 80, false), "nothing is wrong"));
    pw_problem_add(problems, PW_RANGE, "site.pumps[0].speed", "7", "0.1 to 1.5", "90 % is 0.9");
    pw_warning_add(problems, PW_MISSING, "site.vessels", "<none>", "a vessel", NULL);
    problems->items[0].line = 12;
    problems->lost = 3;
    assert_int_equal(pw_paper_check(&k->arena, "sheet.yaml", NULL, NULL, problems, &k->voice, &document), PW_OK);
    const char *text = text_of(k, document, 200, false);
    assert_non_null(strstr(text, "sheet.yaml"));
    assert_non_null(strstr(text, "cannot be used yet"));
    assert_non_null(strstr(text, "site.pumps[0].speed, line 12: "));
    assert_non_null(strstr(text, "found 7; expected 0.1 to 1.5. 90 % is 0.9"));
    assert_non_null(strstr(text, "3 further problems"));
    check_html(html_of(k, document));
    free(problems);
}

/* In US units no metric unit is left in what the paper computes. */
static void test_units(void **state)
{
    kit *k = *state;
    kit us = *k;
    assert_int_equal(pw_units_read("us", &us.units, NULL), PW_OK);
    pw_document *document = NULL;
    assert_int_equal(pw_paper_proof(&us.arena, us.proof, &(pw_voice){PW_ENGLISH, &us.units}, &document), PW_OK);
    const char *text = text_of(&us, document, 120, false);
    const char *site = strstr(text, "Faults tried");
    assert_non_null(strstr(site, "gpm"));
    assert_null(strstr(site, "L/min"));
    assert_null(strstr(site, "kPa"));
}

/* Every arena that is too small gives PW_MEMORY and no document. */
static void test_memory(void **state)
{
    kit *k = *state;
    size_t size = 0;
    bool done = false;
    uint8_t *block = malloc(8 << 20);
    for (size = 0; size < (8 << 20) && !done; size += size < 65536 ? 997 : 9973) {
        pw_arena small;
        pw_arena_init(&small, block, size);
        pw_document *document = (pw_document *)block;
        pw_status status = pw_paper_proof(&small, k->proof, &k->voice, &document);
        assert_true(status == PW_OK || status == PW_MEMORY);
        assert_int_equal(status == PW_OK, document != NULL);
        if (status != PW_OK) {
            continue;
        }
        pw_text html, text;
        pw_text_init(&html, &small);
        pw_status first = pw_document_html(document, &html);
        pw_text_init(&text, &small);
        pw_status second = pw_document_text(document, 80, true, &text);
        assert_true(first == PW_OK || first == PW_MEMORY);
        assert_true(second == PW_OK || second == PW_MEMORY);
        done = first == PW_OK && second == PW_OK;
    }
    assert_true(done);
    free(block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_golden), cmocka_unit_test(test_says),  cmocka_unit_test(test_width),
        cmocka_unit_test(test_colour), cmocka_unit_test(test_html),  cmocka_unit_test(test_contrast),
        cmocka_unit_test(test_day),    cmocka_unit_test(test_duty),  cmocka_unit_test(test_check),
        cmocka_unit_test(test_units),  cmocka_unit_test(test_memory)};
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
