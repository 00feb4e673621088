/* The job book, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"book.added", "Visit {0} of {1}: {2} {2:reading|readings}."},
    {"book.built-without", "this program was built without SQLite; it has no job book"},
    {"book.busy", "another program has been writing into it for 10 s"},
    {"book.damaged", "it is no job book, or a damaged one; \"book rescue BOOK NEW\" saves what can be read"},
    {"book.fine", "nothing is wrong"},
    {"book.full", "the disk takes no more; nothing of this visit was written"},
    {"book.newer", "it is of a later version of this program"},
    {"book.no-file", "it is not there, or cannot be opened"},
    {"book.not-there", "it knows no site of this name; \"book list BOOK\" tells those it knows"},
    {"book.other", "it refuses: the file that was named is there already, or the book and this action do not fit"},
    {"book.read-only", "it cannot be written"},
    {"book.reading", "  {0}  {1}: {2}{3? ({3})}"},
    {"book.refused", "{0}: {1}."},
    {"book.rescued", "{0} {0:row|rows} saved, {1} could not be read."},
    {"book.sound", "All pages are sound."},
    {"book.taken", "{0} {0:visit|visits} taken over."},
    {"book.trends", "Trends:"},
    {"book.usage",
     "found \"book {0}\"; right would be: add BOOK SITE [READINGS], file BOOK NAME FILE, list BOOK, show BOOK "
     "NAME, search BOOK WORDS, export BOOK FILE, backup BOOK FILE, import BOOK FILE, check BOOK, rescue BOOK "
     "NEW"},
    {"book.visit", "{0}  visit {5}{1?, {1}}{2?: {2}}{3?; sheet {3}}{4?; {4}}"},
    {"book.wants-day", "--date: found {0}; right would be a day such as 2026-03-31"},
};
/* clang-format on */

SAY_CATALOGUE(say_en_book)
