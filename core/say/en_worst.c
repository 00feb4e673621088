/* The worst that settings allow, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"worst.after", "After"},
    {"worst.book-dry", "How it runs so long while \"{0}\""},
    {"worst.book-run", "How it runs so long"},
    {"worst.book-starts", "How it starts so often"},
    {"worst.book-stuck", "How it comes to that standstill; then 30 days go by and nothing starts"},
    {"worst.endless", "{^0}: nothing limits it{1?|, as far as was found out}."},
    {"worst.how",
     "Found by going through every state that the settings can come to, to the millisecond; each day book was "
     "driven through the very step that the simulation uses. Nobody releases a lock out meanwhile, and the "
     "controller keeps its supply. What can happen on the site is less: the sensors may say anything here."},
    {"worst.lead", "{0}: what these settings can do at worst, whatever the sensors say."},
    {"worst.left-out", "Taken as if it could be at any moment as it likes, so the true worst may be less: {0}."},
    {"worst.locked", "While it is locked out it never runs."},
    {"worst.locks", "{0} is locked out{1?, because of \"{1}\"}"},
    {"worst.more", "and so on, {0} more {0:line|lines}"},
    {"worst.most", "{^0}: never longer than {1}{2?|, and no day book was found that comes to it}."},
    {"worst.never", "{^0}: never."},
    {"worst.of-dry", "running while \"{0}\""},
    {"worst.of-run", "one run"},
    {"worst.of-starts", "starts in an hour"},
    {"worst.of-stuck", "standstills"},
    {"worst.person", "Only a person ends a lock out by {0}."},
    {"worst.reads", "{0} reads {1}"},
    {"worst.releases", "{0} is released{1?, because of \"{1}\"}"},
    {"worst.sentence", "sentence {0} ({1})"},
    {"worst.short", "Whatever the sensors say, {0}: {1}."},
    {"worst.short-dry", "{1?never longer than {1}|never} while \"{0}\" (harmless up to {2})"},
    {"worst.short-dry-endless", "nothing ends a run while \"{0}\" (harmless up to {1})"},
    {"worst.short-means",
     "So much the settings allow at worst, if every sensor could say anything at any moment; in brackets, "
     "what the sheet says a pump bears. How it comes to that: worst SITE."},
    {"worst.short-open",
     "Not decided with the little work that was spent on it here, {0}: {1}. Ask worst SITE, which looks "
     "further."},
    {"worst.short-run", "no run longer than {0}"},
    {"worst.short-run-endless", "nothing limits a run"},
    {"worst.short-starts", "never more than {0} {0:start|starts} in any hour (a pump bears {1})"},
    {"worst.short-starts-endless", "more than {0} starts in an hour cannot be ruled out (a pump bears {1})"},
    {"worst.short-stuck", "it can come to a standstill that no call for water ends{0?, because of \"{0}\"}"},
    {"worst.short-wakes", "a call for water ends every standstill{0?, but a lock out that waits for a person}"},
    {"worst.starts", "{0} starts{1?, because of \"{1}\"}"},
    {"worst.starts-endless",
     "Starts in any hour: more than {0}{1?| cannot be ruled out; the best day book found comes to {2}}."},
    {"worst.starts-most", "Starts in any hour: never more than {0}{1?|; the best day book found comes to {2}}."},
    {"worst.stops", "{0} stops{1?, because of \"{1}\"}"},
    {"worst.stuck", "Standstills: it can come to one that no call for water ends{0?, because of \"{0}\"}."},
    {"worst.stuck-none",
     "Standstills: from each, but a lock out that waits for a person, a call for water starts the pump again."},
    {"worst.title", "The worst that the settings allow"},
    {"worst.unknown", "{^0}: these settings have too many states to go through; nothing is claimed."},
    {"worst.warns", "{0} warns{1?, because of \"{1}\"}"},
    {"worst.what", "What the sensors say, and what the settings do"},
};
/* clang-format on */

SAY_CATALOGUE(say_en_worst)
