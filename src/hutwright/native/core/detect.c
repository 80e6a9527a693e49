/* Current and place: all the arithmetic of the controller.  See door.h for what it is for.
 *
 * Every product is of two values of at most 16 bits, one of them cast to 32 bits first; nothing negative is
 * shifted.  The only divisions are that of the zero (once in zero_ms of rest) and that of the duty's inverse
 * (once for each change of the duty, with a sensor in the supply lead only): both by quotient().
 */
#include "lasts.h"
#include "parts.h"
#include "sums.h"

#define SLOT_MS 16u /* between two kept slow means */
#define OPEN_Q30 ((uint32_t)DOOR_PLACE_OPEN)
#define OPEN_Q14 16384u
#define OPEN_PERMILLE 1000u
#define PERMILLE_Q30 1073742u /* 2^30 / 1000, rounded up: 1000 of them are cut to OPEN_Q30 */
#define BIN_BITS 11           /* 2^16 / 32 bins */
#define BIN_MASK 2047u
#define HALF_BIN 1024u
#define LEAST_DUTY 50u       /* a smaller duty counts as this where it divides */
#define MOST_MA 60000u       /* currents are cut to this */
#define RESIDUAL_ZERO 32768u /* kept residuals are shifted by this */

/* door_detect_state.slow_due: the slow mean is as new as the residual, or begins with it, or follows it. */
#define SLOW_DONE 0u
#define SLOW_BEGINS 1u
#define SLOW_GOES_ON 2u

/* A share of 2^30 in 1/65536. */
static uint16_t in_q16(uint32_t share_q30)
{
    uint16_t high = (uint16_t)(share_q30 >> 16);
    uint8_t below = (uint8_t)((share_q30 >> 8) & 255u);
    return high >= OPEN_Q14 ? (uint16_t)65535u
                            : (uint16_t)((uint16_t)(high << 2) | (uint16_t)(uint8_t)(below >> 6));
}

/* Rounded down, bit by bit: the quotient must be below 2^16, the divisor below 2^15.  A library's division of
 * 32 bits would take three times as long on an 8-bit board. */
static uint16_t quotient(uint32_t value, uint16_t divisor)
{
    uint16_t rest = (uint16_t)(value >> 16);
    uint16_t low = (uint16_t)(value & 65535u);
    uint8_t bit;
    for (bit = 0u; bit < 16u; bit++) {
        rest = (uint16_t)((uint16_t)(rest << 1) | (uint16_t)(low >> 15));
        low = (uint16_t)((low & 32767u) << 1);
        if (rest >= divisor) {
            rest = (uint16_t)(rest - divisor);
            low = (uint16_t)(low | 1u);
        }
    }
    return low;
}

/* The greatest share of 2^16 that is no more than so many permille, rounded. */
static uint16_t up_to(uint16_t permille)
{
    return permille < OPEN_PERMILLE ? quotient(((uint32_t)permille << 16) + 32767u, OPEN_PERMILLE)
                                    : (uint16_t)65535u;
}

/* The least share that is so many permille, rounded, or more. */
static uint16_t from(uint16_t permille)
{
    uint16_t least = 0u;
    if (permille > OPEN_PERMILLE) {
        least = 65535u; /* with settings that are refused */
    } else if (permille != 0u) {
        least = (uint16_t)(up_to((uint16_t)(permille - 1u)) + 1u);
    }
    return least;
}

/* The least share that is so many permille from the other end or less. */
static uint16_t from_other(uint16_t permille)
{
    return permille < OPEN_PERMILLE ? from((uint16_t)(OPEN_PERMILLE - permille)) : (uint16_t)0u;
}

/* The greatest bin of a profile. */
static uint8_t greatest_of(const door_detector *detector)
{
    uint8_t greatest = 0u;
    uint16_t most_mA = 0u;
    uint8_t i;
    for (i = 0u; i < DOOR_BINS; i++) {
        if (detector->profile_mA[i] > most_mA) {
            most_mA = detector->profile_mA[i];
            greatest = i;
        }
    }
    return greatest;
}

