/* Times as loggers write them. Clock times stay those of the clock on the wall: a zone only matters when it changes in
 * a file. */
#include "adapt/csv.h"

#include "base/num.h"

#define LEAST_EPOCH_S  1.0e8 /* March 1973: no meter file is older, no count of seconds from a start is larger */
#define LEAST_EPOCH_MS 1.0e11

/* Digits at *text as a number; false when there are none or more than most. */
static bool read_digits(const char **text, int32_t most, int32_t *out, int32_t *digits)
{
    int32_t value = 0, count = 0;
    while (**text >= '0' && **text <= '9' && count <= most) {
        value = value * 10 + (**text - '0');
        (*text)++;
        count++;
    }
    *out = value;
    *digits = count;
    return count >= 1 && count <= most;
}

static void pass_spaces(const char **text)
{
    while (**text == ' ') {
        (*text)++;
    }
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static int32_t days_in_month(int32_t year, int32_t month)
{
    static const int32_t days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (month == 2 && leap ? 1 : 0);
}

/* Days since 1970-01-01 in the Gregorian calendar, for 1900 to 2199: own derivation, counted from the year 1600. */
static int32_t day_number(int32_t year, int32_t month, int32_t day)
{
    int32_t years = year - 1600;
    int32_t days = years * 365 + (years + 3) / 4 - (years + 99) / 100 + (years + 399) / 400;
    for (int32_t m = 1; m < month; m++) {
        days += days_in_month(year, m);
    }
    return days + day - 1 - 135140; /* 1600-01-01 to 1970-01-01 */
}

static int32_t full_year(int32_t year, int32_t digits)
{
    if (digits > 2) {
        return year;
    }
    return year + (year < 70 ? 2000 : 1900);
}

/* The month of a name at *text, by its first three letters, in English or German; 0: it is none. */
static int32_t read_month(const char **text)
{
    static const char names[][4] = {"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug",
                                    "sep", "oct", "nov", "dec", "mrz", "mai", "okt", "dez"};
    static const int32_t months[] = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 3, 5, 10, 12};
    const char *at = *text;
    for (int32_t i = 0; i < 16; i++) {
        const char *name = names[i];
        if (lower(at[0]) == name[0] && lower(at[1]) == name[1] && lower(at[2]) == name[2]) {
            while (lower(**text) >= 'a' && lower(**text) <= 'z') {
                (*text)++;
            }
            *text += **text == '.' ? 1 : 0;
            return months[i];
        }
    }
    return 0;
}

static void pass_between(const char **text)
{
    while (**text == ' ' || **text == '-' || **text == ',' || **text == '.' || **text == '/') {
        (*text)++;
    }
}

/* "4 Oct 2019", "4-Oct-19", "Oct 4, 2019" */
static bool read_named_date(const char **text, int32_t *days)
{
    int32_t day = 0, year, digits;
    int32_t month = read_month(text);
    pass_between(text);
    if (!read_digits(text, 2, &day, &digits)) {
        return false;
    }
    pass_between(text);
    month = month == 0 ? read_month(text) : month;
    pass_between(text);
    if (month == 0 || !read_digits(text, 4, &year, &digits) || (digits != 2 && digits != 4)) {
        return false;
    }
    const int32_t full = full_year(year, digits);
    if (full < 1900 || full > 2199 || day < 1 || day > days_in_month(full, month)) {
        return false;
    }
    *days = day_number(full, month, day);
    return true;
}

static bool has_month(const char *text)
{
    int32_t day, digits;
    if (read_digits(&text, 2, &day, &digits)) {
        pass_between(&text);
    }
    return read_month(&text) != 0;
}

/* The date at *text. */
static bool read_date(const char **text, pw_csv_order settings, pw_csv_moment *out, int32_t *days)
{
    int32_t part[3], digits[3];
    char between = 0;
    if (has_month(*text)) {
        return read_named_date(text, days);
    }
    for (int32_t i = 0; i < 3; i++) {
        if (!read_digits(text, 4, &part[i], &digits[i])) {
            return false;
        }
        if (i == 0) {
            between = **text;
            if (between != '-' && between != '/' && between != '.') {
                return false;
            }
        }
        if (i < 2) {
            if (**text != between) {
                return false;
            }
            (*text)++;
        }
    }
    int32_t year = 2, month = 1, day = 0; /* day first */
    if (digits[0] == 4 || (between == '-' && digits[2] <= 2)) {
        year = 0;
        day = 2;
    } else if (between != '.') {
        out->slashed = true;
        out->first = part[0];
        out->second = part[1];
        if (settings == PW_CSV_MONTH_FIRST) {
            month = 0;
            day = 1;
        }
    }
    if (digits[year] == 1 || digits[year] == 3 || digits[month] > 2 || digits[day] > 2) {
        return false;
    }
    int32_t full = full_year(part[year], digits[year]);
    if (full < 1900 || full > 2199 || part[month] < 1 || part[month] > 12) {
        return false;
    }
    if (part[day] < 1 || part[day] > days_in_month(full, part[month])) {
        return false;
    }
    *days = day_number(full, part[month], part[day]);
    return true;
}

