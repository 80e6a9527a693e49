/* See board.h. */
#include "board.h"

#include "board_config.h"
#include "display.h"
#include "duty.h"
#include "echo.h"
#include "line.h"
#include "port.h"
#include "store.h"
#include "sums.h"

#define TELL_MOVING_ms 20u
#define TELL_RESTING_ms 1000u

/* Lines out that are due, in order of haste. */
#define SAY_ANSWER 1u
#define SAY_TELEMETRY 2u
#define SAY_BEGUN 4u
#define SAY_COUNTERS 8u
#define SAY_RING 16u
#define SAY_STORED 32u

#define STORED_WORDS 10u /* in the answer to TELL */

#define AHEAD_READ 0u   /* temperature and supply are to be read */
#define AHEAD_RECKON 1u /* what hangs on them is to be reckoned */
#define AHEAD_DONE 2u

door_inputs board_in;
door_outputs board_out;
door_state board_state;
door_settings board_settings;
volatile uint16_t board_ticks;

static store_state store;
static line_state line;
static line_out out;
#if BOARD_PRESENT
static echo_state echo;
#endif
#if BOARD_DISPLAY
static display_state display;
#endif
static uint8_t word;        /* door_word for the next tick */
static uint8_t contacts;    /* PORT_ bits of the last tick */
static uint8_t alive;       /* 1: a whole line has come since the last tick */
static uint8_t ahead;       /* AHEAD_ of what is done between two ticks for the next */
static uint8_t say_due;
static uint8_t saying;      /* SAY_ of the line that is being said; 0: none */
static uint8_t said;        /* its pieces */
static uint8_t answer;      /* line_answer */
static uint8_t ring_at;
static uint8_t restart;     /* 1: new settings are being kept: take them when that is over */
static uint16_t tell_ms;
static uint16_t told[12];   /* what the line that is being said is about */

/* ---- power-up ------------------------------------------------------------------------------------------ */

static void begin_door(void)
{
    uint16_t kept[DOOR_COUNTERS];
    uint8_t i;
    store_begin(&store, &board_settings, kept);
    if (restart != 0u) { /* not a power-up: the counters in memory are newer than those kept */
        for (i = 0u; i < DOOR_COUNTERS; i++) {
            kept[i] = board_state.counters[i];
        }
    }
    door_begin(&board_settings, &board_state, kept);
    restart = 0u;
    say_due |= SAY_BEGUN;
}

void board_begin(void)
{
    port_bridge(0u, 0u, 0u);
    board_in.place_permille = DOOR_NO_PLACE;
    begin_door();
    line_begin(&line);
#if BOARD_PRESENT
    echo_begin(&echo);
#endif
#if BOARD_DISPLAY
    display_begin(&display);
#endif
}

/* ---- the tick ------------------------------------------------------------------------------------------ */

/* Counts of the converter less an offset, times a factor in 1/256. */
static int16_t scaled(uint8_t channel, uint16_t offset_counts, uint16_t factor_q8)
{
    uint16_t counts = port_converted(channel);
    uint8_t below = counts < offset_counts ? 1u : 0u;
    uint16_t off = below != 0u ? (uint16_t)(offset_counts - counts) : (uint16_t)(counts - offset_counts);
    uint32_t value = ((uint32_t)off * factor_q8 + 128u) >> 8;
    int16_t cut = (int16_t)(value > 32767u ? 32767u : value);
    return below != 0u ? (int16_t)-cut : cut;
}

/* What the last tick leaves to be done, and what the next is told of things that are slow: temperature and
 * supply, so that the controller can reckon what hangs on them before it, and what the echo says. */
static void between(void)
{
    if (board_out.summary_ready != 0u) {
        store.due |= STORE_DUE_SUMMARY;
    }
    tell_ms = (uint16_t)(tell_ms + 1u);
    if (tell_ms >= (board_out.enable != 0u ? TELL_MOVING_ms : TELL_RESTING_ms)) {
        tell_ms = 0u;
        say_due |= SAY_TELEMETRY;
    }
#if BOARD_PRESENT
    port_ping(echo_tick(&echo, port_echo_units(), BOARD_PRESENT_NEAR_units));
    board_in.present = echo.eye;
#else
    board_in.present = DOOR_EYE_NONE;
#endif
    board_in.supply_mV = cut16(((uint32_t)port_converted(PORT_SUPPLY) * BOARD_SUPPLY_mV_q8 + 128u) >> 8);
    board_in.temperature_dC =
        scaled(PORT_TEMPERATURE, BOARD_TEMPERATURE_ZERO_counts, BOARD_TEMPERATURE_dC_q8);
    ahead = AHEAD_RECKON;
}

