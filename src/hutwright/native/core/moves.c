/* How the decider's state changes: rest, setting out, fault, recovery.  No multiplication and no division. */
#include "parts.h"

/* An 8-bit board calls what a larger processor has in its stride. */
#if defined(__AVR__)
#define CALLED __attribute__((noinline))
#define INSIDE static inline __attribute__((always_inline))
#else
#define CALLED
#define INSIDE static inline
#endif

CALLED uint16_t door_up(uint16_t count)
{
    return (uint16_t)(count < 65535u ? count + 1u : count);
}

void door_tally(uint16_t *counters, uint8_t which)
{
    uint16_t count = counters[which];
    if (count < 65535u) {
        counters[which] = (uint16_t)(count + 1u);
    }
}

/* The drive goes off, both ways. */
INSIDE void come_to_rest(door_decide_state *state, uint8_t mode, uint8_t why)
{
    state->mode = mode;
    state->why = why;
    state->way = DOOR_STILL;
    state->phase = 0u;
    state->duty_permille = 0u;
    state->dead_ms = 0u;
    state->run_ms = 0u;
    state->wait_ms = 0u;
    state->limit_ms = 0u;
    state->low_supply_ms = 0u;
    state->open_ms = 0u;
    state->open_s = 0u;
    state->needs_zero = 0u;
}

void door_rest_in(door_decide_state *state, uint8_t mode, uint8_t why)
{
    come_to_rest(state, mode, why);
}

/* A way is taken: off for the dead time first. */
void door_set_out(const door_settings *settings, door_decide_state *state, uint8_t mode, uint8_t way,
                  uint8_t why)
{
    uint8_t resting = state->way == DOOR_STILL || state->needs_zero != 0u ? 1u : 0u;
    come_to_rest(state, mode, why);
    state->way = way;
    state->dead_ms = settings->dead_ms;
    state->needs_zero = resting;
    if (mode == DOOR_OPENING || mode == DOOR_CLOSING) {
        state->last_way = way;
        if (state->link_was_lost == DOOR_LINK_DUE) {
            state->link_was_lost = DOOR_LINK_DONE;
        }
    }
}

void door_fail(door_decide_state *state, uint8_t fault, uint16_t *counters)
{
    door_rest_in(state, DOOR_FAULT, DOOR_WHY_FAULT);
    state->fault = fault;
    state->held_ms = 0u;
    state->anchor = DOOR_ANCHOR_LOST;
    state->unsure = 0u;
    door_tally(counters, DOOR_N_FAULTS);
}

void door_recover(door_decide_state *state, uint8_t why, uint8_t anchor)
{
    door_rest_in(state, DOOR_STOPPED, why);
    state->fault = DOOR_WELL;
    state->anchor = anchor;
    state->reversals = 0u;
    state->slips = 0u;
    state->unsure = 0u;
    state->first_move = 1u;
    state->last_way = DOOR_STILL;
}

void door_refuse(door_decide_state *state, uint16_t *counters)
{
    state->why = DOOR_WHY_REFUSED;
    door_tally(counters, DOOR_N_REFUSED);
}

void door_decide_begin(door_decide_state *state, uint16_t refusal)
{
    door_blank((uint8_t *)state, (uint16_t)sizeof(door_decide_state)); /* STILL, WELL, UNHEARD, NONE are 0 */
    state->refusal = refusal;
    state->mode = DOOR_STOPPED;
    state->why = DOOR_WHY_POWER_UP;
    state->button = DOOR_UNREAD;
    state->relay = DOOR_UNREAD;
    state->sensor = DOOR_UNREAD;
    state->first_move = 1u;
}
