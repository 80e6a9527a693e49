/* Whether settings can be used, and their checksum.  The ranges are those of door.h. */
#include "parts.h"

/* The layout is the same for every compiler, or it does not compile. */
_Static_assert(sizeof(door_detector) == 88, "a detector has another layout here");
_Static_assert(sizeof(door_settings) == 278, "settings have another layout here");

/* CRC-16 with the polynomial x^16 + x^12 + x^5 + 1, a byte further, highest bit first.  By halves of a byte:
 * the same as bit by bit, in a quarter of the time. */
uint16_t door_crc_more(uint16_t crc, uint8_t byte)
{
    uint8_t folded = (uint8_t)((uint8_t)(crc >> 8) ^ byte);
    folded = (uint8_t)(folded ^ (uint8_t)(folded >> 4));
    return (uint16_t)((uint16_t)((uint16_t)(crc & 255u) << 8) ^ (uint16_t)((uint16_t)folded << 12)
                      ^ (uint16_t)((uint16_t)folded << 5) ^ (uint16_t)folded);
}

uint16_t door_crc(const uint8_t *bytes, uint16_t number)
{
    uint16_t crc = 65535u;
    uint16_t i;
    for (i = 0u; i < number; i++) {
        crc = door_crc_more(crc, bytes[i]);
    }
    return crc;
}

static uint16_t checksum_of(const door_settings *settings)
{
    return door_crc((const uint8_t *)settings, (uint16_t)(sizeof(door_settings) - sizeof(uint16_t)));
}

void door_seal(door_settings *settings)
{
    settings->checksum = checksum_of(settings);
}

static uint8_t out(uint16_t value, uint16_t low, uint16_t high)
{
    return value < low || value > high ? 1u : 0u;
}

static uint8_t out_signed(int16_t value, int16_t low, int16_t high)
{
    return value < low || value > high ? 1u : 0u;
}

static uint8_t duty_out(const door_settings *s)
{
    return (uint8_t)(out(s->normal_permille, 100u, 1000u) | out(s->last_permille, 50u, s->normal_permille)
                     | out(s->start_permille, 0u, s->last_permille));
}

static uint8_t detector_out(const door_settings *s)
{
    return (uint8_t)(out(s->filter_q16, 64u, 65535u) | out(s->slow_q16, 16u, 65535u)
                     | out(s->after_ms, 1u, 1000u) | out(s->blind_ms, 0u, 3000u)
                     | out(s->start_step_ms, 1u, 500u) | out(s->opening.trip_mA, 20u, 40000u)
                     | out(s->closing.trip_mA, 20u, 40000u)
                     | (s->opening.rise_mA != 65535u ? out(s->opening.rise_mA, 20u, 40000u) : 0u)
                     | (s->closing.rise_mA != 65535u ? out(s->closing.rise_mA, 20u, 40000u) : 0u));
}

static uint8_t profile_out(const door_detector *detector)
{
    uint8_t bad = 0u;
    uint8_t i;
    for (i = 0u; i < DOOR_BINS; i++) {
        bad = (uint8_t)(bad | out(detector->profile_mA[i], 0u, 40000u));
    }
    for (i = 0u; i < DOOR_START_BINS; i++) {
        bad = (uint8_t)(bad | out(detector->start_mA[i], 0u, 40000u));
    }
    return bad;
}

static uint8_t regression_out(const door_settings *s)
{
    return (
        uint8_t)(out_signed(s->opening.per_kelvin_uA, -30000, 30000)
                 | out_signed(s->closing.per_kelvin_uA, -30000, 30000)
                 | out_signed(s->opening.per_volt_mA, -5000, 5000)
                 | out_signed(s->closing.per_volt_mA, -5000, 5000) | out_signed(s->reference_dC, -600, 900)
                 | out(s->reference_mV, 3000u, 60000u) | out_signed(s->trained_low_dC, -600, 900)
                 | out_signed(s->trained_high_dC, s->trained_low_dC, 900) | out(s->trained_low_mV, 0u, 60000u)
                 | out(s->trained_high_mV, s->trained_low_mV, 60000u) | out(s->widen_per_kelvin_mA, 0u, 1000u)
                 | out(s->widen_per_volt_mA, 0u, 5000u) | out(s->widen_most_mA, 0u, 20000u));
}

