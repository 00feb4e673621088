/* Short forms for writing rows; only for the files that hold tables. */
#ifndef PW_SITE_ROWS_H
#define PW_SITE_ROWS_H

#include <stddef.h>

#include "site/table.h"

#define AT(type_, member) .offset = (uint32_t)offsetof(type_, member)
#define FIELD(type_, member, dim, low_, high_) \
    .type = PW_ROW_QUANTITY, AT(type_, member), .dimension = PW_DIM_##dim, .low = (low_), .high = (high_)
#define NAME(type_)                       .key = "name", .type = PW_ROW_NAME, AT(type_, name), .need = PW_NEEDED
#define REFERENCE(type_, member, target_) .type = PW_ROW_REFERENCE, AT(type_, member), .target = PW_TO_##target_
#define CHOICE(type_, member, words_)     .type = PW_ROW_CHOICE, AT(type_, member), .words = words_
#define GROUP(block_)                     .type = PW_ROW_GROUP, .block = &block_
#define LIST(member, counter, item, block_, least_, most_)                                          \
    .type = PW_ROW_LIST, AT(pw_site, member), .count_offset = (uint32_t)offsetof(pw_site, counter), \
    .item_size = (uint32_t)sizeof(item), .block = &block_, .least = (least_), .most = (most_)
#define KINDS(bits)           .kinds = (bits)
#define BIT(kind)             (1u << (kind))
#define NEEDED                .need = PW_NEEDED
#define MAY                   .need = PW_MAY
#define DEFAULT(value_, why)  .need = PW_DEFAULT, .value = (value_), .reason = why
#define DERIVED(derive_, why) .need = PW_DERIVED, .derive = derive_, .reason = why
#define EG(text)              .example = text
#define HELP(text)            .help = text
#define ROWS(array)           .rows = array, .row_count = (int32_t)(sizeof(array) / sizeof(array)[0])

#endif
