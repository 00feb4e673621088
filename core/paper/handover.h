/* The hand-over: what is left on site. What was installed, how it is set, how it was tested, what the owner does when
 * it stops. */
#ifndef PW_PAPER_HANDOVER_H
#define PW_PAPER_HANDOVER_H

#include "paper/paper.h"
#include "study/expect.h"
#include "study/guarantee.h"

/* A photo of the site. picture: a JPEG as a data address, as a browser writes one. */
typedef struct pw_photo {
    const char *words, *picture;
} pw_photo;
enum { PW_MOST_PHOTOS = 12 };

/* What the paper rests on. Texts that a person gave are "" where there are none. */
typedef struct pw_handover {
    const pw_plant *plant;
    const pw_expects *expects;
    int32_t duty_count;
    const pw_duty_row *duties;
    const pw_proof *proof; /* NULL: none was made */
    const pw_guarantees *guarantees;
    const char *mark; /* fingerprint of the sheet, 16 hexadecimal digits */
    const char *date; /* of the hand-over, as it was written */
    const char *installer, *owner, *call, *address;
    bool is_short; /* only the two or three sheets for the owner and the file; else all of it */
    /* As many texts as said: the sentences as somebody found them; values of the sheet that nobody measured. */
    int32_t found_count, assumed_count, photo_count;
    const char *const *found, *const *assumed;
    const pw_photo *photos;
} pw_handover;

/* One document; the short paper is a selection of its parts. */
pw_status pw_paper_handover(pw_arena *arena, const pw_handover *job, const pw_voice *voice, pw_document **out);

/* Readings held against what was expected. */
typedef struct pw_measured {
    const pw_expect *expect;
    double reads, error;
    bool usual; /* nobody stated the error */
    pw_reading_verdict verdict;
} pw_measured;
pw_status pw_paper_commission(pw_arena *arena, const pw_plant *plant, const pw_expects *expects,
                              const pw_measured *readings, int32_t count, const pw_voice *voice, pw_document **out);

#endif
