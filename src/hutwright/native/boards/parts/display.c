/* See display.h. */
#include "display.h"

#include "board_config.h"
#include "port.h"

#define LIGHT 8u
#define ENABLE 4u
#define TEXT 1u
#define AT_REST 255u
#define STEPS (2u + 4u * (DISPLAY_SET_UP + DISPLAY_LETTERS))

/* To four lines, whatever it was; two rows; on without cursor; to the first place. */
PORT_TABLE uint8_t SET_UP[DISPLAY_SET_UP] = {0x33u, 0x32u, 0x28u, 0x0Cu, 0x80u};
PORT_TABLE char STATES[] = "SHUTOPNGOPENCLSGREV STOPFLT LAID"; /* door_mode */

void display_begin(display_state *state)
{
    state->step = AT_REST;
}

void display_show(display_state *state, uint8_t mode, uint8_t number)
{
    if (state->step == AT_REST) {
        state->mode = mode;
        state->number = number;
        state->step = 0u;
    }
}

static uint8_t letter_of(const display_state *state, uint8_t at)
{
    uint8_t letter = ' ';
    uint8_t tens = 0u;
    uint8_t ones = state->number;
    while (ones >= 10u) {
        ones = (uint8_t)(ones - 10u);
        tens = (uint8_t)(tens + 1u);
    }
    if (at < 4u) {
        letter = (uint8_t)STATES[(uint8_t)((uint8_t)(state->mode << 2) + at)];
    } else if (at > 4u) {
        letter = (uint8_t)('0' + (at == 5u ? tens : ones));
    }
    return letter;
}

void display_idle(display_state *state)
{
    if (state->step == AT_REST || port_wire_ready() == 0u) {
        return;
    }
    if (state->step == 0u) {
        port_wire_begin();
        state->step = 1u;
    } else if (state->step == 1u) {
        port_wire_byte((uint8_t)(BOARD_DISPLAY_ADDRESS << 1));
        state->step = 2u;
    } else if (state->step < STEPS) {
        uint8_t quarter = (uint8_t)(state->step - 2u);
        uint8_t at = (uint8_t)(quarter >> 2);
        uint8_t lines = LIGHT;
        uint8_t byte;
        if (at < DISPLAY_SET_UP) {
            byte = SET_UP[at];
        } else {
            byte = letter_of(state, (uint8_t)(at - DISPLAY_SET_UP));
            lines = LIGHT | TEXT;
        }
        if ((quarter & 2u) != 0u) {
            byte = (uint8_t)(byte << 4);
        }
        if ((quarter & 1u) == 0u) {
            lines = (uint8_t)(lines | ENABLE);
        }
        port_wire_byte((uint8_t)((byte & 0xF0u) | lines));
        state->step = (uint8_t)(state->step + 1u);
    } else {
        port_wire_end();
        state->step = AT_REST;
    }
}
