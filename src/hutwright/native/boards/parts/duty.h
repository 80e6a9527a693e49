/* From permille to counts of the PWM's timer: full duty is the full count, nothing is nothing. */
#ifndef HUTWRIGHT_BOARDS_DUTY_H
#define HUTWRIGHT_BOARDS_DUTY_H

#include <stdint.h>

/* Rounded to the nearest count, for a top of 1..4095 counts: the factor is off by less than 1 in 65536, so a
 * thousand of them by less than a fiftieth of a count.  Above 1000 permille counts as 1000. */
static inline uint16_t duty_counts(uint16_t permille, uint16_t top_counts)
{
    uint16_t share = permille > 1000u ? (uint16_t)1000u : permille;
    uint32_t factor_q16 = ((uint32_t)top_counts * 65536u + 500u) / 1000u; /* a constant where top is one */
    return (uint16_t)(((uint32_t)share * factor_q16 + 32768u) >> 16);
}

#endif