static uint8_t supply_out(const door_settings *s)
{
    return (uint8_t)(out(s->start_above_mV, 3000u, 60000u) | out(s->stop_below_mV, 2000u, 60000u)
                     | out(s->stop_below_ms, 1u, 5000u) | (s->start_above_mV <= s->stop_below_mV ? 1u : 0u));
}

static uint8_t zero_out(const door_settings *s)
{
    return (uint8_t)(out(s->zero_ms, 8u, 2000u) | out(s->zero_most_mA, 1u, 10000u)
                     | out(s->range_mA, 1000u, 32000u)
                     | (s->stuck_ms != 0u ? out(s->stuck_ms, 20u, 20000u) : 0u) | out(s->none_mA, 1u, 5000u)
                     | out(s->none_ms, 5u, 2000u));
}

static uint8_t reversal_out(const door_settings *s)
{
    return (uint8_t)(out(s->most_reversals, 1u, 9u) | out(s->relax_permille, 1u, 200u)
                     | out(s->back_permille, 0u, 1000u));
}

static uint8_t command_out(const door_settings *s)
{
    return (uint8_t)(out(s->commands, 1u, 15u) | out(s->eyes, 0u, 7u) | out(s->link_lost, 0u, DOOR_LINK_CLOSE)
                     | out(s->present_hold_ms, 0u, 10000u)
                     | (s->link_lost_ms != 0u ? out(s->link_lost_ms, 200u, 60000u) : 0u)
                     | out(s->debounce_ms, 1u, 200u) | out(s->clear_ms, 500u, 10000u));
}

/* A line each, in the order of door_refusal; D1. */
uint16_t door_settings_refusal(const door_settings *settings)
{
    const door_settings *s = settings;
    if (s->version != DOOR_SETTINGS_VERSION) {
        return DOOR_REFUSE_VERSION;
    }
    if (s->checksum != checksum_of(s)) {
        return DOOR_REFUSE_CHECKSUM;
    }
    if (s->sense > DOOR_SENSE_SUPPLY) {
        return DOOR_REFUSE_SENSE;
    }
    if (s->ends > DOOR_ENDS_STALL) {
        return DOOR_REFUSE_ENDS;
    }
    if (duty_out(s) != 0u) {
        return DOOR_REFUSE_DUTY;
    }
    if (out(s->ramp_ms, 1u, 2000u) != 0u) {
        return DOOR_REFUSE_RAMP;
    }
    if (out(s->dead_ms, 5u, 2000u) != 0u) {
        return DOOR_REFUSE_DEAD_TIME;
    }
    if ((out(s->last_shut_permille, 0u, 1000u) | out(s->last_open_permille, 0u, 1000u)) != 0u) {
        return DOOR_REFUSE_LAST;
    }
    if ((out(s->opening_cap_ms, 500u, 60000u) | out(s->closing_cap_ms, 500u, 60000u)) != 0u) {
        return DOOR_REFUSE_RUN_CAP;
    }
    if ((out(s->backstop_mA, 100u, 40000u) | out(s->backstop_ms, 1u, 500u)) != 0u) {
        return DOOR_REFUSE_BACKSTOP;
    }
    if (detector_out(s) != 0u) {
        return DOOR_REFUSE_DETECTOR;
    }
    if ((profile_out(&s->opening) | profile_out(&s->closing)) != 0u) {
        return DOOR_REFUSE_PROFILE;
    }
    if (regression_out(s) != 0u) {
        return DOOR_REFUSE_REGRESSION;
    }
    if (supply_out(s) != 0u) {
        return DOOR_REFUSE_SUPPLY;
    }
    if ((out(s->place_gain_q8, 1u, 65535u) | out(s->resistance_mohm, 0u, 60000u) | out(s->drop_mV, 0u, 5000u))
        != 0u) {
        return DOOR_REFUSE_PLACE;
    }
    if (zero_out(s) != 0u) {
        return DOOR_REFUSE_ZERO;
    }
    if (reversal_out(s) != 0u) {
        return DOOR_REFUSE_REVERSAL;
    }
    if (command_out(s) != 0u) {
        return DOOR_REFUSE_COMMAND;
    }
    if ((out(s->end_permille, 1u, 300u) | out(s->slip_permille, 10u, 1000u)) != 0u) {
        return DOOR_REFUSE_WINDOW;
    }
    return DOOR_SETTINGS_GOOD;
}
