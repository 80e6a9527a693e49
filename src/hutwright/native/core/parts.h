/* What the core's own files say to each other; door.h is the manual. */
#ifndef HUTWRIGHT_DOOR_PARTS_H
#define HUTWRIGHT_DOOR_PARTS_H

#include "door.h"

/* detect.c: all arithmetic on current and place.  Reads the duty that was commanded in the tick before. */
void door_detect_begin(const door_settings *settings, door_detect_state *state);
void door_detect(const door_settings *settings, door_detect_state *state, const door_decide_state *decided,
                 const door_inputs *inputs, door_seen *seen);
void door_detect_ahead(const door_settings *settings, door_detect_state *state,
                       const door_decide_state *decided, int16_t temperature_dC, uint16_t supply_mV);

#define DOOR_UNREAD 2u            /* a contact that has not been read for debounce_ms yet */

/* What has been heard in this millisecond. */
typedef struct {
    uint8_t word;                 /* door_word that counts */
    uint8_t pressed;              /* 1: the button has just gone down */
    uint8_t relay;                /* 1: the contact has just been made, 2: just let go */
    uint8_t asked;                /* 1: the sensor has just begun to ask */
    uint8_t lost;                 /* 1: the link has just been lost */
    uint8_t veto;                 /* 1: no closing, by eye */
    uint8_t edge;                 /* 1: the edge is pressed */
    uint8_t low;                  /* 1: the supply is too low to go on */
} door_heard;

/* moves.c: how the decider's state changes. */
uint16_t door_up(uint16_t count);                          /* one more, up to 65535 */
void door_tally(uint16_t *counters, uint8_t which);        /* one more of a door_counter */
void door_rest_in(door_decide_state *state, uint8_t mode, uint8_t why);
void door_set_out(const door_settings *settings, door_decide_state *state, uint8_t mode, uint8_t way,
                  uint8_t why);
void door_fail(door_decide_state *state, uint8_t fault, uint16_t *counters);
void door_recover(door_decide_state *state, uint8_t why, uint8_t anchor);
void door_refuse(door_decide_state *state, uint16_t *counters);

/* tick.c: all bytes 0. */
void door_blank(uint8_t *bytes, uint16_t number);

/* hear.c: what has been heard in this millisecond, and what is counted. */
void door_hear(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
               door_heard *heard, uint16_t *counters);
void door_count_time(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                     const door_seen *seen);

/* decide.c: what to do.  No multiplication, no division: the prover takes `seen` as anything at all. */
void door_decide_begin(door_decide_state *state, uint16_t refusal);
void door_decide(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                 const door_seen *seen, uint16_t *counters, door_outputs *outputs);

#endif
