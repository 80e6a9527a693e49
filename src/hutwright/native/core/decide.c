/* What to do.  See door.h for the behaviour; here is no multiplication and no division, so that a prover can
 * take what detect.c has found as anything at all.
 */
#include "near.h"
#include "parts.h"

#define LIMIT_STUCK_MS 100u /* a limit may be made so long while the place denies it */
#define ZERO_WAIT_MS 5000u  /* a start waits no longer for the sensor's zero */
#define MOST_SLIPS 2u       /* in a row */

/* REVERSING in parts. */
#define PHASE_OPEN 1u  /* opening fully */
#define PHASE_RELAX 2u /* backing off, then perhaps closing back */
#define PHASE_BACK 3u  /* closing back */
#define PHASE_LAST 4u  /* backing off, then holding */

/* ---- faults -------------------------------------------------------------------------------------------- */

/* 1: the drive's own switch may have cut the current here: inside the window of the end it goes to, or
 * anywhere where the place is not known. */
static uint8_t may_arrive(const door_decide_state *state, const door_seen *seen)
{
    uint8_t window = state->way == DOOR_OPENS ? seen->at_open : seen->at_shut;
    return window != 0u || seen->place_known == 0u ? 1u : 0u;
}

/* What is wrong whether the leaf moves or not. */
static uint8_t standing_fault(const door_settings *settings, const door_decide_state *state,
                              const door_inputs *inputs, const door_seen *seen)
{
    uint8_t fault = DOOR_WELL;
    if (settings->ends == DOOR_ENDS_SWITCHES && inputs->limit_shut != 0u && inputs->limit_open != 0u) {
        fault = DOOR_BOTH_LIMITS;
    } else if (seen->out_of_range != 0u) {
        fault = DOOR_SENSOR_RANGE;
    } else if (seen->without_duty != 0u && state->duty_permille == 0u) {
        fault = DOOR_CURRENT_WITHOUT_DUTY;
    }
    return fault;
}

static uint8_t fault_now(const door_settings *settings, const door_decide_state *state,
                         const door_inputs *inputs, const door_seen *seen)
{
    uint8_t fault = standing_fault(settings, state, inputs, seen);
    uint16_t cap = state->way == DOOR_OPENS ? settings->opening_cap_ms : settings->closing_cap_ms;
    if (fault != DOOR_WELL) {
        /* that is it */
    } else if (state->way == DOOR_STILL) {
        if (state->reversals >= settings->most_reversals) {
            fault = DOOR_TOO_MANY_REVERSALS;
        }
    } else if (state->limit_ms >= LIMIT_STUCK_MS) {
        fault = DOOR_LIMIT_STUCK;
    } else if (state->wait_ms >= ZERO_WAIT_MS) {
        fault = DOOR_SENSOR_RANGE;
    } else if (state->run_ms >= cap) {
        fault = DOOR_RUN_TOO_LONG;
    } else if (state->run_ms > 0u && seen->stuck != 0u) {
        fault = DOOR_SENSOR_STUCK;
    } else if (state->run_ms > 0u && seen->no_current != 0u
               && (settings->ends != DOOR_ENDS_INSIDE || may_arrive(state, seen) == 0u)) {
        fault = DOOR_NO_CURRENT;
    }
    return fault;
}

/* In FAULT: only a person gets out of it. */
static void wait_for_person(const door_settings *settings, door_decide_state *state,
                            const door_inputs *inputs, const door_seen *seen, const door_heard *heard,
                            uint16_t *counters)
{
    uint8_t clear = heard->word == DOOR_SAY_CLEAR ? 1u : 0u;
    uint8_t other = heard->word == DOOR_SAY_OPEN || heard->word == DOOR_SAY_CLOSE
                         || heard->word == DOOR_SAY_LAY_UP || heard->relay != 0u || heard->asked != 0u
                      ? 1u
                      : 0u;
    if ((settings->commands & DOOR_BY_BUTTON) != 0u && state->held_ms >= settings->clear_ms) {
        door_recover(state, DOOR_WHY_BUTTON, DOOR_ANCHOR_ANEW);
    } else if (clear != 0u && standing_fault(settings, state, inputs, seen) == DOOR_WELL) {
        door_recover(state, DOOR_WHY_LINE, DOOR_ANCHOR_LOST);
    } else if (clear != 0u || other != 0u) {
        door_refuse(state, counters);
    }
}

/* ---- obstructions and ends ----------------------------------------------------------------------------- */

