/* What is kept without power: settings in two slots, a ring of summaries, the counters in two copies.
 *
 * Map [bytes]: slot 0 at 0, slot 1 at 282, ring of 24 records at 564, counters at 948 and 982, end 1016.
 *   slot      278 door_settings, 2 generation, 2 door_crc over those 280
 *   ring      2 serial, 12 door_summary, 2 door_crc over those 14
 *   counters  30 counters, 2 serial, 2 door_crc over those 32
 * Low byte first throughout.  The checksum is written last, so that a cut at any moment leaves either the
 * old record or one that does not pass for a record.
 *
 * Writing never waits: a byte at a time, each read back before the next.
 */
#ifndef HUTWRIGHT_BOARDS_STORE_H
#define HUTWRIGHT_BOARDS_STORE_H

#include "door.h"

#define STORE_SLOT_BYTES 282u
#define STORE_RING_AT 564u
#define STORE_RING_RECORDS 24u
#define STORE_RECORD_BYTES 16u
#define STORE_COUNTERS_AT 948u
#define STORE_COUNTER_BYTES 34u
#define STORE_END 1016u
#define STORE_SETTINGS_BYTES 278u
#define STORE_JOB_BYTES 34u /* the longest job */

typedef struct {
    uint8_t job[STORE_JOB_BYTES]; /* bytes still to be written, or being so */
    uint16_t at;                  /* address of the job */
    uint16_t generation;          /* of the slot in use */
    uint16_t serial;              /* of the next ring record */
    uint16_t crc;                 /* of the bytes of the job that are proved */
    uint8_t sealed;               /* 1: that goes into its last two bytes */
    uint8_t left;                 /* bytes of the job not yet proved; 0: none */
    uint8_t done;                 /* bytes of it that are proved */
    uint8_t written;              /* 1: job[done] has been written, and is to be read back */
    uint8_t slot;                 /* in use: 0, 1; 2: none was good */
    uint8_t due;                  /* bits STORE_DUE_... */
    uint8_t bad;                  /* bytes that did not read back, ever; up to 255 */
} store_state;

#define STORE_DUE_SUMMARY 1u
#define STORE_DUE_COUNTERS 2u

/* The two bytes at an address. */
uint16_t store_word(uint16_t address);

/* Power-up, and after new settings: the newest slot that is whole and that the core accepts goes into
 * `settings`; where none is, they are all zero, which the core refuses.  Kept counters go into `counters`
 * (zero where none are), and the ring is found. */
void store_begin(store_state *state, door_settings *settings, uint16_t *counters);

/* 1: no job is on. */
uint8_t store_free(const store_state *state);

/* Part of new settings for the idle slot, up to STORE_JOB_BYTES; only where store_free().  Half rewritten,
 * the slot passes for nothing: neither its own checksum nor that of the settings fits. */
void store_put(store_state *state, uint16_t offset, const uint8_t *bytes, uint8_t number);

/* Whether the idle slot holds settings with a right checksum; if so its generation and checksum are
 * written, and once that job is over store_begin() takes it.  0: it does not. */
uint8_t store_keep(store_state *state);

/* A piece of work that does not wait: at most one byte.  Starts the jobs that are due. */
void store_idle(store_state *state, const door_summary *summary, const uint16_t *counters);

#endif
