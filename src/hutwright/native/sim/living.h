/* The simulated door a millisecond at a time, for a board that lives by itself; sim.h is its manual.
 *
 * `live` is sim_live_bytes() of the caller's, aligned as a double.
 */
#ifndef HUTWRIGHT_SIM_LIVING_H
#define HUTWRIGHT_SIM_LIVING_H

#include <stdint.h>
#include "sim.h"

int32_t sim_live_bytes(void);

/* At rest at q, in calm air, nothing in the way; again at any time, for another door or weather.
 * 1: the door can be. */
int32_t sim_live_begin(const sim_door *door, double q, uint64_t seed, void *live);

/* A millisecond with that duty (-1..1, above zero opening; enable 0: off), and what the sensors
 * read after it: current, supply, temperature, limits; the rest of `inputs` is zero. */
void sim_live_tick(const sim_door *door, double duty, int32_t enable, void *live,
                   door_inputs *inputs);

double sim_live_q(const void *live);

#endif