/* door_why of the detector that speaks, else NOTHING. */
static uint8_t detector_speaks(const door_decide_state *state, const door_seen *seen)
{
    uint8_t why = DOOR_WHY_NOTHING;
    if (state->run_ms == 0u) {
        why = DOOR_WHY_NOTHING;
    } else if (seen->backstop != 0u) {
        why = DOOR_WHY_BACKSTOP;
    } else if (seen->residual != 0u) {
        why = DOOR_WHY_RESIDUAL;
    } else if (seen->rise != 0u) {
        why = DOOR_WHY_RISE;
    }
    return why;
}

/* door_why of an obstruction, else NOTHING. */
static uint8_t obstruction(const door_settings *settings, const door_decide_state *state,
                           const door_seen *seen, const door_heard *heard)
{
    uint8_t why = detector_speaks(state, seen);
    uint8_t window = state->way == DOOR_OPENS ? seen->at_open : seen->at_shut;
    if (settings->ends == DOOR_ENDS_STALL && seen->place_known != 0u && window != 0u) {
        why = DOOR_WHY_NOTHING; /* that is the end */
    }
    if (state->way == DOOR_CLOSES && heard->edge != 0u) {
        why = DOOR_WHY_EDGE;
    }
    return why;
}

static void tally_obstruction(uint8_t why, uint16_t *counters)
{
    if (why == DOOR_WHY_EDGE) {
        door_tally(counters, DOOR_N_EDGE);
    } else if (why == DOOR_WHY_BACKSTOP) {
        door_tally(counters, DOOR_N_BACKSTOP);
    } else if (why == DOOR_WHY_RESIDUAL) {
        door_tally(counters, DOOR_N_RESIDUAL);
    } else {
        door_tally(counters, DOOR_N_RISE);
    }
}

/* Stop; open fully, or back off, or hold. */
static void obstructed(const door_settings *settings, door_decide_state *state, const door_seen *seen,
                       const door_heard *heard, uint8_t why, uint16_t *counters)
{
    uint8_t opening = state->mode == DOOR_OPENING ? 1u : 0u;
    uint8_t opening_fully = state->mode == DOOR_REVERSING && state->phase == PHASE_OPEN ? 1u : 0u;
    uint8_t at_some_end = settings->ends == DOOR_ENDS_STALL && seen->place_known == 0u ? 1u : 0u;
    tally_obstruction(why, counters);
    state->reversals = (uint8_t)(state->reversals < 255u ? state->reversals + 1u : state->reversals);
    if (state->mode == DOOR_CLOSING) {
        door_set_out(settings, state, DOOR_REVERSING, DOOR_OPENS, why);
        state->phase = PHASE_OPEN;
        state->mark = 1u;
    } else if (heard->veto == 0u && heard->edge == 0u
               && (opening != 0u || (opening_fully != 0u && seen->moved_relax != 0u))) {
        door_set_out(settings, state, DOOR_REVERSING, DOOR_CLOSES, why);
        state->phase = opening != 0u && at_some_end == 0u ? (uint8_t)PHASE_RELAX : (uint8_t)PHASE_LAST;
        state->mark = 1u;
    } else {
        door_rest_in(state, DOOR_STOPPED, why);
    }
    if (at_some_end != 0u && (opening != 0u || opening_fully != 0u)) {
        state->anchor =
            DOOR_ANCHOR_OPEN; /* perhaps: not to be relied on before the other end has been found */
        state->unsure = DOOR_OPENS;
    }
}

/* 1: the leaf is at the end that it goes to. */
static uint8_t arrived(const door_settings *settings, const door_decide_state *state,
                       const door_inputs *inputs, const door_seen *seen)
{
    uint8_t there = 0u;
    if (settings->ends == DOOR_ENDS_SWITCHES) {
        there = state->way == DOOR_OPENS ? inputs->limit_open : inputs->limit_shut;
    } else if (settings->ends == DOOR_ENDS_INSIDE) {
        there = state->run_ms > 0u && seen->no_current != 0u ? may_arrive(state, seen) : 0u;
    } else if (detector_speaks(state, seen) != DOOR_WHY_NOTHING) {
        there = state->way == DOOR_OPENS ? seen->at_open : seen->at_shut;
    }
    return there;
}

