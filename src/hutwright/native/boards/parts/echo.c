/* See echo.h. */
#include "echo.h"

#include "door.h"
#include "port.h"

void echo_begin(echo_state *state)
{
    state->since_ms = 0u;
    state->clears = 0u;
    state->misses = 0u;
    state->eye = DOOR_EYE_FAILED;
    state->units = PORT_ECHO_NONE;
}

/* One thing seen is believed at once; clear takes several answers. */
static void hear(echo_state *state, uint16_t units, uint16_t near_units)
{
    state->misses = 0u;
    state->units = units;
    if (units < near_units) {
        state->clears = 0u;
        state->eye = DOOR_EYE_SEES;
    } else if (state->clears < ECHO_CLEARS) {
        state->clears = (uint8_t)(state->clears + 1u);
    } else {
        state->eye = DOOR_EYE_CLEAR;
    }
}

uint8_t echo_tick(echo_state *state, uint16_t units, uint16_t near_units)
{
    if (units != PORT_ECHO_NONE) {
        hear(state, units, near_units);
    }
    state->since_ms = (uint8_t)(state->since_ms + 1u);
    if (state->since_ms >= ECHO_EVERY_ms) {
        state->since_ms = 0u;
        if (state->misses < ECHO_MISSES) {
            state->misses = (uint8_t)(state->misses + 1u); /* until the answer comes */
        } else {
            state->clears = 0u;
            state->units = PORT_ECHO_NONE;
            state->eye = DOOR_EYE_FAILED;
        }
    }
    return state->since_ms == 0u ? 1u : 0u;
}
