/* One millisecond of the controller: detect, decide, and the summary of a move that has ended. */
#include "parts.h"

void door_blank(uint8_t *bytes, uint16_t number)
{
    uint16_t i;
    for (i = 0u; i < number; i++) {
        bytes[i] = 0u;
    }
}

void door_begin(const door_settings *settings, door_state *state, const uint16_t *kept)
{
    uint16_t refusal = door_settings_refusal(settings);
    uint8_t i;
    door_detect_begin(settings, &state->detect);
    door_decide_begin(&state->decide, refusal);
    if (refusal == DOOR_SETTINGS_GOOD) {
        uint16_t rise = (uint16_t)(settings->normal_permille - settings->start_permille);
        state->decide.ramp_step = (uint16_t)(rise / settings->ramp_ms);
        state->decide.ramp_rest = (uint16_t)(rise % settings->ramp_ms);
    }
    for (i = 0u; i < DOOR_COUNTERS; i++) {
        state->counters[i] = kept ? kept[i] : (uint16_t)0u;
    }
    door_tally(state->counters, DOOR_N_POWER_UPS);
    door_blank((uint8_t *)&state->summary, (uint16_t)sizeof(door_summary));
}

void door_prepare(const door_settings *settings, door_state *state, int16_t temperature_dC,
                  uint16_t supply_mV)
{
    if (state->decide.refusal == DOOR_SETTINGS_GOOD) {
        door_detect_ahead(settings, &state->detect, &state->decide, temperature_dC, supply_mV);
    }
}

static void see_nothing(door_seen *seen)
{
    door_blank((uint8_t *)seen, (uint16_t)sizeof(door_seen));
    seen->slow_shut = 1u;
    seen->slow_open = 1u;
}

/* A drive that ran before this tick, for `ran_ms` this way: what is kept of it. */
static void sum_up(const door_settings *settings, door_state *state, const door_inputs *inputs, uint8_t way,
                   uint16_t ran_ms, door_outputs *outputs)
{
    door_summary *summary = &state->summary;
    if (ran_ms == 1u) {
        summary->number = (uint16_t)(summary->number + 1u);
        summary->peak_residual_mA = -32767;
        summary->least_supply_mV = 65535u;
    }
    if (ran_ms > 0u) {
        if (state->detect.way != DOOR_STILL && state->detect.run_ms > settings->blind_ms
            && state->detect.residual_mA > summary->peak_residual_mA) {
            summary->peak_residual_mA = state->detect.residual_mA;
        }
        if (inputs->supply_mV < summary->least_supply_mV) {
            summary->least_supply_mV = inputs->supply_mV;
        }
        if (state->decide.run_ms == 0u) {
            summary->duration_ms = ran_ms;
            summary->temperature_dC = inputs->temperature_dC;
            summary->opening = way == DOOR_OPENS ? 1u : 0u;
            summary->why = state->decide.why;
            outputs->summary_ready = 1u;
        }
    }
}

void door_tick(const door_settings *settings, door_state *state, const door_inputs *inputs,
               door_outputs *outputs)
{
    door_seen seen;
    uint8_t way = state->decide.way;
    uint16_t ran_ms = state->decide.run_ms;
    if (state->decide.refusal == DOOR_SETTINGS_GOOD) {
        door_detect(settings, &state->detect, &state->decide, inputs, &seen);
    } else {
        see_nothing(&seen);
    }
    door_decide(settings, &state->decide, inputs, &seen, state->counters, outputs);
    sum_up(settings, state, inputs, way, ran_ms, outputs);
}
