/* The board's real binary on a simulated chip: built on demand for the tests, never shipped. */
#ifndef MACHINE_H
#define MACHINE_H

#include <stdint.h>

typedef struct machine machine;

/* Where the binary keeps its globals, in data memory. */
typedef struct {
    uint32_t in, out, state, settings, ticks, heap_end;
} machine_places;

machine *machine_new(const char *elf, const machine_places *places, const uint8_t *store, uint32_t number);
void machine_free(machine *m);

/* Until the tick counter has gone up, or so many cycles have gone by: 1 it has, 0 not, -1 the chip died. */
int32_t machine_tick(machine *m, uint32_t most_cycles);
/* So many cycles; 0 well, -1 the chip died. */
int32_t machine_cycles(machine *m, uint32_t number);

void machine_read(const machine *m, uint32_t address, uint8_t *to, uint32_t number);
void machine_write(machine *m, uint32_t address, const uint8_t *from, uint32_t number);
void machine_store(machine *m, uint8_t *to); /* 1024 bytes */
/* Address of the store's byte that is being written now; -1: none. */
int32_t machine_storing(machine *m);

void machine_pin(machine *m, char port, int32_t bit, int32_t level);
int32_t machine_level(machine *m, char port, int32_t bit);
void machine_counts(machine *m, int32_t channel, uint32_t counts);
/* Microseconds from the fall of the trigger until the echo rises, and its length; 0: no echo. */
void machine_echo(machine *m, uint32_t after_us, uint32_t long_us);
void machine_hear(machine *m, const uint8_t *bytes, uint32_t number);
uint32_t machine_said(machine *m, uint8_t *to, uint32_t most);
uint32_t machine_wired(machine *m, uint8_t *to, uint32_t most); /* bytes on the two-wire bus */

typedef struct {
    uint64_t cycles;
    uint32_t worst_tick;     /* from the tick's begin to its end [cycles] */
    uint32_t worst_late;     /* from the millisecond's flag to the tick's begin [cycles] */
    uint32_t worst_together; /* from the flag to the end [cycles] */
    uint32_t least_stack;    /* deepest stack pointer */
    uint32_t both_sides;     /* times that both PWM registers were above 0 */
} machine_figures;
void machine_figures_of(machine *m, machine_figures *figures);
void machine_figures_clear(machine *m);

/* The program hangs where it is, until a reset; then it is as it was. */
void machine_jam(machine *m);

/* Cycles spent at each word of the program while the figures are collected, within ticks if `in_tick`. */
void machine_profile(machine *m, uint32_t *cycles_at, int32_t in_tick);

#endif
