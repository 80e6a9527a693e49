/* Counting how long something lasts, from tick to tick: most of the time it does not, and that is quick. */
#ifndef HUTWRIGHT_DOOR_LASTS_H
#define HUTWRIGHT_DOOR_LASTS_H

#include "parts.h"

/* An 8-bit board's compiler would call it, for the sake of a few bytes. */
#if defined(__AVR__)
#define LASTS_INLINE static inline __attribute__((always_inline))
#else
#define LASTS_INLINE static inline
#endif

/* One more, up to 65535: door_up() where it counts in every tick. */
LASTS_INLINE uint16_t door_more(uint16_t count)
{
    return (uint16_t)(count < 65535u ? count + 1u : count);
}

/* One more while it goes on, up to 65535, else 0.  1: it has lasted for `most` or longer. */
LASTS_INLINE uint8_t door_lasts(uint16_t *count, uint8_t goes_on, uint16_t most)
{
    uint16_t now = 0u;
    uint8_t lasts = 0u;
    if (goes_on != 0u) {
        now = door_more(*count);
        lasts = now >= most ? 1u : 0u;
    }
    *count = now;
    return lasts;
}

#endif