static void arrive(const door_settings *settings, door_decide_state *state, const door_seen *seen,
                   uint16_t *counters)
{
    uint8_t way = state->way;
    uint8_t driven = state->run_ms > 0u ? 1u : 0u;
    uint8_t stay = state->mode == DOOR_REVERSING ? 1u : 0u;
    if (driven != 0u && stay == 0u) {
        door_tally(counters, DOOR_N_COMPLETED);
        state->reversals = 0u;
    }
    if (settings->ends == DOOR_ENDS_SWITCHES && driven != 0u) {
        if (seen->off_place != 0u) {
            door_tally(counters, DOOR_N_SLIPS);
            state->slips = (uint8_t)(state->slips < 255u ? state->slips + 1u : state->slips);
        } else {
            state->slips = 0u;
        }
    }
    if (settings->ends == DOOR_ENDS_SWITCHES) {
        state->unsure = DOOR_STILL;
    } else if (seen->place_known == 0u) {
        state->unsure = way;
    } else if (state->unsure != way) {
        state->unsure = DOOR_STILL;
    }
    door_rest_in(state, way == DOOR_OPENS ? (uint8_t)DOOR_OPEN : (uint8_t)DOOR_SHUT, DOOR_WHY_LIMIT);
    state->anchor = way == DOOR_OPENS ? (uint8_t)DOOR_ANCHOR_OPEN : (uint8_t)DOOR_ANCHOR_SHUT;
    state->stay = stay;
    state->first_move = 0u;
    if (state->slips >= MOST_SLIPS) {
        door_fail(state, DOOR_SLIPPED, counters);
    }
}

/* 1: a part of REVERSING is over, and what comes next has been set. */
static uint8_t backed_off(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                          const door_seen *seen, const door_heard *heard)
{
    uint8_t over = 0u;
    if (state->mode == DOOR_REVERSING && state->run_ms > 0u && state->phase != PHASE_OPEN) {
        over = state->phase == PHASE_BACK ? seen->moved_back : seen->moved_relax;
        if (over != 0u && state->phase == PHASE_RELAX && settings->back_permille != 0u
            && state->reversals < settings->most_reversals && (settings->eyes & DOOR_HAS_PRESENT) != 0u
            && inputs->present == DOOR_EYE_CLEAR && heard->veto == 0u && heard->edge == 0u) {
            state->phase = PHASE_BACK;
            state->mark = 1u;
        } else if (over != 0u) {
            door_rest_in(state, DOOR_STOPPED, DOOR_WHY_BACKED_OFF);
        }
    }
    return over;
}

/* ---- commands ------------------------------------------------------------------------------------------ */

static void command_open(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                         uint8_t why, uint16_t *counters)
{
    uint8_t there =
        state->mode == DOOR_OPEN && (settings->ends != DOOR_ENDS_SWITCHES || inputs->limit_open != 0u) ? 1u
                                                                                                       : 0u;
    if (there != 0u) {
        state->open_ms = 0u;
        state->open_s = 0u;
        state->stay = 0u;
    } else if (state->mode == DOOR_OPENING || (state->mode == DOOR_REVERSING && state->phase == PHASE_OPEN)) {
        /* it does already */
    } else if (state->mode == DOOR_REVERSING
               || (state->way == DOOR_STILL && inputs->supply_mV < settings->start_above_mV)) {
        door_refuse(state, counters);
    } else {
        door_set_out(settings, state, DOOR_OPENING, DOOR_OPENS, why);
    }
}

/* asked 0: a closing that waits for its moment is not counted as refused. */
static void command_close(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                          const door_heard *heard, uint8_t why, uint8_t asked, uint16_t *counters)
{
    uint8_t watched =
        why == DOOR_WHY_BUTTON || (settings->eyes & (DOOR_HAS_PRESENT | DOOR_HAS_BEAM)) != 0u ? 1u : 0u;
    uint8_t there =
        state->mode == DOOR_SHUT && (settings->ends != DOOR_ENDS_SWITCHES || inputs->limit_shut != 0u) ? 1u
                                                                                                       : 0u;
    if (there != 0u || state->mode == DOOR_CLOSING) {
        /* it is, or does already */
    } else if (state->mode == DOOR_REVERSING || watched == 0u || heard->veto != 0u || heard->edge != 0u
               || (state->way == DOOR_STILL && inputs->supply_mV < settings->start_above_mV)) {
        if (asked != 0u) {
            door_refuse(state, counters);
        }
    } else {
        door_set_out(settings, state, DOOR_CLOSING, DOOR_CLOSES, why);
    }
}