/* ".5" or ",5" of a second. */
static double read_part_of_second(const char **text)
{
    double value = 0.0, scale = 0.1;
    if (**text != '.' && **text != ',') {
        return 0.0;
    }
    (*text)++;
    while (**text >= '0' && **text <= '9') {
        value += scale * (**text - '0');
        scale /= 10.0;
        (*text)++;
    }
    return value;
}

/* "13:10", "13:10:06.5", "1:10 PM" */
static bool read_clock(const char **text, double *seconds)
{
    int32_t hour, minute, second = 0, digits;
    double part = 0.0;
    if (!read_digits(text, 2, &hour, &digits) || **text != ':') {
        return false;
    }
    (*text)++;
    if (!read_digits(text, 2, &minute, &digits)) {
        return false;
    }
    if (**text == ':') {
        (*text)++;
        if (!read_digits(text, 2, &second, &digits)) {
            return false;
        }
        part = read_part_of_second(text);
    }
    const char *after = *text;
    pass_spaces(&after);
    char half = lower(after[0]);
    if ((half == 'a' || half == 'p') && lower(after[1]) == 'm') {
        if (hour < 1 || hour > 12) {
            return false;
        }
        hour = hour % 12 + (half == 'p' ? 12 : 0);
        *text = after + 2;
    }
    bool day_end = hour == 24 && minute == 0 && second == 0;
    if ((hour > 23 && !day_end) || minute > 59 || second > 60) { /* 60: a leap second */
        return false;
    }
    *seconds = hour * 3600.0 + minute * 60.0 + second + part;
    return true;
}

/* "Z", "UTC", "+02:00", "-0530", "+02" */
static bool read_zone(const char **text, pw_csv_moment *out)
{
    pass_spaces(text);
    if (lower(**text) == 'z') {
        (*text)++;
        out->zoned = true;
        return true;
    }
    if (lower((*text)[0]) == 'u' && lower((*text)[1]) == 't' && lower((*text)[2]) == 'c') {
        *text += 3;
        out->zoned = true;
        return true;
    }
    if (**text != '+' && **text != '-') {
        return true;
    }
    double sign = **text == '-' ? -1.0 : 1.0;
    int32_t value, minute = 0, digits;
    (*text)++;
    if (!read_digits(text, 4, &value, &digits) || digits == 3) {
        return false;
    }
    int32_t hour = digits == 4 ? value / 100 : value;
    if (digits == 4) {
        minute = value % 100;
    } else if (**text == ':') {
        (*text)++;
        if (!read_digits(text, 2, &minute, &digits)) {
            return false;
        }
    }
    out->zoned = true;
    out->zone_s = sign * (hour * 3600.0 + minute * 60.0);
    return hour <= 14 && minute <= 59;
}

bool pw_csv_clock_length(const char *text, double *seconds)
{
    int32_t part[3] = {0, 0, 0}, digits;
    for (int32_t i = 0; i < 3; i++) {
        if (!read_digits(&text, i == 0 ? 5 : 2, &part[i], &digits) || (i > 0 && part[i] > 59)) {
            return false;
        }
        if (i < 2 && *text++ != ':') {
            return false;
        }
    }
    *seconds = part[0] * 3600.0 + part[1] * 60.0 + part[2] + read_part_of_second(&text);
    return *text == '\0';
}

bool pw_csv_time(const char *text, pw_csv_order settings, pw_csv_moment *out)
{
    pw_csv_moment moment = {0};
    double number;
    *out = moment;
    if (pw_csv_number(text, false, &number)) {
        moment.seconds = number >= LEAST_EPOCH_MS ? number / 1000.0 : number;
        moment.dated = moment.seconds >= LEAST_EPOCH_S;
        moment.counted = true;
        *out = moment;
        return pw_abs(moment.seconds) < LEAST_EPOCH_MS;
    }
    int32_t days;
    double clock_s = 0.0;
    if (!read_date(&text, settings, &moment, &days)) {
        *out = moment; /* first and second of a date that is wrong in this order */
        return false;
    }
    if (lower(*text) == 't' || *text == ' ' || *text == ',') {
        text++;
        pass_spaces(&text);
        if (*text != '\0' && (!read_clock(&text, &clock_s) || !read_zone(&text, &moment))) {
            return false;
        }
    }
    pass_spaces(&text);
    moment.seconds = days * 86400.0 + clock_s;
    moment.dated = true;
    *out = moment;
    return *text == '\0';
}
