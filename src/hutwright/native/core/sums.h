/* Sums in 16 and 32 bits for detect.c.  Every product is of two values of 16 bits, one of them cast to 32
 * bits first: an int may have 16 bits, and would overflow without a word.
 */
#ifndef HUTWRIGHT_DOOR_SUMS_H
#define HUTWRIGHT_DOOR_SUMS_H

#include <stdint.h>

/* An 8-bit board calls what a larger processor has in its stride. */
#if defined(__AVR__)
#define SUM_CALLED __attribute__((noinline, unused)) static
#else
#define SUM_CALLED static inline
#endif

SUM_CALLED uint32_t product(uint16_t a, uint16_t b)
{
    return (uint32_t)a * (uint32_t)b;
}

/* From one value the share q16 / 65536 of the way to the other, to_16 * 65536, rounded. */
SUM_CALLED uint32_t toward(uint32_t from, uint16_t to_16, uint16_t q16)
{
    uint32_t to = (uint32_t)to_16 << 16;
    uint8_t down = to < from ? 1u : 0u;
    uint32_t way = down != 0u ? from - to : to - from;
    uint32_t part = product((uint16_t)(way >> 16), q16);
    part += (product((uint16_t)(way & 65535u), q16) + 32768u) >> 16;
    return down != 0u ? from - part : from + part;
}

SUM_CALLED uint16_t cut16(uint32_t value)
{
    return value > 65535u ? (uint16_t)65535u : (uint16_t)value;
}

/* value / 1024, up to 65535.  A whole byte first: an 8-bit board shifts 32 bits one by one. */
static inline uint16_t over_1024(uint32_t value)
{
    uint16_t high = (uint16_t)(value >> 16);
    uint8_t top = (uint8_t)(high >> 8);
    uint8_t below = (uint8_t)(high & 255u);
    uint16_t middle = (uint16_t)((uint16_t)((uint16_t)below << 8) | (uint16_t)((value & 65535u) >> 8));
    uint16_t upper = (uint16_t)((uint16_t)(uint8_t)((uint8_t)(top & 3u) << 6) << 8);
    return top >= 4u ? (uint16_t)65535u : (uint16_t)((uint16_t)(middle >> 2) | upper);
}

/* value * q16 / 65536, rounded. */
SUM_CALLED uint16_t part_of(uint16_t value, uint16_t q16)
{
    return (uint16_t)((product(value, q16) + 32768u) >> 16);
}

/* value / 1000, up to 65535; within 2 and 0.01 %. */
SUM_CALLED uint16_t thousandth(uint32_t value)
{
    uint16_t coarse = over_1024(value);
    return cut16((uint32_t)coarse + (uint32_t)part_of(coarse, 1573u)); /* 1.024 */
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
SUM_CALLED uint16_t apart(int16_t a, int16_t b)
{
    return a < b ? (uint16_t)((uint16_t)b - (uint16_t)a) : (uint16_t)((uint16_t)a - (uint16_t)b);
}

SUM_CALLED uint16_t apart_unsigned(uint16_t a, uint16_t b)
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
