/* A stranger's program: sees the installed header and library only. Prints what went wrong, exit code 1 then. */
#include <pumpwright.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int wrong;

static void expect(bool truth, const char *words, int line)
{
    if (!truth) {
        printf("tests/library/use.c:%d: not so: %s\n", line, words);
        wrong = 1;
    }
}
#define EXPECT(truth) expect((truth), #truth, __LINE__)

static const char farm[] = "site: Farm\n"
                           "invented: yes\n"
                           "places: [{name: dam, level: 0 m}, {name: shed, level: 3 m}]\n"
                           "sources: [{name: dam, at: dam, kind: open, standing water level: 0.5 m, intake: 2 m}]\n"
                           "pumps:\n"
                           "  - name: pump\n"
                           "    from: dam\n"
                           "    to: shed\n"
                           "    curve:\n"
                           "      - {flow: 0 L/min, head: 52 m, efficiency: 0 %}\n"
                           "      - {flow: 30 L/min, head: 45 m, efficiency: 45 %}\n"
                           "      - {flow: 60 L/min, head: 24 m, efficiency: 38 %}\n"
                           "    motor: {power: 0.75 kW, phases: 1, voltage: 230 V}\n"
                           "vessels: [{name: vessel, at: shed, volume: 60 L, precharge: 180 kPa}]\n"
                           "outlets: [{name: taps, at: shed, needs: 100 kPa}]\n"
                           "sensors: [{name: pressure, kind: pressure, at: shed, from: 0 kPa, to: 1000 kPa}]\n"
                           "demand: [{outlet: taps, flow: 12 L/min, for: 5 min, at: 07:00, every: 2 h, until: 21:00}]\n"
                           "settings:\n"
                           "  - start when pressure below 200 kPa\n"
                           "  - \"stop when pressure above 350 kPa\"\n";

/* The farm with one piece of its text exchanged; the caller frees it. */
static char *changed(const char *from, const char *to)
{
    const char *at = strstr(farm, from);
    if (!at) {
        printf("tests/library/use.c: the farm has no \"%s\"\n", from);
        exit(1);
    }
    char *text = malloc(sizeof farm + strlen(to));
    memcpy(text, farm, (size_t)(at - farm));
    strcpy(text + (at - farm), to);
    strcat(text, at + strlen(from));
    return text;
}

static pumpwright_sheet *taken(const char *text)
{
    pumpwright_problems *problems = NULL;
    pumpwright_sheet *sheet = pumpwright_sheet_take(text, strlen(text), "farm.yaml", &problems);
    EXPECT(sheet && !problems);
    return sheet;
}

static void sheets_and_places(void)
{
    int32_t line = -1;
    int32_t column = -1;
    pumpwright_sheet *sheet = taken(farm);
    EXPECT(strncmp(pumpwright_sheet_json(sheet), "{\"site\":\"Farm\"", 14) == 0);
    EXPECT(pumpwright_sheet_where(sheet, "pumps[0].motor", &line, &column) && line == 13 && column == 5);
    EXPECT(pumpwright_sheet_where(sheet, "settings[1]", &line, &column) && line == 20 && column == 5);
    pumpwright_sheet_free(sheet);

    pumpwright_problems *problems = NULL;
    pumpwright_problem one;
    EXPECT(!pumpwright_sheet_take("site: [1\nx: 2", 13, NULL, &problems));
    EXPECT(pumpwright_problems_count(problems) == 1 && pumpwright_problems_at(problems, 0, &one));
    EXPECT(strcmp(one.status, "syntax") == 0 && one.line == 2 && !one.warning && one.words[0]);
    EXPECT(!pumpwright_problems_at(problems, 1, &one) && one.words && !one.words[0]);
    pumpwright_problems_free(problems);

    EXPECT(!pumpwright_sheet_read("/nowhere/at/all.yaml", &problems));
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.status, "file") == 0);
    pumpwright_problems_free(problems);
    EXPECT(!pumpwright_sheet_take("", 0, "empty", NULL));
    pumpwright_sheet_free(NULL);
    pumpwright_problems_free(NULL);
}

