/* What is written down of a run, and whether the commands keep what was promised. */
#include <math.h>
#include "plant.h"

#define NEVER (-1000000)

void sim_watch_begin(const sim_door *door, const sim_plant *plant, int32_t mode, sim_watch *watch,
                     sim_result *result) {
    watch->opened_last = watch->closed_last = NEVER;
    watch->contact_ms = -1;
    watch->mode_before = mode;
    watch->moving_from = watch->left_time = -1.0;
    result->contact_time = result->trip_time = result->back_time = -1.0;
    result->open_time = result->close_time = -1.0;
    result->stored_start = sim_stored(door, plant);
}

static int32_t in_a_move(int32_t mode) {
    return mode == DOOR_OPENING || mode == DOOR_CLOSING || mode == DOOR_REVERSING;
}

static int32_t veto(uint8_t eye) {
    return eye == DOOR_EYE_SEES || eye == DOOR_EYE_FAILED;
}

/* Each side against the other's last millisecond, and against its own cap. */
static void sides(const door_settings *settings, const door_outputs *outputs, int32_t now, sim_watch *watch,
                  sim_result *result) {
    int32_t opens = outputs->open_permille > 0, closes = outputs->close_permille > 0;
    if (opens && closes) result->broken |= SIM_BROKE_BOTH_SIDES;
    if (opens && watch->opening_ms == 0 && now - watch->closed_last - 1 < settings->dead_ms)
        result->broken |= SIM_BROKE_DEAD_TIME;
    if (closes && watch->closing_ms == 0 && now - watch->opened_last - 1 < settings->dead_ms)
        result->broken |= SIM_BROKE_DEAD_TIME;
    watch->opening_ms = opens ? watch->opening_ms + 1 : 0;
    watch->closing_ms = closes ? watch->closing_ms + 1 : 0;
    if (opens) watch->opened_last = now;
    if (closes) watch->closed_last = now;
    if (watch->opening_ms > settings->opening_cap_ms || watch->closing_ms > settings->closing_cap_ms)
        result->broken |= SIM_BROKE_RUN_CAP;
    if (0.001 * watch->opening_ms > result->longest_opening)
        result->longest_opening = 0.001 * watch->opening_ms;
    if (0.001 * watch->closing_ms > result->longest_closing)
        result->longest_closing = 0.001 * watch->closing_ms;
}

void sim_watch_command(const door_settings *settings, const door_state *state, const door_inputs *inputs,
                       const door_outputs *outputs, int32_t now, sim_watch *watch, sim_result *result) {
    int32_t driven = outputs->open_permille > 0 || outputs->close_permille > 0;
    int32_t moved = in_a_move(watch->mode_before);
    int32_t pressed =
        (settings->commands & DOOR_BY_BUTTON) && state->decide.button == 1 && watch->button_before == 0;
    sides(settings, outputs, now, watch, result);
    if (outputs->close_permille > 0 && (((settings->eyes & DOOR_HAS_PRESENT) && veto(inputs->present)) ||
                                        ((settings->eyes & DOOR_HAS_BEAM) && veto(inputs->beam))))
        result->broken |= SIM_BROKE_VETO;
    if (driven && (inputs->word == DOOR_SAY_STOP || (pressed && moved))) result->broken |= SIM_BROKE_STOP;
    if (outputs->mode == DOOR_FAULT && (driven || outputs->enable)) result->broken |= SIM_BROKE_FAULT;
    watch->button_before = state->decide.button;
    if (driven && fabs((double)state->detect.residual_mA) > result->greatest_residual_mA)
        result->greatest_residual_mA = fabs((double)state->detect.residual_mA);
}

/* In reset nothing is driven, and what was heard before does not count. */
void sim_watch_reset(sim_watch *watch) {
    watch->opening_ms = watch->closing_ms = 0;
    watch->button_before = 2; /* not read yet */
}

void sim_watch_mode(const door_outputs *outputs, const sim_agenda *agenda, double time, sim_watch *watch,
                    sim_result *result) {
    int32_t mode = outputs->mode;
    if (mode == watch->mode_before) return;
    double took = time - watch->moving_from;
    if (watch->moving_from >= 0.0 && mode == DOOR_OPEN && watch->mode_before == DOOR_OPENING &&
        result->open_time < 0.0)
        result->open_time = took;
    if (watch->moving_from >= 0.0 && mode == DOOR_SHUT && watch->mode_before == DOOR_CLOSING &&
        result->close_time < 0.0)
        result->close_time = took;
    watch->moving_from = -1.0;
    if (mode == DOOR_OPENING || mode == DOOR_CLOSING)
        watch->moving_from = agenda->last_command >= 0.0 ? agenda->last_command : time;
    if (watch->contact_ms >= 0 && result->trip_time < 0.0 && watch->mode_before == watch->mode_at_contact)
        result->trip_time = time;
    watch->mode_left = watch->mode_before;
    watch->left_time = time;
    watch->mode_before = mode;
}

