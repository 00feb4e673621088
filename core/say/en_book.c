/* The job book, in English. */
#include "say/catalogue.h"

/* clang-format off: one row a line; tools/words.py sorts and wraps them. */
static const say_row rows[] = {
    {"book.added", "Visit {0} of {1}: {2} {2:reading|readings}."},
    {"book.beside", "From sheet {0} ({1}{2?, {2}}) to sheet {3} ({4}{5?, {5}}):"},
    {"book.built-without", "this program was built without SQLite; it has no job book"},
    {"book.busy", "another program has been writing into it for 10 s"},
    {"book.changed", "    {0}: {1}, then {2}"},
    {"book.conflict", "{0} sheets of this site stand side by side, none of them made from the other. All are kept:"},
    {"book.cut", "the server was lost; look whether the visit is there before you add it once more"},
    {"book.damaged", "it is no job book, or a damaged one; \"book rescue BOOK NEW\" saves what can be read"},
    {"book.diagnosed", "{0?{0}; |}diagnosis: {1}{3? ({2} %)|, which does not explain it well}"},
    {"book.fine", "nothing is wrong"},
    {"book.full", "the disk takes no more; nothing of this visit was written"},
    {"book.keeps-what",
     "--book keeps the diagnosis of a sheet, from readings or from a log that is a file and has an end."},
    {"book.newer", "it is of a later version of this program"},
    {"book.no-file", "it is not there, or cannot be opened"},
    {"book.no-paper", "it has no document of this name; \"book show BOOK NAME\" tells those it has"},
    {"book.no-servers", "this program was built without PostgreSQL; a book of it is a file"},
    {"book.no-sheet", "it has no such sheet of this site; \"book show BOOK NAME\" tells those it has"},
    {"book.not-there", "it knows no site of this name; \"book list BOOK\" tells those it knows"},
    {"book.older", "it is of an earlier version; it is brought up when something is added"},
    {"book.other", "it refuses: the book and this action do not fit"},
    {"book.read-only", "it cannot be written"},
    {"book.reading", "  {0}  {1}: {2}{3? ({3})}"},
    {"book.refused", "{0}: {1}.{2? ({2})}"},
    {"book.rescued", "{0} {0:row|rows} saved, {1} could not be read."},
    {"book.same", "    the same but for remarks"},
    {"book.server", "only a file can be rescued; of a server \"book export\" makes one file"},
    {"book.settle", "Make one sheet of them, and add it with --made-from {0}"},
    {"book.sound", "All pages are sound."},
    {"book.stands", "a file is there already, and is left alone"},
    {"book.taken", "{0} {0:visit|visits} taken over."},
    {"book.trends", "Trends:"},
    {"book.usage",
     "found \"book {0}\"; right would be: add BOOK SITE [READINGS], file BOOK NAME FILE, list BOOK, show BOOK "
     "NAME, search BOOK WORDS, sheet BOOK NAME FILE [MARK], document BOOK NAME DOCUMENT FILE, export BOOK "
     "FILE, backup BOOK FILE, import BOOK FROM, check BOOK, rescue BOOK NEW"},
    {"book.visit", "{0}  visit {5}{1?, {1}}{2?: {2}}{3?; sheet {3}}{4?; {4}}"},
    {"book.wants-by", "a book on a server wants to know who you are: book {0} ... --by NAME"},
    {"book.wants-day", "--date: found {0}; right would be a day such as 2026-03-31"},
    {"book.with", "    {0}: new {1}"},
    {"book.without", "    {0}: no longer {1}"},
};
/* clang-format on */

SAY_CATALOGUE(say_en_book)