/* 1: the button means open when pressed now. */
static uint8_t button_opens(const door_decide_state *state, const door_heard *heard)
{
    uint8_t forbidden = heard->veto != 0u || heard->edge != 0u ? 1u : 0u;
    return state->mode == DOOR_SHUT
                || (state->mode == DOOR_STOPPED && (state->last_way != DOOR_OPENS || forbidden != 0u))
             ? 1u
             : 0u;
}

/* Closing that nobody asks for now: after its time, or since the link is lost. */
static uint8_t closes_by_itself(const door_settings *settings, const door_decide_state *state)
{
    uint8_t why = DOOR_WHY_NOTHING;
    if (state->mode == DOOR_OPEN && state->stay == 0u) {
        if (settings->link_lost == DOOR_LINK_CLOSE && state->link_was_lost == DOOR_LINK_DUE) {
            why = DOOR_WHY_LINK_LOST;
        } else if (settings->auto_close_s != 0u && state->open_s >= settings->auto_close_s) {
            why = DOOR_WHY_AUTO_CLOSE;
        }
    }
    return why;
}

/* A stop wins over whatever else comes in its tick, at rest too; open goes before close. */
static void obey(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                 const door_heard *heard, uint16_t *counters)
{
    uint8_t by_itself = closes_by_itself(settings, state);
    if (heard->word == DOOR_SAY_STOP) {
        /* at rest there is nothing to stop, and nothing begins */
    } else if (heard->word == DOOR_SAY_OPEN) {
        command_open(settings, state, inputs, DOOR_WHY_LINE, counters);
    } else if (heard->asked != 0u) {
        command_open(settings, state, inputs, DOOR_WHY_SENSOR, counters);
    } else if (heard->relay == 1u) {
        command_open(settings, state, inputs, DOOR_WHY_RELAY, counters);
    } else if (heard->pressed != 0u && button_opens(state, heard) != 0u) {
        command_open(settings, state, inputs, DOOR_WHY_BUTTON, counters);
    } else if (heard->pressed != 0u) {
        command_close(settings, state, inputs, heard, DOOR_WHY_BUTTON, 1u, counters);
    } else if (heard->word == DOOR_SAY_CLOSE) {
        command_close(settings, state, inputs, heard, DOOR_WHY_LINE, 1u, counters);
    } else if (heard->relay == 2u) {
        command_close(settings, state, inputs, heard, DOOR_WHY_RELAY, 1u, counters);
    } else if (heard->word == DOOR_SAY_LAY_UP) {
        if (state->way == DOOR_STILL) {
            door_rest_in(state, DOOR_LAID_UP, DOOR_WHY_LINE);
        } else {
            door_refuse(state, counters);
        }
    } else if (by_itself != DOOR_WHY_NOTHING) {
        command_close(settings, state, inputs, heard, by_itself, 0u, counters);
    }
}

/* ---- one millisecond ----------------------------------------------------------------------------------- */

/* door_why of what stops a move at once, else NOTHING. */
static uint8_t stopped_by(const door_settings *settings, const door_decide_state *state,
                          const door_heard *heard)
{
    uint8_t why = DOOR_WHY_NOTHING;
    if (state->way != DOOR_STILL) {
        if (heard->word == DOOR_SAY_STOP || heard->pressed != 0u) {
            why = DOOR_WHY_STOP;
        } else if (heard->lost != 0u && settings->link_lost == DOOR_LINK_STOP) {
            why = DOOR_WHY_LINK_LOST;
        }
    }
    return why;
}

/* The veto ends closing: the leaf opens fully, or stays where it had only backed off. */
static void give_way(const door_settings *settings, door_decide_state *state, uint16_t *counters)
{
    door_tally(counters, DOOR_N_VETO);
    if (state->mode == DOOR_CLOSING) {
        door_set_out(settings, state, DOOR_REVERSING, DOOR_OPENS, DOOR_WHY_VETO);
        state->phase = PHASE_OPEN;
        state->mark = 1u;
    } else {
        door_rest_in(state, DOOR_STOPPED, DOOR_WHY_VETO);
    }
}

