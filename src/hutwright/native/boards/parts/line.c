/* See line.h. */
#include "line.h"

#include "door.h"
#include "parts.h"
#include "port.h"

PORT_TABLE char WORDS[] = "open\0close\0stop\0clear\0layup\0wake\0hello\0alive\0ring\0count\0set\0keep\0tell";

void line_begin(line_state *state)
{
    state->length = 0u;
    state->greeted = 0u;
    state->sequence = 0u;
}

/* 16: no such digit. */
static uint8_t digit_of(char letter)
{
    uint8_t digit = 16u;
    if (letter >= '0' && letter <= '9') {
        digit = (uint8_t)(letter - '0');
    } else if (letter >= 'A' && letter <= 'F') {
        digit = (uint8_t)(letter - 'A' + 10);
    }
    return digit;
}

/* The number at `at` in base 10 or 16, counted round at 65536; *at goes behind it.  1: there is one. */
static uint8_t number_at(const char *text, uint8_t *at, uint8_t base, uint16_t *number)
{
    uint8_t begun = *at;
    uint8_t digit = digit_of(text[begun]);
    uint16_t sum = 0u;
    while (digit < base) {
        sum = (uint16_t)((uint16_t)(sum * (uint16_t)base) + digit);
        *at = (uint8_t)(*at + 1u);
        digit = digit_of(text[*at]);
    }
    *number = sum;
    return *at != begun ? 1u : 0u;
}

/* line_word that stands at the beginning; *at goes to the blank behind it. */
static uint8_t word_of(const char *text, uint8_t *at)
{
    uint8_t word;
    uint8_t letter = 0u;
    for (word = 0u; word < LINE_WORDS; word++) {
        uint8_t same = 1u;
        *at = 0u;
        while (WORDS[letter] != '\0') {
            if (text[*at] != WORDS[letter]) {
                same = 0u;
            }
            letter = (uint8_t)(letter + 1u);
            *at = (uint8_t)(*at + same);
        }
        letter = (uint8_t)(letter + 1u);
        if (same != 0u && text[*at] == ' ') {
            break;
        }
    }
    return word;
}

/* The bytes of SET go to the beginning of the line, which has been read by then. */
static uint8_t bytes_at(line_state *state, uint8_t at)
{
    uint8_t number = 0u;
    while (state->in[at] != '*') {
        uint8_t high = digit_of(state->in[at]);
        uint8_t low = digit_of(state->in[at + 1u]);
        if (high > 15u || low > 15u) {
            return 0u;
        }
        state->in[number] = (char)(uint8_t)((uint8_t)(high << 4) | low);
        number = (uint8_t)(number + 1u);
        at = (uint8_t)(at + 2u);
    }
    state->number = number;
    return number != 0u ? 1u : 0u;
}

/* 1: the last five bytes are a '*' and the checksum of what is before. */
static uint8_t is_whole(const line_state *state)
{
    uint8_t star = (uint8_t)(state->length - 5u);
    uint8_t at = (uint8_t)(star + 1u);
    uint16_t crc;
    return state->length > 6u && state->length < LINE_IN_BYTES && state->in[star] == '*'
                && number_at(state->in, &at, 16u, &crc) != 0u && at == state->length
                && crc == door_crc((const uint8_t *)state->in, star)
             ? 1u
             : 0u;
}

/* A whole line: what it says.  A line each; D1. */
static uint8_t read_line(line_state *state)
{
    uint8_t at;
    if (is_whole(state) == 0u) {
        return LINE_BROKEN;
    }
    state->word = word_of(state->in, &at);
    if (state->word == LINE_WORDS) {
        return LINE_STRANGE;
    }
    at = (uint8_t)(at + 1u);
    if (number_at(state->in, &at, 10u, &state->said) == 0u) {
        return LINE_STRANGE;
    }
    if (state->word == LINE_SET || state->word == LINE_TELL) {
        at = (uint8_t)(at + 1u);
        if (state->in[at - 1u] != ' ' || number_at(state->in, &at, 10u, &state->offset) == 0u) {
            return LINE_STRANGE;
        }
    }
    if (state->word == LINE_SET) {
        if (state->in[at] != ' ' || bytes_at(state, (uint8_t)(at + 1u)) == 0u) {
            return LINE_STRANGE;
        }
    } else if (state->in[at] != '*') {
        return LINE_STRANGE;
    }
    if (state->word == LINE_STOP) {
        return LINE_TAKEN; /* whoever says it, and however late */
    }
    if (state->word == LINE_HELLO) {
        state->greeted = 1u;
    } else if (state->greeted == 0u) {
        return LINE_UNGREETED;
    } else if ((uint16_t)(state->said - state->sequence - 1u) >= 32767u) {
        return LINE_STALE;
    }
    state->sequence = state->said;
    return LINE_TAKEN;
}

uint8_t line_hear(line_state *state, uint8_t byte, uint8_t *answer)
{
    uint8_t over = 0u;
    if (byte == '\n') {
        if (state->length != 0u) {
            if (state->length < LINE_IN_BYTES) {
                state->in[state->length] = '\0';
            }
            state->said = 0u;
            *answer = read_line(state);
            over = 1u;
        }
        state->length = 0u;
    } else if (byte != '\r' && state->length < LINE_IN_BYTES) {
        state->in[state->length] = (char)byte;
        state->length = (uint8_t)(state->length + 1u);
    }
    return over;
}

void line_start(line_out *out, char letter)
{
    out->piece[0] = letter;
    out->at = 0u;
    out->length = 1u;
    out->crc = 65535u;
}

PORT_TABLE uint16_t TENS[] = {10000u, 1000u, 100u, 10u, 1u};

void line_number(line_out *out, char key, uint16_t number, uint8_t is_signed)
{
    uint8_t at = 3u;
    uint8_t place;
    out->piece[0] = ' ';
    out->piece[1] = key;
    out->piece[2] = '=';
    if (is_signed != 0u && number > 32767u) {
        number = (uint16_t)(0u - number);
        out->piece[at] = '-';
        at = (uint8_t)(at + 1u);
    }
    is_signed = 0u; /* from here on: a digit has been written */
    for (place = 0u; place < 5u; place++) {
        char digit = '0';
        uint16_t ten = TENS[place];
        while (number >= ten) {
            number = (uint16_t)(number - ten);
            digit++;
        }
        if (digit != '0' || is_signed != 0u || place == 4u) {
            is_signed = 1u;
            out->piece[at] = digit;
            at = (uint8_t)(at + 1u);
        }
    }
    out->at = 0u;
    out->length = at;
}

static char hexadecimal(uint8_t digit)
{
    return (char)(digit < 10u ? digit + '0' : digit - 10 + 'A');
}

void line_end(line_out *out)
{
    uint16_t crc = out->crc;
    uint8_t at;
    out->piece[0] = '*';
    for (at = 4u; at != 0u; at--) {
        out->piece[at] = hexadecimal((uint8_t)(crc & 15u));
        crc = (uint16_t)(crc >> 4);
    }
    out->piece[5] = '\n';
    out->at = 0u;
    out->length = 6u;
}

uint8_t line_next(line_out *out)
{
    uint8_t byte = (uint8_t)out->piece[out->at];
    out->crc = door_crc_more(out->crc, byte);
    out->at = (uint8_t)(out->at + 1u);
    return byte;
}