static void read_all(void)
{
    contacts = port_contacts();
    board_in.current_mA = scaled(PORT_CURRENT, BOARD_CURRENT_ZERO_counts, BOARD_CURRENT_mA_q8);
    board_in.limit_shut = (contacts & PORT_LIMIT_SHUT) != 0u ? 1u : 0u;
    board_in.limit_open = (contacts & PORT_LIMIT_OPEN) != 0u ? 1u : 0u;
    board_in.button = (contacts & PORT_BUTTON) != 0u ? 1u : 0u;
    board_in.relay = (contacts & PORT_RELAY) != 0u ? 1u : 0u;
    board_in.sensor = (contacts & PORT_SENSOR) != 0u ? 1u : 0u;
#if BOARD_HAS_BEAM
    board_in.beam = (contacts & PORT_BEAM) != 0u ? (uint8_t)DOOR_EYE_SEES : (uint8_t)DOOR_EYE_CLEAR;
#else
    board_in.beam = DOOR_EYE_NONE; /* which is a failure, where the settings count on it */
#endif
#if BOARD_HAS_EDGE
    board_in.edge = (contacts & PORT_EDGE) != 0u ? (uint8_t)DOOR_EYE_SEES : (uint8_t)DOOR_EYE_CLEAR;
#else
    board_in.edge = DOOR_EYE_NONE;
#endif
    board_in.word = word; /* for one tick only: a word that stayed would close again after a reversal */
    board_in.line_alive = alive;
    word = DOOR_SAY_NOTHING;
    alive = 0u;
}

static uint16_t counts_of(uint16_t permille)
{
    return permille != 0u ? duty_counts(permille, BOARD_PWM_TOP) : (uint16_t)0u;
}

void board_tick(void)
{
    if (ahead == AHEAD_READ) { /* there was no time between */
        between();
    }
    read_all();
    door_tick(&board_settings, &board_state, &board_in, &board_out);
    port_bridge(counts_of(board_out.open_permille), counts_of(board_out.close_permille), board_out.enable);
    port_may_leave(board_out.may_leave);
    ahead = AHEAD_READ;
    board_ticks = (uint16_t)(board_ticks + 1u);
}

/* ---- words that come on the line --------------------------------------------------------------------- */

/* SET and KEEP: only at rest, and one thing at a time. */
static uint8_t new_settings(void)
{
    if (board_out.enable != 0u) {
        return LINE_MOVING;
    }
    if (store_free(&store) == 0u || restart != 0u) {
        return LINE_BUSY;
    }
    if (line.word == LINE_KEEP) {
        restart = store_keep(&store);
        return restart != 0u ? LINE_TAKEN : LINE_NOT_GOOD;
    }
    if (line.offset > STORE_SETTINGS_BYTES || line.number > STORE_SETTINGS_BYTES - line.offset) {
        return LINE_STRANGE;
    }
    store_put(&store, line.offset, (const uint8_t *)line.in, line.number);
    return LINE_TAKEN;
}

static void hear(void)
{
    uint16_t byte = port_hear();
    if (byte > 255u || line_hear(&line, (uint8_t)byte, &answer) == 0u) {
        return;
    }
    if (answer == LINE_TAKEN) {
        alive = 1u;
        if (line.word <= LINE_WAKE) {
            if (word != DOOR_SAY_STOP) { /* two words between two ticks: a stop is not overheard */
                word = (uint8_t)(line.word + 1u);
            }
        } else if (line.word == LINE_RING) {
            ring_at = 0u;
            say_due |= SAY_RING;
        } else if (line.word == LINE_COUNT) {
            say_due |= SAY_COUNTERS;
        } else if (line.word == LINE_TELL) {
            if (line.offset <= STORE_END - 2u * STORED_WORDS) {
                say_due |= SAY_STORED;
            } else {
                answer = LINE_STRANGE;
            }
        } else if (line.word >= LINE_SET) {
            answer = new_settings();
        }
    }
    say_due |= SAY_ANSWER;
}

/* ---- lines that go out ------------------------------------------------------------------------------ */

/* Keys of each line's numbers; a capital one is signed. */
PORT_TABLE char ANSWER_KEYS[] = "nr";
PORT_TABLE char TELEMETRY_KEYS[] = "tmwfDiRuKgpb";
PORT_TABLE char BEGUN_KEYS[] = "vsgdb";
PORT_TABLE char COUNTER_KEYS[] = "abcdefghijklmno";
PORT_TABLE char RING_KEYS[] = "snlPuKow";
PORT_TABLE char STORED_KEYS[] = "osabcdefghij";