void door_detect_begin(const door_settings *settings, door_detect_state *state)
{
    uint8_t i;
    door_blank((uint8_t *)state, (uint16_t)sizeof(door_detect_state));
    state->slow_q16 = (uint32_t)RESIDUAL_ZERO << 16;
    for (i = 0u; i < DOOR_LAG; i++) {
        state->lagged[i] = RESIDUAL_ZERO;
    }
    state->inverse_q11 = 2048u;
    state->greatest_opening = greatest_of(&settings->opening);
    state->greatest_closing = greatest_of(&settings->closing);
    state->at_shut_q16 = up_to(settings->end_permille);
    state->slow_shut_q16 = up_to(settings->last_shut_permille);
    state->slip_shut_q16 = up_to(settings->slip_permille);
    state->at_open_q16 = from_other(settings->end_permille);
    state->slow_open_q16 = from_other(settings->last_open_permille);
    state->slip_open_q16 = from_other(settings->slip_permille);
    state->relax_q16 = from(settings->relax_permille);
    state->back_q16 = from(settings->back_permille);
}

/* What the last tick's residual does to its slow mean and that one's older values: nothing looks at them
 * before the next tick, so that a board may do it between the two. */
static void keep_slow(const door_settings *settings, door_detect_state *state)
{
    uint16_t shifted = (uint16_t)((uint16_t)state->residual_mA + RESIDUAL_ZERO);
    if (state->slow_due == SLOW_BEGINS) {
        state->slow_q16 = (uint32_t)shifted << 16;
        state->lag_at = 0u;
        state->lag_ms = 0u;
        state->lag_full = 0u;
    } else {
        state->slow_q16 = toward(state->slow_q16, shifted, settings->slow_q16);
        state->lag_ms = (uint8_t)(state->lag_ms + 1u);
        if (state->lag_ms >= SLOT_MS) {
            state->lag_ms = 0u;
            state->lagged[state->lag_at] = (uint16_t)(state->slow_q16 >> 16);
            state->lag_at = (uint8_t)(state->lag_at + 1u);
            if (state->lag_at >= DOOR_LAG) {
                state->lag_at = 0u;
                state->lag_full = 1u;
            }
        }
    }
    state->slow_due = SLOW_DONE;
}

/* What decide.c asked for in the tick before. */
static void obey(door_detect_state *state, const door_decide_state *decided)
{
    if (decided->anchor != DOOR_ANCHOR_NONE) {
        state->place_known =
            decided->anchor == DOOR_ANCHOR_SHUT || decided->anchor == DOOR_ANCHOR_OPEN ? 1u : 0u;
        if (decided->anchor == DOOR_ANCHOR_SHUT) {
            state->place_q30 = 0u;
        } else if (decided->anchor == DOOR_ANCHOR_OPEN) {
            state->place_q30 = OPEN_Q30;
        } else if (decided->anchor == DOOR_ANCHOR_ANEW) {
            state->offset_mA = 0;
            state->offset_known = 0u;
            state->offset_bad = 0u;
            state->zeroed = 0u;
            state->rest_ms = 0u;
        }
        state->lag_full = 0u; /* the residual may jump with the place */
        state->lag_at = 0u;
        state->lag_ms = 0u;
    }
    if (decided->mark != 0u) {
        state->mark_q30 = state->place_q30;
        state->covered_q30 = 0u;
    }
}

static const door_detector *detector_of(const door_settings *settings, uint8_t way)
{
    return way == DOOR_CLOSES ? &settings->closing : &settings->opening;
}

/* The duty has come on: everything that belongs to one run begins afresh. */
static void begin_run(door_detect_state *state, uint8_t way)
{
    state->way = way;
    state->turning = way;
    state->zeroed = 0u;
    state->run_ms = 0u;
    state->start_ms = 0u;
    state->start_at = 0u;
    state->residual_ms = 0u;
    state->rise_ms = 0u;
    state->backstop_ms = 0u;
    state->none_ms = 0u;
    state->same_ms = 0u;
    state->lag_full = 0u;
}

