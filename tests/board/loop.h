/* The simulated door's own loop, with the simulated board in place of the controller. */
#ifndef LOOP_H
#define LOOP_H

#include "machine.h"
#include "sim.h"

/* The converter's scales, and what is wired how. */
typedef struct {
    double current_per_count, supply_per_count, temperature_per_count;
    int32_t current_zero, temperature_zero;
} loop_scales;

/* From here on sim_run() plays on this board, which has been running for a while.  Beside it runs the same
 * controller as compiled for the host, fed in each tick with what the board has read. */
void loop_use(machine *m, const machine_places *places, const loop_scales *scales, int32_t sequence);

typedef struct {
    uint64_t ticks;
    uint64_t different; /* ticks in which the outputs of the two were not the same bits */
    int64_t first;      /* the first of them; -1: none */
    uint8_t board[10], beside[10];
    uint32_t modes, faults, ways; /* bits of those that have been */
    int32_t died, sequence;
} loop_figures;
void loop_figures_of(loop_figures *to);

/* Ticks of the board and of the controller beside it, without a door; 0: the board died. */
int32_t loop_ticks(int32_t number);

#endif
