/* What a heading means: words of English and German, and the unit behind or in it. */
#include <string.h>

#include "adapt/log_inside.h"
#include "base/units.h"

typedef struct word_row {
    const char *word;
    int32_t signal; /* -1: this is none of them, whatever else it says */
} word_row;

/* The first that is found in a heading, in lower case, decides. */
static const word_row words[] = {
    {"temp", -1},
    {"winding", -1},
    {"water inside", -1},
    {"volt", -1},
    {"spannung", -1},
    {"anomal", -1},
    {"setpoint", -1},
    {"sollwert", -1},
    {"serial", -1},
    {"operating hours", PW_LOG_RAN},
    {"betriebsstunden", PW_LOG_RAN},
    {"run time", PW_LOG_RAN},
    {"running time", PW_LOG_RAN},
    {"runtime", PW_LOG_RAN},
    {"laufzeit", PW_LOG_RAN},
    {"minutes_today", PW_LOG_RAN},
    {"ran", PW_LOG_SIGNALS},
    {"starts", PW_LOG_STARTS},
    {"anläufe", PW_LOG_STARTS},
    {"schaltspiele", PW_LOG_STARTS},
    {"running", PW_LOG_RUNNING},
    {"läuft", PW_LOG_RUNNING},
    {"pump on", PW_LOG_RUNNING},
    {"run contact", PW_LOG_RUNNING},
    {"betriebsmeldung", PW_LOG_RUNNING},
    {"contact", PW_LOG_RUNNING},
    {"kontakt", PW_LOG_RUNNING},
    {"flow", PW_LOG_FLOW},
    {"durchfluss", PW_LOG_FLOW},
    {"volumenstrom", PW_LOG_FLOW},
    {"draw-off", PW_LOG_FLOW},
    {"entnahme", PW_LOG_FLOW},
    {"pressure", PW_LOG_PRESSURE},
    {"druck", PW_LOG_PRESSURE},
    {"press", PW_LOG_PRESSURE},
    {"gauge", PW_LOG_PRESSURE},
    {"kpa", PW_LOG_PRESSURE},
    {"psi", PW_LOG_PRESSURE},
    {"mbar", PW_LOG_PRESSURE},
    {"vib", PW_LOG_VIBRATION},
    {"schwing", PW_LOG_VIBRATION},
    {"accel", PW_LOG_VIBRATION},
    {"current", PW_LOG_CURRENT},
    {"strom", PW_LOG_CURRENT},
    {"amp", PW_LOG_CURRENT},
    {"power", PW_LOG_POWER},
    {"leistung", PW_LOG_POWER},
    {"watt", PW_LOG_POWER},
    {"drawdown", PW_LOG_LEVEL},
    {"absenkung", PW_LOG_LEVEL},
    {"level", PW_LOG_LEVEL},
    {"pegel", PW_LOG_LEVEL},
    {"füllstand", PW_LOG_LEVEL},
    {"depth", PW_LOG_LEVEL},
    {"over the intake", PW_LOG_LEVEL},
    {"meter", PW_LOG_VOLUME},
    {"volume", PW_LOG_VOLUME},
    {"register", PW_LOG_VOLUME},
    {"zähler", PW_LOG_VOLUME},
    {"menge", PW_LOG_VOLUME},
    {"_gal", PW_LOG_VOLUME},
    {"litre", PW_LOG_VOLUME},
};

static void lower_case(const char *from, char *to, size_t size)
{
    size_t i = 0;
    for (; from[i] != '\0' && i + 1 < size; i++) {
        to[i] = from[i] >= 'A' && from[i] <= 'Z' ? (char)(from[i] - 'A' + 'a') : from[i];
    }
    to[i] = '\0';
}

int32_t pw_log_signal_of(const char *heading)
{
    char low[PW_LOG_NAME];
    lower_case(heading, low, sizeof low);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strstr(low, words[i].word) != NULL && words[i].signal != PW_LOG_SIGNALS) {
            return words[i].signal;
        }
    }
    return strncmp(low, "pre", 3) == 0 && low[3] >= '0' && low[3] <= '9' ? PW_LOG_PRESSURE : -1;
}

