/* See store.h. */
#include "store.h"

#include "parts.h"
#include "port.h"

_Static_assert(sizeof(door_settings) == STORE_SETTINGS_BYTES, "the slots do not fit the settings");
_Static_assert(sizeof(door_summary) == 12, "the ring does not fit the summary");
_Static_assert(STORE_RING_AT == 2u * STORE_SLOT_BYTES, "the ring begins where the slots end");
_Static_assert(STORE_COUNTERS_AT == STORE_RING_AT + STORE_RING_RECORDS * STORE_RECORD_BYTES, "no gap");
_Static_assert(STORE_END == STORE_COUNTERS_AT + 2u * STORE_COUNTER_BYTES, "two copies");
_Static_assert(STORE_COUNTER_BYTES == 2u * DOOR_COUNTERS + 4u, "all counters are kept");

uint16_t store_word(uint16_t address)
{
    uint8_t low = port_store_read(address);
    return (uint16_t)(low | (uint16_t)((uint16_t)port_store_read((uint16_t)(address + 1u)) << 8));
}

/* Checksum of what is stored from there on. */
static uint16_t crc_at(uint16_t address, uint16_t number)
{
    uint16_t crc = 65535u;
    while (number != 0u) {
        crc = door_crc_more(crc, port_store_read(address));
        address = (uint16_t)(address + 1u);
        number = (uint16_t)(number - 1u);
    }
    return crc;
}

/* 1: a record of so many bytes and its checksum stand there. */
static uint8_t whole(uint16_t address, uint16_t number)
{
    return crc_at(address, number) == store_word((uint16_t)(address + number)) ? 1u : 0u;
}

static uint16_t slot_at(uint8_t slot)
{
    return slot == 1u ? (uint16_t)STORE_SLOT_BYTES : (uint16_t)0u;
}

static void fetch(uint16_t address, uint8_t *bytes, uint16_t number)
{
    while (number != 0u) {
        *bytes = port_store_read(address);
        bytes++;
        address = (uint16_t)(address + 1u);
        number = (uint16_t)(number - 1u);
    }
}

/* The newer of the whole slots, of those in `among` (bit 0, bit 1); 2: none. */
static uint8_t newest(uint8_t among, uint16_t *generation)
{
    uint8_t best = 2u;
    uint8_t slot;
    for (slot = 0u; slot < 2u; slot++) {
        uint16_t number = store_word((uint16_t)(slot_at(slot) + STORE_SETTINGS_BYTES));
        if ((among & (uint8_t)(1u << slot)) != 0u && whole(slot_at(slot), STORE_SETTINGS_BYTES + 2u) != 0u
            && (best == 2u || (uint16_t)(number - *generation) < 32768u)) {
            best = slot;
            *generation = number;
        }
    }
    return best;
}

static void find_settings(store_state *state, door_settings *settings)
{
    uint8_t among = 3u;
    uint16_t i;
    state->generation = 0u;
    while (among != 0u) {
        state->slot = newest(among, &state->generation);
        if (state->slot == 2u) {
            break;
        }
        fetch(slot_at(state->slot), (uint8_t *)settings, STORE_SETTINGS_BYTES);
        if (door_settings_refusal(settings) == DOOR_SETTINGS_GOOD) {
            return;
        }
        among = (uint8_t)(among & (uint8_t)~(1u << state->slot));
    }
    state->slot = 2u;
    for (i = 0u; i < STORE_SETTINGS_BYTES; i++) {
        ((uint8_t *)settings)[i] = 0u;
    }
}

static uint16_t record_at(uint16_t serial)
{
    return (uint16_t)(STORE_RING_AT + (serial % STORE_RING_RECORDS) * STORE_RECORD_BYTES);
}

static uint16_t counters_at(uint16_t serial)
{
    return (serial & 1u) != 0u ? (uint16_t)(STORE_COUNTERS_AT + STORE_COUNTER_BYTES)
                               : (uint16_t)STORE_COUNTERS_AT;
}

/* The counters' serial is that of the ring record which they were written with: the newer copy counts. */
static void find_counters(store_state *state, uint16_t *counters)
{
    uint8_t copy;
    uint8_t found = 0u;
    state->serial = 0u;
    for (copy = 0u; copy < DOOR_COUNTERS; copy++) {
        counters[copy] = 0u;
    }
    for (copy = 0u; copy < 2u; copy++) {
        uint16_t address = counters_at(copy);
        uint16_t serial = store_word((uint16_t)(address + 2u * DOOR_COUNTERS));
        if (whole(address, STORE_COUNTER_BYTES - 2u) != 0u
            && (found == 0u || (uint16_t)(serial - state->serial) < 32768u)) {
            found = 1u;
            state->serial = serial;
            fetch(address, (uint8_t *)counters, 2u * DOOR_COUNTERS);
        }
    }
    if (found != 0u) {
        state->serial = (uint16_t)(state->serial + 1u);
    }
}