/* The mean of a finished block of readings at rest. */
static void take_zero(const door_settings *settings, door_detect_state *state)
{
    uint32_t sum = magnitude(state->zero_sum_mA) + (uint32_t)(settings->zero_ms >> 1);
    uint16_t mean = quotient(sum, settings->zero_ms); /* at most 32768 */
    state->offset_bad = mean > settings->zero_most_mA ? 1u : 0u;
    state->zeroed = state->offset_bad == 0u ? 1u : 0u;
    if (state->zeroed != 0u) {
        state->offset_mA = state->zero_sum_mA < 0 ? (int16_t)-(int16_t)mean : (int16_t)mean;
        state->offset_known = 1u;
    }
    state->zero_sum_mA = 0;
    state->zero_count = 0u;
}

/* At rest: zero the sensor, block after block, and watch for current that nobody ordered. */
static void rest(const door_settings *settings, door_detect_state *state, const door_inputs *inputs,
                 uint16_t seen_mA)
{
    if (state->offset_known != 0u && seen_mA > settings->none_mA) {
        state->without_ms = door_up(state->without_ms);
        state->zeroed = 0u;
        state->rest_ms = 0u;
    } else {
        state->without_ms = 0u;
        state->rest_ms = door_up(state->rest_ms);
    }
    if (state->rest_ms <= settings->dead_ms) {
        state->zero_sum_mA = 0;
        state->zero_count = 0u;
    } else {
        state->zero_sum_mA += (int32_t)inputs->current_mA;
        state->zero_count = door_up(state->zero_count);
        if (state->zero_count >= settings->zero_ms) {
            take_zero(settings, state);
        }
    }
}

/* What hangs on temperature, supply, way and duty, and on nothing else: the change of the expected current,
 * the wider trip, what the bridge gives the motor, and what a reading in the supply lead is multiplied by. */
static void reckon(const door_settings *settings, door_detect_state *state, int16_t now_dC, uint16_t now_mV,
                   uint8_t way, uint16_t duty_permille)
{
    const door_detector *detector = detector_of(settings, way);
    uint16_t out_dC = outside(now_dC, settings->trained_low_dC, settings->trained_high_dC);
    uint16_t out_mV = outside_unsigned(now_mV, settings->trained_low_mV, settings->trained_high_mV);
    int32_t by_heat_mA = (int32_t)ten_thousandth(
        product(apart(detector->per_kelvin_uA, 0), apart(now_dC, settings->reference_dC)));
    int32_t by_supply_mA = (int32_t)thousandth(
        product(apart(detector->per_volt_mA, 0), apart_unsigned(now_mV, settings->reference_mV)));
    uint32_t wider_mA = (uint32_t)thousandth(product(out_mV, settings->widen_per_volt_mA));
    wider_mA +=
        (uint32_t)part_of(cut16(product(out_dC, settings->widen_per_kelvin_mA) >> 2), 26214u); /* 0.4 */
    if ((now_dC < settings->reference_dC) != (detector->per_kelvin_uA < 0)) {
        by_heat_mA = -by_heat_mA;
    }
    if ((now_mV < settings->reference_mV) != (detector->per_volt_mA < 0)) {
        by_supply_mA = -by_supply_mA;
    }
    state->by_weather_mA = by_heat_mA + by_supply_mA;
    state->wider_mA = wider_mA > settings->widen_most_mA ? settings->widen_most_mA : (uint16_t)wider_mA;
    state->outside = out_dC != 0u || out_mV != 0u ? 1u : 0u;
    state->given_uV = product(now_mV, duty_permille);
    if (settings->sense == DOOR_SENSE_SUPPLY && duty_permille != 0u) {
        uint16_t duty = duty_permille < LEAST_DUTY ? (uint16_t)LEAST_DUTY : duty_permille;
        state->inverse_q11 = quotient(2048000u + (uint32_t)(duty >> 1), duty);
    }
    state->for_dC = now_dC;
    state->for_mV = now_mV;
    state->for_permille = duty_permille;
    state->for_way = way;
}

