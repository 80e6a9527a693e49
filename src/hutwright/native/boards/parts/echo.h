/* The pulse-echo present sensor: pings, times, and says what it sees. */
#ifndef HUTWRIGHT_BOARDS_ECHO_H
#define HUTWRIGHT_BOARDS_ECHO_H

#include <stdint.h>

#define ECHO_EVERY_ms 50u /* from ping to ping: late echoes have died away */
#define ECHO_CLEARS 3u    /* so many clear answers in a row are believed */
#define ECHO_MISSES 4u    /* so many pings without an answer are a failure */

typedef struct {
    uint8_t since_ms;   /* the ping */
    uint8_t clears;     /* in a row */
    uint8_t misses;     /* in a row */
    uint8_t eye;        /* door_eye */
    uint16_t units;     /* of the last echo, for telemetry; PORT_ECHO_NONE: none */
} echo_state;

/* Nothing is believed before it has been heard: FAILED at first. */
void echo_begin(echo_state *state);

/* One millisecond.  An echo shorter than near_units means something in the doorway; `units` is
 * PORT_ECHO_NONE where none came in this millisecond.  Gives 1 where the trigger shall be up. */
uint8_t echo_tick(echo_state *state, uint16_t units, uint16_t near_units);

#endif
