/* Sums in 16 and 32 bits for detect.c.  Every product is of two values of 16 bits, one of them cast to 32
 * bits first: an int may have 16 bits, and would overflow without a word.
 */
#ifndef HUTWRIGHT_DOOR_SUMS_H
#define HUTWRIGHT_DOOR_SUMS_H

#include <stdint.h>

/* An 8-bit board calls what a larger processor has in its stride. */
#if defined(__AVR__)
#define SUM_CALLED __attribute__((noinline, unused)) static
#define SUM_INLINE static inline __attribute__((always_inline)) /* where saving registers would cost more */
#else
#define SUM_CALLED static inline
#define SUM_INLINE static inline
#endif

static inline uint32_t product(uint16_t a, uint16_t b)
{
    return (uint32_t)a * (uint32_t)b;
}

SUM_CALLED uint16_t cut16(uint32_t value)
{
    return value > 65535u ? (uint16_t)65535u : (uint16_t)value;
}

/* value / 1024, up to 65535.  A whole byte first: an 8-bit board shifts 32 bits one by one. */
static inline uint16_t over_1024(uint32_t value)
{
    uint8_t top = (uint8_t)(value >> 24);
    uint16_t middle = (uint16_t)((value >> 8) & 65535u);
    uint16_t upper = (uint16_t)((uint16_t)(uint8_t)((uint8_t)(top & 3u) << 6) << 8);
    return top >= 4u ? (uint16_t)65535u : (uint16_t)((uint16_t)(middle >> 2) | upper);
}

/* value * q16 / 65536, rounded. */
SUM_INLINE uint16_t part_of(uint16_t value, uint16_t q16)
{
    return (uint16_t)((product(value, q16) + 32768u) >> 16);
}

/* From one value the share q16 / 65536 of the way to the other, to_16 * 65536, rounded.  The way is taken in
 * two halves of 16 bits: what is behind the point, and the whole. */
SUM_INLINE uint32_t toward(uint32_t from, uint16_t to_16, uint16_t q16)
{
    uint16_t whole = (uint16_t)(from >> 16);
    uint16_t rest = (uint16_t)(from & 65535u);
    if (to_16 > whole) {
        whole = (uint16_t)(to_16 - whole - (rest != 0u ? 1u : 0u));
        rest = (uint16_t)(0u - rest);
        return from + part_of(rest, q16) + product(whole, q16);
    }
    return from - part_of(rest, q16) - product((uint16_t)(whole - to_16), q16);
}

/* value * 32, for a value below 2048.  Byte by byte: an 8-bit board shifts 16 bits one by one. */
static inline uint16_t times_32(uint16_t value)
{
    uint8_t above = (uint8_t)((value >> 8) & 7u);
    uint8_t below = (uint8_t)(value & 255u);
    uint8_t low = (uint8_t)(below & 7u);
    above = (uint8_t)(above << 5);
    low = (uint8_t)(low << 5);
    below = (uint8_t)(below >> 3);
    return (uint16_t)((uint16_t)((uint16_t)(uint8_t)(above | below) << 8) | (uint16_t)low);
}

/* value / 2048, up to 65535. */
static inline uint16_t over_2048(uint32_t value)
{
    uint16_t high = (uint16_t)(value >> 16);
    uint8_t below = (uint8_t)((value & 65535u) >> 8);
    return high < 2048u ? (uint16_t)(times_32(high) | (uint16_t)(uint8_t)(below >> 3)) : (uint16_t)65535u;
}

/* value / 1000, up to 65535; within 2 and 0.01 %. */
SUM_CALLED uint16_t thousandth(uint32_t value)
{
    uint16_t coarse = over_1024(value);
    return coarse < 64000u ? (uint16_t)(coarse + part_of(coarse, 1573u)) : (uint16_t)65535u; /* 1.024 */
}

/* value / 10000, up to 6711; within 1. */
SUM_CALLED uint16_t ten_thousandth(uint32_t value)
{
    return part_of(over_1024(value), 6711u); /* 0.1024 */
}

static inline uint32_t magnitude(int32_t value)
{
    return value < 0 ? (uint32_t)0 - (uint32_t)value : (uint32_t)value;
}

/* How far apart two values are. */
SUM_INLINE uint16_t apart(int16_t a, int16_t b)
{
    return a < b ? (uint16_t)((uint16_t)b - (uint16_t)a) : (uint16_t)((uint16_t)a - (uint16_t)b);
}

SUM_INLINE uint16_t apart_unsigned(uint16_t a, uint16_t b)
{
    return a < b ? (uint16_t)(b - a) : (uint16_t)(a - b);
}

static inline int16_t median(int16_t a, int16_t b, int16_t c)
{
    int16_t low = a < b ? a : b;
    int16_t high = a < b ? b : a;
    int16_t middle = c > high ? high : c;
    return c < low ? low : middle;
}

/* How far a value lies outside a range. */
SUM_CALLED uint16_t outside(int16_t value, int16_t low, int16_t high)
{
    uint16_t out = value > high ? apart(value, high) : (uint16_t)0u;
    return value < low ? apart(low, value) : out;
}

SUM_CALLED uint16_t outside_unsigned(uint16_t value, uint16_t low, uint16_t high)
{
    uint16_t out = value > high ? (uint16_t)(value - high) : (uint16_t)0u;
    return value < low ? (uint16_t)(low - value) : out;
}

#endif