/* The first touch.  The plant finds it a step after the leaf has passed the face, which may be a millisecond
 * in which the controller, told by the edge, has left its move already. */
static void touched(const sim_plant *plant, sim_watch *watch, sim_result *result) {
    watch->contact_ms = 0;
    watch->mode_at_contact = watch->mode_before;
    result->contact_time = plant->touch_time;
    result->contact_speed = plant->touch_speed;
    if (plant->touch_time < watch->left_time && in_a_move(watch->mode_left)) {
        watch->mode_at_contact = watch->mode_left;
        result->trip_time = watch->left_time;
    }
}

/* One more millisecond above a level; a dip of no more than SIM_DIP_MS counts through, which is cautious. */
static void lasting(int above, int32_t *under_ms, double *time) {
    if (above) {
        if (*under_ms > 0 && *under_ms <= SIM_DIP_MS) *time += *under_ms * SIM_TICK;
        *time += SIM_TICK;
        *under_ms = 0;
    } else if (*time > 0.0) {
        (*under_ms)++;
    }
}

void sim_watch_plant(const sim_door *door, const sim_plant *plant, sim_watch *watch, sim_result *result) {
    int32_t driven = plant->enable && plant->duty != 0.0;
    int32_t still =
        fabs(plant->rate) < 1e-5 * door->full && fabs(plant->speed) < 1e-5 * fabs(plant->travel_full);
    watch->rest_ms = still && !driven ? watch->rest_ms + 1 : 0;
    if (!plant->touched) return;
    if (watch->contact_ms < 0) {
        touched(plant, watch, result);
    } else {
        watch->contact_ms++;
    }
    lasting(plant->seen > 150.0, &watch->under_150_ms, &result->above_150);
    lasting(plant->seen > 25.0, &watch->under_25_ms, &result->above_25);
    if (watch->contact_ms == 5000) result->at_5s = plant->seen;
    watch->released_ms = plant->force > 0.0 ? 0 : watch->released_ms + 1;
    if (result->trip_time >= 0.0 && result->back_time < 0.0 &&
        plant->rate * plant->touch_away > 1e-4 * door->full)
        result->back_time = plant->clock;
}

void sim_watch_end(const sim_door *door, const sim_plant *plant, sim_result *result) {
    result->peak_force = plant->peak_force;
    result->peak_seen = plant->peak_seen;
    result->static_force = plant->seen;
    result->peak_current = plant->peak_current;
    result->least_bus = plant->least_bus;
    result->end_q = plant->q;
    result->end_rate = plant->rate;
    result->end_time = plant->clock;
    result->heat = plant->heat;
    result->work_supply = plant->work_supply;
    result->work_other = plant->work_other;
    result->stored_end = sim_stored(door, plant);
}

void sim_row_plant(const sim_plant *plant, sim_row *row) {
    *row = (sim_row){0};
    row->time = (float)plant->clock;
    row->q = (float)plant->q;
    row->rate = (float)plant->rate;
    row->rod = (float)plant->travel;
    row->rod_speed = (float)plant->speed;
    row->current = (float)plant->current;
    row->bus = (float)plant->bus;
    row->force = (float)plant->force;
    row->force_seen = (float)plant->seen;
    row->rod_force = (float)plant->rod_force;
    row->duty_permille = (float)(1000.0 * plant->duty);
    row->enable = (uint8_t)plant->enable;
}

void sim_row_control(const door_state *state, const door_inputs *inputs, const door_outputs *outputs,
                     sim_row *row) {
    row->reading_mA = inputs->current_mA;
    row->filtered_mA = state->detect.current_mA;
    row->expected_mA = state->detect.expected_mA;
    row->residual_mA = state->detect.residual_mA;
    row->place_share =
        state->detect.place_known ? (float)((double)state->detect.place_q30 / DOOR_PLACE_OPEN) : -1.0f;
    row->mode = outputs->mode;
    row->why = outputs->why;
    row->fault = outputs->fault;
}