/* Which way it goes, or will: opening where none. */
static uint8_t way_of(const door_decide_state *decided)
{
    return decided->way == DOOR_CLOSES ? (uint8_t)DOOR_CLOSES : (uint8_t)DOOR_OPENS;
}

/* All of a tick that its readings are not needed for, but for temperature and supply. */
SUM_CALLED void catch_up(const door_settings *settings, door_detect_state *state,
                         const door_decide_state *decided, int16_t now_dC, uint16_t now_mV)
{
    uint8_t way = way_of(decided);
    if (state->slow_due != SLOW_DONE) {
        keep_slow(settings, state);
    }
    if (now_dC != state->for_dC || now_mV != state->for_mV || decided->duty_permille != state->for_permille
        || way != state->for_way) {
        reckon(settings, state, now_dC, now_mV, way, decided->duty_permille);
    }
}

/* The motor's current from what the sensor shows [mA]. */
static uint16_t of_motor(const door_settings *settings, const door_detect_state *state,
                         uint16_t duty_permille, uint16_t seen_mA)
{
    uint16_t current = seen_mA;
    if (settings->sense == DOOR_SENSE_SUPPLY && duty_permille != 0u) {
        current = over_2048(product(seen_mA, state->inverse_q11) + 1024u); /* 42768 * 40960 < 2^32 */
    }
    return current > MOST_MA ? (uint16_t)MOST_MA : current;
}

/* How far the rod has gone in this millisecond [2^-30 of the travel]. */
static uint32_t step_of(const door_settings *settings, const door_detect_state *state,
                        const door_decide_state *decided, uint16_t now_mA)
{
    uint32_t lost_uV = product(settings->resistance_mohm, now_mA);
    uint16_t moving_mV = 0u; /* the motor's back-EMF */
    if (decided->duty_permille != 0u) {
        moving_mV = state->given_uV > lost_uV ? thousandth(state->given_uV - lost_uV) : (uint16_t)0u;
        moving_mV =
            moving_mV > settings->drop_mV ? (uint16_t)(moving_mV - settings->drop_mV) : (uint16_t)0u;
    } else if (decided->enable != 0u && decided->needs_zero == 0u && settings->sense == DOOR_SENSE_MOTOR
               && now_mA > settings->none_mA) {
        /* braking: the back-EMF drives the current */
        moving_mV = cut16((uint32_t)thousandth(lost_uV) + settings->drop_mV);
    }
    return product(moving_mV, settings->place_gain_q8) >> 8;
}

static void follow_place(door_detect_state *state, const door_inputs *inputs, uint32_t step)
{
    if (inputs->place_permille != DOOR_NO_PLACE) {
        uint16_t permille = inputs->place_permille;
        state->place_q30 = permille >= OPEN_PERMILLE ? OPEN_Q30 : (uint32_t)permille * PERMILLE_Q30;
        state->place_known = 1u;
        state->covered_q30 = state->place_q30 > state->mark_q30 ? state->place_q30 - state->mark_q30
                                                                : state->mark_q30 - state->place_q30;
    } else {
        state->covered_q30 += step; /* 2^30 and a step are below 2^31 */
        if (state->covered_q30 > OPEN_Q30) {
            state->covered_q30 = OPEN_Q30;
        }
        if (state->turning == DOOR_CLOSES) {
            state->place_q30 = state->place_q30 > step ? state->place_q30 - step : 0u;
        } else {
            state->place_q30 += step;
            if (state->place_q30 > OPEN_Q30) {
                state->place_q30 = OPEN_Q30;
            }
        }
    }
}

/* The profile at the place, straight between the bins' middles; its greatest bin where the place is not
 * known. */
