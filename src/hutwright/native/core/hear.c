/* What the controller hears and sees besides the current, and the times it counts.  No multiplication and no
 * division. */
#include "parts.h"

static uint8_t hear_button(const door_settings *settings, door_decide_state *state, const door_inputs *inputs)
{
    uint8_t level = inputs->button != 0u ? 1u : 0u;
    uint8_t pressed = 0u;
    state->button_ms = door_counted(state->button_ms, level != state->button ? 1u : 0u);
    if (state->button_ms >= settings->debounce_ms) {
        pressed = level != 0u && state->button == 0u ? 1u : 0u;
        state->button = level;
        state->button_ms = 0u;
    }
    state->held_ms = door_counted(state->held_ms, state->button == 1u ? 1u : 0u);
    return (settings->commands & DOOR_BY_BUTTON) != 0u ? pressed : 0u;
}

static uint8_t hear_relay(const door_settings *settings, door_decide_state *state, const door_inputs *inputs)
{
    uint8_t level = inputs->relay != 0u ? 1u : 0u;
    uint8_t turned = 0u;
    state->relay_ms = door_counted(state->relay_ms, level != state->relay ? 1u : 0u);
    if (state->relay_ms >= settings->debounce_ms) {
        if (state->relay != DOOR_UNREAD) {
            turned = level != 0u ? 1u : 2u;
        }
        state->relay = level;
        state->relay_ms = 0u;
    }
    return (settings->commands & DOOR_BY_RELAY) != 0u ? turned : 0u;
}

static uint8_t hear_sensor(const door_settings *settings, door_decide_state *state, const door_inputs *inputs)
{
    uint8_t level = inputs->sensor != 0u ? 1u : 0u;
    uint8_t asked = 0u;
    state->sensor_ms = door_counted(state->sensor_ms, level != state->sensor ? 1u : 0u);
    if (state->sensor_ms >= settings->debounce_ms) {
        asked = level != 0u && state->sensor == 0u ? 1u : 0u;
        state->sensor = level;
        state->sensor_ms = 0u;
    }
    return (settings->commands & DOOR_BY_SENSOR) != 0u ? asked : 0u;
}

static uint8_t hear_word(const door_settings *settings, const door_inputs *inputs)
{
    uint8_t word = inputs->word;
    if (word > DOOR_SAY_WAKE || ((settings->commands & DOOR_BY_LINE) == 0u && word != DOOR_SAY_STOP)) {
        word = DOOR_SAY_NOTHING;
    }
    return word;
}

static uint8_t hear_link(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                         uint16_t *counters)
{
    uint8_t lost = 0u;
    if (inputs->line_alive != 0u) {
        state->link_ms = 0u;
        state->link_was_lost = DOOR_LINK_WELL;
    } else if (state->link_was_lost == DOOR_LINK_WELL && settings->link_lost_ms != 0u
               && (settings->commands & DOOR_BY_LINE) != 0u) {
        state->link_ms = door_up(state->link_ms);
        if (state->link_ms >= settings->link_lost_ms) {
            lost = 1u;
            state->link_was_lost = DOOR_LINK_DUE;
            door_tally(counters, DOOR_N_LINK_LOST);
        }
    }
    return lost;
}

/* 1: an eye that is fitted sees something, has failed, or has seen something within the hold. */
static uint8_t see_veto(const door_settings *settings, door_decide_state *state, const door_inputs *inputs)
{
    uint8_t veto = 0u;
    if ((settings->eyes & DOOR_HAS_PRESENT) != 0u && inputs->present != DOOR_EYE_CLEAR) {
        veto = 1u;
    }
    if ((settings->eyes & DOOR_HAS_BEAM) != 0u && inputs->beam != DOOR_EYE_CLEAR) {
        veto = 1u;
    }
    if (veto != 0u) {
        state->present_ms = settings->present_hold_ms;
    } else if (state->present_ms > 0u) {
        state->present_ms = (uint16_t)(state->present_ms - 1u);
        veto = 1u;
    }
    if ((settings->eyes & DOOR_HAS_EDGE) != 0u && inputs->edge != DOOR_EYE_CLEAR
        && inputs->edge != DOOR_EYE_SEES) {
        veto = 1u;
    }
    return veto;
}

void door_hear(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
               door_heard *heard, uint16_t *counters)
{
    heard->word = hear_word(settings, inputs);
    heard->pressed = hear_button(settings, state, inputs);
    heard->relay = hear_relay(settings, state, inputs);
    heard->asked = hear_sensor(settings, state, inputs);
    heard->lost = hear_link(settings, state, inputs, counters);
    heard->veto = see_veto(settings, state, inputs);
    heard->edge = (settings->eyes & DOOR_HAS_EDGE) != 0u && inputs->edge == DOOR_EYE_SEES ? 1u : 0u;
    state->low_supply_ms =
        door_counted(state->low_supply_ms,
                     state->way != DOOR_STILL && inputs->supply_mV < settings->stop_below_mV ? 1u : 0u);
    heard->low = state->low_supply_ms >= settings->stop_below_ms ? 1u : 0u;
}

/* What runs by itself from tick to tick. */
void door_count_time(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                     const door_seen *seen)
{
    uint8_t kept_open = ((settings->commands & DOOR_BY_SENSOR) != 0u && state->sensor == 1u)
                             || ((settings->commands & DOOR_BY_RELAY) != 0u && state->relay == 1u)
                          ? 1u
                          : 0u;
    uint8_t denied = 0u;
    if (state->way != DOOR_STILL && state->dead_ms > 0u) {
        state->dead_ms = (uint16_t)(state->dead_ms - 1u);
    } else if (state->way != DOOR_STILL && state->run_ms == 0u) {
        state->wait_ms = door_up(state->wait_ms);
    }
    if (state->mode != DOOR_OPEN || kept_open != 0u) {
        state->open_ms = 0u;
        state->open_s = 0u;
    } else {
        state->open_ms = door_up(state->open_ms);
        if (state->open_ms >= 1000u) {
            state->open_ms = 0u;
            state->open_s = door_up(state->open_s);
        }
    }
    if (settings->ends == DOOR_ENDS_SWITCHES && state->run_ms > 0u) {
        if (state->way == DOOR_OPENS && inputs->limit_shut != 0u) {
            denied = seen->off_place != 0u || seen->at_open != 0u ? 1u : 0u;
        } else if (state->way == DOOR_CLOSES && inputs->limit_open != 0u) {
            denied = seen->off_place != 0u || seen->at_shut != 0u ? 1u : 0u;
        }
    }
    state->limit_ms = door_counted(state->limit_ms, denied);
}