/* What the door finds wrong with the site has its place in the sheet as it was typed. */
static void problems_of_answers(void)
{
    char *text = changed("at: shed, needs", "at: shad, needs");
    pumpwright_problem one;
    pumpwright_sheet *sheet = taken(text);
    char *answer = pumpwright_sheet_ask(sheet, "check", NULL, NULL);
    EXPECT(!pumpwright_granted(answer));
    pumpwright_problems *problems = pumpwright_answer_problems(answer, sheet);
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.path, "outlets[0].at") == 0);
    EXPECT(one.line == 15 && one.column == 24 && strstr(one.hint, "shed") && strcmp(one.found, "shad") == 0);
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);
    pumpwright_sheet_free(sheet);
    free(text);

    text = changed("pressure above", "presure above");
    sheet = taken(text);
    answer = pumpwright_sheet_ask(sheet, "check", "{}", NULL);
    problems = pumpwright_answer_problems(answer, sheet);
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.path, "settings[1]") == 0);
    EXPECT(one.line == 20 && one.column == 16); /* the word in the sentence, behind the quotation mark */
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);

    /* A slip in the options is none of the sheet's. */
    answer = pumpwright_sheet_ask(sheet, "duty", " { \"presure\": \"3 bar\"}", NULL);
    problems = pumpwright_answer_problems(answer, sheet);
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.path, "presure") == 0);
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);
    answer = pumpwright_sheet_ask(sheet, "check", "nonsense", NULL);
    EXPECT(answer && !pumpwright_granted(answer));
    pumpwright_text_free(answer);
    pumpwright_sheet_free(sheet);
    free(text);
}

struct watcher {
    int told, asked, asked_most;
    double last;
};

static void watch(void *user, double done, const char *words)
{
    struct watcher *watcher = user;
    EXPECT(done >= 0 && done <= 1 && words);
    watcher->told++;
    watcher->last = done;
}

static bool enough(void *user)
{
    struct watcher *watcher = user;
    return ++watcher->asked > watcher->asked_most;
}

static void progress_and_stopping(void)
{
    struct watcher watcher = {0, 0, 1000000, 0};
    pumpwright_host host = {&watcher, watch, enough};
    pumpwright_sheet *sheet = taken(farm);
    const char *options = "{\"years\": 0, \"sweep\": 2, \"horizon\": \"1 d\"}";
    char *answer = pumpwright_sheet_ask(sheet, "prove", options, &host);
    EXPECT(pumpwright_granted(answer) && watcher.told > 0 && watcher.asked > 0);
    pumpwright_text_free(answer);

    watcher = (struct watcher){0, 0, 2, 0};
    answer = pumpwright_sheet_ask(sheet, "prove", options, &host);
    pumpwright_problems *problems = pumpwright_answer_problems(answer, sheet);
    pumpwright_problem one;
    EXPECT(!pumpwright_granted(answer));
    EXPECT(pumpwright_problems_at(problems, 0, &one) && strcmp(one.status, "cancelled") == 0);
    pumpwright_problems_free(problems);
    pumpwright_text_free(answer);
    pumpwright_sheet_free(sheet);
}

static void lent_memory(void)
{
    static const char request[] = "{\"do\":\"units\"}";
    static char block[4 << 20];
    size_t length = 0;
    const char *answer = pumpwright_ask_within(block, sizeof block, request, strlen(request), NULL, &length);
    EXPECT(pumpwright_granted(answer) && strlen(answer) == length);
    EXPECT(answer > block && answer < block + sizeof block);
    char *same = pumpwright_ask(request, strlen(request), NULL);
    EXPECT(same && strcmp(answer, same) == 0);
    pumpwright_text_free(same);
    answer = pumpwright_ask_within(block, 2000, request, strlen(request), NULL, NULL);
    EXPECT(!pumpwright_granted(answer));
    EXPECT(!pumpwright_ask_within(NULL, 0, request, strlen(request), NULL, NULL));
}

int main(void)
{
    EXPECT(strcmp(pumpwright_version(), PUMPWRIGHT_VERSION) == 0);
    sheets_and_places();
    problems_of_answers();
    progress_and_stopping();
    lent_memory();
    return wrong;
}
