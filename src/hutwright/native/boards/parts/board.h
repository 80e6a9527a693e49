/* What every board does, whatever it is: reads, ticks, drives; hears, tells, keeps, shows.
 *
 * The board's main calls board_begin() once, board_tick() every millisecond, and board_idle() in what is left
 * of each: a piece of work at a time, none of which waits.  The five globals are what a rehearsal of the real
 * binary reads; nothing else is shared.
 */
#ifndef HUTWRIGHT_BOARDS_BOARD_H
#define HUTWRIGHT_BOARDS_BOARD_H

#include "door.h"

extern door_inputs board_in;
extern door_outputs board_out;
extern door_state board_state;
extern door_settings board_settings;
extern volatile uint16_t board_ticks; /* goes up when a tick is over and the bridge has been set */

void board_begin(void);
void board_tick(void);
void board_idle(void);

#endif