static void tell_telemetry(void)
{
    const door_detect_state *detect = &board_state.detect;
    told[0] = board_ticks;
    told[1] = board_out.mode;
    told[2] = board_out.why;
    told[3] = board_out.fault;
    told[4] = (uint16_t)(board_out.open_permille - board_out.close_permille);
    told[5] = detect->current_mA;
    told[6] = (uint16_t)detect->residual_mA;
    told[7] = board_in.supply_mV;
    told[8] = (uint16_t)board_in.temperature_dC;
    told[9] = (uint16_t)(((uint32_t)(uint16_t)(detect->place_q30 >> 16) * 4000u + 32768u) >> 16);
    told[10] = board_in.present;
    told[11] = (uint16_t)(contacts | (uint16_t)(board_out.may_leave << 8)
                          | (uint16_t)(detect->place_known << 9) | (uint16_t)(board_out.enable << 10));
}

/* Words of the store, from `first` of what is told on; the address behind them. */
static uint16_t tell_words(uint16_t address, uint8_t first, uint8_t end)
{
    for (; first < end; first++) {
        told[first] = store_word(address);
        address = (uint16_t)(address + 2u);
    }
    return address;
}

static void tell_ring(void)
{
    /* serial, number, duration, peak, supply, temperature */
    uint16_t address =
        tell_words((uint16_t)(STORE_RING_AT + (uint16_t)ring_at * STORE_RECORD_BYTES), 0u, 6u);
    told[6] = port_store_read(address);
    told[7] = port_store_read((uint16_t)(address + 1u));
}

static void begin_line(void)
{
    char letter = 'T';
    saying = (uint8_t)(say_due & (uint8_t)(0u - say_due)); /* the lowest bit */
    if (saying >= SAY_RING && store_free(&store) == 0u) {
        saying = 0u;
        return;
    }
    said = 0u;
    say_due = (uint8_t)(say_due & (uint8_t)~saying);
    if (saying == SAY_ANSWER) {
        letter = 'A';
        told[0] = line.said;
        told[1] = answer;
    } else if (saying == SAY_TELEMETRY) {
        tell_telemetry();
    } else if (saying == SAY_BEGUN) {
        letter = 'B';
        told[0] = DOOR_SETTINGS_VERSION;
        told[1] = store.slot;
        told[2] = store.generation;
        told[3] = board_state.decide.refusal;
        told[4] = store.bad;
    } else if (saying == SAY_COUNTERS) {
        letter = 'C';
    } else if (saying == SAY_RING) {
        letter = 'R';
        tell_ring();
    } else {
        letter = 'S';
        told[0] = line.offset;
        told[1] = store.slot;
        (void)tell_words(line.offset, 2u, 2u + STORED_WORDS);
    }
    line_start(&out, letter);
}

static char key_of(uint8_t at)
{
    char key = TELEMETRY_KEYS[at];
    if (saying == SAY_ANSWER) {
        key = ANSWER_KEYS[at];
    } else if (saying == SAY_BEGUN) {
        key = BEGUN_KEYS[at];
    } else if (saying == SAY_COUNTERS) {
        key = COUNTER_KEYS[at];
    } else if (saying == SAY_RING) {
        key = RING_KEYS[at];
    } else if (saying == SAY_STORED) {
        key = STORED_KEYS[at];
    }
    return key;
}

/* The piece before has been said: the next one, the checksum, or nothing more. */
static void next_piece(void)
{
    char key;
    if (said == 255u) { /* the checksum has been said */
        if (saying == SAY_RING && ring_at + 1u < STORE_RING_RECORDS) {
            ring_at = (uint8_t)(ring_at + 1u);
            say_due |= SAY_RING;
        }
        saying = 0u;
        return;
    }
    key = key_of(said);
    if (key == '\0') {
        line_end(&out);
        said = 255u;
    } else {
        uint16_t number = saying == SAY_COUNTERS ? board_state.counters[said] : told[said];
        line_number(&out, (char)(key | 32), number, key < 'a' ? 1u : 0u);
        said = (uint8_t)(said + 1u);
    }
}

static void say(void)
{
    if (saying == 0u) {
        if (say_due != 0u) {
            begin_line();
        }
    } else if (out.at == out.length) {
        next_piece();
    } else if (port_can_say() != 0u) {
        port_say(line_next(&out));
    }
}

void board_idle(void)
{
    if (ahead == AHEAD_READ) {
        between();
        return;
    }
    if (ahead == AHEAD_RECKON) {
        ahead = AHEAD_DONE;
        door_prepare(&board_settings, &board_state, board_in.temperature_dC, board_in.supply_mV);
        return;
    }
    hear();
    say();
    store_idle(&store, &board_state.summary, board_state.counters);
    if (restart != 0u && store_free(&store) != 0u) {
        begin_door();
    }
#if BOARD_DISPLAY
    display_show(&display, board_out.mode, board_out.fault != 0u ? board_out.fault : board_out.why);
    display_idle(&display);
#endif
}
