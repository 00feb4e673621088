#include "cli/show.h"

#include <stdio.h>
#include <string.h>

#include "base/num.h"
#include "base/text.h"
#include "cli/voice.h"

void cli_show_json(pw_arena *arena, const pw_json *answer, int32_t indent)
{
    pw_text text;
    pw_json_writer writer;
    pw_text_init(&text, arena);
    pw_json_writer_init(&writer, &text, indent);
    pw_json_open(&writer, NULL, '{');
    for (const pw_json *member = answer->first; member; member = member->next) {
        if (strcmp(member->key, "html") != 0) {
            pw_json_value(&writer, member->key, member);
        }
    }
    pw_json_close(&writer, '}');
    fwrite(text.data, 1, text.failed ? 0 : text.length, stdout);
    fputc('\n', stdout);
}

static const char *text_of(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->string ? value->string : "";
}

static const pw_json *first_of(const pw_json *object, const char *key)
{
    const pw_json *list = pw_json_get(object, key);
    return list ? list->first : NULL;
}

static bool is_true(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->truth;
}

static void show_settings(const pw_json *answer)
{
    int number = 0;
    for (const pw_json *sentence = first_of(answer, "sentences"); sentence; sentence = sentence->next) {
        number++;
        printf("%2d  %s%s\n", number, text_of(sentence, "words"),
               is_true(sentence, "watch") ? pw_say_word(cli_voice(), "cli.watch") : "");
    }
}

/* As it stands in a sheet, in the place of the trace. */
static void show_habits(const pw_json *answer)
{
    for (const pw_json *home = first_of(answer, "homes"); home; home = home->next) {
        const char *begin = "  - ";
        for (const pw_json *key = first_of(home, "household"); key; key = key->next) {
            if (key->kind == PW_JSON_STRING) {
                printf("%s%s: %s\n", begin, key->key, key->string);
            } else {
                printf("%s%s: %.4g\n", begin, key->key, key->number);
            }
            begin = "    ";
        }
    }
}

static void show_pipes(const pw_json *answer)
{
    char bore[40], bar[40];
    for (const pw_json *pipe = first_of(answer, "pipes"); pipe; pipe = pipe->next) {
        const pw_json *bore_m = pw_json_get(pipe, "bore_m");
        pw_num_fixed(bore_m ? bore_m->number * 1000.0 : 0.0, 1, bore);
        const pw_json *nominal_pa = pw_json_get(pipe, "nominal_pa");
        pw_num_digits(nominal_pa ? nominal_pa->number * 1e-5 : 0.0, 3, bar);
        printf("%s\n", cli_words(pw_fact_of("cli.bore-mm", pw_named(text_of(pipe, "name")), pw_named(bore),
                                            pw_truth(nominal_pa != NULL), pw_named(bar))));
    }
}

static void show_faults(const pw_json *answer)
{
    for (const pw_json *fault = first_of(answer, "faults"); fault; fault = fault->next) {
        const pw_json *possible = pw_json_get(fault, "possible");
        printf("%s\n", text_of(fault, "what"));
        if (text_of(fault, "severity")[0]) {
            printf("    %s\n", cli_words(pw_fact_of("cli.severity", pw_named(text_of(fault, "severity")),
                                                    pw_named(text_of(fault, "unit")))));
        }
        if (text_of(fault, "mild")[0]) {
            printf("    %s .. %s\n", text_of(fault, "mild"), text_of(fault, "severe"));
        }
        if (text_of(fault, "example")[0]) {
            printf("    %s\n", cli_words(pw_fact_of("cli.fault-example", pw_named(text_of(fault, "example")))));
        }
        if (possible && !possible->truth) {
            printf("    %s\n", pw_say_word(cli_voice(), "cli.cannot-happen"));
        }
        if (text_of(fault, "at")[0]) {
            printf("    %s\n", cli_words(pw_fact_of("cli.where", pw_named(text_of(fault, "at")))));
        }
        const pw_json *severity = first_of(fault, "severities");
        for (bool first = true; severity; severity = severity->next, first = false) {
            const char *words = text_of(severity, "words");
            printf("%s%s", first ? "    " : ", ", first ? cli_words(pw_fact_of("cli.tried", pw_named(words))) : words);
        }
        printf("%s", first_of(fault, "severities") ? "\n" : "");
    }
}

/* Characters, not bytes: "15 °C" is five wide. */
static int width_of(const char *text)
{
    int count = 0;
    for (; *text; text++) {
        count += ((unsigned char)*text & 0xC0u) != 0x80u;
    }
    return count;
}

static int widest(const pw_json *answer, const char *key)
{
    int most = 0;
    for (const pw_json *one = first_of(answer, "parameters"); one; one = one->next) {
        const int width = width_of(text_of(one, key));
        most = width > most ? width : most;
    }
    return most;
}

