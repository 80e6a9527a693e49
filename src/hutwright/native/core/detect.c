/* Current and place: all the arithmetic of the controller.  See door.h for what it is for.
 *
 * Every product is of two values of at most 16 bits, one of them cast to 32 bits first; nothing negative is
 * shifted.  The only divisions are that of the zero (once in zero_ms of rest) and that of the duty's inverse
 * (once for each change of the duty, with a sensor in the supply lead only): both by quotient().
 */
#include "parts.h"
#include "sums.h"

#define SLOT_MS 16u /* between two kept slow means */
#define OPEN_Q30 ((uint32_t)DOOR_PLACE_OPEN)
#define OPEN_PERMILLE 1000u
#define PERMILLE_Q30 1073742u /* 2^30 / 1000, rounded up: 1000 of them are cut to OPEN_Q30 */
#define BIN_BITS 11           /* 2^16 / 32 bins */
#define BIN_MASK 2047u
#define HALF_BIN 1024u
#define LEAST_DUTY 50u       /* a smaller duty counts as this where it divides */
#define MOST_MA 60000u       /* currents are cut to this */
#define RESIDUAL_ZERO 32768u /* kept residuals are shifted by this */

/* A share of 2^30 in 1/65536. */
static uint16_t in_q16(uint32_t share_q30)
{
    return share_q30 >= OPEN_Q30 ? (uint16_t)65535u : (uint16_t)((share_q30 << 2) >> 16);
}

void door_detect_begin(door_detect_state *state)
{
    uint8_t i;
    door_blank((uint8_t *)state, (uint16_t)sizeof(door_detect_state));
    state->slow_q16 = (uint32_t)RESIDUAL_ZERO << 16;
    for (i = 0u; i < DOOR_LAG; i++) {
        state->lagged[i] = RESIDUAL_ZERO;
    }
    state->inverse_q11 = 2048u;
}