bool pw_log_says_time(const char *heading)
{
    static const char *const names[] = {"time", "date", "zeit", "datum", "epoch", "stamp", "t_s", "uhr", "seconds"};
    char low[PW_LOG_NAME];
    lower_case(heading, low, sizeof low);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (strstr(low, names[i]) != NULL) {
            return true;
        }
    }
    return strcmp(low, "t") == 0;
}

static bool known_unit(const char *unit)
{
    static const pw_dimension able[] = {PW_DIM_PRESSURE, PW_DIM_FLOW,   PW_DIM_VOLUME, PW_DIM_CURRENT,
                                        PW_DIM_POWER,    PW_DIM_LENGTH, PW_DIM_TIME};
    double factor, zero;
    for (size_t i = 0; i < sizeof able / sizeof able[0]; i++) {
        if (pw_log_unit_read(unit, able[i], &factor, &zero)) {
            return true;
        }
    }
    return false;
}

static void copy(const char *from, size_t length, char *out, size_t size)
{
    const size_t kept = length + 1 < size ? length : size - 1;
    memcpy(out, from, kept);
    out[kept] = '\0';
}

void pw_log_unit_of(const char *heading, char *out, size_t size)
{
    const char *open = strpbrk(heading, "([");
    const char *shut = open != NULL ? strpbrk(open, ")]") : NULL;
    out[0] = '\0';
    if (shut != NULL) {
        copy(open + 1, (size_t)(shut - open - 1), out, size);
        return;
    }
    /* the last of its parts that is one: "a_gal_today", "Leistung kW" */
    for (const char *at = heading; *at != '\0';) {
        char part[24];
        const size_t length = strcspn(at, "_ ,");
        copy(at, length, part, sizeof part);
        if (strlen(part) + (at != heading ? 1 : 0) >= 2 && known_unit(part)) {
            copy(part, strlen(part), out, size);
        }
        at += length + (at[length] != '\0' ? 1 : 0);
    }
}

bool pw_log_unit_read(const char *unit, pw_dimension dimension, double *factor, double *zero)
{
    static const char *const said[][2] = {{"l", "L"},         {"PSI", "psi"},   {"BAR", "bar"}, {"KPA", "kPa"},
                                          {"GPM", "gpm"},     {"LPM", "L/min"}, {"amps", "A"},  {"a", "A"},
                                          {"minutes", "min"}, {"m3/hr", "m3/h"}};
    char one[PW_WORDS_SIZE], none[PW_WORDS_SIZE];
    double at_one, at_none;
    *factor = 1.0;
    *zero = 0.0;
    if (dimension == PW_DIM_NONE) {
        return true;
    }
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        unit = strcmp(unit, said[i][0]) == 0 ? said[i][1] : unit;
    }
    if (unit[0] == '\0' || strlen(unit) > 24) {
        return false;
    }
    pw_say(one, "1 ", unit, NULL);
    pw_say(none, "0 ", unit, NULL);
    if (pw_quantity_read(one, dimension, &at_one, NULL, "") != PW_OK ||
        pw_quantity_read(none, dimension, &at_none, NULL, "") != PW_OK || !(at_one - at_none > 0.0)) {
        return false;
    }
    *factor = at_one - at_none;
    *zero = -at_none / *factor;
    return true;
}

bool pw_log_asked_split(const char *asked, char *name, char *what, char *unit, size_t size)
{
    const char *equals = strrchr(asked, '=');
    if (equals == NULL) {
        return false;
    }
    copy(asked, (size_t)(equals - asked), name, size);
    copy(equals + 1, strlen(equals + 1), what, size);
    unit[0] = '\0';
    for (int32_t s = 0; s < PW_LOG_SIGNALS; s++) {
        const char *id = pw_log_signal_id((pw_log_signal)s);
        const size_t length = strlen(id);
        /* "running time" before "running" */
        if (strncmp(what, id, length) == 0 && (what[length] == '\0' || what[length] == ' ') &&
            !(s == PW_LOG_RUNNING && strncmp(what, "running time", 12) == 0)) {
            copy(what + length + (what[length] == ' ' ? 1 : 0), strlen(what + length), unit, size);
            copy(id, length, what, size);
            return true;
        }
    }
    if (strncmp(what, "time", 4) == 0) {
        copy(what + 4 + (what[4] == ' ' ? 1 : 0), strlen(what + 4), unit, size);
        copy("time", 4, what, size);
        return true;
    }
    return strcmp(what, "-") == 0;
}