/* The precedence of the manual, a line each; D1. */
static void take_turn(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                      const door_seen *seen, const door_heard *heard, uint16_t *counters)
{
    uint8_t why = stopped_by(settings, state, heard);
    if (state->mode == DOOR_LAID_UP) {
        if (heard->word == DOOR_SAY_WAKE) {
            door_recover(state, DOOR_WHY_LINE, DOOR_ANCHOR_ANEW);
        }
        return;
    }
    if (state->mode == DOOR_FAULT) {
        wait_for_person(settings, state, inputs, seen, heard, counters);
        return;
    }
    if (why != DOOR_WHY_NOTHING) {
        door_rest_in(state, DOOR_STOPPED, why);
        door_tally(counters, DOOR_N_STOPS);
        return;
    }
    why = fault_now(settings, state, inputs, seen);
    if (why != DOOR_WELL) {
        door_fail(state, why, counters);
        return;
    }
    if (state->way != DOOR_STILL && heard->low != 0u) {
        door_rest_in(state, DOOR_STOPPED, DOOR_WHY_SUPPLY);
        door_tally(counters, DOOR_N_SUPPLY);
        return;
    }
    if (state->way == DOOR_CLOSES && heard->veto != 0u) {
        give_way(settings, state, counters);
        return;
    }
    if (state->way != DOOR_STILL) {
        why = obstruction(settings, state, seen, heard);
        if (why != DOOR_WHY_NOTHING) {
            obstructed(settings, state, seen, heard, why, counters);
            return;
        }
        if (arrived(settings, state, inputs, seen) != 0u) {
            arrive(settings, state, seen, counters);
            return;
        }
        if (backed_off(settings, state, inputs, seen, heard) != 0u) {
            return;
        }
    }
    obey(settings, state, inputs, heard, counters);
}

/* The drive comes on once the dead time is over and the sensor is zeroed, and its duty rises. */
static void drive(const door_settings *settings, door_decide_state *state, const door_seen *seen,
                  uint16_t *counters)
{
    uint8_t slow = state->way == DOOR_OPENS ? seen->slow_open : seen->slow_shut;
    uint16_t target = settings->normal_permille;
    if (state->first_move != 0u || slow != 0u
        || (state->mode == DOOR_REVERSING && state->phase != PHASE_OPEN)) {
        target = settings->last_permille;
    }
    if (state->way == DOOR_STILL || state->dead_ms > 0u) {
        state->duty_permille = 0u;
    } else if (state->run_ms > 0u) {
        state->run_ms = door_up(state->run_ms);
        state->duty_permille = (uint16_t)(state->duty_permille + state->ramp_step);
        state->ramp_sum = (uint16_t)(state->ramp_sum + state->ramp_rest);
        if (state->ramp_sum >= settings->ramp_ms) {
            state->ramp_sum = (uint16_t)(state->ramp_sum - settings->ramp_ms);
            state->duty_permille = (uint16_t)(state->duty_permille + 1u);
        }
    } else if (state->needs_zero == 0u || seen->zeroed != 0u) {
        state->run_ms = 1u;
        state->needs_zero = 0u;
        state->ramp_sum = 0u;
        state->duty_permille = settings->start_permille;
        door_tally(counters, DOOR_N_STARTS);
        if (seen->outside_trained != 0u) {
            door_tally(counters, DOOR_N_OUTSIDE_TRAINED);
        }
    }
    if (state->duty_permille > target) {
        state->duty_permille = target;
    }
}

static void say(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                door_outputs *outputs)
{
    state->enable = state->way != DOOR_STILL ? 1u : 0u;
    outputs->open_permille = state->way == DOOR_OPENS ? state->duty_permille : 0u;
    outputs->close_permille = state->way == DOOR_CLOSES ? state->duty_permille : 0u;
    outputs->enable = state->enable;
    outputs->mode = state->mode;
    outputs->why = state->why;
    outputs->fault = state->fault;
    outputs->may_leave = state->mode == DOOR_OPEN && state->unsure == DOOR_STILL
                              && state->reversals < settings->most_reversals
                              && (settings->ends != DOOR_ENDS_SWITCHES || inputs->limit_open != 0u)
                           ? 1u
                           : 0u;
    outputs->summary_ready = 0u;
}

void door_decide(const door_settings *settings, door_decide_state *state, const door_inputs *inputs,
                 const door_seen *seen, uint16_t *counters, door_outputs *outputs)
{
    door_heard heard;
    DOOR_NEAR(state);
    state->anchor = DOOR_ANCHOR_NONE;
    state->mark = 0u;
    if (state->refusal != DOOR_SETTINGS_GOOD) {
        if (state->mode != DOOR_FAULT) {
            door_fail(state, DOOR_BAD_SETTINGS, counters);
        }
    } else {
        door_hear(settings, state, inputs, &heard, counters);
        door_count_time(settings, state, inputs, seen);
        take_turn(settings, state, inputs, seen, &heard, counters);
        drive(settings, state, seen, counters);
    }
    say(settings, state, inputs, outputs);
}
