/* What libyaml says of a sheet that is no YAML, as messages of ours. */
#include "adapt/yaml_inside.h"

#include <string.h>

typedef struct parser_words {
    const char *said, *id;
} parser_words;

/* What libyaml says, as a message of ours; it has no ids, so its beginnings are known here. */
static const char *message_of(const parser_words *rows, size_t count, const char *said)
{
    for (size_t i = 0; said != NULL && i < count; i++) {
        if (strncmp(said, rows[i].said, strlen(rows[i].said)) == 0) {
            return rows[i].id;
        }
    }
    return "";
}

const char *pw_yaml_message(const char *said)
{
    static const parser_words rows[] = {
        {"mapping values are not allowed", "adapt.yaml-colon"},
        {"could not find expected ':'", "adapt.yaml-no-colon"},
        {"did not find expected key", "adapt.yaml-key"},
        {"did not find expected '-'", "adapt.yaml-dash"},
        {"did not find expected ',' or ']'", "adapt.yaml-list"},
        {"did not find expected ',' or '}'", "adapt.yaml-braces"},
        {"did not find expected node", "adapt.yaml-value"},
        {"did not find expected <document start>", "adapt.yaml-indent"},
        {"block sequence entries are not allowed", "adapt.yaml-dash-here"},
        {"found unexpected end of stream", "adapt.yaml-end"},
        {"found unexpected document indicator", "adapt.yaml-dashes"},
        {"found character that cannot start", "adapt.yaml-character"},
        {"found unknown escape", "adapt.yaml-escape"},
    };
    const char *id = message_of(rows, sizeof rows / sizeof rows[0], said);
    return id[0] != '\0' ? id : "adapt.yaml-broken";
}

const char *pw_yaml_context(const char *said)
{
    static const parser_words rows[] = {
        {"while scanning a quoted scalar", "adapt.in-quoted"},  {"while scanning a simple key", "adapt.in-key"},
        {"while parsing a block mapping", "adapt.in-mapping"},  {"while parsing a block collection", "adapt.in-list"},
        {"while parsing a flow sequence", "adapt.in-brackets"}, {"while parsing a flow mapping", "adapt.in-braces"},
    };
    return message_of(rows, sizeof rows / sizeof rows[0], said);
}
