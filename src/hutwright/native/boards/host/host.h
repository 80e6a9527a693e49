/* The host's hardware: a record of knobs and dials. */
#ifndef HUTWRIGHT_BOARDS_HOST_H
#define HUTWRIGHT_BOARDS_HOST_H

#include <stdint.h>

#define HOST_SAID_BYTES 60000
#define HOST_WIRED_BYTES 64

typedef struct {
    /* knobs */
    uint16_t converted[3];       /* [counts] */
    uint16_t echo_units;         /* taken once; 65535: no echo */
    uint16_t heard;              /* taken once; 256: nothing */
    uint16_t worn;               /* address of a cell of the store that takes nothing; 65535: none */
    uint16_t writes_left;        /* of the store, before it is cut off; 65535: not soon */
    uint8_t contacts;
    uint8_t wire_stuck;
    uint8_t store[1024];
    /* dials */
    uint16_t open_counts, close_counts;
    uint16_t said_number, wired_number, wired_whole;
    uint8_t enable, ping, may_leave;
    uint8_t said[60000];
    uint8_t wired[64];
} host_hardware;

extern host_hardware host;

/* What is left of a millisecond: board_idle() so many times. */
void host_idle(uint16_t times);

#endif
