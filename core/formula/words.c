#include "formula/words.h"

#include <stddef.h>
#include <stdint.h>
#include <string.h>

bool pw_words_key(const char *text, char out[PW_WORDS_KEY])
{
    int32_t length = 0;
    out[0] = '\0';
    if (text == NULL) {
        return false;
    }
    for (const char *at = text; *at != '\0'; at++) {
        char c = *at;
        if (c == ' ' || c == '\t' || c == '-' || c == '_') {
            continue;
        }
        if (c >= 'A' && c <= 'Z') {
            c = (char)(c - 'A' + 'a');
        }
        if (length >= PW_WORDS_KEY - 1) {
            return false;
        }
        out[length] = c;
        length++;
    }
    out[length] = '\0';
    return length > 0;
}

bool pw_words_equal_or_plural(const char *wanted, const char *known)
{
    const size_t length = strlen(known);
    if (strcmp(wanted, known) == 0) {
        return true;
    }
    if (strlen(wanted) != length + 1) {
        return false;
    }
    /* One s too many: at the end, or where a number begins ("elbows90"). */
    const size_t same = strspn(known, "abcdefghijklmnopqrstuvwxyz");
    if (wanted[length] == 's' && strncmp(wanted, known, length) == 0) {
        return true;
    }
    return wanted[same] == 's' && strncmp(wanted, known, same) == 0 && strcmp(wanted + same + 1, known + same) == 0;
}
