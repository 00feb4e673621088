/* Walks over hand-drawn networks: a tree, a loop, two sources, a tank between, a non-return valve against. Each
 * expected set was read off the drawing above its test.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "site/topology.h"

static pw_site site;

/* Places a, b, c, ... by their letters; lines and pumps are pairs of letters: "ab" from a to b. */
static void draw(const char *places, const char *const *lines, const char *const *pumps)
{
    memset(&site, 0, sizeof site);
    site.place_count = (int32_t)strlen(places);
    for (int32_t l = 0; lines[l] != NULL; l++) {
        site.lines[l].from = lines[l][0] - 'a';
        site.lines[l].to = lines[l][1] - 'a';
        site.lines[l].open.v = 1.0;
        site.line_count++;
    }
    for (int32_t p = 0; pumps[p] != NULL; p++) {
        site.pumps[p].from = pumps[p][0] - 'a';
        site.pumps[p].to = pumps[p][1] - 'a';
        site.pump_count++;
    }
}

static void put_tank(char place)
{
    site.tanks[site.tank_count++].place = place - 'a';
}

static void put_source(char place)
{
    site.sources[site.source_count++].place = place - 'a';
}

static void put_vessel(char place)
{
    site.vessels[site.vessel_count++].place = place - 'a';
}

/* The places reached, in the order of the walk, as letters. */
static void expect(const pw_walk_rules *rules, const char *from, const char *expected)
{
    pw_reach reach = {0};
    char found[PW_MAX_PLACES + 1] = "";
    for (const char *at = from; *at != '\0'; at++) {
        pw_walk(&site, rules, *at - 'a', &reach);
    }
    for (int32_t i = 0; i < reach.count; i++) {
        found[i] = (char)('a' + reach.order[i]);
        assert_true(reach.at[reach.order[i]]);
    }
    assert_string_equal(found, expected);
}

static const char *const none[] = {NULL};

/*        c - e
 *       /
 *  a - b - d      f (by itself)
 */
static void a_tree(void **state)
{
    (void)state;
    static const char *const lines[] = {"ab", "bc", "bd", "ce", NULL};
    const pw_walk_rules joined = {.way = PW_WALK_JOINED};
    const pw_walk_rules down = {.way = PW_WALK_DOWN};
    const pw_walk_rules up = {.way = PW_WALK_UP};
    draw("abcdef", lines, none);
    expect(&joined, "a", "abcde");
    expect(&joined, "d", "dbace"); /* nearest first, then in the order of the sheet */
    expect(&joined, "f", "f");
    expect(&joined, "fa", "fabcde"); /* two walks add up */
    expect(&joined, "ae", "abcde");  /* what is reached is not walked again */
    expect(&down, "c", "cbead");     /* nothing stands in the way of water that goes back */
    expect(&up, "c", "cbead");
}

/*  a - b
 *  |   |   the line from c to d has a non-return valve, the one from a to c is shut
 *  c > d
 */
static void a_loop_with_valves(void **state)
{
    (void)state;
    static const char *const lines[] = {"ab", "bd", "ac", "cd", NULL};
    const pw_walk_rules joined = {.way = PW_WALK_JOINED};
    const pw_walk_rules down = {.way = PW_WALK_DOWN};
    const pw_walk_rules up = {.way = PW_WALK_UP};
    const pw_walk_rules open = {.way = PW_WALK_JOINED, .open_pipe = true};
    draw("abcd", lines, none);
    expect(&joined, "d", "dbca");
    site.lines[3].non_return = true;
    site.lines[2].open.v = 0.0;
    expect(&joined, "d", "dbca"); /* a pipe is a pipe */
    expect(&open, "d", "dba");
    expect(&open, "c", "c");
    expect(&down, "d", "dbac"); /* round the loop, not back through the valve */
    expect(&down, "c", "cadb");
    expect(&up, "d", "dbca");
    site.lines[1].non_return = true; /* now both ways to d are one way */
    expect(&down, "d", "d");
    expect(&up, "b", "bac");
    expect(&up, "d", "dbca");
}

/*  a(source) - b > P > c - d(vessel)
 *  e(source) - b
 */
static void two_sources_and_a_pump(void **state)
{
    (void)state;
    static const char *const lines[] = {"ab", "eb", "cd", NULL};
    static const char *const pumps[] = {"bc", NULL};
    const pw_walk_rules lines_only = {.way = PW_WALK_JOINED};
    const pw_walk_rules everything = {.way = PW_WALK_JOINED, .through_pumps = true};
    const pw_walk_rules up = {.way = PW_WALK_UP, .through_pumps = true};
    const pw_walk_rules down = {.way = PW_WALK_DOWN, .through_pumps = true};
    const pw_walk_rules to_sources = {.way = PW_WALK_JOINED, .ends = PW_SOURCES};
    const pw_walk_rules no_vessel = {.way = PW_WALK_JOINED, .barred = PW_VESSELS, .through_pumps = true};
    draw("abcde", lines, pumps);
    put_source('a');
    put_source('e');
    put_vessel('d');
    expect(&lines_only, "b", "bae");
    expect(&lines_only, "c", "cd");
    expect(&everything, "a", "abecd");
    expect(&up, "d", "dcbae");
    expect(&up, "b", "bae");
    expect(&down, "c", "cd");    /* no water comes back through a pump by this rule */
    expect(&down, "a", "abecd"); /* but through a line to a source that stands lower */
    expect(&to_sources, "b", "bae");
    expect(&to_sources, "a", "a"); /* ends where it begins, too */
    expect(&no_vessel, "b", "baec");
    const bool shut[PW_MAX_PLACES] = {[2] = true};
    const pw_walk_rules not_c = {.way = PW_WALK_JOINED, .through_pumps = true, .shut = shut};
    expect(&not_c, "a", "abe");
}

