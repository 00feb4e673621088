/* Powers of ten with 128 bits, and the multiplication they need. */
#include "base/tenpower.h"

typedef struct power_row {
    uint64_t high, low;
    int32_t two;
} power_row;

/* 10^(27 i), i = -13..13: (high 2^64 + low) 2^two, cut to 128 bits (computed with exact fractions) */
static const power_row POWERS[27] = {
    {0x8049a4ac0c5811aeu, 0x205b896d777d6278u, -1293}, /* 10^-351 */
    {0xcf42894a5dce35eau, 0x52064cac828675b9u, -1204}, /* 10^-324 */
    {0xa76c582338ed2621u, 0xaf2af2b80af6f24eu, -1114}, /* 10^-297 */
    {0x873e4f75e2224e68u, 0x5a7744a6e804a291u, -1024}, /* 10^-270 */
    {0xda7f5bf590966848u, 0xaf39a475506a899eu, -935},  /* 10^-243 */
    {0xb080392cc4349decu, 0xbd8d794d96aacfb3u, -845},  /* 10^-216 */
    {0x8e938662882af53eu, 0x547eb47b7282ee9cu, -755},  /* 10^-189 */
    {0xe65829b3046b0afau, 0x0cb4a5a3112a5112u, -666},  /* 10^-162 */
    {0xba121a4650e4ddebu, 0x92f34d62616ce413u, -576},  /* 10^-135 */
    {0x964e858c91ba2655u, 0x3a6a07f8d510f86fu, -486},  /* 10^-108 */
    {0xf2d56790ab41c2a2u, 0xfae27299423fb9c3u, -397},  /* 10^-81 */
    {0xc428d05aa4751e4cu, 0xaa97e14c3c26b886u, -307},  /* 10^-54 */
    {0x9e74d1b791e07e48u, 0x775ea264cf55347du, -217},  /* 10^-27 */
    {0x8000000000000000u, 0x0000000000000000u, -127},  /* 10^0 */
    {0xcecb8f27f4200f3au, 0x0000000000000000u, -38},   /* 10^27 */
    {0xa70c3c40a64e6c51u, 0x999090b65f67d924u, 52},    /* 10^54 */
    {0x86f0ac99b4e8dafdu, 0x69a028bb3ded71a3u, 142},   /* 10^81 */
    {0xda01ee641a708de9u, 0xe80e6f4820cc9495u, 231},   /* 10^108 */
    {0xb01ae745b101e9e4u, 0x5ec05dcff72e7f8fu, 321},   /* 10^135 */
    {0x8e41ade9fbebc27du, 0x14588f13be847307u, 411},   /* 10^162 */
    {0xe5d3ef282a242e81u, 0x8f1668c8a86da5fau, 500},   /* 10^189 */
    {0xb9a74a0637ce2ee1u, 0x6d953e2bd7173692u, 590},   /* 10^216 */
    {0x95f83d0a1fb69cd9u, 0x4abdaf101564f98eu, 680},   /* 10^243 */
    {0xf24a01a73cf2dccfu, 0xbc633b39673c8cecu, 769},   /* 10^270 */
    {0xc3b8358109e84f07u, 0x0a862f80ec4700c8u, 859},   /* 10^297 */
    {0x9e19db92b4e31ba9u, 0x6c07a2c26a8346d1u, 949},   /* 10^324 */
    {0xff6d0b3492801150u, 0x9798278aea58efffu, 1038},  /* 10^351 */
};

pw_wide pw_multiply(uint64_t a, uint64_t b)
{
    uint64_t a1 = a >> 32, a0 = a & 0xFFFFFFFFu, b1 = b >> 32, b0 = b & 0xFFFFFFFFu;
    uint64_t low = a0 * b0;
    uint64_t mid = a1 * b0 + (low >> 32);
    uint64_t mid2 = a0 * b1 + (mid & 0xFFFFFFFFu);
    pw_wide out;
    out.high = a1 * b1 + (mid >> 32) + (mid2 >> 32);
    out.low = (mid2 << 32) | (low & 0xFFFFFFFFu);
    return out;
}

int32_t pw_top_zeros(uint64_t x)
{
    int32_t count = 0;
    while ((x & 0x8000000000000000u) == 0) {
        x <<= 1;
        count++;
    }
    return count;
}

/* m b, where b has 128 bits with the first one set and m > 1: the top 128 bits of the 192, shifted up so that the first
 * bit is set; *two takes the shift. */
static pw_wide multiply_wide(uint64_t m, pw_wide b, int32_t *two)
{
    pw_wide up = pw_multiply(m, b.high);
    pw_wide down = pw_multiply(m, b.low);
    uint64_t mid = up.low + down.high;
    uint64_t high = up.high + (mid < up.low ? 1u : 0u);
    *two += 64;
    int32_t zeros = pw_top_zeros(high);
    pw_wide out = {high, mid};
    if (zeros > 0) {
        out.high = (high << zeros) | (mid >> (64 - zeros));
        out.low = (mid << zeros) | (down.low >> (64 - zeros));
    }
    *two -= zeros;
    return out;
}

pw_wide pw_times_power(uint64_t m, int32_t k, int32_t *two)
{
    static const uint64_t FIVES[27] = {1u,
                                       5u,
                                       25u,
                                       125u,
                                       625u,
                                       3125u,
                                       15625u,
                                       78125u,
                                       390625u,
                                       1953125u,
                                       9765625u,
                                       48828125u,
                                       244140625u,
                                       1220703125u,
                                       6103515625u,
                                       30517578125u,
                                       152587890625u,
                                       762939453125u,
                                       3814697265625u,
                                       19073486328125u,
                                       95367431640625u,
                                       476837158203125u,
                                       2384185791015625u,
                                       11920928955078125u,
                                       59604644775390625u,
                                       298023223876953125u,
                                       1490116119384765625u};
    int32_t row = (k + 351) / 27;
    int32_t left = (k + 351) % 27;
    power_row power = POWERS[row];
    *two = power.two + left;
    pw_wide whole = {power.high, power.low};
    pw_wide product = left == 0 ? whole : multiply_wide(FIVES[left], whole, two);
    int32_t zeros = pw_top_zeros(m);
    *two -= zeros;
    return multiply_wide(m << zeros, product, two);
}
