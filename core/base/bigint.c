/* Big whole numbers in words of 32 bits, lowest first; schoolbook methods. */
#include "base/bigint.h"

#include <assert.h>
#include <string.h>

enum { WORDS = 192 }; /* 6144 bits; the largest need is 800 digits times 2^1080 or 10^1145: under 3,900 bits */

typedef struct big {
    int32_t count; /* words in use, the top one not 0 */
    uint32_t word[WORDS];
} big;

static void set(big *b, uint64_t value)
{
    b->count = 0;
    while (value > 0) {
        b->word[b->count] = (uint32_t)value;
        b->count++;
        value >>= 32;
    }
}

/* b = b factor + more */
static void multiply_add(big *b, uint32_t factor, uint32_t more)
{
    uint64_t carry = more;
    for (int32_t i = 0; i < b->count; i++) {
        uint64_t sum = (uint64_t)b->word[i] * factor + carry;
        b->word[i] = (uint32_t)sum;
        carry = sum >> 32;
    }
    if (carry > 0) {
        assert(b->count < WORDS);
        b->word[b->count] = (uint32_t)carry;
        b->count++;
    }
}

static void multiply_ten(big *b, int32_t power)
{
    for (; power >= 9; power -= 9) {
        multiply_add(b, 1000000000u, 0);
    }
    for (; power > 0; power--) {
        multiply_add(b, 10u, 0);
    }
}

static void shift_left(big *b, int32_t bits)
{
    int32_t words = bits / 32;
    int32_t rest = bits % 32;
    if (b->count == 0) {
        return;
    }
    assert(b->count + words + 1 <= WORDS);
    uint32_t above = rest == 0 ? 0 : b->word[b->count - 1] >> (32 - rest);
    for (int32_t i = b->count - 1; i >= 0; i--) {
        uint32_t below = i == 0 || rest == 0 ? 0 : b->word[i - 1] >> (32 - rest);
        b->word[i + words] = (b->word[i] << rest) | below;
    }
    memset(b->word, 0, (size_t)words * sizeof b->word[0]);
    b->count += words;
    if (above != 0) {
        b->word[b->count] = above;
        b->count++;
    }
}

static void halve(big *b)
{
    uint32_t carry = 0;
    for (int32_t i = b->count - 1; i >= 0; i--) {
        uint32_t low = b->word[i] & 1u;
        b->word[i] = (b->word[i] >> 1) | (carry << 31);
        carry = low;
    }
    if (b->count > 0 && b->word[b->count - 1] == 0) {
        b->count--;
    }
}

static int32_t compare(const big *a, const big *b)
{
    if (a->count != b->count) {
        return a->count > b->count ? 1 : -1;
    }
    for (int32_t i = a->count - 1; i >= 0; i--) {
        if (a->word[i] != b->word[i]) {
            return a->word[i] > b->word[i] ? 1 : -1;
        }
    }
    return 0;
}

/* a = a - b; a >= b */
static void subtract(big *a, const big *b)
{
    uint64_t borrow = 0;
    for (int32_t i = 0; i < a->count; i++) {
        uint64_t take = borrow + (i < b->count ? b->word[i] : 0u);
        borrow = a->word[i] < take ? 1u : 0u;
        a->word[i] = (uint32_t)(a->word[i] - take);
    }
    while (a->count > 0 && a->word[a->count - 1] == 0) {
        a->count--;
    }
}

/* b = floor(b/divisor), returns the rest */
static uint32_t divide(big *b, uint32_t divisor)
{
    uint64_t rest = 0;
    for (int32_t i = b->count - 1; i >= 0; i--) {
        uint64_t value = (rest << 32) | b->word[i];
        b->word[i] = (uint32_t)(value / divisor);
        rest = value % divisor;
    }
    while (b->count > 0 && b->word[b->count - 1] == 0) {
        b->count--;
    }
    return (uint32_t)rest;
}

/* top/bottom = m 2^e 10^k in whole numbers */
static void ratio(uint64_t m, int32_t e, int32_t k, big *top, big *bottom)
{
    set(top, m);
    set(bottom, 1);
    multiply_ten(k >= 0 ? top : bottom, k >= 0 ? k : -k);
    shift_left(e >= 0 ? top : bottom, e >= 0 ? e : -e);
}

pw_exact pw_bigint_scale(uint64_t m, int32_t e, int32_t k)
{
    big top, bottom;
    ratio(m, e, k, &top, &bottom);
    pw_exact out = {0, 0, false};
    shift_left(&bottom, 63);
    for (int32_t bit = 63; bit >= 0; bit--) {
        out.whole <<= 1;
        if (compare(&top, &bottom) >= 0) {
            subtract(&top, &bottom);
            out.whole |= 1u;
        }
        if (bit > 0) {
            halve(&bottom);
        }
    }
    out.exact = top.count == 0;
    shift_left(&top, 1);
    out.half = compare(&top, &bottom);
    return out;
}

size_t pw_bigint_round(uint64_t m, int32_t e, int32_t k, char *out)
{
    big b;
    set(&b, m);
    multiply_ten(&b, k);
    if (e >= 0) {
        shift_left(&b, e);
    } else {
        bool last = false, below = false; /* the bit just shifted out, and any shifted out before it */
        for (int32_t i = 0; i < -e; i++) {
            below = below || last;
            last = b.count > 0 && (b.word[0] & 1u) != 0;
            halve(&b);
        }
        bool odd = b.count > 0 && (b.word[0] & 1u) != 0;
        if (last && (below || odd)) {
            if (b.count == 0) {
                set(&b, 1);
            } else {
                multiply_add(&b, 1, 1);
            }
        }
    }
    char backwards[360];
    size_t count = 0;
    do {
        uint32_t nine = divide(&b, 1000000000u);
        for (int32_t i = 0; i < 9; i++) {
            backwards[count] = (char)('0' + nine % 10);
            nine /= 10;
            count++;
        }
    } while (b.count > 0);
    while (count > 1 && backwards[count - 1] == '0') {
        count--;
    }
    for (size_t i = 0; i < count; i++) {
        out[i] = backwards[count - 1 - i];
    }
    return count;
}

int32_t pw_bigint_compare(const char *digits, int32_t count, int32_t q, uint64_t m, int32_t e)
{
    assert(count <= PW_BIGINT_DIGITS);
    big decimal, binary;
    set(&decimal, 0);
    for (int32_t i = 0; i < count; i++) {
        multiply_add(&decimal, 10, (uint32_t)(digits[i] - '0'));
    }
    set(&binary, m);
    multiply_ten(q >= 0 ? &decimal : &binary, q >= 0 ? q : -q);
    shift_left(e >= 0 ? &binary : &decimal, e >= 0 ? e : -e);
    return compare(&decimal, &binary);
}