static uint16_t profile_at(const door_detector *detector, const door_detect_state *state, uint16_t place_q16)
{
    uint8_t known = state->place_known;
    uint16_t past = place_q16 > HALF_BIN ? (uint16_t)(place_q16 - HALF_BIN) : (uint16_t)0u;
    uint8_t bin = state->way == DOOR_CLOSES ? state->greatest_closing : state->greatest_opening;
    uint16_t value;
    if (known != 0u) {
        bin = (uint8_t)((uint8_t)(past >> 8) >> (BIN_BITS - 8));
    }
    value = detector->profile_mA[bin];
    if (known != 0u) {
        if (bin < DOOR_BINS - 1) {
            uint16_t next = detector->profile_mA[bin + 1u];
            uint16_t change = part_of(apart_unsigned(next, value), times_32((uint16_t)(past & BIN_MASK)));
            value = next > value ? (uint16_t)(value + change) : (uint16_t)(value - change);
        }
    }
    return value;
}

/* The current that is right for a free leaf here and now [mA]; D1. */
static uint16_t expect(const door_settings *settings, door_detect_state *state, const door_detector *detector,
                       uint16_t place_q16)
{
    int32_t expected = (int32_t)profile_at(detector, state, place_q16) + state->by_weather_mA;
    if (state->start_at < DOOR_START_BINS) {
        expected += (int32_t)detector->start_mA[state->start_at];
        state->start_ms = (uint16_t)(state->start_ms + 1u);
        if (state->start_ms >= settings->start_step_ms) {
            state->start_ms = 0u;
            state->start_at = (uint8_t)(state->start_at + 1u);
        }
    }
    if (expected < 0) {
        return 0u;
    }
    return expected > (int32_t)MOST_MA ? (uint16_t)MOST_MA : (uint16_t)expected;
}

/* Filtered less expected current, kept within 16 bits [mA]. */
static int16_t residual_of(uint16_t current_mA, uint16_t expected_mA)
{
    uint16_t off = apart_unsigned(current_mA, expected_mA);
    int16_t residual = (int16_t)(off > 32767u ? 32767u : off);
    return current_mA < expected_mA ? (int16_t)-residual : residual;
}

/* With duty: the two detectors, the backstop, and no current. */
static void judge(const door_settings *settings, door_detect_state *state, const door_inputs *inputs,
                  const door_detector *detector, uint16_t now_mA, uint16_t place_q16, door_seen *seen)
{
    uint8_t blind = state->run_ms < settings->blind_ms ? 1u : 0u;
    uint8_t over = 0u;
    uint8_t risen = 0u;
    uint16_t shifted;
    uint16_t before;
    state->expected_mA = expect(settings, state, detector, place_q16);
    state->residual_mA = residual_of(state->current_mA, state->expected_mA);
    shifted = (uint16_t)((uint16_t)state->residual_mA + RESIDUAL_ZERO);
    if (blind == 0u) {
        if (state->residual_mA > 0) {
            over = (uint16_t)state->residual_mA >= (uint16_t)(detector->trip_mA + state->wider_mA) ? 1u : 0u;
        }
        before = state->lagged[state->lag_at];
        if (state->lag_full != 0u && state->place_known != 0u && shifted > before) {
            risen = (uint16_t)(shifted - before) >= detector->rise_mA ? 1u : 0u;
        }
    }
    seen->residual = door_lasts(&state->residual_ms, over, settings->after_ms);
    seen->rise = door_lasts(&state->rise_ms, risen, settings->after_ms);
    seen->backstop =
        door_lasts(&state->backstop_ms, now_mA >= settings->backstop_mA ? 1u : 0u, settings->backstop_ms);
    seen->no_current = door_lasts(&state->none_ms, now_mA < settings->none_mA ? 1u : 0u, settings->none_ms);
    seen->stuck = door_lasts(&state->same_ms,
                             settings->stuck_ms != 0u && inputs->current_mA == state->last_mA[0] ? 1u : 0u,
                             settings->stuck_ms);
    state->slow_due = blind != 0u || state->run_ms == 0u ? (uint8_t)SLOW_BEGINS : (uint8_t)SLOW_GOES_ON;
    state->run_ms = door_more(state->run_ms);
}