void store_begin(store_state *state, door_settings *settings, uint16_t *counters)
{
    state->left = 0u;
    state->due = 0u;
    find_settings(state, settings);
    find_counters(state, counters);
}

uint8_t store_free(const store_state *state)
{
    return state->left == 0u && state->due == 0u ? 1u : 0u;
}

static void start(store_state *state, uint16_t address, uint8_t number)
{
    state->at = address;
    state->done = 0u;
    state->written = 0u;
    state->left = number;
    state->crc = 65535u;
    state->sealed = 0u;
}

static uint16_t idle_slot_at(const store_state *state)
{
    return slot_at(state->slot == 0u ? 1u : 0u);
}

void store_put(store_state *state, uint16_t offset, const uint8_t *bytes, uint8_t number)
{
    uint8_t i;
    for (i = 0u; i < number; i++) {
        state->job[i] = bytes[i];
    }
    start(state, (uint16_t)(idle_slot_at(state) + offset), number);
}

/* The two bytes of a value into the job. */
static void lay(store_state *state, uint8_t at, uint16_t value)
{
    state->job[at] = (uint8_t)(value & 255u);
    state->job[at + 1u] = (uint8_t)(value >> 8);
}

uint8_t store_keep(store_state *state)
{
    uint16_t address = idle_slot_at(state);
    uint16_t crc;
    if (whole(address, STORE_SETTINGS_BYTES - 2u) == 0u) {
        return 0u;
    }
    lay(state, 0u, (uint16_t)(state->generation + 1u));
    crc = crc_at(address, STORE_SETTINGS_BYTES);
    crc = door_crc_more(crc, state->job[0]);
    lay(state, 2u, door_crc_more(crc, state->job[1]));
    start(state, (uint16_t)(address + STORE_SETTINGS_BYTES), 4u);
    return 1u;
}

/* The job's first bytes are laid out, and off it goes; its checksum comes after them once they are proved. */
static void seal(store_state *state, uint16_t address, uint8_t number)
{
    start(state, address, (uint8_t)(number + 2u));
    state->sealed = 1u;
}

static void start_due(store_state *state, const door_summary *summary, const uint16_t *counters)
{
    uint8_t i;
    if ((state->due & STORE_DUE_SUMMARY) != 0u) {
        state->due = STORE_DUE_COUNTERS;
        lay(state, 0u, state->serial);
        for (i = 0u; i < sizeof(door_summary); i++) {
            state->job[2u + i] = ((const uint8_t *)summary)[i];
        }
        seal(state, record_at(state->serial), STORE_RECORD_BYTES - 2u);
    } else if (state->due != 0u) {
        state->due = 0u;
        for (i = 0u; i < DOOR_COUNTERS; i++) {
            lay(state, (uint8_t)(2u * i), counters[i]);
        }
        lay(state, 2u * DOOR_COUNTERS, state->serial);
        seal(state, counters_at(state->serial), STORE_COUNTER_BYTES - 2u);
        state->serial = (uint16_t)(state->serial + 1u);
    }
}

void store_idle(store_state *state, const door_summary *summary, const uint16_t *counters)
{
    uint16_t address;
    uint8_t byte;
    if (port_store_ready() == 0u) {
        return;
    }
    if (state->left == 0u) { /* then nothing of the job is left to be read either */
        start_due(state, summary, counters);
        return;
    }
    address = (uint16_t)(state->at + state->done);
    byte = state->job[state->done];
    if (port_store_read(address) == byte) {
        state->done = (uint8_t)(state->done + 1u);
        state->left = (uint8_t)(state->left - 1u);
        state->written = 0u;
        state->crc = door_crc_more(state->crc, byte);
        if (state->sealed != 0u && state->left == 2u) {
            lay(state, state->done, state->crc);
        }
    } else if (state->written == 0u) {
        port_store_write(address, byte);
        state->written = 1u;
    } else { /* it has not read back: the rest would be worthless */
        state->bad = (uint8_t)(state->bad < 255u ? state->bad + 1u : state->bad);
        state->left = 0u;
    }
}
