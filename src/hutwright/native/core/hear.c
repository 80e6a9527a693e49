/* What the controller hears and sees besides the current, and the times it counts.  No multiplication and no
 * division. */
#include "lasts.h"
#include "near.h"
#include "parts.h"

#define SETTLED_MADE 1u
#define SETTLED_LET_GO 2u

/* A contact with another level than the one that counts: it counts after debounce_ms together.  Gives 1
 * where it has just been made, 2 where it has just been let go, 0 else, and where it had not been read
 * before; D1. */
static uint8_t settle(const door_settings *settings, uint8_t level, uint8_t *kept, uint8_t *count_ms)
{
    uint8_t before = *kept;
    *count_ms = (uint8_t)(*count_ms < 255u ? *count_ms + 1u : *count_ms);
    if (*count_ms < settings->debounce_ms) {
        return 0u;
    }
    *count_ms = 0u;
    *kept = level;
    if (before == DOOR_UNREAD) {
        return 0u;
    }
    return level != 0u ? (uint8_t)SETTLED_MADE : (uint8_t)SETTLED_LET_GO;
}

static inline uint8_t hear_contact(const door_settings *settings, uint8_t raw, uint8_t *kept,
                                   uint8_t *count_ms)
{
    uint8_t level = raw != 0u ? 1u : 0u;
    uint8_t turned = 0u;
    if (level == *kept) {
        *count_ms = 0u;
    } else {
        turned = settle(settings, level, kept, count_ms);
    }
    return turned;
}

static uint8_t hear_button(const door_settings *settings, door_decide_state *state, const door_inputs *inputs)
{
    uint8_t turned = hear_contact(settings, inputs->button, &state->button, &state->button_ms);
    if (state->button == 1u) {
        state->held_ms = door_more(state->held_ms);
    } else {
        state->held_ms = 0u;
    }
    return (settings->commands & DOOR_BY_BUTTON) != 0u && turned == SETTLED_MADE ? 1u : 0u;
}

static uint8_t hear_relay(const door_settings *settings, door_decide_state *state, const door_inputs *inputs)
{
    uint8_t turned = hear_contact(settings, inputs->relay, &state->relay, &state->relay_ms);
    return (settings->commands & DOOR_BY_RELAY) != 0u ? turned : 0u;
}

static uint8_t hear_sensor(const door_settings *settings, door_decide_state *state, const door_inputs *inputs)
{
    uint8_t turned = hear_contact(settings, inputs->sensor, &state->sensor, &state->sensor_ms);
    return (settings->commands & DOOR_BY_SENSOR) != 0u && turned == SETTLED_MADE ? 1u : 0u;
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
        state->link_ms = door_more(state->link_ms);
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
    DOOR_NEAR(state);
    heard->word = hear_word(settings, inputs);
    heard->pressed = hear_button(settings, state, inputs);
    heard->relay = hear_relay(settings, state, inputs);
    heard->asked = hear_sensor(settings, state, inputs);
    heard->lost = hear_link(settings, state, inputs, counters);
    heard->veto = see_veto(settings, state, inputs);
    heard->edge = (settings->eyes & DOOR_HAS_EDGE) != 0u && inputs->edge == DOOR_EYE_SEES ? 1u : 0u;
    heard->low = door_lasts(&state->low_supply_ms,
                            state->way != DOOR_STILL && inputs->supply_mV < settings->stop_below_mV ? 1u : 0u,
                            settings->stop_below_ms);
}

/* What runs by itself from tick to tick. */
void door_count_time(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                     const door_seen *seen)
{
    uint8_t denied = 0u;
    if (state->way != DOOR_STILL && state->dead_ms > 0u) {
        state->dead_ms = (uint16_t)(state->dead_ms - 1u);
    } else if (state->way != DOOR_STILL && state->run_ms == 0u) {
        state->wait_ms = door_up(state->wait_ms);
    }
    if (state->mode != DOOR_OPEN || ((settings->commands & DOOR_BY_SENSOR) != 0u && state->sensor == 1u)
        || ((settings->commands & DOOR_BY_RELAY) != 0u && state->relay == 1u)) {
        state->open_ms = 0u; /* not open, or kept so */
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
    if (denied != 0u) {
        state->limit_ms = door_up(state->limit_ms);
    } else {
        state->limit_ms = 0u;
    }
}