/* Without duty there is nothing to judge. */
static void judge_nothing(door_detect_state *state, door_seen *seen)
{
    seen->residual = 0u;
    seen->rise = 0u;
    seen->backstop = 0u;
    seen->no_current = 0u;
    seen->stuck = 0u;
    state->way = DOOR_STILL;
    state->expected_mA = 0u;
    state->residual_mA = 0;
    state->residual_ms = 0u;
    state->rise_ms = 0u;
    state->backstop_ms = 0u;
    state->none_ms = 0u;
    state->same_ms = 0u;
}

static void say_place(const door_detect_state *state, uint16_t place_q16, door_seen *seen)
{
    uint8_t known = state->place_known;
    uint16_t covered_q16 = in_q16(state->covered_q30);
    seen->place_known = known;
    seen->at_shut = known != 0u && place_q16 <= state->at_shut_q16 ? 1u : 0u;
    seen->at_open = known != 0u && place_q16 >= state->at_open_q16 ? 1u : 0u;
    seen->slow_shut = known == 0u || place_q16 <= state->slow_shut_q16 ? 1u : 0u;
    seen->slow_open = known == 0u || place_q16 >= state->slow_open_q16 ? 1u : 0u;
    seen->off_place =
        known != 0u && place_q16 > state->slip_shut_q16 && place_q16 < state->slip_open_q16 ? 1u : 0u;
    seen->moved_relax = covered_q16 >= state->relax_q16 ? 1u : 0u;
    seen->moved_back = covered_q16 >= state->back_q16 ? 1u : 0u;
}

static void say_faults(const door_settings *settings, const door_detect_state *state, int16_t raw,
                       door_seen *seen)
{
    seen->without_duty = state->without_ms >= settings->none_ms ? 1u : 0u;
    seen->out_of_range = apart(raw, 0) > settings->range_mA || state->offset_bad != 0u ? 1u : 0u;
    seen->zeroed = state->zeroed;
}

void door_detect(const door_settings *settings, door_detect_state *state, const door_decide_state *decided,
                 const door_inputs *inputs, door_seen *seen)
{
    uint8_t way = decided->duty_permille != 0u ? decided->way : (uint8_t)DOOR_STILL;
    int16_t raw = median(state->last_mA[1], state->last_mA[0], inputs->current_mA);
    const door_detector *detector = detector_of(settings, way_of(decided));
    uint16_t seen_mA;
    uint16_t now_mA;
    uint16_t place_q16;
    if (state->ahead == 0u || inputs->temperature_dC != state->for_dC || inputs->supply_mV != state->for_mV) {
        catch_up(settings, state, decided, inputs->temperature_dC, inputs->supply_mV);
    }
    state->ahead = 0u;
    obey(state, decided);
    seen_mA = apart(raw, state->offset_mA); /* at most 32768 + 10000 */
    now_mA = of_motor(settings, state, decided->duty_permille, seen_mA);
    state->filtered_q16 = toward(state->filtered_q16, now_mA, settings->filter_q16);
    state->current_mA = (uint16_t)((state->filtered_q16 + 32768u) >> 16);
    if (way != DOOR_STILL && way != state->way) {
        begin_run(state, way);
    }
    follow_place(state, inputs, step_of(settings, state, decided, now_mA));
    place_q16 = in_q16(state->place_q30);
    if (way != DOOR_STILL) {
        judge(settings, state, inputs, detector, now_mA, place_q16, seen);
    } else {
        judge_nothing(state, seen);
    }
    if (way == DOOR_STILL && (decided->enable == 0u || decided->needs_zero != 0u)) {
        rest(settings, state, inputs, seen_mA);
    } else {
        state->rest_ms = 0u;
        state->without_ms = 0u;
    }
    state->last_mA[1] = state->last_mA[0];
    state->last_mA[0] = inputs->current_mA;
    seen->outside_trained = state->outside;
    say_faults(settings, state, raw, seen);
    say_place(state, place_q16, seen);
}

void door_detect_ahead(const door_settings *settings, door_detect_state *state,
                       const door_decide_state *decided, int16_t temperature_dC, uint16_t supply_mV)
{
    catch_up(settings, state, decided, temperature_dC, supply_mV);
    state->ahead = 1u;
}
