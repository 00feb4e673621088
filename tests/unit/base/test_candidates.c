/* Names that share words with what was typed. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/candidates.h"
#include "base/status.h"
#include "base/text.h"

static const char *const names[] = {
    "PE100 40 SDR 11",     "PE100 50 SDR 11",  "PE100 50 SDR 17", "PVC-U 50 PN10",     "PVC-U 50 PN16",
    "steel DN40",          "steel DN40 heavy", "galvanised DN40", "copper 22",         "slow leak",
    "float valve passing", "steel 1-1/2 in",   "steel 1/2 in",    "PE100 63 SDR 13.6", "copper 35"};
enum { COUNT = sizeof names / sizeof names[0] };

static const char *name_at(int32_t i, char room[PW_CANDIDATE_ROOM])
{
    pw_copy(room, PW_CANDIDATE_ROOM, names[i]);
    return room;
}

static const char *present(const char *word)
{
    return strcmp(word, "poly") == 0 ? "pe" : word;
}

static void check(const char *typed, const char *id, const char *want)
{
    char words[PW_WORDS_SIZE] = "";
    const pw_fact fact = pw_candidates_fact(typed, COUNT, name_at, present, words);
    if (id == NULL) {
        assert_null(fact.id);
        return;
    }
    if (fact.id == NULL || strcmp(fact.id, id) != 0 || strcmp(words, want) != 0) {
        fail_msg("%s: %s %s, expected %s %s", typed, fact.id != NULL ? fact.id : "nothing", words, id, want);
    }
    assert_ptr_equal(fact.values[0].text, words);
}

static void several_fit(void **unused)
{
    (void)unused;
    check("PVC 50", "input.candidates", "PVC-U 50 PN10, PVC-U 50 PN16");
    check("poly 50", "input.candidates", "PE100 50 SDR 11, PE100 50 SDR 17");
    check("Poly 50 PN 10", "input.candidates",
          "PE100 50 SDR 11, PE100 50 SDR 17");                       /* the material before the numbers */
    check("copper 3/4", "input.candidates", "copper 22, copper 35"); /* no slip for 35 */
    check("copper", "input.candidates", "copper 22, copper 35");
    check("DN40", "input.candidates", "steel DN40, steel DN40 heavy, galvanised DN40");
    check("50 mm pipe", "input.candidates", "PE100 50 SDR 11, PE100 50 SDR 17, PVC-U 50 PN10, PVC-U 50 PN16");
}

static void one_fits(void **unused)
{
    (void)unused;
    check("leak", "input.did-you-mean", "slow leak");
    check("leek", "input.did-you-mean", "slow leak");
    check("1 1/2 inch", "input.did-you-mean", "steel 1-1/2 in"); /* not what has a 1 and a 2 */
    check("1/2\" iron steel", "input.did-you-mean", "steel 1/2 in");
    check("poly SDR 13.6", "input.did-you-mean", "PE100 63 SDR 13.6");
    check("cuprum", NULL, NULL);
    check("PE100 41 SDR 11", "input.did-you-mean", "PE100 40 SDR 11"); /* spelt nearly so */
    check("flaot valve pasing", "input.did-you-mean", "float valve passing");
}

static void none_fits(void **unused)
{
    (void)unused;
    check("rubber", NULL, NULL);
    check("", NULL, NULL);
    check("mm", NULL, NULL);
    check("%%% ---", NULL, NULL);
    char longer[600];
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    check(longer, NULL, NULL);
}

static const char *many_at(int32_t i, char room[PW_CANDIDATE_ROOM])
{
    memcpy(room, "valve number 000", sizeof "valve number 000");
    room[13] = (char)('0' + i / 100);
    room[14] = (char)('0' + i / 10 % 10);
    room[15] = (char)('0' + i % 10);
    return room;
}

/* A list is cut between two names, and says how many more there are. */
static void lists_are_cut_between_names(void **unused)
{
    (void)unused;
    char words[PW_WORDS_SIZE];
    const pw_fact fact = pw_candidates_fact("valve", 120, many_at, NULL, words);
    assert_string_equal(fact.id, "input.candidates");
    const size_t length = strlen(words), each = strlen("valve number 000, ");
    assert_int_equal((length + 2) % each, 0);
    assert_int_equal(fact.values[1].whole, 120 - (int64_t)((length + 2) / each));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(several_fit),
        cmocka_unit_test(one_fits),
        cmocka_unit_test(none_fits),
        cmocka_unit_test(lists_are_cut_between_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
