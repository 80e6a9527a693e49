/* The status display: a character display behind an 8-bit expander on a two-wire bus.
 *
 * Seven characters: the state, a blank, and two digits: the door_fault, else the door_why.  Expander's bits:
 * 0 register select, 2 enable, 3 light, 4..7 data.  The display is set up anew with every refresh, again and
 * again, so that one which was plugged in late, or lost count, finds its way again.
 */
#ifndef HUTWRIGHT_BOARDS_DISPLAY_H
#define HUTWRIGHT_BOARDS_DISPLAY_H

#include <stdint.h>

#define DISPLAY_SET_UP 5u
#define DISPLAY_LETTERS 7u

typedef struct {
    uint8_t step;   /* of the refresh */
    uint8_t mode;
    uint8_t number; /* fault or why */
} display_state;

void display_begin(display_state *state);

/* Show this from the next refresh on; begins one where none is on. */
void display_show(display_state *state, uint8_t mode, uint8_t number);

/* A piece of work that does not wait: at most one byte on the bus. */
void display_idle(display_state *state);

#endif