static const char *origin_id(const char *origin)
{
    static const char *const rows[][2] = {
        {"given", "cli.origin-given"}, {"pipe", "cli.origin-pipe"}, {"default", "cli.origin-default"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(origin, rows[i][0]) == 0) {
            return rows[i][1];
        }
    }
    return "cli.origin-left-out";
}

/* One line for each; whoever asks for few is told what they are, too. */
static void show_parameters(const pw_json *answer, bool few)
{
    const int path_width = widest(answer, "path");
    const int value_width = widest(answer, "value");
    for (const pw_json *one = first_of(answer, "parameters"); one; one = one->next) {
        const char *path = text_of(one, "path");
        const char *value = text_of(one, "value");
        printf("%s%*s  %*s%s  %s\n", path, path_width - width_of(path), "", value_width - width_of(value), "", value,
               cli_words(pw_fact_of("cli.within", pw_named(text_of(one, "least")), pw_named(text_of(one, "most")),
                                    pw_word(origin_id(text_of(one, "origin"))))));
        if (few) {
            printf("    %s\n", text_of(one, "what"));
            if (text_of(one, "reason")[0]) {
                printf("    %s\n", cli_words(pw_fact_of("cli.default-is", pw_named(text_of(one, "reason")))));
            }
        }
    }
}

static void show_formulas(const pw_json *answer)
{
    for (const pw_json *formula = first_of(answer, "formulas"); formula; formula = formula->next) {
        printf("%s: %s. %s\n", text_of(formula, "name"), text_of(formula, "title"), text_of(formula, "says"));
        for (const pw_json *input = first_of(formula, "inputs"); input; input = input->next) {
            const char *unit = text_of(input, "unit");
            const pw_json *low = pw_json_get(input, "low");
            const pw_json *high = pw_json_get(input, "high");
            const pw_json *left_out = pw_json_get(input, "default");
            printf("    %s%s%s%s", text_of(input, "name"), unit[0] ? " (" : "", unit, unit[0] ? ")" : "");
            if (low && high) {
                printf(" %s",
                       cli_words(pw_fact_of("cli.from-to", pw_number(low->number, 6), pw_number(high->number, 6))));
            }
            if (left_out) {
                printf("%s", cli_words(pw_fact_of("cli.or-else", pw_number(left_out->number, 6))));
            }
            printf(": %s\n", text_of(input, "help"));
        }
        for (const pw_json *output = first_of(formula, "outputs"); output; output = output->next) {
            printf("    = %s (%s): %s\n", text_of(output, "name"), text_of(output, "unit"), text_of(output, "help"));
        }
        printf("    %s\n", cli_words(pw_fact_of("cli.source", pw_named(text_of(formula, "source")))));
    }
}

static void show_reckoning(const pw_json *answer)
{
    const pw_json *units = pw_json_get(answer, "units");
    for (const pw_json *output = first_of(answer, "outputs"); output; output = output->next) {
        const char *unit = text_of(units, output->key);
        const char *words = text_of(pw_json_get(answer, "words"), output->key);
        const char *behind = strchr(words, ' ');
        if (output->kind != PW_JSON_NUMBER || strcmp(unit, "1") == 0) {
            printf("%s = %s\n", output->key, words);
        } else if (behind != NULL && strcmp(behind + 1, unit) == 0) {
            printf("%s = %.6g %s\n", output->key, output->number, unit);
        } else {
            printf("%s = %s (%.6g %s)\n", output->key, words, output->number, unit);
        }
    }
}

void cli_show_words(pw_arena *arena, const cli_options *options, const pw_json *answer)
{
    const pw_json *paper = pw_json_get(answer, "text");
    const pw_json *schema = pw_json_get(answer, "schema");
    const cli_command command = options->command;
    if (command == CLI_SCHEMA && schema) {
        cli_show_json(arena, schema, 2);
    } else if (command == CLI_SETTINGS) {
        show_settings(answer);
    } else if (command == CLI_LOGIC) {
        for (const pw_json *one = first_of(answer, "programs"); one; one = one->next) {
            fputs(text_of(one, "program"), stdout);
        }
    } else if (command == CLI_PARAMETERS) {
        show_parameters(answer, options->operand_count > 1);
    } else if (command == CLI_FAULTS) {
        show_faults(answer);
    } else if (command == CLI_HABITS) {
        show_habits(answer);
    } else if (command == CLI_PIPES) {
        show_pipes(answer);
    } else if (command == CLI_RECKON && pw_json_get(answer, "formulas")) {
        show_formulas(answer);
    } else if (command == CLI_RECKON) {
        show_reckoning(answer);
    } else if (paper) {
        fputs(paper->string, stdout);
    }
}
