/* The serial line: readable words in, readable lines out, each with a checksum.
 *
 * In:   word SP sequence [SP offset [SP bytes in hexadecimal]] '*' CRC LF       hexadecimal: 0..9 A..F
 * Out:  letter { SP key '=' number } '*' CRC LF
 * CRC: door_crc of all bytes before the '*', four digits of hexadecimal.  A CR is left out wherever it is.
 *
 * A line in takes effect only where its checksum is right, and its sequence number is newer than that of the
 * last: 1..32767 more, counted round.  HELLO sets the sequence; before a HELLO since power-up no other word
 * but STOP is taken, so that what has waited on its way since before a power cut moves nothing.  STOP is
 * taken whatever its sequence.
 */
#ifndef HUTWRIGHT_BOARDS_LINE_H
#define HUTWRIGHT_BOARDS_LINE_H

#include <stdint.h>

#define LINE_IN_BYTES 64u   /* the longest line in, without its end */
#define LINE_OUT_BYTES 12u  /* the longest piece of a line out */

typedef enum {
    LINE_OPEN = 0, LINE_CLOSE = 1, LINE_STOP = 2, LINE_CLEAR = 3, LINE_LAY_UP = 4, /* one less than the */
    LINE_WAKE = 5,                                                                  /* door_word */
    LINE_HELLO = 6, LINE_ALIVE = 7, LINE_RING = 8, LINE_COUNT = 9, LINE_SET = 10, LINE_KEEP = 11,
    LINE_TELL = 12, LINE_WORDS = 13
} line_word;

/* What became of a line: the `r` of the answer. */
typedef enum {
    LINE_TAKEN = 0, LINE_BROKEN = 1, LINE_STALE = 2, LINE_STRANGE = 3, LINE_UNGREETED = 4, LINE_MOVING = 5,
    LINE_BUSY = 6, LINE_NOT_GOOD = 7
} line_answer;

typedef struct {
    char in[LINE_IN_BYTES];
    uint8_t length;      /* of what has come of the line; LINE_IN_BYTES + 1: too long, all is left out */
    uint8_t greeted;     /* 1: a HELLO has been taken since power-up */
    uint16_t sequence;   /* of the last word taken */
    uint16_t said;       /* sequence of the line just read */
    uint16_t offset;     /* of SET and TELL */
    uint8_t number;      /* bytes of SET: they stand at the beginning of `in` */
    uint8_t word;        /* line_word of the line just read */
} line_state;

typedef struct {
    char piece[LINE_OUT_BYTES];
    uint8_t at;          /* next byte of the piece */
    uint8_t length;
    uint16_t crc;
} line_out;

void line_begin(line_state *state);

/* One byte.  1: a line is whole, and has been read: *answer says what became of it. */
uint8_t line_hear(line_state *state, uint8_t byte, uint8_t *answer);

/* The pieces of a line out; each may be made when the one before is said. */
void line_start(line_out *out, char letter);
void line_number(line_out *out, char key, uint16_t number, uint8_t is_signed);
void line_end(line_out *out);

/* The next byte of the piece; at < length. */
uint8_t line_next(line_out *out);

#endif
