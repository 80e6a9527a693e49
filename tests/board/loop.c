#include "loop.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#define TICK_CYCLES 320000u /* twenty milliseconds: far more than a tick may take */
/* The board packs what the host lays on even addresses. */
#define DETECT_BYTES (offsetof(door_detect_state, offset_bad) + 1u)
#define DECIDE_BYTES (offsetof(door_decide_state, stay) + 1u)
#define SUMMARY_AT (DETECT_BYTES + DECIDE_BYTES)
#define COUNTERS_AT (SUMMARY_AT + sizeof(door_summary))

static machine *board;
static machine_places at;
static loop_scales scale;
static door_state beside;
static door_settings in_force;
static loop_figures figures;
static int32_t fresh; /* 1: the scenario's state has not been given to the board yet */

static void give(const door_state *state) {
    machine_write(board, at.state, (const uint8_t *)&state->detect, DETECT_BYTES);
    machine_write(board, at.state + DETECT_BYTES, (const uint8_t *)&state->decide, DECIDE_BYTES);
    machine_write(board, at.state + SUMMARY_AT, (const uint8_t *)&state->summary, sizeof(door_summary));
    machine_write(board, at.state + COUNTERS_AT, (const uint8_t *)state->counters, sizeof state->counters);
}

static void take(door_state *state) {
    machine_read(board, at.state, (uint8_t *)&state->detect, DETECT_BYTES);
    machine_read(board, at.state + DETECT_BYTES, (uint8_t *)&state->decide, DECIDE_BYTES);
    machine_read(board, at.state + SUMMARY_AT, (uint8_t *)&state->summary, sizeof(door_summary));
    machine_read(board, at.state + COUNTERS_AT, (uint8_t *)state->counters, sizeof state->counters);
}

void loop_use(machine *m, const machine_places *places, const loop_scales *scales, int32_t sequence) {
    board = m;
    at = *places;
    scale = *scales;
    memset(&figures, 0, sizeof figures);
    figures.first = -1;
    figures.sequence = sequence;
    fresh = 0;
    machine_read(m, at.settings, (uint8_t *)&in_force, sizeof in_force);
    take(&beside);
}

void loop_figures_of(loop_figures *to) { *to = figures; }

static int32_t tick(door_outputs *said) {
    door_inputs inputs;
    uint8_t board_said[10];
    if (figures.died || machine_tick(board, TICK_CYCLES) != 1) {
        figures.died = 1;
        return 0;
    }
    machine_read(board, at.in, (uint8_t *)&inputs, 18u);
    machine_read(board, at.out, board_said, 10u);
    door_tick(&in_force, &beside, &inputs, said);
    if (memcmp(board_said, said, 10u) != 0 && figures.different++ == 0) {
        figures.first = (int64_t)figures.ticks;
        memcpy(figures.board, board_said, 10u);
        memcpy(figures.beside, said, 10u);
    }
    memcpy(said, board_said, 10u);
    figures.modes |= 1u << said->mode;
    figures.faults |= 1u << said->fault;
    if (said->open_permille > 0) figures.ways |= DOOR_OPENS;
    if (said->close_permille > 0) figures.ways |= DOOR_CLOSES;
    figures.ticks++;
    return 1;
}

int32_t loop_ticks(int32_t number) {
    door_outputs said = {0};
    for (int32_t i = 0; i < number; i++)
        if (tick(&said) == 0) return 0;
    return 1;
}

/* ---- in place of the controller, in the simulated door's loop -------------------------------------------- */

static uint32_t counts_of(double value, double per_count, int32_t zero) {
    double counts = floor(value / per_count + zero + 0.5);
    return (uint32_t)(counts < 0.0 ? 0.0 : counts > 1023.0 ? 1023.0 : counts);
}

static void speak(const char *word) {
    char text[48];
    int length = snprintf(text, sizeof text, "%s %d", word, ++figures.sequence & 65535);
    uint16_t crc = door_crc((const uint8_t *)text, (uint16_t)length);
    length += snprintf(text + length, sizeof text - (size_t)length, "*%04X\n", crc);
    machine_hear(board, (const uint8_t *)text, (uint32_t)length);
}

static void wire(const door_inputs *inputs) {
    static const char *const words[] = {"", "open", "close", "stop", "clear", "layup", "wake"};
    machine_counts(board, 0, counts_of(1e-3 * inputs->current_mA, scale.current_per_count, scale.current_zero));
    machine_counts(board, 1, counts_of(1e-3 * inputs->supply_mV, scale.supply_per_count, 0));
    machine_counts(board, 6,
                   counts_of(0.1 * inputs->temperature_dC, scale.temperature_per_count, scale.temperature_zero));
    machine_pin(board, 'D', 6, inputs->limit_shut == 0);
    machine_pin(board, 'D', 7, inputs->limit_open == 0);
    machine_pin(board, 'B', 0, inputs->button == 0);
    machine_pin(board, 'D', 2, inputs->relay == 0);
    machine_pin(board, 'D', 3, inputs->sensor == 0);
    machine_pin(board, 'B', 4, inputs->edge != DOOR_EYE_SEES);
    machine_echo(board, 400u, inputs->present == DOOR_EYE_SEES     ? 1500u
                              : inputs->present == DOOR_EYE_FAILED ? 0u
                                                                   : 9000u);
    if (inputs->word != DOOR_SAY_NOTHING)
        speak(words[inputs->word]);
    else if (inputs->line_alive != 0)
        speak("alive");
}

void loop_door_begin(const door_settings *settings, door_state *state, const uint16_t *kept);
void loop_door_tick(const door_settings *settings, door_state *state, const door_inputs *inputs,
                    door_outputs *outputs);

void loop_door_begin(const door_settings *settings, door_state *state, const uint16_t *kept) {
    door_begin(settings, state, kept);
    fresh = 1;
}

void loop_door_tick(const door_settings *settings, door_state *state, const door_inputs *inputs,
                    door_outputs *outputs) {
    (void)settings;
    if (fresh) {
        fresh = 0;
        beside = *state;
        give(state);
    }
    wire(inputs);
    if (tick(outputs) == 0) memset(outputs, 0, sizeof *outputs);
    *state = beside;
}