/* What decide.c asked for in the tick before. */
static void obey(door_detect_state *state, const door_decide_state *decided)
{
    if (decided->anchor == DOOR_ANCHOR_SHUT) {
        state->place_q30 = 0u;
        state->place_known = 1u;
    } else if (decided->anchor == DOOR_ANCHOR_OPEN) {
        state->place_q30 = OPEN_Q30;
        state->place_known = 1u;
    } else if (decided->anchor != DOOR_ANCHOR_NONE) {
        state->place_known = 0u;
    }
    if (decided->anchor != DOOR_ANCHOR_NONE) {
        state->lag_full = 0u; /* the residual may jump with the place */
        state->lag_at = 0u;
        state->lag_ms = 0u;
    }
    if (decided->anchor == DOOR_ANCHOR_ANEW) {
        state->offset_mA = 0;
        state->offset_known = 0u;
        state->offset_bad = 0u;
        state->zeroed = 0u;
        state->rest_ms = 0u;
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
static void begin_run(const door_settings *settings, door_detect_state *state, uint8_t way)
{
    const door_detector *detector = detector_of(settings, way);
    uint8_t i;
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
    state->greatest_mA = 0u;
    for (i = 0u; i < DOOR_BINS; i++) {
        if (detector->profile_mA[i] > state->greatest_mA) {
            state->greatest_mA = detector->profile_mA[i];
        }
    }
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

/* The motor's current from what the sensor shows [mA]. */
static uint16_t of_motor(const door_settings *settings, door_detect_state *state, uint16_t duty_permille,
                         uint16_t seen_mA)
{
    uint16_t current = seen_mA;
    if (settings->sense == DOOR_SENSE_SUPPLY && duty_permille != 0u) {
        if (duty_permille != state->duty_permille) {
            uint16_t duty = duty_permille < LEAST_DUTY ? (uint16_t)LEAST_DUTY : duty_permille;
            state->duty_permille = duty_permille;
            state->inverse_q11 = quotient(2048000u + (uint32_t)(duty >> 1), duty);
        }
        /* 42768 * 40960 < 2^32; a whole byte first, for an 8-bit board */
        current = cut16(((product(seen_mA, state->inverse_q11) + 1024u) >> 8) >> 3);
    }
    return current > MOST_MA ? (uint16_t)MOST_MA : current;
}

/* How far the rod has gone in this millisecond [2^-30 of the travel]. */
static uint32_t step_of(const door_settings *settings, const door_decide_state *decided,
                        const door_inputs *inputs, uint16_t now_mA)
{
    uint16_t lost_mV =
        cut16((uint32_t)thousandth(product(settings->resistance_mohm, now_mA)) + settings->drop_mV);
    uint16_t given_mV;
    uint16_t moving_mV = 0u; /* the motor's back-EMF */
    if (decided->duty_permille != 0u) {
        given_mV = thousandth(product(inputs->supply_mV, decided->duty_permille));
        moving_mV = given_mV > lost_mV ? (uint16_t)(given_mV - lost_mV) : (uint16_t)0u;
    } else if (decided->enable != 0u && decided->needs_zero == 0u && settings->sense == DOOR_SENSE_MOTOR
               && now_mA > settings->none_mA) {
        moving_mV = lost_mV; /* braking: the back-EMF drives the current */
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
static uint16_t profile_at(const door_detector *detector, const door_detect_state *state)
{
    uint16_t value = state->greatest_mA;
    if (state->place_known != 0u) {
        uint16_t place_q16 = in_q16(state->place_q30);
        uint16_t past = place_q16 > HALF_BIN ? (uint16_t)(place_q16 - HALF_BIN) : (uint16_t)0u;
        uint8_t bin = (uint8_t)(past >> BIN_BITS);
        value = detector->profile_mA[bin];
        if (bin < DOOR_BINS - 1) {
            uint16_t next = detector->profile_mA[bin + 1u];
            uint16_t change = part_of(apart_unsigned(next, value), (uint16_t)((past & BIN_MASK) << 5));
            value = next > value ? (uint16_t)(value + change) : (uint16_t)(value - change);
        }
    }
    return value;
}

/* The current that is right for a free leaf here and now [mA]. */
static uint16_t expect(const door_settings *settings, door_detect_state *state, const door_inputs *inputs,
                       const door_detector *detector)
{
    uint16_t off_dC = apart(inputs->temperature_dC, settings->reference_dC);
    uint16_t off_mV = apart_unsigned(inputs->supply_mV, settings->reference_mV);
    uint16_t by_heat = ten_thousandth(product(apart(detector->per_kelvin_uA, 0), off_dC));
    uint16_t by_supply = thousandth(product(apart(detector->per_volt_mA, 0), off_mV));
    uint32_t more = (uint32_t)profile_at(detector, state);
    uint32_t less = 0u;
    if ((inputs->temperature_dC < settings->reference_dC) != (detector->per_kelvin_uA < 0)) {
        less += by_heat;
    } else {
        more += by_heat;
    }
    if ((inputs->supply_mV < settings->reference_mV) != (detector->per_volt_mA < 0)) {
        less += by_supply;
    } else {
        more += by_supply;
    }
    if (state->start_at < DOOR_START_BINS) {
        more += detector->start_mA[state->start_at];
        state->start_ms = (uint16_t)(state->start_ms + 1u);
        if (state->start_ms >= settings->start_step_ms) {
            state->start_ms = 0u;
            state->start_at = (uint8_t)(state->start_at + 1u);
        }
    }
    more = more > less ? more - less : 0u;
    return more > MOST_MA ? (uint16_t)MOST_MA : (uint16_t)more;
}

/* The trip, wider where the temperature or the supply was not trained [mA]. */
static uint16_t trip_of(const door_settings *settings, uint16_t trip_mA, uint16_t out_dC, uint16_t out_mV)
{
    uint16_t wider_mA = 0u;
    if (out_dC != 0u || out_mV != 0u) {
        uint32_t wider = (uint32_t)thousandth(product(out_mV, settings->widen_per_volt_mA));
        wider +=
            (uint32_t)part_of(cut16(product(out_dC, settings->widen_per_kelvin_mA) >> 2), 26214u); /* 0.4 */
        wider_mA = wider > settings->widen_most_mA ? settings->widen_most_mA : (uint16_t)wider;
    }
    return (uint16_t)(trip_mA + wider_mA); /* 40000 + 20000 */
}

/* The slow mean of the residual and its older values. */
static void keep_slow(const door_settings *settings, door_detect_state *state, uint16_t shifted,
                      uint8_t blind)
{
    if (blind != 0u || state->run_ms == 0u) {
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
                  uint16_t now_mA, uint16_t out_dC, uint16_t out_mV)
{
    const door_detector *detector = detector_of(settings, state->way);
    uint8_t blind = state->run_ms < settings->blind_ms ? 1u : 0u;
    uint8_t over = 0u;
    uint8_t risen = 0u;
    uint16_t shifted;
    uint16_t before;
    state->expected_mA = expect(settings, state, inputs, detector);
    state->residual_mA = residual_of(state->current_mA, state->expected_mA);
    shifted = (uint16_t)((uint16_t)state->residual_mA + RESIDUAL_ZERO);
    if (blind == 0u) {
        if (state->residual_mA > 0) {
            over = (uint16_t)state->residual_mA >= trip_of(settings, detector->trip_mA, out_dC, out_mV) ? 1u
                                                                                                        : 0u;
        }
        before = state->lagged[state->lag_at];
        if (state->lag_full != 0u && state->place_known != 0u && shifted > before) {
            risen = (uint16_t)(shifted - before) >= detector->rise_mA ? 1u : 0u;
        }
    }
    state->residual_ms = door_counted(state->residual_ms, over);
    state->rise_ms = door_counted(state->rise_ms, risen);
    state->backstop_ms = door_counted(state->backstop_ms, now_mA >= settings->backstop_mA ? 1u : 0u);
    state->none_ms = door_counted(state->none_ms, now_mA < settings->none_mA ? 1u : 0u);
    state->same_ms = door_counted(state->same_ms, inputs->current_mA == state->last_mA[0] ? 1u : 0u);
    keep_slow(settings, state, shifted, blind);
    state->run_ms = door_up(state->run_ms);
}

/* Without duty there is nothing to judge. */
static void judge_nothing(door_detect_state *state)
{
    state->way = DOOR_STILL;
    state->expected_mA = 0u;
    state->residual_mA = 0;
    state->residual_ms = 0u;
    state->rise_ms = 0u;
    state->backstop_ms = 0u;
    state->none_ms = 0u;
    state->same_ms = 0u;
}

static void say_place(const door_settings *settings, const door_detect_state *state, door_seen *seen)
{
    uint8_t known = state->place_known;
    uint16_t from_shut = part_of(in_q16(state->place_q30), OPEN_PERMILLE);
    uint16_t from_open = (uint16_t)(OPEN_PERMILLE - from_shut);
    uint16_t covered = part_of(in_q16(state->covered_q30), OPEN_PERMILLE);
    seen->place_known = known;
    seen->at_shut = known != 0u && from_shut <= settings->end_permille ? 1u : 0u;
    seen->at_open = known != 0u && from_open <= settings->end_permille ? 1u : 0u;
    seen->slow_shut = known == 0u || from_shut <= settings->last_shut_permille ? 1u : 0u;
    seen->slow_open = known == 0u || from_open <= settings->last_open_permille ? 1u : 0u;
    seen->off_place =
        known != 0u && from_shut > settings->slip_permille && from_open > settings->slip_permille ? 1u : 0u;
    seen->moved_relax = covered >= settings->relax_permille ? 1u : 0u;
    seen->moved_back = covered >= settings->back_permille ? 1u : 0u;
}

static void say_faults(const door_settings *settings, const door_detect_state *state, int16_t raw,
                       door_seen *seen)
{
    seen->residual = state->residual_ms >= settings->after_ms ? 1u : 0u;
    seen->rise = state->rise_ms >= settings->after_ms ? 1u : 0u;
    seen->backstop = state->backstop_ms >= settings->backstop_ms ? 1u : 0u;
    seen->no_current = state->none_ms >= settings->none_ms ? 1u : 0u;
    seen->without_duty = state->without_ms >= settings->none_ms ? 1u : 0u;
    seen->out_of_range = apart(raw, 0) > settings->range_mA || state->offset_bad != 0u ? 1u : 0u;
    seen->stuck = settings->stuck_ms != 0u && state->same_ms >= settings->stuck_ms ? 1u : 0u;
    seen->zeroed = state->zeroed;
}

void door_detect(const door_settings *settings, door_detect_state *state, const door_decide_state *decided,
                 const door_inputs *inputs, door_seen *seen)
{
    uint8_t way = decided->duty_permille != 0u ? decided->way : (uint8_t)DOOR_STILL;
    uint16_t out_dC = outside(inputs->temperature_dC, settings->trained_low_dC, settings->trained_high_dC);
    uint16_t out_mV =
        outside_unsigned(inputs->supply_mV, settings->trained_low_mV, settings->trained_high_mV);
    int16_t raw = median(state->last_mA[1], state->last_mA[0], inputs->current_mA);
    uint16_t seen_mA;
    uint16_t now_mA;
    obey(state, decided);
    seen_mA = apart(raw, state->offset_mA); /* at most 32768 + 10000 */
    now_mA = of_motor(settings, state, decided->duty_permille, seen_mA);
    state->filtered_q16 = toward(state->filtered_q16, now_mA, settings->filter_q16);
    state->current_mA = (uint16_t)((state->filtered_q16 + 32768u) >> 16);
    if (way != DOOR_STILL && way != state->way) {
        begin_run(settings, state, way);
    }
    follow_place(state, inputs, step_of(settings, decided, inputs, now_mA));
    if (way != DOOR_STILL) {
        judge(settings, state, inputs, now_mA, out_dC, out_mV);
    } else {
        judge_nothing(state);
    }
    if (way == DOOR_STILL && (decided->enable == 0u || decided->needs_zero != 0u)) {
        rest(settings, state, inputs, seen_mA);
    } else {
        state->rest_ms = 0u;
        state->without_ms = 0u;
    }
    state->last_mA[1] = state->last_mA[0];
    state->last_mA[0] = inputs->current_mA;
    seen->outside_trained = out_dC != 0u || out_mV != 0u ? 1u : 0u;
    say_faults(settings, state, raw, seen);
    say_place(settings, state, seen);
}
