/* What only files can be asked: shared by sqlite.c and rescue.c. */
#ifndef PW_BOOK_SQLITE_H
#define PW_BOOK_SQLITE_H

#include "book/store.h"

book_end sqlite_end(int code); /* of a code of SQLite */

#endif