/*  a -> T(b) -> c -> T(d)   b is a tank between, d one at the end; e also fills b
 *  e ->/
 */
static void a_tank_between(void **state)
{
    (void)state;
    static const char *const lines[] = {"ab", "eb", "bc", "cd", NULL};
    const pw_walk_rules through = {.way = PW_WALK_JOINED};
    const pw_walk_rules ends = {.way = PW_WALK_JOINED, .ends = PW_TANKS};
    const pw_walk_rules barred = {.way = PW_WALK_JOINED, .barred = PW_TANKS};
    const pw_walk_rules down = {.way = PW_WALK_DOWN};
    const pw_walk_rules up = {.way = PW_WALK_UP};
    const pw_walk_rules up_to_tank = {.way = PW_WALK_UP, .ends = PW_TANKS | PW_SOURCES};
    draw("abcde", lines, none);
    put_tank('b');
    put_tank('d');
    expect(&through, "a", "abecd");
    expect(&ends, "a", "ab");
    expect(&ends, "c", "cbd");
    expect(&ends, "b", "b");
    expect(&barred, "a", "a");
    expect(&barred, "c", "c");
    expect(&down, "a", "abcd"); /* not up the other line into the tank */
    expect(&down, "d", "d");    /* nothing comes back out of an inlet */
    expect(&up, "c", "cbae");   /* the tank's water came from above */
    expect(&up_to_tank, "c", "cb");
    pw_reach reach = {0};
    pw_walk(&site, &barred, 2, &reach);
    assert_true(reach.inlet[1]);  /* c fills d, over its water */
    assert_false(reach.inlet[0]); /* and draws from b */
    pw_walk(&site, &barred, 0, &reach);
    assert_true(reach.inlet[0]);
}

static void what_stands_there(void **state)
{
    (void)state;
    static const char *const lines[] = {"ab", "cb", "bd", NULL};
    static const char *const pumps[] = {"ab", "cb", NULL};
    int32_t here[PW_MAX_LINES];
    draw("abcd", lines, pumps);
    put_source('a');
    put_tank('d');
    put_vessel('b');
    site.outlets[0].place = 1;
    site.outlets[1].place = 1;
    site.outlet_count = 2;
    assert_int_equal(pw_lines_at(&site, 1, here), 3);
    assert_int_equal(here[0], 0);
    assert_int_equal(here[2], 2);
    assert_int_equal(pw_lines_at(&site, 3, NULL), 1);
    assert_int_equal(pw_site_source_at(&site, 0), 0);
    assert_int_equal(pw_site_source_at(&site, 2), -1);
    assert_int_equal(pw_site_tank_at(&site, 3), 0);
    assert_int_equal(pw_site_vessel_at(&site, 1), 0);
    assert_int_equal(pw_site_outlet_at(&site, 1), 0);
    assert_int_equal(pw_site_pump_into(&site, 1), 0);
    assert_int_equal(pw_site_pump_into(&site, 0), -1);
}

/* The way that water comes by, as letters from its end on; NULL: there is no such way. */
static void expect_lead(char from, const char *ends, const char *lines)
{
    bool at[PW_MAX_PLACES] = {false};
    pw_lead lead;
    for (; *ends != '\0'; ends++) {
        at[*ends - 'a'] = true;
    }
    assert_int_equal(pw_lead_up(&site, from - 'a', at, &lead), lines != NULL);
    for (int32_t i = 0; lines != NULL && i < lead.line_count; i++) {
        const pw_line *line = &site.lines[lead.lines[i]];
        assert_int_equal(lead.along[i] ? line->to : line->from, lines[i] - 'a');
        assert_int_equal(lead.along[i] ? line->from : line->to, lines[i + 1] - 'a');
    }
    if (lines != NULL) {
        assert_int_equal(lead.line_count, strlen(lines) - 1);
    }
}

/* a - b - c - d, the line between b and c against the water; e hangs on b and leads away; f is met by two. */
static void leads(void **state)
{
    (void)state;
    static const char *const lines[] = {"ab", "cb", "cd", "be", "ef", "df", NULL};
    static const char *const pumps[] = {"ef", NULL};
    draw("abcdef", lines, none);
    expect_lead('d', "a", "dcba");
    expect_lead('d', "c", "dc");
    expect_lead('a', "a", "a");
    expect_lead('f', "a", NULL);
    site.lines[1].non_return = true;
    site.lines[2].non_return = true;
    expect_lead('c', "a", NULL); /* nothing brings water to c */
    draw("abcdef", lines, pumps);
    expect_lead('f', "a", NULL); /* a pump does */
}

/* A sheet with mistakes may have ways that lead nowhere. */
static void ends_unknown(void **state)
{
    (void)state;
    static const char *const lines[] = {"ab", "bc", NULL};
    const pw_walk_rules joined = {.way = PW_WALK_JOINED, .through_pumps = true};
    pw_reach reach = {0};
    draw("abc", lines, none);
    site.lines[1].to = -1;
    expect(&joined, "a", "ab");
    pw_walk(&site, &joined, -1, &reach);
    assert_int_equal(reach.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tree),
        cmocka_unit_test(a_loop_with_valves),
        cmocka_unit_test(two_sources_and_a_pump),
        cmocka_unit_test(a_tank_between),
        cmocka_unit_test(what_stands_there),
        cmocka_unit_test(leads),
        cmocka_unit_test(ends_unknown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
