/* What a board must bring: everything that parts/board.c needs of the hardware.
 *
 * A board layer is a folder beside this one: a file that defines these functions and calls board_begin()
 * once and then, for ever, board_tick() every millisecond and board_idle() as often as there is time.
 * host/port.c is the template: each function in its plainest form.
 *
 * None of them may wait.  All are called from one place, the main loop, and never from an interrupt: what an
 * interrupt of the board writes, the board hands over here with interrupts off where it has more than one
 * byte.
 */
#ifndef HUTWRIGHT_BOARDS_PORT_H
#define HUTWRIGHT_BOARDS_PORT_H

#include <stdint.h>

/* Constant tables stay out of the RAM where the compiler knows of another place. */
#ifdef __FLASH
#define PORT_TABLE static const __flash
#else
#define PORT_TABLE static const
#endif

/* Contacts: bits of port_contacts(), 1 where the contact is made, whatever level that is on the pin. */
#define PORT_LIMIT_SHUT 1u
#define PORT_LIMIT_OPEN 2u
#define PORT_BUTTON 4u
#define PORT_RELAY 8u
#define PORT_SENSOR 16u
#define PORT_BEAM 32u  /* the beam is broken */
#define PORT_EDGE 64u  /* the edge is pressed */

/* Channels of the converter. */
#define PORT_CURRENT 0u
#define PORT_SUPPLY 1u
#define PORT_TEMPERATURE 2u
#define PORT_CHANNELS 3u

/* port_echo_units(). */
#define PORT_ECHO_NONE 65535u /* no echo has come yet */

/* The bridge: counts of the PWM's timer for either side, of 0..BOARD_PWM_TOP; enable is another line. */
void port_bridge(uint16_t open_counts, uint16_t close_counts, uint8_t enable);

/* The latest finished conversion of a channel [counts, 0..1023]. */
uint16_t port_converted(uint8_t channel);

uint8_t port_contacts(void);

/* The present sensor's trigger line. */
void port_ping(uint8_t level);

/* How long the echo line was up after the last ping, in BOARD_ECHO_UNIT_us; taken once, then NONE. */
uint16_t port_echo_units(void);

/* The signal to the machine that it may leave. */
void port_may_leave(uint8_t level);

/* The serial line: 256 where nothing has come, else the byte. */
uint16_t port_hear(void);
uint8_t port_can_say(void);
void port_say(uint8_t byte);

/* The store that keeps its bytes without power. */
uint8_t port_store_ready(void);
uint8_t port_store_read(uint16_t address);
void port_store_write(uint16_t address, uint8_t byte);

/* The two-wire bus of the display: begin talks to BOARD_DISPLAY_ADDRESS; ready again when each is done. */
uint8_t port_wire_ready(void);
void port_wire_begin(void);
void port_wire_byte(uint8_t byte);
void port_wire_end(void);

#endif
