/* The core alone on the chip, compiled as the firmware is: whoever tests writes board_in and then `go`. */
#include "door.h"

door_inputs board_in;
door_outputs board_out;
door_state board_state;
door_settings board_settings;
volatile uint16_t board_ticks;
volatile uint8_t go;

int main(void)
{
    while (go == 0u) {
    }
    door_begin(&board_settings, &board_state, 0);
    for (;;) {
        board_ticks = (uint16_t)(board_ticks + 1u);
        go = 0u;
        while (go == 0u) {
        }
        door_tick(&board_settings, &board_state, &board_in, &board_out);
    }
}
